//! Outlines with fewer points.

use geometry::{Outline, Point, Region, Ring};

/// Every ring without the points that lie within `tolerance` of the edge that is left
/// (Douglas & Peucker 1973, on both halves of the ring). Rings that would lose their
/// shape, or come to touch themselves in so small a compass, stay as they are.
pub(crate) fn thinned(region: &Region, tolerance: f64) -> Region {
    let ring = |ring: &[Point]| thinned_ring(ring, tolerance);
    let outline = |outline: &Outline| {
        let holes = outline.holes().iter().map(|hole| ring(hole)).collect();
        Outline::new(ring(outline.outer()), holes).unwrap_or_else(|_| outline.clone())
    };
    Region { outlines: region.outlines.iter().map(outline).collect() }
}

fn thinned_ring(ring: &[Point], tolerance: f64) -> Ring {
    let far = (0..ring.len()).max_by(|a, b| ring[0].distance(ring[*a]).total_cmp(&ring[0].distance(ring[*b])));
    let Some(far) = far.filter(|far| *far > 0) else { return ring.to_vec() };
    if ring[0].distance(ring[far]) < 8.0 * tolerance {
        return ring.to_vec();
    }
    let closed: Vec<Point> = ring.iter().chain(ring.first()).copied().collect();
    let mut keep = vec![false; closed.len()];
    keep[0] = true;
    keep[far] = true;
    let mut open = vec![(0, far), (far, ring.len())];
    while let Some((from, to)) = open.pop() {
        let off = |at: usize| from_line(closed[from], closed[to], closed[at]);
        let Some(worst) = (from + 1..to).max_by(|a, b| off(*a).total_cmp(&off(*b))) else { continue };
        if off(worst) > tolerance {
            keep[worst] = true;
            open.push((from, worst));
            open.push((worst, to));
        }
    }
    let kept: Ring = ring.iter().zip(&keep).filter(|(_, keep)| **keep).map(|(p, _)| *p).collect();
    if kept.len() < 3 { ring.to_vec() } else { kept }
}

/// Distance from a stretch between two points.
pub(crate) fn from_line(a: Point, b: Point, p: Point) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let squared = dx * dx + dy * dy;
    let t = if squared == 0.0 { 0.0 } else { ((p.x - a.x) * dx + (p.y - a.y) * dy) / squared };
    let t = t.clamp(0.0, 1.0);
    p.distance(Point::new(a.x + t * dx, a.y + t * dy))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A circle of n points within ε needs about π·√(r / 2ε) of them.
    #[test]
    fn a_circle_keeps_its_shape_with_few_points() {
        let circle: Ring = (0..5000)
            .map(|i| {
                let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 5000.0).sin_cos();
                Point::new(20.0 * cos, 20.0 * sin)
            })
            .collect();
        let region = Region { outlines: vec![Outline::new(circle, Vec::new()).expect("a circle")] };
        let less = thinned(&region, 0.01);
        let points = less.outlines[0].outer().len();
        assert!((60..260).contains(&points), "{points}");
        assert!(less.outlines[0].outer().iter().all(|p| (p.x.hypot(p.y) - 20.0).abs() < 1e-9));
        assert!((less.area() / region.area() - 1.0).abs() < 1e-3);
    }
}
