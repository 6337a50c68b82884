//! Which pieces' boxes may meet a box: a raster of cells with the pieces that reach into each.

use crate::board::Spot;

/// Cells of equal size over the board; what lies beyond it counts to the cells at its rim.
#[derive(Debug, Clone)]
pub(crate) struct Raster {
    /// Cells an mm.
    scale: f64,
    across: usize,
    up: usize,
    cells: Vec<Vec<u32>>,
}

/// Cells a raster has at most.
const MOST_CELLS: f64 = 60_000.0;

impl Raster {
    /// For boxes of about this extent on a board from 0 to `far`.
    pub(crate) fn new(far: Spot, extent: f64) -> Self {
        let far = far.map(|v| v.max(1e-9));
        let least = (far[0] * far[1] / MOST_CELLS).sqrt();
        let cell = extent.max(least).max(1e-9);
        let count = |v: f64| ((v / cell).ceil().max(1.0) as usize).min(MOST_CELLS as usize);
        let (across, up) = (count(far[0]), count(far[1]));
        Self { scale: 1.0 / cell, across, up, cells: vec![Vec::new(); across * up] }
    }

    #[inline]
    fn column(&self, x: f64) -> usize {
        // A cast of what is below nothing is 0.
        ((x * self.scale) as usize).min(self.across - 1)
    }

    #[inline]
    fn row(&self, y: f64) -> usize {
        ((y * self.scale) as usize).min(self.up - 1)
    }

    /// Takes everything out.
    pub(crate) fn clear(&mut self) {
        self.cells.iter_mut().for_each(Vec::clear);
    }

    /// Puts a box in.
    pub(crate) fn insert(&mut self, at: usize, low: Spot, high: Spot) {
        for row in self.row(low[1])..=self.row(high[1]) {
            for column in self.column(low[0])..=self.column(high[0]) {
                self.cells[row * self.across + column].push(at as u32);
            }
        }
    }

    /// Takes a box out that was put in with these corners.
    pub(crate) fn remove(&mut self, at: usize, low: Spot, high: Spot) {
        for row in self.row(low[1])..=self.row(high[1]) {
            for column in self.column(low[0])..=self.column(high[0]) {
                let cell = &mut self.cells[row * self.across + column];
                if let Some(place) = cell.iter().position(|other| *other as usize == at) {
                    cell.swap_remove(place);
                }
            }
        }
    }

    /// Calls for each box that overlaps this one, once, until the answer is no.
    #[inline]
    pub(crate) fn overlapping(
        &self,
        (low, high): (Spot, Spot),
        (lows, highs): (&[Spot], &[Spot]),
        mut each: impl FnMut(usize) -> bool,
    ) {
        let (first, last) = (self.column(low[0]), self.column(high[0]));
        for row in self.row(low[1])..=self.row(high[1]) {
            for column in first..=last {
                for at in &self.cells[row * self.across + column] {
                    let at = *at as usize;
                    let (l, h) = (lows[at], highs[at]);
                    if low[0] >= h[0] || high[0] <= l[0] || low[1] >= h[1] || high[1] <= l[1] {
                        continue;
                    }
                    // Both reach into several cells: only the one with the lower left corner of what they share counts.
                    if self.column(low[0].max(l[0])) != column || self.row(low[1].max(l[1])) != row {
                        continue;
                    }
                    if !each(at) {
                        return;
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;

    /// Against looking at every pair.
    #[test]
    fn every_overlapping_box_is_met_once() {
        let mut random = Random::new(3, 0);
        let mut raster = Raster::new([200.0, 50.0], 12.0);
        let mut boxes: Vec<(Spot, Spot)> = Vec::new();
        let mut any = || {
            let low = [random.between(-20.0, 210.0), random.between(-20.0, 60.0)];
            (low, [low[0] + random.between(0.5, 40.0), low[1] + random.between(0.5, 40.0)])
        };
        for at in 0..60 {
            boxes.push(any());
            raster.insert(at, boxes[at].0, boxes[at].1);
        }
        for round in 0..200 {
            let moved = round % 60;
            raster.remove(moved, boxes[moved].0, boxes[moved].1);
            boxes[moved] = any();
            raster.insert(moved, boxes[moved].0, boxes[moved].1);
            let (low, high) = any();
            let (lows, highs): (Vec<Spot>, Vec<Spot>) = boxes.iter().copied().unzip();
            let mut met = Vec::new();
            raster.overlapping((low, high), (&lows, &highs), |at| {
                met.push(at);
                true
            });
            met.sort_unstable();
            let meets = |at: &usize| (0..2).all(|k| low[k] < boxes[*at].1[k] && high[k] > boxes[*at].0[k]);
            assert_eq!(met, (0..60).filter(meets).collect::<Vec<_>>());
        }
    }
}
