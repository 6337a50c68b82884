//! What to buy from whom, what carriage adds, and by when to order.

use crate::draft::LineDraft;
use crate::result::{Goods, Pool, Purchase, PurchaseItem};
use crate::{calendar, codes};
use jiff::civil::{Date, DateTime};
use nest::StockKind;
use report::{Figure, Finding, Origin, Reason, Severity, Value};
use std::collections::BTreeMap;
use trade::{Freight, Shop, Supplier, SupplierId};
use units::{Length, Money, MoneyError};

/// Goods of one supplier with their sum.
pub(crate) type Basket = BTreeMap<SupplierId, Vec<PurchaseItem>>;

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

/// The stock that layouts use up, by supplier.
pub(crate) fn stock_basket(shop: &Shop, pools: &[Pool], basket: &mut Basket) -> Result<(), MoneyError> {
    for (at, pool) in pools.iter().enumerate() {
        let mut counted: BTreeMap<(usize, i64, i64), u32> = BTreeMap::new();
        for sheet in &pool.layout.sheets {
            // Hundredths of a millimetre tell charged lengths apart.
            let length = (sheet.charged_length_mm * 100.0).round() as i64;
            *counted.entry((sheet.stock, length, sheet.price)).or_default() += 1;
        }
        for ((stock, length, price), quantity) in counted {
            let Some(entry) = pool.stock.get(stock).filter(|entry| !entry.on_hand) else { continue };
            let item = shop.stock_item(entry.item);
            let Some(supplier) = item.supplier else { continue };
            let is_roll = matches!(pool.instance.stock.get(stock).map(|s| s.kind), Some(StockKind::Roll { .. }));
            let unit = Money::new(price, shop.currency);
            basket.entry(supplier).or_default().push(PurchaseItem {
                goods: Goods::Stock {
                    item: entry.item,
                    colour: pool.colour.clone(),
                    length: if is_roll { Length::from_mm(length as f64 / 100.0) } else { None },
                    pool: at,
                },
                quantity,
                unit,
                total: unit.times(i64::from(quantity))?,
            });
        }
    }
    Ok(())
}

/// The blanks of a line, by supplier.
pub(crate) fn garment_basket(line: &LineDraft<'_>, spare: u32, basket: &mut Basket) -> Result<(), MoneyError> {
    let (false, Some(supplier)) = (line.brought, line.style.supplier) else { return Ok(()) };
    let most = line.sizes.iter().map(|(_, count)| *count).max().unwrap_or(0);
    let mut spare = spare;
    for (size, count) in &line.sizes {
        let Some(price) = size.price else { continue };
        // A spare is bought in the size there is most of.
        let more = if *count == most { std::mem::take(&mut spare) } else { 0 };
        let quantity = count.saturating_add(more);
        basket.entry(supplier).or_default().push(PurchaseItem {
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
    Ok(())
}

/// Sum of a basket's items of one supplier.
pub(crate) fn goods_value(shop: &Shop, items: &[PurchaseItem]) -> Result<Money, MoneyError> {
    items.iter().try_fold(Money::zero(shop.currency), |sum, item| sum.plus(item.total))
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
    for (id, items) in basket {
        let supplier = shop.supplier(id);
        let goods = goods_value(shop, &items)?;
        let extra = carriage(shop, supplier, goods)?;
        let order_by = calendar::order_by(supplier, needed);
        if order_by.date() < today {
            findings.push(too_late(supplier, order_by));
        }
        all.push(Purchase {
            supplier: id,
            items,
            goods,
            top_up: extra.top_up,
            handling: extra.handling,
            freight: extra.freight,
            total: goods.plus(extra.sum()?)?,
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
