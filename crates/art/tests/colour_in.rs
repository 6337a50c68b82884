//! Colours as the file means them, brought to sRGB: against the formulas of the standards.

use art::{CleanArt, ReadOptions, read};

fn accepted(file: &[u8]) -> report::Outcome<CleanArt> {
    read("kite", file, &ReadOptions::default()).expect("clean art")
}

fn middle(file: &[u8]) -> [u8; 3] {
    let image = accepted(file).value.render(16, 16).expect("pixels");
    let at = (8 * 16 + 8) * 4;
    [image.pixels()[at], image.pixels()[at + 1], image.pixels()[at + 2]]
}

/// 16 × 16 pixels of one colour.
fn png(samples: [u8; 3], tell: impl Fn(&mut png::Info<'static>)) -> Vec<u8> {
    let mut info = png::Info::with_size(16, 16);
    info.color_type = png::ColorType::Rgb;
    info.bit_depth = png::BitDepth::Eight;
    tell(&mut info);
    let mut file = Vec::new();
    let encoder = png::Encoder::with_info(&mut file, info).expect("a header");
    let data = samples.repeat(256);
    encoder.write_header().expect("a header").write_image_data(&data).expect("data");
    file
}

type Matrix = [[f64; 3]; 3];

fn times(m: Matrix, v: [f64; 3]) -> [f64; 3] {
    m.map(|row| row.iter().zip(v).map(|(a, b)| a * b).sum())
}

fn inverse(m: Matrix) -> Matrix {
    let minor = |r: usize, c: usize| {
        let (a, b, d, e) = ((r + 1) % 3, (r + 2) % 3, (c + 1) % 3, (c + 2) % 3);
        m[a][d] * m[b][e] - m[a][e] * m[b][d]
    };
    let determinant: f64 = (0..3).map(|c| m[0][c] * minor(0, c)).sum();
    [0, 1, 2].map(|r| [0, 1, 2].map(|c| minor(c, r) / determinant))
}

/// RGB to XYZ from chromaticities (SMPTE RP 177:1993, §3.3).
fn to_xyz(white: (f64, f64), primaries: [(f64, f64); 3]) -> Matrix {
    let column = |(x, y): (f64, f64)| [x / y, 1.0, (1.0 - x - y) / y];
    let [r, g, b] = primaries.map(column);
    let raw = [0, 1, 2].map(|row| [r[row], g[row], b[row]]);
    let scale = times(inverse(raw), column(white));
    raw.map(|row| [row[0] * scale[0], row[1] * scale[1], row[2] * scale[2]])
}

/// IEC 61966-2-1, §5.2.
fn encoded(linear: f64) -> u8 {
    let sample = if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 };
    (sample * 255.0).round().clamp(0.0, 255.0) as u8
}

fn linear(sample: u8) -> f64 {
    let sample = f64::from(sample) / 255.0;
    if sample <= 0.04045 { sample / 12.92 } else { ((sample + 0.055) / 1.055).powf(2.4) }
}

const D65: (f64, f64) = (0.3127, 0.3290);
const SRGB: [(f64, f64); 3] = [(0.64, 0.33), (0.30, 0.60), (0.15, 0.06)];
/// SMPTE RP 431-2, with the white of daylight: code point 12 of Rec. ITU-T H.273.
const P3: [(f64, f64); 3] = [(0.680, 0.320), (0.265, 0.690), (0.150, 0.060)];

fn chromaticities(primaries: [(f64, f64); 3]) -> png::SourceChromaticities {
    let pair = |(x, y): (f64, f64)| (x as f32, y as f32);
    let [red, green, blue] = primaries.map(pair);
    png::SourceChromaticities::new(pair(D65), red, green, blue)
}

/// `cHRM` with `gAMA` 1: every sample is linear light in those primaries.
#[test]
fn primaries_of_a_png_are_honoured() {
    for samples in [[128, 60, 40], [90, 140, 70], [200, 190, 180]] {
        let file = png(samples, |info| {
            info.source_chromaticities = Some(chromaticities(P3));
            info.source_gamma = Some(png::ScaledFloat::new(1.0));
        });
        let light = samples.map(|sample: u8| f64::from(sample) / 255.0);
        let expected = times(inverse(to_xyz(D65, SRGB)), times(to_xyz(D65, P3), light)).map(encoded);
        let found = middle(&file);
        assert!(found.iter().zip(expected).all(|(a, b)| a.abs_diff(b) <= 1), "{found:?} for {expected:?}");
        assert!(accepted(&file).findings.iter().any(|finding| finding.code.0 == "art.profile-used"));
    }
}

/// A `cICP` of P3 primaries and the sRGB curve, which outranks whatever else the file says.
#[test]
fn code_points_of_a_png_come_first() {
    let points = png::CodingIndependentCodePoints {
        color_primaries: 12,
        transfer_function: 13,
        matrix_coefficients: 0,
        is_video_full_range_image: true,
    };
    let samples = [180, 90, 60];
    let file = with_chunk(
        &png(samples, |info| info.source_gamma = Some(png::ScaledFloat::new(1.0))),
        b"cICP",
        &[points.color_primaries, points.transfer_function, 0, 1],
    );
    let expected = times(inverse(to_xyz(D65, SRGB)), times(to_xyz(D65, P3), samples.map(linear))).map(encoded);
    let found = middle(&file);
    assert!(found.iter().zip(expected).all(|(a, b)| a.abs_diff(b) <= 1), "{found:?} for {expected:?}");
}

/// A chunk put in right after the header.
fn with_chunk(file: &[u8], kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let mut body = kind.to_vec();
    body.extend(data);
    let crc = !body.iter().fold(u32::MAX, |crc, byte| {
        // ISO 3309, as the PNG specification gives it in annex D.
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 })
    });
    let mut whole = file[..33].to_vec();
    whole.extend((data.len() as u32).to_be_bytes());
    whole.extend(body);
    whole.extend(crc.to_be_bytes());
    whole.extend(&file[33..]);
    whole
}

/// Linear light of 66/65535, a thousandth, is 3.3 of 255 in sRGB; read as eight bits it would be 0.
#[test]
fn sixteen_bits_stay_so_until_the_end() {
    for (colour, samples) in [(png::ColorType::Rgb, 3), (png::ColorType::Grayscale, 1)] {
        let mut file = Vec::new();
        let mut encoder = png::Encoder::new(&mut file, 16, 16);
        encoder.set_color(colour);
        encoder.set_depth(png::BitDepth::Sixteen);
        encoder.set_source_gamma(png::ScaledFloat::new(1.0));
        let data = 66u16.to_be_bytes().repeat(256 * samples);
        encoder.write_header().expect("a header").write_image_data(&data).expect("data");
        assert_eq!(middle(&file), [3; 3]);
    }
}

/// A profile embedded by `iCCP`: linear samples in P3, made with the colour library's own writer.
#[test]
fn an_embedded_profile_is_honoured() {
    let mut profile = moxcms::ColorProfile::new_srgb();
    let point = |(x, y): (f64, f64)| moxcms::Chromaticity::new(x as f32, y as f32);
    let [red, green, blue] = P3.map(point);
    let white = moxcms::XyY { x: D65.0, y: D65.1, yb: 1.0 };
    profile.update_rgb_colorimetry(white, moxcms::ColorPrimaries { red, green, blue });
    let bytes = profile.encode().expect("a profile");
    let samples = [180, 90, 60];
    let file = png(samples, |info| info.icc_profile = Some(bytes.clone().into()));
    let expected = times(inverse(to_xyz(D65, SRGB)), times(to_xyz(D65, P3), samples.map(linear))).map(encoded);
    let found = middle(&file);
    assert!(found.iter().zip(expected).all(|(a, b)| a.abs_diff(b) <= 2), "{found:?} for {expected:?}");
}
