//! Several films on one print: a piece to cut from each, with marks to lay them over one another.

use crate::cut::CutPiece;
use art::{FilmLayer, PrintSize, alignment_marks};
use geometry::Pose;

/// One film of a print as a piece to cut, at its place on its own sheet.
///
/// `nth` counts from the lowest film, which is pressed first; the label says so.
pub fn layer_piece(size: PrintSize, layers: &[FilmLayer], nth: usize, pose: Pose, label: &str) -> Option<CutPiece> {
    let layer = layers.get(nth)?;
    let several = layers.len() > 1;
    let marks = alignment_marks(size).iter().map(|ring| ring.iter().map(|p| pose.apply(*p)).collect()).collect();
    Some(CutPiece {
        region: pose.region(&layer.cut),
        mirrored: pose.mirrored,
        label: match nth {
            _ if !several => label.to_owned(),
            0 => format!("{label}, film 1 of {}, lowest", layers.len()),
            _ => format!("{label}, film {} of {}", nth + 1, layers.len()),
        },
        marks: if several { marks } else { Vec::new() },
    })
}
