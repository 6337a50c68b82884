//! What a shop has and knows: cloths, garments, transfers with their makers'
//! recipes, presses and platens, suppliers, stock, prices, hours.
//!
//! In: the shop's files, through [`form`]. Out: one checked [`Shop`] whose
//! references all resolve. Values that a person did not enter are filled from
//! generic defaults and marked so ([`Marked`]). Engines and orders are not
//! known here.

pub mod ceilings;
mod cloth;
pub mod codes;
pub mod defaults;
mod files;
pub mod form;
mod garment;
mod ids;
pub mod kinds;
mod machine;
mod marked;
mod money;
mod on_hand;
pub mod platens;
mod recipe;
mod shop;
mod supply;
mod transfer;

pub use cloth::{Cloth, Dye, Fibre, FibreShare, Structure, Surface};
pub use files::{
    CutFiles, CutFormat, CutWish, PagesIn, PrintFiles, PrintFormat, PrintWish, SoftEdges, Weeding, WhiteIn,
};
pub use garment::{
    Access, Age, Band, Feature, GarmentBreak, GarmentClass, GarmentColour, GarmentSize, GarmentStyle, Held, Lining,
    Measure, Regulated, break_price,
};
pub use ids::{AccessoryId, ClothId, GarmentId, PersonId, PlatenId, PressId, StockId, SupplierId, TransferId};
pub use machine::{Accessory, AccessoryKind, CoverFinish, Platen, PlatenForm, PlatenShape, Press};
pub use marked::Marked;
pub use money::{LadderStep, Payer, Pricing, Rates, Spoilage, Tax, TestOn, TestPiece};
pub use on_hand::{SpareGarment, SpareTransfer};
pub use recipe::{MakerRange, Peel, PressStep, PressureClass, Recipe, RecipeStep, StepRole};
pub use shop::{Evidence, Person, Proof, Shop, ShopMark, WorkDay, WorkTimes};
pub use supply::{
    Direction, FileRule, Freight, Layers, LengthBreak, Reading, Remnant, RushService, SheetBreak, StockItem,
    StockShape, Supplier, Trim,
};
pub use transfer::{ColourFamily, Colours, FilmColour, Finish, Kind, Minimums, Transfer, Way};
