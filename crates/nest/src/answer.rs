//! Answers as the search keeps them, and the way to and from layouts.

use geometry::Outline;
use std::sync::Arc;

use crate::board::{Bin, Board, Placed, Spot};
use crate::fill::{Groups, bin_at};
use crate::instance::{Instance, Layout, Piece, Sheet, StockKind};
use crate::pair_book::PairBook;
use crate::parts::{Detail, Parts, direction_allows};
use crate::price::set_prices;

/// One sheet with its pieces, in its own frame.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Filled {
    pub(crate) stock: usize,
    /// Class and place of each; locked pieces are not among them.
    pub(crate) items: Vec<(usize, Spot)>,
    /// More than ordered.
    pub(crate) spares: Vec<(usize, Spot)>,
}

/// Sheets with pieces, what is left over and what it costs.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Answer {
    pub(crate) sheets: Vec<Filled>,
    /// Pieces without a place, by design.
    pub(crate) left: Vec<u32>,
    pub(crate) cost: i64,
    /// Sum of used lengths, mm: tells equally dear answers apart.
    pub(crate) used: f64,
}

impl Answer {
    /// Pieces without a place.
    pub(crate) fn missing(&self) -> u64 {
        self.left.iter().map(|n| u64::from(*n)).sum()
    }
}

/// All that stays the same during a search.
pub(crate) struct Context<'i> {
    pub(crate) instance: &'i Instance,
    pub(crate) parts: Arc<Parts>,
    pub(crate) groups: Groups,
    /// Obstacle classes of each stock item.
    zones: Vec<Vec<usize>>,
    /// Classes allowed on each stock item.
    allowed: Vec<Vec<bool>>,
    /// Copies of each design still to be placed.
    pub(crate) wanted: Vec<u32>,
    /// Locked pieces of each of the first sheets, with the stock item.
    pub(crate) locked: Vec<(usize, Vec<Placed>)>,
}

impl<'i> Context<'i> {
    /// Prepares shapes and pairs.
    pub(crate) fn new(instance: &'i Instance, detail: Detail, book: &PairBook) -> Self {
        let zones: Vec<&Outline> = instance.stock.iter().flat_map(|s| &s.forbidden).collect();
        let obstacles: Vec<Outline> = zones.into_iter().cloned().collect();
        let mut extra = vec![Vec::new(); instance.designs.len()];
        for lock in &instance.locked {
            extra[lock.piece.design].push(lock.piece.rotation_deg.rem_euclid(360.0));
        }
        let parts = book.parts(instance, detail, &extra, &obstacles);
        let mut at = 0;
        let zones = instance
            .stock
            .iter()
            .map(|s| {
                at += s.forbidden.len();
                parts.of_obstacle[at - s.forbidden.len()..at].to_vec()
            })
            .collect();
        let allowed = instance
            .stock
            .iter()
            .map(|s| {
                parts
                    .classes
                    .iter()
                    .map(|c| direction_allows(s.direction, c.turn_deg) && design_allows(instance, c.shape, c.turn_deg))
                    .collect()
            })
            .collect();
        let number = |name: fn(&crate::Design) -> &Option<String>| {
            let mut names: Vec<&String> = instance.designs.iter().filter_map(|d| name(d).as_ref()).collect();
            names.sort();
            names.dedup();
            instance.designs.iter().map(|d| name(d).as_ref().and_then(|n| names.iter().position(|m| *m == n))).collect()
        };
        let groups = Groups { together: number(|d| &d.keep_together), apart: number(|d| &d.keep_apart) };
        let mut wanted: Vec<u32> = instance.designs.iter().map(|d| d.quantity).collect();
        let mut context = Self { instance, parts, groups, zones, allowed, wanted: Vec::new(), locked: Vec::new() };
        context.note_locks();
        for lock in instance.locked.iter().filter(|l| !l.piece.spare) {
            wanted[lock.piece.design] = wanted[lock.piece.design].saturating_sub(1);
        }
        context.wanted = wanted;
        context
    }

    fn note_locks(&mut self) {
        let sheets = self.instance.locked.iter().map(|l| l.sheet + 1).max().unwrap_or(0);
        for at in 0..sheets {
            let of: Vec<_> = self.instance.locked.iter().filter(|l| l.sheet == at).collect();
            let Some(stock) = of.first().map(|l| l.stock) else { continue };
            let placed = of
                .iter()
                .filter_map(|l| {
                    let turn = l.piece.rotation_deg.rem_euclid(360.0);
                    let class = self.parts.class_turned(l.piece.design, turn)?;
                    Some(Placed { class, at: [l.piece.x_mm, l.piece.y_mm], bin: at })
                })
                .collect();
            self.locked.push((stock, placed));
        }
    }

    /// A board of the given sheets; the first ones hold the locked pieces.
    pub(crate) fn board(&self, bins: &[(usize, f64)]) -> Board<'_> {
        let mut board = self.board_free(bins);
        for (at, (_, locked)) in self.locked.iter().enumerate().take(board.bins.len()) {
            let start = board.bins[at].start;
            board.fixed.extend(locked.iter().map(|p| Placed { at: [p.at[0] + start, p.at[1]], bin: at, ..*p }));
        }
        board
    }

    /// A board of one locked sheet.
    pub(crate) fn board_of_lock(&self, at: usize) -> Board<'_> {
        let (stock, locked) = &self.locked[at];
        let mut board = self.board_free(&[(*stock, self.length(*stock))]);
        board.fixed.extend(locked.iter().map(|p| Placed { bin: 0, ..*p }));
        board
    }

    /// A board of the given sheets without locked pieces.
    pub(crate) fn board_free(&self, bins: &[(usize, f64)]) -> Board<'_> {
        let spacing = self.instance.spacing_mm;
        let mut board = Board { parts: &self.parts, bins: Vec::new(), fixed: Vec::new(), spacing, spent: 0 };
        for (at, (stock, length)) in bins.iter().enumerate() {
            let start = bin_at(&board.bins, spacing + 10.0);
            let (_, width) = self.instance.stock[*stock].usable();
            let allowed = self.allowed[*stock].clone();
            board.bins.push(Bin { stock: *stock, start, length: *length, width, allowed });
            for class in &self.zones[*stock] {
                board.fixed.push(Placed { class: *class, at: [start, 0.0], bin: at });
            }
        }
        board
    }

    /// The longest usable length of a stock item, mm.
    pub(crate) fn length(&self, stock: usize) -> f64 {
        self.instance.stock[stock].usable().0
    }

    /// Sheets that hold locked pieces, as bins.
    pub(crate) fn locked_bins(&self) -> Vec<(usize, f64)> {
        self.locked.iter().map(|(stock, _)| (*stock, self.length(*stock))).collect()
    }

    /// Whether a design has a place on any stock item.
    pub(crate) fn fits_anywhere(&self, design: usize) -> bool {
        (0..self.instance.stock.len()).any(|s| self.fits(s, design))
    }

    /// Whether a design has a place on a stock item.
    pub(crate) fn fits(&self, stock: usize, design: usize) -> bool {
        let board = self.board_plain(stock);
        !board.classes_on(0, design).is_empty()
    }

    fn board_plain(&self, stock: usize) -> Board<'_> {
        let (length, width) = self.instance.stock[stock].usable();
        let bin = Bin { stock, start: 0.0, length, width, allowed: self.allowed[stock].clone() };
        Board { parts: &self.parts, bins: vec![bin], fixed: Vec::new(), spacing: self.instance.spacing_mm, spent: 0 }
    }

    /// An answer from pieces on a board; empty sheets without locks are dropped.
    pub(crate) fn answer(&self, board: &Board<'_>, placed: &[Placed]) -> Answer {
        let mut sheets: Vec<Filled> =
            board.bins.iter().map(|b| Filled { stock: b.stock, items: Vec::new(), spares: Vec::new() }).collect();
        let mut left = self.wanted.clone();
        for p in placed {
            sheets[p.bin].items.push((p.class, [p.at[0] - board.bins[p.bin].start, p.at[1]]));
            let design = self.parts.classes[p.class].shape;
            left[design] = left[design].saturating_sub(1);
        }
        let mut at = 0;
        sheets.retain(|s| {
            at += 1;
            !s.items.is_empty() || at <= self.locked.len()
        });
        self.priced(sheets, left)
    }

    /// An answer with its cost.
    pub(crate) fn priced(&self, sheets: Vec<Filled>, left: Vec<u32>) -> Answer {
        let mut answer = Answer { sheets, left, cost: 0, used: 0.0 };
        let layout = self.layout(&answer);
        answer.cost = layout.cost;
        answer.used = layout.sheets.iter().map(|s| s.used_length_mm).sum();
        answer
    }

    /// The board of an answer's own sheets with its pieces; `None` for too many
    /// pieces to be moved about together.
    pub(crate) fn board_of(&self, answer: &Answer) -> Option<(Board<'_>, Vec<Placed>, Vec<bool>)> {
        let count: usize = answer.sheets.iter().map(|s| s.items.len()).sum();
        if count == 0 || count > 2500 {
            return None;
        }
        let bins: Vec<(usize, f64)> = answer.sheets.iter().map(|s| (s.stock, self.length(s.stock))).collect();
        let board = self.board(&bins);
        let mut placed = Vec::new();
        for (bin, sheet) in answer.sheets.iter().enumerate() {
            let start = board.bins[bin].start;
            placed.extend(sheet.items.iter().map(|(class, at)| Placed {
                class: *class,
                at: [at[0] + start, at[1]],
                bin,
            }));
        }
        let bound = placed.iter().map(|p| self.groups.binds(self.parts.classes[p.class].shape)).collect();
        Some((board, placed, bound))
    }

    /// The answer after its pieces were moved on the board of its own sheets.
    pub(crate) fn answer_of(&self, before: &Answer, placed: &[Placed]) -> Answer {
        let bins: Vec<(usize, f64)> = before.sheets.iter().map(|s| (s.stock, self.length(s.stock))).collect();
        self.answer(&self.board(&bins), placed)
    }

    /// Whether the independent checker passes the answer.
    pub(crate) fn good(&self, answer: &Answer) -> bool {
        crate::check(self.instance, &self.layout(answer)).good()
    }

    /// The layout that an answer stands for.
    pub(crate) fn layout(&self, answer: &Answer) -> Layout {
        let mut next = vec![0_u32; self.instance.designs.len()];
        let mut spare: Vec<u32> = self.instance.designs.iter().map(|d| d.quantity).collect();
        let taken: std::collections::BTreeSet<(usize, u32)> =
            self.instance.locked.iter().map(|l| (l.piece.design, l.piece.copy)).collect();
        let mut sheets = Vec::new();
        for (at, filled) in answer.sheets.iter().enumerate() {
            let mut pieces: Vec<Piece> =
                self.instance.locked.iter().filter(|l| l.sheet == at).map(|l| l.piece).collect();
            for (item, is_spare) in
                filled.items.iter().map(|i| (i, false)).chain(filled.spares.iter().map(|i| (i, true)))
            {
                let class = &self.parts.classes[item.0];
                let counter = if is_spare { &mut spare[class.shape] } else { &mut next[class.shape] };
                while taken.contains(&(class.shape, *counter)) {
                    *counter += 1;
                }
                pieces.push(Piece {
                    design: class.shape,
                    copy: *counter,
                    x_mm: item.1[0],
                    y_mm: item.1[1],
                    rotation_deg: class.turn_deg,
                    mirrored: self.instance.designs[class.shape].mirrored,
                    spare: is_spare,
                });
                *counter += 1;
            }
            let end = self.end(&pieces);
            sheets.push(Sheet { stock: filled.stock, used_length_mm: end, charged_length_mm: 0.0, price: 0, pieces });
        }
        let cost = set_prices(self.instance, &mut sheets);
        let unplaced: Vec<(usize, u32)> =
            answer.left.iter().enumerate().filter(|(_, n)| **n > 0).map(|(d, n)| (d, *n)).collect();
        Layout { cost, lower_bound: 0, complete: unplaced.is_empty(), sheets, unplaced }
    }

    /// Where the last piece ends.
    fn end(&self, pieces: &[Piece]) -> f64 {
        pieces
            .iter()
            .map(|p| {
                let lies = p.pose().mapping();
                self.instance.designs[p.design].outline.outer().iter().map(|q| lies(*q).x).fold(0.0, f64::max)
            })
            .fold(0.0, f64::max)
    }

    /// Whether a stock item is a roll.
    pub(crate) fn is_roll(&self, stock: usize) -> bool {
        matches!(self.instance.stock[stock].kind, StockKind::Roll { .. })
    }
}

/// Turns that came in only through a locked piece are not for others.
fn design_allows(instance: &Instance, shape: usize, turn_deg: f64) -> bool {
    use crate::instance::Rotations;
    let Some(design) = instance.designs.get(shape) else { return true };
    let near = |want: f64, step: f64| {
        let off = (turn_deg - want).rem_euclid(step);
        off.min(step - off) < 1e-9
    };
    match &design.rotations {
        Rotations::Any => true,
        Rotations::Quarter => near(0.0, 90.0),
        Rotations::Half => near(0.0, 180.0),
        Rotations::None => near(0.0, 360.0),
        Rotations::List(list) => list.iter().any(|t| near(*t, 360.0)),
    }
}
