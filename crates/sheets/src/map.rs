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

/// The straight cuts that part the boxes on a sheet, always through the widest lane.
///
/// Lanes narrower than `least_lane_mm` are not cut. Time grows with n² log n.
pub fn hand_cuts(sheet: Bounds, boxes: &[Bounds], least_lane_mm: f64) -> HandCuts {
    let mut result = HandCuts { cuts: Vec::new(), left_together: Vec::new() };
    let mut open = vec![(sheet, (0..boxes.len()).collect::<Vec<_>>())];
    while let Some((area, group)) = open.pop() {
        if group.len() < 2 {
            continue;
        }
        let along = widest_lane(boxes, &group, |b| (b.min.x, b.max.x));
        let across = widest_lane(boxes, &group, |b| (b.min.y, b.max.y));
        let by_x = along.map_or(0.0, |l| l.wide) >= across.map_or(0.0, |l| l.wide);
        let Some(lane) = (if by_x { along } else { across }).filter(|l| l.wide >= least_lane_mm.max(0.0)) else {
            result.left_together.push(group);
            continue;
        };
        let (mut first, mut second) = (area, area);
        let (from, to) = if by_x {
            (first.max.x, second.min.x) = (lane.middle, lane.middle);
            (Point::new(lane.middle, area.min.y), Point::new(lane.middle, area.max.y))
        } else {
            (first.max.y, second.min.y) = (lane.middle, lane.middle);
            (Point::new(area.min.x, lane.middle), Point::new(area.max.x, lane.middle))
        };
        result.cuts.push(StraightCut { from, to, lane_mm: lane.wide });
        let before = |at: &usize| if by_x { boxes[*at].max.x <= lane.middle } else { boxes[*at].max.y <= lane.middle };
        let (low, high): (Vec<usize>, Vec<usize>) = group.into_iter().partition(before);
        open.push((second, high));
        open.push((first, low));
    }
    result
}

#[derive(Clone, Copy)]
struct Lane {
    middle: f64,
    wide: f64,
}

fn widest_lane(boxes: &[Bounds], group: &[usize], side: impl Fn(&Bounds) -> (f64, f64)) -> Option<Lane> {
    let mut spans: Vec<(f64, f64)> = group.iter().map(|at| side(&boxes[*at])).collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut reach = spans.first()?.1;
    let mut best: Option<Lane> = None;
    for (from, to) in spans {
        if from >= reach && best.is_none_or(|b| from - reach > b.wide) {
            best = Some(Lane { middle: f64::midpoint(reach, from), wide: from - reach });
        }
        reach = reach.max(to);
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn box_at(x: f64, y: f64, w: f64, h: f64) -> Bounds {
        Bounds { min: Point::new(x, y), max: Point::new(x + w, y + h) }
    }

    /// Four boxes in a cross pattern come apart by three cuts; a pinwheel of four by none.
    #[test]
    fn straight_cuts_part_what_they_can() {
        let sheet = box_at(0.0, 0.0, 100.0, 100.0);
        let grid = [
            box_at(5.0, 5.0, 40.0, 40.0),
            box_at(55.0, 5.0, 40.0, 40.0),
            box_at(5.0, 55.0, 40.0, 40.0),
            box_at(55.0, 55.0, 40.0, 40.0),
        ];
        let cuts = hand_cuts(sheet, &grid, 2.0);
        assert_eq!(cuts.cuts.len(), 3);
        assert!(cuts.left_together.is_empty());
        let wheel = [
            box_at(0.0, 0.0, 60.0, 30.0),
            box_at(65.0, 0.0, 30.0, 60.0),
            box_at(35.0, 65.0, 60.0, 30.0),
            box_at(0.0, 35.0, 30.0, 60.0),
        ];
        let cuts = hand_cuts(sheet, &wheel, 2.0);
        assert!(cuts.cuts.is_empty());
        assert_eq!(cuts.left_together, vec![vec![0, 1, 2, 3]]);
    }
}
