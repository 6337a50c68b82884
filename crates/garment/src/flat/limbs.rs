//! Sleeves, legs, socks: tubes that slip over a narrow platen.

use super::{dress, is_long_sleeved, steps};
use crate::curve::{Path, bounds};
use crate::measures::Measures;
use crate::panel::{Beside, Landmark, LineKind, Obstacle, ObstacleKind, Panel, PanelShape, Trim};
use geometry::{Outline, Point};
use trade::{Feature, GarmentClass, GarmentSize, GarmentStyle, Measure};

/// Height of a waistband.
const WAISTBAND_MM: f64 = 40.0;
/// How much wider a sleeve is at its top than at its hem.
const TAPER: f64 = 1.25;
/// How much wider the cloth above a rib cuff is than the rib.
const GATHER: f64 = 1.4;

/// The wearer's left sleeve with its fold in the middle; the underarm seam runs along the middle behind.
pub(crate) fn left_sleeve(
    style: &GarmentStyle,
    m: &Measures<'_>,
    size: &GarmentSize,
) -> Result<Option<PanelShape>, Measure> {
    let (length, width) = (m.need(Measure::SleeveLength)?, m.need(Measure::SleeveWidth)?);
    let long = is_long_sleeved(style, size);
    let ribbed = style.has(Feature::RibHem) && long;
    // Cloth is gathered into a rib, and the rib stretches as the sleeve is pulled over a platen.
    let end = width / 2.0 * if ribbed { GATHER } else { 1.0 };
    let top = end * if long { TAPER * 1.3 } else { TAPER };
    let cap = (0.3 * top).min(0.4 * length);
    let half = Path::at(0.0, 0.0)
        .curve((top * 0.55, 0.0), (top * 0.8, -cap * 0.9), (top, -cap))
        .line(end, -length)
        .line(0.0, -length);
    let Some(outline) = half.mirrored().outline() else { return Ok(None) };
    let mut shape = PanelShape::new(Panel::LeftSleeve, outline);
    shape.tube_mm = Some(2.0 * end);
    let seam = Path::at(0.0, 0.0).curve((top * 0.55, 0.0), (top * 0.8, -cap * 0.9), (top, -cap)).mirrored_open();
    shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &seam, 6.0, steps::seam(style.class)));
    if style.has(Feature::TapedSeams) {
        shape.obstacles.push(Obstacle::along(ObstacleKind::SeamTape, &seam, 11.0, steps::TAPE));
    }
    shape.trims.push(Trim::open(LineKind::Seam, seam));
    shape.trims.push(Trim::open(LineKind::Fold, vec![Point::new(0.0, 0.0), Point::new(0.0, -length)]));
    let cuff = cuff_height(style, long, length);
    let cuff_seam = -length + cuff;
    let band = bounds(-end, -length, end, cuff_seam);
    if ribbed {
        let seam = bounds(-end, cuff_seam - 8.0, end, cuff_seam + 6.0);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Rib, seam, steps::RIB.max(steps::seam(style.class))));
        dress::rib(&mut shape, band);
    } else if style.class == GarmentClass::DressShirt && long {
        // A woven cuff is even; its seam and its button are not.
        let seam = bounds(-end, cuff_seam - 6.0, end, cuff_seam + 6.0);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Seam, seam, steps::seam(style.class)));
        shape.trims.push(Trim::open(LineKind::Seam, vec![Point::new(-end, cuff_seam), Point::new(end, cuff_seam)]));
    } else {
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::HemEdge, band, steps::hem(style.class)));
        shape.trims.push(Trim::open(LineKind::Stitch, vec![Point::new(-end, cuff_seam), Point::new(end, cuff_seam)]));
    }
    shape.mark(Landmark::ShoulderSeam, 0.0, 0.0);
    shape.mark(Landmark::CuffSeam, 0.0, cuff_seam);
    shape.mark(Landmark::LimbEnd, 0.0, -length);
    Ok(Some(shape))
}

fn cuff_height(style: &GarmentStyle, long: bool, length: f64) -> f64 {
    let usual: f64 = match (style.has(Feature::RibHem), long, style.class) {
        (true, true, _) => 60.0,
        (_, true, GarmentClass::DressShirt) => 65.0,
        _ => 20.0,
    };
    usual.min(0.3 * length)
}

/// The seam under the arm or inside the leg, as it lies in the layer behind a folded tube.
pub(crate) fn seam_behind(shape: &PanelShape, class: GarmentClass) -> Option<Obstacle> {
    let end = shape.landmark(Landmark::LimbEnd)?;
    matches!(shape.panel, Panel::LeftSleeve | Panel::RightSleeve).then(|| {
        let top = shape.landmark(Landmark::ShoulderSeam).unwrap_or_default();
        Obstacle::along(ObstacleKind::Seam, &[Point::new(0.0, top.y - 20.0), end], 6.0, steps::seam(class))
    })
}

/// The wearer's left leg from the front; the other leg shows beside it.
pub(crate) fn left_leg(style: &GarmentStyle, m: &Measures<'_>, _: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let (length, thigh) = (m.need(Measure::LegLength)?, m.need(Measure::LegWidth)?);
    let waist = m.or(Measure::ChestWidth, 1.9 * thigh);
    let cuff = m.or(Measure::HemWidth, 0.62 * thigh);
    let rise = (0.28 * length).min(1.2 * thigh);
    let fork = thigh * 0.62;
    // x runs from the inside (−) to the outside (+) of the wearer's left leg.
    let inner = -thigh / 2.0;
    let outer_top = inner + waist / 2.0;
    let ring = Path::at(inner, 0.0)
        .line(inner, -rise)
        .curve((inner * 0.98, -rise - 0.3 * (length - rise)), (-cuff * 0.55, -0.7 * length), (-cuff / 2.0, -length))
        .line(cuff / 2.0, -length)
        .curve((fork * 0.7, -0.7 * length), (thigh / 2.0 + 4.0, -rise - 40.0), (thigh / 2.0, -rise * 0.85))
        .curve(
            (thigh / 2.0 - 2.0, -rise * 0.5),
            (outer_top + 0.5 * (thigh / 2.0 - outer_top), -rise * 0.3),
            (outer_top, 0.0),
        )
        .points();
    let Ok(outline) = Outline::new(ring.clone(), Vec::new()) else { return Ok(None) };
    let mut shape = PanelShape::new(Panel::LeftLeg, outline);
    shape.tube_mm = Some(cuff.min(thigh));
    leg_edges(style, &ring, inner, rise, length, &mut shape);
    let other: Vec<Point> = ring.iter().map(|p| Point::new(2.0 * inner - p.x, p.y)).collect();
    if let Ok(outline) = Outline::new(other, Vec::new()) {
        shape.beside.push(Beside { outline, behind: true });
    }
    waistband(style, inner, outer_top, &mut shape);
    if style.has(Feature::SlantPockets) {
        let line = vec![
            Point::new(outer_top - 0.24 * thigh, -WAISTBAND_MM),
            Point::new(outer_top - 6.0, -WAISTBAND_MM - 0.62 * thigh),
        ];
        shape.obstacles.push(Obstacle::along(ObstacleKind::Pocket, &line, 9.0, steps::pocket(style.class)));
        shape.trims.push(Trim::open(LineKind::Seam, line));
    }
    leg_end(style, cuff, length, &mut shape);
    shape.mark(Landmark::Waistband, 0.0, -WAISTBAND_MM);
    shape.mark(Landmark::LimbEnd, 0.0, -length);
    Ok(Some(shape))
}

fn leg_edges(style: &GarmentStyle, ring: &[Point], inner: f64, rise: f64, length: f64, shape: &mut PanelShape) {
    let step = steps::seam(style.class);
    let front = vec![Point::new(inner, 0.0), Point::new(inner, -rise)];
    shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &front, 6.0, step));
    shape.trims.push(Trim::open(LineKind::Seam, front));
    for outside in [false, true] {
        let line: Vec<Point> =
            ring.iter().copied().filter(|p| p.y < -rise * 0.75 && p.y > -length && (p.x > 0.0) == outside).collect();
        if line.len() > 1 {
            shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &line, 6.0, step));
        }
    }
}

fn waistband(style: &GarmentStyle, inner: f64, outer: f64, shape: &mut PanelShape) {
    let band = bounds(inner, -WAISTBAND_MM, outer, 0.0);
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::Elastic, band, steps::ELASTIC));
    let whole = bounds(2.0 * inner - outer, -WAISTBAND_MM, outer, 0.0);
    let line = vec![Point::new(whole.min.x, whole.min.y), Point::new(whole.max.x, whole.min.y)];
    shape.trims.push(Trim::open(LineKind::Stitch, line));
    dress::gathers(shape, whole);
    if style.has(Feature::WaistCord) {
        for side in [-1.0, 1.0] {
            let line = vec![Point::new(inner + side * 8.0, -18.0), Point::new(inner + side * 16.0, -120.0)];
            if side > 0.0 {
                shape.obstacles.push(Obstacle::along(ObstacleKind::Cord, &line, 4.0, steps::CORD).loose());
            }
            shape.trims.push(Trim::open(LineKind::Cord, line));
        }
    }
}

fn leg_end(style: &GarmentStyle, cuff: f64, length: f64, shape: &mut PanelShape) {
    let tall = if style.has(Feature::RibHem) { 60.0 } else { dress::HEM_MM };
    let band = bounds(-cuff / 2.0, -length, cuff / 2.0, -length + tall);
    if style.has(Feature::RibHem) {
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Rib, band, steps::RIB));
        dress::rib(shape, band);
    } else {
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::HemEdge, band, steps::hem(style.class)));
        let line = vec![Point::new(-cuff / 2.0, -length + tall), Point::new(cuff / 2.0, -length + tall)];
        shape.trims.push(Trim::open(LineKind::Stitch, line));
    }
    shape.mark(Landmark::CuffSeam, 0.0, -length + tall);
}

/// The outer side of a sock, toes to the viewer's right.
pub(crate) fn sock(style: &GarmentStyle, m: &Measures<'_>, _: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let (high, wide) = (m.need(Measure::LegLength)?, m.need(Measure::LegWidth)?);
    let rib = m.or(Measure::RibHeight, 0.15 * high).min(high / 3.0);
    let w = wide / 2.0;
    let foot = 1.9 * wide;
    let ring = Path::at(-w, 0.0)
        .line(-w, -high * 0.8)
        .curve((-w * 1.05, -high), (-w * 0.6, -high - wide * 0.35), (w * 0.2, -high - wide * 0.35))
        .line(foot, -high - wide * 0.35)
        .curve((foot + w, -high - wide * 0.35), (foot + w, -high + wide * 0.4), (foot - w * 0.2, -high + wide * 0.42))
        .curve((w * 1.8, -high + wide * 0.42), (w, -high + wide * 0.5), (w, -high * 0.8))
        .line(w, 0.0);
    let Some(outline) = ring.outline() else { return Ok(None) };
    let mut shape = PanelShape::new(Panel::Sock, outline);
    shape.tube_mm = Some(wide);
    let band = bounds(-w, -rib, w, 0.0);
    // The rib is knitted on without a seam: no step, but art keeps away from it.
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::Rib, band, 0.5));
    dress::rib(&mut shape, band);
    let heel = Path::at(-w, -high * 0.78)
        .curve((-w * 0.2, -high * 0.82), (w * 0.3, -high * 1.0), (w * 0.1, -high - wide * 0.33))
        .points();
    shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &heel, 5.0, steps::seam(style.class)));
    shape.trims.push(Trim::open(LineKind::Seam, heel));
    let toe = Path::at(foot - w * 0.3, -high - wide * 0.34)
        .curve(
            (foot - w * 0.8, -high - wide * 0.1),
            (foot - w * 0.8, -high + wide * 0.2),
            (foot - w * 0.4, -high + wide * 0.4),
        )
        .points();
    shape.trims.push(Trim::open(LineKind::Seam, toe));
    shape.mark(Landmark::TopEdge, 0.0, 0.0);
    shape.mark(Landmark::SockRib, 0.0, -rib);
    Ok(Some(shape))
}
