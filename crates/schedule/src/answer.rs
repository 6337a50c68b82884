//! The answer: who does what at which press, when.

use crate::{Bound, Span};

/// A person's attention for a while.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Attended {
    /// Index of the person.
    pub person: usize,
    /// When.
    pub span: Span,
}

/// What is changed on a press before a batch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct SetUp {
    /// The lower platen taken off, when it changes.
    pub platen_from: Option<usize>,
    /// The pressure left, when it changes.
    pub pressure_from: Option<u8>,
    /// The temperature left; `None` when the press is already right, or cold.
    pub temp_from_c: Option<i32>,
    /// Whether the press warms up from cold.
    pub from_cold: bool,
    /// The person's time for platen and pressure.
    pub hands: Option<Attended>,
    /// Until the plate is steady; nobody needed.
    pub heat: Option<Span>,
    /// The test piece.
    pub test: Option<Attended>,
}

impl SetUp {
    /// From its first to its last second, when it takes any.
    pub fn span(&self) -> Option<Span> {
        let parts = [self.hands.map(|a| a.span), self.heat, self.test.map(|a| a.span)];
        let start_s = parts.iter().flatten().map(|s| s.start_s).min()?;
        let end_s = parts.iter().flatten().map(|s| s.end_s).max()?;
        Some(Span { start_s, end_s })
    }
}

/// One closing of a press.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Closing {
    /// Index of the person who loads and unloads.
    pub person: usize,
    /// Pieces in it.
    pub pieces: u32,
    /// Of these, spoiled and to be done again.
    pub spoiled: u32,
    /// Loading.
    pub load: Span,
    /// Closed.
    pub press: Span,
    /// Unloading; begins when the press opens or, where the batch allows, a little later.
    pub unload: Span,
    /// When the pieces may be finished.
    pub cool_end_s: i64,
    /// Peeling, checking, packing; `None` when there is nothing to do, or no time was found.
    pub finish: Option<Attended>,
}

impl Closing {
    /// When its pieces are done.
    pub fn done_s(&self) -> i64 {
        self.finish.map_or(self.cool_end_s, |f| f.span.end_s)
    }
}

/// A batch, or a part of one, on one press without another between.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Index of the batch.
    pub batch: usize,
    /// Index of the press.
    pub press: usize,
    /// What is changed before.
    pub set_up: Option<SetUp>,
    /// The closings in order; never empty in a schedule.
    pub closings: Vec<Closing>,
    /// Whether it was kept from an earlier plan.
    pub kept: bool,
}

impl Entry {
    /// First second, set-up included.
    pub fn start_s(&self) -> i64 {
        let first = self.closings.first().map_or(i64::MAX, |c| c.load.start_s);
        self.set_up.and_then(|s| s.span()).map_or(first, |s| s.start_s.min(first))
    }

    /// First loading.
    pub fn first_load_s(&self) -> i64 {
        self.closings.first().map_or(self.start_s(), |c| c.load.start_s)
    }

    /// When the press is free of it.
    pub fn end_s(&self) -> i64 {
        self.closings.last().map_or(self.start_s(), |c| c.unload.end_s)
    }

    /// When its last piece has cooled.
    pub fn cool_end_s(&self) -> i64 {
        self.closings.iter().map(|c| c.cool_end_s).max().unwrap_or(self.end_s())
    }

    /// When its last piece is finished.
    pub fn done_s(&self) -> i64 {
        self.closings.iter().map(Closing::done_s).max().unwrap_or(self.end_s())
    }

    /// Pieces in it, spoiled ones included.
    pub fn pieces(&self) -> u32 {
        self.closings.iter().map(|c| c.pieces).fold(0, u32::saturating_add)
    }

    /// The people at the press, each once, in order of index.
    pub fn people(&self) -> Vec<usize> {
        let mut people: Vec<usize> = self.closings.iter().map(|c| c.person).collect();
        people.sort_unstable();
        people.dedup();
        people
    }
}

/// Pieces for which no time was found in anybody's hours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Unplaced {
    /// Index of the batch.
    pub batch: usize,
    /// Pieces not pressed.
    pub pieces: u32,
    /// Pieces pressed for whose finishing no time was found.
    pub unfinished: u32,
}

/// A schedule that [`crate::simulate`] has confirmed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Schedule {
    /// By start, then press.
    pub entries: Vec<Entry>,
    /// What found no time, by batch.
    pub unplaced: Vec<Unplaced>,
    /// When each job is finished; `None` when part of it is unplaced.
    pub finish_s: Vec<Option<i64>>,
    /// Jobs finished after their due date, or not at all; by index.
    pub late_jobs: Vec<usize>,
    /// Sum of the late jobs' weights: what is made least first.
    pub late_weight: i64,
    /// Paid seconds: per person and stretch of working hours, from first to last task.
    pub labour_s: i64,
    /// Seconds of hands on work, the part of `labour_s` that is not waiting.
    pub hands_s: i64,
    /// Energy to warm up, change and hold the presses, J.
    pub energy_j: i64,
    /// Labour and energy at the problem's rates, minor units of money rounded up:
    /// what is made least second.
    pub cost_minor: i64,
    /// What no schedule can do better than.
    pub bound: Bound,
    /// Schedules tried.
    pub evaluations: u64,
}

impl Schedule {
    /// Energy in watt-hours.
    pub fn energy_wh(&self) -> f64 {
        self.energy_j as f64 / 3600.0
    }

    /// Last second in use.
    pub fn end_s(&self) -> Option<i64> {
        self.entries.iter().map(Entry::done_s).max()
    }
}
