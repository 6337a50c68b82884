//! Where each colour of the art is seen.
//!
//! From flat paints exactly: what is painted later hides what lies beneath. From pixels by
//! taking each blend at an edge apart into the two colours it lies between, so that the
//! border between two colours is as fine as the outline itself.

use crate::clean::{CleanArt, PrintSize};
use crate::codes;
use crate::colour::{ColourNature, SpotColour};
use crate::contour;
use crate::coverage::Coverage;
use crate::outline;
use crate::paints;
use crate::picture::{Picture, Rgba8Image};
use geometry::{Point, Region};
use report::{Finding, Severity};

/// What is seen of one colour.
#[derive(Debug, Clone, PartialEq)]
pub struct ColourRegion {
    /// The colour.
    pub colour: SpotColour,
    /// Where it is seen, mm in the art box, y up, holes kept; regions of different colours do not
    /// overlap by more than the outline's own tolerance.
    pub region: Region,
}

/// Where each colour is seen at a size, in the order of [`CleanArt::colours`]; a colour hidden by
/// others has no place and is left out.
///
/// # Errors
/// A finding that stops the line when the art is not of flat colours, or its edges have too many
/// corners.
pub fn colour_regions(art: &CleanArt, size: PrintSize) -> Result<Vec<ColourRegion>, Finding> {
    if !matches!(art.colour_nature(), ColourNature::Spot(_)) {
        return Err(Finding::new(Severity::StopsLine, codes::FADES_ON_FILM, codes::FIX_FLAT_COLOURS));
    }
    if let [colour] = art.colours() {
        return Ok(vec![ColourRegion { colour: *colour, region: art.exact_region(size) }]);
    }
    let regions = match by_paint(art) {
        Some(regions) => regions,
        None => by_pixel(art)?,
    };
    let (sx, sy) = (size.width().mm() / art.units().0, size.height().mm() / art.units().1);
    let seen = art.colours().iter().zip(regions).filter(|(_, region)| !region.outlines.is_empty());
    Ok(seen
        .map(|(colour, region)| ColourRegion {
            colour: *colour,
            region: region.map(|p| Point::new(p.x * sx, p.y * sy)),
        })
        .collect())
}

/// Runs of one colour up to which they are cut out of one another exactly.
const MOST_PIECES: usize = 300;

/// Corner points up to which paths are cut out of one another exactly.
const MOST_POINTS: usize = 150_000;

/// Exact regions in picture units, one a colour; `None` where paths do not say it all.
fn by_paint(art: &CleanArt) -> Option<Vec<Region>> {
    let Picture::Vector(drawing) = art.picture() else { return None };
    paints::flat(drawing.tree())?;
    let pieces = outline::painted(drawing, MOST_POINTS)?;
    if pieces.len() > MOST_PIECES {
        return None;
    }
    let mut parts: Vec<Vec<Region>> = vec![Vec::new(); art.colours().len()];
    let mut hidden = Region { outlines: Vec::new() };
    for piece in pieces.iter().rev() {
        let rgb = piece.rgb?;
        let at = art.colours().iter().position(|colour| colour.rgb == rgb);
        let whole = piece.region(drawing.view());
        if let Some(at) = at {
            parts[at].push(geometry::subtract(&whole, &hidden));
        }
        hidden = geometry::union(&[hidden, whole]);
    }
    Some(parts.iter().map(|parts| geometry::intersect(&geometry::union(parts), art.outline())).collect())
}

/// Pixels looked at at most; a picture with more is averaged down first.
const MOST_PIXELS: f64 = 6_500_000.0;

/// Longest side of the rendering that a drawing is taken apart on, px.
const DRAWN_SIDE: f64 = 2_400.0;

/// Corner points of one colour at most.
const MOST_CORNERS: usize = 2_000_000;

fn by_pixel(art: &CleanArt) -> Result<Vec<Region>, Finding> {
    let (wide, high) = match art.picture() {
        Picture::Raster(image) => (f64::from(image.width()), f64::from(image.height())),
        Picture::Vector(_) => {
            let scale = DRAWN_SIDE / art.units().0.max(art.units().1);
            (art.units().0 * scale, art.units().1 * scale)
        }
    };
    let shrink = (MOST_PIXELS / (wide * high)).sqrt().min(1.0);
    let px = |side: f64| (side * shrink).round().max(1.0) as u32;
    let image = art.render(px(wide), px(high))?;
    let palette: Vec<[u8; 3]> = art.colours().iter().map(|colour| colour.rgb).collect();
    let shares = Shares::of(&image, &palette);
    let (sx, sy) = (art.units().0 / f64::from(image.width()), art.units().1 / f64::from(image.height()));
    let ragged = |_| {
        Finding::new(Severity::StopsLine, codes::OUTLINE_RAGGED, codes::FIX_SIMPLIFY)
            .named("file", art.hash().hex().chars().take(12).collect::<String>())
            .with("limit", crate::read::count(MOST_CORNERS as u64))
    };
    (0..palette.len())
        .map(|at| {
            let region = contour::region(&shares.coverage(at), MOST_CORNERS).map_err(ragged)?;
            Ok(region.map(|p| Point::new(p.x * sx, p.y * sy)))
        })
        .collect()
}

/// The two colours of each pixel and how much of the first it holds.
struct Shares {
    width: usize,
    height: usize,
    pixels: Vec<Mix>,
}

/// One pixel: `part` of 255 is the first colour, the rest of its ink the second.
#[derive(Clone, Copy)]
struct Mix {
    first: u8,
    second: u8,
    part: u8,
    ink: u8,
}

/// No colour beyond doubt.
const BLEND: u8 = u8::MAX;

/// A pixel this near to a colour, squared steps of 255 over all channels, is of that colour.
const SURE: i32 = 24 * 24;

impl Shares {
    fn of(image: &Rgba8Image, palette: &[[u8; 3]]) -> Self {
        let (width, height) = (image.width() as usize, image.height() as usize);
        let pixel = |at: usize| image.pixels().get(at * 4..at * 4 + 4).unwrap_or(&[0; 4]);
        let sure: Vec<u8> = (0..width * height).map(|at| certain(pixel(at), palette)).collect();
        let pixels = (0..width * height)
            .map(|at| {
                let rgba = pixel(at);
                if sure[at] != BLEND || rgba[3] == 0 {
                    return Mix { first: sure[at], second: sure[at], part: 255, ink: rgba[3] };
                }
                let near = around(&sure, at, width, height);
                apart(rgba, palette, &near)
            })
            .collect();
        Self { width, height, pixels }
    }

    fn coverage(&self, colour: usize) -> Coverage {
        let ink = self.pixels.iter().map(|mix| {
            let part = if usize::from(mix.first) == colour {
                u32::from(if mix.second == mix.first { 255 } else { mix.part })
            } else if usize::from(mix.second) == colour {
                255 - u32::from(mix.part)
            } else {
                0
            };
            ((part * u32::from(mix.ink) + 127) / 255) as u8
        });
        Coverage::new(self.width, self.height, ink.collect())
    }
}

fn squared(a: &[u8], b: [u8; 3]) -> i32 {
    a.iter().zip(b).map(|(a, b)| (i32::from(*a) - i32::from(b)).pow(2)).sum()
}

fn nearest(pixel: &[u8], palette: &[[u8; 3]]) -> Option<(usize, i32)> {
    palette.iter().map(|rgb| squared(pixel, *rgb)).enumerate().min_by_key(|(_, squared)| *squared)
}

fn certain(pixel: &[u8], palette: &[[u8; 3]]) -> u8 {
    match nearest(pixel, palette) {
        Some((at, squared)) if squared <= SURE => u8::try_from(at).unwrap_or(BLEND),
        _ => BLEND,
    }
}

/// The colours beyond doubt within two pixels, each once.
fn around(sure: &[u8], at: usize, width: usize, height: usize) -> Vec<u8> {
    let (x, y) = (at % width, at / width);
    let mut seen: Vec<u8> = Vec::new();
    for row in y.saturating_sub(2)..(y + 3).min(height) {
        for label in &sure[row * width + x.saturating_sub(2)..row * width + (x + 3).min(width)] {
            if *label != BLEND && !seen.contains(label) {
                seen.push(*label);
            }
        }
    }
    seen.sort_unstable();
    seen
}

/// A blend taken apart: of all pairs of colours nearby the one whose mixture comes nearest.
fn apart(pixel: &[u8], palette: &[[u8; 3]], near: &[u8]) -> Mix {
    let whole = |label: u8| Mix { first: label, second: label, part: 255, ink: pixel[3] };
    let lone = nearest(pixel, palette).and_then(|(at, off)| Some((f64::from(off), whole(u8::try_from(at).ok()?))));
    let mut best = lone.unwrap_or((f64::INFINITY, whole(BLEND)));
    for (nth, first) in near.iter().enumerate() {
        for second in &near[nth + 1..] {
            let (a, b) = (palette[usize::from(*first)], palette[usize::from(*second)]);
            let span = |channel: usize| f64::from(a[channel]) - f64::from(b[channel]);
            let over = |channel: usize| f64::from(pixel[channel]) - f64::from(b[channel]);
            let long: f64 = (0..3).map(|c| span(c) * span(c)).sum();
            let part = ((0..3).map(|c| span(c) * over(c)).sum::<f64>() / long.max(1.0)).clamp(0.0, 1.0);
            let off: f64 = (0..3).map(|c| (over(c) - part * span(c)).powi(2)).sum();
            if off < best.0 {
                let part = (part * 255.0).round() as u8;
                best = (off, Mix { first: *first, second: *second, part, ink: pixel[3] });
            }
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clean::SizeWish;
    use crate::read::{ReadOptions, read};
    use std::f64::consts::PI;
    use units::Length;

    fn at_width(bytes: &[u8], mm: f64) -> (CleanArt, PrintSize) {
        let art = read("kite", bytes, &ReadOptions::default()).expect("art").value;
        let size = art.size(SizeWish::Width(Length::from_mm(mm).expect("finite"))).expect("a size");
        (art, size)
    }

    const KITE: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 80 60\">\
        <rect width=\"80\" height=\"60\" fill=\"#1450a0\"/><circle cx=\"30\" cy=\"30\" r=\"20\" fill=\"#f0c020\"/>\
        <rect x=\"30\" y=\"25\" width=\"40\" height=\"10\" fill=\"#c01020\"/></svg>";

    /// Areas by hand: the bar is 400 mm²; it hides 20 mm of the disc's right half, a stretch of
    /// ±5 mm, whose area is 2·(5·√(20² − 5²)/2 + 20²/2·asin(5/20)) = 197.9 mm² (circle segment).
    fn expected() -> [f64; 3] {
        let strip = 5.0 * (400.0_f64 - 25.0).sqrt() + 400.0 * (0.25_f64).asin();
        let disc = PI * 400.0 - strip;
        [80.0 * 60.0 - 400.0 - disc, disc, 400.0]
    }

    #[test]
    fn later_paint_hides_what_lies_beneath() {
        let (art, size) = at_width(KITE.as_bytes(), 80.0);
        let seen = colour_regions(&art, size).expect("flat colours");
        let areas: Vec<f64> = seen.iter().map(|part| part.region.area()).collect();
        for (area, exact) in areas.iter().zip(expected()) {
            assert!((area - exact).abs() < 0.3, "{areas:?}");
        }
        assert!(geometry::intersect(&seen[0].region, &seen[1].region).area() < 1e-3);
    }

    /// The same picture as pixels of 0.1 mm: borders within a fraction of one.
    #[test]
    fn pixels_part_as_paths_do() {
        let (art, _) = at_width(KITE.as_bytes(), 80.0);
        let png = outline::as_png(&art.render(800, 600).expect("pixels")).expect("a file");
        let (art, size) = at_width(&png, 80.0);
        let seen = colour_regions(&art, size).expect("flat colours");
        let areas: Vec<f64> = seen.iter().map(|part| part.region.area()).collect();
        assert_eq!(areas.len(), 3);
        for (area, exact) in areas.iter().zip(expected()) {
            assert!((area - exact).abs() < 1.5, "{areas:?} for {:?}", expected());
        }
    }
}
