//! Platen and calibration as forms.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::door::{Refusal, version};
use super::work::{AroundForm, SettingForm, WorkForm, around};
use crate::assembly::Assembly;
use crate::calibrate::{self, MapAdvice, Seen};
use crate::dose::DoseRule;
use crate::error::{HeatError, counted, within};
use crate::platen::{CASING_W_K, OPEN_W_M2K, Plate, Run, change_time_s, run};

/// A run of presses under one platen.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlatenForm {
    /// Version of this form: 1.
    version: Option<u32>,
    /// The plate.
    plate: PlateForm,
    /// What is pressed; a usual film transfer on a cotton tee of 180 g/m² where left out.
    work: Option<WorkForm>,
    /// Thermostat and dwell.
    press: SettingForm,
    /// Open between presses, s.
    open_s: f64,
    /// How many presses, 1 to 500.
    presses: usize,
    /// Width of the thermostat's band, K; 1 where left out.
    band_k: Option<f64>,
    /// Room and pad.
    around: Option<AroundForm>,
    /// Another setting, °C: how long the change takes.
    change_to_c: Option<f64>,
}

/// An aluminium plate.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PlateForm {
    /// Width, mm.
    width_mm: f64,
    /// Length, mm.
    length_mm: f64,
    /// Thickness, mm.
    thickness_mm: f64,
    /// Heater, W.
    heater_w: f64,
    /// Loss of the casing, W/K; 1.3 where left out.
    casing_w_k: Option<f64>,
    /// Loss of the open face, W/m²K; 13.6 where left out.
    open_w_m2k: Option<f64>,
}

/// True platen and pad from readings; or a map of the plate.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CalibrateForm {
    /// Version of this form: 1.
    version: Option<u32>,
    /// Readings at the bond line, up to 50.
    #[serde(default)]
    readings: Vec<ReadingForm>,
    /// Readings over the plate.
    map: Option<MapForm>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
enum ReadingForm {
    /// A temperature strip between adhesive and cloth.
    Strip { work: Box<WorkForm>, press: SettingForm, around: Option<AroundForm>, turned_c: f64, not_c: f64 },
    /// A dwell found just good for a known recipe.
    GoodDwell {
        work: Box<WorkForm>,
        press: SettingForm,
        around: Option<AroundForm>,
        recipe: SettingForm,
        reference: Option<Box<WorkForm>>,
        activation_c: Option<f64>,
    },
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct MapForm {
    /// What was set, °C.
    setting_c: f64,
    /// Rows from back to front, columns from left to right, °C.
    readings_c: Vec<Vec<f64>>,
}

#[derive(Debug, Serialize)]
pub(super) struct PlatenAnswer {
    sag_k: f64,
    settles_low_k: f64,
    mean_power_w: f64,
    presses_per_hour: f64,
    sustainable_per_hour: Option<f64>,
    warm_up_cycles: usize,
    change_s: Option<f64>,
    presses: Vec<PressForm>,
}

#[derive(Debug, Serialize)]
struct PressForm {
    platen_closing_c: f64,
    platen_lowest_c: f64,
    pad_c: f64,
    bond_end_c: f64,
    drawn_j: f64,
    heater_share: f64,
}

#[derive(Debug, Serialize)]
pub(super) struct CalibrateAnswer {
    #[serde(skip_serializing_if = "Option::is_none")]
    press: Option<FitForm>,
    #[serde(skip_serializing_if = "Option::is_none")]
    map: Option<MapAnswer>,
}

#[derive(Debug, Serialize)]
struct FitForm {
    platen_offset_k: f64,
    platen_doubt_k: f64,
    pad_factor: f64,
    pad_factor_range: (f64, f64),
    pad_told: bool,
    left_over: Vec<f64>,
}

#[derive(Debug, Serialize)]
struct MapAnswer {
    mean_c: f64,
    offset_k: f64,
    spread_k: f64,
    coldest: SpotForm,
    hottest: SpotForm,
    coldest_in_corner: bool,
    advice: &'static str,
    longer_at_coldest: f64,
}

#[derive(Debug, Serialize)]
struct SpotForm {
    row: usize,
    column: usize,
    c: f64,
}

pub(super) fn platen(form: PlatenForm) -> Result<PlatenAnswer, Refusal> {
    version(form.version)?;
    let plate = form.plate.plate()?;
    let work = work(form.work.as_ref(), "work")?;
    let around = around(form.around);
    let setting = form.press.setting();
    let task = Run {
        setting,
        open_s: form.open_s,
        presses: form.presses,
        band_k: form.band_k.unwrap_or(1.0),
        room_c: around.room_c,
        pad_start_c: around.pad_start_c,
    };
    if let Some(to) = form.change_to_c {
        within(|| "change_to_c".into(), to, (20.0, 260.0), "°C")?;
    }
    let seen = run(&plate, &work, &task)?;
    Ok(PlatenAnswer {
        sag_k: seen.sag_k,
        settles_low_k: seen.settles_low_k,
        mean_power_w: seen.mean_power_w,
        presses_per_hour: 3600.0 / (setting.dwell_s + task.open_s),
        sustainable_per_hour: seen.sustainable_per_hour,
        warm_up_cycles: seen.warm_up_cycles,
        change_s: form.change_to_c.and_then(|to| change_time_s(&plate, setting.platen_c, to, around.room_c)),
        presses: seen
            .presses
            .iter()
            .map(|p| PressForm {
                platen_closing_c: p.platen_closing_c,
                platen_lowest_c: p.platen_lowest_c,
                pad_c: p.pad_c,
                bond_end_c: p.bond_end_c,
                drawn_j: p.drawn_j,
                heater_share: p.heater_share,
            })
            .collect(),
    })
}

pub(super) fn calibrate(form: CalibrateForm) -> Result<CalibrateAnswer, Refusal> {
    version(form.version)?;
    if form.map.is_none() {
        counted(|| "readings".into(), form.readings.len(), (1, 50))?;
    }
    let seen = form.readings.iter().enumerate().map(|(i, r)| r.seen(i)).collect::<Result<Vec<_>, _>>()?;
    let press = if seen.is_empty() { None } else { Some(fit(&seen)?) };
    let map = form.map.map(|m| calibrate::map(m.setting_c, &m.readings_c)).transpose()?.map(map_answer);
    Ok(CalibrateAnswer { press, map })
}

fn fit(seen: &[Seen]) -> Result<FitForm, HeatError> {
    let fit = calibrate::calibrate(seen)?;
    Ok(FitForm {
        platen_offset_k: fit.platen_offset_k,
        platen_doubt_k: fit.platen_doubt_k,
        pad_factor: fit.pad_factor,
        pad_factor_range: fit.pad_factor_range,
        pad_told: fit.pad_told,
        left_over: fit.left_over,
    })
}

fn map_answer(map: calibrate::PlateMap) -> MapAnswer {
    let spot = |(row, column, c): (usize, usize, f64)| SpotForm { row, column, c };
    MapAnswer {
        mean_c: map.mean_c,
        offset_k: map.offset_k,
        spread_k: map.spread_k,
        coldest: spot(map.coldest),
        hottest: spot(map.hottest),
        coldest_in_corner: map.in_corner,
        advice: match map.advice {
            MapAdvice::Even => "even",
            MapAdvice::AvoidColdest => "avoid-coldest",
            MapAdvice::Repair => "repair",
        },
        longer_at_coldest: map.longer_at_coldest,
    }
}

impl PlateForm {
    fn plate(self) -> Result<Plate, HeatError> {
        let side = |field: &str, value: f64| within(|| format!("plate.{field}"), value, (10.0, 2000.0), "mm");
        let thickness = within(|| "plate.thickness_mm".into(), self.thickness_mm, (1.0, 100.0), "mm")?;
        let sides = [side("width_mm", self.width_mm)?, side("length_mm", self.length_mm)?, thickness];
        Ok(Plate {
            casing_w_k: self.casing_w_k.unwrap_or(CASING_W_K),
            open_w_m2k: self.open_w_m2k.unwrap_or(OPEN_W_M2K),
            ..Plate::aluminium(sides, self.heater_w)
        })
    }
}

impl ReadingForm {
    fn seen(&self, index: usize) -> Result<Seen, HeatError> {
        let path = |part: &str| format!("readings[{index}].{part}");
        Ok(match self {
            Self::Strip { work, press, around: a, turned_c, not_c } => Seen::Strip {
                work: work.assembly(&path("work"))?,
                setting: press.setting(),
                around: around(*a),
                turned_c: *turned_c,
                not_c: *not_c,
            },
            Self::GoodDwell { work: w, press, around: a, recipe, reference, activation_c } => Seen::GoodDwell {
                work: w.assembly(&path("work"))?,
                setting: press.setting(),
                around: around(*a),
                recipe: recipe.setting(),
                reference: Box::new(work(reference.as_deref(), &path("reference"))?),
                activation_c: activation_c.unwrap_or(DoseRule::gate_for(recipe.setting().platen_c)),
            },
        })
    }
}

fn work(form: Option<&WorkForm>, path: &str) -> Result<Assembly, HeatError> {
    form.map_or_else(|| Ok(Assembly::reference()), |work| work.assembly(path))
}
