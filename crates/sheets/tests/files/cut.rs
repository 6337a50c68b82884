//! Cut plans and their files.

use crate::common::{letter, piece};
use geometry::{Outline, Point, Pose, Region};
use sheets::{
    CutKind, CutPiece, CutPlan, CutSheet, Knife, Marks, Reading, SheetError, Weed, cut_hpgl, cut_paths, cut_svg,
};

fn sheet_of(pieces: Vec<CutPiece>, reading: Reading) -> CutSheet {
    CutSheet {
        width_mm: 200.0,
        length_mm: 300.0,
        margin_mm: 10.0,
        pieces,
        name: "Kites & stars".into(),
        reading,
        weed: None,
        knife: None,
        overcut_mm: 0.3,
        marks: Marks::None,
    }
}

fn letter_cut(reading: Reading, turn: f64) -> CutPiece {
    let art = letter();
    let mirrored = reading == Reading::Reversed;
    let placed = piece(&art, 60.0, (60.0, 60.0), turn, mirrored);
    let region = placed.pose.region(&art.region(placed.size));
    CutPiece { region, mirrored, label: "K 1042 <kite> & co".into(), marks: vec![] }
}

fn contours(plan: &CutPlan) -> Vec<&[Point]> {
    plan.paths.iter().filter(|p| matches!(p.kind, CutKind::Contour { .. })).map(|p| p.points.as_slice()).collect()
}

/// A path without its closing overlap, as an outline.
fn outline(path: &[Point]) -> Outline {
    let first = path[0];
    let back = path.iter().skip(1).position(|p| p.distance(first) < 1e-9).expect("a closed path");
    Outline::new(path[..=back].to_vec(), vec![]).expect("an outline")
}

/// The hole of the letter first; both paths run on 0.3 mm past their start, which lies on a straight run.
#[test]
fn inner_first_and_closed_with_overlap() {
    let cut = letter_cut(Reading::Right, 0.0);
    let plan = cut_paths(&sheet_of(vec![cut.clone()], Reading::Right), 0.02).expect("a plan");
    let paths = contours(&plan);
    assert_eq!(paths.len(), 2);
    let (hole, outer) = (outline(paths[0]), outline(paths[1]));
    assert!(outer.bounds().contains(&hole.bounds()));
    let cut_area = outer.area() - hole.area();
    assert!((cut_area / cut.region.area() - 1.0).abs() < 0.001, "{cut_area}");
    for path in paths {
        let back = path.iter().skip(1).position(|p| p.distance(path[0]) < 1e-9).expect("closed") + 1;
        let overlap: f64 = path[back..].windows(2).map(|w| w[0].distance(w[1])).sum();
        assert!((overlap - 0.3).abs() < 1e-9, "{overlap}");
        // Before and after the start the path runs straight on.
        let (before, start, after) = (path[back - 1], path[0], path[1]);
        let turn = (start.x - before.x) * (after.y - start.y) - (start.y - before.y) * (after.x - start.x);
        assert!(turn.abs() < 1e-6 && before.distance(start) > 1.0 && after.distance(start) > 1.0);
    }
}

#[test]
fn edges_keep_within_the_tolerance() {
    let ring: Vec<Point> = (0..2_000)
        .map(|at| {
            let (s, c) = (f64::from(at) * std::f64::consts::TAU / 2_000.0).sin_cos();
            Point::new(50.0 + 30.0 * c, 50.0 + 30.0 * s)
        })
        .collect();
    let region = Region { outlines: vec![Outline::new(ring, vec![]).expect("a disc")] };
    let piece = CutPiece { region, mirrored: false, label: String::new(), marks: vec![] };
    let plan = cut_paths(&sheet_of(vec![piece], Reading::Right), 0.02).expect("a plan");
    let path = contours(&plan)[0];
    assert!(path.len() < 200);
    let middle = Point::new(60.0, 60.0);
    for pair in path.windows(2) {
        for t in [0.0, 0.25, 0.5, 0.75] {
            let p = Point::new(pair[0].x + t * (pair[1].x - pair[0].x), pair[0].y + t * (pair[1].y - pair[0].y));
            assert!((p.distance(middle) - 30.0).abs() < 0.0201, "{p:?}");
        }
    }
}

/// Drawn by a general-purpose SVG renderer, the cut lines of the reversed letter enclose the
/// flipped letter.
#[test]
fn the_svg_is_true_to_size_and_reversed_once() {
    for (reading, flip) in [(Reading::Right, 1.0), (Reading::Reversed, -1.0)] {
        let cut = letter_cut(reading, 90.0);
        let plan = cut_paths(&sheet_of(vec![cut], reading), 0.02).expect("a plan");
        let svg = cut_svg(&plan);
        assert!(svg.contains(reading.tag()) && svg.contains("width=\"200mm\" height=\"300mm\""));
        let tree = usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("a drawing");
        // 96 units to the inch (CSS).
        assert!((f64::from(tree.size().width()) - 200.0 * 96.0 / 25.4).abs() < 0.01);
        let bounds = tree.root().abs_bounding_box();
        let mm = |units: f32| f64::from(units) * 25.4 / 96.0;
        assert!((mm(bounds.width()) - 60.0).abs() < 0.05 && (mm(bounds.height()) - 80.0).abs() < 0.05);
        // The leg of the R reaches the foot on the right as the customer sees it: at the foot
        // (the largest x of the file's y), ink lies at both ends; in the upper part the bowl's
        // bulge is on the customer's right.
        let outer = outline(contours(&plan)[1]);
        let half_up = Point::new(70.0 - 18.0, 70.0 + flip * 27.0);
        let other = Point::new(70.0 - 18.0 + 22.0, 70.0 - flip * 4.0);
        assert!(outer.contains(half_up), "bowl on the right side {reading:?}");
        assert!(!outer.contains(other) || outer.contains(Point::new(other.x, 70.0 - flip * 24.0)));
        let stem = (0..60).map(|at| Point::new(70.0 + 38.0, 70.0 - flip * (29.0 - f64::from(at)))).take(12);
        assert!(stem.clone().all(|p| outer.contains(p)), "stem on the left side {reading:?}");
    }
}

#[test]
fn a_piece_the_other_way_round_is_refused() {
    let cut = letter_cut(Reading::Right, 0.0);
    let refused = cut_paths(&sheet_of(vec![cut], Reading::Reversed), 0.02);
    assert!(matches!(refused, Err(SheetError::ReadingDisagrees { .. })));
    let refused = cut_paths(&sheet_of(vec![letter_cut(Reading::Right, 0.0)], Reading::Right), f64::NAN);
    assert!(matches!(refused, Err(SheetError::Setting { .. })));
}

/// Read by a reader of a few lines: every coordinate within a unit of the plan.
#[test]
fn hpgl_extent_to_a_unit() {
    let plan = cut_paths(&sheet_of(vec![letter_cut(Reading::Right, 0.0)], Reading::Right), 0.02).expect("a plan");
    let text = cut_hpgl(&plan);
    let mut down: Vec<(i64, i64)> = Vec::new();
    for command in text.split(';').map(str::trim).filter(|c| c.starts_with("PD") || c.starts_with("PU")) {
        let numbers: Vec<i64> = command[2..].split(',').filter_map(|n| n.parse().ok()).collect();
        if numbers != [0, 0] {
            down.extend(numbers.chunks_exact(2).map(|c| (c[0], c[1])));
        }
    }
    let all = || plan.paths.iter().flat_map(|p| &p.points);
    let most = |of: fn(&Point) -> f64| all().map(of).fold(f64::NEG_INFINITY, f64::max) * 40.0;
    let least = |of: fn(&Point) -> f64| all().map(of).fold(f64::INFINITY, f64::min) * 40.0;
    let near = |units: i64, mm40: f64| assert!((units as f64 - mm40).abs() <= 1.0, "{units} {mm40}");
    near(down.iter().map(|p| p.0).max().expect("points"), most(|p| p.x));
    near(down.iter().map(|p| p.0).min().expect("points"), least(|p| p.x));
    near(down.iter().map(|p| p.1).max().expect("points"), most(|p| p.y));
    near(down.iter().map(|p| p.1).min().expect("points"), least(|p| p.y));
}

#[test]
fn weeding_cuts_stay_clear_of_the_pieces() {
    let art = letter();
    let pieces: Vec<CutPiece> = (0..6)
        .map(|at| {
            let placed =
                piece(&art, 40.0, (40.0 + 75.0 * f64::from(at / 2), 45.0 + 80.0 * f64::from(at % 2)), 20.0, false);
            CutPiece {
                region: placed.pose.region(&art.region(placed.size)),
                mirrored: false,
                label: String::new(),
                marks: vec![],
            }
        })
        .collect();
    let mut sheet = sheet_of(pieces, Reading::Right);
    sheet.weed = Some(Weed { frame_mm: 6.0, split_every_mm: Some(60.0) });
    sheet.marks = Marks::Alignment;
    let plan = cut_paths(&sheet, 0.02).expect("a plan");
    let splits: Vec<_> = plan.paths.iter().filter(|p| p.kind == CutKind::Split).collect();
    assert!(splits.len() >= 4);
    let lift = Pose::at(10.0, 10.0);
    for split in splits {
        for piece in &sheet.pieces {
            let region = lift.region(&piece.region);
            for at in 0..=100 {
                let t = f64::from(at) / 100.0;
                let (a, b) = (split.points[0], split.points[1]);
                let p = Point::new(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
                let dot = Outline::new(
                    [(0.0, 0.0), (0.01, 0.0), (0.0, 0.01)].map(|(x, y)| Point::new(p.x + x, p.y + y)).to_vec(),
                    vec![],
                )
                .expect("a dot");
                for part in &region.outlines {
                    assert!(geometry::distance(part, &dot) > 0.95, "{p:?}");
                }
            }
        }
    }
    assert_eq!(plan.paths.last().map(|p| p.kind), Some(CutKind::Frame));
    assert_eq!(plan.paths.iter().filter(|p| p.kind == CutKind::Mark).count(), 3);
}

#[test]
fn a_trailing_blade_gets_its_own_way() {
    let mut sheet = sheet_of(vec![letter_cut(Reading::Right, 0.0)], Reading::Right);
    let plain = cut_paths(&sheet, 0.02).expect("a plan");
    sheet.knife = Some(Knife { offset_mm: 0.25, turn_from_deg: 15.0 });
    let led = cut_paths(&sheet, 0.02).expect("a plan");
    assert!(led.cut_mm > plain.cut_mm);
    for (a, b) in plain.paths.iter().zip(&led.paths) {
        assert!((a.points[0].distance(b.points[0]) - 0.25).abs() < 1e-9);
    }
}

/// 5,000 small contours, a third of them inside others, in order within two seconds.
#[test]
fn many_contours_are_ordered_soon() {
    let square = |x: f64, y: f64, s: f64| -> Vec<Point> {
        [(0.0, 0.0), (s, 0.0), (s, s * 0.9), (0.0, s)].map(|(dx, dy)| Point::new(x + dx, y + dy)).to_vec()
    };
    let mut pieces = Vec::new();
    for at in 0..2_500 {
        let (x, y) = (f64::from(at % 50) * 11.0 + f64::from(at * 7 % 5), f64::from(at / 50) * 3.4);
        let outer = Outline::new(square(x, y, 2.5), vec![square(x + 0.5, y + 0.5, 1.0)]).expect("a frame");
        pieces.push(CutPiece {
            region: Region { outlines: vec![outer] },
            mirrored: false,
            label: String::new(),
            marks: vec![],
        });
    }
    let mut sheet = sheet_of(pieces, Reading::Right);
    sheet.length_mm = 600.0;
    let start = std::time::Instant::now();
    let plan = cut_paths(&sheet, 0.02).expect("a plan");
    let took = start.elapsed();
    assert_eq!(plan.paths.len(), 5_000);
    assert!(took.as_secs_f64() < 4.0, "{took:?}");
    let mut seen = vec![0; 2_500];
    for path in &plan.paths {
        if let CutKind::Contour { piece } = path.kind {
            let small = outline(&path.points).area() < 2.0;
            assert_eq!(seen[piece], usize::from(!small), "the hole first");
            seen[piece] += 1;
        }
    }
}

/// Two colours become two films, each on a sheet of its own in another attitude: taken off and laid
/// mark on mark, the films meet as the art has it, the lower one reaching 1.2 mm under the upper.
#[test]
fn films_of_a_print_meet_by_their_marks() {
    let svg = br##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 40" width="60mm" height="40mm">
        <path fill="#c4252b" d="M0 0H40V40H0Z"/><path fill="#1b1b1d" d="M40 0H60V40H40Z"/></svg>"##;
    let art = crate::common::read("two.svg", svg);
    let size = crate::common::size(&art, 60.0);
    let thickness = units::Length::from_mm(0.09).expect("a length");
    let films = [0, 1].map(|film| Some(art::LayerFilm { film, thickness, may_lie_below: true, holds_on_film: true }));
    let layers = art::layers(&art, size, &films, &art::LayerRules::usual()).expect("films").value;
    assert_eq!(layers.len(), 2);
    let poses = [(0.0, 40.0, 30.0), (90.0, 90.0, 100.0)].map(|(turn_deg, x, y)| Pose {
        mirrored: true,
        turn_deg,
        shift: Point::new(x + 40.0, y),
    });
    let mut laid: Vec<(Vec<Point>, Region)> = Vec::new();
    for (nth, pose) in poses.iter().enumerate() {
        let room = art::with_marks(size, &layers[nth].cut).bounds().expect("room");
        assert!(room.height() > 50.0, "marks stand outside the art");
        let piece = sheets::layer_piece(size, &layers, nth, *pose, "kite").expect("a piece");
        assert!(piece.label.contains(&format!("film {} of 2", nth + 1)));
        let plan = cut_paths(&sheet_of(vec![piece], Reading::Reversed), 0.005).expect("a plan");
        // Back from the sheet to the art box: shift, turn and mirror undone, last first.
        let back = |p: &Point| {
            let (x, y) = (p.x - 10.0 - pose.shift.x, p.y - 10.0 - pose.shift.y);
            let (sin, cos) = pose.turn_deg.to_radians().sin_cos();
            Point::new(-(x * cos + y * sin), y * cos - x * sin)
        };
        let of = |kind: fn(&CutKind) -> bool| -> Vec<Vec<Point>> {
            plan.paths.iter().filter(|p| kind(&p.kind)).map(|p| p.points.iter().map(back).collect()).collect()
        };
        let marks = of(|kind| *kind == CutKind::Mark);
        assert_eq!(marks.len(), 3);
        let outlines = of(|kind| matches!(kind, CutKind::Contour { .. })).iter().map(|p| outline(p)).collect();
        laid.push((marks.concat(), Region { outlines }));
    }
    for (a, b) in laid[0].0.iter().zip(&laid[1].0) {
        assert!(a.distance(*b) < 1e-6, "mark on mark: {a:?} {b:?}");
    }
    let shared = geometry::intersect(&laid[0].1, &laid[1].1).area();
    assert!((shared / (1.2 * 40.0) - 1.0).abs() < 0.05, "the overlap: {shared} mm²");
    assert!((geometry::union(&[laid[0].1.clone(), laid[1].1.clone()]).area() - 2400.0).abs() < 5.0);
}
