//! What is to be scheduled.

use crate::Entry;
use report::{Effort, Seed};

/// From `start_s` up to, not including, `end_s`; seconds from the origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// First second.
    pub start_s: i64,
    /// First second after.
    pub end_s: i64,
}

impl Span {
    /// A span between two instants.
    pub fn new(start_s: i64, end_s: i64) -> Self {
        Self { start_s, end_s }
    }

    /// Seconds in it.
    pub fn seconds(self) -> i64 {
        self.end_s.saturating_sub(self.start_s)
    }
}

/// How a press is set: pieces of one set-up run one after the other for nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Setup {
    /// Which lower platen (with its pad), by a number of the caller's.
    pub platen: usize,
    /// Temperature of the heated plate, °C, −50 to 500.
    pub temp_c: i32,
    /// Pressure, by a step of the caller's.
    pub pressure: u8,
}

/// A heat press.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Press {
    /// Its name, for pictures and findings.
    pub name: String,
    /// When it is switched on, ascending and apart. It goes cold between two
    /// spans and warms up again at the next, so a lunch break is no gap here.
    pub available: Vec<Span>,
    /// How it is set at the start.
    pub start: Setup,
    /// Whether it is at `start.temp_c` in its first span already; else it warms up first.
    pub hot_at_start: bool,
    /// From cold to any working temperature, steady, s.
    pub warm_up_s: i64,
    /// Rising, milliseconds per kelvin.
    pub heat_ms_per_k: i64,
    /// Falling, milliseconds per kelvin.
    pub cool_ms_per_k: i64,
    /// Added after every change of temperature until the plate is even, s.
    pub settle_s: i64,
    /// A person's time to change the lower platen, s.
    pub platen_swap_s: i64,
    /// A person's time to set another pressure, s.
    pub pressure_reset_s: i64,
    /// Draw while holding its temperature, W.
    pub standby_w: i64,
    /// Draw while warming up or rising, W.
    pub heating_w: i64,
}

impl Press {
    /// Seconds from one steady temperature to another, settling included; 0 for none.
    pub fn change_s(&self, from_c: i32, to_c: i32) -> i64 {
        let kelvin = i64::from(to_c).saturating_sub(i64::from(from_c));
        let per_k = if kelvin > 0 { self.heat_ms_per_k } else { self.cool_ms_per_k };
        match kelvin.saturating_abs().saturating_mul(per_k) {
            _ if kelvin == 0 => 0,
            ms => ms.saturating_add(999) / 1000 + self.settle_s,
        }
    }
}

/// Somebody who works at the presses.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Person {
    /// Name, for pictures and findings.
    pub name: String,
    /// Working hours, ascending and apart; what lies between is a break.
    pub hours: Vec<Span>,
}

/// An order: late or not as a whole.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Job {
    /// Name, for pictures and findings.
    pub name: String,
    /// Nothing of it is pressed before (goods and transfers are there).
    pub release_s: i64,
    /// Late when its last piece is finished after this.
    pub due_s: i64,
    /// What being late weighs, 1 to 1000; 1 counts orders.
    pub weight: u32,
}

/// A batch that must be finished, and so long ago, before another may begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Lag {
    /// Index of the batch that goes before.
    pub batch: usize,
    /// Seconds between the end of its last finishing and the first loading here.
    pub lag_s: i64,
}

/// Pieces pressed one closing after the other on one press.
///
/// A closing: a person loads its pieces, the press dwells with nobody needed, and
/// the same person, still within the same working hours, unloads.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Batch {
    /// Name, for pictures and findings.
    pub name: String,
    /// Index of its job.
    pub job: usize,
    /// Indices of the presses it may run on, at least one.
    pub presses_allowed: Vec<usize>,
    /// None of it is pressed before, should its goods come later than its job's.
    pub release_s: i64,
    /// How the press must be set.
    pub setup: Setup,
    /// Pieces, at least 1.
    pub pieces: u32,
    /// Pieces in one closing, at least 1; the last closing may hold fewer.
    pub per_closing: u32,
    /// A person's seconds per piece before the press closes.
    pub load_s: i64,
    /// Seconds closed, per closing.
    pub press_s: i64,
    /// Longest the pieces may lie in the opened press before they are unloaded, s:
    /// 0 for a hot peel or a press that does not open by itself.
    pub open_wait_s: i64,
    /// A person's seconds per piece to unload.
    pub unload_s: i64,
    /// Seconds on a rack place (one per piece) before finishing; 0: needs no place.
    pub cool_s: i64,
    /// A person's seconds per piece away from the press: peel, check, pack.
    pub finish_s: i64,
    /// What must be finished before.
    pub after: Vec<Lag>,
    /// A person's and the press's seconds for a test piece before the first closing
    /// of the batch on a press; 0 for none.
    pub test_piece_s: i64,
}

/// Work already done or under way; see [`crate::replan`].
pub type Done = Entry;

/// What an hour of a person and a kilowatt-hour cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rates {
    /// Minor units of money per person-hour, 0 to 1,000,000.
    pub labour_per_hour: i64,
    /// Minor units of money per kilowatt-hour, 0 to 100,000.
    pub energy_per_kwh: i64,
}

impl Problem {
    /// From when a batch may be pressed: its job's goods and its own are there.
    pub(crate) fn release_s(&self, batch: &Batch) -> i64 {
        self.jobs.get(batch.job).map_or(batch.release_s, |job| job.release_s.max(batch.release_s))
    }
}

impl Default for Rates {
    /// 24.00 an hour and 0.30 a kilowatt-hour in a currency of two decimals.
    fn default() -> Self {
        Self { labour_per_hour: 2400, energy_per_kwh: 30 }
    }
}

/// Everything there is to schedule.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problem {
    /// The presses, 1 to 32.
    pub presses: Vec<Press>,
    /// The people, 1 to 64.
    pub people: Vec<Person>,
    /// Places to lay pieces singly while they cool.
    pub rack_places: u32,
    /// The orders.
    pub jobs: Vec<Job>,
    /// Their batches.
    pub batches: Vec<Batch>,
    /// Nothing new begins before.
    pub now_s: i64,
    /// Kept as it is: what began before `now_s`.
    pub done: Vec<Done>,
    /// What time and energy cost.
    pub rates: Rates,
}

/// How long to look, and from which seed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// Schedules tried after the first answer; 0 returns the first answer.
    pub effort: Effort,
    /// Start of every random choice.
    pub seed: Seed,
}

impl Default for Settings {
    fn default() -> Self {
        Self { effort: Effort(2_000), seed: Seed(1) }
    }
}

/// The largest problem taken, so that every answer comes in bounded time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits;

impl Limits {
    /// Presses.
    pub const PRESSES: usize = 32;
    /// People.
    pub const PEOPLE: usize = 64;
    /// Jobs.
    pub const JOBS: usize = 2_000;
    /// Batches.
    pub const BATCHES: usize = 4_000;
    /// Closings in all.
    pub const CLOSINGS: i64 = 50_000;
    /// Spans in one calendar.
    pub const SPANS: usize = 4_000;
    /// Pieces in one closing.
    pub const PER_CLOSING: u32 = 1_000;
    /// An instant, seconds either side of the origin (about 31 years).
    pub const INSTANT_S: i64 = 1_000_000_000;
    /// One step, s (a week).
    pub const STEP_S: i64 = 604_800;
    /// A lag between batches, s (a year).
    pub const LAG_S: i64 = 31_622_400;
    /// Watts of one press.
    pub const WATTS: i64 = 100_000;
}
