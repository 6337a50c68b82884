//! The shop as a whole.

use crate::{
    Accessory, AccessoryId, Cloth, ClothId, CutWish, GarmentId, GarmentStyle, Marked, PersonId, Platen, PlatenId,
    Press, PressId, Pricing, Rates, Spoilage, StockId, StockItem, Supplier, SupplierId, Tax, Transfer, TransferId,
};
use jiff::civil::{Date, Time, Weekday};
use units::{Currency, Duration, Temperature, UnitSystem};

/// Work times of a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WorkDay {
    /// Day of the week.
    pub day: Weekday,
    /// Work begins.
    pub from: Time,
    /// Work ends.
    pub to: Time,
    /// A pause, from and to.
    pub pause: Option<(Time, Time)>,
}

/// A person who works.
#[derive(Debug, Clone, PartialEq)]
pub struct Person {
    /// The name they are called by.
    pub name: String,
    /// Hours of the week; days left out are free.
    pub hours: Vec<WorkDay>,
}

/// How long each element of the work takes.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkTimes {
    /// Load and thread a garment.
    pub load: Marked<Duration>,
    /// Load a lined jacket.
    pub load_lined: Marked<Duration>,
    /// Smooth, lint-roll.
    pub smooth: Marked<Duration>,
    /// Place and align a one-part print.
    pub place: Marked<Duration>,
    /// Place each further part.
    pub place_part: Marked<Duration>,
    /// Peel hot.
    pub peel_hot: Marked<Duration>,
    /// Peel cold, after the wait.
    pub peel_cold: Marked<Duration>,
    /// Unload, fold, check.
    pub unload: Marked<Duration>,
    /// Turn the garment over between prints.
    pub flip: Marked<Duration>,
    /// Pack a piece.
    pub pack: Marked<Duration>,
    /// Count and inspect a garment at arrival.
    pub count_in: Marked<Duration>,
    /// Once an order: quoting, ordering, writing.
    pub office: Marked<Duration>,
    /// Once a design: art work.
    pub art: Marked<Duration>,
    /// Once a set-up: test piece.
    pub test_piece: Marked<Duration>,
}

/// Everything the shop has and knows.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// The shop's name.
    pub name: String,
    /// Lines of its address, for papers.
    pub address: Vec<String>,
    /// The currency of all its prices.
    pub currency: Currency,
    /// The units its people read in.
    pub units: UnitSystem,
    /// Usual temperature of the room.
    pub room: Temperature,
    /// Days on which nobody works.
    pub holidays: Vec<Date>,
    /// Places to lay pieces while they cool.
    pub rack_places: u32,
    /// Rates of work.
    pub rates: Rates,
    /// How prices are made.
    pub pricing: Pricing,
    /// Taxes.
    pub taxes: Vec<Tax>,
    /// How many more are made than ordered.
    pub spoilage: Spoilage,
    /// How long work takes.
    pub times: WorkTimes,
    /// What the shop's cutter needs of cut files.
    pub cutter: CutWish,
    /// Shipped as an invented example.
    pub invented: bool,
    pub(crate) people: Vec<Person>,
    pub(crate) cloths: Vec<Cloth>,
    pub(crate) garments: Vec<GarmentStyle>,
    pub(crate) transfers: Vec<Transfer>,
    pub(crate) stock: Vec<StockItem>,
    pub(crate) suppliers: Vec<Supplier>,
    pub(crate) presses: Vec<Press>,
    pub(crate) platens: Vec<Platen>,
    pub(crate) accessories: Vec<Accessory>,
}

/// For each list: the item of an id, all items with their ids, and the item called by a name.
macro_rules! lists {
    ($($list:ident, $one:ident, $find:ident, $all:ident: $item:ty, $id:ident, $name:ident;)*) => {
        impl Shop { $(
            #[doc = concat!("The ", stringify!($one), " of an id of this shop.")]
            pub fn $one(&self, id: $id) -> &$item {
                &self.$list[id.0]
            }

            #[doc = concat!("Every ", stringify!($one), " with its id, in the shop's order.")]
            pub fn $all(&self) -> impl Iterator<Item = ($id, &$item)> {
                self.$list.iter().enumerate().map(|(at, item)| ($id(at), item))
            }

            #[doc = concat!("The ", stringify!($one), " that files call `name`.")]
            pub fn $find(&self, name: &str) -> Option<$id> {
                self.$list.iter().position(|item| item.$name == name).map($id)
            }
        )* }
    };
}

lists! {
    people, person, find_person, people: Person, PersonId, name;
    cloths, cloth, find_cloth, cloths: Cloth, ClothId, id;
    garments, garment, find_garment, garments: GarmentStyle, GarmentId, id;
    transfers, transfer, find_transfer, transfers: Transfer, TransferId, id;
    stock, stock_item, find_stock, stock: StockItem, StockId, id;
    suppliers, supplier, find_supplier, suppliers: Supplier, SupplierId, id;
    presses, press, find_press, presses: Press, PressId, id;
    platens, platen, find_platen, platens: Platen, PlatenId, id;
    accessories, accessory, find_accessory, accessories: Accessory, AccessoryId, id;
}
