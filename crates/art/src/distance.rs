//! For every inked pixel the nearest bare one, exactly, in time linear in the pixels.
//!
//! The two-scan Euclidean transform of Meijster, Roerdink & Hesselink, "A general
//! algorithm for computing distance transforms in linear time" (2000), keeping the
//! nearest pixel beside its distance. Beyond the picture lies neither ink nor bare:
//! the rim is no wall.

use crate::coverage::Coverage;

/// From how much ink on a pixel counts as inked; the half of [`crate::contour`].
const INKED: u8 = 128;

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
        let (width, height) = (coverage.width(), coverage.height());
        if width == 0 || height == 0 || width >= NONE as usize || height >= NONE as usize {
            return None;
        }
        let rows = column_scan(coverage);
        let mut columns = vec![0u16; width * height];
        let mut envelope = Envelope::default();
        for ((rows, columns), ink) in
            rows.chunks_exact(width).zip(columns.chunks_exact_mut(width)).zip(coverage.bytes().chunks_exact(width))
        {
            envelope.scan(rows, ink, columns);
        }
        Some(Self { width, height, rows, columns })
    }

    pub fn width(&self) -> usize {
        self.width
    }

    pub fn height(&self) -> usize {
        self.height
    }

    /// The nearest bare pixel to an inked one; `None` for a bare one or where there is none at all.
    pub fn bare(&self, x: usize, y: usize) -> Option<(i64, i64)> {
        let column = usize::from(self.columns[y * self.width + x]);
        let rows = self.rows[y * self.width + column];
        let itself = column == x && rows == 0;
        (rows != NONE && !itself).then(|| (column as i64, y as i64 + i64::from(rows)))
    }
}

/// Downward then upward: how far the nearest bare pixel of the column is.
fn column_scan(coverage: &Coverage) -> Vec<i16> {
    let (width, height) = (coverage.width(), coverage.height());
    let mut rows = vec![NONE; width * height];
    let mut since = vec![NONE; width];
    for y in 0..height {
        let line = &mut rows[y * width..(y + 1) * width];
        for ((out, since), ink) in line.iter_mut().zip(&mut since).zip(coverage.row(y)) {
            *since = if *ink < INKED { 0 } else { since.saturating_add(1) };
            *out = if *since == NONE { NONE } else { -*since };
        }
    }
    since.fill(NONE);
    for y in (0..height).rev() {
        let line = &mut rows[y * width..(y + 1) * width];
        for ((out, since), ink) in line.iter_mut().zip(&mut since).zip(coverage.row(y)) {
            *since = if *ink < INKED { 0 } else { since.saturating_add(1) };
            if *since != NONE && (*out == NONE || *since < -*out) {
                *out = *since;
            }
        }
    }
    rows
}

/// The lower envelope of the parabolas (x − i)² + rows(i)² of one row.
#[derive(Default)]
struct Envelope {
    /// Column of each parabola and the first x where it is lowest.
    parts: Vec<(usize, i64)>,
}

impl Envelope {
    fn scan(&mut self, rows: &[i16], ink: &[u8], columns: &mut [u16]) {
        self.parts.clear();
        let height = |i: usize| i64::from(rows[i]) * i64::from(rows[i]);
        let value = |x: i64, i: usize| (x - i as i64).pow(2) + height(i);
        // Where the parabola of the later column u becomes the lower one (Meijster et al., eq. 3).
        let meeting = |i: usize, u: usize| {
            let (i64_i, i64_u) = (i as i64, u as i64);
            (i64_u * i64_u - i64_i * i64_i + height(u) - height(i)).div_euclid(2 * (i64_u - i64_i)) + 1
        };
        for u in (0..rows.len()).filter(|u| rows[*u] != NONE) {
            while self.parts.last().is_some_and(|(i, from)| value(*from, *i) > value(*from, u)) {
                self.parts.pop();
            }
            match self.parts.last() {
                None => self.parts.push((u, 0)),
                Some((i, _)) => {
                    let from = meeting(*i, u);
                    if from < rows.len() as i64 {
                        self.parts.push((u, from));
                    }
                }
            }
        }
        let mut at = 0;
        for x in 0..rows.len() {
            while self.parts.get(at + 1).is_some_and(|(_, from)| *from <= x as i64) {
                at += 1;
            }
            // A bare pixel, or a picture without any, points at itself.
            columns[x] = match self.parts.get(at) {
                Some((i, _)) if ink[x] >= INKED => *i as u16,
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
}
