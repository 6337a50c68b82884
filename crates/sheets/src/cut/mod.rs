//! Cut paths: what is cut, in which order, from where, and how a blade that trails its
//! holder is led round corners.

mod contours;
mod dxf;
mod hpgl;
mod knife;
mod order;
mod svg;
mod weed;

pub use dxf::cut_dxf;
pub use hpgl::{UNITS_PER_MM, cut_hpgl};
pub use svg::cut_svg;

use crate::codes;
use crate::error::SheetError;
use crate::marks;
use crate::sheet::{Reading, check_size};
use geometry::{Point, Region, Ring};
use report::{Finding, Severity, Value};
use units::{Area, Length};

/// One piece to be cut.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPiece {
    /// What stays on the carrier, mm, placed in the usable area.
    pub region: Region,
    /// Whether it lies left–right reversed, as its pose said.
    pub mirrored: bool,
    /// Its name in files that can carry one.
    pub label: String,
    /// Marks beside it by which the colours of a job are laid over one another, placed like the region.
    pub marks: Vec<Ring>,
}

/// Extra cuts that ease lifting off the waste.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weed {
    /// How far the frame runs outside the pieces, mm, 0 to 50; 5 to 8 is common practice, no source.
    pub frame_mm: f64,
    /// Distance between cuts across the waste, mm, 10 or more; 50 to 100 is common practice, no source.
    pub split_every_mm: Option<f64>,
}

/// A blade that trails behind the middle of its holder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knife {
    /// How far the tip trails, mm, 0 to 2; 0.25 to 0.5 is common practice, no source.
    pub offset_mm: f64,
    /// Corners that turn more than this get a swivel, degrees, 1 to 90.
    pub turn_from_deg: f64,
}

/// Marks that help to bring layers or machines together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Marks {
    /// None.
    #[default]
    None,
    /// Small squares cut into the margin, at the same places on every colour of a job.
    Alignment,
    /// The corner marks printed on the sheet, shown and not cut.
    Register,
}

/// A sheet to be cut. Frame and reversal are those of a print sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct CutSheet {
    /// Across the film, edges included, mm.
    pub width_mm: f64,
    /// Along the film, both ends included, mm.
    pub length_mm: f64,
    /// From every edge to the usable area, mm.
    pub margin_mm: f64,
    /// The pieces.
    pub pieces: Vec<CutPiece>,
    /// What the file is called in files that can carry a name: the job, the colour, its place among others.
    pub name: String,
    /// Which way round the file is.
    pub reading: Reading,
    /// Cuts that ease weeding.
    pub weed: Option<Weed>,
    /// The blade, where the machine does not correct for it itself.
    pub knife: Option<Knife>,
    /// How far a closed cut runs on past its start, mm, 0 to 5.
    pub overcut_mm: f64,
    /// Marks.
    pub marks: Marks,
}

/// What a path is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CutKind {
    /// An edge of this piece, from 0.
    Contour {
        /// Which piece.
        piece: usize,
    },
    /// An alignment mark.
    Mark,
    /// A cut across the waste.
    Split,
    /// The frame round the job.
    Frame,
}

/// One uninterrupted cut.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPath {
    /// What it is for.
    pub kind: CutKind,
    /// Where the machine goes, mm, in the frame of the whole sheet.
    pub points: Vec<Point>,
}

/// Cuts in the order they are made.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPlan {
    /// Across the film, mm.
    pub width_mm: f64,
    /// Along the film, mm.
    pub length_mm: f64,
    /// What it is called.
    pub name: String,
    /// Which way round it is.
    pub reading: Reading,
    /// The cuts: marks, contours with inner before outer, splits, frame.
    pub paths: Vec<CutPath>,
    /// Printed corner marks, closed, mm; never cut.
    pub printed_marks: Vec<Vec<Point>>,
    /// Names of the pieces.
    pub labels: Vec<String>,
    /// Way with the blade up, from the sheet's corner on, mm.
    pub travel_mm: f64,
    /// Way with the blade down, mm.
    pub cut_mm: f64,
    /// What was found on the way.
    pub findings: Vec<Finding>,
}

/// Contours enclosing less than this cannot be cut, mm².
const LEAST_AREA_MM2: f64 = 0.05;

/// Orders the cuts of a sheet.
///
/// Curves keep within `tolerance_mm` (0.001 to 1) of the pieces' edges. About a second for 5,000 contours.
///
/// # Errors
/// Settings out of range, a piece the other way round than the sheet says, a piece
/// outside the sheet or without a contour.
pub fn cut_paths(sheet: &CutSheet, tolerance_mm: f64) -> Result<CutPlan, SheetError> {
    check(sheet, tolerance_mm)?;
    let mut findings = Vec::new();
    let mut contours = contours::of(sheet, tolerance_mm, LEAST_AREA_MM2);
    if contours.dropped > 0 {
        let limit = Area::from_mm2(LEAST_AREA_MM2).unwrap_or_default();
        findings.push(
            Finding::new(Severity::Warning, codes::CONTOURS_DROPPED, codes::FIX_SIMPLIFY)
                .with("count", Value::Count(i64::try_from(contours.dropped).unwrap_or(i64::MAX)))
                .with("limit", Value::Area(limit)),
        );
    }
    let mut paths = Vec::new();
    let mut printed_marks = Vec::new();
    match sheet.marks {
        Marks::None => {}
        _ if sheet.margin_mm < marks::LEAST_MARGIN_MM => findings.push(marks::no_room(sheet.margin_mm)),
        Marks::Alignment => paths.extend(
            marks::squares(sheet.width_mm, sheet.length_mm, sheet.margin_mm)
                .into_iter()
                .map(|square| CutPath { kind: CutKind::Mark, points: closed(&square, 0, 0.0) }),
        ),
        Marks::Register => printed_marks = marks::corners(sheet.width_mm, sheet.length_mm, sheet.margin_mm),
    }
    let m = sheet.margin_mm;
    let mut marks = Vec::new();
    for (piece, ring) in sheet.pieces.iter().enumerate().flat_map(|(at, one)| one.marks.iter().map(move |m| (at, m))) {
        let moved: Ring = ring.iter().map(|p| Point::new(p.x + m, p.y + m)).collect();
        paths.push(CutPath { kind: CutKind::Mark, points: closed(&moved, 0, 0.0) });
        marks.extend(contours::standing(piece, moved));
    }
    let from = paths.last().and_then(|p| p.points.last()).copied().unwrap_or_default();
    for (contour, start) in order::order(&contours.all, from) {
        let contour = &contours.all[contour];
        let ring = contours::started_at(&contour.ring, start);
        paths.push(CutPath {
            kind: CutKind::Contour { piece: contour.piece },
            points: closed(&ring, 0, sheet.overcut_mm),
        });
    }
    // Cuts across the waste keep clear of marks too.
    contours.all.extend(marks);
    if let Some(weed) = sheet.weed {
        paths.extend(weed::cuts(sheet, &weed, &contours.all, sheet.overcut_mm));
    }
    if let Some(knife) = sheet.knife {
        for path in &mut paths {
            path.points = knife::led(&path.points, &knife, tolerance_mm);
        }
    }
    let (travel_mm, cut_mm) = ways(&paths);
    Ok(CutPlan {
        width_mm: sheet.width_mm,
        length_mm: sheet.length_mm,
        name: sheet.name.clone(),
        reading: sheet.reading,
        paths,
        printed_marks,
        labels: sheet.pieces.iter().map(|p| p.label.clone()).collect(),
        travel_mm,
        cut_mm,
        findings,
    })
}

impl CutPlan {
    /// One line that says what the file is and which way round.
    pub fn title(&self) -> String {
        let way = self.reading.tag();
        if self.name.is_empty() { format!("Cut file, {way}") } else { format!("Cut file, {way}: {}", self.name) }
    }
}

fn check(sheet: &CutSheet, tolerance_mm: f64) -> Result<(), SheetError> {
    check_size(sheet.width_mm, sheet.length_mm, sheet.margin_mm)?;
    within("the tolerance of curves, mm,", tolerance_mm, 0.001, 1.0)?;
    within("the closing overlap, mm,", sheet.overcut_mm, 0.0, 5.0)?;
    if let Some(knife) = sheet.knife {
        within("the blade's offset, mm,", knife.offset_mm, 0.0, 2.0)?;
        within("the swivel's least angle, degrees,", knife.turn_from_deg, 1.0, 90.0)?;
    }
    if let Some(weed) = sheet.weed {
        within("the weeding frame's distance, mm,", weed.frame_mm, 0.0, 50.0)?;
        within("the distance of weeding cuts, mm,", weed.split_every_mm.unwrap_or(100.0), 10.0, 10_000.0)?;
    }
    let film = geometry::Bounds { min: Point::default(), max: Point::new(sheet.length_mm, sheet.width_mm) };
    for (at, piece) in sheet.pieces.iter().enumerate() {
        if piece.mirrored != (sheet.reading == Reading::Reversed) {
            return Err(SheetError::ReadingDisagrees { piece: at, reading: sheet.reading });
        }
        let bounds = piece.region.bounds().ok_or(SheetError::Contour { piece: at })?;
        let m = sheet.margin_mm;
        let moved = geometry::Bounds {
            min: Point::new(bounds.min.x + m, bounds.min.y + m),
            max: Point::new(bounds.max.x + m, bounds.max.y + m),
        };
        let marks = geometry::Bounds::around(piece.marks.iter().flatten());
        let marks_on_film = marks.is_none_or(|marks| {
            let moved = geometry::Bounds {
                min: Point::new(marks.min.x + m, marks.min.y + m),
                max: Point::new(marks.max.x + m, marks.max.y + m),
            };
            film.contains(&moved)
        });
        if !marks_on_film || !film.grown(0.05).contains(&moved) {
            return Err(SheetError::PieceOutside { piece: at });
        }
    }
    Ok(())
}

fn within(name: &'static str, value: f64, least: f64, most: f64) -> Result<(), SheetError> {
    if (least..=most).contains(&value) { Ok(()) } else { Err(SheetError::Setting { name, value, least, most }) }
}

/// A ring as a path that starts at its point `start`, comes back to it, and runs `on` mm further.
fn closed(ring: &[Point], start: usize, on: f64) -> Vec<Point> {
    let n = ring.len();
    let at = |i: usize| ring[(start + i) % n.max(1)];
    if n == 0 {
        return Vec::new();
    }
    let mut path: Vec<Point> = (0..=n).map(at).collect();
    let mut rest = on;
    for i in 0..n {
        let (a, b) = (at(i), at(i + 1));
        let long = a.distance(b);
        if rest <= 0.0 {
            break;
        }
        let t = (rest / long).min(1.0);
        path.push(Point::new(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)));
        rest -= long;
    }
    path
}

fn ways(paths: &[CutPath]) -> (f64, f64) {
    let mut at = Point::default();
    let (mut travel, mut cut) = (0.0, 0.0);
    for path in paths {
        let (Some(first), Some(last)) = (path.points.first(), path.points.last()) else { continue };
        travel += at.distance(*first);
        cut += path.points.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>();
        at = *last;
    }
    (travel, cut)
}

/// A length in a finding.
pub(crate) fn length(mm: f64) -> Value {
    Value::Length(Length::from_mm(mm).unwrap_or_default())
}
