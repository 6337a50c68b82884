//! What will not hold at a size and for a transfer's limits.

use crate::background::{BackgroundBox, hex};
use crate::clean::{CleanArt, PrintSize};
use crate::codes;
use crate::colour::ColourNature;
use crate::grid::{Frame, Grid};
use crate::read::count;
use crate::thickness::{LINE_TAPER_DEG, Middle, groups, widths};
use geometry::{Bounds, Outline, Point, Region};
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
    /// The least height of a capital of live text.
    pub smallest_type: Option<Length>,
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
    /// Widths along the middle of lines, for a heat map: everything up to the limit, and one place in
    /// three up to twice the limit.
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
    Survey::of(art, size, WidthRange::of(limits)).measures(art, limits)
}

/// Measures one film of a print as it is cut: what it inks in the art box, mm.
///
/// Answers of the picture itself (pixels an inch, soft edges, lettering, a box behind it) stay
/// empty: they are those of the whole art.
pub fn measure_film(cut: &Region, size: PrintSize, limits: &KindLimits) -> Outcome<Measures> {
    let width = WidthRange::of(limits);
    let lines = Lines::measured(&Grid::of_region(cut, size, width.finest.mm()), width);
    let survey = Survey::of_region(cut, size, width, lines);
    let value = survey.shape(limits);
    let findings = shape_findings(size, limits, &value);
    Outcome { value, findings }
}

/// Between which limits a survey answers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WidthRange {
    /// The least line or gap asked about; drawings are laid on a grid fine enough for it.
    pub finest: Length,
    /// The widest line or gap asked about.
    pub widest: Length,
}

impl WidthRange {
    /// Just enough for one transfer.
    pub fn of(limits: &KindLimits) -> Self {
        Self { finest: limits.line.min(limits.gap), widest: limits.line.max(limits.gap) }
    }

    /// Whether the limits of a transfer lie within.
    pub fn holds(&self, limits: &KindLimits) -> bool {
        let asked = Self::of(limits);
        self.finest <= asked.finest && asked.widest <= self.widest
    }
}

/// The art at one size, looked over once for transfers of many limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    size: PrintSize,
    width: WidthRange,
    /// Every part, smallest first.
    parts: Vec<Spot>,
    holes: usize,
    inked_area: Area,
    edge_length: Length,
    lines: Lines,
}

impl Survey {
    /// Looks the art over; the work grows with the grid that `width.finest` asks for.
    pub fn of(art: &CleanArt, size: PrintSize, width: WidthRange) -> Self {
        let lines = Lines::measured(&Grid::of(art, size, width.finest.mm()), width);
        Self::of_region(&art.exact_region(size), size, width, lines)
    }

    fn of_region(region: &Region, size: PrintSize, width: WidthRange, lines: Lines) -> Self {
        let part = |part: &Outline| Spot { bounds: part.bounds(), width: across(part) };
        let mut parts: Vec<Spot> = region.outlines.iter().map(part).collect();
        parts.sort_by(|a, b| a.width.mm().total_cmp(&b.width.mm()));
        Self {
            size,
            width,
            parts,
            holes: region.outlines.iter().map(|outline| outline.holes().len()).sum(),
            inked_area: Area::from_mm2(region.area()).unwrap_or_default(),
            edge_length: Length::from_mm(region.perimeter()).unwrap_or_default(),
            lines,
        }
    }

    /// Between which limits it answers.
    pub fn width(&self) -> WidthRange {
        self.width
    }

    /// What does not hold for a transfer whose limits lie within [`Self::width`]; `art` is the art
    /// surveyed.
    pub fn measures(&self, art: &CleanArt, limits: &KindLimits) -> Outcome<Measures> {
        let measures = Measures {
            effective_dpi: art.pixels_wide().map(|px| f64::from(px) / self.size.width().inches()),
            soft_edge_share: art.softness().share,
            smallest_type: art.smallest_type(self.size),
            background_box: art.background(),
            ..self.shape(limits)
        };
        let findings = findings(art, self.size, limits, &measures);
        Outcome { value: measures, findings }
    }

    /// What its shape alone tells.
    fn shape(&self, limits: &KindLimits) -> Measures {
        let parts = self.parts.len() as u32;
        let pieces = self.holes as u32 + 1;
        let found = self.lines.under(limits);
        Measures {
            effective_dpi: None,
            soft_edge_share: 0.0,
            thinnest_line: self.lines.thinnest,
            narrowest_gap: self.lines.narrowest,
            smallest_type: None,
            smallest_island: self.parts.first().map(|part| part.width),
            thin_lines: found.thin,
            narrow_gaps: found.narrow,
            small_islands: self.parts.iter().copied().take_while(|part| part.width < limits.island).collect(),
            sharp_points: found.points,
            sharp_insides: found.insides,
            widths: found.widths,
            parts,
            pieces_to_weed: pieces,
            weeding: weeding(parts, pieces),
            background_box: None,
            inked_area: self.inked_area,
            edge_length: self.edge_length,
        }
    }
}

/// What the grid tells of lines and gaps.
#[derive(Debug, Clone, PartialEq)]
struct Lines {
    frame: Frame,
    thinnest: Option<Length>,
    narrowest: Option<Length>,
    ink: Vec<Middle>,
    bare: Vec<Middle>,
}

/// What lies under a transfer's limits.
struct Under {
    thin: Vec<Spot>,
    narrow: Vec<Spot>,
    points: Vec<Spot>,
    insides: Vec<Spot>,
    widths: Vec<WidthHere>,
}

/// Widths a hair under the limit are the limit: measuring is good to 2 %.
const GRACE: f64 = 0.98;

impl Lines {
    fn measured(grid: &Grid, width: WidthRange) -> Self {
        let pixel = grid.frame.pixel_mm();
        let widest = width.widest.mm() / pixel;
        let (ink, bare) = rayon::join(
            || widths(&grid.coverage, widest, 2.0 * widest),
            || widths(&grid.coverage.inverted(), widest, widest),
        );
        let length = |pixels: f64| Length::from_mm(pixels * pixel).unwrap_or_default();
        // Between lone parts there may be no gap at all.
        let narrowest = bare.thinnest.filter(|_| bare.lines);
        Self {
            frame: grid.frame,
            thinnest: ink.thinnest.map(length),
            narrowest: narrowest.map(length),
            ink: ink.middles,
            bare: bare.middles,
        }
    }

    fn under(&self, limits: &KindLimits) -> Under {
        let pixel = self.frame.pixel_mm();
        let (thin, points) = spots(&self.frame, &self.ink, limits.line.mm() * GRACE);
        let (narrow, insides) = spots(&self.frame, &self.bare, limits.gap.mm() * GRACE);
        let shown = self.ink.iter().filter(|middle| middle.width * pixel <= 2.0 * limits.line.mm());
        let widths = shown.map(|middle| WidthHere {
            at: self.frame.place(middle.at),
            width: Length::from_mm(middle.width * pixel).unwrap_or_default(),
        });
        Under { thin, narrow, points, insides, widths: widths.collect() }
    }
}

/// Places under a limit, narrowest first: lines and gaps of some length, and points.
fn spots(frame: &Frame, middles: &[Middle], limit: f64) -> (Vec<Spot>, Vec<Spot>) {
    let pixel = frame.pixel_mm();
    let under: Vec<Middle> = middles.iter().copied().filter(|m| m.width * pixel < limit).collect();
    let (mut lines, mut points) = (Vec::new(), Vec::new());
    for group in groups(&under, 3.0) {
        let members: Vec<Middle> = group.iter().map(|at| under[*at]).collect();
        let even: Vec<Middle> = members.iter().copied().filter(|m| m.taper_deg <= LINE_TAPER_DEG).collect();
        // Most of a line is even; a point has even stretches by chance only.
        let first = members[0].at;
        let long = members.iter().any(|m| m.at.distance(first) >= 1.9);
        if long && even.len() * 3 >= members.len() {
            lines.extend(spot(frame, &even));
        } else if long && members.len() >= 3 {
            points.extend(spot(frame, &members));
        }
    }
    lines.sort_by(|a, b| a.width.mm().total_cmp(&b.width.mm()));
    points.sort_by(|a, b| a.width.mm().total_cmp(&b.width.mm()));
    (lines, points)
}

/// The box around a group and its least width, the thinnest tenth left to chance.
fn spot(frame: &Frame, members: &[Middle]) -> Option<Spot> {
    let mut found: Vec<f64> = members.iter().map(|m| m.width).collect();
    found.sort_by(f64::total_cmp);
    let width = found.get(found.len() / 10)? * frame.pixel_mm();
    let boxes = members.iter().map(|m| frame.around(m.at, m.width * frame.pixel_mm() / 2.0));
    Some(Spot { bounds: boxes.reduce(|a, b| a.joined(&b))?, width: Length::from_mm(width)? })
}

/// The diameter of a disc of the same area.
fn across(outline: &Outline) -> Length {
    Length::from_mm((4.0 * outline.area().max(0.0) / PI).sqrt()).unwrap_or_default()
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
    found.extend(lettering(size, limits, measures));
    found.extend(shape_findings(size, limits, measures));
    found.extend(background(measures));
    found.extend(colours(art, limits));
    found.extend(solid(limits, measures));
    found
}

/// Codes of what [`measure_film`] finds.
pub const OF_SHAPE: &[Code] = &[
    codes::LINE_THIN,
    codes::LINE_HAIR,
    codes::GAP_NARROW,
    codes::POINT_SHARP,
    codes::CORNER_INSIDE_SHARP,
    codes::ISLAND_SMALL,
    codes::SPECKS,
    codes::WEEDING_LONG,
];

/// What the shape alone tells.
fn shape_findings(size: PrintSize, limits: &KindLimits, measures: &Measures) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(thin(size, limits.line, &measures.thin_lines, ON_LINES));
    found.extend(thin(size, limits.gap, &measures.narrow_gaps, ON_GAPS));
    found.extend(points(limits, measures));
    found.extend(islands(limits, measures));
    found.extend(weeding_time(limits, measures));
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

/// Least height of capitals, mm: printed, cut from film, cut from foam (known by its wide gaps).
/// Common practice, no source.
const TYPE_PRINTED: f64 = 3.0;
const TYPE_CUT: f64 = 6.0;
const TYPE_FOAM: f64 = 12.0;

fn lettering(size: PrintSize, limits: &KindLimits, measures: &Measures) -> Option<Finding> {
    let least = match limits {
        KindLimits { cut: false, .. } => TYPE_PRINTED,
        KindLimits { gap, .. } if gap.mm() >= 2.5 => TYPE_FOAM,
        _ => TYPE_CUT,
    };
    let height = measures.smallest_type.filter(|height| height.mm() < least * GRACE)?;
    let larger = Length::from_mm((size.width().mm() * least / height.mm().max(0.01)).ceil()).unwrap_or_default();
    Some(
        warning(codes::TYPE_SMALL, codes::FIX_LARGER_TYPE)
            .with("height", Value::Length(height))
            .with("limit", Value::Length(Length::from_mm(least).unwrap_or_default()))
            .with("scale-width", Value::Length(larger)),
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
