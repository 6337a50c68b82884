//! From the colours that a file means to sRGB, relative colorimetric.
//!
//! Samples of sixteen bits stay so until the last step.

use crate::codes;
use crate::read::Door;
use moxcms::{
    Chromaticity, CicpColorPrimaries, CicpProfile, ColorPrimaries, ColorProfile, DataColorSpace, Layout,
    MatrixCoefficients, ToneReprCurve, TransferCharacteristics, TransformOptions, XyY,
};
use report::Finding;

/// How samples are stored; alpha is always among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stored {
    /// One sample of colour a pixel instead of three.
    pub gray: bool,
    /// Sixteen bits a sample, the higher byte first.
    pub deep: bool,
}

/// What a file says of its colours.
pub(crate) enum Meant {
    /// They are sRGB, or the file says nothing.
    Srgb,
    /// They are those of this profile.
    By(Box<ColorProfile>),
    /// A profile that leads nowhere.
    Unreadable,
}

/// What a PNG says of its colours.
pub(crate) fn of_png(info: &png::Info<'_>) -> Meant {
    if let Some(points) = &info.coding_independent_code_points {
        return by_code_points(points);
    }
    if info.srgb.is_none()
        && let Some(profile) = &info.icc_profile
    {
        return by_profile(profile);
    }
    if info.srgb.is_some() {
        return Meant::Srgb;
    }
    let gamma = info.gama_chunk.map(|gamma| f64::from(gamma.into_value())).filter(|gamma| *gamma > 0.0);
    // The usual 1/2.2 stands for sRGB itself.
    let gamma = gamma.filter(|gamma| (gamma - 0.45455).abs() >= 0.01);
    let primaries = info.chrm_chunk.filter(|found| !near_srgb(found));
    if gamma.is_none() && primaries.is_none() {
        return Meant::Srgb;
    }
    let mut profile = ColorProfile::new_srgb();
    if let Some(found) = primaries {
        let point = |(x, y): (png::ScaledFloat, png::ScaledFloat)| Chromaticity::new(x.into_value(), y.into_value());
        let (white, red, green, blue) = (point(found.white), point(found.red), point(found.green), point(found.blue));
        if [white, red, green, blue].iter().any(|p| p.y <= 0.0 || p.x < 0.0 || p.x + p.y > 1.0) {
            return Meant::Unreadable;
        }
        let white = XyY { x: f64::from(white.x), y: f64::from(white.y), yb: 1.0 };
        profile.update_rgb_colorimetry(white, ColorPrimaries { red, green, blue });
    }
    if let Some(gamma) = gamma {
        let curve = ToneReprCurve::Parametric(vec![(1.0 / gamma) as f32]);
        profile.red_trc = Some(curve.clone());
        profile.green_trc = Some(curve.clone());
        profile.blue_trc = Some(curve);
    }
    profile.cicp = None;
    Meant::By(Box::new(profile))
}

/// The primaries of IEC 61966-2-1, as near as five decimals tell.
fn near_srgb(found: &png::SourceChromaticities) -> bool {
    let usual = [(0.3127, 0.3290), (0.64, 0.33), (0.30, 0.60), (0.15, 0.06)];
    [found.white, found.red, found.green, found.blue]
        .iter()
        .zip(usual)
        .all(|((x, y), (ux, uy))| (x.into_value() - ux).abs() < 2e-3 && (y.into_value() - uy).abs() < 2e-3)
}

/// Rec. ITU-T H.273: primaries and transfer; RGB has no matrix.
fn by_code_points(points: &png::CodingIndependentCodePoints) -> Meant {
    // Primaries 1 with transfer 13 are sRGB; narrow-range and matrixed samples are for film and video.
    if (points.color_primaries, points.transfer_function) == (1, 13) {
        return Meant::Srgb;
    }
    let found = CicpColorPrimaries::try_from(points.color_primaries)
        .ok()
        .zip(TransferCharacteristics::try_from(points.transfer_function).ok());
    let Some((color_primaries, transfer_characteristics)) = found else { return Meant::Unreadable };
    if points.matrix_coefficients != 0 || !points.is_video_full_range_image {
        return Meant::Unreadable;
    }
    let mut profile = ColorProfile::new_srgb();
    profile.red_trc = None;
    let matrix_coefficients = MatrixCoefficients::Identity;
    let said = CicpProfile { color_primaries, transfer_characteristics, matrix_coefficients, full_range: true };
    // What the library returns does not tell; a curve set anew does.
    profile.update_rgb_colorimetry_from_cicp(said);
    if profile.red_trc.is_some() { Meant::By(Box::new(profile)) } else { Meant::Unreadable }
}

fn by_profile(profile: &[u8]) -> Meant {
    ColorProfile::new_from_slice(profile).map_or(Meant::Unreadable, |profile| Meant::By(Box::new(profile)))
}

/// Straight sRGB, four bytes a pixel; the colours stay as they are, with a note, where the file's
/// own way leads nowhere.
pub(crate) fn to_srgb(
    door: &Door<'_>,
    raw: Vec<u8>,
    stored: Stored,
    meant: Meant,
    findings: &mut Vec<Finding>,
) -> Vec<u8> {
    let plain = |raw: &[u8]| Strips { stored }.each(raw, |_, _| Some(()));
    let profile = match meant {
        Meant::Srgb if stored == (Stored { gray: false, deep: false }) => return raw,
        Meant::Srgb => return plain(&raw).map_or(raw, |(pixels, _)| pixels),
        Meant::By(profile) => Some(profile),
        Meant::Unreadable => None,
    };
    let managed = profile.and_then(|from| managed(&raw, stored, &from));
    match managed {
        Some((pixels, changed)) => {
            if changed {
                findings.push(door.note(codes::PROFILE_USED));
            }
            pixels
        }
        None => {
            findings.push(door.note(codes::PROFILE_UNREADABLE));
            plain(&raw).map_or(raw, |(pixels, _)| pixels)
        }
    }
}

/// Pixels already spread to four bytes each, gray ones with three equal samples.
pub(crate) fn rgba_to_srgb(
    door: &Door<'_>,
    pixels: Vec<u8>,
    gray: bool,
    profile: &[u8],
    findings: &mut Vec<Finding>,
) -> Vec<u8> {
    match by_profile(profile) {
        Meant::By(profile) if profile.color_space == DataColorSpace::Gray && gray => {
            let pairs = pixels.chunks_exact(4).flat_map(|pixel| [pixel[0], pixel[3]]).collect();
            to_srgb(door, pairs, Stored { gray: true, deep: false }, Meant::By(profile), findings)
        }
        meant => to_srgb(door, pixels, Stored { gray: false, deep: false }, meant, findings),
    }
}

/// Pixels brought over and whether any changed; `None` when the profile leads nowhere.
fn managed(raw: &[u8], stored: Stored, from: &ColorProfile) -> Option<(Vec<u8>, bool)> {
    let to = ColorProfile::new_srgb();
    let options = TransformOptions::default();
    let strips = Strips { stored };
    match from.color_space {
        DataColorSpace::Rgb => {
            let transform = from.create_transform_16bit(Layout::Rgba, &to, Layout::Rgba, options).ok()?;
            strips.each(raw, |was, is| {
                is.copy_from_slice(was);
                transform.transform(was, is).ok()?;
                // Alpha is no colour.
                for (was, is) in was.chunks_exact(4).zip(is.chunks_exact_mut(4)) {
                    is[3] = was[3];
                }
                Some(())
            })
        }
        DataColorSpace::Gray if stored.gray => {
            let transform = from.create_transform_16bit(Layout::Gray, &to, Layout::Rgb, options).ok()?;
            strips.each(raw, |was, is| {
                let tones: Vec<u16> = was.chunks_exact(4).map(|pixel| pixel[0]).collect();
                let mut mapped = vec![0; tones.len() * 3];
                transform.transform(&tones, &mut mapped).ok()?;
                for (mapped, is) in mapped.chunks_exact(3).zip(is.chunks_exact_mut(4)) {
                    is[..3].copy_from_slice(mapped);
                }
                Some(())
            })
        }
        _ => None,
    }
}

/// Pixels taken a strip at a time, spread to four samples of sixteen bits.
struct Strips {
    stored: Stored,
}

impl Strips {
    const PIXELS: usize = 4096;

    /// Every strip passed through `change` (from, to; alike beforehand), then brought to eight
    /// bits; and whether any colour changed by more than rounding.
    fn each(&self, raw: &[u8], mut change: impl FnMut(&[u16], &mut [u16]) -> Option<()>) -> Option<(Vec<u8>, bool)> {
        let bytes = if self.stored.gray { 2 } else { 4 } * if self.stored.deep { 2 } else { 1 };
        let mut pixels = Vec::with_capacity(raw.len() / bytes * 4);
        let (mut was, mut is) = (Vec::new(), Vec::new());
        let mut changed = false;
        for strip in raw.chunks(bytes * Self::PIXELS) {
            self.spread(strip, &mut was);
            is.clone_from(&was);
            change(&was, &mut is)?;
            // A difference of one step of 255 is rounding, not another colour.
            changed |= was.iter().zip(&is).any(|(was, is)| was.abs_diff(*is) > 300);
            pixels.extend(is.iter().map(|sample| ((u32::from(*sample) + 128) / 257) as u8));
        }
        Some((pixels, changed))
    }

    fn spread(&self, strip: &[u8], into: &mut Vec<u16>) {
        into.clear();
        let shallow = |sample: u8| u16::from(sample) * 257;
        let deep = |pair: &[u8]| u16::from_be_bytes([pair[0], pair[1]]);
        match (self.stored.gray, self.stored.deep) {
            (false, false) => into.extend(strip.iter().map(|sample| shallow(*sample))),
            (false, true) => into.extend(strip.chunks_exact(2).map(deep)),
            (true, false) => into.extend(strip.chunks_exact(2).flat_map(|pixel| {
                let (tone, ink) = (shallow(pixel[0]), shallow(pixel[1]));
                [tone, tone, tone, ink]
            })),
            (true, true) => into.extend(strip.chunks_exact(4).flat_map(|pixel| {
                let (tone, ink) = (deep(&pixel[..2]), deep(&pixel[2..]));
                [tone, tone, tone, ink]
            })),
        }
    }
}
