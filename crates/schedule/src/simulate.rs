//! An independent replay: any schedule, second by second, against the problem.
//!
//! Knows nothing of how a schedule is found. Every hand on a press, every closing and
//! every cooling piece becomes an event; the events are run in order of time over
//! presses, people and rack as they stand, and each breach is a fault.

use crate::{Closing, Entry, Problem, Schedule, Setup, Span};
use std::collections::BTreeMap;

/// What is wrong with a schedule, with indices of its entries, presses, people, batches.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fault {
    /// An entry names a batch, press or person that is not there, or has no closing.
    Unknown {
        /// The entry.
        entry: usize,
    },
    /// A person does two things at once.
    PersonTwice {
        /// The person.
        person: usize,
        /// When.
        at_s: i64,
    },
    /// A task outside a person's hours, or a piece under a press across a break.
    PersonAway {
        /// The person.
        person: usize,
        /// From when.
        at_s: i64,
    },
    /// A press does two things at once.
    PressTwice {
        /// The press.
        press: usize,
        /// When.
        at_s: i64,
    },
    /// A press is used while it is off.
    PressOff {
        /// The press.
        press: usize,
        /// When.
        at_s: i64,
    },
    /// A press is used before it is warm and steady.
    PressCold {
        /// The press.
        press: usize,
        /// When.
        at_s: i64,
    },
    /// The press is not one of the batch's.
    PressNotAllowed {
        /// The entry.
        entry: usize,
    },
    /// The press is not set as the batch needs it, or its set-up took another time.
    WrongSetup {
        /// The entry.
        entry: usize,
    },
    /// The test piece is missing, or took another time.
    TestPiece {
        /// The entry.
        entry: usize,
    },
    /// A step took another time than the batch says, or stands at the wrong place.
    Step {
        /// The entry.
        entry: usize,
        /// The closing in it.
        closing: usize,
    },
    /// More pieces cool than the rack has places.
    RackFull {
        /// When.
        at_s: i64,
        /// How many.
        pieces: i64,
    },
    /// Begun before the job was released, before now, or before what goes before.
    TooEarly {
        /// The entry.
        entry: usize,
    },
    /// Pieces pressed, unplaced and ordered do not agree.
    Pieces {
        /// The batch.
        batch: usize,
    },
    /// Kept work was changed.
    Kept {
        /// Index into the problem's kept work.
        done: usize,
    },
    /// A figure of the schedule is not what the replay finds.
    Total {
        /// Its name.
        what: &'static str,
    },
}

/// What the replay found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Verdict {
    /// Every fault; none when the schedule holds.
    pub faults: Vec<Fault>,
    /// Paid seconds.
    pub labour_s: i64,
    /// Energy, J.
    pub energy_j: i64,
    /// End of each job, `None` when part of it is missing.
    pub finish_s: Vec<Option<i64>>,
    /// Late jobs by index.
    pub late_jobs: Vec<usize>,
    /// Most pieces on the rack at once.
    pub rack_peak: i64,
}

/// Replays the schedule.
pub fn simulate(problem: &Problem, schedule: &Schedule) -> Verdict {
    let mut replay = Replay { problem, schedule, verdict: Verdict::default() };
    // What names things that are not there cannot be replayed.
    if replay.names() {
        replay.kept();
        replay.pieces();
        replay.steps();
        replay.people();
        replay.presses();
        replay.rack();
        replay.precedence();
        replay.jobs();
        replay.totals();
    }
    replay.verdict
}

struct Replay<'a> {
    problem: &'a Problem,
    schedule: &'a Schedule,
    verdict: Verdict,
}

impl Replay<'_> {
    fn fault(&mut self, fault: Fault) {
        self.verdict.faults.push(fault);
    }

    fn names(&mut self) -> bool {
        let person = |p: usize| p < self.problem.people.len();
        let known = |e: &Entry| {
            let set_up = e.set_up.unwrap_or_default();
            e.batch < self.problem.batches.len()
                && e.press < self.problem.presses.len()
                && !e.closings.is_empty()
                && [set_up.hands, set_up.test].iter().flatten().all(|a| person(a.person))
                && e.closings.iter().all(|c| person(c.person) && c.finish.is_none_or(|f| person(f.person)))
        };
        let unknown = self.schedule.entries.iter().position(|e| !known(e));
        if let Some(entry) = unknown {
            self.fault(Fault::Unknown { entry });
        }
        let batches = self.problem.batches.len();
        let strange = self.schedule.unplaced.iter().find(|u| u.batch >= batches).map(|u| u.batch);
        if let Some(batch) = strange {
            self.fault(Fault::Pieces { batch });
        }
        unknown.is_none() && strange.is_none()
    }

    /// Kept entries stand as they did, but for a finishing that had no time yet.
    fn kept(&mut self) {
        let same = |a: &Closing, b: &Closing| {
            let open = a.finish.is_none() && b.finish.is_none_or(|f| f.span.start_s >= a.cool_end_s);
            Closing { finish: None, ..*a } == Closing { finish: None, ..*b } && (open || a.finish == b.finish)
        };
        let stands = |done: &Entry, entry: &Entry| {
            let alike = (done.batch, done.press, done.set_up) == (entry.batch, entry.press, entry.set_up);
            let closings = done.closings.len() == entry.closings.len();
            entry.kept && alike && closings && done.closings.iter().zip(&entry.closings).all(|(a, b)| same(a, b))
        };
        let mut free: Vec<&Entry> = self.schedule.entries.iter().filter(|e| e.kept).collect();
        for (done, kept) in self.problem.done.iter().enumerate() {
            match free.iter().position(|e| stands(kept, e)) {
                Some(at) => {
                    free.remove(at);
                }
                None => self.fault(Fault::Kept { done }),
            }
        }
        if !free.is_empty() {
            self.fault(Fault::Kept { done: self.problem.done.len() });
        }
    }

    fn pieces(&mut self) {
        for (batch, wanted) in self.problem.batches.iter().enumerate() {
            let closings = || self.schedule.entries.iter().filter(|e| e.batch == batch).flat_map(|e| &e.closings);
            let good: i64 = closings().map(|c| i64::from(c.pieces) - i64::from(c.spoiled)).sum();
            let bare: i64 =
                closings().filter(|c| wanted.finish_s > 0 && c.finish.is_none()).map(|c| i64::from(c.pieces)).sum();
            let open = self.schedule.unplaced.iter().filter(|u| u.batch == batch);
            let (missing, unfinished) =
                open.fold((0, 0), |sum, u| (sum.0 + i64::from(u.pieces), sum.1 + i64::from(u.unfinished)));
            if good + missing != i64::from(wanted.pieces) || bare != unfinished {
                self.fault(Fault::Pieces { batch });
            }
        }
    }

    fn steps(&mut self) {
        for (entry, run) in self.schedule.entries.iter().enumerate() {
            let batch = &self.problem.batches[run.batch];
            let release = self.problem.jobs[batch.job].release_s.max(batch.release_s);
            if !batch.presses_allowed.contains(&run.press) {
                self.fault(Fault::PressNotAllowed { entry });
            }
            let test = run.set_up.and_then(|s| s.test).map(|t| t.span.start_s);
            let first = test.unwrap_or(run.closings[0].load.start_s);
            let start = run.set_up.and_then(|s| s.hands.map(|h| h.span.start_s)).unwrap_or(first);
            if !run.kept && (first < release || start.min(first) < self.problem.now_s) {
                self.fault(Fault::TooEarly { entry });
            }
            for (closing, c) in run.closings.iter().enumerate() {
                if !sound(batch, c) {
                    self.fault(Fault::Step { entry, closing });
                }
            }
        }
    }

    /// Each person one thing at a time, within hours.
    fn people(&mut self) {
        let mut tasks: Vec<Vec<Span>> = vec![Vec::new(); self.problem.people.len()];
        let mut stays: Vec<Vec<Span>> = vec![Vec::new(); self.problem.people.len()];
        for run in &self.schedule.entries {
            let set_up = run.set_up.unwrap_or_default();
            for attended in [set_up.hands, set_up.test].into_iter().flatten() {
                tasks[attended.person].push(attended.span);
            }
            for c in &run.closings {
                tasks[c.person].extend([c.load, c.unload]);
                stays[c.person].push(Span::new(c.load.start_s, c.unload.end_s));
                if let Some(finish) = c.finish {
                    tasks[finish.person].push(finish.span);
                }
            }
        }
        for (person, mut spans) in tasks.into_iter().enumerate() {
            spans.retain(|s| s.start_s != s.end_s);
            spans.sort_unstable();
            for at_s in overlaps(&spans) {
                self.fault(Fault::PersonTwice { person, at_s });
            }
            let hours = &self.problem.people[person].hours;
            for span in spans.iter().chain(&stays[person]) {
                if !hours.iter().any(|h| h.start_s <= span.start_s && span.end_s <= h.end_s) {
                    self.fault(Fault::PersonAway { person, at_s: span.start_s });
                }
            }
            for h in hours {
                let inside = || spans.iter().filter(|s| h.start_s <= s.start_s && s.end_s <= h.end_s);
                let first = inside().map(|s| s.start_s).min();
                let last = inside().map(|s| s.end_s).max();
                self.verdict.labour_s += first.zip(last).map_or(0, |(a, b)| b - a);
            }
        }
    }

    fn presses(&mut self) {
        for press in 0..self.problem.presses.len() {
            let mut runs: Vec<(usize, &Entry)> =
                self.schedule.entries.iter().enumerate().filter(|(_, e)| e.press == press).collect();
            runs.sort_by_key(|(at, e)| (e.closings[0].load.start_s, *at));
            self.press(press, &runs);
        }
    }

    /// Runs one press through its entries: what it is doing, how it is set, how warm it is.
    fn press(&mut self, press: usize, runs: &[(usize, &Entry)]) {
        let mut state = Plate {
            setup: self.problem.presses[press].start,
            warm: self.problem.presses[press].hot_at_start.then_some(0),
            steady_s: i64::MIN,
            batch: None,
            heat: BTreeMap::new(),
        };
        let mut used: Vec<Span> = Vec::new();
        for &(entry, run) in runs {
            self.press_set_up(press, entry, run, &mut state, &mut used);
            let test = run.set_up.and_then(|s| s.test).map(|t| t.span);
            let closings = run.closings.iter().map(|c| Span::new(c.load.start_s, c.unload.end_s));
            for span in test.into_iter().chain(closings) {
                self.press_use(press, span, &mut state);
                used.push(span);
            }
            if state.setup != self.problem.batches[run.batch].setup {
                self.fault(Fault::WrongSetup { entry });
            }
            state.batch = Some(run.batch);
        }
        used.retain(|s| s.start_s != s.end_s);
        used.sort_unstable();
        for at_s in overlaps(&used) {
            self.fault(Fault::PressTwice { press, at_s });
        }
        let (standby, heating) = (self.problem.presses[press].standby_w, self.problem.presses[press].heating_w);
        for (on, heating_s) in state.heat.values() {
            self.verdict.energy_j += heating * heating_s + standby * (on.seconds() - heating_s).max(0);
        }
    }

    fn press_set_up(&mut self, press: usize, entry: usize, run: &Entry, state: &mut Plate, used: &mut Vec<Span>) {
        let machine = &self.problem.presses[press];
        let batch = &self.problem.batches[run.batch];
        let wanted = batch.setup;
        let set_up = run.set_up.unwrap_or_default();
        let swap = if state.setup.platen == wanted.platen { 0 } else { machine.platen_swap_s };
        let reset = if state.setup.pressure == wanted.pressure { 0 } else { machine.pressure_reset_s };
        let hands = set_up.hands.map_or(0, |h| h.span.seconds());
        if hands != swap + reset {
            self.fault(Fault::WrongSetup { entry });
        }
        if let Some(hands) = set_up.hands {
            if self.on_span(press, hands.span).is_none() {
                self.fault(Fault::PressOff { press, at_s: hands.span.start_s });
            }
            used.push(hands.span);
            state.steady_s = state.steady_s.max(hands.span.end_s);
        }
        (state.setup.platen, state.setup.pressure) = (wanted.platen, wanted.pressure);
        if let Some(heat) = set_up.heat.filter(|_| !set_up.from_cold) {
            let on = self.on_span(press, heat);
            let long = machine.change_s(state.setup.temp_c, wanted.temp_c);
            if on.is_none() || on != state.warm || heat.seconds() < long {
                self.fault(Fault::WrongSetup { entry });
            }
            let rising = if wanted.temp_c > state.setup.temp_c { heat.seconds() } else { 0 };
            state.warmed(on.unwrap_or(0), heat, rising);
            state.setup.temp_c = wanted.temp_c;
            state.steady_s = state.steady_s.max(heat.end_s);
            used.push(heat);
        }
        let cold = self.on_span(press, first_use(run)) != state.warm;
        if cold || machine.change_s(state.setup.temp_c, wanted.temp_c) == 0 {
            // Switched on anew it is set to what comes next; and some changes take no time.
            state.setup.temp_c = wanted.temp_c;
        }
        let needed = if state.batch == Some(run.batch) { 0 } else { batch.test_piece_s };
        if set_up.test.map_or(0, |t| t.span.seconds()) != needed {
            self.fault(Fault::TestPiece { entry });
        }
    }

    fn press_use(&mut self, press: usize, span: Span, state: &mut Plate) {
        let machine = &self.problem.presses[press];
        let Some(on) = self.on_span(press, span) else {
            self.fault(Fault::PressOff { press, at_s: span.start_s });
            return;
        };
        if state.warm != Some(on) {
            let from = Span::new(span.start_s - machine.warm_up_s, span.start_s);
            if from.start_s < machine.available[on].start_s {
                self.fault(Fault::PressCold { press, at_s: span.start_s });
            }
            state.warmed(on, from, machine.warm_up_s);
            state.warm = Some(on);
        }
        if span.start_s < state.steady_s {
            self.fault(Fault::PressCold { press, at_s: span.start_s });
        }
        state.warmed(on, span, 0);
    }

    fn on_span(&self, press: usize, span: Span) -> Option<usize> {
        let available = &self.problem.presses[press].available;
        available.iter().position(|a| a.start_s <= span.start_s && span.end_s <= a.end_s)
    }

    /// Places taken when a piece is unloaded, given back when its finishing begins.
    fn rack(&mut self) {
        let mut changes: BTreeMap<i64, i64> = BTreeMap::new();
        for run in &self.schedule.entries {
            let batch = &self.problem.batches[run.batch];
            for c in run.closings.iter().filter(|_| batch.cool_s > 0) {
                let given = match c.finish {
                    Some(finish) => finish.span.start_s,
                    None if batch.finish_s > 0 => i64::MAX,
                    None => c.cool_end_s,
                };
                *changes.entry(c.unload.end_s).or_default() += i64::from(c.pieces);
                *changes.entry(given).or_default() -= i64::from(c.pieces);
            }
        }
        let mut held = 0;
        for (at_s, change) in changes {
            held += change;
            self.verdict.rack_peak = self.verdict.rack_peak.max(held);
            if held > i64::from(self.problem.rack_places) {
                self.fault(Fault::RackFull { at_s, pieces: held });
            }
        }
    }

    fn precedence(&mut self) {
        for (entry, run) in self.schedule.entries.iter().enumerate().filter(|(_, e)| !e.kept) {
            let test = run.set_up.and_then(|s| s.test).map(|t| t.span.start_s);
            let first = test.unwrap_or(run.closings[0].load.start_s);
            for lag in &self.problem.batches[run.batch].after {
                if self.batch_end(lag.batch).is_none_or(|end| first < end + lag.lag_s) {
                    self.fault(Fault::TooEarly { entry });
                }
            }
        }
    }

    /// When everything of a batch is done; `None` when something is missing.
    fn batch_end(&self, batch: usize) -> Option<i64> {
        if self.schedule.unplaced.iter().any(|u| u.batch == batch) {
            return None;
        }
        let closings = self.schedule.entries.iter().filter(|e| e.batch == batch).flat_map(|e| &e.closings);
        closings.map(|c| c.finish.map_or(c.cool_end_s, |f| f.span.end_s)).max()
    }

    fn jobs(&mut self) {
        for (index, job) in self.problem.jobs.iter().enumerate() {
            let batches: Vec<usize> =
                (0..self.problem.batches.len()).filter(|&b| self.problem.batches[b].job == index).collect();
            let ends: Option<Vec<i64>> = batches.iter().map(|&b| self.batch_end(b)).collect();
            let end = ends.map(|e| e.into_iter().max().unwrap_or(job.release_s));
            if !batches.is_empty() && end.is_none_or(|e| e > job.due_s) {
                self.verdict.late_jobs.push(index);
            }
            self.verdict.finish_s.push(end);
        }
    }

    fn totals(&mut self) {
        let weight: i64 = self.verdict.late_jobs.iter().map(|&j| i64::from(self.problem.jobs[j].weight)).sum();
        let rates = self.problem.rates;
        let labour = i128::from(self.verdict.labour_s) * i128::from(rates.labour_per_hour) * 1000;
        let cost = labour + i128::from(self.verdict.energy_j) * i128::from(rates.energy_per_kwh);
        let cost_minor = (cost + 3_599_999).div_euclid(3_600_000);
        let found = [
            ("labour", self.schedule.labour_s == self.verdict.labour_s),
            ("energy", self.schedule.energy_j == self.verdict.energy_j),
            ("finish", self.schedule.finish_s == self.verdict.finish_s),
            ("late jobs", self.schedule.late_jobs == self.verdict.late_jobs),
            ("late weight", self.schedule.late_weight == weight),
            ("cost", i128::from(self.schedule.cost_minor) == cost_minor),
        ];
        for (what, _) in found.into_iter().filter(|f| !f.1) {
            self.fault(Fault::Total { what });
        }
    }
}

/// A press as it stands during the replay.
struct Plate {
    setup: Setup,
    /// The span of the calendar in which it is warm.
    warm: Option<usize>,
    steady_s: i64,
    batch: Option<usize>,
    /// By span: from when to when it is on, and how long it heats.
    heat: BTreeMap<usize, (Span, i64)>,
}

impl Plate {
    fn warmed(&mut self, on: usize, span: Span, heating_s: i64) {
        let entry = self.heat.entry(on).or_insert((span, 0));
        entry.0.start_s = entry.0.start_s.min(span.start_s);
        entry.0.end_s = entry.0.end_s.max(span.end_s);
        entry.1 += heating_s;
    }
}

fn first_use(run: &Entry) -> Span {
    let first = &run.closings[0];
    let closing = Span::new(first.load.start_s, first.unload.end_s);
    run.set_up.and_then(|s| s.test).map_or(closing, |t| t.span)
}

/// Whether the steps of a closing follow one another as the batch says.
fn sound(batch: &crate::Batch, c: &Closing) -> bool {
    let pieces = i64::from(c.pieces);
    let waited = c.unload.start_s - c.press.end_s;
    let finish = c.finish.is_none_or(|f| f.span.start_s >= c.cool_end_s && f.span.seconds() == batch.finish_s * pieces);
    (1..=batch.per_closing).contains(&c.pieces)
        && c.load.seconds() == batch.load_s * pieces
        && c.press.start_s == c.load.end_s
        && c.press.seconds() == batch.press_s
        && (0..=batch.open_wait_s).contains(&waited)
        && c.unload.seconds() == batch.unload_s * pieces
        && c.cool_end_s == c.unload.end_s + batch.cool_s
        && finish
        && (batch.finish_s > 0 || c.finish.is_none())
}

/// Where a span begins before the one before it ends; the spans are in order of start.
fn overlaps(spans: &[Span]) -> Vec<i64> {
    let mut reach = i64::MIN;
    let mut found = Vec::new();
    for span in spans {
        if span.start_s < reach {
            found.push(span.start_s);
        }
        reach = reach.max(span.end_s);
    }
    found
}
