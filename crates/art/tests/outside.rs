//! Writes pictures and what this room finds in them, for `tests/outside/check_art.py` to measure
//! again with general-purpose libraries. The folder is named by `BONDLINE_OUTSIDE_ART`; without
//! it the pictures go to a place of the build's own and only their presence is tested.

use art::{KindLimits, ReadOptions, SizeWish, measure, read};
use serde_json::json;
use std::path::PathBuf;
use units::Length;

fn folder() -> PathBuf {
    let named = std::env::var_os("BONDLINE_OUTSIDE_ART").map(PathBuf::from);
    named.unwrap_or_else(|| PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("outside-art"))
}

/// A sum of waves, made steep: blobs, rings and necks with anti-aliased edges.
fn field(seed: u32, x: f64, y: f64) -> f64 {
    let s = f64::from(seed);
    let wave = (x / (7.0 + s)).sin() * (y / (9.0 + 2.0 * s)).cos() + 0.6 * ((x + 2.0 * y) / (11.0 + s) + s).sin();
    let rim = (110.0 - (x - 120.0).hypot(y - 120.0)) / 4.0;
    ((wave - 0.1) * 8.0).min(rim)
}

#[test]
fn pictures_for_other_libraries_are_written() {
    let folder = folder();
    std::fs::create_dir_all(&folder).expect("a folder");
    let mm = |mm: f64| Length::from_mm(mm).expect("finite");
    let limits = KindLimits {
        // Every width up to twice this is listed.
        line: mm(200.0),
        island: mm(1.0),
        gap: mm(1.0),
        cut: true,
        full_colour: true,
        max_colours: None,
        dpi_min: 1.0,
        solid_max: None,
    };
    for seed in 0..6 {
        let pixels: Vec<u8> = (0..240 * 240u32)
            .flat_map(|i| {
                let ink = field(seed, f64::from(i % 240) + 0.5, f64::from(i / 240) + 0.5) + 0.5;
                [0, 0, 0, (ink.clamp(0.0, 1.0) * 255.0).round() as u8]
            })
            .collect();
        let path = folder.join(format!("field-{seed}.png"));
        let mut file = Vec::new();
        let mut encoder = png::Encoder::new(&mut file, 240, 240);
        encoder.set_color(png::ColorType::Rgba);
        encoder.write_header().expect("a header").write_image_data(&pixels).expect("data");
        std::fs::write(&path, &file).expect("written");
        let art = read("field", &file, &ReadOptions::default()).expect("art").value;
        let size = art.size(SizeWish::Width(mm(f64::from(art.pixels_wide().expect("pixels"))))).expect("a size");
        let region = art.exact_region(size);
        let holes: usize = region.outlines.iter().map(|outline| outline.holes().len()).sum();
        let measures = measure(&art, size, &limits).value;
        assert!(measures.parts > 0);
        let figures = json!({
            "area_px": region.area(),
            "edge_px": region.perimeter(),
            "parts": region.outlines.len(),
            "holes": holes,
            "thickest": thickest(&measures),
        });
        std::fs::write(path.with_extension("json"), figures.to_string()).expect("written");
    }
}

#[test]
fn colours_for_another_library_are_written() {
    let folder = folder();
    std::fs::create_dir_all(&folder).expect("a folder");
    let mut state = 11u32;
    let mut random = move || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 24) as u8
    };
    let pairs: Vec<_> = (0..200)
        .map(|_| {
            let (a, b) = ([random(), random(), random()], [random(), random(), random()]);
            let (one, other) = (art::Lab::of(a), art::Lab::of(b));
            let difference = art::ciede2000(one, other);
            assert!(difference >= 0.0);
            json!({ "a": a, "b": b, "lab": [one.l, one.a, one.b], "difference": difference })
        })
        .collect();
    std::fs::write(folder.join("colours.json"), json!(pairs).to_string()).expect("written");
}

/// The widest place, where any was measured.
fn thickest(measures: &art::Measures) -> Vec<f64> {
    measures.widths.iter().map(|here| here.width.mm()).reduce(f64::max).into_iter().collect()
}
