//! Where an order stands, and the one next step.

use super::Next;
use crate::parts::Mark;
use crate::tongue::Tongue;
use desk::kept::{KeptOrder, KeptPlan, Stage};
use store::form::{Deposit, Goods, Payment, SignOff, Standing, Work};

pub(super) fn stage_mark(stage: Stage) -> Mark {
    crate::pages::today::mark_of(stage.word())
}

/// Each fact with its mark: a tick where it is done.
pub(super) fn facts(w: &Tongue, standing: &Standing) -> Vec<(String, Mark)> {
    let open = Mark::PLAIN;
    let quote = match &standing.quote {
        Some(quote) => (w.a("web.quote-sent", w.at(quote.at_ms)), Mark::FINE),
        None => (w.t("web.quote-not-sent"), open),
    };
    let sign_off = match &standing.sign_off {
        SignOff::Open => (w.t("web.sign-off-open"), open),
        SignOff::ChangeWished { by, wish, .. } => {
            (w.ab("web.sign-off-wish", words::clean(by), words::clean(wish)), Mark::ASK)
        }
        SignOff::Signed { at_ms, by, .. } => (w.ab("web.sign-off-signed", words::clean(by), w.at(*at_ms)), Mark::FINE),
    };
    let deposit = match &standing.deposit {
        Deposit::Open => (w.t("web.deposit-open"), open),
        Deposit::Paid { at_ms, .. } => (w.a("web.deposit-paid", w.at(*at_ms)), Mark::FINE),
        Deposit::Waived { by } => (w.a("web.deposit-waived", words::clean(by)), Mark::FINE),
    };
    let goods = match &standing.goods {
        Goods::Open => (w.t("web.goods-open"), open),
        Goods::Ordered { at_ms, .. } => (w.a("web.goods-ordered", w.at(*at_ms)), Mark::PLAIN),
        Goods::Arrived { at_ms, note, .. } if note.is_empty() => (w.a("web.goods-arrived", w.at(*at_ms)), Mark::FINE),
        Goods::Arrived { note, .. } => (w.a("web.goods-short", words::clean(note)), Mark::WATCH),
    };
    let work = match &standing.work {
        Work::Open => (w.t("web.work-open"), open),
        Work::Pressed { good, spoiled, .. } => (w.ab("web.work-pressed", good, spoiled), Mark::FINE),
        Work::HandedOver { to, .. } => (w.a("web.work-handed", words::clean(to)), Mark::FINE),
    };
    let payment = match &standing.payment {
        Payment::Open => (w.t("web.payment-open"), open),
        Payment::Paid { at_ms, .. } => (w.a("web.payment-paid", w.at(*at_ms)), Mark::FINE),
    };
    let mut all = vec![quote, sign_off, deposit, goods, work, payment];
    if let Some(why) = &standing.dropped {
        all.push((w.a("web.dropped", words::clean(why)), Mark::STOP));
    }
    all
}

/// What a person may note, with its words.
pub(super) fn deeds(w: &Tongue) -> Vec<(&'static str, String)> {
    vec![
        ("quote-sent", w.t("web.deed-quote-sent")),
        ("signed", w.t("web.deed-signed")),
        ("wish", w.t("web.deed-wish")),
        ("deposit", w.t("web.deed-deposit")),
        ("deposit-waived", w.t("web.deed-deposit-waived")),
        ("ordered", w.t("web.deed-ordered")),
        ("arrived", w.t("web.deed-arrived")),
        ("pressed", w.t("web.deed-pressed")),
        ("handed-over", w.t("web.deed-handed-over")),
        ("paid", w.t("web.deed-paid")),
        ("drop", w.t("web.deed-drop")),
    ]
}

/// The one next step, where it needs nothing but a touch.
pub(super) fn next(w: &Tongue, order: &KeptOrder, plan: Option<&KeptPlan>, stage: Stage) -> Option<Next> {
    let plan = plan?;
    let standing = &order.form.standing;
    let to = "standing";
    if plan.stale {
        return Some(Next { to: "plan", deed: "", words: w.t("web.plan-now") });
    }
    if standing.quote.is_none() && stage == Stage::NeedsAnswer {
        // What it waits for is looked at first.
        return None;
    }
    if standing.quote.is_none() {
        return Some(Next { to, deed: "quote-sent", words: w.t("web.next-quote") });
    }
    if matches!(standing.sign_off, SignOff::Open) {
        return None;
    }
    let facts = plan.form.facts.iter().find(|facts| facts.order == order.id);
    match &standing.goods {
        Goods::Open => {
            let by = facts.and_then(|facts| facts.order_by.as_deref()).map(|by| w.moment(by));
            let words = by.map_or_else(|| w.t("web.next-order"), |by| w.a("web.next-order-by", by));
            Some(Next { to, deed: "ordered", words })
        }
        Goods::Ordered { .. } => Some(Next { to, deed: "arrived", words: w.t("web.next-arrived") }),
        Goods::Arrived { .. } => match standing.work {
            Work::Open => None,
            Work::Pressed { .. } => Some(Next { to, deed: "handed-over", words: w.t("web.next-hand-over") }),
            Work::HandedOver { .. } => matches!(standing.payment, Payment::Open).then(|| Next {
                to,
                deed: "paid",
                words: w.t("web.next-paid"),
            }),
        },
    }
}
