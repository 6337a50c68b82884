//! The sheet put together from stamps, a batch of bands at a time.

use super::stamp::{CannotDraw, Run, Stamp, lay_over};
use crate::error::SheetError;
use crate::png_file::BAND_ROWS;
use crate::sheet::{LetClothShow, PrintSheet};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::ops::Range;

/// Rows put together before they are packed: eight bands for the threads to share.
pub(crate) const BATCH_ROWS: usize = 8 * BAND_ROWS;
/// Bytes of stamps kept for the copies that come further down the sheet.
const KEPT_BYTES: usize = 64 << 20;

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

/// Makes the rows of a sheet from the top.
pub(crate) struct Composer<'s, 'a> {
    stamps: Vec<Stamp<'a>>,
    sets: Vec<Set>,
    overlays: &'s [Overlay],
    cloth: Option<LetClothShow>,
    width: usize,
    kept: BTreeMap<(usize, usize), Kept>,
    turn: u64,
}

struct Kept {
    run: Run,
    used: u64,
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
        Self { stamps, sets, overlays, cloth: sheet.let_cloth_show, width, kept: BTreeMap::new(), turn: 0 }
    }

    /// The rows asked for, straight sRGB.
    pub(crate) fn rows(&mut self, rows: Range<usize>) -> Result<Vec<u8>, SheetError> {
        self.turn += 1;
        self.make_runs(&rows)?;
        let mut out = vec![0; self.width * rows.len() * 4];
        let band = self.width * BAND_ROWS * 4;
        out.par_chunks_mut(band.max(1)).enumerate().for_each(|(at, out)| {
            let first = rows.start + at * BAND_ROWS;
            self.fill_band(first, out);
        });
        Ok(out)
    }

    fn fill_band(&self, first: usize, out: &mut [u8]) {
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
                    self.lay_run(&kept.run, stamp.width, set, first, out);
                }
            }
        }
        for overlay in self.overlays {
            let height = overlay.pixels.len() / (overlay.width * 4).max(1);
            for own in common(&band, overlay.row, height) {
                let line = &overlay.pixels[own * overlay.width * 4..(own + 1) * overlay.width * 4];
                let row = (overlay.row + own as i64 - first as i64) as usize;
                self.lay_line(line, 0..overlay.width, overlay.column, row, out);
            }
        }
    }

    fn lay_run(&self, run: &Run, stamp_width: usize, set: &Set, first: usize, out: &mut [u8]) {
        let count = out.len() / (self.width * 4).max(1);
        let band = first as i64..(first + count) as i64;
        for own in common(&band, set.row + run.first_row as i64, run.inked.len()) {
            let inked = run.inked[own].clone();
            if !inked.is_empty() {
                let line = &run.pixels[own * stamp_width * 4..(own + 1) * stamp_width * 4];
                let row = (set.row + (run.first_row + own) as i64 - first as i64) as usize;
                self.lay_line(line, inked, set.column, row, out);
            }
        }
    }

    /// Lays the `inked` pixels of a line at `column`; what falls off the sheet is lost.
    fn lay_line(&self, line: &[u8], inked: Range<usize>, column: i64, row: usize, out: &mut [u8]) {
        let visible = common(&(0..self.width as i64), column, line.len() / 4);
        let (from, to) = (inked.start.max(visible.start), inked.end.min(visible.end));
        if from >= to {
            return;
        }
        let start = row * self.width + (column + from as i64) as usize;
        let target = &mut out[start * 4..(start + to - from) * 4];
        for (below, above) in target.chunks_exact_mut(4).zip(line[from * 4..to * 4].chunks_exact(4)) {
            lay_over(below, above);
        }
    }

    /// Makes the runs these rows need and forgets the longest unused ones past the limit.
    fn make_runs(&mut self, rows: &Range<usize>) -> Result<(), SheetError> {
        let rows = rows.start as i64..rows.end as i64;
        let mut wanted: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for set in &self.sets {
            let stamp = &self.stamps[set.stamp];
            let needed = common(&rows, set.row, stamp.height);
            if !needed.is_empty() {
                for run in needed.start / stamp.run_rows()..=(needed.end - 1) / stamp.run_rows() {
                    wanted.entry((set.stamp, run)).or_insert(set.piece);
                }
            }
        }
        for key in wanted.keys() {
            if let Some(kept) = self.kept.get_mut(key) {
                kept.used = self.turn;
            }
        }
        let missing: Vec<((usize, usize), usize)> =
            wanted.into_iter().filter(|(key, _)| !self.kept.contains_key(key)).collect();
        self.make_room(
            missing.iter().map(|((stamp, _), _)| self.stamps[*stamp].run_rows() * self.stamps[*stamp].width * 4).sum(),
        );
        let (stamps, cloth, turn) = (&self.stamps, self.cloth, self.turn);
        let made = missing
            .into_par_iter()
            .map(|((stamp, run), piece)| {
                let of = &stamps[stamp];
                let first = run * of.run_rows();
                let last = (first + of.run_rows()).min(of.height);
                let run_made = of.rows(first..last, cloth).map_err(|CannotDraw| SheetError::Drawing { piece })?;
                Ok(((stamp, run), Kept { run: run_made, used: turn }))
            })
            .collect::<Result<Vec<_>, SheetError>>()?;
        self.kept.extend(made);
        Ok(())
    }

    fn make_room(&mut self, coming: usize) {
        let bytes = |kept: &Kept| kept.run.pixels.len();
        let mut held: usize = self.kept.values().map(bytes).sum();
        let mut by_age: Vec<(u64, (usize, usize))> =
            self.kept.iter().filter(|(_, k)| k.used < self.turn).map(|(key, k)| (k.used, *key)).collect();
        by_age.sort_unstable();
        for (_, key) in by_age {
            if held + coming <= KEPT_BYTES {
                break;
            }
            held -= self.kept.remove(&key).map_or(0, |kept| bytes(&kept));
        }
    }
}

/// Which of `height` own rows, the first of them at `at`, fall into `band`.
fn common(band: &Range<i64>, at: i64, height: usize) -> Range<usize> {
    let from = (band.start - at).clamp(0, height as i64);
    let to = (band.end - at).clamp(from, height as i64);
    from as usize..to as usize
}
