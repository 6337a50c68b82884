//! The one writer of SVG: escaping, titles, dimension lines, numbers that are
//! the same on every machine.
//!
//! A picture is drawn in its own units with y **down**, as SVG has it;
//! callers that think y up flip once with [`Svg::flipped`].

use geometry::{Outline, Point, Region};
use std::fmt::Write as _;

/// Colours by what they stand for, on paper.
pub mod palette {
    /// Page ground.
    pub const GROUND: &str = "#FAF7F1";
    /// Raised paper.
    pub const CARD: &str = "#FFFFFF";
    /// Text and drawn lines.
    pub const INK: &str = "#23262D";
    /// Secondary text.
    pub const SOFT: &str = "#5C606B";
    /// Hairlines.
    pub const LINE: &str = "#D9D3C7";
    /// The one chosen thing.
    pub const ACCENT: &str = "#8A3B12";
    /// All well.
    pub const FINE: &str = "#1F6B4F";
    /// Take care.
    pub const WATCH: &str = "#7A5200";
    /// Stopped.
    pub const STOP: &str = "#9B1C31";
    /// A person must answer.
    pub const ASK: &str = "#3C4F9E";
}

/// How a shape is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style<'a> {
    /// Fill colour, or "none".
    pub fill: &'a str,
    /// Line colour, or "none".
    pub stroke: &'a str,
    /// Line width in picture units.
    pub width: f64,
    /// Lengths of dashes and gaps in picture units; empty for a full line.
    pub dash: &'a [f64],
    /// 0 (clear) to 1 (full).
    pub opacity: f64,
}

impl<'a> Style<'a> {
    /// A line without fill.
    pub const fn line(stroke: &'a str, width: f64) -> Self {
        Self { fill: "none", stroke, width, dash: &[], opacity: 1.0 }
    }

    /// A fill without line.
    pub const fn fill(fill: &'a str) -> Self {
        Self { fill, stroke: "none", width: 0.0, dash: &[], opacity: 1.0 }
    }

    /// The same, dashed.
    #[must_use]
    pub const fn dashed(self, dash: &'a [f64]) -> Self {
        Self { dash, ..self }
    }

    /// The same, see-through.
    #[must_use]
    pub const fn faint(self, opacity: f64) -> Self {
        Self { opacity, ..self }
    }
}

/// Which point of a text its position names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// A picture being drawn.
#[derive(Debug, Clone)]
pub struct Svg {
    width: f64,
    height: f64,
    shown: Option<(f64, f64)>,
    title: String,
    description: String,
    body: String,
    flip: Option<f64>,
}

impl Svg {
    /// An empty picture of `width` × `height` picture units, with the name and
    /// the description that a screen reader gives.
    pub fn new(width: f64, height: f64, title: &str, description: &str) -> Self {
        Self {
            width,
            height,
            shown: None,
            title: title.to_owned(),
            description: description.to_owned(),
            body: String::new(),
            flip: None,
        }
    }

    /// Printed at a true size in millimetres instead of filling its place.
    #[must_use]
    pub fn shown_at_mm(mut self, width_mm: f64, height_mm: f64) -> Self {
        self.shown = Some((width_mm, height_mm));
        self
    }

    /// Shapes and points from here on are given with y up from the lower edge.
    #[must_use]
    pub fn flipped(mut self) -> Self {
        self.flip = Some(self.height);
        self
    }

    /// Width in picture units.
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Height in picture units.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, style: &Style<'_>) {
        let (a, b) = (self.placed(from), self.placed(to));
        let _ = writeln!(
            self.body,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>",
            number(a.x),
            number(a.y),
            number(b.x),
            number(b.y),
            attributes(style)
        );
    }

    /// An open line through points.
    pub fn polyline(&mut self, points: &[Point], style: &Style<'_>) {
        let data = self.path_data(points, false);
        let _ = writeln!(self.body, "<path d=\"{data}\"{}/>", attributes(style));
    }

    /// A closed shape through points.
    pub fn polygon(&mut self, points: &[Point], style: &Style<'_>) {
        let data = self.path_data(points, true);
        let _ = writeln!(self.body, "<path d=\"{data}\"{}/>", attributes(style));
    }

    /// An outline with its holes open.
    pub fn outline(&mut self, outline: &Outline, style: &Style<'_>) {
        let data: String = outline.rings().map(|ring| self.path_data(ring, true)).collect();
        let _ = writeln!(self.body, "<path fill-rule=\"evenodd\" d=\"{data}\"{}/>", attributes(style));
    }

    /// Every part of a region.
    pub fn region(&mut self, region: &Region, style: &Style<'_>) {
        for outline in &region.outlines {
            self.outline(outline, style);
        }
    }

    /// An upright rectangle by two opposite corners, with rounded corners of `radius`.
    pub fn rectangle(&mut self, a: Point, b: Point, radius: f64, style: &Style<'_>) {
        let (a, b) = (self.placed(a), self.placed(b));
        let _ = writeln!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" rx=\"{}\"{}/>",
            number(a.x.min(b.x)),
            number(a.y.min(b.y)),
            number((a.x - b.x).abs()),
            number((a.y - b.y).abs()),
            number(radius),
            attributes(style)
        );
    }

    /// A circle.
    pub fn circle(&mut self, centre: Point, radius: f64, style: &Style<'_>) {
        let c = self.placed(centre);
        let _ = writeln!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>",
            number(c.x),
            number(c.y),
            number(radius),
            attributes(style)
        );
    }

    /// Text whose baseline point is `at`; `size` is the type size in picture units.
    pub fn text(&mut self, at: Point, anchor: Anchor, size: f64, colour: &str, text: &str) {
        self.turned_text(at, anchor, size, colour, 0.0, text);
    }

    /// Text turned counter-clockwise about its baseline point.
    pub fn turned_text(&mut self, at: Point, anchor: Anchor, size: f64, colour: &str, turn_deg: f64, text: &str) {
        let p = self.placed(at);
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let turn = if turn_deg == 0.0 {
            String::new()
        } else {
            format!(" transform=\"rotate({} {} {})\"", number(-turn_deg), number(p.x), number(p.y))
        };
        let _ = writeln!(
            self.body,
            "<text x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\" font-size=\"{}\" fill=\"{colour}\"{turn}>{}</text>",
            number(p.x),
            number(p.y),
            number(size),
            escaped(text)
        );
    }

    /// A dimension line with end ticks between two points, its label beside the middle.
    pub fn dimension(&mut self, from: Point, to: Point, size: f64, label: &str) {
        let style = Style::line(palette::SOFT, size / 12.0);
        self.line(from, to, &style);
        let length = from.distance(to);
        if length <= 0.0 {
            return;
        }
        let across = Point::new(-(to.y - from.y) / length * size * 0.35, (to.x - from.x) / length * size * 0.35);
        for end in [from, to] {
            self.line(
                Point::new(end.x - across.x, end.y - across.y),
                Point::new(end.x + across.x, end.y + across.y),
                &style,
            );
        }
        let middle = Point::new(f64::midpoint(from.x, to.x), f64::midpoint(from.y, to.y));
        let upright = (to.y - from.y).abs() > (to.x - from.x).abs();
        // "Above" is towards the top of the paper whichever way y runs.
        let up = if self.flip.is_some() { 1.0 } else { -1.0 };
        if upright {
            self.turned_text(
                Point::new(middle.x - size * 0.4, middle.y),
                Anchor::Middle,
                size,
                palette::SOFT,
                90.0,
                label,
            );
        } else {
            self.text(Point::new(middle.x, middle.y + up * size * 0.4), Anchor::Middle, size, palette::SOFT, label);
        }
    }

    /// Opens a named group, so that a reader can switch it on and off; close it with [`Svg::end_group`].
    pub fn begin_group(&mut self, class: &str, title: &str) {
        let _ = writeln!(self.body, "<g class=\"{}\"><title>{}</title>", escaped(class), escaped(title));
    }

    /// Closes the group opened last.
    pub fn end_group(&mut self) {
        self.body.push_str("</g>\n");
    }

    /// Puts a PNG, already encoded as base64, into an upright rectangle.
    pub fn png(&mut self, a: Point, b: Point, base64: &str, description: &str) {
        let (a, b) = (self.placed(a), self.placed(b));
        let _ = writeln!(
            self.body,
            "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" \
             href=\"data:image/png;base64,{base64}\"><title>{}</title></image>",
            number(a.x.min(b.x)),
            number(a.y.min(b.y)),
            number((a.x - b.x).abs()),
            number((a.y - b.y).abs()),
            escaped(description)
        );
    }

    /// What follows is seen within this rectangle only, up to [`Self::end_clip`]. One a picture.
    pub fn begin_clip(&mut self, a: Point, b: Point) {
        let (a, b) = (self.placed(a), self.placed(b));
        let _ = writeln!(
            self.body,
            "<clipPath id=\"seen\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath><g clip-path=\"url(#seen)\">",
            number(a.x.min(b.x)),
            number(a.y.min(b.y)),
            number((a.x - b.x).abs()),
            number((a.y - b.y).abs()),
        );
    }

    /// Ends what [`Self::begin_clip`] began.
    pub fn end_clip(&mut self) {
        self.end_group();
    }

    /// Definitions and shapes written by this room's own modules; never text from outside.
    pub(crate) fn raw(&mut self, markup: &str) {
        self.body.push_str(markup);
    }

    /// The finished picture.
    pub fn finish(self) -> String {
        let size = self
            .shown
            .map(|(w, h)| format!(" width=\"{}mm\" height=\"{}mm\"", number(w), number(h)))
            .unwrap_or_default();
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\"{size} role=\"img\" \
             font-family=\"Atkinson Hyperlegible Next, sans-serif\" stroke-linejoin=\"round\" stroke-linecap=\"round\">\n\
             <title>{}</title>\n<desc>{}</desc>\n{}</svg>\n",
            number(self.width),
            number(self.height),
            escaped(&self.title),
            escaped(&self.description),
            self.body
        )
    }

    fn placed(&self, p: Point) -> Point {
        match self.flip {
            Some(height) => Point::new(p.x, height - p.y),
            None => p,
        }
    }

    fn path_data(&self, points: &[Point], closed: bool) -> String {
        let mut data = String::with_capacity(points.len() * 12);
        for (at, p) in points.iter().enumerate() {
            let p = self.placed(*p);
            let _ = write!(data, "{}{} {}", if at == 0 { 'M' } else { 'L' }, number(p.x), number(p.y));
        }
        if closed {
            data.push('Z');
        }
        data
    }
}

/// At most three decimals, no trailing zeros, never "-0".
pub(crate) fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn attributes(style: &Style<'_>) -> String {
    let mut text = format!(" fill=\"{}\"", style.fill);
    if style.stroke != "none" {
        let _ = write!(text, " stroke=\"{}\" stroke-width=\"{}\"", style.stroke, number(style.width));
    }
    if !style.dash.is_empty() {
        let dash: Vec<String> = style.dash.iter().map(|d| number(*d)).collect();
        let _ = write!(text, " stroke-dasharray=\"{}\"", dash.join(" "));
    }
    if style.opacity < 1.0 {
        let _ = write!(text, " opacity=\"{}\"", number(style.opacity));
    }
    text
}

/// Markup characters written out and control characters, which XML forbids, left out.
pub(crate) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            c if c.is_control() || c == '\u{FFFE}' || c == '\u{FFFF}' => {}
            c => safe.push(c),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The five characters of the XML 1.0 recommendation, section 2.4, and the
    /// control characters its section 2.2 leaves out.
    #[test]
    fn names_cannot_break_out_of_the_picture() {
        let mut picture = Svg::new(10.0, 10.0, "a<b>&\"c'\u{1}", "");
        picture.text(Point::new(1.0, 1.0), Anchor::Start, 3.0, palette::INK, "</text><script>");
        let text = picture.finish();
        assert!(text.contains("a&lt;b&gt;&amp;&quot;c&#39;</title>"));
        assert!(!text.contains("<script>"));
    }

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        assert_eq!(number(-0.000_01), "0");
        assert_eq!(number(25.400), "25.4");
        assert_eq!(number(f64::NAN), "0");
    }
}
