//! The checked problem in the form the search works on.

use crate::{Problem, Setup, people::Cycle};

/// A batch with what is left of it.
#[derive(Debug, Clone)]
pub(crate) struct Work {
    pub job: usize,
    pub presses: Vec<usize>,
    pub setup: Setup,
    pub left: u32,
    pub per_closing: u32,
    pub load_s: i64,
    pub press_s: i64,
    pub wait_s: i64,
    pub unload_s: i64,
    pub cool_s: i64,
    pub finish_s: i64,
    pub test_s: i64,
    /// Part of it was pressed before, so that it may go on without a test piece.
    pub begun: bool,
    pub after: Vec<(usize, i64)>,
    pub before: Vec<usize>,
}

impl Work {
    /// The seconds of a closing of so many pieces.
    pub fn cycle(&self, pieces: u32) -> Cycle {
        let pieces = i64::from(pieces);
        Cycle { load: self.load_s * pieces, press: self.press_s, wait: self.wait_s, unload: self.unload_s * pieces }
    }

    /// Seconds to load its smallest closing.
    pub fn least_load_s(&self) -> i64 {
        self.load_s * self.least_pieces()
    }

    /// Pieces in its smallest closing.
    pub fn least_pieces(&self) -> i64 {
        let over = self.left % self.per_closing;
        i64::from(if over > 0 { over } else { self.per_closing })
    }

    /// Seconds closed.
    pub fn dwell_s(&self) -> i64 {
        self.closings() * self.press_s
    }

    /// Closings left.
    pub fn closings(&self) -> i64 {
        i64::from(self.left.div_ceil(self.per_closing))
    }

    /// Seconds the press is taken by what is left, without set-up.
    pub fn press_time_s(&self) -> i64 {
        let left = i64::from(self.left);
        left * (self.load_s + self.unload_s) + self.closings() * self.press_s + self.test_time_s()
    }

    /// Seconds a person's hands are on what is left, without set-up.
    pub fn hands_s(&self) -> i64 {
        i64::from(self.left) * (self.load_s + self.unload_s + self.finish_s) + self.test_time_s()
    }

    /// Seconds of its test piece, when it must have one.
    pub fn test_time_s(&self) -> i64 {
        if self.left > 0 && !self.begun { self.test_s } else { 0 }
    }
}

/// The problem with its batches flattened and put in an order of precedence.
#[derive(Debug, Clone)]
pub(crate) struct Model<'a> {
    pub problem: &'a Problem,
    pub works: Vec<Work>,
    /// Batches with pieces left, each after all it waits for.
    pub order: Vec<usize>,
    pub batches_of: Vec<Vec<usize>>,
}

impl<'a> Model<'a> {
    /// From a problem that `check` has passed.
    pub fn new(problem: &'a Problem) -> Self {
        let mut works: Vec<Work> = problem.batches.iter().enumerate().map(|(i, _)| work(problem, i)).collect();
        let mut batches_of = vec![Vec::new(); problem.jobs.len()];
        for (index, batch) in problem.batches.iter().enumerate() {
            batches_of[batch.job].push(index);
            for lag in &batch.after {
                works[lag.batch].before.push(index);
            }
        }
        let order = in_order(&works).into_iter().filter(|&b| works[b].left > 0).collect();
        Self { problem, works, order, batches_of }
    }

    /// Minor units × 3,600,000, exact: labour and energy at the problem's rates.
    pub fn cost(&self, labour_s: i64, energy_j: i64) -> i64 {
        let rates = self.problem.rates;
        let labour = labour_s.saturating_mul(rates.labour_per_hour).saturating_mul(1000);
        labour.saturating_add(energy_j.saturating_mul(rates.energy_per_kwh))
    }
}

/// Minor units, rounded up, of a cost as [`Model::cost`] counts it.
pub(crate) fn minor(cost: i64) -> i64 {
    cost.div_euclid(3_600_000) + i64::from(cost.rem_euclid(3_600_000) != 0)
}

/// Batches, each after all it waits for; of several that could come next the lowest
/// index does. Batches in a circle are left out.
pub(crate) fn in_order(works: &[Work]) -> Vec<usize> {
    let mut waits: Vec<usize> = works.iter().map(|w| w.after.len()).collect();
    let mut ready: std::collections::BTreeSet<usize> = (0..works.len()).filter(|&b| waits[b] == 0).collect();
    let mut order = Vec::with_capacity(works.len());
    while let Some(next) = ready.pop_first() {
        order.push(next);
        for &later in &works[next].before {
            waits[later] -= 1;
            if waits[later] == 0 {
                ready.insert(later);
            }
        }
    }
    order
}

fn work(problem: &Problem, index: usize) -> Work {
    let batch = &problem.batches[index];
    let kept = problem.done.iter().filter(|e| e.batch == index).flat_map(|e| &e.closings);
    let good: u32 = kept.map(|c| c.pieces.saturating_sub(c.spoiled)).fold(0, u32::saturating_add);
    let mut presses = batch.presses_allowed.clone();
    presses.sort_unstable();
    presses.dedup();
    Work {
        job: batch.job,
        presses,
        setup: batch.setup,
        left: batch.pieces.saturating_sub(good),
        per_closing: batch.per_closing,
        load_s: batch.load_s,
        press_s: batch.press_s,
        wait_s: batch.open_wait_s,
        unload_s: batch.unload_s,
        cool_s: batch.cool_s,
        finish_s: batch.finish_s,
        test_s: batch.test_piece_s,
        begun: problem.done.iter().any(|e| e.batch == index),
        after: batch.after.iter().map(|lag| (lag.batch, lag.lag_s)).collect(),
        before: Vec::new(),
    }
}
