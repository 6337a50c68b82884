//! How far one edge lies from another.

use geometry::{Outline, Point, Region};

/// Distances from places along one edge to the nearest of another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Deviation {
    pub worst: f64,
    pub mean: f64,
}

/// Places asked at most; of longer edges every so many corners.
const MOST_PLACES: usize = 4000;

/// From the corners and middles of `from` to the edge of `to`, mm for mm.
pub(crate) fn of(from: &Region, to: &Region) -> Deviation {
    let corners: Vec<Point> = from.outlines.iter().flat_map(Outline::rings).flat_map(places).collect();
    let sides = Sides::of(to);
    let step = corners.len().div_ceil(MOST_PLACES).max(1);
    let away: Vec<f64> = corners.iter().step_by(step).map(|p| sides.from(*p)).collect();
    let worst = away.iter().copied().fold(0.0, f64::max);
    Deviation { worst, mean: away.iter().sum::<f64>() / (away.len().max(1)) as f64 }
}

/// Corners and the middles between them.
fn places(ring: &[Point]) -> impl Iterator<Item = Point> {
    ring.iter()
        .zip(ring.iter().cycle().skip(1))
        .flat_map(|(a, b)| [*a, Point::new((a.x + b.x) / 2.0, (a.y + b.y) / 2.0)])
}

/// Sides in order of their left ends, so that a search may stop.
struct Sides {
    sides: Vec<(Point, Point)>,
    widest: f64,
}

impl Sides {
    fn of(region: &Region) -> Self {
        let rings = region.outlines.iter().flat_map(Outline::rings);
        let mut sides: Vec<(Point, Point)> =
            rings.flat_map(|ring| ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))).collect();
        for side in &mut sides {
            if side.1.x < side.0.x {
                *side = (side.1, side.0);
            }
        }
        sides.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        let widest = sides.iter().map(|(a, b)| b.x - a.x).fold(0.0, f64::max);
        Self { sides, widest }
    }

    fn from(&self, p: Point) -> f64 {
        let start = self.sides.partition_point(|(a, _)| a.x < p.x);
        let mut best = f64::INFINITY;
        for (a, b) in &self.sides[start..] {
            if a.x - p.x > best {
                break;
            }
            best = best.min(crate::thin::from_line(*a, *b, p));
        }
        for (a, b) in self.sides[..start].iter().rev() {
            if p.x - a.x - self.widest > best {
                break;
            }
            best = best.min(crate::thin::from_line(*a, *b, p));
        }
        best
    }
}
