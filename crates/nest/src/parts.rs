//! Designs as the search sees them: simplified outward, in every turn they may
//! take, with the no-fit polygon of every pair.

use std::collections::BTreeMap;

use geometry::{Outline, Point, Region};
use i_triangle::float::minkowski::{MinkowskiOperand, MinkowskiSolver};
use i_triangle::i_overlay::core::fill_rule::FillRule;
use i_triangle::i_overlay::i_float::float::rect::FloatRect;
use rayon::prelude::*;

use crate::convolve::{Curve, convolve};
use crate::forbidden::{Depth, NoFit, Rings};
use crate::instance::{Direction, Instance, Rotations};

/// Shapes are drawn in by this much, mm, so that exact fits have room; spacing
/// stays within 10⁻⁶ mm of what is asked.
const GIVE_MM: f64 = 4e-7;

/// One design in one turn.
#[derive(Debug, Clone)]
pub(crate) struct Class {
    /// Which shape: a design, or past them an obstacle.
    pub(crate) shape: usize,
    pub(crate) turn_deg: f64,
    cos: f64,
    sin: f64,
    /// Bounds of the turned outline about its origin.
    pub(crate) low: [f64; 2],
    pub(crate) high: [f64; 2],
    /// Bounds of each hole, along y.
    pub(crate) holes: Vec<[f64; 2]>,
}

impl Class {
    /// Extent along x and y.
    pub(crate) fn size(&self) -> [f64; 2] {
        [self.high[0] - self.low[0], self.high[1] - self.low[1]]
    }
}

/// All shapes, turns and pairs.
#[derive(Debug, Default)]
pub(crate) struct Parts {
    pub(crate) classes: Vec<Class>,
    /// The classes of each design.
    pub(crate) of_design: Vec<Vec<usize>>,
    /// The one class of each obstacle.
    pub(crate) of_obstacle: Vec<usize>,
    /// Area of each design's grown outline, holes excluded, mm².
    pub(crate) area: Vec<f64>,
    designs: usize,
    table: Vec<u32>,
    fits: Vec<NoFit>,
}

/// How closely outlines of many designs are followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Detail {
    /// So that a first answer comes soon.
    Coarse,
    /// As the search goes on with; holds the true outline as the coarse one does.
    Fine,
}

struct Shape {
    rings: Rings,
    grown: Rings,
}

/// A pair to work out: first shape, second shape, turn of the second against the first in millionths of a degree.
type Pair = (usize, usize, i64);

impl Parts {
    /// Prepares every design and obstacle. Time grows with the square of the
    /// number of designs; outlines are simplified the more of them there are.
    pub(crate) fn new(instance: &Instance, detail: Detail, extra_turns: &[Vec<f64>], obstacles: &[Outline]) -> Self {
        let spacing = instance.spacing_mm;
        let count = instance.designs.len();
        let steps = any_steps(count);
        let most = vertices_for(instance, detail);
        let mut parts = Self { designs: count, ..Self::default() };
        let mut shapes: Vec<Shape> = Vec::new();
        let laid: Vec<(Outline, Shape)> = instance
            .designs
            .par_iter()
            .map(|d| {
                let laid = laid_outline(&d.outline, d.mirrored);
                let shape = simplified(&laid, most, spacing);
                (laid, shape)
            })
            .collect();
        for (at, (design, (laid, shape))) in instance.designs.iter().zip(laid).enumerate() {
            let mut turns = turns_of(&design.rotations, &laid, steps);
            let mut of = parts.add_classes(at, &laid, &turns);
            turns.clear();
            turns.extend(extra_turns.get(at).into_iter().flatten());
            turns.retain(|t| !of.iter().any(|c| (parts.classes[*c].turn_deg - t).abs() < 1e-9));
            of.extend(parts.add_classes(at, &laid, &turns));
            parts.of_design.push(of);
            parts.area.push(rings_area(&shape.grown));
            shapes.push(shape);
        }
        for obstacle in obstacles {
            let at = shapes.len();
            let of = parts.add_classes(at, obstacle, &[0.0]);
            parts.of_obstacle.extend(of);
            let rings = plain(&Region { outlines: vec![obstacle.clone()] });
            shapes.push(Shape { grown: drawn_in(&rings), rings });
        }
        parts.work_out(&shapes);
        parts
    }

    /// The class of a design under exactly this turn.
    pub(crate) fn class_turned(&self, design: usize, turn_deg: f64) -> Option<usize> {
        self.of_design[design].iter().copied().find(|c| (self.classes[*c].turn_deg - turn_deg).abs() < 1e-9)
    }

    /// How far `b` must move to be clear of `a`; `None` when it is.
    #[inline]
    pub(crate) fn depth(&self, a: usize, at_a: [f64; 2], b: usize, at_b: [f64; 2]) -> Option<Depth> {
        let (fit, q, frame, sign) = self.question(a, at_a, b, at_b);
        let depth = fit.depth(q)?;
        let out = depth.out;
        let turned = [frame.cos * out[0] - frame.sin * out[1], frame.sin * out[0] + frame.cos * out[1]];
        Some(Depth { mm: depth.mm, out: [sign * turned[0], sign * turned[1]] })
    }

    /// Only how deep; 0 when clear.
    #[inline]
    pub(crate) fn depth_mm(&self, a: usize, at_a: [f64; 2], b: usize, at_b: [f64; 2]) -> f64 {
        let (fit, q, _, _) = self.question(a, at_a, b, at_b);
        fit.depth_mm(q)
    }

    /// A place at which `b` touches `a`, picked by two numbers from 0 to 1.
    pub(crate) fn touching(&self, a: usize, at_a: [f64; 2], b: usize, which: f64, along: f64) -> Option<[f64; 2]> {
        let (fit, _, frame, sign) = self.question(a, at_a, b, at_a);
        let q = fit.on_edge(which, along)?;
        let turned = [frame.cos * q[0] - frame.sin * q[1], frame.sin * q[0] + frame.cos * q[1]];
        Some([at_a[0] + sign * turned[0], at_a[1] + sign * turned[1]])
    }

    /// The stretches of the line `from` + t·`along` on which `b` is too near to `a`.
    pub(crate) fn stretches(
        &self,
        (a, at_a): (usize, [f64; 2]),
        (b, from): (usize, [f64; 2]),
        along: [f64; 2],
        scratch: &mut Vec<f64>,
        into: &mut Vec<(f64, f64)>,
    ) {
        let (fit, q, frame, sign) = self.question(a, at_a, b, from);
        let d = [
            sign * (frame.cos * along[0] + frame.sin * along[1]),
            sign * (frame.cos * along[1] - frame.sin * along[0]),
        ];
        fit.stretches(q, d, scratch, into);
    }

    /// The pair's no-fit polygon, the relative position in its frame, and how to come back.
    #[inline]
    fn question(&self, a: usize, at_a: [f64; 2], b: usize, at_b: [f64; 2]) -> (&NoFit, [f64; 2], &Class, f64) {
        let fit = &self.fits[self.table[a * self.classes.len() + b] as usize];
        let (frame, sign) = if self.first(self.classes[a].shape, self.classes[b].shape) {
            (&self.classes[a], 1.0)
        } else {
            (&self.classes[b], -1.0)
        };
        let v = [sign * (at_b[0] - at_a[0]), sign * (at_b[1] - at_a[1])];
        (fit, [frame.cos * v[0] + frame.sin * v[1], frame.cos * v[1] - frame.sin * v[0]], frame, sign)
    }

    /// Whether a pair is kept with shape `a` as the fixed one: obstacles first, then by number.
    #[inline]
    fn first(&self, a: usize, b: usize) -> bool {
        match (a >= self.designs, b >= self.designs) {
            (true, false) => true,
            (false, true) => false,
            _ => a <= b,
        }
    }

    fn add_classes(&mut self, shape: usize, laid: &Outline, turns: &[f64]) -> Vec<usize> {
        let mut of = Vec::new();
        let mut seen: Vec<Vec<Point>> = Vec::new();
        for turn in turns {
            let pose = geometry::Pose { mirrored: false, turn_deg: *turn, shift: Point::default() };
            let Ok(turned) = pose.outline(laid) else { continue };
            let bounds = turned.bounds();
            let marks = fingerprint(&turned);
            if seen.iter().any(|other| alike(other, &marks)) {
                continue;
            }
            seen.push(marks);
            let (sin, cos) = turn_sine(*turn);
            of.push(self.classes.len());
            self.classes.push(Class {
                shape,
                turn_deg: *turn,
                cos,
                sin,
                low: [bounds.min.x, bounds.min.y],
                high: [bounds.max.x, bounds.max.y],
                holes: turned
                    .holes()
                    .iter()
                    .filter_map(|h| geometry::Bounds::around(h).map(|b| [b.min.y, b.max.y]))
                    .collect(),
            });
        }
        of
    }

    /// Fills the table of pairs, the pairs in parallel.
    fn work_out(&mut self, shapes: &[Shape]) {
        let count = self.classes.len();
        let mut index: BTreeMap<Pair, u32> = BTreeMap::new();
        let mut pairs: Vec<Pair> = Vec::new();
        self.table = vec![0; count * count];
        for a in 0..count {
            for b in 0..count {
                let (first, second) =
                    if self.first(self.classes[a].shape, self.classes[b].shape) { (a, b) } else { (b, a) };
                let (one, two) = (&self.classes[first], &self.classes[second]);
                if one.shape >= self.designs && two.shape >= self.designs {
                    continue;
                }
                let turn = ((two.turn_deg - one.turn_deg).rem_euclid(360.0) * 1e6).round() as i64 % 360_000_000;
                let key = (one.shape, two.shape, turn);
                let at = *index.entry(key).or_insert_with(|| {
                    pairs.push(key);
                    pairs.len() as u32 - 1
                });
                self.table[a * count + b] = at;
            }
        }
        let chunk = pairs.len().div_ceil(16).max(1);
        self.fits = pairs.par_chunks(chunk).flat_map_iter(|chunk| no_fits(shapes, chunk)).collect();
        if self.fits.is_empty() {
            self.fits.push(NoFit::default());
        }
    }
}

/// The outline as it lies in the machine.
pub(crate) fn laid_outline(outline: &Outline, mirrored: bool) -> Outline {
    if !mirrored {
        return outline.clone();
    }
    outline.map(|p| Point::new(-p.x, p.y)).unwrap_or_else(|_| outline.clone())
}

/// The turns a design may take on any stock, degrees.
fn turns_of(rotations: &Rotations, laid: &Outline, steps: u32) -> Vec<f64> {
    match rotations {
        Rotations::None => vec![0.0],
        Rotations::Half => vec![0.0, 180.0],
        Rotations::Quarter => vec![0.0, 90.0, 180.0, 270.0],
        Rotations::List(list) => list.iter().map(|t| t.rem_euclid(360.0)).collect(),
        Rotations::Any => {
            let base = upright_turn(laid);
            (0..steps).map(|k| (base + f64::from(k) * 360.0 / f64::from(steps)).rem_euclid(360.0)).collect()
        }
    }
}

/// Whether a stock item's direction allows a turn.
pub(crate) fn direction_allows(direction: Direction, turn_deg: f64) -> bool {
    let off = |step: f64| {
        let rest = turn_deg.rem_euclid(step);
        rest.min(step - rest)
    };
    match direction {
        Direction::None => true,
        Direction::Half => off(180.0) < 1e-9,
        Direction::Fixed => off(360.0) < 1e-9,
    }
}

/// The turn under which the upright rectangle around the outline is smallest
/// (one side lies along an edge of the convex hull; Freeman & Shapira 1975).
fn upright_turn(laid: &Outline) -> f64 {
    let hull = convex_hull(laid.outer());
    let area = |turn: f64| {
        let pose = geometry::Pose { mirrored: false, turn_deg: turn, shift: Point::default() };
        let turned: Vec<Point> = hull.iter().map(|p| pose.apply(*p)).collect();
        geometry::Bounds::around(&turned).map_or(f64::INFINITY, |b| b.width() * b.height())
    };
    let mut best = (area(0.0) * (1.0 - 1e-9), 0.0);
    for (a, b) in hull.iter().zip(hull.iter().cycle().skip(1)) {
        let turn = -(b.y - a.y).atan2(b.x - a.x).to_degrees();
        let turn = turn.rem_euclid(90.0);
        let found = area(turn);
        if found < best.0 {
            best = (found, turn);
        }
    }
    best.1
}

/// Counter-clockwise hull (Andrew 1979).
pub(crate) fn convex_hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let chain = |all: &mut dyn Iterator<Item = Point>| {
        let mut hull: Vec<Point> = Vec::new();
        for p in all {
            while let [.., a, b] = hull[..] {
                if (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0.0 {
                    break;
                }
                hull.pop();
            }
            hull.push(p);
        }
        hull.pop();
        hull
    };
    let mut hull = chain(&mut sorted.iter().copied());
    hull.extend(chain(&mut sorted.iter().rev().copied()));
    hull
}

/// Turns tried for a free design, fewer the more designs there are.
fn any_steps(designs: usize) -> u32 {
    match designs {
        0..=8 => 24,
        9..=16 => 16,
        17..=40 => 8,
        _ => 4,
    }
}

/// Whether the search follows outlines more closely than the first answer.
pub(crate) fn refines(instance: &Instance) -> bool {
    vertices_for(instance, Detail::Fine) > vertices_for(instance, Detail::Coarse)
}

/// Vertices an outline may keep: coarse, so that the pairs are worked out in a fraction of a second; fine, in seconds.
fn vertices_for(instance: &Instance, detail: Detail) -> usize {
    let steps = any_steps(instance.designs.len());
    let turns = |r: &Rotations| match r {
        Rotations::None => 1,
        Rotations::Half => 2,
        Rotations::Quarter => 4,
        Rotations::List(list) => list.len(),
        Rotations::Any => steps as usize,
    };
    let most = instance.designs.iter().map(|d| turns(&d.rotations)).max().unwrap_or(1);
    let pairs = instance.designs.len().pow(2).saturating_mul(most) / 2;
    match (pairs, detail) {
        (0..=400, _) => 64,
        (401..=1500, _) => 40,
        (1501..=4000, Detail::Coarse) => 28,
        (1501..=10_000, Detail::Fine) => 40,
        (4001..=10_000, Detail::Coarse) => 18,
        (_, Detail::Fine) => 36,
        (_, Detail::Coarse) => 12,
    }
}

fn plain(region: &Region) -> Rings {
    region.outlines.iter().flat_map(Outline::rings).map(|ring| ring.iter().map(|p| [p.x, p.y]).collect()).collect()
}

fn count(region: &Region) -> usize {
    region.outlines.iter().flat_map(Outline::rings).map(<[Point]>::len).sum()
}

/// Simplified outward to at most about `most` vertices, and grown by the spacing.
fn simplified(laid: &Outline, most: usize, spacing: f64) -> Shape {
    let whole = Region { outlines: vec![laid.clone()] };
    let bounds = laid.bounds();
    let extent = bounds.width().max(bounds.height());
    let mut simple = whole.clone();
    let mut tolerance = extent * 0.001;
    while count(&simple) > most && tolerance < extent * 0.1 {
        simple = geometry::simplify_outward(&whole, tolerance);
        tolerance *= 1.6;
    }
    if count(&simple) > most.max(24) * 2 {
        // Too jagged to be followed: its hull holds it, and its holes are given up.
        let hull = convex_hull(laid.outer());
        if let Ok(hull) = Outline::new(hull, Vec::new()) {
            simple = geometry::simplify_outward(&Region { outlines: vec![hull] }, extent * 0.01);
        }
    }
    // The design is in one piece, so one part of the simplified region holds all of it.
    let simple = largest(simple);
    let rings = plain(&simple);
    let grown = if spacing > 2.0 * GIVE_MM {
        plain(&largest(geometry::grow_coarse(&simple, spacing - GIVE_MM)))
    } else {
        drawn_in(&rings)
    };
    Shape { rings, grown }
}

/// The part of a region with the largest area.
fn largest(mut region: Region) -> Region {
    region.outlines.sort_by(|a, b| b.area().total_cmp(&a.area()));
    region.outlines.truncate(1);
    region
}

/// Every edge moved inward by the give; corners follow. Too small a move to change the form.
fn drawn_in(rings: &Rings) -> Rings {
    rings.iter().map(|ring| drawn_in_ring(ring)).collect()
}

fn drawn_in_ring(ring: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let count = ring.len();
    let normal = |a: [f64; 2], b: [f64; 2]| {
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let long = dx.hypot(dy).max(1e-300);
        [-dy / long, dx / long]
    };
    (0..count)
        .map(|k| {
            let (before, at, after) = (ring[(k + count - 1) % count], ring[k], ring[(k + 1) % count]);
            let (m, n) = (normal(before, at), normal(at, after));
            let scale = GIVE_MM / (1.0 + m[0] * n[0] + m[1] * n[1]).max(0.05);
            let shift = [scale * (m[0] + n[0]), scale * (m[1] + n[1])];
            // A sharp tip drawn in along its edges would reach too far into others.
            let hold = (2.0 * GIVE_MM / shift[0].hypot(shift[1]).max(1e-300)).min(1.0);
            [at[0] + hold * shift[0], at[1] + hold * shift[1]]
        })
        .collect()
}

fn rings_area(rings: &Rings) -> f64 {
    rings
        .iter()
        .map(|ring| {
            ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
        })
        .sum()
}

fn turn_sine(deg: f64) -> (f64, f64) {
    // The exact values at quarter turns, as poses have them.
    let pose = geometry::Pose { mirrored: false, turn_deg: deg, shift: Point::default() };
    let unit = pose.apply(Point::new(1.0, 0.0));
    (unit.y, unit.x)
}

fn turned(rings: &Rings, deg: f64) -> Rings {
    let (sin, cos) = turn_sine(deg);
    rings.iter().map(|r| r.iter().map(|[x, y]| [x * cos - y * sin, x * sin + y * cos]).collect()).collect()
}

fn reach(rings: &Rings) -> f64 {
    rings.iter().flatten().map(|[x, y]| x.hypot(*y)).fold(0.0, f64::max)
}

/// A shape prepared for sums of convex parts; `None` when nothing of it is left.
type Operand = Option<MinkowskiOperand<[f64; 2], i64>>;

/// The no-fit polygons of some pairs, each fixed shape and each turned one prepared once.
fn no_fits(shapes: &[Shape], pairs: &[Pair]) -> Vec<NoFit> {
    let far = shapes.iter().map(|s| reach(&s.grown).max(reach(&s.rings))).fold(1.0, f64::max) * 2.5;
    let Ok(domain) = FloatRect::new(-far, far, -far, far) else { return vec![NoFit::default(); pairs.len()] };
    let mut solver = MinkowskiSolver::<[f64; 2], i64>::new(domain);
    let mut fixed: BTreeMap<usize, Operand> = BTreeMap::new();
    let mut moving: BTreeMap<(usize, i64), Operand> = BTreeMap::new();
    let mut curves: BTreeMap<usize, Curve> = BTreeMap::new();
    let mut fit = |(a, b, turn): &Pair| {
        let rings = turned(&shapes[*b].rings, *turn as f64 / 1e6);
        let (low, high) = (span(&shapes[*a].grown), span(&rings));
        if !hole_takes(&shapes[*a].grown, high) && !hole_takes(&rings, low) {
            let (Some(outer), Some(other)) = (shapes[*a].grown.first(), rings.first()) else { return Rings::new() };
            let curve = curves.entry(*a).or_insert_with(|| Curve::new(outer));
            if let Some(sum) = convolve(curve, &Curve::new(other).opposite()) {
                return sum;
            }
        }
        let mut ready = |rings: &Rings| solver.prepare(rings, FillRule::NonZero).ok().flatten();
        let a = fixed.entry(*a).or_insert_with(|| ready(&shapes[*a].grown));
        let b = moving.entry((*b, *turn)).or_insert_with(|| ready(&rings));
        match (a, b) {
            (Some(a), Some(b)) => {
                solver.difference(a, b).map(|shapes| shapes.into_iter().flatten().collect()).unwrap_or_default()
            }
            _ => Rings::new(),
        }
    };
    pairs
        .iter()
        .map(|pair| {
            let rings = fit(pair);
            if rings.is_empty() {
                return NoFit::new(&around(&shapes[pair.0].grown, &turned(&shapes[pair.1].rings, pair.2 as f64 / 1e6)));
            }
            NoFit::new(&without_cracks(rings))
        })
        .collect()
}

/// Holes and bays of a no-fit polygon narrower than this are none, mm: an exact fit leaves the room of the
/// give, a crack that rounding opens between two edges on one line leaves next to nothing. Its edges would say
/// that a piece amid another one is all but clear of it.
const CRACK_MM: f64 = 2.5e-7;
/// Points as near as this to the one before are the same, mm.
const SAME_MM: f64 = 1e-7;

fn without_cracks(rings: Rings) -> Rings {
    let around = |ring: &[[f64; 2]]| {
        ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| (b[0] - a[0]).hypot(b[1] - a[1])).sum::<f64>()
    };
    let closed = rings.into_iter().map(without_spikes);
    closed
        .filter(|ring| ring.len() > 2 && 2.0 * rings_area(&vec![ring.clone()]).abs() >= CRACK_MM * around(ring))
        .collect()
}

/// A ring without the points at which it goes out and comes back on all but the same line.
fn without_spikes(mut ring: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    let mut at = 0;
    let mut kept = 0;
    while ring.len() > 2 && kept < ring.len() {
        let count = ring.len();
        let (before, here, after) = (ring[(at + count - 1) % count], ring[at % count], ring[(at + 1) % count]);
        let (inward, outward) = ([here[0] - before[0], here[1] - before[1]], [after[0] - here[0], after[1] - here[1]]);
        let same = inward[0].hypot(inward[1]) < SAME_MM;
        let back = inward[0] * outward[0] + inward[1] * outward[1] < 0.0
            && off(after, before, here).min(off(before, here, after)) < CRACK_MM;
        if same || back {
            ring.remove(at % count);
            // The points before it may now come back on themselves.
            at = (at % count + count - 1).checked_rem(ring.len()).unwrap_or(0);
            kept = 0;
        } else {
            at = (at + 1) % count;
            kept += 1;
        }
    }
    ring
}

/// How far a point is from a segment.
fn off(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (d, v) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let long = d[0] * d[0] + d[1] * d[1];
    let along = if long > 0.0 { ((v[0] * d[0] + v[1] * d[1]) / long).clamp(0.0, 1.0) } else { 0.0 };
    (v[0] - along * d[0]).hypot(v[1] - along * d[1])
}

/// Extent of rings along x and y.
fn span(rings: &Rings) -> [f64; 2] {
    let along = |k: usize| {
        let (low, high) = rings
            .iter()
            .flatten()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p[k]), high.max(p[k])));
        high - low
    };
    [along(0), along(1)]
}

/// Whether a hole could take a shape of this extent. Shapes of several parts are taken as holed.
fn hole_takes(rings: &Rings, extent: [f64; 2]) -> bool {
    rings.iter().skip(1).any(|hole| {
        let room = span(&vec![hole.clone()]);
        room[0] >= extent[0] - 1e-3 && room[1] >= extent[1] - 1e-3
    })
}

/// The no-fit rectangle of two shapes' bounds, when nothing finer could be worked out.
fn around(a: &Rings, b: &Rings) -> Rings {
    let end = |rings: &Rings, k: usize, pick: fn(f64, f64) -> f64, start: f64| {
        rings.iter().flatten().map(|p| p[k]).fold(start, pick)
    };
    let low = |k| end(a, k, f64::min, f64::INFINITY) - end(b, k, f64::max, f64::NEG_INFINITY);
    let high = |k| end(a, k, f64::max, f64::NEG_INFINITY) - end(b, k, f64::min, f64::INFINITY);
    vec![vec![[low(0), low(1)], [high(0), low(1)], [high(0), high(1)], [low(0), high(1)]]]
}

/// The points of a turned outline from the lower left corner of its bounds, in a fixed order.
fn fingerprint(turned: &Outline) -> Vec<Point> {
    let low = turned.bounds().min;
    let mut marks: Vec<Point> = turned.rings().flatten().map(|p| Point::new(p.x - low.x, p.y - low.y)).collect();
    let scale = turned.bounds().width().max(turned.bounds().height()).max(1e-12) * 1e-7;
    let key = |v: f64| (v / scale).round();
    marks.sort_by(|a, b| key(a.x).total_cmp(&key(b.x)).then(key(a.y).total_cmp(&key(b.y))));
    marks
}

fn alike(a: &[Point], b: &[Point]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(p, q)| p.distance(*q) < 1e-7)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;
    use i_triangle::float::minkowski::minkowski_sum;

    /// A star about the origin on whole numbers, so that two of them often have edges on one line.
    fn star(random: &mut Random) -> Vec<[f64; 2]> {
        let count = 5 + random.below(6);
        let mut ring: Vec<[f64; 2]> = (0..count)
            .map(|k| {
                let r = random.between(2.0, 7.0);
                let (sin, cos) = ((k as f64 + 0.5) * std::f64::consts::TAU / count as f64).sin_cos();
                [(r * cos).round(), (r * sin).round()]
            })
            .collect();
        ring.dedup();
        ring
    }

    /// Depths in the no-fit polygons of shapes on whole numbers, against those in the sums of convex parts of a
    /// general-purpose library (i_triangle) of the same shapes before they are drawn in: no crack says that a
    /// piece amid another one is all but clear of it.
    #[test]
    fn no_crack_lets_a_piece_into_another() {
        let mut random = Random::new(11, 0);
        let mut seen = 0;
        for round in 0..400 {
            let shape = |ring: Vec<[f64; 2]>| Shape { grown: drawn_in(&vec![ring.clone()]), rings: vec![ring] };
            let (a, b) = (star(&mut random), star(&mut random));
            if [&a, &b]
                .iter()
                .any(|ring| Outline::new(ring.iter().map(|p| Point::new(p[0], p[1])).collect(), Vec::new()).is_err())
            {
                continue;
            }
            let minus: Vec<[f64; 2]> = b.iter().map(|p| [-p[0], -p[1]]).collect();
            let sum = minkowski_sum(&a, &minus, FillRule::NonZero).expect("a sum");
            let sum = NoFit::new(&sum.into_iter().flatten().collect());
            let fits = no_fits(&[shape(a), shape(b)], &[(0, 1, 0)]);
            for x in -28..=28 {
                for y in -28..=28 {
                    // Off the whole numbers, where nothing touches.
                    let at = [f64::from(x) / 2.0 + 0.137, f64::from(y) / 2.0 + 0.211];
                    let (found, expected) = (fits[0].depth_mm(at), sum.depth_mm(at));
                    assert!((found - expected).abs() < 1e-5, "{round} at {at:?}: {found}, {expected}");
                    seen += usize::from(expected > 0.0);
                }
            }
        }
        assert!(seen > 50_000, "{seen}");
    }
}
