//! What an order really took, against what was quoted: minutes, invoices, sheets, spoiled pieces.

use super::{Deed, DeedError, Kept};
use crate::codes;
use report::{Code, Finding, Severity};
use serde::Deserialize;
use std::collections::BTreeMap;
use store::form::{PressCount, RealCosts};
use store::{Stamp, StoreError};
use units::{Currency, Duration, Money, MoneyError, Rounding};

/// Longest work of one kind that is taken, s: a thousand hours.
const MOST_S: i64 = 3_600_000;
/// Largest invoice that is taken, minor units.
const MOST_MINOR: i64 = 1_000_000_000_000;
/// Most sheets or pieces.
const MOST_COUNT: u32 = 1_000_000;

/// Kinds of cost that are work, by the words people write.
pub const WORK: [(&str, Code); 7] = [
    ("office", plan::codes::COST_OFFICE),
    ("art", plan::codes::COST_ART),
    ("set-up", plan::codes::COST_SET_UP),
    ("trimming", plan::codes::COST_TRIMMING),
    ("weeding", plan::codes::COST_WEEDING),
    ("press", plan::codes::COST_PRESS),
    ("handling", plan::codes::COST_HANDLING),
];

/// Kinds of cost that are bought, by the words people write.
pub const BOUGHT: [(&str, Code); 5] = [
    ("garments", plan::codes::COST_GARMENTS),
    ("test-garment", plan::codes::COST_TEST_GARMENT),
    ("loss", plan::codes::COST_LOSS),
    ("transfers", plan::codes::COST_TRANSFERS),
    ("carriage", plan::codes::COST_CARRIAGE),
];

/// What was quoted and what it really took.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Each kind of cost, in the order of the quote's build-up.
    pub rows: Vec<ComparedCost>,
    /// Sum of what was quoted.
    pub quoted: Money,
    /// Sum of what it took; what nobody wrote down counts as quoted.
    pub real: Money,
    /// Net price that was quoted.
    pub net: Money,
    /// All work as quoted, and as it was, counted likewise.
    pub work: (Duration, Duration),
    /// Share of the price that stays, as quoted and as it was; `None` without a price.
    pub kept: Option<(f64, f64)>,
    /// What an hour of work earns, as quoted and as it was; `None` without work.
    pub earns: (Option<Money>, Option<Money>),
    /// Sheets and lengths, as planned and as used where written down.
    pub sheets: (u32, Option<u32>),
    /// Spoiled pieces: as written down, else as counted at the press.
    pub spoiled: u32,
    /// Kinds of cost that nobody wrote anything down for.
    pub open: Vec<Code>,
    /// What was noted.
    pub note: String,
}

/// One kind of cost.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedCost {
    /// Which.
    pub what: Code,
    /// As quoted, over all lines.
    pub quoted: Money,
    /// Work in it as quoted.
    pub quoted_work: Duration,
    /// As it was; `None` where nobody wrote it down.
    pub real: Option<Money>,
    /// Work in it as it was.
    pub real_work: Option<Duration>,
    /// Real less quoted.
    pub difference: Option<Money>,
}

impl Kept {
    /// Writes down what an order really took, over what was written before; kinds that are not
    /// named stay as they are. A kind written as `None` is open again.
    ///
    /// Refuses kinds nobody knows and amounts out of range.
    pub fn record_costs(&self, id: &str, on: i64, took: &RealCosts, hand: &Stamp) -> Deed<i64> {
        sound(took)?;
        self.change_form(id, on, "real costs written down", hand, |form| {
            let known = form.standing.real.get_or_insert_with(RealCosts::default);
            merge(&mut known.work_s, &took.work_s);
            merge(&mut known.money, &took.money);
            known.sheets = took.sheets.or(known.sheets);
            known.spoiled = took.spoiled.or(known.spoiled);
            if !took.note.is_empty() {
                known.note = words::clean(&took.note).chars().take(500).collect();
            }
            Ok(())
        })
    }

    /// What an order really took against its latest plan's build-up; what was quoted to the
    /// customer outranks the plan's price.
    ///
    /// Refuses an order that was not planned.
    pub fn compare_costs(&self, id: &str) -> Deed<Comparison> {
        let order = self.order_record(id)?;
        let missing = || DeedError::Missing { what: format!("plan of order {id}") };
        let plan = self.plan_of(id)?.ok_or_else(missing)?;
        let at = plan.form.orders.iter().position(|one| one.id == id).ok_or_else(missing)?;
        let file: PlanPart = serde_json::from_slice(&self.plan_file(&plan, "plan.json")?)
            .map_err(|error| StoreError::Damaged { cause: format!("plan of order {id}: {error}") })?;
        let planned = file.orders.get(at).ok_or_else(missing)?;
        let shop = self.shop()?;
        let currency = Currency::new(&file.currency, file.decimals).ok_or_else(missing)?;
        let sent = order.body.standing.quote.as_ref().and_then(|quote| quote.frozen.net);
        let sheets = plan.form.facts.iter().find(|facts| facts.order == id).map_or(0, |facts| facts.sheets);
        let hour = shop.value.rates.labour_per_hour.plus(shop.value.rates.overhead_per_hour);
        let real = order.body.standing.real.clone().unwrap_or_default();
        let all = Weighed {
            planned,
            net: Money::new(sent.unwrap_or(planned.price.net.value), currency),
            hour: hour.map_err(|_| uncountable())?,
            sheets,
            counted: spoiled(&order.body.standing.counts),
        };
        compare(&all, &real).map_err(|_| uncountable().into())
    }
}

/// The parts of a plan file that are compared.
#[derive(Debug, Deserialize)]
struct PlanPart {
    currency: String,
    decimals: u8,
    orders: Vec<OrderPart>,
}

#[derive(Debug, Deserialize)]
struct OrderPart {
    lines: Vec<LinePart>,
    price: PricePart,
}

#[derive(Debug, Deserialize)]
struct PricePart {
    net: Value,
}

#[derive(Debug, Deserialize)]
struct LinePart {
    price: Option<CostsPart>,
}

#[derive(Debug, Deserialize)]
struct CostsPart {
    costs: Vec<CostPart>,
}

#[derive(Debug, Deserialize)]
struct CostPart {
    what: String,
    amount: Value,
    work_s: f64,
}

#[derive(Debug, Deserialize)]
struct Value {
    value: i64,
}

/// What is weighed against what it took.
struct Weighed<'a> {
    planned: &'a OrderPart,
    net: Money,
    /// Labour and overhead of an hour.
    hour: Money,
    sheets: u32,
    /// Spoiled pieces counted at the press.
    counted: u32,
}

fn compare(all: &Weighed<'_>, real: &RealCosts) -> Result<Comparison, MoneyError> {
    let currency = all.net.currency();
    let zero = Money::zero(currency);
    let items = || all.planned.lines.iter().filter_map(|line| line.price.as_ref()).flat_map(|price| &price.costs);
    let mut comparison = Comparison {
        rows: Vec::new(),
        quoted: zero,
        real: zero,
        net: all.net,
        work: (Duration::ZERO, Duration::ZERO),
        kept: None,
        earns: (None, None),
        sheets: (all.sheets, real.sheets),
        spoiled: real.spoiled.unwrap_or(all.counted),
        open: Vec::new(),
        note: real.note.clone(),
    };
    let (mut bought_quoted, mut bought_real) = (zero, zero);
    let kinds = BOUGHT.iter().map(|kind| (kind, false)).chain(WORK.iter().map(|kind| (kind, true)));
    for ((word, what), is_work) in kinds {
        let own = || items().filter(|item| item.what == what.0);
        let minor = own().map(|item| item.amount.value).fold(0, i64::saturating_add);
        let quoted = Money::new(minor, currency);
        let seconds: f64 = own().map(|item| item.work_s).sum();
        let quoted_work = Duration::from_s(seconds).unwrap_or_default();
        let real_s = real.work_s.get(*word).copied().flatten().filter(|_| is_work);
        let real_money = match real_s {
            Some(seconds) => Some(all.hour.scaled(seconds, 3600, Rounding::Up)?),
            None => {
                real.money.get(*word).copied().flatten().filter(|_| !is_work).map(|minor| Money::new(minor, currency))
            }
        };
        if real_money.is_none() && minor == 0 && seconds <= 0.0 {
            continue;
        }
        let real_work = real_s.and_then(|seconds| Duration::from_s(seconds as f64));
        let counted = real_money.unwrap_or(quoted);
        comparison.quoted = comparison.quoted.plus(quoted)?;
        comparison.real = comparison.real.plus(counted)?;
        if is_work {
            comparison.work.0 = comparison.work.0 + quoted_work;
            comparison.work.1 = comparison.work.1 + real_work.unwrap_or(quoted_work);
        } else {
            bought_quoted = bought_quoted.plus(quoted)?;
            bought_real = bought_real.plus(counted)?;
        }
        if real_money.is_none() {
            comparison.open.push(*what);
        }
        let difference = real_money.map(|real| real.minus(quoted)).transpose()?;
        comparison.rows.push(ComparedCost {
            what: *what,
            quoted,
            quoted_work,
            real: real_money,
            real_work,
            difference,
        });
    }
    comparison.kept = (all.net.minor() > 0).then(|| {
        let share = |cost: Money| (all.net.minor() - cost.minor()) as f64 / all.net.minor() as f64;
        (share(comparison.quoted), share(comparison.real))
    });
    let earns = |bought: Money, work: Duration| -> Result<Option<Money>, MoneyError> {
        let seconds = work.s().ceil() as i64;
        let left = all.net.minus(bought)?;
        if seconds > 0 { left.scaled(3600, seconds, Rounding::HalfUp).map(Some) } else { Ok(None) }
    };
    comparison.earns = (earns(bought_quoted, comparison.work.0)?, earns(bought_real, comparison.work.1)?);
    Ok(comparison)
}

fn merge(known: &mut BTreeMap<String, Option<i64>>, new: &BTreeMap<String, Option<i64>>) {
    for (word, value) in new {
        match value {
            Some(value) => known.insert(word.clone(), Some(*value)),
            None => known.remove(word),
        };
    }
}

fn spoiled(counts: &[PressCount]) -> u32 {
    counts.iter().map(PressCount::spoiled).fold(0, u32::saturating_add)
}

/// Kinds are known, numbers within what an order can take.
fn sound(took: &RealCosts) -> Result<(), Finding> {
    let known = |list: &[(&str, Code)], given: &BTreeMap<String, Option<i64>>, most: i64| {
        for (word, value) in given {
            if !list.iter().any(|(known, _)| known == word) {
                let words: Vec<String> = list.iter().map(|(known, _)| (*known).to_owned()).collect();
                return Err(stop(codes::COST_UNKNOWN, codes::COST_UNKNOWN_REMEDY)
                    .named("what", words::clean(word))
                    .named("known", words.join(", ")));
            }
            if value.is_some_and(|value| !(0..=most).contains(&value)) {
                return Err(stop(codes::COST_RANGE, codes::COST_RANGE_REMEDY).named("what", word.as_str()));
            }
        }
        Ok(())
    };
    known(&WORK, &took.work_s, MOST_S)?;
    known(&BOUGHT, &took.money, MOST_MINOR)?;
    for (what, count) in [("sheets", took.sheets), ("spoiled", took.spoiled)] {
        if count.is_some_and(|count| count > MOST_COUNT) {
            return Err(stop(codes::COST_RANGE, codes::COST_RANGE_REMEDY).named("what", what));
        }
    }
    Ok(())
}

fn stop(code: Code, remedy: Code) -> Finding {
    Finding::new(Severity::StopsLine, code, remedy)
}

fn uncountable() -> Finding {
    stop(plan::codes::SUM_TOO_LARGE, plan::codes::SUM_TOO_LARGE_REMEDY).named("reason", "")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn eur(minor: i64) -> Money {
        Money::new(minor, Currency::new("EUR", 2).expect("a currency"))
    }

    fn cost(what: Code, value: i64, work_s: f64) -> CostPart {
        CostPart { what: what.0.to_owned(), amount: Value { value }, work_s }
    }

    /// By hand: quoted garments 24.00, transfers 12.00, an hour at the press for 39.00: 75.00 of a
    /// price of 150.00, so half stays and an hour earns 150 − 36 = 114.00. It took 13.50 of
    /// transfers and 90 min (58.50): 96.00, so 36 % stays, and an hour earns (150 − 37.50) ÷ 1.5 = 75.00.
    #[test]
    fn the_comparison_adds_up() {
        let planned = OrderPart {
            lines: vec![
                LinePart {
                    price: Some(CostsPart {
                        costs: vec![
                            cost(plan::codes::COST_GARMENTS, 1400, 0.0),
                            cost(plan::codes::COST_TRANSFERS, 1200, 0.0),
                            cost(plan::codes::COST_PRESS, 3900, 3600.0),
                        ],
                    }),
                },
                LinePart { price: None },
                LinePart { price: Some(CostsPart { costs: vec![cost(plan::codes::COST_GARMENTS, 1000, 0.0)] }) },
            ],
            price: PricePart { net: Value { value: 15_000 } },
        };
        let all = Weighed { planned: &planned, net: eur(15_000), hour: eur(3900), sheets: 2, counted: 1 };
        let real = RealCosts {
            work_s: BTreeMap::from([("press".to_owned(), Some(5400))]),
            money: BTreeMap::from([("transfers".to_owned(), Some(1350))]),
            sheets: Some(3),
            ..RealCosts::default()
        };
        let found = compare(&all, &real).expect("countable");
        assert_eq!((found.quoted, found.real), (eur(7500), eur(9600)));
        assert_eq!(found.kept, Some((0.5, 0.36)));
        assert_eq!(found.earns, (Some(eur(11_400)), Some(eur(7500))));
        assert_eq!((found.sheets, found.spoiled), ((2, Some(3)), 1));
        assert_eq!(found.open, [plan::codes::COST_GARMENTS]);
        let differences: Vec<Option<i64>> =
            found.rows.iter().map(|row| row.difference.map(|money| money.minor())).collect();
        assert_eq!(differences, [None, Some(150), Some(1950)]);
        let nothing = compare(&all, &RealCosts::default()).expect("countable");
        assert_eq!(nothing.quoted, nothing.real, "what nobody wrote down counts as quoted");
    }

    #[test]
    fn strange_kinds_and_amounts_are_refused() {
        let work =
            |word: &str, s| RealCosts { work_s: BTreeMap::from([(word.to_owned(), Some(s))]), ..RealCosts::default() };
        for (took, code) in [
            (work("garments", 60), codes::COST_UNKNOWN),
            (work("press", -1), codes::COST_RANGE),
            (work("press", i64::MAX), codes::COST_RANGE),
            (RealCosts { sheets: Some(u32::MAX), ..RealCosts::default() }, codes::COST_RANGE),
        ] {
            assert_eq!(sound(&took).expect_err("refused").code, code);
        }
        assert_eq!(sound(&work("press", 0)), Ok(()));
    }
}
