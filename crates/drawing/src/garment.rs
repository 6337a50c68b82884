//! Garment flats: thin ink lines, seams dashed, the platen a soft grey field, art
//! at true scale in its place, measures as dimension lines.
//!
//! One picture unit is one millimetre. Layers are groups a reader can switch:
//! `garment`, `obstacles`, `platen`, `art`, `measures`.

use crate::svg::{Anchor, Style, Svg, palette};
use garment::{LineKind, Panel, PanelShape, Placed, PlatenPlace, TapeMeasure, Template, Trim};
use geometry::{Bounds, Outline, Point, Region};

/// How art is shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ArtImage<'a> {
    /// A PNG as base64, covering the whole art.
    Png(&'a str),
    /// Coloured regions in the art's frame (mm, origin lower left, y up), drawn in order.
    Shapes(&'a [(Region, [u8; 3])]),
}

/// A print on the garment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrintOn<'a> {
    /// Its place.
    pub placed: &'a Placed,
    /// Its look.
    pub image: ArtImage<'a>,
    /// Its name, for a screen reader.
    pub name: &'a str,
}

/// A tape measure with its words ("76 mm from the collar seam").
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Labelled<'a> {
    /// The measure.
    pub measure: &'a TapeMeasure,
    /// What is written beside it.
    pub label: &'a str,
}

/// A picture of one panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GarmentPicture<'a> {
    /// Name of the picture.
    pub title: &'a str,
    /// What it shows, for a screen reader.
    pub description: &'a str,
    /// The panel.
    pub shape: &'a PanelShape,
    /// Colour of the cloth; `None`: paper.
    pub cloth: Option<[u8; 3]>,
    /// Prints on this panel.
    pub prints: &'a [PrintOn<'a>],
    /// Where the platen lies.
    pub platen: Option<&'a PlatenPlace>,
    /// Where the pillow lies.
    pub pillow: Option<&'a Bounds>,
    /// Measures to draw.
    pub measures: &'a [Labelled<'a>],
    /// "wearer's left" in the reader's language.
    pub wearers_left: &'a str,
    /// Whether what is sewn on is hatched as the press sees it.
    pub obstacles: bool,
}

/// The picture as SVG text.
pub fn garment_picture(picture: &GarmentPicture<'_>) -> String {
    let canvas = Canvas::over(picture);
    let mut svg = Svg::new(canvas.frame.width(), canvas.frame.height(), picture.title, picture.description).flipped();
    draw_garment(&mut svg, &canvas, picture);
    if picture.obstacles {
        draw_obstacles(&mut svg, &canvas, picture.shape);
    }
    draw_platen(&mut svg, &canvas, picture);
    svg.begin_group("art", "Art");
    for print in picture.prints {
        draw_print(&mut svg, &canvas, print);
    }
    svg.end_group();
    draw_measures(&mut svg, &canvas, picture);
    svg.finish()
}

/// Where the picture lies and how thick its lines are.
struct Canvas {
    frame: Bounds,
    /// Thickness of a thin line, mm.
    line: f64,
    /// Size of type, mm.
    type_mm: f64,
}

impl Canvas {
    fn over(picture: &GarmentPicture<'_>) -> Self {
        let shape = picture.shape;
        let parts = shape.beside.iter().map(|b| b.outline.bounds());
        let trims = shape.trims.iter().filter_map(|t| Bounds::around(&t.points));
        let platen = picture.platen.map(|p| p.bounds);
        let lines = picture.measures.iter().filter_map(|m| Bounds::around(&[m.measure.line.0, m.measure.line.1]));
        let all = parts.chain(trims).chain(platen).chain(lines).fold(shape.outline.bounds(), |sum, b| sum.joined(&b));
        let type_mm = (all.height().max(all.width()) / 34.0).clamp(3.0, 28.0);
        Self { frame: all.grown(type_mm * 2.2), line: type_mm / 14.0, type_mm }
    }

    /// A point of the panel in the picture (y up).
    fn at(&self, p: Point) -> Point {
        Point::new(p.x - self.frame.min.x, p.y - self.frame.min.y)
    }

    fn points(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|p| self.at(*p)).collect()
    }

    fn region(&self, region: &Region) -> Region {
        region.map(|p| self.at(p))
    }

    fn outline(&self, outline: &Outline) -> Option<Outline> {
        outline.map(|p| self.at(p)).ok()
    }
}

/// Cloth and the ink that shows on it.
struct Look {
    fill: String,
    shade: String,
    ink: &'static str,
    faint: &'static str,
}

/// Relative luminance below which lines are drawn light (WCAG 2: L of sRGB; the
/// contrast of light and dark ink is equal near 0.18).
const DARK_BELOW: f64 = 0.18;

fn look(cloth: Option<[u8; 3]>) -> Look {
    let Some([r, g, b]) = cloth else {
        return Look {
            fill: palette::CARD.to_owned(),
            shade: palette::GROUND.to_owned(),
            ink: palette::INK,
            faint: palette::SOFT,
        };
    };
    let dark = luminance([r, g, b]) < DARK_BELOW;
    let darker = |v: u8| (u16::from(v) * 9 / 10) as u8;
    Look {
        fill: hex([r, g, b]),
        shade: hex([darker(r), darker(g), darker(b)]),
        ink: if dark { "#F2EEE6" } else { palette::INK },
        faint: if dark { "#C9C4BA" } else { palette::SOFT },
    }
}

/// Relative luminance of sRGB (IEC 61966-2-1), the power of 2.4 by 2.2 near enough
/// for a choice of two inks.
fn luminance(rgb: [u8; 3]) -> f64 {
    let linear = |v: u8| {
        let x = f64::from(v) / 255.0;
        // x^2.2 ≈ 0.8 x² + 0.2 x³ within 0.01, and the same on every machine.
        0.8 * x * x + 0.2 * x * x * x
    };
    let [r, g, b] = rgb.map(linear);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn hex([r, g, b]: [u8; 3]) -> String {
    format!("#{r:02X}{g:02X}{b:02X}")
}

fn draw_garment(svg: &mut Svg, canvas: &Canvas, picture: &GarmentPicture<'_>) {
    let look = look(picture.cloth);
    let shape = picture.shape;
    svg.begin_group("garment", picture.title);
    let edge = |fill| Style { fill, stroke: palette::INK, width: canvas.line * 1.3, dash: &[], opacity: 1.0 };
    for beside in shape.beside.iter().filter(|b| b.behind) {
        if let Some(outline) = canvas.outline(&beside.outline) {
            svg.outline(&outline, &edge(&look.shade));
        }
    }
    if let Some(outline) = canvas.outline(&shape.outline) {
        svg.outline(&outline, &edge(&look.fill));
    }
    // What lies on the panel shows its edge in the ink that reads on this cloth.
    let upon = Style { fill: &look.fill, ..Style::line(look.ink, canvas.line) };
    for beside in shape.beside.iter().filter(|b| !b.behind) {
        if let Some(outline) = canvas.outline(&beside.outline) {
            svg.outline(&outline, &upon);
        }
    }
    for trim in &shape.trims {
        draw_trim(svg, canvas, trim, &look);
    }
    svg.end_group();
}

fn draw_trim(svg: &mut Svg, canvas: &Canvas, trim: &Trim, look: &Look) {
    let points = canvas.points(&trim.points);
    let thin = canvas.line;
    let (long, short) = (thin * 5.0, thin * 3.0);
    let seam = [long, short];
    let stitch = [thin * 2.5, thin * 2.5];
    let style = match trim.kind {
        LineKind::Edge => Style::line(look.ink, thin * 1.3),
        LineKind::Seam => Style::line(look.ink, thin).dashed(&seam),
        LineKind::Stitch => Style::line(look.faint, thin * 0.8).dashed(&stitch),
        LineKind::Fold => Style::line(look.faint, thin * 0.6),
        LineKind::Rib => Style::line(look.faint, thin * 0.7),
        LineKind::Cord => Style::line(look.ink, thin * 3.2),
        LineKind::Fastener => Style::line(look.ink, thin),
        LineKind::Zip => return draw_zip(svg, canvas, &points, look),
    };
    if trim.closed {
        svg.polygon(&points, &style);
    } else {
        svg.polyline(&points, &style);
    }
    if trim.kind == LineKind::Cord {
        // A light core makes the cord a tube.
        svg.polyline(&points, &Style::line(&look.fill, thin * 1.6));
    }
}

/// Teeth of both tapes, meeting in the middle, and the slider at the top.
fn draw_zip(svg: &mut Svg, canvas: &Canvas, points: &[Point], look: &Look) {
    let (Some(top), Some(end)) = (points.first(), points.last()) else { return };
    let pitch = canvas.type_mm * 0.28;
    let reach = canvas.type_mm * 0.22;
    let long = top.distance(*end);
    let count = (long / pitch).floor().clamp(0.0, 400.0) as u32;
    let style = Style::line(look.ink, canvas.line);
    svg.line(*top, *end, &style);
    for tooth in 0..count {
        let t = f64::from(tooth) * pitch / long;
        let p = Point::new(top.x + (end.x - top.x) * t, top.y + (end.y - top.y) * t);
        let side = if tooth % 2 == 0 { reach } else { -reach };
        svg.line(p, Point::new(p.x + side, p.y), &style);
    }
    let (a, b) = (Point::new(top.x - reach, top.y), Point::new(top.x + reach, top.y - reach * 4.0));
    svg.rectangle(a, b, reach * 0.5, &Style { fill: &look.fill, ..Style::line(look.ink, canvas.line) });
}

fn draw_obstacles(svg: &mut Svg, canvas: &Canvas, shape: &PanelShape) {
    svg.begin_group("obstacles", "Sewn on");
    for obstacle in &shape.obstacles {
        let colour = if obstacle.movable { palette::ASK } else { palette::WATCH };
        svg.region(&canvas.region(&obstacle.shape), &Style::fill(colour).faint(0.22));
    }
    svg.end_group();
}

fn draw_platen(svg: &mut Svg, canvas: &Canvas, picture: &GarmentPicture<'_>) {
    let Some(place) = picture.platen else { return };
    svg.begin_group("platen", "Platen");
    let field = Style::fill(palette::SOFT).faint(0.18);
    let dash = [canvas.line * 8.0, canvas.line * 4.0];
    let edge = Style::line(palette::SOFT, canvas.line).dashed(&dash);
    for style in [field, edge] {
        if place.round {
            svg.circle(canvas.at(place.bounds.centre()), place.bounds.width() / 2.0, &style);
        } else {
            svg.rectangle(canvas.at(place.bounds.min), canvas.at(place.bounds.max), canvas.type_mm * 0.5, &style);
        }
    }
    if let Some(pillow) = picture.pillow {
        let style = Style { fill: palette::CARD, opacity: 0.5, ..Style::line(palette::SOFT, canvas.line) };
        svg.rectangle(canvas.at(pillow.min), canvas.at(pillow.max), canvas.type_mm * 0.8, &style);
    }
    svg.end_group();
}

fn draw_print(svg: &mut Svg, canvas: &Canvas, print: &PrintOn<'_>) {
    let b = print.placed.bounds;
    match print.image {
        ArtImage::Shapes(parts) => {
            for (region, rgb) in parts {
                let placed = print.placed.frame.region(region);
                svg.region(&canvas.region(&placed), &Style::fill(&hex(*rgb)));
            }
        }
        ArtImage::Png(base64) if print.placed.frame.turn_deg == 0.0 => {
            svg.png(canvas.at(b.min), canvas.at(b.max), base64, print.name);
        }
        ArtImage::Png(base64) => turned_png(svg, canvas, print, base64),
    }
    let dash = [canvas.line * 2.0, canvas.line * 3.0];
    svg.rectangle(
        canvas.at(b.min),
        canvas.at(b.max),
        0.0,
        &Style::line(palette::ACCENT, canvas.line * 0.7).dashed(&dash),
    );
}

/// A picture that lies along an arm: turned about its own lower left corner.
fn turned_png(svg: &mut Svg, canvas: &Canvas, print: &PrintOn<'_>, base64: &str) {
    let frame = print.placed.frame;
    let corner = canvas.at(frame.shift);
    let (w, h) = (print.placed.bounds.height(), print.placed.bounds.width());
    let down = svg.height() - corner.y;
    svg.raw(&format!("<g transform=\"rotate({:.3} {:.3} {:.3})\">\n", -frame.turn_deg, corner.x, down));
    svg.png(corner, Point::new(corner.x + w, corner.y + h), base64, print.name);
    svg.end_group();
}

fn draw_measures(svg: &mut Svg, canvas: &Canvas, picture: &GarmentPicture<'_>) {
    svg.begin_group("measures", "Measures");
    for Labelled { measure, label } in picture.measures {
        // A length of nothing has no line: the art lies on the landmark.
        if measure.length.mm() >= 1.0 {
            draw_dimension(svg, canvas, measure, label);
        }
    }
    left_label(svg, canvas, picture);
    svg.end_group();
}

/// The dimension line with a pale ground under its label, so that it reads on any cloth.
fn draw_dimension(svg: &mut Svg, canvas: &Canvas, measure: &TapeMeasure, label: &str) {
    let (a, b) = (canvas.at(measure.line.0), canvas.at(measure.line.1));
    let mark = canvas.at(measure.landmark);
    if mark.distance(a) > 1.0 {
        let dots = [canvas.line, canvas.line * 3.0];
        svg.line(mark, a, &Style::line(palette::SOFT, canvas.line).dashed(&dots));
    }
    let halo = Style::line(palette::CARD, canvas.line * 4.0).faint(0.8);
    svg.line(a, b, &halo);
    let size = canvas.type_mm * 0.8;
    let style = Style::line(palette::INK, canvas.line);
    svg.line(a, b, &style);
    let long = a.distance(b).max(1e-6);
    let tick = size * 0.35;
    let across = Point::new(-(b.y - a.y) / long * tick, (b.x - a.x) / long * tick);
    for end in [a, b] {
        svg.line(
            Point::new(end.x - across.x, end.y - across.y),
            Point::new(end.x + across.x, end.y + across.y),
            &style,
        );
    }
    let wide = label.chars().count() as f64 * size * 0.62;
    let middle = Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
    let upright = (b.y - a.y).abs() > (b.x - a.x).abs();
    let (x, y) = if upright {
        (middle.x + size * 0.6, middle.y - size * 0.35)
    } else {
        (middle.x - wide / 2.0, a.y.max(b.y) + size * 0.5)
    };
    let (low, high) = (Point::new(x - size * 0.2, y - size * 0.3), Point::new(x + wide + size * 0.2, y + size));
    svg.rectangle(low, high, size * 0.25, &Style::fill(palette::CARD).faint(0.85));
    svg.text(Point::new(x, y), Anchor::Start, size, palette::INK, label);
}

/// Says on the picture which side is the wearer's left.
fn left_label(svg: &mut Svg, canvas: &Canvas, picture: &GarmentPicture<'_>) {
    if picture.wearers_left.is_empty() {
        return;
    }
    let b = picture.shape.outline.bounds();
    let low = canvas.frame.min.y + canvas.type_mm * 0.7;
    let (x, anchor) = match picture.shape.panel {
        Panel::Front | Panel::CapFront => (b.max.x, Anchor::End),
        Panel::Back => (b.min.x, Anchor::Start),
        Panel::LeftSleeve | Panel::HoodLeft | Panel::LeftLeg => (b.centre().x, Anchor::Middle),
        _ => return,
    };
    svg.text(canvas.at(Point::new(x, low)), anchor, canvas.type_mm * 0.8, palette::SOFT, picture.wearers_left);
}

/// Words on a template.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TemplateWords<'a> {
    /// Title of the sheet.
    pub title: &'a str,
    /// Said in the art's window: "art 90 × 60 mm".
    pub window: &'a str,
    /// One word for each of the template's lines.
    pub lines: &'a [String],
    /// Said beside the scale bar: "100 mm: measure it before use".
    pub scale: &'a str,
}

/// Length of the bar by which a person checks that the paper came out at true size, mm.
const SCALE_BAR_MM: f64 = 100.0;
/// Unprintable edge of a page, mm.
const PAGE_EDGE_MM: f64 = 6.0;

/// A template at true size, one SVG a page; each is shown at its size in millimetres.
pub fn template_pages(template: &Template, words: &TemplateWords<'_>) -> Vec<String> {
    template.pages.iter().map(|page| template_page(template, page, words)).collect()
}

fn template_page(template: &Template, page: &Bounds, words: &TemplateWords<'_>) -> String {
    let (w, h) = (page.width(), page.height());
    let said = format!("{} · {}", words.title, words.window);
    let mut svg = Svg::new(w, h, words.title, &said).shown_at_mm(w, h).flipped();
    let at = |p: Point| Point::new(p.x - page.min.x, p.y - page.min.y);
    let all = |points: &[Point]| points.iter().map(|p| at(*p)).collect::<Vec<_>>();
    let mut free = Free { page: (w, h), taken: Vec::new(), strokes: Vec::new() };
    for edge in &template.edges {
        let points = all(edge);
        svg.polyline(&points, &Style::line(palette::INK, 0.6));
        free.strokes.push(points);
    }
    for line in &template.lines {
        let points = all(&line.points);
        svg.polyline(&points, &Style::line(palette::SOFT, 0.3).dashed(&[4.0, 2.0]));
        free.strokes.push(points);
    }
    let (low, high) = (at(template.window.min), at(template.window.max));
    svg.rectangle(low, high, 0.0, &Style::line(palette::INK, 0.5));
    free.strokes.push(vec![low, Point::new(high.x, low.y), high, Point::new(low.x, high.y), low]);
    let c = at(template.window.centre());
    for (dx, dy) in [(6.0, 0.0), (0.0, 6.0)] {
        let cross = [Point::new(c.x - dx, c.y - dy), Point::new(c.x + dx, c.y + dy)];
        svg.line(cross[0], cross[1], &Style::line(palette::INK, 0.3));
        free.strokes.push(cross.to_vec());
    }
    draw_scale(&mut svg, &mut free, words.scale);
    // What it is stands in the window where there is room, else beside it, on every page.
    let wide = words.title.chars().count().max(words.window.chars().count());
    let size = ((w - 4.0 * PAGE_EDGE_MM) / (LETTER * wide.max(1) as f64)).clamp(2.0, 5.0);
    let block = (LETTER * size * wide as f64, 2.6 * size);
    let beside = [
        Point::new(c.x - block.0 / 2.0, c.y - 10.0 - block.1),
        Point::new(c.x - block.0 / 2.0, low.y - 3.0 - block.1),
        Point::new(c.x - block.0 / 2.0, high.y + 3.0),
        Point::new(high.x + 3.0, c.y),
        Point::new(low.x - 3.0 - block.0, c.y),
    ];
    let spot = free.take(block, &beside);
    svg.text(Point::new(spot.x, spot.y + 1.5 * size), Anchor::Start, size, palette::INK, words.title);
    svg.text(Point::new(spot.x, spot.y + 0.2 * size), Anchor::Start, size, palette::INK, words.window);
    for (index, line) in template.lines.iter().enumerate() {
        let Some(word) = words.lines.get(index) else { continue };
        let block = (LETTER * 4.0 * word.chars().count() as f64, 4.6);
        // A line that this page does not show has no word on it.
        let Some(spot) = free.find(block, along(&all(&line.points), block)) else { continue };
        svg.text(Point::new(spot.x, spot.y + 0.9), Anchor::Start, 4.0, palette::SOFT, word);
    }
    svg.finish()
}

/// The bar by which the paper's size is checked, in a corner or at an edge where nothing lies.
fn draw_scale(svg: &mut Svg, free: &mut Free, words: &str) {
    let (w, h) = free.page;
    let long = SCALE_BAR_MM.min(w - 2.0 * PAGE_EDGE_MM);
    let said = w - 2.0 * PAGE_EDGE_MM >= SCALE_BAR_MM;
    let wide = if said { long.max(LETTER * 4.0 * words.chars().count() as f64) } else { long };
    let block = (wide.min(w - 2.0 * PAGE_EDGE_MM), if said { 10.0 } else { 5.0 });
    let (left, right) = (PAGE_EDGE_MM, w - PAGE_EDGE_MM - block.0);
    let (foot, top) = (PAGE_EDGE_MM, h - PAGE_EDGE_MM - block.1);
    let spot =
        free.take(block, &[(left, foot), (right, foot), (left, top), (right, top)].map(|(x, y)| Point::new(x, y)));
    let (from, to) = (Point::new(spot.x, spot.y + 2.0), Point::new(spot.x + long, spot.y + 2.0));
    svg.line(from, to, &Style::line(palette::INK, 0.5));
    for end in [from, to] {
        svg.line(Point::new(end.x, end.y - 2.0), Point::new(end.x, end.y + 2.0), &Style::line(palette::INK, 0.5));
    }
    if said {
        svg.text(Point::new(from.x, from.y + 3.5), Anchor::Start, 4.0, palette::INK, words);
    }
}

/// Kept between words and lines, mm.
const CLEAR_MM: f64 = 0.8;
/// Width of a letter as a share of its size, rather more than less.
const LETTER: f64 = 0.56;

/// Places along a line for words of this size, beside it on either side.
fn along(points: &[Point], (wide, tall): (f64, f64)) -> Vec<Point> {
    let mut all = Vec::new();
    for (a, b) in points.iter().zip(points.iter().skip(1)) {
        let level = (b.x - a.x).abs() > (b.y - a.y).abs();
        for step in 0..=20 {
            let t = f64::from(step) / 20.0;
            let p = Point::new(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
            let offsets = if level {
                [(0.0, 1.0), (-wide, 1.0), (0.0, -1.0 - tall), (-wide, -1.0 - tall)]
            } else {
                [(1.5, 0.0), (1.5, -tall), (-1.5 - wide, 0.0), (-1.5 - wide, -tall)]
            };
            all.extend(offsets.map(|(dx, dy)| Point::new(p.x + dx, p.y + dy)));
        }
    }
    all
}

/// What of a page is free for words.
struct Free {
    page: (f64, f64),
    /// Corners of what words take already.
    taken: Vec<(Point, Point)>,
    strokes: Vec<Vec<Point>>,
}

impl Free {
    /// The first of some places where words of this size cross nothing.
    fn find(&mut self, (wide, tall): (f64, f64), places: impl IntoIterator<Item = Point>) -> Option<Point> {
        let spot = places.into_iter().find(|at| self.is_free(*at, (wide, tall)))?;
        self.taken.push((spot, Point::new(spot.x + wide, spot.y + tall)));
        Some(spot)
    }

    /// The same, or any on a raster of the page; where there is none, the first as far as it lies on the page.
    fn take(&mut self, (wide, tall): (f64, f64), places: &[Point]) -> Point {
        let (w, h) = self.page;
        let steps = |from: f64, to: f64| (0..=24).map(move |k| from + (to - from).max(0.0) * f64::from(k) / 24.0);
        let xs = || steps(PAGE_EDGE_MM, w - PAGE_EDGE_MM - wide);
        let raster = steps(PAGE_EDGE_MM, h - PAGE_EDGE_MM - tall).flat_map(|y| xs().map(move |x| Point::new(x, y)));
        let first = places.first().copied().unwrap_or_default();
        let held = Point::new(first.x.clamp(0.0, (w - wide).max(0.0)), first.y.clamp(0.0, (h - tall).max(0.0)));
        self.find((wide, tall), places.iter().copied().chain(raster)).unwrap_or(held)
    }

    fn is_free(&self, at: Point, (wide, tall): (f64, f64)) -> bool {
        let (w, h) = self.page;
        let far = Point::new(at.x + wide, at.y + tall);
        let inside = at.x >= 4.0 && at.y >= 4.0 && far.x <= w - 4.0 && far.y <= h - 4.0;
        let apart =
            self.taken.iter().all(|(low, high)| at.x > high.x || far.x < low.x || at.y > high.y || far.y < low.y);
        // Words do not touch what is drawn.
        let ground = (Point::new(at.x - CLEAR_MM, at.y - CLEAR_MM), Point::new(far.x + CLEAR_MM, far.y + CLEAR_MM));
        let mut pairs = self.strokes.iter().flat_map(|line| line.iter().zip(line.iter().skip(1)));
        inside && apart && !pairs.any(|(a, b)| crosses(ground, (*a, *b)))
    }
}

/// Whether a segment meets an upright rectangle (Liang & Barsky 1984).
fn crosses((low, high): (Point, Point), (a, b): (Point, Point)) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, delta, least, most) in [(a.x, b.x - a.x, low.x, high.x), (a.y, b.y - a.y, low.y, high.y)] {
        if delta == 0.0 {
            if start < least || start > most {
                return false;
            }
            continue;
        }
        let (one, other) = ((least - start) / delta, (most - start) / delta);
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    from <= to
}
