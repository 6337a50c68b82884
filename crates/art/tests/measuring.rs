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
    let clean = repaired(&art, Repair::Specks, size, &limits()).expect("repaired");
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
    let better = repaired(&art, Repair::Thicken, size, &limits()).expect("repaired");
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
    let better = repaired(&art, Repair::CloseGaps, size, &limits()).expect("repaired");
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
    let hard = repaired(&art, Repair::Threshold, size, &limits()).expect("repaired");
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
    let traced = repaired(&art, Repair::Trace, size, &limits()).expect("repaired");
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
