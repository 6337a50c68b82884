//! Art on its panel, and how to find the spot with a tape.

use crate::codes;
use crate::flat::flat;
use crate::measures::{ask_for, measure_terms};
use crate::panel::{Flat, Landmark, Panel, PanelShape};
use crate::position::Position;
use crate::sizes::{CHEST_SHARE_HIGH, CHEST_SHARE_LOW, SizeRange, usual_size};
use geometry::{Bounds, Point, Pose};
use report::{Code, Finding, Outcome, Severity, Value};
use trade::{Band, GarmentSize, GarmentStyle, Measure};
use units::Length;

/// A print in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Where it goes.
    pub position: Position,
    /// The panel it lies on.
    pub panel: Panel,
    /// From the art (lower left corner at its origin, as designed) to the panel's frame.
    pub frame: Pose,
    /// The upright rectangle it takes on the panel.
    pub bounds: Bounds,
    /// How a person finds the spot with a tape.
    pub measures: Vec<TapeMeasure>,
    /// The usual size here, when the trade has one.
    pub usual: Option<SizeRange>,
}

/// Which way a tape runs on the panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Direction {
    /// From side to side.
    Across,
    /// From top to bottom.
    Down,
}

/// A distance to measure on the garment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapeMeasure {
    /// Where the tape begins, as a term.
    pub from: Code,
    /// Where it ends, as a term.
    pub to: Code,
    /// The distance.
    pub length: Length,
    /// Which way.
    pub direction: Direction,
    /// The line in the panel's frame, for the drawing.
    pub line: (Point, Point),
    /// The landmark's own place; a level line may lead from it to the tape.
    pub landmark: Point,
}

/// Puts art of `art` (width, height) at a position; `offset` moves it right and up as seen on the panel.
///
/// The value is `None` when a finding stops or asks: the position is not on this
/// garment, a measure is missing, or the art is larger than the panel. Other
/// findings: sizes out of the usual range, measures taken from proportion.
pub fn place(
    style: &GarmentStyle,
    size: &GarmentSize,
    position: Position,
    art: (Length, Length),
    offset: Option<(Length, Length)>,
) -> Outcome<Option<Placed>> {
    let position = position.on(style);
    if !position.is_on(style, size) {
        return refused(not_offered(style, position));
    }
    let flat = match flat(style, size) {
        Ok(flat) => flat,
        Err(finding) => return refused(finding),
    };
    match on_panel(style, size, &flat, position, art, offset) {
        Ok(placed) => {
            let mut findings = size_findings(style, size, &placed, art);
            findings.extend(assumed(style, size, &flat));
            Outcome { value: Some(placed), findings }
        }
        Err(finding) => refused(finding),
    }
}

fn refused(finding: Finding) -> Outcome<Option<Placed>> {
    Outcome { value: None, findings: vec![finding] }
}

fn not_offered(style: &GarmentStyle, position: Position) -> Finding {
    Finding::new(Severity::StopsLine, codes::POSITION_NOT_OFFERED, codes::POSITION_CHOOSE)
        .named("garment", style.name.clone())
        .with("position", Value::Term(position.term()))
}

/// The placing itself, on panels already drawn.
pub(crate) fn on_panel(
    style: &GarmentStyle,
    size: &GarmentSize,
    flat: &Flat,
    position: Position,
    art: (Length, Length),
    offset: Option<(Length, Length)>,
) -> Result<Placed, Finding> {
    let Some(shape) = flat.panel(position.panel()) else {
        let missing = flat.missing.iter().find(|(panel, _)| *panel == position.panel());
        return Err(missing.map_or_else(|| not_offered(style, position), |(_, m)| ask_for(style, size, *m)));
    };
    let along = position.runs_along();
    // Along an arm the art lies on its side: its width runs down the arm.
    let (w, h) = if along { (art.1.mm(), art.0.mm()) } else { (art.0.mm(), art.1.mm()) };
    let spot = spot(style, size, shape, position, w, h).ok_or_else(|| not_offered(style, position))?;
    let shift = offset.map_or(Point::default(), |(right, up)| Point::new(right.mm(), up.mm()));
    let min = Point::new(spot.x - w / 2.0 + shift.x, spot.y + shift.y);
    let bounds = Bounds { min, max: Point::new(min.x + w, min.y + h) };
    if !holds(shape, &bounds) {
        return Err(off_panel(style, size, shape, position, &bounds));
    }
    Ok(Placed {
        position,
        panel: shape.panel,
        frame: frame(along, &bounds),
        bounds,
        measures: measures(style, shape, position, &bounds),
        usual: usual_size(position, size.band, style.class),
    })
}

/// Upright art lies as designed. Along an arm it is turned a quarter clockwise, so
/// that it reads from the shoulder down.
fn frame(along: bool, bounds: &Bounds) -> Pose {
    if along {
        Pose { mirrored: false, turn_deg: 270.0, shift: Point::new(bounds.min.x, bounds.max.y) }
    } else {
        Pose::at(bounds.min.x, bounds.min.y)
    }
}

/// Whether the whole rectangle lies on the panel's cloth.
pub(crate) fn holds(shape: &PanelShape, bounds: &Bounds) -> bool {
    const PARTS: u32 = 8;
    let outline = &shape.outline;
    if !outline.bounds().contains(bounds) {
        return false;
    }
    (0..=PARTS).all(|part| {
        let t = f64::from(part) / f64::from(PARTS);
        let x = bounds.min.x + bounds.width() * t;
        let y = bounds.min.y + bounds.height() * t;
        [
            Point::new(x, bounds.min.y),
            Point::new(x, bounds.max.y),
            Point::new(bounds.min.x, y),
            Point::new(bounds.max.x, y),
        ]
        .into_iter()
        .all(|p| outline.contains(inward(p, bounds)))
    })
}

/// A hair inside, so that art flush with an edge counts as on the cloth.
fn inward(p: Point, bounds: &Bounds) -> Point {
    let c = bounds.centre();
    Point::new(p.x + (c.x - p.x) * 1e-6, p.y + (c.y - p.y) * 1e-6)
}

fn inch(value: f64) -> f64 {
    value * Length::MM_PER_INCH
}

/// Index of the band's column: infant, toddler, youth, adult S–M, L–XL, 2XL and up.
fn column(band: Band) -> usize {
    match band {
        Band::Infant => 0,
        Band::Toddler => 1,
        Band::Youth => 2,
        Band::AdultSmall | Band::OneSize => 3,
        Band::AdultLarge => 4,
        Band::AdultPlus => 5,
    }
}

fn by_band(size: &GarmentSize, inches: [f64; 6]) -> f64 {
    inch(inches.get(column(size.band)).copied().unwrap_or(0.0))
}

/// The middle of the art's lower edge. Distances by band are common practice, no
/// source; where the trade names a range, its middle.
fn spot(
    style: &GarmentStyle,
    size: &GarmentSize,
    shape: &PanelShape,
    position: Position,
    w: f64,
    h: f64,
) -> Option<Point> {
    let mark = |landmark| shape.landmark(landmark);
    let below = |from: Point, by: f64| Point::new(from.x, from.y - by - h);
    let chest_across = by_band(size, [1.5, 2.0, 2.75, 3.5, 4.0, 4.5]);
    let chest_down = by_band(size, [2.5, 3.5, 5.5, 7.0, 8.0, 8.5]);
    let collar = mark(Landmark::CollarSeam);
    Some(match position {
        Position::LeftChest => Point::new(chest_across, -chest_down - h),
        Position::RightChest => Point::new(-chest_across, -chest_down - h),
        Position::ShirtLeftChest => {
            let edge = mark(Landmark::PlacketEdge).map_or(0.0, |p| p.x) + inch(1.0);
            let top = mark(Landmark::SecondButton).map_or(-chest_down, |p| p.y);
            Point::new(chest_across.max(edge + w / 2.0), top.min(-chest_down * 0.9) - h)
        }
        Position::ZipFrontLeft | Position::ZipFrontRight => {
            let side = if position == Position::ZipFrontLeft { 1.0 } else { -1.0 };
            let edge = opening_edge(shape, side).map_or(0.0, |(_, x)| x) + inch(1.0);
            Point::new(side * chest_across.max(edge + w / 2.0), -chest_down - h)
        }
        Position::CentreChest => below(collar?, by_band(size, [1.0, 1.5, 2.0, 2.5, 3.0, 3.0])),
        Position::FullFront => below(collar?, by_band(size, [1.0, 1.5, 2.25, 2.75, 3.25, 3.5])),
        Position::OversizeFront => below(collar?, inch(2.0)),
        Position::Nape => below(collar?, by_band(size, [0.75, 0.75, 1.0, 1.125, 1.25, 1.5])),
        Position::UpperBack => {
            let plain = below(collar?, by_band(size, [1.5, 2.0, 2.5, 3.5, 3.5, 3.5]));
            let yoke = mark(Landmark::Yoke).map_or(f64::INFINITY, |p| p.y - inch(0.75) - h);
            Point::new(plain.x, plain.y.min(yoke).min(hood_limit(shape, h)))
        }
        Position::FullBack => {
            let plain = below(collar?, by_band(size, [1.5, 2.0, 3.0, 4.0, 4.5, 5.0]));
            Point::new(plain.x, plain.y.min(hood_limit(shape, h)))
        }
        Position::ShortSleeveLeft | Position::ShortSleeveRight => {
            above(mark(Landmark::LimbEnd)?, by_band(size, [1.35, 1.35, 1.35, 1.5, 1.5, 1.5]))
        }
        Position::LongSleeveLeft | Position::LongSleeveRight => below(mark(Landmark::ShoulderSeam)?, inch(2.5)),
        Position::CuffLeft | Position::CuffRight => cuff_spot(shape, h)?,
        Position::HoodLeft | Position::HoodRight => {
            let edge = mark(Landmark::HoodEdge)?;
            let side = if edge.x < 0.0 { 1.0 } else { -1.0 };
            Point::new(edge.x + side * (inch(1.5) + w / 2.0), edge.y - h / 2.0)
        }
        Position::OnPocket => {
            let middle = pocket_middle(style, shape)?;
            Point::new(middle.x, middle.y - h / 2.0)
        }
        Position::AbovePocket => Point::new(pocket_middle(style, shape)?.x, mark(Landmark::PocketTop)?.y + inch(0.75)),
        Position::HemLeft | Position::HemRight => {
            let (side, hem) = (mark(Landmark::SideSeam)?, mark(Landmark::Hem)?);
            let x = side.x.abs() - inch(1.5) - w / 2.0;
            let rib = if style.has(trade::Feature::RibHem) { inch(2.0) } else { 0.0 };
            Point::new(if position == Position::HemLeft { x } else { -x }, hem.y + inch(1.5) + rib)
        }
        Position::LegLeft | Position::LegRight => below(mark(Landmark::Waistband)?, inch(5.0)),
        Position::LegCuffLeft | Position::LegCuffRight => above(mark(Landmark::CuffSeam)?, inch(2.5)),
        Position::CapFront => above(mark(Landmark::Visor)?, inch(0.5)),
        Position::Tote => below(mark(Landmark::TopEdge)?, inch(3.5)),
        Position::ApronBib => below(mark(Landmark::TopEdge)?, inch(3.5)),
        Position::InfantBib => {
            let centre = mark(Landmark::Centre)?;
            Point::new(centre.x, centre.y - h / 2.0)
        }
        Position::FaceCoverLeft | Position::FaceCoverRight => {
            let (centre, side) = (mark(Landmark::Centre)?, mark(Landmark::SideSeam)?);
            // Middle of the side panel, between the breathing zone (0.38 of the half) and the edge.
            let x = side.x.abs() * f64::midpoint(0.38, 0.96);
            Point::new(if position == Position::FaceCoverLeft { x } else { -x }, centre.y - h / 2.0)
        }
        Position::Sock => below(mark(Landmark::SockRib)?, inch(1.0)),
    })
}

/// What a front's opening ends with on one side, and how far from the centre line.
fn opening_edge(shape: &PanelShape, side: f64) -> Option<(Code, f64)> {
    let edge = |landmark, term| shape.landmark(landmark).map(|p| (term, p.x.abs()));
    let flap = if side > 0.0 { edge(Landmark::FlapEdge, codes::AT_FLAP) } else { None };
    flap.or(edge(Landmark::ZipEdge, codes::AT_ZIP)).or(edge(Landmark::PlacketEdge, codes::AT_PLACKET))
}

/// Middle of the pocket on which art lies; of a front that opens, of the wearer's left half.
fn pocket_middle(style: &GarmentStyle, shape: &PanelShape) -> Option<Point> {
    let field = shape.pocket.as_ref()?.bounds();
    let c = field.centre();
    let split = crate::position::opens_in_front(style) && field.min.x < 0.0;
    Some(if split { Point::new(field.max.x * 0.55, c.y) } else { c })
}

fn above(from: Point, by: f64) -> Point {
    Point::new(from.x, from.y + by)
}

/// An inch below the fall of a hood.
fn hood_limit(shape: &PanelShape, h: f64) -> f64 {
    shape.landmark(Landmark::HoodFall).map_or(f64::INFINITY, |p| p.y - inch(1.0) - h)
}

/// Centred on a cuff of its own; where a sleeve only has a hem, above its stitching.
fn cuff_spot(shape: &PanelShape, h: f64) -> Option<Point> {
    let (seam, end) = (shape.landmark(Landmark::CuffSeam)?, shape.landmark(Landmark::LimbEnd)?);
    let middle = f64::midpoint(seam.y, end.y) - h / 2.0;
    let has_cuff = seam.y - end.y > inch(1.5);
    Some(Point::new(0.0, if has_cuff { middle } else { seam.y + inch(0.6) }))
}

fn off_panel(
    style: &GarmentStyle,
    size: &GarmentSize,
    shape: &PanelShape,
    position: Position,
    bounds: &Bounds,
) -> Finding {
    let scale = (1..20).map(|step| 1.0 - 0.05 * f64::from(step)).find(|scale| holds(shape, &scaled(bounds, *scale)));
    let length = |mm: f64| Value::Length(Length::from_mm(mm).unwrap_or_default());
    Finding::new(Severity::StopsLine, codes::OFF_PANEL, codes::OFF_PANEL_REMEDY)
        .named("garment", style.name.clone())
        .named("size", size.name.clone())
        .with("position", Value::Term(position.term()))
        .with("width", length(bounds.width()))
        .with("height", length(bounds.height()))
        .with("limit-width", length(bounds.width() * scale.unwrap_or(0.0)))
        .with("limit-height", length(bounds.height() * scale.unwrap_or(0.0)))
}

/// The rectangle made smaller about the middle of its upper edge.
pub(crate) fn scaled(bounds: &Bounds, scale: f64) -> Bounds {
    let (w, h) = (bounds.width() * scale / 2.0, bounds.height() * scale);
    let x = bounds.centre().x;
    Bounds { min: Point::new(x - w, bounds.max.y - h), max: Point::new(x + w, bounds.max.y) }
}

/// The same print moved to `bounds` on its panel, with its measures taken anew.
pub(crate) fn moved(style: &GarmentStyle, shape: &PanelShape, placed: &Placed, bounds: Bounds) -> Placed {
    Placed {
        frame: frame(placed.position.runs_along(), &bounds),
        bounds,
        measures: measures(style, shape, placed.position, &bounds),
        ..placed.clone()
    }
}

/// What a tape runs from and to.
struct Tape<'a> {
    shape: &'a PanelShape,
    bounds: &'a Bounds,
    taken: Vec<TapeMeasure>,
}

impl Tape<'_> {
    /// Down from a landmark to the top of the art.
    fn down_to_top(&mut self, term: Code, landmark: Landmark) {
        if let Some(from) = self.shape.landmark(landmark) {
            let x = self.aside();
            self.push(term, codes::ART_TOP, from, Point::new(x, from.y), Point::new(x, self.bounds.max.y));
        }
    }

    /// Up from a landmark to the bottom of the art.
    fn up_to_bottom(&mut self, term: Code, landmark: Landmark) {
        if let Some(from) = self.shape.landmark(landmark) {
            let x = self.aside();
            self.push(term, codes::ART_BOTTOM, from, Point::new(x, from.y), Point::new(x, self.bounds.min.y));
        }
    }

    /// Where the next upright tape runs: the middle of the art, further ones beside it.
    fn aside(&self) -> f64 {
        let before = self.taken.iter().filter(|tape| tape.direction == Direction::Down).count() as f64;
        self.bounds.centre().x + before * 0.22 * self.bounds.width()
    }

    /// From a line at `x` to the middle of the art.
    fn across_to_centre(&mut self, term: Code, x: f64) {
        let y = self.bounds.max.y + 12.0;
        let from = Point::new(x, y);
        self.push(term, codes::ART_CENTRE, from, from, Point::new(self.bounds.centre().x, y));
    }

    /// From a line at `x` to the art's nearest side.
    fn across_to_side(&mut self, term: Code, x: f64) {
        let y = self.bounds.centre().y;
        let side = if x < self.bounds.centre().x { self.bounds.min.x } else { self.bounds.max.x };
        let from = Point::new(x, y);
        self.push(term, codes::ART_SIDE, from, from, Point::new(side, y));
    }

    fn push(&mut self, from: Code, to: Code, landmark: Point, a: Point, b: Point) {
        // A tape of no length lies across: the art is on the landmark.
        let direction = if a.x == b.x && a.y != b.y { Direction::Down } else { Direction::Across };
        let length = Length::from_mm(a.distance(b)).unwrap_or_default();
        self.taken.push(TapeMeasure { from, to, length, direction, line: (a, b), landmark });
    }
}

/// How the spot is found. A cut with dropped shoulders moves the shoulder point,
/// so there the tape starts at the collar seam.
fn measures(style: &GarmentStyle, shape: &PanelShape, position: Position, bounds: &Bounds) -> Vec<TapeMeasure> {
    let mut tape = Tape { shape, bounds, taken: Vec::new() };
    let shoulder_moves = style.has(trade::Feature::DropShoulder) || style.has(trade::Feature::Raglan);
    match position {
        Position::LeftChest | Position::RightChest => {
            tape.across_to_centre(codes::AT_CENTRE_LINE, 0.0);
            if shoulder_moves {
                tape.down_to_top(codes::AT_COLLAR_SEAM, Landmark::CollarSeam);
            } else {
                tape.down_to_top(codes::AT_HPS, Landmark::HighestShoulder);
            }
        }
        Position::ShirtLeftChest => {
            tape.across_to_side(codes::AT_PLACKET, shape.landmark(Landmark::PlacketEdge).map_or(0.0, |p| p.x));
            tape.down_to_top(codes::AT_HPS, Landmark::HighestShoulder);
        }
        Position::ZipFrontLeft | Position::ZipFrontRight => {
            let side = if bounds.centre().x < 0.0 { -1.0 } else { 1.0 };
            if let Some((term, x)) = opening_edge(shape, side) {
                tape.across_to_side(term, side * x);
            }
            tape.down_to_top(codes::AT_HPS, Landmark::HighestShoulder);
        }
        Position::UpperBack | Position::FullBack => {
            tape.across_to_centre(codes::AT_CENTRE_LINE, 0.0);
            tape.down_to_top(codes::AT_COLLAR_SEAM, Landmark::CollarSeam);
            tape.down_to_top(codes::AT_YOKE, Landmark::Yoke);
            tape.down_to_top(codes::AT_HOOD_FALL, Landmark::HoodFall);
        }
        Position::CentreChest | Position::FullFront | Position::OversizeFront | Position::Nape => {
            tape.across_to_centre(codes::AT_CENTRE_LINE, 0.0);
            tape.down_to_top(codes::AT_COLLAR_SEAM, Landmark::CollarSeam);
        }
        Position::ShortSleeveLeft | Position::ShortSleeveRight => {
            tape.across_to_centre(codes::AT_FOLD, 0.0);
            tape.up_to_bottom(codes::AT_SLEEVE_HEM, Landmark::LimbEnd);
        }
        Position::LongSleeveLeft | Position::LongSleeveRight => {
            tape.across_to_centre(codes::AT_FOLD, 0.0);
            tape.down_to_top(codes::AT_SHOULDER_SEAM, Landmark::ShoulderSeam);
        }
        Position::CuffLeft | Position::CuffRight => {
            tape.across_to_centre(codes::AT_FOLD, 0.0);
            tape.down_to_top(codes::AT_CUFF, Landmark::CuffSeam);
        }
        Position::HoodLeft | Position::HoodRight => {
            tape.across_to_side(codes::AT_HOOD_EDGE, shape.landmark(Landmark::HoodEdge).map_or(0.0, |p| p.x));
            let x = bounds.centre().x;
            let from = Point::new(x, 0.0);
            tape.push(codes::AT_NECK_SEAM, codes::ART_BOTTOM, from, from, Point::new(x, bounds.min.y));
        }
        Position::OnPocket => {
            tape.down_to_top(codes::AT_POCKET_TOP, Landmark::PocketTop);
            let left = shape.pocket.as_ref().map_or(0.0, |pocket| pocket.bounds().min.x);
            tape.across_to_side(codes::AT_POCKET_SIDE, left);
        }
        Position::AbovePocket => {
            tape.up_to_bottom(codes::AT_POCKET_TOP, Landmark::PocketTop);
            tape.across_to_centre(codes::AT_CENTRE_LINE, 0.0);
        }
        Position::HemLeft | Position::HemRight => {
            let side = shape.landmark(Landmark::SideSeam).map_or(0.0, |p| p.x.abs());
            tape.across_to_side(codes::AT_SIDE_SEAM, if bounds.centre().x < 0.0 { -side } else { side });
            tape.up_to_bottom(codes::AT_HEM, Landmark::Hem);
        }
        Position::LegLeft | Position::LegRight => {
            tape.down_to_top(codes::AT_WAISTBAND, Landmark::Waistband);
            tape.across_to_centre(codes::AT_CENTRE_LINE, 0.0);
        }
        Position::LegCuffLeft | Position::LegCuffRight => {
            tape.up_to_bottom(codes::AT_CUFF, Landmark::CuffSeam);
            tape.across_to_centre(codes::AT_CENTRE_LINE, 0.0);
        }
        Position::CapFront => {
            tape.up_to_bottom(codes::AT_VISOR, Landmark::Visor);
            tape.across_to_centre(codes::AT_CENTRE_LINE, 0.0);
        }
        Position::Tote | Position::ApronBib | Position::InfantBib => {
            tape.down_to_top(codes::AT_TOP_EDGE, Landmark::TopEdge);
            tape.across_to_centre(codes::AT_CENTRE_LINE, 0.0);
        }
        Position::FaceCoverLeft | Position::FaceCoverRight => {
            let side = shape.landmark(Landmark::SideSeam).map_or(0.0, |p| p.x.abs());
            tape.across_to_side(codes::AT_SIDE_EDGE, if bounds.centre().x < 0.0 { -side } else { side });
            tape.down_to_top(codes::AT_TOP_EDGE, Landmark::TopEdge);
        }
        Position::Sock => {
            tape.down_to_top(codes::AT_CUFF, Landmark::SockRib);
            tape.across_to_centre(codes::AT_FOLD, 0.0);
        }
    }
    tape.taken
}

fn size_findings(style: &GarmentStyle, size: &GarmentSize, placed: &Placed, art: (Length, Length)) -> Vec<Finding> {
    let about = |code, remedy, severity| {
        Finding::new(severity, code, remedy)
            .named("garment", style.name.clone())
            .named("size", size.name.clone())
            .with("position", Value::Term(placed.position.term()))
            .with("width", Value::Length(art.0))
            .with("height", Value::Length(art.1))
    };
    let mut findings = Vec::new();
    match placed.usual {
        Some(usual) => {
            let (across, tall) = (placed.bounds.width(), placed.bounds.height());
            // Half a size step of a ruler is not worth a word.
            let slack = 3.0;
            if across < usual.lowest.mm() - slack || across > usual.widest.mm() + slack {
                findings.push(
                    about(codes::WIDTH_UNUSUAL, codes::SIZE_LOOK, Severity::Note)
                        .with("low", Value::Length(usual.lowest))
                        .with("high", Value::Length(usual.widest)),
                );
            }
            if tall > usual.max_height.mm() + slack {
                findings.push(
                    about(codes::HEIGHT_UNUSUAL, codes::SIZE_LOOK, Severity::Note)
                        .with("limit", Value::Length(usual.max_height)),
                );
            }
        }
        None => findings.push(about(codes::BAND_NOT_USUAL, codes::BAND_LOOK, Severity::Warning)),
    }
    if placed.position == Position::FullFront
        && let Some(chest) = size.measures.get(&Measure::ChestWidth)
    {
        let share = placed.bounds.width() / chest.mm();
        if !(CHEST_SHARE_LOW - 0.01..=CHEST_SHARE_HIGH + 0.01).contains(&share) {
            findings.push(
                about(codes::CHEST_SHARE, codes::SIZE_LOOK, Severity::Note)
                    .with("share", Value::Share(share))
                    .with("low-share", Value::Share(CHEST_SHARE_LOW))
                    .with("high-share", Value::Share(CHEST_SHARE_HIGH)),
            );
        }
    }
    if placed.position.runs_along() {
        findings.push(about(codes::READING_DIRECTION, codes::READING_SAY, Severity::Note));
    }
    findings
}

/// Says which measures were taken from proportion.
fn assumed(style: &GarmentStyle, size: &GarmentSize, flat: &Flat) -> Option<Finding> {
    let list = flat
        .assumed
        .iter()
        .flat_map(|(measure, length)| [Value::Term(measure_terms(*measure).0), Value::Length(*length)])
        .collect::<Vec<_>>();
    (!list.is_empty()).then(|| {
        Finding::new(Severity::Note, codes::MEASURE_ASSUMED, codes::MEASURE_ASSUMED_REMEDY)
            .named("garment", style.name.clone())
            .named("size", size.name.clone())
            .with("measures", Value::List(list))
    })
}
