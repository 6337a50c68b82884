//! What is sewn onto a body: neck, openings, pockets, side panels, and the
//! sleeves seen beside it.

use super::body::{Body, sleeve_lengths};
use super::{has_hood, has_sleeves, hood, steps};
use crate::curve::{Path, bounds};
use crate::measures::Measures;
use crate::panel::{Beside, Landmark, LineKind, Obstacle, ObstacleKind, PanelShape, Trim};
use geometry::{Bounds, Outline, Point};
use trade::{Feature, GarmentClass, GarmentSize, GarmentStyle, Measure};

/// Height of a turned hem.
pub(crate) const HEM_MM: f64 = 25.0;
/// Half the width of a shirt's placket.
const PLACKET_HALF_MM: f64 = 17.0;
/// Half the width of a closed zip with its tape.
const ZIP_HALF_MM: f64 = 16.0;
/// Distance between shirt buttons.
const BUTTON_STEP_MM: f64 = 85.0;
/// Width of knit rib round a neck.
const NECK_RIB_MM: f64 = 18.0;
/// Distance between lines of quilting.
const QUILT_STEP_MM: f64 = 80.0;

/// Both sleeves as they lie beside the body.
pub(crate) fn sleeves_beside(
    style: &GarmentStyle,
    m: &Measures<'_>,
    size: &GarmentSize,
    body: &Body,
    shape: &mut PanelShape,
) {
    if !has_sleeves(style.class) {
        armhole_edge(body, shape);
        return;
    }
    let (length, width, long) = sleeve_lengths(style, m, size, body);
    // Direction of the arm as a garment is laid out: short sleeves stand off, long ones hang.
    let (ax, ay) = if long { (0.352, -0.936) } else { (0.8, -0.6) };
    let top = Point::new(body.shoulder / 2.0 + ax * length, -body.slope + ay * length);
    let low = Point::new(top.x + ay * width, top.y - ax * width);
    for side in [1.0, -1.0] {
        let at = |p: Point| Point::new(side * p.x, p.y);
        let mut ring = vec![at(Point::new(body.shoulder / 2.0, -body.slope)), at(top), at(low)];
        ring.extend(body.armhole().into_iter().rev().map(at));
        if let Ok(outline) = Outline::new(ring, Vec::new()) {
            shape.beside.push(Beside { outline, behind: true });
        }
        let back = |by: f64| {
            vec![at(Point::new(top.x - ax * by, top.y - ay * by)), at(Point::new(low.x - ax * by, low.y - ay * by))]
        };
        if style.has(Feature::RibHem) && long {
            shape.trims.push(Trim::open(LineKind::Seam, back(60.0)));
            for rib in 1..6 {
                let t = f64::from(rib) / 6.0;
                let mix = |p: f64, q: f64| p + (q - p) * t;
                let end = Point::new(mix(top.x, low.x), mix(top.y, low.y));
                let start = Point::new(end.x - ax * 58.0, end.y - ay * 58.0);
                shape.trims.push(Trim::open(LineKind::Rib, vec![at(start), at(end)]));
            }
        } else {
            shape.trims.push(Trim::open(LineKind::Stitch, back(HEM_MM * 0.8)));
        }
    }
}

/// A vest's armhole is a bound edge.
fn armhole_edge(body: &Body, shape: &mut PanelShape) {
    for side in [1.0, -1.0] {
        let line: Vec<Point> = body.armhole().iter().map(|p| Point::new(side * (p.x - 9.0), p.y - 2.0)).collect();
        shape.trims.push(Trim::open(LineKind::Stitch, line));
    }
}

/// Neck of the front: rib, collar, hood.
pub(crate) fn neck_front(style: &GarmentStyle, body: &Body, shape: &mut PanelShape) {
    neck_seam(style, body, body.neck_depth, shape);
    back_inside(body, shape);
    if has_hood(style) {
        hood::behind_front(body, shape);
    } else if style.has(Feature::Collar) || matches!(style.class, GarmentClass::Polo | GarmentClass::DressShirt) {
        folded_collar(body, shape);
    } else {
        rib_neck(body, body.neck_depth, shape);
    }
    if style.has(Feature::HoodCord) {
        for side in [1.0, -1.0] {
            let x = side * body.neck * 0.2;
            let y = -body.neck_depth * 0.97;
            let line = vec![
                Point::new(x, y),
                Point::new(x + side * 5.0, y - 0.16 * body.chest),
                Point::new(x + side * 3.0, y - 0.3 * body.chest),
            ];
            shape.obstacles.push(Obstacle::along(ObstacleKind::Cord, &line, 5.0, steps::CORD).loose());
            shape.trims.push(Trim::open(LineKind::Cord, line));
        }
    }
}

/// Neck of the back: rib or collar, label, yoke, hood.
pub(crate) fn neck_back(style: &GarmentStyle, m: &Measures<'_>, body: &Body, shape: &mut PanelShape) {
    let depth = body.back_neck_depth();
    neck_seam(style, body, depth, shape);
    if has_hood(style) {
        hood::over_back(m, body, shape);
    } else if style.has(Feature::Collar) || matches!(style.class, GarmentClass::Polo | GarmentClass::DressShirt) {
        collar_from_behind(body, shape);
    } else {
        rib_neck(body, depth, shape);
    }
    if style.has(Feature::NeckLabel) {
        let at = bounds(-22.0, -depth - 32.0, 22.0, -depth - 4.0);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Label, at, steps::LABEL).loose());
    }
    if style.has(Feature::YokeSeam) {
        let y = -depth - 0.16 * body.chest;
        let half = body.shoulder / 2.0 - 0.02 * body.chest;
        let line = vec![Point::new(-half, y), Point::new(half, y)];
        shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &line, 6.0, steps::seam(style.class)));
        shape.trims.push(Trim::open(LineKind::Seam, line));
        shape.mark(Landmark::Yoke, 0.0, y);
    }
    if style.has(Feature::CentreBackSeam) {
        centre_seam(style, body, depth, shape);
    }
}

fn neck_seam(style: &GarmentStyle, body: &Body, depth: f64, shape: &mut PanelShape) {
    let step = steps::collar(style.class);
    shape.obstacles.push(Obstacle::along(ObstacleKind::Collar, &body.neckline(depth), 6.0, step));
    let rib: Vec<Point> = body.neckline(depth).iter().map(|p| Point::new(p.x * 0.92, p.y + 10.0)).collect();
    shape.obstacles.push(Obstacle::along(ObstacleKind::Collar, &rib, 10.0, step));
    shape.trims.push(Trim::open(LineKind::Seam, body.neckline(depth)));
}

/// The inside of the back seen through the neck.
fn back_inside(body: &Body, shape: &mut PanelShape) {
    let mut ring = body.neckline(body.neck_depth);
    let rise = 6.0;
    ring.extend(body.neckline(body.back_neck_depth() * 0.5).iter().rev().map(|p| Point::new(p.x, p.y + rise)));
    if let Ok(outline) = Outline::new(ring, Vec::new()) {
        shape.beside.push(Beside { outline, behind: true });
    }
}

fn rib_neck(body: &Body, depth: f64, shape: &mut PanelShape) {
    let inner = |p: &Point| {
        Point::new(p.x * (1.0 - 2.0 * 11.0 / body.neck), p.y + NECK_RIB_MM * (0.35 + 0.65 * -p.y / depth.max(1.0)))
    };
    let seam = body.neckline(depth);
    let edge: Vec<Point> = seam.iter().map(inner).collect();
    let mut ring = seam.clone();
    ring.extend(edge.iter().rev().copied());
    if let Ok(outline) = Outline::new(ring, Vec::new()) {
        shape.beside.push(Beside { outline, behind: false });
    }
    for (at, (a, b)) in seam.iter().zip(&edge).enumerate() {
        if at % 2 == 1 {
            shape.trims.push(Trim::open(LineKind::Rib, vec![*a, *b]));
        }
    }
}

/// Two leaves of a folded collar.
fn folded_collar(body: &Body, shape: &mut PanelShape) {
    let (n, d) = (body.neck / 2.0, body.neck_depth);
    for side in [1.0, -1.0] {
        let leaf = Path::at(0.0, -d)
            .curve((n * 0.5, -d * 0.98), (n * 0.95, -d * 0.5), (n * 0.98, 4.0))
            .line(n * 1.08, 0.0)
            .curve((n * 1.15, -d * 0.5), (n * 1.0, -d * 0.9), (n * 0.72, -d * 1.42))
            .points();
        let ring: Vec<Point> = leaf.iter().map(|p| Point::new(side * p.x, p.y)).collect();
        shape.obstacles.push(Obstacle::along(ObstacleKind::Collar, &ring, 4.0, 2.0).loose());
        if let Ok(outline) = Outline::new(ring, Vec::new()) {
            shape.beside.push(Beside { outline, behind: false });
        }
    }
    let low = body.neckline(body.back_neck_depth());
    let mut stand = low.clone();
    stand.extend(low.iter().rev().map(|p| Point::new(p.x * 0.9, p.y + 24.0)));
    if let Ok(outline) = Outline::new(stand, Vec::new()) {
        shape.beside.push(Beside { outline, behind: true });
    }
}

fn collar_from_behind(body: &Body, shape: &mut PanelShape) {
    let (n, d) = (body.neck / 2.0, body.back_neck_depth());
    let half = Path::at(0.0, 30.0)
        .curve((n * 0.6, 30.0), (n * 0.9, 20.0), (n * 1.0, 4.0))
        .line(n * 1.2, -d - 22.0)
        .curve((n * 0.8, -d - 30.0), (n * 0.4, -d - 34.0), (0.0, -d - 34.0));
    if let Some(outline) = half.mirrored().outline() {
        let at = bounds(-n * 1.2, -d - 34.0, n * 1.2, 30.0);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Collar, at, 2.0).loose());
        shape.beside.push(Beside { outline, behind: false });
    }
}

/// Zips, buttons, snaps, placket, centre seam of the front.
pub(crate) fn openings(style: &GarmentStyle, m: &Measures<'_>, body: &Body, shape: &mut PanelShape) {
    let top = -body.neck_depth;
    if style.has(Feature::FullZip) {
        zip(body, top, -body.length, true, shape);
        if style.has(Feature::StormFlap) {
            let flap = bounds(-6.0, -body.length, 46.0, top);
            shape.obstacles.push(Obstacle::boxed(ObstacleKind::Flap, flap, steps::FLAP).on_half(1));
            shape.mark(Landmark::FlapEdge, 46.0, f64::midpoint(top, -body.pit));
            shape.trims.push(Trim::open(LineKind::Edge, vec![Point::new(46.0, top), Point::new(46.0, -body.length)]));
            shape.trims.push(Trim::open(LineKind::Stitch, vec![Point::new(40.0, top), Point::new(40.0, -body.length)]));
        }
    } else if style.has(Feature::QuarterZip) {
        let long = m.or(Measure::PlacketLength, 0.4 * body.chest);
        zip(body, top, top - long, false, shape);
    }
    if style.has(Feature::FrontButtons) || style.has(Feature::FrontSnaps) {
        let kind = if style.has(Feature::FrontSnaps) { ObstacleKind::Snap } else { ObstacleKind::Button };
        placket(body, top, -body.length, kind, true, shape);
    } else if style.has(Feature::Placket) {
        let long = m.or(Measure::PlacketLength, 0.3 * body.chest);
        placket(body, top, top - long, ObstacleKind::Button, false, shape);
    }
    if style.has(Feature::CentreSeam) {
        centre_seam(style, body, body.neck_depth, shape);
    }
    if style.has(Feature::Quilted) {
        quilting(body, shape);
    }
}

fn centre_seam(style: &GarmentStyle, body: &Body, depth: f64, shape: &mut PanelShape) {
    let line = vec![Point::new(0.0, -depth), Point::new(0.0, -body.cloth_end)];
    shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &line, 6.0, steps::seam(style.class)));
    shape.trims.push(Trim::open(LineKind::Seam, line));
}

fn zip(body: &Body, top: f64, end: f64, whole: bool, shape: &mut PanelShape) {
    // The teeth begin at the collar's edge, a rib's width above its seam.
    let from = top + NECK_RIB_MM;
    for half in [1_i8, -1] {
        let x = f64::from(half) * ZIP_HALF_MM;
        let side = if whole { half } else { 0 };
        let at = bounds(0.0, end, x, from);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Zip, at, steps::ZIP).on_half(side));
        let edge = vec![Point::new(x * 0.55, from), Point::new(x * 0.55, end)];
        shape.trims.push(Trim::open(LineKind::Stitch, edge));
    }
    shape.trims.push(Trim::open(LineKind::Zip, vec![Point::new(0.0, from), Point::new(0.0, end)]));
    shape.mark(Landmark::ZipEdge, ZIP_HALF_MM, f64::midpoint(top, -body.pit));
}

fn placket(body: &Body, top: f64, end: f64, fastener: ObstacleKind, whole: bool, shape: &mut PanelShape) {
    let band = bounds(-PLACKET_HALF_MM, end, PLACKET_HALF_MM, top);
    let halves: &[i8] = if whole { &[1, -1] } else { &[0] };
    for half in halves {
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Placket, band, steps::PLACKET).on_half(*half));
    }
    for x in [-PLACKET_HALF_MM, PLACKET_HALF_MM] {
        shape.trims.push(Trim::open(LineKind::Stitch, vec![Point::new(x, top), Point::new(x, end)]));
    }
    if !whole {
        let low = vec![Point::new(-PLACKET_HALF_MM, end), Point::new(PLACKET_HALF_MM, end)];
        shape.trims.push(Trim::open(LineKind::Seam, low));
    }
    let pitch = if whole { BUTTON_STEP_MM } else { ((top - end) / 2.6).min(BUTTON_STEP_MM) };
    let count = (((top - end) / pitch).floor()).clamp(1.0, 14.0) as u32;
    for button in 0..count {
        let at = Point::new(0.0, top - 12.0 - f64::from(button) * pitch);
        // A shirt's buttons stand on the wearer's right half, snaps on both.
        let sides: &[i8] = match (whole, fastener) {
            (false, _) => &[0],
            (true, ObstacleKind::Snap) => &[1, -1],
            (true, _) => &[-1],
        };
        let height = if fastener == ObstacleKind::Snap { steps::SNAP } else { steps::BUTTON };
        for side in sides {
            shape.obstacles.push(Obstacle::spot(fastener, at, 7.0, height).on_half(*side));
        }
        shape.trims.push(ring(at, 5.5));
        if button == 1 {
            shape.mark(Landmark::SecondButton, 0.0, at.y);
        }
    }
    shape.mark(Landmark::PlacketEdge, PLACKET_HALF_MM, f64::midpoint(top, -body.pit));
}

/// A small circle.
pub(crate) fn ring(at: Point, radius: f64) -> Trim {
    const K: f64 = 0.552_284_75;
    let (x, y, r, k) = (at.x, at.y, radius, radius * K);
    let points = Path::at(x + r, y)
        .curve((x + r, y + k), (x + k, y + r), (x, y + r))
        .curve((x - k, y + r), (x - r, y + k), (x - r, y))
        .curve((x - r, y - k), (x - k, y - r), (x, y - r))
        .curve((x + k, y - r), (x + r, y - k), (x + r, y))
        .points();
    Trim::ring(LineKind::Fastener, points)
}

fn quilting(body: &Body, shape: &mut PanelShape) {
    let mut y = -body.neck_depth - 20.0;
    while y > -body.cloth_end + 20.0 {
        let half = if -y < body.pit { body.shoulder / 2.0 - 0.05 * body.chest } else { body.side_at(-y) };
        let line = vec![Point::new(-half, y), Point::new(half, y)];
        shape.obstacles.push(Obstacle::along(ObstacleKind::Quilting, &line, 3.0, steps::QUILT));
        shape.trims.push(Trim::open(LineKind::Stitch, line));
        y -= QUILT_STEP_MM;
    }
}

/// Pockets of the front.
pub(crate) fn pockets(
    style: &GarmentStyle,
    m: &Measures<'_>,
    body: &Body,
    shape: &mut PanelShape,
) -> Result<(), Measure> {
    let step = steps::pocket(style.class);
    if style.has(Feature::PouchPocket) {
        let (w, h, drop) = pocket_measures(m)?;
        pouch(w, h, drop, step, style.has(Feature::FullZip), shape);
    }
    if style.has(Feature::ChestPocket) {
        let (w, h, drop) = pocket_measures(m)?;
        patch(bounds(0.22 * body.chest - w / 2.0, -drop - h, 0.22 * body.chest + w / 2.0, -drop), step, shape);
    }
    if style.has(Feature::SlantPockets) {
        for side in [1.0, -1.0] {
            let line = vec![
                Point::new(side * 0.26 * body.chest, -0.64 * body.length),
                Point::new(side * 0.36 * body.chest, -0.84 * body.length),
            ];
            let half = if side > 0.0 { 1 } else { -1 };
            shape.obstacles.push(Obstacle::along(ObstacleKind::Pocket, &line, 9.0, step).on_half(half));
            for by in [-6.0, 6.0] {
                let welt = line.iter().map(|p| Point::new(p.x + by, p.y)).collect();
                shape.trims.push(Trim::open(LineKind::Seam, welt));
            }
        }
    }
    Ok(())
}

fn pocket_measures(m: &Measures<'_>) -> Result<(f64, f64, f64), Measure> {
    Ok((m.need(Measure::PocketWidth)?, m.need(Measure::PocketHeight)?, m.need(Measure::PocketDrop)?))
}

fn pouch(w: f64, h: f64, drop: f64, step: f64, split: bool, shape: &mut PanelShape) {
    let (top, low) = (w * 0.31, w / 2.0);
    let half =
        Path::at(0.0, -drop).line(top, -drop).line(low, -drop - h * 0.68).line(low, -drop - h).line(0.0, -drop - h);
    let mut ring = half.mirrored().points();
    if let Some(first) = ring.first().copied() {
        for (a, b) in ring.iter().zip(ring.iter().skip(1).chain([&first])) {
            if a.distance(*b) < 1e-9 {
                continue;
            }
            let half = if !split || (a.x + b.x).abs() < 1.0 {
                0
            } else if a.x + b.x > 0.0 {
                1
            } else {
                -1
            };
            shape.obstacles.push(Obstacle::along(ObstacleKind::Pocket, &[*a, *b], 7.0, step).on_half(half));
        }
        ring.push(first);
    }
    shape.mark(Landmark::PocketTop, 0.0, -drop);
    shape.mark(Landmark::PocketBottom, 0.0, -drop - h);
    for side in [1.0, -1.0] {
        let inner = vec![Point::new(side * (top - 9.0), -drop), Point::new(side * (low - 9.0), -drop - h * 0.68)];
        shape.trims.push(Trim::open(LineKind::Stitch, inner));
    }
    shape.trims.push(Trim::open(LineKind::Seam, ring.clone()));
    shape.pocket = Outline::new(ring, Vec::new()).ok();
}

/// A patch pocket with a pointed lower edge.
fn patch(at: Bounds, step: f64, shape: &mut PanelShape) {
    let middle = at.centre().x;
    let point = at.height() * 0.12;
    let ring = vec![
        Point::new(at.min.x, at.max.y),
        Point::new(at.min.x, at.min.y + point),
        Point::new(middle, at.min.y),
        Point::new(at.max.x, at.min.y + point),
        Point::new(at.max.x, at.max.y),
    ];
    for pair in ring.windows(2).chain([[*ring.last().unwrap_or(&at.max), ring[0]].as_slice()]) {
        shape.obstacles.push(Obstacle::along(ObstacleKind::Pocket, pair, 5.0, step).on_half(1));
    }
    let fold = at.max.y - 22.0;
    shape.trims.push(Trim::open(LineKind::Stitch, vec![Point::new(at.min.x, fold), Point::new(at.max.x, fold)]));
    shape.trims.push(Trim::ring(LineKind::Seam, ring.clone()));
    shape.mark(Landmark::PocketTop, middle, at.max.y);
    shape.mark(Landmark::PocketBottom, middle, at.min.y);
    shape.pocket = Outline::new(ring, Vec::new()).ok();
}

/// Mesh panels along the side seams.
pub(crate) fn sides(style: &GarmentStyle, body: &Body, shape: &mut PanelShape) {
    if !style.has(Feature::MeshSides) {
        return;
    }
    let wide = 0.12 * body.chest;
    let (top, low) = (-body.pit, -body.cloth_end);
    for side in [1.0, -1.0] {
        let x = |y: f64, by: f64| side * (body.side_at(-y) - by);
        let panel = bounds(x(top, 0.0), low, x(top, wide), top);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::MeshPanel, panel, 0.0));
        let line = vec![Point::new(x(top, wide * 0.6), top), Point::new(x(low, wide), low)];
        shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &line, 5.0, steps::seam(style.class)));
        shape.trims.push(Trim::open(LineKind::Seam, line));
        let mut y = top - 16.0;
        while y > low + 30.0 {
            let run = vec![Point::new(x(y, 6.0), y), Point::new(x(y, wide * 0.5), y - 8.0)];
            shape.trims.push(Trim::open(LineKind::Rib, run));
            y -= 18.0;
        }
    }
}

/// Rib drawn as upright lines in a box.
pub(crate) fn rib(shape: &mut PanelShape, at: Bounds) {
    let outline = vec![at.min, Point::new(at.max.x, at.min.y), at.max, Point::new(at.min.x, at.max.y)];
    if let Ok(outline) = Outline::new(outline, Vec::new()) {
        shape.beside.push(Beside { outline, behind: false });
    }
    let count = ((at.width() / 14.0) as u32).clamp(2, 80);
    for line in 1..count {
        let x = at.min.x + at.width() * f64::from(line) / f64::from(count);
        shape.trims.push(Trim::open(LineKind::Rib, vec![Point::new(x, at.min.y + 3.0), Point::new(x, at.max.y - 3.0)]));
    }
    let seam = vec![Point::new(at.min.x, at.max.y), at.max];
    shape.trims.push(Trim::open(LineKind::Seam, seam));
}

/// Gathers of an elastic edge.
pub(crate) fn gathers(shape: &mut PanelShape, at: Bounds) {
    let count = ((at.width() / 24.0) as u32).clamp(2, 60);
    for line in 1..count {
        let x = at.min.x + at.width() * f64::from(line) / f64::from(count);
        let lean = if line % 2 == 0 { 4.0 } else { -4.0 };
        let run = vec![Point::new(x, at.min.y + 4.0), Point::new(x + lean, at.max.y - 6.0)];
        shape.trims.push(Trim::open(LineKind::Rib, run));
    }
}
