//! Working days and working hours: the shop's and its suppliers'.

use jiff::civil::{Date, DateTime, Time, Weekday};
use jiff::{SignedDuration, ToSpan};
use schedule::Span;
use trade::{Person, Shop, Supplier};

/// Farthest a search for a day goes, so that a calendar of nothing but holidays ends.
const MOST_DAYS: i64 = 1500;

/// Whether a supplier works on a day: Monday to Friday (common practice, no
/// source) less its holidays.
pub(crate) fn supplier_works(supplier: &Supplier, day: Date) -> bool {
    !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) && !supplier.holidays.contains(&day)
}

/// Whether anybody works in the shop on a day.
pub(crate) fn shop_works(shop: &Shop, day: Date) -> bool {
    !shop.holidays.contains(&day)
        && shop.people().any(|(_, person)| person.hours.iter().any(|hours| hours.day == day.weekday()))
}

/// How fast a supplier delivers.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pace<'a> {
    supplier: &'a Supplier,
    cut_off: Time,
    /// Its working days from the order to the arrival.
    days: u32,
}

impl<'a> Pace<'a> {
    /// As usual.
    pub fn usual(supplier: &'a Supplier) -> Self {
        let days = u32::from(supplier.production_days) + u32::from(supplier.transit_days);
        Self { supplier, cut_off: supplier.cut_off, days }
    }

    /// With rush, where the supplier sells it.
    pub fn rush(supplier: &'a Supplier) -> Option<Self> {
        let rush = supplier.rush.as_ref()?;
        let days = u32::from(rush.production_days) + u32::from(rush.transit_days);
        Some(Self { supplier, cut_off: rush.cut_off, days })
    }

    /// When the supplier must first wait so many working days for the goods itself.
    pub fn waiting(self, more_days: u16) -> Self {
        Self { days: self.days.saturating_add(u32::from(more_days)), ..self }
    }

    /// The day on which goods arrive when ordered on `day` before the cut-off.
    pub fn arrival(self, day: Date) -> Date {
        let works = |d: Date| supplier_works(self.supplier, d);
        (0..self.days).fold(next(day, works), |d, _| next(following(d), works))
    }

    /// The last moment to order so that goods arrive on `day` at the latest.
    pub fn order_by(self, day: Date) -> DateTime {
        let works = |d: Date| supplier_works(self.supplier, d);
        let ordered = (0..self.days).fold(previous(day, works), |d, _| previous(preceding(d), works));
        ordered.to_datetime(self.cut_off)
    }
}

/// The last working day of the shop before `day`.
pub(crate) fn working_day_before(shop: &Shop, day: Date) -> Date {
    previous(preceding(day), |d| shop_works(shop, d))
}

/// The first working day of the shop after `day`.
pub(crate) fn working_day_after(shop: &Shop, day: Date) -> Date {
    next(following(day), |d| shop_works(shop, d))
}

/// When the shop's day begins: the earliest hour anybody works; 08:00 where nobody does.
pub(crate) fn opening(shop: &Shop, day: Date) -> DateTime {
    let hours = shop.people().flat_map(|(_, person)| person.hours.iter()).filter(|hours| hours.day == day.weekday());
    let first = hours.map(|hours| hours.from).min().unwrap_or(Time::constant(8, 0, 0, 0));
    day.to_datetime(first)
}

/// A person's working spans from `origin` for `days` days, in seconds from `origin`.
pub(crate) fn spans(shop: &Shop, person: &Person, origin: DateTime, days: i64) -> Vec<Span> {
    let mut all = Vec::new();
    let mut day = origin.date();
    for _ in 0..days {
        if !shop.holidays.contains(&day) {
            let mut of_day: Vec<Span> = person
                .hours
                .iter()
                .filter(|hours| hours.day == day.weekday())
                .flat_map(|hours| match hours.pause {
                    Some((from, to)) => vec![(hours.from, from), (to, hours.to)],
                    None => vec![(hours.from, hours.to)],
                })
                .map(|(from, to)| Span::new(second(origin, day.to_datetime(from)), second(origin, day.to_datetime(to))))
                .filter(|span| span.seconds() > 0)
                .collect();
            of_day.sort_unstable();
            all.extend(of_day);
        }
        day = following(day);
    }
    all
}

/// Spans joined where they touch or overlap.
pub(crate) fn joined(mut spans: Vec<Span>) -> Vec<Span> {
    spans.sort_unstable();
    let mut merged: Vec<Span> = Vec::with_capacity(spans.len());
    for span in spans {
        match merged.last_mut() {
            Some(last) if span.start_s <= last.end_s => last.end_s = last.end_s.max(span.end_s),
            _ => merged.push(span),
        }
    }
    merged
}

/// The latest second from which `work_s` seconds fit into `spans` before `until_s`.
pub(crate) fn latest_start(spans: &[Span], work_s: i64, until_s: i64) -> Option<i64> {
    let mut left = work_s;
    for span in spans.iter().rev() {
        let end = span.end_s.min(until_s);
        let room = end - span.start_s;
        if room <= 0 {
            continue;
        }
        if room >= left {
            return Some(end - left);
        }
        left -= room;
    }
    None
}

/// Seconds from `origin` to `moment`.
pub(crate) fn second(origin: DateTime, moment: DateTime) -> i64 {
    moment.duration_since(origin).as_secs()
}

/// `seconds` after `origin`.
pub(crate) fn moment(origin: DateTime, seconds: i64) -> DateTime {
    origin.saturating_add(SignedDuration::from_secs(seconds))
}

fn following(day: Date) -> Date {
    day.saturating_add(1.day())
}

fn preceding(day: Date) -> Date {
    day.saturating_sub(1.day())
}

fn next(from: Date, works: impl Fn(Date) -> bool) -> Date {
    (0..MOST_DAYS).map(|n| from.saturating_add(n.days())).find(|d| works(*d)).unwrap_or(from)
}

fn previous(from: Date, works: impl Fn(Date) -> bool) -> Date {
    (0..MOST_DAYS).map(|n| from.saturating_sub(n.days())).find(|d| works(*d)).unwrap_or(from)
}
