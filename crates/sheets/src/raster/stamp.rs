//! One piece of art in one attitude, as pixels: made once, set down many times.

use super::light::Light;
use super::resample::{Backward, Source, resized, turned};
use crate::sheet::{LetClothShow, PlacedArt, PrintSheet};
use art::{CleanArt, Lab, Picture, ciede2000};
use geometry::Pose;
use std::ops::Range;
use tiny_skia::{FillRule, Mask, PathBuilder, Pixmap, Transform};

/// Empty pixels kept around a turned picture, for the soft rim its kernel makes.
const RIM: f64 = 2.0;
/// Source pixels to one of the output past which a turned picture is first made smaller.
const DIRECT: f64 = 2.5;
/// Bytes of a drawing made in one go; larger drawings come in several runs of rows.
const RUN_BYTES: usize = 8 << 20;
/// Rows of a picture made in one go.
const RUN_ROWS: usize = 128;

/// A piece of art in one attitude.
pub(crate) struct Stamp<'a> {
    art: &'a CleanArt,
    size_mm: (f64, f64),
    pose: Pose,
    cloth: Option<LetClothShow>,
    attitude: Attitude,
    pub(crate) width: usize,
    pub(crate) height: usize,
}

/// From the art box, in art pixels (x to the right, y up), to the stamp's own pixels.
#[derive(Clone, Copy)]
struct Attitude {
    /// Art pixels of the whole box: whole numbers at quarter turns, so that straight edges stay hard.
    box_px: (f64, f64),
    /// u = a·x + b·y + c, v = d·x + e·y + f.
    forward: [f64; 6],
    quarter: bool,
}

/// Rows of a stamp, straight sRGB; of each only the stretch from its first inked pixel to its last.
pub(crate) struct Run {
    pub(crate) first_row: usize,
    pixels: Vec<u8>,
    rows: Vec<Stretch>,
}

struct Stretch {
    inked: Range<usize>,
    from: usize,
}

impl Run {
    fn of(first_row: usize, width: usize, pixels: &[u8]) -> Self {
        let inked: Vec<Range<usize>> = pixels.chunks_exact((width * 4).max(1)).map(inked_stretch).collect();
        let mut kept = Vec::with_capacity(inked.iter().map(|i| i.len() * 4).sum());
        let mut rows = Vec::with_capacity(inked.len());
        for (row, inked) in pixels.chunks_exact((width * 4).max(1)).zip(inked) {
            let from = kept.len();
            kept.extend_from_slice(&row[inked.start * 4..inked.end * 4]);
            rows.push(Stretch { inked, from });
        }
        Self { first_row, pixels: kept, rows }
    }

    /// How many rows.
    pub(crate) fn len(&self) -> usize {
        self.rows.len()
    }

    /// Memory held, bytes.
    pub(crate) fn bytes(&self) -> usize {
        self.pixels.len()
    }

    /// The column of the first inked pixel of one of its rows, and the pixels from there on.
    pub(crate) fn row(&self, own: usize) -> (usize, &[u8]) {
        match self.rows.get(own) {
            Some(Stretch { inked, from }) => (inked.start, &self.pixels[*from..from + inked.len() * 4]),
            None => (0, &[]),
        }
    }
}

/// Why a stamp could not be made.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CannotDraw;

impl<'a> Stamp<'a> {
    pub(crate) fn new(piece: &PlacedArt<'a>, px_per_mm: f64) -> Self {
        let size_mm = (piece.size.width().mm(), piece.size.height().mm());
        let (attitude, width, height) = attitude(size_mm, &piece.pose, px_per_mm);
        Self { art: piece.art, size_mm, pose: piece.pose, cloth: piece.let_cloth_show, attitude, width, height }
    }

    /// Whether the same pixels serve this piece too.
    pub(crate) fn serves(&self, piece: &PlacedArt<'_>) -> bool {
        std::ptr::eq(self.art, piece.art)
            && self.size_mm == (piece.size.width().mm(), piece.size.height().mm())
            && self.pose.mirrored == piece.pose.mirrored
            && self.cloth == piece.let_cloth_show
            && self.pose.turn_deg.rem_euclid(360.0) == piece.pose.turn_deg.rem_euclid(360.0)
    }

    /// The whole pixel of the sheet where the stamp's first pixel comes to lie, its middle
    /// within half a pixel of the plan.
    pub(crate) fn place(&self, sheet: &PrintSheet<'_>, piece: &PlacedArt<'_>) -> (i64, i64) {
        let k = sheet.px_per_mm();
        let pose = sheet.pose_on_sheet(piece);
        let middle = pose.apply(geometry::Point::new(self.size_mm.0 / 2.0, self.size_mm.1 / 2.0));
        let [a, b, c, d, e, f] = self.attitude.forward;
        let (x, y) = (self.attitude.box_px.0 / 2.0, self.attitude.box_px.1 / 2.0);
        let own = (a * x + b * y + c, d * x + e * y + f);
        ((middle.y * k - own.0).round() as i64, (middle.x * k - own.1).round() as i64)
    }

    /// Rows that are best made together.
    pub(crate) fn run_rows(&self) -> usize {
        match self.art.picture() {
            Picture::Raster(_) => RUN_ROWS,
            Picture::Vector(_) => (RUN_BYTES / (self.width * 4).max(1)).max(RUN_ROWS),
        }
    }

    /// The rows asked for, as they are kept.
    pub(crate) fn run(&self, rows: Range<usize>) -> Result<Run, CannotDraw> {
        Ok(Run::of(rows.start, self.width, &self.rows(rows)?))
    }

    /// The rows asked for, straight sRGB.
    pub(crate) fn rows(&self, rows: Range<usize>) -> Result<Vec<u8>, CannotDraw> {
        let mut pixels = match self.art.picture() {
            Picture::Raster(image) => {
                let (width, height) = (image.width() as usize, image.height() as usize);
                self.of_pixels(Source { width, height, pixels: image.pixels() }, rows.clone())
            }
            Picture::Vector(drawing) => {
                let view = drawing.view();
                self.of_drawing(drawing.tree(), [view.x, view.y, view.width, view.height], rows.clone())?
            }
        };
        if let Some(cloth) = self.cloth {
            leave_out(&mut pixels, cloth);
        }
        Ok(pixels)
    }

    fn of_pixels(&self, src: Source<'_>, rows: Range<usize>) -> Vec<u8> {
        if self.attitude.quarter { self.upright(src, rows) } else { self.slanted(src, rows) }
    }

    /// At quarter turns rows and columns only change places.
    fn upright(&self, src: Source<'_>, rows: Range<usize>) -> Vec<u8> {
        let (box_w, box_h) = (self.attitude.box_px.0 as usize, self.attitude.box_px.1 as usize);
        let [a, _, _, d, e, _] = self.attitude.forward;
        let along_rows = d != 0.0;
        // Where the window lies in the art, rows counted from the top.
        let (columns, lines) = if along_rows {
            (turned_range(rows.clone(), box_w, d > 0.0), 0..box_h)
        } else {
            (0..box_w, turned_range(rows.clone(), box_h, e < 0.0))
        };
        let part = resized(src, box_w, box_h, columns.clone(), lines.clone());
        let (part_w, part_h) = (columns.len(), lines.len());
        let mut out = vec![0; self.width * rows.len() * 4];
        for (at, row) in out.chunks_exact_mut((self.width * 4).max(1)).enumerate() {
            if along_rows {
                let x = if d > 0.0 { at } else { part_w - 1 - at };
                let up = self.attitude.forward[1] > 0.0;
                for (u, pixel) in row.chunks_exact_mut(4).enumerate() {
                    let y = if up { part_h - 1 - u } else { u };
                    let from = (y * part_w + x) * 4;
                    pixel.copy_from_slice(&part[from..from + 4]);
                }
            } else {
                let y = if e < 0.0 { at } else { part_h - 1 - at };
                let line = &part[y * part_w * 4..(y + 1) * part_w * 4];
                if a > 0.0 {
                    row.copy_from_slice(line);
                } else {
                    for (pixel, from) in row.chunks_exact_mut(4).zip(line.chunks_exact(4).rev()) {
                        pixel.copy_from_slice(from);
                    }
                }
            }
        }
        out
    }

    fn slanted(&self, src: Source<'_>, rows: Range<usize>) -> Vec<u8> {
        let (box_w, box_h) = self.attitude.box_px;
        let scale = (src.width as f64 / box_w, src.height as f64 / box_h);
        if scale.0.max(scale.1) > DIRECT {
            let (w, h) = (box_w.round().max(1.0) as usize, box_h.round().max(1.0) as usize);
            let smaller = resized(src, w, h, 0..w, 0..h);
            return self.slanted_from(Source { width: w, height: h, pixels: &smaller }, rows);
        }
        self.slanted_from(src, rows)
    }

    fn slanted_from(&self, src: Source<'_>, rows: Range<usize>) -> Vec<u8> {
        let (box_w, box_h) = self.attitude.box_px;
        let scale = (src.width as f64 / box_w, src.height as f64 / box_h);
        let [a, b, c, d, e, f] = self.attitude.forward;
        // The forward map turns and perhaps mirrors, so its determinant is ±1.
        let det = a * e - b * d;
        let (ia, ib, id, ie) = (e / det, -b / det, -d / det, a / det);
        let (ic, fc) = (-(ia * c + ib * f), -(id * c + ie * f));
        let (sx, sy) = scale;
        let back = Backward([ia * sx, ib * sx, ic * sx, -id * sy, -ie * sy, (box_h - fc) * sy]);
        turned(src, back, scale, 0..self.width as i64, rows.start as i64..rows.end as i64)
    }

    fn of_drawing(&self, tree: &usvg::Tree, view: [f64; 4], rows: Range<usize>) -> Result<Vec<u8>, CannotDraw> {
        let size = |n: usize| u32::try_from(n).map_err(|_| CannotDraw);
        let mut pixmap = Pixmap::new(size(self.width)?, size(rows.len())?).ok_or(CannotDraw)?;
        let [vx, vy, vw, vh] = view;
        let (sx, sy) = (self.attitude.box_px.0 / vw, self.attitude.box_px.1 / vh);
        let [a, b, c, d, e, f] = self.attitude.forward;
        // Drawing units (y down) to art pixels (y up) to the stamp, moved up to this run of rows.
        let (x0, y0) = (-vx * sx, self.attitude.box_px.1 + vy * sy);
        let up = f - rows.start as f64;
        let [ta, tb, tc] = [a * sx, -b * sy, a * x0 + b * y0 + c];
        let [td, te, tf] = [d * sx, -e * sy, d * x0 + e * y0 + up];
        let transform = Transform::from_row(ta as f32, td as f32, tb as f32, te as f32, tc as f32, tf as f32);
        resvg::render(tree, transform, &mut pixmap.as_mut());
        if !self.attitude.quarter && stands_out(tree, view) {
            self.clip_to_box(&mut pixmap, rows.start as f64);
        }
        let mut pixels = pixmap.take();
        pixels.chunks_exact_mut(4).for_each(straighten);
        Ok(pixels)
    }

    /// What the drawing holds outside its art box does not belong to the art.
    fn clip_to_box(&self, pixmap: &mut Pixmap, first_row: f64) {
        let [a, b, c, d, e, f] = self.attitude.forward;
        let (w, h) = self.attitude.box_px;
        let mut path = PathBuilder::new();
        for (at, (x, y)) in [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].into_iter().enumerate() {
            let (u, v) = ((a * x + b * y + c) as f32, (d * x + e * y + f - first_row) as f32);
            if at == 0 { path.move_to(u, v) } else { path.line_to(u, v) }
        }
        path.close();
        if let (Some(path), Some(mut mask)) = (path.finish(), Mask::new(pixmap.width(), pixmap.height())) {
            mask.fill_path(&path, FillRule::Winding, true, Transform::identity());
            pixmap.apply_mask(&mask);
        }
    }
}

fn attitude((w, h): (f64, f64), pose: &Pose, k: f64) -> (Attitude, usize, usize) {
    let turn = pose.turn_deg.rem_euclid(360.0);
    let quarter = turn % 90.0 == 0.0;
    let box_px = if quarter { ((w * k).round().max(1.0), (h * k).round().max(1.0)) } else { (w * k, h * k) };
    // Column x of the film runs down the picture, row y to the right.
    let unit = |x: f64, y: f64| Pose { shift: geometry::Point::default(), ..*pose }.apply(geometry::Point::new(x, y));
    let (ex, ey) = (unit(1.0, 0.0), unit(0.0, 1.0));
    let corners = [(0.0, 0.0), (box_px.0, 0.0), box_px, (0.0, box_px.1)];
    let span = |fx: f64, fy: f64| {
        let at = corners.map(|(x, y)| fx * x + fy * y);
        (at.iter().copied().fold(f64::INFINITY, f64::min), at.iter().copied().fold(f64::NEG_INFINITY, f64::max))
    };
    let ((u0, u1), (v0, v1)) = (span(ex.y, ey.y), span(ex.x, ey.x));
    let rim = if quarter { 0.0 } else { RIM };
    let (c, f) = (rim - u0.floor(), rim - v0.floor());
    let side = |end: f64, off: f64| (end + off + rim).ceil().max(1.0) as usize;
    let forward = [ex.y, ey.y, c, ex.x, ey.x, f];
    (Attitude { box_px, forward, quarter }, side(u1, c), side(v1, f))
}

/// The window counted from the other end when not `forward`.
fn turned_range(range: Range<usize>, whole: usize, forward: bool) -> Range<usize> {
    if forward { range } else { whole - range.end..whole - range.start }
}

fn stands_out(tree: &usvg::Tree, [x, y, w, h]: [f64; 4]) -> bool {
    let b = tree.root().abs_layer_bounding_box();
    let slack = 1e-3 * w.max(h);
    f64::from(b.left()) < x - slack
        || f64::from(b.top()) < y - slack
        || f64::from(b.right()) > x + w + slack
        || f64::from(b.bottom()) > y + h + slack
}

fn straighten(pixel: &mut [u8]) {
    let alpha = u32::from(pixel[3]);
    if alpha != 255 && alpha != 0 {
        for sample in &mut pixel[..3] {
            *sample = ((u32::from(*sample) * 255 + alpha / 2) / alpha).min(255) as u8;
        }
    }
}

fn inked_stretch(row: &[u8]) -> Range<usize> {
    let inked = |p: &[u8]| p[3] != 0;
    let Some(first) = row.chunks_exact(4).position(inked) else { return 0..0 };
    let last = row.chunks_exact(4).rposition(inked).unwrap_or(first);
    first..last + 1
}

/// Pixels in the garment's own colour become empty.
fn leave_out(pixels: &mut [u8], cloth: LetClothShow) {
    let cloth_lab = Lab::of(cloth.cloth);
    // Art has long runs of one colour: remembering the last answer settles most pixels.
    let mut last: Option<([u8; 3], bool)> = None;
    for pixel in pixels.chunks_exact_mut(4).filter(|p| p[3] != 0) {
        let colour = [pixel[0], pixel[1], pixel[2]];
        let same = match last {
            Some((known, same)) if known == colour => same,
            _ => ciede2000(Lab::of(colour), cloth_lab) <= cloth.within,
        };
        last = Some((colour, same));
        if same {
            pixel.fill(0);
        }
    }
}

/// Lays one straight pixel over another.
pub(crate) fn lay_over(below: &mut [u8], above: &[u8]) {
    if above[3] == 255 || below[3] == 0 {
        below.copy_from_slice(above);
    } else if above[3] != 0 {
        let light = Light::tables();
        let (top, bottom) = (light.of(above), light.of(below));
        let rest = 1.0 - top[3];
        below.copy_from_slice(&light.stored(std::array::from_fn(|at| top[at] + bottom[at] * rest)));
    }
}
