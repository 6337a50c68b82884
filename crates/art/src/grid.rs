//! The art on a grid fine enough to measure lines and gaps.

use crate::clean::{CleanArt, PrintSize};
use crate::coverage::Coverage;
use crate::picture::Picture;
use geometry::{Bounds, Point, Region};
use resvg::tiny_skia::{FillRule, Mask, PathBuilder, Transform};

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
    /// Fine enough for `least` mm where the pixels allow; `None` when nothing can be measured.
    pub fn of(art: &CleanArt, size: PrintSize, least: f64) -> Option<Self> {
        let (width, height) = (size.width().mm(), size.height().mm());
        let coverage = match art.picture() {
            Picture::Raster(image) => {
                let pixels = f64::from(image.width()) * f64::from(image.height());
                let factor = (pixels / MOST_PIXELS).sqrt().ceil().max(1.0) as usize;
                Coverage::of(image).shrunk(factor)
            }
            Picture::Vector(_) => filled(art.outline(), art.units(), (width, height), least)?,
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
        Some(Self { coverage: coverage.padded(MARGIN), frame: Frame { mm, height } })
    }

    /// A region in the art box, mm, on a grid fine enough for `least` mm.
    pub fn of_region(region: &Region, size: PrintSize, least: f64) -> Option<Self> {
        let box_mm = (size.width().mm(), size.height().mm());
        let coverage = filled(region, box_mm, box_mm, least)?;
        let mm = (box_mm.0 / coverage.width() as f64, box_mm.1 / coverage.height() as f64);
        Some(Self { coverage: coverage.padded(MARGIN), frame: Frame { mm, height: box_mm.1 } })
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
fn filled(outline: &Region, units: (f64, f64), (width, height): (f64, f64), least: f64) -> Option<Coverage> {
    let fine = PIXELS_ACROSS / least.max(0.05);
    let pixels_mm = fine.min((MOST_PIXELS / (width * height)).sqrt());
    let (columns, rows) = ((width * pixels_mm).ceil().max(1.0), (height * pixels_mm).ceil().max(1.0));
    let (units_wide, units_high) = units;
    let (sx, sy) = (columns / units_wide, rows / units_high);
    let mut path = PathBuilder::new();
    for ring in outline.outlines.iter().flat_map(geometry::Outline::rings) {
        for (at, p) in ring.iter().enumerate() {
            let (x, y) = ((p.x * sx) as f32, ((units_high - p.y) * sy) as f32);
            if at == 0 { path.move_to(x, y) } else { path.line_to(x, y) }
        }
        path.close();
    }
    let path = path.finish()?;
    let (columns, rows) = (columns as u32, rows as u32);
    let tall = rows.div_ceil(BANDS).max(1);
    // Bands are filled side by side; how many there are does not hang on the machine.
    let filled: Vec<Option<Vec<u8>>> = std::thread::scope(|scope| {
        let band = |top: u32| {
            let path = &path;
            scope.spawn(move || {
                let mut mask = Mask::new(columns, tall.min(rows - top))?;
                mask.fill_path(path, FillRule::EvenOdd, true, Transform::from_translate(0.0, -(top as f32)));
                Some(mask.take())
            })
        };
        let bands: Vec<_> = (0..rows).step_by(tall as usize).map(band).collect();
        bands.into_iter().map(|band| band.join().ok().flatten()).collect()
    });
    let ink = filled.into_iter().collect::<Option<Vec<Vec<u8>>>>()?.concat();
    Some(Coverage::new(columns as usize, rows as usize, ink))
}

/// Horizontal bands that a grid is filled in.
const BANDS: u32 = 4;
