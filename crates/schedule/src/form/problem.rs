//! The form of a problem.

use super::schedule::{EntryForm, entry_form, read_entry};
use super::{FormError, Ids, VERSION, at, known_version, version};
use crate::{Batch, Job, Lag, Person, Press, Problem, Rates, Setup, Span};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What is to be scheduled. All times are whole seconds from an origin of your choice.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ProblemForm {
    #[serde(default = "version")]
    version: u32,
    presses: Vec<PressForm>,
    people: Vec<PersonForm>,
    /// Places to lay pieces singly while they cool.
    #[serde(default)]
    rack_places: u32,
    jobs: Vec<JobForm>,
    batches: Vec<BatchForm>,
    /// Nothing new begins before.
    #[serde(default)]
    now_s: i64,
    /// Kept as it is: what began before `now_s`.
    #[serde(default)]
    done: Vec<EntryForm>,
    #[serde(default)]
    rates: RatesForm,
}

/// A heat press.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PressForm {
    id: String,
    /// When it is switched on, as pairs of seconds; it goes cold between two of them.
    on_s: Vec<[i64; 2]>,
    /// Lower platen at the start, by a number of yours.
    #[serde(default)]
    platen: usize,
    /// Temperature at the start, °C.
    #[serde(default)]
    temp_c: i32,
    /// Pressure at the start, by a step of yours.
    #[serde(default)]
    pressure: u8,
    /// Whether it is at that temperature already.
    #[serde(default)]
    hot: bool,
    /// From cold to steady.
    #[serde(default)]
    warm_up_s: i64,
    /// Rising, milliseconds per kelvin.
    #[serde(default)]
    heat_ms_per_k: i64,
    /// Falling, milliseconds per kelvin.
    #[serde(default)]
    cool_ms_per_k: i64,
    /// After every change of temperature, until the plate is even.
    #[serde(default)]
    settle_s: i64,
    #[serde(default)]
    platen_swap_s: i64,
    #[serde(default)]
    pressure_reset_s: i64,
    /// Draw while holding, W.
    #[serde(default)]
    standby_w: i64,
    /// Draw while heating, W.
    #[serde(default)]
    heating_w: i64,
}

/// Somebody who works at the presses.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PersonForm {
    id: String,
    /// Working hours, as pairs of seconds; what lies between is a break.
    hours_s: Vec<[i64; 2]>,
}

/// An order.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct JobForm {
    id: String,
    /// Nothing of it is pressed before.
    #[serde(default)]
    release_s: i64,
    /// Late when its last piece is finished after this.
    due_s: i64,
    /// What being late weighs, 1 to 1000.
    #[serde(default = "one")]
    weight: u32,
}

/// Pieces pressed one closing after the other on one press.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BatchForm {
    id: String,
    /// Id of its job.
    job: String,
    /// Ids of the presses it may run on.
    presses: Vec<String>,
    /// None of it is pressed before, should its goods come later than its job's.
    #[serde(default)]
    release_s: i64,
    #[serde(default)]
    platen: usize,
    temp_c: i32,
    #[serde(default)]
    pressure: u8,
    pieces: u32,
    #[serde(default = "one")]
    per_closing: u32,
    /// A person's seconds per piece before the press closes.
    load_s: i64,
    /// Closed, per closing.
    press_s: i64,
    /// Longest the pieces may lie in the opened press.
    #[serde(default)]
    open_wait_s: i64,
    /// A person's seconds per piece to unload.
    #[serde(default)]
    unload_s: i64,
    /// On a rack place before finishing.
    #[serde(default)]
    cool_s: i64,
    /// A person's seconds per piece away from the press.
    #[serde(default)]
    finish_s: i64,
    /// Test piece before the first closing on a press.
    #[serde(default)]
    test_piece_s: i64,
    /// Batches that must be finished before.
    #[serde(default)]
    after: Vec<AfterForm>,
}

/// A batch that goes before.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct AfterForm {
    /// Id of the batch.
    batch: String,
    /// Between its end and the first loading here.
    #[serde(default)]
    lag_s: i64,
}

/// What time and energy cost, minor units of money.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct RatesForm {
    labour_per_hour: i64,
    energy_per_kwh: i64,
}

impl Default for RatesForm {
    fn default() -> Self {
        let Rates { labour_per_hour, energy_per_kwh } = Rates::default();
        Self { labour_per_hour, energy_per_kwh }
    }
}

fn one() -> u32 {
    1
}

pub(super) fn read(form: &ProblemForm) -> Result<Problem, FormError> {
    known_version(form.version)?;
    once("presses", form.presses.iter().map(|one| &one.id))?;
    once("people", form.people.iter().map(|one| &one.id))?;
    once("jobs", form.jobs.iter().map(|one| &one.id))?;
    once("batches", form.batches.iter().map(|one| &one.id))?;
    let mut problem = Problem {
        presses: form.presses.iter().map(press).collect(),
        people: form
            .people
            .iter()
            .map(|one| Person { name: one.id.clone(), hours: one.hours_s.iter().map(span).collect() })
            .collect(),
        rack_places: form.rack_places,
        jobs: form
            .jobs
            .iter()
            .map(|one| Job { name: one.id.clone(), release_s: one.release_s, due_s: one.due_s, weight: one.weight })
            .collect(),
        batches: form.batches.iter().map(|one| Batch { name: one.id.clone(), ..Batch::default() }).collect(),
        now_s: form.now_s,
        done: Vec::new(),
        rates: Rates { labour_per_hour: form.rates.labour_per_hour, energy_per_kwh: form.rates.energy_per_kwh },
    };
    // Batches name one another, so ids come first.
    let ids = Ids::of(&problem);
    let batches: Result<Vec<Batch>, FormError> =
        form.batches.iter().enumerate().map(|(nth, one)| batch(&ids, nth, one)).collect();
    problem.batches = batches?;
    let done = form.done.iter().enumerate().map(|(nth, one)| {
        let entry = read_entry(&ids, &format!("done[{nth}]"), one)?;
        Ok(crate::Entry { kept: true, ..entry })
    });
    problem.done = done.collect::<Result<_, FormError>>()?;
    Ok(problem)
}

fn once<'n>(list: &str, ids: impl Iterator<Item = &'n String>) -> Result<(), FormError> {
    let mut seen = std::collections::BTreeSet::new();
    for (nth, id) in ids.enumerate() {
        if !seen.insert(id) {
            return Err(at(&format!("{list}[{nth}].id"), format!("{id:?} is there twice; give each its own id")));
        }
    }
    Ok(())
}

fn span(pair: &[i64; 2]) -> Span {
    Span::new(pair[0], pair[1])
}

fn press(form: &PressForm) -> Press {
    Press {
        name: form.id.clone(),
        available: form.on_s.iter().map(span).collect(),
        start: Setup { platen: form.platen, temp_c: form.temp_c, pressure: form.pressure },
        hot_at_start: form.hot,
        warm_up_s: form.warm_up_s,
        heat_ms_per_k: form.heat_ms_per_k,
        cool_ms_per_k: form.cool_ms_per_k,
        settle_s: form.settle_s,
        platen_swap_s: form.platen_swap_s,
        pressure_reset_s: form.pressure_reset_s,
        standby_w: form.standby_w,
        heating_w: form.heating_w,
    }
}

fn batch(ids: &Ids, nth: usize, form: &BatchForm) -> Result<Batch, FormError> {
    let place = |key: &str| format!("batches[{nth}].{key}");
    let presses: Result<Vec<usize>, FormError> =
        form.presses.iter().map(|id| ids.press(&place("presses"), id)).collect();
    let after: Result<Vec<Lag>, FormError> = form
        .after
        .iter()
        .map(|one| Ok(Lag { batch: ids.batch(&place("after"), &one.batch)?, lag_s: one.lag_s }))
        .collect();
    Ok(Batch {
        name: form.id.clone(),
        job: ids.jobs.find(&place("job"), &form.job)?,
        presses_allowed: presses?,
        release_s: form.release_s,
        setup: Setup { platen: form.platen, temp_c: form.temp_c, pressure: form.pressure },
        pieces: form.pieces,
        per_closing: form.per_closing,
        load_s: form.load_s,
        press_s: form.press_s,
        open_wait_s: form.open_wait_s,
        unload_s: form.unload_s,
        cool_s: form.cool_s,
        finish_s: form.finish_s,
        after: after?,
        test_piece_s: form.test_piece_s,
    })
}

pub(super) fn form(problem: &Problem) -> ProblemForm {
    let ids = Ids::of(problem);
    let pair = |span: &Span| [span.start_s, span.end_s];
    let press = |(nth, press): (usize, &Press)| PressForm {
        id: ids.presses.name(nth),
        on_s: press.available.iter().map(pair).collect(),
        platen: press.start.platen,
        temp_c: press.start.temp_c,
        pressure: press.start.pressure,
        hot: press.hot_at_start,
        warm_up_s: press.warm_up_s,
        heat_ms_per_k: press.heat_ms_per_k,
        cool_ms_per_k: press.cool_ms_per_k,
        settle_s: press.settle_s,
        platen_swap_s: press.platen_swap_s,
        pressure_reset_s: press.pressure_reset_s,
        standby_w: press.standby_w,
        heating_w: press.heating_w,
    };
    ProblemForm {
        version: VERSION,
        presses: problem.presses.iter().enumerate().map(press).collect(),
        people: problem
            .people
            .iter()
            .enumerate()
            .map(|(nth, one)| PersonForm { id: ids.people.name(nth), hours_s: one.hours.iter().map(pair).collect() })
            .collect(),
        rack_places: problem.rack_places,
        jobs: problem
            .jobs
            .iter()
            .enumerate()
            .map(|(nth, one)| JobForm {
                id: ids.jobs.name(nth),
                release_s: one.release_s,
                due_s: one.due_s,
                weight: one.weight,
            })
            .collect(),
        batches: problem.batches.iter().enumerate().map(|(nth, one)| batch_form(&ids, nth, one)).collect(),
        now_s: problem.now_s,
        done: problem.done.iter().map(|entry| entry_form(&ids, entry)).collect(),
        rates: RatesForm {
            labour_per_hour: problem.rates.labour_per_hour,
            energy_per_kwh: problem.rates.energy_per_kwh,
        },
    }
}

fn batch_form(ids: &Ids, nth: usize, batch: &Batch) -> BatchForm {
    BatchForm {
        id: ids.batches.name(nth),
        job: ids.jobs.name(batch.job),
        presses: batch.presses_allowed.iter().map(|press| ids.presses.name(*press)).collect(),
        release_s: batch.release_s,
        platen: batch.setup.platen,
        temp_c: batch.setup.temp_c,
        pressure: batch.setup.pressure,
        pieces: batch.pieces,
        per_closing: batch.per_closing,
        load_s: batch.load_s,
        press_s: batch.press_s,
        open_wait_s: batch.open_wait_s,
        unload_s: batch.unload_s,
        cool_s: batch.cool_s,
        finish_s: batch.finish_s,
        test_piece_s: batch.test_piece_s,
        after: batch
            .after
            .iter()
            .map(|lag| AfterForm { batch: ids.batches.name(lag.batch), lag_s: lag.lag_s })
            .collect(),
    }
}
