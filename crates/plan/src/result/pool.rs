//! Sheets and rolls that several prints share.

use report::Figure;
use trade::{StockId, TransferId};
use units::{Area, Money};

/// Sheets and rolls of one transfer in one film colour, shared by all prints that use it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    /// Short name for files, `a` … `z`, `aa` ….
    pub key: String,
    /// The transfer.
    pub transfer: TransferId,
    /// Film colour, for films of one colour.
    pub colour: Option<String>,
    /// What was asked of the packing engine.
    pub instance: nest::Instance,
    /// For each design of the instance, the print it belongs to and its frame.
    pub designs: Vec<PoolDesign>,
    /// For each stock entry of the instance, the shop's item.
    pub stock: Vec<PoolStock>,
    /// The layout, confirmed by the independent check.
    pub layout: nest::Layout,
    /// Cost of the layout, with its bound as the low end of its range.
    pub cost: Figure<Money>,
    /// Net area of the art in it.
    pub art_area: Area,
    /// Area paid for.
    pub paid_area: Area,
}

impl Pool {
    /// Each different sheet by its index in the layout, with how often it is made.
    pub fn different_sheets(&self) -> Vec<(usize, usize)> {
        // Bits tell places apart as the engine does that gives identical sheets their price.
        let key = |sheet: &nest::Sheet| {
            let mut lies: Vec<(usize, u64, u64, u64, bool)> = sheet
                .pieces
                .iter()
                .map(|p| (p.design, p.x_mm.to_bits(), p.y_mm.to_bits(), p.rotation_deg.to_bits(), p.mirrored))
                .collect();
            lies.sort_unstable();
            (sheet.stock, sheet.charged_length_mm.to_bits(), lies)
        };
        let mut different: Vec<(usize, usize)> = Vec::new();
        let mut seen = std::collections::BTreeMap::new();
        for (at, sheet) in self.layout.sheets.iter().enumerate() {
            let place = *seen.entry(key(sheet)).or_insert(different.len());
            match different.get_mut(place) {
                Some((_, times)) => *times += 1,
                None => different.push((at, 1)),
            }
        }
        different
    }
}

/// A design in a pool. Its outline is in the frame of the art box: origin lower
/// left, y up, not mirrored.
///
/// Prints of one art at one size that look the same are one design, whatever
/// lines or orders they are for: their copies are interchangeable, and sheets
/// that differ only in whose copies they hold are identical sheets to a printer.
#[derive(Debug, Clone, PartialEq)]
pub struct PoolDesign {
    /// Index of the order of the first print.
    pub order: usize,
    /// Index of its line.
    pub line: usize,
    /// Index of the print.
    pub print: usize,
    /// Which film of the print's stack, from the lowest; `None` where it is cut from one or printed.
    pub film: Option<usize>,
    /// Copies for this print.
    pub copies: u32,
    /// Further prints that take copies of it, in the order of lines.
    pub also: Vec<PoolUse>,
}

/// Copies of a design for one print.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PoolUse {
    /// Index of the order.
    pub order: usize,
    /// Index of the line.
    pub line: usize,
    /// Index of the print.
    pub print: usize,
    /// How many.
    pub copies: u32,
}

impl PoolDesign {
    /// Every print that takes copies of it; at least one.
    pub fn uses(&self) -> impl Iterator<Item = PoolUse> + '_ {
        let first = PoolUse { order: self.order, line: self.line, print: self.print, copies: self.copies };
        std::iter::once(first).chain(self.also.iter().copied())
    }

    /// The print that takes a copy, counted from 0: the first print takes the first copies.
    pub fn use_of(&self, copy: u32) -> PoolUse {
        let mut before = 0_u32;
        let first = PoolUse { order: self.order, line: self.line, print: self.print, copies: self.copies };
        self.uses()
            .find(|one| {
                before = before.saturating_add(one.copies);
                copy < before
            })
            .unwrap_or(first)
    }
}

/// A stock entry in a pool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PoolStock {
    /// The shop's item.
    pub item: StockId,
    /// Whether it is on hand already.
    pub on_hand: bool,
    /// Which of the item's left-over pieces it is; `None` when it is bought.
    pub remnant: Option<usize>,
}
