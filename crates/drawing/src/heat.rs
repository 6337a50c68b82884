//! What a press does, to be read at a glance: temperatures over time with the
//! limits as named lines, and the window of platen temperature and dwell with
//! the recipe's point in it.
//!
//! In: points, limits and windows of the heat room, and the words to set beside
//! them. Out: SVG that stands alone. Every line bears its own name; there is no
//! legend to look up.

use crate::svg::{Anchor, Style, Svg, palette};
use ::heat::window::{Constraint, Window};
use geometry::Point;

/// A temperature over time.
#[derive(Debug, Clone, Copy)]
pub struct Curve<'a> {
    /// Its name, set at its end: "bond line".
    pub name: &'a str,
    /// Seconds and °C, in order of time.
    pub points: &'a [(f64, f64)],
    /// Lowest and highest it may well be, at the same times; empty without doubt.
    pub band: &'a [(f64, f64)],
    /// Whether it is the one to look at.
    pub chosen: bool,
}

/// What a limit is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitKind {
    /// To be reached: the adhesive's activation.
    Reach,
    /// From here on, care.
    Care,
    /// Not to be passed.
    Stop,
}

/// A named limit.
#[derive(Debug, Clone, Copy)]
pub struct Limit<'a> {
    /// Its name: "cloth, not to be passed".
    pub name: &'a str,
    /// °C.
    pub c: f64,
    /// What it is for.
    pub kind: LimitKind,
}

/// A named moment.
#[derive(Debug, Clone, Copy)]
pub struct Moment<'a> {
    /// Its name: "press opens".
    pub name: &'a str,
    /// Seconds.
    pub s: f64,
}

/// The words and forms of a heat picture, in the reader's language and units.
pub struct HeatText<'a> {
    /// Name of the picture.
    pub title: &'a str,
    /// What it shows, in a sentence, for those who cannot see it.
    pub description: &'a str,
    /// A temperature, "150 °C".
    pub temperature: &'a dyn Fn(f64) -> String,
    /// A time, "15 s".
    pub seconds: &'a dyn Fn(f64) -> String,
    /// Name of the axis of time or dwell.
    pub time_axis: &'a str,
    /// Name of the axis of temperature.
    pub temperature_axis: &'a str,
}

impl std::fmt::Debug for HeatText<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("HeatText").field("title", &self.title).finish_non_exhaustive()
    }
}

/// Words on a window map beside those of [`HeatText`].
#[derive(Debug, Clone, Copy)]
pub struct WindowText<'a> {
    /// In the open part: "serves".
    pub open: &'a str,
    /// In the part that is too short or too cold: "adhesive not set".
    pub unset: &'a str,
    /// In the part that is too hot: "cloth too hot".
    pub too_hot: &'a str,
    /// At the line of the warn limit: "care from here".
    pub care: &'a str,
    /// Across the map when nothing is open: "no setting serves".
    pub none: &'a str,
    /// Under the maker's span of temperatures: "maker's range".
    pub maker: &'a str,
    /// At the recipe's point: "recipe".
    pub recipe: &'a str,
    /// At the advised point: "advised".
    pub advised: &'a str,
}

/// What is marked on a window map.
#[derive(Debug, Clone, Copy)]
pub struct WindowMarks {
    /// The recipe: platen °C, dwell s.
    pub recipe: (f64, f64),
    /// What is advised, where it is another point.
    pub advised: Option<(f64, f64)>,
    /// The maker's temperatures, lowest and highest, °C.
    pub maker_c: (f64, f64),
}

/// Temperatures over time, 800 × 440 units. Points that are no numbers are left out.
pub fn heat_curves(curves: &[Curve<'_>], limits: &[Limit<'_>], moments: &[Moment<'_>], text: &HeatText<'_>) -> String {
    let frame = Frame::around(curves, limits);
    let mut svg = Svg::new(WIDTH, HEIGHT, text.title, text.description);
    frame.axes(&mut svg, text, Axes::TimeAcross);
    for limit in limits {
        limit_line(&mut svg, &frame, limit, text);
    }
    for moment in moments {
        moment_line(&mut svg, &frame, moment, text);
    }
    for curve in curves {
        band(&mut svg, &frame, curve);
        let points: Vec<Point> = curve.points.iter().filter(|p| is_number(p)).map(|p| frame.at(p.0, p.1)).collect();
        svg.polyline(&points, &Style::line(colour(curve.chosen), if curve.chosen { 3.0 } else { 1.8 }));
    }
    end_labels(&mut svg, &frame, curves, text);
    svg.finish()
}

/// The window over platen temperature (across) and dwell (up), 800 × 440 units.
pub fn heat_window(window: &Window, marks: &WindowMarks, text: &HeatText<'_>, words: &WindowText<'_>) -> String {
    let columns = &window.columns;
    let (first, last) = (columns.first().map_or(0.0, |c| c.platen_c), columns.last().map_or(1.0, |c| c.platen_c));
    let half = if columns.len() > 1 { (last - first) / (columns.len() - 1) as f64 / 2.0 } else { 0.5 };
    // A little below the shortest dwell, so that a recipe's point stands free.
    let frame = Frame { x: (first - half, last + half), y: (0.8 * window.dwell_s.0, window.dwell_s.1) };
    let mut svg = Svg::new(WIDTH, HEIGHT, text.title, text.description);
    svg.raw(HATCH);
    fields(&mut svg, &frame, window, half);
    frame.axes(&mut svg, text, Axes::TemperatureAcross);
    edge(&mut svg, &frame, window, |c| c.set_from_s, &Style::line(palette::INK, 2.0));
    hot_edge(&mut svg, &frame, window, half, |c| c.too_hot_from_s, &Style::line(palette::STOP, 2.0));
    let care = Style::line(palette::WATCH, 1.6).dashed(&[6.0, 4.0]);
    if let Some(top) = hot_edge(&mut svg, &frame, window, half, |c| c.care_from_s, &care) {
        // Inside the map, where no name of an axis stands.
        svg.text(Point::new(top.x + 6.0, top.y + 16.0), Anchor::Start, SMALL, palette::WATCH, words.care);
    }
    field_names(&mut svg, &frame, window, words);
    maker_span(&mut svg, &frame, marks.maker_c, words.maker);
    let clashes = marks.advised.is_some_and(|a| (a.0 - marks.recipe.0).abs() < 6.0);
    point(&mut svg, &frame, marks.recipe, palette::INK, words.recipe, text, clashes);
    if let Some(advised) = marks.advised {
        point(&mut svg, &frame, advised, palette::ACCENT, words.advised, text, false);
    }
    svg.finish()
}

/// Points of a press's trace for a picture: (time, value) of one of its columns,
/// thinned to at most `most`.
pub fn trace_points(time_s: &[f64], values: &[f64], most: usize) -> Vec<(f64, f64)> {
    let count = time_s.len().min(values.len());
    let every = count.div_ceil(most.max(2)).max(1);
    let mut points: Vec<(f64, f64)> = (0..count).step_by(every).map(|i| (time_s[i], values[i])).collect();
    if count > 0 && !(count - 1).is_multiple_of(every) {
        points.push((time_s[count - 1], values[count - 1]));
    }
    points
}

const WIDTH: f64 = 800.0;
const HEIGHT: f64 = 440.0;
const LEFT: f64 = 74.0;
const RIGHT: f64 = 190.0;
const TOP: f64 = 26.0;
const FOOT: f64 = 62.0;
const SIZE: f64 = 14.0;
const SMALL: f64 = 12.5;

/// Too hot: a hatch that prints in one colour.
const HATCH: &str = "<defs><pattern id=\"too-hot\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
     patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"7\" stroke=\"#9B1C31\" \
     stroke-width=\"1.1\"/></pattern></defs>\n";

enum Axes {
    TimeAcross,
    TemperatureAcross,
}

struct Frame {
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    fn around(curves: &[Curve<'_>], limits: &[Limit<'_>]) -> Self {
        let points = || curves.iter().flat_map(|c| c.points).filter(|p| is_number(p));
        let end = points().map(|p| p.0).fold(1.0, f64::max);
        let heights = || points().map(|p| p.1).chain(limits.iter().map(|l| l.c)).filter(|c| c.is_finite());
        let (low, high) = (heights().fold(20.0, f64::min), heights().fold(100.0, f64::max));
        Self { x: (0.0, end), y: ((low / 20.0).floor() * 20.0, (high / 20.0 + 0.4).ceil() * 20.0) }
    }

    fn at(&self, x: f64, y: f64) -> Point {
        let share = |value: f64, (low, high): (f64, f64)| ((value - low) / (high - low).max(1e-9)).clamp(0.0, 1.0);
        Point::new(
            LEFT + share(x, self.x) * (WIDTH - LEFT - RIGHT),
            HEIGHT - FOOT - share(y, self.y) * (HEIGHT - TOP - FOOT),
        )
    }

    fn axes(&self, svg: &mut Svg, text: &HeatText<'_>, axes: Axes) {
        let hair = Style::line(palette::LINE, 1.0);
        let (across, up, name_across, name_up) = match axes {
            Axes::TimeAcross => (text.seconds, text.temperature, text.time_axis, text.temperature_axis),
            Axes::TemperatureAcross => (text.temperature, text.seconds, text.temperature_axis, text.time_axis),
        };
        for y in ticks(self.y, 6.0) {
            svg.line(self.at(self.x.0, y), self.at(self.x.1, y), &hair);
            let place = self.at(self.x.0, y);
            svg.text(Point::new(place.x - 8.0, place.y + 4.5), Anchor::End, SMALL, palette::SOFT, &up(y));
        }
        for x in ticks(self.x, 6.0) {
            let place = self.at(x, self.y.0);
            svg.line(place, Point::new(place.x, place.y + 5.0), &Style::line(palette::SOFT, 1.0));
            svg.text(Point::new(place.x, place.y + 20.0), Anchor::Middle, SMALL, palette::SOFT, &across(x));
        }
        svg.line(self.at(self.x.0, self.y.0), self.at(self.x.1, self.y.0), &Style::line(palette::SOFT, 1.2));
        let middle = self.at(f64::midpoint(self.x.0, self.x.1), self.y.0);
        svg.text(Point::new(middle.x, HEIGHT - 8.0), Anchor::Middle, SMALL, palette::SOFT, name_across);
        svg.text(Point::new(8.0, 15.0), Anchor::Start, SMALL, palette::SOFT, name_up);
    }
}

fn is_number(point: &(f64, f64)) -> bool {
    point.0.is_finite() && point.1.is_finite()
}

/// Round values within a span, about `wanted` of them.
fn ticks((low, high): (f64, f64), wanted: f64) -> Vec<f64> {
    let rough = (high - low) / wanted;
    if rough <= 0.0 || !rough.is_finite() {
        return vec![low];
    }
    let steps = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0];
    let step = steps.into_iter().find(|s| *s >= rough).unwrap_or(rough.ceil());
    let first = (low / step).ceil();
    let count = ((high / step).floor() - first).clamp(0.0, 60.0) as usize;
    (0..=count).map(|i| (first + i as f64) * step).filter(|v| *v <= high + 1e-9).collect()
}

fn colour(chosen: bool) -> &'static str {
    if chosen { palette::ACCENT } else { palette::INK }
}

fn band(svg: &mut Svg, frame: &Frame, curve: &Curve<'_>) {
    if curve.band.len() != curve.points.len() || curve.band.is_empty() {
        return;
    }
    let side = |pick: fn(&(f64, f64)) -> f64| -> Vec<Point> {
        curve
            .points
            .iter()
            .zip(curve.band)
            .filter(|(p, b)| is_number(p) && is_number(b))
            .map(|(p, b)| frame.at(p.0, pick(b)))
            .collect()
    };
    let mut shape = side(|b| b.1);
    shape.extend(side(|b| b.0).into_iter().rev());
    svg.polygon(&shape, &Style::fill(colour(curve.chosen)).faint(0.14));
}

fn limit_line(svg: &mut Svg, frame: &Frame, limit: &Limit<'_>, text: &HeatText<'_>) {
    let (ink, dash): (&str, &[f64]) = match limit.kind {
        LimitKind::Reach => (palette::FINE, &[8.0, 4.0]),
        LimitKind::Care => (palette::WATCH, &[6.0, 4.0]),
        LimitKind::Stop => (palette::STOP, &[]),
    };
    let (from, to) = (frame.at(frame.x.0, limit.c), frame.at(frame.x.1, limit.c));
    svg.line(from, to, &Style::line(ink, 1.6).dashed(dash));
    let name = format!("{} {}", limit.name, (text.temperature)(limit.c));
    svg.text(Point::new(to.x - 6.0, to.y - 5.0), Anchor::End, SMALL, ink, &name);
}

fn moment_line(svg: &mut Svg, frame: &Frame, moment: &Moment<'_>, text: &HeatText<'_>) {
    let (low, high) = (frame.at(moment.s, frame.y.0), frame.at(moment.s, frame.y.1));
    svg.line(low, high, &Style::line(palette::SOFT, 1.0).dashed(&[2.0, 3.0]));
    let name = format!("{} {}", moment.name, (text.seconds)(moment.s));
    svg.text(Point::new(high.x, high.y - 6.0), Anchor::Middle, SMALL, palette::SOFT, &name);
}

/// Names at the ends of the curves, moved apart where they would touch.
fn end_labels(svg: &mut Svg, frame: &Frame, curves: &[Curve<'_>], text: &HeatText<'_>) {
    let mut labels: Vec<(f64, f64, &Curve<'_>, f64)> = curves
        .iter()
        .filter_map(|c| {
            let end = c.points.iter().rev().find(|p| is_number(p))?;
            let place = frame.at(end.0, end.1);
            Some((place.y, place.x, c, end.1))
        })
        .collect();
    labels.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut lowest = TOP;
    for (y, x, curve, value) in labels {
        let at = y.max(lowest);
        lowest = at + SIZE + 4.0;
        let from = Point::new(x, y);
        let to = Point::new(WIDTH - RIGHT + 14.0, at);
        svg.line(from, to, &Style::line(palette::SOFT, 0.8));
        let name = format!("{} {}", curve.name, (text.temperature)(value));
        svg.text(Point::new(to.x + 4.0, at + 4.5), Anchor::Start, SIZE, colour(curve.chosen), &name);
    }
}

/// Open, too hot and the rest, a column at a time.
fn fields(svg: &mut Svg, frame: &Frame, window: &Window, half: f64) {
    let (least, most) = window.dwell_s;
    let (low, high) = (frame.at(frame.x.0, least), frame.at(frame.x.1, most));
    svg.rectangle(low, high, 0.0, &Style::fill("#EFEAE0"));
    svg.line(low, frame.at(frame.x.1, least), &Style::line(palette::SOFT, 1.0).dashed(&[2.0, 3.0]));
    let hot = |at: usize| {
        let from = window.columns.get(at)?.too_hot_from_s?;
        Some((from.max(least), most)).filter(|s| s.0 < s.1)
    };
    let open = |at: usize| window.columns.get(at)?.open_s;
    for (at, column) in window.columns.iter().enumerate() {
        let mut fill = |span: &dyn Fn(usize) -> Option<(f64, f64)>, styles: &[Style<'_>]| {
            if let Some(shape) = slice(frame, column.platen_c, half, at, span) {
                styles.iter().for_each(|style| svg.polygon(&shape, style));
            }
        };
        fill(&hot, &[Style::fill(palette::CARD), Style::fill("url(#too-hot)")]);
        fill(&open, &[Style::fill("#CFE3D6")]);
    }
}

/// A column's part of a field; its sides lean to meet the neighbours'.
fn slice(
    frame: &Frame,
    middle_c: f64,
    half: f64,
    at: usize,
    span: &dyn Fn(usize) -> Option<(f64, f64)>,
) -> Option<[Point; 6]> {
    let own = span(at)?;
    let side = |neighbour: Option<(f64, f64)>| {
        neighbour.map_or(own, |n| (f64::midpoint(own.0, n.0), f64::midpoint(own.1, n.1)))
    };
    let (left, right) = (side(at.checked_sub(1).and_then(span)), side(span(at + 1)));
    let (x0, x1) = (middle_c - half, middle_c + half);
    Some([
        frame.at(x0, left.0),
        frame.at(middle_c, own.0),
        frame.at(x1, right.0),
        frame.at(x1, right.1),
        frame.at(middle_c, own.1),
        frame.at(x0, left.1),
    ])
}

/// A boundary of the window, where it lies within the dwells shown.
fn edge(
    svg: &mut Svg,
    frame: &Frame,
    window: &Window,
    value: fn(&::heat::window::WindowColumn) -> Option<f64>,
    style: &Style<'_>,
) {
    let (least, most) = window.dwell_s;
    let mut run: Vec<Point> = Vec::new();
    for column in &window.columns {
        match value(column).filter(|s| (least..=most).contains(s)) {
            Some(seconds) => run.push(frame.at(column.platen_c, seconds)),
            None => draw_run(svg, &mut run, style),
        }
    }
    draw_run(svg, &mut run, style);
}

/// The line a limit draws, from the longest dwell shown down to the shortest;
/// its upper end, where there is one.
fn hot_edge(
    svg: &mut Svg,
    frame: &Frame,
    window: &Window,
    half: f64,
    value: fn(&::heat::window::WindowColumn) -> Option<f64>,
    style: &Style<'_>,
) -> Option<Point> {
    let (least, most) = window.dwell_s;
    let reached = |c: &::heat::window::WindowColumn| Some((c.platen_c, value(c).filter(|s| *s < most)?));
    let mut points: Vec<Point> = Vec::new();
    for (c, seconds) in window.columns.iter().filter_map(reached) {
        if points.is_empty() {
            points.push(frame.at(c - half, most));
        }
        points.push(frame.at(c, seconds.max(least)));
        if seconds <= least {
            break;
        }
    }
    svg.polyline(&points, style);
    points.first().copied()
}

fn draw_run(svg: &mut Svg, run: &mut Vec<Point>, style: &Style<'_>) {
    if run.len() > 1 {
        svg.polyline(run, style);
    }
    run.clear();
}

/// Each field's name, in the middle of its largest column.
fn field_names(svg: &mut Svg, frame: &Frame, window: &Window, words: &WindowText<'_>) {
    let (least, most) = window.dwell_s;
    let open = |c: &::heat::window::WindowColumn| c.open_s;
    let hot = |c: &::heat::window::WindowColumn| c.too_hot_from_s.map(|s| (s.max(least), most)).filter(|s| s.0 < s.1);
    let unset = |c: &::heat::window::WindowColumn| {
        let set = c.set_from_s.unwrap_or(most).min(c.too_hot_from_s.unwrap_or(most)).min(most);
        Some((least, set)).filter(|s| s.0 < s.1)
    };
    name_field(svg, frame, window, &open, words.open, palette::FINE);
    name_field(svg, frame, window, &hot, words.too_hot, palette::STOP);
    name_field(svg, frame, window, &unset, words.unset, palette::SOFT);
    if window.open().next().is_none() {
        let middle = frame.at(f64::midpoint(frame.x.0, frame.x.1), most);
        svg.text(Point::new(middle.x, middle.y + 24.0), Anchor::Middle, SIZE * 1.25, palette::STOP, words.none);
    }
}

type Span<'a> = &'a dyn Fn(&::heat::window::WindowColumn) -> Option<(f64, f64)>;

/// The name of a field where it is widest: in the middle of its columns,
/// weighted by how much of each it takes.
fn name_field(svg: &mut Svg, frame: &Frame, window: &Window, span: Span<'_>, name: &str, ink: &str) {
    let spans: Vec<(f64, f64, f64)> =
        window.columns.iter().filter_map(|c| span(c).map(|(a, b)| (c.platen_c, f64::midpoint(a, b), b - a))).collect();
    let whole: f64 = spans.iter().map(|s| s.2).sum();
    let all = (window.dwell_s.1 - window.dwell_s.0) * window.columns.len() as f64;
    // Too small a field is named by its line and colour alone.
    if whole <= 0.04 * all {
        return;
    }
    let centre = spans.iter().map(|s| s.0 * s.2).sum::<f64>() / whole;
    let Some(near) = spans.iter().min_by(|a, b| (a.0 - centre).abs().total_cmp(&(b.0 - centre).abs())) else { return };
    let place = frame.at(near.0, near.1);
    let wide = name.chars().count() as f64 * SIZE * 0.55;
    let plate = Style::fill(palette::CARD).faint(0.82);
    let x = place.x.clamp(LEFT + wide / 2.0 + 6.0, WIDTH - RIGHT - wide / 2.0 - 6.0);
    svg.rectangle(
        Point::new(x - wide / 2.0 - 5.0, place.y - SIZE * 0.85),
        Point::new(x + wide / 2.0 + 5.0, place.y + SIZE * 0.55),
        4.0,
        &plate,
    );
    svg.text(Point::new(x, place.y + SIZE * 0.3), Anchor::Middle, SIZE, ink, name);
}

fn maker_span(svg: &mut Svg, frame: &Frame, (low, high): (f64, f64), name: &str) {
    let (a, b) = (frame.at(low, frame.y.0), frame.at(high, frame.y.0));
    let y = a.y + 32.0;
    let style = Style::line(palette::INK, 1.4);
    svg.line(Point::new(a.x, y), Point::new(b.x, y), &style);
    for x in [a.x, b.x] {
        svg.line(Point::new(x, y - 5.0), Point::new(x, y + 5.0), &style);
    }
    svg.text(Point::new(a.x.max(b.x) + 8.0, y + 4.5), Anchor::Start, SMALL, palette::INK, name);
}

fn point(svg: &mut Svg, frame: &Frame, (c, s): (f64, f64), ink: &str, name: &str, text: &HeatText<'_>, below: bool) {
    let place = frame.at(c, s);
    svg.circle(place, 7.0, &Style { width: 2.0, stroke: palette::CARD, ..Style::fill(ink) });
    let label = format!("{name} {} · {}", (text.temperature)(c), (text.seconds)(s));
    let wide = label.chars().count() as f64 * SIZE * 0.55;
    let right = place.x + 14.0 + wide < WIDTH - 4.0;
    let (x, anchor) = if right { (place.x + 13.0, Anchor::Start) } else { (place.x - 13.0, Anchor::End) };
    let lift = if below && place.y + 16.0 < HEIGHT - FOOT { 14.0 } else { -8.0 };
    let left = if right { x } else { x - wide };
    let plate = Style::fill(palette::CARD).faint(0.82);
    svg.rectangle(
        Point::new(left - 3.0, place.y + lift - SIZE),
        Point::new(left + wide + 3.0, place.y + lift + 4.0),
        4.0,
        &plate,
    );
    svg.text(Point::new(x, place.y + lift), anchor, SIZE, ink, &label);
}

/// The constraint's colour, for words beside a map.
pub fn constraint_colour(constraint: Constraint) -> &'static str {
    match constraint {
        Constraint::AdhesiveUnset | Constraint::RangeEnds => palette::SOFT,
        Constraint::ClothUnderTransfer | Constraint::BareCloth => palette::STOP,
        Constraint::MakerSheet | Constraint::MakerDwell | Constraint::NeverLonger | Constraint::ReferenceUnset => {
            palette::WATCH
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text() -> HeatText<'static> {
        HeatText {
            title: "Heat <of> a press",
            description: "Bond line over time.",
            temperature: &|c| format!("{c:.0} °C"),
            seconds: &|s| format!("{s:.0} s"),
            time_axis: "time",
            temperature_axis: "temperature",
        }
    }

    /// Every limit and curve is named on the picture; no number is lost or not a number.
    #[test]
    fn lines_bear_their_names() {
        let points = [(0.0, 22.0), (5.0, 130.0), (f64::NAN, 1.0), (15.0, 140.0)];
        let curve = Curve { name: "bond line", points: &points, band: &[], chosen: true };
        let limit = Limit { name: "activation", c: 110.0, kind: LimitKind::Reach };
        let svg = heat_curves(&[curve], &[limit], &[Moment { name: "opens", s: 15.0 }], &text());
        for name in ["bond line 140 °C", "activation 110 °C", "opens 15 s", "Heat &lt;of&gt; a press"] {
            assert!(svg.contains(name), "{name}");
        }
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }

    #[test]
    fn an_empty_picture_is_a_picture() {
        assert!(heat_curves(&[], &[], &[], &text()).ends_with("</svg>\n"));
        assert_eq!(trace_points(&[], &[], 10), vec![]);
        assert_eq!(trace_points(&[0.0, 1.0, 2.0, 3.0], &[5.0; 4], 2).last(), Some(&(3.0, 5.0)));
    }
}
