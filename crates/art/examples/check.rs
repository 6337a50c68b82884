//! Reads a file, measures it at a width and prints what was found: `check FILE WIDTH_MM`.

use art::{KindLimits, ReadOptions, SizeWish, measure, read};
use std::time::Instant;
use units::Length;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let file = arguments.next().unwrap_or_default();
    let width: f64 = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(90.0);
    let bytes = std::fs::read(&file).unwrap_or_default();
    let mm = |mm: f64| Length::from_mm(mm).unwrap_or_default();
    let start = Instant::now();
    let outcome = match read(&file, &bytes, &ReadOptions::default()) {
        Ok(outcome) => outcome,
        Err(finding) => return say(&format!("{finding:?} after {:?}", start.elapsed())),
    };
    let reading = start.elapsed();
    for finding in &outcome.findings {
        say(&format!("{finding:?}"));
    }
    let art = outcome.value;
    say(&format!(
        "{:?} aspect {:.4} {:?} natural {:?} soft {:?} box {:?}",
        art.kind(),
        art.aspect(),
        art.colour_nature(),
        art.natural_size(),
        art.softness(),
        art.background()
    ));
    for colour in art.colours().iter().take(6) {
        say(&format!("  {:?} {:.3}", colour.rgb, colour.share));
    }
    let Ok(size) = art.size(SizeWish::Width(mm(width))) else { return };
    let limits = KindLimits {
        line: mm(1.0),
        island: mm(1.5),
        gap: mm(1.0),
        cut: true,
        full_colour: false,
        max_colours: Some(1),
        dpi_min: 300.0,
        solid_max: None,
    };
    let start = Instant::now();
    let region = art.region(size);
    let outlining = start.elapsed();
    say(&format!(
        "{} outlines, {} points, area {:.3}, edge {:.3}",
        region.outlines.len(),
        region.outlines.iter().flat_map(geometry::Outline::rings).map(<[_]>::len).sum::<usize>(),
        region.area(),
        region.perimeter()
    ));
    let start = Instant::now();
    let measured = measure(&art, size, &limits);
    let measuring = start.elapsed();
    for finding in &measured.findings {
        say(&format!("{:?}", finding));
    }
    let m = measured.value;
    say(&format!(
        "thinnest {:?} gap {:?} island {:?} parts {} weed {} in {:?}",
        m.thinnest_line, m.narrowest_gap, m.smallest_island, m.parts, m.pieces_to_weed, m.weeding
    ));
    say(&format!("read {reading:?}, outlined {outlining:?}, measured {measuring:?}"));
}

fn say(line: &str) {
    use std::io::Write;
    // A closed pipe ends the talk, nothing else.
    let _ = writeln!(std::io::stdout(), "{line}");
}
