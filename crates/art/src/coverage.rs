//! How much of each pixel is inked: the common ground of outlining and measuring.

use crate::picture::Rgba8Image;

/// Ink share per pixel, 0 (none) to 255 (all), rows from the top; nothing lies outside.
#[derive(Debug, Clone)]
pub(crate) struct Coverage {
    width: usize,
    height: usize,
    ink: Vec<u8>,
}

impl Coverage {
    /// From rows; missing bytes count as no ink.
    pub fn new(width: usize, height: usize, mut ink: Vec<u8>) -> Self {
        ink.resize(width.saturating_mul(height), 0);
        Self { width, height, ink }
    }

    /// The alpha of a picture.
    pub fn of(picture: &Rgba8Image) -> Self {
        let ink = picture.pixels().chunks_exact(4).map(|pixel| pixel[3]).collect();
        Self::new(picture.width() as usize, picture.height() as usize, ink)
    }

    pub fn width(&self) -> usize {
        self.width
    }

    pub fn height(&self) -> usize {
        self.height
    }

    pub fn row(&self, y: usize) -> &[u8] {
        self.ink.get(y * self.width..(y + 1) * self.width).unwrap_or(&[])
    }

    pub fn bytes(&self) -> &[u8] {
        &self.ink
    }

    /// Ink at a pixel; 0 outside the picture.
    pub fn at(&self, x: i64, y: i64) -> u8 {
        match (usize::try_from(x), usize::try_from(y)) {
            (Ok(x), Ok(y)) if x < self.width && y < self.height => self.ink[y * self.width + x],
            _ => 0,
        }
    }

    /// Ink at a pixel, its right neighbour, the one below that and the one below the first.
    pub fn corners(&self, x: i64, y: i64) -> [u8; 4] {
        if let (Ok(column), Ok(row)) = (usize::try_from(x), usize::try_from(y))
            && column + 1 < self.width
            && row + 1 < self.height
        {
            let above = row * self.width + column;
            let below = above + self.width;
            return [self.ink[above], self.ink[above + 1], self.ink[below + 1], self.ink[below]];
        }
        [self.at(x, y), self.at(x + 1, y), self.at(x + 1, y + 1), self.at(x, y + 1)]
    }

    /// Which of 5 × 5 pixels are inked by half or more: a number a row, its lowest bit the leftmost;
    /// nothing is outside the picture.
    pub fn inked_near(&self, left: i64, top: i64) -> [u8; 5] {
        // Each byte's highest bit, side by side: 2⁷ + 2¹⁴ + … + 2⁵⁶ moves byte i's to bit 56 + i.
        let bits = |pixels: [u8; 5]| {
            let [a, b, c, d, e] = pixels;
            let highest = (u64::from_le_bytes([a, b, c, d, e, 0, 0, 0]) >> 7) & 0x0001_0101_0101;
            (highest.wrapping_mul(0x0102_0408_1020_4080) >> 56) as u8
        };
        std::array::from_fn(|row| {
            let y = top + row as i64;
            match (usize::try_from(left), usize::try_from(y)) {
                (Ok(x), Ok(y)) if x + 5 <= self.width && y < self.height => {
                    let from = y * self.width + x;
                    bits(std::array::from_fn(|column| self.ink[from + column]))
                }
                _ => bits(std::array::from_fn(|column| self.at(left + column as i64, y))),
            }
        })
    }

    /// With `margin` empty pixels on every side.
    pub fn padded(&self, margin: usize) -> Self {
        let width = self.width + 2 * margin;
        let mut ink = vec![0; width * (self.height + 2 * margin)];
        for y in 0..self.height {
            let from = (y + margin) * width + margin;
            ink[from..from + self.width].copy_from_slice(self.row(y));
        }
        Self { width, height: self.height + 2 * margin, ink }
    }

    /// Each pixel the mean of a block of `factor` × `factor`; the edge is filled with no ink.
    pub fn shrunk(&self, factor: usize) -> Self {
        if factor <= 1 {
            return self.clone();
        }
        let (width, height) = (self.width.div_ceil(factor), self.height.div_ceil(factor));
        let block = (factor * factor) as u32;
        let mut ink = Vec::with_capacity(width * height);
        let mut sums = vec![0u32; width];
        for band in 0..height {
            sums.fill(0);
            for y in band * factor..((band + 1) * factor).min(self.height) {
                for (pixels, sum) in self.row(y).chunks(factor).zip(&mut sums) {
                    *sum += pixels.iter().map(|p| u32::from(*p)).sum::<u32>();
                }
            }
            // A mean of bytes is a byte.
            ink.extend(sums.iter().map(|sum| ((sum + block / 2) / block) as u8));
        }
        Self { width, height, ink }
    }

    /// Averaged down by blocks of `factor` × `factor`, a block more on every side. What lies beyond
    /// the edge is taken to be as the edge is, so that no wall arises there and none is lost.
    pub fn averaged(&self, factor: usize) -> Self {
        let factor = factor.max(1);
        if self.width == 0 || self.height == 0 {
            return self.clone();
        }
        let blocks = |length: usize| length.div_ceil(factor) + 2;
        let within = |at: usize, length: usize| at.saturating_sub(factor).min(length - 1);
        let (width, height) = (blocks(self.width), blocks(self.height));
        let block = (factor * factor) as u32;
        let mut ink = Vec::with_capacity(width * height);
        let mut sums = vec![0u32; width];
        for band in 0..height {
            sums.fill(0);
            for y in band * factor..(band + 1) * factor {
                let row = self.row(within(y, self.height));
                for (at, sum) in sums.iter_mut().enumerate() {
                    let pixels = at * factor..(at + 1) * factor;
                    *sum += pixels.map(|x| u32::from(row[within(x, self.width)])).sum::<u32>();
                }
            }
            // A mean of bytes is a byte.
            ink.extend(sums.iter().map(|sum| ((sum + block / 2) / block) as u8));
        }
        Self { width, height, ink }
    }

    /// What is bare becomes inked and the other way round.
    pub fn inverted(&self) -> Self {
        Self { width: self.width, height: self.height, ink: self.ink.iter().map(|ink| 255 - ink).collect() }
    }

    /// The pixels holding at least `least` ink, as (x, y, width, height).
    pub fn inked_box(&self, least: u8) -> Option<(usize, usize, usize, usize)> {
        let inked = |row: &[u8]| row.iter().any(|ink| *ink >= least);
        let top = (0..self.height).find(|y| inked(self.row(*y)))?;
        let bottom = (top..self.height).rev().find(|y| inked(self.row(*y)))?;
        let (mut left, mut right) = (self.width, 0);
        for y in top..=bottom {
            let row = self.row(y);
            if let Some(x) = row.iter().take(left).position(|ink| *ink >= least) {
                left = x;
            }
            if let Some(x) = row.iter().skip(right).rposition(|ink| *ink >= least) {
                right += x;
            }
        }
        Some((left, top, right - left + 1, bottom - top + 1))
    }
}
