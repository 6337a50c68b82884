//! The sheet put together from stamps, a batch of bands at a time.

use super::stamp::{CannotDraw, Run, Stamp, lay_over};
use crate::error::SheetError;
use crate::png_file::{BAND_ROWS, is_blank};
use crate::sheet::PrintSheet;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::ops::Range;

/// Rows put together before they are packed: six bands for the threads to share.
pub(crate) const BATCH_ROWS: usize = 6 * BAND_ROWS;
/// Bytes of stamps kept for the copies that come further down the sheet.
const KEPT_BYTES: usize = 30 << 20;

/// A small picture that is not art: a label, a bar, a mark.
pub(crate) struct Overlay {
    pub(crate) column: i64,
    pub(crate) row: i64,
    pub(crate) width: usize,
    /// Straight sRGB rows.
    pub(crate) pixels: Vec<u8>,
}

/// Where a stamp comes to lie.
struct Set {
    piece: usize,
    stamp: usize,
    column: i64,
    row: i64,
}

/// Runs to be made: by stamp and number of the run, and the piece they are needed for.
pub(crate) struct Missing(Vec<((usize, usize), usize)>);

/// Runs that were made.
pub(crate) struct Made(Vec<((usize, usize), Run)>);

/// Makes the rows of a sheet from the top.
pub(crate) struct Composer<'s, 'a> {
    stamps: Vec<Stamp<'a>>,
    sets: Vec<Set>,
    overlays: &'s [Overlay],
    width: usize,
    /// By stamp and number of the run.
    kept: BTreeMap<(usize, usize), Run>,
}

impl<'s, 'a> Composer<'s, 'a> {
    pub(crate) fn new(sheet: &PrintSheet<'a>, overlays: &'s [Overlay]) -> Self {
        let mut stamps: Vec<Stamp<'a>> = Vec::new();
        let mut sets = Vec::with_capacity(sheet.pieces.len());
        for (at, piece) in sheet.pieces.iter().enumerate() {
            let stamp = stamps.iter().position(|s| s.serves(piece)).unwrap_or_else(|| {
                stamps.push(Stamp::new(piece, sheet.px_per_mm()));
                stamps.len() - 1
            });
            let (column, row) = stamps[stamp].place(sheet, piece);
            sets.push(Set { piece: at, stamp, column, row });
        }
        let width = sheet.size_px().0 as usize;
        Self { stamps, sets, overlays, width, kept: BTreeMap::new() }
    }

    /// Puts rows, straight sRGB, from `first` on into a buffer of zeros; the runs they need are
    /// held already.
    pub(crate) fn fill(&self, first: usize, out: &mut [u8]) {
        let count = out.len() / (self.width * 4).max(1);
        let band = first as i64..(first + count) as i64;
        for set in &self.sets {
            let stamp = &self.stamps[set.stamp];
            let needed = common(&band, set.row, stamp.height);
            if needed.is_empty() {
                continue;
            }
            let run_rows = stamp.run_rows();
            for run in needed.start / run_rows..=(needed.end - 1) / run_rows {
                if let Some(kept) = self.kept.get(&(set.stamp, run)) {
                    self.lay_run(kept, set, first, out);
                }
            }
        }
        for overlay in self.overlays {
            let height = overlay.pixels.len() / (overlay.width * 4).max(1);
            for own in common(&band, overlay.row, height) {
                let line = &overlay.pixels[own * overlay.width * 4..(own + 1) * overlay.width * 4];
                let row = (overlay.row + own as i64 - first as i64) as usize;
                self.lay_line(line, overlay.column, row, out);
            }
        }
    }

    fn lay_run(&self, run: &Run, set: &Set, first: usize, out: &mut [u8]) {
        let count = out.len() / (self.width * 4).max(1);
        let band = first as i64..(first + count) as i64;
        for own in common(&band, set.row + run.first_row as i64, run.len()) {
            let (start, line) = run.row(own);
            let row = (set.row + (run.first_row + own) as i64 - first as i64) as usize;
            self.lay_line(line, set.column + start as i64, row, out);
        }
    }

    /// Lays a line of pixels at `column`; what falls off the sheet is lost.
    fn lay_line(&self, line: &[u8], column: i64, row: usize, out: &mut [u8]) {
        let seen = common(&(0..self.width as i64), column, line.len() / 4);
        if seen.is_empty() {
            return;
        }
        let start = row * self.width + (column + seen.start as i64) as usize;
        let target = &mut out[start * 4..(start + seen.len()) * 4];
        let line = &line[seen.start * 4..seen.end * 4];
        // Pieces seldom lie over one another.
        if is_blank(target) {
            target.copy_from_slice(line);
            return;
        }
        for (below, above) in target.chunks_exact_mut(4).zip(line.chunks_exact(4)) {
            lay_over(below, above);
        }
    }

    /// The runs that rows need, each with a piece they are needed for.
    fn needed(&self, rows: &Range<usize>) -> BTreeMap<(usize, usize), usize> {
        let rows = rows.start as i64..rows.end as i64;
        let mut needed: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for set in &self.sets {
            let stamp = &self.stamps[set.stamp];
            let own = common(&rows, set.row, stamp.height);
            if !own.is_empty() {
                for run in own.start / stamp.run_rows()..=(own.end - 1) / stamp.run_rows() {
                    needed.entry((set.stamp, run)).or_insert(set.piece);
                }
            }
        }
        needed
    }

    /// Which runs `coming` rows need that are not held, after letting go of runs to make room for
    /// them: neither of theirs nor of those that `now` needs.
    pub(crate) fn missing(&mut self, now: &Range<usize>, coming: &Range<usize>) -> Missing {
        let mut wanted = self.needed(coming);
        let missing: Vec<_> =
            wanted.iter().filter(|(key, _)| !self.kept.contains_key(key)).map(|(key, piece)| (*key, *piece)).collect();
        let bytes =
            missing.iter().map(|((stamp, _), _)| self.stamps[*stamp].run_rows() * self.stamps[*stamp].width * 4).sum();
        wanted.extend(self.needed(now));
        self.make_room(&wanted, bytes, now.start as i64);
        Missing(missing)
    }

    /// Makes runs, side by side.
    pub(crate) fn made(&self, missing: Missing) -> Result<Made, SheetError> {
        let make = |((stamp, run), piece): ((usize, usize), usize)| {
            let of = &self.stamps[stamp];
            let first = run * of.run_rows();
            let last = (first + of.run_rows()).min(of.height);
            let made = of.run(first..last).map_err(|CannotDraw| SheetError::Drawing { piece })?;
            Ok(((stamp, run), made))
        };
        missing.0.into_par_iter().map(make).collect::<Result<Vec<_>, SheetError>>().map(Made)
    }

    /// Holds runs for the rows to come.
    pub(crate) fn hold(&mut self, made: Made) {
        self.kept.extend(made.0);
    }

    /// The whole sheet is known, so the run whose next copy comes latest goes first: no other
    /// choice makes fewer runs twice (Belady, *IBM Systems Journal* 5(2), 1966).
    fn make_room(&mut self, wanted: &BTreeMap<(usize, usize), usize>, coming: usize, from: i64) {
        let mut held: usize = self.kept.values().map(Run::bytes).sum();
        let mut by_need: Vec<(i64, (usize, usize))> = self
            .kept
            .iter()
            .filter(|(key, _)| !wanted.contains_key(key))
            .map(|(key, run)| (self.needed_next(key.0, run, from), *key))
            .collect();
        by_need.sort_unstable();
        while held.saturating_add(coming) > KEPT_BYTES || by_need.last().is_some_and(|(next, _)| *next == i64::MAX) {
            let Some((_, key)) = by_need.pop() else { break };
            held -= self.kept.remove(&key).map_or(0, |run| run.bytes());
        }
    }

    /// The first row, not above `from`, at which a run is laid again.
    fn needed_next(&self, stamp: usize, run: &Run, from: i64) -> i64 {
        let rows = self.sets.iter().filter(|set| set.stamp == stamp).map(|set| set.row + run.first_row as i64);
        rows.filter(|row| row + run.len() as i64 > from).min().unwrap_or(i64::MAX)
    }
}

/// Which of `height` own rows, the first of them at `at`, fall into `band`.
fn common(band: &Range<i64>, at: i64, height: usize) -> Range<usize> {
    let from = (band.start - at).clamp(0, height as i64);
    let to = (band.end - at).clamp(from, height as i64);
    from as usize..to as usize
}
