//! Marks beside a print of several films, by which they are laid over one another.

use crate::clean::PrintSize;
use geometry::{Outline, Point, Region, Ring};

/// Side of a mark, mm (common practice, no source).
const SIDE_MM: f64 = 3.0;
/// From the art box to its marks, mm: far enough to be weeded apart.
const AWAY_MM: f64 = 3.0;

/// Three squares beside a print, in the frame of its art box: the same on every film, and none at
/// the fourth corner, so that a film turned round or over is noticed.
pub fn alignment_marks(size: PrintSize) -> Vec<Ring> {
    let (w, h) = (size.width().mm(), size.height().mm());
    let low = -AWAY_MM - SIDE_MM;
    let square = |x: f64, y: f64| -> Ring {
        [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
            .map(|(dx, dy)| Point::new(x + SIDE_MM * dx, y + SIDE_MM * dy))
            .to_vec()
    };
    vec![square(0.0, low), square(w - SIDE_MM, low), square(0.0, h + AWAY_MM)]
}

/// What one film of a print takes on its sheet, marks included, in the frame of the art box.
pub fn with_marks(size: PrintSize, film: &Region) -> Region {
    let marks = alignment_marks(size).into_iter().filter_map(|ring| Outline::new(ring, Vec::new()).ok());
    Region { outlines: film.outlines.iter().cloned().chain(marks).collect() }
}
