//! HP-GL: x along the film, y across, 40 units to the millimetre.
//!
//! Commands as in the *HP 7475A Graphics Plotter Interfacing and Programming Manual*
//! (from memory): IN, SP, PA, PU, PD; a unit is 0.025 mm.

use super::CutPlan;
use std::fmt::Write;

/// Plotter units in a millimetre.
pub const UNITS_PER_MM: f64 = 40.0;
/// Coordinates in one command; some machines have short line buffers.
const POINTS_A_COMMAND: usize = 50;

/// The plan as HP-GL text; only ASCII, one command a line.
pub fn cut_hpgl(plan: &CutPlan) -> String {
    let unit = |mm: f64| (mm * UNITS_PER_MM).round() as i64;
    let mut text = String::from("IN;\nSP1;\nPA;\n");
    for path in &plan.paths {
        let mut points = path.points.iter().map(|p| (unit(p.x), unit(p.y)));
        let Some(first) = points.next() else { continue };
        let _ = writeln!(text, "PU{},{};", first.0, first.1);
        let mut last = first;
        let rest: Vec<String> =
            points.filter(|p| std::mem::replace(&mut last, *p) != *p).map(|(x, y)| format!("{x},{y}")).collect();
        for some in rest.chunks(POINTS_A_COMMAND) {
            let _ = writeln!(text, "PD{};", some.join(","));
        }
    }
    text.push_str("PU0,0;\nSP0;\n");
    text
}
