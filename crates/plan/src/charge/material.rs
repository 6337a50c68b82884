//! Who pays for what of shared sheets, film, cutting apart and carriage.

use super::Bench;
use crate::draft::LineDraft;
use crate::layout;
use crate::price::Material;
use crate::result::{Goods, Plan, Pool, PoolDesign};
use std::collections::BTreeMap;
use trade::{Shop, SupplierId};
use units::{Money, MoneyError};

/// An order and a line of it.
pub(crate) type LineAt = (usize, usize);

/// A supplier's parcel: the supplier, and the number of the orders it is for.
pub(super) type ParcelOf = (SupplierId, usize);

/// The shares of lines in what they use together.
pub(super) struct Shares<'a> {
    shop: &'a Shop,
    lines: BTreeMap<LineAt, Material>,
    /// Which orders are bought for together: those of the same number.
    windows: &'a [usize],
    /// What each line takes of the goods of each parcel, for sharing its carriage.
    taken: BTreeMap<ParcelOf, BTreeMap<LineAt, i64>>,
}

impl<'a> Shares<'a> {
    pub fn new(shop: &'a Shop, windows: &'a [usize]) -> Self {
        Self { shop, lines: BTreeMap::new(), windows, taken: BTreeMap::new() }
    }

    fn window(&self, order: usize) -> usize {
        self.windows.get(order).copied().unwrap_or(0)
    }

    /// Sheets and film by grown area, and cutting them apart likewise.
    pub fn add_pools<'p>(&mut self, pools: impl IntoIterator<Item = &'p Pool>) -> Result<(), MoneyError> {
        for pool in pools {
            let weights = layout::grown_shares(pool);
            let (film, seconds) = film_and_trimming(pool)?;
            let supplier = supplier_of(self.shop, pool);
            let parts = split(film, &weights)?.into_iter().zip(split_count(seconds, &weights));
            for (design, (part, seconds)) in pool.designs.iter().flat_map(PoolDesign::uses).zip(parts) {
                let line = (design.order, design.line);
                let share = self.line(line);
                share.transfers = share.transfers.plus(part)?;
                share.trimming_s = share.trimming_s.saturating_add(seconds);
                if let Some(supplier) = supplier {
                    self.add_goods(supplier, line, part);
                }
            }
        }
        Ok(())
    }

    /// Goods of a supplier that are for one line.
    pub fn add_goods(&mut self, supplier: SupplierId, line: LineAt, value: Money) {
        let parcel = (supplier, self.window(line.0));
        let sum = self.taken.entry(parcel).or_default().entry(line).or_default();
        *sum = sum.saturating_add(value.minor());
    }

    /// Carriage and what else a supplier adds to a parcel, by value of the goods, on the lines it is for;
    /// on all of them where it is for none.
    pub fn add_carriage(
        &mut self,
        parcel: ParcelOf,
        extra: Money,
        for_line: impl Fn(LineAt) -> bool,
    ) -> Result<(), MoneyError> {
        let Some(lines) = self.taken.get(&parcel) else { return Ok(()) };
        let any = lines.keys().any(|line| for_line(*line));
        let (lines, weights): (Vec<LineAt>, Vec<i64>) = lines
            .iter()
            .filter(|(line, _)| !any || for_line(**line))
            .map(|(line, value)| (*line, (*value).max(1)))
            .unzip();
        for (line, part) in lines.into_iter().zip(split(extra, &weights)?) {
            let share = self.line(line);
            share.carriage = share.carriage.plus(part)?;
        }
        Ok(())
    }

    pub fn done(self) -> BTreeMap<LineAt, Material> {
        self.lines
    }

    fn line(&mut self, line: LineAt) -> &mut Material {
        let zero = Money::zero(self.shop.currency);
        self.lines.entry(line).or_insert(Material { transfers: zero, trimming_s: 0, carriage: zero })
    }
}

/// Each line's share in the plan's own sheets and purchases.
pub(super) fn of_plan(bench: &Bench<'_>, plan: &Plan) -> Result<BTreeMap<LineAt, Material>, MoneyError> {
    let mut shares = Shares::new(bench.shop, bench.windows);
    shares.add_pools(&plan.pools)?;
    for (line, draft) in numbered(bench.drafts) {
        for purchase in &plan.purchases {
            for item in purchase.items.iter().filter(|item| is_blank_of(&item.goods, line.0, draft)) {
                shares.add_goods(purchase.supplier, line, item.total);
            }
        }
    }
    for purchase in &plan.purchases {
        let order = purchase.items.first().and_then(|item| order_of(&item.goods, plan)).unwrap_or(0);
        let parcel = (purchase.supplier, shares.window(order));
        let usual = purchase.top_up.plus(purchase.handling)?.plus(purchase.freight)?;
        shares.add_carriage(parcel, usual, |_| true)?;
        if let Some(second) = purchase.second {
            let late: Vec<&Goods> = purchase.items.iter().filter(|item| item.second).map(|item| &item.goods).collect();
            let waits = |at: LineAt| {
                let draft = bench.drafts[at.0][at.1].as_ref();
                draft.is_some_and(|draft| late.iter().any(|goods| is_blank_of(goods, at.0, draft)))
            };
            shares.add_carriage(parcel, second.freight, waits)?;
        }
        if let Some(rush) = purchase.rush.filter(|rush| rush.taken) {
            let rushed = |at: LineAt| bench.orders.get(at.0).is_some_and(|order| order.rush);
            shares.add_carriage(parcel, rush.price, rushed)?;
        }
    }
    Ok(shares.done())
}

/// An order that goods are for.
fn order_of(goods: &Goods, plan: &Plan) -> Option<usize> {
    match goods {
        Goods::Garment { order, .. } => Some(*order),
        Goods::Stock { pool, .. } => plan.pools.get(*pool)?.designs.first().map(|design| design.order),
    }
}

/// What pools cost to buy, and the seconds of cutting them apart by hand.
pub(super) fn of_pools<'p>(shop: &Shop, pools: impl IntoIterator<Item = &'p Pool>) -> Result<(Money, i64), MoneyError> {
    let mut sums = (Money::zero(shop.currency), 0_i64);
    for pool in pools {
        let (film, seconds) = film_and_trimming(pool)?;
        sums = (sums.0.plus(film)?, sums.1.saturating_add(seconds));
    }
    Ok(sums)
}

/// The packing engine weighs film against scissors, so its cost holds both; here
/// they part again: film is bought, cutting apart is the shop's own work.
fn film_and_trimming(pool: &Pool) -> Result<(Money, i64), MoneyError> {
    let trimmings = pool.layout.sheets.iter().map(|sheet| nest::trimming(&pool.instance, sheet));
    let (cost, seconds) =
        trimmings.fold((0_i64, 0.0), |sum, one| (sum.0.saturating_add(one.cost), sum.1 + one.seconds));
    let all = pool.cost.value;
    Ok((
        all.minus(Money::new(cost, all.currency()))?,
        super::whole(units::Duration::from_s(seconds).unwrap_or_default()),
    ))
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
fn split(amount: Money, weights: &[i64]) -> Result<Vec<Money>, MoneyError> {
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

/// A count shared by weights, as [`split`] shares amounts.
fn split_count(count: i64, weights: &[i64]) -> Vec<i64> {
    let all: i128 = weights.iter().map(|weight| i128::from((*weight).max(0))).sum();
    if all == 0 {
        return weights.iter().map(|_| 0).collect();
    }
    let mut before = 0_i128;
    let upto = |sum: i128| i64::try_from(i128::from(count) * sum / all).unwrap_or(i64::MAX);
    let part = |weight: &i64| {
        let from = upto(before);
        before += i128::from((*weight).max(0));
        upto(before).saturating_sub(from)
    };
    weights.iter().map(part).collect()
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
        assert_eq!(split_count(1000, &[1, 1, 1]).iter().sum::<i64>(), 1000);
        assert_eq!(split_count(7, &[0, 0]), [0, 0]);
    }
}
