//! How a print is pressed: steps, heat, window.

use super::figures::{FigureFile, figure};
use crate::result::{CardStep, HeatCard, HeatWindow, HeatedAgain, PressCard, SetPoint, Stacked};
use schemars::JsonSchema;
use serde::Serialize;
use trade::{Peel, PressureClass, Shop, StepRole};
use units::{Duration, Temperature};

/// How a print is pressed.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct CardFile {
    transfer: String,
    source: String,
    presses: Vec<String>,
    platen: String,
    pillow: Option<String>,
    per_closing: u32,
    steps: Vec<StepFile>,
    /// Films laid over one another.
    #[serde(skip_serializing_if = "Option::is_none")]
    stacked: Option<StackedFile>,
    heat: Option<HeatFile>,
    /// Heat this print gets once more from each later press over it.
    heated_again: Vec<AgainFile>,
    /// Cautions, in the order they are read out.
    cautions: Vec<&'static str>,
}

/// Films laid over one another, the lowest first.
#[derive(Debug, Serialize, JsonSchema)]
struct StackedFile {
    films: Vec<String>,
    overlap_mm: f64,
    thickest_mm: f64,
    thickest_allowed_mm: f64,
    dwell_on_lowest_s: f64,
    dwell_on_lowest_allowed_s: f64,
    /// What the films beneath get from the last full press.
    beneath: Option<BeneathFile>,
}

/// What lies under a later plate gets.
#[derive(Debug, Serialize, JsonSchema)]
struct BeneathFile {
    bond_peak_c: f64,
    above_activation_s: f64,
    bears_c: f64,
}

fn stacked_file(stacked: &Stacked) -> StackedFile {
    StackedFile {
        films: stacked.films.iter().map(|film| film.name.clone()).collect(),
        overlap_mm: stacked.overlap.mm(),
        thickest_mm: stacked.thickest.0.mm(),
        thickest_allowed_mm: stacked.thickest.1.mm(),
        dwell_on_lowest_s: stacked.dwell_on_lowest.0.s(),
        dwell_on_lowest_allowed_s: stacked.dwell_on_lowest.1.s(),
        beneath: stacked.beneath.map(|under| BeneathFile {
            bond_peak_c: under.bond_peak.c(),
            above_activation_s: under.above_activation.s(),
            bears_c: under.bears.c(),
        }),
    }
}

/// What a finished print gets from a later press over it.
#[derive(Debug, Serialize, JsonSchema)]
struct AgainFile {
    /// The later print, from 1.
    by_print: usize,
    platen_c: f64,
    dwell_s: f64,
    bond_peak_c: f64,
    cloth_peak_c: f64,
    above_activation_s: f64,
    bears_c: f64,
}

/// What one press is set to.
#[derive(Debug, Serialize, JsonSchema)]
struct SetFile {
    press: String,
    c: FigureFile<f64>,
}

/// One step.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(tag = "do", rename_all = "kebab-case")]
enum StepFile {
    Preheat {
        /// True plate.
        c: f64,
        /// What each press is set to for it.
        set: Vec<SetFile>,
        dwell_s: FigureFile<f64>,
    },
    Place {
        /// Which of the stacked films, counted from the lowest, from 0.
        #[serde(skip_serializing_if = "Option::is_none")]
        film: Option<usize>,
    },
    Press {
        role: &'static str,
        /// True plate.
        c: FigureFile<f64>,
        /// What each press is set to for it.
        set: Vec<SetFile>,
        from_inside: bool,
        dwell_s: FigureFile<f64>,
        pressure: &'static str,
        cover: Option<String>,
    },
    SetAside {
        wait_s: FigureFile<f64>,
    },
    Peel {
        when: &'static str,
    },
}

/// What the heat model says.
#[derive(Debug, Serialize, JsonSchema)]
struct HeatFile {
    bond_end_c: FigureFile<f64>,
    reference_bond_end_c: f64,
    above_activation_s: f64,
    activation_c: FigureFile<f64>,
    cloth_peak_c: f64,
    limit_c: f64,
    margin_k: f64,
    longer_s: f64,
    equal_dose_s: Option<[f64; 2]>,
    energy_j: f64,
    window: WindowFile,
    cooling: Vec<CoolingFile>,
}

/// Platen temperature and dwell that serve on this cloth.
#[derive(Debug, Serialize, JsonSchema)]
struct WindowFile {
    /// How far the setting may be moved on the maker's sheet.
    leeway: Option<LeewayFile>,
    /// Why the setting does not serve, where it does not.
    closed_by: Option<&'static str>,
    /// Lowest and highest of the maker's sheet.
    maker_c: [f64; 2],
    /// What closes the map towards cold and towards hot.
    cold_edge: &'static str,
    hot_edge: &'static str,
    /// The map; what lies outside the maker's range is for information only.
    columns: Vec<WindowColumnFile>,
}

/// How far the setting may be moved, and what stops it on each side.
#[derive(Debug, Serialize, JsonSchema)]
struct LeewayFile {
    /// At the dwell set.
    platen_c: [f64; 2],
    /// At the plate set.
    dwell_s: [f64; 2],
    colder: &'static str,
    hotter: &'static str,
    shorter: &'static str,
    longer: &'static str,
}

/// One platen temperature of the map.
#[derive(Debug, Serialize, JsonSchema)]
struct WindowColumnFile {
    platen_c: f64,
    /// Dwells that serve.
    open_s: Option<[f64; 2]>,
    /// What closes it, when none does.
    closed_by: Option<&'static str>,
}

/// Cooling after the press.
#[derive(Debug, Serialize, JsonSchema)]
struct CoolingFile {
    way: &'static str,
    to_peel_s: Option<f64>,
    to_handling_s: Option<f64>,
}

pub(in crate::form::plan_file) fn card(shop: &Shop, card: &PressCard) -> CardFile {
    CardFile {
        transfer: shop.transfer(card.transfer).id.clone(),
        source: card.source.clone(),
        presses: card.presses.iter().map(|id| shop.press(*id).id.clone()).collect(),
        platen: shop.platen(card.platen).id.clone(),
        pillow: card.pillow.map(|id| shop.accessory(id).id.clone()),
        per_closing: card.per_closing,
        steps: card.steps.iter().map(|step| step_file(shop, step)).collect(),
        stacked: card.stacked.as_ref().map(stacked_file),
        heat: card.heat.as_ref().map(heat_file),
        heated_again: card.heated_again.iter().map(again_file).collect(),
        cautions: card.cautions.iter().map(|code| code.0).collect(),
    }
}

fn again_file(again: &HeatedAgain) -> AgainFile {
    AgainFile {
        by_print: again.by.saturating_add(1),
        platen_c: again.platen.c(),
        dwell_s: again.dwell.s(),
        bond_peak_c: again.bond_peak.c(),
        cloth_peak_c: again.cloth_peak.c(),
        above_activation_s: again.above_activation.s(),
        bears_c: again.bears.c(),
    }
}

fn set_files(shop: &Shop, set: &[SetPoint]) -> Vec<SetFile> {
    let of = |point: &SetPoint| SetFile {
        press: shop.press(point.press).id.clone(),
        c: figure(&point.display, |t: &Temperature| t.c()),
    };
    set.iter().map(of).collect()
}

fn step_file(shop: &Shop, step: &CardStep) -> StepFile {
    let span = |of: &Duration| of.s();
    match step {
        CardStep::Preheat { temperature, set, dwell } => {
            StepFile::Preheat { c: temperature.c(), set: set_files(shop, set), dwell_s: figure(dwell, span) }
        }
        CardStep::Place { film } => StepFile::Place { film: *film },
        CardStep::Press { role, temperature, set, dwell, from_inside, pressure, cover } => StepFile::Press {
            role: match role {
                StepRole::Tack => "tack",
                StepRole::Full => "full",
                StepRole::Second => "second",
            },
            c: figure(temperature, |t: &Temperature| t.c()),
            set: set_files(shop, set),
            from_inside: *from_inside,
            dwell_s: figure(dwell, span),
            pressure: match pressure {
                PressureClass::Light => "light",
                PressureClass::Medium => "medium",
                PressureClass::Firm => "firm",
            },
            cover: cover.map(|id| shop.accessory(id).id.clone()),
        },
        CardStep::SetAside { wait } => StepFile::SetAside { wait_s: figure(wait, span) },
        CardStep::Peel(peel) => StepFile::Peel {
            when: match peel {
                Peel::Hot => "hot",
                Peel::Warm => "warm",
                Peel::Cold => "cold",
            },
        },
    }
}

fn heat_file(heat: &HeatCard) -> HeatFile {
    HeatFile {
        bond_end_c: figure(&heat.bond_end, |t: &Temperature| t.c()),
        reference_bond_end_c: heat.reference_bond_end.c(),
        above_activation_s: heat.above_activation.s(),
        activation_c: figure(&heat.activation, |t: &Temperature| t.c()),
        cloth_peak_c: heat.cloth_peak.c(),
        limit_c: heat.limit.c(),
        margin_k: heat.margin.k(),
        longer_s: heat.longer.s(),
        equal_dose_s: heat.equal_dose.map(|(low, high)| [low.s(), high.s()]),
        energy_j: heat.energy_j,
        window: window_file(&heat.window),
        cooling: heat
            .cooling
            .iter()
            .map(|cooling| CoolingFile {
                way: cooling.way.0,
                to_peel_s: cooling.to_peel.map(Duration::s),
                to_handling_s: cooling.to_handling.map(Duration::s),
            })
            .collect(),
    }
}

fn window_file(window: &HeatWindow) -> WindowFile {
    let column = |column: &heat::press::WindowColumn| WindowColumnFile {
        platen_c: column.platen_c,
        open_s: column.open_s.map(|(from, to)| [from, to]),
        closed_by: column.closed_by.map(|constraint| constraint.code().0),
    };
    WindowFile {
        leeway: window.leeway.as_ref().map(|leeway| LeewayFile {
            platen_c: [leeway.temperature.0.c(), leeway.temperature.1.c()],
            dwell_s: [leeway.dwell.0.s(), leeway.dwell.1.s()],
            colder: leeway.colder.0,
            hotter: leeway.hotter.0,
            shorter: leeway.shorter.0,
            longer: leeway.longer.0,
        }),
        closed_by: window.closed_by.map(|code| code.0),
        maker_c: [window.maker.0.c(), window.maker.1.c()],
        cold_edge: window.map.cold_edge.code().0,
        hot_edge: window.map.hot_edge.code().0,
        columns: window.map.columns.iter().map(column).collect(),
    }
}
