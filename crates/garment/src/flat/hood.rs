//! Hoods: behind the front, over the back, and laid flat by themselves.

use super::body::Body;
use super::{dress, steps};
use crate::curve::{Path, bounds};
use crate::measures::Measures;
use crate::panel::{Beside, Landmark, LineKind, Obstacle, ObstacleKind, Panel, PanelShape, Trim};
use geometry::Point;
use trade::{Feature, GarmentSize, GarmentStyle, Measure};

/// Share of the hood's height that lies over the back.
const FALL: f64 = 0.55;
/// Width of the channel along the hood's edge.
const EDGE_MM: f64 = 28.0;

/// The hood standing behind the neck, its opening towards the viewer.
pub(crate) fn behind_front(body: &Body, shape: &mut PanelShape) {
    let (n, d, high) = (body.neck / 2.0, body.neck_depth, 0.5 * body.chest);
    let outer = Path::at(0.0, -d * 1.02).curve((n * 0.6, -d), (n * 1.2, -d * 0.5), (n * 1.28, high * 0.22)).curve(
        (n * 1.4, high * 0.75),
        (n * 0.75, high),
        (0.0, high),
    );
    if let Some(outline) = outer.mirrored().outline() {
        shape.beside.push(Beside { outline, behind: true });
    }
    let inner = Path::at(0.0, -d * 0.98)
        .curve((n * 0.35, -d * 0.7), (n * 0.95, -d * 0.1), (n * 0.98, high * 0.3))
        .curve((n * 1.0, high * 0.68), (n * 0.55, high * 0.86), (0.0, high * 0.86))
        .mirrored()
        .points();
    shape.trims.push(Trim::ring(LineKind::Edge, inner.clone()));
    let stitch =
        inner.iter().map(|p| Point::new(p.x * 1.12, (p.y + d * 0.4) * 1.07 - d * 0.4)).filter(|p| p.y > -d * 0.55);
    let stitch: Vec<Point> = stitch.collect();
    let (right, left): (Vec<Point>, Vec<Point>) = stitch.into_iter().partition(|p| p.x > 0.0);
    let joined = right.into_iter().chain(left).collect();
    shape.trims.push(Trim::open(LineKind::Stitch, joined));
}

/// The hood lying over the upper back; a hand lays it aside.
pub(crate) fn over_back(m: &Measures<'_>, body: &Body, shape: &mut PanelShape) {
    let high = m.or(Measure::HoodHeight, 0.62 * body.chest);
    let (n, fall) = (body.neck / 2.0 * 1.25, high * FALL);
    let half = Path::at(0.0, 26.0).curve((n * 0.7, 26.0), (n * 1.05, 8.0), (n * 1.1, -fall * 0.35)).curve(
        (n * 1.1, -fall * 0.8),
        (n * 0.5, -fall * 0.95),
        (0.0, -fall),
    );
    if let Some(outline) = half.mirrored().outline() {
        shape.beside.push(Beside { outline, behind: false });
    }
    shape.trims.push(Trim::open(LineKind::Seam, vec![Point::new(0.0, 26.0), Point::new(0.0, -fall)]));
    let at = bounds(-n * 1.1, -fall, n * 1.1, 26.0);
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::Hood, at, steps::HOOD).loose());
    shape.mark(Landmark::HoodFall, 0.0, -fall);
}

/// The wearer's left side of the hood, folded flat; the face opening at x < 0.
pub(crate) fn left(style: &GarmentStyle, m: &Measures<'_>, _: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let (high, wide) = (m.need(Measure::HoodHeight)?, m.need(Measure::HoodWidth)?);
    let (face, back) = (-wide / 2.0, wide / 2.0);
    let crown = Path::at(face, high * 0.88)
        .curve((face + wide * 0.2, high * 1.02), (back * 0.7, high * 1.02), (back, high * 0.62))
        .curve((back * 1.02, high * 0.35), (back * 0.85, high * 0.15), (back * 0.72, 0.0))
        .points();
    let mut path = Path::at(face, 0.0).line(face, high * 0.88).points();
    path.extend(crown.iter().skip(1));
    let Ok(outline) = geometry::Outline::new(path, Vec::new()) else { return Ok(None) };
    let mut shape = PanelShape::new(Panel::HoodLeft, outline);
    shape.tube_mm = Some(wide);
    let step = steps::seam(style.class);
    shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &crown, 7.0, step));
    let neck = vec![Point::new(face, 0.0), Point::new(back * 0.72, 0.0)];
    shape.obstacles.push(Obstacle::along(ObstacleKind::Collar, &neck, 7.0, steps::collar(style.class)));
    let channel = bounds(face, 0.0, face + EDGE_MM, high * 0.88);
    shape.obstacles.push(Obstacle::boxed(ObstacleKind::HemEdge, channel, steps::hem(style.class)));
    if style.has(Feature::HoodCord) {
        let eye = Point::new(face + EDGE_MM / 2.0, 30.0);
        let end = Point::new(face - 10.0, -90.0);
        shape.obstacles.push(Obstacle::along(ObstacleKind::Cord, &[eye, end], 5.0, steps::CORD).loose());
        shape.trims.push(dress::ring(eye, 5.0));
        shape.trims.push(Trim::open(LineKind::Cord, vec![eye, Point::new(face - 2.0, -20.0), end]));
    }
    let edge = face + EDGE_MM;
    shape.trims.push(Trim::open(LineKind::Stitch, vec![Point::new(edge, 0.0), Point::new(edge, high * 0.92)]));
    shape.trims.push(Trim::open(LineKind::Seam, neck));
    let inset = crown.iter().map(|p| Point::new(p.x * 0.94, p.y - high * 0.03)).filter(|p| p.y > 3.0).collect();
    shape.trims.push(Trim::open(LineKind::Stitch, inset));
    shape.mark(Landmark::HoodEdge, edge, high * 0.45);
    Ok(Some(shape))
}
