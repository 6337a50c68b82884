//! How one print is pressed: the maker's steps with what this cloth changes.

use crate::codes;
use crate::draft::{LineDraft, PrintDraft};
use crate::films;
use crate::press_heat::Pressing;
use crate::press_heat::plate_m2;
use crate::result::{Candidate, CardStep, PressCard, SetPoint};
use heat::codes::Circumstances;
use report::{Figure, Origin, Reason, Value};
use std::borrow::Cow;
use trade::{
    AccessoryId, AccessoryKind, Lining, Peel, PressId, PressStep, Recipe, RecipeStep, Shop, StepRole, TransferId,
};
use units::{Duration, Temperature, TemperatureDifference};

/// The card of a print in a candidate by one of its recipes.
pub(crate) fn card(
    shop: &Shop,
    line: &LineDraft<'_>,
    print: &PrintDraft<'_>,
    candidate: &Candidate,
    recipe: &Recipe,
    pressing: Option<&Pressing>,
) -> Option<PressCard> {
    let first = print.placements.first()?;
    let transfer = candidate.transfer;
    let kind = shop.transfer(transfer).kind;
    let presses = &first.reach.presses;
    let films = candidate.stack.as_ref().map_or(1, |stack| stack.layers.len());
    let laid = films::laid(recipe, films);
    let mut steps: Vec<CardStep> = Vec::new();
    let mut placed = 0;
    for step in &laid.steps {
        match step {
            RecipeStep::Preheat { dwell } => steps.push(preheat(shop, presses, recipe, *dwell)),
            RecipeStep::Place => {
                steps.push(CardStep::Place { film: (films > 1).then_some(placed) });
                placed += 1;
            }
            RecipeStep::Press(press) => steps.push(press_step(shop, presses, recipe, press, pressing, kind)),
            RecipeStep::SetAside => steps.push(CardStep::SetAside { wait: wait(recipe, pressing) }),
            RecipeStep::Peel(peel) => {
                // A peel that is not hot needs its wait even where the sheet leaves it unsaid.
                let waits = matches!(steps.last(), Some(CardStep::SetAside { .. }));
                if *peel != Peel::Hot && !waits {
                    steps.push(CardStep::SetAside { wait: wait(recipe, pressing) });
                }
                steps.push(CardStep::Peel(*peel));
            }
        }
    }
    Some(PressCard {
        transfer,
        source: recipe.source.clone(),
        presses: first.reach.presses.clone(),
        platen: first.reach.platen,
        pillow: first.reach.pillow.map(|(pillow, _, _)| pillow),
        stacked: candidate.stack.as_ref().and_then(|stack| films::stacked(stack, recipe, &steps)),
        steps,
        heat: pressing.map(|pressing| pressing.card(plate_m2(shop, print))),
        heated_again: Vec::new(),
        cautions: heat::codes::cautions(circumstances(shop, line, &laid, transfer)),
        per_closing: print.placements.iter().map(|placement| placement.reach.per_closing).min().unwrap_or(1).max(1),
    })
}

/// What is special about the print, for its cautions.
fn circumstances(shop: &Shop, line: &LineDraft<'_>, recipe: &Recipe, transfer: TransferId) -> Circumstances {
    let covers = |press: &PressStep| covered(press, shop.transfer(transfer).kind);
    Circumstances {
        hot_peel: recipe.peel() == Some(Peel::Hot),
        damp: damp(line.cloth),
        pvc: may_be_pvc(shop.transfer(transfer).kind) || line.cloth.surface == trade::Surface::VinylCoated,
        ptfe: recipe.presses().any(covers),
    }
}

/// Screen-made and puff prints are plastisol, which is PVC; plain cut film may be
/// where its sheet does not say otherwise (common practice, no source).
fn may_be_pvc(kind: trade::Kind) -> bool {
    matches!(kind, trade::Kind::ScreenMade | trade::Kind::Puff | trade::Kind::CutFilm)
}

/// Regain from which a cloth gives off steam to be feared (common practice, no source).
const DAMP_REGAIN: f64 = 0.03;

fn damp(cloth: &trade::Cloth) -> bool {
    crate::press_heat::regain(cloth) >= DAMP_REGAIN
}

fn covered(press: &PressStep, kind: trade::Kind) -> bool {
    press.cover.unwrap_or(press.role == StepRole::Second && trade::kinds::generic(kind).needs_cover)
}

/// What each press is set to so that its plate is as hot as wanted: wanted less
/// the offset measured on it, the nearest it can be set that keeps the plate in
/// the maker's range.
fn set_points(
    shop: &Shop,
    presses: &[PressId],
    wanted: Temperature,
    maker: Option<(Temperature, Temperature)>,
) -> Vec<SetPoint> {
    let of = |id: &PressId| {
        let press = shop.press(*id);
        let offset = press.offset.value;
        let set =
            nearest(wanted - offset, press.temperature_step, maker.map(|(low, high)| (low - offset, high - offset)));
        let set = set.min(press.hottest);
        let reason = Reason::new(codes::PLATEN_OFFSET)
            .from("set", Value::Temperature(set), Origin::Shop)
            .from("wanted", Value::Temperature(wanted), Origin::Maker)
            .from("offset", Value::Difference(offset), press.offset.origin)
            .from("step", Value::Difference(press.temperature_step), Origin::Shop);
        SetPoint { press: *id, display: Figure::new(set, reason) }
    };
    presses.iter().map(of).collect()
}

/// The nearest whole step, one within the range before one outside.
fn nearest(exact: Temperature, step: TemperatureDifference, range: Option<(Temperature, Temperature)>) -> Temperature {
    let step = step.k().max(0.1);
    let steps = exact.c() / step;
    let other = if steps.round() > steps { steps.floor() } else { steps.ceil() };
    let [near, far] = [steps.round(), other].map(|n| Temperature::from_c(n * step).unwrap_or(exact));
    let inside = |t: Temperature| range.is_none_or(|(low, high)| low <= t && t <= high);
    if inside(far) && !inside(near) { far } else { near }
}

fn preheat(shop: &Shop, presses: &[PressId], recipe: &Recipe, dwell: Duration) -> CardStep {
    let temperature = recipe.full_press().map_or(Temperature::default(), |press| press.temperature.set);
    let reason = Reason::new(codes::PREHEAT_MAKER).sourced(
        "dwell",
        Value::Duration(dwell),
        Origin::Maker,
        recipe.source.clone(),
    );
    CardStep::Preheat {
        temperature,
        set: set_points(shop, presses, temperature, None),
        dwell: Figure::new(dwell, reason),
    }
}

fn press_step(
    shop: &Shop,
    presses: &[PressId],
    recipe: &Recipe,
    press: &PressStep,
    pressing: Option<&Pressing>,
    kind: trade::Kind,
) -> CardStep {
    let advised = pressing.filter(|_| press.role == StepRole::Full);
    let temperature = advised.map_or_else(|| maker_temperature(recipe, press), |p| p.temperature(recipe, press));
    let dwell = match advised {
        Some(pressing) => pressing.dwell(recipe, press),
        None if films::is_own_tack(recipe, press) => films::tack_dwell(press),
        None => maker_dwell(recipe, press),
    };
    CardStep::Press {
        role: press.role,
        set: set_points(shop, presses, temperature.value, temperature.range),
        temperature,
        dwell,
        from_inside: press.from_inside,
        pressure: press.pressure,
        cover: if covered(press, kind) { cover_sheet(shop) } else { None },
    }
}

/// The maker's temperature as set.
pub(crate) fn maker_temperature(recipe: &Recipe, press: &PressStep) -> Figure<Temperature> {
    let source = recipe.source.clone();
    let reason = Reason::new(codes::PLATEN_SET)
        .sourced("set", Value::Temperature(press.temperature.set), Origin::Maker, source.clone())
        .sourced("low", Value::Temperature(press.temperature.low), Origin::Maker, source.clone())
        .sourced("high", Value::Temperature(press.temperature.high), Origin::Maker, source)
        .changed_by(codes::CHANGE_CLOTH);
    Figure::new(press.temperature.set, reason).between(press.temperature.low, press.temperature.high)
}

/// The maker's dwell as set.
pub(crate) fn maker_dwell(recipe: &Recipe, press: &PressStep) -> Figure<Duration> {
    let reason = Reason::new(codes::DWELL_MAKER)
        .sourced("dwell", Value::Duration(press.dwell.set), Origin::Maker, recipe.source.clone())
        .changed_by(codes::CHANGE_CLOTH);
    Figure::new(press.dwell.set, reason).between(press.dwell.low, press.dwell.high)
}

fn wait(recipe: &Recipe, pressing: Option<&Pressing>) -> Figure<Duration> {
    let target = peel_target(recipe.peel().unwrap_or(Peel::Cold));
    match pressing.and_then(|pressing| pressing.wait_until(target)) {
        Some(figure) => figure,
        None => {
            // Where the model has no answer (a room as warm as the peel), the usual wait on a slab.
            let usual = Duration::from_s(90.0).unwrap_or_default();
            let reason = Reason::new(codes::COOL_WAIT).from("to", Value::Temperature(target), Origin::Default);
            Figure::new(usual, reason)
        }
    }
}

/// Bond line at which a carrier may come off, °C: warm is hand-warm, about 40 to
/// 60 °C; cold is 40 °C or below. Common practice, no source.
pub(crate) fn peel_target(peel: Peel) -> Temperature {
    let c = match peel {
        Peel::Hot => 120.0,
        Peel::Warm => 55.0,
        Peel::Cold => 40.0,
    };
    Temperature::from_c(c).unwrap_or_default()
}

/// The shop's own cover sheet.
pub(crate) fn cover_sheet(shop: &Shop) -> Option<AccessoryId> {
    shop.accessories().find(|(_, item)| matches!(item.kind, AccessoryKind::CoverSheet { .. })).map(|(id, _)| id)
}

/// A person's time at the press for one print by a recipe, without loading and unloading the garment.
pub(crate) fn person_seconds(shop: &Shop, line: &LineDraft<'_>, recipe: &Recipe) -> Duration {
    let times = &shop.times;
    let mut total = times.smooth.value;
    for (at, step) in recipe.steps.iter().enumerate() {
        total = total
            + match step {
                RecipeStep::Preheat { dwell } => *dwell,
                RecipeStep::Place => times.place.value,
                RecipeStep::Press(press) => press.dwell.set,
                RecipeStep::SetAside => Duration::ZERO,
                RecipeStep::Peel(Peel::Hot) => times.peel_hot.value,
                RecipeStep::Peel(_) => times.peel_cold.value,
            };
        // A press after the peel needs the garment on the platen again.
        let pressed_again = recipe.steps[at..].iter().any(|later| matches!(later, RecipeStep::Press(_)));
        if matches!(step, RecipeStep::Peel(Peel::Warm | Peel::Cold)) && pressed_again {
            total = total + load(shop, line);
        }
    }
    total
}

/// Loading one garment of a line.
pub(crate) fn load(shop: &Shop, line: &LineDraft<'_>) -> Duration {
    if line.style.lining == Lining::None { shop.times.load.value } else { shop.times.load_lined.value }
}

/// All a person does at the press for one garment of a line: loading and
/// unloading once, a turn between prints, the steps of each print, the time its
/// way of reaching costs.
pub(crate) fn garment_seconds(shop: &Shop, line: &LineDraft<'_>, recipes: &[Cow<'_, Recipe>]) -> Duration {
    let turns = line.prints.len().saturating_sub(1) as f64;
    let reach: Duration = line
        .prints
        .iter()
        .filter_map(|print| print.placements.iter().map(|placement| placement.reach.extra).reduce(Duration::max))
        .sum();
    let prints: Duration = recipes.iter().map(|recipe| person_seconds(shop, line, recipe)).sum();
    load(shop, line) + shop.times.unload.value + shop.times.flip.value * turns + reach + prints
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A display that shows 2 K too much is set 2 K higher; coarse steps stay on the maker's sheet.
    #[test]
    fn a_set_point_stays_on_the_sheet() {
        let c = |c| Temperature::from_c(c).expect("finite");
        let k = |k| TemperatureDifference::from_k(k).expect("finite");
        for (exact, step, range, set) in [
            (150.0 - -2.0, 1.0, None, 152.0),
            (148.0, 5.0, None, 150.0),
            (148.0, 5.0, Some((140.0, 149.0)), 145.0),
            (148.0, 5.0, Some((147.0, 149.0)), 150.0),
            (142.0, 5.0, Some((142.0, 150.0)), 145.0),
        ] {
            let range = range.map(|(low, high)| (c(low), c(high)));
            assert_eq!(nearest(c(exact), k(step), range), c(set), "{exact} in steps of {step}");
        }
    }
}
