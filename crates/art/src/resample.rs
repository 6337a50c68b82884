//! A picture on more or fewer pixels.

use crate::picture::Rgba8Image;

/// Area means when it gets smaller, straight lines between pixel centres when larger; colours
/// weigh by their ink, so that bare pixels lend no colour. `None` when a side is 0 or too large.
pub(crate) fn resampled(image: &Rgba8Image, width: u32, height: u32) -> Option<Rgba8Image> {
    if (image.width(), image.height()) == (width, height) {
        return Some(image.clone());
    }
    let total = u64::from(width).checked_mul(u64::from(height))?;
    if total == 0 || total > 1_000_000_000 {
        return None;
    }
    let across = Weights::between(image.width(), width);
    let down = Weights::between(image.height(), height);
    let mut pixels = Vec::with_capacity(usize::try_from(total.checked_mul(4)?).ok()?);
    let mut rows = Rows { image, across: &across, kept: Vec::new() };
    for taps in &down.taps {
        let mut sum = vec![0.0f32; width as usize * 4];
        rows.forget_before(taps.first);
        for (at, weight) in taps.weights.iter().enumerate() {
            for (sum, sample) in sum.iter_mut().zip(rows.row(taps.first + at as u32)) {
                *sum += sample * weight;
            }
        }
        pixels.extend(sum.chunks_exact(4).flat_map(straight));
    }
    Rgba8Image::new(width, height, pixels)
}

fn straight(premultiplied: &[f32]) -> [u8; 4] {
    let ink = premultiplied[3];
    if ink <= 0.0 {
        return [0; 4];
    }
    let sample = |at: usize| (premultiplied[at] / ink).round().clamp(0.0, 255.0) as u8;
    [sample(0), sample(1), sample(2), (ink * 255.0).round().clamp(0.0, 255.0) as u8]
}

/// Source rows brought to the new width, kept while the next ones need them.
struct Rows<'a> {
    image: &'a Rgba8Image,
    across: &'a Weights,
    kept: Vec<(u32, Vec<f32>)>,
}

impl Rows<'_> {
    fn forget_before(&mut self, first: u32) {
        self.kept.retain(|(y, _)| *y >= first);
    }

    fn row(&mut self, y: u32) -> &[f32] {
        let at = match self.kept.iter().position(|(kept, _)| *kept == y) {
            Some(at) => at,
            None => {
                self.kept.push((y, self.narrowed(y)));
                self.kept.len() - 1
            }
        };
        &self.kept[at].1
    }

    fn narrowed(&self, y: u32) -> Vec<f32> {
        let source = self.image.row(y);
        let mut row = Vec::with_capacity(self.across.taps.len() * 4);
        for taps in &self.across.taps {
            let mut sum = [0.0f32; 4];
            let from = taps.first as usize * 4;
            for (pixel, weight) in source[from..].chunks_exact(4).zip(&taps.weights) {
                let ink = f32::from(pixel[3]) / 255.0 * weight;
                for (sum, sample) in sum.iter_mut().zip(&pixel[..3]) {
                    *sum += f32::from(*sample) * ink;
                }
                sum[3] += ink;
            }
            row.extend(sum);
        }
        row
    }
}

/// For every new pixel the first old one it draws on and how much each weighs.
struct Weights {
    taps: Vec<Taps>,
}

struct Taps {
    first: u32,
    weights: Vec<f32>,
}

impl Weights {
    fn between(from: u32, to: u32) -> Self {
        let step = f64::from(from) / f64::from(to);
        let taps = (0..to).map(|at| if step > 1.0 { Self::mean(at, step, from) } else { Self::line(at, step, from) });
        Self { taps: taps.collect() }
    }

    fn mean(at: u32, step: f64, from: u32) -> Taps {
        let (start, end) = (f64::from(at) * step, (f64::from(at) + 1.0) * step);
        let first = (start.floor() as u32).min(from - 1);
        let last = ((end.ceil() as u32).max(first + 1)).min(from);
        let covered = |x: u32| (f64::from(x) + 1.0).min(end) - f64::from(x).max(start);
        Taps { first, weights: (first..last).map(|x| (covered(x).max(0.0) / step) as f32).collect() }
    }

    fn line(at: u32, step: f64, from: u32) -> Taps {
        let centre = ((f64::from(at) + 0.5) * step - 0.5).clamp(0.0, f64::from(from) - 1.0);
        let first = centre.floor() as u32;
        let part = (centre - f64::from(first)) as f32;
        let weights = if first + 1 < from { vec![1.0 - part, part] } else { vec![1.0] };
        Taps { first, weights }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mean_keeps_the_ink_and_bare_pixels_lend_no_colour() {
        let red = [200, 10, 30, 255];
        let pixels: Vec<u8> = (0..16).flat_map(|at| if at % 2 == 0 { red } else { [0, 255, 0, 0] }).collect();
        let image = Rgba8Image::new(4, 4, pixels).expect("a picture");
        let half = resampled(&image, 2, 2).expect("a picture");
        assert!(half.pixels().chunks(4).all(|p| p[..3] == red[..3] && p[3] == 128));
        let double = resampled(&image, 8, 8).expect("a picture");
        assert!(double.pixels().chunks(4).all(|p| p[3] == 0 || p[..3] == red[..3]));
    }
}
