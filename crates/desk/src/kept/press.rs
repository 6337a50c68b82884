//! Counting at the press: good and spoiled pieces of each print of each line.

use super::standing::named;
use super::{Deed, DeedError, Kept};
use crate::codes;
use report::{Finding, Severity, Value};
use store::Stamp;
use store::form::{PressCount, SpoiledCount};

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

impl Kept {
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
