//! What stands on a sheet beside the art: labels, the check bar, corner marks.

use crate::cut::length;
use crate::sheet::{PrintSheet, Reading};
use crate::{codes, letters, marks};
use geometry::{Bounds, Outline, Point, Region, Ring};
use report::{Finding, Severity, Value};

/// Height of a label's letters, mm: the smallest that is read at arm's length.
pub(crate) const LETTER_MM: f64 = 2.0;
/// Thickness of their lines, mm.
const LINE_MM: f64 = 0.25;
/// Room kept between a label and any ink, mm.
const GAP_MM: f64 = 0.7;
/// The check bar, outer edge to outer edge, mm.
pub(crate) const BAR_MM: f64 = 100.0;
/// Room the bar takes across, with its name, mm.
const BAR_HIGH_MM: f64 = 4.6;

/// A thing drawn in black, in the frame of the whole sheet, mm.
pub(crate) enum Extra {
    /// Lines of one thickness with round ends.
    Lines {
        /// Open lines.
        lines: Vec<Vec<Point>>,
        /// Thickness, mm.
        thick: f64,
    },
    /// A filled ring.
    Fill(Ring),
}

impl Extra {
    /// Everything it inks lies in this rectangle.
    pub(crate) fn bounds(&self) -> Option<Bounds> {
        match self {
            Self::Lines { lines, thick } => Bounds::around(lines.iter().flatten()).map(|b| b.grown(thick / 2.0)),
            Self::Fill(ring) => Bounds::around(ring),
        }
    }
}

/// What stands on a sheet beside the art.
#[derive(Default)]
pub(crate) struct Extras {
    /// Everything drawn.
    pub(crate) drawn: Vec<Extra>,
    /// For each piece, where its label stands.
    pub(crate) labels: Vec<Option<Bounds>>,
    /// What found no room.
    pub(crate) findings: Vec<Finding>,
}

/// The extras of a sheet, and what found no room.
pub(crate) fn extras(sheet: &PrintSheet<'_>) -> Extras {
    let mut all = Vec::new();
    let mut findings = Vec::new();
    let mut labels = vec![None; sheet.pieces.len()];
    if !(sheet.register_marks || sheet.check_bar || sheet.labels) {
        return Extras { drawn: all, labels, findings };
    }
    let mut taken = Taken::of(sheet);
    if sheet.register_marks {
        if sheet.margin_mm < marks::LEAST_MARGIN_MM {
            findings.push(marks::no_room(sheet.margin_mm));
        } else {
            for ring in marks::corners(sheet.width_mm, sheet.length_mm, sheet.margin_mm) {
                taken.rectangles.extend(Bounds::around(&ring));
                all.push(Extra::Fill(ring));
            }
        }
    }
    if sheet.check_bar {
        match taken.room_for_bar(sheet) {
            Some(place) => {
                taken.rectangles.push(place.bounds());
                all.extend(bar(&place));
            }
            None => findings.push(
                Finding::new(Severity::Warning, codes::BAR_NO_ROOM, codes::FIX_SIZE).with("length", length(BAR_MM)),
            ),
        }
    }
    if sheet.labels {
        let without = label_all(sheet, &mut taken, &mut all, &mut labels);
        if without > 0 {
            findings.push(
                Finding::new(Severity::Note, codes::LABEL_NO_ROOM, codes::FIX_USE_MAP)
                    .with("count", Value::Count(i64::try_from(without).unwrap_or(i64::MAX)))
                    .with("height", length(LETTER_MM)),
            );
        }
    }
    Extras { drawn: all, labels, findings }
}

/// A box for writing in: its own lower left corner on the sheet, and which way its
/// x and y run there.
#[derive(Clone, Copy)]
struct Place {
    corner: Point,
    right: Point,
    up: Point,
    width: f64,
    height: f64,
}

impl Place {
    /// Around `middle`. Upright writing runs across the film as the picture shows it, the
    /// other along the film; on a reversed sheet both run the other way round, like the art.
    fn around(middle: Point, width: f64, height: f64, upright: bool, reading: Reading) -> Self {
        let sign = if reading == Reading::Reversed { -1.0 } else { 1.0 };
        let (right, up) = if upright {
            (Point::new(0.0, sign), Point::new(-1.0, 0.0))
        } else {
            (Point::new(sign, 0.0), Point::new(0.0, 1.0))
        };
        let corner = Point::new(
            middle.x - (right.x * width + up.x * height) / 2.0,
            middle.y - (right.y * width + up.y * height) / 2.0,
        );
        Self { corner, right, up, width, height }
    }

    fn at(&self, p: Point) -> Point {
        Point::new(
            self.corner.x + self.right.x * p.x + self.up.x * p.y,
            self.corner.y + self.right.y * p.x + self.up.y * p.y,
        )
    }

    fn bounds(&self) -> Bounds {
        let (a, b) = (self.at(Point::default()), self.at(Point::new(self.width, self.height)));
        Bounds { min: Point::new(a.x.min(b.x), a.y.min(b.y)), max: Point::new(a.x.max(b.x), a.y.max(b.y)) }
    }

    fn write(&self, text: &str, from: Point) -> Extra {
        let lines = letters::lines(text, LETTER_MM)
            .into_iter()
            .map(|line| line.into_iter().map(|p| self.at(Point::new(p.x + from.x, p.y + from.y))).collect())
            .collect();
        Extra::Lines { lines, thick: LINE_MM }
    }
}

/// The bar: a rule with upright ends, exactly as long as its name says.
fn bar(place: &Place) -> Vec<Extra> {
    // One ring, so that its ends and its rule come to lie on the same pixels.
    let (end, low, high, top) = (0.4, 0.8, 1.2, 2.0);
    let half = [(0.0, 0.0), (end, 0.0), (end, low)];
    let ring = half
        .into_iter()
        .chain(half.map(|(x, y)| (BAR_MM - x, y)).into_iter().rev())
        .chain([(0.0, top), (end, top), (end, high)].map(|(x, y)| (BAR_MM - x, y)))
        .chain([(end, high), (end, top), (0.0, top)])
        .map(|(x, y)| place.at(Point::new(x, y)))
        .collect();
    vec![
        Extra::Fill(ring),
        place.write("100 mm", Point::new((BAR_MM - letters::width("100 mm", LETTER_MM)) / 2.0, 2.4)),
    ]
}

/// Writes every piece's label where there is room beside it, the short one where the long one
/// has none; returns how many found none.
fn label_all(sheet: &PrintSheet<'_>, taken: &mut Taken, all: &mut Vec<Extra>, labels: &mut [Option<Bounds>]) -> usize {
    let mut without = 0;
    for (at, (piece, label)) in sheet.pieces.iter().zip(labels).enumerate() {
        let Some(ink) = taken.inks.get(at).map(|ink| ink.bounds) else { continue };
        let mut texts =
            [&piece.label, &piece.short_label].into_iter().filter(|text| !text.trim().is_empty()).peekable();
        if texts.peek().is_none() {
            continue;
        }
        let found = texts.find_map(|text| {
            let size = (letters::width(text, LETTER_MM) + LINE_MM, LETTER_MM + LINE_MM);
            let places = places_beside(&ink, size, taken.gap, sheet.reading);
            Some((places.into_iter().find(|place| taken.is_free(&place.bounds()))?, text))
        });
        match found {
            Some((place, text)) => {
                taken.rectangles.push(place.bounds());
                *label = Some(place.bounds());
                all.push(place.write(text, Point::new(LINE_MM / 2.0, LINE_MM / 2.0)));
            }
            None => without += 1,
        }
    }
    without
}

/// Places for a label along the four sides of a piece, in the order they are liked.
fn places_beside(ink: &Bounds, (w, h): (f64, f64), gap: f64, reading: Reading) -> Vec<Place> {
    let c = ink.centre();
    let off = gap + h / 2.0 + 0.01;
    let mut places = Vec::new();
    for slide in [0.0, -0.35, 0.35] {
        let (across, along) = (c.y + slide * (ink.height() - w), c.x + slide * (ink.width() - w));
        for x in [ink.max.x + off, ink.min.x - off] {
            places.push(Place::around(Point::new(x, across), w, h, true, reading));
        }
        for y in [ink.min.y - off, ink.max.y + off] {
            places.push(Place::around(Point::new(along, y), w, h, false, reading));
        }
    }
    places
}

/// What a sheet's room is taken by.
struct Taken {
    /// Room kept to any ink: a cut line round the piece counts as ink.
    gap: f64,
    film: Bounds,
    inks: Vec<Ink>,
    rectangles: Vec<Bounds>,
}

struct Ink {
    bounds: Bounds,
    region: Region,
}

impl Taken {
    fn of(sheet: &PrintSheet<'_>) -> Self {
        let inks = sheet
            .pieces
            .iter()
            .zip(sheet.regions_on_sheet(0.0))
            .map(|(piece, region)| Ink {
                bounds: region.bounds().unwrap_or_else(|| sheet.bounds_on_sheet(piece)),
                region,
            })
            .collect();
        let edge = 0.5;
        let film =
            Bounds { min: Point::new(edge, edge), max: Point::new(sheet.length_mm - edge, sheet.width_mm - edge) };
        Self { gap: GAP_MM + sheet.cut_outline_mm.unwrap_or(0.0), film, inks, rectangles: Vec::new() }
    }

    fn is_free(&self, place: &Bounds) -> bool {
        let wide = place.grown(self.gap);
        self.film.contains(place)
            && !self.rectangles.iter().any(|taken| taken.overlaps(&wide))
            && !self.inks.iter().any(|ink| ink.bounds.overlaps(&wide) && touches(&ink.region, &wide))
    }

    /// In a margin if one is wide enough, else anywhere, looked for in steps of 5 mm.
    fn room_for_bar(&self, sheet: &PrintSheet<'_>) -> Option<Place> {
        let (w, h) = (sheet.width_mm, sheet.length_mm);
        let m = (BAR_HIGH_MM / 2.0 + 0.6).max(sheet.margin_mm / 2.0);
        let place = |x: f64, y: f64, upright: bool| {
            Place::around(Point::new(x, y), BAR_MM, BAR_HIGH_MM, upright, sheet.reading)
        };
        let edges = [
            place(m, w / 2.0, true),
            place(h - m, w / 2.0, true),
            place(h / 2.0, m, false),
            place(h / 2.0, w - m, false),
        ];
        let steps = |long: f64| (0..=(long / 5.0).min(4_000.0) as usize).map(|at| at as f64 * 5.0);
        let inside = steps(h).flat_map(|x| steps(w).map(move |y| (x, y)));
        edges
            .into_iter()
            .chain(inside.flat_map(|(x, y)| [place(x, y, true), place(x, y, false)]))
            .find(|place| self.is_free(&place.bounds()))
    }
}

/// Whether any ink lies in the rectangle.
fn touches(region: &Region, place: &Bounds) -> bool {
    region.contains(place.centre())
        || region.outlines.iter().filter(|o| o.bounds().overlaps(place)).any(|o| edge_in(o, place))
}

fn edge_in(outline: &Outline, place: &Bounds) -> bool {
    outline.rings().any(|ring| {
        ring.iter().zip(ring.iter().cycle().skip(1)).any(|(a, b)| {
            // The part of the edge left after cutting it at each side of the rectangle.
            let (mut from, mut to) = (0.0_f64, 1.0_f64);
            for (start, by, low, high) in
                [(a.x, b.x - a.x, place.min.x, place.max.x), (a.y, b.y - a.y, place.min.y, place.max.y)]
            {
                if by == 0.0 {
                    if start < low || start > high {
                        return false;
                    }
                } else {
                    let (p, q) = ((low - start) / by, (high - start) / by);
                    from = from.max(p.min(q));
                    to = to.min(p.max(q));
                }
            }
            from <= to
        })
    })
}
