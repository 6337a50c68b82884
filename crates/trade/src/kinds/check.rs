//! Whether a typed recipe is unusual for its family.

use super::{UsualPress, generic};
use crate::{Kind, Peel, PressStep, Recipe, StepRole, codes};
use report::{Finding, Named, Severity, Value};
use units::{Duration, Temperature};

/// What is unusual in `recipe` for a transfer of this `kind`, as warnings.
///
/// A maker's sheet stays as it is; the warning asks to look at it again. A
/// makers' sheet within any one usual way of its family gives none.
pub fn unusual(kind: Kind, transfer: &str, recipe: &Recipe) -> Vec<Finding> {
    let known = generic(kind);
    let mut found = Vec::new();
    let mut tell = |code, extra: Vec<Named>| {
        let mut finding = Finding::new(Severity::Warning, code, codes::LOOK_AT_SHEET)
            .named("transfer", transfer)
            .named("sheet", recipe.source.clone());
        finding.quantities.extend(extra);
        found.push(finding);
    };
    if let Some(full) = recipe.full_press() {
        check_full(full, recipe.peel(), known.presses, &mut tell);
    }
    for press in recipe.presses() {
        if press.pressure < known.pressure.0 || press.pressure > known.pressure.1 {
            tell(codes::UNUSUAL_PRESSURE, vec![Named::new("pressure", Value::Term(codes::pressure(press.pressure)))]);
        }
        if known.needs_cover && press.cover == Some(false) {
            tell(codes::UNUSUAL_NO_COVER, Vec::new());
        }
    }
    let closings = recipe.presses().filter(|press| press.role != StepRole::Tack).count();
    if closings > usize::from(known.most_presses) {
        let usual = Named::count("usual", i64::from(known.most_presses));
        tell(codes::UNUSUAL_PRESSES, vec![Named::count("presses", i64::try_from(closings).unwrap_or(i64::MAX)), usual]);
    }
    found
}

/// Temperature, time and peel belong together: they are compared with the
/// usual way whose temperatures come nearest.
fn check_full(
    full: &PressStep,
    peel: Option<Peel>,
    ways: &[UsualPress],
    tell: &mut impl FnMut(report::Code, Vec<Named>),
) {
    let set = full.temperature.set.c();
    let Some(way) = nearest(set, full.dwell.set.s(), peel, ways) else { return };
    if outside(set, way.temperature_c) > ROUNDING_C {
        tell(
            codes::UNUSUAL_TEMPERATURE,
            vec![
                Named::new("temperature", Value::Temperature(full.temperature.set)),
                degrees("low", way.temperature_c.0),
                degrees("high", way.temperature_c.1),
            ],
        );
    }
    if outside(full.dwell.set.s(), way.dwell_s) > 0.0 {
        tell(
            codes::UNUSUAL_DWELL,
            vec![
                Named::new("dwell", Value::Duration(full.dwell.set)),
                seconds("low", way.dwell_s.0),
                seconds("high", way.dwell_s.1),
            ],
        );
    }
    if let Some(peel) = peel.filter(|peel| !way.peels.contains(peel)) {
        let usual = way.peels.iter().map(|&peel| Value::Term(codes::peel(peel))).collect();
        tell(
            codes::UNUSUAL_PEEL,
            vec![Named::new("peel", Value::Term(codes::peel(peel))), Named::new("usual", Value::List(usual))],
        );
    }
}

/// Sheets in °F are rounded to 5 °F, so 2 °C off the range is no surprise.
const ROUNDING_C: f64 = 2.0;

/// The usual way with the fewest things unusual, the nearest temperature breaking ties.
fn nearest(set_c: f64, dwell_s: f64, peel: Option<Peel>, ways: &[UsualPress]) -> Option<UsualPress> {
    let strange = |way: &UsualPress| {
        let off = outside(set_c, way.temperature_c);
        let others = u8::from(outside(dwell_s, way.dwell_s) > 0.0)
            + u8::from(peel.is_some_and(|peel| !way.peels.contains(&peel)));
        (off > ROUNDING_C, others, off)
    };
    ways.iter().copied().min_by(|a, b| {
        let (a, b) = (strange(a), strange(b));
        (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
    })
}

fn outside(value: f64, (low, high): (f64, f64)) -> f64 {
    (low - value).max(value - high).max(0.0)
}

fn degrees(name: &'static str, c: f64) -> Named {
    Named::new(name, Value::Temperature(Temperature::from_c(c).unwrap_or_default()))
}

fn seconds(name: &'static str, s: f64) -> Named {
    Named::new(name, Value::Duration(Duration::from_s(s).unwrap_or_default()))
}
