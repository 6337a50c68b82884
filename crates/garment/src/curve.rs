//! Lines and curves of a flat drawing, as points.

use geometry::{Bounds, Outline, Point, Region};

/// Straight pieces of a curve.
const PIECES: u32 = 14;
/// Longest piece of a seam that is covered by one upright rectangle, mm.
const COVER_MM: f64 = 12.0;
/// A curve's covering rectangle is at most this wide across its run, mm.
const SLIM_MM: f64 = 6.0;
/// And at most this long, mm.
const LONG_MM: f64 = 80.0;

/// A line being drawn.
#[derive(Debug, Clone)]
pub(crate) struct Path {
    points: Vec<Point>,
}

impl Path {
    /// Begins at (x, y).
    pub(crate) fn at(x: f64, y: f64) -> Self {
        Self { points: vec![Point::new(x, y)] }
    }

    /// Goes straight to (x, y).
    pub(crate) fn line(mut self, x: f64, y: f64) -> Self {
        self.points.push(Point::new(x, y));
        self
    }

    /// Bends to `to` by way of two control points (cubic Bézier).
    pub(crate) fn curve(mut self, a: (f64, f64), b: (f64, f64), to: (f64, f64)) -> Self {
        let from = self.points.last().copied().unwrap_or_default();
        for piece in 1..=PIECES {
            let t = f64::from(piece) / f64::from(PIECES);
            let s = 1.0 - t;
            let mix = |p0: f64, p1: f64, p2: f64, p3: f64| {
                s * s * s * p0 + 3.0 * s * s * t * p1 + 3.0 * s * t * t * p2 + t * t * t * p3
            };
            self.points.push(Point::new(mix(from.x, a.0, b.0, to.0), mix(from.y, a.1, b.1, to.1)));
        }
        self
    }

    /// The points so far, and the way back mirrored about x = 0, so that a half
    /// drawn from the centre line becomes a whole.
    pub(crate) fn mirrored(mut self) -> Self {
        let back: Vec<Point> = self.points.iter().rev().map(|p| Point::new(-p.x, p.y)).collect();
        self.points.extend(back);
        self.points.dedup();
        self
    }

    /// From the mirrored end over the beginning to the end, for a line drawn outward from x = 0.
    pub(crate) fn mirrored_open(self) -> Vec<Point> {
        let mut all: Vec<Point> = self.points.iter().rev().map(|p| Point::new(-p.x, p.y)).collect();
        all.pop();
        all.extend(self.points);
        all
    }

    /// The points.
    pub(crate) fn points(self) -> Vec<Point> {
        self.points
    }

    /// The points as a closed outline; `None` when they enclose nothing.
    pub(crate) fn outline(self) -> Option<Outline> {
        Outline::new(self.points, Vec::new()).ok()
    }
}

/// The same points seen from the other side.
pub(crate) fn flipped(points: &[Point]) -> Vec<Point> {
    points.iter().map(|p| Point::new(-p.x, p.y)).collect()
}

/// A strip of `half` mm to both sides of a line, and upright rectangles that cover it.
pub(crate) fn strip(points: &[Point], half: f64) -> (Region, Vec<Bounds>) {
    let mut left = Vec::new();
    let mut right = Vec::new();
    let mut cover = Vec::new();
    let last = points.len().saturating_sub(1);
    for (at, p) in points.iter().enumerate() {
        let before = points.get(at.saturating_sub(1)).unwrap_or(p);
        let after = points.get((at + 1).min(last)).unwrap_or(p);
        let long = before.distance(*after);
        let (nx, ny) = if long > 0.0 {
            (-(after.y - before.y) / long * half, (after.x - before.x) / long * half)
        } else {
            (0.0, half)
        };
        left.push(Point::new(p.x + nx, p.y + ny));
        right.push(Point::new(p.x - nx, p.y - ny));
    }
    for run in runs(points) {
        if let (Some(a), Some(b), Some(bounds)) = (run.first(), run.last(), Bounds::around(run)) {
            if run.len() == 2 { cover_piece(*a, *b, half, &mut cover) } else { cover.push(bounds.grown(half)) }
        }
    }
    right.reverse();
    left.extend(right);
    let region = Region { outlines: Outline::new(left, Vec::new()).into_iter().collect() };
    (region, cover)
}

/// Consecutive points whose rectangle stays slim, so that few rectangles cover a curve closely.
fn runs(points: &[Point]) -> Vec<&[Point]> {
    let mut runs = Vec::new();
    let mut start = 0;
    while start + 1 < points.len() {
        let mut end = start + 1;
        while end + 1 < points.len() {
            let slim = points
                .get(start..=end + 1)
                .and_then(Bounds::around)
                .is_some_and(|b| b.width().min(b.height()) <= SLIM_MM && b.width().max(b.height()) <= LONG_MM);
            if !slim {
                break;
            }
            end += 1;
        }
        runs.extend(points.get(start..=end));
        start = end;
    }
    runs
}

/// Rectangles over a straight piece; upright and level pieces need one only.
fn cover_piece(a: Point, b: Point, half: f64, cover: &mut Vec<Bounds>) {
    let long = a.distance(b);
    if long <= 0.0 {
        return;
    }
    let (wide, high) = ((b.y - a.y).abs() / long * half, (b.x - a.x).abs() / long * half);
    let level = (b.x - a.x).abs() < 1.0 || (b.y - a.y).abs() < 1.0;
    let parts = if level { 1.0 } else { (long / COVER_MM).ceil().clamp(1.0, 200.0) };
    for part in 0..parts as u32 {
        let (s, t) = (f64::from(part) / parts, f64::from(part + 1) / parts);
        let (p, q) = (
            Point::new(a.x + (b.x - a.x) * s, a.y + (b.y - a.y) * s),
            Point::new(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t),
        );
        cover.push(Bounds {
            min: Point::new(p.x.min(q.x) - wide, p.y.min(q.y) - high),
            max: Point::new(p.x.max(q.x) + wide, p.y.max(q.y) + high),
        });
    }
}

/// An upright rectangle as a region.
pub(crate) fn box_region(bounds: &Bounds) -> Region {
    let corners =
        vec![bounds.min, Point::new(bounds.max.x, bounds.min.y), bounds.max, Point::new(bounds.min.x, bounds.max.y)];
    Region { outlines: Outline::new(corners, Vec::new()).into_iter().collect() }
}

/// An upright rectangle by its sides.
pub(crate) fn bounds(left: f64, bottom: f64, right: f64, top: f64) -> Bounds {
    Bounds { min: Point::new(left.min(right), bottom.min(top)), max: Point::new(left.max(right), bottom.max(top)) }
}
