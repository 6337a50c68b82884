//! Mirror, turn, move: in that order.

use crate::{Outline, OutlineError, Point, Region};

/// Where a shape lies: mirrored about its own y axis or not, turned
/// counter-clockwise about its own origin, then moved.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pose {
    /// x becomes −x before turning.
    pub mirrored: bool,
    /// Counter-clockwise, degrees.
    pub turn_deg: f64,
    /// Added last, mm.
    pub shift: Point,
}

impl Pose {
    /// A plain move.
    pub fn at(x: f64, y: f64) -> Self {
        Self { mirrored: false, turn_deg: 0.0, shift: Point::new(x, y) }
    }

    /// The point where `p` of the shape comes to lie.
    pub fn apply(&self, p: Point) -> Point {
        self.mapping()(p)
    }

    /// [`Self::apply`] for many points: sine and cosine are worked out once.
    pub fn mapping(&self) -> impl Fn(Point) -> Point + use<> {
        let (sin, cos) = sine_cosine(self.turn_deg);
        let Self { mirrored, shift, .. } = *self;
        move |p| {
            let x = if mirrored { -p.x } else { p.x };
            Point::new(x * cos - p.y * sin + shift.x, x * sin + p.y * cos + shift.y)
        }
    }

    /// The outline where it comes to lie.
    pub fn outline(&self, shape: &Outline) -> Result<Outline, OutlineError> {
        shape.map(self.mapping())
    }

    /// The region where it comes to lie.
    pub fn region(&self, shape: &Region) -> Region {
        shape.map(self.mapping())
    }
}

/// Sine and cosine, exact at quarter turns so that a rectangle stays one.
fn sine_cosine(deg: f64) -> (f64, f64) {
    let turn = deg.rem_euclid(360.0);
    if turn == 0.0 {
        (0.0, 1.0)
    } else if turn == 90.0 {
        (1.0, 0.0)
    } else if turn == 180.0 {
        (0.0, -1.0)
    } else if turn == 270.0 {
        (-1.0, 0.0)
    } else {
        turn.to_radians().sin_cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plain geometry: the unit L turned a quarter, then moved.
    #[test]
    fn mirror_then_turn_then_move() {
        let pose = Pose { mirrored: true, turn_deg: 90.0, shift: Point::new(10.0, 0.0) };
        // (2, 1) → mirrored (−2, 1) → quarter turn (−1, −2) → moved (9, −2).
        assert_eq!(pose.apply(Point::new(2.0, 1.0)), Point::new(9.0, -2.0));
    }

    #[test]
    fn a_mirrored_outline_keeps_area_and_direction() {
        let hole = vec![Point::new(1.0, 1.0), Point::new(2.0, 1.0), Point::new(2.0, 2.0), Point::new(1.0, 2.0)];
        let corner = vec![Point::new(0.0, 0.0), Point::new(4.0, 0.0), Point::new(4.0, 3.0), Point::new(0.0, 3.0)];
        let shape = Outline::new(corner, vec![hole]).expect("an outline");
        assert!((shape.area() - 11.0).abs() < 1e-12);
        for turn_deg in [0.0, 33.0, 90.0, 250.0] {
            let pose = Pose { mirrored: true, turn_deg, shift: Point::new(5.0, 7.0) };
            let moved = pose.outline(&shape).expect("an outline");
            assert!((moved.area() - 11.0).abs() < 1e-9);
            assert!((moved.perimeter() - shape.perimeter()).abs() < 1e-9);
        }
    }
}
