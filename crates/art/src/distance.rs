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
        Self::within(coverage.width(), coverage.bytes(), f64::INFINITY)
    }

    /// Finds those of some whole rows that lie up to `reach` px away, which is less work where much
    /// lies deeper. Where none lies so near there is none, or some other one farther than that.
    pub fn within(width: usize, ink: &[u8], reach: f64) -> Option<Self> {
        let height = ink.len().checked_div(width)?;
        if height == 0 || width >= NONE as usize || height >= NONE as usize {
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
            let nearer = *since != NONE && (*out == NONE || *since < out.wrapping_neg());
            let found = if nearer { *since } else { *out };
            *out = if found.wrapping_abs() <= reach { found } else { NONE };
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
        let width = rows.len() as i32;
        let mut before = NONE;
        for (u, rows_here) in rows.iter().enumerate() {
            let last = std::mem::replace(&mut before, *rows_here);
            // Within a bare run only its two ends can be the nearest to anything inked.
            let inner = *rows_here == 0 && last == 0 && rows.get(u + 1) == Some(&0);
            if *rows_here == NONE || inner {
                continue;
            }
            let height = i32::from(*rows_here).wrapping_mul(i32::from(*rows_here));
            let mut later = Parabola { i: u as i32, height, from: 0 };
            while self.parts.last().is_some_and(|last| last.at(last.from) > later.at(last.from)) {
                self.parts.pop();
            }
            if let Some(last) = self.parts.last() {
                later.from = last.meets(later);
            }
            if later.from < width {
                self.parts.push(later);
            }
        }
        self.lowest(ink, columns);
    }

    /// A bare pixel, or one of a picture without any, points at itself.
    fn lowest(&self, ink: &[u8], columns: &mut [u16]) {
        let mut parts = self.parts.iter().peekable();
        let mut here = None;
        for (x, (column, ink)) in columns.iter_mut().zip(ink).enumerate() {
            while let Some(next) = parts.next_if(|part| part.from <= x as i32) {
                here = Some(next.i as u16);
            }
            *column = match here {
                Some(i) if *ink >= INKED => i,
                _ => x as u16,
            };
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
            let short = Nearest::within(width, coverage.bytes(), reach).expect("small enough");
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
