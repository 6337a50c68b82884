//! How one print is pressed: the maker's steps with what this cloth changes.

use crate::codes;
use crate::draft::{LineDraft, PrintDraft};
use crate::press_heat::Pressing;
use crate::result::{CardStep, PressCard};
use report::{Figure, Origin, Reason, Value};
use trade::{AccessoryId, AccessoryKind, Lining, Peel, PressStep, Recipe, RecipeStep, Shop, StepRole, TransferId};
use units::{Duration, Temperature};

/// The card of a print in a transfer by one of its recipes.
pub(crate) fn card(
    shop: &Shop,
    print: &PrintDraft<'_>,
    transfer: TransferId,
    recipe: &Recipe,
    pressing: Option<&Pressing>,
) -> Option<PressCard> {
    let first = print.placements.first()?;
    let kind = shop.transfer(transfer).kind;
    let mut steps: Vec<CardStep> = Vec::new();
    for step in &recipe.steps {
        match step {
            RecipeStep::Preheat { dwell } => steps.push(preheat(recipe, *dwell)),
            RecipeStep::Place => steps.push(CardStep::Place),
            RecipeStep::Press(press) => steps.push(press_step(shop, recipe, press, pressing, kind)),
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
        steps,
        heat: pressing.map(Pressing::card),
        per_closing: print.placements.iter().map(|placement| placement.reach.per_closing).min().unwrap_or(1).max(1),
    })
}

fn preheat(recipe: &Recipe, dwell: Duration) -> CardStep {
    let temperature = recipe.full_press().map_or(Temperature::default(), |press| press.temperature.set);
    let reason = Reason::new(codes::PREHEAT_MAKER).sourced(
        "dwell",
        Value::Duration(dwell),
        Origin::Maker,
        recipe.source.clone(),
    );
    CardStep::Preheat { temperature, dwell: Figure::new(dwell, reason) }
}

fn press_step(
    shop: &Shop,
    recipe: &Recipe,
    press: &PressStep,
    pressing: Option<&Pressing>,
    kind: trade::Kind,
) -> CardStep {
    let advised = pressing.filter(|_| press.role == StepRole::Full);
    let temperature = advised.map_or_else(|| maker_temperature(recipe, press), |p| p.temperature(recipe, press));
    let dwell = advised.map_or_else(|| maker_dwell(recipe, press), |p| p.dwell(recipe, press));
    let covered = press.cover.unwrap_or(press.role == StepRole::Second && trade::kinds::generic(kind).needs_cover);
    CardStep::Press {
        role: press.role,
        temperature,
        dwell,
        pressure: press.pressure,
        cover: if covered { cover_sheet(shop) } else { None },
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
    for step in &recipe.steps {
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
        if matches!(step, RecipeStep::Peel(Peel::Warm | Peel::Cold)) && recipe.presses().count() > 1 {
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
pub(crate) fn garment_seconds(shop: &Shop, line: &LineDraft<'_>, recipes: &[&Recipe]) -> Duration {
    let turns = line.prints.len().saturating_sub(1) as f64;
    let reach: Duration = line
        .prints
        .iter()
        .filter_map(|print| print.placements.iter().map(|placement| placement.reach.extra).reduce(Duration::max))
        .sum();
    let prints: Duration = recipes.iter().map(|recipe| person_seconds(shop, line, recipe)).sum();
    load(shop, line) + shop.times.unload.value + shop.times.flip.value * turns + reach + prints
}
