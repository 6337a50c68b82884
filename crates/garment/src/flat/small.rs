//! Aprons, bags, caps, bibs, face covers.

use super::{dress, steps};
use crate::curve::{Path, bounds};
use crate::measures::Measures;
use crate::panel::{Beside, Landmark, LineKind, Obstacle, ObstacleKind, Panel, PanelShape, Trim};
use geometry::{Bounds, Outline, Point};
use trade::{Feature, GarmentSize, GarmentStyle, Measure};

/// Width of the stitching along an edge.
const EDGE_MM: f64 = 12.0;
/// Half the width of a bag's handle.
const HANDLE_HALF_MM: f64 = 14.0;

/// An apron, bib and skirt in one.
pub(crate) fn apron(style: &GarmentStyle, m: &Measures<'_>, _: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let (wide, high) = (m.need(Measure::ChestWidth)?, m.need(Measure::BodyLength)?);
    let (bib, bib_high) = (m.need(Measure::BibWidth)?, m.need(Measure::BibHeight)?);
    let (b, w) = (bib / 2.0, wide / 2.0);
    let half = Path::at(0.0, 0.0)
        .line(b, 0.0)
        .curve((b, -bib_high * 0.6), (b + (w - b) * 0.25, -bib_high * 0.95), (w, -bib_high))
        .line(w, -high)
        .line(0.0, -high);
    let Some(outline) = half.mirrored().outline() else { return Ok(None) };
    let inset: Vec<Point> = outline
        .outer()
        .iter()
        .map(|p| Point::new(p.x * (1.0 - EDGE_MM / w), p.y * (1.0 - 2.0 * EDGE_MM / high) - EDGE_MM))
        .collect();
    let mut shape = PanelShape::new(Panel::Front, outline);
    shape.doubled = false;
    shape.trims.push(Trim::ring(LineKind::Stitch, inset));
    let top = bounds(-b, -EDGE_MM, b, 0.0);
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::HemEdge, top, steps::hem(style.class)));
    neck_loop(b, high, &mut shape);
    for side in [1.0, -1.0] {
        let tie = vec![
            Point::new(side * w, -bib_high - 14.0),
            Point::new(side * (w + 90.0), -bib_high - 60.0),
            Point::new(side * (w + 120.0), -bib_high - 190.0),
        ];
        shape.trims.push(Trim::open(LineKind::Cord, tie));
        let patch = bounds(side * (w - 30.0), -bib_high - 35.0, side * w, -bib_high);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Strap, patch, steps::STRAP));
    }
    apron_pocket(style, m, bib_high, &mut shape)?;
    shape.mark(Landmark::TopEdge, 0.0, 0.0);
    shape.mark(Landmark::SideSeam, w, -high);
    shape.mark(Landmark::Hem, 0.0, -high);
    Ok(Some(shape))
}

fn neck_loop(b: f64, high: f64, shape: &mut PanelShape) {
    let reach = 0.2 * high;
    let loop_line =
        Path::at(0.0, reach).curve((b * 0.7, reach), (b * 0.9, reach * 0.6), (b - 14.0, -16.0)).mirrored_open();
    shape.trims.push(Trim::open(LineKind::Cord, loop_line));
    for side in [1.0, -1.0] {
        let at = bounds(side * (b - 28.0), -34.0, side * b, 0.0);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Strap, at, steps::STRAP));
        let ring = vec![at.min, Point::new(at.max.x, at.min.y), at.max, Point::new(at.min.x, at.max.y)];
        shape.trims.push(Trim::ring(LineKind::Stitch, ring));
    }
}

fn apron_pocket(style: &GarmentStyle, m: &Measures<'_>, bib_high: f64, shape: &mut PanelShape) -> Result<(), Measure> {
    if !style.has(Feature::SkirtPocket) && !style.has(Feature::BibPocket) {
        return Ok(());
    }
    let (w, h) = (m.need(Measure::PocketWidth)?, m.need(Measure::PocketHeight)?);
    let drop = m.need(Measure::PocketDrop)?;
    let at = bounds(-w / 2.0, -drop - h, w / 2.0, -drop);
    boxed_pocket(style, at, style.has(Feature::SkirtPocket) && drop > bib_high, shape);
    Ok(())
}

/// A pocket across, with rivets in its upper corners when the style has them.
fn boxed_pocket(style: &GarmentStyle, at: Bounds, divided: bool, shape: &mut PanelShape) {
    let step = steps::pocket(style.class);
    let ring = vec![at.min, Point::new(at.max.x, at.min.y), at.max, Point::new(at.min.x, at.max.y)];
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        shape.obstacles.push(Obstacle::along(ObstacleKind::Pocket, &[*a, *b], 6.0, step));
    }
    let low = at.max.y - 18.0;
    shape.trims.push(Trim::open(LineKind::Stitch, vec![Point::new(at.min.x, low), Point::new(at.max.x, low)]));
    shape.trims.push(Trim::ring(LineKind::Seam, ring.clone()));
    if divided {
        let line = vec![Point::new(0.0, at.min.y), Point::new(0.0, at.max.y)];
        shape.obstacles.push(Obstacle::along(ObstacleKind::Pocket, &line, 5.0, step));
        shape.trims.push(Trim::open(LineKind::Stitch, line));
    }
    if style.has(Feature::Rivets) {
        for x in [at.min.x + 6.0, at.max.x - 6.0] {
            let p = Point::new(x, at.max.y - 6.0);
            shape.obstacles.push(Obstacle::spot(ObstacleKind::Rivet, p, 6.0, steps::RIVET));
            shape.trims.push(dress::ring(p, 4.5));
        }
    }
    shape.mark(Landmark::PocketTop, 0.0, at.max.y);
    shape.mark(Landmark::PocketBottom, 0.0, at.min.y);
    shape.pocket = Outline::new(ring, Vec::new()).ok();
}

/// A bag, one side.
pub(crate) fn tote(style: &GarmentStyle, m: &Measures<'_>, _: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let (wide, high) = (m.need(Measure::ChestWidth)?, m.need(Measure::BodyLength)?);
    let Ok(outline) = Outline::rectangle(wide, high) else { return Ok(None) };
    let Ok(outline) = outline.map(|p| Point::new(p.x - wide / 2.0, p.y - high)) else { return Ok(None) };
    let mut shape = PanelShape::new(Panel::Front, outline);
    shape.tube_mm = Some(wide);
    let w = wide / 2.0;
    let step = steps::seam(style.class);
    for line in [
        [Point::new(-w, 0.0), Point::new(-w, -high)],
        [Point::new(w, 0.0), Point::new(w, -high)],
        [Point::new(-w, -high), Point::new(w, -high)],
    ] {
        shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &line, 10.0, step));
    }
    let hem = bounds(-w, -dress::HEM_MM, w, 0.0);
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::HemEdge, hem, steps::hem(style.class)));
    let stitch = |y: f64| vec![Point::new(-w, y), Point::new(w, y)];
    shape.trims.push(Trim::open(LineKind::Stitch, stitch(-dress::HEM_MM)));
    if style.has(Feature::Gusset) {
        let deep = m.need(Measure::GussetDepth)? / 2.0;
        for line in [
            vec![Point::new(-w + deep, 0.0), Point::new(-w + deep, -high + deep)],
            vec![Point::new(w - deep, 0.0), Point::new(w - deep, -high + deep)],
            vec![Point::new(-w + deep, -high + deep), Point::new(w - deep, -high + deep)],
        ] {
            shape.obstacles.push(Obstacle::along(ObstacleKind::Gusset, &line, 4.0, step));
            shape.trims.push(Trim::open(LineKind::Fold, line));
        }
    }
    if style.has(Feature::Handles) {
        let (drop, apart) = (m.need(Measure::HandleDrop)?, m.need(Measure::HandleSpacing)?);
        handles(drop, apart, high, &mut shape);
    }
    shape.mark(Landmark::TopEdge, 0.0, 0.0);
    shape.mark(Landmark::SideSeam, w, -high);
    shape.mark(Landmark::Hem, 0.0, -high);
    Ok(Some(shape))
}

fn handles(drop: f64, apart: f64, high: f64, shape: &mut PanelShape) {
    let (x, rise) = (apart / 2.0, 0.55 * high);
    for width in [-HANDLE_HALF_MM, HANDLE_HALF_MM] {
        let line = Path::at(0.0, rise + width)
            .curve((x * 0.9, rise + width), (x + width, rise * 0.7), (x + width, 0.0))
            .line(x + width, -drop)
            .mirrored_open();
        shape.trims.push(Trim::open(LineKind::Edge, line));
    }
    for side in [1.0, -1.0] {
        let at = bounds(side * x - HANDLE_HALF_MM, -drop, side * x + HANDLE_HALF_MM, 0.0);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Handle, at, steps::HANDLE));
        let low = at.min.y;
        let square =
            vec![at.min, Point::new(at.max.x, low), Point::new(at.max.x, low + 26.0), Point::new(at.min.x, low + 26.0)];
        shape.trims.push(Trim::ring(LineKind::Stitch, square));
        for (a, b) in [(at.min.x, at.max.x), (at.max.x, at.min.x)] {
            shape.trims.push(Trim::open(LineKind::Stitch, vec![Point::new(a, low), Point::new(b, low + 26.0)]));
        }
        // The free loop falls wherever it likes until a hand lays it off the platen.
        let free = bounds(side * x - HANDLE_HALF_MM, 0.0, side * x + HANDLE_HALF_MM, rise);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Handle, free, steps::HANDLE).loose());
    }
}

/// The front of a cap above its visor.
pub(crate) fn cap(style: &GarmentStyle, m: &Measures<'_>, _: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let (wide, high) = (m.need(Measure::CrownWidth)?, m.need(Measure::CrownHeight)?);
    let w = wide / 2.0;
    let half = Path::at(0.0, high)
        .line(w * 0.42, high)
        .curve((w * 0.8, high * 0.95), (w * 0.97, high * 0.5), (w, 0.0))
        .line(0.0, 0.0);
    let Some(outline) = half.mirrored().outline() else { return Ok(None) };
    let mut shape = PanelShape::new(Panel::CapFront, outline);
    shape.doubled = false;
    let step = steps::seam(style.class);
    // The seam allowance of the visor lies below its seam.
    let visor = bounds(-w, -8.0, w, 0.0);
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::Seam, visor, step));
    for side in [1.0, -1.0] {
        let line: Vec<Point> = Path::at(side * w * 0.42, high)
            .curve((side * w * 0.8, high * 0.95), (side * w * 0.97, high * 0.5), (side * w, 0.0))
            .points();
        // A cap platen is curved to take the seams beside the front: no step there, but art keeps away.
        shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &line, 4.0, 0.0));
    }
    if style.has(Feature::CentreSeam) {
        let line = vec![Point::new(0.0, 0.0), Point::new(0.0, high)];
        shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &line, 4.0, step));
        shape.trims.push(Trim::open(LineKind::Seam, line));
        for x in [-5.0, 5.0] {
            shape.trims.push(Trim::open(LineKind::Stitch, vec![Point::new(x, 4.0), Point::new(x, high * 0.97)]));
        }
    }
    visor_and_crown(w, high, &mut shape);
    shape.mark(Landmark::Visor, 0.0, 0.0);
    Ok(Some(shape))
}

fn visor_and_crown(w: f64, high: f64, shape: &mut PanelShape) {
    let top = high * 1.14;
    let dome = Path::at(0.0, top).curve((w * 0.62, top), (w * 1.02, high * 0.72), (w * 1.06, 0.0)).line(0.0, 0.0);
    if let Some(outline) = dome.mirrored().outline() {
        shape.beside.push(Beside { outline, behind: true });
    }
    for side in [1.0, -1.0] {
        let seam =
            Path::at(side * w * 0.42, high).curve((side * w * 0.3, high * 1.08), (side * w * 0.12, top), (0.0, top));
        shape.trims.push(Trim::open(LineKind::Seam, seam.points()));
    }
    let brim = Path::at(0.0, 3.0).curve((w * 0.55, 3.0), (w * 0.92, 1.0), (w * 1.0, -2.0)).curve(
        (w * 1.02, -high * 0.3),
        (w * 0.6, -high * 0.5),
        (0.0, -high * 0.5),
    );
    if let Some(outline) = brim.mirrored().outline() {
        shape.beside.push(Beside { outline, behind: true });
    }
    for row in 1..4 {
        let y = f64::from(row) * 0.115 * high;
        let line = Path::at(0.0, -y).curve((w * 0.5, -y), (w * 0.8, -y * 0.8), (w * 0.97, -y * 0.4)).mirrored_open();
        shape.trims.push(Trim::open(LineKind::Stitch, line));
    }
    shape.trims.push(dress::ring(Point::new(0.0, top + 3.0), 6.0));
}

/// A face cover lying flat, loops at both sides.
pub(crate) fn face_cover(
    style: &GarmentStyle,
    m: &Measures<'_>,
    _: &GarmentSize,
) -> Result<Option<PanelShape>, Measure> {
    let (wide, high) = (m.need(Measure::ChestWidth)?, m.need(Measure::BodyLength)?);
    let w = wide / 2.0;
    let half = Path::at(0.0, 0.0)
        .curve((w * 0.3, 0.0), (w * 0.7, -high * 0.1), (w, -high * 0.16))
        .line(w, -high * 0.84)
        .curve((w * 0.7, -high * 0.92), (w * 0.3, -high), (0.0, -high));
    let Some(outline) = half.mirrored().outline() else { return Ok(None) };
    let inset =
        outline.outer().iter().map(|p| Point::new(p.x * 0.95, (p.y + high / 2.0) * 0.92 - high / 2.0)).collect();
    let mut shape = PanelShape::new(Panel::Front, outline);
    shape.doubled = false;
    shape.trims.push(Trim::ring(LineKind::Stitch, inset));
    let zone = bounds(-0.19 * wide, -high, 0.19 * wide, 0.0);
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::BreathingZone, zone, 0.0));
    if style.has(Feature::CentreSeam) {
        let line = vec![Point::new(0.0, 0.0), Point::new(0.0, -high)];
        shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &line, 5.0, steps::seam(style.class)));
        shape.trims.push(Trim::open(LineKind::Seam, line));
    }
    for side in [1.0, -1.0] {
        let line = Path::at(side * w, -high * 0.2)
            .curve((side * w * 1.5, -high * 0.1), (side * w * 1.5, -high * 0.9), (side * w, -high * 0.8))
            .points();
        shape.obstacles.push(Obstacle::along(ObstacleKind::Strap, &line, 3.0, steps::STRAP).loose());
        shape.trims.push(Trim::open(LineKind::Cord, line));
    }
    shape.mark(Landmark::Centre, 0.0, -high / 2.0);
    shape.mark(Landmark::SideSeam, w, -high / 2.0);
    shape.mark(Landmark::TopEdge, 0.0, 0.0);
    Ok(Some(shape))
}

/// An infant's bib.
pub(crate) fn bib(_: &GarmentStyle, m: &Measures<'_>, _: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let (wide, high) = (m.need(Measure::ChestWidth)?, m.need(Measure::BodyLength)?);
    let neck = m.or(Measure::NeckWidth, 0.42 * wide) / 2.0;
    let depth = m.or(Measure::NeckDepth, 0.3 * high);
    let w = wide / 2.0;
    let half = Path::at(0.0, -depth)
        .curve((neck * 0.6, -depth), (neck, -depth * 0.75), (neck, -depth * 0.4))
        .curve((neck, -depth * 0.1), (neck * 0.7, 0.0), (neck * 0.75, 0.0))
        .curve((w * 0.75, 0.0), (w, -depth * 0.4), (w, -depth))
        .line(w, -high + w * 0.6)
        .curve((w, -high + w * 0.2), (w * 0.8, -high), (w * 0.4, -high))
        .line(0.0, -high);
    let Some(outline) = half.mirrored().outline() else { return Ok(None) };
    let edge: Vec<Point> = outline.outer().to_vec();
    let mut shape = PanelShape::new(Panel::Front, outline);
    shape.doubled = false;
    let mut closed = edge.clone();
    closed.extend(edge.first().copied());
    shape.obstacles.push(Obstacle::along(ObstacleKind::Binding, &closed, 7.0, steps::BINDING));
    let centre = Point::new(0.0, -f64::midpoint(depth, high));
    let inset = edge.iter().map(|p| Point::new(p.x * 0.94, centre.y + (p.y - centre.y) * 0.95)).collect();
    shape.trims.push(Trim::ring(LineKind::Stitch, inset));
    let tape = bounds(-w * 0.62, -depth * 0.34, -neck * 0.78, -depth * 0.1);
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::HookTape, tape, steps::HOOK_TAPE));
    let ring = vec![tape.min, Point::new(tape.max.x, tape.min.y), tape.max, Point::new(tape.min.x, tape.max.y)];
    shape.trims.push(Trim::ring(LineKind::Stitch, ring));
    shape.mark(Landmark::CollarSeam, 0.0, -depth);
    shape.mark(Landmark::Hem, 0.0, -high);
    shape.mark(Landmark::Centre, centre.x, centre.y);
    shape.mark(Landmark::TopEdge, 0.0, 0.0);
    Ok(Some(shape))
}
