//! What will not hold at a size and for a transfer's limits.

use crate::background::{BackgroundBox, hex};
use crate::clean::{CleanArt, PrintSize};
use crate::codes;
use crate::colour::ColourNature;
use crate::grid::Grid;
use crate::read::count;
use crate::thickness::{LINE_TAPER_DEG, Middle, Widths, groups, widths};
use geometry::{Bounds, Outline, Point};
use report::{Code, Finding, Outcome, Severity, Value};
use std::f64::consts::PI;
use units::{Area, Duration, Length};

/// What a transfer holds; the planner fills it from the shelf.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KindLimits {
    /// Thinnest line.
    pub line: Length,
    /// Smallest part, as the diameter of a disc of the same area.
    pub island: Length,
    /// Narrowest gap.
    pub gap: Length,
    /// Film cut to the outline and weeded by hand; otherwise printed.
    pub cut: bool,
    /// Takes fades and photographs.
    pub full_colour: bool,
    /// Most colours, where there is a limit.
    pub max_colours: Option<u32>,
    /// Least dots an inch at final size, for art made of pixels.
    pub dpi_min: f64,
    /// Largest solid area that stays comfortable, where the cloth stretches.
    pub solid_max: Option<Area>,
}

/// One place that does not hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Where, mm in the art box.
    pub bounds: Bounds,
    /// How wide there.
    pub width: Length,
}

/// How wide the ink is at one place along the middle of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WidthHere {
    /// Where, mm in the art box, y up.
    pub at: Point,
    /// How wide there.
    pub width: Length,
}

/// The art at its final size, measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Measures {
    /// Pixels an inch at this size; `None` for drawings.
    pub effective_dpi: Option<f64>,
    /// Share of inked pixels that hold 5 to 95 % ink.
    pub soft_edge_share: f64,
    /// Thinnest line anywhere.
    pub thinnest_line: Option<Length>,
    /// Narrowest gap anywhere.
    pub narrowest_gap: Option<Length>,
    /// Smallest part, as the diameter of a disc of the same area.
    pub smallest_island: Option<Length>,
    /// Lines under the limit, thinnest first.
    pub thin_lines: Vec<Spot>,
    /// Gaps under the limit, narrowest first.
    pub narrow_gaps: Vec<Spot>,
    /// Parts under the limit, smallest first.
    pub small_islands: Vec<Spot>,
    /// Points that taper off under the limit.
    pub sharp_points: Vec<Spot>,
    /// Inside corners that run to a sharp point, where film tears.
    pub sharp_insides: Vec<Spot>,
    /// Widths along the middle of lines, for a heat map: everything up to twice the limit.
    pub widths: Vec<WidthHere>,
    /// Parts of the ink.
    pub parts: u32,
    /// Pieces of waste that a hand must lift out: enclosed holes and the frame around.
    pub pieces_to_weed: u32,
    /// Time to lift them, one piece of art.
    pub weeding: Duration,
    /// The uniform box it stands on.
    pub background_box: Option<BackgroundBox>,
    /// Inked area.
    pub inked_area: Area,
    /// Length of all edges.
    pub edge_length: Length,
}

/// More than this share of half-transparent pixels is worth a warning. Common practice, no source.
const SOFT_SHARE: f64 = 0.01;

/// Measures the art as pressed and says what does not hold.
///
/// Findings come one a kind of trouble, at its worst place, with how many there are.
pub fn measure(art: &CleanArt, size: PrintSize, limits: &KindLimits) -> Outcome<Measures> {
    let region = art.exact_region(size);
    let mut islands = small_parts(&region.outlines, limits.island);
    islands.sort_by(|a, b| a.width.mm().total_cmp(&b.width.mm()));
    let holes: usize = region.outlines.iter().map(|outline| outline.holes().len()).sum();
    let parts = region.outlines.len() as u32;
    let pieces = holes as u32 + 1;
    let lines = Lines::measured(art, size, limits);
    let measures = Measures {
        effective_dpi: art.pixels_wide().map(|px| f64::from(px) / size.width().inches()),
        soft_edge_share: art.softness().share,
        thinnest_line: lines.thinnest,
        narrowest_gap: lines.narrowest,
        smallest_island: region.outlines.iter().map(across).reduce(Length::min),
        thin_lines: lines.thin,
        narrow_gaps: lines.narrow,
        small_islands: islands,
        sharp_points: lines.points,
        sharp_insides: lines.insides,
        widths: lines.widths,
        parts,
        pieces_to_weed: pieces,
        weeding: weeding(parts, pieces),
        background_box: art.background(),
        inked_area: Area::from_mm2(region.area()).unwrap_or_default(),
        edge_length: Length::from_mm(region.perimeter()).unwrap_or_default(),
    };
    let findings = findings(art, size, limits, &measures);
    Outcome { value: measures, findings }
}

/// What the grid tells of lines and gaps.
#[derive(Default)]
struct Lines {
    thinnest: Option<Length>,
    narrowest: Option<Length>,
    thin: Vec<Spot>,
    narrow: Vec<Spot>,
    points: Vec<Spot>,
    insides: Vec<Spot>,
    widths: Vec<WidthHere>,
}

/// Widths a hair under the limit are the limit: measuring is good to 2 %.
const GRACE: f64 = 0.98;

impl Lines {
    fn measured(art: &CleanArt, size: PrintSize, limits: &KindLimits) -> Self {
        let Some(grid) = Grid::of(art, size, limits.line.mm().min(limits.gap.mm())) else { return Self::default() };
        let pixel = grid.pixel_mm();
        let (ink, bare) = std::thread::scope(|scope| {
            let ink = scope.spawn(|| widths(&grid.coverage, 2.0 * limits.line.mm() / pixel));
            let bare = widths(&grid.coverage.inverted(), limits.gap.mm() / pixel);
            (ink.join().unwrap_or_default(), bare)
        });
        let length = |pixels: f64| Length::from_mm(pixels * pixel).unwrap_or_default();
        // Between lone parts there may be no gap at all.
        let narrowest = bare.thinnest.filter(|_| bare.lines);
        let (thin, points) = spots(&grid, &ink, limits.line.mm() * GRACE);
        let (narrow, insides) = spots(&grid, &bare, limits.gap.mm() * GRACE);
        Self {
            thinnest: ink.thinnest.map(length),
            narrowest: narrowest.map(length),
            thin,
            narrow,
            points,
            insides,
            widths: ink
                .middles
                .iter()
                .map(|middle| WidthHere { at: grid.place(middle.at), width: length(middle.width) })
                .collect(),
        }
    }
}

/// Places under a limit, narrowest first: lines and gaps of some length, and points.
fn spots(grid: &Grid, widths: &Widths, limit: f64) -> (Vec<Spot>, Vec<Spot>) {
    let pixel = grid.pixel_mm();
    let under: Vec<Middle> = widths.middles.iter().copied().filter(|m| m.width * pixel < limit).collect();
    let (mut lines, mut points) = (Vec::new(), Vec::new());
    for group in groups(&under, 3.0) {
        let members: Vec<Middle> = group.iter().map(|at| under[*at]).collect();
        let even: Vec<Middle> = members.iter().copied().filter(|m| m.taper_deg <= LINE_TAPER_DEG).collect();
        // Most of a line is even; a point has even stretches by chance only.
        let first = members[0].at;
        let long = members.iter().any(|m| m.at.distance(first) >= 1.9);
        if long && even.len() * 3 >= members.len() {
            lines.extend(spot(grid, &even));
        } else if long && members.len() >= 3 {
            points.extend(spot(grid, &members));
        }
    }
    lines.sort_by(|a, b| a.width.mm().total_cmp(&b.width.mm()));
    points.sort_by(|a, b| a.width.mm().total_cmp(&b.width.mm()));
    (lines, points)
}

/// The box around a group and its least width, the thinnest tenth left to chance.
fn spot(grid: &Grid, members: &[Middle]) -> Option<Spot> {
    let mut found: Vec<f64> = members.iter().map(|m| m.width).collect();
    found.sort_by(f64::total_cmp);
    let width = found.get(found.len() / 10)? * grid.pixel_mm();
    let boxes = members.iter().map(|m| grid.around(m.at, m.width * grid.pixel_mm() / 2.0));
    Some(Spot { bounds: boxes.reduce(|a, b| a.joined(&b))?, width: Length::from_mm(width)? })
}

/// The diameter of a disc of the same area.
fn across(outline: &Outline) -> Length {
    Length::from_mm((4.0 * outline.area().max(0.0) / PI).sqrt()).unwrap_or_default()
}

fn small_parts(parts: &[Outline], limit: Length) -> Vec<Spot> {
    let spots = parts.iter().map(|part| Spot { bounds: part.bounds(), width: across(part) });
    spots.filter(|spot| spot.width < limit).collect()
}

/// Half a minute for one plain piece, three seconds for each further piece of waste, one and a
/// half for each part kept: 0.5–1 min for a word, 1–2 for a logo, 3–6 past sixty contours.
/// Common practice, no source.
fn weeding(parts: u32, pieces: u32) -> Duration {
    Duration::from_s(30.0 + 3.0 * f64::from(pieces) + 1.5 * f64::from(parts)).unwrap_or_default()
}

fn findings(art: &CleanArt, size: PrintSize, limits: &KindLimits, measures: &Measures) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(resolution(size, limits, measures));
    found.extend(soft_edges(art, measures));
    found.extend(thin(size, limits.line, &measures.thin_lines, ON_LINES));
    found.extend(thin(size, limits.gap, &measures.narrow_gaps, ON_GAPS));
    found.extend(points(limits, measures));
    found.extend(islands(limits, measures));
    found.extend(weeding_time(limits, measures));
    found.extend(background(measures));
    found.extend(colours(art, limits));
    found.extend(solid(limits, measures));
    found
}

fn warning(code: Code, remedy: Code) -> Finding {
    Finding::new(Severity::Warning, code, remedy)
}

fn resolution(size: PrintSize, limits: &KindLimits, measures: &Measures) -> Option<Finding> {
    let dpi = measures.effective_dpi.filter(|dpi| *dpi < limits.dpi_min * 0.995)?;
    let width = size.width() * (dpi / limits.dpi_min);
    Some(
        warning(codes::RESOLUTION_LOW, codes::FIX_LARGER_FILE)
            .with("dpi", Value::Number(dpi.round()))
            .with("limit-dpi", Value::Number(limits.dpi_min))
            .with("width", Value::Length(width)),
    )
}

fn soft_edges(art: &CleanArt, measures: &Measures) -> Option<Finding> {
    // A one-pixel rim is how any sharp edge is stored; it alone is no trouble.
    (measures.soft_edge_share > SOFT_SHARE && art.softness().beyond_rim > SOFT_SHARE / 4.0).then(|| {
        warning(codes::EDGE_SOFT, codes::FIX_HARD_EDGE)
            .with("share", Value::Share(measures.soft_edge_share))
            .with("limit", Value::Share(SOFT_SHARE))
            .repaired_by(codes::REPAIR_THRESHOLD)
    })
}

/// How lines, and how gaps, are spoken of.
struct Speaking {
    code: Code,
    remedy: Code,
    repair: Code,
}

const ON_LINES: Speaking =
    Speaking { code: codes::LINE_THIN, remedy: codes::FIX_THICKEN, repair: codes::REPAIR_THICKEN };
const ON_GAPS: Speaking = Speaking { code: codes::GAP_NARROW, remedy: codes::FIX_OPEN_GAP, repair: codes::REPAIR_GAPS };

/// Under a quarter of the limit nothing of a line would remain. Common practice, no source.
const HAIR: f64 = 0.25;

fn thin(size: PrintSize, limit: Length, spots: &[Spot], speaking: Speaking) -> Option<Finding> {
    let worst = spots.first()?;
    let hair = speaking.code == codes::LINE_THIN && worst.width < limit * HAIR;
    let code = if hair { codes::LINE_HAIR } else { speaking.code };
    let larger = size.width() * (limit.mm() / worst.width.mm().max(0.01));
    // Rounded up to what a person would type.
    let larger = Length::from_mm(larger.mm().ceil()).unwrap_or(larger);
    Some(
        warning(code, speaking.remedy)
            .with("width", Value::Length(worst.width))
            .with("limit", Value::Length(limit))
            .with("count", count(spots.len() as u64))
            .with("scale-width", Value::Length(larger))
            .at(worst.bounds)
            .repaired_by(speaking.repair),
    )
}

fn points(limits: &KindLimits, measures: &Measures) -> Vec<Finding> {
    let note = |code, spots: &[Spot]| {
        spots.first().map(|worst| {
            Finding::new(Severity::Note, code, codes::FIX_ROUND)
                .with("count", count(spots.len() as u64))
                .with("limit", Value::Length(limits.line))
                .with("angle", Value::Number(crate::thickness::POINT_TAPER_DEG))
                .at(worst.bounds)
        })
    };
    let mut found: Vec<Finding> = note(codes::POINT_SHARP, &measures.sharp_points).into_iter().collect();
    if limits.cut {
        found.extend(note(codes::CORNER_INSIDE_SHARP, &measures.sharp_insides));
    }
    found
}

fn islands(limits: &KindLimits, measures: &Measures) -> Vec<Finding> {
    let dust = limits.island.mm() / 2.0;
    let (specks, small): (Vec<&Spot>, Vec<&Spot>) =
        measures.small_islands.iter().partition(|spot| spot.width.mm() < dust);
    let mut found = Vec::new();
    if let Some(worst) = small.first() {
        found.push(
            warning(codes::ISLAND_SMALL, codes::FIX_ISLANDS)
                .with("width", Value::Length(worst.width))
                .with("limit", Value::Length(limits.island))
                .with("count", count(small.len() as u64))
                .at(worst.bounds),
        );
    }
    if let Some(worst) = specks.first() {
        found.push(
            warning(codes::SPECKS, codes::FIX_SPECKS)
                .with("count", count(specks.len() as u64))
                .with("limit", Value::Length(limits.island / 2.0))
                .at(worst.bounds)
                .repaired_by(codes::REPAIR_SPECKS),
        );
    }
    found
}

fn weeding_time(limits: &KindLimits, measures: &Measures) -> Option<Finding> {
    (limits.cut && measures.weeding.minutes() > 3.0).then(|| {
        warning(codes::WEEDING_LONG, codes::FIX_WEEDING)
            .with("pieces", count(measures.pieces_to_weed.into()))
            .with("minutes", Value::Duration(measures.weeding))
    })
}

fn background(measures: &Measures) -> Option<Finding> {
    let found = measures.background_box?;
    Some(
        warning(codes::BACKGROUND_BOX, codes::FIX_BACKGROUND)
            .named("colour", hex(found.rgb))
            .with("share", Value::Share(found.share))
            .repaired_by(codes::REPAIR_BACKGROUND),
    )
}

fn colours(art: &CleanArt, limits: &KindLimits) -> Option<Finding> {
    match art.colour_nature() {
        ColourNature::Gradient | ColourNature::Photo => (!limits.full_colour)
            .then(|| Finding::new(Severity::StopsLine, codes::FADES_ON_FILM, codes::FIX_FLAT_COLOURS)),
        ColourNature::Spot(found) => limits.max_colours.filter(|most| found > *most).map(|most| {
            Finding::new(Severity::StopsLine, codes::COLOURS_MANY, codes::FIX_FEWER_COLOURS)
                .with("count", count(found.into()))
                .with("limit", count(most.into()))
        }),
    }
}

fn solid(limits: &KindLimits, measures: &Measures) -> Option<Finding> {
    let most = limits.solid_max.filter(|most| measures.inked_area > *most)?;
    Some(
        warning(codes::SOLID_LARGE, codes::FIX_BREAK_UP)
            .with("area", Value::Area(measures.inked_area))
            .with("limit", Value::Area(most)),
    )
}
