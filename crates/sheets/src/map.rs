//! Which piece lies where, for the person who sorts the sheet, and how a sheet is cut
//! apart with straight cuts.

use crate::extras::extras;
use crate::sheet::{PrintSheet, Reading};
use geometry::{Bounds, Point, Region};
use std::collections::BTreeMap;

/// One line of the sheet map.
#[derive(Debug, Clone, PartialEq)]
pub struct MapEntry {
    /// Number on the map, from 1, along the film and then across it.
    pub number: usize,
    /// Which piece of the sheet, from 0.
    pub piece: usize,
    /// What its label says.
    pub label: String,
    /// An extra copy against spoilage.
    pub spare: bool,
    /// Where it lies, mm, in the frame of the whole sheet.
    pub bounds: Bounds,
    /// Its outline there, mm.
    pub region: Region,
    /// Where its label is printed.
    pub label_bounds: Option<Bounds>,
}

/// A sheet as a list and a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetMap {
    /// Across the film, mm.
    pub width_mm: f64,
    /// Along the film, mm.
    pub length_mm: f64,
    /// Which way round the sheet is.
    pub reading: Reading,
    /// The pieces.
    pub entries: Vec<MapEntry>,
    /// How many pieces bear each label, spares counted apart.
    pub counts: Vec<LabelCount>,
}

/// How often a label stands on the sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LabelCount {
    /// The label.
    pub label: String,
    /// Pieces ordered.
    pub ordered: usize,
    /// Spares.
    pub spares: usize,
}

/// The map of a sheet.
pub fn sheet_map(sheet: &PrintSheet<'_>) -> SheetMap {
    let mut entries: Vec<MapEntry> = sheet
        .pieces
        .iter()
        .zip(sheet.regions_on_sheet(0.0))
        .zip(extras(sheet).labels)
        .enumerate()
        .map(|(at, ((piece, region), label_bounds))| MapEntry {
            label_bounds,
            number: 0,
            piece: at,
            label: piece.label.clone(),
            spare: piece.spare,
            bounds: region.bounds().unwrap_or_else(|| sheet.bounds_on_sheet(piece)),
            region,
        })
        .collect();
    entries.sort_by(|a, b| {
        a.bounds
            .min
            .x
            .total_cmp(&b.bounds.min.x)
            .then(a.bounds.min.y.total_cmp(&b.bounds.min.y))
            .then(a.piece.cmp(&b.piece))
    });
    entries.iter_mut().enumerate().for_each(|(at, entry)| entry.number = at + 1);
    let mut counts: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for entry in &entries {
        let (ordered, spares) = counts.entry(&entry.label).or_default();
        *if entry.spare { spares } else { ordered } += 1;
    }
    let counts = counts
        .into_iter()
        .map(|(label, (ordered, spares))| LabelCount { label: label.into(), ordered, spares })
        .collect();
    SheetMap { width_mm: sheet.width_mm, length_mm: sheet.length_mm, reading: sheet.reading, entries, counts }
}

/// A straight cut by hand, mm, in the frame of the boxes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightCut {
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Width of the lane between the pieces on both sides, mm.
    pub lane_mm: f64,
}

/// Straight cuts from edge to edge of what is left, in the order they are made, and how
/// many pieces come free by them; the rest is cut round with scissors.
#[derive(Debug, Clone, PartialEq)]
pub struct HandCuts {
    /// The cuts.
    pub cuts: Vec<StraightCut>,
    /// Groups of pieces (indices of the boxes) that no straight cut parts.
    pub left_together: Vec<Vec<usize>>,
}

/// The straight cuts that part pieces on a sheet, each given by points it lies among, labels included.
///
/// Cuts along an edge of the sheet come first, always through the widest lane; where none is left,
/// slanting ones are looked for in steps of 5°. Lanes narrower than `least_lane_mm` are not cut.
pub fn hand_cuts(sheet: Bounds, pieces: &[Vec<Point>], least_lane_mm: f64) -> HandCuts {
    let mut result = HandCuts { cuts: Vec::new(), left_together: Vec::new() };
    let hulls: Vec<Vec<Point>> = pieces.iter().map(|points| hull(points)).collect();
    let corners = [
        (sheet.min.x, sheet.min.y),
        (sheet.max.x, sheet.min.y),
        (sheet.max.x, sheet.max.y),
        (sheet.min.x, sheet.max.y),
    ];
    let area: Vec<Point> = corners.map(|(x, y)| Point::new(x, y)).to_vec();
    let mut open = vec![(area, (0..pieces.len()).collect::<Vec<_>>())];
    while let Some((area, group)) = open.pop() {
        if group.len() < 2 {
            continue;
        }
        let least = least_lane_mm.max(0.0);
        let widest = |steps: &[u8]| {
            let lanes = steps.iter().filter_map(|step| widest_lane(&hulls, &group, normal(*step)));
            lanes.filter(|lane| lane.wide >= least).reduce(|a, b| if b.wide > a.wide { b } else { a })
        };
        let slanting: Vec<u8> = (1..36).filter(|step| step % 18 != 0).collect();
        let Some(lane) = widest(&[0, 18]).or_else(|| widest(&slanting)) else {
            result.left_together.push(group);
            continue;
        };
        let (low, high, ends) = parted(&area, &lane);
        if let [from, to] = ends[..] {
            result.cuts.push(StraightCut { from, to, lane_mm: lane.wide });
        }
        let (first, second): (Vec<usize>, Vec<usize>) =
            group.into_iter().partition(|at| span(&hulls[*at], lane.normal).1 <= lane.middle);
        open.push((high, second));
        open.push((low, first));
    }
    result
}

#[derive(Clone, Copy)]
struct Lane {
    /// Across the cut.
    normal: Point,
    middle: f64,
    wide: f64,
}

/// The direction of so many steps of 5°, exact along the sheet's edges.
fn normal(step: u8) -> Point {
    match step {
        0 => Point::new(1.0, 0.0),
        18 => Point::new(0.0, 1.0),
        _ => {
            let angle = f64::from(step) * std::f64::consts::PI / 36.0;
            Point::new(libm::cos(angle), libm::sin(angle))
        }
    }
}

fn along(p: Point, normal: Point) -> f64 {
    p.x * normal.x + p.y * normal.y
}

fn span(points: &[Point], normal: Point) -> (f64, f64) {
    points
        .iter()
        .map(|p| along(*p, normal))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
}

fn widest_lane(hulls: &[Vec<Point>], group: &[usize], normal: Point) -> Option<Lane> {
    let mut spans: Vec<(f64, f64)> = group.iter().map(|at| span(&hulls[*at], normal)).collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut reach = spans.first()?.1;
    let mut best: Option<Lane> = None;
    for (from, to) in spans {
        if from >= reach && best.is_none_or(|b| from - reach > b.wide) {
            best = Some(Lane { normal, middle: f64::midpoint(reach, from), wide: from - reach });
        }
        reach = reach.max(to);
    }
    best
}

/// What lies before and behind a cut of a convex area, and where the cut meets its edge.
fn parted(area: &[Point], lane: &Lane) -> (Vec<Point>, Vec<Point>, Vec<Point>) {
    let (mut low, mut high, mut ends) = (Vec::new(), Vec::new(), Vec::new());
    for (a, b) in area.iter().zip(area.iter().cycle().skip(1)) {
        let (from, to) = (along(*a, lane.normal) - lane.middle, along(*b, lane.normal) - lane.middle);
        if from <= 0.0 {
            low.push(*a)
        } else {
            high.push(*a)
        }
        if (from <= 0.0) != (to <= 0.0) {
            let t = from / (from - to);
            let p = Point::new(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
            low.push(p);
            high.push(p);
            ends.push(p);
        }
    }
    (low, high, ends)
}

/// The convex hull (Andrew, *Information Processing Letters* 9, 1979).
fn hull(points: &[Point]) -> Vec<Point> {
    let mut points = points.to_vec();
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let turn = |a: Point, b: Point, c: Point| (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    let half = |points: &mut dyn Iterator<Item = &Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while chain.len() >= 2 && turn(chain[chain.len() - 2], chain[chain.len() - 1], *p) <= 0.0 {
                chain.pop();
            }
            chain.push(*p);
        }
        chain
    };
    let mut ring = half(&mut points.iter());
    ring.extend(half(&mut points.iter().rev()));
    ring
}

#[cfg(test)]
mod tests {
    use super::*;

    fn box_at(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
        [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(dx, dy)| Point::new(x + dx, y + dy)).to_vec()
    }

    /// Four boxes in a cross pattern come apart by three cuts; a pinwheel of four by none; two
    /// triangles corner to corner by a slanting one.
    #[test]
    fn straight_cuts_part_what_they_can() {
        let sheet = Bounds { min: Point::default(), max: Point::new(100.0, 100.0) };
        let grid = [
            box_at(5.0, 5.0, 40.0, 40.0),
            box_at(55.0, 5.0, 40.0, 40.0),
            box_at(5.0, 55.0, 40.0, 40.0),
            box_at(55.0, 55.0, 40.0, 40.0),
        ];
        let cuts = hand_cuts(sheet, &grid, 2.0);
        assert_eq!(cuts.cuts.len(), 3);
        assert!(cuts.left_together.is_empty());
        assert!(cuts.cuts.iter().all(|cut| (cut.lane_mm - 10.0).abs() < 1e-9));
        let wheel = [
            box_at(0.0, 0.0, 60.0, 30.0),
            box_at(65.0, 0.0, 30.0, 60.0),
            box_at(35.0, 65.0, 60.0, 30.0),
            box_at(0.0, 35.0, 30.0, 60.0),
        ];
        let cuts = hand_cuts(sheet, &wheel, 2.0);
        assert!(cuts.cuts.is_empty());
        assert_eq!(cuts.left_together, vec![vec![0, 1, 2, 3]]);
        let corners = |points: [(f64, f64); 3]| points.map(|(x, y)| Point::new(x, y)).to_vec();
        let triangles =
            [corners([(5.0, 5.0), (90.0, 5.0), (5.0, 90.0)]), corners([(95.0, 95.0), (95.0, 15.0), (15.0, 95.0)])];
        let cuts = hand_cuts(sheet, &triangles, 2.0);
        assert_eq!(cuts.cuts.len(), 1);
        let cut = cuts.cuts[0];
        // At 45° the lane is (110 − 95)/√2 wide, and the cut runs through (102.5, 0) cut off at the edge.
        assert!((cut.lane_mm - 15.0 / 2.0_f64.sqrt()).abs() < 1e-9, "{cut:?}");
        let ends = [cut.from, cut.to];
        assert!(
            ends.iter()
                .all(|p| (p.x + p.y - 102.5).abs() < 1e-9 && (p.x - 100.0).abs().min((p.y - 100.0).abs()) < 1e-9)
        );
    }
}
