//! Recipes inside transfers.toml: a sequence of steps.

use super::cloths::typed;
use super::reader::Reader;
use super::texts::{At, Quantity, Text, Word, Worded, Written};
use super::words::Act;
use crate::{
    Cloth, ClothId, Fibre, MakerRange, Marked, Peel, PressStep, PressureClass, Recipe, RecipeStep, StepRole, Surface,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::ops::RangeInclusive;
use units::{Duration, Temperature};

/// A maker's recipe.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RecipeForm {
    /// The maker's sheet by name and date.
    sheet: Text,
    /// The cloth for which the settings are known.
    #[serde(skip_serializing_if = "Option::is_none")]
    reference_cloth: Option<Text>,
    /// Fibres for which the recipe is given; left out: all the transfer suits.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    for_fibres: Vec<Word<Fibre>>,
    /// Faces for which the recipe is given; left out: all the transfer suits.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    for_surfaces: Vec<Word<Surface>>,
    /// Where the adhesive begins to flow.
    #[serde(skip_serializing_if = "Option::is_none")]
    activation: Option<Written<Temperature>>,
    /// Hottest later platen that the finished print bears.
    #[serde(skip_serializing_if = "Option::is_none")]
    bears: Option<Written<Temperature>>,
    /// The steps, in the order they are done.
    step: At<Vec<StepForm>>,
}

/// A step of a recipe.
#[derive(Debug, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct StepForm {
    /// What is done.
    #[serde(rename = "do")]
    act: At<Option<Word<Act>>>,
    /// Platen temperature to set.
    #[serde(skip_serializing_if = "Option::is_none")]
    temperature: Option<Written<Temperature>>,
    /// Lowest the maker allows.
    #[serde(skip_serializing_if = "Option::is_none")]
    temperature_low: Option<Written<Temperature>>,
    /// Highest the maker allows.
    #[serde(skip_serializing_if = "Option::is_none")]
    temperature_high: Option<Written<Temperature>>,
    /// Time closed.
    #[serde(skip_serializing_if = "Option::is_none")]
    dwell: Option<Written<Duration>>,
    /// Shortest the maker allows.
    #[serde(skip_serializing_if = "Option::is_none")]
    dwell_low: Option<Written<Duration>>,
    /// Longest the maker allows.
    #[serde(skip_serializing_if = "Option::is_none")]
    dwell_high: Option<Written<Duration>>,
    /// Pressure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pressure: Option<Word<PressureClass>>,
    /// Whether a cover sheet lies on top; left out: the maker says nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    cover: Option<bool>,
    /// Pressed from the inside, through the garment.
    #[serde(default, skip_serializing_if = "super::garments::is_false")]
    from_inside: bool,
    /// When the carrier comes off.
    #[serde(skip_serializing_if = "Option::is_none")]
    peel: Option<Word<Peel>>,
}

pub(super) fn read(form: &RecipeForm, reader: &mut Reader<'_>) -> Recipe {
    let steps: Vec<RecipeStep> = form.step.value.iter().filter_map(|form| step(form, reader)).collect();
    if steps.len() == form.step.value.len() {
        check_sequence(&steps, form, reader);
    }
    let source = reader.name(&form.sheet);
    let hottest = presses(&steps).map(|press| press.temperature.high).fold(Temperature::ZERO, Temperature::max);
    let bears = match &form.bears {
        Some(written) => Marked::maker(reader.quantity(written, 60.0..=260.0), source.clone()),
        // It has borne its own press; more is not known.
        None => Marked::default_practice(hottest),
    };
    Recipe {
        source,
        reference_cloth: form.reference_cloth.as_ref().map(|text| ClothId(reader.refer("cloth", text))),
        for_fibres: form.for_fibres.iter().map(|word| word.0).collect(),
        for_surfaces: form.for_surfaces.iter().map(|word| word.0).collect(),
        activation: form.activation.as_ref().map(|written| reader.quantity(written, 40.0..=220.0)),
        bears,
        steps,
    }
}

pub(super) fn write(recipe: &Recipe, cloths: &[Cloth]) -> RecipeForm {
    RecipeForm {
        sheet: At::new(recipe.source.clone()),
        reference_cloth: recipe.reference_cloth.and_then(|id| cloths.get(id.0)).map(|cloth| At::new(cloth.id.clone())),
        for_fibres: recipe.for_fibres.iter().map(|fibre| Word(*fibre)).collect(),
        for_surfaces: recipe.for_surfaces.iter().map(|surface| Word(*surface)).collect(),
        activation: recipe.activation.map(Written::of),
        bears: typed(&recipe.bears),
        step: At::new(recipe.steps.iter().map(step_form).collect()),
    }
}

fn presses(steps: &[RecipeStep]) -> impl Iterator<Item = &PressStep> {
    steps.iter().filter_map(|step| if let RecipeStep::Press(press) = step { Some(press) } else { None })
}

/// One bond, something placed before it, and the carrier taken off.
fn check_sequence(steps: &[RecipeStep], form: &RecipeForm, reader: &mut Reader<'_>) {
    let at = form.step.value.first().map_or(form.sheet.at, |step| step.act.at);
    let full = presses(steps).filter(|press| press.role == StepRole::Full).count();
    if full != 1 {
        reader.faults.tell(
            at,
            format!("the recipe has {full} steps that make the bond"),
            "Let exactly one step say do = \"press\"; others are \"tack\" or \"second-press\"",
        );
    }
    let placed = steps.iter().position(|step| *step == RecipeStep::Place);
    let pressed = steps.iter().position(|step| matches!(step, RecipeStep::Press(_)));
    if placed.is_none_or(|placed| pressed.is_some_and(|pressed| pressed < placed)) {
        reader.faults.tell(
            at,
            "nothing is placed before the press closes on it",
            "Add a step do = \"place\" before the first press",
        );
    }
    if !steps.iter().any(|step| matches!(step, RecipeStep::Peel(_))) {
        reader.faults.tell(
            at,
            "the recipe does not say when the carrier comes off",
            "Add a step do = \"peel\" with peel = \"hot\", \"warm\" or \"cold\"",
        );
    }
}

fn step(form: &StepForm, reader: &mut Reader<'_>) -> Option<RecipeStep> {
    let act = form.act.value?.0;
    refuse_extra(act, form, reader);
    Some(match act {
        Act::Place => RecipeStep::Place,
        Act::SetAside => RecipeStep::SetAside,
        Act::Peel => RecipeStep::Peel(needed(form.peel, "peel", form, reader)?.0),
        Act::Preheat => {
            let written = needed(form.dwell.as_ref(), "dwell", form, reader)?;
            RecipeStep::Preheat { dwell: reader.quantity(written, 0.5..=60.0) }
        }
        Act::Tack => RecipeStep::Press(press(StepRole::Tack, form, reader)?),
        Act::Press => RecipeStep::Press(press(StepRole::Full, form, reader)?),
        Act::SecondPress => RecipeStep::Press(press(StepRole::Second, form, reader)?),
    })
}

fn press(role: StepRole, form: &StepForm, reader: &mut Reader<'_>) -> Option<PressStep> {
    let temperature = needed(form.temperature.as_ref(), "temperature", form, reader);
    let dwell = needed(form.dwell.as_ref(), "dwell", form, reader);
    let pressure = needed(form.pressure, "pressure", form, reader);
    let (temperature, dwell, pressure) = (temperature?, dwell?, pressure?);
    Some(PressStep {
        role,
        temperature: range(
            [form.temperature_low.as_ref(), Some(temperature), form.temperature_high.as_ref()],
            60.0..=260.0,
            reader,
        ),
        dwell: range([form.dwell_low.as_ref(), Some(dwell), form.dwell_high.as_ref()], 0.5..=120.0, reader),
        pressure: pressure.0,
        cover: form.cover,
        from_inside: form.from_inside,
    })
}

/// Lowest, set, highest: what is left out is the set value, for a maker's
/// single value is not a tolerance.
fn range<Q: Quantity + PartialOrd>(
    written: [Option<&Written<Q>>; 3],
    bounds: RangeInclusive<f64>,
    reader: &mut Reader<'_>,
) -> MakerRange<Q> {
    let [low, set, high] = written.map(|written| written.map(|written| reader.quantity(written, bounds.clone())));
    let set = set.unwrap_or_default();
    let range = MakerRange { low: low.unwrap_or(set), set, high: high.unwrap_or(set) };
    if range.low > range.set || range.set > range.high {
        let at = written[1].map_or(0, |written| written.text.at);
        reader.faults.tell(
            at,
            "the value to set lies outside the maker's range",
            "Let it lie from the lowest to the highest the maker allows",
        );
    }
    range
}

fn needed<T>(value: Option<T>, key: &str, form: &StepForm, reader: &mut Reader<'_>) -> Option<T> {
    if value.is_none() {
        let act = form.act.value.map_or("", |word| word.0.word());
        reader.faults.tell(
            form.act.at,
            format!("the step “{act}” has no “{key}”"),
            format!("Add {key}, as the maker's sheet says"),
        );
    }
    value
}

/// Keys that the step has no use for are more likely typed under the wrong step.
fn refuse_extra(act: Act, form: &StepForm, reader: &mut Reader<'_>) {
    let closes = matches!(act, Act::Tack | Act::Press | Act::SecondPress);
    let of_press = form.temperature.is_some()
        || form.temperature_low.is_some()
        || form.temperature_high.is_some()
        || form.dwell_low.is_some()
        || form.dwell_high.is_some()
        || form.pressure.is_some()
        || form.cover.is_some()
        || form.from_inside;
    let stray_dwell = form.dwell.is_some() && !closes && act != Act::Preheat;
    if (of_press && !closes) || stray_dwell {
        reader.faults.tell(
            form.act.at,
            format!("the step “{}” has settings of a press", act.word()),
            "Move them to the step they belong to",
        );
    }
    if form.peel.is_some() && act != Act::Peel {
        reader.faults.tell(
            form.act.at,
            format!("the step “{}” has a peel", act.word()),
            "Add a step do = \"peel\" of its own",
        );
    }
}

fn step_form(step: &RecipeStep) -> StepForm {
    let of = |act| StepForm { act: At::new(Some(Word(act))), ..StepForm::default() };
    match step {
        RecipeStep::Place => of(Act::Place),
        RecipeStep::SetAside => of(Act::SetAside),
        RecipeStep::Peel(peel) => StepForm { peel: Some(Word(*peel)), ..of(Act::Peel) },
        RecipeStep::Preheat { dwell } => StepForm { dwell: Some(Written::of(*dwell)), ..of(Act::Preheat) },
        RecipeStep::Press(press) => {
            let act = match press.role {
                StepRole::Tack => Act::Tack,
                StepRole::Full => Act::Press,
                StepRole::Second => Act::SecondPress,
            };
            let [temperature_low, temperature, temperature_high] = ends(&press.temperature);
            let [dwell_low, dwell, dwell_high] = ends(&press.dwell);
            StepForm {
                temperature_low,
                temperature,
                temperature_high,
                dwell_low,
                dwell,
                dwell_high,
                pressure: Some(Word(press.pressure)),
                cover: press.cover,
                from_inside: press.from_inside,
                ..of(act)
            }
        }
    }
}

fn ends<Q: Quantity + PartialEq>(range: &MakerRange<Q>) -> [Option<Written<Q>>; 3] {
    let other = |end: Q| (end != range.set).then(|| Written::of(end));
    [other(range.low), Some(Written::of(range.set)), other(range.high)]
}
