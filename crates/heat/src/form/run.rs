//! The form of a stack through phases, and of its history.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::door::{Refusal, version};
use crate::boundary::{self, Boundary, Course, Facing};
use crate::case::{self, Case, Change, DoseAt, History, NewBottom, NewTop, Phase, Place, Probe};
use crate::dose::{self, DoseRule};
use crate::error::{HeatError, counted, within};
use crate::layer::{self, Layer, Mesh, Stack, Start, Water};
use crate::pace::Pace;

/// A stack, its phases, and what is to be read.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CaseForm {
    /// Version of this form: 1.
    version: Option<u32>,
    /// Temperature of layers that have none of their own, °C.
    start_c: StartForm,
    /// Layers from the hot side down, 1 to 200.
    layers: Vec<LayerForm>,
    /// Conductance of each joint, W/m²K, one fewer than layers; null: perfect.
    #[serde(default)]
    contacts_w_m2k: Vec<Option<f64>>,
    /// What happens, in order; one day at most in all.
    phases: Vec<PhaseForm>,
    /// Where temperatures are read.
    #[serde(default)]
    probes: Vec<ProbeForm>,
    /// When, s from the start, rising.
    #[serde(default)]
    times_s: Vec<f64>,
    /// A dose to count, in phases named "press" only.
    dose: Option<DoseForm>,
    /// Length of steps; "fine" where left out.
    pace: Option<PaceForm>,
}

/// °C throughout, or a linear pair [top, bottom].
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(untagged, expecting = "a temperature, or a pair [top, bottom]")]
enum StartForm {
    Even(f64),
    Linear([f64; 2]),
}

/// One layer.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LayerForm {
    /// A name for people.
    #[serde(default)]
    name: String,
    /// Thickness as pressed, mm.
    thickness_mm: f64,
    /// W/mK.
    conductivity_w_mk: f64,
    /// kg/m³.
    density_kg_m3: f64,
    /// J/kgK.
    heat_capacity_j_kgk: f64,
    /// Temperature of its own, °C, or a linear pair [top, bottom].
    start_c: Option<StartForm>,
    /// Bound water, kg/m².
    water_kg_m2: Option<f64>,
    /// Where the water leaves, °C, low and high; 90 to 125 where left out.
    drying_window_c: Option<[f64; 2]>,
    /// Heat that frees it, J/kg; 2.6e6 where left out.
    latent_j_kg: Option<f64>,
    /// How many cells; fine at both faces where left out.
    cells: Option<usize>,
    /// Ratio of neighbouring cells, finest at the top face; 1 where left out.
    growth: Option<f64>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PhaseForm {
    /// "press" where pressure is on.
    name: String,
    duration_s: f64,
    top: BoundaryForm,
    bottom: BoundaryForm,
    /// Layers taken off the top before it begins.
    #[serde(default)]
    remove_top_layers: usize,
    /// Layers laid on top.
    add_top_layers: Option<AddForm>,
    /// The work set down on something else.
    replace_bottom: Option<ReplaceForm>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct AddForm {
    layers: Vec<LayerForm>,
    /// Between them, and last to the present top; as many as layers.
    contacts_w_m2k: Vec<Option<f64>>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ReplaceForm {
    /// How many layers stay, from the top.
    keep: usize,
    #[serde(default)]
    layers: Vec<LayerForm>,
    /// First to the kept ones, then between the new ones; as many as layers.
    #[serde(default)]
    contacts_w_m2k: Vec<Option<f64>>,
}

/// A number, or points [time s, value] joined by straight lines.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(untagged, expecting = "a number, or a list of [time, value] points")]
enum CourseForm {
    Steady(f64),
    Points(Vec<[f64; 2]>),
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum FacingForm {
    Up,
    Down,
    Side,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
enum BoundaryForm {
    /// The face is held.
    Held { c: CourseForm },
    /// Something of a given temperature through a conductance.
    Contact { w_m2k: f64, to_c: CourseForm },
    /// A flux into the face.
    Flux { w_m2: CourseForm },
    /// Grey surroundings.
    Radiation { emissivity: f64, to_c: CourseForm },
    /// Still air and surroundings of the same temperature.
    Air { to_c: CourseForm, facing: Option<FacingForm>, size_mm: Option<f64>, emissivity: Option<f64> },
    /// Heat supplied to the face less a loss: a heated plate.
    Heated { w_m2: CourseForm, loss_w_m2k: f64, to_c: CourseForm },
    /// No heat passes.
    Insulated {},
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum SideForm {
    Top,
    Middle,
    Bottom,
}

/// A layer's face or middle, or a depth below the first top face.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ProbeForm {
    name: String,
    /// The layer, from 0 at the hot side; added ones are numbered on.
    layer: Option<usize>,
    /// Where in the layer; its top where left out.
    at: Option<SideForm>,
    /// Depth below the top of the stack as it is at the start, mm; in place of a layer.
    depth_mm: Option<f64>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct DoseForm {
    layer: usize,
    side: SideForm,
    /// Nothing counts below, °C.
    gate_c: f64,
    /// 80000 where left out.
    activation_j_mol: Option<f64>,
    /// 130 where left out.
    reference_c: Option<f64>,
}

/// "fine", "press", or steps of your own.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(untagged, expecting = "\"fine\", \"press\", { \"step_s\" } or { \"first_s\", \"share\" }")]
enum PaceForm {
    Named(PaceName),
    Even(EvenPace),
    Growing(GrowingPace),
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum PaceName {
    Fine,
    Press,
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct EvenPace {
    step_s: f64,
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct GrowingPace {
    first_s: f64,
    share: f64,
}

/// What came of a case.
#[derive(Debug, Serialize)]
pub(super) struct HistoryForm {
    times_s: Vec<f64>,
    probes: Vec<ReadingForm>,
    heat_j_m2: HeatForm,
    water_left_kg_m2: Vec<Option<f64>>,
    balance_error: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    dose: Option<CountedForm>,
    steps: u64,
}

#[derive(Debug, Serialize)]
struct ReadingForm {
    name: String,
    values_c: Vec<Option<f64>>,
    peak_c: Option<f64>,
    peak_at_s: f64,
}

#[derive(Debug, Serialize)]
struct HeatForm {
    #[serde(rename = "in")]
    inward: f64,
    stored: f64,
    drying: f64,
    out: f64,
}

#[derive(Debug, Serialize)]
struct CountedForm {
    above_gate_s: f64,
    equivalent_s: f64,
}

pub(super) fn answer(form: CaseForm) -> Result<HistoryForm, Refusal> {
    version(form.version)?;
    let history = case::run(&case(form)?)?;
    Ok(written(history))
}

fn case(form: CaseForm) -> Result<Case, HeatError> {
    let mut layers: Vec<Layer> =
        form.layers.iter().enumerate().map(|(i, l)| l.layer(&format!("layers[{i}]."))).collect::<Result<_, _>>()?;
    let start_c = match form.start_c {
        StartForm::Even(c) => c,
        StartForm::Linear(ends) => {
            spread(&mut layers, ends);
            0.5 * (ends[0] + ends[1])
        }
    };
    counted(|| "probes".into(), form.probes.len(), (0, crate::limits::PROBES))?;
    counted(|| "phases".into(), form.phases.len(), (1, crate::limits::PHASES))?;
    let stack = Stack::new(layers, form.contacts_w_m2k)?;
    let probes =
        form.probes.into_iter().enumerate().map(|(i, p)| p.probe(i, stack.layers())).collect::<Result<Vec<_>, _>>()?;
    let phases = form.phases.into_iter().enumerate().map(|(i, p)| p.phase(i)).collect::<Result<Vec<_>, _>>()?;
    Ok(Case {
        stack,
        start_c,
        phases,
        probes,
        times_s: form.times_s,
        dose: form.dose.map(|d| d.dose()),
        pace: form.pace.map_or(Ok(Pace::FINE), PaceForm::pace)?,
    })
}

/// A linear start over the whole stack, by thickness.
fn spread(layers: &mut [Layer], [top, bottom]: [f64; 2]) {
    let whole: f64 = layers.iter().map(|l| l.thickness_mm).sum();
    let mut above = 0.0;
    for layer in layers {
        let at = |mm: f64| top + (bottom - top) * mm / whole;
        let (upper, lower) = (at(above), at(above + layer.thickness_mm));
        above += layer.thickness_mm;
        layer.start.get_or_insert(Start::Linear(upper, lower));
    }
}

impl LayerForm {
    pub(super) fn layer(&self, path: &str) -> Result<Layer, HeatError> {
        let window = self.drying_window_c.map_or(layer::DRYING_WINDOW_C, |w| (w[0], w[1]));
        let latent_j_kg = self.latent_j_kg.unwrap_or(layer::DESORPTION_J_KG);
        let mesh = match (self.cells, self.growth) {
            (None, None) => Mesh::Auto,
            (Some(cells), None) => Mesh::Even(cells),
            (Some(cells), Some(growth)) => Mesh::FromTop { cells, growth },
            (None, Some(_)) => {
                return Err(HeatError::Count { field: format!("{path}cells"), count: 0, lowest: 1, highest: 4000 });
            }
        };
        Ok(Layer {
            name: self.name.clone(),
            thickness_mm: self.thickness_mm,
            conductivity_w_mk: self.conductivity_w_mk,
            density_kg_m3: self.density_kg_m3,
            heat_capacity_j_kgk: self.heat_capacity_j_kgk,
            start: self.start_c.map(|s| match s {
                StartForm::Even(c) => Start::Even(c),
                StartForm::Linear([top, bottom]) => Start::Linear(top, bottom),
            }),
            water: self.water_kg_m2.map(|kg_m2| Water { kg_m2, latent_j_kg, window_c: window }),
            mesh,
        })
    }
}

fn layers(forms: &[LayerForm], path: &str) -> Result<Vec<Layer>, HeatError> {
    forms.iter().enumerate().map(|(i, l)| l.layer(&format!("{path}layers[{i}]."))).collect()
}

impl PhaseForm {
    fn phase(self, index: usize) -> Result<Phase, HeatError> {
        let path = format!("phases[{index}].");
        let add_top = match &self.add_top_layers {
            None => None,
            Some(add) => Some(NewTop {
                layers: layers(&add.layers, &format!("{path}add_top_layers."))?,
                contacts: add.contacts_w_m2k.clone(),
            }),
        };
        let replace_bottom = match &self.replace_bottom {
            None => None,
            Some(new) => Some(NewBottom {
                keep: new.keep,
                layers: layers(&new.layers, &format!("{path}replace_bottom."))?,
                contacts: new.contacts_w_m2k.clone(),
            }),
        };
        Ok(Phase {
            pressed: self.name == "press",
            name: self.name,
            duration_s: self.duration_s,
            top: self.top.boundary(&format!("{path}top."))?,
            bottom: self.bottom.boundary(&format!("{path}bottom."))?,
            change: Change { remove_top: self.remove_top_layers, replace_bottom, add_top },
        })
    }
}

impl CourseForm {
    fn course(self, field: &str) -> Result<Course, HeatError> {
        match self {
            Self::Steady(value) => Ok(Course::steady(value)),
            Self::Points(points) => Course::points(field, points.into_iter().map(|[t, v]| (t, v)).collect()),
        }
    }
}

impl BoundaryForm {
    fn boundary(self, path: &str) -> Result<Boundary, HeatError> {
        Ok(match self {
            Self::Held { c } => Boundary::Held(c.course(&format!("{path}c"))?),
            Self::Contact { w_m2k, to_c } => Boundary::Contact { w_m2k, to_c: to_c.course(&format!("{path}to_c"))? },
            Self::Flux { w_m2 } => Boundary::Flux(w_m2.course(&format!("{path}w_m2"))?),
            Self::Radiation { emissivity, to_c } => {
                Boundary::Radiation { emissivity, to_c: to_c.course(&format!("{path}to_c"))? }
            }
            Self::Air { to_c, facing, size_mm, emissivity } => Boundary::Air {
                to_c: to_c.course(&format!("{path}to_c"))?,
                facing: match facing {
                    None | Some(FacingForm::Up) => Facing::Up,
                    Some(FacingForm::Down) => Facing::Down,
                    Some(FacingForm::Side) => Facing::Side,
                },
                size_mm: size_mm.unwrap_or(boundary::FACE_SIZE_MM),
                emissivity: emissivity.unwrap_or(boundary::EMISSIVITY),
            },
            Self::Heated { w_m2, loss_w_m2k, to_c } => Boundary::Heated {
                w_m2: w_m2.course(&format!("{path}w_m2"))?,
                loss_w_m2k,
                to_c: to_c.course(&format!("{path}to_c"))?,
            },
            Self::Insulated {} => Boundary::Insulated,
        })
    }
}

impl ProbeForm {
    fn probe(self, index: usize, layers: &[Layer]) -> Result<Probe, HeatError> {
        let place = match (self.layer, self.depth_mm) {
            (None, Some(depth)) => at_depth(index, depth, layers)?,
            (Some(layer), None) => place(layer, self.at.unwrap_or(SideForm::Top)),
            (given, _) => {
                // One of the two, not both and not neither.
                let field = format!("probes[{index}] (layer or depth_mm)");
                return Err(HeatError::Count { field, count: usize::from(given.is_some()) * 2, lowest: 1, highest: 1 });
            }
        };
        Ok(Probe { name: self.name, place })
    }
}

fn place(layer: usize, side: SideForm) -> Place {
    match side {
        SideForm::Top => Place::Top(layer),
        SideForm::Middle => Place::Inside(layer, 0.5),
        SideForm::Bottom => Place::Bottom(layer),
    }
}

fn at_depth(index: usize, depth: f64, layers: &[Layer]) -> Result<Place, HeatError> {
    let whole: f64 = layers.iter().map(|l| l.thickness_mm).sum();
    within(|| format!("probes[{index}].depth_mm"), depth, (0.0, whole), "mm")?;
    let mut left = depth;
    for (id, layer) in layers.iter().enumerate() {
        if left <= layer.thickness_mm || id + 1 == layers.len() {
            return Ok(Place::Inside(id, (left / layer.thickness_mm).min(1.0)));
        }
        left -= layer.thickness_mm;
    }
    Ok(Place::Top(0))
}

impl DoseForm {
    fn dose(self) -> DoseAt {
        DoseAt {
            place: place(self.layer, self.side),
            rule: DoseRule {
                gate_c: self.gate_c,
                activation_j_mol: self.activation_j_mol.unwrap_or(dose::ACTIVATION_J_MOL),
                reference_c: self.reference_c.unwrap_or(dose::REFERENCE_C),
            },
        }
    }
}

impl PaceForm {
    fn pace(self) -> Result<Pace, HeatError> {
        let step = (1e-5, 3600.0);
        Ok(match self {
            Self::Named(PaceName::Fine) => Pace::FINE,
            Self::Named(PaceName::Press) => Pace::Press,
            Self::Even(EvenPace { step_s }) => Pace::Even(within(|| "pace.step_s".into(), step_s, step, "s")?),
            Self::Growing(GrowingPace { first_s, share }) => Pace::Growing {
                first_s: within(|| "pace.first_s".into(), first_s, step, "s")?,
                share: within(|| "pace.share".into(), share, (1e-4, 1.0), "")?,
            },
        })
    }
}

fn written(history: History) -> HistoryForm {
    let heat = history.heat;
    let reading = |r: case::Reading| ReadingForm {
        name: r.name,
        values_c: r.values_c,
        peak_c: r.peak_c.is_finite().then_some(r.peak_c),
        peak_at_s: r.peak_at_s,
    };
    HistoryForm {
        times_s: history.times_s,
        probes: history.probes.into_iter().map(reading).collect(),
        heat_j_m2: HeatForm {
            inward: heat.top.max(0.0) + heat.bottom.max(0.0),
            stored: heat.stored,
            drying: heat.drying,
            out: (-heat.top).max(0.0) + (-heat.bottom).max(0.0),
        },
        water_left_kg_m2: history.water_left_kg_m2,
        balance_error: heat.imbalance(),
        dose: history.dose.map(|(above_gate_s, equivalent_s)| CountedForm { above_gate_s, equivalent_s }),
        steps: history.steps,
    }
}
