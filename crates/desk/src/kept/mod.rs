//! What people do with a shop that is kept: one function for each thing, the
//! same for command line, page and worker.
//!
//! In: who does it and when ([`Stamp`]), the version that person saw, the values.
//! Out: the new version, or a [`DeedError`] with nothing changed. A change
//! against an older version than the kept one is a conflict that names who
//! changed it. Calls block until the database has answered; a change that
//! returned is on the disk.
//!
//! One module a subject: `shop` (its files), `orders`, `listing` and `stage`
//! (what an order waits for), `jobs` and `plans`, `together` (which orders share sheets), `history` (and undoing),
//! `standing` (between shop and customer), `press` (counting), `real_costs` (what it took), `evidence` (what was
//! seen), `stock` (on hand), `reorder` (once more), `sheets` (pieces laid by hand), `folder` (open files and back), `care` (backup, restoring, looking for damage).

mod assumed;
mod care;
mod error;
mod evidence;
mod folder;
mod history;
mod jobs;
mod listing;
mod names;
mod orders;
mod plans;
mod press;
mod real_costs;
mod reorder;
mod repair;
mod sheets;
mod shop;
mod stage;
mod standing;
mod stock;
mod together;

pub use assumed::assumed_of;
pub use error::DeedError;
pub use folder::Imported;
pub use jobs::PlanWish;
pub use orders::{KeptArt, KeptOrder};
pub use plans::KeptPlan;
pub use press::{Counted, Run};
pub use real_costs::{BOUGHT, ComparedCost, Comparison, WORK};
pub use reorder::Changed;
pub use repair::repair_of;
pub use sheets::{Laid, LockEdit, Moved};
pub use stage::Stage;
pub use standing::{GoodsIn, Told};

use jiff::civil::Date;
use report::Outcome;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Instant;
use store::{Place, Stamp, Store};
use trade::Shop;

/// What a deed answers.
pub type Deed<T> = Result<T, DeedError>;

/// An open shop. A clone is the same shop; may be used from several threads.
#[derive(Debug, Clone)]
pub struct Kept {
    inside: Arc<Inside>,
    /// The day it always is here; the machine's own when left out.
    day: Option<Date>,
}

#[derive(Debug)]
struct Inside {
    store: Store,
    /// The shop as read last, by the hash of its files.
    shop: Mutex<Option<(String, Arc<Outcome<Shop>>)>>,
    /// When the beat of each running job was last seen to move, by this machine's steady clock.
    beats: Mutex<BTreeMap<(String, i64), (i64, Instant)>>,
}

impl Kept {
    /// Makes a new, empty shop.
    ///
    /// Refuses a place where one is kept already.
    pub fn make(place: &Place) -> Deed<Self> {
        Ok(Self::of(Store::make(place)?))
    }

    /// Opens a shop; one of an earlier build is brought to this build's form.
    ///
    /// Refuses a place where none is kept, and one of a later build.
    pub fn open(place: &Place) -> Deed<Self> {
        Ok(Self::of(Store::open(place)?))
    }

    fn of(store: Store) -> Self {
        let inside = Inside { store, shop: Mutex::default(), beats: Mutex::default() };
        Self { inside: Arc::new(inside), day: None }
    }

    /// The same shop on a day that does not pass, by which what is late is told.
    #[must_use]
    pub fn on_day(mut self, day: Date) -> Self {
        self.day = Some(day);
        self
    }

    /// Now as lists compare it, `2026-12-18T17:00:00`.
    fn now(&self) -> String {
        let now = jiff::ZonedDateTime::now().datetime();
        moment(self.day.map_or(now, |day| day.to_datetime(now.time())))
    }

    /// The store beneath, for what is kept without further meaning: slips, accounts, links.
    pub fn store(&self) -> &Store {
        &self.inside.store
    }
}

/// A hand at work: who, and now by this machine's clock.
pub fn hand(by: &str) -> Stamp {
    Stamp { at_ms: jiff::Timestamp::now().as_millisecond(), by: words::clean(by) }
}

/// A moment as lists compare it.
fn moment(at: jiff::civil::DateTime) -> String {
    at.strftime("%Y-%m-%dT%H:%M:%S").to_string()
}

/// A lock that another thread died with holds values that are whole: they are replaced, never half-changed.
fn locked<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
