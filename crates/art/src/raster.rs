//! PNG, JPEG and WebP to straight sRGB.

use crate::clean::{CleanArt, Draft};
use crate::picture::{Picture, Rgba8Image};
use crate::read::{Door, SourceKind};
use crate::{background, codes};
use image::{DynamicImage, ImageDecoder};
use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};
use report::{Finding, Outcome};
use std::io::Cursor;
use units::Length;

/// A decoded picture with what its file says about it.
pub(crate) struct Decoded {
    pub image: Rgba8Image,
    pub size: Option<(Length, Length)>,
    pub findings: Vec<Finding>,
}

pub(crate) fn read(door: &Door<'_>, kind: SourceKind, bytes: &[u8]) -> Result<Outcome<CleanArt>, Finding> {
    let Decoded { image, size, mut findings } = decode(door, kind, bytes)?;
    let image = if door.options.remove_background { background::removed(door, image, &mut findings) } else { image };
    Draft { kind, picture: Picture::Raster(image), size, findings }.finish(door, bytes)
}

/// Decodes within the caps and brings the colours to sRGB.
pub(crate) fn decode(door: &Door<'_>, kind: SourceKind, bytes: &[u8]) -> Result<Decoded, Finding> {
    match kind {
        SourceKind::Png => decode_png(door, bytes),
        SourceKind::Jpeg => {
            let decoder = image::codecs::jpeg::JpegDecoder::new(Cursor::new(bytes)).map_err(|_| door.broken(kind))?;
            decode_with(door, kind, decoder, jfif_density(bytes))
        }
        _ => {
            let decoder = image::codecs::webp::WebPDecoder::new(Cursor::new(bytes)).map_err(|_| door.broken(kind))?;
            let moving = decoder.has_animation();
            let mut decoded = decode_with(door, kind, decoder, None)?;
            if moving {
                decoded.findings.push(door.note(codes::STILL_TAKEN));
            }
            Ok(decoded)
        }
    }
}

/// Any bit depth, palette or interlacing; gamma and embedded profile honoured.
fn decode_png(door: &Door<'_>, bytes: &[u8]) -> Result<Decoded, Finding> {
    let broken = |_| door.broken(SourceKind::Png);
    let most = usize::try_from(door.options.caps.pixels.saturating_mul(8)).unwrap_or(usize::MAX);
    let mut decoder = png::Decoder::new_with_limits(Cursor::new(bytes), png::Limits { bytes: most });
    decoder.set_ignore_text_chunk(true);
    let header = decoder.read_header_info().map_err(broken)?;
    let (width, height) = (header.width, header.height);
    within(door, width, height)?;
    decoder.set_transformations(png::Transformations::normalize_to_color8() | png::Transformations::ALPHA);
    let mut reader = decoder.read_info().map_err(broken)?;
    let length = reader.output_buffer_size().ok_or_else(|| door.huge(width.into(), height.into()))?;
    let mut raw = vec![0; length];
    let frame = reader.next_frame(&mut raw).map_err(broken)?;
    raw.truncate(frame.buffer_size());
    let info = reader.info();
    let mut findings = Vec::new();
    if info.animation_control.is_some_and(|control| control.num_frames > 1) {
        findings.push(door.note(codes::STILL_TAKEN));
    }
    let gray = frame.color_type == png::ColorType::GrayscaleAlpha;
    let mut pixels = if gray { from_gray_alpha(&raw) } else { raw };
    if info.srgb.is_none() {
        if let Some(profile) = &info.icc_profile {
            colour_managed(door, profile, &mut pixels, gray, &mut findings);
        } else if let Some(gamma) = info.gama_chunk {
            from_gamma(f64::from(gamma.into_value()), &mut pixels);
        }
    }
    let size = info.pixel_dims.filter(|dims| dims.unit == png::Unit::Meter).and_then(|dims| {
        let mm = |px: u32, per_metre: u32| {
            (per_metre > 0).then(|| Length::from_mm(f64::from(px) * 1000.0 / f64::from(per_metre))).flatten()
        };
        Some((mm(width, dims.xppu)?, mm(height, dims.yppu)?))
    });
    let image = Rgba8Image::new(width, height, pixels).ok_or_else(|| door.broken(SourceKind::Png))?;
    Ok(Decoded { image, size, findings })
}

fn decode_with(
    door: &Door<'_>,
    kind: SourceKind,
    mut decoder: impl ImageDecoder,
    density: Option<(f64, f64)>,
) -> Result<Decoded, Finding> {
    let (width, height) = decoder.dimensions();
    within(door, width, height)?;
    let mut findings = Vec::new();
    let profile = decoder.icc_profile().ok().flatten();
    let orientation = decoder.orientation().unwrap_or(image::metadata::Orientation::NoTransforms);
    let gray = !decoder.color_type().has_color();
    let mut limits = image::Limits::default();
    limits.max_alloc = Some(door.options.caps.pixels.saturating_mul(12));
    decoder.set_limits(limits).map_err(|_| door.broken(kind))?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|_| door.broken(kind))?;
    picture.apply_orientation(orientation);
    let turned = (picture.width(), picture.height()) != (width, height);
    let rgba = picture.into_rgba8();
    let (width, height) = rgba.dimensions();
    let mut pixels = rgba.into_raw();
    if let Some(profile) = profile {
        colour_managed(door, &profile, &mut pixels, gray, &mut findings);
    }
    let size = density.and_then(|(x, y)| {
        let (x, y) = if turned { (y, x) } else { (x, y) };
        Some((Length::from_inches(f64::from(width) / x)?, Length::from_inches(f64::from(height) / y)?))
    });
    let image = Rgba8Image::new(width, height, pixels).ok_or_else(|| door.broken(kind))?;
    Ok(Decoded { image, size, findings })
}

/// Refuses before allocating; 0 pixels are refused as broken by the decoders.
pub(crate) fn within(door: &Door<'_>, width: u32, height: u32) -> Result<(), Finding> {
    if u64::from(width) * u64::from(height) > door.options.caps.pixels {
        return Err(door.huge(width.into(), height.into()));
    }
    Ok(())
}

fn from_gray_alpha(raw: &[u8]) -> Vec<u8> {
    raw.chunks_exact(2).flat_map(|pixel| [pixel[0], pixel[0], pixel[0], pixel[1]]).collect()
}

/// From the embedded profile to sRGB, relative colorimetric; the picture stays as it is, with a
/// note, when the profile cannot be used.
fn colour_managed(door: &Door<'_>, profile: &[u8], pixels: &mut [u8], gray: bool, findings: &mut Vec<Finding>) {
    let done = ColorProfile::new_from_slice(profile).ok().and_then(|from| match from.color_space {
        DataColorSpace::Rgb => through(&from, Layout::Rgba, pixels),
        DataColorSpace::Gray if gray => through_gray(&from, pixels),
        _ => None,
    });
    match done {
        Some(true) => findings.push(door.note(codes::PROFILE_USED)),
        Some(false) => {}
        None => findings.push(door.note(codes::PROFILE_UNREADABLE)),
    }
}

/// Whether any byte changed; `None` when the profile leads nowhere.
fn through(from: &ColorProfile, layout: Layout, pixels: &mut [u8]) -> Option<bool> {
    let to = ColorProfile::new_srgb();
    let transform = from.create_transform_8bit(layout, &to, Layout::Rgba, TransformOptions::default()).ok()?;
    let mut changed = false;
    let mut strip = vec![0; 4 * 4096];
    for pixels in pixels.chunks_mut(4 * 4096) {
        let strip = strip.get_mut(..pixels.len())?;
        transform.transform(pixels, strip).ok()?;
        // A difference of one step is rounding, not another colour.
        changed |= pixels.iter().zip(&*strip).any(|(was, is)| was.abs_diff(*is) > 1);
        pixels.copy_from_slice(strip);
    }
    Some(changed)
}

fn through_gray(from: &ColorProfile, pixels: &mut [u8]) -> Option<bool> {
    let to = ColorProfile::new_srgb();
    let transform = from.create_transform_8bit(Layout::Gray, &to, Layout::Rgb, TransformOptions::default()).ok()?;
    let tones: Vec<u8> = (0..=255).collect();
    let mut mapped = vec![0; 3 * 256];
    transform.transform(&tones, &mut mapped).ok()?;
    let mut changed = false;
    for pixel in pixels.chunks_exact_mut(4) {
        let tone = usize::from(pixel[0]) * 3;
        changed |= pixel[0].abs_diff(mapped[tone]) > 1;
        pixel[..3].copy_from_slice(&mapped[tone..tone + 3]);
    }
    Some(changed)
}

/// PNG `gAMA` (PNG specification, third edition, §11.3.2.2): the file's encoding exponent to
/// the sRGB curve. The usual 1/2.2 stands for sRGB itself and changes nothing.
fn from_gamma(gamma: f64, pixels: &mut [u8]) {
    if gamma.is_nan() || gamma <= 0.0 || (gamma - 0.45455).abs() < 0.01 {
        return;
    }
    let curve: Vec<u8> = (0..=255u8)
        .map(|sample| {
            let linear = (f64::from(sample) / 255.0).powf(1.0 / gamma);
            // IEC 61966-2-1, the forward curve.
            let encoded = if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 };
            (encoded * 255.0).round().clamp(0.0, 255.0) as u8
        })
        .collect();
    for pixel in pixels.chunks_exact_mut(4) {
        for sample in &mut pixel[..3] {
            *sample = curve[usize::from(*sample)];
        }
    }
}

/// Dots an inch along x and y from the JFIF header (ITU-T T.871, §10.1).
fn jfif_density(bytes: &[u8]) -> Option<(f64, f64)> {
    let header = bytes.get(2..18)?;
    if header.get(..2)? != [0xff, 0xe0] || header.get(4..9)? != *b"JFIF\0" {
        return None;
    }
    let number = |at: usize| Some(f64::from(u16::from_be_bytes([*header.get(at)?, *header.get(at + 1)?])));
    let per_inch = match header.get(11)? {
        1 => 1.0,
        2 => 2.54,
        _ => return None,
    };
    let (x, y) = (number(12)? * per_inch, number(14)? * per_inch);
    (x > 0.0 && y > 0.0).then_some((x, y))
}
