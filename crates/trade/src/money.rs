//! What work costs and how prices are made.

use crate::Marked;
use units::{Money, Share};

/// Rates of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rates {
    /// A person's hour.
    pub labour_per_hour: Money,
    /// Overhead for each hour worked.
    pub overhead_per_hour: Money,
}

/// A step of the quantity ladder shown on quotes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LadderStep {
    /// From so many pieces.
    pub from: u32,
}

/// How many more are made than ordered.
#[derive(Debug, Clone, PartialEq)]
pub struct Spoilage {
    /// Spare transfers for each design up to `small_order` pieces.
    pub small_spares: Marked<u32>,
    /// Up to how many pieces an order is small.
    pub small_order: u32,
    /// Share of spare transfers above that.
    pub share: Marked<Share>,
    /// Chance that a garment is spoiled.
    pub garment_loss: Marked<Share>,
}

/// What a test piece is made on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum TestOn {
    /// A garment more than is ordered.
    Garment,
    /// An offcut of the same cloth.
    #[default]
    Offcut,
    /// The inside of the hem of the first garment.
    InsideHem,
}

/// Who pays for something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Payer {
    /// The customer, in the price.
    #[default]
    Customer,
    /// The shop: its price does not hold it.
    Shop,
}

/// How test pieces are made. The print on it is one of the spare transfers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TestPiece {
    /// What it is made on.
    pub on: TestOn,
    /// Who pays for work and garment.
    pub paid_by: Payer,
}

/// How prices are made.
#[derive(Debug, Clone, PartialEq)]
pub struct Pricing {
    /// Share of the price that stays: price = cost ÷ (1 − margin).
    pub margin: Share,
    /// Unit prices are rounded up to a multiple of this many minor units.
    pub price_step: i64,
    /// Least charged for an order.
    pub minimum_charge: Option<Money>,
    /// Share asked before money is spent.
    pub deposit: Share,
    /// Days a quote holds.
    pub valid_days: u16,
    /// Quantities of the ladder, rising.
    pub ladder: Vec<LadderStep>,
    /// The test piece, where an order does not say otherwise.
    pub test_piece: Marked<TestPiece>,
    /// Charged on top when the work must be done before its normal time.
    pub rush: Share,
    /// Shop's terms, printed on the quote.
    pub terms: Vec<String>,
}

/// A tax as the shop enters it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tax {
    /// Its name on the quote.
    pub name: String,
    /// Its share of the net price.
    pub share: Share,
}
