//! Suppliers and the sheets and rolls they sell.

use crate::{CutWish, Marked, PrintWish, SupplierId};
use jiff::civil::{Date, Time};
use units::{Duration, Length, Money, MoneyError, Rounding, Share};

/// Which way the art reads on the film or sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reading {
    /// As it is seen on the garment.
    Right,
    /// Mirrored.
    Reversed,
}

/// What layers the printer's files hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layers {
    /// Colours only; the printer adds white.
    Colour,
    /// Colours and a white layer of ours.
    ColourAndWhite,
}

/// How a printer wants files.
#[derive(Debug, Clone, PartialEq)]
pub struct FileRule {
    /// Which way the art reads.
    pub reading: Reading,
    /// Which layers.
    pub layers: Layers,
    /// The rule's own source: "printer's file page, checked 3 March".
    pub source: Option<String>,
}

/// What carriage costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Freight {
    /// Goods value from which each price holds, rising, with the price of carriage; the first begins at 0.
    pub steps: Vec<(Money, Money)>,
    /// Goods value from which carriage is free.
    pub free_from: Option<Money>,
}

/// Faster delivery, which a supplier sells.
#[derive(Debug, Clone, PartialEq)]
pub struct RushService {
    /// Rush orders after this time count as the next working day's.
    pub cut_off: Time,
    /// Working days to make the goods, beginning with the day after the order.
    pub production_days: u16,
    /// Working days under way.
    pub transit_days: u16,
    /// Charged once an order.
    pub charge: Option<Money>,
    /// Charged as a share of the goods' value.
    pub share: Share,
}

impl RushService {
    /// What it adds to goods of a value.
    ///
    /// Fails where the sum cannot be counted.
    pub fn price(&self, goods: Money) -> Result<Money, MoneyError> {
        let share = goods.share(self.share, Rounding::Up)?;
        self.charge.map_or(Ok(share), |charge| charge.plus(share))
    }
}

/// A supplier.
#[derive(Debug, Clone, PartialEq)]
pub struct Supplier {
    /// The name it is called by in files.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Orders after this time count as the next working day's.
    pub cut_off: Time,
    /// Working days to make the goods, beginning with the day after the order.
    pub production_days: u16,
    /// Working days under way.
    pub transit_days: u16,
    /// Days on which it does not work.
    pub holidays: Vec<Date>,
    /// Smallest goods value accepted; the difference is charged.
    pub minimum: Option<Money>,
    /// Charged once an order.
    pub handling: Option<Money>,
    /// Carriage.
    pub freight: Freight,
    /// Faster delivery, where it sells any.
    pub rush: Option<RushService>,
    /// How files are wanted, for printers.
    pub files: Option<FileRule>,
    /// What more its print files must be, for printers.
    pub print: PrintWish,
}

/// Which turns a film allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Direction {
    /// Any.
    Any,
    /// The given way and upside down.
    Half,
    /// One way only.
    Fixed,
}

/// A price that holds from so many sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SheetBreak {
    /// From so many sheets.
    pub from: u32,
    /// Price of each.
    pub price: Money,
}

/// A price of a step of a roll that holds from such a length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LengthBreak {
    /// From this length, all that is bought of the roll together.
    pub from: Length,
    /// Price of each step.
    pub price: Money,
}

impl LengthBreak {
    /// The steps that reach it; at least one.
    pub fn steps(&self, step: Length) -> u32 {
        // A millionth of a step more is not a step.
        (self.from.mm() / step.mm().max(f64::MIN_POSITIVE) - 1e-6).ceil().clamp(1.0, f64::from(u32::MAX)) as u32
    }
}

/// Cutting printed pieces apart by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trim {
    /// For one straight cut.
    pub straight_cut: Duration,
    /// For each millimetre of outline cut by scissors.
    pub per_outline_mm: Duration,
}

/// Sheet or roll, with its price.
#[derive(Debug, Clone, PartialEq)]
pub enum StockShape {
    /// A sheet sold by the piece.
    Sheet {
        /// Across.
        width: Length,
        /// Along.
        length: Length,
        /// Price of one.
        price: Money,
        /// Prices for several of one layout, rising.
        identical: Vec<SheetBreak>,
        /// Prices for several bought together, whatever their layout and colour, rising.
        breaks: Vec<SheetBreak>,
        /// Charged for each different layout.
        set_up: Option<Money>,
    },
    /// Film sold by length.
    Roll {
        /// Across.
        width: Length,
        /// Sold in multiples of this.
        step: Length,
        /// Price of a step.
        price_per_step: Money,
        /// Prices of a step for more bought together, whatever its layout and colour, rising.
        breaks: Vec<LengthBreak>,
        /// Least length sold.
        minimum: Length,
        /// Longest piece without a break.
        maximum: Length,
    },
}

impl StockShape {
    /// Price of a sheet, or of a step of a roll, from so many of them bought together on, rising;
    /// the first is the price of one.
    pub fn by_quantity(&self) -> Vec<(u32, Money)> {
        match self {
            Self::Sheet { price, breaks, .. } => {
                std::iter::once((1, *price)).chain(breaks.iter().map(|one| (one.from, one.price))).collect()
            }
            Self::Roll { step, price_per_step, breaks, .. } => {
                let further = breaks.iter().map(|one| (one.steps(*step), one.price));
                std::iter::once((1, *price_per_step)).chain(further).collect()
            }
        }
    }

    /// Price of a sheet, or of a step of a roll, where so many are bought together.
    pub fn unit_price(&self, many: i64) -> Money {
        let (Self::Sheet { price, .. } | Self::Roll { price_per_step: price, .. }) = self;
        let all = self.by_quantity();
        all.iter().rev().find(|(from, _)| i64::from(*from) <= many).map_or(*price, |(_, each)| *each)
    }

    /// For how many sheets or steps a length is charged.
    pub fn units(&self, charged_mm: f64) -> i64 {
        match self {
            Self::Sheet { .. } => 1,
            Self::Roll { step, .. } => (charged_mm / step.mm().max(f64::MIN_POSITIVE)).round().clamp(0.0, 1e9) as i64,
        }
    }
}

/// Pieces of a sheet or roll that lie in the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Remnant {
    /// Its film colour, where the transfer comes in colours.
    pub colour: Option<String>,
    /// Across, at most the width of the stock item.
    pub width: Length,
    /// Along.
    pub length: Length,
    /// How many alike; at least one.
    pub count: u32,
    /// The record of the store that says so; `None` when a file of the shop does.
    pub kept: Option<String>,
}

/// A sheet size or a roll of a transfer.
#[derive(Debug, Clone, PartialEq)]
pub struct StockItem {
    /// The name it is called by in files.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Sheet or roll.
    pub shape: StockShape,
    /// Unusable all round.
    pub margin: Length,
    /// Least distance between pieces.
    pub spacing: Marked<Length>,
    /// Which way the art reads on it.
    pub reading: Marked<Reading>,
    /// Which turns it allows.
    pub direction: Direction,
    /// Who sells it; `None` when it is only on hand.
    pub supplier: Option<SupplierId>,
    /// Whole sheets and left-over pieces on hand, at no further cost.
    pub remnants: Vec<Remnant>,
    /// Cutting apart by hand, when pieces are not cut by a machine.
    pub trim: Option<Trim>,
    /// What its print files must be, over what the supplier says.
    pub print: PrintWish,
    /// What its cut files must be, over what the shop's cutter needs.
    pub cut: CutWish,
}

impl StockItem {
    /// What lies in the shop of it in a film colour; `None` for stock without colours.
    pub fn remnants_in<'a>(&'a self, colour: Option<&'a str>) -> impl Iterator<Item = &'a Remnant> {
        self.remnants.iter().filter(move |remnant| remnant.colour.as_deref() == colour)
    }
}
