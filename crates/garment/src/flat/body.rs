//! Front and back of clothes for the upper body.

use super::{dress, has_sleeves, is_long_sleeved, steps};
use crate::curve::{Path, bounds};
use crate::measures::Measures;
use crate::panel::{Landmark, LineKind, Obstacle, ObstacleKind, Panel, PanelShape, Trim};
use geometry::Point;
use trade::{Feature, GarmentClass, GarmentSize, GarmentStyle, Measure};

/// The lengths from which front and back are drawn, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Body {
    pub(crate) chest: f64,
    pub(crate) length: f64,
    pub(crate) hem: f64,
    pub(crate) shoulder: f64,
    pub(crate) neck: f64,
    pub(crate) neck_depth: f64,
    /// How far the shoulder seam's end lies below the highest shoulder point.
    pub(crate) slope: f64,
    /// How far the pit lies below the highest shoulder point.
    pub(crate) pit: f64,
    /// How far the bodice ends below the highest shoulder point when a rib follows, else its length.
    pub(crate) cloth_end: f64,
}

impl Body {
    pub(crate) fn of(style: &GarmentStyle, m: &Measures<'_>) -> Result<Self, Measure> {
        let chest = m.need(Measure::ChestWidth)?;
        let length = m.need(Measure::BodyLength)?;
        let sleeveless = !has_sleeves(style.class);
        let wide = if style.has(Feature::DropShoulder) || style.class == GarmentClass::Hoodie { 0.98 } else { 0.88 };
        let shoulder = m.or(Measure::ShoulderWidth, chest * if sleeveless { 0.62 } else { wide });
        let neck = m.or(Measure::NeckWidth, 70.0 + 0.22 * chest).min(shoulder * 0.8);
        let rib = if style.has(Feature::RibHem) { m.or(Measure::RibHeight, 0.12 * chest) } else { 0.0 };
        Ok(Self {
            chest,
            length,
            hem: m.or(Measure::HemWidth, if rib > 0.0 { 0.88 * chest } else { chest }),
            shoulder,
            neck,
            neck_depth: m.or(Measure::NeckDepth, 10.0 + 0.17 * chest),
            slope: 0.09 * shoulder,
            pit: (if sleeveless { 0.52 } else { 0.46 }) * chest,
            cloth_end: length - rib.min(length / 3.0),
        })
    }

    /// Depth of the back neck: shallow in every cut.
    pub(crate) fn back_neck_depth(&self) -> f64 {
        0.22 * self.neck_depth
    }

    /// x of the side seam `down` mm below the highest shoulder point.
    pub(crate) fn side_at(&self, down: f64) -> f64 {
        let share = ((down - self.pit) / (self.cloth_end - self.pit).max(1.0)).clamp(0.0, 1.0);
        (self.chest + (self.hem - self.chest) * share) / 2.0
    }

    /// The right half of the outline as drawn, from the centre of the neck down to the hem.
    fn half(&self, neck_depth: f64) -> Path {
        let (n, s, c, h) = (self.neck / 2.0, self.shoulder / 2.0, self.chest / 2.0, self.hem / 2.0);
        Path::at(0.0, -neck_depth)
            .curve((n * 0.55, -neck_depth), (n, -neck_depth * 0.55), (n, 0.0))
            .line(s, -self.slope)
            .curve((s - 0.06 * self.chest, -self.pit * 0.62), (c - 0.09 * self.chest, -self.pit * 0.94), (c, -self.pit))
            .line(h.max(1.0), -self.cloth_end)
            .line(0.0, -self.cloth_end)
    }

    /// The armhole at x > 0, from the shoulder down.
    pub(crate) fn armhole(&self) -> Vec<Point> {
        let (s, c) = (self.shoulder / 2.0, self.chest / 2.0);
        Path::at(s, -self.slope)
            .curve((s - 0.06 * self.chest, -self.pit * 0.62), (c - 0.09 * self.chest, -self.pit * 0.94), (c, -self.pit))
            .points()
    }

    /// The collar seam from side to side.
    pub(crate) fn neckline(&self, depth: f64) -> Vec<Point> {
        let n = self.neck / 2.0;
        Path::at(0.0, -depth).curve((n * 0.55, -depth), (n, -depth * 0.55), (n, 0.0)).mirrored_open()
    }
}

/// The front.
pub(crate) fn front(style: &GarmentStyle, m: &Measures<'_>, size: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let body = Body::of(style, m)?;
    let Some(mut shape) = plain(style, &body, Panel::Front, body.neck_depth) else { return Ok(None) };
    dress::sleeves_beside(style, m, size, &body, &mut shape);
    dress::neck_front(style, &body, &mut shape);
    dress::openings(style, m, &body, &mut shape);
    dress::pockets(style, m, &body, &mut shape)?;
    dress::sides(style, &body, &mut shape);
    Ok(Some(shape))
}

/// The back.
pub(crate) fn back(style: &GarmentStyle, m: &Measures<'_>, size: &GarmentSize) -> Result<Option<PanelShape>, Measure> {
    let body = Body::of(style, m)?;
    let Some(mut shape) = plain(style, &body, Panel::Back, body.back_neck_depth()) else { return Ok(None) };
    dress::sleeves_beside(style, m, size, &body, &mut shape);
    dress::neck_back(style, m, &body, &mut shape);
    dress::sides(style, &body, &mut shape);
    Ok(Some(shape))
}

/// The panel with the seams that front and back share.
fn plain(style: &GarmentStyle, body: &Body, panel: Panel, neck_depth: f64) -> Option<PanelShape> {
    let mut shape = PanelShape::new(panel, body.half(neck_depth).mirrored().outline()?);
    shape.tube_mm = Some(body.chest.min(body.hem.max(0.8 * body.chest)));
    shape.mark(Landmark::HighestShoulder, body.neck / 2.0, 0.0);
    shape.mark(Landmark::CollarSeam, 0.0, -neck_depth);
    shape.mark(Landmark::Hem, 0.0, -body.length);
    shape.mark(Landmark::SideSeam, body.hem / 2.0, -body.length);
    seams(style, body, &mut shape);
    lower_edge(style, body, &mut shape);
    Some(shape)
}

fn seams(style: &GarmentStyle, body: &Body, shape: &mut PanelShape) {
    let step = steps::seam(style.class);
    let mut lines = vec![
        vec![Point::new(body.neck / 2.0, 0.0), Point::new(body.shoulder / 2.0, -body.slope)],
        vec![Point::new(body.chest / 2.0, -body.pit), Point::new(body.hem / 2.0, -body.cloth_end)],
    ];
    if style.has(Feature::Raglan) {
        lines.push(vec![Point::new(body.neck / 2.0 - 4.0, -10.0), Point::new(body.chest / 2.0, -body.pit)]);
    } else {
        lines.push(body.armhole());
    }
    for line in lines {
        for side in [1.0, -1.0] {
            let points: Vec<Point> = line.iter().map(|p| Point::new(side * p.x, p.y)).collect();
            shape.obstacles.push(Obstacle::along(ObstacleKind::Seam, &points, 6.0, step));
            if style.has(Feature::TapedSeams) {
                shape.obstacles.push(Obstacle::along(ObstacleKind::SeamTape, &points, 11.0, steps::TAPE));
            }
            shape.trims.push(Trim::open(LineKind::Seam, points));
        }
    }
}

/// Hem, rib or elastic.
fn lower_edge(style: &GarmentStyle, body: &Body, shape: &mut PanelShape) {
    let half = body.hem / 2.0;
    let level = |y: f64| vec![Point::new(-half, y), Point::new(half, y)];
    let top = -body.cloth_end;
    if body.cloth_end < body.length {
        dress::rib(shape, bounds(-half * 0.94, -body.length, half * 0.94, top));
        // The step is the seam where the rib begins; the rib itself is even.
        let seam = bounds(-half, top - 8.0, half, top + 6.0);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Rib, seam, steps::RIB.max(steps::seam(style.class))));
    } else if style.has(Feature::ElasticHem) {
        let band = bounds(-half, -body.length, half, -body.length + 35.0);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::Elastic, band, steps::ELASTIC));
        shape.trims.push(Trim::open(LineKind::Stitch, level(-body.length + 35.0)));
        dress::gathers(shape, band);
    } else {
        let tall = dress::HEM_MM;
        let band = bounds(-half, -body.length, half, -body.length + tall);
        shape.obstacles.push(Obstacle::boxed(ObstacleKind::HemEdge, band, steps::hem(style.class)));
        shape.trims.push(Trim::open(LineKind::Stitch, level(-body.length + tall)));
        shape.trims.push(Trim::open(LineKind::Stitch, level(-body.length + tall - 5.0)));
    }
    if style.has(Feature::WaistCord) {
        for side in [1.0, -1.0] {
            let line = vec![Point::new(side * 18.0, -body.length + 20.0), Point::new(side * 26.0, -body.length - 55.0)];
            if shape.panel == Panel::Front {
                shape.obstacles.push(Obstacle::along(ObstacleKind::Cord, &line, 4.0, steps::CORD).loose());
                shape.trims.push(Trim::open(LineKind::Cord, line));
            }
        }
    }
}

/// Length of a sleeve and its width at the hem, for the drawing beside the body.
pub(crate) fn sleeve_lengths(
    style: &GarmentStyle,
    m: &Measures<'_>,
    size: &GarmentSize,
    body: &Body,
) -> (f64, f64, bool) {
    let long = is_long_sleeved(style, size);
    let (length, width) =
        if long { (1.2 * body.chest, 0.22 * body.chest) } else { (0.42 * body.chest, 0.36 * body.chest) };
    let known = |measure, proportion| m.known(measure).unwrap_or(proportion);
    (known(Measure::SleeveLength, length), known(Measure::SleeveWidth, width), long)
}
