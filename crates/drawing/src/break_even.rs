//! What a piece costs in two ways of making it, over the quantity.
//!
//! In: costs of a piece at some quantities and the words to set beside them. Out: SVG that
//! stands alone: both lines bear their names, the quantities at which the cheaper way
//! changes are named lines. Both scales are logarithmic, so that small orders and large
//! ones are read equally well.

use crate::svg::{Anchor, Style, Svg, palette};
use geometry::Point;

/// The words and forms of the chart, in the reader's language.
pub struct BreakEvenText<'a> {
    /// Name of the picture.
    pub title: &'a str,
    /// What it shows, in a sentence, for those who cannot see it.
    pub description: &'a str,
    /// Names of the two ways.
    pub ways: [&'a str; 2],
    /// Name of the axis of quantity.
    pub pieces_axis: &'a str,
    /// Name of the axis of cost.
    pub cost_axis: &'a str,
    /// A cost, "12.50".
    pub cost: &'a dyn Fn(f64) -> String,
    /// At a quantity where the cheaper way changes, "from 14".
    pub from: &'a dyn Fn(u32) -> String,
}

impl std::fmt::Debug for BreakEvenText<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("BreakEvenText").field("title", &self.title).finish_non_exhaustive()
    }
}

/// The chart, 800 × 400 units. `points`: pieces, and what one costs each way, rising in
/// pieces; those that are no positive numbers are left out. `changes`: from so many pieces
/// on the way of that index is cheaper.
pub fn break_even(points: &[(u32, [f64; 2])], changes: &[(u32, usize)], text: &BreakEvenText<'_>) -> String {
    let sound = |point: &&(u32, [f64; 2])| point.0 > 0 && point.1.iter().all(|cost| cost.is_finite() && *cost > 0.0);
    let points: Vec<(u32, [f64; 2])> = points.iter().filter(sound).copied().collect();
    let mut svg = Svg::new(WIDTH, HEIGHT, text.title, text.description);
    let Some(frame) = Frame::around(&points) else { return svg.finish() };
    axes(&mut svg, &frame, &points, text);
    for (from, _) in changes {
        let (low, high) = (frame.at(f64::from(*from), frame.y.0), frame.at(f64::from(*from), frame.y.1));
        svg.line(low, high, &Style::line(palette::SOFT, 1.2).dashed(&[4.0, 3.0]));
        svg.text(Point::new(high.x, high.y - 6.0), Anchor::Middle, SIZE, palette::INK, &(text.from)(*from));
    }
    let line =
        |way: usize| -> Vec<Point> { points.iter().map(|(n, costs)| frame.at(f64::from(*n), costs[way])).collect() };
    let lines = [line(0), line(1)];
    svg.polyline(&lines[0], &Style::line(palette::ACCENT, 3.0));
    // Dashed, so that the two are told apart in one colour as well.
    svg.polyline(&lines[1], &Style::line(palette::INK, 2.0).dashed(&[9.0, 4.0]));
    for (way, ink) in [(0, palette::ACCENT), (1, palette::INK)] {
        for point in &lines[way] {
            svg.circle(*point, 3.0, &Style::fill(ink));
        }
    }
    names(&mut svg, &lines, text);
    svg.finish()
}

const WIDTH: f64 = 800.0;
const HEIGHT: f64 = 400.0;
const LEFT: f64 = 74.0;
const RIGHT: f64 = 196.0;
const TOP: f64 = 40.0;
const FOOT: f64 = 56.0;
const SIZE: f64 = 13.0;
/// Characters of a line's name that fit beside it.
const NAME: usize = 26;

struct Frame {
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    fn around(points: &[(u32, [f64; 2])]) -> Option<Self> {
        let (first, last) = (points.first()?, points.last()?);
        let costs = || points.iter().flat_map(|point| point.1);
        let (low, high) = (costs().fold(f64::MAX, f64::min), costs().fold(0.0, f64::max));
        let x = (f64::from(first.0), f64::from(last.0).max(f64::from(first.0) + 1.0));
        Some(Self { x, y: (low * 0.85, high * 1.15) })
    }

    fn at(&self, x: f64, y: f64) -> Point {
        let share =
            |value: f64, (low, high): (f64, f64)| ((value / low).ln() / (high / low).ln().max(1e-9)).clamp(0.0, 1.0);
        Point::new(
            LEFT + share(x, self.x) * (WIDTH - LEFT - RIGHT),
            HEIGHT - FOOT - share(y, self.y) * (HEIGHT - TOP - FOOT),
        )
    }
}

fn axes(svg: &mut Svg, frame: &Frame, points: &[(u32, [f64; 2])], text: &BreakEvenText<'_>) {
    for cost in round_values(frame.y) {
        let (from, to) = (frame.at(frame.x.0, cost), frame.at(frame.x.1, cost));
        svg.line(from, to, &Style::line(palette::LINE, 1.0));
        svg.text(Point::new(from.x - 8.0, from.y + 4.5), Anchor::End, SIZE, palette::SOFT, &(text.cost)(cost));
    }
    let mut free_from = f64::MIN;
    for (pieces, _) in points {
        let place = frame.at(f64::from(*pieces), frame.y.0);
        svg.line(place, Point::new(place.x, place.y + 5.0), &Style::line(palette::SOFT, 1.0));
        if place.x >= free_from {
            svg.text(Point::new(place.x, place.y + 20.0), Anchor::Middle, SIZE, palette::SOFT, &pieces.to_string());
            free_from = place.x + 26.0;
        }
    }
    let (left, right) = (frame.at(frame.x.0, frame.y.0), frame.at(frame.x.1, frame.y.0));
    svg.line(left, right, &Style::line(palette::SOFT, 1.2));
    svg.text(
        Point::new(f64::midpoint(left.x, right.x), HEIGHT - 12.0),
        Anchor::Middle,
        SIZE,
        palette::SOFT,
        text.pieces_axis,
    );
    svg.text(Point::new(8.0, 15.0), Anchor::Start, SIZE, palette::SOFT, text.cost_axis);
}

/// 1, 2 and 5 times powers of ten within a span; where none lies in it, its ends.
fn round_values((low, high): (f64, f64)) -> Vec<f64> {
    let mut all = Vec::new();
    let mut ten = 1e-6;
    while ten < 1e12 {
        all.extend([1.0, 2.0, 5.0].map(|digit| digit * ten).into_iter().filter(|value| (low..=high).contains(value)));
        ten *= 10.0;
    }
    if all.len() < 2 { vec![low, f64::midpoint(low, high), high] } else { all }
}

/// Names at the ends of the lines, moved apart where they would touch.
fn names(svg: &mut Svg, lines: &[Vec<Point>; 2], text: &BreakEvenText<'_>) {
    let (Some(one), Some(other)) = (lines[0].last(), lines[1].last()) else { return };
    const APART: f64 = 34.0;
    let (mut y0, mut y1) = (one.y, other.y);
    let short = APART - (y0 - y1).abs();
    if short > 0.0 {
        let up = if y0 <= y1 { -short / 2.0 } else { short / 2.0 };
        (y0, y1) = (y0 + up, y1 - up);
    }
    for (place, y, name, ink) in [(one, y0, text.ways[0], palette::ACCENT), (other, y1, text.ways[1], palette::INK)] {
        for (row, part) in two_rows(name).into_iter().enumerate() {
            let at = Point::new(place.x + 9.0, y + 4.5 + 15.0 * row as f64);
            svg.text(at, Anchor::Start, SIZE, ink, &part);
        }
    }
}

/// A name in at most two rows, with an ellipsis when something was left off.
fn two_rows(name: &str) -> Vec<String> {
    let mut rows = vec![String::new()];
    for word in name.split(' ') {
        let last = rows.len() - 1;
        let longer = rows[last].chars().count() + 1 + word.chars().count() > NAME;
        match (rows[last].is_empty(), longer, rows.len()) {
            (true, _, _) => rows[last] = word.chars().take(NAME).collect(),
            (false, false, _) => {
                rows[last].push(' ');
                rows[last].push_str(word);
            }
            (false, true, 1) => rows.push(word.chars().take(NAME).collect()),
            (false, true, _) => {
                rows[last].push('…');
                break;
            }
        }
    }
    rows
}
