//! The costing of one order, for the office alone: dates worked back, what every line costs
//! and why, two ways over the quantity, and room for what it really took.

use super::{Papers, shown, text};
use crate::PaperError;
use crate::form::{CostRow, Costing, CostingBreak, CostingBreakRow, CostingLanded, CostingLandedWay, CostingLine};
use plan::{BreakEven, Landed, LandedPoint, LinePlan, LinePrice, OrderPlan};
use report::{Named, Value};
use units::{Money, Rounding};

pub(crate) fn costing(teller: &Papers<'_>, at: usize) -> Result<Costing, PaperError> {
    let order = teller.order(at)?;
    let price = &order.price;
    Ok(Costing {
        frame: teller.frame("papers.costing", &order.name),
        customer: shown(&order.customer),
        net: teller.money(price.net.value),
        cost: teller.money(price.cost),
        earns: price.earns_per_hour.map(|money| teller.money(money)),
        work: teller.speech.duration(price.work),
        rush: rush(teller, order),
        dates: dates(teller, order),
        lines: order
            .lines
            .iter()
            .enumerate()
            .filter_map(|(nth, line)| Some(costed(teller, (at, nth), line, line.price.as_ref()?)))
            .collect(),
    })
}

/// What it would cost, or costs, to be done before its normal time: the shop's own charge
/// and that of each supplier.
fn rush(teller: &Papers<'_>, order: &OrderPlan) -> Vec<(String, String)> {
    let taken = order.price.rush.minor() > 0;
    let own = if taken { "papers.rush-own" } else { "papers.rush-own-would" };
    let mut all = vec![(teller.label(own), teller.money(order.price.rush_charge))];
    for purchase in &teller.plan.purchases {
        let Some(rush) = purchase.rush else { continue };
        let code = if rush.taken { "papers.rush-supplier" } else { "papers.rush-supplier-would" };
        let label = teller.say(
            code,
            &[
                text("supplier", teller.shop.supplier(purchase.supplier).name.as_str()),
                Named { name: "arrives", value: Value::Date(rush.arrives) },
                Named { name: "usually", value: Value::Date(rush.usually) },
            ],
        );
        all.push((shown(&label), teller.money(rush.price)));
    }
    all
}

/// Every date, worked back from the due one; with a mark where the day has passed.
fn dates(teller: &Papers<'_>, order: &OrderPlan) -> Vec<(String, String, String)> {
    let dates = &order.dates;
    let today = teller.plan.today;
    let mut all = Vec::new();
    let last = [
        ("papers.by-sign-off", &dates.sign_off_by),
        ("papers.by-transfers", &dates.order_transfers_by),
        ("papers.by-garments", &dates.order_garments_by),
    ];
    for (code, figure) in last {
        let Some(figure) = figure else { continue };
        let mark = if figure.value.date() < today { teller.label("papers.too-late") } else { String::new() };
        all.push((teller.label(code), teller.speech.moment(figure.value), mark));
    }
    if let Some(by) = dates.goods_by {
        let mark = if by < today { teller.label("papers.too-late") } else { String::new() };
        all.push((teller.label("papers.by-goods"), teller.speech.date(by), mark));
    }
    if let Some(by) = dates.press_by {
        all.push((teller.label("papers.by-press"), teller.speech.moment(by), String::new()));
    }
    for (code, moment) in [("papers.goods-in", dates.goods_in), ("papers.press-from", dates.press_from)] {
        all.extend(moment.map(|moment| (teller.label(code), teller.speech.moment(moment), String::new())));
    }
    if dates.dye_hold.s() > 0.0 {
        all.push((teller.label("papers.dye-hold"), teller.speech.duration(dates.dye_hold), String::new()));
    }
    if let Some(finish) = &dates.finish {
        let slack = dates.slack.map_or_else(String::new, |slack| {
            let late = slack.s() < 0.0;
            let code = if late { "papers.slack-late" } else { "papers.slack" };
            let span = if late { -slack } else { slack };
            teller.say(code, &[Named { name: "span", value: Value::Duration(span) }])
        });
        all.push((teller.label("papers.finished"), teller.speech.moment(finish.value), slack));
    }
    if let Some(by) = dates.replace_by {
        let short = dates.finish.as_ref().is_some_and(|finish| by < finish.value);
        let note = if short { teller.label("papers.replace-short") } else { String::new() };
        all.push((teller.label("papers.replace-by"), teller.speech.moment(by), note));
    }
    all.push((teller.label("papers.due"), teller.speech.moment(order.due), String::new()));
    all
}

fn costed(teller: &Papers<'_>, at: (usize, usize), line: &LinePlan, price: &LinePrice) -> CostingLine {
    let row = |item: &plan::CostItem| CostRow {
        what: shown(&teller.speech.term(item.what)),
        work: (item.work.s() > 0.0).then(|| teller.speech.duration(item.work)),
        amount: teller.money(item.amount.value),
        each: item
            .amount
            .value
            .scaled(1, i64::from(price.pieces.max(1)), Rounding::HalfUp)
            .map_or_else(|_| String::new(), |each| teller.bare(each)),
    };
    let mut facts = Vec::new();
    if let Some(fewest) = &price.not_below {
        facts.push(teller.say(
            "papers.not-below",
            &[Named::count("pieces", i64::from(fewest.value)), money("unit", price.unit.value)],
        ));
    }
    facts.push(teller.say("papers.spoiled-one", &[money("cost", price.spoiled.value)]));
    if price.borne.minor() != 0 {
        facts.push(teller.say("papers.test-borne-fact", &[money("borne", price.borne)]));
    }
    CostingLine {
        number: at.1.saturating_add(1).to_string(),
        garment: shown(&line.garment_name),
        colour: shown(&line.colour),
        rgb: line.rgb,
        pieces: teller.pieces(price.pieces),
        rows: price.costs.iter().map(row).collect(),
        cost: teller.money(price.cost),
        unit: teller.money(price.unit.value),
        total: teller.money(price.total),
        facts,
        both: price.break_even.as_ref().map(|both| over_quantity(teller, at, both)),
        landed: landed(teller, price),
    }
}

/// What the prints cost to have here, each way of getting them.
fn landed(teller: &Papers<'_>, price: &LinePrice) -> Option<CostingLanded> {
    let quantities: Vec<u32> = price.landed.first()?.points.iter().map(|point| point.pieces).collect();
    let point = |one: &Landed, pieces: u32| one.at(pieces).copied();
    let least = |pieces: u32| price.landed.iter().filter_map(|one| Some(point(one, pieces)?.total.minor())).min();
    let way = |one: &Landed| {
        let points = || quantities.iter().filter_map(|pieces| point(one, *pieces));
        let total = |at: LandedPoint| (teller.bare(at.total), least(at.pieces) == Some(at.total.minor()));
        CostingLandedWay {
            name: shown(&teller.speech.landed_name(teller.shop, one)),
            totals: points().map(total).collect(),
            on_top: points().map(|at| teller.bare(at.on_top())).collect(),
        }
    };
    Some(CostingLanded {
        said: teller.speech.landed_at(teller.shop, &price.landed, price.pieces).map(|said| shown(&said)),
        pieces: quantities.iter().map(|pieces| teller.speech.count(i64::from(*pieces))).collect(),
        ways: price.landed.iter().map(way).collect(),
    })
}

fn money(name: &'static str, money: Money) -> Named {
    Named { name, value: Value::Money(money) }
}

fn over_quantity(teller: &Papers<'_>, at: (usize, usize), both: &BreakEven) -> CostingBreak {
    let named = |way: usize| words::clean(&both.way_name(teller.shop, way));
    let each = |cost: Money, pieces: u32| {
        let each = cost.scaled(1, i64::from(pieces.max(1)), Rounding::HalfUp);
        each.map_or_else(|_| String::new(), |each| teller.bare(each))
    };
    CostingBreak {
        here: shown(&named(0)),
        other: shown(&named(1)),
        picture: teller.pictures.break_even.get(&at).cloned(),
        said: sentences(teller, both, &[named(0), named(1)]),
        rows: both
            .points
            .iter()
            .map(|point| CostingBreakRow {
                pieces: teller.speech.count(i64::from(point.pieces)),
                here: each(point.costs[0], point.pieces),
                other: each(point.costs[1], point.pieces),
                cheaper: both.cheaper_at(point.pieces),
            })
            .collect(),
    }
}

/// What the changes say, a sentence each.
fn sentences(teller: &Papers<'_>, both: &BreakEven, names: &[String; 2]) -> Vec<String> {
    let say = |code: &'static str, way: usize, from: u32| {
        shown(&teller.say(code, &[text("way", names[way].as_str()), Named::count("from", i64::from(from))]))
    };
    let first = both.points.first().map_or(1, |point| point.pieces);
    if both.changes.is_empty() {
        return vec![say("papers.always-cheaper", both.cheaper_at(first), first)];
    }
    let mut all = vec![say("papers.cheaper-at-first", both.cheaper_at(first), first)];
    all.extend(both.changes.iter().map(|(from, way)| say("papers.cheaper-from", *way, *from)));
    all
}
