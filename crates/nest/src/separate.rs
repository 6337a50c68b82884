//! Separation by guided local search: pieces overlap at first, each move takes
//! one to where the weighted overlap is least, and pairs that keep clashing
//! grow heavier.
//!
//! After Umetani et al., "Solving the irregular strip packing problem via
//! guided local search for overlap minimization" (Int. Trans. Oper. Res. 2009)
//! and Gardeyn, Vanden Berghe & Wauters, arXiv 2509.13329 (2025). Overlap is
//! the true penetration depth from no-fit polygons, so a clash also says the
//! shortest way out; a handful of such pushes replaces many random trials.

use crate::board::{Board, Placed, Spot};
use crate::parts::Class;
use crate::random::Random;
use crate::raster::Raster;

/// A clash shallower than this is none, mm. Shapes are drawn in by more than that.
const NONE_MM: f64 = 2e-7;

/// The pieces of a board with what the search knows of their pairs.
#[derive(Debug, Clone)]
pub(crate) struct Crowd {
    /// Where each piece lies now.
    pub(crate) placed: Vec<Placed>,
    /// The design of each.
    pub(crate) design: Vec<usize>,
    /// Pieces that must stay on their bin.
    pub(crate) bound: Vec<bool>,
    /// Weight of each pair, fixed things last.
    weight: Vec<f32>,
    /// The least weight of each pair: large pieces in each other's way weigh more.
    least: Vec<f32>,
    low: Vec<Spot>,
    high: Vec<Spot>,
    classes: Vec<usize>,
    spots: Vec<Spot>,
    /// Which boxes lie where; none among few pieces, where looking at every box takes no longer.
    raster: Option<Raster>,
    /// How deep each pair clashes, from the last count.
    depth: Vec<f32>,
    /// Which pieces clash at all, from the last count.
    clashing: Vec<bool>,
}

/// A clash of the piece being moved.
#[derive(Debug, Clone, Copy)]
struct Clash {
    weighted: f64,
    out: Spot,
}

/// How long a separation may go on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Patience {
    /// Rounds without progress before giving up.
    pub(crate) rounds: u32,
    /// Positions evaluated at most.
    pub(crate) budget: u64,
}

impl Crowd {
    /// Pieces where they lie.
    pub(crate) fn new(board: &Board<'_>, placed: Vec<Placed>, bound: Vec<bool>) -> Self {
        let design = placed.iter().map(|p| board.parts.classes[p.class].shape).collect();
        let rows = placed.len();
        let all = rows + board.fixed.len();
        let least = least_weights(board, &placed);
        let mut crowd = Self {
            placed,
            design,
            bound,
            weight: vec![1.0; rows * all],
            least,
            raster: raster(board, all),
            depth: vec![0.0; rows * all],
            clashing: vec![false; rows],
            low: vec![[0.0; 2]; all],
            high: vec![[0.0; 2]; all],
            classes: vec![0; all],
            spots: vec![[0.0; 2]; all],
        };
        crowd.forget();
        crowd.settle_all(board);
        crowd
    }

    /// Takes other places for all pieces.
    pub(crate) fn take(&mut self, board: &Board<'_>, placed: &[Placed]) {
        self.placed.clear();
        self.placed.extend_from_slice(placed);
        self.settle_all(board);
    }

    /// Forgets which pairs clashed.
    pub(crate) fn forget(&mut self) {
        self.weight.clone_from(&self.least);
    }

    fn settle_all(&mut self, board: &Board<'_>) {
        for at in 0..self.placed.len() {
            self.note(board, at, self.placed[at]);
        }
        for (k, p) in board.fixed.iter().enumerate() {
            self.note(board, self.placed.len() + k, *p);
        }
        if let Some(raster) = &mut self.raster {
            raster.clear();
            for at in 0..self.low.len() {
                raster.insert(at, self.low[at], self.high[at]);
            }
        }
    }

    fn note(&mut self, board: &Board<'_>, at: usize, p: Placed) {
        let c = &board.parts.classes[p.class];
        let half = board.spacing / 2.0;
        self.low[at] = [p.at[0] + c.low[0] - half, p.at[1] + c.low[1] - half];
        self.high[at] = [p.at[0] + c.high[0] + half, p.at[1] + c.high[1] + half];
        self.classes[at] = p.class;
        self.spots[at] = p.at;
    }

    /// Moves a piece, keeping it on its bin.
    pub(crate) fn put(&mut self, board: &Board<'_>, at: usize, to: Placed) {
        self.placed[at] = to;
        let (low, high) = (self.low[at], self.high[at]);
        self.note(board, at, to);
        if let Some(raster) = &mut self.raster {
            raster.remove(at, low, high);
            raster.insert(at, self.low[at], self.high[at]);
        }
    }

    /// Counts every clash; returns the total depth, mm.
    pub(crate) fn count(&mut self, board: &mut Board<'_>) -> f64 {
        let (rows, all) = (self.placed.len(), self.low.len());
        // Counting is work too: a separation is never free, so every search ends.
        board.spent += 1 + rows as u64;
        let mut total = 0.0;
        self.depth.fill(0.0);
        self.clashing.fill(false);
        for i in 0..rows {
            let (class, at) = (self.classes[i], self.spots[i]);
            let (depths, clashing) = (&mut self.depth, &mut self.clashing);
            let (classes, spots) = (&self.classes, &self.spots);
            overlapping(self.raster.as_ref(), (self.low[i], self.high[i]), (&self.low, &self.high), |j| {
                if j > i {
                    let depth = board.parts.depth_mm(class, at, classes[j], spots[j]);
                    if depth > NONE_MM {
                        depths[i * all + j] = depth as f32;
                        clashing[i] = true;
                        if j < rows {
                            depths[j * all + i] = depth as f32;
                            clashing[j] = true;
                        }
                        total += depth;
                    }
                }
                true
            });
        }
        total
    }

    /// Weighted depth of a piece at a place; stops adding once past `limit`.
    fn loss(&self, board: &mut Board<'_>, i: usize, class: usize, at: Spot, limit: f64) -> f64 {
        board.spent += 1;
        let (low, high) = spread(board, class, at);
        let all = self.low.len();
        let weight = &self.weight[i * all..(i + 1) * all];
        let mut total = 0.0;
        overlapping(self.raster.as_ref(), (low, high), (&self.low, &self.high), |j| {
            if j == i {
                return true;
            }
            let depth = board.parts.depth_mm(self.classes[j], self.spots[j], class, at);
            if depth > NONE_MM {
                total += depth * f64::from(weight[j]);
            }
            total < limit
        });
        total
    }

    /// As `loss`, with the way out of each clash.
    fn clashes(&self, board: &mut Board<'_>, i: usize, class: usize, at: Spot, into: &mut Vec<Clash>) -> f64 {
        into.clear();
        board.spent += 2;
        let (low, high) = spread(board, class, at);
        let all = self.low.len();
        let mut total = 0.0;
        overlapping(self.raster.as_ref(), (low, high), (&self.low, &self.high), |j| {
            let found = if j == i { None } else { board.parts.depth(self.classes[j], self.spots[j], class, at) };
            if let Some(depth) = found.filter(|d| d.mm > NONE_MM) {
                let weighted = depth.mm * f64::from(self.weight[i * all + j]);
                total += weighted;
                into.push(Clash { weighted, out: depth.out });
            }
            true
        });
        into.sort_by(|a, b| b.weighted.total_cmp(&a.weighted));
        total
    }

    /// Moves pieces until none clash. On failure the least clashing state found stays.
    pub(crate) fn separate(&mut self, board: &mut Board<'_>, random: &mut Random, patience: Patience) -> bool {
        let end = board.spent.saturating_add(patience.budget);
        let mut total = self.count(board);
        let (mut best, mut kept) = (total, self.placed.clone());
        let mut idle = 0;
        while total > 0.0 {
            self.round(board, random);
            total = self.count(board);
            self.weigh();
            idle += 1;
            if total < best {
                if total < best * 0.98 {
                    idle = 0;
                }
                best = total;
                kept.clone_from(&self.placed);
            }
            if total > 0.0 && (idle > patience.rounds || board.spent > end) {
                let kept = std::mem::take(&mut kept);
                self.take(board, &kept);
                return false;
            }
        }
        true
    }

    /// One move for each piece that clashes, in random order.
    fn round(&mut self, board: &mut Board<'_>, random: &mut Random) {
        let mut turn: Vec<usize> = (0..self.placed.len()).filter(|i| self.clashing[*i]).collect();
        random.shuffle(&mut turn);
        for i in turn {
            self.move_one(board, random, i);
        }
    }

    /// Pairs that clash grow heavier, the deepest most; the others slowly forget.
    fn weigh(&mut self) {
        let deepest = self.depth.iter().copied().fold(0.0_f32, f32::max).max(1e-12);
        for ((weight, least), depth) in self.weight.iter_mut().zip(&self.least).zip(&self.depth) {
            *weight = if *depth > 0.0 {
                (*weight * (1.2 + 0.6 * depth / deepest)).min(1e8)
            } else {
                (*weight * 0.95).max(*least)
            };
        }
    }

    /// Takes one piece to the best place found.
    fn move_one(&mut self, board: &mut Board<'_>, random: &mut Random, i: usize) {
        let now = self.placed[i];
        let here = self.loss(board, i, now.class, now.at, f64::INFINITY);
        if here == 0.0 {
            return;
        }
        let mut starts = Starts::new(Trial { loss: here, to: now });
        let mut scratch = Vec::new();
        let by_bin = self.choose_bins(board, random, i);
        for bin in by_bin {
            let classes = board.classes_on(bin, self.design[i]);
            if classes.is_empty() {
                continue;
            }
            let turns = classes.len().min(4);
            for _ in 0..turns {
                let class = if classes.len() <= 4 && turns == classes.len() {
                    classes[random.below(classes.len())]
                } else if random.unit() < 0.3 && bin == now.bin {
                    now.class
                } else {
                    classes[random.below(classes.len())]
                };
                self.try_places(board, random, i, class, bin, &mut starts);
            }
        }
        let mut best = Trial { loss: here, to: now };
        for trial in starts.all {
            let refined = self.descend(board, i, trial, &mut scratch);
            if refined.loss < best.loss {
                best = refined;
            }
            if best.loss == 0.0 {
                break;
            }
        }
        if best.loss > 0.0 {
            best = self.feel(board, random, i, best);
        }
        self.put(board, i, best.to);
    }

    fn choose_bins(&self, board: &Board<'_>, random: &mut Random, i: usize) -> Vec<usize> {
        let own = self.placed[i].bin;
        if board.bins.len() == 1 || self.bound[i] {
            return vec![own];
        }
        let other = random.below(board.bins.len());
        if other == own { vec![own] } else { vec![own, other] }
    }

    /// Random places on a bin, some of them near where the piece lies.
    fn try_places(
        &self,
        board: &mut Board<'_>,
        random: &mut Random,
        i: usize,
        class: usize,
        bin: usize,
        starts: &mut Starts,
    ) {
        let Some((low, high)) = board.room(bin, class) else { return };
        let now = self.placed[i];
        let size = board.parts.classes[class].size();
        let (wide, beside) = (3, 12);
        let near = if bin == now.bin { 4 } else { 0 };
        // The middle stays where it is under another turn.
        let (old, new) = (&board.parts.classes[now.class], &board.parts.classes[class]);
        let middle = [0, 1].map(|k| now.at[k] + (old.low[k] + old.high[k] - new.low[k] - new.high[k]) / 2.0);
        for k in 0..wide + near + beside {
            let at = if k < wide {
                [random.between(low[0], high[0]), random.between(low[1], high[1])]
            } else if k < wide + near {
                let spread = 0.25 * size[0].min(size[1]);
                held([middle[0] + random.bell() * spread, middle[1] + random.bell() * spread], low, high)
            } else {
                let Some(at) = self.beside(board, random, class, bin) else { continue };
                held(at, low, high)
            };
            let loss = self.loss(board, i, class, at, starts.limit());
            starts.offer(Trial { loss, to: Placed { class, at, bin } });
        }
    }

    /// A place that touches some piece of the bin, corners rather often.
    fn beside(&self, board: &Board<'_>, random: &mut Random, class: usize, bin: usize) -> Option<Spot> {
        let other = self.placed.get(random.below(self.placed.len())).filter(|p| p.bin == bin)?;
        let along = if random.unit() < 0.5 { 0.0 } else { random.unit() };
        board.parts.touching(other.class, other.at, class, random.unit(), along)
    }

    /// Follows the ways out as long as they lead down.
    fn descend(&self, board: &mut Board<'_>, i: usize, start: Trial, clashes: &mut Vec<Clash>) -> Trial {
        let Some((low, high)) = board.room(start.to.bin, start.to.class) else { return start };
        let class = start.to.class;
        let mut best = start;
        best.loss = f64::INFINITY;
        for round in 0..12 {
            let loss = self.clashes(board, i, class, if round == 0 { start.to.at } else { best.to.at }, clashes);
            if round == 0 {
                best.loss = loss;
            }
            if loss == 0.0 {
                return best;
            }
            let from = best.to.at;
            let before = best.loss;
            for at in pushes(from, clashes) {
                let at = held(at, low, high);
                let loss = self.loss(board, i, class, at, best.loss);
                if loss < best.loss {
                    best = Trial { loss, to: Placed { at, ..best.to } };
                    if loss == 0.0 {
                        return best;
                    }
                }
            }
            if best.loss > before * 0.999 {
                break;
            }
        }
        best
    }

    /// Steps along random axes, longer after success, shorter after failure.
    fn feel(&self, board: &mut Board<'_>, random: &mut Random, i: usize, mut best: Trial) -> Trial {
        let Some((low, high)) = board.room(best.to.bin, best.to.class) else { return best };
        let class = best.to.class;
        let size = board.parts.classes[class].size();
        let mut step = 0.02 * size[0].min(size[1]);
        let least = step * 0.02;
        let mut tries = 0;
        while step > least && best.loss > 0.0 && tries < 24 {
            tries += 1;
            let direction = match random.below(3) {
                0 => [step, 0.0],
                1 => [0.0, step],
                _ => [step * 0.7, if random.unit() < 0.5 { step * 0.7 } else { -step * 0.7 }],
            };
            let mut better = false;
            for sign in [1.0, -1.0] {
                let at = held([best.to.at[0] + sign * direction[0], best.to.at[1] + sign * direction[1]], low, high);
                let loss = self.loss(board, i, class, at, best.loss);
                if loss < best.loss {
                    best = Trial { loss, to: Placed { at, ..best.to } };
                    better = true;
                    break;
                }
            }
            step *= if better { 1.1 } else { 0.6 };
        }
        best
    }
}

/// Up to so many pieces there is no raster.
const FEW: usize = 150;

/// A raster over the board, its cells about as large as a piece.
fn raster(board: &Board<'_>, pieces: usize) -> Option<Raster> {
    let far = board.bins.iter().fold([0.0_f64; 2], |far, b| [far[0].max(b.start + b.length), far[1].max(b.width)]);
    let size = |c: &Class| c.size()[0].max(c.size()[1]) + board.spacing;
    let classes = &board.parts.classes;
    let mean = classes.iter().map(size).sum::<f64>() / classes.len().max(1) as f64;
    (pieces > FEW).then(|| Raster::new(far, 0.7 * mean))
}

/// Calls for each box that overlaps this one, once, until the answer is no.
#[inline]
fn overlapping(
    raster: Option<&Raster>,
    (low, high): (Spot, Spot),
    (lows, highs): (&[Spot], &[Spot]),
    mut each: impl FnMut(usize) -> bool,
) {
    if let Some(raster) = raster {
        return raster.overlapping((low, high), (lows, highs), each);
    }
    for (at, (l, h)) in lows.iter().zip(highs).enumerate() {
        let apart = low[0] >= h[0] || high[0] <= l[0] || low[1] >= h[1] || high[1] <= l[1];
        if !apart && !each(at) {
            return;
        }
    }
}

/// Weights to begin with: the square root of both areas against the mean.
fn least_weights(board: &Board<'_>, placed: &[Placed]) -> Vec<f32> {
    let area = |p: &Placed| board.parts.area.get(board.parts.classes[p.class].shape).copied();
    let mean = placed.iter().filter_map(area).sum::<f64>() / placed.len().max(1) as f64;
    let factor = |p: &Placed| area(p).map_or(1.0, |a| (a / mean.max(1e-12)).sqrt().clamp(0.1, 10.0));
    let all: Vec<f64> = placed.iter().chain(&board.fixed).map(factor).collect();
    placed.iter().flat_map(|p| all.iter().map(move |f| (factor(p) * f) as f32)).collect()
}

/// A place and its loss.
#[derive(Debug, Clone, Copy)]
struct Trial {
    loss: f64,
    to: Placed,
}

/// The few best places to start from.
struct Starts {
    all: Vec<Trial>,
}

/// Places refined for each move.
const KEPT: usize = 3;

impl Starts {
    fn new(first: Trial) -> Self {
        Self { all: vec![first] }
    }

    /// Past this loss a place is of no use.
    fn limit(&self) -> f64 {
        if self.all.len() < KEPT { f64::INFINITY } else { self.all.last().map_or(f64::INFINITY, |t| t.loss) }
    }

    fn offer(&mut self, trial: Trial) {
        if trial.loss >= self.limit() {
            return;
        }
        let at = self.all.partition_point(|t| t.loss <= trial.loss);
        self.all.insert(at, trial);
        self.all.truncate(KEPT);
    }
}

/// Where the clashes push: out of each, out of the two worst at once, and their sum.
fn pushes(from: Spot, clashes: &[Clash]) -> Vec<Spot> {
    let mut all = Vec::with_capacity(8);
    let past = 1.0 + 1e-9;
    for c in clashes.iter().take(4) {
        let long = c.out[0].hypot(c.out[1]).max(1e-12);
        let past = past + 1e-9 / long;
        all.push([from[0] + c.out[0] * past, from[1] + c.out[1] * past]);
    }
    for a in 0..clashes.len().min(3) {
        for b in a + 1..clashes.len().min(3) {
            if let Some(out) = both(clashes[a].out, clashes[b].out) {
                all.push([from[0] + out[0] * past, from[1] + out[1] * past]);
            }
        }
    }
    if clashes.len() > 1 {
        let sum = clashes.iter().fold([0.0, 0.0], |s, c| [s[0] + c.out[0], s[1] + c.out[1]]);
        all.push([from[0] + sum[0], from[1] + sum[1]]);
        all.push([from[0] + sum[0] / 2.0, from[1] + sum[1] / 2.0]);
    }
    all
}

/// The shortest displacement that goes `a` far along a and `b` far along b.
fn both(a: Spot, b: Spot) -> Option<Spot> {
    let (aa, bb) = (a[0] * a[0] + a[1] * a[1], b[0] * b[0] + b[1] * b[1]);
    let det = a[0] * b[1] - a[1] * b[0];
    if det * det < 1e-4 * aa * bb || aa == 0.0 || bb == 0.0 {
        return None;
    }
    let out = [(aa * b[1] - bb * a[1]) / det, (bb * a[0] - aa * b[0]) / det];
    (out[0] * out[0] + out[1] * out[1] < 25.0 * (aa + bb)).then_some(out)
}

fn spread(board: &Board<'_>, class: usize, at: Spot) -> (Spot, Spot) {
    let c = &board.parts.classes[class];
    let half = board.spacing / 2.0;
    ([at[0] + c.low[0] - half, at[1] + c.low[1] - half], [at[0] + c.high[0] + half, at[1] + c.high[1] + half])
}

fn held(at: Spot, low: Spot, high: Spot) -> Spot {
    [at[0].max(low[0]).min(high[0]), at[1].max(low[1]).min(high[1])]
}
