//! Several small pieces in one closing of the press.

use crate::fit::PlatenPlace;
use crate::panel::Panel;
use crate::place::Placed;
use crate::reach::Search;
use trade::GarmentClass;

/// Free distance between pieces on one platen. Common practice, no source.
const APART_MM: f64 = 10.0;

/// Whole pieces of this garment that lie side by side on the platen.
///
/// Only small flat pieces share a closing: what hangs over the edge of a shared
/// platen would lie on its neighbour. Each then lies as this one does, on a
/// pillow of its own when it needs one.
pub(crate) fn pieces(search: &Search<'_>, placed: &Placed, _pillow: bool, place: &PlatenPlace) -> u32 {
    let small = matches!(search.style.class, GarmentClass::FaceCover | GarmentClass::Bib | GarmentClass::Sock);
    if !small || place.round || placed.panel == Panel::Sock && place.bounds.width() < 200.0 {
        return 1;
    }
    let Some(shape) = search.flat.panel(placed.panel) else { return 1 };
    let piece = shape.outline.bounds();
    let count = |a: f64, b: f64| {
        let across = ((place.bounds.width() + APART_MM) / (a + APART_MM)).floor();
        let deep = ((place.bounds.height() + APART_MM) / (b + APART_MM)).floor();
        (across * deep).clamp(0.0, 64.0) as u32
    };
    count(piece.width(), piece.height()).max(count(piece.height(), piece.width())).max(1)
}
