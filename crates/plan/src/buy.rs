//! What to buy from whom, what carriage adds, and by when to order.

pub(crate) mod more;

use crate::blanks::{Blanks, BoughtTogether};
use crate::bulk;
use crate::calendar::Pace;
use crate::codes;
use crate::draft::LineDraft;
use crate::result::{Goods, Pool, Purchase, PurchaseItem, RushOffer, SecondDelivery};
use jiff::civil::{Date, DateTime};
use report::{Figure, Finding, Origin, Reason, Severity, Value};
use std::collections::BTreeMap;
use trade::{Freight, Shop, StockItem, StockShape, Supplier, SupplierId};
use units::{Currency, Length, Money, MoneyError};

/// What is bought of one supplier.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Parcel {
    pub items: Vec<PurchaseItem>,
    /// What the supplier must first wait for itself, and how many working days.
    pub later: Vec<PurchaseItem>,
    pub more_days: u16,
    pub set_up: Money,
    /// Larger quantities whose goods cost less.
    pub larger: Vec<more::Larger>,
}

impl Parcel {
    pub fn empty(shop: &Shop) -> Self {
        let set_up = Money::zero(shop.currency);
        Self { items: Vec::new(), later: Vec::new(), more_days: 0, set_up, larger: Vec::new() }
    }

    /// Value of the goods, without set-ups.
    pub fn goods(&self) -> Result<Money, MoneyError> {
        value(self.items.iter().chain(&self.later), self.set_up.currency())
    }
}

fn value<'a>(items: impl Iterator<Item = &'a PurchaseItem>, currency: Currency) -> Result<Money, MoneyError> {
    let mut items = items;
    items.try_fold(Money::zero(currency), |sum, item| sum.plus(item.total))
}

/// Parcels by supplier.
pub(crate) type Basket = BTreeMap<SupplierId, Parcel>;

/// What carriage, handling and a minimum add to goods of a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Carriage {
    pub top_up: Money,
    pub handling: Money,
    pub freight: Money,
}

impl Carriage {
    pub fn none(zero: Money) -> Self {
        Self { top_up: zero, handling: zero, freight: zero }
    }

    pub fn plus(self, other: Self) -> Result<Self, MoneyError> {
        self.with(other, Money::plus)
    }

    pub fn minus(self, other: Self) -> Result<Self, MoneyError> {
        self.with(other, Money::minus)
    }

    fn with(self, other: Self, both: fn(Money, Money) -> Result<Money, MoneyError>) -> Result<Self, MoneyError> {
        Ok(Self {
            top_up: both(self.top_up, other.top_up)?,
            handling: both(self.handling, other.handling)?,
            freight: both(self.freight, other.freight)?,
        })
    }

    pub fn sum(self) -> Result<Money, MoneyError> {
        self.top_up.plus(self.handling)?.plus(self.freight)
    }
}

/// The stock that layouts use up, by supplier: at the price of identical sheets or of all that is bought
/// together, with set-up once a layout; each pool with its place in the plan. Cutting apart is the shop's
/// own work and not bought.
pub(crate) fn stock_basket<'a>(
    shop: &Shop,
    pools: impl IntoIterator<Item = (usize, &'a Pool)>,
    basket: &mut Basket,
) -> Result<(), MoneyError> {
    let pools: Vec<(usize, &Pool)> = pools.into_iter().collect();
    let in_all = bulk::bought(shop, pools.iter().map(|(_, pool)| *pool));
    for (at, pool) in pools {
        for (first, times) in pool.different_sheets() {
            let Some(sheet) = pool.layout.sheets.get(first) else { continue };
            let Some(entry) = pool.stock.get(sheet.stock).filter(|entry| !entry.on_hand) else { continue };
            let item = shop.stock_item(entry.item);
            let Some(supplier) = item.supplier else { continue };
            let quantity = u32::try_from(times).unwrap_or(u32::MAX);
            let many = in_all.get(&entry.item).copied().unwrap_or(0);
            let (unit, set_up, length) = film_price(shop, item, (quantity, many), sheet.charged_length_mm)?;
            let parcel = basket.entry(supplier).or_insert_with(|| Parcel::empty(shop));
            parcel.set_up = parcel.set_up.plus(set_up)?;
            parcel.items.push(PurchaseItem {
                goods: Goods::Stock { item: entry.item, colour: pool.colour.clone(), length, pool: at },
                quantity,
                unit,
                total: unit.times(i64::from(quantity))?,
                second: false,
            });
        }
    }
    Ok(())
}

/// Price of one of so many identical sheets (or of a length) where so many in all are bought together,
/// set-up of their layout, length of a roll.
fn film_price(
    shop: &Shop,
    item: &StockItem,
    (quantity, many): (u32, i64),
    charged_mm: f64,
) -> Result<(Money, Money, Option<Length>), MoneyError> {
    match &item.shape {
        StockShape::Sheet { identical, breaks, set_up, .. } => {
            let better = identical.iter().filter(|step| step.from <= quantity).max_by_key(|step| step.from);
            let each = item.shape.unit_price(many);
            let lower = |step: &trade::SheetBreak| breaks.is_empty() || step.price.minor() < each.minor();
            let unit = better.filter(|step| lower(step)).map_or(each, |step| step.price);
            Ok((unit, set_up.unwrap_or(Money::zero(shop.currency)), None))
        }
        StockShape::Roll { .. } => {
            let price = item.shape.unit_price(many).times(item.shape.units(charged_mm))?;
            Ok((price, Money::zero(shop.currency), Length::from_mm(charged_mm)))
        }
    }
}

/// The blanks of a line that are bought, by supplier, at the price of all of its style that
/// are bought together.
pub(crate) fn garment_basket(
    shop: &Shop,
    (line, blanks): (&LineDraft<'_>, &Blanks),
    together: &BoughtTogether,
    basket: &mut Basket,
) -> Result<(), MoneyError> {
    let (false, Some(supplier)) = (line.brought, line.style.supplier) else { return Ok(()) };
    let many = together.many(line.garment);
    for ((size, _), source) in line.sizes.iter().zip(&blanks.sizes) {
        let Some(price) = size.price else { continue };
        let price = trade::break_price(&line.style.breaks, price, many)?;
        let item = |quantity: u32| -> Result<PurchaseItem, MoneyError> {
            Ok(PurchaseItem {
                goods: Goods::Garment {
                    order: line.subject.order.unwrap_or(0),
                    style: line.garment,
                    colour: line.colour.name.clone(),
                    size: size.name.clone(),
                },
                quantity,
                unit: price,
                total: price.times(i64::from(quantity))?,
                second: false,
            })
        };
        if source.usual > 0 {
            basket.entry(supplier).or_insert_with(|| Parcel::empty(shop)).items.push(item(source.usual)?);
        }
        if source.later > 0 {
            let parcel = basket.entry(supplier).or_insert_with(|| Parcel::empty(shop));
            parcel.later.push(item(source.later)?);
            parcel.more_days = parcel.more_days.max(blanks.more_days.unwrap_or(0));
        }
    }
    Ok(())
}

/// What a supplier adds to goods of this value.
pub(crate) fn carriage(supplier: &Supplier, goods: Money) -> Result<Carriage, MoneyError> {
    let zero = Money::zero(goods.currency());
    let top_up = match supplier.minimum {
        Some(minimum) if minimum.minor() > goods.minor() => minimum.minus(goods)?,
        _ => zero,
    };
    Ok(Carriage {
        top_up,
        handling: supplier.handling.unwrap_or(zero),
        freight: freight(&supplier.freight, goods, zero),
    })
}

fn freight(freight: &Freight, goods: Money, zero: Money) -> Money {
    if freight.free_from.is_some_and(|free| goods.minor() >= free.minor()) {
        return zero;
    }
    freight.steps.iter().rev().find(|(from, _)| goods.minor() >= from.minor()).map_or(zero, |(_, price)| *price)
}

/// When goods are bought, when they must be there, and whose may be rushed.
pub(crate) struct Need<'a> {
    pub today: Date,
    /// The day on which all goods must be there.
    pub needed: Date,
    /// Whether goods are for an order that pays for being done before its normal time.
    pub rushed: &'a dyn Fn(&Goods) -> bool,
}

/// Purchases with their last and earliest days.
///
/// What a supplier must first wait for comes with the rest where all of it is then in time;
/// else it comes in a second delivery, with carriage of its own, so that work can begin.
pub(crate) fn purchases(
    shop: &Shop,
    basket: Basket,
    need: &Need<'_>,
    findings: &mut Vec<Finding>,
) -> Result<Vec<Purchase>, MoneyError> {
    let mut all = Vec::new();
    for (id, parcel) in basket {
        all.push(purchase(shop, id, parcel, need, findings)?);
    }
    Ok(all)
}

fn purchase(
    shop: &Shop,
    id: SupplierId,
    parcel: Parcel,
    need: &Need<'_>,
    findings: &mut Vec<Finding>,
) -> Result<Purchase, MoneyError> {
    let supplier = shop.supplier(id);
    let goods = parcel.goods()?;
    let extra = carriage(supplier, goods)?;
    let more = more::offered(supplier, &parcel, (goods, extra))?;
    findings.extend(more::found(&more));
    let rush = rush(supplier, &parcel, goods, need)?;
    let taken = rush.as_ref().filter(|rush| rush.taken);
    let pace = taken.and_then(|_| Pace::rush(supplier)).unwrap_or(Pace::usual(supplier));
    let later = (!parcel.later.is_empty()).then(|| pace.waiting(parcel.more_days));
    let second =
        later.map(|pace| pace.arrival(need.today)).filter(|arrives| *arrives > need.needed && !parcel.items.is_empty());
    let second = match second {
        Some(arrives) => {
            let value = value(parcel.later.iter(), shop.currency)?;
            Some(SecondDelivery { arrives, freight: freight(&supplier.freight, value, Money::zero(shop.currency)) })
        }
        None => None,
    };
    let whole = if second.is_some() { pace } else { later.unwrap_or(pace) };
    let order_by = whole.order_by(need.needed);
    if order_by.date() < need.today {
        findings.push(too_late(shop, supplier, order_by, rush.as_ref(), need));
    } else if let Some(rush) = taken {
        findings.push(rush_taken(supplier, rush, need));
    }
    let late = |mut item: PurchaseItem| {
        item.second = second.is_some();
        item
    };
    let set_up = parcel.set_up;
    let items = parcel.items.into_iter().chain(parcel.later.into_iter().map(late)).collect();
    let mut total = goods.plus(set_up)?.plus(extra.sum()?)?;
    for more in [second.as_ref().map(|second| second.freight), taken.map(|rush| rush.price)].into_iter().flatten() {
        total = total.plus(more)?;
    }
    let order_by_figure = Figure::new(order_by, order_reason(supplier, need.needed, taken.is_some()));
    Ok(Purchase {
        supplier: id,
        items,
        goods,
        set_up,
        top_up: extra.top_up,
        handling: extra.handling,
        freight: extra.freight,
        second,
        total,
        order_by: order_by_figure,
        arrives: whole.arrival(order_by.date()),
        earliest: whole.arrival(need.today),
        rush,
        more,
    })
}

/// The supplier's rush, where it sells any: taken for an order that pays for it and would
/// otherwise wait for its goods.
fn rush(supplier: &Supplier, parcel: &Parcel, goods: Money, need: &Need<'_>) -> Result<Option<RushOffer>, MoneyError> {
    let Some((service, pace)) = supplier.rush.as_ref().zip(Pace::rush(supplier)) else { return Ok(None) };
    let usual = Pace::usual(supplier).waiting(if parcel.items.is_empty() { parcel.more_days } else { 0 });
    let pace = pace.waiting(if parcel.items.is_empty() { parcel.more_days } else { 0 });
    let wished = parcel.items.iter().chain(&parcel.later).any(|item| (need.rushed)(&item.goods));
    let (arrives, usually) = (pace.arrival(need.today), usual.arrival(need.today));
    Ok(Some(RushOffer {
        price: service.price(goods)?,
        arrives,
        usually,
        taken: wished && usually > need.needed && arrives < usually,
    }))
}

fn too_late(
    shop: &Shop,
    supplier: &Supplier,
    order_by: DateTime,
    rush: Option<&RushOffer>,
    need: &Need<'_>,
) -> Finding {
    let Some(rush) = rush else {
        return Finding::new(Severity::Warning, codes::ORDER_TOO_LATE, codes::ORDER_TOO_LATE_REMEDY)
            .named("supplier", supplier.name.clone())
            .with("order-by", Value::Moment(order_by));
    };
    let helps = rush.arrives <= need.needed && !rush.taken;
    let (code, remedy) = if helps {
        (codes::ORDER_TOO_LATE, codes::ORDER_TOO_LATE_RUSH_REMEDY)
    } else {
        (codes::ORDER_TOO_LATE_EVEN_RUSH, codes::ORDER_TOO_LATE_REMEDY)
    };
    Finding::new(Severity::Warning, code, remedy)
        .named("supplier", supplier.name.clone())
        .with("order-by", Value::Moment(order_by))
        .with("arrives", Value::Date(rush.arrives))
        .with("usually", Value::Date(rush.usually))
        .with("needed", Value::Date(need.needed))
        .with("price", Value::Money(rush.price))
        .with("share", Value::Share(shop.pricing.rush.fraction()))
}

fn rush_taken(supplier: &Supplier, rush: &RushOffer, need: &Need<'_>) -> Finding {
    Finding::new(Severity::Note, codes::RUSH_TAKEN, codes::RUSH_TAKEN_REMEDY)
        .named("supplier", supplier.name.clone())
        .with("arrives", Value::Date(rush.arrives))
        .with("usually", Value::Date(rush.usually))
        .with("needed", Value::Date(need.needed))
        .with("price", Value::Money(rush.price))
}

fn order_reason(supplier: &Supplier, needed: Date, rushed: bool) -> Reason {
    let rush = supplier.rush.as_ref().filter(|_| rushed);
    let (production, transit, cut_off) = rush
        .map_or((supplier.production_days, supplier.transit_days, supplier.cut_off), |rush| {
            (rush.production_days, rush.transit_days, rush.cut_off)
        });
    Reason::new(codes::ORDER_BY)
        .from("supplier", Value::Text(supplier.name.clone()), Origin::Shop)
        .from("needed", Value::Date(needed), Origin::Model)
        .from("production", Value::Count(i64::from(production)), Origin::Shop)
        .from("transit", Value::Count(i64::from(transit)), Origin::Shop)
        .from("cut-off", Value::Text(cut_off.strftime("%H:%M").to_string()), Origin::Shop)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{Time, date, time};
    use units::Currency;

    fn eur(minor: i64) -> Money {
        Money::new(minor, Currency::new("EUR", 2).expect("a currency"))
    }

    pub(super) fn supplier(production_days: u16, transit_days: u16) -> Supplier {
        Supplier {
            id: "s".into(),
            name: "S".into(),
            cut_off: Time::constant(14, 0, 0, 0),
            production_days,
            transit_days,
            holidays: vec![date(2026, 12, 8)],
            minimum: Some(eur(5000)),
            handling: Some(eur(300)),
            freight: Freight { steps: vec![(eur(0), eur(900)), (eur(10_000), eur(500))], free_from: Some(eur(20_000)) },
            rush: Some(trade::RushService {
                cut_off: Time::constant(16, 0, 0, 0),
                production_days: 0,
                transit_days: 1,
                charge: Some(eur(1500)),
                share: units::Share::from_ppm(200_000).expect("a share"),
            }),
            files: None,
            print: trade::PrintWish::default(),
        }
    }

    /// Counted by hand on a calendar of December 2026 (the 8th, a Tuesday, is a
    /// holiday): ordered Thursday 3rd, two days of making (4th, 7th), one under
    /// way (9th, since the 8th is free) – arrives Wednesday 9th; and back.
    #[test]
    fn working_days_forward_and_back() {
        let supplier = supplier(2, 1);
        assert_eq!(Pace::usual(&supplier).arrival(date(2026, 12, 3)), date(2026, 12, 9));
        assert_eq!(
            Pace::usual(&supplier).order_by(date(2026, 12, 9)),
            date(2026, 12, 3).to_datetime(time(14, 0, 0, 0))
        );
        // A need on Sunday the 13th is met on Friday the 11th.
        assert_eq!(Pace::usual(&supplier).order_by(date(2026, 12, 13)).date(), date(2026, 12, 7));
        // Ordered on a Saturday counts from Monday.
        assert_eq!(Pace::usual(&supplier).arrival(date(2026, 11, 28)), date(2026, 12, 3));
        // With rush: nothing to make, one day under way, the holiday between; ordered until 16:00.
        let rush = Pace::rush(&supplier).expect("rush is sold");
        assert_eq!(rush.arrival(date(2026, 12, 3)), date(2026, 12, 4));
        assert_eq!(rush.arrival(date(2026, 12, 7)), date(2026, 12, 9));
        assert_eq!(rush.order_by(date(2026, 12, 9)), date(2026, 12, 7).to_datetime(time(16, 0, 0, 0)));
        // Four working days until there is more: the 4th, 7th, 9th and 10th; then as above.
        assert_eq!(Pace::usual(&supplier).waiting(4).arrival(date(2026, 12, 3)), date(2026, 12, 15));
    }

    /// 15.00 once and a fifth of the goods: 15.00 + 0.20 × 42.51 = 23.502, rounded up.
    #[test]
    fn rush_costs_a_charge_and_a_share() {
        let rush = supplier(2, 1).rush.expect("rush is sold");
        assert_eq!(rush.price(eur(4251)), Ok(eur(2351)));
        assert_eq!(rush.price(eur(0)), Ok(eur(1500)));
    }

    /// Arithmetic over the price list above.
    #[test]
    fn carriage_by_value_of_goods() {
        let (supplier, zero) = (supplier(1, 1), eur(0));
        for (goods, expected) in [(0, 900), (9_999, 900), (10_000, 500), (19_999, 500), (20_000, 0)] {
            assert_eq!(freight(&supplier.freight, eur(goods), zero), eur(expected), "{goods}");
        }
    }
}
