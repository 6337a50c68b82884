//! Pixels and drawings, and how one becomes the other.

use crate::vector::VectorPicture;
use std::sync::Arc;

/// Straight (not premultiplied) sRGB with alpha, eight bits each, rows from the top.
#[derive(Clone, PartialEq, Eq)]
pub struct Rgba8Image {
    width: u32,
    height: u32,
    pixels: Arc<Vec<u8>>,
}

impl std::fmt::Debug for Rgba8Image {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Rgba8Image({} × {})", self.width, self.height)
    }
}

impl Rgba8Image {
    /// From rows of four bytes a pixel; `None` when a side is 0 or the length does not fit.
    pub fn new(width: u32, height: u32, pixels: Vec<u8>) -> Option<Self> {
        let wanted = u64::from(width).checked_mul(u64::from(height))?.checked_mul(4)?;
        let fits = wanted > 0 && u64::try_from(pixels.len()).ok()? == wanted;
        fits.then(|| Self { width, height, pixels: Arc::new(pixels) })
    }

    /// Width, px; at least 1.
    pub fn width(&self) -> u32 {
        self.width
    }

    /// Height, px; at least 1.
    pub fn height(&self) -> u32 {
        self.height
    }

    /// Rows from the top, four bytes a pixel.
    pub fn pixels(&self) -> &[u8] {
        &self.pixels
    }

    /// The bytes of one row, from the top; empty past the last.
    pub fn row(&self, y: u32) -> &[u8] {
        let stride = self.width as usize * 4;
        let from = (y as usize).saturating_mul(stride);
        self.pixels.get(from..from.saturating_add(stride)).unwrap_or(&[])
    }

    /// The same picture with its bytes changed in place.
    pub(crate) fn edited(mut self, edit: impl FnOnce(&mut [u8])) -> Self {
        edit(Arc::<Vec<u8>>::make_mut(&mut self.pixels));
        self
    }

    /// The part from (x, y) from the top left, cut to what there is.
    pub(crate) fn cropped(&self, x: u32, y: u32, width: u32, height: u32) -> Self {
        let width = width.min(self.width.saturating_sub(x)).max(1);
        let height = height.min(self.height.saturating_sub(y)).max(1);
        if (width, height) == (self.width, self.height) {
            return self.clone();
        }
        let columns = x as usize * 4..(x as usize + width as usize) * 4;
        let rows = (y..y + height).flat_map(|y| self.row(y).get(columns.clone()).unwrap_or(&[]).iter().copied());
        let mut pixels: Vec<u8> = Vec::with_capacity(width as usize * height as usize * 4);
        pixels.extend(rows);
        pixels.resize(width as usize * height as usize * 4, 0);
        Self { width, height, pixels: Arc::new(pixels) }
    }
}

/// What is drawn in the art box.
#[derive(Debug, Clone)]
pub enum Picture {
    /// Paths, kept as paths.
    Vector(VectorPicture),
    /// Pixels.
    Raster(Rgba8Image),
}
