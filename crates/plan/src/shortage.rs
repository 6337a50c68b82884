//! What is said where blanks are short or late: parts, second deliveries, and the styles
//! that could stand in. Nothing is ever taken in place of what was ordered.

use crate::blanks::{Blanks, BoughtTogether, Part};
use crate::calendar::Pace;
use crate::draft::{self, LineDraft};
use crate::offer::Books;
use crate::planning;
use crate::result::{Fit, Purchase};
use crate::{Arts, Order, codes};
use jiff::civil::Date;
use report::{Finding, Severity, Value};
use trade::{GarmentId, Shop};
use units::{Money, MoneyError, Rounding};

/// What a line's blanks are weighed against.
pub(crate) struct Weighed<'a> {
    pub shop: &'a Shop,
    pub order: &'a Order,
    pub arts: &'a Arts,
    pub books: &'a Books<'a>,
    pub today: Date,
    /// The day on which all goods must be there.
    pub needed: Date,
    /// What is bought of each style with it.
    pub together: &'a BoughtTogether,
}

/// What is to be said of one line.
pub(crate) fn findings(
    weighed: &Weighed<'_>,
    line: &LineDraft<'_>,
    blanks: &Blanks,
    parts: &[Part],
    purchase: Option<&Purchase>,
) -> Vec<Finding> {
    let mut all = Vec::new();
    let named = |severity, code, remedy| {
        Finding::new(severity, code, remedy)
            .named("garment", line.style.name.clone())
            .named("colour", line.colour.name.clone())
            .with("pieces", Value::Count(i64::from(line.pieces())))
            .about(line.subject)
    };
    let later = Value::Count(i64::from(blanks.later()));
    let first = parts.first().map_or(0, Part::pieces);
    let now = Value::Count(i64::from(first));
    if let Some(second) = purchase.and_then(|purchase| purchase.second).filter(|_| blanks.later() > 0) {
        all.push(
            named(Severity::Warning, codes::SPLIT_DELIVERY, codes::SPLIT_DELIVERY_REMEDY)
                .with("later", later)
                .with("now", now)
                .with("arrives", Value::Date(second.arrives))
                .with("freight", Value::Money(second.freight)),
        );
    } else if let (Some(purchase), true) = (purchase, blanks.later() > 0) {
        if purchase.earliest <= weighed.needed {
            all.push(
                named(Severity::Note, codes::COMES_TOGETHER, codes::COMES_TOGETHER_REMEDY)
                    .with("later", later)
                    .with("arrives", Value::Date(purchase.earliest)),
            );
        }
    } else if let (Some(purchase), true) = (purchase, parts.len() > 1) {
        all.push(
            named(Severity::Note, codes::SHELF_FIRST, codes::SHELF_FIRST_REMEDY)
                .with("now", now)
                .with("arrives", Value::Date(purchase.earliest)),
        );
    }
    if blanks.dateless > 0 {
        all.push(
            named(Severity::Warning, codes::SHORT_NO_DATE, codes::SHORT_NO_DATE_REMEDY)
                .with("short", Value::Count(i64::from(blanks.dateless))),
        );
    }
    let arrives = purchase.map(|purchase| last_arrival(purchase, blanks));
    if arrives.is_some_and(|day| day > weighed.needed) || blanks.dateless > 0 {
        all.extend(substitutes(weighed, line, arrives, blanks.dateless > 0));
    }
    all
}

/// The day on which the last of a line's blanks arrive.
fn last_arrival(purchase: &Purchase, blanks: &Blanks) -> Date {
    let second = purchase.second.filter(|_| blanks.later() > 0);
    second.map_or(purchase.earliest, |second| second.arrives.max(purchase.earliest))
}

/// Styles the shop names that come in the colour and sizes, are to be had sooner and can be
/// pressed with this art, the best first.
fn substitutes(weighed: &Weighed<'_>, line: &LineDraft<'_>, arrives: Option<Date>, dateless: bool) -> Vec<Finding> {
    let offer = |id: &GarmentId| substitute(weighed, line, *id, arrives, dateless).ok().flatten();
    line.style.substitutes.iter().filter_map(offer).collect()
}

fn substitute(
    weighed: &Weighed<'_>,
    line: &LineDraft<'_>,
    id: GarmentId,
    arrives: Option<Date>,
    dateless: bool,
) -> Result<Option<Finding>, MoneyError> {
    let shop = weighed.shop;
    let style = shop.garment(id);
    let Some(supplier) = style.supplier.map(|id| shop.supplier(id)) else { return Ok(None) };
    let beside = (weighed.together.beside(line), weighed.together.many(id));
    let (own, other) = (price_of(shop, line, line.style, beside.0)?, price_of(shop, line, style, beside.1)?);
    let (Some(own), Some(other)) = (own, other) else { return Ok(None) };
    if style.colour(&line.colour.name).is_none() || !enough(line, style) || !suits(weighed, line, id) {
        return Ok(None);
    }
    let comes = Pace::usual(supplier).arrival(weighed.today);
    if !dateless && arrives.is_some_and(|own| comes >= own) {
        return Ok(None);
    }
    let less = other.minor() < own.minor();
    let code = if less { codes::SUBSTITUTE_LESS } else { codes::SUBSTITUTE };
    let difference = if less { own.minus(other)? } else { other.minus(own)? };
    let kept = (1_000_000 - shop.pricing.margin.ppm()).max(1);
    let divisor = kept.saturating_mul(i64::from(line.pieces().max(1)));
    let own_arrives = arrives.filter(|_| !dateless);
    Ok(Some(
        Finding::new(Severity::Warning, code, codes::SUBSTITUTE_REMEDY)
            .named("garment", line.style.name.clone())
            .named("substitute", style.name.clone())
            .named("id", style.id.clone())
            .with("arrives", Value::Date(comes))
            .with("own-arrives", own_arrives.map_or_else(|| Value::Term(codes::NO_DATE), Value::Date))
            .with("difference", Value::Money(difference))
            .with("each", Value::Money(difference.scaled(1_000_000, divisor, Rounding::HalfUp)?))
            .about(line.subject),
    ))
}

/// What the line's blanks cost in a style of which so many more are bought; `None` where it
/// lacks a size or a price.
fn price_of(
    shop: &Shop,
    line: &LineDraft<'_>,
    style: &trade::GarmentStyle,
    beside: u32,
) -> Result<Option<Money>, MoneyError> {
    let mut sum = Money::zero(shop.currency);
    let many = line.pieces().saturating_add(beside);
    for (size, count) in &line.sizes {
        let Some(price) = style.size(&size.name).and_then(|size| size.price) else { return Ok(None) };
        sum = sum.plus(trade::break_price(&style.breaks, price, many)?.times(i64::from(*count))?)?;
    }
    Ok(Some(sum))
}

/// Whether a style is there in all of the line's counts, as far as anybody entered.
fn enough(line: &LineDraft<'_>, style: &trade::GarmentStyle) -> bool {
    line.sizes.iter().all(|(size, count)| {
        style
            .held(&line.colour.name, &size.name)
            .is_none_or(|held| held.at_supplier.is_none_or(|has| has.saturating_add(held.on_hand) >= *count))
    })
}

/// Whether the line can be drafted on a style, and every print has a transfer that suits its cloth.
fn suits(weighed: &Weighed<'_>, line: &LineDraft<'_>, id: GarmentId) -> bool {
    let nth = line.subject.line.unwrap_or(0);
    let Some(wish) = weighed.order.lines.get(nth) else { return false };
    let drafted =
        draft::draft(weighed.shop, weighed.order, line.subject, wish, Some(id), weighed.arts, &weighed.books.shapes);
    let Some(other) = drafted.value.line else { return false };
    let offers = planning::offer_line(weighed.shop, &other, weighed.books);
    offers.iter().all(|print| print.iter().any(|offer| offer.candidate.fit != Fit::DoesNot))
}
