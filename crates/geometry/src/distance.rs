//! Distance between outlines, and whether an outline crosses itself.

use crate::shape::edges;
use crate::{Bounds, Outline, Point};

/// The smallest distance between two outlines, mm; 0 when they overlap or touch.
///
/// A shape that lies inside a hole of the other is as far as the hole's edge.
pub fn outline_distance(a: &Outline, b: &Outline) -> f64 {
    if overlap_by_point(a, b) {
        return 0.0;
    }
    let (first, second) = (sides(a), sides(b));
    let mut best = roughly(a, b);
    // Edges in order of their left ends: only those within `best` of each other can be nearer.
    let widest = second.iter().map(|s| s.bounds.width()).fold(0.0, f64::max);
    for side in &first {
        let from = second.partition_point(|s| s.bounds.min.x < side.bounds.min.x - best - widest);
        for other in second.get(from..).unwrap_or(&[]) {
            if other.bounds.min.x > side.bounds.max.x + best {
                break;
            }
            if apart(&side.bounds, &other.bounds) < best {
                best = best.min(segment_distance(side, other));
            }
        }
        if best == 0.0 {
            break;
        }
    }
    best
}

/// An upper value from a few dozen points of each, so that long outlines need not be compared in full.
fn roughly(a: &Outline, b: &Outline) -> f64 {
    let some = |o: &Outline| -> Vec<Point> {
        let step = (o.outer().len() / 32).max(1);
        o.outer().iter().step_by(step).copied().collect()
    };
    let others = some(b);
    some(a).iter().flat_map(|p| others.iter().map(|q| p.distance(*q))).fold(f64::INFINITY, f64::min)
}

/// What is wrong with an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// Two edges cross or lie on each other at this point.
    Crossing {
        /// Where, mm.
        at: Point,
    },
    /// A hole lies outside the outer ring.
    HoleOutside {
        /// Which hole, from 0.
        hole: usize,
    },
    /// So many edges lie over each other that the check was given up.
    TooTangled,
}

/// Comparisons of two edges before an outline is called tangled; bounds the time to a fraction of a second.
const MOST_PAIRS: u64 = 20_000_000;

/// The first fault found; `None` for a simple outline with its holes inside.
///
/// Rings may touch in single points. Time grows with the edges that lie above
/// one another; past 2·10⁷ pairs the outline counts as tangled.
pub fn outline_fault(outline: &Outline) -> Option<Fault> {
    let mut all = Vec::new();
    for (ring, points) in outline.rings().enumerate() {
        let count = points.len();
        all.extend(edges(points).enumerate().map(|(at, (a, b))| (side(a, b), ring, at, count)));
    }
    all.sort_by(|p, q| p.0.bounds.min.x.total_cmp(&q.0.bounds.min.x));
    let mut pairs = 0_u64;
    for (at, (edge, ring, index, count)) in all.iter().enumerate() {
        for (other, other_ring, other_index, _) in all.get(at + 1..).unwrap_or(&[]) {
            if other.bounds.min.x > edge.bounds.max.x {
                break;
            }
            pairs += 1;
            let next =
                ring == other_ring && (index.abs_diff(*other_index) == 1 || index.abs_diff(*other_index) == count - 1);
            if let Some(at) = crossing(edge, other, next) {
                return Some(Fault::Crossing { at });
            }
        }
        if pairs > MOST_PAIRS {
            return Some(Fault::TooTangled);
        }
    }
    let ring = Outline::new(outline.outer().to_vec(), Vec::new()).ok()?;
    let inside = |hole: &[Point]| {
        hole.iter().any(|p| ring.contains(*p)) || edges(hole).any(|(a, b)| ring.contains(middle(a, b)))
    };
    outline.holes().iter().position(|hole| !inside(hole)).map(|hole| Fault::HoleOutside { hole })
}

struct Side {
    a: Point,
    b: Point,
    bounds: Bounds,
}

fn side(a: Point, b: Point) -> Side {
    Side {
        a,
        b,
        bounds: Bounds { min: Point::new(a.x.min(b.x), a.y.min(b.y)), max: Point::new(a.x.max(b.x), a.y.max(b.y)) },
    }
}

fn sides(outline: &Outline) -> Vec<Side> {
    let mut all: Vec<Side> = outline.rings().flat_map(edges).map(|(a, b)| side(a, b)).collect();
    all.sort_by(|p, q| p.bounds.min.x.total_cmp(&q.bounds.min.x));
    all
}

/// One shape holds a point of the other, so no edges need to meet.
fn overlap_by_point(a: &Outline, b: &Outline) -> bool {
    let holds = |o: &Outline, p: Option<&Point>| p.is_some_and(|p| o.contains(*p));
    a.bounds().overlaps(&b.bounds()) && (holds(a, b.outer().first()) || holds(b, a.outer().first()))
}

/// Distance between two upright rectangles.
fn apart(a: &Bounds, b: &Bounds) -> f64 {
    let x = (a.min.x - b.max.x).max(b.min.x - a.max.x).max(0.0);
    let y = (a.min.y - b.max.y).max(b.min.y - a.max.y).max(0.0);
    // Lengths here are far from overflow, where `hypot` would matter.
    (x * x + y * y).sqrt()
}

fn segment_distance(p: &Side, q: &Side) -> f64 {
    if proper_crossing(p, q) {
        return 0.0;
    }
    point_distance(p.a, q).min(point_distance(p.b, q)).min(point_distance(q.a, p)).min(point_distance(q.b, p))
}

fn point_distance(p: Point, s: &Side) -> f64 {
    let (dx, dy) = (s.b.x - s.a.x, s.b.y - s.a.y);
    let long = dx * dx + dy * dy;
    let t = if long > 0.0 { (((p.x - s.a.x) * dx + (p.y - s.a.y) * dy) / long).clamp(0.0, 1.0) } else { 0.0 };
    let (x, y) = (p.x - s.a.x - t * dx, p.y - s.a.y - t * dy);
    (x * x + y * y).sqrt()
}

fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

fn proper_crossing(p: &Side, q: &Side) -> bool {
    let opposite = |a: f64, b: f64| (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0);
    opposite(turn(p.a, p.b, q.a), turn(p.a, p.b, q.b)) && opposite(turn(q.a, q.b, p.a), turn(q.a, q.b, p.b))
}

/// Where two edges cross, or where neighbours fold back over each other.
fn crossing(p: &Side, q: &Side, neighbours: bool) -> Option<Point> {
    if !p.bounds.grown(1e-12).overlaps(&q.bounds.grown(1e-12)) {
        return None;
    }
    if neighbours {
        return folded(p, q);
    }
    if proper_crossing(p, q) {
        let (from, to) = (turn(q.a, q.b, p.a), turn(q.a, q.b, p.b));
        let t = from / (from - to);
        return Some(Point::new(p.a.x + t * (p.b.x - p.a.x), p.a.y + t * (p.b.y - p.a.y)));
    }
    along(p, q)
}

/// The shared point of neighbours that run back over each other.
fn folded(p: &Side, q: &Side) -> Option<Point> {
    let (shared, from, to) = if p.b == q.a { (p.b, p.a, q.b) } else { (p.a, q.a, p.b) };
    let back = (from.x - shared.x) * (to.x - shared.x) + (from.y - shared.y) * (to.y - shared.y) > 0.0;
    (turn(from, shared, to) == 0.0 && back).then_some(shared)
}

/// The middle of the stretch that two edges on one line share.
fn along(p: &Side, q: &Side) -> Option<Point> {
    if turn(p.a, p.b, q.a) != 0.0 || turn(p.a, p.b, q.b) != 0.0 {
        return None;
    }
    let long = |v: Point| (v.x - p.a.x) * (p.b.x - p.a.x) + (v.y - p.a.y) * (p.b.y - p.a.y);
    let (low, high) = (long(q.a).min(long(q.b)).max(0.0), long(q.a).max(long(q.b)).min(long(p.b)));
    let t = f64::midpoint(low, high) / long(p.b);
    (low < high).then(|| Point::new(p.a.x + t * (p.b.x - p.a.x), p.a.y + t * (p.b.y - p.a.y)))
}

fn middle(a: Point, b: Point) -> Point {
    Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    fn square(at: f64, size: f64) -> Vec<Point> {
        ring(&[(at, at), (at + size, at), (at + size, at + size), (at, at + size)])
    }

    /// Plain geometry: squares side by side, diagonal to each other, overlapping, one in the other's hole.
    #[test]
    fn distances_of_squares() {
        let frame = Outline::new(square(0.0, 20.0), vec![square(5.0, 10.0)]).expect("an outline");
        for (at, size, expected) in [
            (23.0, 4.0, 18.0_f64.sqrt()),
            (7.0, 4.0, 2.0),
            (1.0, 2.0, 0.0),
            (-5.0, 40.0, 0.0),
            (15.0, 10.0, 0.0),
            (5.0, 10.0, 0.0),
        ] {
            let other = Outline::new(square(at, size), vec![]).expect("an outline");
            assert!((outline_distance(&frame, &other) - expected).abs() < 1e-12, "{at} {size}");
            assert!((outline_distance(&other, &frame) - expected).abs() < 1e-12, "{at} {size}");
        }
    }

    #[test]
    fn faults_are_found() {
        let outline =
            |outer: &[(f64, f64)], holes: Vec<Vec<Point>>| Outline::new(ring(outer), holes).expect("an outline");
        let bow = outline(&[(0.0, 0.0), (10.0, 10.0), (10.0, 1.0), (0.0, 8.0)], vec![]);
        assert!(matches!(outline_fault(&bow), Some(Fault::Crossing { .. })));
        let spike = outline(&[(0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (15.0, 5.0), (10.0, 5.0), (10.0, 10.0)], vec![]);
        assert!(matches!(outline_fault(&spike), Some(Fault::Crossing { .. })));
        let plain = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        assert_eq!(outline_fault(&outline(&plain, vec![square(2.0, 3.0)])), None);
        assert_eq!(outline_fault(&outline(&plain, vec![square(20.0, 3.0)])), Some(Fault::HoleOutside { hole: 0 }));
        assert!(matches!(outline_fault(&outline(&plain, vec![square(8.0, 5.0)])), Some(Fault::Crossing { .. })));
    }
}
