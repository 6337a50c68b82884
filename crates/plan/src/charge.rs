//! What an order costs and is charged, its ladder, and the three ways.

use crate::choose;
use crate::crew::Crew;
use crate::draft::{self, LineDraft};
use crate::layout::{self, Look};
use crate::offer::{Books, Offer};
use crate::planning::{self, asked, taken};
use crate::price::{self, LineBasis, Material};
use crate::result::{Choice, Goods, LinePlan, LinePrice, LineState, OrderPrice, Plan, Pool, WayLine, WayOffer};
use crate::{Arts, Order, Way, buy, codes, steps};
use jiff::ToSpan;
use jiff::civil::Date;
use rayon::prelude::*;
use report::{Code, Effort, Figure, Finding, Origin, Quiet, Reason, Severity, Subject, Value};
use std::collections::BTreeMap;
use trade::{GarmentId, Recipe, Shop, SupplierId, TransferId};
use units::{Duration, Money, MoneyError, Rounding};

/// What prices are made from.
pub(crate) struct Bench<'a> {
    pub shop: &'a Shop,
    pub orders: &'a [Order],
    pub arts: &'a Arts,
    pub look: Look,
    pub drafts: &'a [Vec<Option<LineDraft<'a>>>],
    pub chosen: &'a [Vec<Vec<Choice>>],
}

impl Bench<'_> {
    fn way(&self, at: usize) -> Way {
        planning::way_of(self.orders, at)
    }

    /// For what is only priced, not made: the first answer of the packing engine.
    fn quick(&self) -> Look {
        Look { effort: Effort(0), only_priced: true, ..self.look }
    }
}

/// The price of an order; fills in the prices of its planned lines.
pub(crate) fn order(
    bench: &Bench<'_>,
    at: usize,
    lines: &mut [LinePlan],
    plan: &Plan,
    crew: &Crew,
    findings: &mut Vec<Finding>,
) -> Result<OrderPrice, MoneyError> {
    let shop = bench.shop;
    let zero = Money::zero(shop.currency);
    let materials = materials(bench, plan)?;
    let pieces: u32 = running(lines).map(|(_, line)| line.pieces()).fold(0, u32::saturating_add);
    let mut sums = Sums { cost: zero, lines: zero, work: Duration::ZERO, bought: zero };
    for (nth, line) in lines.iter_mut().enumerate() {
        let running = line.state == LineState::Planned;
        let Some(draft) = bench.drafts[at][nth].as_ref().filter(|_| running) else { continue };
        let choices = &bench.chosen[at][nth];
        let extras = Extras::of(bench.way(at));
        let basis = basis(bench, at, draft, line, choices, pieces, &extras)?;
        let material = materials.get(&(at, nth)).copied().unwrap_or(Material { transfers: zero, carriage: zero });
        let costs = price::costs(&basis, draft.pieces(), material, &shop.rates, &shop.spoilage)?;
        let ladder = crew.run(|| ladder(bench, draft, choices, &basis))?;
        let line_price = price::line_price(draft.pieces(), costs, &shop.pricing, ladder)?;
        sums.add(&line_price)?;
        findings.extend(falling(draft, &line_price));
        line.price = Some(line_price);
    }
    findings.extend(lines.iter().enumerate().filter_map(|(nth, line)| brought(shop, at, nth, line)));
    total(shop, at, plan.today, sums, findings)
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

fn total(
    shop: &Shop,
    at: usize,
    today: Date,
    sums: Sums,
    findings: &mut Vec<Finding>,
) -> Result<OrderPrice, MoneyError> {
    let zero = Money::zero(shop.currency);
    let least = shop.pricing.minimum_charge.filter(|_| sums.lines.minor() > 0).unwrap_or(zero);
    let top_up = if least.minor() > sums.lines.minor() { least.minus(sums.lines)? } else { zero };
    if top_up.minor() > 0 {
        findings.push(
            Finding::new(Severity::Note, codes::LEAST_CHARGE, codes::LEAST_CHARGE_REMEDY)
                .with("least", Value::Money(least))
                .with("sum", Value::Money(sums.lines))
                .about(Subject { order: Some(at), ..Subject::default() }),
        );
    }
    let net = sums.lines.plus(top_up)?;
    let mut taxes = Vec::new();
    let mut gross = net;
    for tax in &shop.taxes {
        let amount = net.share(tax.share, Rounding::HalfUp)?;
        gross = gross.plus(amount)?;
        taxes.push((tax.name.clone(), amount));
    }
    let reason = Reason::new(codes::NET_PRICE).from("lines", Value::Money(sums.lines), Origin::Model).from(
        "least",
        Value::Money(least),
        Origin::Shop,
    );
    let seconds = sums.work.s().ceil() as i64;
    let left = net.minus(sums.bought)?;
    Ok(OrderPrice {
        cost: sums.cost,
        lines: sums.lines,
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

/// What a way adds in work.
struct Extras {
    /// Once, s: a wash test.
    once_s: i64,
    /// Packing counts so many times.
    packs: i64,
    terms: Vec<Code>,
}

impl Extras {
    fn of(way: Way) -> Self {
        // A wash test: cutting, washing, drying and looking, hands-on time (common practice, no source).
        const WASH_TEST_S: i64 = 900;
        match way {
            Way::Everyday => Self { once_s: 0, packs: 1, terms: Vec::new() },
            Way::Stronger => {
                Self { once_s: WASH_TEST_S, packs: 1, terms: vec![codes::EXTRA_LASTING, codes::EXTRA_WASH_TEST] }
            }
            Way::Finest => Self {
                once_s: WASH_TEST_S,
                packs: 2,
                terms: vec![codes::EXTRA_LASTING, codes::EXTRA_WASH_TEST, codes::EXTRA_SINGLE_PACK],
            },
        }
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
    line_basis(bench.shop, draft, choices, whole(weeding), new_art, order_pieces, extras)
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

fn line_basis(
    shop: &Shop,
    draft: &LineDraft<'_>,
    choices: &[Choice],
    weeding_s: i64,
    new_art: i64,
    order_pieces: u32,
    extras: &Extras,
) -> Result<LineBasis, MoneyError> {
    let recipes: Vec<&Recipe> = choices.iter().filter_map(|choice| crate::pressing::recipe_of(shop, choice)).collect();
    let prints = i64::try_from(draft.prints.len()).unwrap_or(i64::MAX);
    let mut blanks = None;
    if !draft.brought {
        let mut sum = Money::zero(shop.currency);
        for (size, count) in &draft.sizes {
            if let Some(price) = size.price {
                sum = sum.plus(price.times(i64::from(*count))?)?;
            }
        }
        blanks = Some(sum);
    }
    let times = &shop.times;
    let office = whole(times.office.value).saturating_mul(i64::from(draft.pieces()));
    Ok(LineBasis {
        pieces: draft.pieces(),
        blanks,
        art_s: whole(times.art.value).saturating_mul(new_art),
        set_up_s: whole(times.test_piece.value).saturating_mul(prints).saturating_add(extras.once_s),
        office_s: office.div_euclid(i64::from(order_pieces.max(1))).saturating_add(1).min(whole(times.office.value)),
        weeding_s,
        press_s: whole(steps::garment_seconds(shop, draft, &recipes)),
        handling_s: whole(times.count_in.value).saturating_add(whole(times.pack.value).saturating_mul(extras.packs)),
    })
}

/// Each line's share of sheets, film and carriage, by order and line.
fn materials(bench: &Bench<'_>, plan: &Plan) -> Result<BTreeMap<(usize, usize), Material>, MoneyError> {
    let shop = bench.shop;
    let zero = Money::zero(shop.currency);
    let mut shares: BTreeMap<(usize, usize), Material> = BTreeMap::new();
    // What each line takes of each supplier's goods, for sharing its carriage.
    let mut taken: BTreeMap<SupplierId, BTreeMap<(usize, usize), i64>> = BTreeMap::new();
    for pool in &plan.pools {
        let parts = split(pool.cost.value, &layout::grown_shares(pool))?;
        let supplier = supplier_of(shop, pool);
        for (design, part) in pool.designs.iter().zip(parts) {
            let line = (design.order, design.line);
            let share = shares.entry(line).or_insert(Material { transfers: zero, carriage: zero });
            share.transfers = share.transfers.plus(part)?;
            if let Some(supplier) = supplier {
                *taken.entry(supplier).or_default().entry(line).or_default() += part.minor();
            }
        }
    }
    for (line, draft) in numbered(bench.drafts) {
        for purchase in &plan.purchases {
            let value: i64 = purchase
                .items
                .iter()
                .filter(|item| is_blank_of(&item.goods, line.0, draft))
                .map(|item| item.total.minor())
                .fold(0, i64::saturating_add);
            if value > 0 {
                *taken.entry(purchase.supplier).or_default().entry(line).or_default() += value;
            }
        }
    }
    for purchase in &plan.purchases {
        let Some(lines) = taken.get(&purchase.supplier) else { continue };
        let extra = purchase.top_up.plus(purchase.handling)?.plus(purchase.freight)?;
        let weights: Vec<i64> = lines.values().map(|value| (*value).max(1)).collect();
        for (line, part) in lines.keys().zip(split(extra, &weights)?) {
            let share = shares.entry(*line).or_insert(Material { transfers: zero, carriage: zero });
            share.carriage = share.carriage.plus(part)?;
        }
    }
    Ok(shares)
}

/// Every drafted line with its order and its place there.
fn numbered<'a>(drafts: &'a [Vec<Option<LineDraft<'a>>>]) -> impl Iterator<Item = ((usize, usize), &'a LineDraft<'a>)> {
    let of_order = |(at, lines): (usize, &'a Vec<Option<LineDraft<'a>>>)| {
        lines.iter().enumerate().filter_map(move |(nth, line)| Some(((at, nth), line.as_ref()?)))
    };
    drafts.iter().enumerate().flat_map(of_order)
}

/// Whether a bought item is a blank of this line.
fn is_blank_of(goods: &Goods, of_order: usize, draft: &LineDraft<'_>) -> bool {
    match goods {
        Goods::Garment { order, style, colour, size } => {
            *order == of_order
                && *style == draft.garment
                && *colour == draft.colour.name
                && draft.sizes.iter().any(|(own, _)| own.name == *size)
        }
        Goods::Stock { .. } => false,
    }
}

fn supplier_of(shop: &Shop, pool: &Pool) -> Option<SupplierId> {
    let sheet = pool.layout.sheets.iter().find(|sheet| sheet.price > 0)?;
    shop.stock_item(pool.stock.get(sheet.stock)?.item).supplier
}

/// An amount shared by weights; the parts add up to it exactly, the units that
/// are left over going to the largest remainders.
pub(crate) fn split(amount: Money, weights: &[i64]) -> Result<Vec<Money>, MoneyError> {
    let all: i128 = weights.iter().map(|weight| i128::from(*weight)).sum();
    if all <= 0 {
        return Ok(weights.iter().map(|_| Money::zero(amount.currency())).collect());
    }
    let total = i128::from(amount.minor());
    let mut parts: Vec<(i128, i128)> = weights
        .iter()
        .map(|weight| {
            let product = total * i128::from(*weight);
            (product.div_euclid(all), product.rem_euclid(all))
        })
        .collect();
    let given: i128 = parts.iter().map(|(part, _)| *part).sum();
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by_key(|at| (std::cmp::Reverse(parts[*at].1), *at));
    let left = usize::try_from(total - given).unwrap_or(0);
    for at in order.into_iter().take(left) {
        parts[at].0 += 1;
    }
    parts
        .into_iter()
        .map(|(part, _)| {
            i64::try_from(part).map(|minor| Money::new(minor, amount.currency())).map_err(|_| MoneyError::TooLarge)
        })
        .collect()
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
    price::ladder(&bench.shop.pricing, |pieces| alone(bench, draft, &taken, basis, pieces).ok())
}

/// Cost of a line made alone in so many pieces.
fn alone(
    bench: &Bench<'_>,
    draft: &LineDraft<'_>,
    taken: &[(TransferId, Option<String>)],
    basis: &LineBasis,
    pieces: u32,
) -> Result<Money, MoneyError> {
    let shop = bench.shop;
    let wanted = layout::wanted(shop, draft, taken, pieces);
    let mut unheard = Vec::new();
    let pools = layout::pools(shop, &wanted, bench.quick(), &mut Quiet, &mut unheard);
    let mut basket = buy::Basket::new();
    buy::stock_basket(shop, &pools, &mut basket)?;
    let zero = Money::zero(shop.currency);
    let transfers = price::sum(pools.iter().map(|pool| pool.cost.value), Some(zero))?;
    let mut goods: BTreeMap<SupplierId, Money> = BTreeMap::new();
    for (supplier, parcel) in &basket {
        goods.insert(*supplier, parcel.goods()?);
    }
    if let (Some(blanks), Some(supplier)) = (basis.blanks, draft.style.supplier) {
        let blanks = blanks.scaled(i64::from(pieces), i64::from(basis.pieces.max(1)), Rounding::Up)?;
        let so_far = goods.get(&supplier).copied().unwrap_or(zero);
        goods.insert(supplier, so_far.plus(blanks)?);
    }
    let mut carriage = zero;
    for (supplier, value) in goods {
        carriage = carriage.plus(buy::carriage(shop, shop.supplier(supplier), value)?.sum()?)?;
    }
    let whole_office = whole(shop.times.office.value);
    let alone = LineBasis { office_s: whole_office, ..basis.clone() };
    let costs = price::costs(&alone, pieces, Material { transfers, carriage }, &shop.rates, &shop.spoilage)?;
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

/// The three ways side by side: each with its own garments, transfers and work.
pub(crate) fn ways(
    bench: &Bench<'_>,
    at: usize,
    lines: &[LinePlan],
    price: &OrderPrice,
    books: &Books,
) -> Vec<WayOffer> {
    if running(lines).next().is_none() {
        return Vec::new();
    }
    let offer = |way: &Way| {
        if *way == bench.way(at) {
            Some(own_way(*way, lines, price))
        } else {
            other_way(bench, at, *way, lines, books).ok()
        }
    };
    books.crew.run(|| [Way::Everyday, Way::Stronger, Way::Finest].par_iter().filter_map(offer).collect())
}

fn own_way(way: Way, lines: &[LinePlan], price: &OrderPrice) -> WayOffer {
    let of_line = |line: &LinePlan| {
        Some(WayLine {
            garment: line.garment?,
            transfers: line.prints.iter().filter_map(|print| print.choice.taken().map(|c| c.transfer)).collect(),
            extras: Extras::of(way).terms,
            unit: line.price.as_ref()?.unit.value,
        })
    };
    WayOffer {
        way,
        lines: lines.iter().map(of_line).collect(),
        net: price.net.value,
        cost: price.cost,
        work: price.work,
    }
}

/// The style a way is made on: the finer one, for the finest, where it comes in the colour and sizes.
fn style_for(shop: &Shop, way: Way, draft: &LineDraft<'_>) -> Option<GarmentId> {
    let finer = draft.style.finer.filter(|_| way == Way::Finest && !draft.brought)?;
    let style = shop.garment(finer);
    let comes = style.colour(&draft.colour.name).is_some()
        && draft.sizes.iter().all(|(size, _)| style.size(&size.name).is_some());
    comes.then_some(finer)
}

fn other_way(
    bench: &Bench<'_>,
    at: usize,
    way: Way,
    lines: &[LinePlan],
    books: &Books,
) -> Result<WayOffer, MoneyError> {
    let shop = bench.shop;
    let order = &bench.orders[at];
    let mut drafts: Vec<Option<LineDraft<'_>>> = Vec::new();
    let mut finer: Vec<bool> = Vec::new();
    for (nth, line) in lines.iter().enumerate() {
        let own = bench.drafts[at][nth].as_ref().filter(|_| line.state == LineState::Planned);
        let instead = own.and_then(|own| style_for(shop, way, own)).and_then(|style| {
            let subject = Subject { order: Some(at), line: Some(nth), print: None };
            draft::draft(shop, order, subject, &order.lines[nth], Some(style), bench.arts, &books.shapes).value
        });
        finer.push(instead.is_some());
        drafts.push(instead.or_else(|| own.cloned()));
    }
    let offered: Vec<Vec<Vec<Offer>>> = drafts
        .iter()
        .map(|line| line.as_ref().map_or_else(Vec::new, |line| planning::offer_line(shop, line, books)))
        .collect();
    let asked = asked(&drafts, &offered);
    let selection = choose::select(shop, &asked, way);
    let mut choices: Vec<Vec<Choice>> = drafts.iter().map(|_| Vec::new()).collect();
    for (ask, taken) in asked.iter().zip(selection) {
        let mut unheard = Vec::new();
        choices[ask.line.subject.line.unwrap_or(0)].push(choose::choice(shop, ask, taken, way, &mut unheard));
    }
    let pieces = drafts.iter().flatten().map(LineDraft::pieces).fold(0, u32::saturating_add);
    let whole_order =
        Other { bench, at, way, drafts: &drafts, offered: &offered, choices: &choices, finer: &finer, pieces };
    whole_order.offer()
}

/// One way being priced.
struct Other<'a, 'b> {
    bench: &'b Bench<'b>,
    at: usize,
    way: Way,
    drafts: &'a [Option<LineDraft<'a>>],
    offered: &'a [Vec<Vec<Offer>>],
    choices: &'a [Vec<Choice>],
    finer: &'a [bool],
    pieces: u32,
}

impl Other<'_, '_> {
    fn offer(&self) -> Result<WayOffer, MoneyError> {
        let shop = self.bench.shop;
        let (mut cost, mut net, mut work) = (Money::zero(shop.currency), Money::zero(shop.currency), Duration::ZERO);
        let materials = self.materials()?;
        let mut lines = Vec::new();
        for (nth, draft) in self.drafts.iter().enumerate() {
            let priced = match draft {
                Some(draft) => self.line(nth, draft, materials.get(&nth).copied())?,
                None => None,
            };
            if let Some((_, sums, items)) = &priced {
                cost = cost.plus(sums.0)?;
                net = net.plus(sums.1)?;
                work = work + *items;
            }
            lines.push(priced.map(|(line, _, _)| line));
        }
        let least = shop.pricing.minimum_charge.filter(|_| net.minor() > 0);
        let net = least.filter(|least| least.minor() > net.minor()).unwrap_or(net);
        Ok(WayOffer { way: self.way, lines, net, cost, work })
    }

    /// Sheets and carriage of the order alone, shared as in the plan itself.
    fn materials(&self) -> Result<BTreeMap<usize, Material>, MoneyError> {
        let shop = self.bench.shop;
        let mut wanted = Vec::new();
        for (draft, choices) in self.drafts.iter().zip(self.choices) {
            if let (Some(draft), Some(taken)) = (draft, taken(choices)) {
                wanted.extend(layout::wanted(shop, draft, &taken, draft.pieces()));
            }
        }
        let mut unheard = Vec::new();
        let pools = layout::pools(shop, &wanted, self.bench.quick(), &mut Quiet, &mut unheard);
        let mut basket = buy::Basket::new();
        buy::stock_basket(shop, &pools, &mut basket)?;
        let zero = Money::zero(shop.currency);
        let none = Material { transfers: zero, carriage: zero };
        let mut shares: BTreeMap<usize, Material> = BTreeMap::new();
        let mut taken_of: BTreeMap<SupplierId, BTreeMap<usize, i64>> = BTreeMap::new();
        for pool in &pools {
            for (design, part) in pool.designs.iter().zip(split(pool.cost.value, &layout::grown_shares(pool))?) {
                let share = shares.entry(design.line).or_insert(none);
                share.transfers = share.transfers.plus(part)?;
                if let Some(supplier) = supplier_of(shop, pool) {
                    *taken_of.entry(supplier).or_default().entry(design.line).or_default() += part.minor();
                }
            }
        }
        for (nth, draft) in self.drafts.iter().enumerate() {
            let Some(draft) = draft else { continue };
            let mut own = buy::Basket::new();
            buy::garment_basket(shop, draft, crate::pressing::spare_garments(shop, draft), &mut own)?;
            for (supplier, parcel) in own {
                let value = parcel.goods()?;
                *taken_of.entry(supplier).or_default().entry(nth).or_default() += value.minor();
                basket.entry(supplier).or_insert_with(|| buy::Parcel::empty(shop)).items.extend(parcel.items);
            }
        }
        for (supplier, parcel) in &basket {
            let extra = buy::carriage(shop, shop.supplier(*supplier), parcel.goods()?)?.sum()?;
            let Some(lines) = taken_of.get(supplier) else { continue };
            let weights: Vec<i64> = lines.values().map(|value| (*value).max(1)).collect();
            for (line, part) in lines.keys().zip(split(extra, &weights)?) {
                let share = shares.entry(*line).or_insert(none);
                share.carriage = share.carriage.plus(part)?;
            }
        }
        Ok(shares)
    }

    #[expect(clippy::type_complexity, reason = "a line with its sums, used once")]
    fn line(
        &self,
        nth: usize,
        draft: &LineDraft<'_>,
        material: Option<Material>,
    ) -> Result<Option<(WayLine, (Money, Money), Duration)>, MoneyError> {
        let shop = self.bench.shop;
        let (Some(taken), Some(material)) = (taken(&self.choices[nth]), material) else { return Ok(None) };
        let mut extras = Extras::of(self.way);
        let weeding: Duration = self.choices[nth]
            .iter()
            .zip(&self.offered[nth])
            .filter_map(|(choice, offers)| {
                let offer = offers.get(choice.chosen?)?;
                Some(crate::offer::weeding(shop.transfer(offer.candidate.transfer), &offer.measured.as_ref()?.value))
            })
            .sum();
        let new_art = designs_of(&self.bench.orders[self.at], draft);
        let basis = line_basis(shop, draft, &self.choices[nth], whole(weeding), new_art, self.pieces, &extras)?;
        let costs = price::costs(&basis, draft.pieces(), material, &shop.rates, &shop.spoilage)?;
        let work: Duration = costs.iter().map(|item| item.work).sum();
        let line = price::line_price(draft.pieces(), costs, &shop.pricing, Vec::new())?;
        if self.finer[nth] {
            extras.terms.insert(0, codes::EXTRA_FINER_GARMENT);
        }
        let way = WayLine {
            garment: draft.garment,
            transfers: taken.iter().map(|(transfer, _)| *transfer).collect(),
            extras: extras.terms,
            unit: line.unit.value,
        };
        Ok(Some((way, (line.cost, line.total), work)))
    }
}

/// Whole seconds, rounded up.
fn whole(span: Duration) -> i64 {
    span.s().ceil().clamp(0.0, 1e9) as i64
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::Currency;

    /// Arithmetic: the parts of a split always add up to the whole.
    #[test]
    fn parts_add_up() {
        let eur = |minor| Money::new(minor, Currency::new("EUR", 2).expect("a currency"));
        for (amount, weights) in [(1000, vec![1, 1, 1]), (1, vec![5, 7]), (999, vec![3, 0, 11, 2]), (0, vec![1, 2])] {
            let parts = split(eur(amount), &weights).expect("countable");
            assert_eq!(parts.iter().map(|part| part.minor()).sum::<i64>(), amount);
        }
        let parts = split(eur(1000), &[1, 1, 1]).expect("countable");
        assert_eq!(parts.iter().map(|part| part.minor()).collect::<Vec<_>>(), [334, 333, 333]);
    }
}
