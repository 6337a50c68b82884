//! What is worked out of art once and used for many prints, quantities and ways.

use crate::layout;
use crate::offer::kind_limits;
use art::{CleanArt, ContentHash, KindLimits, Measures, PrintSize};
use geometry::Outline;
use report::Outcome;
use std::collections::BTreeMap;
use std::sync::Arc;
use trade::{Cloth, Transfer};

/// Outlines for packing and measures for each transfer's limits, by art and size.
#[derive(Debug, Default)]
pub(crate) struct Shapes {
    outlines: BTreeMap<ArtAtSize, Option<Arc<Outline>>>,
    measures: BTreeMap<(ArtAtSize, LimitsKey), Arc<Outcome<Measures>>>,
}

/// Art with its size in micrometres; the outline tells art with its box removed from art with it.
type ArtAtSize = (ContentHash, i64, i64, usize);
/// Limits in micrometres and whole numbers, for looking up.
type LimitsKey = [i64; 8];

impl Shapes {
    /// One outline around all parts of a print; `None` where nothing is inked.
    pub fn outline(&mut self, art: &CleanArt, size: PrintSize) -> Option<Arc<Outline>> {
        self.outlines
            .entry(at_size(art, size))
            .or_insert_with(|| layout::one_piece(&art.region(size)).map(Arc::new))
            .clone()
    }

    /// The art measured for a transfer on a cloth.
    pub fn measured(
        &mut self,
        art: &CleanArt,
        size: PrintSize,
        transfer: &Transfer,
        cloth: &Cloth,
    ) -> Arc<Outcome<Measures>> {
        let limits = kind_limits(transfer, cloth);
        let key = (at_size(art, size), limits_key(&limits));
        let measure = || Arc::new(art::measure(art, size, &limits));
        Arc::clone(self.measures.entry(key).or_insert_with(measure))
    }
}

fn at_size(art: &CleanArt, size: PrintSize) -> ArtAtSize {
    let parts = art.region(size).outlines.len();
    (art.hash(), um(size.width().mm()), um(size.height().mm()), parts)
}

fn limits_key(limits: &KindLimits) -> LimitsKey {
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

fn um(mm: f64) -> i64 {
    (mm * 1000.0).round().clamp(-9e15, 9e15) as i64
}
