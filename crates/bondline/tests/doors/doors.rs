//! The doors through which a file comes in, each with what must hold whatever the file says. The
//! ordinary tests and the coverage-guided fuzzer under `fuzz/` both go through them.

use art::{Caps, KindLimits, ReadOptions, SizeWish, measure, read};
use report::{Effort, Quiet, Seed, Severity};
use trade::form::ShopFile;
use units::Length;

/// A door's name and what is done with bytes that come through it.
pub type Door = (&'static str, fn(&[u8]));

/// Every door.
pub const DOORS: [Door; 5] = [
    ("art_read", art_read),
    ("heat_form", heat_form),
    ("nest_form", nest_form),
    ("order_form", order_form),
    ("shop_form", shop_form),
];

/// Any bytes as a customer's art: refused with one finding and a remedy, or read into art whose
/// outline and pixels can be had.
pub fn art_read(bytes: &[u8]) {
    let caps = Caps {
        pixels: 1_000_000,
        elements: 5_000,
        points: 50_000,
        drawn_side: 500,
        painted: 50_000_000,
        ..Caps::default()
    };
    let options = ReadOptions { remove_background: bytes.len().is_multiple_of(2), caps, ..ReadOptions::default() };
    match read("art", bytes, &options) {
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
}

/// Any bytes through the heat forms: an answer or a refusal.
pub fn heat_form(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    for read in [heat::form::run, heat::form::cool, heat::form::window, heat::form::calibrate] {
        let _ = read(text);
    }
    // The two that simulate most are read only when the text names what they alone take.
    if text.contains("\"plate\"") {
        let _ = heat::form::platen(text);
    }
    if text.contains("\"doubt\"") {
        let _ = heat::form::dwell(text);
    }
}

/// Any text as an instance, a layout and a strip: what is read is laid out and must come back good.
pub fn nest_form(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let read = [nest::form::read_instance(text), nest::form::read_strip(text)];
    for instance in read.into_iter().flatten() {
        let pieces: u64 = instance.designs.iter().map(|d| u64::from(d.quantity)).sum();
        let _ = nest::form::read_layout(&instance, text);
        if pieces > 40 || instance.designs.len() > 6 {
            continue;
        }
        let settings = nest::Settings { effort: Effort(2_000), seed: Seed(1), threads: 1 };
        if let Ok(outcome) = nest::solve(&instance, &settings, &mut Quiet) {
            // what reaches up to 0.05 mm over is left out of an outline that crosses itself.
            assert!(nest::check_within(&instance, &outcome.value, 0.1).good());
            let again = nest::form::write_instance(&instance);
            assert_eq!(nest::form::read_instance(&again).as_ref(), Ok(&instance));
        }
    }
}

/// An order file that says anything at all is read or refused; what is read is written and read
/// again without loss.
pub fn order_form(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match plan::form::read_order("order.toml", text) {
        Err(faults) => assert!(!faults.is_empty(), "a refusal says why"),
        Ok(order) => {
            let written = plan::form::write_order(&order);
            let again = plan::form::read_order("order.toml", &written);
            assert_eq!(again.as_ref(), Ok(&order), "{written}");
        }
    }
}

const DEMO: [&str; 7] = [
    include_str!("../../../../demo/shop/shop.toml"),
    include_str!("../../../../demo/shop/presses.toml"),
    include_str!("../../../../demo/shop/cloths.toml"),
    include_str!("../../../../demo/shop/garments.toml"),
    include_str!("../../../../demo/shop/transfers.toml"),
    include_str!("../../../../demo/shop/suppliers.toml"),
    include_str!("../../../../demo/shop/stock.toml"),
];

/// The first byte says which file of a sound shop the rest replaces: refused with faults, or read
/// and written without loss.
pub fn shop_form(bytes: &[u8]) {
    let Some((which, rest)) = bytes.split_first() else { return };
    let Ok(text) = std::str::from_utf8(rest) else { return };
    let mut texts = DEMO;
    let which = usize::from(*which) % texts.len();
    texts[which] = text;
    let files: Vec<ShopFile<'_>> =
        trade::form::FILE_NAMES.iter().zip(texts).map(|(name, text)| ShopFile { name, text }).collect();
    match trade::form::read(&files) {
        Err(faults) => assert!(!faults.is_empty()),
        Ok(shop) => {
            let written = trade::form::write(&shop.value);
            let again: Vec<ShopFile<'_>> = written.iter().map(|(name, text)| ShopFile { name, text }).collect();
            assert_eq!(trade::form::read(&again).map(|read| read.value).as_ref(), Ok(&shop.value));
        }
    }
}
