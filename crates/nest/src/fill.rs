//! Left-fill: each piece in turn goes where its right end lies farthest left,
//! holes and bays of pieces already placed included.
//!
//! For each turn of a design a set of heights is scanned. Free space only
//! shrinks, so the leftmost place at a height never moves left again: it is
//! kept as a bound and worked out anew only when it would win (lazy greedy).

use crate::board::{Bin, Board, Placed, Spot};
use crate::random::Random;

/// Heights scanned for each turn of a design.
const HEIGHTS: usize = 24;
/// Heights added where pieces touch, for each turn.
const MOST_HEIGHTS: usize = 160;

/// One turn of a design at one height on one bin.
#[derive(Debug, Clone, Copy)]
struct Scan {
    class: usize,
    y: f64,
    /// No place farther left than this.
    bound: f64,
    /// Added to it before places are compared.
    bias: f64,
}

/// What is added to a class's place before places are compared: its reach to
/// the right makes right ends count, nothing makes left starts count.
pub(crate) type Bias = Vec<f64>;

/// Right ends count: the usual left-fill.
pub(crate) fn right_ends(board: &Board<'_>) -> Bias {
    board.parts.classes.iter().map(|c| c.high[0]).collect()
}

/// Left starts count, long pieces rather than short ones.
pub(crate) fn left_starts(board: &Board<'_>) -> Bias {
    board.parts.classes.iter().map(|c| c.low[0] - 1e-3 * c.size()[0]).collect()
}

/// Somewhere between, each turn favoured at random.
pub(crate) fn mixed(board: &Board<'_>, random: &mut Random) -> Bias {
    board.parts.classes.iter().map(|c| c.low[0] + c.size()[0] * random.between(-0.2, 1.2)).collect()
}

/// Fills one bin piece by piece.
pub(crate) struct Filler<'b, 'a> {
    board: &'b mut Board<'a>,
    bin: usize,
    /// All that lies on the bin, fixed things included.
    on: Vec<Placed>,
    ends: Vec<Ends>,
    scans: Vec<Vec<Scan>>,
    stretches: Vec<(f64, f64)>,
    scratch: Vec<f64>,
    exact: bool,
    bias: Bias,
}

/// Upright bounds of something placed.
#[derive(Debug, Clone, Copy)]
struct Ends {
    low: Spot,
    high: Spot,
    class: usize,
}

impl<'b, 'a> Filler<'b, 'a> {
    /// Starts on a bin with what is fixed and already placed there. `exact`
    /// also scans heights at which pieces touch.
    pub(crate) fn new(board: &'b mut Board<'a>, bin: usize, placed: &[Placed], exact: bool, bias: &Bias) -> Self {
        let designs = board.parts.of_design.len();
        let on: Vec<Placed> = board.fixed.iter().chain(placed).filter(|p| p.bin == bin).copied().collect();
        let ends = on.iter().map(|p| ends(board, p)).collect();
        Self {
            board,
            bin,
            on,
            ends,
            scans: vec![Vec::new(); designs],
            stretches: Vec::new(),
            scratch: Vec::new(),
            exact,
            bias: bias.clone(),
        }
    }

    /// Places one copy of a design; `None` when the bin has no room for it.
    pub(crate) fn place(&mut self, design: usize) -> Option<Placed> {
        if self.scans[design].is_empty() {
            self.scans[design] = self.first_scans(design);
        }
        let (class, spot) = loop {
            let best = self.best_scan(design)?;
            let scan = self.scans[design][best];
            match self.leftmost(&scan) {
                Some(x) if x <= scan.bound => break (scan.class, [x, scan.y]),
                Some(x) => self.scans[design][best].bound = x,
                None => self.scans[design][best].bound = f64::INFINITY,
            }
        };
        let spot = self.settled(class, spot);
        let placed = Placed { class, at: spot, bin: self.bin };
        let end = ends(self.board, &placed);
        self.on.push(placed);
        self.ends.push(end);
        if self.exact {
            self.touch_heights(&end);
        }
        Some(placed)
    }

    fn first_scans(&self, design: usize) -> Vec<Scan> {
        let mut scans = Vec::new();
        for class in self.board.classes_on(self.bin, design) {
            let Some((low, high)) = self.board.room(self.bin, class) else { continue };
            let bias = self.bias[class];
            let steps = if high[1] - low[1] > 1e-9 { HEIGHTS } else { 1 };
            for k in 0..steps {
                let y = if steps == 1 { low[1] } else { low[1] + (high[1] - low[1]) * k as f64 / (steps - 1) as f64 };
                scans.push(Scan { class, y, bound: low[0], bias });
            }
        }
        if self.exact {
            let known: Vec<Ends> = self.ends.clone();
            for end in known {
                self.add_touching(&mut scans, &end);
            }
        }
        scans
    }

    /// Heights at which each scanned turn would lie on or under what was placed.
    fn touch_heights(&mut self, end: &Ends) {
        for design in 0..self.scans.len() {
            let mut scans = std::mem::take(&mut self.scans[design]);
            if !scans.is_empty() {
                self.add_touching(&mut scans, end);
            }
            self.scans[design] = scans;
        }
    }

    fn add_touching(&self, scans: &mut Vec<Scan>, end: &Ends) {
        let gap = self.board.spacing;
        let mut classes: Vec<usize> = scans.iter().map(|s| s.class).collect();
        classes.dedup();
        classes.sort_unstable();
        classes.dedup();
        for class in classes {
            let Some((low, high)) = self.board.room(self.bin, class) else { continue };
            if scans.iter().filter(|s| s.class == class).count() >= MOST_HEIGHTS {
                continue;
            }
            let c = &self.board.parts.classes[class];
            let other = &self.board.parts.classes[end.class];
            let mut heights = vec![end.high[1] + gap - c.low[1], end.low[1] - gap - c.high[1], end.low[1] - c.low[1]];
            let shift = end.low[1] - other.low[1];
            heights.extend(other.holes.iter().map(|hole| shift + hole[0] + gap - c.low[1]));
            for y in heights {
                let known = scans.iter().any(|s| s.class == class && (s.y - y).abs() < 1e-9);
                if y >= low[1] && y <= high[1] && !known {
                    scans.push(Scan { class, y, bound: low[0], bias: self.bias[class] });
                }
            }
        }
    }

    fn best_scan(&self, design: usize) -> Option<usize> {
        let scans = &self.scans[design];
        (0..scans.len())
            .filter(|k| scans[*k].bound.is_finite())
            .min_by(|a, b| (scans[*a].bound + scans[*a].bias).total_cmp(&(scans[*b].bound + scans[*b].bias)))
    }

    /// The leftmost free place at the scan's height, from its bound on.
    fn leftmost(&mut self, scan: &Scan) -> Option<f64> {
        let (_, high) = self.board.room(self.bin, scan.class)?;
        let x = self.first_free(scan.class, [scan.bound, scan.y], [1.0, 0.0])?;
        (x <= high[0] + 1e-9).then(|| x.min(high[0]).max(scan.bound))
    }

    /// The first t ≥ 0 with `from` + t·`along` free, as the coordinate it runs along.
    fn first_free(&mut self, class: usize, from: Spot, along: Spot) -> Option<f64> {
        self.gather(class, from, along);
        self.stretches.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let mut t = 0.0_f64;
        for (start, end) in &self.stretches {
            if *start > t {
                break;
            }
            if *end > t {
                t = end + 1e-10;
            }
        }
        let axis = usize::from(along[0] == 0.0);
        Some(from[axis] + t * along[axis])
    }

    /// How far the piece can go from a free place along the line before it meets something.
    fn slide(&mut self, class: usize, from: Spot, along: Spot, most: f64) -> f64 {
        self.gather(class, from, along);
        let first = self.stretches.iter().filter(|(_, end)| *end > 0.0).map(|s| s.0).fold(f64::INFINITY, f64::min);
        (first - 1e-10).clamp(0.0, most.max(0.0))
    }

    fn gather(&mut self, class: usize, from: Spot, along: Spot) {
        self.stretches.clear();
        let c = &self.board.parts.classes[class];
        let gap = self.board.spacing;
        let across = usize::from(along[0] != 0.0);
        let axis = 1 - across;
        let (low, high) = (from[across] + c.low[across] - gap, from[across] + c.high[across] + gap);
        for (placed, end) in self.on.iter().zip(&self.ends) {
            if end.low[across] >= high || end.high[across] <= low {
                continue;
            }
            let behind = if along[axis] > 0.0 {
                end.high[axis] + gap <= from[axis] + c.low[axis]
            } else {
                end.low[axis] - gap >= from[axis] + c.high[axis]
            };
            if behind {
                continue;
            }
            self.board.spent += 1;
            self.board.parts.stretches(
                (placed.class, placed.at),
                (class, from),
                along,
                &mut self.scratch,
                &mut self.stretches,
            );
        }
    }

    /// Slid down and left until it rests.
    fn settled(&mut self, class: usize, mut spot: Spot) -> Spot {
        let Some((low, _)) = self.board.room(self.bin, class) else { return spot };
        for _ in 0..3 {
            let before = spot;
            spot[1] -= self.slide(class, spot, [0.0, -1.0], spot[1] - low[1]);
            spot[0] -= self.slide(class, spot, [-1.0, 0.0], spot[0] - low[0]);
            if before == spot {
                break;
            }
        }
        spot
    }
}

fn ends(board: &Board<'_>, p: &Placed) -> Ends {
    let c = &board.parts.classes[p.class];
    Ends {
        low: [p.at[0] + c.low[0], p.at[1] + c.low[1]],
        high: [p.at[0] + c.high[0], p.at[1] + c.high[1]],
        class: p.class,
    }
}

/// Fills bins one after the other with pieces in the given order; returns each
/// piece's place, `None` where none was found.
pub(crate) fn fill(
    board: &mut Board<'_>,
    order: &[usize],
    groups: &Groups,
    exact: bool,
    bias: &Bias,
) -> Vec<Option<Placed>> {
    let mut result: Vec<Option<Placed>> = vec![None; order.len()];
    let mut rules = groups.start(board);
    for bin in 0..board.bins.len() {
        let mut full = vec![false; board.parts.of_design.len()];
        let mut filler = Filler::new(board, bin, &[], exact, bias);
        for (at, design) in order.iter().enumerate() {
            if result[at].is_some() || full[*design] || !rules.allows(*design, bin) {
                continue;
            }
            match filler.place(*design) {
                Some(placed) => {
                    rules.took(*design, bin);
                    result[at] = Some(placed);
                }
                None => full[*design] = true,
            }
        }
    }
    result
}

/// Which designs must share a bin and which must not.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Groups {
    /// Group number of each design, when it has one.
    pub(crate) together: Vec<Option<usize>>,
    pub(crate) apart: Vec<Option<usize>>,
}

/// Groups and where they already lie.
pub(crate) struct Rules<'g> {
    groups: &'g Groups,
    home: Vec<Option<usize>>,
    /// For each bin the design of each apart-group that lies there.
    holder: Vec<Vec<Option<usize>>>,
}

impl Groups {
    /// Whether there is any rule.
    pub(crate) fn any(&self) -> bool {
        self.together.iter().chain(&self.apart).any(Option::is_some)
    }

    /// Whether a design is bound by a rule.
    pub(crate) fn binds(&self, design: usize) -> bool {
        self.together[design].is_some() || self.apart[design].is_some()
    }

    /// With what is fixed on the board already noted.
    pub(crate) fn start(&self, board: &Board<'_>) -> Rules<'_> {
        let most = |of: &[Option<usize>]| of.iter().flatten().max().map_or(0, |m| m + 1);
        let mut rules = Rules {
            groups: self,
            home: vec![None; most(&self.together)],
            holder: vec![vec![None; most(&self.apart)]; board.bins.len()],
        };
        for p in &board.fixed {
            let shape = board.parts.classes[p.class].shape;
            if shape < self.together.len() {
                rules.took(shape, p.bin);
            }
        }
        rules
    }
}

impl Rules<'_> {
    /// Whether the design may lie on the bin.
    pub(crate) fn allows(&self, design: usize, bin: usize) -> bool {
        let home = self.groups.together[design].and_then(|g| self.home[g]);
        let holder = self.groups.apart[design].and_then(|g| self.holder[bin][g]);
        home.is_none_or(|h| h == bin) && holder.is_none_or(|h| h == design)
    }

    /// Notes that it does.
    pub(crate) fn took(&mut self, design: usize, bin: usize) {
        if let Some(g) = self.groups.together[design] {
            self.home[g] = Some(bin);
        }
        if let Some(g) = self.groups.apart[design] {
            self.holder[bin][g] = Some(design);
        }
    }
}

/// A bin beside the others.
pub(crate) fn bin_at(bins: &[Bin], gap: f64) -> f64 {
    bins.last().map_or(0.0, |b| b.start + b.length + gap)
}
