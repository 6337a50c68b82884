//! Marks in the margin: corner marks that are printed, squares that are cut.

use crate::codes;
use crate::cut::length;
use geometry::{Point, Ring};
use report::{Finding, Severity};

/// The narrowest margin that marks fit into, mm.
pub(crate) const LEAST_MARGIN_MM: f64 = 3.0;
/// Arm of a corner mark, mm.
const ARM_MM: f64 = 10.0;
/// Thickness of its arms, mm.
const THICK_MM: f64 = 1.0;

/// Three filled angles, in the frame of the whole sheet: the fourth corner stays bare so
/// that a sheet turned round is noticed.
pub(crate) fn corners(width_mm: f64, length_mm: f64, margin_mm: f64) -> Vec<Ring> {
    let m = margin_mm / 2.0;
    let angle = |x: f64, y: f64, sx: f64, sy: f64| -> Ring {
        [(0.0, 0.0), (ARM_MM, 0.0), (ARM_MM, THICK_MM), (THICK_MM, THICK_MM), (THICK_MM, ARM_MM), (0.0, ARM_MM)]
            .map(|(dx, dy)| Point::new(x + sx * (dx - THICK_MM / 2.0), y + sy * (dy - THICK_MM / 2.0)))
            .to_vec()
    };
    vec![angle(m, m, 1.0, 1.0), angle(length_mm - m, m, -1.0, 1.0), angle(m, width_mm - m, 1.0, -1.0)]
}

/// Small squares at the middles of the two ends and one corner.
pub(crate) fn squares(width_mm: f64, length_mm: f64, margin_mm: f64) -> Vec<Ring> {
    let (m, half) = (margin_mm / 2.0, (margin_mm / 2.0 - 0.5).min(2.5));
    [(m, m), (m, width_mm / 2.0), (length_mm - m, width_mm / 2.0)]
        .into_iter()
        .map(|(x, y)| {
            [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
                .map(|(sx, sy): (f64, f64)| Point::new(x + sx * half, y + sy * half))
                .to_vec()
        })
        .collect()
}

pub(crate) fn no_room(margin_mm: f64) -> Finding {
    Finding::new(Severity::Warning, codes::MARKS_NO_ROOM, codes::FIX_MARGIN)
        .with("margin", length(margin_mm))
        .with("limit", length(LEAST_MARGIN_MM))
}
