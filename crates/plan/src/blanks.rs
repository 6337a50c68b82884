//! Where the blanks of a line come from: the shop's shelf, the supplier's stock, or later.
//!
//! What was entered of a style's colours and sizes is used up in the order of lines, so
//! that two lines never count on the same blank. What nobody entered is had as usual.

use crate::draft::LineDraft;
use crate::shelf::{self, Shelf, ShelfTake};
use std::collections::BTreeMap;
use trade::GarmentId;

/// Stock of one style, colour and size that no line has taken yet.
#[derive(Debug, Clone, Copy)]
struct Stock {
    on_hand: u32,
    at_supplier: Option<u32>,
}

/// What is left of everything that was entered, while lines take from it.
#[derive(Debug, Default)]
pub(crate) struct Rack {
    left: BTreeMap<(GarmentId, String, String), Stock>,
}

/// Where so many of one size come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Source {
    /// From the shop's shelf.
    pub on_hand: u32,
    /// Delivered as usual.
    pub usual: u32,
    /// Delivered when the supplier has more.
    pub later: u32,
}

/// Where the blanks of a line come from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Blanks {
    /// By the line's sizes, spare ones included.
    pub sizes: Vec<Source>,
    /// Working days until the supplier has more, of the size that takes longest; `None` where
    /// nothing is short, or nobody knows.
    pub more_days: Option<u16>,
    /// Pieces that are short and of which nobody knows when they come.
    pub dateless: u32,
    /// What of it is taken from the garments on hand that are listed one by one.
    pub taken: Vec<ShelfTake>,
}

impl Blanks {
    /// Pieces that come later.
    pub fn later(&self) -> u32 {
        self.sizes.iter().map(|size| size.later).fold(0, u32::saturating_add)
    }

    /// Pieces that are bought, at once or later.
    fn bought(&self) -> u32 {
        self.sizes.iter().map(|size| size.usual.saturating_add(size.later)).fold(0, u32::saturating_add)
    }
}

/// How many blanks of each style are bought together, whatever line they are for: what a
/// supplier's breaks of the style count.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct BoughtTogether(BTreeMap<GarmentId, u32>);

impl BoughtTogether {
    /// Of lines whose blanks come in one parcel.
    pub fn of<'a>(lines: impl IntoIterator<Item = (&'a LineDraft<'a>, &'a Blanks)>) -> Self {
        let mut all = BTreeMap::new();
        for (line, blanks) in lines {
            let sum: &mut u32 = all.entry(line.garment).or_default();
            *sum = sum.saturating_add(blanks.bought());
        }
        Self(all)
    }

    /// How many of a style.
    pub fn many(&self, style: GarmentId) -> u32 {
        self.0.get(&style).copied().unwrap_or(0)
    }

    /// How many more of its style than a line's own pieces: spares, and those of other lines.
    pub fn beside(&self, line: &LineDraft<'_>) -> u32 {
        self.many(line.garment).saturating_sub(line.pieces())
    }
}

impl Rack {
    /// Takes the blanks of a line with its spares, which are of the size there is most of:
    /// first what lies in the shop – of the shelf's list, then what the style says is there –,
    /// then what the supplier has.
    ///
    /// Nothing for a line whose garments the customer brings.
    pub fn take(&mut self, line: &LineDraft<'_>, spare: u32, (shelf, left): (&Shelf<'_>, &mut shelf::Left)) -> Blanks {
        let mut blanks = Blanks::default();
        if line.brought {
            return blanks;
        }
        for (at, wanted) in with_spares(line, spare).into_iter().enumerate() {
            let size = &line.sizes[at].0.name;
            let taken = shelf.garments(left, (line.garment, &line.colour.name, size), wanted);
            let listed = taken.iter().map(|take| take.count).fold(0, u32::saturating_add).min(wanted);
            blanks.taken.extend(taken);
            let Some(held) = line.style.held(&line.colour.name, size) else {
                blanks.sizes.push(Source { on_hand: listed, usual: wanted - listed, later: 0 });
                continue;
            };
            let key = (line.garment, held.colour.clone(), held.size.clone());
            let fresh = Stock { on_hand: held.on_hand, at_supplier: held.at_supplier };
            let stock = self.left.entry(key).or_insert(fresh);
            let held_here = (wanted - listed).min(stock.on_hand);
            stock.on_hand -= held_here;
            let on_hand = listed + held_here;
            let rest = wanted - on_hand;
            let usual = stock.at_supplier.map_or(rest, |has| rest.min(has));
            stock.at_supplier = stock.at_supplier.map(|has| has - usual);
            let later = rest - usual;
            match held.more_days {
                Some(days) if later > 0 => blanks.more_days = Some(blanks.more_days.map_or(days, |d| d.max(days))),
                None => blanks.dateless = blanks.dateless.saturating_add(later),
                Some(_) => {}
            }
            // Nobody knows when they come: reckoned with the usual delivery, and said so.
            let (usual, later) =
                if held.more_days.is_none() { (usual.saturating_add(later), 0) } else { (usual, later) };
            blanks.sizes.push(Source { on_hand, usual, later });
        }
        blanks
    }
}

/// How many of each size, the spares with the size there is most of.
fn with_spares(line: &LineDraft<'_>, spare: u32) -> Vec<u32> {
    let mut counts: Vec<u32> = line.sizes.iter().map(|(_, count)| *count).collect();
    let most = counts.iter().copied().max().unwrap_or(0);
    if let Some(count) = counts.iter_mut().find(|count| **count == most) {
        *count = count.saturating_add(spare);
    }
    counts
}

/// Pieces of a line that can be pressed from one day on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Part {
    /// The day on which their blanks arrive; `None` for those that are there.
    pub arrive: Option<jiff::civil::Date>,
    /// How many of each of the line's sizes; spares are not pressed.
    pub counts: Vec<u32>,
}

impl Part {
    /// The whole line, its blanks at hand when its order's goods are.
    pub fn whole(line: &LineDraft<'_>) -> Self {
        Self { arrive: None, counts: line.sizes.iter().map(|(_, count)| *count).collect() }
    }

    /// Pieces in it.
    pub fn pieces(&self) -> u32 {
        self.counts.iter().copied().fold(0, u32::saturating_add)
    }
}

/// The line in parts by the day its blanks arrive, the earliest first.
///
/// Parts that arrive by `needed` wait for one another: nothing is gained by pressing them apart.
pub(crate) fn parts(
    line: &LineDraft<'_>,
    blanks: &Blanks,
    usual: Option<jiff::civil::Date>,
    later: Option<jiff::civil::Date>,
    needed: jiff::civil::Date,
) -> Vec<Part> {
    let mut all: Vec<Part> = Vec::new();
    let mut open: Vec<u32> = line.sizes.iter().map(|(_, count)| *count).collect();
    let mut take = |arrive, of: &dyn Fn(&Source) -> u32| {
        let counts: Vec<u32> = open
            .iter_mut()
            .enumerate()
            .map(|(at, open)| {
                let taken = blanks.sizes.get(at).map_or(0, of).min(*open);
                *open -= taken;
                taken
            })
            .collect();
        let part = Part { arrive, counts };
        if part.pieces() == 0 {
            return;
        }
        match all.last_mut() {
            Some(before) if arrive.is_none_or(|day| day <= needed) || before.arrive == arrive => {
                before.arrive = arrive.max(before.arrive);
                for (sum, count) in before.counts.iter_mut().zip(&part.counts) {
                    *sum = sum.saturating_add(*count);
                }
            }
            _ => all.push(part),
        }
    };
    take(None, &|source| source.on_hand);
    take(usual, &|source| source.usual);
    take(later.or(usual), &|source| source.later);
    if all.is_empty() { vec![Part::whole(line)] } else { all }
}
