//! Print sheets as PNG, written while they are made.

use crate::codes;
use crate::error::SheetError;
use crate::extras;
use crate::png_file::{BandWriter, Header, Pixels};
use crate::raster::{self, BATCH_ROWS, Composer, Cover, Threshold};
use crate::sheet::{PrintSheet, Reading, Screen, White};
use report::{Code, Finding, Go, Progress, Severity, Value, Watch};
use std::io::Write;
use std::ops::Range;
use units::Length;

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
    let overlays = raster::overlays(&extras::extras(sheet).drawn, sheet.px_per_mm());
    let composer = Composer::new(sheet, &overlays);
    let colours = |composer: &Composer<'_, '_>, rows: Range<usize>, to: &mut [u8]| composer.fill(rows.start, to);
    write_rows(
        sheet,
        Pixels::Rgba,
        out,
        Steps { stage: codes::STAGE_PNG, watch },
        Rows { composer, reach: 0, fill: &colours },
    )
}

/// Writes the white layer of a sheet as grey with alpha: white where the film gets white ink.
///
/// White stands under the art alone, held back by the choke; labels and marks have none.
/// A sheet without [`PrintSheet::white`] is written with a choke of 0 and a threshold.
///
/// # Errors
/// As [`write_png`], and a choke or screen out of range.
pub fn write_white_png(
    sheet: &PrintSheet<'_>,
    out: &mut dyn Write,
    watch: &mut dyn Watch,
) -> Result<PngReport, SheetError> {
    sheet.check()?;
    let white = sheet.white.unwrap_or(White { choke_mm: 0.0, soft: Screen::Threshold });
    let layer = WhiteRows {
        threshold: Threshold::new(white.soft, sheet.dpi),
        choke_px: white.choke_mm * sheet.px_per_mm(),
        least: least_ink(white.soft),
        width: sheet.size_px().0 as usize,
        height: sheet.size_px().1 as usize,
    };
    let rows = Rows {
        composer: Composer::new(sheet, &[]),
        reach: raster::reach(layer.choke_px),
        fill: &|composer, rows, to| layer.fill(composer, rows, to),
    };
    write_rows(sheet, Pixels::GreyAlpha, out, Steps { stage: codes::STAGE_WHITE, watch }, rows)
}

/// What there is to say about a sheet before it is written: things without room, a screen too fine.
///
/// # Errors
/// What [`write_png`] would refuse.
pub fn look_over(sheet: &PrintSheet<'_>) -> Result<Vec<Finding>, SheetError> {
    sheet.check()?;
    let mut findings = extras::extras(sheet).findings;
    let dot = match sheet.white.map(|w| w.soft) {
        // A round dot at half tone is 0.8 of a row wide.
        Some(Screen::Halftone { lines_per_inch, .. }) => Some(0.8 * 25.4 / lines_per_inch),
        Some(Screen::Stochastic { dot_mm }) => Some(dot_mm),
        _ => None,
    };
    if let Some(dot) = dot.filter(|dot| *dot < LEAST_DOT_MM) {
        let length = |mm: f64| Value::Length(Length::from_mm(mm).unwrap_or_default());
        findings.push(
            Finding::new(Severity::Warning, codes::DOTS_FINE, codes::FIX_COARSER)
                .with("dot", length(dot))
                .with("limit", length(LEAST_DOT_MM)),
        );
    }
    Ok(findings)
}

/// Dots of white below this do not hold, mm (common practice, no source).
const LEAST_DOT_MM: f64 = 0.5;

/// Ink below this many of 255 has no white under it: half for a threshold, else 5 %.
pub(crate) fn least_ink(screen: Screen) -> u8 {
    match screen {
        Screen::Threshold => 128,
        Screen::Halftone { .. } | Screen::Stochastic { .. } => 13,
    }
}

struct WhiteRows {
    threshold: Threshold,
    choke_px: f64,
    least: u8,
    width: usize,
    height: usize,
}

impl WhiteRows {
    fn fill(&self, composer: &Composer<'_, '_>, rows: Range<usize>, to: &mut [u8]) {
        let reach = raster::reach(self.choke_px);
        let first = rows.start.saturating_sub(reach);
        let mut colours = vec![0; self.width * ((rows.end + reach).min(self.height) - first) * 4];
        composer.fill(first, &mut colours);
        let ink: Vec<u8> = colours.chunks_exact(4).map(|pixel| pixel[3]).collect();
        drop(colours);
        let cover = Cover { width: self.width, first, ink: &ink };
        let kept = raster::choked(&cover, rows.clone(), self.choke_px, self.least);
        for (at, (to, ink)) in to.chunks_exact_mut(2).zip(kept).enumerate() {
            if ink > 0 && self.threshold.white(ink, at % self.width, rows.start + at / self.width) {
                to.fill(255);
            }
        }
    }
}

/// Puts rows into a buffer of zeros.
type FillRows<'r, 's, 'a> = dyn Fn(&Composer<'s, 'a>, Range<usize>, &mut [u8]) + Sync + 'r;

/// How the rows of a file come about.
struct Rows<'r, 's, 'a> {
    composer: Composer<'s, 'a>,
    /// Rows above and below that a row hangs on.
    reach: usize,
    fill: &'r FillRows<'r, 's, 'a>,
}

struct Steps<'w> {
    stage: Code,
    watch: &'w mut dyn Watch,
}

fn write_rows(
    sheet: &PrintSheet<'_>,
    pixels: Pixels,
    out: &mut dyn Write,
    steps: Steps<'_>,
    rows: Rows<'_, '_, '_>,
) -> Result<PngReport, SheetError> {
    let (width_px, height_px) = sheet.size_px();
    let height = height_px as usize;
    let Rows { mut composer, reach, fill } = rows;
    // With the row above, which filters look back at.
    let needs = |rows: &Range<usize>| rows.start.saturating_sub(reach + 1)..(rows.end + reach).min(height);
    let batch = |from: usize| from..(from + BATCH_ROWS).min(height);
    let mut writer = BandWriter::start(out, &head(sheet, pixels))?;
    let mut now = batch(0);
    let missing = composer.missing(&(0..0), &needs(&now));
    let made = composer.made(missing)?;
    composer.hold(made);
    while !now.is_empty() {
        let next = batch(now.end);
        // What the next rows need is drawn while these are packed.
        let missing = composer.missing(&needs(&now), &needs(&next));
        let (packer, composing) = (writer.packer(), &composer);
        let (packed, made) =
            rayon::join(|| packer.pack(now.clone(), &|rows, to| fill(composing, rows, to)), || composing.made(missing));
        writer.write(&packed?, now.end == height)?;
        composer.hold(made?);
        let done = now.end;
        now = next;
        let progress =
            Progress { stage: steps.stage, done: done as u64, of: Some(u64::from(height_px)), best: None, bound: None };
        if steps.watch.told(&progress) == Go::Stop && done < height {
            return Err(SheetError::Stopped);
        }
    }
    writer.finish()?;
    Ok(PngReport { width_px, height_px })
}

fn head<'t>(sheet: &PrintSheet<'_>, pixels: Pixels) -> Header<'t> {
    let (width, height) = sheet.size_px();
    let texts: &[(&str, &str)] = match (pixels, sheet.reading) {
        (Pixels::Rgba, Reading::Right) => &[("Description", "Print sheet, right-reading")],
        (Pixels::Rgba, Reading::Reversed) => &[("Description", "Print sheet, reversed")],
        (Pixels::GreyAlpha, Reading::Right) => &[("Description", "White layer, right-reading")],
        (Pixels::GreyAlpha, Reading::Reversed) => &[("Description", "White layer, reversed")],
    };
    Header { width, height, pixels, px_per_m: (sheet.px_per_mm() * 1000.0).round() as u32, texts }
}
