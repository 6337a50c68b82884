//! Where buying more costs less: a break of quantity that lies close, a minimum that is
//! charged anyway, carriage that falls. Nothing is bought so by itself; it is offered.

use super::{Basket, Carriage, Parcel, carriage, film_price};
use crate::blanks::Blanks;
use crate::bulk;
use crate::codes;
use crate::draft::LineDraft;
use crate::result::Pool;
use report::{Figure, Finding, Origin, Reason, Severity, Value};
use std::collections::BTreeMap;
use trade::{GarmentId, Shop, StockId, StockShape, Supplier};
use units::{Length, Money, MoneyError};

/// A larger quantity whose goods cost less.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Larger {
    /// By how much, carriage apart.
    less: Money,
    /// What, how many now and then.
    why: Reason,
}

/// One layout of a stock item: how often it is made, how long it is, its file set.
type Made<'p> = (u32, f64, &'p str);

/// Larger quantities of sheets and film that cost less, to the parcels they come in.
pub(crate) fn stock<'p>(
    shop: &Shop,
    pools: impl IntoIterator<Item = &'p Pool>,
    basket: &mut Basket,
) -> Result<(), MoneyError> {
    let pools: Vec<&Pool> = pools.into_iter().collect();
    let in_all = bulk::bought(shop, pools.iter().copied());
    let mut made: BTreeMap<StockId, Vec<Made<'_>>> = BTreeMap::new();
    for pool in &pools {
        for (first, times) in pool.different_sheets() {
            let Some(sheet) = pool.layout.sheets.get(first) else { continue };
            let Some(entry) = pool.stock.get(sheet.stock).filter(|entry| !entry.on_hand) else { continue };
            let times = u32::try_from(times).unwrap_or(u32::MAX);
            made.entry(entry.item).or_default().push((times, sheet.charged_length_mm, &pool.key));
        }
    }
    for (id, made) in made {
        let Some(parcel) = shop.stock_item(id).supplier.and_then(|supplier| basket.get_mut(&supplier)) else {
            continue;
        };
        let many = in_all.get(&id).copied().unwrap_or(0);
        parcel.larger.extend(of_all(shop, id, &made, many)?);
        for one in &made {
            parcel.larger.extend(of_one_layout(shop, id, *one, many)?);
        }
    }
    Ok(())
}

/// The break of all that is bought of an item together that saves most.
fn of_all(shop: &Shop, id: StockId, made: &[Made<'_>], many: i64) -> Result<Option<Larger>, MoneyError> {
    let item = shop.stock_item(id);
    let total = |many: i64| {
        made.iter().try_fold(Money::zero(shop.currency), |sum, (times, mm, _)| {
            sum.plus(film_price(shop, item, (*times, many), *mm)?.0.times(i64::from(*times))?)
        })
    };
    let now = total(many)?;
    let mut best: Option<Larger> = None;
    for (from, each) in item.shape.by_quantity() {
        let from = i64::from(from);
        if from <= many {
            continue;
        }
        let less = now.minus(total(from)?.plus(each.times(from.saturating_sub(many))?)?)?;
        let amount = |units: i64| match &item.shape {
            StockShape::Sheet { .. } => Value::Count(units),
            StockShape::Roll { step, .. } => Value::Length(Length::from_mm(step.mm() * units as f64).unwrap_or(*step)),
        };
        let why = reason(codes::MORE_CHEAPER, &item.name, amount(many), amount(from));
        best = larger(best, less, || why);
    }
    Ok(best)
}

/// The number of sheets of one layout that saves most.
fn of_one_layout(shop: &Shop, id: StockId, one: Made<'_>, many: i64) -> Result<Option<Larger>, MoneyError> {
    let (times, mm, key) = one;
    let item = shop.stock_item(id);
    let StockShape::Sheet { identical, .. } = &item.shape else { return Ok(None) };
    let now = film_price(shop, item, (times, many), mm)?.0.times(i64::from(times))?;
    let mut best: Option<Larger> = None;
    for step in identical.iter().filter(|step| step.from > times) {
        let extra = i64::from(step.from) - i64::from(times);
        let unit = film_price(shop, item, (step.from, many.saturating_add(extra)), mm)?.0;
        let less = now.minus(unit.times(i64::from(step.from))?)?;
        best = larger(best, less, || {
            let count = |many: u32| Value::Count(i64::from(many));
            reason(codes::MORE_ALIKE, &item.name, count(times), count(step.from)).from(
                "key",
                Value::Text(key.to_owned()),
                Origin::Model,
            )
        });
    }
    Ok(best)
}

/// Larger quantities of blanks that cost less: of each style over all lines that are bought for
/// together; the further ones in the cheapest size.
pub(crate) fn garments(lines: &[(&LineDraft<'_>, &Blanks)], basket: &mut Basket) -> Result<(), MoneyError> {
    let mut by_style: BTreeMap<GarmentId, Vec<(&LineDraft<'_>, &Blanks)>> = BTreeMap::new();
    for of_line in lines.iter().filter(|(line, _)| !line.brought) {
        by_style.entry(of_line.0.garment).or_default().push(*of_line);
    }
    for lines in by_style.into_values() {
        let supplier = lines.first().and_then(|(line, _)| line.style.supplier);
        let Some(parcel) = supplier.and_then(|supplier| basket.get_mut(&supplier)) else { continue };
        parcel.larger.extend(of_style(&lines)?);
    }
    Ok(())
}

/// The break of a style that saves most.
fn of_style(lines: &[(&LineDraft<'_>, &Blanks)]) -> Result<Option<Larger>, MoneyError> {
    let Some((first, _)) = lines.first() else { return Ok(None) };
    let style = first.style;
    let of_line = |(line, blanks): &(&LineDraft<'_>, &Blanks)| {
        let sources = line.sizes.iter().zip(&blanks.sizes);
        let counts =
            sources.filter_map(|((size, _), source)| Some((size.price?, source.usual.saturating_add(source.later))));
        counts.filter(|(_, count)| *count > 0).collect::<Vec<_>>()
    };
    let bought: Vec<(Money, u32)> = lines.iter().flat_map(of_line).collect();
    let many = bought.iter().map(|(_, count)| *count).fold(0, u32::saturating_add);
    let Some(cheapest) = bought.iter().map(|(list, _)| *list).min_by_key(|list| list.minor()) else {
        return Ok(None);
    };
    let price = |list: Money, in_all: u32| trade::break_price(&style.breaks, list, in_all);
    let total = |in_all: u32| {
        bought.iter().try_fold(Money::zero(cheapest.currency()), |sum, (list, count)| {
            sum.plus(price(*list, in_all)?.times(i64::from(*count))?)
        })
    };
    let one_colour = lines.iter().all(|(line, _)| line.colour.name == first.colour.name);
    let name = if one_colour { format!("{}, {}", style.name, first.colour.name) } else { style.name.clone() };
    let now = total(many)?;
    let mut best: Option<Larger> = None;
    for from in style.breaks.iter().map(|step| step.from).filter(|from| *from > many) {
        let extra = price(cheapest, from)?.times(i64::from(from - many))?;
        let less = now.minus(total(from)?.plus(extra)?)?;
        best = larger(best, less, || {
            reason(codes::MORE_CHEAPER, &name, Value::Count(i64::from(many)), Value::Count(i64::from(from)))
        });
    }
    Ok(best)
}

/// The one that saves more; what saves nothing is none.
fn larger(best: Option<Larger>, less: Money, why: impl FnOnce() -> Reason) -> Option<Larger> {
    let saved = best.as_ref().map_or(0, |best| best.less.minor());
    if less.minor() > saved { Some(Larger { less, why: why() }) } else { best }
}

fn reason(rule: report::Code, item: &str, now: Value, more: Value) -> Reason {
    Reason::new(rule).from("item", Value::Text(item.to_owned()), Origin::Shop).from("now", now, Origin::Model).from(
        "more",
        more,
        Origin::Shop,
    )
}

/// What buying more of a supplier would save in all, carriage and minimum counted.
pub(super) fn offered(
    supplier: &Supplier,
    parcel: &Parcel,
    (goods, extra): (Money, Carriage),
) -> Result<Vec<Figure<Money>>, MoneyError> {
    let now = goods.plus(extra.sum()?)?;
    let in_all = |goods: Money| goods.plus(carriage(supplier, goods)?.sum()?);
    let mut all = Vec::new();
    for one in &parcel.larger {
        let saves = now.minus(in_all(goods.minus(one.less)?)?)?;
        if saves.minor() > 0 {
            all.push(Figure::new(saves, one.why.clone().from("saves", Value::Money(saves), Origin::Model)));
        }
    }
    // More goods up to a threshold, whatever they are.
    let freight = &supplier.freight;
    let thresholds = freight.steps.iter().map(|(from, _)| *from).chain(freight.free_from).chain(supplier.minimum);
    let mut best: Option<(Money, Money)> = None;
    for threshold in thresholds.filter(|from| goods.minor() > 0 && from.minor() > goods.minor()) {
        let saves = now.minus(in_all(threshold)?)?;
        // Where as much is saved, more goods are had for it.
        let key = (saves.minor(), threshold.minor());
        if saves.minor() >= 0 && best.is_none_or(|(known, at)| key > (known.minor(), at.minor())) {
            best = Some((saves, threshold));
        }
    }
    if let Some((saves, threshold)) = best {
        let rule = if saves.minor() > 0 { codes::MORE_GOODS } else { codes::MORE_GOODS_FREE };
        let why = Reason::new(rule)
            .from("supplier", Value::Text(supplier.name.clone()), Origin::Shop)
            .from("more", Value::Money(threshold.minus(goods)?), Origin::Model)
            .from("from", Value::Money(threshold), Origin::Shop)
            .from("saves", Value::Money(saves), Origin::Model);
        all.push(Figure::new(saves, why));
    }
    Ok(all)
}

/// The same in words for those who look over what was found.
pub(super) fn found(offered: &[Figure<Money>]) -> impl Iterator<Item = Finding> + '_ {
    offered.iter().filter_map(|figure| figure.why.first()).map(|why| {
        let note = Finding::new(Severity::Note, why.rule, codes::MORE_REMEDY);
        why.inputs.iter().fold(note, |note, input| note.with(input.name, input.value.clone()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use trade::Freight;
    use units::Currency;

    fn eur(minor: i64) -> Money {
        Money::new(minor, Currency::new("EUR", 2).expect("a currency"))
    }

    /// Worked by hand. A minimum of 50.00: goods of 38.00 are charged 12.00 up to it, so that 12.00 more of
    /// goods cost nothing. Freight 9.00, from 100.00 on 5.00, free from 200.00: at 97.00 three more of goods make
    /// 105.00 instead of 106.00, 1.00 less; at 195.00 five more make 200.00 instead of 200.00, nothing; at 90.00
    /// ten more make 105.00 instead of 99.00, and nothing is offered.
    #[test]
    fn thresholds_are_offered_where_they_pay() {
        let freight =
            Freight { steps: vec![(eur(0), eur(900)), (eur(10_000), eur(500))], free_from: Some(eur(20_000)) };
        for (goods, minimum, offer) in [
            (3800, Some(5000), Some((1200, 5000, 0))),
            (9700, None, Some((300, 10_000, 100))),
            (19_500, None, Some((500, 20_000, 0))),
            (9000, None, None),
            (25_000, Some(5000), None),
            (0, Some(5000), None),
        ] {
            let found = threshold(&freight, minimum.map(eur), eur(goods));
            assert_eq!(found.map(|(more, at, saves)| (more.minor(), at.minor(), saves.minor())), offer, "{goods}");
        }
    }

    fn threshold(freight: &Freight, minimum: Option<Money>, goods: Money) -> Option<(Money, Money, Money)> {
        let supplier = Supplier { freight: freight.clone(), minimum, ..super::super::tests::supplier(1, 1) };
        let extra = carriage(&supplier, goods).expect("countable");
        let set_up = eur(0);
        let parcel = Parcel { items: Vec::new(), later: Vec::new(), more_days: 0, set_up, larger: Vec::new() };
        let all = offered(&supplier, &parcel, (goods, extra)).expect("countable");
        let why = all.first()?.why.first()?;
        let value = |name: &str| match why.inputs.iter().find(|input| input.name == name)?.value {
            Value::Money(money) => Some(money),
            _ => None,
        };
        Some((value("more")?, value("from")?, all.first()?.value))
    }
}
