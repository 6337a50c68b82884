//! Upright rectangles of pieces put together edge to edge into blocks as large as a sheet: labels,
//! cards and whatever else was cut from a sheet go back onto it without waste, which neither
//! filling nor separating finds.
//!
//! Each piece stands for the rectangle around it, grown by the spacing. Two blocks side by side make
//! a block when next to nothing is lost between them. Blocks of few pieces come first; of each number
//! of pieces only so many are kept, the least wasteful ones. Hardly any edges match by chance, so few
//! blocks stand for all ways of filling a sheet exactly (building from below: P. Y. Wang, "Two
//! algorithms for constrained two-dimensional cutting stock problems", Operations Research 31(3),
//! 1983).

use std::collections::HashSet;

use crate::answer::{Answer, Context};
use crate::board::{Board, Placed, Spot};
use crate::first::pieces;
use crate::random::Random;
use crate::stock_sets::Target;

/// Up to so many pieces blocks are built.
const MOST_PIECES: u32 = 400;
/// How far edges may differ that count as alike, mm.
const ALIKE_MM: f64 = 1e-3;
/// Pairs of blocks that take about as long as one evaluated position.
const LOOKS: u64 = 8;
/// Spent at most in the first round; twice as much in each next one.
const BUDGET: u64 = 40_000;
/// Blocks kept in all, for memory's sake.
const MOST_BLOCKS: usize = 200_000;
/// Ways of taking a block for each sheet looked at.
const MOST_WAYS: u64 = 20_000;
/// Blocks for one sheet that are weighed against each other.
const MOST_FOR_SHEET: usize = 600;
/// A hair by which a block may be wider than its sheet, mm.
const HAIR_MM: f64 = 1e-9;

/// How blocks are built.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Terms {
    /// Share of a block that may be lost.
    waste: f64,
    /// Blocks kept of each number of pieces.
    kept: usize,
    /// Evaluated positions' worth of work.
    budget: u64,
}

/// Sets of stock that blocks may be laid on: with room for the pieces' rectangles, nothing fixed on
/// the sheets and the same turns allowed on each.
pub(crate) struct Suiting<'t> {
    targets: Vec<&'t Target>,
    bins: Vec<(usize, f64)>,
    /// The largest share that any set leaves free.
    slack: f64,
}

/// What building blocks came to.
pub(crate) struct Tried {
    pub(crate) found: Option<Answer>,
    /// In evaluated positions, as the rest of the search counts.
    pub(crate) spent: u64,
    /// Whether no block was left out for the budget or the number kept.
    pub(crate) whole: bool,
}

impl<'t> Suiting<'t> {
    /// Those among some sets; `None` when there is none.
    pub(crate) fn of(context: &Context<'_>, open: &'t [Target]) -> Option<Self> {
        if context.groups.any() || pieces(context) > MOST_PIECES {
            return None;
        }
        let mut suiting = Self { targets: Vec::new(), bins: Vec::new(), slack: 0.0 };
        for target in open {
            let bins: Vec<(usize, f64)> = suiting.bins.iter().chain(&target.bins).copied().collect();
            let board = context.board(&bins);
            let alike = board.bins.iter().all(|bin| bin.allowed == board.bins[0].allowed);
            let density = rectangle_density(context, &target.bins);
            if alike && board.fixed.is_empty() && density <= 1.0 + 1e-9 {
                suiting.bins = bins;
                suiting.targets.push(target);
                suiting.slack = suiting.slack.max(1.0 - density);
            }
        }
        (!suiting.targets.is_empty()).then_some(suiting)
    }

    /// How blocks are built in a round.
    pub(crate) fn terms(&self, round: u32, without_waste: bool, random: &mut Random) -> Terms {
        let budget = BUDGET << round.min(12);
        if without_waste {
            return Terms { waste: 0.0, kept: 4000 << (round / 2).min(4), budget };
        }
        Terms { waste: self.slack * random.between(0.2, 1.0), kept: 40 << (round / 2).min(6), budget }
    }

    /// Builds blocks and fills each set with them; the cheapest answer. With less effort left than the
    /// terms ask for there is none, for what half the blocks find the whole of them may miss.
    pub(crate) fn try_blocks(&self, context: &Context<'_>, terms: Terms, left: u64, random: &mut Random) -> Tried {
        let mut blocks = Blocks::build(context, &self.bins, Terms { budget: terms.budget.min(left), ..terms }, random);
        let cut_short = blocks.spent() >= left && left < terms.budget;
        let mut found: Option<Answer> = None;
        for target in self.targets.iter().filter(|_| !cut_short) {
            let answer = blocks.assemble(context, &target.bins);
            found = found.into_iter().chain(answer).min_by_key(|a| a.cost);
        }
        Tried { found, spent: blocks.spent(), whole: blocks.whole }
    }
}

/// Share of some sheets that the pieces' rectangles would take at least.
fn rectangle_density(context: &Context<'_>, bins: &[(usize, f64)]) -> f64 {
    let board = context.board_free(bins);
    let gap = board.spacing;
    let room: f64 = board.bins.iter().map(|b| (b.length + gap) * (b.width + gap)).sum();
    let least = |design: usize| {
        let sizes = context.parts.of_design[design].iter().map(|c| grown(&board, *c));
        sizes.map(|size| size[0] * size[1]).fold(f64::INFINITY, f64::min)
    };
    let wanted = (0..context.wanted.len()).filter(|d| context.wanted[*d] > 0);
    wanted.map(|d| least(d) * f64::from(context.wanted[d])).sum::<f64>() / room.max(1e-9)
}

/// The rectangle of a class with its spacing.
fn grown(board: &Board<'_>, class: usize) -> Spot {
    board.parts.classes[class].size().map(|side| side + board.spacing)
}

#[derive(Debug, Clone, Copy)]
enum Made {
    /// One piece, as a class.
    Piece(usize),
    /// Two blocks, one after the other along x or y.
    Joined(usize, usize, usize),
}

/// Pieces in a rectangle.
#[derive(Debug, Clone)]
struct Block {
    made: Made,
    size: Spot,
    /// Area of the pieces' own rectangles, mm².
    filled: f64,
    /// Pieces of each design.
    counts: Vec<u16>,
    /// A number that stands for the counts.
    mark: u64,
}

impl Block {
    fn waste(&self) -> f64 {
        1.0 - self.filled / (self.size[0] * self.size[1])
    }

    fn fits(&self, room: Spot) -> bool {
        self.size[0] <= room[0] + HAIR_MM && self.size[1] <= room[1] + HAIR_MM
    }
}

/// Blocks being built, by number of pieces.
struct Blocks {
    all: Vec<Block>,
    /// Blocks of each number of pieces, by their size along x and along y.
    levels: Vec<[Vec<usize>; 2]>,
    wanted: Vec<u16>,
    /// Area of all rectangles wanted, mm².
    area: f64,
    /// Largest size that a block may have.
    most: Spot,
    terms: Terms,
    /// Pairs of blocks and ways of taking them looked at.
    looks: u64,
    whole: bool,
}

impl Blocks {
    /// Blocks of the pieces still wanted, no larger than the largest of some sheets.
    fn build(context: &Context<'_>, bins: &[(usize, f64)], terms: Terms, random: &mut Random) -> Self {
        let board = context.board_free(bins);
        let most = board.bins.iter().fold([0.0_f64; 2], |most, bin| {
            [most[0].max(bin.length + board.spacing), most[1].max(bin.width + board.spacing)]
        });
        let wanted = context.wanted.iter().map(|n| (*n).min(MOST_PIECES) as u16).collect();
        let (all, levels) = (Vec::new(), vec![[Vec::new(), Vec::new()]]);
        let mut blocks = Self { all, levels, wanted, area: 0.0, most, terms, looks: 0, whole: true };
        blocks.single(&board);
        let count = pieces(context) as usize;
        blocks.terms.kept = terms.kept.min(MOST_BLOCKS / count.max(1));
        for count in 2..=count {
            if blocks.spent_all() {
                blocks.whole = false;
                break;
            }
            blocks.level(count, random);
        }
        blocks
    }

    fn spent(&self) -> u64 {
        self.looks / LOOKS
    }

    fn spent_all(&self) -> bool {
        self.spent() >= self.terms.budget
    }

    /// One piece of each design in each direction; of turns by any angle those of the smallest rectangle.
    fn single(&mut self, board: &Board<'_>) {
        let mut marks = Random::new(0, 0);
        for design in 0..self.wanted.len() {
            let mark = marks.next();
            let allowed = |c: &usize| board.bins.iter().any(|bin| bin.allowed[*c]);
            let classes: Vec<usize> = board.parts.of_design[design].iter().copied().filter(allowed).collect();
            let area = |class: usize| grown(board, class)[0] * grown(board, class)[1];
            let least = classes.iter().map(|c| area(*c)).fold(f64::INFINITY, f64::min);
            if self.wanted[design] == 0 || classes.is_empty() {
                continue;
            }
            self.area += least * f64::from(self.wanted[design]);
            let mut seen: Vec<Spot> = Vec::new();
            for class in classes.into_iter().filter(|c| area(*c) <= least * 1.001) {
                let size = grown(board, class);
                let mut counts = vec![0; self.wanted.len()];
                counts[design] = 1;
                let block = Block { made: Made::Piece(class), size, filled: size[0] * size[1], counts, mark };
                let known = seen.iter().any(|s| (0..2).all(|axis| (s[axis] - size[axis]).abs() < ALIKE_MM));
                if !known && block.fits(self.most) {
                    seen.push(size);
                    self.all.push(block);
                }
            }
        }
        self.close_level(0);
    }

    /// The blocks from `start` on become a level.
    fn close_level(&mut self, start: usize) {
        let by = |axis: usize| {
            let mut level: Vec<usize> = (start..self.all.len()).collect();
            let side = |b: &usize| self.all[*b].size[axis];
            level.sort_by(|a, b| side(a).total_cmp(&side(b)).then(a.cmp(b)));
            level
        };
        let level = [by(0), by(1)];
        self.levels.push(level);
    }

    /// Blocks of so many pieces, of two smaller ones each.
    fn level(&mut self, count: usize, random: &mut Random) {
        let mut found: Vec<Block> = Vec::new();
        let mut seen: HashSet<(u64, [i64; 2])> = HashSet::new();
        'all: for few in 1..=count / 2 {
            for along in 0..2 {
                let across = 1 - along;
                let edge = |b: &usize| self.all[*b].size[across];
                let seconds = &self.levels[count - few][across];
                for first in &self.levels[few][across] {
                    let long = edge(first);
                    let off = ALIKE_MM + 4.0 * self.terms.waste * long;
                    let from = seconds.partition_point(|b| edge(b) < long - off);
                    self.looks += 1;
                    for second in seconds[from..].iter().take_while(|b| edge(b) <= long + off) {
                        self.looks += 1;
                        if self.spent_all() || found.len() >= 8 * self.terms.kept {
                            self.whole = false;
                            break 'all;
                        }
                        let Some(block) = self.joined(*first, *second, along) else { continue };
                        if seen.insert((block.mark, block.size.map(|side| (side * 1000.0).round() as i64))) {
                            found.push(block);
                        }
                    }
                }
            }
        }
        if found.len() > self.terms.kept {
            self.whole = false;
            let stir = 1e-6 + 0.2 * self.terms.waste;
            let mut keyed: Vec<(f64, Block)> =
                found.into_iter().map(|b| (b.waste() + stir * random.unit(), b)).collect();
            keyed.sort_by(|a, b| a.0.total_cmp(&b.0));
            keyed.truncate(self.terms.kept);
            found = keyed.into_iter().map(|(_, block)| block).collect();
        }
        let start = self.all.len();
        self.all.extend(found);
        self.close_level(start);
    }

    /// Two blocks as one, if there are so many pieces, some sheet is as large and little is lost.
    fn joined(&self, a: usize, b: usize, along: usize) -> Option<Block> {
        let (first, second) = (&self.all[a], &self.all[b]);
        let across = 1 - along;
        let mut size = [0.0; 2];
        size[along] = first.size[along] + second.size[along];
        size[across] = first.size[across].max(second.size[across]);
        let filled = first.filled + second.filled;
        let alike = (first.size[across] - second.size[across]).abs() <= ALIKE_MM;
        let mark = first.mark.wrapping_add(second.mark);
        let mut block = Block { made: Made::Joined(a, b, along), size, filled, counts: Vec::new(), mark };
        if !block.fits(self.most) || !alike && block.waste() > self.terms.waste {
            return None;
        }
        let counts = || first.counts.iter().zip(&second.counts).map(|(a, b)| a + b);
        if counts().zip(&self.wanted).any(|(have, wanted)| have > *wanted) {
            return None;
        }
        block.counts = counts().collect();
        Some(block)
    }

    /// Blocks that fit a rectangle, the fullest first.
    fn fitting(&self, room: Spot) -> Vec<usize> {
        let mut found: Vec<usize> = (0..self.all.len()).filter(|b| self.all[*b].fits(room)).collect();
        found.sort_by(|a, b| self.all[*b].filled.total_cmp(&self.all[*a].filled).then(a.cmp(b)));
        found.truncate(MOST_FOR_SHEET);
        found
    }

    /// A block for every sheet of a set, so that together they hold every piece.
    fn assemble(&mut self, context: &Context<'_>, bins: &[(usize, f64)]) -> Option<Answer> {
        let board = context.board_free(bins);
        let room = |bin: usize| [board.bins[bin].length + board.spacing, board.bins[bin].width + board.spacing];
        let mut order: Vec<usize> = (0..bins.len()).collect();
        order.sort_by(|a, b| {
            let area = |bin: usize| room(bin)[0] * room(bin)[1];
            area(*b).total_cmp(&area(*a)).then(a.cmp(b))
        });
        let rooms: Vec<Spot> = order.iter().map(|bin| room(*bin)).collect();
        let mut fitting: Vec<Vec<usize>> = Vec::new();
        for (at, room) in rooms.iter().enumerate() {
            let same = rooms[..at].iter().position(|other| other == room);
            fitting.push(same.map_or_else(|| self.fitting(*room), |same| fitting[same].clone()));
        }
        let mut later = vec![0.0; rooms.len() + 1];
        for at in (0..rooms.len()).rev() {
            later[at] = later[at + 1] + fitting[at].first().map_or(0.0, |b| self.all[*b].filled);
        }
        let mut choice =
            Choice { blocks: self, fitting: &fitting, rooms: &rooms, later: &later, ways: 0, taken: Vec::new() };
        let found = choice.complete(&self.wanted, self.area);
        let (taken, ways) = (choice.taken, choice.ways);
        self.looks += ways;
        if !found {
            return None;
        }
        let mut placed = Vec::new();
        for (block, bin) in taken.into_iter().zip(order) {
            self.lay(&board, bin, block, &mut placed);
        }
        Some(context.answer(&board, &placed))
    }

    /// The pieces of a block in the corner of a sheet.
    fn lay(&self, board: &Board<'_>, bin: usize, block: usize, into: &mut Vec<Placed>) {
        let mut open = vec![(block, [board.bins[bin].start, 0.0])];
        while let Some((block, at)) = open.pop() {
            match self.all[block].made {
                Made::Piece(class) => {
                    let low = board.parts.classes[class].low;
                    into.push(Placed { class, at: [at[0] - low[0], at[1] - low[1]], bin });
                }
                Made::Joined(first, second, along) => {
                    let mut next = at;
                    next[along] += self.all[first].size[along];
                    open.push((second, next));
                    open.push((first, at));
                }
            }
        }
    }
}

/// The search for one block a sheet.
struct Choice<'b> {
    blocks: &'b Blocks,
    /// Blocks for each sheet, the fullest first.
    fitting: &'b [Vec<usize>],
    rooms: &'b [Spot],
    /// The most that the sheets from each place on may take.
    later: &'b [f64],
    ways: u64,
    taken: Vec<usize>,
}

impl Choice<'_> {
    /// Whether blocks for the sheets not yet filled hold exactly the pieces left, of so much area.
    fn complete(&mut self, left: &[u16], area: f64) -> bool {
        if left.iter().all(|n| *n == 0) {
            return true;
        }
        let at = self.taken.len();
        let too_much = |area: f64, room: f64| area > room * (1.0 + 1e-9) + 1e-6;
        if at == self.fitting.len() {
            return false;
        }
        // Sheets alike are filled in order.
        let alike = at > 0 && self.rooms[at] == self.rooms[at - 1];
        let last = self.taken.last().filter(|_| alike).and_then(|last| self.fitting[at].iter().position(|b| b == last));
        for place in last.unwrap_or(0)..self.fitting[at].len() {
            let block = self.fitting[at][place];
            let b = &self.blocks.all[block];
            self.ways += 1;
            // No later block leaves less over.
            if too_much(area - b.filled, self.later[at + 1]) || self.ways > MOST_WAYS {
                return false;
            }
            if b.counts.iter().zip(left).any(|(have, left)| have > left) {
                continue;
            }
            let rest: Vec<u16> = left.iter().zip(&b.counts).map(|(left, have)| left - have).collect();
            self.taken.push(block);
            if self.complete(&rest, area - b.filled) {
                return true;
            }
            self.taken.pop();
        }
        false
    }
}
