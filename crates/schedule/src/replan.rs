//! What has happened since, and the problem that is left.

use crate::codes;
use crate::{Entry, Problem, Schedule, Span};
use report::{Finding, Outcome, Severity, Subject, Value};

/// Something that overturns a schedule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Event {
    /// A press fails; it may come back.
    PressFails {
        /// Index of the press.
        press: usize,
        /// From when.
        from_s: i64,
        /// Until when; `None` when nobody knows.
        until_s: Option<i64>,
    },
    /// Pieces of a batch already pressed are spoiled and must be done again, on new goods.
    PiecesSpoiled {
        /// Index of the batch.
        batch: usize,
        /// How many.
        pieces: u32,
    },
    /// Somebody leaves for the rest of the stretch of hours, or longer.
    PersonLeaves {
        /// Index of the person.
        person: usize,
        /// From when.
        from_s: i64,
        /// Until when; `None` for good.
        until_s: Option<i64>,
    },
}

/// The problem left at `now_s`: what was begun by then stays, all else is open again.
///
/// Pieces under a press when it fails count as lost and are done again; each loss is a
/// finding. A closing under way when its person leaves is still unloaded by that person.
/// Indices that are not there are passed over; spoiled pieces beyond what was pressed too.
pub fn replan(problem: &Problem, schedule: &Schedule, now_s: i64, events: &[Event]) -> Outcome<Problem> {
    let mut left = problem.clone();
    left.now_s = now_s;
    let mut findings = Vec::new();
    left.done = schedule.entries.iter().filter_map(|e| begun(e, now_s)).collect();
    for event in events {
        match *event {
            Event::PressFails { press, from_s, until_s } => fail(&mut left, press, from_s, until_s, &mut findings),
            Event::PiecesSpoiled { batch, pieces } => spoil(&mut left, batch, pieces),
            Event::PersonLeaves { person, from_s, until_s } => leave(&mut left, person, from_s, until_s),
        }
    }
    Outcome { value: left, findings }
}

/// The part of an entry begun before `now_s`; finishing that had not begun is open again.
fn begun(entry: &Entry, now_s: i64) -> Option<Entry> {
    let mut kept = Entry { kept: true, ..entry.clone() };
    kept.closings.retain(|c| c.load.start_s < now_s);
    for closing in &mut kept.closings {
        closing.finish = closing.finish.filter(|f| f.span.start_s < now_s);
    }
    (!kept.closings.is_empty()).then_some(kept)
}

fn fail(left: &mut Problem, press: usize, from_s: i64, until_s: Option<i64>, findings: &mut Vec<Finding>) {
    let Some(machine) = left.presses.get_mut(press) else { return };
    let first = machine.available.first().map(|s| s.start_s);
    machine.available = cut(&machine.available, from_s, until_s);
    machine.hot_at_start &= machine.available.first().map(|s| s.start_s) == first;
    for entry in left.done.iter_mut().filter(|e| e.press == press) {
        let under = |c: &&crate::Closing| c.unload.end_s > from_s && c.load.start_s < until_s.unwrap_or(i64::MAX);
        let lost: u32 = entry.closings.iter().filter(under).map(|c| c.pieces).sum();
        if lost > 0 {
            let batch = &left.batches[entry.batch];
            findings.push(
                Finding::new(Severity::Warning, codes::LOST_IN_PRESS, codes::REPLACE_PIECES)
                    .about(Subject { order: Some(batch.job), ..Subject::default() })
                    .named("of", &batch.name)
                    .with("count", Value::Count(i64::from(lost))),
            );
        }
        entry.closings.retain(|c| !under(&c));
    }
    left.done.retain(|e| !e.closings.is_empty());
}

fn spoil(left: &mut Problem, batch: usize, mut pieces: u32) {
    let closings = left.done.iter_mut().filter(|e| e.batch == batch).flat_map(|e| e.closings.iter_mut());
    for closing in closings {
        let more = pieces.min(closing.pieces - closing.spoiled);
        closing.spoiled += more;
        pieces -= more;
    }
}

fn leave(left: &mut Problem, person: usize, from_s: i64, until_s: Option<i64>) {
    let closings = left.done.iter().flat_map(|e| &e.closings);
    let own = closings.flat_map(|c| {
        let unload = (c.person == person).then_some(c.unload.end_s);
        let finish = c.finish.filter(|f| f.person == person).map(|f| f.span.end_s);
        [unload, finish]
    });
    let from_s = own.flatten().fold(from_s, i64::max);
    let Some(person) = left.people.get_mut(person) else { return };
    person.hours = cut(&person.hours, from_s, until_s);
}

/// A calendar without the seconds from `from_s` to `until_s`.
fn cut(calendar: &[Span], from_s: i64, until_s: Option<i64>) -> Vec<Span> {
    let mut rest = Vec::with_capacity(calendar.len() + 1);
    let until_s = until_s.unwrap_or(i64::MAX);
    for span in calendar.iter() {
        let before = Span::new(span.start_s, span.end_s.min(from_s));
        let after = Span::new(span.start_s.max(until_s), span.end_s);
        rest.extend([before, after].into_iter().filter(|s| s.start_s < s.end_s));
    }
    rest
}
