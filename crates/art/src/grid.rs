//! The art on a grid fine enough to measure lines and gaps.

use crate::clean::{CleanArt, PrintSize};
use crate::coverage::Coverage;
use crate::fill;
use crate::picture::Picture;
use geometry::{Bounds, Point, Region};

/// Pixels measured at most; a picture with more is averaged down.
const MOST_PIXELS: f64 = 6_500_000.0;

/// Pixels across the least width of interest.
const PIXELS_ACROSS: f64 = 12.0;

/// Bare pixels kept around the art.
const MARGIN: usize = 4;

/// Coverage with a bare margin, and how it lies on the art box.
pub(crate) struct Grid {
    pub coverage: Coverage,
    pub frame: Frame,
}

/// How a grid lies on the art box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Frame {
    /// Millimetres a pixel along x and y.
    mm: (f64, f64),
    /// Height of the art box, mm.
    height: f64,
}

impl Grid {
    /// Fine enough for `least` mm where the pixels allow.
    pub fn of(art: &CleanArt, size: PrintSize, least: f64) -> Self {
        let (width, height) = (size.width().mm(), size.height().mm());
        let coverage = match art.picture() {
            Picture::Raster(image) => {
                let pixels = f64::from(image.width()) * f64::from(image.height());
                let factor = (pixels / MOST_PIXELS).sqrt().ceil().max(1.0) as usize;
                Coverage::of(image).shrunk(factor)
            }
            Picture::Vector(_) => filled(art.outline(), art.units(), (width, height), least),
        };
        let (units, image) = (art.units(), (coverage.width() as f64, coverage.height() as f64));
        let mm = match art.picture() {
            // The last block of an averaged picture may hang over the edge.
            Picture::Raster(_) => {
                let factor = (units.0 / image.0).ceil().max(1.0);
                (width * factor / units.0, height * factor / units.1)
            }
            Picture::Vector(_) => (width / image.0, height / image.1),
        };
        Self { coverage: coverage.padded(MARGIN), frame: Frame { mm, height } }
    }

    /// A region in the art box, mm, on a grid fine enough for `least` mm.
    pub fn of_region(region: &Region, size: PrintSize, least: f64) -> Self {
        let box_mm = (size.width().mm(), size.height().mm());
        let coverage = filled(region, box_mm, box_mm, least);
        let mm = (box_mm.0 / coverage.width() as f64, box_mm.1 / coverage.height() as f64);
        Self { coverage: coverage.padded(MARGIN), frame: Frame { mm, height: box_mm.1 } }
    }
}

impl Frame {
    /// Millimetres a pixel; the mean of both ways, which differ by rounding only.
    pub fn pixel_mm(&self) -> f64 {
        (self.mm.0 + self.mm.1) / 2.0
    }

    /// A place of the padded grid on the art box, mm, y up.
    pub fn place(&self, at: Point) -> Point {
        let margin = MARGIN as f64;
        Point::new((at.x - margin) * self.mm.0, self.height - (at.y - margin) * self.mm.1)
    }

    /// The box around a place, so far on every side, mm.
    pub fn around(&self, at: Point, reach: f64) -> Bounds {
        let at = self.place(at);
        Bounds { min: at, max: at }.grown(reach)
    }
}

/// An outline within a box of so many units, filled on a grid over so many mm.
fn filled(outline: &Region, units: (f64, f64), (width, height): (f64, f64), least: f64) -> Coverage {
    let fine = PIXELS_ACROSS / least.max(0.05);
    let pixels_mm = fine.min((MOST_PIXELS / (width * height)).sqrt());
    let side = |mm: f64| (mm * pixels_mm).ceil().max(1.0);
    let (columns, rows) = (side(width), side(height));
    fill::filled(outline, units, (columns as usize, rows as usize))
}
