//! The press plan: who presses what, where and when, as a picture and as a table.

use super::{Papers, shown, text};
use crate::form::{PressPlan, PressRow, PressSection};
use plan::{BatchOf, Timeline};
use report::{Named, Value};
use units::{Duration, Temperature};

pub(crate) fn press_plan(teller: &Papers<'_>) -> PressPlan {
    let plan = teller.plan;
    let names: Vec<String> = plan.orders.iter().map(|order| words::clean(&order.name)).collect();
    let late = plan.timeline.schedule.as_ref().map_or(0, |schedule| schedule.late_jobs.len());
    PressPlan {
        frame: teller.frame("papers.press-plan", &names.join(", ")),
        orders: plan.orders.iter().map(|order| (shown(&order.name), teller.speech.moment(order.due))).collect(),
        late: (late > 0).then(|| teller.say("papers.late-orders", &[count("count", late)])),
        pictures: teller.pictures.timeline.clone(),
        days: days(teller, &plan.timeline),
    }
}

/// The rows in order of time, a section a day.
fn days(teller: &Papers<'_>, timeline: &Timeline) -> Vec<PressSection> {
    let Some(schedule) = &timeline.schedule else { return Vec::new() };
    let mut all: Vec<PressSection> = Vec::new();
    let mut entries: Vec<&schedule::Entry> = schedule.entries.iter().collect();
    // As the hands go: by first loading, not by set-ups that begin earlier.
    entries.sort_by_key(|entry| (entry.first_load_s(), entry.press));
    for entry in entries {
        let Some(of) = timeline.batches.get(entry.batch) else { continue };
        let day = teller.speech.date(timeline.moment(entry.first_load_s()).date());
        let row = row(teller, timeline, entry, *of, schedule.late_jobs.contains(&of.order));
        match all.last_mut().filter(|section| section.day == day) {
            Some(section) => section.rows.push(row),
            None => all.push(PressSection { day, rows: vec![row] }),
        }
    }
    all
}

fn row(teller: &Papers<'_>, timeline: &Timeline, entry: &schedule::Entry, of: BatchOf, late: bool) -> PressRow {
    let problem = &timeline.problem;
    let clock = |second: i64| teller.speech.time(timeline.moment(second).time());
    let day_of = |second: i64| timeline.moment(second).date();
    // The day stands above; what ends on another day says which.
    let until = |second: i64| {
        if day_of(second) == day_of(entry.first_load_s()) {
            clock(second)
        } else {
            teller.speech.moment(timeline.moment(second))
        }
    };
    let batch = problem.batches.get(entry.batch);
    let people = entry.people().into_iter().filter_map(|at| problem.people.get(at)).map(|one| shown(&one.name));
    let set_up = entry.set_up.and_then(|set_up| set_up.span()).map(|span| {
        let span = Duration::from_s(span.seconds() as f64).unwrap_or_default();
        teller.say("papers.set-up-of", &[Named { name: "span", value: Value::Duration(span) }])
    });
    let temperature = batch.map(|batch| Temperature::from_c(f64::from(batch.setup.temp_c)).unwrap_or_default());
    let cool = entry.cool_end_s();
    PressRow {
        from: clock(entry.first_load_s()),
        until: until(entry.end_s()),
        press: problem.presses.get(entry.press).map_or_else(String::new, |press| shown(&press.name)),
        work: work(teller, of),
        pieces: teller.speech.count(i64::from(entry.pieces())),
        temperature: temperature.map_or_else(String::new, |at| teller.temperature(at)),
        people: people.collect::<Vec<_>>().join(", "),
        set_up,
        cool: (cool > entry.end_s()).then(|| until(cool)),
        done: until(entry.done_s()),
        late,
    }
}

/// "2 · Running vest, upper back", with the order's number before it where there are several.
fn work(teller: &Papers<'_>, of: BatchOf) -> String {
    let Some(order) = teller.plan.orders.get(of.order) else { return String::new() };
    let Some(line) = order.lines.get(of.line) else { return String::new() };
    let position = line.prints.get(of.print).map_or_else(String::new, |print| teller.position(print).to_lowercase());
    let number = if teller.plan.orders.len() > 1 {
        format!("{}.{}", of.order.saturating_add(1), of.line.saturating_add(1))
    } else {
        of.line.saturating_add(1).to_string()
    };
    let mut said = format!("{number} · {}, {position}", words::clean(&line.garment_name));
    if of.visit > 0 {
        said = teller.say("papers.visit-again", &[text("work", said)]);
    }
    shown(&tight_number(&said))
}

/// The number stays with the first word.
fn tight_number(text: &str) -> String {
    text.replacen(" · ", "\u{A0}· ", 1)
}

fn count(name: &'static str, count: usize) -> Named {
    Named::count(name, i64::try_from(count).unwrap_or(i64::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_stays_with_its_work() {
        assert_eq!(tight_number("2 · Vest · back"), "2\u{A0}· Vest · back");
    }
}
