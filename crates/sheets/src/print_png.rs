//! Print sheets as PNG, written while they are made.

use crate::codes;
use crate::error::SheetError;
use crate::png::{BandWriter, Header, Pixels};
use crate::raster::{BATCH_ROWS, Composer};
use crate::sheet::PrintSheet;
use report::{Go, Progress, Watch};
use std::io::Write;

/// What was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PngReport {
    /// Across the film, px.
    pub width_px: u32,
    /// Along the film, px.
    pub height_px: u32,
}

/// Writes the colours of a sheet: straight RGBA, tagged sRGB, with its physical size.
///
/// Memory does not grow with the sheet's length, and the bytes are the same for any
/// number of threads. The watch is told every 512 rows.
///
/// # Errors
/// Refuses a sheet that cannot be written truly, before the first byte; afterwards only
/// [`SheetError::Write`], [`SheetError::Drawing`] and [`SheetError::Stopped`], and what was
/// written so far is of no use.
pub fn write_png(sheet: &PrintSheet<'_>, out: &mut dyn Write, watch: &mut dyn Watch) -> Result<PngReport, SheetError> {
    sheet.check()?;
    let (width, height) = sheet.size_px();
    let overlays = Vec::new();
    let mut composer = Composer::new(sheet, &overlays);
    let mut writer = BandWriter::start(out, &head(sheet, Pixels::Rgba))?;
    let mut row = 0;
    while row < height as usize {
        let to = (row + BATCH_ROWS).min(height as usize);
        writer.write(&composer.rows(row..to)?)?;
        row = to;
        let progress = Progress {
            stage: codes::STAGE_PNG,
            done: row as u64,
            of: Some(u64::from(height)),
            best: None,
            bound: None,
        };
        if watch.told(&progress) == Go::Stop && row < height as usize {
            return Err(SheetError::Stopped);
        }
    }
    writer.finish()?;
    Ok(PngReport { width_px: width, height_px: height })
}

fn head<'t>(sheet: &PrintSheet<'_>, pixels: Pixels) -> Header<'t> {
    let (width, height) = sheet.size_px();
    let texts: &[(&str, &str)] = match sheet.reading {
        crate::sheet::Reading::Right => &[("Description", "Print sheet, right-reading")],
        crate::sheet::Reading::Reversed => &[("Description", "Print sheet, reversed")],
    };
    Header { width, height, pixels, px_per_m: (sheet.px_per_mm() * 1000.0).round() as u32, texts }
}
