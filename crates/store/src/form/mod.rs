//! The kept forms: what records say, as JSON. Unknown keys are refused by name.

mod evidence;
mod order;
mod people;
mod plan;
mod shop;
mod stock;

pub use evidence::{EvidenceForm, Seen};
pub use order::{
    Assumed, AssumedOf, Deposit, FileRef, Frozen, Goods, OrderForm, Payment, PressCount, QuoteSent, RealCosts, Repeats,
    SignOff, SpoiledCount, Standing, Work,
};
pub use people::{AccountForm, LinkForm, Role};
pub use plan::{MadeLine, MadePrint, MadeRun, MadeState, NamedFile, PlanFacts, PlanForm, PlannedOrder};
pub use shop::ShopFileForm;
pub use stock::{OnHand, StockForm};

use crate::record::{Kept, Kind};

/// Why a record of a kind cannot be read; `None` when it can.
pub fn unreadable(kind: &str, body: &str) -> Option<String> {
    fn try_read<T: Kept>(body: &str) -> Option<String> {
        serde_json::from_str::<T>(body).err().map(|error| error.to_string())
    }
    match Kind::of_word(kind)? {
        Kind::Order => try_read::<OrderForm>(body),
        Kind::ShopFile => try_read::<ShopFileForm>(body),
        Kind::Plan => try_read::<PlanForm>(body),
        Kind::Evidence => try_read::<EvidenceForm>(body),
        Kind::Stock => try_read::<StockForm>(body),
        Kind::Account => try_read::<AccountForm>(body),
        Kind::Link => try_read::<LinkForm>(body),
    }
}

/// Hashes of the files that a record's text refers to; none for what cannot be read.
pub fn hashes(kind: &str, body: &str) -> Vec<String> {
    match Kind::of_word(kind) {
        Some(Kind::Order) => serde_json::from_str::<OrderForm>(body).map(|form| form.holds()).unwrap_or_default(),
        Some(Kind::Plan) => serde_json::from_str::<PlanForm>(body).map(|form| form.holds()).unwrap_or_default(),
        _ => Vec::new(),
    }
}
