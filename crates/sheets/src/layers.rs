//! Several films on one print: a piece to cut from each, with marks to lay them over one another.

use crate::cut::CutPiece;
use art::{FilmLayer, PrintSize};
use geometry::{Bounds, Point, Pose, Region, Ring};

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

/// What a film of a print takes on its sheet, marks included, in the frame of the art box.
pub fn with_marks(size: PrintSize, film: &Region) -> Bounds {
    let marks = alignment_marks(size);
    let all = Bounds::around(marks.iter().flatten());
    let own = film.bounds();
    all.into_iter()
        .chain(own)
        .reduce(|a, b| a.joined(&b))
        .unwrap_or(Bounds { min: Point::default(), max: Point::default() })
}

/// One film of a print as a piece to cut, at its place on its own sheet.
///
/// `nth` counts from the lowest film, which is pressed first; the label says so.
pub fn layer_piece(size: PrintSize, layers: &[FilmLayer], nth: usize, pose: Pose, label: &str) -> Option<CutPiece> {
    let layer = layers.get(nth)?;
    let marks = alignment_marks(size).iter().map(|ring| ring.iter().map(|p| pose.apply(*p)).collect()).collect();
    Some(CutPiece {
        region: pose.region(&layer.cut),
        mirrored: pose.mirrored,
        label: format!("{label}, film {} of {}{}", nth + 1, layers.len(), if nth == 0 { ", lowest" } else { "" }),
        marks: if layers.len() > 1 { marks } else { Vec::new() },
    })
}
