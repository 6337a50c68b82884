//! The parts of the plan file, each beside what turns the plan's value into it.

mod candidates;
mod cards;
mod dates;
mod figures;
mod pools;
mod prices;
mod purchases;
mod shelf;
mod timeline;

pub(super) use candidates::{CandidateFile, candidate};
pub(super) use cards::{CardFile, card};
pub(super) use dates::{DatesFile, dates};
pub(super) use figures::{FigureFile, FindingFile, ReasonFile, figure, finding, money, reasons, stage_word, way_word};
pub(super) use pools::{PoolFile, pool};
pub(super) use prices::{LinePriceFile, PriceFile, SelectionFile, WayFile, line_price, price, selection, way};
pub(super) use purchases::{PurchaseFile, purchase};
pub(super) use shelf::{ShelfFile, from_shelf, garment_on_hand};
pub(super) use timeline::{TimelineFile, timeline};
