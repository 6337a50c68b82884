//! The work on the presses.

use crate::result::Plan;
use schemars::JsonSchema;
use serde::Serialize;

/// Work on the presses.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct TimelineFile {
    origin: String,
    entries: Vec<EntryFile>,
    labour_s: Option<i64>,
    energy_j: Option<i64>,
    late_orders: Vec<usize>,
}

/// A run of closings of one print on one press.
#[derive(Debug, Serialize, JsonSchema)]
struct EntryFile {
    order: usize,
    line: usize,
    print: usize,
    visit: usize,
    press: String,
    people: Vec<String>,
    temp_c: i32,
    from: String,
    to: String,
    done: String,
    pieces: u32,
    closings: usize,
}

pub(in crate::form::plan_file) fn timeline(plan: &Plan) -> TimelineFile {
    let timeline = &plan.timeline;
    let problem = &timeline.problem;
    let entries = timeline
        .schedule
        .iter()
        .flat_map(|schedule| &schedule.entries)
        .filter_map(|entry| {
            let of = timeline.batches.get(entry.batch)?;
            Some(EntryFile {
                order: of.order,
                line: of.line,
                print: of.print,
                visit: of.visit,
                press: problem.presses.get(entry.press)?.name.clone(),
                people: entry
                    .people()
                    .into_iter()
                    .filter_map(|at| Some(problem.people.get(at)?.name.clone()))
                    .collect(),
                temp_c: problem.batches.get(entry.batch)?.setup.temp_c,
                from: timeline.moment(entry.start_s()).to_string(),
                to: timeline.moment(entry.end_s()).to_string(),
                done: timeline.moment(entry.done_s()).to_string(),
                pieces: entry.pieces(),
                closings: entry.closings.len(),
            })
        })
        .collect();
    TimelineFile {
        origin: timeline.origin.to_string(),
        entries,
        labour_s: timeline.schedule.as_ref().map(|schedule| schedule.labour_s),
        energy_j: timeline.schedule.as_ref().map(|schedule| schedule.energy_j),
        late_orders: timeline.schedule.as_ref().map_or_else(Vec::new, |schedule| schedule.late_jobs.clone()),
    }
}
