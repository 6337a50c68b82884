//! Papers: quote, job ticket, purchase list, sheet map, packing list, care slip, test
//! record, press plan and costing as typeset PDF.
//!
//! In: a plan, the shop it was made for, a way of speaking, pictures drawn
//! before. Out: PDF bytes, the same for the same values: no clock, no disk, no
//! network. What people typed is set as text and never read as markup. Nothing
//! is worked out here; every figure comes from the plan.
//!
//! The way of the data: plan → plain text (`gather`, `form`) → template → PDF
//! (`typeset`).

mod code;
mod error;
mod form;
mod gather;
mod typeset;

pub use error::PaperError;

use plan::Plan;
use std::collections::BTreeMap;
use trade::Shop;
use typeset::{Template, set};
use words::Speech;

/// The size of the sheets in the office printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Page {
    /// 210 × 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 × 11 in.
    Letter,
}

/// Pictures set into papers, as SVG text; a missing one leaves its place out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Pictures {
    /// The shop's own mark.
    pub mark: Option<String>,
    /// Views of a garment with its prints, by index of order and line, the most telling first.
    pub garments: BTreeMap<(usize, usize), Vec<String>>,
    /// Sheets as they are laid out, long ones in stretches, by index of pool and of sheet within its layout.
    pub sheets: BTreeMap<(usize, usize), Vec<String>>,
    /// The work on the presses, a picture for each stretch of it, in order of time.
    pub timeline: Vec<String>,
    /// Two ways of making a line over the quantity, by index of order and line.
    pub break_even: BTreeMap<(usize, usize), String>,
}

const QUOTE: Template = Template { name: "quote", text: include_str!("../templates/quote.typ") };
const TICKET: Template = Template { name: "ticket", text: include_str!("../templates/ticket.typ") };
const PURCHASE: Template = Template { name: "purchase", text: include_str!("../templates/purchase.typ") };
const SHEETS: Template = Template { name: "sheets", text: include_str!("../templates/sheets.typ") };
const PACKING: Template = Template { name: "packing", text: include_str!("../templates/packing.typ") };
const CARE: Template = Template { name: "care", text: include_str!("../templates/care.typ") };
const PLACES: Template = Template { name: "places", text: include_str!("../templates/places.typ") };
const PRESS_PLAN: Template = Template { name: "press-plan", text: include_str!("../templates/press-plan.typ") };
const COSTING: Template = Template { name: "costing", text: include_str!("../templates/costing.typ") };
const RECORD: Template = Template { name: "record", text: include_str!("../templates/record.typ") };

/// What papers are set from. Each fails when the plan has no such order or line, and by a fault of ours.
#[derive(Debug, Clone, Copy)]
pub struct Papers<'a> {
    /// What is told.
    pub plan: &'a Plan,
    /// The shop it was made for.
    pub shop: &'a Shop,
    /// Language and units.
    pub speech: &'a Speech,
    /// Pictures drawn before.
    pub pictures: &'a Pictures,
    /// The sheets in the office printer.
    pub page: Page,
}

impl Papers<'_> {
    /// The quote of one order, for the customer: pictures, prices, ladder, three
    /// ways, what to confirm, terms. Lines that wait or cannot be made are named as
    /// not in the price.
    pub fn quote(&self, order: usize) -> Result<Vec<u8>, PaperError> {
        set(QUOTE, &gather::quote(self, order)?)
    }

    /// The job tickets of one order, one a garment line, each beginning a page.
    pub fn tickets(&self, order: usize) -> Result<Vec<u8>, PaperError> {
        set(TICKET, &gather::tickets(self, order, None)?)
    }

    /// The job ticket of one line of an order.
    pub fn ticket(&self, order: usize, line: usize) -> Result<Vec<u8>, PaperError> {
        set(TICKET, &gather::tickets(self, order, Some(line))?)
    }

    /// What to buy for the whole plan, by supplier, the most urgent first.
    pub fn purchase_list(&self) -> Result<Vec<u8>, PaperError> {
        set(PURCHASE, &gather::purchases(self)?)
    }

    /// Every sheet and length of film of the plan with what lies on it.
    pub fn sheet_map(&self) -> Result<Vec<u8>, PaperError> {
        set(SHEETS, &gather::sheets(self))
    }

    /// The packing list of one order: every size with its count and a box to tick.
    pub fn packing_list(&self, order: usize) -> Result<Vec<u8>, PaperError> {
        set(PACKING, &gather::packing(self, order)?)
    }

    /// Paper templates of one order at true size, one a page.
    pub fn places(&self, order: usize, pages: &[PlacePage]) -> Result<Vec<u8>, PaperError> {
        set(PLACES, &gather::places(self, order, pages)?)
    }

    /// Care slips for one order, one a planned line, to be cut apart.
    pub fn care_slip(&self, order: usize) -> Result<Vec<u8>, PaperError> {
        set(CARE, &gather::care(self, order)?)
    }

    /// Forms to write down what a test piece of each print showed, settings as planned filled in.
    pub fn test_record(&self, order: usize) -> Result<Vec<u8>, PaperError> {
        set(RECORD, &gather::record(self, order)?)
    }

    /// Who presses what, where and when, for the whole plan: a picture of each stretch of work
    /// and a table with the same figures.
    pub fn press_plan(&self) -> Result<Vec<u8>, PaperError> {
        set(PRESS_PLAN, &gather::press_plan(self))
    }

    /// The costing of one order, for the office and not for the customer: dates worked back,
    /// costs of each line built up, two ways over the quantity, and room for what it really took.
    pub fn costing(&self, order: usize) -> Result<Vec<u8>, PaperError> {
        set(COSTING, &gather::costing(self, order)?)
    }
}

/// One page of a paper template that is laid on a garment to find the spot.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacePage {
    /// The drawing; its size is `width_mm` × `height_mm`.
    pub svg: String,
    /// Width at true size.
    pub width_mm: f64,
    /// Height at true size.
    pub height_mm: f64,
    /// What it shows, for a screen reader.
    pub description: String,
}

impl Page {
    /// Width and height, mm.
    pub const fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;
