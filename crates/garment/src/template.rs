//! A paper template at true size to lay on the garment, and art that fills a pocket.

use crate::codes;
use crate::flat::flat;
use crate::measures::ask_for;
use crate::panel::{Landmark, Panel};
use crate::place::{Placed, TapeMeasure};
use geometry::{Bounds, Outline, Point, Region};
use report::{Code, Finding, Severity, Value};
use trade::{GarmentSize, GarmentStyle, Measure};
use units::Length;

/// A line to lay on something of the garment.
#[derive(Debug, Clone, PartialEq)]
pub struct TemplateLine {
    /// What it is laid on, as a term.
    pub on: Code,
    /// Its points, in the panel's frame.
    pub points: Vec<Point>,
}

/// A template at true size. All places are in the frame of the panel, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Template {
    /// The panel it lies on.
    pub panel: Panel,
    /// The sheet: what the template covers.
    pub sheet: Bounds,
    /// Where the art lies: cut this window out, or mark its corners.
    pub window: Bounds,
    /// Edges of the garment that the paper's edge follows (collar, hem, sides), cut to the sheet.
    pub edges: Vec<Vec<Point>>,
    /// Lines to lay on seams, folds and centre lines.
    pub lines: Vec<TemplateLine>,
    /// Measures to check it by.
    pub measures: Vec<TapeMeasure>,
    /// Pages of the paper asked for, upright or lying, that cover the sheet, row by row from the top.
    pub pages: Vec<Bounds>,
}

/// White border of the sheet round everything it must show.
const BORDER_MM: f64 = 6.0;
/// Unprintable edge of a page.
const PAGE_EDGE_MM: f64 = 8.0;

/// A paper template for a print; `paper` is the width and height of a page.
///
/// Err when the garment cannot be drawn (the same finding as [`crate::flat()`]),
/// or when the page is smaller than 50 mm.
pub fn paper_template(
    style: &GarmentStyle,
    size: &GarmentSize,
    placed: &Placed,
    paper: (Length, Length),
) -> Result<Template, Finding> {
    let flat = flat(style, size)?;
    let shape = flat.panel(placed.panel).ok_or_else(|| {
        Finding::new(Severity::StopsLine, codes::NO_SHAPE, codes::POSITION_CHOOSE).named("garment", style.name.clone())
    })?;
    let mut sheet = placed.bounds;
    for measure in &placed.measures {
        for p in [measure.line.0, measure.line.1] {
            sheet = sheet.joined(&Bounds { min: p, max: p });
        }
    }
    let sheet = sheet.grown(BORDER_MM);
    let lines = lines(shape, &sheet);
    let edges = shape.outline.rings().flat_map(|ring| cut(ring, &sheet)).collect();
    Ok(Template {
        panel: placed.panel,
        sheet,
        window: placed.bounds,
        edges,
        lines,
        measures: placed.measures.clone(),
        pages: pages(&sheet, paper),
    })
}

/// The centre line and the landmarks' level lines that cross the sheet.
fn lines(shape: &crate::panel::PanelShape, sheet: &Bounds) -> Vec<TemplateLine> {
    let mut lines = Vec::new();
    if sheet.min.x < 0.0 && sheet.max.x > 0.0 {
        let points = vec![Point::new(0.0, sheet.min.y), Point::new(0.0, sheet.max.y)];
        lines.push(TemplateLine { on: centre_term(shape.panel), points });
    }
    let levels = [
        (Landmark::HighestShoulder, codes::AT_HPS),
        (Landmark::CollarSeam, codes::AT_COLLAR_SEAM),
        (Landmark::Yoke, codes::AT_YOKE),
        (Landmark::Hem, codes::AT_HEM),
        (Landmark::PocketTop, codes::AT_POCKET_TOP),
        (Landmark::ShoulderSeam, codes::AT_SHOULDER_SEAM),
        (Landmark::LimbEnd, codes::AT_SLEEVE_HEM),
        (Landmark::Waistband, codes::AT_WAISTBAND),
        (Landmark::Visor, codes::AT_VISOR),
        (Landmark::TopEdge, codes::AT_TOP_EDGE),
    ];
    for (landmark, on) in levels {
        if let Some(at) = shape.landmark(landmark)
            && (sheet.min.y..=sheet.max.y).contains(&at.y)
        {
            let points = vec![Point::new(sheet.min.x, at.y), Point::new(sheet.max.x, at.y)];
            lines.push(TemplateLine { on, points });
        }
    }
    lines
}

fn centre_term(panel: Panel) -> Code {
    match panel {
        Panel::LeftSleeve | Panel::RightSleeve => codes::AT_FOLD,
        _ => codes::AT_CENTRE_LINE,
    }
}

/// The stretches of a ring that lie on the sheet.
fn cut(ring: &[Point], sheet: &Bounds) -> Vec<Vec<Point>> {
    let inside = |p: &Point| (sheet.min.x..=sheet.max.x).contains(&p.x) && (sheet.min.y..=sheet.max.y).contains(&p.y);
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut run: Vec<Point> = Vec::new();
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        match clipped(*a, *b, sheet) {
            Some((from, to)) => {
                if run.last().is_none_or(|last| last.distance(from) > 1e-6) {
                    runs.push(std::mem::replace(&mut run, vec![from]));
                }
                run.push(to);
                if !inside(b) {
                    runs.push(std::mem::take(&mut run));
                }
            }
            None => runs.push(std::mem::take(&mut run)),
        }
    }
    runs.push(run);
    runs.retain(|run| run.len() > 1);
    runs
}

/// The part of a straight line inside a rectangle (Liang & Barsky 1984).
fn clipped(a: Point, b: Point, r: &Bounds) -> Option<(Point, Point)> {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, q) in [(-dx, a.x - r.min.x), (dx, r.max.x - a.x), (-dy, a.y - r.min.y), (dy, r.max.y - a.y)] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    let at = |t: f64| Point::new(a.x + dx * t, a.y + dy * t);
    (from < to).then(|| (at(from), at(to)))
}

/// Pages upright or lying, whichever are fewer; upright where that is all one.
fn pages(sheet: &Bounds, paper: (Length, Length)) -> Vec<Bounds> {
    let (upright, lying) = (pages_of(sheet, paper), pages_of(sheet, (paper.1, paper.0)));
    if lying.len() < upright.len() { lying } else { upright }
}

/// Pages in rows from the upper left; none when the page is too small to print on.
fn pages_of(sheet: &Bounds, paper: (Length, Length)) -> Vec<Bounds> {
    let (w, h) = (paper.0.mm() - 2.0 * PAGE_EDGE_MM, paper.1.mm() - 2.0 * PAGE_EDGE_MM);
    if w < 50.0 || h < 50.0 {
        return Vec::new();
    }
    // A garment is at most a few metres: a hundred pages are never reached.
    let count = |long: f64, page: f64| (long / page).ceil().clamp(1.0, 60.0) as u32;
    let (columns, rows) = (count(sheet.width(), w), count(sheet.height(), h));
    let mut pages = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let x = sheet.min.x + f64::from(column) * w;
            let y = sheet.max.y - f64::from(row) * h;
            pages.push(Bounds { min: Point::new(x, y - h), max: Point::new(x + w, y) });
        }
    }
    pages
}

/// The field of the front's pocket, `inside` of its edges, for art that fills it.
///
/// `inside` is usually half an inch (common practice, no source). Err: the
/// garment has no pocket, or a measure of it is missing.
pub fn pocket_art(style: &GarmentStyle, size: &GarmentSize, inside: Length) -> Result<Region, Finding> {
    let flat = flat(style, size)?;
    let front = flat.panel(Panel::Front);
    let pocket: Option<&Outline> = front.and_then(|shape| shape.pocket.as_ref());
    if let Some(pocket) = pocket {
        let field = geometry::shrink(&Region { outlines: vec![pocket.clone()] }, inside.mm().max(0.0));
        if !field.outlines.is_empty() {
            return Ok(field);
        }
    }
    match flat.missing.first() {
        Some((_, measure @ (Measure::PocketWidth | Measure::PocketHeight | Measure::PocketDrop))) => {
            Err(ask_for(style, size, *measure))
        }
        _ => Err(Finding::new(Severity::StopsLine, codes::POSITION_NOT_OFFERED, codes::POSITION_CHOOSE)
            .named("garment", style.name.clone())
            .with("position", Value::Term(codes::POSITION_ON_POCKET))),
    }
}
