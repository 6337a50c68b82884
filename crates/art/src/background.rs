//! The uniform box behind a mark.

use crate::codes;
use crate::coverage::Coverage;
use crate::distance::Nearest;
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

/// The picture without its box: what the box's colour reaches from the rim becomes bare, and so
/// do counters (see [`counters`]); the blend at the edge is taken apart into colour and share of
/// ink. White lettering inside a mark stays.
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
    let mut outside = flooded(&image, found.rgb);
    counters(&image, found.rgb, &mut outside);
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

/// At most so many enclosed parts make a part of ink a letter with counters (an O, a B);
/// with more it is a mark with lettering inside. Common practice, no source.
const MOST_COUNTERS: usize = 2;

/// A counter is at least so thick against the thickest ink around it; lettering is thinner.
/// Common practice, no source.
const COUNTER_THICK: f64 = 0.35;

/// Opens counters: enclosed parts of the box's colour in ink that holds no more than two of
/// them, each thick beside the ink around it.
fn counters(image: &Rgba8Image, rgb: [u8; 3], outside: &mut [bool]) {
    let (width, height) = (image.width() as usize, image.height() as usize);
    let alike: Vec<bool> = image.pixels().chunks_exact(4).map(|pixel| near(pixel, rgb)).collect();
    // Faint noise inside the ink is no part of its own.
    let enclosed = Parts::of(|at| alike[at] && !outside[at], width, height);
    let ink = Parts::of(|at| !alike[at] && !outside[at], width, height);
    let thickness = |parts: &Parts| {
        let on = parts.label.iter().map(|label| if *label == 0 { 0 } else { 255 }).collect();
        parts.thickest(&Coverage::new(width, height, on))
    };
    let (enclosed_thick, ink_thick) = (thickness(&enclosed), thickness(&ink));
    let mut around = vec![0u32; enclosed.count + 1];
    for at in (0..alike.len()).filter(|at| enclosed.label[*at] != 0) {
        if let Some(next) = neighbours(at, width, height).find(|next| ink.label[*next] != 0) {
            around[enclosed.label[at] as usize] = ink.label[next];
        }
    }
    let large = |part: usize| enclosed_thick[part] >= 2.0;
    let mut held = vec![0usize; ink.count + 1];
    for part in (1..=enclosed.count).filter(|part| large(*part)) {
        held[around[part] as usize] += 1;
    }
    let open: Vec<bool> = (0..=enclosed.count)
        .map(|part| {
            let owner = around[part] as usize;
            owner != 0
                && large(part)
                && held[owner] <= MOST_COUNTERS
                && enclosed_thick[part] >= COUNTER_THICK * ink_thick[owner]
        })
        .collect();
    for (bare, label) in outside.iter_mut().zip(&enclosed.label) {
        *bare |= open[*label as usize];
    }
}

/// Connected parts, numbered from 1; 0 is none.
struct Parts {
    label: Vec<u32>,
    count: usize,
    width: usize,
}

impl Parts {
    fn of(inside: impl Fn(usize) -> bool, width: usize, height: usize) -> Self {
        let mut label = vec![0u32; width * height];
        let mut count = 0;
        let mut open = Vec::new();
        for start in 0..label.len() {
            if label[start] != 0 || !inside(start) {
                continue;
            }
            count += 1;
            label[start] = count;
            open.push(start);
            while let Some(at) = open.pop() {
                for next in neighbours(at, width, height) {
                    if label[next] == 0 && inside(next) {
                        label[next] = count;
                        open.push(next);
                    }
                }
            }
        }
        Self { label, count: count as usize, width }
    }

    /// The radius of the largest disc in each part, px.
    fn thickest(&self, coverage: &Coverage) -> Vec<f64> {
        let mut thickest = vec![0.0f64; self.count + 1];
        let Some(nearest) = Nearest::of(coverage) else { return thickest };
        for (at, label) in self.label.iter().enumerate().filter(|(_, label)| **label != 0) {
            let (x, y) = (at % self.width, at / self.width);
            if let Some((bx, by)) = nearest.bare(x, y) {
                let reach = ((bx - x as i64) as f64).hypot((by - y as i64) as f64);
                thickest[*label as usize] = thickest[*label as usize].max(reach);
            }
        }
        thickest
    }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::ReadOptions;

    fn painted(colour: impl Fn(f64, f64) -> [u8; 3]) -> Rgba8Image {
        let at = |i: usize| colour((i % 200) as f64 + 0.5, (i / 200) as f64 + 0.5);
        let pixels = (0..200 * 200).flat_map(|i| at(i).into_iter().chain([255])).collect();
        Rgba8Image::new(200, 200, pixels).expect("a picture")
    }

    fn without_box(image: Rgba8Image) -> impl Fn(usize, usize) -> u8 {
        let options = ReadOptions::default();
        let clean = removed(&Door { name: "mark", options: &options }, image, &mut Vec::new());
        move |x, y| clean.row(y as u32)[x * 4 + 3]
    }

    const WHITE: [u8; 3] = [255; 3];
    const BLUE: [u8; 3] = [20, 60, 150];

    #[test]
    fn the_inside_of_a_ring_opens() {
        let alpha = without_box(painted(|x, y| {
            let d = (x - 100.0).hypot(y - 100.0);
            if (40.0..70.0).contains(&d) { BLUE } else { WHITE }
        }));
        assert_eq!((alpha(2, 2), alpha(100, 100), alpha(100, 45)), (0, 0, 255));
    }

    #[test]
    fn white_lettering_inside_a_mark_stays() {
        let alpha = without_box(painted(|x, y| {
            let bars = (y - 100.0).abs() < 30.0 && (45.0..155.0).contains(&x) && (x - 45.0).rem_euclid(30.0) < 8.0;
            if (x - 100.0).hypot(y - 100.0) < 80.0 && !bars { BLUE } else { WHITE }
        }));
        assert_eq!((alpha(2, 2), alpha(48, 100), alpha(108, 100), alpha(60, 100)), (0, 255, 255, 255));
    }

    #[test]
    fn a_plain_picture_has_no_box() {
        assert!(found(&painted(|_, _| BLUE)).is_none());
        assert!(found(&painted(|x, y| [x as u8, y as u8, 9])).is_none());
    }

    /// A pixel blended half and half comes apart into full colour and half the ink.
    #[test]
    fn a_blended_edge_comes_apart() {
        let alpha = without_box(painted(|x, y| match x {
            x if !(60.0..=140.0).contains(&x) || (y - 100.0).abs() > 80.0 => WHITE,
            x if x < 61.0 => [138, 158, 203],
            _ => BLUE,
        }));
        assert!((i32::from(alpha(60, 100)) - 128).abs() <= 3, "{}", alpha(60, 100));
    }
}
