//! DXF release 12: x along the film, y across, in millimetres.
//!
//! Group codes as in the *AutoCAD Release 12 Customization Manual*, DXF chapter (from
//! memory); release 12 is what every cutter reads. It has no unit of its own: the
//! drawing's numbers are millimetres, and a comment says so.

use super::{CutKind, CutPlan};
use std::fmt::Write;

/// The plan as DXF text.
pub fn cut_dxf(plan: &CutPlan) -> String {
    let mut text = String::new();
    let mut pair = |code: u16, value: &str| {
        let _ = writeln!(text, "{code:3}\n{value}");
    };
    let ascii: String = plan.title().chars().map(|c| if c.is_ascii() && !c.is_control() { c } else { '?' }).collect();
    pair(999, &ascii);
    pair(999, "Units: millimetres.");
    pair(0, "SECTION");
    pair(2, "HEADER");
    pair(9, "$ACADVER");
    pair(1, "AC1009");
    for (name, x, y) in [("$EXTMIN", 0.0, 0.0), ("$EXTMAX", plan.length_mm, plan.width_mm)] {
        pair(9, name);
        pair(10, &number(x));
        pair(20, &number(y));
        pair(30, "0.0");
    }
    pair(0, "ENDSEC");
    tables(&mut pair);
    pair(0, "SECTION");
    pair(2, "ENTITIES");
    for path in &plan.paths {
        polyline(&mut pair, layer(path.kind), path.points.iter().map(|p| (p.x, p.y)), false);
    }
    for mark in &plan.printed_marks {
        polyline(&mut pair, "PRINTED", mark.iter().map(|p| (p.x, p.y)), true);
    }
    pair(0, "ENDSEC");
    pair(0, "EOF");
    text
}

fn layer(kind: CutKind) -> &'static str {
    match kind {
        CutKind::Contour { .. } => "CUT",
        CutKind::Mark => "MARKS",
        CutKind::Split | CutKind::Frame => "WEED",
    }
}

fn tables(pair: &mut impl FnMut(u16, &str)) {
    let layers = [("0", "7"), ("CUT", "1"), ("MARKS", "5"), ("WEED", "3"), ("PRINTED", "8")];
    pair(0, "SECTION");
    pair(2, "TABLES");
    pair(0, "TABLE");
    pair(2, "LTYPE");
    pair(70, "1");
    pair(0, "LTYPE");
    pair(2, "CONTINUOUS");
    pair(70, "64");
    pair(3, "Solid line");
    pair(72, "65");
    pair(73, "0");
    pair(40, "0.0");
    pair(0, "ENDTAB");
    pair(0, "TABLE");
    pair(2, "LAYER");
    pair(70, &layers.len().to_string());
    for (name, colour) in layers {
        pair(0, "LAYER");
        pair(2, name);
        pair(70, "64");
        pair(62, colour);
        pair(6, "CONTINUOUS");
    }
    pair(0, "ENDTAB");
    pair(0, "ENDSEC");
}

fn polyline(pair: &mut impl FnMut(u16, &str), layer: &str, points: impl Iterator<Item = (f64, f64)>, closed: bool) {
    pair(0, "POLYLINE");
    pair(8, layer);
    pair(66, "1");
    for code in [10, 20, 30] {
        pair(code, "0.0");
    }
    pair(70, if closed { "1" } else { "0" });
    for (x, y) in points {
        pair(0, "VERTEX");
        pair(8, layer);
        pair(10, &number(x));
        pair(20, &number(y));
        pair(30, "0.0");
    }
    pair(0, "SEQEND");
    pair(8, layer);
}

/// A tenth of a micrometre is finer than any machine.
fn number(mm: f64) -> String {
    let text = format!("{mm:.4}");
    let short = text.trim_end_matches('0');
    if short.ends_with('.') { format!("{short}0") } else { short.into() }
}
