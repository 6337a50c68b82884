//! Growing, shrinking and simplifying, each with its safe side.
//!
//! A band along every edge and a rounded corner at every vertex, drawn around
//! the true arc, are joined to the shape or taken from it. Joining many simple
//! pieces is slower than walking the outline but has no special cases.

use crate::boolean::{Rings, filled, less, rings_of};
use crate::shape::edges;
use crate::{Outline, Point, Region, Ring};

/// Step of rounded corners, radians: the corner reaches at most 0.13 % too far.
const FINE: f64 = std::f64::consts::PI / 32.0;
/// Points this near the line between their neighbours are dropped: joints of bands.
const STRAIGHT_MM: f64 = 1e-8;
/// Step of corners drawn with few points.
const MEDIUM: f64 = std::f64::consts::PI / 6.0;
/// Step of the corners of simplified shapes.
const COARSE: f64 = std::f64::consts::PI / 4.0;

/// The region and everything nearer than `by` mm to it.
///
/// Corners are round and drawn outside the true arc (by at most 0.13 % of
/// `by`), so the result is never short. `by` of 0 or less returns the region.
pub fn grow(region: &Region, by: f64) -> Region {
    grown(region, by, FINE)
}

/// As [`grow`], with corners of few flat steps: at most 3.6 % of `by` too far there.
pub fn grow_coarse(region: &Region, by: f64) -> Region {
    grown(region, by, MEDIUM)
}

/// What is left of the region when everything nearer than `by` mm to its
/// complement is taken away; never more than that.
pub fn shrink(region: &Region, by: f64) -> Region {
    if by.is_nan() || by <= 0.0 {
        return region.clone();
    }
    let rings = rings_of(region);
    let mut band = Rings::new();
    for ring in &rings {
        add_band(ring, by, FINE, &mut band);
    }
    less(&rings, &band)
}

/// A region with fewer points that contains the original and reaches at most
/// `tolerance` mm beyond it; holes only get smaller.
///
/// A region that loses no point by this comes back as it was. The caller keeps
/// the original.
pub fn simplify_outward(region: &Region, tolerance: f64) -> Region {
    if tolerance.is_nan() || tolerance <= 0.0 {
        return region.clone();
    }
    // Half is given to the thinning, half to growing back over what it cut off;
    // a coarse corner reaches 1/cos(step/2) of that.
    let half = tolerance / (1.0 + 1.0 / (COARSE / 2.0).cos());
    let mut changed = false;
    let mut thinned = Rings::new();
    for ring in rings_of(region) {
        let kept = thin(&ring, half);
        changed |= kept.len() < ring.len();
        thinned.push(kept);
    }
    if !changed {
        return region.clone();
    }
    let mut all = thinned.clone();
    for ring in &thinned {
        add_band(ring, half, COARSE, &mut all);
    }
    let grown = straightened(filled(&all));
    let points = |r: &Region| r.outlines.iter().flat_map(Outline::rings).map(<[Point]>::len).sum::<usize>();
    if points(&grown) < points(region) { grown } else { region.clone() }
}

fn grown(region: &Region, by: f64, step: f64) -> Region {
    if by.is_nan() || by <= 0.0 {
        return region.clone();
    }
    let mut rings = rings_of(region);
    for ring in rings.clone() {
        add_band(&ring, by, step, &mut rings);
    }
    straightened(filled(&rings))
}

/// Without the points at which bands and corners meet in a straight line.
fn straightened(region: Region) -> Region {
    let ring = |ring: &[Point]| -> Ring {
        let mut kept: Ring = Vec::with_capacity(ring.len());
        for (at, p) in ring.iter().enumerate() {
            let next = ring[(at + 1) % ring.len()];
            let before = kept.last().copied().unwrap_or(ring[ring.len() - 1]);
            if Edge::new([before.x, before.y], [next.x, next.y]).away2([p.x, p.y]) > STRAIGHT_MM * STRAIGHT_MM {
                kept.push(*p);
            }
        }
        kept
    };
    let outline = |o: &Outline| {
        let holes = o.holes().iter().map(|h| ring(h)).filter(|h| h.len() > 2).collect();
        Outline::new(ring(o.outer()), holes).unwrap_or_else(|_| o.clone())
    };
    Region { outlines: region.outlines.iter().map(outline).collect() }
}

/// A rectangle on both sides of each edge, and a corner where the ring turns.
fn add_band(ring: &[[f64; 2]], by: f64, step: f64, into: &mut Rings) {
    // The grid of the overlay rounds and straightening takes a little; a hair more keeps the promise.
    let by = by * (1.0 + 1e-9) + 2.0 * STRAIGHT_MM;
    let ring: Ring = ring.iter().map(|[x, y]| Point::new(*x, *y)).collect();
    let sides: Vec<(Point, Point, Point)> = edges(&ring)
        .filter_map(|(a, b)| {
            let long = a.distance(b);
            (long > 0.0).then(|| (a, b, Point::new((b.y - a.y) / long * by, (a.x - b.x) / long * by)))
        })
        .collect();
    for (at, (a, b, n)) in sides.iter().enumerate() {
        // The edge's own ends are corners too, so that wedges and bands meet without cracks.
        let band = [(a, 1.0), (b, 1.0), (b, 0.0), (b, -1.0), (a, -1.0), (a, 0.0)];
        into.push(band.iter().map(|(p, side)| [p.x + side * n.x, p.y + side * n.y]).collect());
        if let Some((_, _, next)) = sides.get((at + 1) % sides.len()) {
            into.extend(corner(*b, *n, *next, step));
        }
    }
}

/// The wedge between two neighbouring bands on the side where the ring turns away.
fn corner(at: Point, first: Point, second: Point, step: f64) -> Option<Vec<[f64; 2]>> {
    let turn = (first.x * second.y - first.y * second.x).atan2(first.x * second.x + first.y * second.y);
    if turn == 0.0 {
        return None;
    }
    let side = if turn > 0.0 { 1.0 } else { -1.0 };
    let parts = (turn.abs() / step).ceil().max(1.0);
    let part = turn / parts;
    // Tangents at both ends of each part meet at 1/cos(part/2) of the radius.
    let reach = side / (part / 2.0).cos();
    let mut wedge = vec![[at.x, at.y], [at.x + side * first.x, at.y + side * first.y]];
    for k in 0..parts as u32 {
        let (sin, cos) = (part * (f64::from(k) + 0.5)).sin_cos();
        wedge.push([at.x + reach * (first.x * cos - first.y * sin), at.y + reach * (first.x * sin + first.y * cos)]);
    }
    wedge.push([at.x + side * second.x, at.y + side * second.y]);
    if side < 0.0 {
        wedge.reverse();
    }
    Some(wedge)
}

/// Fewer points, none of the dropped ones farther than `tolerance` from its new edge
/// (Douglas & Peucker 1973, on both halves of the ring).
fn thin(ring: &[[f64; 2]], tolerance: f64) -> Vec<[f64; 2]> {
    let count = ring.len();
    if count <= 3 {
        return ring.to_vec();
    }
    // Two points that any good outline keeps: the first, and the one farthest from it.
    let from = |p: &[f64; 2]| squared(p[0] - ring[0][0], p[1] - ring[0][1]);
    let far = (1..count).max_by(|a, b| from(&ring[*a]).total_cmp(&from(&ring[*b]))).unwrap_or(1);
    let mut keep = vec![false; count];
    keep[0] = true;
    keep[far] = true;
    let mut open = vec![(0, far), (far, count)];
    while let Some((start, end)) = open.pop() {
        let edge = Edge::new(ring[start], ring[end % count]);
        let farthest = (start + 1..end).map(|k| (edge.away2(ring[k]), k)).max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((away, k)) = farthest.filter(|(away, _)| *away > tolerance * tolerance) {
            debug_assert!(away.is_finite());
            keep[k] = true;
            open.extend([(start, k), (k, end)]);
        }
    }
    let kept: Vec<[f64; 2]> = ring.iter().zip(&keep).filter(|(_, k)| **k).map(|(p, _)| *p).collect();
    if kept.len() < 3 { ring.to_vec() } else { kept }
}

/// An edge that many points are measured from.
struct Edge {
    from: [f64; 2],
    along: [f64; 2],
    /// One over its squared length; 0 for an edge without length.
    per_length2: f64,
}

impl Edge {
    fn new(a: [f64; 2], b: [f64; 2]) -> Self {
        let along = [b[0] - a[0], b[1] - a[1]];
        let long = squared(along[0], along[1]);
        Self { from: a, along, per_length2: if long > 0.0 { long.recip() } else { 0.0 } }
    }

    /// Squared distance of a point, mm².
    fn away2(&self, p: [f64; 2]) -> f64 {
        let (x, y) = (p[0] - self.from[0], p[1] - self.from[1]);
        let t = ((x * self.along[0] + y * self.along[1]) * self.per_length2).clamp(0.0, 1.0);
        squared(x - t * self.along[0], y - t * self.along[1])
    }
}

fn squared(x: f64, y: f64) -> f64 {
    x * x + y * y
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{intersect, outline_distance, subtract};

    fn star(points: usize, inner: f64) -> Region {
        let corner = |k: usize| {
            let (sin, cos) = (k as f64 * std::f64::consts::PI / points as f64).sin_cos();
            let r = if k.is_multiple_of(2) { 40.0 } else { inner };
            Point::new(r * cos, r * sin)
        };
        let hole = vec![Point::new(-3.0, -3.0), Point::new(3.0, -3.0), Point::new(3.0, 3.0), Point::new(-3.0, 3.0)];
        Region { outlines: vec![Outline::new((0..2 * points).map(corner).collect(), vec![hole]).expect("an outline")] }
    }

    /// Steiner's formula for a convex shape: area + perimeter·r + π·r².
    #[test]
    fn a_grown_rectangle_follows_steiner() {
        let rectangle = Region { outlines: vec![Outline::rectangle(30.0, 20.0).expect("an outline")] };
        let grown = grow(&rectangle, 3.0);
        let exact = 600.0 + 100.0 * 3.0 + std::f64::consts::PI * 9.0;
        assert!(grown.area() >= exact && grown.area() < exact + 0.003 * 30.0, "{}", grown.area());
        let bounds = grown.bounds().expect("not empty");
        assert!((bounds.width() - 36.0).abs() < 1e-6 && (bounds.height() - 26.0).abs() < 1e-6);
    }

    #[test]
    fn growing_is_never_short_and_shrinking_never_long() {
        for (points, inner) in [(5, 15.0), (9, 30.0), (4, 5.0)] {
            let shape = star(points, inner);
            let grown = grow(&shape, 1.5);
            // Every point of the grown boundary is at least 1.5 from the shape.
            for p in grown.outlines.iter().flat_map(Outline::rings).flatten() {
                let tiny =
                    Outline::rectangle(1e-9, 1e-9).expect("an outline").map(|q| Point::new(q.x + p.x, q.y + p.y));
                let away = outline_distance(&tiny.expect("an outline"), &shape.outlines[0]);
                assert!((1.5 - 2e-9..1.51).contains(&away), "{away} at {p:?} of {points}");
            }
            let back = shrink(&grown, 1.5);
            assert!(subtract(&back, &grown).area() < 1e-9);
            assert!(intersect(&shape, &shrink(&shape, 1.5)).area() - shrink(&shape, 1.5).area() < 1e-6);
        }
    }

    #[test]
    fn simplified_contains_the_original() {
        let wavy = |k: usize| {
            let t = k as f64 * std::f64::consts::TAU / 2000.0;
            let r = 50.0 + 8.0 * (5.0 * t).sin() + 0.05 * (311.0 * t).sin();
            Point::new(r * t.cos(), r * t.sin())
        };
        let shape = Region { outlines: vec![Outline::new((0..2000).map(wavy).collect(), vec![]).expect("an outline")] };
        for tolerance in [0.3, 0.6, 2.0] {
            let simple = simplify_outward(&shape, tolerance);
            let points = simple.outlines.iter().map(|o| o.outer().len()).sum::<usize>();
            assert!(points < 500, "{points} points at {tolerance}");
            assert!(subtract(&shape, &simple).area() < 1e-9);
            assert!(subtract(&simple, &grow(&shape, tolerance)).area() < 1e-9);
        }
    }
}
