//! The form of a schedule, and of what its replay finds.

use super::{FindingForm, FormError, Ids, VERSION, at, finding_form, instant, known_version, version};
use crate::{Attended, Bound, Closing, Entry, Fault, Problem, Schedule, SetUp, Span, Unplaced, Verdict};
use report::Finding;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Who does what at which press, when.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ScheduleForm {
    #[serde(default = "version")]
    version: u32,
    /// Sum of the late jobs' weights: what is made least first.
    late_weight: i64,
    /// Paid seconds.
    labour_s: i64,
    /// Seconds of hands on work.
    hands_s: i64,
    /// Energy, J.
    energy_j: i64,
    /// Labour and energy, minor units of money: what is made least second.
    cost_minor: i64,
    bound: BoundForm,
    /// Schedules tried.
    #[serde(default)]
    evaluations: u64,
    jobs: Vec<JobEndForm>,
    entries: Vec<EntryForm>,
    #[serde(default)]
    unplaced: Vec<UnplacedForm>,
    #[serde(default)]
    findings: Vec<FindingForm>,
}

/// What no schedule can do better than.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BoundForm {
    /// Ids of the jobs that are late in every schedule.
    #[serde(default)]
    surely_late: Vec<String>,
    late_weight: i64,
    labour_s: i64,
    energy_j: i64,
    cost_minor: i64,
}

/// When a job is finished.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct JobEndForm {
    id: String,
    /// `null` when part of it found no time.
    finish_s: Option<i64>,
    late: bool,
}

/// A batch, or a part of one, on one press.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct EntryForm {
    batch: String,
    press: String,
    /// Kept from an earlier plan.
    #[serde(default)]
    kept: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    set_up: Option<SetUpForm>,
    closings: Vec<ClosingForm>,
}

/// What is changed on a press before a batch.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SetUpForm {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    platen_from: Option<usize>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pressure_from: Option<u8>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    temp_from_c: Option<i32>,
    #[serde(default)]
    from_cold: bool,
    /// A person's time for platen and pressure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    hands: Option<AttendedForm>,
    /// Until the plate is steady.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    heat_s: Option<[i64; 2]>,
    /// The test piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    test: Option<AttendedForm>,
}

/// A person's attention for a while.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct AttendedForm {
    person: String,
    span_s: [i64; 2],
}

/// One closing of a press.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ClosingForm {
    person: String,
    pieces: u32,
    /// Of these, spoiled and to be done again.
    #[serde(default)]
    spoiled: u32,
    load_s: [i64; 2],
    press_s: [i64; 2],
    unload_s: [i64; 2],
    /// When the pieces may be finished.
    cool_end_s: i64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    finish: Option<AttendedForm>,
}

/// Pieces for which no time was found.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct UnplacedForm {
    batch: String,
    pieces: u32,
    #[serde(default)]
    unfinished: u32,
}

/// What a replay finds.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct VerdictForm {
    version: u32,
    good: bool,
    /// One sentence a fault.
    faults: Vec<String>,
    late_jobs: Vec<String>,
    labour_s: i64,
    energy_j: i64,
    /// Most pieces on the rack at once.
    rack_peak: i64,
}

pub(super) fn read(problem: &Problem, form: &ScheduleForm) -> Result<Schedule, FormError> {
    known_version(form.version)?;
    let ids = Ids::of(problem);
    let entries: Result<Vec<Entry>, FormError> =
        form.entries.iter().enumerate().map(|(nth, one)| read_entry(&ids, &format!("entries[{nth}]"), one)).collect();
    let mut finish_s = vec![None; problem.jobs.len()];
    let mut late_jobs = Vec::new();
    for (nth, end) in form.jobs.iter().enumerate() {
        let job = ids.jobs.find(&format!("jobs[{nth}].id"), &end.id)?;
        finish_s[job] = end.finish_s;
        if end.late {
            late_jobs.push(job);
        }
    }
    late_jobs.sort_unstable();
    let unplaced: Result<Vec<Unplaced>, FormError> = form
        .unplaced
        .iter()
        .map(|one| {
            let batch = ids.batch("unplaced", &one.batch)?;
            Ok(Unplaced { batch, pieces: one.pieces, unfinished: one.unfinished })
        })
        .collect();
    let surely_late: Result<Vec<usize>, FormError> =
        form.bound.surely_late.iter().map(|id| ids.jobs.find("bound.surely_late", id)).collect();
    Ok(Schedule {
        entries: entries?,
        unplaced: unplaced?,
        finish_s,
        late_jobs,
        late_weight: form.late_weight,
        labour_s: form.labour_s,
        hands_s: form.hands_s,
        energy_j: form.energy_j,
        cost_minor: form.cost_minor,
        bound: Bound {
            surely_late: surely_late?,
            late_weight: form.bound.late_weight,
            labour_s: form.bound.labour_s,
            energy_j: form.bound.energy_j,
            cost_minor: form.bound.cost_minor,
        },
        evaluations: form.evaluations,
    })
}

pub(super) fn read_entry(ids: &Ids, place: &str, form: &EntryForm) -> Result<Entry, FormError> {
    let set_up = form.set_up.as_ref().map(|set_up| read_set_up(ids, &format!("{place}.set_up"), set_up)).transpose()?;
    let closings: Result<Vec<Closing>, FormError> = form
        .closings
        .iter()
        .enumerate()
        .map(|(nth, one)| read_closing(ids, &format!("{place}.closings[{nth}]"), one))
        .collect();
    Ok(Entry {
        batch: ids.batch(&format!("{place}.batch"), &form.batch)?,
        press: ids.press(&format!("{place}.press"), &form.press)?,
        set_up,
        closings: closings?,
        kept: form.kept,
    })
}

fn read_set_up(ids: &Ids, place: &str, form: &SetUpForm) -> Result<SetUp, FormError> {
    let attended = |key: &str, form: &Option<AttendedForm>| {
        form.as_ref().map(|one| attended(ids, &format!("{place}.{key}"), one)).transpose()
    };
    Ok(SetUp {
        platen_from: form.platen_from,
        pressure_from: form.pressure_from,
        temp_from_c: form.temp_from_c,
        from_cold: form.from_cold,
        hands: attended("hands", &form.hands)?,
        heat: form.heat_s.map(|pair| span(&format!("{place}.heat_s"), pair)).transpose()?,
        test: attended("test", &form.test)?,
    })
}

fn attended(ids: &Ids, place: &str, form: &AttendedForm) -> Result<Attended, FormError> {
    Ok(Attended {
        person: ids.person(&format!("{place}.person"), &form.person)?,
        span: span(&format!("{place}.span_s"), form.span_s)?,
    })
}

fn read_closing(ids: &Ids, place: &str, form: &ClosingForm) -> Result<Closing, FormError> {
    let key = |key: &str| format!("{place}.{key}");
    if form.spoiled > form.pieces {
        return Err(at(&key("spoiled"), format!("{} of {} pieces cannot be spoiled", form.spoiled, form.pieces)));
    }
    Ok(Closing {
        person: ids.person(&key("person"), &form.person)?,
        pieces: form.pieces,
        spoiled: form.spoiled,
        load: span(&key("load_s"), form.load_s)?,
        press: span(&key("press_s"), form.press_s)?,
        unload: span(&key("unload_s"), form.unload_s)?,
        cool_end_s: instant(&key("cool_end_s"), form.cool_end_s)?,
        finish: form.finish.as_ref().map(|one| attended(ids, &key("finish"), one)).transpose()?,
    })
}

/// A span that does not run backwards.
fn span(place: &str, [start_s, end_s]: [i64; 2]) -> Result<Span, FormError> {
    let span = Span::new(instant(place, start_s)?, instant(place, end_s)?);
    if span.start_s > span.end_s {
        return Err(at(place, format!("{start_s} to {end_s} runs backwards; write start, then end")));
    }
    Ok(span)
}

pub(super) fn form(problem: &Problem, schedule: &Schedule, findings: &[Finding]) -> ScheduleForm {
    let ids = Ids::of(problem);
    let job = |nth: usize| JobEndForm {
        id: ids.jobs.name(nth),
        finish_s: schedule.finish_s.get(nth).copied().flatten(),
        late: schedule.late_jobs.contains(&nth),
    };
    ScheduleForm {
        version: VERSION,
        late_weight: schedule.late_weight,
        labour_s: schedule.labour_s,
        hands_s: schedule.hands_s,
        energy_j: schedule.energy_j,
        cost_minor: schedule.cost_minor,
        bound: BoundForm {
            surely_late: schedule.bound.surely_late.iter().map(|job| ids.jobs.name(*job)).collect(),
            late_weight: schedule.bound.late_weight,
            labour_s: schedule.bound.labour_s,
            energy_j: schedule.bound.energy_j,
            cost_minor: schedule.bound.cost_minor,
        },
        evaluations: schedule.evaluations,
        jobs: (0..problem.jobs.len()).map(job).collect(),
        entries: schedule.entries.iter().map(|entry| entry_form(&ids, entry)).collect(),
        unplaced: schedule
            .unplaced
            .iter()
            .map(|one| UnplacedForm {
                batch: ids.batches.name(one.batch),
                pieces: one.pieces,
                unfinished: one.unfinished,
            })
            .collect(),
        findings: findings.iter().map(finding_form).collect(),
    }
}

pub(super) fn entry_form(ids: &Ids, entry: &Entry) -> EntryForm {
    let attended = |one: &Attended| AttendedForm { person: ids.people.name(one.person), span_s: pair(one.span) };
    let closing = |one: &Closing| ClosingForm {
        person: ids.people.name(one.person),
        pieces: one.pieces,
        spoiled: one.spoiled,
        load_s: pair(one.load),
        press_s: pair(one.press),
        unload_s: pair(one.unload),
        cool_end_s: one.cool_end_s,
        finish: one.finish.as_ref().map(attended),
    };
    EntryForm {
        batch: ids.batches.name(entry.batch),
        press: ids.presses.name(entry.press),
        kept: entry.kept,
        set_up: entry.set_up.map(|set_up| SetUpForm {
            platen_from: set_up.platen_from,
            pressure_from: set_up.pressure_from,
            temp_from_c: set_up.temp_from_c,
            from_cold: set_up.from_cold,
            hands: set_up.hands.as_ref().map(attended),
            heat_s: set_up.heat.map(pair),
            test: set_up.test.as_ref().map(attended),
        }),
        closings: entry.closings.iter().map(closing).collect(),
    }
}

fn pair(span: Span) -> [i64; 2] {
    [span.start_s, span.end_s]
}

pub(super) fn verdict(problem: &Problem, schedule: &Schedule, verdict: &Verdict) -> VerdictForm {
    let ids = Ids::of(problem);
    VerdictForm {
        version: VERSION,
        good: verdict.faults.is_empty(),
        faults: verdict.faults.iter().map(|fault| told(&ids, schedule, fault)).collect(),
        late_jobs: verdict.late_jobs.iter().map(|job| ids.jobs.name(*job)).collect(),
        labour_s: verdict.labour_s,
        energy_j: verdict.energy_j,
        rack_peak: verdict.rack_peak,
    }
}

/// A fault with the ids of what it is about; for scripts and their makers, so in the forms' own words.
fn told(ids: &Ids, schedule: &Schedule, fault: &Fault) -> String {
    let batch = |entry: usize| schedule.entries.get(entry).map_or_else(String::new, |one| ids.batches.name(one.batch));
    let entry_of = |entry: usize, what: &str| format!("entries[{entry}] ({}): {what}", batch(entry));
    match *fault {
        Fault::Unknown { entry } => format!("entries[{entry}]: names what is not there, or has no closing"),
        Fault::PersonTwice { person, at_s } => {
            format!("{}: two things at once at {at_s} s", ids.people.name(person))
        }
        Fault::PersonAway { person, at_s } => format!("{}: outside their hours at {at_s} s", ids.people.name(person)),
        Fault::PressTwice { press, at_s } => format!("{}: two things at once at {at_s} s", ids.presses.name(press)),
        Fault::PressOff { press, at_s } => format!("{}: used while off at {at_s} s", ids.presses.name(press)),
        Fault::PressCold { press, at_s } => {
            format!("{}: used before it is warm and steady at {at_s} s", ids.presses.name(press))
        }
        Fault::PressNotAllowed { entry } => entry_of(entry, "not a press of its batch"),
        Fault::WrongSetup { entry } => entry_of(entry, "the press is not set as the batch needs it"),
        Fault::TestPiece { entry } => entry_of(entry, "the test piece is missing or took another time"),
        Fault::Step { entry, closing } => {
            entry_of(entry, &format!("closings[{closing}] does not take the times of its batch"))
        }
        Fault::RackFull { at_s, pieces } => format!("rack: {pieces} pieces cool at {at_s} s, more than it has places"),
        Fault::TooEarly { entry } => entry_of(entry, "begun before its goods, before now, or before what goes before"),
        Fault::Pieces { batch } => {
            format!("{}: pieces pressed, left out and ordered do not agree", ids.batches.name(batch))
        }
        Fault::Kept { done } => format!("done[{done}]: kept work was changed"),
        Fault::Total { what } => format!("{what}: not what the replay finds"),
    }
}
