//! Working back from the due date, and forward from what can arrive.

use crate::calendar::Pace;
use crate::planning::first_opening;
use crate::result::{Dates, Goods, Plan, Purchase, Timeline};
use crate::timeline::Work;
use crate::{Order, calendar, codes, timeline};
use jiff::civil::{Date, DateTime};
use report::{Figure, Finding, Origin, Reason, Severity, Subject, Value};
use trade::Shop;
use units::Duration;

/// Warm-up, temperature changes and settling that the sum of press work leaves out, s.
const SET_UP_ALLOWANCE_S: i64 = 3600;

/// For each order the last moment to begin its test piece and then to press, so that it is in time;
/// `None` where nothing is pressed or no time is left.
pub(crate) fn latest_starts(
    shop: &Shop,
    orders: &[Order],
    work: &[Work<'_>],
    holds: &[Duration],
    origin: DateTime,
) -> Vec<Option<DateTime>> {
    let of_order = |(at, (order, hold)): (usize, (&Order, &Duration))| {
        let pressed = work.iter().any(|work| work.order == at);
        latest_start(shop, work, at, order, *hold, origin).filter(|_| pressed)
    };
    orders.iter().zip(holds).enumerate().map(of_order).collect()
}

/// The day on which goods must be there, for the earliest of the orders `within` to be in time:
/// a working day before the latest start of pressing, for counting in.
pub(crate) fn needed(
    shop: &Shop,
    latest: &[Option<DateTime>],
    origin: DateTime,
    within: &impl Fn(usize) -> bool,
) -> Date {
    match latest.iter().enumerate().filter(|(at, _)| within(*at)).filter_map(|(_, moment)| *moment).min() {
        Some(moment) => calendar::working_day_before(shop, moment.date()),
        None => origin.date(),
    }
}

fn latest_start(
    shop: &Shop,
    work: &[Work<'_>],
    at: usize,
    order: &Order,
    hold: Duration,
    origin: DateTime,
) -> Option<DateTime> {
    let needed_s = timeline::sequential_seconds(shop, work, at, origin).saturating_add(SET_UP_ALLOWANCE_S);
    let until = calendar::second(origin, order.due) - hold.s().ceil() as i64;
    let days = (until / 86_400 + 1).clamp(1, 400);
    let open: Vec<_> = shop.people().flat_map(|(_, person)| calendar::spans(shop, person, origin, days)).collect();
    let start = calendar::latest_start(&calendar::joined(open), needed_s, until)?;
    Some(calendar::moment(origin, start))
}

/// When pressing can begin: the morning after the last goods arrive, or at once.
pub(crate) fn goods_in(shop: &Shop, purchases: &[Purchase], origin: DateTime) -> DateTime {
    match purchases.iter().map(|purchase| purchase.earliest).max() {
        Some(day) => goods_of_day(shop, day),
        None => first_opening(shop, origin),
    }
}

/// When transfers are there: the morning after the last of them arrive, or at once.
/// Garments may come by themselves, line by line; see [`goods_of_day`].
pub(crate) fn transfers_in(shop: &Shop, purchases: &[Purchase], origin: DateTime) -> DateTime {
    let of_transfers =
        |purchase: &&Purchase| purchase.items.iter().any(|item| matches!(item.goods, Goods::Stock { .. }));
    match purchases.iter().filter(of_transfers).map(|purchase| purchase.earliest).max() {
        Some(day) => goods_of_day(shop, day),
        None => first_opening(shop, origin),
    }
}

/// When goods that arrive on a day can be pressed: the next working morning, counted in.
pub(crate) fn goods_of_day(shop: &Shop, day: Date) -> DateTime {
    calendar::opening(shop, calendar::working_day_after(shop, day))
}

/// Orders that are finished late, or not at all.
pub(crate) fn lateness(orders: &[Order], timeline: &Timeline, holds: &[Duration]) -> Vec<Finding> {
    let Some(schedule) = &timeline.schedule else { return Vec::new() };
    let mut all = Vec::new();
    for (at, (order, hold)) in orders.iter().zip(holds).enumerate() {
        let subject = Subject { order: Some(at), ..Subject::default() };
        let pressed = timeline.batches.iter().any(|batch| batch.order == at);
        match schedule.finish_s.get(at).copied().flatten() {
            _ if !pressed => {}
            None => all.push(
                Finding::new(Severity::Warning, codes::NO_TIME, codes::NO_TIME_REMEDY)
                    .named("order", order.name.clone())
                    .about(subject),
            ),
            Some(second) => {
                let finish = timeline.moment(second.saturating_add(hold.s().ceil() as i64));
                if finish > order.due {
                    all.push(
                        Finding::new(Severity::Warning, codes::LATE, codes::LATE_REMEDY)
                            .named("order", order.name.clone())
                            .with("finish", Value::Moment(finish))
                            .with("due", Value::Moment(order.due))
                            .about(subject),
                    );
                }
            }
        }
    }
    all
}

/// Last moment to order a replacement that is pressed on the last working day before the due one.
fn replace_by(shop: &Shop, at: usize, order: &Order, plan: &Plan, hold: Duration) -> Option<DateTime> {
    let until = order.due.saturating_sub(jiff::SignedDuration::from_secs(hold.s().ceil() as i64));
    let there = calendar::working_day_before(shop, until.date());
    let purchases = plan.purchases.iter().filter(|purchase| purchase.orders(plan).contains(&at));
    purchases.map(|purchase| Pace::usual(shop.supplier(purchase.supplier)).order_by(there)).min()
}

/// A piece spoiled at the first pressing could not be replaced in time.
pub(crate) fn no_replacement(at: usize, dates: &Dates) -> Option<Finding> {
    let (by, press) = dates.replace_by.zip(dates.press_from)?;
    let late = dates.slack.is_some_and(|slack| slack.s() < 0.0);
    (by < press && !late).then(|| {
        Finding::new(Severity::Note, codes::NO_REPLACEMENT, codes::NO_REPLACEMENT_REMEDY)
            .with("by", Value::Moment(by))
            .with("press", Value::Moment(press))
            .about(Subject { order: Some(at), ..Subject::default() })
    })
}

/// When the first piece of a line is loaded.
pub(crate) fn first_load(plan: &Plan, order: usize, line: usize) -> Option<DateTime> {
    let timeline = &plan.timeline;
    let entries = timeline.schedule.iter().flat_map(|schedule| &schedule.entries);
    let own = entries.filter(|entry| {
        timeline.batches.get(entry.batch).is_some_and(|batch| batch.order == order && batch.line == line)
    });
    own.map(|entry| entry.first_load_s()).min().map(|second| timeline.moment(second))
}

/// Every date of an order.
pub(crate) fn dates(
    shop: &Shop,
    at: usize,
    order: &Order,
    plan: &Plan,
    hold: Duration,
    latest: Option<DateTime>,
) -> Dates {
    let earliest = |wanted: &dyn Fn(&Goods) -> bool| -> Option<Figure<DateTime>> {
        plan.purchases
            .iter()
            .filter(|purchase| purchase.items.iter().any(|item| wanted(&item.goods)))
            .map(|purchase| purchase.order_by.clone())
            .min_by_key(|figure| figure.value)
    };
    let own = |goods: &Goods| goods.orders(plan).contains(&at);
    let transfers = earliest(&|goods| matches!(goods, Goods::Stock { .. }) && own(goods));
    let garments = earliest(&|goods| matches!(goods, Goods::Garment { .. }) && own(goods));
    let spans: Vec<(i64, i64)> = plan
        .timeline
        .schedule
        .iter()
        .flat_map(|schedule| &schedule.entries)
        .filter(|entry| plan.timeline.batches.get(entry.batch).is_some_and(|batch| batch.order == at))
        .map(|entry| (entry.first_load_s(), entry.done_s()))
        .collect();
    let press_from = spans.iter().map(|(start, _)| *start).min().map(|second| plan.timeline.moment(second));
    let finish = spans.iter().map(|(_, end)| *end).max().map(|second| {
        let moment = plan.timeline.moment(second.saturating_add(hold.s().ceil() as i64));
        let reason = Reason::new(codes::FINISH).from("due", Value::Moment(order.due), Origin::Person).from(
            "hold",
            Value::Duration(hold),
            Origin::Default,
        );
        Figure::new(moment, reason)
    });
    let slack = finish.as_ref().and_then(|finish| Duration::from_s(calendar::second(finish.value, order.due) as f64));
    let first_spend = [&transfers, &garments].into_iter().flatten().map(|figure| figure.value).min().or(press_from);
    Dates {
        sign_off_by: first_spend.map(|moment| {
            Figure::new(moment, Reason::new(codes::SIGN_OFF).from("first", Value::Moment(moment), Origin::Model))
        }),
        order_transfers_by: transfers,
        order_garments_by: garments,
        goods_by: latest.map(|moment| calendar::working_day_before(shop, moment.date())),
        press_by: latest,
        goods_in: (!spans.is_empty()).then(|| goods_in(shop, &plan.purchases, plan.timeline.origin)),
        press_from,
        finish,
        dye_hold: hold,
        slack,
        replace_by: replace_by(shop, at, order, plan, hold),
    }
}
