//! One sheet as it lies on the table, its pieces to be picked and moved by hand.
//!
//! Lengths of the picture are millimetres of film. Each piece is a group that
//! says where it lies in `data-` attributes, for the page's script; without a
//! script it is a picture like any other.

use crate::layout::hatched_film;
use crate::svg::{Style, Svg, escaped, number, palette};
use geometry::{Outline, Point};
use nest::{Instance, Layout, Piece, StockKind};
use std::fmt::Write as _;

/// A piece as a person may pick it.
#[derive(Debug, Clone, PartialEq)]
pub struct Handled<'a> {
    /// What it is called.
    pub name: &'a str,
    /// Whether it stays where it lies.
    pub locked: bool,
    /// From the film's edges to the piece along and across, mm.
    pub from_edges: (f64, f64),
    /// The picture of its art, by address, with the art's width and height in mm.
    pub image: Option<(&'a str, f64, f64)>,
}

/// A piece of film, a little darker than paper.
const PIECE: &str = "#E4DED2";
/// Space around the film, mm.
const AROUND_MM: f64 = 6.0;

/// The sheet at `at` of a layout; `None` when there is none. `pieces` are those of
/// the sheet in its order; what is missing there is drawn without a handle.
pub fn sheet_to_handle(
    instance: &Instance,
    layout: &Layout,
    at: usize,
    (title, description): (&str, &str),
    pieces: &[Handled<'_>],
) -> Option<String> {
    let sheet = layout.sheets.get(at)?;
    let stock = instance.stock.get(sheet.stock)?;
    let length = sheet.charged_length_mm.max(1.0);
    let (StockKind::Sheet { width_mm: across, .. } | StockKind::Roll { width_mm: across, .. }) = stock.kind;
    let height = across + 2.0 * AROUND_MM;
    let mut svg = Svg::new(length + 2.0 * AROUND_MM, height, title, description).flipped();
    let corner = Point::new(AROUND_MM, AROUND_MM);
    hatched_film(&mut svg, stock, (corner, length, across));
    let low = Point::new(corner.x + stock.margin_mm, corner.y + stock.margin_mm);
    let hair = (length.max(across) / 1600.0).max(0.15);
    svg.raw(&shapes(instance, sheet.pieces.iter().map(|piece| piece.design)));
    for (nth, piece) in sheet.pieces.iter().enumerate() {
        svg.raw(&handled(instance, (nth, piece), pieces.get(nth), low, height, hair));
    }
    Some(svg.finish())
}

/// Each design's outline once, with y down from its origin.
fn shapes(instance: &Instance, designs: impl Iterator<Item = usize>) -> String {
    let mut used: Vec<usize> = designs.collect();
    used.sort_unstable();
    used.dedup();
    let mut text = String::from("<defs>\n");
    for at in used {
        let Some(design) = instance.designs.get(at) else { continue };
        let _ = writeln!(text, "<path id=\"shape-{at}\" fill-rule=\"evenodd\" d=\"{}\"/>", path(&design.outline));
    }
    text.push_str("</defs>\n");
    text
}

fn path(outline: &Outline) -> String {
    let mut data = String::new();
    for ring in outline.rings() {
        for (at, p) in ring.iter().enumerate() {
            let _ = write!(data, "{}{} {}", if at == 0 { 'M' } else { 'L' }, number(p.x), number(-p.y));
        }
        data.push('Z');
    }
    data
}

fn handled(
    instance: &Instance,
    (nth, piece): (usize, &Piece),
    of: Option<&Handled<'_>>,
    low: Point,
    height: f64,
    hair: f64,
) -> String {
    let (Some(design), pose) = (instance.designs.get(piece.design), piece.pose()) else { return String::new() };
    let Ok(lies) = pose.outline(&design.outline) else { return String::new() };
    let bounds = lies.bounds();
    let across = pose.shift;
    let mut text = String::new();
    let locked = of.is_some_and(|of| of.locked);
    let (along, up) = of.map_or((0.0, 0.0), |of| of.from_edges);
    let name = of.map_or("", |of| of.name);
    let _ = write!(
        text,
        "<g class=\"piece{}\" data-piece=\"{nth}\" data-along=\"{}\" data-across=\"{}\" data-wide=\"{}\" \
         data-high=\"{}\" data-turn=\"{}\" data-name=\"{}\"><title>{}</title>",
        if locked { " locked" } else { "" },
        number(along),
        number(up),
        number(bounds.width()),
        number(bounds.height()),
        number(piece.rotation_deg.rem_euclid(360.0)),
        escaped(name),
        escaped(name)
    );
    // Quarter turns have exact sines, so that edges stay upright.
    let origin = pose.apply(Point::new(0.0, 0.0));
    let along_x = pose.apply(Point::new(1.0, 0.0));
    let along_y = pose.apply(Point::new(0.0, 1.0));
    let (a, b) = (along_x.x - origin.x, -(along_x.y - origin.y));
    let (c, d) = (-(along_y.x - origin.x), along_y.y - origin.y);
    let (e, f) = (across.x + low.x, height - (across.y + low.y));
    let matrix = [a, b, c, d, e, f].map(fine).join(" ");
    // Art may be white: the piece it stands on is not.
    let edge = Style { fill: PIECE, ..Style::line(palette::INK, 1.2 * hair) };
    let _ = write!(
        text,
        "<g transform=\"matrix({matrix})\"><use href=\"#shape-{}\" fill=\"{}\" stroke=\"{}\" stroke-width=\"{}\"{}/>",
        piece.design,
        edge.fill,
        edge.stroke,
        number(edge.width),
        if piece.spare { " stroke-dasharray=\"2 1.5\"" } else { "" }
    );
    if let Some((address, wide, high)) = of.and_then(|of| of.image) {
        let _ = write!(
            text,
            "<image href=\"{}\" x=\"0\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\"/>",
            escaped(address),
            number(-high),
            number(wide),
            number(high)
        );
    }
    text.push_str("</g>");
    // A locked piece is marked by a shape, not by colour alone.
    if locked {
        let middle = Point::new(bounds.max.x + low.x, height - (bounds.max.y + low.y));
        let s = (hair * 14.0).max(2.4);
        let _ = write!(
            text,
            "<path class=\"pin\" d=\"M{} {}h{}v{}h{}z\" fill=\"{}\"/>",
            number(middle.x - s),
            number(middle.y),
            number(s),
            number(s),
            number(-s),
            palette::ACCENT
        );
    }
    text.push_str("</g>\n");
    text
}

/// Enough digits for a turn.
fn fine(value: f64) -> String {
    let text = format!("{value:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nest::{Design, Sheet, Stock};

    /// The matrix in the picture brings the design's corners where the pose brings them:
    /// checked point by point against `Pose::apply`, for every quarter turn, mirrored and not.
    #[test]
    fn a_piece_is_drawn_where_it_lies() {
        for (turn, mirrored) in [(0.0, false), (90.0, false), (180.0, true), (270.0, true)] {
            let mut design = Design::new("flag", 1, Outline::rectangle(30.0, 12.0).expect("an outline"));
            design.mirrored = mirrored;
            let kind = StockKind::Sheet { width_mm: 100.0, length_mm: 150.0, price: 1, count: None };
            let stock = Stock { margin_mm: 5.0, ..Stock::new("film", kind) };
            let instance = Instance { spacing_mm: 2.0, designs: vec![design], stock: vec![stock], locked: Vec::new() };
            let piece =
                Piece { design: 0, copy: 0, x_mm: 60.0, y_mm: 40.0, rotation_deg: turn, mirrored, spare: false };
            let sheet =
                Sheet { stock: 0, used_length_mm: 90.0, charged_length_mm: 150.0, price: 1, pieces: vec![piece] };
            let layout = Layout { sheets: vec![sheet], complete: true, ..Layout::default() };
            let one =
                Handled { name: "flag <1>", locked: true, from_edges: (1.0, 2.0), image: Some(("/x.png", 30.0, 12.0)) };
            let svg = sheet_to_handle(&instance, &layout, 0, ("Sheet", ""), &[one]).expect("a picture");
            assert!(svg.contains("flag &lt;1&gt;") && svg.contains("class=\"piece locked\""));
            let from = svg.find("matrix(").expect("a matrix") + 7;
            let matrix: Vec<f64> = svg[from..]
                .split(')')
                .next()
                .expect("closed")
                .split(' ')
                .map(|n| n.parse().expect("a number"))
                .collect();
            for corner in [Point::new(0.0, 0.0), Point::new(30.0, 0.0), Point::new(30.0, 12.0)] {
                let lies = piece.pose().apply(corner);
                let (u, v) = (corner.x, -corner.y);
                let x = matrix[0] * u + matrix[2] * v + matrix[4];
                let y = matrix[1] * u + matrix[3] * v + matrix[5];
                let (wanted_x, wanted_y) = (lies.x + 5.0 + AROUND_MM, 100.0 + AROUND_MM - 5.0 - lies.y);
                assert!(
                    (x - wanted_x).abs() < 1e-3 && (y - wanted_y).abs() < 1e-3,
                    "{turn}: {x} {y} {wanted_x} {wanted_y}"
                );
            }
        }
        assert!(sheet_to_handle(&Instance::default(), &Layout::default(), 3, ("", ""), &[]).is_none());
    }
}
