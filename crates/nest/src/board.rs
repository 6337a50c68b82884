//! Pieces on usable areas laid side by side along x, far enough apart that
//! pieces on different ones never meet: one plane for one strip or many sheets.

use crate::parts::Parts;

/// Two coordinates, mm.
pub(crate) type Spot = [f64; 2];

/// A usable area at a place on the board.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bin {
    /// Which stock item.
    pub(crate) stock: usize,
    /// Where its corner lies on the board; y is always 0.
    pub(crate) start: f64,
    /// Along x, mm.
    pub(crate) length: f64,
    /// Along y, mm.
    pub(crate) width: f64,
    /// Which classes its direction allows.
    pub(crate) allowed: Vec<bool>,
}

/// A piece, locked piece or obstacle on the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placed {
    pub(crate) class: usize,
    pub(crate) at: Spot,
    pub(crate) bin: usize,
}

/// Areas, what is fixed on them, and a count of the questions asked.
#[derive(Debug, Clone)]
pub(crate) struct Board<'a> {
    pub(crate) parts: &'a Parts,
    pub(crate) bins: Vec<Bin>,
    /// Obstacles and locked pieces; never moved.
    pub(crate) fixed: Vec<Placed>,
    /// Kept between pieces, mm.
    pub(crate) spacing: f64,
    /// Positions evaluated so far.
    pub(crate) spent: u64,
}

impl Board<'_> {
    /// The lowest and highest reference point of a class on a bin; `None` when it does not fit.
    pub(crate) fn room(&self, bin: usize, class: usize) -> Option<(Spot, Spot)> {
        let b = &self.bins[bin];
        if !b.allowed[class] {
            return None;
        }
        let c = &self.parts.classes[class];
        let low = [b.start - c.low[0], -c.low[1]];
        let high = [b.start + b.length - c.high[0], b.width - c.high[1]];
        // A hair of a billionth lets a piece as wide as the sheet onto it.
        let slack = 1e-9;
        (low[0] <= high[0] + slack && low[1] <= high[1] + slack)
            .then(|| (low, [high[0].max(low[0]), high[1].max(low[1])]))
    }

    /// The classes of a design that fit a bin.
    pub(crate) fn classes_on(&self, bin: usize, design: usize) -> Vec<usize> {
        self.parts.of_design[design].iter().copied().filter(|c| self.room(bin, *c).is_some()).collect()
    }

    /// Right end of the pieces of one bin, from its start; 0 when empty.
    pub(crate) fn used(&self, bin: usize, placed: &[Placed]) -> f64 {
        placed
            .iter()
            .filter(|p| p.bin == bin)
            .map(|p| p.at[0] + self.parts.classes[p.class].high[0] - self.bins[bin].start)
            .fold(0.0, f64::max)
    }
}
