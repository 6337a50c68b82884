//! The quote of one order.

use super::{Papers, shown, text};
use crate::PaperError;
use crate::form::{Quote, QuoteLine, QuotePrice, QuotePrint, QuoteRung, QuoteWay, Totals};
use plan::{LinePlan, LinePrice, LineState, OrderPlan, OrderPrice, PrintPlan, Rung, WayLine, WayOffer};
use report::{Code, Named, Severity, Value};
use trade::Payer;
use units::Money;

/// Views of one garment that find room on a quote.
const VIEWS: usize = 2;

pub(crate) fn quote(teller: &Papers<'_>, at: usize) -> Result<Quote, PaperError> {
    let order = teller.order(at)?;
    let price = &order.price;
    Ok(Quote {
        frame: teller.frame("papers.quote", &order.name),
        customer: shown(&order.customer),
        currency: teller.shop.currency.code().to_owned(),
        date: teller.speech.date(teller.plan.today),
        valid_until: teller.speech.date(price.valid_until),
        due: teller.speech.moment(order.due),
        lines: order.lines.iter().enumerate().map(|(index, line)| quoted(teller, (at, index), line)).collect(),
        totals: totals(teller, order),
        ways: order.ways.iter().map(|way| quoted_way(teller, order, way)).collect(),
        confirm: confirm(teller, at, order),
        terms: terms(teller, order),
    })
}

fn quoted(teller: &Papers<'_>, (order, index): (usize, usize), line: &LinePlan) -> QuoteLine {
    let state = match line.state {
        LineState::Planned => String::new(),
        state => teller.say("papers.not-priced", &[text("state", teller.state(state))]),
    };
    QuoteLine {
        number: index.saturating_add(1).to_string(),
        garment: shown(&line.garment_name),
        colour: shown(&line.colour),
        rgb: line.rgb,
        brought: line.brought,
        pieces: teller.speech.count(i64::from(line.pieces())),
        sizes: teller.sizes(line),
        prints: line.prints.iter().map(|print| quoted_print(teller, print)).collect(),
        pictures: teller.pictures(order, index, VIEWS),
        state,
        price: line.price.as_ref().map(|price| quoted_price(teller, price)),
    }
}

fn quoted_print(teller: &Papers<'_>, print: &PrintPlan) -> QuotePrint {
    QuotePrint {
        position: teller.position(print),
        size: teller.print_size(print),
        art: shown(&print.art),
        transfer: teller.transfer(print).map(|transfer| shown(&transfer.name)),
        films: teller.films(print),
    }
}

fn quoted_price(teller: &Papers<'_>, price: &LinePrice) -> QuotePrice {
    QuotePrice {
        unit: teller.money(price.unit.value),
        total: teller.money(price.total),
        ladder: price.ladder.iter().map(|rung| quoted_rung(teller, rung)).collect(),
    }
}

fn quoted_rung(teller: &Papers<'_>, rung: &Rung) -> QuoteRung {
    let pieces = Named::count("pieces", i64::from(rung.pieces));
    let note = rung.cheaper_than.map(|from| {
        let last = rung.pieces.saturating_sub(1);
        let from_named = Named::count("from", i64::from(from));
        if from >= last {
            teller.say("papers.ladder-cheaper-one", &[pieces, from_named])
        } else {
            teller.say("papers.ladder-cheaper", &[pieces, from_named, Named::count("to", i64::from(last))])
        }
    });
    QuoteRung {
        pieces: teller.speech.count(i64::from(rung.pieces)),
        unit: teller.bare(rung.unit),
        total: teller.bare(rung.total),
        note,
    }
}

/// The sums, so that every amount shown adds up to the next one.
fn totals(teller: &Papers<'_>, order: &OrderPlan) -> Totals {
    let price: &OrderPrice = &order.price;
    let mut rows: Vec<(String, String)> = Vec::new();
    for (index, line) in order.lines.iter().enumerate() {
        let Some(priced) = &line.price else { continue };
        let label = teller.say(
            "papers.line-sum",
            &[
                Named::count("number", i64::try_from(index.saturating_add(1)).unwrap_or(i64::MAX)),
                text("garment", line.garment_name.as_str()),
                text("pieces", teller.pieces(priced.pieces)),
                Named { name: "unit", value: Value::Money(priced.unit.value) },
            ],
        );
        rows.push((shown(&label), teller.money(priced.total)));
    }
    if price.rush.minor() != 0 {
        rows.push((teller.label("papers.rush"), teller.money(price.rush)));
    }
    if price.discount.minor() != 0 {
        let off = Money::new(-price.discount.minor(), price.discount.currency());
        rows.push((teller.label("papers.discount"), teller.money(off)));
    }
    if price.least_charge.minor() != 0 {
        rows.push((teller.label("papers.least-charge"), teller.money(price.least_charge)));
    }
    rows.push((teller.label("papers.net"), teller.money(price.net.value)));
    rows.extend(price.taxes.iter().map(|(name, tax)| (shown(name), teller.money(*tax))));
    Totals {
        rows,
        gross: teller.money(price.gross),
        deposit: teller.money(price.deposit),
        balance: price.gross.minus(price.deposit).map_or_else(|_| "—".to_owned(), |rest| teller.money(rest)),
    }
}

fn quoted_way(teller: &Papers<'_>, order: &OrderPlan, way: &WayOffer) -> QuoteWay {
    let made = || way.lines.iter().flatten();
    // What every line gets is said once; with one line there is nothing to gather.
    let everywhere = |extra: &&Code| made().count() > 1 && made().all(|line| line.extras.contains(extra));
    let common: Vec<Code> =
        made().next().map_or(Vec::new(), |first| first.extras.iter().filter(everywhere).copied().collect());
    let line = |(index, line): (usize, &Option<WayLine>)| {
        let number = Named::count("number", i64::try_from(index.saturating_add(1)).unwrap_or(i64::MAX));
        match line {
            Some(line) => way_line(teller, number, line, &common),
            None => teller.say("papers.way-not", &[number]),
        }
    };
    let mut lines: Vec<String> = way.lines.iter().enumerate().map(line).collect();
    if !common.is_empty() {
        lines.push(teller.say("papers.way-extras-all", &[extras(&common)]));
    }
    QuoteWay { name: teller.speech.heading(way.way), chosen: way.way == order.way, lines, net: teller.money(way.net) }
}

fn extras(codes: &[Code]) -> Named {
    Named { name: "extras", value: Value::List(codes.iter().map(|extra| Value::Term(*extra)).collect()) }
}

fn way_line(teller: &Papers<'_>, number: Named, line: &WayLine, common: &[Code]) -> String {
    let mut names: Vec<String> = Vec::new();
    for transfer in &line.transfers {
        let name = words::clean(&teller.shop.transfer(*transfer).name);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let mut said = teller.say(
        "papers.way-line",
        &[
            number,
            text("garment", teller.shop.garment(line.garment).name.as_str()),
            text("transfers", teller.speech.list(&names)),
            text("unit", teller.speech.money(line.unit)),
        ],
    );
    let own: Vec<Code> = line.extras.iter().filter(|extra| !common.contains(extra)).copied().collect();
    if !own.is_empty() {
        said = format!("{said}. {}", teller.say("papers.way-extras", &[extras(&own)]));
    }
    shown(&said)
}

/// What the customer has to confirm, questions first.
fn confirm(teller: &Papers<'_>, at: usize, order: &OrderPlan) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for index in 0..order.lines.len() {
        all.extend(teller.found(at, index, |severity| severity == Severity::Ask));
    }
    let plain = ["papers.confirm-counts", "papers.confirm-picture", "papers.confirm-film", "papers.confirm-rights"];
    all.extend(plain.iter().map(|code| teller.label(code)));
    all.extend(brought(teller, order));
    let deposit = Named { name: "deposit", value: Value::Money(order.price.deposit) };
    let by = order.dates.sign_off_by.as_ref().map(|by| Named { name: "by", value: Value::Moment(by.value) });
    all.extend(match (order.price.deposit.minor() > 0, by) {
        (true, Some(by)) => Some(teller.say("papers.confirm-deposit", &[deposit, by])),
        (true, None) => Some(teller.say("papers.confirm-deposit-bare", &[deposit])),
        (false, Some(by)) => Some(teller.say("papers.confirm-sign-off", &[by])),
        (false, None) => None,
    });
    all
}

/// What holds of test pieces, then the shop's own terms.
fn terms(teller: &Papers<'_>, order: &OrderPlan) -> Vec<String> {
    let code = match order.test_piece.paid_by {
        Payer::Customer => "papers.test-in-price",
        Payer::Shop => "papers.test-borne",
    };
    let tested = teller.say(code, &[teller.test_on(order)]);
    std::iter::once(tested).chain(teller.shop.pricing.terms.iter().map(|term| shown(term))).collect()
}

fn brought(teller: &Papers<'_>, order: &OrderPlan) -> Option<String> {
    let lines: Vec<&LinePlan> = order.lines.iter().filter(|line| line.brought).collect();
    if lines.is_empty() {
        return None;
    }
    let name = |line: &&LinePlan| words::clean(&format!("{} × {}", line.pieces(), line.garment_name));
    let garments = text("garments", teller.speech.list(&lines.iter().map(name).collect::<Vec<_>>()));
    let spares = lines.iter().map(|line| line.spare_garments).fold(0, u32::saturating_add);
    Some(if spares == 0 {
        teller.say("papers.confirm-brought-bare", &[garments])
    } else {
        teller.say("papers.confirm-brought", &[garments, Named::count("spares", i64::from(spares))])
    })
}
