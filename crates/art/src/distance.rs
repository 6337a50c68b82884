//! For every inked pixel the nearest bare one, exactly, in time linear in the pixels.
//!
//! The two-scan Euclidean transform of Meijster, Roerdink & Hesselink, "A general
//! algorithm for computing distance transforms in linear time" (2000), keeping the
//! nearest pixel beside its distance. Beyond the picture lies neither ink nor bare:
//! the rim is no wall.

use crate::coverage::Coverage;
use rayon::prelude::*;

/// From how much ink on a pixel counts as inked; the half of [`crate::contour`].
const INKED: u8 = 128;

/// Rows whose nearest pixels are sought side by side.
const ROWS_A_TASK: usize = 64;

/// No bare pixel in this column.
const NONE: i16 = i16::MAX;

/// Which bare pixel is nearest to each inked one. Sides up to 32,766 pixels.
pub(crate) struct Nearest {
    width: usize,
    height: usize,
    /// Rows to the nearest bare pixel of the same column, negative upward.
    rows: Vec<i16>,
    /// Column of the nearest bare pixel of all.
    columns: Vec<u16>,
}

impl Nearest {
    /// Finds them all; `None` when a side is too large.
    pub fn of(coverage: &Coverage) -> Option<Self> {
        Self::within(coverage, f64::INFINITY)
    }

    /// Finds those up to `reach` px away, which is less work where much lies deeper. Where none lies
    /// so near there is none, or some other one farther than that.
    pub fn within(coverage: &Coverage, reach: f64) -> Option<Self> {
        let (width, height, ink) = (coverage.width(), coverage.height(), coverage.bytes());
        if width == 0 || height == 0 || width >= NONE as usize || height >= NONE as usize {
            return None;
        }
        let rows = column_scan(width, ink, reach.ceil().clamp(1.0, f64::from(NONE - 1)) as i16);
        let mut columns = vec![0u16; width * height];
        let one_row = |envelope: &mut Envelope, rows: &[i16], ink: &[u8], columns: &mut [u16]| {
            // A row without ink asks nothing: every pixel points at itself.
            if ink.iter().all(|ink| *ink < INKED) {
                for (x, column) in columns.iter_mut().enumerate() {
                    *column = x as u16;
                }
            } else {
                envelope.scan(rows, ink, columns);
            }
        };
        let tall = width * ROWS_A_TASK;
        columns.par_chunks_mut(tall).zip(rows.par_chunks(tall)).zip(ink.par_chunks(tall)).for_each_init(
            Envelope::default,
            |envelope, ((columns, rows), ink)| {
                let each = rows.chunks_exact(width).zip(ink.chunks_exact(width)).zip(columns.chunks_exact_mut(width));
                for ((rows, ink), columns) in each {
                    one_row(envelope, rows, ink, columns);
                }
            },
        );
        Some(Self { width, height, rows, columns })
    }

    pub fn width(&self) -> usize {
        self.width
    }

    pub fn height(&self) -> usize {
        self.height
    }

    /// The way from each pixel of a row to its nearest bare one, right and down; 0, 0 on a bare
    /// pixel, or where there is none at all. Beyond the last row there is nothing.
    pub fn ways(&self, y: usize, right: &mut Vec<i16>, down: &mut Vec<i16>) {
        right.clear();
        down.clear();
        let row = self.rows.get(y * self.width..(y + 1) * self.width).unwrap_or(&[]);
        let columns = self.columns.get(y * self.width..(y + 1) * self.width).unwrap_or(&[]);
        // Sides stay under 2¹⁵, so ways fit.
        let rows = columns.iter().map(|column| row.get(usize::from(*column)).copied().unwrap_or(NONE));
        down.extend(rows);
        right.extend(columns.iter().enumerate().zip(down.iter_mut()).map(|((x, column), rows)| {
            if *rows == NONE {
                *rows = 0;
                return 0;
            }
            column.wrapping_sub(x as u16) as i16
        }));
    }

    /// The nearest bare pixel to an inked one; `None` for a bare one or where there is none at all.
    pub fn bare(&self, x: usize, y: usize) -> Option<(i64, i64)> {
        let column = usize::from(self.columns[y * self.width + x]);
        let rows = self.rows[y * self.width + column];
        let itself = column == x && rows == 0;
        (rows != NONE && !itself).then(|| (column as i64, y as i64 + i64::from(rows)))
    }
}

/// Downward then upward: how far the nearest bare pixel of the column is, where it is no farther
/// than `reach`.
fn column_scan(width: usize, ink: &[u8], reach: i16) -> Vec<i16> {
    let mut rows = vec![0; ink.len()];
    let mut since = vec![NONE; width];
    for (line, ink) in rows.chunks_exact_mut(width).zip(ink.chunks_exact(width)) {
        for ((out, since), ink) in line.iter_mut().zip(&mut since).zip(ink) {
            *since = if *ink < INKED { 0 } else { since.saturating_add(1) };
            // Never the least number, so that it has an opposite.
            *out = if *since == NONE { NONE } else { since.wrapping_neg() };
        }
    }
    since.fill(NONE);
    for (line, ink) in rows.chunks_exact_mut(width).zip(ink.chunks_exact(width)).rev() {
        for ((out, since), ink) in line.iter_mut().zip(&mut since).zip(ink) {
            *since = if *ink < INKED { 0 } else { since.saturating_add(1) };
            // Without a branch, so that many columns are done at once.
            let above = if *out == NONE { NONE } else { out.wrapping_neg() };
            let found = if *since < above { *since } else { *out };
            *out = if above.min(*since) <= reach { found } else { NONE };
        }
    }
    rows
}

/// The lower envelope of the parabolas (x − i)² + rows(i)² of one row.
///
/// Sides stay under 32,767, so that a sum of two squares stays under 2³¹.
#[derive(Default)]
struct Envelope {
    parts: Vec<Parabola>,
}

#[derive(Clone, Copy)]
struct Parabola {
    /// Its column.
    i: i32,
    /// Its height there, squared.
    height: i32,
    /// The first x where it is lowest.
    from: i32,
}

impl Parabola {
    fn at(self, x: i32) -> i32 {
        let away = x.wrapping_sub(self.i);
        away.wrapping_mul(away).wrapping_add(self.height)
    }

    /// Where a later parabola becomes the lower one (Meijster et al., eq. 3).
    fn meets(self, later: Self) -> i32 {
        let (i, u) = (self.i, later.i);
        let rise = u.wrapping_mul(u).wrapping_sub(i.wrapping_mul(i));
        let above = later.height.wrapping_sub(self.height);
        if u.wrapping_sub(i) == 1 {
            // Most are neighbours, whose span of 2 divides without dividing.
            let below = (i64::from(rise).wrapping_add(i64::from(above))) >> 1;
            return i32::try_from(below).map_or(i32::MAX, |below| below.saturating_add(1));
        }
        // Both below 2³¹ in size, their sum may not be; it is whole in an f64, and so near a whole
        // quotient that only an exact one could round to it (a span stays under 2¹⁷). Dividing so
        // takes a fraction of the time that dividing whole numbers does.
        let quotient = (f64::from(rise) + f64::from(above)) / f64::from(u.wrapping_sub(i).wrapping_mul(2));
        let towards_zero = quotient as i32;
        let below = i32::from(f64::from(towards_zero) > quotient);
        towards_zero.wrapping_sub(below).saturating_add(1)
    }
}

impl Envelope {
    fn scan(&mut self, rows: &[i16], ink: &[u8], columns: &mut [u16]) {
        self.parts.clear();
        let width = rows.len();
        let mut at = 0;
        while at < width {
            let end_of = |bare: bool| rows[at..].iter().position(|rows| (*rows == 0) != bare).map_or(width, |n| at + n);
            if rows[at] == 0 {
                // Within a bare run only its two ends can be the nearest to anything inked.
                let end = end_of(true);
                self.push(at, 0, width);
                if end - at > 1 {
                    self.push(end - 1, 0, width);
                }
                at = end;
                continue;
            }
            let end = end_of(false);
            for (u, rows) in (at..end).zip(&rows[at..end]).filter(|(_, rows)| **rows != NONE) {
                let left = if at > 0 { u + 1 - at } else { usize::MAX };
                let right = if end < width { end - u } else { usize::MAX };
                // As far off as both ends of the run, it is nearest to nothing: to the left the one
                // end is as near, to the right the other.
                if usize::from(rows.unsigned_abs()) < left.max(right) {
                    self.push(u, i32::from(*rows), width);
                }
            }
            at = end;
        }
        self.lowest(ink, columns);
    }

    /// Takes up the parabola of a column, `rows` to its bare pixel.
    fn push(&mut self, column: usize, rows: i32, width: usize) {
        let mut later = Parabola { i: column as i32, height: rows.wrapping_mul(rows), from: 0 };
        while self.parts.last().is_some_and(|last| last.at(last.from) > later.at(last.from)) {
            self.parts.pop();
        }
        if let Some(last) = self.parts.last() {
            later.from = last.meets(later);
        }
        if later.from < width as i32 {
            self.parts.push(later);
        }
    }

    /// A bare pixel, or one of a picture without any, points at itself.
    fn lowest(&self, ink: &[u8], columns: &mut [u16]) {
        for (x, column) in columns.iter_mut().enumerate() {
            *column = x as u16;
        }
        let width = columns.len();
        let ends = self.parts.iter().skip(1).map(|next| next.from.max(0) as usize).chain([width]);
        for (part, end) in self.parts.iter().zip(ends) {
            let reached = (part.from.max(0) as usize).min(width)..end.min(width);
            let (Some(columns), Some(ink)) = (columns.get_mut(reached.clone()), ink.get(reached)) else { continue };
            for (column, ink) in columns.iter_mut().zip(ink) {
                *column = if *ink >= INKED { part.i as u16 } else { *column };
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against every pixel compared with every other.
    #[test]
    fn agrees_with_looking_at_every_pair() {
        let mut state = 7u32;
        let mut random = move || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            state >> 16
        };
        for density in [2, 5, 40, 400] {
            let (width, height) = (37, 29);
            let ink: Vec<u8> = (0..width * height).map(|_| if random() % density == 0 { 0 } else { 255 }).collect();
            let coverage = Coverage::new(width, height, ink.clone());
            let nearest = Nearest::of(&coverage).expect("small enough");
            let bare: Vec<(i64, i64)> = (0..width * height)
                .filter(|i| ink[*i] == 0)
                .map(|i| ((i % width) as i64, (i / width) as i64))
                .collect();
            for at in (0..width * height).filter(|i| ink[*i] > 0) {
                let (x, y) = ((at % width) as i64, (at / width) as i64);
                let squared = |p: (i64, i64)| (p.0 - x).pow(2) + (p.1 - y).pow(2);
                let found = nearest.bare(x as usize, y as usize);
                assert_eq!(found.map(squared), bare.iter().map(|p| squared(*p)).min());
            }
        }
    }

    /// Up to its reach a short-sighted look agrees with a full one; beyond, it names none nearer.
    #[test]
    fn a_short_look_is_exact_within_its_reach() {
        let (width, height) = (61, 47);
        let ink: Vec<u8> = (0..width * height).map(|i| if i % 397 == 5 || i % 733 == 9 { 0 } else { 255 }).collect();
        let coverage = Coverage::new(width, height, ink);
        let full = Nearest::of(&coverage).expect("small enough");
        for reach in [1.0, 3.0, 7.5] {
            let short = Nearest::within(&coverage, reach).expect("small enough");
            let mut near = 0;
            for (x, y) in (0..height).flat_map(|y| (0..width).map(move |x| (x, y))) {
                let away = |found: Option<(i64, i64)>| {
                    found.map(|(bx, by)| ((bx - x as i64) as f64).hypot((by - y as i64) as f64))
                };
                let (exact, found) = (away(full.bare(x, y)), away(short.bare(x, y)));
                match exact {
                    Some(exact) if exact <= reach => {
                        assert_eq!(found, Some(exact), "{x}, {y} within {reach}");
                        near += 1;
                    }
                    _ => assert!(found.is_none_or(|found| found > reach), "{x}, {y} beyond {reach}"),
                }
            }
            assert!(near > 0, "{reach}");
        }
    }
}
