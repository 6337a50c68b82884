//! What a line costs and what is charged for it.
//!
//! Amounts are exact until one rounding each: every cost item is rounded up to
//! a minor unit once, the unit price once more to the shop's price step.

use crate::codes;
use crate::result::{CostItem, LinePrice, Rung};
use rayon::prelude::*;
use report::{Code, Figure, Origin, Reason, Value};
use trade::{GarmentBreak, LadderStep, Payer, Pricing, Rates, Spoilage};
use units::{Currency, Duration, Money, MoneyError, Rounding, Share};

/// What one line needs, independent of how many are made.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LineBasis {
    /// Prices of the blanks; `None` when the customer brings them.
    pub blanks: Option<BlankPrices>,
    /// Work once: art, s.
    pub art_s: i64,
    /// Work once: test pieces and set-ups, s.
    pub set_up_s: i64,
    /// Of it, the test pieces, with what they are made on and who pays.
    pub test: TestCost,
    /// Work once: the line's share of office work, s.
    pub office_s: i64,
    /// Weeding per piece, s.
    pub weeding_s: i64,
    /// At the press per piece, s.
    pub press_s: i64,
    /// Counting in and packing per piece, s.
    pub handling_s: i64,
}

/// What the blanks of a line cost: list price and count by size, and what comes off for quantity.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct BlankPrices {
    pub list: Vec<(Money, u32)>,
    pub breaks: Vec<GarmentBreak>,
    /// How many more of the style are bought with the line's own pieces.
    pub beside: u32,
}

impl BlankPrices {
    /// What so many cost, the sizes in the same proportions.
    pub fn at(&self, pieces: u32, zero: Money) -> Result<Money, MoneyError> {
        let mut sum = zero;
        let many = pieces.saturating_add(self.beside);
        for (list, count) in &self.list {
            sum = sum.plus(trade::break_price(&self.breaks, *list, many)?.times(i64::from(*count))?)?;
        }
        let ordered = self.list.iter().map(|(_, count)| *count).fold(0, u32::saturating_add);
        sum.scaled(i64::from(pieces), i64::from(ordered.max(1)), Rounding::Up)
    }
}

impl LineBasis {
    /// The line made alone: all office work is its own, and nothing is bought with it.
    pub fn alone(&self, office_s: i64) -> Self {
        let blanks = self.blanks.clone().map(|blanks| BlankPrices { beside: 0, ..blanks });
        Self { office_s, blanks, ..self.clone() }
    }
}

/// What the test pieces of a line take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct TestCost {
    /// Work, part of the set-up, s.
    pub work_s: i64,
    /// The list price of the blank it is made on, where it is made on one that is bought.
    pub blank: Option<Money>,
    /// Who pays for both.
    pub paid_by: Payer,
}

impl TestCost {
    /// What of a line's cost the shop bears itself.
    pub fn borne(&self, rates: &Rates) -> Result<Money, MoneyError> {
        let work = work(codes::COST_SET_UP, self.work_s, rates)?.amount.value;
        match self.paid_by {
            Payer::Customer => Ok(Money::zero(work.currency())),
            Payer::Shop => self.blank.map_or(Ok(work), |blank| work.plus(blank)),
        }
    }
}

/// Sheets, film and carriage of one line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Material {
    /// The line's share of sheets and film.
    pub transfers: Money,
    /// Its share of cutting sheets apart by hand, s.
    pub trimming_s: i64,
    /// Its share of carriage, handling and minimums.
    pub carriage: Money,
}

/// The costs of `pieces` pieces, built up; `spared` are made more of each transfer.
pub(crate) fn costs(
    basis: &LineBasis,
    pieces: u32,
    material: Material,
    rates: &Rates,
    spoilage: &Spoilage,
) -> Result<Vec<CostItem>, MoneyError> {
    let many = i64::from(pieces);
    let mut items = Vec::new();
    if let Some(blanks) = &basis.blanks {
        let amount = blanks.at(pieces, Money::zero(material.transfers.currency()))?;
        items.push(bought(codes::COST_GARMENTS, codes::COST_GOODS, amount, many));
        // A lost blank is bought again: its chance times its price.
        let loss = amount.share(spoilage.garment_loss.value, Rounding::Up)?;
        items.push(expected_loss(loss, spoilage));
    }
    if let Some(blank) = basis.test.blank {
        items.push(bought(codes::COST_TEST_GARMENT, codes::COST_GOODS, blank, 1));
    }
    items.push(bought(codes::COST_TRANSFERS, codes::COST_SHARE, material.transfers, many));
    items.push(bought(codes::COST_CARRIAGE, codes::COST_SHARE, material.carriage, many));
    let spoiled = spoilage.garment_loss.value;
    for (what, seconds) in [
        (codes::COST_OFFICE, basis.office_s),
        (codes::COST_ART, basis.art_s),
        (codes::COST_SET_UP, basis.set_up_s),
        (codes::COST_TRIMMING, material.trimming_s),
        (codes::COST_WEEDING, started(basis.weeding_s.saturating_mul(many), spoiled)),
        (codes::COST_PRESS, started(basis.press_s.saturating_mul(many), spoiled)),
        (codes::COST_HANDLING, basis.handling_s.saturating_mul(many)),
    ] {
        items.push(work(what, seconds, rates)?);
    }
    items.retain(|item| item.amount.value.minor() != 0 || item.work.s() > 0.0);
    Ok(items)
}

/// The unit price that leaves the shop's margin: cost ÷ pieces ÷ (1 − margin),
/// rounded up to the price step once.
pub(crate) fn unit_price(cost: Money, pieces: u32, pricing: &Pricing) -> Result<Money, MoneyError> {
    // A margin of the whole price or more leaves nothing to divide by.
    let kept = Some(1_000_000 - pricing.margin.ppm()).filter(|kept| *kept > 0).ok_or(MoneyError::TooLarge)?;
    let pieces = i64::from(pieces.max(1));
    let divisor = kept.checked_mul(pieces).ok_or(MoneyError::TooLarge)?;
    cost.scaled(1_000_000, divisor, Rounding::Up)?.up_to_step(pricing.price_step)
}

/// The unit price as a figure that says how it came about; `borne` of the cost is the shop's own.
pub(crate) fn unit_figure(
    cost: Money,
    borne: Money,
    pieces: u32,
    pricing: &Pricing,
) -> Result<Figure<Money>, MoneyError> {
    let unit = unit_price(cost.minus(borne)?, pieces, pricing)?;
    let mut reason = Reason::new(if borne.minor() == 0 { codes::UNIT_PRICE } else { codes::UNIT_PRICE_BORNE })
        .from("cost", Value::Money(cost), Origin::Model)
        .from("pieces", Value::Count(i64::from(pieces)), Origin::Person)
        .from("margin", Value::Share(pricing.margin.fraction()), Origin::Shop)
        .from("step", Value::Money(Money::new(pricing.price_step, cost.currency())), Origin::Shop)
        .changed_by(codes::CHANGE_QUANTITY)
        .changed_by(codes::CHANGE_PRICE);
    if borne.minor() != 0 {
        reason = reason.from("borne", Value::Money(borne), Origin::Shop);
    }
    Ok(Figure::new(unit, reason))
}

/// Prices at the ladder's quantities; `cost_at` gives the cost of so many pieces, of which `borne` is the shop's own.
pub(crate) fn ladder(
    pricing: &Pricing,
    borne: Money,
    cost_at: impl Fn(u32) -> Option<Money> + Sync,
) -> Result<Vec<Rung>, MoneyError> {
    let rung = |step: &LadderStep| {
        let cost = cost_at(step.from)?;
        let charged = cost.minus(borne);
        let priced = charged.and_then(|charged| unit_price(charged, step.from, pricing)).and_then(|unit| {
            let total = unit.times(i64::from(step.from))?;
            Ok(Rung { pieces: step.from, cost, unit, total, cheaper_than: None })
        });
        Some(priced)
    };
    let mut rungs = pricing.ladder.par_iter().filter_map(rung).collect::<Result<Vec<Rung>, MoneyError>>()?;
    mark_falling(&mut rungs)?;
    Ok(rungs)
}

/// A rung whose total is below that of a smaller quantity at the rung before
/// says from which quantity on: 23 × 20.40 is more than 24 × 18.40.
fn mark_falling(rungs: &mut [Rung]) -> Result<(), MoneyError> {
    for at in 1..rungs.len() {
        let (before, here) = (rungs[at - 1].clone(), &mut rungs[at]);
        // The least n with n × unit(before) > total(here).
        let Some(unit) = std::num::NonZeroI64::new(before.unit.minor()) else { continue };
        let over = here.total.minor().div_euclid(unit.get()).checked_add(1).ok_or(MoneyError::TooLarge)?;
        let over = u32::try_from(over).unwrap_or(u32::MAX).max(before.pieces);
        here.cheaper_than = (over < here.pieces).then_some(over);
    }
    Ok(())
}

/// A line's price at its own quantity; with the declared value of a garment that the customer brought,
/// and what of the cost the shop bears.
pub(crate) fn line_price(
    pieces: u32,
    costs: Vec<CostItem>,
    (declared, borne): (Option<Money>, Money),
    pricing: &Pricing,
    ladder: Vec<Rung>,
) -> Result<LinePrice, MoneyError> {
    let cost = sum(costs.iter().map(|item| item.amount.value), pricing_zero(&costs, &ladder))?;
    let unit = unit_figure(cost, borne, pieces, pricing)?;
    let total = unit.value.times(i64::from(pieces))?;
    let not_below = not_below(pieces, &costs, unit.value)?;
    let spoiled = spoiled(pieces, &costs, cost.currency(), declared)?;
    Ok(LinePrice {
        pieces,
        costs,
        cost,
        borne,
        unit,
        total,
        not_below,
        spoiled,
        ladder,
        break_even: None,
        landed: Vec::new(),
    })
}

/// Costs that come once, however many pieces are made.
const ONCE: [Code; 5] =
    [codes::COST_OFFICE, codes::COST_ART, codes::COST_SET_UP, codes::COST_TEST_GARMENT, codes::COST_CARRIAGE];

/// Costs that a spoiled piece makes once more.
const AGAIN: [Code; 5] =
    [codes::COST_GARMENTS, codes::COST_TRANSFERS, codes::COST_TRIMMING, codes::COST_WEEDING, codes::COST_PRESS];

/// The fewest pieces that bring back their cost at a unit price: what comes once
/// is divided by what each piece leaves. `None` where a piece leaves nothing.
fn not_below(pieces: u32, costs: &[CostItem], unit: Money) -> Result<Option<Figure<u32>>, MoneyError> {
    let zero = Money::zero(unit.currency());
    let of = |once: bool| {
        let amounts = costs.iter().filter(|item| ONCE.contains(&item.what) == once).map(|item| item.amount.value);
        sum(amounts, Some(zero))
    };
    let (once, each) = (of(true)?, of(false)?);
    let many = i128::from(pieces.max(1));
    let left = i128::from(unit.minor()) * many - i128::from(each.minor());
    if left <= 0 {
        return Ok(None);
    }
    let fewest = (i128::from(once.minor()) * many + left - 1) / left;
    let reason = Reason::new(codes::NOT_BELOW)
        .from("once", Value::Money(once), Origin::Model)
        .from(
            "left",
            Value::Money(Money::new(i64::try_from(left / many).unwrap_or(i64::MAX), unit.currency())),
            Origin::Model,
        )
        .from("unit", Value::Money(unit), Origin::Model);
    Ok(u32::try_from(fewest.max(1)).ok().map(|fewest| Figure::new(fewest, reason)))
}

/// What one spoiled piece costs: garment, transfers and work once more, and the
/// declared value of a garment that the customer brought.
fn spoiled(
    pieces: u32,
    costs: &[CostItem],
    currency: Currency,
    declared: Option<Money>,
) -> Result<Figure<Money>, MoneyError> {
    let again = costs.iter().filter(|item| AGAIN.contains(&item.what)).map(|item| item.amount.value);
    let again = sum(again, Some(Money::zero(currency)))?.scaled(1, i64::from(pieces.max(1)), Rounding::Up)?;
    let mut reason = Reason::new(codes::SPOILED_PIECE).from("again", Value::Money(again), Origin::Model);
    let mut all = again;
    if let Some(declared) = declared {
        reason = reason.from("declared-value", Value::Money(declared), Origin::Person);
        all = all.plus(declared)?;
    }
    Ok(Figure::new(all, reason))
}

/// The sum of amounts, from `zero`.
pub(crate) fn sum(amounts: impl IntoIterator<Item = Money>, zero: Option<Money>) -> Result<Money, MoneyError> {
    let mut amounts = amounts.into_iter();
    let start = zero.or_else(|| amounts.next()).ok_or(MoneyError::TooLarge)?;
    amounts.try_fold(start, Money::plus)
}

/// `seconds` of work at labour and overhead rates, rounded up once.
pub(crate) fn work(what: Code, seconds: i64, rates: &Rates) -> Result<CostItem, MoneyError> {
    let hour = rates.labour_per_hour.plus(rates.overhead_per_hour)?;
    let amount = hour.scaled(seconds, 3600, Rounding::Up)?;
    let span = Duration::from_s(seconds as f64).unwrap_or_default();
    let reason = Reason::new(codes::COST_WORK)
        .from("work", Value::Duration(span), Origin::Shop)
        .from("labour", Value::Money(rates.labour_per_hour), Origin::Shop)
        .from("overhead", Value::Money(rates.overhead_per_hour), Origin::Shop);
    Ok(CostItem { what, amount: Figure::new(amount, reason), work: span })
}

fn bought(what: Code, rule: Code, amount: Money, pieces: i64) -> CostItem {
    let reason = Reason::new(rule).from("amount", Value::Money(amount), Origin::Shop).from(
        "pieces",
        Value::Count(pieces),
        Origin::Person,
    );
    CostItem { what, amount: Figure::new(amount, reason), work: Duration::ZERO }
}

fn expected_loss(amount: Money, spoilage: &Spoilage) -> CostItem {
    let reason = Reason::new(codes::COST_LOSS).from(
        "share",
        Value::Share(spoilage.garment_loss.value.fraction()),
        spoilage.garment_loss.origin,
    );
    CostItem { what: codes::COST_LOSS, amount: Figure::new(amount, reason), work: Duration::ZERO }
}

/// Work on pieces that are started: spoiled ones are done twice.
pub(crate) fn started(seconds: i64, spoiled: Share) -> i64 {
    let more = i128::from(seconds) * i128::from(spoiled.ppm()) / 1_000_000;
    seconds.saturating_add(i64::try_from(more).unwrap_or(i64::MAX))
}

fn pricing_zero(costs: &[CostItem], ladder: &[Rung]) -> Option<Money> {
    let currency = costs.first().map(|c| c.amount.value.currency()).or(ladder.first().map(|r| r.cost.currency()))?;
    Some(Money::zero(currency))
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::Currency;

    fn eur(minor: i64) -> Money {
        Money::new(minor, Currency::new("EUR", 2).expect("a currency"))
    }

    fn pricing(margin_ppm: i64, ladder: &[u32]) -> Pricing {
        Pricing {
            margin: Share::from_ppm(margin_ppm).expect("a share"),
            price_step: 5,
            minimum_charge: None,
            deposit: Share::ZERO,
            valid_days: 30,
            ladder: ladder.iter().map(|from| LadderStep { from: *from }).collect(),
            test_piece: trade::defaults::test_piece(),
            rush: Share::ZERO,
            terms: Vec::new(),
        }
    }

    /// Worked by hand: garment 4.20 and transfers 2.25 a piece started, set-up
    /// 30 min, 4.2 min a piece started, labour 24 and overhead 12 an hour,
    /// margin 45 %, unit rounded up to 0.05. Arithmetic, each figure recomputed:
    /// 12 pieces start 13: 13 × 6.45 = 83.85; 84.6 min at 24.00 an hour = 33.84, at
    /// 12.00 = 16.92; cost 134.61; ÷ 12 = 11.2175; ÷ 0.55 = 20.395… → 20.40. With 45 % as
    /// mark-up it would be 11.2175 × 1.45 = 16.265….
    #[test]
    fn worked_example_of_margin_and_rounding() {
        let pricing = pricing(450_000, &[]);
        let rates = Rates { labour_per_hour: eur(2400), overhead_per_hour: eur(1200) };
        for (pieces, start, figures, unit, total, marked_up) in [
            (6, 7, [4515, 3564, 2376, 1188, 8079, 1347], 2450, 14_700, 1952),
            (12, 13, [8385, 5076, 3384, 1692, 13_461, 1122], 2040, 24_480, 1627),
            (24, 25, [16_125, 8100, 5400, 2700, 24_225, 1009], 1840, 44_160, 1464),
            (48, 50, [32_250, 14_400, 9600, 4800, 46_650, 972], 1770, 84_960, 1409),
            (96, 99, [63_855, 26_748, 17_832, 8916, 90_603, 944], 1720, 165_120, 1368),
        ] {
            let [material, both, labour, overhead, cost, each] = figures.map(eur);
            // 3 % spoiled: so many are started that the good ones suffice.
            assert_eq!((f64::from(pieces) / 0.97).ceil() as i64, start, "{pieces}");
            assert_eq!(eur(420 + 225).times(start), Ok(material), "{pieces}");
            let seconds = 30 * 60 + 252 * start;
            let paid = |hour: Money| hour.scaled(seconds, 3600, Rounding::Up);
            assert_eq!((paid(rates.labour_per_hour), paid(rates.overhead_per_hour)), (Ok(labour), Ok(overhead)));
            assert_eq!(work(codes::COST_WORK, seconds, &rates).map(|item| item.amount.value), Ok(both), "{pieces}");
            let sum = material.plus(both).expect("countable");
            assert_eq!(sum, cost, "{pieces}");
            assert_eq!(sum.scaled(1, i64::from(pieces), Rounding::HalfUp), Ok(each), "{pieces}");
            let price = unit_price(sum, pieces, &pricing).expect("countable");
            assert_eq!(price, eur(unit), "{pieces}");
            assert_eq!(price.times(i64::from(pieces)), Ok(eur(total)), "{pieces}");
            assert_eq!(sum.scaled(145, 100 * i64::from(pieces), Rounding::HalfUp), Ok(eur(marked_up)), "{pieces}");
        }
    }

    /// 24 blanks of 3.10 and 12 of 3.60 with 5 % off from 24 on, the amount taken off rounded
    /// half up: 3.10 − 0.16 = 2.94 and 3.60 − 0.18 = 3.42 each for 36; at 12 the list holds: (24 × 3.10 + 12 × 3.60) ÷ 3 = 39.20.
    #[test]
    fn blanks_cost_less_from_their_break_on() {
        let off = Share::from_ppm(50_000).expect("a share");
        let blanks = BlankPrices {
            list: vec![(eur(310), 24), (eur(360), 12)],
            breaks: vec![GarmentBreak { from: 24, off }],
            beside: 0,
        };
        assert_eq!(blanks.at(12, eur(0)), Ok(eur(3920)));
        assert_eq!(blanks.at(36, eur(0)), Ok(eur(24 * 294 + 12 * 342)));
        // Twelve more bought for another line: (24 × 2.94 + 12 × 3.42) ÷ 3 = 37.20.
        let with_others = BlankPrices { beside: 12, ..blanks };
        assert_eq!(with_others.at(12, eur(0)), Ok(eur(3720)));
    }

    /// Arithmetic: 23 × 20.40 = 469.20 is more than 24 × 18.40 = 441.60, and
    /// 441.60 ÷ 20.40 = 21.6, so from 22 pieces on 24 are cheaper.
    #[test]
    fn a_total_that_falls_is_seen() {
        let costs = |pieces| Some(if pieces == 12 { eur(13_461) } else { eur(24_225) });
        let rungs = ladder(&pricing(450_000, &[12, 24]), eur(0), costs).expect("countable");
        assert_eq!(rungs[0].cheaper_than, None);
        assert_eq!(rungs[1].cheaper_than, Some(22));
    }

    /// Margin m and mark-up k: k = m ÷ (1 − m), so 45 % margin is 81.8 % mark-up.
    #[test]
    fn margin_is_not_mark_up() {
        let unit = unit_price(eur(10_000), 1, &pricing(450_000, &[])).expect("countable");
        assert_eq!(unit, eur(18_185), "100.00 ÷ 0.55 = 181.81…, up to 0.05");
    }

    /// Arithmetic: 40.00 come once, ten pieces cost 30.00 besides, so each leaves
    /// 10.00 − 3.00 = 7.00 and 40.00 ÷ 7.00 = 5.71…: not below six. A piece spoiled
    /// costs (20.00 + 5.00) ÷ 10 once more, and what it was declared to be worth.
    #[test]
    fn fewest_pieces_and_a_spoiled_one() {
        let item = |what, minor| CostItem {
            what,
            amount: Figure::new(eur(minor), Reason::new(codes::COST_SHARE)),
            work: Duration::ZERO,
        };
        let costs = [
            item(codes::COST_SET_UP, 4000),
            item(codes::COST_GARMENTS, 2000),
            item(codes::COST_PRESS, 500),
            item(codes::COST_HANDLING, 500),
        ];
        let fewest = not_below(10, &costs, eur(1000)).expect("countable").expect("a piece leaves something");
        assert_eq!(fewest.value, 6);
        assert_eq!(not_below(10, &costs, eur(300)).expect("countable"), None, "nothing is left at 3.00");
        let currency = eur(0).currency();
        assert_eq!(spoiled(10, &costs, currency, None).expect("countable").value, eur(250));
        assert_eq!(spoiled(10, &costs, currency, Some(eur(24_000))).expect("countable").value, eur(24_250));
    }

    /// By hand: 10 min at 24.00 and 12.00 an hour are 6.00, and a blank of 4.20 makes 10.20 that the shop bears:
    /// (134.61 − 10.20) ÷ 12 ÷ 0.55 = 18.85. Paid by the customer it is all in the price.
    #[test]
    fn a_test_piece_is_paid_by_the_shop_or_the_customer() {
        let rates = Rates { labour_per_hour: eur(2400), overhead_per_hour: eur(1200) };
        let test = |paid_by| TestCost { work_s: 600, blank: Some(eur(420)), paid_by };
        assert_eq!(test(Payer::Customer).borne(&rates), Ok(eur(0)));
        assert_eq!(test(Payer::Shop).borne(&rates), Ok(eur(1020)));
        let unit = |borne| unit_figure(eur(13_461), eur(borne), 12, &pricing(450_000, &[])).expect("countable");
        assert_eq!((unit(0).value, unit(1020).value), (eur(2040), eur(1885)));
        assert_eq!(unit(1020).why[0].rule, codes::UNIT_PRICE_BORNE);
    }

    #[test]
    fn a_full_margin_is_refused_not_divided_by() {
        assert_eq!(unit_price(eur(100), 1, &pricing(1_000_000, &[])), Err(MoneyError::TooLarge));
    }
}
