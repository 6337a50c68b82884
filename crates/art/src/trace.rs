//! Path data: polygons as they are, or an edge of pixels as lines and smooth curves.
//!
//! Between two corners kept, the stretch of edge left out is followed by a straight line or by a
//! curve through its neighbours, whichever lies nearer to it: lines stay lines, arcs become
//! curves, corners stay.

use crate::thin::from_line;
use geometry::{Bounds, Outline, Point, Region};
use std::fmt::Write as _;

/// A corner turning more than this stays a corner, degrees.
const CORNER_DEG: f64 = 40.0;

/// Straight lines, y down from the upper edge of the box.
pub(crate) fn polygons(region: &Region, bounds: &Bounds) -> String {
    let mut data = String::new();
    for ring in region.outlines.iter().flat_map(Outline::rings) {
        for (at, p) in down(ring, bounds).into_iter().enumerate() {
            let _ = write!(data, "{}{:.4} {:.4}", if at == 0 { 'M' } else { 'L' }, p.x, p.y);
        }
        data.push('Z');
    }
    data
}

/// Lines and curves; `edges` are the rings that those of `region` were thinned from, in order.
pub(crate) fn curves(region: &Region, edges: &[&[Point]], bounds: &Bounds) -> String {
    let mut data = String::new();
    for (ring, edge) in region.outlines.iter().flat_map(Outline::rings).zip(edges) {
        smooth(&down(ring, bounds), &down(edge, bounds), &mut data);
    }
    data
}

fn down(ring: &[Point], bounds: &Bounds) -> Vec<Point> {
    ring.iter().map(|p| Point::new(p.x - bounds.min.x, bounds.max.y - p.y)).collect()
}

fn smooth(ring: &[Point], edge: &[Point], data: &mut String) {
    let corner: Vec<bool> = (0..ring.len()).map(|at| is_corner(ring, at)).collect();
    let stretches = Stretches::of(ring, edge);
    let _ = write!(data, "M{:.4} {:.4}", ring[0].x, ring[0].y);
    for from in 0..ring.len() {
        let to = (from + 1) % ring.len();
        let end = ring[to];
        let left_out = stretches.after(from);
        let line = left_out.iter().map(|p| from_line(ring[from], end, *p)).fold(0.0, f64::max);
        let (a, b) = handles(ring, from, corner[from], corner[to]);
        if (corner[from] && corner[to]) || line <= off_curve([ring[from], a, b, end], left_out) {
            let _ = write!(data, "L{:.4} {:.4}", end.x, end.y);
        } else {
            let _ = write!(data, "C{:.4} {:.4} {:.4} {:.4} {:.4} {:.4}", a.x, a.y, b.x, b.y, end.x, end.y);
        }
    }
    data.push('Z');
}

/// The points of an edge between the corners kept of it.
struct Stretches<'a> {
    edge: &'a [Point],
    /// Where each corner kept stands in the edge.
    kept: Vec<usize>,
}

impl<'a> Stretches<'a> {
    fn of(ring: &[Point], edge: &'a [Point]) -> Self {
        let mut kept = Vec::with_capacity(ring.len());
        let mut at = 0;
        for p in ring {
            // Corners are kept in order; one that is not found has nothing left out before it.
            if let Some(found) = edge.iter().skip(at).position(|q| q.distance(*p) < 1e-9) {
                at += found;
            }
            kept.push(at);
        }
        Self { edge, kept }
    }

    fn after(&self, nth: usize) -> &'a [Point] {
        let from = self.kept[nth] + 1;
        let to = self.kept.get(nth + 1).copied().unwrap_or(self.edge.len());
        self.edge.get(from..to).unwrap_or(&[])
    }
}

/// How far the farthest point lies from a cubic curve, sampled.
fn off_curve(p: [Point; 4], points: &[Point]) -> f64 {
    let at = |t: f64| {
        let s = 1.0 - t;
        let weights = [s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t];
        let sum = |of: fn(Point) -> f64| weights.iter().zip(p).map(|(w, p)| w * of(p)).sum::<f64>();
        Point::new(sum(|p| p.x), sum(|p| p.y))
    };
    let samples: Vec<Point> = (0..=12).map(|step| at(f64::from(step) / 12.0)).collect();
    let off = |q: Point| samples.windows(2).map(|pair| from_line(pair[0], pair[1], q)).fold(f64::INFINITY, f64::min);
    points.iter().map(|q| off(*q)).fold(0.0, f64::max)
}

fn neighbour(ring: &[Point], at: usize, step: usize) -> Point {
    ring[(at + step) % ring.len()]
}

fn is_corner(ring: &[Point], at: usize) -> bool {
    let (a, b, c) = (neighbour(ring, at, ring.len() - 1), ring[at], neighbour(ring, at, 1));
    let (u, v) = (Point::new(b.x - a.x, b.y - a.y), Point::new(c.x - b.x, c.y - b.y));
    let turn = (u.x * v.y - u.y * v.x).atan2(u.x * v.x + u.y * v.y);
    turn.abs().to_degrees() > CORNER_DEG
}

/// Handles of the curve between two points: a third of its length along the chord of the
/// neighbours (Catmull & Rom, 1974, with chord lengths), straight at a corner.
fn handles(ring: &[Point], from: usize, from_corner: bool, to_corner: bool) -> (Point, Point) {
    let (a, b) = (ring[from], neighbour(ring, from, 1));
    let third = a.distance(b) / 3.0;
    let along = |before: Point, after: Point| {
        let length = before.distance(after).max(1e-12);
        Point::new((after.x - before.x) / length, (after.y - before.y) / length)
    };
    let straight = along(a, b);
    let start = if from_corner { straight } else { along(neighbour(ring, from, ring.len() - 1), b) };
    let end = if to_corner { straight } else { along(a, neighbour(ring, from, 2)) };
    (Point::new(a.x + third * start.x, a.y + third * start.y), Point::new(b.x - third * end.x, b.y - third * end.y))
}
