//! The reasons of a reach.

use crate::codes;
use crate::fit::PlatenPlace;
use crate::panel::ObstacleKind;
use crate::reach::{Isolation, LoadWay, Search, Under, UnderPlaten};
use geometry::Bounds;
use report::{Code, Origin, Reason, Value};
use units::{Duration, Length};

/// What a reach was decided on.
pub(crate) struct Case<'a> {
    pub(crate) search: &'a Search<'a>,
    pub(crate) load: LoadWay,
    pub(crate) isolation: Isolation,
    pub(crate) platen: &'a str,
    pub(crate) place: &'a PlatenPlace,
    pub(crate) pillow: Option<&'a Bounds>,
    pub(crate) under: &'a [UnderPlaten],
    pub(crate) pulled: &'a [ObstacleKind],
    pub(crate) refused: &'a [(Isolation, bool)],
}

fn length(mm: f64) -> Value {
    Value::Length(Length::from_mm(mm).unwrap_or_default())
}

/// The decisive reason first, then what else was done.
pub(crate) fn reasons(case: &Case<'_>) -> Vec<Reason> {
    let mut list = vec![main_reason(case)];
    let plain = |code| Reason::new(code).from("platen", Value::Text(case.platen.to_owned()), Origin::Shop);
    if case.place.moved_mm > 1.0 {
        list.push(plain(codes::WHY_SHIFTED).from("distance", length(case.place.moved_mm), Origin::Model));
    }
    if case.place.turned {
        list.push(plain(codes::WHY_TURNED));
    }
    if !case.pulled.is_empty() {
        let things = case.pulled.iter().map(|kind| Value::Term(kind.term())).collect();
        list.push(plain(codes::WHY_PULLED).from("things", Value::List(things), Origin::Shop));
    }
    let prints = case.under.iter().filter(|u| matches!(u.what, Under::EarlierPrint(_))).count();
    if prints > 0 {
        let count = i64::try_from(prints).unwrap_or(i64::MAX);
        list.push(plain(codes::WHY_EARLIER).from("prints", Value::Count(count), Origin::Person));
    }
    list
}

fn main_reason(case: &Case<'_>) -> Reason {
    let (low, high) = case.isolation.extra_s();
    let seconds = |s: f64| Value::Duration(Duration::from_s(s).unwrap_or_default());
    let mut reason = Reason::new(rule(case))
        .sourced("platen", Value::Text(case.platen.to_owned()), Origin::Shop, "the shop's platens")
        .sourced("least", seconds(low), Origin::Default, "common practice")
        .sourced("most", seconds(high), Origin::Default, "common practice")
        .from("garment", Value::Text(case.search.style.name.clone()), Origin::Shop)
        .changed_by(codes::CHANGED_BY_PLATEN)
        .changed_by(codes::CHANGED_BY_MOVE);
    if let Some(pillow) = case.pillow {
        reason = reason.from("pillow-width", length(pillow.width()), Origin::Shop).from(
            "pillow-height",
            length(pillow.height()),
            Origin::Shop,
        );
    }
    for (isolation, _) in case.refused {
        let code = match isolation {
            Isolation::PlatenAlone => codes::NOT_PLATEN,
            Isolation::SlipOver => codes::NOT_SLIP,
            Isolation::Pillow => codes::NOT_PILLOW,
            Isolation::OpenFront => codes::NOT_OPEN,
            Isolation::BetweenLayers | Isolation::UnpickLining => codes::NOT_BETWEEN,
        };
        if !reason.refused.contains(&code) {
            reason = reason.refusing(code);
        }
    }
    reason
}

fn rule(case: &Case<'_>) -> Code {
    match (case.isolation, case.load) {
        (_, LoadWay::OnForm) => codes::WHY_FORM,
        (Isolation::PlatenAlone, _) => codes::WHY_PLATEN,
        (Isolation::SlipOver, _) => codes::WHY_SLIP,
        (Isolation::Pillow, _) => codes::WHY_PILLOW,
        (Isolation::OpenFront, _) => codes::WHY_OPEN,
        (Isolation::BetweenLayers, _) => codes::WHY_BETWEEN,
        (Isolation::UnpickLining, _) => codes::WHY_UNPICK,
    }
}
