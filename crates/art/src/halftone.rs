//! Half-transparent ink as dots of full ink.

use crate::picture::Rgba8Image;
use crate::resample::resampled;
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Centres of dots lie this many least dots apart, in rows at 45°. Common practice, no source.
const APART: f64 = 2.4;

/// Pixels across the least dot.
const ACROSS: f64 = 6.0;

/// Pixels made at most.
const MOST_PIXELS: f64 = 40_000_000.0;

/// The picture with its half ink in dots no smaller than `least` mm across, and in holes no
/// smaller; ink that asks for less is left out or closed. `width` is that of the picture, mm.
/// `None` when the pixels are not to be had.
pub(crate) fn halftoned(image: &Rgba8Image, width: f64, least: f64) -> Option<Rgba8Image> {
    let pixel = width / f64::from(image.width());
    let finer = (pixel * ACROSS / least).ceil().max(1.0);
    let most = (MOST_PIXELS / (f64::from(image.width()) * f64::from(image.height()))).sqrt().floor().max(1.0);
    let finer = finer.min(most) as u32;
    let fine = resampled(image, image.width().checked_mul(finer)?, image.height().checked_mul(finer)?)?;
    let columns = fine.width() as usize;
    let step = width / columns as f64;
    let screen = Screen { pitch: APART * least, least };
    Some(fine.edited(|pixels| {
        for (at, pixel) in pixels.chunks_exact_mut(4).enumerate() {
            let (x, y) = ((at % columns) as f64 * step, (at / columns) as f64 * step);
            pixel[3] = if screen.inks(x, y, f64::from(pixel[3]) / 255.0) { 255 } else { 0 };
        }
    }))
}

struct Screen {
    pitch: f64,
    least: f64,
}

impl Screen {
    /// Whether a place is inked, for a share of ink: a dot of that share of its cell up to a half,
    /// a hole of the rest past it.
    fn inks(&self, x: f64, y: f64, share: f64) -> bool {
        if share <= 0.05 || share >= 0.95 {
            return share >= 0.95;
        }
        let (u, v) = ((x + y) * FRAC_1_SQRT_2 / self.pitch, (y - x) * FRAC_1_SQRT_2 / self.pitch);
        let (du, dv) = ((u - u.floor() - 0.5).abs(), (v - v.floor() - 0.5).abs());
        let radius = |share: f64| self.pitch * (share / PI).sqrt();
        let within = |du: f64, dv: f64, radius: f64| {
            radius >= self.least / 2.0 && (du * du + dv * dv).sqrt() * self.pitch < radius
        };
        if share <= 0.5 { within(du, dv, radius(share)) } else { !within(0.5 - du, 0.5 - dv, radius(1.0 - share)) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An even share of ink keeps its share in dots: πr² of each cell of pitch².
    #[test]
    fn an_even_tone_keeps_its_ink() {
        for (share, kept) in [(0.2, 0.2), (0.4, 0.4), (0.6, 0.6), (0.8, 0.8), (0.08, 0.0), (0.97, 1.0)] {
            let alpha = (share * 255.0_f64).round() as u8;
            let flat = Rgba8Image::new(200, 200, [9, 9, 9, alpha].repeat(40_000)).expect("a picture");
            let dots = halftoned(&flat, 24.0, 0.5).expect("dots");
            let inked = dots.pixels().chunks_exact(4).filter(|pixel| pixel[3] == 255).count();
            let found = inked as f64 / (dots.pixels().len() / 4) as f64;
            assert!((found - kept).abs() < 0.02, "{share}: {found}");
            assert!(dots.pixels().chunks_exact(4).all(|pixel| pixel[3] == 0 || pixel[3] == 255));
        }
    }
}
