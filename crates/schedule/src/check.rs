//! The door: a problem is checked once, then trusted.

use crate::codes;
use crate::model::{Model, in_order};
use crate::{Batch, Limits, Press, Problem, Span};
use report::{Code, Finding, Refusal, Severity, Value};

/// The model of a sound problem.
///
/// Refuses a problem without presses, people or sense, or past [`Limits`]; never panics.
pub(crate) fn checked(problem: &Problem) -> Result<Model<'_>, Refusal> {
    let mut door = Door { findings: Vec::new() };
    door.counts(problem);
    door.calendars(problem);
    door.presses(problem);
    door.jobs(problem);
    // The later checks follow indices; they need the earlier ones to hold.
    if door.batches(problem) && door.findings.is_empty() && door.closings(problem) && door.kept(problem) {
        let model = Model::new(problem);
        if door.circles(problem, &model) {
            return Ok(model);
        }
    }
    Err(Refusal { findings: door.findings })
}

struct Door {
    findings: Vec<Finding>,
}

impl Door {
    fn refuse(&mut self, finding: Finding) {
        // A hundred findings tell enough of a file that is wrong throughout.
        if self.findings.len() < 100 {
            self.findings.push(finding);
        }
    }

    fn range(&mut self, of: &str, what: Code, value: i64, least: i64, most: i64) -> bool {
        let inside = (least..=most).contains(&value);
        if !inside {
            self.refuse(
                finding(codes::OUT_OF_RANGE, codes::ENTER_WITHIN)
                    .named("of", of)
                    .with("what", Value::Term(what))
                    .with("value", Value::Count(value))
                    .with("least", Value::Count(least))
                    .with("most", Value::Count(most)),
            );
        }
        inside
    }

    fn counts(&mut self, problem: &Problem) {
        if problem.presses.is_empty() {
            self.refuse(finding(codes::NO_PRESSES, codes::ENTER_PRESS));
        }
        if problem.people.is_empty() {
            self.refuse(finding(codes::NO_PEOPLE, codes::ENTER_PERSON));
        }
        for (what, count, most) in [
            (codes::TERM_PRESSES, problem.presses.len(), Limits::PRESSES),
            (codes::TERM_PEOPLE, problem.people.len(), Limits::PEOPLE),
            (codes::TERM_JOBS, problem.jobs.len(), Limits::JOBS),
            (codes::TERM_BATCHES, problem.batches.len(), Limits::BATCHES),
            (codes::TERM_KEPT_ENTRIES, problem.done.len(), 2 * Limits::BATCHES),
        ] {
            self.few(what, count, most);
        }
        self.range("", codes::TERM_NOW, problem.now_s, -Limits::INSTANT_S, Limits::INSTANT_S);
        self.range("", codes::TERM_LABOUR_RATE, problem.rates.labour_per_hour, 0, 1_000_000);
        self.range("", codes::TERM_ENERGY_RATE, problem.rates.energy_per_kwh, 0, 100_000);
    }

    fn few(&mut self, what: Code, count: usize, most: usize) -> bool {
        let few = count <= most;
        if !few {
            self.refuse(
                finding(codes::TOO_MANY, codes::PLAN_FEWER)
                    .with("what", Value::Term(what))
                    .with("count", Value::Count(i64::try_from(count).unwrap_or(i64::MAX)))
                    .with("most", Value::Count(i64::try_from(most).unwrap_or(i64::MAX))),
            );
        }
        few
    }

    fn calendars(&mut self, problem: &Problem) {
        let presses = problem.presses.iter().map(|p| (&p.name, &p.available));
        for (name, spans) in presses.chain(problem.people.iter().map(|p| (&p.name, &p.hours))) {
            if self.few(codes::TERM_SPANS, spans.len(), Limits::SPANS) && !in_turn(spans) {
                let limit = Value::Count(Limits::INSTANT_S);
                self.refuse(finding(codes::CALENDAR, codes::ORDER_SPANS).named("of", name).with("most", limit));
            }
        }
        if !problem.presses.is_empty() && problem.presses.iter().all(|p| p.available.is_empty()) {
            self.refuse(finding(codes::NO_PRESSES, codes::ENTER_PRESS));
        }
        if !problem.people.is_empty() && problem.people.iter().all(|p| p.hours.is_empty()) {
            self.refuse(finding(codes::NO_PEOPLE, codes::ENTER_PERSON));
        }
    }

    fn presses(&mut self, problem: &Problem) {
        for Press { name, start, warm_up_s, heat_ms_per_k, cool_ms_per_k, settle_s, .. } in &problem.presses {
            self.range(name, codes::TERM_TEMPERATURE, i64::from(start.temp_c), -50, 500);
            for (what, value) in [(codes::TERM_WARM_UP, warm_up_s), (codes::TERM_SETTLING, settle_s)] {
                self.range(name, what, *value, 0, Limits::STEP_S);
            }
            // A whole week for a thousand kelvin and no more.
            for (what, value) in [(codes::TERM_HEATING, heat_ms_per_k), (codes::TERM_COOLING, cool_ms_per_k)] {
                self.range(name, what, *value, 0, Limits::STEP_S);
            }
        }
        for press in &problem.presses {
            self.range(&press.name, codes::TERM_PLATEN_SWAP, press.platen_swap_s, 0, Limits::STEP_S);
            self.range(&press.name, codes::TERM_PRESSURE_RESET, press.pressure_reset_s, 0, Limits::STEP_S);
            self.range(&press.name, codes::TERM_STANDBY_DRAW, press.standby_w, 0, Limits::WATTS);
            self.range(&press.name, codes::TERM_HEATING_DRAW, press.heating_w, 0, Limits::WATTS);
        }
    }

    fn jobs(&mut self, problem: &Problem) {
        for job in &problem.jobs {
            self.range(&job.name, codes::TERM_RELEASE, job.release_s, -Limits::INSTANT_S, Limits::INSTANT_S);
            self.range(&job.name, codes::TERM_DUE, job.due_s, -Limits::INSTANT_S, Limits::INSTANT_S);
            self.range(&job.name, codes::TERM_WEIGHT, i64::from(job.weight), 1, 1000);
        }
    }

    fn batches(&mut self, problem: &Problem) -> bool {
        let so_far = self.findings.len();
        for (index, batch) in problem.batches.iter().enumerate() {
            self.batch_numbers(batch);
            self.batch_names(problem, index, batch);
        }
        self.findings.len() == so_far
    }

    fn batch_numbers(&mut self, batch: &Batch) {
        let name = &batch.name;
        self.range(name, codes::TERM_RELEASE, batch.release_s, -Limits::INSTANT_S, Limits::INSTANT_S);
        self.range(name, codes::TERM_PIECES, i64::from(batch.pieces), 1, Limits::CLOSINGS);
        self.range(name, codes::TERM_PER_CLOSING, i64::from(batch.per_closing), 1, i64::from(Limits::PER_CLOSING));
        self.range(name, codes::TERM_TEMPERATURE, i64::from(batch.setup.temp_c), -50, 500);
        for (what, value) in [
            (codes::TERM_LOADING, batch.load_s),
            (codes::TERM_DWELL, batch.press_s),
            (codes::TERM_OPEN_WAIT, batch.open_wait_s),
            (codes::TERM_UNLOADING, batch.unload_s),
            (codes::TERM_COOLING_TIME, batch.cool_s),
            (codes::TERM_FINISHING, batch.finish_s),
            (codes::TERM_TEST_PIECE, batch.test_piece_s),
        ] {
            self.range(name, what, value, 0, Limits::STEP_S);
        }
        // A closing without length would let any number happen in one second.
        let cycle = batch.load_s.saturating_add(batch.press_s).saturating_add(batch.unload_s);
        self.range(name, codes::TERM_CYCLE, cycle, 1, 3 * Limits::STEP_S);
        for lag in &batch.after {
            self.range(name, codes::TERM_LAG, lag.lag_s, 0, Limits::LAG_S);
        }
    }

    fn batch_names(&mut self, problem: &Problem, index: usize, batch: &Batch) {
        let mut known = |what: Code, at: usize, count: usize| {
            if at >= count {
                self.refuse(
                    finding(codes::UNKNOWN, codes::NAME_KNOWN)
                        .named("of", &batch.name)
                        .with("what", Value::Term(what))
                        .with("value", Value::Count(i64::try_from(at).unwrap_or(i64::MAX)))
                        .with("count", Value::Count(i64::try_from(count).unwrap_or(i64::MAX))),
                );
            }
        };
        known(codes::TERM_JOBS, batch.job, problem.jobs.len());
        batch.presses_allowed.iter().for_each(|&p| known(codes::TERM_PRESSES, p, problem.presses.len()));
        batch.after.iter().for_each(|lag| known(codes::TERM_BATCHES, lag.batch, problem.batches.len()));
        if batch.presses_allowed.is_empty() {
            self.refuse(finding(codes::NO_PRESS_ALLOWED, codes::ALLOW_PRESS).named("of", &batch.name));
        }
        if batch.after.iter().any(|lag| lag.batch == index) {
            self.refuse(finding(codes::CIRCLE, codes::OPEN_CIRCLE).named("of", &batch.name));
        }
        let needed = batch.pieces.min(batch.per_closing);
        if batch.cool_s > 0 && needed > problem.rack_places {
            self.refuse(
                finding(codes::RACK_SMALL, codes::MORE_RACK)
                    .named("of", &batch.name)
                    .with("needed", Value::Count(i64::from(needed)))
                    .with("places", Value::Count(i64::from(problem.rack_places))),
            );
        }
    }

    fn closings(&mut self, problem: &Problem) -> bool {
        let closings: i64 = problem.batches.iter().map(|b| i64::from(b.pieces.div_ceil(b.per_closing))).sum();
        let lags: usize = problem.batches.iter().map(|b| b.after.len()).sum();
        let kept: usize = problem.done.iter().map(|e| e.closings.len()).sum();
        let most = usize::try_from(Limits::CLOSINGS).unwrap_or(usize::MAX);
        self.few(codes::TERM_CLOSINGS, usize::try_from(closings).unwrap_or(usize::MAX), most)
            && self.few(codes::TERM_LAGS, lags, most)
            && self.few(codes::TERM_KEPT_CLOSINGS, kept, most)
    }

    fn kept(&mut self, problem: &Problem) -> bool {
        let so_far = self.findings.len();
        for entry in &problem.done {
            if !keeps(problem, entry) {
                self.refuse(finding(codes::KEPT_WORK, codes::PLAN_AFRESH));
            }
        }
        for (index, batch) in problem.batches.iter().enumerate() {
            let kept = problem.done.iter().filter(|e| e.batch == index).flat_map(|e| &e.closings);
            let good: i64 = kept.map(|c| i64::from(c.pieces) - i64::from(c.spoiled)).sum();
            if good > i64::from(batch.pieces) {
                self.refuse(finding(codes::KEPT_WORK, codes::PLAN_AFRESH).named("of", &batch.name));
            }
        }
        self.findings.len() == so_far
    }

    fn circles(&mut self, problem: &Problem, model: &Model<'_>) -> bool {
        let free = in_order(&model.works);
        let in_circle = (0..model.works.len()).find(|b| !free.contains(b));
        if let Some(batch) = in_circle {
            let name = &problem.batches[batch].name;
            self.refuse(finding(codes::CIRCLE, codes::OPEN_CIRCLE).named("of", name));
        }
        in_circle.is_none()
    }
}

fn finding(code: Code, remedy: Code) -> Finding {
    Finding::new(Severity::StopsLine, code, remedy)
}

/// Every span forward, in order, apart, and within reach.
fn in_turn(spans: &[Span]) -> bool {
    let within = -Limits::INSTANT_S..=Limits::INSTANT_S;
    let forward = |s: &Span| s.start_s < s.end_s && within.contains(&s.start_s) && within.contains(&s.end_s);
    spans.iter().all(forward) && spans.windows(2).all(|pair| pair[0].end_s <= pair[1].start_s)
}

/// Whether kept work names what is there and runs forward; `simulate` checks the rest.
fn keeps(problem: &Problem, entry: &crate::Entry) -> bool {
    let reach = 2 * Limits::INSTANT_S;
    let sound = |s: &Span| s.start_s <= s.end_s && s.start_s >= -reach && s.end_s <= reach;
    let person = |p: usize| p < problem.people.len();
    let attended = |a: &crate::Attended| person(a.person) && sound(&a.span);
    let set_up = entry.set_up.unwrap_or_default();
    let parts = set_up.hands.iter().chain(set_up.test.iter()).all(attended) && set_up.heat.iter().all(sound);
    let calendar = problem.presses.get(entry.press).map(|p| &p.available);
    parts
        && entry.batch < problem.batches.len()
        && calendar.is_some_and(|c| !c.is_empty())
        && !entry.closings.is_empty()
        && entry.closings.iter().all(|c| {
            person(c.person)
                && c.spoiled <= c.pieces
                && [c.load, c.press, c.unload].iter().all(sound)
                && c.cool_end_s >= c.unload.end_s
                && c.cool_end_s <= reach
                && c.finish.iter().all(attended)
        })
}
