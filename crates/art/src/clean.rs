//! Art after the door: one box, one outline, known colours.

use crate::background::{self, BackgroundBox};
use crate::colour::{self, ColourNature, SpotColour};
use crate::contour;
use crate::coverage::Coverage;
use crate::hash::ContentHash;
use crate::outline::{self, Outlined};
use crate::picture::{Picture, Rgba8Image};
use crate::read::{Door, SourceKind};
use crate::resample::resampled;
use crate::svg::effort;
use crate::vector::VectorPicture;
use crate::{codes, emblem, thin};
use geometry::{Point, Region};
use report::{Finding, Outcome, Severity, Value};
use std::sync::{Arc, Mutex, PoisonError};
use units::Length;

/// The least side of a print, mm; smaller is a mistake of units.
pub const LEAST_SIDE_MM: f64 = 1.0;

/// The largest side of a print, mm; larger than any press or roll.
pub const MOST_SIDE_MM: f64 = 3000.0;

/// Pixels holding less ink than this, of 255, do not count for the art box (5 %).
const SEEN: u8 = 13;

/// The share of empty margin past which trimming is worth a word.
const TRIM_WORTH_SAYING: f64 = 0.01;

/// How large the order wants it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SizeWish {
    /// So wide; the height follows.
    Width(Length),
    /// So high; the width follows.
    Height(Length),
    /// As the file says.
    AsFile,
}

/// Width and height of the art box as pressed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrintSize {
    width: Length,
    height: Length,
}

impl PrintSize {
    /// Width, as pressed.
    pub fn width(self) -> Length {
        self.width
    }

    /// Height, as pressed.
    pub fn height(self) -> Length {
        self.height
    }
}

/// How much of the ink is half-transparent.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Softness {
    /// Share of inked pixels that hold 5 to 95 % ink.
    pub share: f64,
    /// The same without the ordinary one-pixel rim of a sharp edge.
    pub beyond_rim: f64,
}

/// Art that can be measured, laid out and printed.
///
/// The art box is trimmed to what is inked, so that a width asked for is the width
/// that is seen; where more than 1 % was left off a finding says so.
#[derive(Debug, Clone)]
pub struct CleanArt {
    parts: CleanParts,
    regions: Regions,
}

/// Regions worked out already, by size; copies of the art share them.
#[derive(Debug, Clone, Default)]
struct Regions(Arc<Mutex<Vec<(PrintSize, Region)>>>);

/// Art is pressed at a few sizes; the first asked for makes room.
const MOST_REGIONS: usize = 12;

impl Regions {
    fn get_or(&self, size: PrintSize, work: impl FnOnce() -> Region) -> Region {
        // Whole regions are put in, never parts: a thread that died left nothing broken.
        let held = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, known)) = held().iter().find(|(known, _)| *known == size) {
            return known.clone();
        }
        let region = work();
        let mut held = held();
        if held.len() >= MOST_REGIONS {
            held.remove(0);
        }
        held.push((size, region.clone()));
        region
    }
}

/// What clean art is made of.
#[derive(Debug, Clone)]
pub(crate) struct CleanParts {
    pub hash: ContentHash,
    pub kind: SourceKind,
    pub picture: Picture,
    pub natural: Option<(Length, Length)>,
    /// In picture units: pixels or drawing units, y up, origin lower left of the art box.
    pub outline: Arc<Region>,
    pub units: (f64, f64),
    pub outline_tolerance: f64,
    pub colours: Vec<SpotColour>,
    pub nature: ColourNature,
    pub background: Option<BackgroundBox>,
    pub softness: Softness,
    /// The least height of a capital of live text, units.
    pub smallest_type: Option<f64>,
    /// Share of the ink that the colours account for.
    pub explained: f64,
    pub painted_cap: u64,
}

impl CleanArt {
    /// The name of the file's content.
    pub fn hash(&self) -> ContentHash {
        self.parts.hash
    }

    /// The form of the file it came from.
    pub fn kind(&self) -> SourceKind {
        self.parts.kind
    }

    /// What is drawn in the art box.
    pub fn picture(&self) -> &Picture {
        &self.parts.picture
    }

    /// The size the file itself gives, of the art box.
    pub fn natural_size(&self) -> Option<(Length, Length)> {
        self.parts.natural
    }

    /// Width over height of the art box.
    pub fn aspect(&self) -> f64 {
        self.parts.units.0 / self.parts.units.1
    }

    /// The colours found, the largest share first.
    pub fn colours(&self) -> &[SpotColour] {
        &self.parts.colours
    }

    /// Whether flat colours, fades or a photograph.
    pub fn colour_nature(&self) -> ColourNature {
        self.parts.nature
    }

    /// Share of the ink that its colours account for, 0 to 1; the rest is blends and noise.
    pub fn colours_explained(&self) -> f64 {
        self.parts.explained
    }

    /// The least height of a capital of live text at a size; `None` where there is none, or text
    /// has become outlines.
    pub fn smallest_type(&self, size: PrintSize) -> Option<Length> {
        self.parts.smallest_type.and_then(|height| Length::from_mm(height * size.width.mm() / self.parts.units.0))
    }

    /// The uniform box it stands on, if any.
    pub fn background(&self) -> Option<BackgroundBox> {
        self.parts.background
    }

    /// How much of the ink is half-transparent.
    pub fn softness(&self) -> Softness {
        self.parts.softness
    }

    /// Width in pixels, for art made of pixels.
    pub fn pixels_wide(&self) -> Option<u32> {
        match &self.parts.picture {
            Picture::Raster(image) => Some(image.width()),
            Picture::Vector(_) => None,
        }
    }

    /// How far the outline may lie from the true edge at a size, mm, before simplifying.
    pub fn outline_tolerance_mm(&self, size: PrintSize) -> f64 {
        self.parts.outline_tolerance * size.width.mm() / self.parts.units.0
    }

    /// The size that a wish leads to.
    ///
    /// # Errors
    /// A finding that stops the line when the file gives no size, or a side would be under
    /// [`LEAST_SIDE_MM`] or over [`MOST_SIDE_MM`].
    pub fn size(&self, wish: SizeWish) -> Result<PrintSize, Finding> {
        let aspect = self.aspect();
        let (width, height) = match wish {
            SizeWish::Width(width) => (width, width / aspect),
            SizeWish::Height(height) => (height * aspect, height),
            SizeWish::AsFile => self
                .parts
                .natural
                .ok_or_else(|| Finding::new(Severity::StopsLine, codes::SIZE_UNKNOWN, codes::FIX_GIVE_SIZE))?,
        };
        let fits = |side: Length| (LEAST_SIDE_MM..=MOST_SIDE_MM).contains(&side.mm());
        if fits(width) && fits(height) {
            return Ok(PrintSize { width, height });
        }
        Err(Finding::new(Severity::StopsLine, codes::SIZE_OUT_OF_RANGE, codes::FIX_GIVE_SIZE)
            .with("width", Value::Length(width))
            .with("height", Value::Length(height))
            .with("least", Value::Length(Length::from_mm(LEAST_SIDE_MM).unwrap_or_default()))
            .with("most", Value::Length(Length::from_mm(MOST_SIDE_MM).unwrap_or_default())))
    }

    /// What is inked, mm, origin in the lower left corner of the art box, y up, holes kept.
    ///
    /// Simplified by at most 0.01 mm either way, then outward by at most 0.03 mm (an outline of
    /// more than 30,000 points stays at the first); with [`Self::outline_tolerance_mm`] that stays
    /// within 0.1 mm of the true edge, except where a picture's own pixels are larger.
    ///
    /// Kept for the sizes asked for last, since everything that places, cuts or draws a print asks again.
    pub fn region(&self, size: PrintSize) -> Region {
        self.regions.get_or(size, || self.simplified(size))
    }

    fn simplified(&self, size: PrintSize) -> Region {
        let (sx, sy) = (size.width.mm() / self.parts.units.0, size.height.mm() / self.parts.units.1);
        let exact = self.parts.outline.map(|p| Point::new(p.x * sx, p.y * sy));
        let thinned = thin::thinned(&exact, THIN_MM);
        let points: usize = thinned.outlines.iter().flat_map(geometry::Outline::rings).map(<[_]>::len).sum();
        if points > MOST_TO_SIMPLIFY { thinned } else { geometry::simplify_outward(&thinned, SIMPLIFY_MM) }
    }

    /// The outline as found, in mm, no point left out.
    pub fn exact_region(&self, size: PrintSize) -> Region {
        let (sx, sy) = (size.width.mm() / self.parts.units.0, size.height.mm() / self.parts.units.1);
        self.parts.outline.map(|p| Point::new(p.x * sx, p.y * sy))
    }

    /// The whole art box on so many pixels, straight sRGB with alpha.
    ///
    /// # Errors
    /// A finding that stops the line when a side is 0, or drawing takes more than allowed.
    pub fn render(&self, width_px: u32, height_px: u32) -> Result<Rgba8Image, Finding> {
        let heavy = || {
            Finding::new(Severity::StopsLine, codes::DRAWING_HEAVY, codes::FIX_SIMPLIFY)
                .named("file", self.parts.hash.hex().chars().take(12).collect::<String>())
                .named("what", "pixels")
        };
        match &self.parts.picture {
            Picture::Raster(image) => resampled(image, width_px, height_px).ok_or_else(heavy),
            Picture::Vector(drawing) => {
                let view = drawing.view();
                let scale = (f64::from(width_px) / view.width).max(f64::from(height_px) / view.height);
                let effort = effort::of(drawing.tree(), scale);
                if effort.painted > self.parts.painted_cap as f64 * 8.0 {
                    return Err(heavy());
                }
                drawing.drawn(width_px, height_px).ok_or_else(heavy)
            }
        }
    }

    /// The drawing as plain SVG whose `viewBox` is the art box; `None` for pixels.
    pub fn svg(&self) -> Option<&str> {
        match &self.parts.picture {
            Picture::Vector(drawing) => Some(drawing.svg()),
            Picture::Raster(_) => None,
        }
    }

    /// The same art with another picture; size in the file, colours and name of the content stay.
    pub(crate) fn redone(&self, picture: Picture, outline: Region, units: (f64, f64)) -> Self {
        let softness = match &picture {
            Picture::Raster(image) => softness(&picture, image),
            Picture::Vector(_) => Softness::default(),
        };
        let outline = Arc::new(outline);
        let parts = self.parts.clone();
        let background = None;
        Self::from_parts(CleanParts { picture, outline, units, softness, background, smallest_type: None, ..parts })
    }

    pub(crate) fn parts(&self) -> &CleanParts {
        &self.parts
    }

    pub(crate) fn from_parts(parts: CleanParts) -> Self {
        Self { parts, regions: Regions::default() }
    }

    pub(crate) fn outline(&self) -> &Region {
        &self.parts.outline
    }

    pub(crate) fn units(&self) -> (f64, f64) {
        self.parts.units
    }
}

/// How far points left out may lie from the edge, mm.
const THIN_MM: f64 = 0.01;

/// Points past which growing the outline to its safe side takes too long.
const MOST_TO_SIMPLIFY: usize = 30_000;

/// How far simplifying may move an edge outward, mm.
const SIMPLIFY_MM: f64 = 0.03;

/// What a reader hands over: the picture on its whole page.
pub(crate) struct Draft {
    pub kind: SourceKind,
    pub picture: Picture,
    pub size: Option<(Length, Length)>,
    /// The least height of a capital of live text, units of the page.
    pub smallest_type: Option<f64>,
    /// Whether the file says that its mark is registered.
    pub registered: bool,
    pub findings: Vec<Finding>,
}

impl Draft {
    /// Finds the outline, trims the art box to it, finds the colours.
    pub fn finish(self, door: &Door<'_>, bytes: &[u8]) -> Result<Outcome<CleanArt>, Finding> {
        let Self { kind, picture, size, smallest_type, registered, mut findings } = self;
        let traced = match picture {
            Picture::Raster(image) => Traced::of_pixels(door, image)?,
            Picture::Vector(drawing) => Traced::of_drawing(door, drawing, &mut findings)?,
        };
        if traced.trimmed > TRIM_WORTH_SAYING {
            findings.push(door.note(codes::MARGIN_TRIMMED).with("share", Value::Share(traced.trimmed)));
        }
        if registered || emblem::drawn(&traced.outline).is_some() {
            findings.push(door.found(Severity::Ask, codes::EMBLEM_REGISTERED, codes::FIX_PERMISSION));
        }
        let natural = size.map(|(width, height)| (width * traced.kept.0, height * traced.kept.1));
        let sample = traced.sample(door)?;
        let background = match &traced.picture {
            Picture::Raster(image) => background::found(image),
            Picture::Vector(_) => None,
        };
        let (colours, nature, explained) = colour::found(&traced.picture, &sample);
        let art = CleanArt::from_parts(CleanParts {
            hash: ContentHash::of(bytes),
            kind,
            softness: softness(&traced.picture, &sample),
            picture: traced.picture,
            natural,
            outline: Arc::new(traced.outline),
            units: traced.units,
            outline_tolerance: traced.tolerance,
            colours,
            nature,
            background,
            smallest_type,
            explained,
            painted_cap: door.options.caps.painted,
        });
        Ok(Outcome { value: art, findings })
    }
}

/// A picture trimmed to its ink, with its outline.
struct Traced {
    picture: Picture,
    outline: Region,
    units: (f64, f64),
    /// Units that the outline may be off.
    tolerance: f64,
    /// Share of the page's area left off.
    trimmed: f64,
    /// What is left of the page's width and height, of 1.
    kept: (f64, f64),
}

impl Traced {
    fn of_pixels(door: &Door<'_>, image: Rgba8Image) -> Result<Self, Finding> {
        let blank = || door.stop(codes::PICTURE_BLANK, codes::FIX_DRAW_INK);
        let coverage = Coverage::of(&image);
        let (x, y, width, height) = coverage.inked_box(SEEN).ok_or_else(blank)?;
        let page = (f64::from(image.width()), f64::from(image.height()));
        let cropped = image.cropped(x as u32, y as u32, width as u32, height as u32);
        let coverage = if cropped.width() == image.width() && cropped.height() == image.height() {
            coverage
        } else {
            Coverage::of(&cropped)
        };
        drop(image);
        let outline = contour::region(&coverage, door.options.caps.points).map_err(|_| ragged(door))?;
        if outline.outlines.is_empty() {
            return Err(blank());
        }
        let units = (width as f64, height as f64);
        Ok(Self {
            picture: Picture::Raster(cropped),
            outline,
            units,
            tolerance: 0.5,
            trimmed: 1.0 - units.0 * units.1 / (page.0 * page.1),
            kept: (units.0 / page.0, units.1 / page.1),
        })
    }

    fn of_drawing(door: &Door<'_>, drawing: VectorPicture, findings: &mut Vec<Finding>) -> Result<Self, Finding> {
        let page = drawing.view();
        let Outlined { region, view, tolerance } = outline::of(door, &drawing, findings)?;
        let units = (view.width, view.height);
        Ok(Self {
            picture: Picture::Vector(drawing.seen_through(view)),
            outline: region,
            units,
            tolerance,
            trimmed: 1.0 - units.0 * units.1 / (page.width * page.height),
            kept: (units.0 / page.width, units.1 / page.height),
        })
    }

    /// A small picture for looking at colours.
    fn sample(&self, door: &Door<'_>) -> Result<Rgba8Image, Finding> {
        match &self.picture {
            Picture::Raster(image) => Ok(image.clone()),
            Picture::Vector(drawing) => {
                let most = door.options.caps.painted as f64 / 4.0;
                let side = effort::affordable_side(drawing.tree(), 700.0, most).ok_or_else(|| door.heavy("layers"))?;
                let scale = side / self.units.0.max(self.units.1);
                let px = |units: f64| (units * scale).round().max(1.0) as u32;
                drawing.drawn(px(self.units.0), px(self.units.1)).ok_or_else(|| door.heavy("pixels"))
            }
        }
    }
}

pub(crate) fn ragged(door: &Door<'_>) -> Finding {
    door.stop(codes::OUTLINE_RAGGED, codes::FIX_SIMPLIFY)
        .with("limit", crate::read::count(door.options.caps.points as u64))
}

/// Counts half-transparent pixels. A drawing's edges are sharp at any size, so that its one-pixel
/// rim is left out of both shares.
fn softness(picture: &Picture, sample: &Rgba8Image) -> Softness {
    if let Picture::Vector(drawing) = picture
        && crate::paints::flat(drawing.tree()).is_some()
    {
        return Softness::default();
    }
    let coverage = Coverage::of(sample);
    let (width, height) = (coverage.width(), coverage.height());
    let (mut inked, mut soft, mut beyond) = (0u64, 0u64, 0u64);
    let clear = vec![0; width];
    for y in 0..height {
        let rows = [
            if y == 0 { clear.as_slice() } else { coverage.row(y - 1) },
            coverage.row(y),
            if y + 1 == height { clear.as_slice() } else { coverage.row(y + 1) },
        ];
        for (x, ink) in rows[1].iter().enumerate() {
            inked += u64::from(*ink >= SEEN);
            if (SEEN..=242).contains(ink) {
                soft += 1;
                beyond += u64::from(!on_a_rim(rows, x));
            }
        }
    }
    let part = |count: u64| if inked == 0 { 0.0 } else { count as f64 / inked as f64 };
    match picture {
        Picture::Raster(_) => Softness { share: part(soft), beyond_rim: part(beyond) },
        Picture::Vector(_) => Softness { share: part(beyond), beyond_rim: part(beyond) },
    }
}

/// Whether the pixel lies between bare and full ones, as on any sharp edge.
fn on_a_rim(rows: [&[u8]; 3], x: usize) -> bool {
    let around = || rows.iter().flat_map(|row| row.get(x.saturating_sub(1)..(x + 2).min(row.len())).unwrap_or(&[]));
    let at_edge = x == 0 || x + 1 == rows[1].len();
    (at_edge || around().any(|ink| *ink < SEEN)) && around().any(|ink| *ink > 242)
}
