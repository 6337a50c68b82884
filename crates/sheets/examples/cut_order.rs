//! Orders the cuts of many scattered contours and prints the way with the blade up; used by
//! `bench/sheets/cut_order.py`.
//!
//! Usage: `cut_order COUNT [nested]` — seconds and travel in the first line, then the starts in order.

use geometry::{Outline, Point, Region, Ring};
use sheets::{CutPiece, CutSheet, Marks, Reading, cut_paths};
use std::io::Write;

const WIDTH_MM: f64 = 500.0;
const LENGTH_MM: f64 = 1_000.0;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1);
    let count: usize = args.next().ok_or("usage: cut_order COUNT [nested]")?.parse()?;
    let nested = args.next().is_some();
    let pieces = pieces(count, nested)?;
    let sheet = CutSheet {
        width_mm: WIDTH_MM,
        length_mm: LENGTH_MM,
        margin_mm: 0.0,
        pieces,
        name: String::new(),
        reading: Reading::Right,
        weed: None,
        knife: None,
        overcut_mm: 0.0,
        marks: Marks::None,
    };
    let started = std::time::Instant::now();
    let plan = cut_paths(&sheet, 0.02)?;
    let took = started.elapsed().as_secs_f64();
    let mut out = std::io::stdout().lock();
    writeln!(out, "{took:.3} {:.2}", plan.travel_mm)?;
    for path in &plan.paths {
        writeln!(out, "{} {}", path.points[0].x, path.points[0].y)?;
    }
    Ok(())
}

/// Four-cornered contours at places a fixed generator gives; nested ones have another inside.
fn pieces(count: usize, nested: bool) -> Result<Vec<CutPiece>, Box<dyn std::error::Error>> {
    let mut state = 20_261_125_u64;
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 40) as f64 / (1_u64 << 24) as f64
    };
    let ring = |x: f64, y: f64, s: f64| -> Ring {
        [(0.0, 0.0), (s, 0.1 * s), (s, 0.9 * s), (0.1 * s, s)].map(|(dx, dy)| Point::new(x + dx, y + dy)).to_vec()
    };
    (0..if nested { count / 2 } else { count })
        .map(|_| {
            let (x, y) = (next() * (LENGTH_MM - 3.0), next() * (WIDTH_MM - 3.0));
            let holes = if nested { vec![ring(x + 0.7, y + 0.7, 0.8)] } else { Vec::new() };
            let outline = Outline::new(ring(x, y, 2.5), holes).map_err(|fault| format!("{fault:?}"))?;
            let region = Region { outlines: vec![outline] };
            Ok(CutPiece { region, mirrored: false, label: String::new(), marks: Vec::new() })
        })
        .collect()
}
