//! The findings of a piece of art on the art itself.
//!
//! In: the art's region at its final size, its measures, the words to set beside
//! them. Out: one picture at true scale. The width of every line is a row of dots
//! coloured by how it stands to the limit; each place that does not hold carries a
//! number and a shape of its own kind, explained under the picture.

use crate::svg::{Anchor, Style, Svg, palette};
use art::{KindLimits, Measures, PrintSize, Spot};
use geometry::{Bounds, Point, Region};

/// The words of the picture, in the reader's language and units.
#[derive(Debug, Clone, Copy)]
pub struct ArtText<'a> {
    /// Name of the picture.
    pub title: &'a str,
    /// What it shows, in a sentence, for those who cannot see it.
    pub description: &'a str,
    /// Width of the art box, "90 mm".
    pub width: &'a str,
    /// Height of the art box.
    pub height: &'a str,
    /// "lines too thin".
    pub thin: &'a str,
    /// "gaps too narrow".
    pub gaps: &'a str,
    /// "parts too small".
    pub islands: &'a str,
    /// "points that taper off".
    pub points: &'a str,
    /// "width of lines: under the limit, up to twice the limit".
    pub heat: &'a str,
}

/// Places marked of one kind; the legend counts all.
const MOST_MARKS: usize = 40;

/// Dots of the heat map.
const MOST_DOTS: usize = 6000;

/// Room for dimension lines and the legend, mm.
const EDGE: f64 = 14.0;

/// Draws the findings; `picture` is the art itself as PNG in base64, or the region is filled.
pub fn art_findings(
    region: &Region,
    picture: Option<&str>,
    size: PrintSize,
    measures: &Measures,
    limits: &KindLimits,
    text: &ArtText<'_>,
) -> String {
    let (width, height) = (size.width().mm(), size.height().mm());
    let kinds = kinds(measures, text);
    let shown: Vec<&Kind<'_>> = kinds.iter().filter(|kind| !kind.spots.is_empty()).collect();
    let line = (height / 30.0).clamp(2.6, 4.5);
    let legend = (shown.len() as f64 + 1.0) * line * 1.6 + 4.0;
    let page = ((width + 2.0 * EDGE).max(90.0), height + 2.0 * EDGE + legend);
    let mut svg = Svg::new(page.0, page.1, text.title, text.description).shown_at_mm(page.0, page.1).flipped();
    let lift = Point::new(EDGE, EDGE + legend);
    let up = |p: Point| Point::new(p.x + lift.x, p.y + lift.y);
    match picture {
        Some(base64) => svg.png(up(Point::new(0.0, 0.0)), up(Point::new(width, height)), base64, text.description),
        None => svg.region(&region.map(up), &Style::fill(palette::LINE)),
    }
    svg.region(&region.map(up), &Style::line(palette::SOFT, 0.12));
    heat(&mut svg, measures, limits, &up);
    for kind in &shown {
        svg.begin_group(kind.class, kind.label);
        for (at, spot) in kind.spots.iter().take(MOST_MARKS).enumerate() {
            mark(&mut svg, kind, at + 1, spot, line, &up);
        }
        svg.end_group();
    }
    svg.dimension(up(Point::new(0.0, height + 5.0)), up(Point::new(width, height + 5.0)), line, text.width);
    svg.dimension(up(Point::new(-5.0, 0.0)), up(Point::new(-5.0, height)), line, text.height);
    explain(&mut svg, &shown, legend, line, text);
    svg.finish()
}

/// The words of a picture of before and after.
#[derive(Debug, Clone, Copy)]
pub struct BoxText<'a> {
    /// Name of the picture.
    pub title: &'a str,
    /// What it shows, in a sentence, for those who cannot see it.
    pub description: &'a str,
    /// "as it came".
    pub before: &'a str,
    /// "with the box removed".
    pub after: &'a str,
}

/// Two states of art side by side at true size, each a PNG in base64 with its size in mm, on a
/// pattern of two grays that shows where nothing is printed.
pub fn before_after(before: (&str, f64, f64), after: (&str, f64, f64), text: &BoxText<'_>) -> String {
    let line = 4.0;
    let gap = 10.0;
    let high = before.2.max(after.2);
    let page = (before.1 + after.1 + 3.0 * gap, high + 2.0 * gap + line);
    let mut svg = Svg::new(page.0, page.1, text.title, text.description).shown_at_mm(page.0, page.1).flipped();
    let mut left = gap;
    for ((png, width, height), caption) in [(before, text.before), (after, text.after)] {
        let foot = gap + line + high - height;
        chequered(&mut svg, left, foot, (width, height));
        svg.png(Point::new(left, foot), Point::new(left + width, foot + height), png, caption);
        svg.text(Point::new(left, gap / 2.0), Anchor::Start, line, palette::INK, caption);
        left += width + gap;
    }
    svg.finish()
}

/// Squares in two grays, mm.
fn chequered(svg: &mut Svg, left: f64, foot: f64, size: (f64, f64)) {
    let step = (size.0.max(size.1) / 40.0).max(2.0);
    svg.rectangle(Point::new(left, foot), Point::new(left + size.0, foot + size.1), 0.0, &Style::fill("#c9c9c9"));
    let count = |side: f64| (side / step).ceil().clamp(1.0, 60.0) as u32;
    for (row, column) in (0..count(size.1)).flat_map(|row| (0..count(size.0)).map(move |column| (row, column))) {
        if (row + column) % 2 == 0 {
            let (x, y) = (f64::from(column) * step, f64::from(row) * step);
            let corner = Point::new(left + (x + step).min(size.0), foot + (y + step).min(size.1));
            svg.rectangle(Point::new(left + x, foot + y), corner, 0.0, &Style::fill("#b4b4b4"));
        }
    }
}

/// One kind of trouble and how it is marked.
struct Kind<'a> {
    class: &'static str,
    label: &'a str,
    colour: &'static str,
    shape: Shape,
    spots: &'a [Spot],
}

#[derive(Clone, Copy)]
enum Shape {
    Circle,
    Dashed,
    Square,
    Triangle,
}

fn kinds<'a>(measures: &'a Measures, text: &ArtText<'a>) -> [Kind<'a>; 4] {
    let kind = |class, label, colour, shape, spots| Kind { class, label, colour, shape, spots };
    [
        kind("thin", text.thin, palette::STOP, Shape::Circle, measures.thin_lines.as_slice()),
        kind("gaps", text.gaps, palette::ASK, Shape::Dashed, &measures.narrow_gaps),
        kind("islands", text.islands, palette::WATCH, Shape::Square, &measures.small_islands),
        kind("points", text.points, palette::ACCENT, Shape::Triangle, &measures.sharp_points),
    ]
}

fn heat(svg: &mut Svg, measures: &Measures, limits: &KindLimits, up: &impl Fn(Point) -> Point) {
    let limit = limits.line.mm();
    let step = measures.widths.len().div_ceil(MOST_DOTS).max(1);
    svg.begin_group("heat", "");
    for here in measures.widths.iter().step_by(step) {
        let width = here.width.mm();
        let colour = match width / limit.max(1e-6) {
            part if part < 0.98 => palette::STOP,
            part if part < 1.3 => palette::WATCH,
            _ => palette::FINE,
        };
        svg.circle(up(here.at), (width / 4.0).clamp(0.08, 0.5), &Style::fill(colour).faint(0.75));
    }
    svg.end_group();
}

fn mark(svg: &mut Svg, kind: &Kind<'_>, number: usize, spot: &Spot, line: f64, up: &impl Fn(Point) -> Point) {
    let around = spot.bounds.grown(0.6);
    let (a, b) = (up(around.min), up(around.max));
    let centre = Point::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0);
    let style = Style::line(kind.colour, 0.3);
    symbol(svg, kind.shape, Bounds { min: a, max: b }, &style);
    let label = Point::new(centre.x, b.y + line * 0.25);
    svg.text(label, Anchor::Middle, line * 0.7, kind.colour, &number.to_string());
}

fn symbol(svg: &mut Svg, shape: Shape, around: Bounds, style: &Style<'_>) {
    let (a, b) = (around.min, around.max);
    let middle = (a.x + b.x) / 2.0;
    match shape {
        Shape::Circle => svg.rectangle(a, b, (around.width().min(around.height())) / 2.0, style),
        Shape::Dashed => svg.rectangle(a, b, 0.4, &style.dashed(&[0.8, 0.5])),
        Shape::Square => svg.rectangle(a, b, 0.0, style),
        Shape::Triangle => svg.polygon(&[a, Point::new(b.x, a.y), Point::new(middle, b.y)], style),
    }
}

fn explain(svg: &mut Svg, shown: &[&Kind<'_>], legend: f64, line: f64, text: &ArtText<'_>) {
    let mut y = legend + 2.0;
    for kind in shown {
        y -= line * 1.6;
        let sign = Bounds { min: Point::new(4.0, y), max: Point::new(4.0 + line, y + line) };
        symbol(svg, kind.shape, sign, &Style::line(kind.colour, 0.35));
        let words = format!("{} × {}", kind.spots.len(), kind.label);
        svg.text(Point::new(6.5 + line, y + line * 0.15), Anchor::Start, line, palette::INK, &words);
    }
    y -= line * 1.6;
    for (at, colour) in [palette::STOP, palette::WATCH, palette::FINE].into_iter().enumerate() {
        svg.circle(Point::new(4.5 + at as f64 * 2.0, y + line / 2.0), 0.8, &Style::fill(colour));
    }
    svg.text(Point::new(11.5, y + line * 0.15), Anchor::Start, line, palette::INK, text.heat);
}

#[cfg(test)]
mod tests {
    use super::*;
    use art::{ReadOptions, SizeWish, measure, read};
    use units::Length;

    #[test]
    fn a_thin_tail_is_marked_where_it_is() {
        let drawing = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 100 40\">\
            <rect width=\"40\" height=\"40\"/><rect x=\"40\" y=\"19.8\" width=\"60\" height=\"0.4\"/></svg>";
        let art = read("kite", drawing.as_bytes(), &ReadOptions::default()).expect("art").value;
        let mm = |mm: f64| Length::from_mm(mm).expect("finite");
        let size = art.size(SizeWish::Width(mm(100.0))).expect("a size");
        let limits = KindLimits {
            line: mm(1.0),
            island: mm(1.5),
            gap: mm(1.0),
            cut: true,
            full_colour: false,
            max_colours: None,
            dpi_min: 300.0,
            solid_max: None,
        };
        let measures = measure(&art, size, &limits).value;
        let text = ArtText {
            title: "Kite",
            description: "Where the kite does not hold",
            width: "100 mm",
            height: "40 mm",
            thin: "lines too thin",
            gaps: "gaps too narrow",
            islands: "parts too small",
            points: "points that taper off",
            heat: "width of lines",
        };
        let picture = art_findings(&art.region(size), None, size, &measures, &limits, &text);
        assert!(picture.contains("1 × lines too thin") && picture.contains(palette::STOP));
        assert!(!picture.contains("parts too small"));
    }
}
