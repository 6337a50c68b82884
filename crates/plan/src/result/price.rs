//! What lines and orders cost and what is charged.

use crate::Way;
use jiff::civil::Date;
use report::{Code, Figure};
use trade::{GarmentId, TransferId, Way as Making};
use units::{Duration, Money};

/// A part of the cost.
#[derive(Debug, Clone, PartialEq)]
pub struct CostItem {
    /// What for, as a term.
    pub what: Code,
    /// How much, and why.
    pub amount: Figure<Money>,
    /// Minutes of work in it.
    pub work: Duration,
}

/// The price of one line.
#[derive(Debug, Clone, PartialEq)]
pub struct LinePrice {
    /// Pieces.
    pub pieces: u32,
    /// Cost, built up.
    pub costs: Vec<CostItem>,
    /// Sum of the costs.
    pub cost: Money,
    /// Of it, what the shop bears itself: test pieces, where its rule says so.
    pub borne: Money,
    /// Price of one piece.
    pub unit: Figure<Money>,
    /// Price of all pieces.
    pub total: Money,
    /// The fewest pieces that bring back their cost at this unit price; `None` where none do.
    pub not_below: Option<Figure<u32>>,
    /// What one spoiled piece costs.
    pub spoiled: Figure<Money>,
    /// Unit and total prices at other quantities of this line alone.
    pub ladder: Vec<Rung>,
    /// Another way of making it, over the quantity; `None` where no other transfer suits.
    pub break_even: Option<BreakEven>,
    /// What its prints cost to have here, each way of getting them, the line's own first.
    pub landed: Vec<Landed>,
}

/// What the prints of a line cost to have in the shop one way, over the quantity, the line made alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Landed {
    /// How they are got; `None` where some are made in the shop and some bought.
    pub making: Option<Making>,
    /// The transfer of each print.
    pub transfers: Vec<TransferId>,
    /// At the quantities looked at, rising; at least one.
    pub points: Vec<LandedPoint>,
}

impl Landed {
    /// The transfers by name, each once.
    pub fn name(&self, shop: &trade::Shop) -> String {
        names(shop, &self.transfers)
    }

    /// What it comes to for so many pieces, where that was looked at.
    pub fn at(&self, pieces: u32) -> Option<&LandedPoint> {
        self.points.iter().find(|point| point.pieces == pieces)
    }
}

/// What sheets, film and their carriage come to at one quantity; work is not in it.
///
/// Where their supplier also sells the garments, carriage is what the prints add to it, and
/// may be below nothing where they bring the parcel over a threshold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LandedPoint {
    /// Pieces; their spare transfers are in the sums.
    pub pieces: u32,
    /// Transfers that lie ready on the shelf and cost nothing.
    pub ready: u32,
    /// Sheets and lengths of film that lie here and cost nothing.
    pub on_hand: u32,
    /// Sheets and film at the price of this quantity.
    pub goods: Money,
    /// Charged once for each different layout.
    pub set_up: Money,
    /// Up to the suppliers' minimums.
    pub top_up: Money,
    /// Handling.
    pub handling: Money,
    /// Carriage.
    pub freight: Money,
    /// Rush of the suppliers, where it is taken.
    pub rush: Money,
    /// All of it.
    pub total: Money,
    /// Weeding and cutting apart.
    pub work: Duration,
}

impl LandedPoint {
    /// What comes on top of the goods.
    pub fn on_top(&self) -> Money {
        self.total.minus(self.goods).unwrap_or(Money::zero(self.total.currency()))
    }
}

/// Transfers by name, each once.
fn names(shop: &trade::Shop, transfers: &[TransferId]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for id in transfers {
        let name = shop.transfer(*id).name.as_str();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(" + ")
}

/// What a line costs in two ways of making it, over the quantity, made alone.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakEven {
    /// The transfers of its prints: as it is made, and the other way.
    pub ways: [Vec<TransferId>; 2],
    /// Costs at the quantities looked at, rising; at least one.
    pub points: Vec<BreakEvenPoint>,
    /// From so many pieces on the way of that index is the cheaper one, until the next change.
    pub changes: Vec<(u32, usize)>,
}

impl BreakEven {
    /// A way by the names of its transfers, each once.
    pub fn way_name(&self, shop: &trade::Shop, way: usize) -> String {
        names(shop, &self.ways[way])
    }

    /// Index of the way that is cheaper for so many pieces, by the changes found.
    pub fn cheaper_at(&self, pieces: u32) -> usize {
        let before = self.changes.iter().rev().find(|(from, _)| *from <= pieces).map(|(_, way)| *way);
        // Before the first change the cheaper way is the other one.
        before.unwrap_or_else(|| match (self.changes.first(), self.points.first()) {
            (Some((_, way)), _) => 1 - way.min(&1),
            (None, Some(point)) => usize::from(point.costs[1].minor() < point.costs[0].minor()),
            (None, None) => 0,
        })
    }
}

/// Costs of both ways at one quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakEvenPoint {
    /// Pieces.
    pub pieces: u32,
    /// Cost of all of them, each way.
    pub costs: [Money; 2],
}

/// One rung of the quantity ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct Rung {
    /// Pieces.
    pub pieces: u32,
    /// Cost of all.
    pub cost: Money,
    /// Price of one.
    pub unit: Money,
    /// Price of all.
    pub total: Money,
    /// Set when this many pieces cost less in total than some smaller quantity:
    /// from which quantity on the total is higher than here.
    pub cheaper_than: Option<u32>,
}

/// What an order costs and what is charged.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderPrice {
    /// Sum of all costs of its planned lines.
    pub cost: Money,
    /// Sum of the lines' prices.
    pub lines: Money,
    /// Charged on top because it must be done before its normal time.
    pub rush: Money,
    /// What that would cost, or costs.
    pub rush_charge: Money,
    /// Taken off.
    pub discount: Money,
    /// Charged on top to reach the shop's least charge.
    pub least_charge: Money,
    /// Net price.
    pub net: Figure<Money>,
    /// Taxes as the shop enters them, by name.
    pub taxes: Vec<(String, Money)>,
    /// Net and taxes.
    pub gross: Money,
    /// Deposit before money is spent.
    pub deposit: Money,
    /// The quote holds until.
    pub valid_until: Date,
    /// All work.
    pub work: Duration,
    /// What an hour of work earns: (net − all that is bought) ÷ hours.
    pub earns_per_hour: Option<Money>,
}

/// One of the three ways.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOffer {
    /// Which.
    pub way: Way,
    /// For each line: garment and transfers, and the price of a piece; `None` for lines not planned.
    pub lines: Vec<Option<WayLine>>,
    /// Net price of the order this way.
    pub net: Money,
    /// Its cost.
    pub cost: Money,
    /// Work in it.
    pub work: Duration,
}

/// A line made one way.
#[derive(Debug, Clone, PartialEq)]
pub struct WayLine {
    /// The garment.
    pub garment: GarmentId,
    /// The transfer of each print.
    pub transfers: Vec<TransferId>,
    /// What the way adds in work, as terms.
    pub extras: Vec<Code>,
    /// Price of one piece.
    pub unit: Money,
}
