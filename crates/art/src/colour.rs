//! Colours of a picture and how far apart two of them look.

use crate::picture::{Picture, Rgba8Image};
use palette::color_difference::Ciede2000;
use palette::white_point::D65;
use palette::{FromColor, Srgb};
use std::collections::BTreeMap;

/// CIELAB under D65.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lab {
    /// Lightness, 0 to 100.
    pub l: f64,
    /// Green to red.
    pub a: f64,
    /// Blue to yellow.
    pub b: f64,
}

impl Lab {
    /// Of an sRGB colour (IEC 61966-2-1), no change of white point.
    pub fn of(rgb: [u8; 3]) -> Self {
        let srgb: Srgb<f64> = Srgb::new(rgb[0], rgb[1], rgb[2]).into_format();
        let lab = palette::Lab::<D65, f64>::from_color(srgb);
        Self { l: lab.l, a: lab.a, b: lab.b }
    }

    fn library(self) -> palette::Lab<D65, f64> {
        palette::Lab::new(self.l, self.a, self.b)
    }
}

/// The colour difference ΔE00 (ISO/CIE 11664-6); 0 for equal colours.
pub fn ciede2000(a: Lab, b: Lab) -> f64 {
    a.library().difference(b.library())
}

/// One colour of the art.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpotColour {
    /// sRGB.
    pub rgb: [u8; 3],
    /// CIELAB under D65.
    pub lab: Lab,
    /// Share of the inked area, 0 to 1.
    pub share: f64,
}

/// What the colours are like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColourNature {
    /// So many flat colours.
    Spot(u32),
    /// Colours that run into one another smoothly.
    Gradient,
    /// Many colours without order.
    Photo,
}

/// Colours nearer than this look like one in a print. Common practice, no source.
const ONE_COLOUR: f64 = 6.0;

/// Ink nearer than this to its colour's own middle is that colour beyond doubt; a fade spreads wider.
const NEAR: f64 = 3.0;

/// A colour on less of the ink than this is noise or a blend at an edge.
const LEAST_SHARE: f64 = 0.004;

/// Flat colours must account for so much of the ink.
const EXPLAINED: f64 = 0.88;

/// More flat colours than this are no longer called spot colours.
const MOST_SPOTS: usize = 12;

/// The colours of a picture, largest share first, their nature, and the share of ink they account for.
///
/// Pixels are gathered in cells of 5 bits a channel, the cells in clusters around the
/// fullest ones by ΔE00. A drawing's flat paints stand for themselves.
pub(crate) fn found(picture: &Picture, sample: &Rgba8Image) -> (Vec<SpotColour>, ColourNature, f64) {
    let paints = match picture {
        Picture::Vector(drawing) => crate::paints::flat(drawing.tree()),
        Picture::Raster(_) => None,
    };
    let tally = Tally::of(sample);
    if let Some(paints) = paints {
        let spots = tally.shared_among(&paints);
        let count = spots.len() as u32;
        return (spots, ColourNature::Spot(count), 1.0);
    }
    let faded = match picture {
        Picture::Vector(drawing) => crate::paints::fades(drawing.tree()),
        Picture::Raster(_) => false,
    };
    let (spots, explained) = tally.clustered();
    let few = !faded && explained >= EXPLAINED && spots.len() <= MOST_SPOTS;
    let nature = if few && (tally.flat || tally.few_cells()) {
        ColourNature::Spot(spots.len() as u32)
    } else if tally.smooth || faded {
        ColourNature::Gradient
    } else {
        ColourNature::Photo
    };
    (spots, nature, explained)
}

/// Pixels counted by colour cell.
struct Tally {
    /// Count and sums of the channels.
    cells: BTreeMap<u16, (u64, [u64; 3])>,
    total: u64,
    /// Whether neighbours mostly differ by little.
    smooth: bool,
    /// Whether at least half of the ink lies in even areas.
    flat: bool,
}

/// Pixels counted in cells of 5 bits a channel.
struct Cells {
    cells: Vec<(u64, [u64; 3])>,
    total: u64,
}

impl Cells {
    fn new() -> Self {
        Self { cells: vec![(0, [0; 3]); 1 << 15], total: 0 }
    }

    fn add(&mut self, pixel: &[u8]) {
        let bits = |at: usize| usize::from(pixel[at] >> 3);
        let cell = &mut self.cells[bits(0) << 10 | bits(1) << 5 | bits(2)];
        cell.0 += 1;
        for (sum, sample) in cell.1.iter_mut().zip(pixel) {
            *sum += u64::from(*sample);
        }
        self.total += 1;
    }

    fn filled(self) -> BTreeMap<u16, (u64, [u64; 3])> {
        self.cells.into_iter().enumerate().filter(|(_, cell)| cell.0 > 0).map(|(at, cell)| (at as u16, cell)).collect()
    }
}

impl Tally {
    /// Looks at flat, full pixels; at all inked ones when there are hardly any flat ones.
    fn of(sample: &Rgba8Image) -> Self {
        let pixels = f64::from(sample.width()) * f64::from(sample.height());
        let step = (pixels / 400_000.0).sqrt().max(1.0) as u32;
        let (mut flat, mut all) = (Cells::new(), Cells::new());
        let mut changes = Changes::default();
        for y in (0..sample.height()).step_by(step as usize) {
            let row = sample.row(y);
            let below = sample.row((y + 1).min(sample.height() - 1));
            for x in (0..sample.width() as usize).step_by(step as usize) {
                let pixel = &row[x * 4..x * 4 + 4];
                if pixel[3] < 128 {
                    continue;
                }
                let next = row.get(x * 4 + 4..x * 4 + 8).unwrap_or(pixel);
                let jump = widest(pixel, next).max(widest(pixel, &below[x * 4..x * 4 + 4]));
                changes.slight += u64::from(jump > 0 && jump <= 12);
                changes.sharp += u64::from(jump > 40);
                all.add(pixel);
                if jump <= 12 && pixel[3] >= 250 {
                    flat.add(pixel);
                }
            }
        }
        let smooth = changes.sharp * 8 < changes.slight.max(1);
        let even = flat.total * 2 >= all.total;
        let taken = if flat.total * 4 < all.total { all } else { flat };
        Self { total: taken.total, cells: taken.filled(), smooth, flat: even }
    }

    /// Whether a handful of colours, each always the same, make up nearly all.
    fn few_cells(&self) -> bool {
        let mut counts: Vec<u64> = self.cells.values().map(|cell| cell.0).collect();
        counts.sort_unstable_by(|a, b| b.cmp(a));
        let most: u64 = counts.iter().take(MOST_SPOTS).sum();
        most as f64 >= EXPLAINED * self.total as f64
    }

    /// Cells with their mean colour, fullest first.
    fn means(&self) -> Vec<([u8; 3], Lab, u64)> {
        let mut means: Vec<_> = self
            .cells
            .values()
            .map(|(count, sums)| {
                let rgb = sums.map(|sum| ((sum + count / 2) / count) as u8);
                (rgb, Lab::of(rgb), *count)
            })
            .collect();
        means.sort_by(|a, b| b.2.cmp(&a.2).then(a.0.cmp(&b.0)));
        means
    }

    /// Clusters around the fullest cells, and the share of ink that lies near its cluster.
    fn clustered(&self) -> (Vec<SpotColour>, f64) {
        let means = self.means();
        let mut seeds: Vec<([u8; 3], Lab, u64)> = Vec::new();
        let mut near = 0;
        for (rgb, lab, count) in &means {
            let found = nearest(&seeds, *lab);
            match found {
                Some((at, distance)) if distance <= ONE_COLOUR => {
                    seeds[at].2 += count;
                    near += if distance <= NEAR { *count } else { 0 };
                }
                _ if seeds.len() < 64 => {
                    seeds.push((*rgb, *lab, *count));
                    near += count;
                }
                Some((at, _)) => seeds[at].2 += count,
                None => {}
            }
        }
        let total = self.total.max(1) as f64;
        let (kept, dropped): (Vec<_>, Vec<_>) = seeds.into_iter().partition(|s| s.2 as f64 / total >= LEAST_SHARE);
        let lost: u64 = dropped.iter().map(|seed| seed.2).sum();
        let explained = (near.saturating_sub(lost)) as f64 / total;
        (spots(kept), explained)
    }

    /// The ink shared out among known paints, each cell to its nearest; a paint hidden by
    /// others has no share and is left out.
    fn shared_among(&self, paints: &[[u8; 3]]) -> Vec<SpotColour> {
        let mut seeds: Vec<([u8; 3], Lab, u64)> = paints.iter().map(|rgb| (*rgb, Lab::of(*rgb), 0)).collect();
        for (_, lab, count) in self.means() {
            if let Some((at, _)) = nearest(&seeds, lab) {
                seeds[at].2 += count;
            }
        }
        let seen: Vec<_> = seeds.iter().filter(|seed| seed.2 > 0).copied().collect();
        spots(if seen.is_empty() { seeds } else { seen })
    }
}

/// How often neighbouring pixels differ slightly, and sharply.
#[derive(Default)]
struct Changes {
    slight: u64,
    sharp: u64,
}

fn widest(a: &[u8], b: &[u8]) -> u8 {
    a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0)
}

fn nearest(seeds: &[([u8; 3], Lab, u64)], lab: Lab) -> Option<(usize, f64)> {
    seeds.iter().map(|seed| ciede2000(seed.1, lab)).enumerate().min_by(|a, b| a.1.total_cmp(&b.1))
}

fn spots(seeds: Vec<([u8; 3], Lab, u64)>) -> Vec<SpotColour> {
    let total: u64 = seeds.iter().map(|seed| seed.2).sum();
    let mut spots: Vec<SpotColour> = seeds
        .into_iter()
        .map(|(rgb, lab, count)| SpotColour { rgb, lab, share: count as f64 / total.max(1) as f64 })
        .collect();
    spots.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.rgb.cmp(&b.rgb)));
    spots
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The 34 pairs of Sharma, Wu & Dalal, *Color Research & Application* 30(1), 2005, Table 1.
    /// Pair 14 lies on the jump of the mean hue at 180°: rounding may give either value.
    #[test]
    fn ciede2000_reproduces_the_published_pairs() {
        let table = include_str!("../tests/data/ciede2000-sharma.csv");
        let mut seen = 0;
        for line in table.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_digit())) {
            let v: Vec<f64> = line.split(',').map(|cell| cell.trim().parse().expect("a number")).collect();
            let (a, b) = (Lab { l: v[1], a: v[2], b: v[3] }, Lab { l: v[4], a: v[5], b: v[6] });
            for difference in [ciede2000(a, b), ciede2000(b, a)] {
                let hit = (difference - v[7]).abs() <= 1e-4;
                let other = v[0] == 14.0 && [4.8045, 4.7461].iter().any(|value| (difference - value).abs() <= 1e-4);
                assert!(hit || other, "pair {}: {difference}, published {}", v[0], v[7]);
            }
            seen += 1;
        }
        assert_eq!(seen, 34);
    }
}
