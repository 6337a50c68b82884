//! The map of a sheet as picture and list, with the straight cuts for sheets cut by hand.

use super::Sheet;
use crate::refusal::Refusal;
use crate::safe_folder::SafeFolder;
use drawing::{Anchor, Style, Svg, palette};
use geometry::{Bounds, Point};
use sheets::{HandCuts, MapEntry, PrintSheet, SheetMap, hand_cuts, sheet_map};
use std::fmt::Write as _;
use trade::Way;

/// Lanes narrower than this cannot be cut straight by hand, mm (common practice, no source).
const LEAST_LANE_MM: f64 = 2.0;
/// Room round the sheet in the picture, mm of film.
const AROUND_MM: f64 = 16.0;

impl Sheet<'_> {
    /// Picture and list of where everything lies; where the sheet is cut apart by hand, in which order.
    pub(super) fn write_map(&self, name: &str, sheet: &PrintSheet<'_>, folder: &mut SafeFolder) -> Result<(), Refusal> {
        let mut map = sheet_map(sheet);
        self.show_films(&mut map, sheet);
        let by_hand = self.item.trim.is_some() && self.transfer().way != Way::CutInShop;
        let cuts = by_hand.then(|| straight_cuts(&map));
        folder.write(&format!("maps/{name}.csv"), self.list(&map, sheet).as_bytes())?;
        folder.write(&format!("maps/{name}.svg"), picture(name, &map, cuts.as_ref()).as_bytes())?;
        match cuts {
            Some(cuts) => folder.write(&format!("maps/{name}-cuts.csv"), cut_list(&cuts).as_bytes()),
            None => Ok(()),
        }
    }

    /// Where a piece is one film of its print, the map shows that film.
    fn show_films(&self, map: &mut SheetMap, sheet: &PrintSheet<'_>) {
        let on_sheet = geometry::Pose::at(sheet.margin_mm, sheet.margin_mm);
        for entry in &mut map.entries {
            let piece = sheet.pieces.get(entry.piece).filter(|piece| self.film_of(piece).is_some());
            let Some(cut) = piece.and_then(|piece| self.cut_piece(piece)) else { continue };
            entry.region = on_sheet.region(&cut.region);
            entry.bounds = entry.region.bounds().unwrap_or(entry.bounds);
            entry.label = cut.label;
        }
    }

    fn list(&self, map: &SheetMap, sheet: &PrintSheet<'_>) -> String {
        let mut text =
            String::from("number,customer,order,line,print,art,label,spare,across_mm,along_mm,width_mm,length_mm\r\n");
        let pieces = &self.pool.layout.sheets[self.at].pieces;
        for entry in &map.entries {
            let b = entry.bounds;
            let said = sheet.pieces.get(entry.piece);
            let design = said.and_then(|piece| self.whose(pieces.get(piece.id)?));
            let order = design.as_ref().and_then(|of| self.orders.get(of.order));
            let wish = design.as_ref().and_then(|of| order?.lines.get(of.line)?.prints.get(of.print));
            let (line, print) = design.as_ref().map_or((0, 0), |of| (of.line + 1, of.print + 1));
            let _ = write!(
                text,
                "{},{},{},{},{},{},{},{},{:.1},{:.1},{:.1},{:.1}\r\n",
                entry.number,
                quoted(order.map_or("", |order| &order.customer)),
                quoted(order.map_or("", |order| &order.name)),
                line,
                print,
                quoted(wish.map_or("", |wish| &wish.art)),
                quoted(&entry.label),
                if entry.spare { "yes" } else { "no" },
                b.min.y,
                b.min.x,
                b.height(),
                b.width(),
            );
        }
        text
    }
}

/// A text in a list: quoted, and never a formula to the program that opens it.
fn quoted(text: &str) -> String {
    let plain: String = text.chars().filter(|c| !c.is_control()).collect();
    let guard = if plain.starts_with(['=', '+', '-', '@']) { "'" } else { "" };
    format!("\"{guard}{}\"", plain.replace('"', "\"\""))
}

fn straight_cuts(map: &SheetMap) -> HandCuts {
    let film = Bounds { min: Point::default(), max: Point::new(map.length_mm, map.width_mm) };
    let pieces: Vec<Vec<Point>> = map.entries.iter().map(ground).collect();
    hand_cuts(film, &pieces, LEAST_LANE_MM)
}

/// What a piece takes of the sheet: a label goes with its piece.
fn ground(entry: &MapEntry) -> Vec<Point> {
    let corners = |b: Bounds| [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)];
    let label = entry.label_bounds.map(corners).into_iter().flatten();
    entry.region.outlines.iter().flat_map(geometry::Outline::outer).copied().chain(label).collect()
}

fn cut_list(cuts: &HandCuts) -> String {
    let mut text = String::from("cut,from_across_mm,from_along_mm,to_across_mm,to_along_mm,lane_mm\r\n");
    for (at, cut) in cuts.cuts.iter().enumerate() {
        let (a, b) = (cut.from, cut.to);
        let _ = write!(text, "{},{:.1},{:.1},{:.1},{:.1},{:.1}\r\n", at + 1, a.y, a.x, b.y, b.x, cut.lane_mm);
    }
    text
}

/// The sheet as it stands in its print file: along the film downward, across it to the right.
fn picture(name: &str, map: &SheetMap, cuts: Option<&HandCuts>) -> String {
    let (w, h) = (map.width_mm + 2.0 * AROUND_MM, map.length_mm + 2.0 * AROUND_MM);
    let letter = (map.width_mm / 40.0).clamp(4.0, 12.0);
    let shown = |p: Point| Point::new(p.y + AROUND_MM, p.x + AROUND_MM);
    let title = format!("Sheet map {name}, {}", map.reading.tag());
    let said: Vec<String> =
        map.counts.iter().map(|c| format!("{}: {} and {} spare", c.label, c.ordered, c.spares)).collect();
    let mut svg = Svg::new(w, h, &title, &said.join("; "));
    svg.rectangle(Point::default(), Point::new(w, h), 0.0, &Style::fill(palette::CARD));
    svg.text(Point::new(AROUND_MM, AROUND_MM * 0.6), Anchor::Start, letter.min(AROUND_MM * 0.5), palette::INK, &title);
    let corners = [Point::default(), Point::new(map.length_mm, map.width_mm)].map(shown);
    svg.rectangle(corners[0], corners[1], 0.0, &Style { fill: palette::GROUND, ..Style::line(palette::INK, 0.4) });
    for entry in &map.entries {
        draw_entry(&mut svg, entry, letter, &shown);
    }
    for (at, cut) in cuts.map_or(&[][..], |cuts| &cuts.cuts).iter().enumerate() {
        let (a, b) = (shown(cut.from), shown(cut.to));
        svg.line(a, b, &Style::line(palette::ACCENT, letter * 0.12).dashed(&[letter * 0.6, letter * 0.35]));
        let (mark, anchor) = cut_mark(a, b, letter);
        svg.text(mark, anchor, letter * 0.8, palette::ACCENT, &(at + 1).to_string());
    }
    svg.finish()
}

/// A cut's number beside the end it begins at.
fn cut_mark(a: Point, b: Point, letter: f64) -> (Point, Anchor) {
    if (a.y - b.y).abs() < (a.x - b.x).abs() {
        (Point::new(a.x + letter * 0.2, a.y - letter * 0.25), Anchor::Start)
    } else {
        (Point::new(a.x + letter * 0.25, a.y + letter), Anchor::Start)
    }
}

fn draw_entry(svg: &mut Svg, entry: &MapEntry, letter: f64, shown: &impl Fn(Point) -> Point) {
    let fill = if entry.spare { palette::LINE } else { palette::CARD };
    for outline in &entry.region.outlines {
        let rings: Vec<Vec<Point>> = outline.rings().map(|ring| ring.iter().copied().map(shown).collect()).collect();
        for (at, ring) in rings.iter().enumerate() {
            let fill = if at == 0 { fill } else { palette::GROUND };
            svg.polygon(ring, &Style { fill, ..Style::line(palette::INK, 0.3) });
        }
    }
    let middle = shown(entry.bounds.centre());
    let number = entry.number.to_string();
    // A disc under the number keeps it readable on any piece.
    let wide = letter * (0.45 + 0.28 * number.len() as f64);
    svg.circle(middle, wide, &Style { fill: palette::CARD, ..Style::line(palette::SOFT, 0.2) });
    svg.text(Point::new(middle.x, middle.y + letter * 0.35), Anchor::Middle, letter, palette::INK, &number);
}
