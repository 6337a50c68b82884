//! Pictures of sheets with the pieces laid on them: film edge, margin, pieces
//! with a hairline outline and a small mark, unused area hatched lightly.

use geometry::{Outline, Point};
use nest::{Instance, Layout, Piece, Sheet, Stock, StockKind};

use crate::svg::{Anchor, Style, Svg, palette};

/// The words of a layout picture; this module makes none of its own.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LayoutText {
    /// Name of the picture.
    pub title: String,
    /// What it shows, for those who cannot see it.
    pub description: String,
    /// A caption for each sheet, in order; missing ones stay empty.
    pub captions: Vec<String>,
    /// The small mark on the pieces of each design, by design; missing ones stay empty.
    pub marks: Vec<String>,
    /// Fill colour of the pieces of each design; missing ones are left white.
    pub fills: Vec<String>,
}

/// Space around each sheet, mm of film.
const AROUND_MM: f64 = 14.0;
/// Distance between hatch lines, as a share of the sheet's width.
const HATCH: f64 = 1.0 / 40.0;

/// All sheets of a layout, one below the other, to one scale.
pub fn layout(instance: &Instance, layout: &Layout, text: &LayoutText) -> String {
    let all: Vec<usize> = (0..layout.sheets.len()).collect();
    layout_sheets(instance, layout, &all, text)
}

/// Some sheets of a layout, one below the other, to one scale; unknown numbers are left out.
pub fn layout_sheets(instance: &Instance, layout: &Layout, which: &[usize], text: &LayoutText) -> String {
    let shown: Vec<(usize, &Sheet, &Stock)> = which
        .iter()
        .filter_map(|at| {
            let sheet = layout.sheets.get(*at)?;
            Some((*at, sheet, instance.stock.get(sheet.stock)?))
        })
        .collect();
    let size = |sheet: &Sheet, stock: &Stock| (sheet.charged_length_mm.max(1.0), across(stock));
    let longest = shown.iter().map(|(_, s, k)| size(s, k).0).fold(1.0, f64::max);
    let caption = caption_size(longest);
    let height: f64 = shown.iter().map(|(_, s, k)| size(s, k).1 + AROUND_MM + 1.8 * caption).sum::<f64>() + AROUND_MM;
    let width = longest + 2.0 * AROUND_MM;
    let mut svg = Svg::new(width, height, &text.title, &text.description).flipped();
    let mut top = height - AROUND_MM;
    for (at, sheet, stock) in shown {
        let (length, across) = size(sheet, stock);
        let line = text.captions.get(at).map_or("", String::as_str);
        svg.text(Point::new(AROUND_MM, top - caption), Anchor::Start, caption, palette::INK, line);
        let corner = Point::new(AROUND_MM, top - 1.8 * caption - across);
        draw_sheet(&mut svg, instance, sheet, stock, (corner, length, across), text, line);
        top = corner.y - AROUND_MM;
    }
    svg.finish()
}

/// Longest stretch of a sheet that a page shows in one picture, mm.
const STRETCH_MM: f64 = 1600.0;

/// A sheet in stretches of one length, each short enough to be read across a page: from where to where, mm.
/// A sheet that is not long is one stretch.
pub fn stretches(length_mm: f64) -> Vec<(f64, f64)> {
    // Lengths are at most some hundred metres.
    let count = (length_mm / STRETCH_MM).ceil().clamp(1.0, 10_000.0) as u32;
    let one = length_mm / f64::from(count);
    (0..count).map(|nth| (f64::from(nth) * one, f64::from(nth + 1) * one)).collect()
}

/// One stretch of a sheet of a layout; its caption is that of the sheet. Empty for an unknown number.
pub fn layout_stretch(
    instance: &Instance,
    layout: &Layout,
    at: usize,
    (from, to): (f64, f64),
    text: &LayoutText,
) -> String {
    let sheet = layout.sheets.get(at);
    let Some((sheet, stock)) = sheet.and_then(|sheet| Some((sheet, instance.stock.get(sheet.stock)?))) else {
        return String::new();
    };
    let (length, across) = ((to - from).max(1.0), across(stock));
    let caption = caption_size(length);
    let (width, height) = (length + 2.0 * AROUND_MM, across + 2.0 * AROUND_MM + 1.8 * caption);
    let line = text.captions.get(at).map_or("", String::as_str);
    let mut svg = Svg::new(width, height, &text.title, &text.description).flipped();
    svg.text(Point::new(AROUND_MM, height - AROUND_MM - caption), Anchor::Start, caption, palette::INK, line);
    let window = (Point::new(AROUND_MM, AROUND_MM / 2.0), Point::new(AROUND_MM + length, AROUND_MM + across + 1.0));
    svg.begin_clip(window.0, window.1);
    let corner = Point::new(AROUND_MM - from, AROUND_MM);
    draw_sheet(&mut svg, instance, sheet, stock, (corner, sheet.charged_length_mm.max(1.0), across), text, line);
    svg.end_clip();
    svg.finish()
}

fn across(stock: &Stock) -> f64 {
    match stock.kind {
        StockKind::Sheet { width_mm, .. } | StockKind::Roll { width_mm, .. } => width_mm,
    }
}

fn caption_size(longest: f64) -> f64 {
    (longest / 45.0).clamp(6.0, 60.0)
}

fn draw_sheet(
    svg: &mut Svg,
    instance: &Instance,
    sheet: &Sheet,
    stock: &Stock,
    (corner, length, across): (Point, f64, f64),
    text: &LayoutText,
    caption: &str,
) {
    svg.begin_group("sheet", caption);
    let (low, hair) = hatched_film(svg, stock, (corner, length, across));
    let most = mark_size(svg.width() - 2.0 * AROUND_MM, across);
    for piece in &sheet.pieces {
        draw_piece(svg, instance, piece, low, (hair, most), text);
    }
    svg.end_group();
}

/// The empty film with its edge, its margin and where nothing may lie; answers with the
/// corner of the usable film and the width of a hairline.
pub(crate) fn hatched_film(svg: &mut Svg, stock: &Stock, (corner, length, across): (Point, f64, f64)) -> (Point, f64) {
    let hair = (length.max(across) / 1600.0).max(0.15);
    let far = Point::new(corner.x + length, corner.y + across);
    svg.rectangle(corner, far, 0.0, &Style::fill(palette::CARD));
    let margin = stock.margin_mm;
    let (low, high) = (Point::new(corner.x + margin, corner.y + margin), Point::new(far.x - margin, far.y - margin));
    hatch(svg, low, high, across * HATCH, hair);
    for zone in &stock.forbidden {
        if let Ok(zone) = moved(zone, low) {
            svg.outline(&zone, &Style { fill: palette::LINE, ..Style::line(palette::STOP, hair) });
        }
    }
    if margin > 0.0 {
        svg.rectangle(low, high, 0.0, &Style::line(palette::SOFT, hair).dashed(&[4.0 * hair, 3.0 * hair]));
    }
    svg.rectangle(corner, far, 0.0, &Style::line(palette::INK, 2.0 * hair));
    (low, hair)
}

/// Marks are read on a page some 170 mm wide that gives a sheet half as much height.
fn mark_size(length: f64, across: f64) -> f64 {
    (length.max(1.85 * across) / 50.0).max(8.0)
}

fn draw_piece(
    svg: &mut Svg,
    instance: &Instance,
    piece: &Piece,
    low: Point,
    (hair, most): (f64, f64),
    text: &LayoutText,
) {
    let Some(design) = instance.designs.get(piece.design) else { return };
    let Ok(outline) = piece.pose().outline(&design.outline).and_then(|o| moved(&o, low)) else { return };
    let fill = text.fills.get(piece.design).map_or(palette::CARD, String::as_str);
    // A spare is drawn with a dashed edge, so that it is told apart without colour.
    let dash = [3.0 * hair, 2.0 * hair];
    let edge = Style { fill, ..Style::line(palette::INK, 1.2 * hair) };
    svg.outline(&outline, &if piece.spare { edge.dashed(&dash) } else { edge });
    let mark = text.marks.get(piece.design).map_or("", String::as_str);
    if !mark.is_empty() {
        draw_mark(svg, &outline, mark, most);
    }
}

/// The mark in the middle of the widest stretch of material, so that it never sits in a hole.
fn draw_mark(svg: &mut Svg, outline: &Outline, mark: &str, most: f64) {
    let bounds = outline.bounds();
    let letters = mark.chars().count().max(1) as f64;
    let stretch = |share: f64| widest(outline, bounds.min.y + share * bounds.height());
    let at = [0.5, 0.35, 0.65, 0.2, 0.8].into_iter().map(stretch).reduce(|a, b| if b.2 > a.2 * 1.2 { b } else { a });
    let Some((x, _, wide)) = at.filter(|(_, _, wide)| *wide > 0.0) else { return };
    // The material may be low there, as along the rim of a ring: the mark is centred in it.
    let Ok(turned) = outline.map(|p| Point::new(p.y, p.x)) else { return };
    let (y, _, tall) = widest(&turned, x);
    let wide = wide.min(widest(outline, y).2);
    let size = (wide * 0.8 / (0.6 * letters)).min(tall * 0.6).min(most);
    if size >= 1.2 {
        svg.text(Point::new(x, y - size * 0.35), Anchor::Middle, size, palette::SOFT, mark);
    }
}

/// The middle and the width of the widest stretch of the outline at a height.
fn widest(outline: &Outline, y: f64) -> (f64, f64, f64) {
    let mut cuts: Vec<f64> = Vec::new();
    for ring in outline.rings() {
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            if (a.y > y) != (b.y > y) {
                cuts.push(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    cuts.chunks_exact(2)
        .map(|pair| (f64::midpoint(pair[0], pair[1]), y, pair[1] - pair[0]))
        .fold((0.0, y, 0.0), |best, one| if one.2 > best.2 { one } else { best })
}

/// Slanted hairlines within a rectangle.
fn hatch(svg: &mut Svg, low: Point, high: Point, step: f64, hair: f64) {
    let (wide, tall) = (high.x - low.x, high.y - low.y);
    if wide <= 0.0 || tall <= 0.0 || step <= 0.0 {
        return;
    }
    // No more lines than a person could tell apart, however long the roll.
    let step = step.max((wide + tall) / 1500.0);
    let style = Style::line(palette::LINE, hair);
    let mut at = step;
    while at < wide + tall {
        // From the left or upper edge down to the lower or right edge, at 45°.
        let from = if at <= tall { Point::new(low.x, low.y + at) } else { Point::new(low.x + at - tall, high.y) };
        let to = if at <= wide { Point::new(low.x + at, low.y) } else { Point::new(high.x, low.y + at - wide) };
        svg.line(from, to, &style);
        at += step;
    }
}

fn moved(outline: &Outline, by: Point) -> Result<Outline, geometry::OutlineError> {
    outline.map(|p| Point::new(p.x + by.x, p.y + by.y))
}

#[cfg(test)]
mod tests {
    use super::*;
    use nest::{Design, Stock};

    /// Plain geometry: a frame on a sheet; its mark lies in the material, not in its hole.
    #[test]
    fn a_mark_lies_in_the_material() {
        let square = |a: f64, b: f64| vec![Point::new(a, a), Point::new(b, a), Point::new(b, b), Point::new(a, b)];
        let frame = Outline::new(square(0.0, 40.0), vec![square(10.0, 34.0)]).expect("an outline");
        let best = [0.5, 0.35, 0.65, 0.2, 0.8].map(|s| widest(&frame, s * 40.0));
        assert!(best.iter().all(|(x, y, _)| frame.contains(Point::new(*x, *y))));
        let kind = StockKind::Sheet { width_mm: 100.0, length_mm: 120.0, price: 100, count: None };
        let instance = Instance {
            spacing_mm: 2.0,
            designs: vec![Design::new("frame", 1, frame)],
            stock: vec![Stock { margin_mm: 5.0, ..Stock::new("sheet", kind) }],
            locked: Vec::new(),
        };
        let piece =
            Piece { design: 0, copy: 0, x_mm: 0.0, y_mm: 0.0, rotation_deg: 0.0, mirrored: false, spare: false };
        let sheet = Sheet { stock: 0, used_length_mm: 40.0, charged_length_mm: 120.0, price: 100, pieces: vec![piece] };
        let one = Layout { cost: 100, lower_bound: 100, complete: true, sheets: vec![sheet], unplaced: Vec::new() };
        let text = LayoutText {
            title: "Sheet".into(),
            captions: vec!["A < B".into()],
            marks: vec!["7".into()],
            ..LayoutText::default()
        };
        let picture = layout(&instance, &one, &text);
        assert!(picture.starts_with("<svg") && picture.contains("A &lt; B") && picture.contains(">7<"));
        assert_eq!(picture, layout(&instance, &one, &text));
    }
}
