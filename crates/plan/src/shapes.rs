//! What is worked out of art once and used for many prints, quantities and ways.

use crate::films::Stacking;
use crate::layout;
use art::{CleanArt, ContentHash, KindLimits, Measures, PrintSize, Survey, WidthRange};
use garment::{Placed, Position, Reach, Unreachable};
use geometry::{Outline, Region};
use rayon::prelude::*;
use report::{Finding, Outcome};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use trade::{ClothId, GarmentId};
use units::Length;

/// Answers already worked out, for several threads. An answer depends on its key
/// alone, so it does not matter who works it out.
#[derive(Debug)]
pub(crate) struct Known<K, V>(Mutex<BTreeMap<K, Arc<OnceLock<V>>>>);

impl<K, V> Default for Known<K, V> {
    fn default() -> Self {
        Self(Mutex::new(BTreeMap::new()))
    }
}

impl<K: Ord, V: Clone> Known<K, V> {
    /// The known answer, or the one worked out now. Two threads that ask at the same time both
    /// work it out, so that none waits within work that is shared among threads.
    pub fn get_or(&self, key: K, work: impl FnOnce() -> V) -> V {
        let place = self.place(key);
        if let Some(known) = place.get() {
            return known.clone();
        }
        let answer = work();
        place.get_or_init(|| answer).clone()
    }

    /// The known answer, or the one worked out now while others who ask for it wait. Only for work
    /// that is one thread's own: where it is shared among threads, a thread that waits for its share
    /// may take up a task that asks for the same answer, and wait for ever.
    pub fn once(&self, key: K, work: impl FnOnce() -> V) -> V {
        self.place(key).get_or_init(work).clone()
    }

    fn place(&self, key: K) -> Arc<OnceLock<V>> {
        // Only places are kept under the lock: a thread that died left nothing broken.
        let mut places = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(places.entry(key).or_default())
    }
}

/// A print as packing sees it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PackShape {
    /// One outline around all its parts.
    pub outline: Outline,
    /// A wider one of few corners, for what is only priced.
    pub coarse: Outline,
    /// Area of the ink, mm².
    pub ink_mm2: f64,
}

/// Outlines for packing and measures for each transfer's limits, by art and size.
#[derive(Debug, Default)]
pub(crate) struct Shapes {
    outlines: Known<ArtAtSize, Option<Arc<PackShape>>>,
    surveys: Known<ArtAtSize, Arc<Survey>>,
    measures: Known<(ArtAtSize, LimitsKey), Arc<Outcome<Measures>>>,
    /// Films of a print by art, size, what each colour is cut from, and limits.
    pub stacks: Known<StackKey, Arc<Result<Stacking, Finding>>>,
    /// Where prints lie and how a press reaches them there.
    pub places: Known<PlaceKey, Arc<PlaceAnswer>>,
}

/// Garment, size and cloth; position, size and offset of the print, µm; and the
/// same of the prints before it on the same garment.
pub(crate) type PlaceKey = (GarmentId, String, ClothId, Vec<PrintKey>);
/// Position, width, height, right and up, µm.
pub(crate) type PrintKey = (Position, [i64; 4]);

/// A print in its place, and how a press reaches it there.
#[derive(Debug)]
pub(crate) struct PlaceAnswer {
    pub placed: Outcome<Option<Placed>>,
    pub reach: Option<Result<Reach, Box<Unreachable>>>,
}

/// A print's key within a [`PlaceKey`].
pub(crate) fn print_key(position: Position, size: PrintSize, offset: Option<(Length, Length)>) -> PrintKey {
    let (right, up) = offset.unwrap_or_default();
    (position, [um(size.width().mm()), um(size.height().mm()), um(right.mm()), um(up.mm())])
}

/// Art with its size in micrometres; the colours tell art with its box removed from art with it.
pub(crate) type ArtAtSize = (ContentHash, i64, i64, Vec<[u8; 3]>);
/// Limits in micrometres and whole numbers, for looking up.
pub(crate) type LimitsKey = [i64; 8];
/// Art at its size, films by colour as numbers, and limits.
pub(crate) type StackKey = (ArtAtSize, Vec<Option<[i64; 4]>>, LimitsKey);

impl Shapes {
    /// The print as packing sees it; `None` where nothing is inked.
    pub fn pack_shape(&self, art: &CleanArt, size: PrintSize) -> Option<Arc<PackShape>> {
        self.outlines.once(at_size(art, size), || pack_shape(art, size).map(Arc::new))
    }

    /// The art measured for a transfer's limits.
    pub fn measured(&self, art: &CleanArt, size: PrintSize, limits: KindLimits) -> Arc<Outcome<Measures>> {
        let key = (at_size(art, size), limits_key(&limits));
        self.measures.get_or(key, || {
            if !usual_widths().holds(&limits) {
                return Arc::new(art::measure(art, size, &limits));
            }
            Arc::new(self.survey(art, size).measures(art, &limits))
        })
    }

    /// Looks over, side by side, what several prints share: asked for by each of them at the same
    /// time it would be looked over more than once.
    pub fn look_over_shared(&self, prints: &[(&CleanArt, PrintSize)]) {
        let mut uses: BTreeMap<ArtAtSize, (&CleanArt, PrintSize, usize)> = BTreeMap::new();
        for (art, size) in prints {
            uses.entry(at_size(art, *size)).or_insert((*art, *size, 0)).2 += 1;
        }
        let shared: Vec<(&CleanArt, PrintSize)> =
            uses.into_values().filter(|(.., uses)| *uses > 1).map(|(art, size, _)| (art, size)).collect();
        shared.par_iter().for_each(|(art, size)| {
            self.survey(art, *size);
        });
    }

    fn survey(&self, art: &CleanArt, size: PrintSize) -> Arc<Survey> {
        self.surveys.get_or(at_size(art, size), || Arc::new(Survey::of(art, size, usual_widths())))
    }
}

/// Limits that art is looked over for once; a transfer beyond them is measured by itself. From
/// the finest printed line, a quarter of a millimetre, to thick foam films.
fn usual_widths() -> WidthRange {
    let mm = |mm: f64| Length::from_mm(mm).unwrap_or_default();
    WidthRange { finest: mm(0.25), widest: mm(2.5) }
}

impl PackShape {
    /// One film of a print, its marks beside it included, in the frame of the art box.
    pub fn of_film(size: PrintSize, cut: &Region) -> Option<Self> {
        Some(Self { ink_mm2: cut.area(), ..shape_of(&art::with_marks(size, cut))? })
    }
}

fn pack_shape(art: &CleanArt, size: PrintSize) -> Option<PackShape> {
    shape_of(&art.region(size))
}

/// A region as packing sees it.
pub(crate) fn shape_of(region: &Region) -> Option<PackShape> {
    let outline = layout::one_piece(region)?;
    let whole = Region { outlines: vec![outline.clone()] };
    let coarse = geometry::simplify_outward(&whole, COARSE_MM).outlines.into_iter().next();
    Some(PackShape { coarse: coarse.unwrap_or_else(|| outline.clone()), outline, ink_mm2: region.area() })
}

/// Tolerance of outlines for what is only priced, mm: a quarter of the usual spacing.
const COARSE_MM: f64 = 1.5;

pub(crate) fn at_size(art: &CleanArt, size: PrintSize) -> ArtAtSize {
    let colours = art.colours().iter().map(|colour| colour.rgb).collect();
    (art.hash(), um(size.width().mm()), um(size.height().mm()), colours)
}

pub(crate) fn limits_key(limits: &KindLimits) -> LimitsKey {
    [
        um(limits.line.mm()),
        um(limits.island.mm()),
        um(limits.gap.mm()),
        i64::from(limits.cut),
        i64::from(limits.full_colour),
        limits.max_colours.map_or(-1, i64::from),
        um(limits.dpi_min),
        limits.solid_max.map_or(-1, |area| um(area.mm2())),
    ]
}

pub(crate) fn um(mm: f64) -> i64 {
    (mm * 1000.0).round().clamp(-9e15, 9e15) as i64
}
