//! Distances between pieces of a layout, measured by a general-purpose geometry library
//! (crate `geo`: Euclidean distance of polygons with holes) that the room itself does not use.

mod common;

use common::Chance;
use geo::{Distance, Euclidean, LineString, Polygon};
use geometry::{Outline, Point};
use nest::{Design, Instance, Layout, Piece, Rotations, Settings, Stock, StockKind, check, solve};
use report::{Effort, Quiet, Seed};

fn between(chance: &mut Chance, low: f64, high: f64) -> f64 {
    low + (high - low) * chance.unit()
}

fn ring(points: &[(f64, f64)]) -> Vec<Point> {
    points.iter().map(|(x, y)| Point::new(*x, *y)).collect()
}

/// A round of points whose distance from the middle changes from one to the next.
fn blob(chance: &mut Chance, size: f64) -> Outline {
    let points = 5 + chance.below(20);
    let at = |k: usize, radius: f64| {
        let angle = std::f64::consts::TAU * k as f64 / points as f64;
        (radius * angle.cos(), radius * angle.sin())
    };
    let outer: Vec<(f64, f64)> = (0..points).map(|k| at(k, size * between(chance, 0.45, 1.0))).collect();
    Outline::new(ring(&outer), Vec::new()).expect("an outline")
}

/// A leaning frame with a hole that smaller pieces fit into.
fn frame(chance: &mut Chance, size: f64) -> Outline {
    let lean = between(chance, -0.2, 0.2) * size;
    let square = |half: f64| {
        vec![(-half, -half), (half, -half), (half + lean * half / size, half), (-half + lean * half / size, half)]
    };
    let mut hole = ring(&square(size * between(chance, 0.6, 0.8)));
    hole.reverse();
    Outline::new(ring(&square(size)), vec![hole]).expect("an outline")
}

fn instance(chance: &mut Chance) -> Instance {
    let spacing_mm = [0.5, 1.0, 3.0, 6.35][chance.below(4)];
    let mut designs: Vec<Design> = (0..6)
        .map(|k| {
            let size = between(chance, 12.0, 45.0);
            let mut design = Design::new(format!("blob {k}"), 1 + chance.below(4) as u32, blob(chance, size));
            design.rotations =
                [Rotations::Quarter, Rotations::Any, Rotations::Half, Rotations::None][chance.below(4)].clone();
            design.mirrored = chance.below(3) == 0;
            design
        })
        .collect();
    for k in 0..2 {
        let size = between(chance, 50.0, 80.0);
        designs.push(Design::new(format!("frame {k}"), 2, frame(chance, size)));
    }
    let sheet = |width_mm, length_mm, price| {
        Stock::new(format!("sheet {width_mm}"), StockKind::Sheet { width_mm, length_mm, price, count: None })
    };
    let roll =
        StockKind::Roll { width_mm: 310.0, price_per_step: 52, step_mm: 10.0, minimum_mm: 0.0, maximum_mm: 25_000.0 };
    let mut stock = vec![sheet(300.0, 400.0, 1900), sheet(200.0, 260.0, 900), Stock::new("roll", roll)];
    if chance.below(2) == 0 {
        stock.pop();
    }
    Instance { spacing_mm, designs, stock, locked: Vec::new() }
}

/// A piece where it lies: mirrored about its y axis, turned, moved.
fn lies(instance: &Instance, piece: &Piece) -> Polygon<f64> {
    let (sin, cos) = piece.rotation_deg.to_radians().sin_cos();
    let placed = |ring: &[Point]| -> LineString<f64> {
        let points = ring.iter().map(|p| {
            let x = if piece.mirrored { -p.x } else { p.x };
            (cos * x - sin * p.y + piece.x_mm, sin * x + cos * p.y + piece.y_mm)
        });
        points.collect()
    };
    let outline = &instance.designs[piece.design].outline;
    let mut rings = outline.rings().map(placed);
    let outer = rings.next().expect("an outer ring");
    Polygon::new(outer, rings.collect())
}

/// The least distance between two pieces of one sheet, mm.
fn least_distance(instance: &Instance, layout: &Layout) -> f64 {
    let mut least = f64::INFINITY;
    for sheet in &layout.sheets {
        let pieces: Vec<Polygon<f64>> = sheet.pieces.iter().map(|p| lies(instance, p)).collect();
        for (at, a) in pieces.iter().enumerate() {
            for b in &pieces[..at] {
                least = least.min(Euclidean.distance(a, b));
            }
        }
    }
    least
}

/// No pair of pieces lies nearer than asked, less 10⁻⁶ mm, whatever their outlines, turns, holes and spacing.
#[test]
fn no_two_pieces_lie_nearer_than_asked() {
    let mut inside_others = 0;
    for seed in 1..=12 {
        let all = instance(&mut Chance(seed));
        let settings = Settings { effort: Effort(150_000), seed: Seed(seed), threads: 2 };
        let layout = solve(&all, &settings, &mut Quiet).expect("a layout").value;
        assert!(layout.complete, "seed {seed}");
        let least = least_distance(&all, &layout);
        assert!(least >= all.spacing_mm - 1e-6, "seed {seed}: {least} for {}", all.spacing_mm);
        assert!(check(&all, &layout).good(), "seed {seed}");
        inside_others += layout.sheets.iter().map(|sheet| in_holes(&all, &sheet.pieces)).sum::<usize>();
    }
    assert!(inside_others >= 5, "holes are part of what is measured: {inside_others}");
}

/// Pieces whose middle lies in the bounds of a frame's hole.
fn in_holes(instance: &Instance, pieces: &[Piece]) -> usize {
    let has_hole = |p: &&Piece| instance.designs[p.design].outline.rings().count() > 1;
    let near = |frame: &Piece, p: &Piece| {
        let away = (frame.x_mm - p.x_mm).hypot(frame.y_mm - p.y_mm);
        frame != p && away < 25.0
    };
    pieces.iter().filter(|p| pieces.iter().filter(has_hole).any(|frame| near(frame, p))).count()
}

/// The room's checker and the library say the same of layouts in which one piece was moved a little.
#[test]
fn the_checker_measures_as_the_library_does() {
    let (mut refused, mut passed) = (0, 0);
    for seed in 21..=26 {
        let mut chance = Chance(seed);
        let mut all = instance(&mut chance);
        all.spacing_mm = 3.0;
        let settings = Settings { effort: Effort(60_000), seed: Seed(seed), threads: 2 };
        let layout = solve(&all, &settings, &mut Quiet).expect("a layout").value;
        for _ in 0..25 {
            let mut moved = layout.clone();
            let sheet = chance.below(moved.sheets.len());
            let piece = chance.below(moved.sheets[sheet].pieces.len());
            let by = [0.001, 0.05, 1.0][chance.below(3)];
            moved.sheets[sheet].pieces[piece].x_mm -= by * chance.unit();
            moved.sheets[sheet].pieces[piece].y_mm += by * between(&mut chance, -1.0, 1.0);
            let least = least_distance(&all, &moved);
            // So near to the limit that digits decide.
            if (least - (3.0 - 1e-6)).abs() < 1e-8 {
                continue;
            }
            let verdict = check(&all, &moved);
            let too_near =
                verdict.faults.iter().any(|f| [nest::codes::SPACING_SHORT, nest::codes::OVERLAP].contains(&f.code));
            assert_eq!(too_near, least < 3.0 - 1e-6, "seed {seed}: {least}");
            if too_near { refused += 1 } else { passed += 1 }
        }
    }
    assert!(refused > 20 && passed > 5, "both happen: {refused} refused, {passed} passed");
}
