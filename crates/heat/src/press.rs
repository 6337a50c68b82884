//! What to set for this work, from what the maker's recipe does to the work
//! the recipe is known for.
//!
//! Policy: a maker's dwell is never shortened, a maker's temperature range is
//! never left, and at most 5 s, and never more than a third, is added to the
//! maker's longest dwell; nothing for kinds that must not be pressed longer.
//! Beyond that the answer is to test, to ask the maker, or to use another
//! material.

use rayon::prelude::*;
use report::Origin;

pub use crate::assembly::{Assembly, Joints, adhesive, carrier, cover_sheet, film, pad, paper_carrier, pillow};
pub use crate::cloth::{Cloth, Dye, FaceLimits, Fibre};
pub use crate::cooling::{Cooled, Cooling};
pub use crate::doubt::{Doubt, Unsure};
pub use crate::later::{ExtraHeat, Pressed, course, extra_heat, press};
pub use crate::leeway::Leeway;
pub use crate::session::{Setting, Step, Surroundings, Trace};
pub use crate::window::{Constraint, Window, WindowColumn};

use crate::dose::DoseRule;
use crate::doubt::{Draw, PLATEN_DOUBT_K, quantile, rank_correlation};
use crate::error::{HeatError, counted, within};
use crate::leeway::leeway;
use crate::session::{Session, Until, check_setting};
use crate::window::{Ready, Search, window};

/// What the maker's sheet allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MakerLimits {
    /// Platen, lowest and highest, °C.
    pub platen_c: (f64, f64),
    /// Dwell, shortest and longest, s.
    pub dwell_s: (f64, f64),
    /// Activation temperature; `None` where the sheet has none: then the lower of
    /// 110 °C and 35 K under the recipe's platen.
    pub activation_c: Option<f64>,
    /// Where the activation temperature comes from, when there is one.
    pub activation_origin: Origin,
    /// Whether this kind may be pressed longer than the sheet says.
    pub longer: Longer,
}

/// Whether a kind of transfer bears a longer press.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Longer {
    /// A few seconds more do no harm.
    Borne,
    /// Puff, screen-made, powder adhesive: it flattens, strikes through or releases badly.
    Harmful,
}

/// Most that may be added to a maker's longest dwell, s.
pub const MOST_ADDED_S: f64 = 5.0;
/// Longest dwell followed when one is looked for, s.
const LONGEST_S: f64 = 60.0;

/// A recipe, the work it is known for, and the work at hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The work the recipe is known for; a usual cotton tee where the sheet does not say.
    pub reference: Assembly,
    /// The recipe's setting.
    pub reference_setting: Setting,
    /// What the recipe does before its full press.
    pub reference_steps: Vec<Step>,
    /// The work at hand.
    pub target: Assembly,
    /// What is done with it before the full press.
    pub steps: Vec<Step>,
    /// Room and pad.
    pub around: Surroundings,
    /// The maker's sheet.
    pub maker: MakerLimits,
    /// Limits of the cloth at hand.
    pub cloth_limits: FaceLimits,
    /// What the shop means to set, °C.
    pub platen_c: f64,
    /// Steps in which the press can be set: s and K.
    pub press_step: PressStep,
    /// Ways of cooling to be timed.
    pub cooling: Vec<Cooling>,
    /// Bond-line temperature at which it may be peeled, °C; 40 for a cold peel.
    pub peel_c: f64,
}

/// Steps in which a press can be set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressStep {
    /// Of its timer, s.
    pub dwell_s: f64,
    /// Of its thermostat, K.
    pub platen_k: f64,
}

impl Default for PressStep {
    fn default() -> Self {
        Self { dwell_s: 1.0, platen_k: 1.0 }
    }
}

/// What is advised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// Press as the maker says.
    AsMaker,
    /// Longer than the maker says, within what may be added.
    Longer {
        /// Beyond the maker's longest dwell, s.
        by_s: f64,
    },
    /// Test, ask the maker or use another material.
    TestOrOther {
        /// Why.
        why: Constraint,
    },
    /// No setting of the maker's range spares the cloth.
    None {
        /// What fails.
        constraint: Constraint,
        /// By how much at the coolest setting, K.
        by_k: f64,
    },
}

/// An uncertain input and how much it moves the dwell needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Matter {
    /// Which.
    pub input: Unsure,
    /// How far it moves the dwell to either side, s.
    pub effect_s: f64,
}

/// What the reference gets, on the cloth side of its bond line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// Flow dose, equivalent seconds at 130 °C.
    pub dose_s: f64,
    /// Seconds at or above activation.
    pub above_s: f64,
    /// Bond line at the end, adhesive side, °C.
    pub bond_end_c: f64,
}

/// What to set, and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Platen, °C, as the press can be set and within the maker's range.
    pub platen_c: f64,
    /// Dwell, s, as the press can be set, never under the maker's.
    pub dwell_s: f64,
    /// The verdict on it.
    pub verdict: Verdict,
    /// Dwell that gives this work what the reference gets, s, before any policy;
    /// `None`: not within 60 s.
    pub needed_s: Option<f64>,
    /// Dwell that gives the reference's flow dose alone, whatever the time above
    /// activation, s: for information.
    pub needed_for_dose_s: Option<f64>,
    /// 5 to 95 % of the dwell needed, rounded outward to the press's step.
    pub needed_range_s: Option<(f64, f64)>,
    /// Needed dwell when the true platen is 4 K colder or hotter than set, s.
    pub platen_low_high_s: (Option<f64>, Option<f64>),
    /// Activation temperature used, °C.
    pub activation_c: f64,
    /// Where it comes from.
    pub activation_origin: Origin,
    /// What the reference gets.
    pub reference: Reference,
    /// Bond line at the end, adhesive side, °C.
    pub bond_end_c: f64,
    /// 5 to 95 % of it, rounded to 5 °C.
    pub bond_end_range_c: Option<(f64, f64)>,
    /// Seconds at or above activation, cloth side.
    pub above_activation_s: f64,
    /// Flow dose, equivalent seconds at 130 °C, cloth side.
    pub dose_s: f64,
    /// Hottest cloth under the transfer, °C.
    pub face_peak_c: f64,
    /// Hottest bare cloth beside it, °C.
    pub bare_peak_c: f64,
    /// From the hotter of the two up to the warn limit, K; negative: past it.
    pub to_warn_k: f64,
    /// The same to the stop limit, K.
    pub to_stop_k: f64,
    /// The window, recipe ± 15 K × 1 to 2 maker's dwells; parts outside the
    /// maker's range are for information only. `None` from [`verdict`].
    pub window: Option<Window>,
    /// The window's part around the advised setting that lies on the maker's
    /// sheet; `None` when that setting does not serve, and from [`verdict`].
    pub leeway: Option<Leeway>,
    /// The part of it that lies in the maker's temperature range: platen °C, lowest and highest.
    pub maker_window_c: Option<(f64, f64)>,
    /// Cooling, by the ways asked for.
    pub cooled: Vec<Cooled>,
    /// The hot side when the press opens, °C.
    pub hot_side_c: f64,
    /// What matters most, largest first; empty without samples.
    pub matters: Vec<Matter>,
    /// Heat drawn from the platen, J/m².
    pub drawn_j_m2: f64,
    /// The trace of the press advised, for a picture.
    pub trace: Trace,
}

impl Question {
    /// The activation temperature and where it comes from.
    pub fn activation(&self) -> (f64, Origin) {
        match self.maker.activation_c {
            Some(c) => (c, self.maker.activation_origin),
            None => (DoseRule::gate_for(self.reference_setting.platen_c), Origin::Default),
        }
    }

    /// The maker's longest dwell with what may be added, s.
    pub fn longest_allowed_s(&self) -> f64 {
        let longest = self.maker.dwell_s.1;
        match self.maker.longer {
            Longer::Borne => longest + (longest / 3.0).min(MOST_ADDED_S),
            Longer::Harmful => longest,
        }
    }

    /// The dwell the maker's sheet starts from, s.
    fn maker_dwell_s(&self) -> f64 {
        self.reference_setting.dwell_s.clamp(self.maker.dwell_s.0, self.maker.dwell_s.1)
    }

    /// Half a step of the timer, at most half a second, counts as enough: the
    /// doubt is larger.
    pub(crate) fn slack_s(&self) -> f64 {
        (0.5 * self.press_step.dwell_s).min(0.5)
    }

    fn check(&self) -> Result<(), HeatError> {
        check_setting(&|f| format!("reference.{f}"), self.reference_setting)?;
        within(|| "maker.platen_c (low)".into(), self.maker.platen_c.0, (20.0, 260.0), "°C")?;
        within(|| "maker.platen_c (high)".into(), self.maker.platen_c.1, (self.maker.platen_c.0, 260.0), "°C")?;
        within(|| "maker.dwell_s (shortest)".into(), self.maker.dwell_s.0, (0.1, 60.0), "s")?;
        within(|| "maker.dwell_s (longest)".into(), self.maker.dwell_s.1, (self.maker.dwell_s.0, 60.0), "s")?;
        within(|| "platen_c".into(), self.platen_c, (20.0, 260.0), "°C")?;
        within(|| "press_step.dwell_s".into(), self.press_step.dwell_s, (0.1, 10.0), "s")?;
        within(|| "press_step.platen_k".into(), self.press_step.platen_k, (0.1, 20.0), "K")?;
        within(|| "cloth.warn_c".into(), self.cloth_limits.warn_c, (20.0, 400.0), "°C")?;
        within(|| "cloth.stop_c".into(), self.cloth_limits.stop_c, (20.0, 400.0), "°C")?;
        counted(|| "steps".into(), self.steps.len(), (0, 20))?;
        counted(|| "reference_steps".into(), self.reference_steps.len(), (0, 20))?;
        counted(|| "cooling".into(), self.cooling.len(), (0, 20))?;
        Ok(())
    }
}

/// What to set. See the module for the policy.
///
/// Refuses inputs outside the model's ranges, naming them. Cost: about 30 ms
/// with 100 samples on two cores; the same result on any number of cores.
pub fn advise(question: &Question, doubt: &Doubt) -> Result<Advice, HeatError> {
    counted(|| "samples".into(), doubt.samples, (0, 2000))?;
    let (mut advice, search) = settle(question)?;
    let setting = Setting { platen_c: advice.platen_c, dwell_s: advice.dwell_s };
    let window = recipe_window(question, &search)?;
    let (low, high) = question.maker.platen_c;
    let inside: Vec<f64> = window.open().map(|c| c.platen_c).filter(|c| (low..=high).contains(c)).collect();
    advice.maker_window_c = inside.first().copied().zip(inside.last().copied());
    advice.leeway = leeway(question, &window, setting);
    advice.window = Some(window);
    let ranges = sampled(question, search.rule, setting, doubt)?;
    advice.needed_range_s = ranges.needed_s;
    advice.platen_low_high_s = ranges.platen_s;
    advice.bond_end_range_c = ranges.bond_end_c;
    advice.matters = ranges.matters;
    let after =
        cooled_after(&question.target, &question.steps, setting, question.around, &question.cooling, question.peel_c)?;
    advice.cooled = after.cooled;
    advice.hot_side_c = after.hot_side_c;
    Ok(advice)
}

/// The setting and its verdict alone, to weigh one material against others:
/// without window, leeway, ranges and cooling. Cost: about 1 ms.
pub fn verdict(question: &Question) -> Result<Advice, HeatError> {
    Ok(settle(question)?.0)
}

fn settle(question: &Question) -> Result<(Advice, Search<'_>), HeatError> {
    question.check()?;
    let (activation_c, activation_origin) = question.activation();
    let rule = DoseRule::gated_at(activation_c);
    let reference = reference(question, &Draw::default(), rule)?;
    let search = Search {
        target: &question.target,
        steps: &question.steps,
        around: question.around,
        rule,
        dose_s: reference.dose_s,
        above_s: reference.above_s,
        limits: question.cloth_limits,
    };
    let chosen = choose(question, &search)?;
    let (print, beside) = (&chosen.print, &chosen.beside);
    let hottest = print.at(&print.face_peak_c, chosen.dwell_s).max(beside.at(&beside.face_peak_c, chosen.dwell_s));
    let advice = Advice {
        platen_c: chosen.platen_c,
        dwell_s: chosen.dwell_s,
        verdict: chosen.verdict,
        needed_s: chosen.needed_s,
        needed_for_dose_s: print.reaches(reference.dose_s, 0.0),
        needed_range_s: None,
        platen_low_high_s: (None, None),
        activation_c,
        activation_origin,
        reference,
        bond_end_c: print.at(&print.bond_c, chosen.dwell_s),
        bond_end_range_c: None,
        above_activation_s: print.at(&print.above_s, chosen.dwell_s),
        dose_s: print.at(&print.dose_s, chosen.dwell_s),
        face_peak_c: print.at(&print.face_peak_c, chosen.dwell_s),
        bare_peak_c: beside.at(&beside.face_peak_c, chosen.dwell_s),
        to_warn_k: question.cloth_limits.warn_c - hottest,
        to_stop_k: question.cloth_limits.stop_c - hottest,
        maker_window_c: None,
        window: None,
        leeway: None,
        cooled: Vec::new(),
        hot_side_c: print.at(&print.bond_c, chosen.dwell_s),
        matters: Vec::new(),
        drawn_j_m2: print.at(&print.drawn_j_m2, chosen.dwell_s),
        trace: chosen.print,
    };
    Ok((advice, search))
}

/// Bond line at the end of a press, and how long the work takes to cool.
///
/// Up to 20 ways; the cover sheet comes off at once, the carrier stays on.
pub fn cooled_after(
    work: &Assembly,
    steps: &[Step],
    setting: Setting,
    around: Surroundings,
    ways: &[Cooling],
    peel_c: f64,
) -> Result<CooledAfter, HeatError> {
    check_setting(&|field| field.to_owned(), setting)?;
    counted(|| "ways".into(), ways.len(), (0, 20))?;
    let draw = Draw::default();
    let mut session = Session::begin(work, &draw, around, DoseRule::gated_at(110.0))?;
    session.take(steps)?;
    let trace = session.full_press(setting.platen_c, Until::Seconds(setting.dwell_s))?;
    let cool = |&way: &Cooling| crate::cooling::cool(&session, way, peel_c, HANDLING_C);
    Ok(CooledAfter {
        bond_end_c: trace.bond_c.last().copied().unwrap_or(around.room_c),
        hot_side_c: crate::cooling::hot_side(&session)?,
        cooled: ways.par_iter().map(cool).collect::<Result<_, _>>()?,
    })
}

/// The work after a press.
#[derive(Debug, Clone, PartialEq)]
pub struct CooledAfter {
    /// Bond line when the press opens, adhesive side, °C.
    pub bond_end_c: f64,
    /// The hot side when the press opens, °C.
    pub hot_side_c: f64,
    /// Each way of cooling.
    pub cooled: Vec<Cooled>,
}

/// Ranges alone: needed dwell and bond line (5 to 95 %), and what matters most.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ranges {
    /// Needed dwell, rounded outward to the press's step, s.
    pub needed_s: Option<(f64, f64)>,
    /// Bond line at the advised dwell, rounded to 5 °C.
    pub bond_end_c: Option<(f64, f64)>,
    /// Dwell that gives the reference's flow dose alone, over the reference's
    /// dwell: 5, 50 and 95 %.
    pub ratio: Option<(f64, f64, f64)>,
    /// Bond line at the advised dwell: 5, 50 and 95 %, °C, not rounded.
    pub bond_end_exact_c: Option<(f64, f64, f64)>,
    /// Needed dwell with the platen 4 K low and high, s.
    pub platen_s: (Option<f64>, Option<f64>),
    /// What matters most, largest first.
    pub matters: Vec<Matter>,
}

/// The ranges of a question at its asked platen and the maker's own dwell,
/// without window, cooling or verdict.
pub fn ranges(question: &Question, doubt: &Doubt) -> Result<Ranges, HeatError> {
    question.check()?;
    counted(|| "samples".into(), doubt.samples, (0, 2000))?;
    let rule = DoseRule::gated_at(question.activation().0);
    let platen_c = question.platen_c.clamp(question.maker.platen_c.0, question.maker.platen_c.1);
    sampled(question, rule, Setting { platen_c, dwell_s: question.maker_dwell_s() }, doubt)
}

/// What the reference gets.
fn reference(question: &Question, draw: &Draw, rule: DoseRule) -> Result<Reference, HeatError> {
    known(question, Session::begin(&question.reference, draw, Surroundings::default(), rule)?)
}

fn known(question: &Question, mut session: Session<'_>) -> Result<Reference, HeatError> {
    session.take(&question.reference_steps)?;
    let setting = question.reference_setting;
    let trace = session.full_press(setting.platen_c, Until::Seconds(setting.dwell_s))?;
    Ok(Reference {
        dose_s: trace.at(&trace.dose_s, setting.dwell_s),
        above_s: trace.at(&trace.above_s, setting.dwell_s),
        bond_end_c: trace.at(&trace.bond_c, setting.dwell_s),
    })
}

/// A setting with what it does.
struct Chosen {
    platen_c: f64,
    dwell_s: f64,
    needed_s: Option<f64>,
    verdict: Verdict,
    print: Trace,
    beside: Trace,
}

impl Chosen {
    /// Smaller is better.
    fn rank(&self) -> u8 {
        match self.verdict {
            Verdict::AsMaker => 0,
            Verdict::Longer { .. } => 1,
            Verdict::TestOrOther { .. } => 2,
            Verdict::None { .. } => 3,
        }
    }
}

/// The asked platen when it serves; else the setting of the maker's range
/// that does, nearest to it.
fn choose(question: &Question, search: &Search<'_>) -> Result<Chosen, HeatError> {
    let (low, high) = question.maker.platen_c;
    let asked = question.platen_c.clamp(low, high);
    let (bare, draw) = (search.target.bare(), Draw::default());
    let ready = Ready::of(search, &bare, &draw)?;
    let first = judge(question, search, &ready, asked)?;
    if first.rank() <= 1 {
        return Ok(first);
    }
    let others: Result<Vec<Chosen>, HeatError> = settings(low, high, question.press_step.platen_k)
        .par_iter()
        .map(|&c| judge(question, search, &ready, c))
        .collect();
    let mut best = first;
    for other in others? {
        if better(&other, &best, asked) {
            best = other;
        }
    }
    Ok(best)
}

/// Settings the press can take within the maker's range, its ends included.
fn settings(low: f64, high: f64, step: f64) -> Vec<f64> {
    let mut all = vec![low];
    let first = (low / step).floor() + 1.0;
    let count = (((high / step) - first).floor() + 1.0).clamp(0.0, 400.0) as usize;
    all.extend((0..count).map(|i| (first + i as f64) * step).filter(|&c| c < high));
    all.push(high);
    all
}

fn better(a: &Chosen, b: &Chosen, asked: f64) -> bool {
    if a.rank() != b.rank() {
        return a.rank() < b.rank();
    }
    match (a.verdict, b.verdict) {
        // Where nothing sets the adhesive the nearest to it is the longest above activation.
        (Verdict::TestOrOther { .. }, Verdict::TestOrOther { .. }) => {
            let needed = |c: &Chosen| c.needed_s.unwrap_or(f64::INFINITY);
            needed(a) < needed(b)
        }
        (Verdict::None { by_k: x, .. }, Verdict::None { by_k: y, .. }) => x < y,
        _ => (a.platen_c - asked).abs() < (b.platen_c - asked).abs(),
    }
}

/// The policy at one platen temperature.
fn judge(question: &Question, search: &Search<'_>, ready: &Ready<'_>, platen_c: f64) -> Result<Chosen, HeatError> {
    let (print, beside) = ready.traces(platen_c, LONGEST_S)?;
    let needed_s = print.reaches(search.dose_s, search.above_s);
    let step = question.press_step.dwell_s;
    let own = question.maker_dwell_s();
    let (allowed, longest) = (question.longest_allowed_s(), question.maker.dwell_s.1);
    let slack = question.slack_s();
    let wanted = needed_s.map(|s| if s <= own + slack { own } else { (((s - slack) / step).ceil() * step).max(own) });
    let unset = if search.above_s <= 0.0 { Some(Constraint::ReferenceUnset) } else { None };
    let (dwell_s, mut verdict) = match (unset, wanted) {
        (Some(why), _) => (own, Verdict::TestOrOther { why }),
        (None, Some(dwell)) if dwell <= longest + 1e-9 => (dwell, Verdict::AsMaker),
        (None, Some(dwell)) if dwell <= allowed + 1e-9 => (dwell, Verdict::Longer { by_s: dwell - longest }),
        (None, Some(_)) if needed_s.is_some_and(|s| s - slack <= longest) => (longest, Verdict::AsMaker),
        _ => (longest, Verdict::TestOrOther { why: too_long(question) }),
    };
    let (under, bare_peak) = (print.at(&print.face_peak_c, dwell_s), beside.at(&beside.face_peak_c, dwell_s));
    let excess = under.max(bare_peak) - question.cloth_limits.stop_c;
    if excess > 0.0 {
        let constraint = if bare_peak >= under { Constraint::BareCloth } else { Constraint::ClothUnderTransfer };
        verdict = Verdict::None { constraint, by_k: excess };
    }
    Ok(Chosen { platen_c, dwell_s, needed_s, verdict, print, beside })
}

fn too_long(question: &Question) -> Constraint {
    match question.maker.longer {
        Longer::Borne => Constraint::MakerDwell,
        Longer::Harmful => Constraint::NeverLonger,
    }
}

fn recipe_window(question: &Question, search: &Search<'_>) -> Result<Window, HeatError> {
    let centre = question.reference_setting.platen_c;
    let platens: Vec<f64> = (-15..=15).map(|k| centre + f64::from(k)).collect();
    let own = question.maker_dwell_s();
    window(search, &platens, (own, (2.0 * own).max(question.longest_allowed_s())))
}

/// A hot side from which a hand that carries is safe, °C (plastic, up to a minute).
pub const HANDLING_C: f64 = 60.0;

/// Ranges over joint draws of reference and target.
fn sampled(question: &Question, rule: DoseRule, chosen: Setting, doubt: &Doubt) -> Result<Ranges, HeatError> {
    let at = |draw: &Draw, platen_c: f64| needed(question, rule, draw, platen_c, chosen.dwell_s);
    let nominal = Draw::default();
    let (low, high) = (chosen.platen_c - PLATEN_DOUBT_K, chosen.platen_c + PLATEN_DOUBT_K);
    let platen_s = (at(&nominal, low)?.both_s, at(&nominal, high)?.both_s);
    if doubt.samples == 0 {
        return Ok(Ranges { platen_s, ..Ranges::default() });
    }
    let draws: Vec<Draw> = (0..doubt.samples).map(|index| Draw::sample(doubt, index)).collect();
    let runs: Result<Vec<Needed>, HeatError> = draws.par_iter().map(|draw| at(draw, chosen.platen_c)).collect();
    let runs = runs?;
    let dwells: Vec<f64> = runs.iter().map(|r| r.both_s.unwrap_or(LONGEST_S)).collect();
    let mut bonds: Vec<f64> = runs.iter().map(|r| r.bond_end_c).collect();
    let step = question.press_step.dwell_s;
    let needed_s = span(&mut dwells.clone()).map(|(a, b)| ((a / step).floor() * step, (b / step).ceil() * step));
    let bond_end_c = span(&mut bonds).map(|(a, b)| ((a / 5.0).round() * 5.0, (b / 5.0).round() * 5.0));
    let own = question.reference_setting.dwell_s;
    let three = |values: &mut [f64]| {
        let (low, high) = span(values)?;
        Some((low, quantile(values, 0.5)?, high))
    };
    let ratio = three(&mut runs.iter().map(|r| r.dose_s.unwrap_or(LONGEST_S) / own).collect::<Vec<_>>());
    let bond_end_exact_c = three(&mut bonds);
    Ok(Ranges {
        needed_s,
        bond_end_c,
        ratio,
        bond_end_exact_c,
        platen_s,
        matters: matters(&draws, &dwells, platen_s, doubt),
    })
}

fn span(values: &mut [f64]) -> Option<(f64, f64)> {
    quantile(values, 0.05).zip(quantile(values, 0.95))
}

/// Dwell needed for both measures and for the dose alone, and the bond line at
/// the advised dwell, under one draw.
struct Needed {
    both_s: Option<f64>,
    dose_s: Option<f64>,
    bond_end_c: f64,
}

fn needed(
    question: &Question,
    rule: DoseRule,
    draw: &Draw,
    platen_c: f64,
    advised_s: f64,
) -> Result<Needed, HeatError> {
    let reference =
        known(question, Session::begin(&question.reference, draw, Surroundings::default(), rule)?.searching())?;
    let mut session = Session::begin(&question.target, draw, question.around, rule)?.searching();
    session.take(&question.steps)?;
    let (dose_s, above_s) = (reference.dose_s, reference.above_s);
    let until = Until::Dose { dose_s, above_s, least_s: advised_s, most_s: LONGEST_S.max(advised_s) };
    let trace = session.full_press(platen_c, until)?;
    Ok(Needed {
        both_s: trace.reaches(dose_s, above_s),
        dose_s: trace.reaches(dose_s, 0.0),
        bond_end_c: trace.at(&trace.bond_c, advised_s),
    })
}

/// How far each input moves the dwell: its rank correlation with it, times the
/// dwell's own half range; the platen's from ± 4 K.
fn matters(draws: &[Draw], dwells: &[f64], platen_s: (Option<f64>, Option<f64>), doubt: &Doubt) -> Vec<Matter> {
    let half = span(&mut dwells.to_vec()).map_or(0.0, |(a, b)| 0.5 * (b - a));
    let mut all: Vec<Matter> = Vec::with_capacity(Unsure::JOINT.len() + 1);
    for (at, input) in Unsure::JOINT.into_iter().enumerate() {
        let places: Vec<f64> = draws.iter().map(|d| d.places[at]).collect();
        all.push(Matter { input, effect_s: rank_correlation(&places, dwells).abs() * half });
    }
    let platen = match platen_s {
        (low, Some(high)) => 0.5 * (low.unwrap_or(LONGEST_S) - high),
        _ => 0.0,
    };
    if !doubt.known.contains(&Unsure::Platen) {
        all.push(Matter { input: Unsure::Platen, effect_s: platen });
    }
    all.sort_by(|a, b| b.effect_s.total_cmp(&a.effect_s));
    all
}
