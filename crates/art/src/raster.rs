//! PNG, JPEG and WebP to straight sRGB.

use crate::clean::{CleanArt, Draft};
use crate::picture::{Picture, Rgba8Image};
use crate::read::{Door, SourceKind};
use crate::{background, codes, profile};
use image::{DynamicImage, ImageDecoder};
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
    Draft { kind, picture: Picture::Raster(image), size, smallest_type: None, registered: false, findings }
        .finish(door, bytes)
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

/// Any bit depth, palette or interlacing; colours by `cICP`, profile, `sRGB`, or `gAMA` and `cHRM`,
/// whichever comes first (PNG specification, third edition, §4.3).
fn decode_png(door: &Door<'_>, bytes: &[u8]) -> Result<Decoded, Finding> {
    let broken = |_| door.broken(SourceKind::Png);
    let most = usize::try_from(door.options.caps.pixels.saturating_mul(8)).unwrap_or(usize::MAX);
    let mut decoder = png::Decoder::new_with_limits(Cursor::new(bytes), png::Limits { bytes: most });
    decoder.set_ignore_text_chunk(true);
    let header = decoder.read_header_info().map_err(broken)?;
    let (width, height) = (header.width, header.height);
    within(door, width, height)?;
    decoder.set_transformations(png::Transformations::EXPAND | png::Transformations::ALPHA);
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
    let deep = frame.bit_depth == png::BitDepth::Sixteen;
    let pixels = profile::to_srgb(door, raw, profile::Stored { gray, deep }, profile::of_png(info), &mut findings);
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
        pixels = profile::rgba_to_srgb(door, pixels, gray, &profile, &mut findings);
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
