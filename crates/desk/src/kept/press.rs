//! Counting at the press: good and spoiled pieces of each print of each line.

use super::standing::named;
use super::{Deed, DeedError, Kept};
use crate::codes;
use report::{Finding, Severity, Value};
use serde::Deserialize;
use std::collections::BTreeSet;
use store::Stamp;
use store::form::{MadeRun, PlanForm, PressCount, SpoiledCount};
use store::{Listed, Sieve};

/// Most pieces counted at once.
const MOST_PIECES: u32 = 100_000;

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counted<'a> {
    /// The line as planned, from 0.
    pub line: usize,
    /// Its print, from 0.
    pub print: usize,
    /// Good pieces since the last count.
    pub good: u32,
    /// Spoiled pieces since the last count.
    pub spoiled: u32,
    /// Why they were spoiled.
    pub why: &'a str,
}

/// One print of an order at the press.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// The order.
    pub order: Listed,
    /// The line as planned, from 0, and its print, from 0.
    pub at: (usize, usize),
    /// The style by the shop's name for it, or as typed.
    pub garment: String,
    /// Position as a code, as the plan has it.
    pub position: String,
    /// Garments of the line.
    pub pieces: u32,
    /// The press by its name for people.
    pub press: String,
    /// When the first piece is begun, by the shop's clock.
    pub from: String,
}

/// What is read of a plan file.
#[derive(Deserialize)]
struct PlanFile {
    timeline: PlanTimeline,
}

#[derive(Deserialize)]
struct PlanTimeline {
    entries: Vec<PlanEntry>,
}

#[derive(Deserialize)]
struct PlanEntry {
    order: usize,
    line: usize,
    print: usize,
    press: String,
    from: String,
}

impl Kept {
    /// What is pressed for the first `most` open orders, the first first.
    pub fn runs(&self, most: i64) -> Deed<Vec<Run>> {
        let mut all = Vec::new();
        for listed in self.list(&Sieve { open_only: true, most, ..Sieve::default() })? {
            let Some(plan) = self.plan_record(&listed.id)?.map(|record| record.body) else { continue };
            let Some(facts) = plan.facts.iter().find(|facts| facts.order == listed.id) else { continue };
            let runs = match &facts.runs {
                Some(runs) => runs.clone(),
                None => self.runs_of_file(&plan, &listed.id)?,
            };
            all.extend(runs.into_iter().filter_map(|run| {
                let line = facts.lines.get(run.line)?;
                Some(Run {
                    order: listed.clone(),
                    at: (run.line, run.print),
                    garment: line.garment.clone(),
                    position: line.prints.get(run.print)?.position.clone(),
                    pieces: line.pieces,
                    press: run.press,
                    from: run.from,
                })
            }));
        }
        all.sort_by(|a, b| a.from.cmp(&b.from));
        Ok(all)
    }

    /// The runs of a plan of an earlier build, as its plan file has them.
    fn runs_of_file(&self, plan: &PlanForm, order: &str) -> Deed<Vec<MadeRun>> {
        let at = plan.orders.iter().position(|planned| planned.id == order).unwrap_or(0);
        let file: PlanFile = serde_json::from_slice(&self.file_of(plan, "plan.json")?)
            .map_err(|error| store::StoreError::Damaged { cause: format!("plan {order}: {error}") })?;
        let mine = file.timeline.entries.into_iter().filter(|entry| entry.order == at);
        let run = |entry: PlanEntry| {
            let PlanEntry { line, print, press, from, .. } = entry;
            MadeRun { line, print, press, from }
        };
        let mut all: Vec<MadeRun> = mine.map(run).collect();
        all.sort_by(|a, b| a.from.cmp(&b.from));
        let mut seen = BTreeSet::new();
        all.retain(|run| seen.insert((run.line, run.print)));
        Ok(all)
    }

    /// Adds to the count of a print. Spoiled pieces need a reason.
    pub fn count(&self, id: &str, on: i64, counted: Counted<'_>, hand: &Stamp) -> Deed<i64> {
        let Counted { line, print, good, spoiled, why } = counted;
        let why = if spoiled > 0 { named(why)? } else { String::new() };
        if good > MOST_PIECES || spoiled > MOST_PIECES {
            return Err(Finding::new(Severity::StopsLine, codes::COUNT_LARGE, codes::COUNT_LARGE_REMEDY)
                .with("limit", Value::Count(MOST_PIECES.into()))
                .into());
        }
        let plan = self.plan_record(id)?;
        let facts = plan.iter().flat_map(|plan| &plan.body.facts).find(|facts| facts.order == id);
        let known = facts.and_then(|facts| facts.lines.get(line)).is_some_and(|line| print < line.prints.len());
        if !known {
            let what = format!("print {} of line {} in the plan of order {id}", print + 1, line + 1);
            return Err(DeedError::Missing { what });
        }
        self.change_form(id, on, "counted at the press", hand, |form| {
            let counts = &mut form.standing.counts;
            let at = counts.iter().position(|count| (count.line, count.print) == (line, print)).unwrap_or_else(|| {
                counts.push(PressCount { line, print, good: 0, spoiled: Vec::new() });
                counts.len() - 1
            });
            if let Some(count) = counts.get_mut(at) {
                count.good = count.good.saturating_add(good);
                add_spoiled(count, spoiled, why);
            }
            counts.sort_by_key(|count| (count.line, count.print));
            Ok(())
        })
    }
}

fn add_spoiled(count: &mut PressCount, pieces: u32, why: String) {
    if pieces == 0 {
        return;
    }
    match count.spoiled.iter_mut().find(|one| one.why == why) {
        Some(one) => one.pieces = one.pieces.saturating_add(pieces),
        None => count.spoiled.push(SpoiledCount { pieces, why }),
    }
}
