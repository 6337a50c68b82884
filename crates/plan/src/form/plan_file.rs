//! The plan file: the whole plan as JSON, with the reasons of every figure.
//!
//! Lengths mm, areas mm², temperatures °C, differences K, times s, money in
//! minor units of the currency named on top, moments as the shop's clock shows
//! them. Codes name the sentences that people are shown.

mod parts;

use super::order::{PAYERS, TESTS_ON};
use crate::result::{self, Plan};
use parts::{
    CandidateFile, DatesFile, FigureFile, FindingFile, PoolFile, PriceFile, PurchaseFile, ReasonFile, SelectionFile,
    TimelineFile, WayFile, figure, money, reasons, stage_word,
};
use schemars::JsonSchema;
use serde::Serialize;
use trade::Shop;

/// The version this program writes.
pub const PLAN_VERSION: u32 = 1;

/// The plan as JSON text; the same plan gives the same bytes.
///
/// Cost: linear in the plan. Fails only where the machine has no memory left.
pub fn write_plan(shop: &Shop, plan: &Plan) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(&plan_file(shop, plan))?;
    text.push('\n');
    Ok(text)
}

/// The JSON Schema of the plan file.
pub fn plan_schema() -> serde_json::Value {
    schemars::schema_for!(PlanFile).into()
}

/// A plan.
#[derive(Debug, Serialize, JsonSchema)]
struct PlanFile {
    /// Version of this form.
    version: u32,
    /// The day it was made for.
    today: String,
    /// Seed of every random choice.
    seed: u64,
    /// Currency of all money, with the decimals of its minor unit.
    currency: String,
    /// Decimals of the minor unit.
    decimals: u8,
    /// The shop.
    shop: String,
    /// The orders.
    orders: Vec<OrderFile>,
    /// Sheets and rolls.
    pools: Vec<PoolFile>,
    /// Work on the presses.
    timeline: TimelineFile,
    /// What to buy.
    purchases: Vec<PurchaseFile>,
    /// Everything found.
    findings: Vec<FindingFile>,
}

/// One order.
#[derive(Debug, Serialize, JsonSchema)]
struct OrderFile {
    customer: String,
    name: String,
    due: String,
    way: &'static str,
    lines: Vec<LineFile>,
    price: PriceFile,
    /// Selections of transfers weighed for the whole order.
    selections: Vec<SelectionFile>,
    ways: Vec<WayFile>,
    dates: DatesFile,
    /// What test pieces are made on: "garment", "offcut" or "inside-hem".
    test_on: &'static str,
    /// Who pays for them: "customer" or "shop".
    test_paid_by: &'static str,
}

/// One line.
#[derive(Debug, Serialize, JsonSchema)]
struct LineFile {
    garment: String,
    colour: String,
    brought: bool,
    state: &'static str,
    sizes: Vec<SizeFile>,
    spare_garments: u32,
    /// Of all its garments, what is on hand.
    on_hand: Vec<parts::ShelfFile>,
    prints: Vec<PrintFile>,
    /// Order in which the prints are pressed, counted from 0.
    pressing_order: FigureFile<Vec<usize>>,
    /// When its first piece is loaded.
    press_from: Option<String>,
    price: Option<parts::LinePriceFile>,
}

/// How many of a size.
#[derive(Debug, Serialize, JsonSchema)]
struct SizeFile {
    size: String,
    count: u32,
}

/// One print.
#[derive(Debug, Serialize, JsonSchema)]
struct PrintFile {
    art: String,
    sha256: Option<String>,
    position: Option<String>,
    width_mm: Option<f64>,
    height_mm: Option<f64>,
    places: Vec<PlaceFile>,
    chosen: Option<String>,
    nearest: Option<String>,
    why: Vec<ReasonFile>,
    candidates: Vec<CandidateFile>,
    card: Option<parts::CardFile>,
    transfers: u32,
    spares: u32,
    /// Of these, what is taken from the shelf.
    from_shelf: Vec<parts::ShelfFile>,
    weeding_s: f64,
}

/// Where a print lies on one size and how a press reaches it.
#[derive(Debug, Serialize, JsonSchema)]
struct PlaceFile {
    size: String,
    panel: &'static str,
    /// Left, lower, right, upper edge in the panel's frame.
    bounds_mm: [f64; 4],
    platen: String,
    extra_s: f64,
    why: Vec<ReasonFile>,
}

fn plan_file(shop: &Shop, plan: &Plan) -> PlanFile {
    PlanFile {
        version: PLAN_VERSION,
        today: plan.today.to_string(),
        seed: plan.seed,
        currency: shop.currency.code().to_owned(),
        decimals: shop.currency.decimals(),
        shop: shop.name.clone(),
        orders: plan.orders.iter().map(|order| order_file(shop, order)).collect(),
        pools: plan.pools.iter().map(|pool| parts::pool(shop, plan, pool)).collect(),
        timeline: parts::timeline(plan),
        purchases: plan.purchases.iter().map(|purchase| parts::purchase(shop, plan, purchase)).collect(),
        findings: plan.findings.iter().map(parts::finding).collect(),
    }
}

fn order_file(shop: &Shop, order: &result::OrderPlan) -> OrderFile {
    OrderFile {
        customer: order.customer.clone(),
        name: order.name.clone(),
        due: order.due.to_string(),
        way: parts::way_word(order.way),
        lines: order.lines.iter().map(|line| line_file(shop, line)).collect(),
        price: parts::price(&order.price),
        selections: order.selections.iter().map(|one| parts::selection(shop, one)).collect(),
        ways: order.ways.iter().map(|way| parts::way(shop, way)).collect(),
        dates: parts::dates(&order.dates),
        test_on: word_of(&TESTS_ON, order.test_piece.on),
        test_paid_by: word_of(&PAYERS, order.test_piece.paid_by),
    }
}

/// The word of a closed list.
fn word_of<T: PartialEq>(words: &[(&'static str, T)], value: T) -> &'static str {
    words.iter().find(|(_, known)| *known == value).map_or("", |(word, _)| word)
}

fn line_file(shop: &Shop, line: &result::LinePlan) -> LineFile {
    LineFile {
        garment: line.garment.map_or_else(|| line.garment_name.clone(), |id| shop.garment(id).id.clone()),
        colour: line.colour.clone(),
        brought: line.brought,
        state: stage_word(line.state),
        sizes: line.sizes.iter().map(|size| SizeFile { size: size.size.clone(), count: size.count }).collect(),
        spare_garments: line.spare_garments,
        on_hand: line.on_hand.iter().filter_map(|take| parts::garment_on_hand(shop, *take)).collect(),
        prints: line.prints.iter().map(|print| print_file(shop, print)).collect(),
        pressing_order: figure(&line.pressing_order, Clone::clone),
        press_from: line.press_from.map(|moment| moment.to_string()),
        price: line.price.as_ref().map(|price| parts::line_price(shop, price)),
    }
}

fn print_file(shop: &Shop, print: &result::PrintPlan) -> PrintFile {
    let name = |at: Option<usize>| {
        at.and_then(|at| print.choice.candidates.get(at)).map(|c| shop.transfer(c.transfer).id.clone())
    };
    PrintFile {
        art: print.art.clone(),
        sha256: print.hash.map(|hash| hash.hex()),
        position: print.position.map(|position| position.term().0.to_owned()),
        width_mm: print.size.map(|size| size.width().mm()),
        height_mm: print.size.map(|size| size.height().mm()),
        places: print.placements.iter().map(|placement| place_file(shop, placement)).collect(),
        chosen: name(print.choice.chosen),
        nearest: name(print.choice.nearest),
        why: reasons(&print.choice.why),
        candidates: print.choice.candidates.iter().map(|candidate| parts::candidate(shop, candidate)).collect(),
        card: print.card.as_ref().map(|card| parts::card(shop, card)),
        transfers: print.transfers,
        spares: print.spares,
        from_shelf: print.from_shelf.iter().filter_map(|take| parts::from_shelf(shop, *take)).collect(),
        weeding_s: print.weeding.s(),
    }
}

fn place_file(shop: &Shop, placement: &result::Placement) -> PlaceFile {
    let bounds = placement.placed.bounds;
    PlaceFile {
        size: placement.size.clone(),
        panel: panel_word(placement.placed.panel),
        bounds_mm: [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y],
        platen: shop.platen(placement.reach.platen).id.clone(),
        extra_s: placement.reach.extra.s(),
        why: reasons(&placement.reach.why),
    }
}

/// Money of a figure, minor units.
fn money_figure(figure_: &report::Figure<units::Money>) -> FigureFile<i64> {
    figure(figure_, money)
}

fn panel_word(panel: garment::Panel) -> &'static str {
    use garment::Panel;
    match panel {
        Panel::Front => "front",
        Panel::Back => "back",
        Panel::LeftSleeve => "left-sleeve",
        Panel::RightSleeve => "right-sleeve",
        Panel::HoodLeft => "hood-left",
        Panel::HoodRight => "hood-right",
        Panel::LeftLeg => "left-leg",
        Panel::RightLeg => "right-leg",
        Panel::CapFront => "cap-front",
        Panel::Sock => "sock",
    }
}
