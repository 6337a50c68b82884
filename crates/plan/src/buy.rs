//! What to buy from whom, what carriage adds, and by when to order.

use crate::draft::LineDraft;
use crate::result::{Goods, Pool, Purchase, PurchaseItem};
use crate::shelf::{Left, Shelf, ShelfTake};
use crate::{calendar, codes};
use jiff::civil::{Date, DateTime};
use report::{Figure, Finding, Origin, Reason, Severity, Value};
use std::collections::BTreeMap;
use trade::{Freight, Shop, StockItem, StockShape, Supplier, SupplierId};
use units::{Length, Money, MoneyError};

/// What is bought of one supplier.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Parcel {
    pub items: Vec<PurchaseItem>,
    pub set_up: Money,
}

impl Parcel {
    pub fn empty(shop: &Shop) -> Self {
        Self { items: Vec::new(), set_up: Money::zero(shop.currency) }
    }

    /// Value of the goods, without set-ups.
    pub fn goods(&self) -> Result<Money, MoneyError> {
        self.items.iter().try_fold(Money::zero(self.set_up.currency()), |sum, item| sum.plus(item.total))
    }
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
    pub fn sum(self) -> Result<Money, MoneyError> {
        self.top_up.plus(self.handling)?.plus(self.freight)
    }
}

/// The stock that layouts use up, by supplier: at the price of identical sheets,
/// with set-up once a layout; each pool with its place in the plan. Cutting apart is the shop's own work and not bought.
pub(crate) fn stock_basket<'a>(
    shop: &Shop,
    pools: impl IntoIterator<Item = (usize, &'a Pool)>,
    basket: &mut Basket,
) -> Result<(), MoneyError> {
    for (at, pool) in pools {
        for (first, times) in pool.different_sheets() {
            let Some(sheet) = pool.layout.sheets.get(first) else { continue };
            let Some(entry) = pool.stock.get(sheet.stock).filter(|entry| !entry.on_hand) else { continue };
            let item = shop.stock_item(entry.item);
            let Some(supplier) = item.supplier else { continue };
            let quantity = u32::try_from(times).unwrap_or(u32::MAX);
            let (unit, set_up, length) = film_price(shop, item, quantity, sheet.charged_length_mm)?;
            let parcel = basket.entry(supplier).or_insert_with(|| Parcel::empty(shop));
            parcel.set_up = parcel.set_up.plus(set_up)?;
            parcel.items.push(PurchaseItem {
                goods: Goods::Stock { item: entry.item, colour: pool.colour.clone(), length, pool: at },
                quantity,
                unit,
                total: unit.times(i64::from(quantity))?,
            });
        }
    }
    Ok(())
}

/// Price of one of so many identical sheets (or of a length), set-up of their layout, length of a roll.
fn film_price(
    shop: &Shop,
    item: &StockItem,
    quantity: u32,
    charged_mm: f64,
) -> Result<(Money, Money, Option<Length>), MoneyError> {
    match &item.shape {
        StockShape::Sheet { price, identical, set_up, .. } => {
            let better = identical.iter().filter(|step| step.from <= quantity).max_by_key(|step| step.from);
            let unit = better.map_or(*price, |step| step.price);
            Ok((unit, set_up.unwrap_or(Money::zero(shop.currency)), None))
        }
        StockShape::Roll { step, price_per_step, .. } => {
            let steps = (charged_mm / step.mm().max(f64::MIN_POSITIVE)).round().clamp(0.0, 1e9) as i64;
            Ok((price_per_step.times(steps)?, Money::zero(shop.currency), Length::from_mm(charged_mm)))
        }
    }
}

/// The blanks of a line that are not on hand, by supplier; answers with what is on hand.
pub(crate) fn garment_basket(
    shop: &Shop,
    line: &LineDraft<'_>,
    spare: u32,
    (shelf, left): (&Shelf<'_>, &mut Left),
    basket: &mut Basket,
) -> Result<Vec<ShelfTake>, MoneyError> {
    let (false, Some(supplier)) = (line.brought, line.style.supplier) else { return Ok(Vec::new()) };
    let mut taken = Vec::new();
    let most = line.sizes.iter().map(|(_, count)| *count).max().unwrap_or(0);
    let mut spare = spare;
    for (size, count) in &line.sizes {
        let Some(price) = size.price else { continue };
        // A spare is bought in the size there is most of.
        let more = if *count == most { std::mem::take(&mut spare) } else { 0 };
        let needed = count.saturating_add(more);
        let here = shelf.garments(left, (line.garment, &line.colour.name, &size.name), needed);
        let quantity = here.iter().fold(needed, |left, take| left.saturating_sub(take.count));
        taken.extend(here);
        if quantity == 0 {
            continue;
        }
        basket.entry(supplier).or_insert_with(|| Parcel::empty(shop)).items.push(PurchaseItem {
            goods: Goods::Garment {
                order: line.subject.order.unwrap_or(0),
                style: line.garment,
                colour: line.colour.name.clone(),
                size: size.name.clone(),
            },
            quantity,
            unit: price,
            total: price.times(i64::from(quantity))?,
        });
    }
    Ok(taken)
}

/// What a supplier adds to goods of this value.
pub(crate) fn carriage(shop: &Shop, supplier: &Supplier, goods: Money) -> Result<Carriage, MoneyError> {
    let zero = Money::zero(shop.currency);
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

/// Purchases with their last and earliest days; `needed` is the day goods must be there.
pub(crate) fn purchases(
    shop: &Shop,
    basket: Basket,
    today: Date,
    needed: Date,
    findings: &mut Vec<Finding>,
) -> Result<Vec<Purchase>, MoneyError> {
    let mut all = Vec::new();
    for (id, parcel) in basket {
        let supplier = shop.supplier(id);
        let goods = parcel.goods()?;
        let extra = carriage(shop, supplier, goods)?;
        let order_by = calendar::order_by(supplier, needed);
        if order_by.date() < today {
            findings.push(too_late(supplier, order_by));
        }
        all.push(Purchase {
            supplier: id,
            items: parcel.items,
            goods,
            set_up: parcel.set_up,
            top_up: extra.top_up,
            handling: extra.handling,
            freight: extra.freight,
            total: goods.plus(parcel.set_up)?.plus(extra.sum()?)?,
            order_by: Figure::new(order_by, order_reason(supplier, needed)),
            arrives: calendar::arrival(supplier, order_by.date()),
            earliest: calendar::arrival(supplier, today),
        });
    }
    Ok(all)
}

fn too_late(supplier: &Supplier, order_by: DateTime) -> Finding {
    Finding::new(Severity::Warning, codes::ORDER_TOO_LATE, codes::ORDER_TOO_LATE_REMEDY)
        .named("supplier", supplier.name.clone())
        .with("order-by", Value::Moment(order_by))
}

fn order_reason(supplier: &Supplier, needed: Date) -> Reason {
    Reason::new(codes::ORDER_BY)
        .from("supplier", Value::Text(supplier.name.clone()), Origin::Shop)
        .from("needed", Value::Date(needed), Origin::Model)
        .from("production", Value::Count(i64::from(supplier.production_days)), Origin::Shop)
        .from("transit", Value::Count(i64::from(supplier.transit_days)), Origin::Shop)
        .from("cut-off", Value::Text(supplier.cut_off.strftime("%H:%M").to_string()), Origin::Shop)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{Time, date, time};
    use units::Currency;

    fn eur(minor: i64) -> Money {
        Money::new(minor, Currency::new("EUR", 2).expect("a currency"))
    }

    fn supplier(production_days: u16, transit_days: u16) -> Supplier {
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
        assert_eq!(calendar::arrival(&supplier, date(2026, 12, 3)), date(2026, 12, 9));
        assert_eq!(calendar::order_by(&supplier, date(2026, 12, 9)), date(2026, 12, 3).to_datetime(time(14, 0, 0, 0)));
        // A need on Sunday the 13th is met on Friday the 11th.
        assert_eq!(calendar::order_by(&supplier, date(2026, 12, 13)).date(), date(2026, 12, 7));
        // Ordered on a Saturday counts from Monday.
        assert_eq!(calendar::arrival(&supplier, date(2026, 11, 28)), date(2026, 12, 3));
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
