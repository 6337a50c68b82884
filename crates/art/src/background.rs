//! The uniform box behind a mark.

use crate::codes;
use crate::picture::Rgba8Image;
use crate::read::Door;
use report::{Finding, Severity, Value};

/// A box of one colour that fills the picture to its edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BackgroundBox {
    /// Its colour, sRGB.
    pub rgb: [u8; 3],
    /// Its share of the picture's area, enclosed parts of the same colour left out.
    pub share: f64,
}

/// How far a pixel may lie from the box's colour, largest step of any channel of 255.
/// Room for the noise of a JPEG of middling quality. Common practice, no source.
const NEAR: u8 = 24;

/// The share of the rim that must be of one colour and opaque.
const RIM: f64 = 0.95;

/// Finds the box, if the picture stands on one.
pub(crate) fn found(image: &Rgba8Image) -> Option<BackgroundBox> {
    let rgb = rim_colour(image)?;
    let outside = flooded(image, rgb);
    let share = outside.iter().filter(|is| **is).count() as f64 / outside.len() as f64;
    // A rim with nothing inside it is a plain rectangle, meant as such.
    (share < 0.999).then_some(BackgroundBox { rgb, share })
}

/// The picture without its box: what the box's colour reaches from the rim becomes bare, the
/// blend at the edge is taken apart into colour and share of ink. Enclosed parts of the same
/// colour that are large enough to see are opened as counters only if they touch no ink of
/// the box's colour; white lettering inside a mark stays.
pub(crate) fn removed(door: &Door<'_>, image: Rgba8Image, findings: &mut Vec<Finding>) -> Rgba8Image {
    let Some(found) = found(&image) else {
        findings.push(door.note(codes::BACKGROUND_NONE));
        return image;
    };
    findings.push(
        door.found(Severity::Note, codes::BACKGROUND_REMOVED, codes::FIX_LOOK)
            .named("colour", hex(found.rgb))
            .with("share", Value::Share(found.share)),
    );
    let outside = flooded(&image, found.rgb);
    let (width, height) = (image.width() as usize, image.height() as usize);
    let rim: Vec<usize> =
        (0..outside.len()).filter(|at| !outside[*at] && beside(&outside, *at, width, height)).collect();
    image.edited(|pixels| {
        for at in rim {
            let ink = inner_colour(pixels, &outside, at, width, height);
            unblend(&mut pixels[at * 4..at * 4 + 4], found.rgb, ink);
        }
        for (pixel, bare) in pixels.chunks_exact_mut(4).zip(&outside) {
            if *bare {
                pixel.fill(0);
            }
        }
    })
}

pub(crate) fn hex(rgb: [u8; 3]) -> String {
    format!("#{:02x}{:02x}{:02x}", rgb[0], rgb[1], rgb[2])
}

fn near(pixel: &[u8], rgb: [u8; 3]) -> bool {
    pixel[3] >= 250 && pixel.iter().zip(rgb).all(|(a, b)| a.abs_diff(b) <= NEAR)
}

/// The middle colour of the picture's rim, when nearly all of the rim is of it.
fn rim_colour(image: &Rgba8Image) -> Option<[u8; 3]> {
    let (width, height) = (image.width() as usize, image.height() as usize);
    if width < 8 || height < 8 {
        return None;
    }
    let pixel = |x: usize, y: usize| &image.pixels()[(y * width + x) * 4..(y * width + x) * 4 + 4];
    let mut rim: Vec<&[u8]> = (0..width).flat_map(|x| [pixel(x, 0), pixel(x, height - 1)]).collect();
    rim.extend((0..height).flat_map(|y| [pixel(0, y), pixel(width - 1, y)]));
    let middle = |channel: usize| {
        let mut samples: Vec<u8> = rim.iter().map(|pixel| pixel[channel]).collect();
        samples.sort_unstable();
        samples[samples.len() / 2]
    };
    let rgb = [middle(0), middle(1), middle(2)];
    let alike = rim.iter().filter(|pixel| near(pixel, rgb)).count();
    (alike as f64 >= RIM * rim.len() as f64).then_some(rgb)
}

/// What is reached from the rim over pixels near the colour; sides touch, corners do not.
/// Whole runs of a row are taken at a time, so that the list of what is open stays short.
fn flooded(image: &Rgba8Image, rgb: [u8; 3]) -> Vec<bool> {
    let (width, height) = (image.width() as usize, image.height() as usize);
    let alike = |at: usize| near(&image.pixels()[at * 4..at * 4 + 4], rgb);
    let mut reached = vec![false; width * height];
    let mut open: Vec<(usize, usize)> = (0..width).flat_map(|x| [(x, 0), (x, height - 1)]).collect();
    open.extend((0..height).flat_map(|y| [(0, y), (width - 1, y)]));
    while let Some((x, y)) = open.pop() {
        let row = y * width;
        if reached[row + x] || !alike(row + x) {
            continue;
        }
        let free = |reached: &[bool], x: usize| !reached[row + x] && alike(row + x);
        let from = (0..x).rev().take_while(|x| free(&reached, *x)).last().unwrap_or(x);
        let to = (x + 1..width).take_while(|x| free(&reached, *x)).last().unwrap_or(x);
        reached[row + from..=row + to].fill(true);
        for next in [y.checked_sub(1), (y + 1 < height).then_some(y + 1)].into_iter().flatten() {
            let mut inside = false;
            for x in from..=to {
                let fresh = !reached[next * width + x] && alike(next * width + x);
                if fresh && !inside {
                    open.push((x, next));
                }
                inside = fresh;
            }
        }
    }
    reached
}

fn neighbours(at: usize, width: usize, height: usize) -> impl Iterator<Item = usize> {
    let (x, y) = (at % width, at / width);
    [
        (x > 0).then(|| at - 1),
        (x + 1 < width).then(|| at + 1),
        (y > 0).then(|| at - width),
        (y + 1 < height).then(|| at + width),
    ]
    .into_iter()
    .flatten()
}

fn beside(outside: &[bool], at: usize, width: usize, height: usize) -> bool {
    neighbours(at, width, height).any(|next| outside[next])
}

/// The ink that a blended pixel leads to: two steps away from the box.
fn inner_colour(pixels: &[u8], outside: &[bool], at: usize, width: usize, height: usize) -> [u8; 3] {
    let (x, y) = ((at % width) as i64, (at / width) as i64);
    let mut sum = [0u32; 3];
    let mut count = 0;
    for (dx, dy) in (-2..=2).flat_map(|dy| (-2..=2).map(move |dx| (dx, dy))) {
        let (x, y) = (x + dx, y + dy);
        if x < 0 || y < 0 || x >= width as i64 || y >= height as i64 {
            continue;
        }
        let near = y as usize * width + x as usize;
        if !outside[near] && !beside(outside, near, width, height) {
            count += 1;
            for (sum, sample) in sum.iter_mut().zip(&pixels[near * 4..near * 4 + 3]) {
                *sum += u32::from(*sample);
            }
        }
    }
    if count == 0 {
        [pixels[at * 4], pixels[at * 4 + 1], pixels[at * 4 + 2]]
    } else {
        sum.map(|sum| (sum / count) as u8)
    }
}

/// Takes a blend c = a·ink + (1 − a)·ground apart, a from the channel with the widest span.
fn unblend(pixel: &mut [u8], ground: [u8; 3], ink: [u8; 3]) {
    let widest = (0..3).max_by_key(|c| ink[*c].abs_diff(ground[*c])).unwrap_or(0);
    let span = f64::from(ink[widest]) - f64::from(ground[widest]);
    if span.abs() < 2.0 * f64::from(NEAR) {
        return;
    }
    let share = ((f64::from(pixel[widest]) - f64::from(ground[widest])) / span).clamp(0.0, 1.0);
    if share < 0.98 {
        pixel[..3].copy_from_slice(&ink);
        pixel[3] = (share * 255.0).round() as u8;
    }
}
