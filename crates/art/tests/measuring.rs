//! Widths, parts and repairs on shapes whose measures are known beforehand.

use art::{CleanArt, KindLimits, Measures, ReadOptions, Repair, SizeWish, measure, read, repaired};
use proptest::prelude::*;
use units::Length;

fn mm(mm: f64) -> Length {
    Length::from_mm(mm).expect("finite")
}

fn limits() -> KindLimits {
    KindLimits {
        line: mm(1.0),
        island: mm(1.5),
        gap: mm(1.0),
        cut: true,
        full_colour: false,
        max_colours: Some(1),
        dpi_min: 300.0,
        solid_max: None,
    }
}

fn drawing(body: &str) -> CleanArt {
    let svg = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 100 100\">{body}</svg>");
    read("kite", svg.as_bytes(), &ReadOptions::default()).expect("art").value
}

/// At one millimetre a unit of the drawing.
fn true_size(art: &CleanArt, width: f64) -> Measures {
    measure(art, art.size(SizeWish::Width(mm(width))).expect("a size"), &limits()).value
}

fn codes(art: &CleanArt, width: f64) -> Vec<&'static str> {
    let size = art.size(SizeWish::Width(mm(width))).expect("a size");
    measure(art, size, &limits()).findings.iter().map(|f| f.code.0).collect()
}

/// By the drawing itself: a bar and a gap far wider than any limit are still as wide as they were
/// drawn, to 1 %, whatever their direction; such a one is measured with fewer pixels.
#[test]
fn what_is_far_wider_than_any_limit_is_measured_too() {
    let wide = KindLimits { line: mm(0.5), gap: mm(2.0), ..limits() };
    for (bar, gap, turn) in [(12.0, 14.0, 0.0), (15.0, 9.5, 27.0), (9.0, 20.0, 63.0), (21.0, 11.0, 90.0)] {
        // The one bar lies above the middle of the gap and the other below it.
        let art = drawing(&format!(
            "<g transform=\"rotate({turn} 50 50)\"><rect x=\"15\" y=\"{}\" width=\"70\" height=\"{bar}\"/>\
             <rect x=\"15\" y=\"{}\" width=\"70\" height=\"{bar}\"/></g>",
            50.0 - gap / 2.0 - bar,
            50.0 + gap / 2.0,
        ));
        // The box around the turned pair, so that a unit of the drawing is a millimetre.
        let (sin, cos) = f64::to_radians(turn).sin_cos();
        let size = art.size(SizeWish::Width(mm(70.0 * cos + (2.0 * bar + gap) * sin))).expect("a size");
        let found = measure(&art, size, &wide).value;
        let near =
            |found: Option<Length>, drawn: f64| found.is_some_and(|found| (found.mm() / drawn - 1.0).abs() < 0.01);
        assert!(near(found.thinnest_line, bar), "bar {bar} at {turn}°: {:?}", found.thinnest_line);
        assert!(near(found.narrowest_gap, gap), "gap {gap} at {turn}°: {:?}", found.narrowest_gap);
    }
}

/// Two squares drawn edge to edge under a turn are one part, and no seam is left between them.
#[test]
fn shapes_edge_to_edge_are_one_part() {
    for turn in [0.0, 17.0, 33.3, 56.280_046] {
        let art = drawing(&format!(
            "<g transform=\"rotate({turn} 50 50)\"><rect x=\"30\" y=\"40\" width=\"20\" height=\"20\"/>\
             <rect x=\"50\" y=\"40\" width=\"20\" height=\"20\"/></g>"
        ));
        let size = art.size(SizeWish::Width(mm(50.0))).expect("a size");
        assert_eq!(art.exact_region(size).outlines.len(), 1, "at {turn}°");
        assert_eq!(art.region(size).outlines[0].holes().len(), 0);
    }
}

/// A line of half a millimetre on a plate is lost in the whole and found on its own film, where it
/// lies; the plate is cut whole beneath it.
#[test]
fn what_is_thin_within_another_colour_is_found_film_by_film() {
    let art = drawing(
        "<rect x=\"10\" y=\"20\" width=\"80\" height=\"60\" fill=\"#1450a0\"/>\
         <rect x=\"30\" y=\"40\" width=\"40\" height=\"0.5\" fill=\"#f0c020\"/>",
    );
    let size = art.size(SizeWish::Width(mm(80.0))).expect("a size");
    let whole = measure(&art, size, &KindLimits { max_colours: None, ..limits() });
    assert!(whole.value.thin_lines.is_empty() && whole.findings.iter().all(|f| !art::OF_SHAPE.contains(&f.code)));
    let films =
        [0, 1].map(|film| Some(art::LayerFilm { film, thickness: mm(0.09), may_lie_below: true, holds_on_film: true }));
    let layers = art::layers(&art, size, &films, &art::LayerRules::usual()).expect("films").value;
    let [plate, line] = [0, 1].map(|at| art::measure_film(&layers[at].cut, size, &limits()));
    assert!(plate.findings.is_empty() && plate.value.pieces_to_weed == 1);
    assert!((line.value.thinnest_line.expect("a line").mm() - 0.5).abs() < 0.03);
    let found = line.findings.iter().find(|f| f.code.0 == "art.line-thin").expect("said");
    let place = found.place.as_ref().expect("a place").bounds;
    // From the art's lower left corner: 20 to 60 mm across, 39.5 to 40 mm up.
    assert!(place.min.x > 19.0 && place.max.x < 61.0 && place.min.y > 38.5 && place.max.y < 41.0, "{place:?}");
}

/// A star of five points: each of 36° (the golden-triangle star), so no line but five points.
fn star() -> String {
    let inner = 40.0 * (18.0_f64).to_radians().sin() / (54.0_f64).to_radians().sin();
    let points: String = (0..10)
        .map(|i| {
            let r = if i % 2 == 0 { 40.0 } else { inner };
            let (sin, cos) = (f64::from(i) * 36.0_f64).to_radians().sin_cos();
            format!("{:.5},{:.5} ", 50.0 + r * sin, 50.0 - r * cos)
        })
        .collect();
    format!("<polygon points=\"{points}\"/>")
}

#[test]
fn a_star_has_five_points_and_no_thin_line() {
    let art = drawing(&star());
    let width = 2.0 * 40.0 * 72.0_f64.to_radians().sin();
    let found = true_size(&art, width);
    assert_eq!((found.sharp_points.len(), found.thin_lines.len()), (5, 0));
    assert!(codes(&art, width).contains(&"art.point-sharp"));
}

/// Two bars 0.6 mm apart, one of them 0.7 mm wide: the gap and the line are found where they are.
#[test]
fn a_thin_bar_and_a_narrow_gap_are_found_in_place() {
    let art = drawing(
        "<rect x=\"10\" y=\"10\" width=\"30\" height=\"60\"/><rect x=\"40.6\" y=\"10\" width=\"0.7\" height=\"60\"/>",
    );
    let found = true_size(&art, 31.3);
    let thinnest = found.thinnest_line.expect("a line").mm();
    let narrowest = found.narrowest_gap.expect("a gap").mm();
    assert!((thinnest - 0.7).abs() < 0.03, "{thinnest}");
    assert!((narrowest - 0.6).abs() < 0.03, "{narrowest}");
    assert_eq!((found.thin_lines.len(), found.narrow_gaps.len()), (1, 1));
    let place = found.thin_lines[0].bounds;
    assert!(place.min.x > 30.0 && place.max.x < 31.7 && place.height() > 50.0, "{place:?}");
}

#[test]
fn small_parts_and_specks_are_told_apart() {
    let dots: String = [1.2, 1.1, 0.4, 0.3, 0.2]
        .iter()
        .enumerate()
        .map(|(i, d)| format!("<circle cx=\"{}\" cy=\"80\" r=\"{}\"/>", 10 + 10 * i, d / 2.0))
        .collect();
    let art = drawing(&format!("<rect x=\"10\" y=\"10\" width=\"60\" height=\"30\"/>{dots}"));
    let size = art.size(SizeWish::Width(mm(60.6))).expect("a size");
    let outcome = measure(&art, size, &limits());
    assert_eq!((outcome.value.parts, outcome.value.small_islands.len()), (6, 5));
    let names: Vec<_> = outcome.findings.iter().map(|f| f.code.0).collect();
    assert!(names.contains(&"art.island-small") && names.contains(&"art.specks"));
    let clean = repaired(&art, Repair::Specks, size, &limits()).expect("repaired").value;
    let width = clean.aspect() * 1.0;
    assert!(width > 0.0);
    assert_eq!(true_size(&clean, 60.6).parts, 3);
    assert_eq!(true_size(&art, 60.6).parts, 6, "the original stays as it is");
}

#[test]
fn a_thickened_line_holds_and_the_rest_stays() {
    let art = drawing(
        "<rect x=\"10\" y=\"10\" width=\"30\" height=\"30\"/><rect x=\"40\" y=\"24.8\" width=\"40\" height=\"0.5\"/>",
    );
    let size = art.size(SizeWish::Width(mm(70.0))).expect("a size");
    assert!(codes(&art, 70.0).contains(&"art.line-thin"));
    let better = repaired(&art, Repair::Thicken, size, &limits()).expect("repaired").value;
    let found = true_size(&better, 70.5);
    let thinnest = found.thinnest_line.expect("a line").mm();
    assert!((0.97..1.15).contains(&thinnest), "{thinnest}");
    assert!(found.thin_lines.is_empty());
    // 30 × 30 of body and 40 × 1 of line, its round end aside.
    assert!((found.inked_area.mm2() - 940.0).abs() < 12.0, "{}", found.inked_area.mm2());
}

#[test]
fn a_closed_gap_is_gone() {
    let art = drawing(
        "<rect x=\"10\" y=\"10\" width=\"20\" height=\"40\"/><rect x=\"30.5\" y=\"10\" width=\"20\" height=\"40\"/>",
    );
    let size = art.size(SizeWish::Width(mm(40.5))).expect("a size");
    let better = repaired(&art, Repair::CloseGaps, size, &limits()).expect("repaired").value;
    let found = true_size(&better, 40.5);
    assert_eq!((found.parts, found.narrow_gaps.len()), (1, 0));
    assert!((found.inked_area.mm2() - 40.5 * 40.0).abs() < 3.0);
}

fn picture(side: u32, alpha: impl Fn(f64, f64) -> f64) -> CleanArt {
    let pixels: Vec<u8> = (0..side * side)
        .flat_map(|i| {
            let ink = alpha(f64::from(i % side) + 0.5, f64::from(i / side) + 0.5).clamp(0.0, 1.0);
            [20, 90, 60, (ink * 255.0).round() as u8]
        })
        .collect();
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, side, side);
    encoder.set_color(png::ColorType::Rgba);
    encoder.write_header().expect("a header").write_image_data(&pixels).expect("data");
    read("kite", &file, &ReadOptions::default()).expect("art").value
}

#[test]
fn a_soft_edge_is_said_and_can_be_made_hard() {
    let art = picture(300, |x, y| (130.0 - (x - 150.0).hypot(y - 150.0)) / 40.0);
    let size = art.size(SizeWish::Width(mm(20.0))).expect("a size");
    assert!(codes(&art, 20.0).contains(&"art.edge-soft"));
    let hard = repaired(&art, Repair::Threshold, size, &limits()).expect("repaired").value;
    assert_eq!(hard.softness().share, 0.0);
    assert!(!codes(&hard, 20.0).contains(&"art.edge-soft"));
    let sharp = picture(300, |x, y| 130.5 - (x - 150.0).hypot(y - 150.0));
    assert!(!codes(&sharp, 20.0).contains(&"art.edge-soft"), "an ordinary rim is no trouble");
}

/// The traced disc lies within 0.06 mm of the true circle and needs few curves.
#[test]
fn a_traced_disc_is_a_circle() {
    let art = picture(300, |x, y| 140.5 - (x - 150.0).hypot(y - 150.0));
    let size = art.size(SizeWish::Width(mm(50.0))).expect("a size");
    let traced = repaired(&art, Repair::Trace, size, &limits()).expect("repaired").value;
    let svg = traced.svg().expect("paths");
    assert!(svg.matches('C').count() < 80, "{}", svg.matches('C').count());
    for p in traced.exact_region(size).outlines[0].outer() {
        let off = (p.x - 25.0).hypot(p.y - 25.0) - 25.0;
        assert!(off.abs() < 0.08, "{off}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Turning the art does not change what is measured on it.
    #[test]
    fn widths_hold_under_rotation(turn in 0.0..180.0_f64, line in 0.5..3.0_f64) {
        let body = format!(
            "<g transform=\"rotate({turn} 50 50)\"><rect x=\"30\" y=\"30\" width=\"20\" height=\"40\"/>\
             <rect x=\"49\" y=\"{}\" width=\"26\" height=\"{line}\"/></g>",
            50.0 - line / 2.0
        );
        let art = drawing(&body);
        let upright = 1.0; // one millimetre a unit
        let picture = match art.picture() {
            art::Picture::Vector(drawing) => drawing.view().width * upright,
            art::Picture::Raster(_) => 0.0,
        };
        let found = true_size(&art, picture).thinnest_line.expect("a line").mm();
        prop_assert!((found - line).abs() < 0.05, "{} for {}", found, line);
    }

    /// Nor does the number of pixels it is made of, as long as a line is three of them wide.
    #[test]
    fn widths_hold_under_resolution(scale in 3.0..9.0_f64, turn in 0.0..90.0_f64) {
        let (sin, cos) = turn.to_radians().sin_cos();
        let side = (60.0 * scale) as u32;
        let art = picture(side, |x, y| {
            let (x, y) = (x / scale - 30.0, y / scale - 30.0);
            let (along, across) = (x * cos + y * sin, y * cos - x * sin);
            let edge = (20.0 - along.abs()).min(0.75 - across.abs());
            edge * scale + 0.5
        });
        let width = f64::from(art.pixels_wide().expect("pixels")) / scale;
        let found = true_size(&art, width).thinnest_line.expect("a line").mm();
        prop_assert!((found - 1.5).abs() < 0.25 / scale + 0.02, "{} at {} px a mm", found, scale);
    }
}

/// What is written is read back the same, and a key that nobody knows is refused by name.
#[test]
fn the_report_is_a_form() {
    let art = drawing("<rect x=\"10\" y=\"10\" width=\"30\" height=\"4\"/>");
    let size = art.size(SizeWish::Width(mm(30.0))).expect("a size");
    let outcome = measure(&art, size, &limits());
    let report = art::form::ArtReport::of(&art, size, &outcome.value, &outcome.findings);
    let json = report.to_json().expect("JSON");
    assert_eq!(serde_json::from_str::<art::form::ArtReport>(&json).expect("the form"), report);
    let strange = json.replacen("\"parts\"", "\"partz\"", 1);
    let fault = serde_json::from_str::<art::form::ArtReport>(&strange).expect_err("a refusal").to_string();
    assert!(fault.contains("partz"), "{fault}");
    assert!(art::form::schema().to_value().to_string().contains("thinnest_line_mm"));
}

/// A disc that fades over 4 mm becomes dots of at least 1.5 mm, the least part that holds here, and
/// keeps its ink to a few hundredths.
#[test]
fn a_soft_edge_becomes_dots_that_hold() {
    let art = picture(400, |x, y| (170.0 - (x - 200.0).hypot(y - 200.0)) / 80.0);
    let size = art.size(SizeWish::Width(mm(60.0))).expect("a size");
    let dots = repaired(&art, Repair::Halftone, size, &limits()).expect("repaired").value;
    assert_eq!(dots.softness().share, 0.0);
    let ink = |art: &CleanArt| {
        let image = art.render(400, 400).expect("pixels");
        image.pixels().chunks(4).map(|pixel| f64::from(pixel[3]) / 255.0).sum::<f64>()
    };
    assert!((ink(&dots) / ink(&art) - 1.0).abs() < 0.05, "{} of {}", ink(&dots), ink(&art));
    let found = measure(&dots, size, &limits()).value;
    assert!(found.parts > 20, "{}", found.parts);
    let cut_by_the_rim = found.small_islands.len() as f64 / f64::from(found.parts);
    assert!(cut_by_the_rim < 0.35, "{} of {}", found.small_islands.len(), found.parts);
}

/// Lines, arcs and corners come through tracing: a square with one round corner and a star. The
/// worst distance is within the 0.05 mm of thinning and what a curve bows away besides.
#[test]
fn tracing_is_true_and_says_how_true() {
    let inside = |x: f64, y: f64| {
        let (x, y) = (x - 200.0, y - 200.0);
        let square = (150.0 - x.abs()).min(150.0 - y.abs());
        if x > 50.0 && y > 50.0 { square.min(100.0 - (x - 50.0).hypot(y - 50.0)) } else { square }
    };
    let art = picture(400, |x, y| inside(x, y) + 0.5);
    let size = art.size(SizeWish::Width(mm(30.0))).expect("a size");
    let traced = repaired(&art, Repair::Trace, size, &limits()).expect("repaired");
    let [said] = traced.findings.as_slice() else { panic!("one note") };
    let worst = said.quantities.iter().find_map(|named| match (named.name, &named.value) {
        ("worst", report::Value::Length(length)) => Some(length.mm()),
        _ => None,
    });
    assert_eq!(said.code.0, "art.traced");
    assert!(worst.is_some_and(|worst| worst < 0.08), "{worst:?}");
    // Measured against the shape itself, not only against its pixels.
    for p in traced.value.exact_region(size).outlines[0].outer() {
        let (x, y) = (p.x * 10.0 + 50.0, 300.0 - p.y * 10.0 + 50.0);
        assert!(inside(x, y).abs() < 1.0, "{p:?}: {}", inside(x, y));
    }
    let svg = traced.value.svg().expect("paths");
    let area = traced.value.exact_region(size).area();
    let exact = 900.0 - (100.0 - 25.0 * std::f64::consts::PI);
    assert!((area / exact - 1.0).abs() < 2e-3, "{area} for {exact}");
    assert!(svg.matches(['C', 'c']).count() < 24, "straight sides stay lines: {svg}");
}

/// A ring with a small encircled letter of one counter, and a file that says so itself.
#[test]
fn a_registered_mark_is_asked_about() {
    let codes = |body: &str| {
        let svg = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 100 100\">{body}</svg>");
        let outcome = read("kite", svg.as_bytes(), &ReadOptions::default()).expect("art");
        outcome.findings.iter().any(|finding| finding.code.0 == "art.emblem-registered")
    };
    let mark = "<rect x=\"5\" y=\"20\" width=\"70\" height=\"60\"/>";
    let sign = "<circle cx=\"88\" cy=\"20\" r=\"5\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.8\"/>\
        <path fill-rule=\"evenodd\" d=\"M86.4 17.3h2.2a1.6 1.6 0 0 1 .5 3.1l1.2 2.3h-1.1l-1.1-2.2h-.7v2.2h-1z\
        M87.4 18.2v1.4h1.1a.7.7 0 0 0 0-1.4z\"/>";
    assert!(codes(&format!("{mark}{sign}")));
    assert!(codes(&format!("<title>Heron mark ®</title>{mark}")));
    assert!(!codes(mark));
    let lone_ring = "<circle cx=\"88\" cy=\"20\" r=\"5\" fill=\"none\" stroke=\"#000\"/>";
    assert!(!codes(&format!("{mark}{lone_ring}")));
}

/// Area and thickness of shapes known by formula, at rising resolution: the error falls at least
/// as fast as the pixel. Disc: πr², 2r. Ring: π(a² − b²), a − b. Wedge: w·h/2. Star of five
/// points: 5·r·q·sin 36°, q its inner radius.
#[test]
fn known_shapes_converge_with_the_pixels() {
    let star_inner = 40.0 * 18.0_f64.to_radians().sin() / 54.0_f64.to_radians().sin();
    let star = move |x: f64, y: f64| {
        let turn = (x.atan2(-y)).rem_euclid(72.0_f64.to_radians());
        let (r, folded) = (x.hypot(y), (turn - 36.0_f64.to_radians()).abs());
        // Inside the edge from an inner corner (folded 0) to a point (folded 36°).
        let (px, py) = (r * folded.cos(), r * folded.sin());
        let (ax, ay) = (star_inner, 0.0);
        let (bx, by) = (40.0 * 36.0_f64.to_radians().cos(), 40.0 * 36.0_f64.to_radians().sin());
        ((bx - ax) * (py - ay) - (by - ay) * (px - ax)) / (bx - ax).hypot(by - ay)
    };
    type Shape<'a> = (&'a str, Box<dyn Fn(f64, f64) -> f64>, f64, Option<f64>);
    let pi = std::f64::consts::PI;
    let shapes: [Shape<'_>; 4] = [
        ("disc", Box::new(|x, y| 30.0 - x.hypot(y)), pi * 900.0, Some(60.0)),
        ("ring", Box::new(|x, y| (30.0 - x.hypot(y)).min(x.hypot(y) - 24.0)), pi * (900.0 - 576.0), Some(6.0)),
        ("wedge", Box::new(|x, y| (30.0 - x).min((x + 30.0) / 4.0 - y.abs()).min(x + 30.0)), 60.0 * 15.0, None),
        ("star", Box::new(star), 5.0 * 40.0 * star_inner * 36.0_f64.to_radians().sin(), None),
    ];
    for (name, inside, area, thickness) in shapes {
        for scale in [1.0, 2.0, 4.0] {
            let side = (100.0 * scale) as u32;
            let art = picture(side, |x, y| {
                // 8 × 8 samples a pixel.
                let hits = (0..64).filter(|at| {
                    let (dx, dy) = (f64::from(at % 8) / 8.0 - 0.4375, f64::from(at / 8) / 8.0 - 0.4375);
                    inside((x + dx) / scale - 50.13, (y + dy) / scale - 50.21) > 0.0
                });
                hits.count() as f64 / 64.0
            });
            let width = f64::from(art.pixels_wide().expect("pixels")) / scale;
            let found = true_size(&art, width);
            let off = found.inked_area.mm2() / area - 1.0;
            assert!(off.abs() < 0.012 / scale, "{name} at {scale}: area off by {off}");
            if let Some(thickness) = thickness {
                let off = found.thinnest_line.expect("a width").mm() - thickness;
                assert!(off.abs() < 1.7 / scale, "{name} at {scale}: {off} mm off");
            }
        }
    }
}
