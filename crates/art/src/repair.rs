//! Repairs: named, off until asked for, each giving new art beside the old.

use crate::clean::{CleanArt, PrintSize};
use crate::codes;
use crate::contour;
use crate::coverage::Coverage;
use crate::measure::KindLimits;
use crate::picture::{Picture, Rgba8Image};
use crate::vector::{VectorPicture, ViewBox};
use geometry::{Outline, Point, Region};
use report::{Code, Finding, Severity};
use std::f64::consts::PI;
use std::fmt::Write as _;
use std::sync::Arc;

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
}

impl Repair {
    /// The repair that a finding names; `None` when it is none of these (removing the box is an
    /// option of reading).
    pub fn named(code: Code) -> Option<Self> {
        [Self::Threshold, Self::Specks, Self::Thicken, Self::CloseGaps, Self::Trace]
            .into_iter()
            .find(|repair| repair.code() == code)
    }

    /// Its name.
    pub fn code(self) -> Code {
        match self {
            Self::Threshold => codes::REPAIR_THRESHOLD,
            Self::Specks => codes::REPAIR_SPECKS,
            Self::Thicken => codes::REPAIR_THICKEN,
            Self::CloseGaps => codes::REPAIR_GAPS,
            Self::Trace => codes::REPAIR_TRACE,
        }
    }
}

/// The art repaired for a size and a transfer's limits; the original stays as it is.
///
/// [`Repair::Threshold`] keeps pixels. The others redraw the ink as plain outlines, so that they
/// are for art of one colour.
///
/// # Errors
/// A finding when the repair does not suit the art: several colours or fades, or nothing would
/// be left.
pub fn repaired(art: &CleanArt, repair: Repair, size: PrintSize, limits: &KindLimits) -> Result<CleanArt, Finding> {
    if repair == Repair::Threshold {
        return match art.picture() {
            Picture::Raster(image) => thresholded(art, image),
            Picture::Vector(_) => Err(unsuited(repair)),
        };
    }
    let [colour] = art.colours() else { return Err(unsuited(repair)) };
    let region = art.exact_region(size);
    let changed = match repair {
        Repair::Specks => without_specks(&region, limits.island.mm() / 2.0),
        Repair::Thicken => thickened(&region, limits.line.mm()),
        Repair::CloseGaps => closed(&region, limits.gap.mm()),
        _ => crate::thin::thinned(&region, TRACE_MM),
    };
    let smooth = repair == Repair::Trace;
    redrawn(art, &changed, colour.rgb, smooth).ok_or_else(|| unsuited(repair))
}

/// How far a traced outline may lie from the pixels' own edge, mm.
const TRACE_MM: f64 = 0.05;

/// A corner turning more than this stays a corner, degrees.
const CORNER_DEG: f64 = 40.0;

fn unsuited(repair: Repair) -> Finding {
    Finding::new(Severity::Warning, codes::REPAIR_UNSUITED, codes::FIX_FLAT_COLOURS)
        .with("repair", report::Value::Term(repair.code()))
}

fn thresholded(art: &CleanArt, image: &Rgba8Image) -> Result<CleanArt, Finding> {
    let hard = image.clone().edited(|pixels| {
        for pixel in pixels.chunks_exact_mut(4) {
            pixel[3] = if pixel[3] >= 128 { 255 } else { 0 };
        }
    });
    let most = 4_000_000;
    let region = contour::region(&Coverage::of(&hard), most).map_err(|_| unsuited(Repair::Threshold))?;
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

/// New art of one colour from a region in mm at some size.
fn redrawn(art: &CleanArt, region: &Region, rgb: [u8; 3], smooth: bool) -> Option<CleanArt> {
    let bounds = region.bounds().filter(|b| b.width() > 0.0 && b.height() > 0.0)?;
    let region = region.map(|p| Point::new(p.x - bounds.min.x, p.y - bounds.min.y));
    let (width, height) = (bounds.width(), bounds.height());
    let path = path(&region, height, smooth);
    let drawing = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\"><path fill=\"#{:02x}{:02x}{:02x}\" fill-rule=\"evenodd\" d=\"{path}\"/></svg>",
        rgb[0], rgb[1], rgb[2]
    );
    let tree = usvg::Tree::from_str(&drawing, &usvg::Options::default()).ok()?;
    let view = ViewBox { x: 0.0, y: 0.0, width, height };
    Some(art.redone(Picture::Vector(VectorPicture::new(Arc::new(tree), view)), region, (width, height)))
}

/// The region as path data, y down; smooth runs as curves when asked for.
fn path(region: &Region, height: f64, smooth: bool) -> String {
    let mut data = String::new();
    for ring in region.outlines.iter().flat_map(Outline::rings) {
        let ring: Vec<Point> = ring.iter().map(|p| Point::new(p.x, height - p.y)).collect();
        let corner: Vec<bool> = (0..ring.len()).map(|at| !smooth || is_corner(&ring, at)).collect();
        let _ = write!(data, "M{:.4} {:.4}", ring[0].x, ring[0].y);
        for at in 0..ring.len() {
            let (from, to) = (at, (at + 1) % ring.len());
            if corner[from] && corner[to] {
                let _ = write!(data, "L{:.4} {:.4}", ring[to].x, ring[to].y);
            } else {
                let (a, b) = handles(&ring, from, corner[from], corner[to]);
                let _ =
                    write!(data, "C{:.4} {:.4} {:.4} {:.4} {:.4} {:.4}", a.x, a.y, b.x, b.y, ring[to].x, ring[to].y);
            }
        }
        data.push('Z');
    }
    data
}

fn neighbour(ring: &[Point], at: usize, step: usize) -> Point {
    ring[(at + step) % ring.len()]
}

fn is_corner(ring: &[Point], at: usize) -> bool {
    let (a, b, c) = (neighbour(ring, at, ring.len() - 1), ring[at], neighbour(ring, at, 1));
    let (u, v) = (Point::new(b.x - a.x, b.y - a.y), Point::new(c.x - b.x, c.y - b.y));
    let turn = (u.x * v.y - u.y * v.x).atan2(u.x * v.x + u.y * v.y);
    turn.abs().to_degrees() > CORNER_DEG
}

/// Handles of the curve between two points: a third of its length along the chord of the
/// neighbours (Catmull & Rom, 1974, with chord lengths), straight at a corner.
fn handles(ring: &[Point], from: usize, from_corner: bool, to_corner: bool) -> (Point, Point) {
    let (a, b) = (ring[from], neighbour(ring, from, 1));
    let third = a.distance(b) / 3.0;
    let along = |before: Point, after: Point| {
        let length = before.distance(after).max(1e-12);
        Point::new((after.x - before.x) / length, (after.y - before.y) / length)
    };
    let straight = along(a, b);
    let start = if from_corner { straight } else { along(neighbour(ring, from, ring.len() - 1), b) };
    let end = if to_corner { straight } else { along(a, neighbour(ring, from, 2)) };
    (Point::new(a.x + third * start.x, a.y + third * start.y), Point::new(b.x - third * end.x, b.y - third * end.y))
}
