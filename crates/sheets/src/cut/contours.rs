//! The rings to be cut, thinned within the tolerance, with what lies inside what.

use super::CutSheet;
use geometry::{Bounds, Point, Ring};

/// One closed cut.
pub(crate) struct Contour {
    pub(crate) ring: Ring,
    pub(crate) piece: usize,
    /// Whether it bounds the piece from outside.
    pub(crate) outer: bool,
    pub(crate) bounds: Bounds,
    /// The smallest contour around this one; it is cut later.
    pub(crate) around: Option<usize>,
}

/// All of a sheet's rings.
pub(crate) struct Contours {
    pub(crate) all: Vec<Contour>,
    /// How many were too small.
    pub(crate) dropped: usize,
}

pub(crate) fn of(sheet: &CutSheet, tolerance: f64, least_area: f64) -> Contours {
    let mut all = Vec::new();
    let mut dropped = 0;
    let m = sheet.margin_mm;
    for (piece, cut) in sheet.pieces.iter().enumerate() {
        for outline in &cut.region.outlines {
            for (at, ring) in outline.rings().enumerate() {
                let moved: Ring = ring.iter().map(|p| Point::new(p.x + m, p.y + m)).collect();
                if area(&moved).abs() < least_area {
                    dropped += 1;
                    continue;
                }
                let thin = thinned(&moved, tolerance);
                if let Some(bounds) = Bounds::around(&thin) {
                    all.push(Contour { ring: thin, piece, outer: at == 0, bounds, around: None });
                }
            }
        }
    }
    find_around(&mut all);
    Contours { all, dropped }
}

/// A ring that stands by itself.
pub(crate) fn standing(piece: usize, ring: Ring) -> Option<Contour> {
    let bounds = Bounds::around(&ring)?;
    Some(Contour { ring, piece, outer: true, bounds, around: None })
}

fn find_around(all: &mut [Contour]) {
    // From small to large, so that the first ring found around another is the smallest one.
    let areas: Vec<f64> = all.iter().map(|c| area(&c.ring).abs()).collect();
    let mut by_area: Vec<usize> = (0..all.len()).collect();
    by_area.sort_by(|a, b| areas[*a].total_cmp(&areas[*b]).then(a.cmp(b)));
    let found: Vec<Option<usize>> = by_area
        .iter()
        .enumerate()
        .map(|(rank, inner)| {
            let inner = &all[*inner];
            let p = inner.ring.first()?;
            by_area.get(rank + 1..)?.iter().copied().find(|outer| {
                let outer = &all[*outer];
                outer.bounds.contains(&inner.bounds) && holds(&outer.ring, *p)
            })
        })
        .collect();
    for (inner, around) in by_area.into_iter().zip(found) {
        all[inner].around = around;
    }
}

pub(crate) fn area(ring: &[Point]) -> f64 {
    let Some(o) = ring.first() else { return 0.0 };
    sides(ring).map(|(a, b)| (a.x - o.x) * (b.y - o.y) - (b.x - o.x) * (a.y - o.y)).sum::<f64>() / 2.0
}

pub(crate) fn sides(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| (*a, *b))
}

fn holds(ring: &[Point], p: Point) -> bool {
    sides(ring)
        .filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x)
        .count()
        % 2
        == 1
}

/// The ring with as few of its points as keep every left-out one within `tolerance`
/// (Douglas & Peucker, *Cartographica* 10(2), 1973, between the two farthest points).
pub(crate) fn thinned(ring: &[Point], tolerance: f64) -> Ring {
    let Some(first) = ring.first() else { return Ring::new() };
    let far =
        (0..ring.len()).max_by(|a, b| ring[*a].distance(*first).total_cmp(&ring[*b].distance(*first))).unwrap_or(0);
    let mut keep = vec![false; ring.len()];
    keep[0] = true;
    keep[far] = true;
    let mut open = vec![(0, far), (far, ring.len())];
    while let Some((from, to)) = open.pop() {
        let (a, b) = (ring[from], ring[to % ring.len()]);
        let worst = (from + 1..to).map(|at| (at, off_line(ring[at], a, b))).max_by(|p, q| p.1.total_cmp(&q.1));
        if let Some((at, off)) = worst
            && off > tolerance
        {
            keep[at] = true;
            open.push((from, at));
            open.push((at, to));
        }
    }
    let thin: Ring = ring.iter().zip(&keep).filter(|(_, keep)| **keep).map(|(p, _)| *p).collect();
    if thin.len() < 3 { ring.to_vec() } else { thin }
}

fn off_line(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let long = dx * dx + dy * dy;
    let t = if long > 0.0 { (((p.x - a.x) * dx + (p.y - a.y) * dy) / long).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(Point::new(a.x + t * dx, a.y + t * dy))
}

/// Where a cut may start: the middles of the longest straight runs, as (edge, point).
pub(crate) fn starts(ring: &[Point]) -> Vec<(usize, Point)> {
    /// Enough choices to save travel; more save little.
    const MOST: usize = 8;
    let mut runs: Vec<(usize, f64, Point)> = sides(ring)
        .enumerate()
        .map(|(at, (a, b))| (at, a.distance(b), Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y))))
        .collect();
    runs.sort_by(|p, q| q.1.total_cmp(&p.1).then(p.0.cmp(&q.0)));
    let longest = runs.first().map_or(0.0, |r| r.1);
    runs.into_iter().take_while(|r| r.1 >= 0.5 * longest).take(MOST).map(|(at, _, p)| (at, p)).collect()
}

/// The ring beginning in the middle of the edge after its point `edge`.
pub(crate) fn started_at(ring: &[Point], edge: usize) -> Ring {
    let n = ring.len().max(1);
    let (a, b) = (ring[edge % n], ring[(edge + 1) % n]);
    let middle = Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
    std::iter::once(middle).chain((1..=n).map(|i| ring[(edge + i) % n])).collect()
}
