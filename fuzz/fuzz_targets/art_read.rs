//! Any bytes as a customer's art: refused with one finding and a remedy, or read into art whose
//! outline and pixels can be had.
#![no_main]

use art::{Caps, KindLimits, ReadOptions, SizeWish, measure, read};
use libfuzzer_sys::fuzz_target;
use report::Severity;
use units::Length;

fuzz_target!(|data: &[u8]| {
    let caps = Caps { pixels: 1_000_000, elements: 5_000, points: 50_000, drawn_side: 500, painted: 50_000_000, ..Caps::default() };
    match read("art", data, &ReadOptions { remove_background: data.len() % 2 == 0, caps, ..ReadOptions::default() }) {
        Err(finding) => {
            assert_eq!(finding.severity, Severity::StopsLine);
            assert!(finding.remedy.0.starts_with("art.fix-"));
        }
        Ok(outcome) => {
            let art = outcome.value;
            let mm = |mm: f64| Length::from_mm(mm).unwrap_or_default();
            let Ok(size) = art.size(SizeWish::Width(mm(60.0))) else { return };
            assert!(art.region(size).area().is_finite());
            let _ = art.render(64, 64);
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
            let measured = measure(&art, size, &limits).value;
            assert!(measured.inked_area.mm2().is_finite());
        }
    }
});
