//! Pictures brought to another number of pixels, or turned, in linear light.
//!
//! Kernels are the cubics of Mitchell & Netravali, *Reconstruction filters in computer
//! graphics*, SIGGRAPH 1988: (0, ½) when the picture gets smaller, (⅓, ⅓) when it gets
//! larger. Neither has a second positive lobe, so beside a hard edge nothing but
//! empty film is left; a three-lobed kernel would leave a faint rim there.

use super::light::Light;
use rayon::prelude::*;
use std::ops::Range;

/// Straight sRGB with alpha, rows from the top.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Source<'a> {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) pixels: &'a [u8],
}

impl<'a> Source<'a> {
    fn row(&self, y: usize) -> &'a [u8] {
        self.pixels.get(y * self.width * 4..(y + 1) * self.width * 4).unwrap_or(&[])
    }

    fn pixel(&self, x: usize, y: usize) -> &'a [u8] {
        self.pixels.get((y * self.width + x) * 4..(y * self.width + x) * 4 + 4).unwrap_or(&[])
    }
}

/// Rows that one thread makes in one go.
const STRIP: usize = 64;

/// The window `columns` × `rows` of the picture brought to `to_width` × `to_height` px.
///
/// A pixel's value does not depend on the window it is asked for in.
pub(crate) fn resized(
    src: Source<'_>,
    to_width: usize,
    to_height: usize,
    columns: Range<usize>,
    rows: Range<usize>,
) -> Vec<u8> {
    let width = columns.len();
    let mut out = vec![0; width * rows.len() * 4];
    if width == 0 || rows.is_empty() || src.width == 0 || src.height == 0 {
        return out;
    }
    if (to_width, to_height) == (src.width, src.height) {
        for (to, y) in out.chunks_exact_mut(width * 4).zip(rows) {
            let from = src.row(y).get(columns.start * 4..columns.end * 4).unwrap_or(&[]);
            to[..from.len()].copy_from_slice(from);
        }
        return out;
    }
    let across: Vec<Taps> = columns.map(|x| Taps::clamped(x, src.width, to_width)).collect();
    let start = rows.start;
    out.par_chunks_mut(width * STRIP * 4).enumerate().for_each(|(strip, to)| {
        let first = start + strip * STRIP;
        resize_strip(src, &across, first, to_height, to);
    });
    out
}

fn resize_strip(src: Source<'_>, across: &[Taps], first: usize, to_height: usize, to: &mut [u8]) {
    let light = Light::tables();
    let width = across.len();
    let mut kept = KeptRows { from: 0, rows: std::collections::VecDeque::new(), spare: Vec::new() };
    let mut sums = vec![[0.0_f32; 4]; width];
    for (at, row) in to.chunks_exact_mut(width * 4).enumerate() {
        let down = Taps::clamped(first + at, src.height, to_height);
        kept.slide(down.first, down.weights.len(), |y, into| squeeze_row(src.row(y), across, light, into));
        sums.fill([0.0; 4]);
        for (weight, line) in down.weights.iter().zip(&kept.rows) {
            for (sum, value) in sums.iter_mut().zip(line) {
                for (s, v) in sum.iter_mut().zip(value) {
                    *s += weight * v;
                }
            }
        }
        for (pixel, sum) in row.chunks_exact_mut(4).zip(&sums) {
            pixel.copy_from_slice(&light.stored(*sum));
        }
    }
}

/// Rows already brought to the new width, for as long as the rows below need them.
struct KeptRows {
    from: usize,
    rows: std::collections::VecDeque<Vec<[f32; 4]>>,
    spare: Vec<Vec<[f32; 4]>>,
}

impl KeptRows {
    fn slide(&mut self, first: usize, count: usize, mut make: impl FnMut(usize, &mut Vec<[f32; 4]>)) {
        while !self.rows.is_empty() && self.from < first {
            self.spare.extend(self.rows.pop_front());
            self.from += 1;
        }
        if self.rows.is_empty() {
            self.from = first;
        }
        while self.rows.len() < count {
            let mut line = self.spare.pop().unwrap_or_default();
            line.clear();
            make(self.from + self.rows.len(), &mut line);
            self.rows.push_back(line);
        }
    }
}

fn squeeze_row(row: &[u8], across: &[Taps], light: Light, into: &mut Vec<[f32; 4]>) {
    if row.chunks_exact(4).all(|pixel| pixel[3] == 0) {
        into.resize(across.len(), [0.0; 4]);
        return;
    }
    let lit: Vec<[f32; 4]> = row.chunks_exact(4).map(|pixel| light.of(pixel)).collect();
    into.extend(across.iter().map(|taps| {
        let mut sum = [0.0_f32; 4];
        for (weight, value) in taps.weights.iter().zip(lit.get(taps.first..).unwrap_or(&[])) {
            for (s, v) in sum.iter_mut().zip(value) {
                *s += weight * v;
            }
        }
        sum
    }));
}

/// Which source pixels one new pixel is made of.
struct Taps {
    first: usize,
    weights: Vec<f32>,
}

impl Taps {
    /// Within the picture, the weights adding to one: the rim keeps its full cover.
    fn clamped(at: usize, from: usize, to: usize) -> Self {
        let scale = from as f64 / to.max(1) as f64;
        let centre = (at as f64 + 0.5) * scale;
        let (first, weights) = kernel_run(centre, scale);
        let low = usize::try_from(-first.min(0)).unwrap_or(0);
        let start = usize::try_from(first.max(0)).unwrap_or(0).min(from.saturating_sub(1));
        let mut weights: Vec<f32> = weights.into_iter().skip(low).take(from - start).collect();
        let sum: f32 = weights.iter().sum();
        if sum != 0.0 {
            weights.iter_mut().for_each(|w| *w /= sum);
        }
        Self { first: start, weights }
    }
}

/// The kernel's weights at the pixel centres around a place, and the first of these pixels.
fn kernel_run(centre: f64, scale: f64) -> (i64, Vec<f32>) {
    let wide = scale.max(1.0);
    let first = (centre - 2.0 * wide - 0.5).ceil() as i64;
    let last = (centre + 2.0 * wide - 0.5).floor() as i64;
    let weights = (first..=last).map(|at| cubic((at as f64 + 0.5 - centre) / wide, scale > 1.0) as f32).collect();
    (first, weights)
}

/// The cubic with (B, C) = (0, ½) for `sharp`, else (⅓, ⅓).
fn cubic(t: f64, sharp: bool) -> f64 {
    let (b, c) = if sharp { (0.0, 0.5) } else { (1.0 / 3.0, 1.0 / 3.0) };
    let t = t.abs();
    if t < 1.0 {
        ((12.0 - 9.0 * b - 6.0 * c) * t * t * t + (-18.0 + 12.0 * b + 6.0 * c) * t * t + (6.0 - 2.0 * b)) / 6.0
    } else if t < 2.0 {
        ((-b - 6.0 * c) * t * t * t + (6.0 * b + 30.0 * c) * t * t + (-12.0 * b - 48.0 * c) * t + (8.0 * b + 24.0 * c))
            / 6.0
    } else {
        0.0
    }
}

/// From pixels of the output to pixels of the source: x = a·u + b·v + c, y = d·u + e·v + f.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Backward(pub(crate) [f64; 6]);

impl Backward {
    /// Where the middle of an output pixel comes from.
    fn middle(&self, u: i64, v: i64) -> (f64, f64) {
        let [a, b, c, d, e, f] = self.0;
        let (u, v) = (u as f64 + 0.5, v as f64 + 0.5);
        (a * u + b * v + c, d * u + e * v + f)
    }
}

/// The picture turned by any angle, in the window `columns` × `rows` of the output; empty film outside it.
///
/// `scale` is the number of source pixels to one of the output along each source axis.
pub(crate) fn turned(
    src: Source<'_>,
    back: Backward,
    scale: (f64, f64),
    columns: Range<i64>,
    rows: Range<i64>,
) -> Vec<u8> {
    let light = Light::tables();
    let width = usize::try_from(columns.end - columns.start).unwrap_or(0);
    let height = usize::try_from(rows.end - rows.start).unwrap_or(0);
    let mut out = vec![0; width * height * 4];
    out.par_chunks_mut((width * 4).max(1)).enumerate().for_each(|(at, row)| {
        let v = rows.start + at as i64;
        for (pixel, u) in row.chunks_exact_mut(4).zip(columns.clone()) {
            let (x, y) = back.middle(u, v);
            let reach = (2.0 * scale.0.max(1.0), 2.0 * scale.1.max(1.0));
            if x > -reach.0 && x < src.width as f64 + reach.0 && y > -reach.1 && y < src.height as f64 + reach.1 {
                pixel.copy_from_slice(&light.stored(sampled(src, light, (x, y), scale)));
            }
        }
    });
    out
}

fn sampled(src: Source<'_>, light: Light, (x, y): (f64, f64), scale: (f64, f64)) -> [f32; 4] {
    let ((x0, across), (y0, down)) = (kernel_run(x, scale.0), kernel_run(y, scale.1));
    let whole = across.iter().sum::<f32>() * down.iter().sum::<f32>();
    let mut sum = [0.0_f32; 4];
    for (at_y, weight_y) in (y0..).zip(&down) {
        let Some(py) = usize::try_from(at_y).ok().filter(|y| *y < src.height) else { continue };
        for (at_x, weight_x) in (x0..).zip(&across) {
            let Some(px) = usize::try_from(at_x).ok().filter(|x| *x < src.width) else { continue };
            let weight = weight_x * weight_y / whole;
            for (s, v) in sum.iter_mut().zip(light.of(src.pixel(px, py))) {
                *s += weight * v;
            }
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filled(width: usize, height: usize, pixel: impl Fn(usize, usize) -> [u8; 4]) -> Vec<u8> {
        (0..height).flat_map(|y| (0..width).map(move |x| (x, y))).flat_map(|(x, y)| pixel(x, y)).collect()
    }

    /// Lines of black and white one pixel wide carry half the light, stored as 188 (IEC 61966-2-1).
    #[test]
    fn fine_lines_keep_their_light() {
        let pixels = filled(400, 40, |x, _| if x % 2 == 0 { [0, 0, 0, 255] } else { [255, 255, 255, 255] });
        let src = Source { width: 400, height: 40, pixels: &pixels };
        let small = resized(src, 50, 5, 0..50, 0..5);
        for pixel in small.chunks_exact(4).skip(2).take(46) {
            assert!(pixel[0].abs_diff(188) <= 2 && pixel[3] == 255, "{pixel:?}");
        }
    }

    #[test]
    fn no_rim_beside_a_hard_edge() {
        let pixels = filled(300, 30, |x, _| if (100..200).contains(&x) { [200, 30, 30, 255] } else { [0; 4] });
        let src = Source { width: 300, height: 30, pixels: &pixels };
        for to in [100_usize, 137, 290, 500] {
            let out = resized(src, to, 10, 0..to, 0..1);
            let soft = out.chunks_exact(4).filter(|p| p[3] != 0 && p[3] != 255).count();
            assert!(soft <= 2 * (2 * to).div_ceil(150).max(2), "{to}: {soft}");
            let far = out.chunks_exact(4).take(to / 3 - 3 * to.div_ceil(300)).all(|p| p[3] == 0);
            assert!(far, "{to}");
        }
    }

    #[test]
    fn windows_agree_with_the_whole() {
        let pixels = filled(97, 83, |x, y| {
            [(x * 7 % 256) as u8, (y * 5 % 256) as u8, ((x * y) % 256) as u8, ((x + y) * 3 % 256) as u8]
        });
        let src = Source { width: 97, height: 83, pixels: &pixels };
        let whole = resized(src, 150, 201, 0..150, 0..201);
        let part = resized(src, 150, 201, 20..90, 77..190);
        for (line, y) in part.chunks_exact(70 * 4).zip(77..) {
            assert_eq!(line, &whole[(y * 150 + 20) * 4..(y * 150 + 90) * 4]);
        }
    }

    /// The picture turned by 30° and back is the picture, away from the rim.
    #[test]
    fn turning_and_turning_back() {
        let smooth = |v: f64| (127.5 + 100.0 * (v / 9.0).sin()) as u8;
        let pixels = filled(200, 200, |x, y| [smooth(x as f64), smooth(y as f64), smooth((x + y) as f64), 255]);
        let src = Source { width: 200, height: 200, pixels: &pixels };
        let turn = |deg: f64| {
            let (s, c) = deg.to_radians().sin_cos();
            Backward([c, s, 100.0 - 100.0 * c - 100.0 * s, -s, c, 100.0 + 100.0 * s - 100.0 * c])
        };
        let once = turned(src, turn(30.0), (1.0, 1.0), 0..200, 0..200);
        let back = turned(Source { width: 200, height: 200, pixels: &once }, turn(-30.0), (1.0, 1.0), 0..200, 0..200);
        for (x, y) in (60..140).flat_map(|y| (60..140).map(move |x| (x, y))) {
            let at = (y * 200 + x) * 4;
            for channel in 0..4 {
                assert!(back[at + channel].abs_diff(pixels[at + channel]) <= 12, "{x} {y}");
            }
        }
    }
}
