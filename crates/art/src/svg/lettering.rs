//! How high the lettering of a drawing stands, where it is still live text.

use usvg::fontdb::{Database, ID};
use usvg::{Group, Node, Text, Tree};

/// Height of a capital over the size of its type, where the font does not say; the middle of
/// common text faces. Common practice, no source.
const CAPITAL: f64 = 0.7;

/// The least height of a capital of any live text, units of the page; `None` without live text.
pub(crate) fn smallest(tree: &Tree) -> Option<f64> {
    let mut heights = Vec::new();
    gather(tree.root(), tree.fontdb(), &mut heights);
    heights.into_iter().reduce(f64::min)
}

fn gather(group: &Group, fonts: &Database, heights: &mut Vec<f64>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => gather(inner, fonts, heights),
            Node::Text(text) => heights.extend(of(text, fonts)),
            Node::Path(_) | Node::Image(_) => {}
        }
    }
}

fn of(text: &Text, fonts: &Database) -> Option<f64> {
    let turn = text.abs_transform();
    let scale = f64::from((turn.sx * turn.sy - turn.kx * turn.ky).abs()).sqrt();
    let spans = text.layouted().iter().filter(|span| span.visible);
    let heights = spans.filter_map(|span| {
        let glyph = span.positioned_glyphs.first()?;
        Some(f64::from(span.font_size.get()) * capital(fonts, glyph.font) * scale)
    });
    heights.reduce(f64::min)
}

fn capital(fonts: &Database, font: ID) -> f64 {
    let said = fonts.with_face_data(font, |data, index| {
        let face = rustybuzz::ttf_parser::Face::parse(data, index).ok()?;
        let height = f64::from(face.capital_height()?) / f64::from(face.units_per_em());
        (0.2..2.0).contains(&height).then_some(height)
    });
    said.flatten().unwrap_or(CAPITAL)
}
