//! A frame round the job, and cuts across the waste between the pieces.

use super::contours::{Contour, sides};
use super::{CutKind, CutPath, CutSheet, Weed, closed};
use geometry::{Bounds, Point};

/// Waste cuts stay this far from the pieces, mm (common practice, no source).
const CLEAR_MM: f64 = 1.0;
/// Shorter cuts across the waste help nobody, mm.
const LEAST_MM: f64 = 5.0;

pub(crate) fn cuts(sheet: &CutSheet, weed: &Weed, contours: &[Contour], on: f64) -> Vec<CutPath> {
    let Some(job) = contours.iter().map(|c| c.bounds).reduce(|a, b| a.joined(&b)) else { return Vec::new() };
    let frame = frame(sheet, &job.grown(weed.frame_mm));
    let mut cuts = Vec::new();
    if let Some(every) = weed.split_every_mm {
        let count = ((frame.width() / every).ceil() as usize).max(1);
        for at in 1..count {
            let x = frame.min.x + frame.width() * at as f64 / count as f64;
            let mut lines = free_stretches(x, &frame, contours);
            // To and fro, so that the blade need not come back.
            if at % 2 == 0 {
                lines = lines.into_iter().rev().map(|(a, b)| (b, a)).collect();
            }
            cuts.extend(lines.into_iter().map(|(from, to)| CutPath {
                kind: CutKind::Split,
                points: vec![Point::new(x, from), Point::new(x, to)],
            }));
        }
    }
    let corners = [frame.min, Point::new(frame.max.x, frame.min.y), frame.max, Point::new(frame.min.x, frame.max.y)];
    cuts.push(CutPath { kind: CutKind::Frame, points: closed(&corners, 0, on) });
    cuts
}

fn frame(sheet: &CutSheet, wanted: &Bounds) -> Bounds {
    // Half a millimetre of film must stay beyond the frame to hold it.
    let edge = 0.5_f64.min(sheet.margin_mm);
    Bounds {
        min: Point::new(wanted.min.x.max(edge), wanted.min.y.max(edge)),
        max: Point::new(wanted.max.x.min(sheet.length_mm - edge), wanted.max.y.min(sheet.width_mm - edge)),
    }
}

/// What is left of the line at `x` when every piece with its clearance is taken away.
fn free_stretches(x: f64, frame: &Bounds, contours: &[Contour]) -> Vec<(f64, f64)> {
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for contour in contours.iter().filter(|c| c.outer) {
        if contour.bounds.min.x - CLEAR_MM < x && x < contour.bounds.max.x + CLEAR_MM {
            taken.extend(near_edges(x, contour));
            taken.extend(inner_stretches(x, contour));
        }
    }
    taken.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = Vec::new();
    let mut from = frame.min.y;
    for (low, high) in taken {
        if low - from >= LEAST_MM {
            free.push((from, low));
        }
        from = from.max(high);
    }
    if frame.max.y - from >= LEAST_MM {
        free.push((from, frame.max.y));
    }
    free
}

/// Stretches within the clearance of an edge.
fn near_edges(x: f64, contour: &Contour) -> Vec<(f64, f64)> {
    let slab = (x - CLEAR_MM, x + CLEAR_MM);
    sides(&contour.ring)
        .filter(|(a, b)| a.x.max(b.x) >= slab.0 && a.x.min(b.x) <= slab.1)
        .map(|(a, b)| {
            let at =
                |x: f64| if a.x == b.x { a.y } else { a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x)).clamp(0.0, 1.0) };
            let ends = if a.x == b.x { (a.y, b.y) } else { (at(slab.0), at(slab.1)) };
            (ends.0.min(ends.1) - CLEAR_MM, ends.0.max(ends.1) + CLEAR_MM)
        })
        .collect()
}

/// Stretches inside the ring.
fn inner_stretches(x: f64, contour: &Contour) -> Vec<(f64, f64)> {
    let mut crossings: Vec<f64> = sides(&contour.ring)
        .filter(|(a, b)| (a.x > x) != (b.x > x))
        .map(|(a, b)| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
        .collect();
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}
