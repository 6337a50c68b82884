//! Dwell, window and cooling as forms.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::door::{Refusal, version};
use super::work::{
    AroundForm, DoubtForm, LimitsForm, SettingForm, StepForm, UnsureForm, WayForm, WorkForm, around, doubt, limits,
    steps,
};
use crate::assembly::Assembly;
use crate::cooling;
use crate::dose::DoseRule;
use crate::doubt::Draw;
use crate::error::{HeatError, within};
use crate::press::{
    Advice, Constraint, HANDLING_C, Longer, MakerLimits, PressStep, Question, Setting, Verdict, Window, advise,
};
use crate::properties::{Touch, Touched, burn_threshold_c};
use crate::session::{Session, Until};
use crate::window::{Search, window as search_window};
use report::Origin;

/// The maker's recipe.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct RecipeForm {
    /// Platen, °C.
    platen_c: f64,
    /// Dwell, s.
    dwell_s: f64,
    /// Maker's range of the platen, °C; the recipe's own alone where left out.
    platen_range_c: Option<[f64; 2]>,
    /// Maker's range of dwell, s; the recipe's own alone where left out.
    dwell_range_s: Option<[f64; 2]>,
    /// Activation temperature, °C.
    activation_c: Option<f64>,
    /// True for puff, screen-made and powder-adhesive kinds, which take harm from longer pressing.
    #[serde(default)]
    never_longer: bool,
    /// What the recipe does before its full press.
    #[serde(default)]
    steps: Vec<StepForm>,
}

/// What to set for this work.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DwellForm {
    /// Version of this form: 1.
    version: Option<u32>,
    /// The maker's recipe.
    recipe: RecipeForm,
    /// The work the recipe is known for; a cotton tee of 180 g/m² where left out.
    reference: Option<WorkForm>,
    /// The work at hand.
    work: WorkForm,
    /// What is done with it before the full press.
    #[serde(default)]
    steps: Vec<StepForm>,
    /// What the shop means to set, °C; the recipe's where left out.
    platen_c: Option<f64>,
    /// Room and pad.
    around: Option<AroundForm>,
    /// Limits of the cloth.
    limits: Option<LimitsForm>,
    /// Steps of the press's timer (s) and thermostat (K); 1 and 1 where left out.
    press_step: Option<[f64; 2]>,
    /// Ways of cooling to be timed.
    #[serde(default)]
    cooling: Vec<WayForm>,
    /// Peel temperature of the bond line, °C; 40 where left out.
    peel_c: Option<f64>,
    /// How doubt is sampled; 100 draws from seed 1 where left out.
    doubt: Option<DoubtForm>,
}

/// Platen temperature × dwell that serves.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WindowForm {
    /// Version of this form: 1.
    version: Option<u32>,
    /// The maker's recipe.
    recipe: RecipeForm,
    /// The work the recipe is known for; a cotton tee of 180 g/m² where left out.
    reference: Option<WorkForm>,
    /// The work at hand.
    work: WorkForm,
    /// What is done with it before the full press.
    #[serde(default)]
    steps: Vec<StepForm>,
    /// Room and pad.
    around: Option<AroundForm>,
    /// Limits of the cloth.
    limits: Option<LimitsForm>,
    /// Platen from, to, step, °C; recipe ± 15 in steps of 1 where left out.
    platens_c: Option<[f64; 3]>,
    /// Dwell from and to, s; 1 to 2 times the recipe's where left out.
    dwells_s: Option<[f64; 2]>,
}

/// How long until it can be peeled and handled.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CoolForm {
    /// Version of this form: 1.
    version: Option<u32>,
    /// What was pressed.
    work: WorkForm,
    /// What was done before the press.
    #[serde(default)]
    steps: Vec<StepForm>,
    /// The press.
    press: SettingForm,
    /// Room and pad.
    around: Option<AroundForm>,
    /// Ways of cooling; table, metal plate, hung and on the pad where left out.
    ways: Option<Vec<WayForm>>,
    /// Peel temperature of the bond line, °C; 40 where left out.
    peel_c: Option<f64>,
    /// Hot side from which it may be carried bare-handed, °C; 60 where left out.
    handling_c: Option<f64>,
}

#[derive(Debug, Serialize)]
pub(super) struct AdviceForm {
    platen_c: f64,
    dwell_s: f64,
    verdict: VerdictForm,
    needed_s: Option<f64>,
    needed_for_dose_s: Option<f64>,
    needed_range_s: Option<(f64, f64)>,
    needed_if_platen_4k_low_s: Option<f64>,
    needed_if_platen_4k_high_s: Option<f64>,
    activation_c: f64,
    activation_from: &'static str,
    reference: ReferenceForm,
    bond_end_c: f64,
    bond_end_range_c: Option<(f64, f64)>,
    above_activation_s: f64,
    dose_s: f64,
    face_peak_c: f64,
    bare_peak_c: f64,
    to_warn_k: f64,
    to_stop_k: f64,
    window: WindowAnswer,
    open_in_maker_range_c: Option<(f64, f64)>,
    leeway: Option<LeewayForm>,
    cooling: Vec<CooledForm>,
    hot_side_c: f64,
    burn_caution: BurnForm,
    matters_most: Vec<MatterForm>,
    drawn_j_m2: f64,
}

#[derive(Debug, Serialize)]
#[serde(tag = "advice", rename_all = "kebab-case")]
enum VerdictForm {
    AsMaker,
    Longer { by_s: f64 },
    TestOrOther { why: &'static str },
    None { why: &'static str, by_k: f64 },
}

#[derive(Debug, Serialize)]
struct ReferenceForm {
    dose_s: f64,
    above_activation_s: f64,
    bond_end_c: f64,
}

#[derive(Debug, Serialize)]
pub(super) struct WindowAnswer {
    columns: Vec<ColumnForm>,
    dwells_s: (f64, f64),
    cold_edge: &'static str,
    hot_edge: &'static str,
}

#[derive(Debug, Serialize)]
struct ColumnForm {
    platen_c: f64,
    open_s: Option<(f64, f64)>,
    closed_by: Option<&'static str>,
    set_from_s: Option<f64>,
    too_hot_from_s: Option<f64>,
    care_from_s: Option<f64>,
    face_peak_c: f64,
}

/// Settings around the advised one that serve and that the maker's sheet allows.
#[derive(Debug, Serialize)]
struct LeewayForm {
    /// At the advised dwell.
    platen_c: (f64, f64),
    /// At the advised temperature.
    dwell_s: (f64, f64),
    colder: &'static str,
    hotter: &'static str,
    shorter: &'static str,
    longer: &'static str,
}

#[derive(Debug, Serialize)]
struct CooledForm {
    way: WayForm,
    to_peel_s: Option<f64>,
    to_handling_s: Option<f64>,
}

#[derive(Debug, Serialize)]
struct BurnForm {
    /// From what surface temperature a touch of under 1 s, 1–10 s, 10 s–1 min may burn.
    plastic_c: [f64; 3],
    metal_c: [f64; 3],
    now: bool,
}

#[derive(Debug, Serialize)]
struct MatterForm {
    input: UnsureForm,
    effect_s: f64,
}

#[derive(Debug, Serialize)]
pub(super) struct CoolAnswer {
    bond_end_c: f64,
    hot_side_c: f64,
    burn_caution: BurnForm,
    cooling: Vec<CooledForm>,
}

pub(super) fn dwell(form: DwellForm) -> Result<AdviceForm, Refusal> {
    version(form.version)?;
    let work = form.work.assembly("work")?;
    let reference = reference(form.reference.as_ref())?;
    let step = form.press_step.unwrap_or([1.0, 1.0]);
    let question = Question {
        reference,
        reference_setting: form.recipe.setting(),
        reference_steps: steps(&form.recipe.steps),
        steps: steps(&form.steps),
        around: around(form.around),
        maker: form.recipe.maker(),
        cloth_limits: limits(form.limits, &work),
        target: work,
        platen_c: form.platen_c.unwrap_or(form.recipe.platen_c),
        press_step: PressStep { dwell_s: step[0], platen_k: step[1] },
        cooling: form.cooling.iter().map(|w| w.way()).collect(),
        peel_c: form.peel_c.unwrap_or(40.0),
    };
    Ok(written(advise(&question, &doubt(form.doubt.as_ref()))?))
}

pub(super) fn window(form: WindowForm) -> Result<WindowAnswer, Refusal> {
    version(form.version)?;
    let work = form.work.assembly("work")?;
    let reference = reference(form.reference.as_ref())?;
    let setting = form.recipe.setting();
    crate::session::check_setting(&|f| format!("recipe.{f}"), setting)?;
    let rule = DoseRule::gated_at(form.recipe.activation_c.unwrap_or(DoseRule::gate_for(setting.platen_c)));
    let draw = Draw::default();
    let mut known = Session::begin(&reference, &draw, crate::press::Surroundings::default(), rule)?;
    known.take(&steps(&form.recipe.steps))?;
    let trace = known.full_press(setting.platen_c, Until::Seconds(setting.dwell_s))?;
    let search = Search {
        target: &work,
        steps: &steps(&form.steps),
        around: around(form.around),
        rule,
        dose_s: trace.at(&trace.dose_s, setting.dwell_s),
        above_s: trace.at(&trace.above_s, setting.dwell_s),
        limits: limits(form.limits, &work),
    };
    let [low, high, step] = form.platens_c.unwrap_or([setting.platen_c - 15.0, setting.platen_c + 15.0, 1.0]);
    let dwells = form.dwells_s.map_or((setting.dwell_s, 2.0 * setting.dwell_s), |d| (d[0], d[1]));
    Ok(window_answer(search_window(&search, &platens(low, high, step)?, dwells)?))
}

fn platens(low: f64, high: f64, step: f64) -> Result<Vec<f64>, HeatError> {
    within(|| "platens_c[0]".into(), low, (20.0, 260.0), "°C")?;
    within(|| "platens_c[1]".into(), high, (low, 260.0), "°C")?;
    within(|| "platens_c[2]".into(), step, (0.1, 100.0), "K")?;
    let count = ((high - low) / step + 1e-9).floor().min(400.0) as usize + 1;
    Ok((0..count).map(|i| low + i as f64 * step).collect())
}

pub(super) fn cool(form: CoolForm) -> Result<CoolAnswer, Refusal> {
    version(form.version)?;
    let work = form.work.assembly("work")?;
    let setting = form.press.setting();
    crate::session::check_setting(&|f| format!("press.{f}"), setting)?;
    let draw = Draw::default();
    let mut session = Session::begin(&work, &draw, around(form.around), DoseRule::gated_at(110.0))?;
    session.take(&steps(&form.steps))?;
    let trace = session.full_press(setting.platen_c, Until::Seconds(setting.dwell_s))?;
    let usual = vec![WayForm::Table, WayForm::MetalPlate, WayForm::Hung, WayForm::OnPad];
    let ways = form.ways.unwrap_or(usual);
    crate::error::counted(|| "ways".into(), ways.len(), (0, 20))?;
    let (peel_c, handling_c) = (form.peel_c.unwrap_or(40.0), form.handling_c.unwrap_or(HANDLING_C));
    let mut cooled = Vec::with_capacity(ways.len());
    for way in ways {
        let done = cooling::cool(&session, way.way(), peel_c, handling_c)?;
        cooled.push(CooledForm { way, to_peel_s: done.to_peel_s, to_handling_s: done.to_handling_s });
    }
    let hot_side_c = cooling::hot_side(&session)?;
    Ok(CoolAnswer {
        bond_end_c: trace.bond_c.last().copied().unwrap_or(0.0),
        hot_side_c,
        burn_caution: burn(hot_side_c),
        cooling: cooled,
    })
}

impl RecipeForm {
    fn setting(&self) -> Setting {
        Setting { platen_c: self.platen_c, dwell_s: self.dwell_s }
    }

    fn maker(&self) -> MakerLimits {
        let platen = self.platen_range_c.unwrap_or([self.platen_c; 2]);
        let dwell = self.dwell_range_s.unwrap_or([self.dwell_s; 2]);
        MakerLimits {
            platen_c: (platen[0], platen[1]),
            dwell_s: (dwell[0], dwell[1]),
            activation_c: self.activation_c,
            activation_origin: Origin::Maker,
            longer: if self.never_longer { Longer::Harmful } else { Longer::Borne },
        }
    }
}

fn reference(form: Option<&WorkForm>) -> Result<Assembly, HeatError> {
    form.map_or_else(|| Ok(Assembly::reference()), |work| work.assembly("reference"))
}

fn burn(hot_side_c: f64) -> BurnForm {
    let row = |touched| [Touch::Brush, Touch::Hold, Touch::Carry].map(|touch| burn_threshold_c(touched, touch));
    BurnForm {
        plastic_c: row(Touched::Plastic),
        metal_c: row(Touched::Metal),
        now: hot_side_c >= burn_threshold_c(Touched::Plastic, Touch::Hold),
    }
}

/// The constraint's stable name.
fn name(constraint: Constraint) -> &'static str {
    match constraint {
        Constraint::AdhesiveUnset => "adhesive-unset",
        Constraint::ClothUnderTransfer => "cloth-under-transfer",
        Constraint::BareCloth => "bare-cloth",
        Constraint::MakerSheet => "maker-sheet",
        Constraint::MakerDwell => "maker-dwell",
        Constraint::NeverLonger => "never-longer",
        Constraint::ReferenceUnset => "reference-unset",
        Constraint::RangeEnds => "range-ends",
    }
}

fn window_answer(window: Window) -> WindowAnswer {
    WindowAnswer {
        dwells_s: window.dwell_s,
        cold_edge: name(window.cold_edge),
        hot_edge: name(window.hot_edge),
        columns: window
            .columns
            .into_iter()
            .map(|c| ColumnForm {
                platen_c: c.platen_c,
                open_s: c.open_s,
                closed_by: c.closed_by.map(name),
                set_from_s: c.set_from_s,
                too_hot_from_s: c.too_hot_from_s,
                care_from_s: c.care_from_s,
                face_peak_c: c.face_peak_c,
            })
            .collect(),
    }
}

fn written(advice: Advice) -> AdviceForm {
    AdviceForm {
        platen_c: advice.platen_c,
        dwell_s: advice.dwell_s,
        verdict: match advice.verdict {
            Verdict::AsMaker => VerdictForm::AsMaker,
            Verdict::Longer { by_s } => VerdictForm::Longer { by_s },
            Verdict::TestOrOther { why } => VerdictForm::TestOrOther { why: name(why) },
            Verdict::None { constraint, by_k } => VerdictForm::None { why: name(constraint), by_k },
        },
        needed_s: advice.needed_s,
        needed_for_dose_s: advice.needed_for_dose_s,
        needed_range_s: advice.needed_range_s,
        needed_if_platen_4k_low_s: advice.platen_low_high_s.0,
        needed_if_platen_4k_high_s: advice.platen_low_high_s.1,
        activation_c: advice.activation_c,
        activation_from: if advice.activation_origin == Origin::Maker { "maker" } else { "default" },
        reference: ReferenceForm {
            dose_s: advice.reference.dose_s,
            above_activation_s: advice.reference.above_s,
            bond_end_c: advice.reference.bond_end_c,
        },
        bond_end_c: advice.bond_end_c,
        bond_end_range_c: advice.bond_end_range_c,
        above_activation_s: advice.above_activation_s,
        dose_s: advice.dose_s,
        face_peak_c: advice.face_peak_c,
        bare_peak_c: advice.bare_peak_c,
        to_warn_k: advice.to_warn_k,
        to_stop_k: advice.to_stop_k,
        window: window_answer(advice.window.unwrap_or_default()),
        open_in_maker_range_c: advice.maker_window_c,
        leeway: advice.leeway.map(|l| LeewayForm {
            platen_c: l.platen_c,
            dwell_s: l.dwell_s,
            colder: name(l.colder),
            hotter: name(l.hotter),
            shorter: name(l.shorter),
            longer: name(l.longer),
        }),
        cooling: advice
            .cooled
            .iter()
            .map(|c| CooledForm { way: WayForm::of(c.way), to_peel_s: c.to_peel_s, to_handling_s: c.to_handling_s })
            .collect(),
        burn_caution: burn(advice.hot_side_c),
        hot_side_c: advice.hot_side_c,
        matters_most: advice
            .matters
            .iter()
            .map(|m| MatterForm { input: UnsureForm::of(m.input), effect_s: m.effect_s })
            .collect(),
        drawn_j_m2: advice.drawn_j_m2,
    }
}
