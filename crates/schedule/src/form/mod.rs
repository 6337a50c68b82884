//! The JSON forms of problems, schedules, verdicts and events. Things are named by
//! their ids; unknown keys are refused by name; everything is converted once into
//! checked types. Times are whole seconds from the problem's own origin.

mod problem;
mod schedule;

use crate::check::checked;
use crate::{Event, Problem, Schedule, Settings};
use report::{Finding, FormError, Severity, Value, Watch};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The version of the forms written here.
pub const VERSION: u32 = 1;
/// Longest text read, bytes.
const MOST_BYTES: usize = 64 << 20;

/// Schedules a problem given as JSON; returns the schedule as JSON.
pub fn run(problem: &str, settings: &Settings, watch: &mut dyn Watch) -> Result<String, FormError> {
    let problem = read_problem(problem)?;
    let outcome = crate::solve(&problem, settings, watch).map_err(FormError::Refused)?;
    Ok(write_schedule(&problem, &outcome.value, &outcome.findings))
}

/// Replays a schedule against its problem, both as JSON; returns the verdict as JSON
/// and whether it is good.
pub fn check(problem: &str, schedule: &str) -> Result<(String, bool), FormError> {
    let problem = read_problem(problem)?;
    let schedule = schedule::read(&problem, &parse(schedule)?)?;
    let verdict = crate::simulate(&problem, &schedule);
    let good = verdict.faults.is_empty();
    Ok((pretty(&schedule::verdict(&problem, &schedule, &verdict)), good))
}

/// What is left of a problem after what happened, all as JSON: the new problem, and what was lost.
///
/// Refuses a schedule that does not hold.
pub fn replan(problem: &str, schedule: &str, events: &str) -> Result<(String, Vec<Finding>), FormError> {
    let problem = read_problem(problem)?;
    let schedule = schedule::read(&problem, &parse(schedule)?)?;
    let faults = crate::simulate(&problem, &schedule).faults.len();
    if faults > 0 {
        let message = format!("the schedule does not hold for this problem ({faults} faults); check it first");
        return Err(at("", message));
    }
    let (now_s, events) = events_of(&problem, &parse(events)?)?;
    let left = crate::replan(&problem, &schedule, now_s, &events);
    checked(&left.value).map_err(FormError::Refused)?;
    Ok((write_problem(&left.value), left.findings))
}

/// JSON Schemas of the four forms, as one JSON object.
pub fn schema() -> String {
    let all = serde_json::json!({
        "problem": schemars::schema_for!(problem::ProblemForm),
        "schedule": schemars::schema_for!(schedule::ScheduleForm),
        "verdict": schemars::schema_for!(schedule::VerdictForm),
        "events": schemars::schema_for!(EventsForm),
    });
    pretty(&all)
}

/// A problem from JSON, checked.
pub fn read_problem(text: &str) -> Result<Problem, FormError> {
    let problem = problem::read(&parse(text)?)?;
    checked(&problem).map_err(FormError::Refused)?;
    Ok(problem)
}

/// A problem as JSON. Ids are the names; one that was there before gets a number.
pub fn write_problem(problem: &Problem) -> String {
    pretty(&problem::form(problem))
}

/// A schedule from JSON, its ids looked up in the problem. Only its work is read; its
/// totals are taken as they stand, for [`check`] to confirm.
pub fn read_schedule(problem: &Problem, text: &str) -> Result<Schedule, FormError> {
    schedule::read(problem, &parse(text)?)
}

/// A schedule as JSON.
pub fn write_schedule(problem: &Problem, schedule: &Schedule, findings: &[Finding]) -> String {
    pretty(&schedule::form(problem, schedule, findings))
}

/// What has happened since a schedule was made.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct EventsForm {
    #[serde(default = "version")]
    version: u32,
    /// Nothing new begins before.
    now_s: i64,
    /// What happened; may be empty.
    #[serde(default)]
    events: Vec<EventForm>,
}

/// One thing that happened.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, tag = "kind", rename_all = "kebab-case")]
enum EventForm {
    /// A press fails; `until_s` left out: nobody knows when it comes back.
    PressFails {
        press: String,
        from_s: i64,
        #[serde(default)]
        until_s: Option<i64>,
    },
    /// Pieces already pressed must be done again.
    PiecesSpoiled { batch: String, pieces: u32 },
    /// Somebody leaves; `until_s` left out: for good.
    PersonLeaves {
        person: String,
        from_s: i64,
        #[serde(default)]
        until_s: Option<i64>,
    },
}

fn events_of(problem: &Problem, form: &EventsForm) -> Result<(i64, Vec<Event>), FormError> {
    known_version(form.version)?;
    let ids = Ids::of(problem);
    let now_s = instant("now_s", form.now_s)?;
    let until = |place: &str, until_s: &Option<i64>| until_s.map(|at_s| instant(place, at_s)).transpose();
    let mut all = Vec::new();
    for (nth, event) in form.events.iter().enumerate() {
        let place = |key: &str| format!("events[{nth}].{key}");
        all.push(match event {
            EventForm::PressFails { press, from_s, until_s } => Event::PressFails {
                press: ids.press(&place("press"), press)?,
                from_s: instant(&place("from_s"), *from_s)?,
                until_s: until(&place("until_s"), until_s)?,
            },
            EventForm::PiecesSpoiled { batch, pieces } => {
                Event::PiecesSpoiled { batch: ids.batch(&place("batch"), batch)?, pieces: *pieces }
            }
            EventForm::PersonLeaves { person, from_s, until_s } => Event::PersonLeaves {
                person: ids.person(&place("person"), person)?,
                from_s: instant(&place("from_s"), *from_s)?,
                until_s: until(&place("until_s"), until_s)?,
            },
        });
    }
    Ok((now_s, all))
}

/// The ids of a problem's things, each once.
struct Ids {
    presses: List,
    people: List,
    jobs: List,
    batches: List,
}

/// Ids in order, and where each is.
struct List {
    what: &'static str,
    names: Vec<String>,
    at: BTreeMap<String, usize>,
}

impl List {
    fn new<'n>(what: &'static str, names: impl Iterator<Item = &'n String>) -> Self {
        let mut list = Self { what, names: Vec::new(), at: BTreeMap::new() };
        for name in names {
            let mut id = name.clone();
            let mut nth = 2_u32;
            while list.at.contains_key(&id) {
                id = format!("{name}#{nth}");
                nth = nth.saturating_add(1);
            }
            list.at.insert(id.clone(), list.names.len());
            list.names.push(id);
        }
        list
    }

    fn find(&self, place: &str, id: &str) -> Result<usize, FormError> {
        self.at.get(id).copied().ok_or_else(|| {
            let known: Vec<&str> = self.names.iter().take(8).map(String::as_str).collect();
            if known.is_empty() {
                return at(place, format!("there is no {} {id:?}, nor any other; list it first", self.what));
            }
            let more = if self.names.len() > known.len() { " …" } else { "" };
            at(place, format!("there is no {} {id:?}; write one of: {}{more}", self.what, known.join(", ")))
        })
    }

    fn name(&self, at: usize) -> String {
        self.names.get(at).cloned().unwrap_or_default()
    }
}

impl Ids {
    fn of(problem: &Problem) -> Self {
        Self {
            presses: List::new("press", problem.presses.iter().map(|one| &one.name)),
            people: List::new("person", problem.people.iter().map(|one| &one.name)),
            jobs: List::new("job", problem.jobs.iter().map(|one| &one.name)),
            batches: List::new("batch", problem.batches.iter().map(|one| &one.name)),
        }
    }

    fn press(&self, place: &str, id: &str) -> Result<usize, FormError> {
        self.presses.find(place, id)
    }

    fn person(&self, place: &str, id: &str) -> Result<usize, FormError> {
        self.people.find(place, id)
    }

    fn batch(&self, place: &str, id: &str) -> Result<usize, FormError> {
        self.batches.find(place, id)
    }
}

/// A finding of the engine.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FindingForm {
    code: String,
    severity: String,
    #[serde(default)]
    quantities: BTreeMap<String, serde_json::Value>,
}

fn finding_form(finding: &Finding) -> FindingForm {
    let severity = match finding.severity {
        Severity::Note => "note",
        Severity::Warning => "warning",
        Severity::Ask => "ask",
        Severity::StopsLine => "stops-line",
    };
    let value = |value: &Value| match value {
        Value::Count(count) => serde_json::json!(count),
        Value::Number(number) => serde_json::json!(number),
        Value::Text(text) => serde_json::json!(text),
        Value::Term(code) => serde_json::json!(code.0),
        Value::Duration(span) => serde_json::json!({ "s": span.s() }),
        other => serde_json::json!(format!("{other:?}")),
    };
    FindingForm {
        code: finding.code.0.to_owned(),
        severity: severity.to_owned(),
        quantities: finding.quantities.iter().map(|one| (one.name.to_owned(), value(&one.value))).collect(),
    }
}

fn parse<'t, T: Deserialize<'t>>(text: &'t str) -> Result<T, FormError> {
    if text.len() > MOST_BYTES {
        return Err(at("", format!("the text is {} MiB long; 64 MiB are read at most", text.len() >> 20)));
    }
    let mut reader = serde_json::Deserializer::from_str(text);
    let value =
        serde_path_to_error::deserialize(&mut reader).map_err(|e| at(&e.path().to_string(), e.inner().to_string()))?;
    reader.end().map_err(|e| at("", e.to_string()))?;
    Ok(value)
}

fn at(place: &str, message: String) -> FormError {
    FormError::Form { place: place.to_owned(), message }
}

fn pretty<T: Serialize>(value: &T) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}

fn version() -> u32 {
    VERSION
}

fn known_version(version: u32) -> Result<(), FormError> {
    if version == VERSION {
        return Ok(());
    }
    Err(at("version", format!("version {version} of this form is not known here; write {VERSION}")))
}

/// A second near enough to the origin to be reckoned with.
fn instant(place: &str, at_s: i64) -> Result<i64, FormError> {
    let most = crate::Limits::INSTANT_S;
    if (-most..=most).contains(&at_s) {
        return Ok(at_s);
    }
    Err(at(place, format!("{at_s} is out of range; write a second from {} to {most}", -most)))
}
