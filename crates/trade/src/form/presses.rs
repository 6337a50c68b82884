//! presses.toml.

use super::cloths::typed;
use super::reader::Reader;
use super::texts::{At, Text, Word, Written};
use crate::{
    Accessory, AccessoryKind, CoverFinish, Marked, Platen, PlatenForm, PlatenId, PlatenShape, Press, defaults,
};
use report::Origin;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Duration, Length, Temperature, TemperatureDifference};

/// Presses, lower platens, pads, pillows, cover sheets.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct PressesFile {
    /// Version of this form: 1.
    pub version: At<u32>,
    /// Every press.
    pub press: At<Vec<PressForm>>,
    /// Every lower platen.
    pub platen: Vec<PlatenItem>,
    /// Pads that lie on the lower platens.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pad: Vec<PadForm>,
    /// Loose pillows.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pillow: Vec<PillowForm>,
    /// Cover sheets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cover_sheet: Vec<CoverForm>,
}

/// A press.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct PressForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Heated plate, left to right.
    plate_width: Written<Length>,
    /// Heated plate, away from the operator.
    plate_depth: Written<Length>,
    /// Lower platens that fit, the one usually mounted first.
    platens: At<Vec<Text>>,
    /// Hottest setting.
    hottest: Written<Temperature>,
    /// Step in which temperature is set.
    temperature_step: Written<TemperatureDifference>,
    /// True temperature of the plate less its display, as measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    measured_offset: Option<Written<TemperatureDifference>>,
    /// Heater, watts.
    #[serde(skip_serializing_if = "Option::is_none")]
    heater_watts: Option<At<f64>>,
    /// Thickness of the heated plate.
    #[serde(skip_serializing_if = "Option::is_none")]
    plate_thickness: Option<Written<Length>>,
    /// From cold to ready.
    #[serde(skip_serializing_if = "Option::is_none")]
    warm_up: Option<Written<Duration>>,
    /// Changing the lower platen.
    #[serde(skip_serializing_if = "Option::is_none")]
    platen_swap: Option<Written<Duration>>,
    /// Setting another pressure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pressure_reset: Option<Written<Duration>>,
}

/// A lower platen: width and depth, or a diameter.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct PlatenItem {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Left to right.
    #[serde(skip_serializing_if = "Option::is_none")]
    width: Option<Written<Length>>,
    /// Away from the operator.
    #[serde(skip_serializing_if = "Option::is_none")]
    depth: Option<Written<Length>>,
    /// Across a round one.
    #[serde(skip_serializing_if = "Option::is_none")]
    diameter: Option<Written<Length>>,
    /// What it is made for; "flat" when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    form: Option<Word<PlatenForm>>,
}

/// The pad that lies on a lower platen.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct PadForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Thickness.
    thickness: Written<Length>,
    /// Heat conductivity, W/mK: silicone sponge 0.06 to 0.12, solid silicone 0.23 to 0.25.
    conductivity_w_mk: At<f64>,
}

/// A loose pillow.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct PillowForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Thickness.
    thickness: Written<Length>,
    /// Left to right.
    width: Written<Length>,
    /// Front to back.
    depth: Written<Length>,
}

/// A cover sheet.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct CoverForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Thickness.
    thickness: Written<Length>,
    /// Finish it gives.
    finish: Word<CoverFinish>,
}

/// What the file holds.
pub(super) struct Machines {
    pub presses: Vec<Press>,
    pub platens: Vec<Platen>,
    pub accessories: Vec<Accessory>,
}

pub(super) fn read(file: &PressesFile, reader: &mut Reader<'_>) -> Machines {
    if file.press.value.is_empty() {
        reader.faults.tell(file.press.at, "there is no press", "Add at least one [[press]]");
    }
    let pads = file.pad.iter().map(|form| pad(form, reader)).collect::<Vec<_>>();
    let pillows = file.pillow.iter().map(|form| pillow(form, reader)).collect::<Vec<_>>();
    let covers = file.cover_sheet.iter().map(|form| cover(form, reader)).collect::<Vec<_>>();
    Machines {
        presses: file.press.value.iter().map(|form| press(form, reader)).collect(),
        platens: file.platen.iter().map(|form| platen(form, reader)).collect(),
        accessories: [pads, pillows, covers].concat(),
    }
}

pub(super) fn write(presses: &[Press], platens: &[Platen], accessories: &[Accessory]) -> PressesFile {
    let mut file = PressesFile {
        version: At::new(1),
        press: At::new(presses.iter().map(|press| press_form(press, platens)).collect()),
        platen: platens.iter().map(platen_form).collect(),
        pad: Vec::new(),
        pillow: Vec::new(),
        cover_sheet: Vec::new(),
    };
    for accessory in accessories {
        let (id, name) = (At::new(accessory.id.clone()), At::new(accessory.name.clone()));
        match accessory.kind {
            AccessoryKind::Pad { thickness, conductivity } => {
                let conductivity_w_mk = At::new(conductivity);
                file.pad.push(PadForm { id, name, thickness: Written::of(thickness), conductivity_w_mk });
            }
            AccessoryKind::Pillow { thickness, width, depth } => {
                let (width, depth) = (Written::of(width), Written::of(depth));
                file.pillow.push(PillowForm { id, name, thickness: Written::of(thickness), width, depth });
            }
            AccessoryKind::CoverSheet { thickness, finish } => {
                file.cover_sheet.push(CoverForm { id, name, thickness: Written::of(thickness), finish: Word(finish) });
            }
        }
    }
    file
}

fn press(form: &PressForm, reader: &mut Reader<'_>) -> Press {
    let width = reader.quantity(&form.plate_width, 20.0..=2000.0);
    let depth = reader.quantity(&form.plate_depth, 20.0..=2000.0);
    if form.platens.value.is_empty() {
        reader.faults.tell(form.platens.at, "no platen fits this press", "Name at least one platen");
    }
    Press {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        plate_width: width,
        plate_depth: depth,
        platens: form.platens.value.iter().map(|text| PlatenId(reader.refer("platen", text))).collect(),
        hottest: reader.quantity(&form.hottest, 100.0..=300.0),
        offset: match &form.measured_offset {
            Some(written) => {
                let value = reader.quantity(written, -40.0..=40.0);
                Marked { value, origin: Origin::Measured, source: None }
            }
            None => defaults::plate_offset(),
        },
        heater_w: match &form.heater_watts {
            Some(watts) => Marked::shop(reader.number(watts.at, watts.value, 50.0..=20_000.0, "W")),
            None => defaults::heater_w(width, depth),
        },
        plate_thickness: reader.or_default(form.plate_thickness.as_ref(), 2.0..=100.0, defaults::plate_thickness()),
        temperature_step: reader.quantity(&form.temperature_step, 0.1..=20.0),
        warm_up: reader.or_default(form.warm_up.as_ref(), 0.0..=7200.0, defaults::warm_up()),
        platen_swap: reader.or_default(form.platen_swap.as_ref(), 0.0..=3600.0, defaults::platen_swap()),
        pressure_reset: reader.or_default(form.pressure_reset.as_ref(), 0.0..=3600.0, defaults::pressure_reset()),
    }
}

fn press_form(press: &Press, platens: &[Platen]) -> PressForm {
    let called = |id: &PlatenId| At::new(platens.get(id.0).map_or_else(String::new, |platen| platen.id.clone()));
    PressForm {
        id: At::new(press.id.clone()),
        name: At::new(press.name.clone()),
        plate_width: Written::of(press.plate_width),
        plate_depth: Written::of(press.plate_depth),
        platens: At::new(press.platens.iter().map(called).collect()),
        hottest: Written::of(press.hottest),
        temperature_step: Written::of(press.temperature_step),
        measured_offset: typed(&press.offset),
        heater_watts: (press.heater_w.origin != Origin::Default).then(|| At::new(press.heater_w.value)),
        plate_thickness: typed(&press.plate_thickness),
        warm_up: typed(&press.warm_up),
        platen_swap: typed(&press.platen_swap),
        pressure_reset: typed(&press.pressure_reset),
    }
}

fn platen(form: &PlatenItem, reader: &mut Reader<'_>) -> Platen {
    let mut side = |written: &Written<Length>| reader.quantity(written, 20.0..=2000.0);
    let shape = match (&form.width, &form.depth, &form.diameter) {
        (Some(width), Some(depth), None) => PlatenShape::Rectangle { width: side(width), depth: side(depth) },
        (None, None, Some(diameter)) => PlatenShape::Round { diameter: side(diameter) },
        _ => {
            reader.faults.tell(
                form.id.at,
                "this platen has no clear size",
                "Give width and depth, or a diameter alone",
            );
            PlatenShape::Round { diameter: Length::ZERO }
        }
    };
    Platen {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        shape,
        form: form.form.map_or(PlatenForm::Flat, |word| word.0),
    }
}

fn platen_form(platen: &Platen) -> PlatenItem {
    let (width, depth, diameter) = match platen.shape {
        PlatenShape::Rectangle { width, depth } => (Some(Written::of(width)), Some(Written::of(depth)), None),
        PlatenShape::Round { diameter } => (None, None, Some(Written::of(diameter))),
    };
    PlatenItem {
        id: At::new(platen.id.clone()),
        name: At::new(platen.name.clone()),
        width,
        depth,
        diameter,
        form: Some(Word(platen.form)),
    }
}

fn pad(form: &PadForm, reader: &mut Reader<'_>) -> Accessory {
    let conductivity = &form.conductivity_w_mk;
    let kind = AccessoryKind::Pad {
        thickness: reader.quantity(&form.thickness, 0.5..=50.0),
        conductivity: reader.number(conductivity.at, conductivity.value, 0.01..=5.0, "W/mK"),
    };
    Accessory { id: reader.id(&form.id), name: reader.name(&form.name), kind }
}

fn pillow(form: &PillowForm, reader: &mut Reader<'_>) -> Accessory {
    let kind = AccessoryKind::Pillow {
        thickness: reader.quantity(&form.thickness, 2.0..=60.0),
        width: reader.quantity(&form.width, 20.0..=1000.0),
        depth: reader.quantity(&form.depth, 20.0..=1000.0),
    };
    Accessory { id: reader.id(&form.id), name: reader.name(&form.name), kind }
}

fn cover(form: &CoverForm, reader: &mut Reader<'_>) -> Accessory {
    let thickness = reader.quantity(&form.thickness, 0.01..=5.0);
    let kind = AccessoryKind::CoverSheet { thickness, finish: form.finish.0 };
    Accessory { id: reader.id(&form.id), name: reader.name(&form.name), kind }
}
