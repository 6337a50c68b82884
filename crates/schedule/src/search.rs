//! First answer at once, then better ones while effort lasts.
//!
//! Improvement is late acceptance hill climbing (Burke & Bykov, European Journal of
//! Operational Research 258, 2017): a schedule is taken when it is no worse than the
//! present one or than the one so many steps ago. It compares only, so that the same
//! seed gives the same schedule on every machine.

use crate::bound::bound;
use crate::check::checked;
use crate::codes;
use crate::decode::{Choice, Decoded, Score, decode};
use crate::model::{Model, minor};
use crate::{Entry, Problem, Refusal, Schedule, SetUp, Settings, Unplaced, simulate};
use report::{Finding, Go, Outcome, Progress, Severity, Subject, Value, Watch};
use units::Duration;

/// Searches that run side by side, whatever the number of processors.
const CHAINS: usize = 4;

/// A schedule of the problem, confirmed by [`simulate`], and what is late in it.
///
/// Tells `watch` after the first answer and some twenty times on the way; when it says
/// stop, the best so far returns. The same problem and settings give the same schedule.
///
/// # Errors
/// A [`Refusal`] naming what, limit and remedy for a problem without presses or people,
/// with pieces, times or indices out of range, batches waiting in a circle, or past
/// [`crate::Limits`].
pub fn solve(problem: &Problem, settings: &Settings, watch: &mut dyn Watch) -> Result<Outcome<Schedule>, Refusal> {
    let model = checked(problem)?;
    let bound = bound(&model);
    let (first, mut evaluations) = first_answer(&model);
    let floor = f64_of(minor(model.cost(bound.labour_s, bound.energy_j)));
    let told = |stage, done: u64, score: &Score| Progress {
        stage,
        done,
        of: Some(settings.effort.0),
        best: Some(f64_of(minor(score.cost))),
        bound: Some(floor),
    };
    let mut go = watch.told(&told(codes::STAGE_FIRST, 0, &decode(&model, &first).score));
    let mut chains: Vec<Chain> = (0..CHAINS).map(|i| Chain::new(&model, &first, settings.seed.0, i)).collect();
    let per_chain = settings.effort.0 / CHAINS as u64;
    let round = (per_chain / 20).clamp(1, 500);
    let mut spent = 0;
    while go == Go::On && spent < per_chain && model.order.len() > 1 {
        let steps = round.min(per_chain - spent);
        run(&model, &mut chains, steps);
        spent += steps;
        go = watch.told(&told(codes::STAGE_IMPROVE, spent * CHAINS as u64, &best_of(&chains).best_score));
    }
    evaluations += spent * CHAINS as u64;
    let best = decode(&model, &best_of(&chains).best);
    dressed(&model, best, bound, evaluations)
}

fn f64_of(value: i64) -> f64 {
    value as f64
}

fn best_of(chains: &[Chain]) -> &Chain {
    let first = &chains[0];
    chains.iter().fold(first, |best, chain| if chain.best_score < best.best_score { chain } else { best })
}

/// Each chain goes on by itself; which processor runs it changes nothing.
fn run(model: &Model<'_>, chains: &mut [Chain], steps: u64) {
    let closings: i64 = model.order.iter().map(|&b| model.works[b].closings()).sum();
    // Little work is done sooner than a thread is begun.
    if steps.saturating_mul(closings.unsigned_abs()) < 20_000 {
        chains.iter_mut().for_each(|chain| chain.improve(model, steps));
        return;
    }
    std::thread::scope(|scope| {
        for chain in chains.iter_mut() {
            scope.spawn(move || chain.improve(model, steps));
        }
    });
}

/// The best of a few orders that people use, each with presses chosen by load; the better ones also
/// with fewer people, who wait less where dates allow it.
fn first_answer(model: &Model<'_>) -> (Choice, u64) {
    let everyone = u64::MAX >> (64 - model.problem.people.len().clamp(1, 64));
    let due = |b: usize| model.problem.jobs[model.works[b].job].due_s;
    let release = |b: usize| model.problem.release_s(&model.problem.batches[b]);
    let setup = |b: usize| model.works[b].setup;
    let left = |b: usize| model.works[b].press_time_s();
    let day = |b: usize| due(b).div_euclid(86_400);
    let orders = [
        sorted(model, |b| (due(b), i64::from(setup(b).temp_c), setup(b).platen as i64)),
        sorted(model, |b| (setup(b).platen as i64, i64::from(setup(b).temp_c), due(b))),
        sorted(model, |b| (day(b), setup(b).platen as i64 * 1000 + i64::from(setup(b).temp_c), due(b))),
        sorted(model, |b| (i64::from(setup(b).temp_c), setup(b).platen as i64, due(b))),
        sorted(model, |b| (left(b), due(b), 0)),
        sorted(model, |b| (release(b), due(b), 0)),
    ];
    let hold = vec![[0; 3]; model.works.len()];
    let mut choices = Vec::new();
    for order in orders {
        for family in [false, true] {
            let press = presses_for(model, &order, family);
            choices.push(Choice { order: order.clone(), press, crew: everyone, hold: hold.clone() });
        }
    }
    let mut scored: Vec<(Score, Choice)> = choices.into_iter().map(|c| (decode(model, &c).score, c)).collect();
    // The first of equally good ones stays first.
    scored.sort_by_key(|one| one.0);
    let crews = smaller_crews(model.problem.people.len());
    let with_fewer: Vec<(Score, Choice)> = scored
        .iter()
        .take(ORDERS_FOR_CREWS)
        .flat_map(|(_, choice)| crews.iter().map(move |crew| Choice { crew: *crew, ..choice.clone() }))
        .map(|choice| (decode(model, &choice).score, choice))
        .collect();
    scored.extend(with_fewer);
    let tried = scored.len() as u64;
    let best = scored.into_iter().reduce(|a, b| if b.0 < a.0 { b } else { a });
    (best.map_or(Choice { order: Vec::new(), press: Vec::new(), crew: everyone, hold }, |b| b.1), tried)
}

/// Orders that are tried with fewer people.
const ORDERS_FOR_CREWS: usize = 3;
/// People who are tried alone.
const ALONE: usize = 8;

/// Each person alone, and the first two, three … without the last, as bits.
fn smaller_crews(people: usize) -> Vec<u64> {
    let people = people.min(ALONE);
    if people < 2 {
        return Vec::new();
    }
    (0..people).map(|person| 1 << person).chain((2..people).map(|count| (1 << count) - 1)).collect()
}

/// The batches left, by key as far as what waits for what allows.
fn sorted(model: &Model<'_>, key: impl Fn(usize) -> (i64, i64, i64)) -> Vec<usize> {
    let mut waits: Vec<usize> = model.works.iter().map(|w| w.after.len()).collect();
    let mut ready: std::collections::BTreeSet<((i64, i64, i64), usize)> =
        (0..model.works.len()).filter(|&b| waits[b] == 0).map(|b| (key(b), b)).collect();
    let mut order = Vec::with_capacity(model.order.len());
    while let Some((_, next)) = ready.pop_first() {
        if model.works[next].left > 0 {
            order.push(next);
        }
        for &later in &model.works[next].before {
            waits[later] -= 1;
            if waits[later] == 0 {
                ready.insert((key(later), later));
            }
        }
    }
    order
}

/// A press for each batch: the one that would be through with it first, set-up counted;
/// or, by family, one already set that way as long as it is not far behind.
fn presses_for(model: &Model<'_>, order: &[usize], family: bool) -> Vec<usize> {
    let presses = &model.problem.presses;
    let mut press_of: Vec<usize> = model.works.iter().map(|w| w.presses.first().copied().unwrap_or(0)).collect();
    let mut load = vec![0_i64; presses.len()];
    let mut set: Vec<_> = presses.iter().map(|p| p.start).collect();
    for &batch in order {
        let work = &model.works[batch];
        let cost = |p: usize| {
            let press = &presses[p];
            let swap = if set[p].platen == work.setup.platen { 0 } else { press.platen_swap_s };
            let reset = if set[p].pressure == work.setup.pressure { 0 } else { press.pressure_reset_s };
            let change = press.change_s(set[p].temp_c, work.setup.temp_c);
            let weight = if family { 4 } else { 1 };
            load[p] + weight * (swap + reset + change)
        };
        let usable = work.presses.iter().copied().filter(|&p| !presses[p].available.is_empty());
        let Some(chosen) = usable.min_by_key(|&p| (cost(p), p)) else { continue };
        let weight = if family { 3 } else { 0 };
        let set_up = cost(chosen) - load[chosen];
        load[chosen] += work.press_time_s() + set_up / (1 + weight);
        set[chosen] = work.setup;
        press_of[batch] = chosen;
    }
    press_of
}

/// In what order a search weighs what a score holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Aim {
    /// As the score does.
    Cost,
    /// Tardiness before cost: the way to fewer late jobs leads over jobs less late.
    Dates,
}

impl Aim {
    fn of(self, score: &Score) -> [i64; 4] {
        match self {
            Self::Cost => [score.late_weight, score.unplaced, score.cost, score.tardiness_s],
            Self::Dates => [score.late_weight, score.unplaced, score.tardiness_s, score.cost],
        }
    }
}

/// One line of improvement with its own dice.
struct Chain {
    dice: Dice,
    now: Choice,
    /// What it climbs by; the best is kept by the score itself.
    aim: Aim,
    now_score: Score,
    best: Choice,
    best_score: Score,
    /// The way it aims, so many steps back.
    history: Vec<[i64; 4]>,
    step: usize,
    /// Steps since anything got better.
    stale: usize,
    home: Vec<usize>,
}

impl Chain {
    fn new(model: &Model<'_>, first: &Choice, seed: u64, index: usize) -> Self {
        let score = decode(model, first).score;
        // Short memories climb fast, long ones wander further.
        let memory = [8, 24, 64, 160][index % 4];
        let aim = if index.is_multiple_of(2) { Aim::Cost } else { Aim::Dates };
        Self {
            aim,
            dice: Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(index as u64 + 1)),
            now: first.clone(),
            now_score: score,
            best: first.clone(),
            best_score: score,
            history: vec![aim.of(&score); memory],
            step: 0,
            stale: 0,
            home: vec![0; model.works.len()],
        }
    }

    fn improve(&mut self, model: &Model<'_>, steps: u64) {
        for _ in 0..steps {
            if self.stale > 2 * self.history.len() + 40 + 2 * self.now.order.len() {
                self.leap(model);
            }
            let next = self.neighbour(model, self.now.clone());
            let score = decode(model, &next).score;
            let at = self.step % self.history.len();
            let (new, old) = (self.aim.of(&score), self.aim.of(&self.now_score));
            self.stale = if new < old { 0 } else { self.stale + 1 };
            if score < self.best_score {
                self.best = next.clone();
                self.best_score = score;
            }
            if new <= old || new <= self.history[at] {
                self.now = next;
                self.now_score = score;
            }
            self.history[at] = self.history[at].min(self.aim.of(&self.now_score));
            self.step += 1;
        }
    }

    /// From the best, a few steps at once: out of a corner that single steps cannot leave.
    fn leap(&mut self, model: &Model<'_>) {
        let mut next = self.best.clone();
        // Mostly nearby, now and then anywhere.
        let far = if self.dice.below(4) == 0 { 2 * next.order.len() } else { 6 };
        for _ in 0..2 + self.dice.below(far) {
            next = self.neighbour(model, next);
        }
        if self.dice.below(2) == 0 {
            self.other_crew(model, &mut next);
        }
        self.now_score = decode(model, &next).score;
        self.now = next;
        self.history.fill(self.aim.of(&self.now_score));
        self.stale = 0;
    }

    fn neighbour(&mut self, model: &Model<'_>, mut next: Choice) -> Choice {
        match self.dice.below(20) {
            0 => self.other_crew(model, &mut next),
            1..=4 => self.other_press(model, &mut next),
            5..=8 => self.beside_its_like(model, &mut next),
            9..=12 => self.swap(model, &mut next),
            13..=15 => self.hold_back(&mut next),
            _ => self.shift(model, &mut next),
        }
        next
    }

    /// Somebody more or fewer at work.
    fn other_crew(&mut self, model: &Model<'_>, next: &mut Choice) {
        let crew = next.crew ^ (1 << self.dice.below(model.problem.people.len()));
        if crew != 0 {
            next.crew = crew;
        }
    }

    /// A batch held back a little, or no longer.
    fn hold_back(&mut self, next: &mut Choice) {
        let batch = next.order[self.dice.below(next.order.len())];
        let most = [4, 16, 64, 256, 1024][self.dice.below(5)];
        let held = if self.dice.below(3) == 0 { 0 } else { self.dice.below(most) as i64 };
        next.hold[batch][self.dice.below(3)] = held;
    }

    fn other_press(&mut self, model: &Model<'_>, next: &mut Choice) {
        let batch = next.order[self.dice.below(next.order.len())];
        let presses = &model.works[batch].presses;
        next.press[batch] = presses[self.dice.below(presses.len())];
        if self.dice.below(2) == 0 {
            self.shift_batch(model, next, batch);
        }
    }

    /// Behind another batch of the same set-up, on its press.
    fn beside_its_like(&mut self, model: &Model<'_>, next: &mut Choice) {
        let batch = next.order[self.dice.below(next.order.len())];
        let work = &model.works[batch];
        let from = self.dice.below(next.order.len());
        let around = (0..next.order.len()).map(|i| next.order[(from + i) % next.order.len()]);
        let alike =
            |b: &usize| *b != batch && model.works[*b].setup == work.setup && work.presses.contains(&next.press[*b]);
        let Some(other) = around.into_iter().find(alike) else { return };
        next.press[batch] = next.press[other];
        self.locate(next);
        let (at, beside) = (self.home[batch], self.home[other]);
        self.move_within(model, next, at, beside);
    }

    fn swap(&mut self, model: &Model<'_>, next: &mut Choice) {
        let count = next.order.len();
        let (a, b) = (self.dice.below(count), self.dice.below(count));
        let (low, high) = (a.min(b), a.max(b));
        if low == high {
            return;
        }
        self.locate(next);
        self.move_within(model, next, low, high);
        self.locate(next);
        self.move_within(model, next, high.saturating_sub(1).max(low), low);
    }

    fn shift(&mut self, model: &Model<'_>, next: &mut Choice) {
        let batch = next.order[self.dice.below(next.order.len())];
        self.shift_batch(model, next, batch);
    }

    fn shift_batch(&mut self, model: &Model<'_>, next: &mut Choice, batch: usize) {
        self.locate(next);
        let at = self.home[batch];
        // Half of the moves stay near, where most of what can be gained is.
        let to = if self.dice.below(2) == 0 {
            let reach = 8.min(next.order.len());
            (at + self.dice.below(2 * reach + 1)).saturating_sub(reach)
        } else {
            self.dice.below(next.order.len())
        };
        self.move_within(model, next, at, to.min(next.order.len() - 1));
    }

    fn locate(&mut self, choice: &Choice) {
        for (at, &batch) in choice.order.iter().enumerate() {
            self.home[batch] = at;
        }
    }

    /// Moves the batch at `from` to `to`, or as near as what waits for what allows.
    fn move_within(&self, model: &Model<'_>, choice: &mut Choice, from: usize, to: usize) {
        let batch = choice.order[from];
        let work = &model.works[batch];
        let left = |b: &&usize| model.works[**b].left > 0;
        let first = work.after.iter().map(|(b, _)| b).filter(left).map(|&b| self.home[b] + 1).max().unwrap_or(0);
        let last = work.before.iter().filter(left).map(|&b| self.home[b] - 1).min().unwrap_or(choice.order.len() - 1);
        let to = to.clamp(first, last.max(first));
        if to < from {
            choice.order[to..=from].rotate_right(1);
        } else {
            choice.order[from..=to].rotate_left(1);
        }
    }
}

/// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, count: usize) -> usize {
        ((u128::from(self.next()) * count as u128) >> 64) as usize
    }
}

/// Dresses what was found as a schedule and has it confirmed.
fn dressed(
    model: &Model<'_>,
    found: Decoded,
    bound: crate::Bound,
    evaluations: u64,
) -> Result<Outcome<Schedule>, Refusal> {
    let unplaced = unplaced(model, &found);
    let mut entries: Vec<Entry> = found.runs.into_iter().map(entry).collect();
    entries.sort_by_key(|e| (e.start_s(), e.press, e.batch));
    let schedule = Schedule {
        entries,
        unplaced,
        finish_s: found.finish_s,
        late_jobs: found.late,
        late_weight: found.score.late_weight,
        labour_s: found.labour_s,
        hands_s: found.hands_s,
        energy_j: found.energy_j,
        cost_minor: minor(found.score.cost),
        bound,
        evaluations,
    };
    let verdict = simulate(model.problem, &schedule);
    if let Some(fault) = verdict.faults.first() {
        let finding = Finding::new(Severity::StopsLine, codes::OWN_FAULT, codes::REPORT_IT);
        return Err(Refusal { findings: vec![finding.named("what", format!("{fault:?}"))] });
    }
    let findings = findings(model, &schedule);
    Ok(Outcome { value: schedule, findings })
}

fn entry(run: crate::decode::Run) -> Entry {
    let set_up = (run.set_up != SetUp::default()).then_some(run.set_up);
    Entry { batch: run.batch, press: run.press, set_up, closings: run.closings, kept: run.kept }
}

fn unplaced(model: &Model<'_>, found: &Decoded) -> Vec<Unplaced> {
    let mut all = Vec::new();
    for (batch, work) in model.works.iter().enumerate() {
        let closings = found.runs.iter().filter(|r| r.batch == batch).flat_map(|r| &r.closings);
        let bare = closings.filter(|c| work.finish_s > 0 && c.finish.is_none());
        let unfinished = bare.map(|c| c.pieces).fold(0, u32::saturating_add);
        let pieces = found.unpressed[batch];
        if pieces > 0 || unfinished > 0 {
            all.push(Unplaced { batch, pieces, unfinished });
        }
    }
    all
}

fn findings(model: &Model<'_>, schedule: &Schedule) -> Vec<Finding> {
    let mut findings = Vec::new();
    for &job in &schedule.late_jobs {
        let Some(end_s) = schedule.finish_s[job] else { continue };
        let by = Duration::from_s(f64_of(end_s - model.problem.jobs[job].due_s)).unwrap_or_default();
        let code = if schedule.bound.surely_late.contains(&job) { codes::SURELY_LATE } else { codes::LATE };
        let finding = Finding::new(Severity::Warning, code, codes::TELL_CUSTOMER);
        let subject = Subject { order: Some(job), ..Subject::default() };
        findings
            .push(finding.about(subject).named("of", &model.problem.jobs[job].name).with("by", Value::Duration(by)));
    }
    for item in &schedule.unplaced {
        let job = model.works[item.batch].job;
        let pieces = i64::from(item.pieces) + i64::from(item.unfinished);
        findings.push(
            Finding::new(Severity::StopsLine, codes::UNPLACED, codes::ADD_HOURS)
                .about(Subject { order: Some(job), ..Subject::default() })
                .named("of", &model.problem.batches[item.batch].name)
                .with("count", Value::Count(pieces))
                .with("limit", Value::Count(i64::from(model.problem.batches[item.batch].pieces))),
        );
    }
    findings
}
