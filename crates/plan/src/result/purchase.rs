//! What to buy of whom, for whom, by when.

use super::Plan;
use jiff::civil::{Date, DateTime};
use report::Figure;
use trade::{GarmentId, StockId, SupplierId};
use units::{Length, Money};

/// One purchase.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// From whom.
    pub supplier: SupplierId,
    /// What.
    pub items: Vec<PurchaseItem>,
    /// Goods value.
    pub goods: Money,
    /// Charged once for each different layout.
    pub set_up: Money,
    /// Charged to reach the supplier's minimum.
    pub top_up: Money,
    /// Handling.
    pub handling: Money,
    /// Carriage.
    pub freight: Money,
    /// What the supplier must first wait for comes by itself.
    pub second: Option<SecondDelivery>,
    /// All of it, rush included where it is taken.
    pub total: Money,
    /// Order by then, so that it arrives in time.
    pub order_by: Figure<DateTime>,
    /// Arrives on this day when ordered by `order_by`.
    pub arrives: Date,
    /// Arrives on this day when ordered at once.
    pub earliest: Date,
    /// Faster delivery, where the supplier sells any.
    pub rush: Option<RushOffer>,
    /// What buying more would save in all, each with what and how many; nothing is bought so by itself.
    pub more: Vec<Figure<Money>>,
}

impl Purchase {
    /// The orders it is for, by index, rising.
    pub fn orders(&self, plan: &Plan) -> Vec<usize> {
        let mut all: Vec<usize> = self.items.iter().flat_map(|item| item.goods.orders(plan)).collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

/// Goods that come after the others, for carriage of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SecondDelivery {
    /// Arrives on this day when ordered at once.
    pub arrives: Date,
    /// Its carriage.
    pub freight: Money,
}

/// What faster delivery would do, or does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RushOffer {
    /// Charged for it.
    pub price: Money,
    /// Arrives on this day with it, when ordered at once.
    pub arrives: Date,
    /// Arrives on this day without it.
    pub usually: Date,
    /// Whether it is taken.
    pub taken: bool,
}

/// One item of a purchase.
#[derive(Debug, Clone, PartialEq)]
pub struct PurchaseItem {
    /// What.
    pub goods: Goods,
    /// How many pieces (rolls: of the length in `goods`).
    pub quantity: u32,
    /// Price of one.
    pub unit: Money,
    /// Price of all.
    pub total: Money,
    /// Whether it comes in the second delivery.
    pub second: bool,
}

/// What is bought.
#[derive(Debug, Clone, PartialEq)]
pub enum Goods {
    /// A sheet or length of film.
    Stock {
        /// The item.
        item: StockId,
        /// Film colour.
        colour: Option<String>,
        /// Charged length, for rolls.
        length: Option<Length>,
        /// Index of the pool it is for.
        pool: usize,
    },
    /// Garments of one size.
    Garment {
        /// Index of the order they are for.
        order: usize,
        /// The style.
        style: GarmentId,
        /// Colour by name.
        colour: String,
        /// Size by name.
        size: String,
    },
}

impl Goods {
    /// The orders they are for, by index, rising.
    pub fn orders(&self, plan: &Plan) -> Vec<usize> {
        let mut all: Vec<usize> = match self {
            Self::Garment { order, .. } => vec![*order],
            Self::Stock { pool, .. } => {
                let designs = plan.pools.get(*pool).into_iter().flat_map(|pool| &pool.designs);
                designs.flat_map(|design| design.uses()).map(|one| one.order).collect()
            }
        };
        all.sort_unstable();
        all.dedup();
        all
    }
}
