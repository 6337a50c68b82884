//! The shop as a whole.

use crate::{
    Accessory, AccessoryId, Cloth, ClothId, CutWish, GarmentId, GarmentStyle, Marked, PersonId, Platen, PlatenId,
    Press, PressId, Pricing, Rates, Remnant, SpareGarment, SpareTransfer, Spoilage, StockId, StockItem, Supplier,
    SupplierId, Tax, Transfer, TransferId,
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

/// A picture that stands for the shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShopMark {
    /// The file of the shop folder that holds it, SVG or PNG.
    pub file: String,
    /// Its bytes in base64; `None` when the file is not there.
    pub base64: Option<String>,
}

/// Everything the shop has and knows.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// The shop's name.
    pub name: String,
    /// Lines of its address, for papers.
    pub address: Vec<String>,
    /// Its mark, printed on papers.
    pub mark: Option<ShopMark>,
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
    /// Orders share sheets when they are due within so many days of one another.
    pub share_days: Marked<u32>,
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
    pub(crate) evidence: Vec<Evidence>,
    pub(crate) spare_transfers: Vec<SpareTransfer>,
    pub(crate) spare_garments: Vec<SpareGarment>,
}

/// What was seen in this shop of a transfer on a cloth, pressed by the recipe it has now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Evidence {
    /// The transfer.
    pub transfer: TransferId,
    /// The cloth.
    pub cloth: ClothId,
    /// Orders it was pressed for.
    pub orders: u32,
    /// Good pieces in them.
    pub pieces: u32,
    /// The most washes a print went through and held.
    pub washes_held: u32,
    /// The fewest washes after which a print no longer held.
    pub washes_failed: Option<u32>,
    /// Pieces that came back.
    pub returned: u32,
    /// Pieces spoiled at the press.
    pub spoiled: u32,
    /// Test pieces that held.
    pub tests_held: u32,
    /// Test pieces that did not.
    pub tests_failed: u32,
}

impl Evidence {
    /// Nothing seen yet.
    pub fn none(transfer: TransferId, cloth: ClothId) -> Self {
        Self {
            transfer,
            cloth,
            orders: 0,
            pieces: 0,
            washes_held: 0,
            washes_failed: None,
            returned: 0,
            spoiled: 0,
            tests_held: 0,
            tests_failed: 0,
        }
    }

    /// What it says for a later choice.
    ///
    /// It failed where more than one piece in twenty came back, where more test pieces failed than held, or
    /// where a print gave way before [`Self::LASTS`] washes and none lasted longer. It is proven where work was
    /// pressed, nothing came back, and a print held in washing or test, none gave way. One in twenty is this
    /// program's own measure, common practice, no source.
    pub fn verdict(&self) -> Proof {
        const ONE_IN: u32 = 20;
        let washed_off = self.washes_failed.is_some_and(|failed| failed >= self.washes_held);
        let gave_way = self.washes_failed.is_some_and(|failed| failed < self.washes_held);
        if self.returned.saturating_mul(ONE_IN) > self.pieces
            || self.tests_failed > self.tests_held
            || (washed_off && self.washes_failed.is_some_and(|washes| washes < Self::LASTS))
        {
            return Proof::Failed;
        }
        let held = self.washes_held > 0 || self.tests_held > self.tests_failed;
        if self.orders > 0 && self.returned == 0 && held && !gave_way && self.tests_failed == 0 && !washed_off {
            return Proof::Proven;
        }
        Proof::Open
    }

    /// Washes that a print is expected to last (common practice, no source).
    pub const LASTS: u32 = 20;
}

/// What a shop's own evidence says of a transfer on a cloth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Proof {
    /// It came off, tore or came back.
    Failed,
    /// Too little was seen.
    Open,
    /// It was worn and held.
    Proven,
}

impl Shop {
    /// With what the shop has seen itself; at most one for each transfer on each cloth.
    #[must_use]
    pub fn with_evidence(mut self, evidence: Vec<Evidence>) -> Self {
        self.evidence = evidence;
        self
    }

    /// What was seen of a transfer on a cloth.
    pub fn evidence(&self, transfer: TransferId, cloth: ClothId) -> Option<&Evidence> {
        self.evidence.iter().find(|seen| seen.transfer == transfer && seen.cloth == cloth)
    }

    /// Transfers on hand, those of the shop's files first; places in it hold for this shop.
    pub fn spare_transfers(&self) -> &[SpareTransfer] {
        &self.spare_transfers
    }

    /// Garments on hand, those of the shop's files first; places in it hold for this shop.
    pub fn spare_garments(&self) -> &[SpareGarment] {
        &self.spare_garments
    }

    /// With further transfers on hand.
    #[must_use]
    pub fn with_spare_transfer(mut self, spare: SpareTransfer) -> Self {
        self.spare_transfers.push(spare);
        self
    }

    /// With further garments on hand.
    #[must_use]
    pub fn with_spare_garment(mut self, spare: SpareGarment) -> Self {
        self.spare_garments.push(spare);
        self
    }

    /// With further sheets and pieces of a stock item on hand.
    #[must_use]
    pub fn with_on_hand(mut self, of: StockId, remnant: Remnant) -> Self {
        if let Some(item) = self.stock.get_mut(of.0) {
            item.remnants.push(remnant);
        }
        self
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// The measures are this program's own; each row is one of them just met or just missed.
    #[test]
    fn evidence_says_proven_failed_or_too_little() {
        let none = Evidence::none(TransferId(0), ClothId(0));
        let pressed = Evidence { orders: 4, pieces: 120, ..none };
        for (seen, proof) in [
            (none, Proof::Open),
            (pressed, Proof::Open),
            (Evidence { washes_held: 20, ..pressed }, Proof::Proven),
            (Evidence { tests_held: 1, ..pressed }, Proof::Proven),
            (Evidence { washes_held: 20, returned: 1, ..pressed }, Proof::Open),
            (Evidence { washes_held: 20, returned: 6, ..pressed }, Proof::Open),
            (Evidence { washes_held: 20, returned: 7, ..pressed }, Proof::Failed),
            (Evidence { returned: 1, ..none }, Proof::Failed),
            (Evidence { tests_failed: 1, ..none }, Proof::Failed),
            (Evidence { tests_failed: 1, tests_held: 1, ..pressed }, Proof::Open),
            (Evidence { washes_failed: Some(19), ..pressed }, Proof::Failed),
            (Evidence { washes_failed: Some(20), ..pressed }, Proof::Open),
            (Evidence { washes_failed: Some(8), washes_held: 30, ..pressed }, Proof::Open),
            (Evidence { washes_held: 20, spoiled: 5, ..pressed }, Proof::Proven),
        ] {
            assert_eq!(seen.verdict(), proof, "{seen:?}");
        }
    }
}
