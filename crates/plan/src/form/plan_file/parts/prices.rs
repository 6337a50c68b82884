//! Costs, prices, selections weighed, and the three ways.

use super::figures::{FigureFile, figure, way_word};
use crate::form::plan_file::money_figure;
use crate::result::{BreakEven, CostItem, Landed, LinePrice, OrderPrice, SelectionCost, WayOffer};
use schemars::JsonSchema;
use serde::Serialize;
use trade::Shop;
use units::Money;

/// The price of a line.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct LinePriceFile {
    pieces: u32,
    costs: Vec<CostFile>,
    cost: i64,
    /// Of the cost, what the shop bears itself.
    borne: i64,
    unit: FigureFile<i64>,
    total: i64,
    /// The fewest pieces that bring back their cost at this unit price.
    not_below: Option<FigureFile<u32>>,
    /// What one spoiled piece costs.
    spoiled: FigureFile<i64>,
    ladder: Vec<RungFile>,
    /// Another way of making it, over the quantity.
    break_even: Option<BreakEvenFile>,
    /// What its prints cost to have here, each way of getting them, the line's own first.
    landed: Vec<LandedFile>,
}

/// What the prints cost to have here one way, over the quantity, the line made alone.
#[derive(Debug, Serialize, JsonSchema)]
struct LandedFile {
    /// "cut-in-shop", "printed-in-shop", "bought"; null where the prints differ.
    making: Option<&'static str>,
    /// Transfers of the prints.
    transfers: Vec<String>,
    points: Vec<LandedPointFile>,
}

/// What it comes to at one quantity.
#[derive(Debug, Serialize, JsonSchema)]
struct LandedPointFile {
    pieces: u32,
    /// Transfers that lie ready and cost nothing.
    ready: u32,
    /// Sheets and lengths of film that lie here and cost nothing.
    on_hand: u32,
    goods: i64,
    set_up: i64,
    /// Up to the suppliers' minimums.
    top_up: i64,
    handling: i64,
    freight: i64,
    rush: i64,
    total: i64,
    /// Weeding and cutting apart, not in the total.
    work_s: f64,
}

fn landed(shop: &Shop, one: &Landed) -> LandedFile {
    LandedFile {
        making: one.making.map(|making| match making {
            trade::Way::CutInShop => "cut-in-shop",
            trade::Way::PrintedInShop => "printed-in-shop",
            trade::Way::Bought => "bought",
        }),
        transfers: one.transfers.iter().map(|id| shop.transfer(*id).id.clone()).collect(),
        points: one
            .points
            .iter()
            .map(|point| LandedPointFile {
                pieces: point.pieces,
                ready: point.ready,
                on_hand: point.on_hand,
                goods: point.goods.minor(),
                set_up: point.set_up.minor(),
                top_up: point.top_up.minor(),
                handling: point.handling.minor(),
                freight: point.freight.minor(),
                rush: point.rush.minor(),
                total: point.total.minor(),
                work_s: point.work.s(),
            })
            .collect(),
    }
}

/// Two ways over the quantity.
#[derive(Debug, Serialize, JsonSchema)]
struct BreakEvenFile {
    /// Transfers of the prints, as it is made.
    here: Vec<String>,
    /// Transfers of the prints, the other way.
    other: Vec<String>,
    points: Vec<BreakEvenPointFile>,
    changes: Vec<BreakEvenChangeFile>,
}

/// Costs of all pieces at one quantity.
#[derive(Debug, Serialize, JsonSchema)]
struct BreakEvenPointFile {
    pieces: u32,
    here: i64,
    other: i64,
}

/// From so many pieces on.
#[derive(Debug, Serialize, JsonSchema)]
struct BreakEvenChangeFile {
    from: u32,
    /// "here" or "other".
    cheaper: &'static str,
}

fn break_even(shop: &Shop, both: &BreakEven) -> BreakEvenFile {
    let named = |way: usize| both.ways[way].iter().map(|id| shop.transfer(*id).id.clone()).collect();
    BreakEvenFile {
        here: named(0),
        other: named(1),
        points: both
            .points
            .iter()
            .map(|point| BreakEvenPointFile {
                pieces: point.pieces,
                here: point.costs[0].minor(),
                other: point.costs[1].minor(),
            })
            .collect(),
        changes: both
            .changes
            .iter()
            .map(|(from, way)| BreakEvenChangeFile { from: *from, cheaper: if *way == 0 { "here" } else { "other" } })
            .collect(),
    }
}

/// A part of the cost.
#[derive(Debug, Serialize, JsonSchema)]
struct CostFile {
    what: &'static str,
    amount: FigureFile<i64>,
    work_s: f64,
}

/// A rung of the quantity ladder.
#[derive(Debug, Serialize, JsonSchema)]
struct RungFile {
    pieces: u32,
    cost: i64,
    unit: i64,
    total: i64,
    cheaper_than: Option<u32>,
}

pub(in crate::form::plan_file) fn line_price(shop: &Shop, price: &LinePrice) -> LinePriceFile {
    LinePriceFile {
        pieces: price.pieces,
        costs: price.costs.iter().map(cost).collect(),
        cost: price.cost.minor(),
        borne: price.borne.minor(),
        unit: money_figure(&price.unit),
        break_even: price.break_even.as_ref().map(|both| break_even(shop, both)),
        landed: price.landed.iter().map(|one| landed(shop, one)).collect(),
        total: price.total.minor(),
        not_below: price.not_below.as_ref().map(|fewest| figure(fewest, |pieces| *pieces)),
        spoiled: money_figure(&price.spoiled),
        ladder: price
            .ladder
            .iter()
            .map(|rung| RungFile {
                pieces: rung.pieces,
                cost: rung.cost.minor(),
                unit: rung.unit.minor(),
                total: rung.total.minor(),
                cheaper_than: rung.cheaper_than,
            })
            .collect(),
    }
}

fn cost(item: &CostItem) -> CostFile {
    CostFile { what: item.what.0, amount: money_figure(&item.amount), work_s: item.work.s() }
}

/// The price of an order.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct PriceFile {
    cost: i64,
    lines: i64,
    /// Charged on top because it must be done before its normal time.
    rush: i64,
    /// What that would cost, or costs.
    rush_charge: i64,
    /// Taken off.
    discount: i64,
    least_charge: i64,
    net: FigureFile<i64>,
    taxes: Vec<TaxFile>,
    gross: i64,
    deposit: i64,
    valid_until: String,
    work_s: f64,
    earns_per_hour: Option<i64>,
}

/// A tax as the shop enters it.
#[derive(Debug, Serialize, JsonSchema)]
struct TaxFile {
    name: String,
    amount: i64,
}

pub(in crate::form::plan_file) fn price(price: &OrderPrice) -> PriceFile {
    PriceFile {
        cost: price.cost.minor(),
        lines: price.lines.minor(),
        rush: price.rush.minor(),
        rush_charge: price.rush_charge.minor(),
        discount: price.discount.minor(),
        least_charge: price.least_charge.minor(),
        net: money_figure(&price.net),
        taxes: price
            .taxes
            .iter()
            .map(|(name, amount)| TaxFile { name: name.clone(), amount: amount.minor() })
            .collect(),
        gross: price.gross.minor(),
        deposit: price.deposit.minor(),
        valid_until: price.valid_until.to_string(),
        work_s: price.work.s(),
        earns_per_hour: price.earns_per_hour.map(Money::minor),
    }
}

/// A transfer for each print of the order, with what it costs.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct SelectionFile {
    /// By print; null where nothing suits.
    transfers: Vec<Option<String>>,
    /// Cost in the stated model.
    model: i64,
    /// Cost with the sheets laid out; null where there was no other to compare with.
    laid_out: Option<i64>,
    taken: bool,
    /// Whether it is proven that in the model no set of transfers is cheaper but those listed before it.
    proven: bool,
}

pub(in crate::form::plan_file) fn selection(shop: &Shop, one: &SelectionCost) -> SelectionFile {
    SelectionFile {
        transfers: one.transfers.iter().map(|id| id.map(|id| shop.transfer(id).id.clone())).collect(),
        model: one.model.minor(),
        laid_out: one.laid_out.map(Money::minor),
        taken: one.taken,
        proven: one.proven,
    }
}

/// One of the three ways.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct WayFile {
    way: &'static str,
    net: i64,
    cost: i64,
    work_s: f64,
    lines: Vec<Option<WayLineFile>>,
}

/// A line made one way.
#[derive(Debug, Serialize, JsonSchema)]
struct WayLineFile {
    garment: String,
    transfers: Vec<String>,
    extras: Vec<&'static str>,
    unit: i64,
}

pub(in crate::form::plan_file) fn way(shop: &Shop, offer: &WayOffer) -> WayFile {
    WayFile {
        way: way_word(offer.way),
        net: offer.net.minor(),
        cost: offer.cost.minor(),
        work_s: offer.work.s(),
        lines: offer
            .lines
            .iter()
            .map(|line| {
                line.as_ref().map(|line| WayLineFile {
                    garment: shop.garment(line.garment).id.clone(),
                    transfers: line.transfers.iter().map(|id| shop.transfer(*id).id.clone()).collect(),
                    extras: line.extras.iter().map(|code| code.0).collect(),
                    unit: line.unit.minor(),
                })
            })
            .collect(),
    }
}
