//! Sound files with bytes changed, cut and doubled at random places: each comes to art or to one
//! finding, in time, and no reader gives up by panicking.

use art::{Caps, ReadOptions, SizeWish, read};
use std::time::{Duration, Instant};
use units::Length;

/// Knuth's linear congruential generator (MMIX); the same run every time.
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % most.max(1)
    }
}

const DRAWING: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 60 40\"><defs>\
<linearGradient id=\"g\"><stop offset=\"0\" stop-color=\"#c03\"/><stop offset=\"1\" stop-color=\"#fb0\" stop-opacity=\"0.2\"/></linearGradient>\
<clipPath id=\"c\"><circle cx=\"20\" cy=\"20\" r=\"15\"/></clipPath><mask id=\"m\"><rect width=\"40\" height=\"30\" fill=\"#fff\"/></mask>\
<pattern id=\"p\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\"><circle r=\"2\"/></pattern>\
<filter id=\"f\"><feGaussianBlur stdDeviation=\"1\"/><feMorphology radius=\"1\"/></filter></defs>\
<g clip-path=\"url(#c)\" style=\"opacity:0.9\"><path fill=\"url(#g)\" d=\"M0 0C10 20 30 40 40 0Z\"/></g>\
<rect x=\"30\" y=\"5\" width=\"20\" height=\"20\" fill=\"url(#p)\" mask=\"url(#m)\" stroke=\"#123\" stroke-dasharray=\"2 1\"/>\
<circle cx=\"45\" cy=\"30\" r=\"6\" filter=\"url(#f)\" transform=\"rotate(30)\"/><use href=\"#c\"/></svg>";

fn picture() -> Vec<u8> {
    let pixels: Vec<u8> =
        (0..48 * 48u32).flat_map(|i| [i as u8, (i / 48) as u8, 9, if i % 7 == 0 { 0 } else { 255 }]).collect();
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, 48, 48);
    encoder.set_color(png::ColorType::Rgba);
    encoder.write_header().expect("a header").write_image_data(&pixels).expect("data");
    file
}

fn coded(form: image::ImageFormat) -> Vec<u8> {
    let image = image::RgbImage::from_fn(48, 48, |x, y| image::Rgb([x as u8 * 5, y as u8 * 5, 90]));
    let mut file = std::io::Cursor::new(Vec::new());
    image.write_to(&mut file, form).expect("written");
    file.into_inner()
}

fn document() -> Vec<u8> {
    let content = "0.8 0.1 0.1 rg 9 9 18 18 re f q 1 0 0 1 5 5 cm 0 0 m 20 30 l 5 9 4 8 1 2 c S Q";
    format!(
        "%PDF-1.4\n1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\n2 0 obj\n<< /Type /Pages /Kids [3 0 R] /Count 1 >>\nendobj\n\
         3 0 obj\n<< /Type /Page /Parent 2 0 R /MediaBox [0 0 72 36] /Contents 4 0 R >>\nendobj\n4 0 obj\n<< /Length {} >>\nstream\n{content}\nendstream\nendobj\n\
         trailer << /Root 1 0 R >>\n%%EOF",
        content.len()
    )
    .into_bytes()
}

fn changed(sound: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut bytes = sound.to_vec();
    for _ in 0..=chance.below(6) {
        if bytes.is_empty() {
            break;
        }
        let at = chance.below(bytes.len());
        match chance.below(6) {
            0 => bytes[at] = chance.below(256) as u8,
            1 => bytes[at] ^= 1 << chance.below(8),
            2 => bytes.truncate(at),
            3 => bytes.insert(at, b"0919-.e<>\"#"[chance.below(11)]),
            4 => {
                bytes.remove(at);
            }
            _ => {
                let to = (at + chance.below(40)).min(bytes.len());
                let part = bytes[at..to].to_vec();
                bytes.splice(at..at, part);
            }
        }
    }
    bytes
}

#[test]
fn changed_files_never_harm() {
    let caps = Caps { pixels: 4_000_000, drawn_side: 400, painted: 200_000_000, ..Caps::default() };
    let options = ReadOptions { caps, ..ReadOptions::default() };
    let sound = [
        DRAWING.as_bytes().to_vec(),
        picture(),
        coded(image::ImageFormat::Jpeg),
        coded(image::ImageFormat::WebP),
        document(),
    ];
    let mut chance = Chance(2026);
    let mut read_well = 0;
    for round in 0..150 {
        for file in &sound {
            let bytes = changed(file, &mut chance);
            let start = Instant::now();
            match read("kite", &bytes, &options) {
                Ok(outcome) => {
                    read_well += 1;
                    if let Ok(size) = outcome.value.size(SizeWish::Width(Length::from_mm(40.0).expect("finite"))) {
                        assert!(outcome.value.region(size).area().is_finite());
                    }
                }
                Err(finding) => assert_ne!(finding.code.0, "art.reader-failed", "round {round}: {bytes:?}"),
            }
            assert!(start.elapsed() < Duration::from_secs(10), "round {round} took {:?}", start.elapsed());
        }
    }
    assert!(read_well > 100, "most changes should not destroy a file: {read_well}");
}
