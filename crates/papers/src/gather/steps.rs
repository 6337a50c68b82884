//! The steps of a press card, as the operator does them.

use super::{Papers, shown, text, tight};
use crate::form::Step;
use plan::{CardStep, FilmChoice, PressCard, SetPoint};
use report::{Named, Value};
use trade::{Peel, PressId, StepRole};
use units::{Duration, Temperature};

/// Hand-warm, °C, as the trade says it (common practice, no source).
const WARM_C: (f64, f64) = (40.0, 60.0);

/// Every step of a card; `on` is the press it is planned on.
pub(super) fn steps(teller: &Papers<'_>, card: &PressCard, on: Option<PressId>) -> Vec<Step> {
    card.steps.iter().map(|step| one(teller, card, step, on)).collect()
}

/// Laying one of several films, the lowest first.
fn place_film(teller: &Papers<'_>, films: &[FilmChoice], nth: usize) -> Step {
    let count = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
    let name = films.get(nth).map_or("", |film| film.name.as_str());
    let named = [
        Named::count("nth", count(nth.saturating_add(1))),
        Named::count("count", count(films.len())),
        text("film", name),
    ];
    let last = nth + 1 == films.len();
    let mut notes = vec![teller.label(if nth == 0 { "papers.step-place-lowest" } else { "papers.step-place-upper" })];
    notes.extend(last.then(|| teller.label("papers.step-place-last")));
    Step { title: shown(&teller.say("papers.step-place-film", &named)), notes, ..Step::default() }
}

fn one(teller: &Papers<'_>, card: &PressCard, step: &CardStep, on: Option<PressId>) -> Step {
    let titled = |code: &'static str| Step { title: teller.label(code), ..Step::default() };
    match step {
        CardStep::Preheat { temperature, set, dwell } => Step {
            notes: vec![teller.label("papers.step-preheat-note")],
            temperature: Some(heat(teller, display(*temperature, set, on))),
            time: Some(time(teller, dwell.value)),
            ..titled("papers.step-preheat")
        },
        CardStep::Place { film } => match (&card.stacked, film) {
            (Some(stacked), Some(nth)) => place_film(teller, &stacked.films, *nth),
            _ => titled("papers.step-place"),
        },
        CardStep::Press { role, temperature, set, dwell, from_inside, pressure, cover } => Step {
            notes: from_inside
                .then(|| teller.label("papers.from-inside"))
                .into_iter()
                .chain(
                    (card.stacked.is_some() && *role == StepRole::Tack).then(|| teller.label("papers.step-tack-note")),
                )
                .chain([press_note(teller, *pressure, *cover)])
                .collect(),
            temperature: Some(heat(teller, display(temperature.value, set, on))),
            time: Some(time(teller, dwell.value)),
            ..titled(match role {
                StepRole::Tack => "papers.step-tack",
                StepRole::Full => "papers.step-full",
                StepRole::Second => "papers.step-second",
            })
        },
        CardStep::SetAside { wait } => Step {
            notes: vec![teller.label("papers.step-set-aside-note")],
            time: Some(time(teller, wait.value)),
            ..titled("papers.step-set-aside")
        },
        CardStep::Peel(peel) => Step { notes: vec![peel_note(teller, *peel)], ..titled(peel_title(*peel)) },
    }
}

/// What the press it is planned on is set to; else the first of the card.
fn display(wanted: Temperature, set: &[SetPoint], on: Option<PressId>) -> Temperature {
    let planned = set.iter().find(|point| Some(point.press) == on);
    planned.or(set.first()).map_or(wanted, |point| point.display.value)
}

/// What each press is set to, where one of them does not show what its plate has;
/// once for each temperature of the card, however many steps use it.
pub(super) fn set_points(teller: &Papers<'_>, card: &PressCard) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for step in &card.steps {
        let said = match step {
            CardStep::Preheat { temperature, set, .. } => settings(teller, *temperature, set),
            CardStep::Press { temperature, set, .. } => settings(teller, temperature.value, set),
            CardStep::Place { .. } | CardStep::SetAside { .. } | CardStep::Peel(_) => None,
        };
        all.extend(said.filter(|said| !all.contains(said)));
    }
    all
}

fn settings(teller: &Papers<'_>, wanted: Temperature, set: &[SetPoint]) -> Option<String> {
    let shows_other = |point: &SetPoint| (point.display.value - wanted).k().abs() >= 0.5;
    set.iter().any(shows_other).then(|| {
        let one = |point: &SetPoint| {
            let press = shown(&teller.shop.press(point.press).name);
            format!("{press} {}", teller.temperature(point.display.value))
        };
        let presses = set.iter().map(one).collect::<Vec<_>>().join(", ");
        let wanted = text("wanted", teller.temperature(wanted));
        teller.say("papers.set-points", &[text("presses", presses), wanted])
    })
}

fn peel_title(peel: Peel) -> &'static str {
    match peel {
        Peel::Hot => "papers.step-hot",
        Peel::Warm => "papers.step-warm",
        Peel::Cold => "papers.step-cold",
    }
}

fn peel_note(teller: &Papers<'_>, peel: Peel) -> String {
    match peel {
        Peel::Hot => teller.label("papers.step-hot-note"),
        Peel::Cold => teller.label("papers.step-cold-note"),
        Peel::Warm => {
            let at = |c| Temperature::from_c(c).map_or(Value::Number(c), Value::Temperature);
            let range = [Named { name: "low", value: at(WARM_C.0) }, Named { name: "high", value: at(WARM_C.1) }];
            teller.say("papers.step-warm-note", &range)
        }
    }
}

fn press_note(teller: &Papers<'_>, pressure: trade::PressureClass, cover: Option<trade::AccessoryId>) -> String {
    let pressure = teller.speech.heading(pressure);
    let cover = match cover {
        Some(cover) => {
            let name = words::clean(&teller.shop.accessory(cover).name);
            shown(&teller.say("papers.cover", &[text("cover", name)]))
        }
        None => teller.label("papers.no-cover"),
    };
    format!("{pressure} · {cover}")
}

fn heat(teller: &Papers<'_>, temperature: Temperature) -> (String, String) {
    let (first, second) = teller.speech.temperature_pair(temperature);
    (tight(&first), tight(&second))
}

fn time(teller: &Papers<'_>, duration: Duration) -> String {
    tight(&teller.speech.duration(duration))
}
