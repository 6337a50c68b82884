//! How wide lines and gaps are, measured across their middle.
//!
//! A point in the middle of a line has two nearest places on the edge, on opposite
//! sides. Such points are found on the pixel grid, where the nearest bare pixels of
//! two neighbours lie in opposite directions, and then measured on the edge itself,
//! to a fraction of a pixel. Between the two directions lies 180° in a line of even
//! width and 180° − θ in a point of angle θ, which tells lines from points and
//! leaves corners out (the separation angle of Foskey, Lin & Manocha, "Efficient
//! computation of a simplified medial axis", 2003).

use crate::contour::{edge_cells, segments_of_cell};
use crate::coverage::Coverage;
use crate::distance::Nearest;
use geometry::{Bounds, Point};
use rayon::prelude::*;
use std::ops::Range;

/// A middle point and how wide it is there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Middle {
    /// Where, px, rows down.
    pub at: Point,
    /// From edge to edge, px.
    pub width: f64,
    /// How far the two sides are from parallel, degrees.
    pub taper_deg: f64,
}

/// Up to this taper it is a line. A line that tapers more is a point.
pub(crate) const LINE_TAPER_DEG: f64 = 12.0;

/// Past this taper it is a corner and says nothing of width.
pub(crate) const POINT_TAPER_DEG: f64 = 40.0;

/// Candidates measured side by side: few at first, as most of them fall away once a line is known.
const FIRST_BLOCK: usize = 64;
const MOST_BLOCK: usize = 1 << 14;

/// Rows whose candidates are gathered side by side.
const ROWS_A_TASK: usize = 64;

/// What was found in a picture.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Widths {
    /// Middles up to the width asked for.
    pub middles: Vec<Middle>,
    /// The least width of a line, supported by its neighbours; else of the thickest place.
    pub thinnest: Option<f64>,
    /// Whether there is any line.
    pub lines: bool,
}

/// Middles of everything up to `up_to` px wide, some of those up to `shown` for a picture, and the
/// thinnest of all.
pub(crate) fn widths(coverage: &Coverage, up_to: f64, shown: f64) -> Widths {
    let shown = shown.max(up_to);
    // Nearly always there is a line not much wider than what is asked for. Of two neighbours who look
    // so far apart, the nearer bare pixel lies within their rough width / 1.6 and less than a pixel,
    // the other a pixel farther; what lies deeper need not be looked at.
    let near = (2.0 * (up_to + ROUGHLY)).max(shown + ROUGHLY);
    let Some(nearest) = Nearest::within(coverage, near / 1.6 + 3.0) else { return Widths::default() };
    let mut search = Search::new(up_to, shown);
    search.go_on(coverage, &candidates(coverage, &nearest, near));
    drop(nearest);
    let line = thinnest(&search.middles).filter(|line| search.farthest(*line) <= near);
    let (thinnest, lines) = match line {
        Some(line) => (Some(line), true),
        None => past(coverage, near),
    };
    search.middles.retain(|middle| middle.width <= shown);
    Widths { middles: search.middles, thinnest, lines }
}

/// Pixels that still lie across the thinnest when a picture is averaged down to look for it.
const STILL_ACROSS: f64 = 24.0;

/// The least width where no line is as narrow as `near` px, and whether it is a line. So wide a one is
/// measured as well with fewer pixels.
fn past(coverage: &Coverage, near: f64) -> (Option<f64>, bool) {
    let factor = (near / STILL_ACROSS).floor().max(1.0) as usize;
    let averaged;
    let coverage = if factor > 1 {
        averaged = coverage.averaged(factor);
        &averaged
    } else {
        coverage
    };
    let Some(nearest) = Nearest::of(coverage) else { return (None, false) };
    let mut search = Search::new(0.0, 0.0);
    search.go_on(coverage, &candidates(coverage, &nearest, f64::INFINITY));
    let line = thinnest(&search.middles);
    let width = line.or_else(|| thickest(coverage, &nearest));
    (width.map(|width| width * factor as f64), line.is_some())
}

/// By how much a rough width may be off, px: a pixel and a half on each side.
const ROUGHLY: f64 = 3.0;

/// Whether there is a line is asked with so many middles first, then each time they have doubled.
const FIRST_ASKED: usize = 8;

/// Middles measured so far, in rising order of rough width.
struct Search {
    up_to: f64,
    shown: f64,
    middles: Vec<Middle>,
    /// The thinnest line when that was asked last.
    line: Option<f64>,
    ask_at: usize,
}

impl Search {
    fn new(up_to: f64, shown: f64) -> Self {
        Self { up_to, shown, middles: Vec::new(), line: None, ask_at: FIRST_ASKED }
    }

    /// The rough width past which nothing is looked at once there is a line.
    fn farthest(&self, line: f64) -> f64 {
        self.shown.max(line) + ROUGHLY
    }

    fn within(&self, candidate: &Candidate) -> bool {
        self.line.is_none_or(|line| candidate.rough() <= self.farthest(line))
    }

    fn wanted(&self, candidate: &Candidate) -> bool {
        self.line.is_none() || candidate.rough() <= self.up_to + ROUGHLY || candidate.in_picture()
    }

    /// Measures further candidates side by side, then takes them one after another: once there is
    /// a line, fewer are asked for.
    fn go_on(&mut self, coverage: &Coverage, candidates: &[Candidate]) {
        let mut rest = candidates;
        let mut block = FIRST_BLOCK;
        while !rest.is_empty() {
            let (here, later) = rest.split_at(block.min(rest.len()));
            rest = later;
            block = (block * 2).min(MOST_BLOCK);
            let asked = |candidate: &Candidate| self.within(candidate) && self.wanted(candidate);
            let found: Vec<Option<Middle>> =
                here.par_iter().map(|c| if asked(c) { measured(coverage, c) } else { None }).collect();
            for (candidate, found) in here.iter().zip(found) {
                if !self.within(candidate) {
                    return;
                }
                if !self.wanted(candidate) {
                    continue;
                }
                self.middles.extend(found.filter(|middle| middle.taper_deg <= POINT_TAPER_DEG));
                if self.line.is_none() && self.middles.len() >= self.ask_at {
                    self.line = thinnest(&self.middles);
                    self.ask_at *= 2;
                }
            }
        }
    }
}

/// Middles that lie together, by index; each group in the order given.
pub(crate) fn groups(middles: &[Middle], apart: f64) -> Vec<Vec<usize>> {
    let squares = Squares::of(middles, apart);
    // The last middle put into each square, and for each middle the one put there before it.
    let (mut last, mut before) = (vec![NOBODY; squares.count()], vec![NOBODY; middles.len()]);
    let mut parent: Vec<usize> = (0..middles.len()).collect();
    for (at, middle) in middles.iter().enumerate() {
        // Whoever lies within `apart` lies in the same square or in one of the eight around it.
        for square in squares.around(middle.at) {
            let mut other = last[square];
            while other != NOBODY {
                if middles[other].at.distance(middle.at) <= apart {
                    let (a, b) = (root(&mut parent, at), root(&mut parent, other));
                    parent[a.max(b)] = a.min(b);
                }
                other = before[other];
            }
        }
        before[at] = std::mem::replace(&mut last[squares.holding(middle.at)], at);
    }
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); middles.len()];
    for at in 0..middles.len() {
        let root = root(&mut parent, at);
        groups[root].push(at);
    }
    groups.retain(|group| !group.is_empty());
    groups
}

/// No middle.
const NOBODY: usize = usize::MAX;

/// Squares at most so many across and down: some megabytes, however large the picture.
const MOST_SQUARES_A_SIDE: f64 = 1200.0;

/// The picture's part that holds middles, in squares.
struct Squares {
    from: Point,
    side: f64,
    columns: usize,
    rows: usize,
}

impl Squares {
    /// Squares no smaller than `apart`.
    fn of(middles: &[Middle], apart: f64) -> Self {
        let bounds = Bounds::around(middles.iter().map(|middle| &middle.at));
        let bounds = bounds.unwrap_or(Bounds { min: Point::default(), max: Point::default() });
        let side = apart.max(bounds.width().max(bounds.height()) / MOST_SQUARES_A_SIDE).max(f64::MIN_POSITIVE);
        let count = |length: f64| (length / side) as usize + 1;
        Self { from: bounds.min, side, columns: count(bounds.width()), rows: count(bounds.height()) }
    }

    fn count(&self) -> usize {
        self.columns * self.rows
    }

    fn place(&self, at: Point) -> (usize, usize) {
        let along = |p: f64, from: f64, count: usize| (((p - from) / self.side) as usize).min(count - 1);
        (along(at.x, self.from.x, self.columns), along(at.y, self.from.y, self.rows))
    }

    fn holding(&self, at: Point) -> usize {
        let (column, row) = self.place(at);
        row * self.columns + column
    }

    fn around(&self, at: Point) -> impl Iterator<Item = usize> + use<> {
        let (column, row) = self.place(at);
        let (columns, rows) = (self.columns, self.rows);
        let near = |at: usize, count: usize| at.saturating_sub(1)..(at + 2).min(count);
        near(row, rows).flat_map(move |row| near(column, columns).map(move |column| row * columns + column))
    }
}

fn root(parent: &mut [usize], mut at: usize) -> usize {
    while parent[at] != at {
        parent[at] = parent[parent[at]];
        at = parent[at];
    }
    at
}

fn thinnest(middles: &[Middle]) -> Option<f64> {
    let lines: Vec<Middle> = middles.iter().copied().filter(|m| m.taper_deg <= LINE_TAPER_DEG).collect();
    thinnest_of(&lines)
}

/// Where no part is a line: the largest disc that lies inside.
fn thickest(coverage: &Coverage, nearest: &Nearest) -> Option<f64> {
    let squared = |x: usize, y: usize| {
        let (bx, by) = nearest.bare(x, y)?;
        Some((bx - x as i64).pow(2) + (by - y as i64).pow(2))
    };
    let inked = (0..nearest.height()).flat_map(|y| (0..nearest.width()).map(move |x| (x, y)));
    let (x, y) = inked.max_by_key(|(x, y)| squared(*x, *y))?;
    let centre = Point::new(x as f64 + 0.5, y as f64 + 0.5);
    let bare = nearest.bare(x, y)?;
    let reach = |at: Point| foot(coverage, at, bare).map(|edge| edge.distance(at));
    let (mut centre, mut best) = (centre, reach(centre)?);
    for step in [0.5, 0.25, 0.125, 0.0625] {
        for (dx, dy) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
            let moved = Point::new(centre.x + step * dx, centre.y + step * dy);
            // Near the middle the nearest edge changes sides, so both sides are asked.
            let other = (2 * x as i64 - bare.0, 2 * y as i64 - bare.1);
            let across = foot(coverage, moved, other).map_or(f64::INFINITY, |edge| edge.distance(moved));
            let here = reach(moved).unwrap_or(0.0).min(across);
            if here > best {
                (centre, best) = (moved, here);
            }
        }
    }
    Some(2.0 * best)
}

/// Narrow middles among which a supporting neighbour is sought.
const MOST_SUPPORTED: usize = 20_000;

/// The least width that two middles near each other agree on to a fifth of a pixel or 3 %.
fn thinnest_of(middles: &[Middle]) -> Option<f64> {
    let mut order: Vec<&Middle> = middles.iter().collect();
    if order.len() > MOST_SUPPORTED {
        order.select_nth_unstable_by(MOST_SUPPORTED, |a, b| a.width.total_cmp(&b.width));
        order.truncate(MOST_SUPPORTED);
    }
    order.sort_by(|a, b| a.width.total_cmp(&b.width));
    for (at, least) in order.iter().enumerate().take(5000) {
        let most = (least.width + 0.2).max(least.width * 1.03);
        let mut near = order[at..].iter().take_while(|m| m.width <= most).map(|m| m.at.distance(least.at));
        // The tip of a corner is narrow too, but two pixels on it is not.
        if near.any(|away| (1.9..=4.0 + least.width).contains(&away)) {
            return Some(least.width);
        }
    }
    None
}

/// Two neighbouring pixels whose nearest bare ones lie apart.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    /// The first pixel.
    pixel: (u16, u16),
    /// From there to the other: none, one right or one down.
    step: (u8, u8),
    /// From each to its bare one.
    ways: [(i16, i16); 2],
    /// The square of the distance between the bare ones.
    across: u32,
}

impl Candidate {
    /// From a pixel, its way to the edge, the step to its neighbour and the neighbour's way. Sides
    /// of a picture stay under 2¹⁵, so ways fit and their square stays under 2³².
    fn new(pixel: (usize, usize), way: (i32, i32), step: (u8, u8), other: (i32, i32)) -> Self {
        let apart = (way.0 - i32::from(step.0) - other.0, way.1 - i32::from(step.1) - other.1);
        let squared = |length: i32| length.unsigned_abs().pow(2);
        let short = |way: (i32, i32)| (way.0 as i16, way.1 as i16);
        Self {
            pixel: (pixel.0 as u16, pixel.1 as u16),
            step,
            ways: [short(way), short(other)],
            across: squared(apart.0) + squared(apart.1),
        }
    }

    /// From bare pixel to bare pixel, px.
    fn rough(&self) -> f64 {
        f64::from(self.across).sqrt()
    }

    /// Between the two pixels.
    fn middle(&self) -> Point {
        let half = |at: u16, step: u8| f64::from(at) + 0.5 + f64::from(step) / 2.0;
        Point::new(half(self.pixel.0, self.step.0), half(self.pixel.1, self.step.1))
    }

    /// The bare pixel of each.
    fn bare(&self) -> [(i64, i64); 2] {
        let (x, y) = (i64::from(self.pixel.0), i64::from(self.pixel.1));
        let reached = |x: i64, y: i64, way: (i16, i16)| (x + i64::from(way.0), y + i64::from(way.1));
        let [way, other] = self.ways;
        [reached(x, y, way), reached(x + i64::from(self.step.0), y + i64::from(self.step.1), other)]
    }

    /// Of middles that are only drawn, one in three along rows and columns is enough.
    fn in_picture(&self) -> bool {
        let middle = self.middle();
        (middle.x.floor() as i64 + middle.y.floor() as i64) % 3 == 0
    }
}

/// Those up to a rough width, in rising order.
fn candidates(coverage: &Coverage, nearest: &Nearest, rough: f64) -> Vec<Candidate> {
    let most = (rough * rough).min(f64::from(u32::MAX)) as u32;
    let tasks: Vec<usize> = (0..nearest.height()).step_by(ROWS_A_TASK).collect();
    let parts: Vec<Vec<Candidate>> = tasks
        .into_par_iter()
        .map(|top| {
            let mut found = candidates_in(coverage, nearest, top..(top + ROWS_A_TASK).min(nearest.height()));
            found.retain(|candidate| candidate.across <= most);
            found
        })
        .collect();
    let mut found: Vec<Candidate> = Vec::with_capacity(parts.iter().map(Vec::len).sum());
    found.extend(parts.into_iter().flatten());
    found.par_sort_by_key(|candidate| candidate.across);
    found
}

/// The ways of one row, and which of its pixels are worth a look.
#[derive(Default)]
struct Ways {
    right: Vec<i16>,
    down: Vec<i16>,
}

impl Ways {
    fn read(&mut self, nearest: &Nearest, y: usize) {
        nearest.ways(y, &mut self.right, &mut self.down);
    }

    fn at(&self, x: usize) -> Option<(i32, i32)> {
        Some((i32::from(*self.right.get(x)?), i32::from(*self.down.get(x)?)))
    }
}

/// Pixels that look another way, across or along, than the one right of or below them, and those
/// beside the edge: the only ones that can be candidates. Nonzero where so.
fn worth_a_look(here: &Ways, below: &Ways, into: &mut Vec<u8>) {
    into.clear();
    let turned = |a: i16, b: i16| (a ^ b) < 0;
    let beside = |right: i16, down: i16| {
        // −1, 0 and 1 move to 0, 1 and 2; a bare pixel has no way at all.
        ((right.wrapping_add(1) as u16 | down.wrapping_add(1) as u16) <= 3) & ((right | down) != 0)
    };
    into.extend(here.right.iter().zip(&here.down).map(|(right, down)| u8::from(beside(*right, *down))));
    let rightward = here.right.iter().zip(&here.down).zip(here.right.iter().skip(1).zip(here.down.iter().skip(1)));
    for (look, ((a, b), (c, d))) in into.iter_mut().zip(rightward) {
        *look |= u8::from(turned(*a, *c) | turned(*b, *d));
    }
    let downward = here.right.iter().zip(&here.down).zip(below.right.iter().zip(&below.down));
    for (look, ((a, b), (c, d))) in into.iter_mut().zip(downward) {
        *look |= u8::from(turned(*a, *c) | turned(*b, *d));
    }
}

/// Those of some rows, in reading order.
fn candidates_in(coverage: &Coverage, nearest: &Nearest, rows: Range<usize>) -> Vec<Candidate> {
    let mut found = Vec::new();
    let (mut here, mut below, mut looks) = (Ways::default(), Ways::default(), Vec::new());
    below.read(nearest, rows.start);
    for y in rows {
        std::mem::swap(&mut here, &mut below);
        below.read(nearest, y + 1);
        worth_a_look(&here, &below, &mut looks);
        for (x, _) in looks.iter().enumerate().filter(|(_, look)| **look != 0) {
            let Some(way) = here.at(x).filter(|way| *way != (0, 0)) else { continue };
            let beside = [here.at(x + 1).map(|other| (other, (1, 0))), below.at(x).map(|other| (other, (0, 1)))];
            let mut paired = false;
            for (other, step) in beside.into_iter().flatten().filter(|(other, _)| apart(way, *other)) {
                paired = true;
                found.push(Candidate::new((x, y), way, step, other));
            }
            let narrow = way.0.abs() <= 1 && way.1.abs() <= 1;
            if !paired && narrow {
                // A line one pixel wide has no neighbour across: try the pixel opposite.
                let at = |dx: i32, dy: i32| coverage.at(x as i64 + i64::from(dx), y as i64 + i64::from(dy));
                // The tip of a corner is as narrow, but ends there.
                let goes_on = at(-way.1, way.0) >= 128 && at(way.1, -way.0) >= 128;
                if goes_on && at(-way.0, -way.1) < 128 {
                    found.push(Candidate::new((x, y), way, (0, 0), (-way.0, -way.1)));
                }
            }
        }
    }
    found
}

/// Whether the directions to the nearest bare pixels differ by more than 110°.
fn apart(a: (i32, i32), b: (i32, i32)) -> bool {
    if (a.0 ^ b.0) >= 0 && (a.1 ^ b.1) >= 0 {
        return false;
    }
    let (a, b) = ((f64::from(a.0), f64::from(a.1)), (f64::from(b.0), f64::from(b.1)));
    let dot = a.0 * b.0 + a.1 * b.1;
    let squared = |v: (f64, f64)| v.0 * v.0 + v.1 * v.1;
    dot < 0.0 && dot * dot > 0.342 * 0.342 * squared(a) * squared(b)
}

/// The width on the edge itself.
fn measured(coverage: &Coverage, candidate: &Candidate) -> Option<Middle> {
    let at = candidate.middle();
    let [a, b] = candidate.bare().map(|bare| foot(coverage, at, bare));
    let (a, b) = (a?, b?);
    let (u, v) = (Point::new(a.x - at.x, a.y - at.y), Point::new(b.x - at.x, b.y - at.y));
    // Both at once: their lengths are pixels, whose squares neither vanish nor overflow.
    let squared = (u.x * u.x + u.y * u.y) * (v.x * v.x + v.y * v.y);
    if squared < 1e-18 {
        return None;
    }
    let cosine = ((u.x * v.x + u.y * v.y) / squared.sqrt()).clamp(-1.0, 1.0);
    Some(Middle { at, width: a.distance(b), taper_deg: 180.0 - cosine.acos().to_degrees() })
}

/// The nearest point of the edge to `from`, sought from a bare pixel beside the edge and
/// followed along it while it comes nearer.
fn foot(coverage: &Coverage, from: Point, bare: (i64, i64)) -> Option<Point> {
    let ahead = Point::new(bare.0 as f64 + 0.5 - from.x, bare.1 as f64 + 0.5 - from.y);
    let mut centre = bare;
    // Squared distance, place, and whether its cell is one of the four in the middle of the look.
    let mut best: Option<(f64, Point, bool)> = None;
    for _ in 0..16 {
        let before = best.map(|(squared, ..)| squared);
        for (x, y) in edge_cells(coverage, centre) {
            // A cell that lies farther off than what was found holds nothing nearer.
            let out = |p: f64, low: i64| (low as f64 + 0.5 - p).max(p - low as f64 - 1.5).max(0.0);
            let (across, down) = (out(from.x, x), out(from.y, y));
            if best.is_some_and(|(least, ..)| across * across + down * down >= least) {
                continue;
            }
            for (a, b) in segments_of_cell(coverage, x, y) {
                let point = nearest_on(a, b, from);
                let (u, v) = (point.x - from.x, point.y - from.y);
                let squared = u * u + v * v;
                // In a thin line the other side is just as near.
                let this_side = u * ahead.x + v * ahead.y > 0.0;
                if this_side && best.is_none_or(|(least, ..)| squared < least) {
                    let inner = (-1..=0).contains(&(x - centre.0)) && (-1..=0).contains(&(y - centre.1));
                    best = Some((squared, point, inner));
                }
            }
        }
        let (squared, point, inner) = best?;
        let next = (point.x.floor() as i64, point.y.floor() as i64);
        // With edge on all sides of it looked at, the place is the nearest along that edge.
        if inner || next == centre || before.is_some_and(|before| before - squared < 1e-9) {
            break;
        }
        centre = next;
    }
    best.map(|(_, point, _)| point)
}

fn nearest_on(a: Point, b: Point, p: Point) -> Point {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let squared = dx * dx + dy * dy;
    let t = if squared == 0.0 { 0.0 } else { ((p.x - a.x) * dx + (p.y - a.y) * dy) / squared };
    let t = t.clamp(0.0, 1.0);
    Point::new(a.x + t * dx, a.y + t * dy)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contour::tests::drawn;

    fn thinnest_drawn(side: usize, inside: impl Fn(f64, f64) -> bool) -> f64 {
        widths(&drawn(side, side, inside).padded(4), 0.0, 0.0).thinnest.expect("a width")
    }

    /// A bar w wide measures w, whatever its direction and place on the grid. Straight lines between
    /// pixel centres misplace an upright edge by up to 0.086 px: (a − ½)(1 − a)/a at coverage a = 1/√2.
    #[test]
    fn a_bar_measures_its_width_in_every_direction() {
        for width in [2.0, 3.3, 7.0, 15.6] {
            for turn in [0.0, 7.0, 18.0, 30.0, 45.0, 61.0, 88.0_f64] {
                let (sin, cos) = turn.to_radians().sin_cos();
                let found = thinnest_drawn(120, |x, y| {
                    let (x, y) = (x - 60.37, y - 60.11);
                    (x * cos + y * sin).abs() < 45.0 && (y * cos - x * sin).abs() < width / 2.0
                });
                assert!((found - width).abs() < 0.18, "{width} wide at {turn}°: {found}");
            }
        }
    }

    /// A ring between radii a and b is b − a wide; a disc is 2r. The error shrinks with the pixels.
    #[test]
    fn rings_and_discs_converge() {
        for scale in [1.0, 2.0, 4.0] {
            let side = (48.0 * scale) as usize;
            let middle = 24.0 * scale;
            let ring = thinnest_drawn(side, |x, y| {
                let d = (x - middle).hypot(y - middle) / scale;
                (14.0..20.0).contains(&d)
            });
            assert!((ring / scale - 6.0).abs() < 0.18 / scale, "ring at {scale}: {}", ring / scale);
            let disc = thinnest_drawn(side, |x, y| (x - middle).hypot(y - middle) < 20.0 * scale);
            assert!((disc / scale - 40.0).abs() < 1.6 / scale, "disc at {scale}: {}", disc / scale);
        }
    }

    /// Two discs of radius 20, centres 34 apart, meet in a neck 2·√(20² − 17²) = 21.07 wide; the
    /// pixels round its two notches by less than a pixel each.
    #[test]
    fn a_neck_is_found() {
        let neck = 2.0 * (400.0_f64 - 289.0).sqrt();
        let found = thinnest_drawn(100, |x, y| (x - 33.0).hypot(y - 50.0) < 20.0 || (x - 67.0).hypot(y - 50.0) < 20.0);
        assert!((found - neck).abs() < 1.6, "{found} for {neck}");
    }

    /// A wedge of angle θ tapers by θ; one of 30° is a point and no line, a square's corner neither.
    #[test]
    fn wedges_taper_by_their_own_angle() {
        for angle in [20.0, 30.0_f64] {
            let half = (angle / 2.0).to_radians().tan();
            let shape = drawn(160, 160, |x, y| x > 10.2 && x < 140.0 && (y - 80.3).abs() < (x - 10.2) * half);
            let found = widths(&shape.padded(4), 25.0, 25.0);
            let mut tapers: Vec<f64> = found.middles.iter().filter(|m| m.width > 6.0).map(|m| m.taper_deg).collect();
            tapers.sort_by(f64::total_cmp);
            let middle = tapers[tapers.len() / 2];
            assert!((middle - angle).abs() < 1.5, "{angle}°: {middle}°");
        }
        let square = drawn(80, 80, |x, y| (10.0..70.0).contains(&x) && (10.0..70.0).contains(&y));
        assert!(widths(&square.padded(4), 20.0, 20.0).middles.is_empty());
    }

    /// A line one pixel wide is still a line.
    #[test]
    fn a_hairline_is_seen() {
        let line = Coverage::new(
            30,
            9,
            (0..270).map(|i| if i / 30 == 4 && (3..27).contains(&(i % 30)) { 255 } else { 0 }).collect(),
        );
        let found = widths(&line.padded(4), 3.0, 3.0).thinnest.expect("a line");
        assert!((found - 1.0).abs() < 0.05, "{found}");
    }
}
