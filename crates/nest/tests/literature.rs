//! The checker against the best layouts of the literature.
//!
//! Instances: ESICUP's collection of irregular strip-packing problems. Layouts
//! and their densities: the records published with Gardeyn, Vanden Berghe &
//! Wauters, arXiv 2509.13329 (2025), in `data/records` of their repository.
//! The data lies outside this repository: `BONDLINE_DATA` names the folder that
//! holds `nesting/`; by default `../shared/data` beside the repository.

use std::collections::BTreeMap;
use std::path::PathBuf;

use nest::{Instance, Layout, Piece, Sheet, StockKind, check_within};

/// Instance and density of its best layout, percent.
const RECORDS: [(&str, f64); 9] = [
    ("albano", 89.82),
    ("blaz1", 86.22),
    ("dagli", 90.17),
    ("fu", 92.39),
    ("mao", 86.87),
    ("marques", 92.02),
    ("shirts", 90.92),
    ("swim", 79.83),
    ("trousers", 92.62),
];

/// The data folder; `None` where it is missing and that is allowed.
fn data() -> Option<PathBuf> {
    let default = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/data");
    let root = std::env::var_os("BONDLINE_DATA").map_or_else(|| PathBuf::from(default), PathBuf::from);
    let folder = root.join("nesting");
    if folder.is_dir() {
        return Some(folder);
    }
    assert!(std::env::var_os("CI").is_none(), "the nesting data is missing; set BONDLINE_DATA");
    #[expect(clippy::print_stderr, reason = "a skipped check is said where the test is run")]
    {
        eprintln!("SKIPPED: no nesting data at {}; set BONDLINE_DATA", folder.display());
    }
    None
}

#[test]
fn best_layouts_pass_and_their_densities_are_reproduced() {
    let Some(folder) = data() else { return };
    for (name, density) in RECORDS {
        let read = |path: PathBuf| std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let instance = nest::form::read_strip(&read(folder.join(format!("strip/{name}.json")))).expect("an instance");
        let (layout, length) = layout_of(&instance, &read(folder.join(format!("best_layouts/final_best_{name}.svg"))));
        let (_, width) = instance.stock[0].usable();
        let area: f64 = instance.designs.iter().map(|d| d.outline.area() * f64::from(d.quantity)).sum();
        let found = 100.0 * area / (length * width);
        assert!((found - density).abs() < 0.01, "{name}: {found} instead of {density}");
        // The files hold single precision: about 10⁻⁷ of the extent, over a few steps.
        let tolerance = 1e-6 * length.max(width);
        let verdict = check_within(&instance, &layout, tolerance);
        let faults: Vec<_> = verdict.faults.iter().map(|f| f.code.0).collect();
        assert!(faults.is_empty(), "{name}: {faults:?}");
        broken_layouts_are_refused(&instance, &layout, tolerance, width);
    }
}

/// One piece moved, turned, dropped or doubled must not pass.
fn broken_layouts_are_refused(instance: &Instance, layout: &Layout, tolerance: f64, width: f64) {
    let changes: [fn(&mut Vec<Piece>, f64); 4] = [
        |pieces, width| pieces[0].y_mm += width,
        |pieces, _| pieces[0].rotation_deg += 13.0,
        |pieces, _| pieces.truncate(pieces.len() - 1),
        |pieces, _| pieces.push(pieces[0]),
    ];
    for change in changes {
        let mut broken = layout.clone();
        change(&mut broken.sheets[0].pieces, width);
        assert!(!check_within(instance, &broken, tolerance).good());
    }
    // Onto another piece of the same turn.
    let mut broken = layout.clone();
    let pieces = &mut broken.sheets[0].pieces;
    (pieces[0].x_mm, pieces[0].y_mm) = (pieces[1].x_mm, pieces[1].y_mm);
    assert!(!check_within(instance, &broken, tolerance).good());
}

/// Reads `<use transform="translate(x y), rotate(deg)" href="#item_k">`.
fn layout_of(instance: &Instance, svg: &str) -> (Layout, f64) {
    let number = |text: &str, from: &str| -> f64 {
        let rest = &text[text.find(from).unwrap_or_else(|| panic!("{from} in {text}")) + from.len()..];
        let end = rest.find(|c: char| !(c.is_ascii_digit() || "+-.eE".contains(c))).unwrap_or(rest.len());
        rest[..end].parse().expect("a number")
    };
    let length = number(svg, "<path d=\"M0,0 L");
    let mut next: BTreeMap<usize, u32> = BTreeMap::new();
    let mut pieces = Vec::new();
    for line in svg.split("<use ").skip(1).filter(|l| l.contains("#item_")) {
        let design = number(line, "#item_") as usize;
        let after = &line[line.find("translate(").expect("a move") + 10..];
        let mut moves = after.split([' ', ')', ',']).filter(|t| !t.is_empty());
        let mut coordinate = || moves.next().and_then(|t| t.parse::<f64>().ok()).expect("a coordinate");
        let copy = next.entry(design).or_insert(0);
        pieces.push(Piece {
            design,
            copy: *copy,
            x_mm: coordinate(),
            y_mm: coordinate(),
            rotation_deg: number(line, "rotate("),
            mirrored: false,
            spare: false,
        });
        *copy += 1;
    }
    let end = pieces
        .iter()
        .map(|p| p.pose().outline(&instance.designs[p.design].outline).expect("an outline").bounds().max.x)
        .fold(0.0, f64::max);
    let StockKind::Roll { step_mm, .. } = instance.stock[0].kind else { panic!("a roll") };
    let steps = (end / step_mm - 1e-6).ceil();
    let price = steps as i64;
    let sheet = Sheet { stock: 0, used_length_mm: end, charged_length_mm: steps * step_mm, price, pieces };
    (Layout { cost: price, lower_bound: 0, complete: true, sheets: vec![sheet], unplaced: Vec::new() }, length)
}
