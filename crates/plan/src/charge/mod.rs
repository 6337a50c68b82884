//! What an order costs and is charged, its ladder, and the three ways.

mod break_even;
mod landed;
mod material;
mod selection;
mod ways;

use crate::blanks::BoughtTogether;
use crate::draft::LineDraft;
use crate::layout::{Look, Taken};
use crate::offer::{self, Books, Offer};
use crate::planning::{self, taken};
use crate::price::{self, BlankPrices, LineBasis, Material};
use crate::result::{Choice, LinePlan, LinePrice, LineState, OrderPrice, Plan};
use crate::{Arts, Order, Way, buy, codes, steps};
use jiff::ToSpan;
use jiff::civil::Date;
use rayon::prelude::*;
use report::{Figure, Finding, Origin, Reason, Severity, Subject, Value};
pub(crate) use selection::laid_out;
use std::borrow::Cow;
use std::collections::BTreeSet;
use trade::{Recipe, Shop, SupplierId, TestOn};
use units::{Duration, Money, MoneyError, Rounding};
use ways::Extras;
pub(crate) use ways::ways;

/// What prices are made from.
pub(crate) struct Bench<'a> {
    pub shop: &'a Shop,
    pub orders: &'a [Order],
    pub arts: &'a Arts,
    pub look: Look,
    pub drafts: &'a [Vec<Option<LineDraft<'a>>>],
    pub chosen: &'a [Vec<Vec<Choice>>],
    pub books: &'a Books<'a>,
    /// Which orders may share sheets: those of the same number.
    pub windows: &'a [usize],
    /// Suppliers whose rush is taken, with the number of the orders it is taken for.
    pub rushed: BTreeSet<(SupplierId, usize)>,
    /// How many blanks of each style are bought together, by the orders' number.
    pub together: Vec<BoughtTogether>,
}

impl Bench<'_> {
    /// How many more of a line's style are bought with its own pieces.
    fn beside(&self, at: usize, draft: &LineDraft<'_>) -> u32 {
        let window = self.windows.get(at).copied().unwrap_or(0);
        self.together.get(window).map_or(0, |together| together.beside(draft))
    }

    fn way(&self, at: usize) -> Way {
        planning::way_of(self.orders, at)
    }

    /// What a supplier's rush adds to goods of a value, where it is taken for an order.
    fn rush(&self, order: usize, supplier: SupplierId, goods: Money) -> Result<Money, MoneyError> {
        let parcel = (supplier, self.windows.get(order).copied().unwrap_or(0));
        let service = self.shop.supplier(supplier).rush.as_ref().filter(|_| self.rushed.contains(&parcel));
        service.map_or(Ok(Money::zero(self.shop.currency)), |service| service.price(goods))
    }
}

/// The price of an order; fills in the prices of its planned lines.
pub(crate) fn order(
    bench: &Bench<'_>,
    at: usize,
    lines: &mut [LinePlan],
    plan: &Plan,
    findings: &mut Vec<Finding>,
) -> Result<OrderPrice, MoneyError> {
    let shop = bench.shop;
    let zero = Money::zero(shop.currency);
    let materials = material::of_plan(bench, plan)?;
    let pieces: u32 = running(lines).map(|(_, line)| line.pieces()).fold(0, u32::saturating_add);
    let mut sums = Sums { cost: zero, lines: zero, work: Duration::ZERO, bought: zero };
    // Each line's ladder is laid out quantity by quantity: the lines are priced side by side.
    let priced: Vec<Result<Option<LinePrice>, MoneyError>> = bench.books.crew.run(|| {
        let of_line = |(nth, line): (usize, &LinePlan)| {
            let running = line.state == LineState::Planned;
            let Some(draft) = bench.drafts[at][nth].as_ref().filter(|_| running) else { return Ok(None) };
            let material = materials.get(&(at, nth)).copied();
            let material = material.unwrap_or(Material { transfers: zero, trimming_s: 0, carriage: zero });
            line_price(bench, at, draft, (line, &bench.chosen[at][nth]), pieces, material).map(Some)
        };
        lines.par_iter().enumerate().map(of_line).collect()
    });
    for ((nth, line), price) in lines.iter_mut().enumerate().zip(priced) {
        let (Some(price), Some(draft)) = (price?, bench.drafts[at][nth].as_ref()) else { continue };
        sums.add(&price)?;
        findings.extend(falling(draft, &price));
        line.price = Some(price);
    }
    findings.extend(lines.iter().enumerate().filter_map(|(nth, line)| brought(shop, at, nth, line)));
    total(shop, &bench.orders[at], at, plan.today, sums, findings)
}

/// A line's costs with its ladder and its other way of making, before what the order's own terms make of it.
fn line_price(
    bench: &Bench<'_>,
    at: usize,
    draft: &LineDraft<'_>,
    (line, choices): (&LinePlan, &[Choice]),
    pieces: u32,
    material: Material,
) -> Result<LinePrice, MoneyError> {
    let shop = bench.shop;
    let extras = Extras::of(bench.way(at));
    let basis = basis(bench, at, draft, line, choices, pieces, &extras)?;
    let costs = price::costs(&basis, draft.pieces(), material, &shop.rates, &shop.spoilage)?;
    let ladder = ladder(bench, draft, choices, &basis)?;
    let apart = (declared(draft), basis.test.borne(&shop.rates)?);
    let priced = price::line_price(draft.pieces(), costs, apart, &shop.pricing, ladder)?;
    let offers = planning::offer_line(shop, draft, bench.books);
    let break_even = break_even::break_even(bench, at, draft, choices, &offers, &basis)?;
    let landed = landed::landed(bench, draft, choices, &offers, &basis)?;
    Ok(LinePrice { break_even, landed, ..priced })
}

/// The value of a garment that the customer brought, as it was declared.
fn declared(draft: &LineDraft<'_>) -> Option<Money> {
    draft.style.declared_value.filter(|_| draft.brought)
}

/// Sums over the lines of an order.
struct Sums {
    cost: Money,
    lines: Money,
    work: Duration,
    bought: Money,
}

impl Sums {
    fn add(&mut self, line: &LinePrice) -> Result<(), MoneyError> {
        self.cost = self.cost.plus(line.cost)?;
        self.lines = self.lines.plus(line.total)?;
        for item in &line.costs {
            self.work = self.work + item.work;
            if item.work == Duration::ZERO {
                self.bought = self.bought.plus(item.amount.value)?;
            }
        }
        Ok(())
    }
}

fn running(lines: &[LinePlan]) -> impl Iterator<Item = (usize, &LinePlan)> {
    lines.iter().enumerate().filter(|(_, line)| line.state == LineState::Planned)
}

/// Rush on the lines' sum, then the discount on both: what an order's own terms make of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Terms {
    /// What rush costs, or would.
    pub rush_charge: Money,
    pub rush: Money,
    pub discount: Money,
    /// Lines, rush and discount together.
    pub sum: Money,
}

impl Terms {
    pub fn of(shop: &Shop, order: &Order, lines: Money) -> Result<Self, MoneyError> {
        let rush_charge = lines.share(shop.pricing.rush, Rounding::Up)?;
        let rush = if order.rush { rush_charge } else { Money::zero(shop.currency) };
        let before = lines.plus(rush)?;
        let discount = before.share(order.discount, Rounding::HalfUp)?;
        Ok(Self { rush_charge, rush, discount, sum: before.minus(discount)? })
    }
}

/// What a discount does to the margin, in words.
fn discounted(order: &Order, at: usize, terms: &Terms, cost: Money) -> Option<Finding> {
    let before = terms.sum.plus(terms.discount).ok()?;
    if terms.discount.minor() <= 0 {
        return None;
    }
    let kept = |price: Money| (price.minor() - cost.minor()) as f64 / (price.minor().max(1)) as f64;
    let loss = terms.sum.minor() < cost.minor();
    let (severity, code, remedy) = if loss {
        (Severity::Warning, codes::DISCOUNT_LOSS, codes::DISCOUNT_LOSS_REMEDY)
    } else {
        (Severity::Note, codes::DISCOUNT, codes::DISCOUNT_REMEDY)
    };
    Some(
        Finding::new(severity, code, remedy)
            .with("share", Value::Share(order.discount.fraction()))
            .with("amount", Value::Money(terms.discount))
            .with("before", Value::Share(kept(before)))
            .with("after", Value::Share(kept(terms.sum)))
            .with("cost", Value::Money(cost))
            .with("net", Value::Money(terms.sum))
            .about(Subject { order: Some(at), ..Subject::default() }),
    )
}

fn total(
    shop: &Shop,
    order: &Order,
    at: usize,
    today: Date,
    sums: Sums,
    findings: &mut Vec<Finding>,
) -> Result<OrderPrice, MoneyError> {
    let zero = Money::zero(shop.currency);
    let least = shop.pricing.minimum_charge.filter(|_| sums.lines.minor() > 0).unwrap_or(zero);
    let terms = Terms::of(shop, order, sums.lines)?;
    findings.extend(discounted(order, at, &terms, sums.cost));
    let top_up = if least.minor() > terms.sum.minor() { least.minus(terms.sum)? } else { zero };
    if top_up.minor() > 0 {
        findings.push(
            Finding::new(Severity::Note, codes::LEAST_CHARGE, codes::LEAST_CHARGE_REMEDY)
                .with("least", Value::Money(least))
                .with("sum", Value::Money(terms.sum))
                .about(Subject { order: Some(at), ..Subject::default() }),
        );
    }
    let net = terms.sum.plus(top_up)?;
    let mut taxes = Vec::new();
    let mut gross = net;
    for tax in &shop.taxes {
        let amount = net.share(tax.share, Rounding::HalfUp)?;
        gross = gross.plus(amount)?;
        taxes.push((tax.name.clone(), amount));
    }
    let plain = terms.rush == zero && terms.discount == zero;
    let mut reason = Reason::new(if plain { codes::NET_PRICE } else { codes::NET_PRICE_TERMS })
        .from("lines", Value::Money(sums.lines), Origin::Model)
        .from("least", Value::Money(least), Origin::Shop);
    if !plain {
        reason = reason.from("rush", Value::Money(terms.rush), Origin::Shop).from(
            "discount",
            Value::Money(terms.discount),
            Origin::Person,
        );
    }
    let seconds = sums.work.s().ceil() as i64;
    let left = net.minus(sums.bought)?;
    Ok(OrderPrice {
        cost: sums.cost,
        lines: sums.lines,
        rush: terms.rush,
        rush_charge: terms.rush_charge,
        discount: terms.discount,
        least_charge: top_up,
        net: Figure::new(net, reason),
        taxes,
        deposit: gross.share(shop.pricing.deposit, Rounding::Up)?,
        gross,
        valid_until: today.saturating_add(i64::from(shop.pricing.valid_days).days()),
        work: sums.work,
        earns_per_hour: if seconds > 0 { Some(left.scaled(3600, seconds, Rounding::HalfUp)?) } else { None },
    })
}

/// No price at all, where sums cannot be counted.
pub(crate) fn nothing(shop: &Shop, today: Date) -> OrderPrice {
    let zero = Money::zero(shop.currency);
    OrderPrice {
        cost: zero,
        lines: zero,
        rush: zero,
        rush_charge: zero,
        discount: zero,
        least_charge: zero,
        net: Figure::new(zero, Reason::new(codes::NET_PRICE)),
        taxes: Vec::new(),
        gross: zero,
        deposit: zero,
        valid_until: today,
        work: Duration::ZERO,
        earns_per_hour: None,
    }
}

fn basis(
    bench: &Bench<'_>,
    at: usize,
    draft: &LineDraft<'_>,
    line: &LinePlan,
    choices: &[Choice],
    order_pieces: u32,
    extras: &Extras,
) -> Result<LineBasis, MoneyError> {
    let weeding: Duration = line.prints.iter().map(|print| print.weeding).sum();
    let new_art = bench.orders.get(at).map_or(0, |order| designs_of(order, draft));
    let beside = bench.beside(at, draft);
    line_basis(bench.shop, (draft, beside), choices, whole(weeding), new_art, order_pieces, extras)
}

/// Art files of a line that no earlier line of its order has.
fn designs_of(order: &Order, draft: &LineDraft<'_>) -> i64 {
    let nth = draft.subject.line.unwrap_or(0);
    let earlier: Vec<&str> =
        order.lines.iter().take(nth).flat_map(|line| &line.prints).map(|print| print.art.as_str()).collect();
    let mut own: Vec<&str> = draft.prints.iter().map(|print| print.wish.art.as_str()).collect();
    own.sort_unstable();
    own.dedup();
    i64::try_from(own.iter().filter(|art| !earlier.contains(*art)).count()).unwrap_or(i64::MAX)
}

/// What a line needs of whose style so many more are bought.
fn line_basis(
    shop: &Shop,
    (draft, beside): (&LineDraft<'_>, u32),
    choices: &[Choice],
    weeding_s: i64,
    new_art: i64,
    order_pieces: u32,
    extras: &Extras,
) -> Result<LineBasis, MoneyError> {
    let recipes: Vec<Cow<'_, Recipe>> =
        choices.iter().filter_map(|choice| crate::pressing::recipe_of(shop, choice)).collect();
    let prints = i64::try_from(draft.prints.len()).unwrap_or(i64::MAX);
    let blanks = (!draft.brought).then(|| BlankPrices {
        list: draft.sizes.iter().filter_map(|(size, count)| Some((size.price?, *count))).collect(),
        breaks: draft.style.breaks.clone(),
        beside,
    });
    let times = &shop.times;
    let test = price::TestCost {
        work_s: whole(times.test_piece.value).saturating_mul(prints),
        blank: test_blank(draft, beside)?,
        paid_by: draft.test.paid_by,
    };
    let office = whole(times.office.value).saturating_mul(i64::from(draft.pieces()));
    Ok(LineBasis {
        blanks,
        art_s: whole(times.art.value).saturating_mul(new_art),
        set_up_s: test.work_s.saturating_add(extras.once_s),
        test,
        office_s: office.div_euclid(i64::from(order_pieces.max(1))).saturating_add(1).min(whole(times.office.value)),
        weeding_s,
        press_s: whole(steps::garment_seconds(shop, draft, &recipes)),
        handling_s: whole(times.count_in.value).saturating_add(whole(times.pack.value).saturating_mul(extras.packs)),
    })
}

/// The price of the blank that a test piece is made on: as spares, of the size there is most of.
fn test_blank(draft: &LineDraft<'_>, beside: u32) -> Result<Option<Money>, MoneyError> {
    if draft.brought || draft.test.on != TestOn::Garment {
        return Ok(None);
    }
    let most = draft.sizes.iter().map(|(_, count)| *count).max().unwrap_or(0);
    let price = draft.sizes.iter().find(|(_, count)| *count == most).and_then(|(size, _)| size.price);
    let many = draft.pieces().saturating_add(beside);
    price.map(|price| trade::break_price(&draft.style.breaks, price, many)).transpose()
}

fn ladder(
    bench: &Bench<'_>,
    draft: &LineDraft<'_>,
    choices: &[Choice],
    basis: &LineBasis,
) -> Result<Vec<crate::Rung>, MoneyError> {
    let Some(taken) = taken(choices) else { return Ok(Vec::new()) };
    if draft.brought {
        return Ok(Vec::new());
    }
    let borne = basis.test.borne(&bench.shop.rates)?;
    price::ladder(&bench.shop.pricing, borne, |pieces| alone(bench, draft, &taken, basis, pieces).ok())
}

/// Cost of a line made alone in so many pieces.
fn alone(
    bench: &Bench<'_>,
    draft: &LineDraft<'_>,
    taken: &[Taken],
    basis: &LineBasis,
    pieces: u32,
) -> Result<Money, MoneyError> {
    let shop = bench.shop;
    let zero = Money::zero(shop.currency);
    let landed::Sources { transfers, trimming_s, mut goods, .. } = landed::sources(bench, draft, taken, pieces)?;
    let alone = basis.alone(whole(shop.times.office.value));
    if let (Some(blanks), Some(supplier)) = (&alone.blanks, draft.style.supplier) {
        let blanks = blanks.at(pieces, zero)?;
        let so_far = goods.get(&supplier).copied().unwrap_or(zero);
        goods.insert(supplier, so_far.plus(blanks)?);
    }
    let mut carriage = zero;
    for (supplier, value) in goods {
        carriage = carriage.plus(buy::carriage(shop.supplier(supplier), value)?.sum()?)?;
        carriage = carriage.plus(bench.rush(draft.subject.order.unwrap_or(0), supplier, value)?)?;
    }
    let costs =
        price::costs(&alone, pieces, Material { transfers, trimming_s, carriage }, &shop.rates, &shop.spoilage)?;
    price::sum(costs.iter().map(|item| item.amount.value), Some(zero))
}

/// A larger quantity that costs less in all.
fn falling(draft: &LineDraft<'_>, price: &LinePrice) -> Option<Finding> {
    let more = price
        .ladder
        .iter()
        .filter(|rung| rung.pieces > price.pieces && rung.total.minor() < price.total.minor())
        .min_by_key(|rung| rung.total.minor())?;
    Some(
        Finding::new(Severity::Note, codes::TOTAL_FALLS, codes::TOTAL_FALLS_REMEDY)
            .named("garment", draft.style.name.clone())
            .with("pieces", Value::Count(i64::from(price.pieces)))
            .with("total", Value::Money(price.total))
            .with("more", Value::Count(i64::from(more.pieces)))
            .with("more-total", Value::Money(more.total))
            .about(draft.subject),
    )
}

/// The customer's own garment: who carries the risk must be said before work begins.
fn brought(shop: &Shop, at: usize, nth: usize, line: &LinePlan) -> Option<Finding> {
    let style = shop.garment(line.garment.filter(|_| line.brought && line.state == LineState::Planned)?);
    let value = style.declared_value.map_or(Value::Text("–".to_owned()), Value::Money);
    Some(
        Finding::new(Severity::Warning, codes::BROUGHT_RISK, codes::BROUGHT_RISK_REMEDY)
            .named("garment", style.name.clone())
            .with("value", value)
            .about(Subject { order: Some(at), line: Some(nth), print: None }),
    )
}

/// Weeding of one piece, all its prints together, in the transfers chosen.
fn weeding_of(shop: &Shop, choices: &[Choice], offers: &[Vec<Offer>]) -> Duration {
    let of_print = |(choice, offers): (&Choice, &Vec<Offer>)| {
        let offer = offers.get(choice.chosen?)?;
        Some(offer::weeding(shop, &offer.candidate, &offer.measured.as_ref()?.value))
    };
    choices.iter().zip(offers).filter_map(of_print).sum()
}

/// Whole seconds, rounded up.
fn whole(span: Duration) -> i64 {
    span.s().ceil().clamp(0.0, 1e9) as i64
}
