//! The flat paints of a drawing.

use usvg::{Group, Node, Paint, Tree};

/// Every flat colour painted, in order of appearance; `None` when something is not flat:
/// fades, patterns, pictures, effects, or ink that shows what lies beneath.
pub(crate) fn flat(tree: &Tree) -> Option<Vec<[u8; 3]>> {
    let mut colours = Vec::new();
    gather(tree.root(), &mut colours)?;
    Some(colours)
}

/// Whether the drawing holds fades between differing colours.
pub(crate) fn fades(tree: &Tree) -> bool {
    let differ = |stops: &[usvg::Stop]| stops.windows(2).any(|pair| pair[0].color() != pair[1].color());
    let linear = tree.linear_gradients().iter().any(|gradient| differ(gradient.stops()));
    linear || tree.radial_gradients().iter().any(|gradient| differ(gradient.stops()))
}

fn gather(group: &Group, colours: &mut Vec<[u8; 3]>) -> Option<()> {
    let plain = group.filters().is_empty()
        && group.mask().is_none()
        && group.blend_mode() == usvg::BlendMode::Normal
        && group.opacity().get() > 0.98;
    plain.then_some(())?;
    for node in group.children() {
        match node {
            Node::Group(inner) => gather(inner, colours)?,
            Node::Text(text) => gather(text.flattened(), colours)?,
            Node::Image(image) if !image.is_visible() => {}
            Node::Image(_) => return None,
            Node::Path(path) => {
                let fill = path.fill().map(|fill| (fill.paint(), fill.opacity().get()));
                let stroke = path.stroke().map(|stroke| (stroke.paint(), stroke.opacity().get()));
                for (paint, opacity) in [fill, stroke].into_iter().flatten().filter(|_| path.is_visible()) {
                    match paint {
                        Paint::Color(colour) if opacity > 0.98 => {
                            let rgb = [colour.red, colour.green, colour.blue];
                            if !colours.contains(&rgb) {
                                colours.push(rgb);
                            }
                        }
                        _ => return None,
                    }
                }
                (colours.len() <= 64).then_some(())?;
            }
        }
    }
    Some(())
}
