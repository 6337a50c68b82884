//! The edge of the ink at half coverage, to a fraction of a pixel.
//!
//! Marching squares over the pixel centres (Lorensen & Cline, *Computer Graphics*
//! 21(4), 1987, in the plane), the crossing interpolated along each side; the two
//! ambiguous cases are settled by the mean of the four corners. The edge is closed:
//! nothing is inked outside the picture.

use crate::coverage::Coverage;
use geometry::{Outline, Point, Region, Ring};
use rayon::prelude::*;
use std::ops::Range;

/// Half of full coverage.
const HALF: f64 = 127.5;

/// The picture has more edge than is workable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct TooRagged;

/// The inked region, px, origin in the lower left corner of the picture, y up.
///
/// Work grows with pixels plus edge; at most `most_points` points are kept.
pub(crate) fn region(coverage: &Coverage, most_points: usize) -> Result<Region, TooRagged> {
    let rows = coverage.height() + 1;
    let middle = rows / 2;
    // Rings that reach above the middle belong to the first half, the others to the second; which
    // half is done first makes no difference.
    let half = |rows: Range<usize>| Tracer::new(coverage, rows, most_points).rings();
    let (upper, lower) = rayon::join(|| half(0..middle), || half(middle..rows));
    let (mut rings, lower) = (upper?, lower?);
    rings.extend(lower);
    if rings.iter().map(Vec::len).sum::<usize>() > most_points {
        return Err(TooRagged);
    }
    Ok(nest(rings, coverage.height() as f64))
}

/// The crossings of one cell's own sides, px, for measuring near one place; rows down.
pub(crate) fn segments_of_cell(coverage: &Coverage, x: i64, y: i64) -> impl Iterator<Item = (Point, Point)> {
    let cell = Cell::at(coverage, x, y);
    cell.edges().into_iter().flatten().map(move |(entry, exit)| (cell.crossing(entry), cell.crossing(exit)))
}

/// Of the 4 × 4 cells round a pixel's upper left corner, those that the edge runs through: the four
/// in the middle first, each time row by row.
pub(crate) fn edge_cells(coverage: &Coverage, (x, y): (i64, i64)) -> impl Iterator<Item = (i64, i64)> {
    let inked = coverage.inked_near(x - 2, y - 2);
    let mixed = (0..4).fold(0_u16, |mixed, row| {
        let (above, below) = (inked[row], inked[row + 1]);
        let (any, all) = (above | below, above & below);
        // A cell's right corners are the left ones of the next.
        let here = (any | (any >> 1)) & !(all & (all >> 1)) & 0b1111;
        mixed | (u16::from(here) << (4 * row))
    });
    let each = |mut cells: u16| {
        std::iter::from_fn(move || {
            let at = (cells != 0).then(|| cells.trailing_zeros())?;
            cells &= cells - 1;
            Some(at)
        })
    };
    each(mixed & MIDDLE_CELLS)
        .chain(each(mixed & !MIDDLE_CELLS))
        .map(move |at| (x - 2 + i64::from(at % 4), y - 2 + i64::from(at / 4)))
}

/// The second and third of the second and third row.
const MIDDLE_CELLS: u16 = 0b0000_0110_0110_0000;

/// Four neighbouring pixel centres: top left, top right, bottom right, bottom left.
struct Cell {
    x: i64,
    y: i64,
    ink: [u8; 4],
}

impl Cell {
    fn at(coverage: &Coverage, x: i64, y: i64) -> Self {
        Self { x, y, ink: coverage.corners(x, y) }
    }

    /// One bit a corner, set where it is inked.
    fn case(&self) -> u8 {
        // From 128 up is more than half of 255.
        let bit = |at: usize| u8::from(self.ink[at] >= 128) << at;
        bit(0) | bit(1) | bit(2) | bit(3)
    }

    /// Where edges come in and leave, ink on the left hand, in the order of the sides they come in.
    /// Sides: 0 top, 1 right, 2 bottom, 3 left.
    fn edges(&self) -> [Option<(u8, u8)>; 2] {
        let joined = || self.ink.iter().map(|ink| u32::from(*ink)).sum::<u32>() > 510;
        let one = |entry, exit| [Some((entry, exit)), None];
        match self.case() {
            0b0001 => one(3, 0),
            0b0010 => one(0, 1),
            0b0100 => one(1, 2),
            0b1000 => one(2, 3),
            0b0011 => one(3, 1),
            0b0110 => one(0, 2),
            0b1100 => one(1, 3),
            0b1001 => one(2, 0),
            0b1110 => one(0, 3),
            0b1101 => one(1, 0),
            0b1011 => one(2, 1),
            0b0111 => one(3, 2),
            0b0101 if joined() => [Some((1, 0)), Some((3, 2))],
            0b0101 => [Some((1, 2)), Some((3, 0))],
            0b1010 if joined() => [Some((0, 3)), Some((2, 1))],
            0b1010 => [Some((0, 1)), Some((2, 3))],
            _ => [None, None],
        }
    }

    /// Where the edge that comes in through a side leaves.
    fn exit(&self, entry: u8) -> Option<u8> {
        self.edges().into_iter().flatten().find(|edge| edge.0 == entry).map(|edge| edge.1)
    }

    /// Where the edge crosses a side, px, rows down.
    fn crossing(&self, side: u8) -> Point {
        let (left, top) = (self.x as f64 + 0.5, self.y as f64 + 0.5);
        let part = |a: usize, b: usize| {
            let (a, b) = (f64::from(self.ink[a]), f64::from(self.ink[b]));
            if a == b { 0.5 } else { (HALF - a) / (b - a) }
        };
        match side {
            0 => Point::new(left + part(0, 1), top),
            1 => Point::new(left + 1.0, top + part(1, 2)),
            2 => Point::new(left + part(3, 2), top + 1.0),
            _ => Point::new(left, top + part(0, 3)),
        }
    }
}

/// Follows each edge once round whose first cell, in reading order, lies in some rows of cells.
struct Tracer<'a> {
    coverage: &'a Coverage,
    rows: Range<usize>,
    /// One bit per entry side of every cell already followed, from the first of the rows down; cells
    /// start at (−1, −1).
    seen: Vec<u8>,
    stride: usize,
    points_left: usize,
}

impl<'a> Tracer<'a> {
    fn new(coverage: &'a Coverage, rows: Range<usize>, most_points: usize) -> Self {
        let stride = coverage.width() + 1;
        let seen = vec![0; stride * (coverage.height() + 1 - rows.start)];
        Self { coverage, rows, seen, stride, points_left: most_points }
    }

    fn rings(mut self) -> Result<Vec<Ring>, TooRagged> {
        let mut rings = Vec::new();
        let blank = vec![0; self.coverage.width()];
        for row in self.rows.clone() {
            let above = if row == 0 { &blank } else { self.coverage.row(row - 1) };
            let below = if row == self.coverage.height() { &blank } else { self.coverage.row(row) };
            for column in mixed_cells(above, below) {
                let cell = Cell::at(self.coverage, column as i64 - 1, row as i64 - 1);
                for (entry, _) in cell.edges().into_iter().flatten() {
                    if *self.seen(column, row) & (1 << entry) == 0 {
                        rings.extend(self.follow(column, row, entry)?);
                    }
                }
            }
        }
        Ok(rings)
    }

    fn seen(&mut self, column: usize, row: usize) -> &mut u8 {
        &mut self.seen[(row - self.rows.start) * self.stride + column]
    }

    /// The ring through a cell; `None` when it goes above the rows.
    fn follow(&mut self, column: usize, row: usize, entry: u8) -> Result<Option<Ring>, TooRagged> {
        let from = (column, row, entry);
        let points_before = self.points_left;
        let (mut column, mut row, mut entry) = from;
        let mut ring = Ring::new();
        loop {
            let seen = self.seen(column, row);
            if *seen & (1 << entry) != 0 {
                if (column, row, entry) == from {
                    return Ok(Some(ring));
                }
                // A walk from here ended above the rows.
                break;
            }
            *seen |= 1 << entry;
            let cell = Cell::at(self.coverage, column as i64 - 1, row as i64 - 1);
            self.points_left = self.points_left.checked_sub(1).ok_or(TooRagged)?;
            ring.push(cell.crossing(entry));
            // Every entry side that an edge reaches has an exit, and the picture's rim is bare,
            // so the walk stays on the grid and comes back to where it began.
            let Some(exit) = cell.exit(entry) else { return Ok(Some(ring)) };
            match exit {
                0 if row == self.rows.start => break,
                0 => row -= 1,
                1 => column += 1,
                2 => row += 1,
                _ => column -= 1,
            }
            entry = (exit + 2) % 4;
        }
        self.points_left = points_before;
        Ok(None)
    }
}

/// The columns of a row of cells whose corners are not all alike.
fn mixed_cells<'r>(above: &'r [u8], below: &'r [u8]) -> impl Iterator<Item = usize> + 'r {
    let pair = |x: usize| {
        let inked = |row: &[u8]| row.get(x).is_some_and(|ink| f64::from(*ink) > HALF);
        u8::from(inked(above)) + 2 * u8::from(inked(below))
    };
    let mut last = 0;
    (0..=above.len()).filter(move |x| {
        let here = pair(*x);
        let mixed = here != last || (here != 0 && here != 3);
        last = here;
        mixed
    })
}

/// Gives each hole to the outer ring around it and turns rows down into y up.
fn nest(rings: Vec<Ring>, height: f64) -> Region {
    let flipped: Vec<Ring> =
        rings.into_par_iter().map(|ring| ring.into_iter().map(|p| Point::new(p.x, height - p.y)).collect()).collect();
    outlines_of(flipped)
}

/// Outlines from rings that do not cross, outer ones counter-clockwise and holes clockwise.
///
/// A hole belongs to the ring met first on the way left from it: either the outer
/// ring around it or another hole of the same one.
fn outlines_of(rings: Vec<Ring>) -> Region {
    let turning: Vec<f64> = rings.par_iter().map(|ring| signed_area(ring)).collect();
    let looks: Vec<Option<Point>> = rings
        .par_iter()
        .zip(&turning)
        .map(|(ring, turning)| if *turning < 0.0 { left_of(ring) } else { None })
        .collect();
    let strips = Strips::of(&rings, looks.iter().flatten());
    let mut owner: Vec<Option<usize>> = vec![None; rings.len()];
    let mut order: Vec<usize> = (0..rings.len()).filter(|at| turning[*at] != 0.0).collect();
    let leftmost = |ring: &Ring| ring.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
    let lefts: Vec<f64> = rings.iter().map(leftmost).collect();
    // From left to right, so that whatever a hole meets has its owner already.
    order.sort_by(|a, b| lefts[*a].total_cmp(&lefts[*b]).then(a.cmp(b)));
    for at in order {
        owner[at] =
            if turning[at] > 0.0 { Some(at) } else { strips.met(&rings, at, looks[at]).and_then(|met| owner[met]) };
    }
    let mut holes: Vec<Vec<Ring>> = vec![Vec::new(); rings.len()];
    let mut outers: Vec<Option<Ring>> = vec![None; rings.len()];
    for (at, ring) in rings.into_iter().enumerate() {
        match owner[at] {
            Some(own) if own == at => outers[at] = Some(ring),
            Some(own) => holes[own].push(ring),
            None => {}
        }
    }
    let outlines = outers
        .into_par_iter()
        .zip(holes)
        .filter_map(|(outer, holes)| outer.and_then(|outer| with_sound_holes(outer, holes)))
        .collect();
    Region { outlines }
}

/// The outline, holes without area left out; `None` when the outer ring has none.
pub(crate) fn with_sound_holes(outer: Ring, holes: Vec<Ring>) -> Option<Outline> {
    let holes = holes.into_iter().filter(|hole| Outline::new(hole.clone(), Vec::new()).is_ok()).collect();
    Outline::new(outer, holes).ok()
}

fn signed_area(ring: &[Point]) -> f64 {
    let Some(o) = ring.first() else { return 0.0 };
    ring.iter()
        .zip(ring.iter().cycle().skip(1))
        .map(|(a, b)| (a.x - o.x) * (b.y - o.y) - (b.x - o.x) * (a.y - o.y))
        .sum::<f64>()
        / 2.0
}

/// Edges sorted into horizontal strips, so that a look to the left meets few; only strips in which
/// somebody looks hold any.
struct Strips {
    bottom: f64,
    tall: f64,
    edges: Vec<Option<Vec<(u32, u32)>>>,
}

/// From where a ring looks to the left: the middle of an edge beside its leftmost point. No other
/// ring has a corner at its very height.
fn left_of(ring: &Ring) -> Option<Point> {
    let at = (0..ring.len()).min_by(|a, b| ring[*a].x.total_cmp(&ring[*b].x))?;
    let (a, b) = edge(ring, at);
    let (before, after) = edge(ring, (at + ring.len() - 1) % ring.len());
    let (a, b) = if (a.y - b.y).abs() >= (before.y - after.y).abs() { (a, b) } else { (before, after) };
    Some(Point::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0))
}

impl Strips {
    fn of<'p>(rings: &[Ring], looks: impl Iterator<Item = &'p Point>) -> Self {
        let mut looks = looks.peekable();
        if looks.peek().is_none() {
            return Self { bottom: 0.0, tall: 1.0, edges: vec![None] };
        }
        let all = || rings.iter().flatten();
        let bottom = all().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let top = all().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
        let count = (all().count() / 8).clamp(1, 20_000);
        let tall = ((top - bottom) / count as f64).max(f64::MIN_POSITIVE);
        let mut strips = Self { bottom, tall, edges: vec![None; count] };
        for look in looks {
            let strip = strips.index(look.y);
            strips.edges[strip].get_or_insert_default();
        }
        for (ring_at, ring) in rings.iter().enumerate() {
            for at in 0..ring.len() {
                let (a, b) = edge(ring, at);
                let reached = strips.index(a.y.min(b.y))..=strips.index(a.y.max(b.y));
                for edges in strips.edges[reached].iter_mut().flatten() {
                    edges.push((ring_at as u32, at as u32));
                }
            }
        }
        strips
    }

    fn index(&self, y: f64) -> usize {
        // A float cast holds at the ends of the range.
        (((y - self.bottom) / self.tall) as usize).min(self.edges.len() - 1)
    }

    /// The ring other than `of` that a look to the left meets first.
    fn met(&self, rings: &[Ring], of: usize, look: Option<Point>) -> Option<usize> {
        let from = look?;
        self.edges[self.index(from.y)]
            .as_ref()?
            .iter()
            .filter(|(ring_at, _)| *ring_at as usize != of)
            .filter_map(|(ring_at, at)| {
                let (a, b) = edge(&rings[*ring_at as usize], *at as usize);
                let crosses = (a.y > from.y) != (b.y > from.y);
                let x = a.x + (b.x - a.x) * (from.y - a.y) / (b.y - a.y);
                (crosses && x <= from.x).then_some((x, *ring_at))
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, ring)| ring as usize)
    }
}

fn edge(ring: &Ring, at: usize) -> (Point, Point) {
    (ring[at], ring[(at + 1) % ring.len()])
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// Coverage of a shape by 16 × 16 samples a pixel.
    pub(crate) fn drawn(width: usize, height: usize, inside: impl Fn(f64, f64) -> bool) -> Coverage {
        let mut ink = Vec::new();
        for y in 0..height {
            for x in 0..width {
                let hits = (0..256)
                    .filter(|at| {
                        let (sx, sy) = ((at % 16) as f64 / 16.0 + 1.0 / 32.0, (at / 16) as f64 / 16.0 + 1.0 / 32.0);
                        inside(x as f64 + sx, y as f64 + sy)
                    })
                    .count();
                ink.push((hits as f64 * 255.0 / 256.0).round() as u8);
            }
        }
        Coverage::new(width, height, ink)
    }

    /// πr² and 2πr, Euclid XII.2; the error shrinks with the square of the resolution.
    #[test]
    fn a_disc_converges_to_its_area_and_girth() {
        let mut last = f64::INFINITY;
        for r in [10.0, 20.0, 40.0, 80.0] {
            let side = (2.0 * r + 7.0) as usize;
            let disc = drawn(side, side, |x, y| (x - r - 3.2).hypot(y - r - 3.4) < r);
            let region = region(&disc, 1_000_000).expect("an edge");
            assert_eq!(region.outlines.len(), 1);
            let area = (region.area() / (std::f64::consts::PI * r * r) - 1.0).abs();
            let girth = (region.perimeter() / (2.0 * std::f64::consts::PI * r) - 1.0).abs();
            assert!(area < 0.45 / (r * r) + 1e-5, "r {r}: area off by {area}");
            assert!(girth < 4e-3, "r {r}: girth off by {girth}");
            assert!(area <= last * 1.5);
            last = area;
        }
    }

    #[test]
    fn a_ring_keeps_its_hole_and_a_dot_inside_the_hole_is_a_part_of_its_own() {
        let shape = drawn(64, 64, |x, y| {
            let d = (x - 32.0).hypot(y - 32.0);
            (d < 28.0 && d > 14.0) || d < 5.0
        });
        let region = region(&shape, 100_000).expect("an edge");
        let mut holes: Vec<_> = region.outlines.iter().map(|o| o.holes().len()).collect();
        holes.sort_unstable();
        assert_eq!(holes, [0, 1]);
        let exact = std::f64::consts::PI * (28.0 * 28.0 - 14.0 * 14.0 + 25.0);
        assert!((region.area() / exact - 1.0).abs() < 2e-3);
    }

    #[test]
    fn a_full_picture_is_its_own_rectangle() {
        let full = Coverage::new(7, 5, vec![255; 35]);
        let region = region(&full, 1000).expect("an edge");
        let bounds = region.bounds().expect("inked");
        assert_eq!((bounds.width(), bounds.height()), (7.0, 5.0));
        // Corners are cut by less than half a pixel each.
        assert!((region.area() - 35.0).abs() <= 4.0 * 0.125);
    }

    #[test]
    fn too_much_edge_is_refused() {
        let chequered =
            Coverage::new(100, 100, (0..10_000).map(|i| if (i + i / 100) % 2 == 0 { 255 } else { 0 }).collect());
        assert!(matches!(region(&chequered, 500), Err(TooRagged)));
        assert!(region(&chequered, 100_000).is_ok());
    }

    /// Every part of a field of rings holds exactly its own hole.
    #[test]
    fn many_rings_keep_their_own_holes() {
        let field = drawn(160, 160, |x, y| {
            let d = (x.rem_euclid(20.0) - 10.0).hypot(y.rem_euclid(20.0) - 10.0);
            d < 8.0 && d > 4.0
        });
        let region = region(&field, 100_000).expect("an edge");
        assert_eq!(region.outlines.len(), 64);
        assert!(region.outlines.iter().all(|o| o.holes().len() == 1 && o.area() > 0.0));
    }
}
