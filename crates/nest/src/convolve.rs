//! The no-fit polygon of two shapes without usable holes, by convolution.
//!
//! Walking both outlines in order of direction traces closed curves whose winding
//! number at p is the number of parts in which A and p + B meet, so that non-zero
//! winding is the Minkowski sum (Guibas, Ramshaw & Stolfi, "A kinetic framework
//! for computational geometry", FOCS 1983). For traced outlines this gives a
//! twentieth of the edges that sums of convex parts would.

use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};

use i_triangle::i_overlay::core::fill_rule::FillRule;
use i_triangle::i_overlay::core::overlay_rule::OverlayRule;
use i_triangle::i_overlay::float::overlay::FloatOverlay;

use crate::forbidden::Rings;

/// An outline with the direction of each edge and the turn at each vertex.
#[derive(Debug, Clone, Default)]
pub(crate) struct Curve {
    points: Vec<[f64; 2]>,
    /// Direction of the edge that leaves each point, radians from 0 to 2π.
    heading: Vec<f64>,
}

impl Curve {
    /// From a counter-clockwise ring.
    pub(crate) fn new(ring: &[[f64; 2]]) -> Self {
        let mut points = ring.to_vec();
        points.dedup();
        let count = points.len();
        let heading = (0..count)
            .map(|k| {
                let (a, b) = (points[k], points[(k + 1) % count]);
                around((b[1] - a[1]).atan2(b[0] - a[0]))
            })
            .collect();
        Self { points, heading }
    }

    /// Turned by half a turn about the origin.
    pub(crate) fn opposite(&self) -> Self {
        Self {
            points: self.points.iter().map(|[x, y]| [-x, -y]).collect(),
            heading: self.heading.iter().map(|h| around(h + PI)).collect(),
        }
    }

    /// The turn at a vertex, from −π to π.
    fn turn(&self, at: usize) -> f64 {
        let before = self.heading[(at + self.heading.len() - 1) % self.heading.len()];
        let heading = self.heading[at];
        if heading == before {
            return 0.0;
        }
        // Headings that differ never turn by nothing, however the difference rounds.
        let turn = (heading - before).rem_euclid(TAU);
        let turn = if turn == 0.0 && heading < before { f64::MIN_POSITIVE } else { turn };
        if turn > PI { (turn - TAU).min(-f64::MIN_POSITIVE) } else { turn }
    }
}

/// A direction from 0 up to 2π, without 2π itself.
fn around(heading: f64) -> f64 {
    let turned = heading.rem_euclid(TAU);
    if turned < TAU { turned } else { 0.0 }
}

/// Which end of a range counts when directions are equal.
#[derive(Clone, Copy, PartialEq)]
enum Closed {
    Start,
    End,
}

/// +1 when the heading lies within a convex vertex's range, −1 within a reflex one's, else 0.
fn sweeps(curve: &Curve, at: usize, heading: f64, closed: Closed) -> i32 {
    let turn = curve.turn(at);
    let before = curve.heading[(at + curve.heading.len() - 1) % curve.heading.len()];
    let after = curve.heading[at];
    let within = |from: f64, to: f64| {
        // Along the circle from `from` to `to`, compared by the very same numbers everywhere.
        let (inside, wraps) = (
            |v: f64, low: f64, high: f64, c: Closed| match c {
                Closed::Start => v >= low && v < high,
                Closed::End => v > low && v <= high,
            },
            from > to,
        );
        if wraps { !inside(heading, to, from, closed) } else { inside(heading, from, to, closed) }
    };
    if turn > 0.0 {
        i32::from(within(before, after))
    } else if turn < 0.0 {
        -i32::from(within(after, before))
    } else {
        0
    }
}

/// The sum of two outlines; `None` when it cannot be right.
pub(crate) fn convolve(a: &Curve, b: &Curve) -> Option<Rings> {
    let cycles = cycles(a, b)?;
    let sum: Rings = FloatOverlay::<[f64; 2], i64>::from_subj(&cycles)
        .overlay(OverlayRule::Subject, FillRule::NonZero)
        .into_iter()
        .flatten()
        .collect();
    // Brunn and Minkowski: √|A ⊕ B| ≥ √|A| + √|B|.
    let least = area(std::slice::from_ref(&a.points)).sqrt() + area(std::slice::from_ref(&b.points)).sqrt();
    (area(&sum).max(0.0).sqrt() >= least * (1.0 - 1e-6)).then_some(sum)
}

fn area(rings: &[Vec<[f64; 2]>]) -> f64 {
    let cross = |(a, b): (&[f64; 2], &[f64; 2])| a[0] * b[1] - a[1] * b[0];
    rings.iter().flat_map(|r| r.iter().zip(r.iter().cycle().skip(1))).map(cross).sum::<f64>() / 2.0
}

/// The closed curves of the convolution, its steps joined end to end; `None` when one stays open.
fn cycles(a: &Curve, b: &Curve) -> Option<Rings> {
    let (n, m) = (a.points.len(), b.points.len());
    // From each pair of vertices the pairs that steps lead to.
    let mut steps: BTreeMap<(usize, usize), Vec<(usize, usize)>> = BTreeMap::new();
    let mut add = |from, to, way: i32| match way {
        1 => steps.entry(from).or_default().push(to),
        -1 => steps.entry(to).or_default().push(from),
        _ => {}
    };
    for i in 0..n {
        for j in 0..m {
            add((i, j), ((i + 1) % n, j), sweeps(b, j, a.heading[i], Closed::Start));
            add((i, j), (i, (j + 1) % m), sweeps(a, i, b.heading[j], Closed::End));
        }
    }
    let point = |(i, j): (usize, usize)| [a.points[i][0] + b.points[j][0], a.points[i][1] + b.points[j][1]];
    let mut all = Rings::new();
    while let Some((start, _)) = steps.first_key_value() {
        let start = *start;
        let mut ring = Vec::new();
        let mut at = start;
        loop {
            ring.push(point(at));
            let next = steps.get_mut(&at).and_then(Vec::pop)?;
            if steps.get(&at).is_some_and(Vec::is_empty) {
                steps.remove(&at);
            }
            at = next;
            if at == start {
                break;
            }
        }
        all.push(ring);
    }
    Some(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the sum by convex parts of a general-purpose library (i_triangle), on random stars.
    #[test]
    fn agrees_with_sums_of_convex_parts() {
        use i_triangle::float::minkowski::minkowski_sum;
        let mut random = crate::random::Random::new(7, 0);
        for round in 0..60 {
            let mut star = |points: usize| -> Vec<[f64; 2]> {
                (0..points)
                    .map(|k| {
                        let r = random.between(2.0, 10.0);
                        let (sin, cos) = (k as f64 * TAU / points as f64).sin_cos();
                        [r * cos, r * sin]
                    })
                    .collect()
            };
            let (a, b) = (star(5 + round % 17), star(4 + round % 11));
            let by_curve = area(&convolve(&Curve::new(&a), &Curve::new(&b)).expect("a sum"));
            let by_parts: Rings =
                minkowski_sum(&a, &b, FillRule::NonZero).expect("a sum").into_iter().flatten().collect();
            let expected = area(&by_parts);
            assert!((by_curve - expected).abs() < 1e-4 * expected, "{round}: {by_curve} {expected}");
        }
        // Squares, whose edges are parallel: (2 + 3)².
        let square = |s: f64| Curve::new(&[[0.0, 0.0], [s, 0.0], [s, s], [0.0, s]]);
        let sum = convolve(&square(2.0), &square(3.0).opposite()).expect("a sum");
        assert!((area(&sum) - 25.0).abs() < 1e-9);
    }
}
