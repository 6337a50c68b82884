//! Repairs: named, off until asked for, each giving new art beside the old.

use crate::clean::{CleanArt, PrintSize};
use crate::codes;
use crate::contour;
use crate::coverage::Coverage;
use crate::measure::KindLimits;
use crate::picture::{Picture, Rgba8Image};
use crate::vector::{VectorPicture, ViewBox};
use crate::{deviation, halftone, trace};
use geometry::{Outline, Point, Region};
use report::{Code, Finding, Outcome, Severity, Value};
use std::f64::consts::PI;
use std::sync::Arc;
use units::Length;

/// A repair that a person may ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Repair {
    /// Pixels from half ink up become full, the others bare. Only for pixels.
    Threshold,
    /// Parts smaller than half the smallest part that holds are left out.
    Specks,
    /// Lines under the limit grow to it; everything else stays where it is.
    Thicken,
    /// Gaps under the limit are filled.
    CloseGaps,
    /// Pixels of one colour become smooth outlines.
    Trace,
    /// Half-transparent pixels become dots of full ink that hold. Only for pixels.
    Halftone,
    /// Live text becomes outlines. Only for drawings with live text.
    OutlineText,
}

impl Repair {
    /// The repair that a finding names; `None` when it is none of these (removing the box is an
    /// option of reading).
    pub fn named(code: Code) -> Option<Self> {
        Self::ALL.into_iter().find(|repair| repair.code() == code)
    }

    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Threshold, Self::Halftone, Self::Specks, Self::Thicken, Self::CloseGaps, Self::Trace, Self::OutlineText];

    /// Its name.
    pub fn code(self) -> Code {
        match self {
            Self::Threshold => codes::REPAIR_THRESHOLD,
            Self::Specks => codes::REPAIR_SPECKS,
            Self::Thicken => codes::REPAIR_THICKEN,
            Self::CloseGaps => codes::REPAIR_GAPS,
            Self::Trace => codes::REPAIR_TRACE,
            Self::Halftone => codes::REPAIR_HALFTONE,
            Self::OutlineText => codes::REPAIR_TEXT,
        }
    }
}

/// The art repaired for a size and a transfer's limits; the original stays as it is.
///
/// [`Repair::Threshold`] and [`Repair::Halftone`] keep pixels, [`Repair::OutlineText`] keeps the
/// drawing. The others redraw the ink as plain outlines, so that they are for art of one colour.
/// How true a tracing is comes as a note.
///
/// # Errors
/// A finding when the repair does not suit the art: several colours or fades, pixels where paths
/// are wanted or the other way round, or nothing would be left.
pub fn repaired(
    art: &CleanArt,
    repair: Repair,
    size: PrintSize,
    limits: &KindLimits,
) -> Result<Outcome<CleanArt>, Finding> {
    match (repair, art.picture()) {
        (Repair::Threshold, Picture::Raster(image)) => return thresholded(art, image).map(Outcome::clean),
        (Repair::Halftone, Picture::Raster(image)) => {
            return dotted(art, image, size, limits).ok_or_else(|| unsuited(repair)).map(Outcome::clean);
        }
        (Repair::OutlineText, Picture::Vector(drawing)) if art.smallest_type(size).is_some() => {
            return outlined(art, drawing).ok_or_else(|| unsuited(repair)).map(Outcome::clean);
        }
        (Repair::Threshold | Repair::Halftone | Repair::OutlineText, _) => return Err(unsuited(repair)),
        _ => {}
    }
    let [colour] = art.colours() else { return Err(unsuited(repair)) };
    let region = art.exact_region(size);
    let drawn = match repair {
        Repair::Specks => redrawn(art, &without_specks(&region, limits.island.mm() / 2.0), colour.rgb, &[]),
        Repair::Thicken => redrawn(art, &thickened(&region, limits.line.mm()), colour.rgb, &[]),
        Repair::CloseGaps => redrawn(art, &closed(&region, limits.gap.mm()), colour.rgb, &[]),
        _ => {
            let edges: Vec<&[Point]> = region.outlines.iter().flat_map(Outline::rings).collect();
            redrawn(art, &crate::thin::thinned(&region, TRACE_MM), colour.rgb, &edges)
        }
    };
    let value = drawn.ok_or_else(|| unsuited(repair))?;
    let findings = if repair == Repair::Trace { vec![fidelity(&region, &value, size)] } else { Vec::new() };
    Ok(Outcome { value, findings })
}

/// How far the traced edge lies from the pixels' own, and the other way round.
fn fidelity(before: &Region, traced: &CleanArt, size: PrintSize) -> Finding {
    let after = traced.exact_region(size);
    let (there, back) = (deviation::of(before, &after), deviation::of(&after, before));
    let length = |mm: f64| Value::Length(Length::from_mm(mm).unwrap_or_default());
    let share = (after.area() / before.area().max(1e-12) - 1.0).abs();
    Finding::new(Severity::Note, codes::TRACED, codes::FIX_LOOK)
        .with("worst", length(there.worst.max(back.worst)))
        .with("mean", length((there.mean + back.mean) / 2.0))
        .with("share", Value::Share(share))
}

fn dotted(art: &CleanArt, image: &Rgba8Image, size: PrintSize, limits: &KindLimits) -> Option<CleanArt> {
    // The smallest part that holds is the smallest dot that holds.
    let dots = halftone::halftoned(image, size.width().mm(), limits.island.mm().max(LEAST_DOT_MM))?;
    let region = contour::region(&Coverage::of(&dots), MOST_POINTS).ok()?;
    let units = (f64::from(dots.width()), f64::from(dots.height()));
    Some(art.redone(Picture::Raster(dots), region, units))
}

/// No dot smaller than this holds on any transfer. Common practice, no source.
const LEAST_DOT_MM: f64 = 0.5;

/// Corner points of one picture's edges at most.
const MOST_POINTS: usize = 4_000_000;

/// The drawing written out with its text as paths, and read again.
fn outlined(art: &CleanArt, drawing: &VectorPicture) -> Option<CleanArt> {
    let tree = crate::svg::normalised_tree(&drawing.whole_page())?;
    let picture = Picture::Vector(VectorPicture::new(Arc::new(tree), drawing.view()));
    Some(art.redone(picture, art.outline().clone(), art.units()))
}

/// How far a traced outline may lie from the pixels' own edge, mm.
const TRACE_MM: f64 = 0.05;

fn unsuited(repair: Repair) -> Finding {
    Finding::new(Severity::Warning, codes::REPAIR_UNSUITED, codes::FIX_FLAT_COLOURS)
        .with("repair", Value::Term(repair.code()))
}

fn thresholded(art: &CleanArt, image: &Rgba8Image) -> Result<CleanArt, Finding> {
    let hard = image.clone().edited(|pixels| {
        for pixel in pixels.chunks_exact_mut(4) {
            pixel[3] = if pixel[3] >= 128 { 255 } else { 0 };
        }
    });
    let region = contour::region(&Coverage::of(&hard), MOST_POINTS).map_err(|_| unsuited(Repair::Threshold))?;
    Ok(art.redone(Picture::Raster(hard), region, art.units()))
}

fn without_specks(region: &Region, across: f64) -> Region {
    let least = PI * across * across / 4.0;
    Region { outlines: region.outlines.iter().filter(|part| part.area() >= least).cloned().collect() }
}

/// What a disc of the least width does not reach inside the ink is grown by what it lacks: the
/// thin remainder of an opening, grown until it holds, joined to the rest.
fn thickened(region: &Region, least: f64) -> Region {
    // Opening loses what is thinner than the disc; a touch less keeps lines of exactly the limit.
    let radius = least / 2.0 * 0.98;
    let opened = geometry::grow(&geometry::shrink(region, radius), radius);
    let thin = geometry::subtract(region, &geometry::grow(&opened, least * 0.02));
    // Corners of sound parts lose slivers too; only what a disc of half the limit shows again is a line.
    let lines: Vec<Outline> = thin.outlines.into_iter().filter(|part| part.area() > least * least * 0.1).collect();
    let lines = Region { outlines: lines };
    let missing = |part: &Outline| (least - thickness(part)).max(0.0) / 2.0;
    let grown: Vec<Region> = lines
        .outlines
        .iter()
        .map(|part| geometry::grow(&Region { outlines: vec![part.clone()] }, missing(part)))
        .collect();
    geometry::union(&std::iter::once(region.clone()).chain(grown).collect::<Vec<_>>())
}

/// Mean width of a long part: for a strip of length l and width w, area l·w and perimeter
/// 2(l + w) give w as the smaller root of w² − (p/2)·w + a = 0.
fn thickness(part: &Outline) -> f64 {
    let (area, half) = (part.area(), part.perimeter() / 2.0);
    (half - (half * half - 4.0 * area).max(0.0).sqrt()) / 2.0
}

/// A closing: grown by half the gap, then shrunk by as much.
fn closed(region: &Region, gap: f64) -> Region {
    geometry::shrink(&geometry::grow(region, gap / 2.0), gap / 2.0)
}

/// New art of one colour from a region in mm at some size; in smooth curves where the edges that
/// the region was thinned from are given.
fn redrawn(art: &CleanArt, region: &Region, rgb: [u8; 3], edges: &[&[Point]]) -> Option<CleanArt> {
    let bounds = region.bounds().filter(|b| b.width() > 0.0 && b.height() > 0.0)?;
    let (width, height) = (bounds.width(), bounds.height());
    let path = if edges.is_empty() { trace::polygons(region, &bounds) } else { trace::curves(region, edges, &bounds) };
    let region = region.map(|p| Point::new(p.x - bounds.min.x, p.y - bounds.min.y));
    let drawing = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\"><path fill=\"#{:02x}{:02x}{:02x}\" fill-rule=\"evenodd\" d=\"{path}\"/></svg>",
        rgb[0], rgb[1], rgb[2]
    );
    let tree = usvg::Tree::from_str(&drawing, &usvg::Options::default()).ok()?;
    let view = ViewBox { x: 0.0, y: 0.0, width, height };
    let picture = VectorPicture::new(Arc::new(tree), view);
    // Curves have an edge of their own, which may lie beside the corners they pass through.
    let own = if edges.is_empty() { None } else { crate::outline::exact(&picture) };
    Some(art.redone(Picture::Vector(picture), own.unwrap_or(region), (width, height)))
}
