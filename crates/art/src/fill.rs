//! A region of plain outlines laid on a grid: how much of each pixel it covers, exactly.
//!
//! Every edge adds to each pixel it passes the area between itself and the right side of the
//! pixel, signed by its direction; summed along a row that is the covered share. Outlines of a
//! region do not overlap, outer rings run counter-clockwise and holes clockwise, so that no
//! winding rule is needed.

use crate::coverage::Coverage;
use geometry::{Outline, Point, Region};

/// Horizontal bands filled side by side; how many there are does not hang on the machine.
const BANDS: usize = 4;

/// A region within a box of so many units (y up) on so many columns and rows (rows down).
pub(crate) fn filled(outline: &Region, units: (f64, f64), (columns, rows): (usize, usize)) -> Coverage {
    let (sx, sy) = (columns as f64 / units.0, rows as f64 / units.1);
    let place = |p: &Point| Point::new((p.x * sx).clamp(0.0, columns as f64), (units.1 - p.y) * sy);
    let rings: Vec<Vec<Point>> =
        outline.outlines.iter().flat_map(Outline::rings).map(|ring| ring.iter().map(place).collect()).collect();
    let tall = rows.div_ceil(BANDS).max(1);
    let mut ink = vec![0; columns * rows];
    std::thread::scope(|scope| {
        for (nth, ink) in ink.chunks_mut(columns.max(1) * tall).enumerate() {
            let rings = &rings;
            scope.spawn(move || Band::new(columns, nth * tall, ink.len() / columns.max(1)).fill(rings, ink));
        }
    });
    Coverage::new(columns, rows, ink)
}

/// Some rows, with what the edges add to each pixel and to all right of it.
struct Band {
    columns: usize,
    /// One more than there are columns: an edge on the right rim adds there.
    stride: usize,
    top: f64,
    rows: usize,
    sums: Vec<f32>,
}

impl Band {
    fn new(columns: usize, top: usize, rows: usize) -> Self {
        let stride = columns + 2;
        Self { columns, stride, top: top as f64, rows, sums: vec![0.0; stride * rows] }
    }

    fn fill(mut self, rings: &[Vec<Point>], ink: &mut [u8]) {
        for ring in rings {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                self.edge(*a, *b);
            }
        }
        for (sums, ink) in self.sums.chunks_exact(self.stride).zip(ink.chunks_exact_mut(self.columns)) {
            let mut sum = 0.0_f32;
            for (ink, add) in ink.iter_mut().zip(sums) {
                sum += add;
                *ink = (sum.abs().min(1.0) * 255.0 + 0.5) as u8;
            }
        }
    }

    /// An edge, row by row from its upper end.
    fn edge(&mut self, a: Point, b: Point) {
        let (sign, upper, lower) = if a.y < b.y { (1.0, a, b) } else { (-1.0, b, a) };
        let (from, to) = ((upper.y - self.top).max(0.0), (lower.y - self.top).min(self.rows as f64));
        if from >= to {
            return;
        }
        let slope = (lower.x - upper.x) / (lower.y - upper.y);
        let (low, high) = (upper.x.min(lower.x), upper.x.max(lower.x));
        let top = self.top;
        let at = |y: f64| (upper.x + (y + top - upper.y) * slope).clamp(low, high);
        let mut x = at(from);
        for row in from as usize..(to.ceil() as usize).min(self.rows) {
            let (start, end) = (from.max(row as f64), to.min(row as f64 + 1.0));
            let next = at(end);
            self.stretch(row, (x, next), sign * (end - start));
            x = next;
        }
    }

    /// The part of an edge in one row: `down` is how far it runs down, signed.
    fn stretch(&mut self, row: usize, (x, next): (f64, f64), down: f64) {
        let (left, right) = (x.min(next), x.max(next));
        let first = left as usize;
        let last = (right as usize).min(self.columns);
        let sums = &mut self.sums[row * self.stride..(row + 1) * self.stride];
        if first == last {
            let beyond = down * ((left + right) / 2.0 - first as f64);
            sums[first] += (down - beyond) as f32;
            sums[first + 1] += beyond as f32;
            return;
        }
        // Split where it passes from pixel to pixel.
        let share = down / (right - left);
        for column in first..=last {
            let (from, to) = (left.max(column as f64), right.min(column as f64 + 1.0));
            let part = share * (to - from);
            let beyond = part * ((from + to) / 2.0 - column as f64);
            sums[column] += (part - beyond) as f32;
            sums[column + 1] += beyond as f32;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    fn region(outer: &[(f64, f64)], holes: &[&[(f64, f64)]]) -> Region {
        let holes = holes.iter().map(|hole| ring(hole)).collect();
        Region { outlines: vec![Outline::new(ring(outer), holes).expect("an outline")] }
    }

    /// Every pixel's share by arithmetic: whole, half along an edge, a quarter at a corner, an eighth
    /// under a diagonal, none in the hole.
    #[test]
    fn shares_are_exact() {
        let square = [(0.5, 0.5), (3.5, 0.5), (3.5, 3.5), (0.5, 3.5)];
        let hole = [(1.0, 1.0), (1.0, 2.0), (2.0, 2.0), (2.0, 1.0)];
        let filled_square = filled(&region(&square, &[&hole]), (4.0, 4.0), (4, 4));
        // Rows from the top.
        let expected = [[64, 128, 128, 64], [128, 255, 255, 128], [128, 0, 255, 128], [64, 128, 128, 64]];
        for (row, shares) in expected.iter().enumerate() {
            assert_eq!(filled_square.row(row), shares, "row {row}");
        }
        let wedge = filled(&region(&[(0.0, 0.0), (4.0, 0.0), (4.0, 1.0)], &[]), (4.0, 1.0), (4, 1));
        assert_eq!(wedge.row(0), [32, 96, 159, 223]);
    }

    /// The shares add up to the area, however the shape lies on bands and pixels: a disc of many corners.
    #[test]
    fn shares_add_up_to_the_area() {
        for (radius, off) in [(7.3, 0.0), (11.9, 0.37), (20.0, 0.9)] {
            let corner = |at: i32| {
                let (sin, cos) = (f64::from(at) * std::f64::consts::TAU / 97.0).sin_cos();
                (25.0 + off + radius * cos, 24.0 - off + radius * sin)
            };
            let disc = region(&(0..97).map(corner).collect::<Vec<_>>(), &[]);
            let sum: f64 =
                filled(&disc, (50.0, 50.0), (50, 50)).bytes().iter().map(|ink| f64::from(*ink) / 255.0).sum();
            assert!((sum - disc.area()).abs() < 0.1, "{sum} of {}", disc.area());
        }
    }
}
