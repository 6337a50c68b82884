//! Where a platen can lie so that the art is on it and everything raised hangs
//! over its edge.

use geometry::{Bounds, Point};
use trade::platens::CLEARANCE_MM;
use trade::{Platen, PlatenForm, PlatenShape};

/// A platen's footprint, as it can be turned under a garment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Footprint {
    /// Upright rectangle.
    Box { wide: f64, deep: f64 },
    /// Disc.
    Disc { diameter: f64 },
}

/// A platen where it lies under a panel, in the panel's frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlatenPlace {
    /// The upright rectangle around it.
    pub bounds: Bounds,
    /// Whether it is round.
    pub round: bool,
    /// Whether the garment lies across it (the platen's depth runs along the panel's x).
    pub turned: bool,
    /// How far it was moved from being centred under the art, mm.
    pub moved_mm: f64,
}

impl PlatenPlace {
    /// Whether an upright rectangle reaches into the platen's area.
    pub fn touches(&self, other: &Bounds) -> bool {
        if !self.bounds.overlaps(other) {
            return false;
        }
        if !self.round {
            return true;
        }
        let c = self.bounds.centre();
        let near = Point::new(c.x.clamp(other.min.x, other.max.x), c.y.clamp(other.min.y, other.max.y));
        near.distance(c) < self.bounds.width() / 2.0 - 1e-9
    }

    /// Whether an upright rectangle lies wholly on the platen.
    pub fn holds(&self, other: &Bounds) -> bool {
        if !self.round {
            return self.bounds.grown(1e-9).contains(other);
        }
        let c = self.bounds.centre();
        corners(other).into_iter().all(|p| p.distance(c) <= self.bounds.width() / 2.0 + 1e-9)
    }
}

pub(crate) fn corners(b: &Bounds) -> [Point; 4] {
    [b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)]
}

/// The ways a platen can lie: as the operator stands, and across.
pub(crate) fn footprints(platen: &Platen) -> Vec<(Footprint, bool)> {
    match platen.shape {
        PlatenShape::Round { diameter } => vec![(Footprint::Disc { diameter: diameter.mm() }, false)],
        PlatenShape::Rectangle { width, depth } => {
            let (w, d) = (width.mm(), depth.mm());
            let straight = (Footprint::Box { wide: w, deep: d }, false);
            let across = (Footprint::Box { wide: d, deep: w }, true);
            if (w - d).abs() < 1e-9 { vec![straight] } else { vec![straight, across] }
        }
    }
}

/// Whether the platen is made for another kind of piece.
pub(crate) fn is_special(form: PlatenForm) -> bool {
    matches!(form, PlatenForm::Cap | PlatenForm::Sock)
}

/// The place nearest to centred (sum of both moves) at which `must` lies on the
/// platen and no rectangle of `keep_off` reaches into it; `None` when there is none.
///
/// The candidates are the edges of the forbidden positions, where the nearest
/// free place of an upright rectangle always lies. Cost: about n² for n rectangles.
pub(crate) fn nearest_place(
    footprint: Footprint,
    turned: bool,
    must: &Bounds,
    keep_off: &[Bounds],
) -> Option<PlatenPlace> {
    match footprint {
        Footprint::Box { wide, deep } => box_place(wide, deep, must, keep_off).map(|(x, y, moved)| PlatenPlace {
            bounds: Bounds { min: Point::new(x, y), max: Point::new(x + wide, y + deep) },
            round: false,
            turned,
            moved_mm: moved,
        }),
        Footprint::Disc { diameter } => disc_place(diameter, must, keep_off),
    }
}

fn box_place(wide: f64, deep: f64, must: &Bounds, keep_off: &[Bounds]) -> Option<(f64, f64, f64)> {
    const HAIR: f64 = 1e-9;
    let (low_x, high_x) = (must.max.x - wide, must.min.x);
    let (low_y, high_y) = (must.max.y - deep, must.min.y);
    if low_x > high_x + HAIR || low_y > high_y + HAIR {
        return None;
    }
    let (mid_x, mid_y) = (f64::midpoint(low_x, high_x), f64::midpoint(low_y, high_y));
    let mut near: Vec<&Bounds> = keep_off
        .iter()
        .filter(|b| {
            b.max.x > low_x + HAIR
                && b.min.x < high_x + wide - HAIR
                && b.max.y > low_y + HAIR
                && b.min.y < high_y + deep - HAIR
        })
        .collect();
    let mut columns = vec![mid_x, low_x, high_x];
    columns.extend(near.iter().flat_map(|b| [b.max.x, b.min.x - wide]).filter(|x| (low_x..=high_x).contains(x)));
    columns.sort_by(|a, b| (a - mid_x).abs().total_cmp(&(b - mid_x).abs()));
    columns.dedup();
    // From below, so that what they forbid in any column comes in order.
    near.sort_by(|a, b| a.min.y.total_cmp(&b.min.y));
    let mut forbidden = Vec::new();
    let mut best: Option<(f64, f64, f64)> = None;
    for x in columns {
        let aside = (x - mid_x).abs();
        if best.is_some_and(|(_, _, moved)| aside >= moved) {
            break;
        }
        let Some(y) = free_row(x, wide, deep, (low_y, mid_y, high_y), &near, &mut forbidden) else { continue };
        let moved = aside + (y - mid_y).abs();
        if best.is_none_or(|(_, _, so_far)| moved < so_far - HAIR) {
            best = Some((x, y, moved));
        }
    }
    best
}

/// The lower edge nearest to the middle of its range that no rectangle forbids, for a platen at `x`.
/// `near` lies in rising order of lower edges; `forbidden` is a place to work in.
fn free_row(
    x: f64,
    wide: f64,
    deep: f64,
    range: (f64, f64, f64),
    near: &[&Bounds],
    forbidden: &mut Vec<(f64, f64)>,
) -> Option<f64> {
    const HAIR: f64 = 1e-9;
    let (low, mid, high) = range;
    forbidden.clear();
    for b in near.iter().filter(|b| b.max.x > x + HAIR && b.min.x < x + wide - HAIR) {
        let (from, to) = (b.min.y - deep, b.max.y);
        match forbidden.last_mut() {
            Some(last) if from < last.1 - HAIR => last.1 = last.1.max(to),
            _ => forbidden.push((from, to)),
        }
    }
    if !forbidden.iter().any(|(from, to)| mid > from + HAIR && mid < to - HAIR) {
        return Some(mid);
    }
    // Apart from one another, none holds an end of another.
    forbidden
        .iter()
        .flat_map(|(from, to)| [*from, *to])
        .filter(|y| (low - HAIR..=high + HAIR).contains(y))
        .min_by(|a, b| (a - mid).abs().total_cmp(&(b - mid).abs()))
}

/// Steps of the search for a round platen, as shares of its slack.
const RINGS: [f64; 4] = [0.25, 0.5, 0.75, 1.0];
/// Sine and cosine of 45°.
const DIAGONAL: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Sixteen directions, exact enough to share a slack (unit vectors of 22.5° steps).
const ROSE: [(f64, f64); 16] = [
    (1.0, 0.0),
    (0.92388, 0.38268),
    (DIAGONAL, DIAGONAL),
    (0.38268, 0.92388),
    (0.0, 1.0),
    (-0.38268, 0.92388),
    (-DIAGONAL, DIAGONAL),
    (-0.92388, 0.38268),
    (-1.0, 0.0),
    (-0.92388, -0.38268),
    (-DIAGONAL, -DIAGONAL),
    (-0.38268, -0.92388),
    (0.0, -1.0),
    (0.38268, -0.92388),
    (DIAGONAL, -DIAGONAL),
    (0.92388, -0.38268),
];

fn disc_place(diameter: f64, must: &Bounds, keep_off: &[Bounds]) -> Option<PlatenPlace> {
    let slack = diameter / 2.0 - must.width().hypot(must.height()) / 2.0;
    if slack < 0.0 {
        return None;
    }
    let c = must.centre();
    let at = |dx: f64, dy: f64| {
        let r = diameter / 2.0;
        PlatenPlace {
            bounds: Bounds { min: Point::new(c.x + dx - r, c.y + dy - r), max: Point::new(c.x + dx + r, c.y + dy + r) },
            round: true,
            turned: false,
            moved_mm: dx.hypot(dy),
        }
    };
    let free = |place: &PlatenPlace| keep_off.iter().all(|b| !place.touches(b));
    std::iter::once(at(0.0, 0.0))
        .chain(
            RINGS
                .iter()
                .flat_map(|share| ROSE.iter().map(move |(x, y)| (x * share * slack, y * share * slack)))
                .map(|(x, y)| at(x, y)),
        )
        .find(free)
}

/// What must lie on the platen: the art and its margin. On a disc the margin runs
/// along the radius, so the art itself must lie within the disc less the margin.
pub(crate) fn must_hold(footprint: Footprint, art: &Bounds) -> (Footprint, Bounds) {
    match footprint {
        Footprint::Box { .. } => (footprint, art.grown(CLEARANCE_MM)),
        // The slack of the full disc would let the art reach its edge: grow the art so that its
        // half diagonal is longer by the margin.
        Footprint::Disc { .. } => {
            let half = art.width().hypot(art.height()) / 2.0;
            let factor = if half > 0.0 { (half + CLEARANCE_MM) / half } else { 1.0 };
            let (w, h) = (art.width() * factor / 2.0, art.height() * factor / 2.0);
            let c = art.centre();
            let grown = Bounds { min: Point::new(c.x - w, c.y - h), max: Point::new(c.x + w, c.y + h) };
            (footprint, grown)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn b(x0: f64, y0: f64, x1: f64, y1: f64) -> Bounds {
        Bounds { min: Point::new(x0, y0), max: Point::new(x1, y1) }
    }

    /// Plain geometry: a 100 × 100 platen under a 40 × 40 field at the origin.
    #[test]
    fn moves_no_farther_than_needed() {
        let must = b(0.0, 0.0, 40.0, 40.0);
        let centred = box_place(100.0, 100.0, &must, &[]).expect("free");
        assert_eq!((centred.0, centred.1, centred.2), (-30.0, -30.0, 0.0));
        // A seam at the right from x = 60: the platen's right edge (70) comes back by 10.
        let right = box_place(100.0, 100.0, &must, &[b(60.0, -200.0, 70.0, 200.0)]).expect("free");
        assert_eq!((right.0, right.1), (-40.0, -30.0));
        // Seams left (−20) and right (50) leave 70 < 100: no place.
        let walls = [b(-30.0, -200.0, -20.0, 200.0), b(50.0, -200.0, 60.0, 200.0)];
        assert_eq!(box_place(100.0, 100.0, &must, &walls), None);
        // A short seam to the right can be passed above or below or by moving left; left is 10, up is 35.
        let short = box_place(100.0, 100.0, &must, &[b(60.0, -40.0, 70.0, -25.0)]).expect("free");
        assert!((short.2 - 5.0).abs() < 1e-9, "up by 5 clears a seam whose top is at −25: {short:?}");
    }

    /// The exact search against trying every half millimetre.
    #[test]
    fn agrees_with_trying_every_place() {
        let mut seed = 12345_u64;
        let mut next = |limit: f64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            ((seed >> 33) as f64 / f64::from(1_u32 << 31) * limit * 2.0).round() / 2.0
        };
        let must = b(0.0, 0.0, 30.0, 20.0);
        let mut seen = [0, 0];
        for _ in 0..300 {
            let walls: Vec<Bounds> = (0..6)
                .map(|_| {
                    let (x, y, w, h) = (next(120.0) - 60.0, next(120.0) - 60.0, next(20.0) + 1.0, next(20.0) + 1.0);
                    b(x, y, x + w, y + h)
                })
                .collect();
            let (wide, deep) = (60.0, 50.0);
            let exact = box_place(wide, deep, &must, &walls).map(|p| p.2);
            let mut tried: Option<f64> = None;
            for i in 0..=60 {
                for j in 0..=60 {
                    let (x, y) = (-30.0 + 0.5 * f64::from(i), -30.0 + 0.5 * f64::from(j));
                    let here = b(x, y, x + wide, y + deep);
                    if walls.iter().all(|wall| !wall.overlaps(&here)) {
                        let moved = (x + 15.0).abs() + (y + 15.0).abs();
                        tried = Some(tried.map_or(moved, |t: f64| t.min(moved)));
                    }
                }
            }
            assert_eq!(exact.is_some(), tried.is_some(), "{walls:?}");
            if let (Some(exact), Some(tried)) = (exact, tried) {
                assert!((exact - tried).abs() < 1e-6, "{exact} {tried}");
                seen[0] += 1;
            } else {
                seen[1] += 1;
            }
        }
        assert!(seen.iter().all(|count| *count > 10), "{seen:?}");
    }
}
