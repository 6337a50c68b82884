//! Shortening a strip: take a little length away, separate, repeat.

use crate::board::{Board, Placed};
use crate::random::Random;
use crate::separate::{Crowd, Patience};

/// The search on one strip, in bounded steps.
#[derive(Debug, Clone)]
pub(crate) struct Shrink<'a> {
    board: Board<'a>,
    /// The bin that gets shorter.
    bin: usize,
    random: Random,
    crowd: Crowd,
    /// Best places found and the length they need.
    pub(crate) best: Vec<Placed>,
    pub(crate) length: f64,
    /// Share of the length taken away next.
    cut: f64,
    fails: u32,
    least_cut: f64,
    /// The least clashing state met at the present target, and its clash.
    near: Option<(f64, Vec<Placed>)>,
}

/// Rounds without progress before an attempt is given up.
const ROUNDS: u32 = 100;
/// Attempts at one target before a nearer one is taken.
const TRIES: u32 = 4;

impl<'a> Shrink<'a> {
    /// From a layout without clashes.
    pub(crate) fn new(board: Board<'a>, bin: usize, placed: Vec<Placed>, bound: Vec<bool>, random: Random) -> Self {
        let length = board.used(bin, &placed);
        let crowd = Crowd::new(&board, placed.clone(), bound);
        Self { board, bin, random, crowd, best: placed, length, cut: 0.003, fails: 0, least_cut: 1e-5, near: None }
    }

    /// Positions evaluated so far.
    pub(crate) fn spent(&self) -> u64 {
        self.board.spent
    }

    /// Takes a shorter layout found elsewhere.
    pub(crate) fn adopt(&mut self, placed: &[Placed], length: f64) {
        self.best = placed.to_vec();
        self.length = length;
        self.fails = 0;
        self.near = None;
    }

    /// Searches for about `budget` evaluations; `late` is how far the whole
    /// search is, from 0 to 1: cuts get finer towards the end. An attempt under
    /// way may go on up to `most`.
    pub(crate) fn step(&mut self, budget: u64, most: u64, late: f64) {
        let (start, end) = (self.board.spent, self.board.spent.saturating_add(budget));
        let floor = self.floor();
        while self.board.spent < end && !self.done() {
            self.attempt(most.saturating_sub(self.board.spent - start), late, floor);
        }
    }

    /// Whether it cannot get shorter.
    pub(crate) fn done(&self) -> bool {
        self.length <= self.floor() * (1.0 + 1e-9)
    }

    /// No shorter than the longest piece in its shortest turn.
    fn floor(&self) -> f64 {
        let parts = self.board.parts;
        let allowed = &self.board.bins[self.bin].allowed;
        let shortest = |design: usize| {
            let turns = parts.of_design[design].iter().filter(|c| allowed[**c]);
            turns.map(|c| parts.classes[*c].size()[0]).fold(f64::INFINITY, f64::min)
        };
        let locked = self.board.fixed.iter().filter(|p| parts.classes[p.class].shape < parts.of_design.len());
        let fixed = self.board.used(self.bin, &locked.copied().collect::<Vec<_>>());
        let there = self.best.iter().zip(&self.crowd.design).filter(|(p, _)| p.bin == self.bin);
        there.map(|(_, design)| shortest(*design)).fold(fixed, f64::max)
    }

    fn attempt(&mut self, left: u64, late: f64, floor: f64) {
        let coarse = 0.012 * (1.0 - late).powi(2) + 0.0004;
        let cut = self.cut.clamp(self.least_cut, coarse);
        let target = (self.length * (1.0 - cut)).max(floor);
        self.start(target);
        let patience = Patience { rounds: ROUNDS, budget: left };
        if self.crowd.separate(&mut self.board, &mut self.random, patience) {
            self.length = self.board.used(self.bin, &self.crowd.placed).min(target);
            self.best.clone_from(&self.crowd.placed);
            (self.fails, self.near) = (0, None);
            self.cut = (cut * 1.4).min(coarse);
            return;
        }
        self.fails += 1;
        let clash = self.crowd.count(&mut self.board);
        if self.near.as_ref().is_none_or(|(least, _)| clash < *least) {
            self.near = Some((clash, self.crowd.placed.clone()));
        }
        if self.fails.is_multiple_of(TRIES) {
            self.near = None;
            self.cut = if cut * 0.5 < self.least_cut { coarse / 2.0 } else { cut * 0.5 };
        }
    }

    /// The state an attempt starts from: the best layout squeezed into `target`,
    /// or after a failure the least clashing one with two pieces exchanged.
    fn start(&mut self, target: f64) {
        self.board.bins[self.bin].length = target;
        self.crowd.forget();
        if let Some((_, near)) = &self.near {
            self.crowd.take(&self.board, near);
            self.swap_two();
            return;
        }
        let best = self.best.clone();
        self.crowd.take(&self.board, &best);
        let begin = self.board.bins[self.bin].start;
        let line = begin + self.random.between(0.0, self.length);
        let by = self.length - target;
        for (at, p) in best.iter().enumerate() {
            let mut p = *p;
            if p.bin == self.bin {
                let c = &self.board.parts.classes[p.class];
                if p.at[0] + (c.low[0] + c.high[0]) / 2.0 > line {
                    p.at[0] -= by;
                }
                if self.board.room(p.bin, p.class).is_none() {
                    // Too long now as it lies; another turn still fits.
                    let turns = self.board.classes_on(p.bin, self.crowd.design[at]);
                    p.class = turns.first().copied().unwrap_or(p.class);
                }
                if let Some((low, high)) = self.board.room(p.bin, p.class) {
                    p.at = [p.at[0].clamp(low[0], high[0]), p.at[1].clamp(low[1], high[1])];
                }
                self.crowd.put(&self.board, at, p);
            }
        }
    }

    /// Exchanges two pieces of different designs, large ones rather.
    fn swap_two(&mut self) {
        let count = self.crowd.placed.len();
        if count < 2 {
            return;
        }
        let area = |d: usize| self.board.parts.area[d];
        let mut order: Vec<usize> = (0..count).filter(|i| self.crowd.placed[*i].bin == self.bin).collect();
        order.sort_by(|a, b| area(self.crowd.design[*b]).total_cmp(&area(self.crowd.design[*a])).then(a.cmp(b)));
        let large = &order[..order.len().min((count / 2).max(6))];
        for _ in 0..8 {
            let (Some(a), Some(b)) =
                (large.get(self.random.below(large.len())), large.get(self.random.below(large.len())))
            else {
                return;
            };
            if self.crowd.design[*a] != self.crowd.design[*b] {
                self.exchange(*a, *b);
                return;
            }
        }
    }

    fn exchange(&mut self, a: usize, b: usize) {
        let (p, q) = (self.crowd.placed[a], self.crowd.placed[b]);
        let middle = |p: &Placed| {
            let c = &self.board.parts.classes[p.class];
            [0, 1].map(|k| p.at[k] + (c.low[k] + c.high[k]) / 2.0)
        };
        let (here, there) = (middle(&p), middle(&q));
        for (at, old, to) in [(a, p, there), (b, q, here)] {
            let c = &self.board.parts.classes[old.class];
            let mut spot = [0, 1].map(|k| to[k] - (c.low[k] + c.high[k]) / 2.0);
            if let Some((low, high)) = self.board.room(old.bin, old.class) {
                spot = [spot[0].clamp(low[0], high[0]), spot[1].clamp(low[1], high[1])];
            }
            self.crowd.put(&self.board, at, Placed { at: spot, ..old });
        }
    }
}
