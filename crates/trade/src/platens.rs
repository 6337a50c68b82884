//! What fits on a lower platen. Common practice, no source.

use crate::PlatenShape;
use units::Length;

/// Clear distance between art and the platen's edge, all round.
pub const CLEARANCE_MM: f64 = 10.0;
/// No seam, zip, snap, button or label within this distance of the art, unless padded.
pub const SEAM_DISTANCE_MM: f64 = 12.0;
/// A step in height above this inside the platen needs a pillow or a smaller platen, on woven cloth.
pub const STEP_WOVEN_MM: f64 = 0.5;
/// The same on knitted cloth.
pub const STEP_KNIT_MM: f64 = 1.0;

/// Whether art of this size, turned by nothing, lies on the platen with its clearance.
///
/// On a round platen the art's corners decide.
pub fn fits(platen: PlatenShape, width: Length, height: Length) -> bool {
    let (width, height) = (width.mm() + 2.0 * CLEARANCE_MM, height.mm() + 2.0 * CLEARANCE_MM);
    match platen {
        PlatenShape::Rectangle { width: across, depth } => width <= across.mm() && height <= depth.mm(),
        PlatenShape::Round { diameter } => {
            let free = diameter.mm() - 2.0 * CLEARANCE_MM;
            let (w, h) = (width - 2.0 * CLEARANCE_MM, height - 2.0 * CLEARANCE_MM);
            free > 0.0 && w * w + h * h <= free * free
        }
    }
}

/// The largest art: width and height on a rectangle, the diagonal (twice) on a round one.
pub fn largest_art(platen: PlatenShape) -> (Length, Length) {
    let less = Length::from_mm(2.0 * CLEARANCE_MM).unwrap_or_default();
    let left = |side: Length| (side - less).max(Length::ZERO);
    match platen {
        PlatenShape::Rectangle { width, depth } => (left(width), left(depth)),
        PlatenShape::Round { diameter } => (left(diameter), left(diameter)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Largest art in inches = platen − 2 × 10 mm, worked by hand, rounded to a
    /// tenth: 16 in = 406.4 mm, less 20 = 386.4 mm = 15.2 in, and so on.
    #[test]
    fn largest_art_by_hand() {
        let inch = |value| Length::from_inches(value).expect("finite");
        for (w, d, art_w, art_d) in [
            (16.0, 20.0, 15.2, 19.2),
            (15.0, 15.0, 14.2, 14.2),
            (11.0, 15.0, 10.2, 14.2),
            (6.0, 10.0, 5.2, 9.2),
            (4.0, 16.0, 3.2, 15.2),
            (3.5, 6.0, 2.7, 5.2),
        ] {
            let platen = PlatenShape::Rectangle { width: inch(w), depth: inch(d) };
            let (width, depth) = largest_art(platen);
            assert!((width.inches() - art_w).abs() < 0.05 && (depth.inches() - art_d).abs() < 0.05, "{w}×{d}");
            assert!(fits(platen, width, depth) && !fits(platen, width + inch(0.01), depth));
        }
        let round = PlatenShape::Round { diameter: inch(5.0) };
        assert!((largest_art(round).0.inches() - 4.2).abs() < 0.05);
        // A square of 2.9 in has a diagonal of 4.10 in, one of 3.1 in 4.38 in.
        assert!(fits(round, inch(2.9), inch(2.9)) && !fits(round, inch(3.1), inch(3.1)));
    }
}
