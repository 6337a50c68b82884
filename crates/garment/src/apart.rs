//! Whether two prints of one garment leave one another alone.

use crate::codes;
use crate::place::Placed;
use report::{Finding, Severity, Value};
use units::Length;

/// Room left between the edges of two prints, so that pressing one does not press the
/// carrier of the other, mm. Common practice, no source.
const APART_MM: f64 = 10.0;

/// What is to be said of a print beside another on the same panel, by their upright
/// rectangles; nothing where they lie on different panels or far enough apart.
pub fn apart(one: &Placed, other: &Placed) -> Option<Finding> {
    if one.panel != other.panel {
        return None;
    }
    let (a, b) = (&one.bounds, &other.bounds);
    // Positive where they are apart in that direction, negative by how much they overlap.
    let across = (a.min.x - b.max.x).max(b.min.x - a.max.x);
    let along = (a.min.y - b.max.y).max(b.min.y - a.max.y);
    let length = |mm: f64| Value::Length(Length::from_mm(mm).unwrap_or_default());
    let about =
        |code, remedy| Finding::new(Severity::Warning, code, remedy).with("other", Value::Term(other.position.term()));
    if across < 0.0 && along < 0.0 {
        let over = about(codes::PRINTS_OVERLAP, codes::PRINTS_APART_REMEDY);
        return Some(over.with("over", length((-across).min(-along))).with("limit", length(APART_MM)));
    }
    let gap = across.max(0.0).hypot(along.max(0.0));
    let near = about(codes::PRINTS_NEAR, codes::PRINTS_APART_REMEDY);
    (gap < APART_MM - 1e-9).then(|| near.with("gap", length(gap)).with("limit", length(APART_MM)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Panel, Position};
    use geometry::{Bounds, Point, Pose};

    fn placed(panel: Panel, x: f64, y: f64, wide: f64, high: f64) -> Placed {
        let bounds = Bounds { min: Point::new(x, y), max: Point::new(x + wide, y + high) };
        let position = Position::LeftChest;
        Placed { position, panel, frame: Pose::at(x, y), bounds, measures: Vec::new(), usual: None }
    }

    /// Distances of rectangles, worked out by hand: side by side, above, over a corner
    /// (3-4-5 triangle), one upon the other.
    #[test]
    fn prints_leave_ten_millimetres_between_them() {
        let one = placed(Panel::Front, 0.0, 0.0, 100.0, 50.0);
        let said = |x, y| apart(&one, &placed(Panel::Front, x, y, 40.0, 40.0)).map(|finding| finding.code);
        assert_eq!(said(110.0, 0.0), None, "exactly the room that is left");
        assert_eq!(said(109.0, 0.0), Some(codes::PRINTS_NEAR));
        assert_eq!(said(0.0, 55.0), Some(codes::PRINTS_NEAR));
        assert_eq!(said(106.0, 58.0), None, "6 and 8 across the corner are 10");
        assert_eq!(said(105.0, 58.0), Some(codes::PRINTS_NEAR));
        assert_eq!(said(99.0, 49.0), Some(codes::PRINTS_OVERLAP));
        assert_eq!(apart(&one, &placed(Panel::Back, 0.0, 0.0, 40.0, 40.0)), None, "on another panel");
        let over = apart(&one, &placed(Panel::Front, 93.0, 10.0, 40.0, 20.0)).expect("they overlap");
        let seven = Value::Length(Length::from_mm(7.0).unwrap_or_default());
        assert!(over.quantities.iter().any(|named| named.name == "over" && named.value == seven), "{over:?}");
    }
}
