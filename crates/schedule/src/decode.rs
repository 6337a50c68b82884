//! From an order of batches and a press for each to a schedule.
//!
//! The press that can go on soonest does, one closing at a time; people fill the
//! dwell with the other presses' loads, and with finishing what has cooled.

use crate::model::{Model, Work};
use crate::people::{Cycle, Desk};
use crate::place::{Candidate, Place, Stage};
use crate::{Attended, Closing, SetUp, Span};
use std::collections::VecDeque;

/// What the search decides.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Choice {
    /// Batches with pieces left, each after all it waits for; on a press they run in this order.
    pub order: Vec<usize>,
    /// The press of each batch.
    pub press: Vec<usize>,
    /// Who works, one bit a person.
    pub crew: u64,
    /// Seconds each batch is held back: before its set-up, before its first closing, and
    /// at each closing in favour of another press's. A little patience can spare a person
    /// from waiting between.
    pub hold: Vec<[i64; 3]>,
}

/// How good a schedule is, the first difference deciding; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Score {
    pub late_weight: i64,
    pub unplaced: i64,
    pub cost: i64,
    pub tardiness_s: i64,
}

/// A batch or part of one on a press.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub batch: usize,
    pub press: usize,
    pub set_up: SetUp,
    pub closings: Vec<Closing>,
    pub kept: bool,
}

/// Everything decided, before it is dressed as a `Schedule`.
#[derive(Debug, Clone)]
pub(crate) struct Decoded {
    pub score: Score,
    pub runs: Vec<Run>,
    /// Pieces of each batch without a time.
    pub unpressed: Vec<u32>,
    pub finish_s: Vec<Option<i64>>,
    pub late: Vec<usize>,
    pub labour_s: i64,
    pub hands_s: i64,
    pub energy_j: i64,
}

/// The schedule that a choice leads to.
pub(crate) fn decode(model: &Model<'_>, choice: &Choice) -> Decoded {
    let mut floor = Floor::new(model, choice);
    floor.place_kept();
    while floor.step() {}
    floor.finish_all();
    floor.summed()
}

/// A closing whose finishing has no time yet.
#[derive(Debug, Clone, Copy)]
struct Pending {
    run: usize,
    closing: usize,
    batch: usize,
    ready_s: i64,
    seconds: i64,
    pieces: i64,
    racked: bool,
}

struct Floor<'a> {
    model: &'a Model<'a>,
    rank: Vec<usize>,
    crew: u64,
    hold: Vec<[i64; 3]>,
    desks: Vec<Desk<'a>>,
    places: Vec<Place<'a>>,
    runs: Vec<Run>,
    pending: VecDeque<Pending>,
    /// Rack places with a known end: (end, pieces).
    racked: Vec<(i64, i64)>,
    /// End of each batch, once known.
    done_s: Vec<Option<i64>>,
    unpressed: Vec<u32>,
    unfinished: Vec<bool>,
    filled_to_s: i64,
}

impl<'a> Floor<'a> {
    fn new(model: &'a Model<'a>, choice: &Choice) -> Self {
        let problem = model.problem;
        let mut rank = vec![usize::MAX; model.works.len()];
        let mut queues = vec![Vec::new(); problem.presses.len()];
        for (at, &batch) in choice.order.iter().enumerate() {
            rank[batch] = at;
            queues[choice.press[batch]].push(batch);
        }
        let places = problem.presses.iter().zip(queues).map(|(press, queue)| Place::new(press, queue, problem.now_s));
        Self {
            model,
            rank,
            crew: choice.crew,
            hold: choice.hold.clone(),
            desks: problem.people.iter().map(|p| Desk::new(&p.hours)).collect(),
            places: places.collect(),
            runs: Vec::with_capacity(choice.order.len() + problem.done.len()),
            pending: VecDeque::new(),
            racked: Vec::new(),
            done_s: vec![None; model.works.len()],
            unpressed: vec![0; model.works.len()],
            unfinished: vec![false; model.works.len()],
            filled_to_s: problem.now_s,
        }
    }

    /// Takes over the work kept from an earlier plan.
    fn place_kept(&mut self) {
        let mut kept: Vec<&crate::Entry> = self.model.problem.done.iter().collect();
        kept.sort_by_key(|e| (e.start_s(), e.press));
        for entry in kept {
            let run = self.runs.len();
            let set_up = entry.set_up.unwrap_or_default();
            for attended in [set_up.hands, set_up.test].into_iter().flatten() {
                self.desks[attended.person].take(attended.span);
            }
            let closings = entry.closings.clone();
            for (at, closing) in closings.iter().enumerate() {
                self.keep_closing(entry.batch, run, at, closing);
            }
            self.places[entry.press].keep(entry, self.model.works[entry.batch].setup, self.model.problem.now_s);
            self.runs.push(Run { batch: entry.batch, press: entry.press, set_up, closings, kept: true });
        }
        for batch in 0..self.model.works.len() {
            if self.model.works[batch].left == 0 {
                self.complete(batch);
            }
        }
    }

    fn keep_closing(&mut self, batch: usize, run: usize, at: usize, closing: &Closing) {
        let work = &self.model.works[batch];
        self.desks[closing.person].take(closing.load);
        self.desks[closing.person].take(closing.unload);
        match closing.finish {
            Some(finish) => {
                self.desks[finish.person].take(finish.span);
                self.hold_rack(work, closing.pieces, finish.span.start_s);
            }
            None if work.finish_s > 0 => self.pending.push_back(pending(work, batch, run, at, closing)),
            None => self.hold_rack(work, closing.pieces, closing.cool_end_s),
        }
    }

    /// Places the one step that can begin soonest; false when nothing is left.
    fn step(&mut self) -> bool {
        self.look_ahead();
        let steps = self.places.iter().filter_map(|place| place.next_step.map(|step| (step, place.batch())));
        let key = |(step, batch): &(Candidate, Option<usize>)| {
            batch.map_or((i64::MAX, 0), |b| (step.start_s + self.hold[b][2], self.rank[b]))
        };
        let Some((best, _)) = steps.min_by_key(key) else { return false };
        self.fill(best.start_s);
        match self.places[best.place].stage {
            Stage::Hands => self.take_hands(best),
            Stage::Test => self.take_test(best),
            Stage::Closings => self.take_closing(best),
            Stage::Idle => {}
        }
        true
    }

    /// Lets each idle press begin its next batch, as far as what it waits for is done, and
    /// finds each press's next step; a batch for which no time is left is set aside.
    fn look_ahead(&mut self) {
        let mut changed = true;
        while changed {
            changed = false;
            for at in 0..self.places.len() {
                while self.places[at].stage == Stage::Idle && self.begin(at) {
                    changed = true;
                }
                if self.places[at].stage != Stage::Idle && self.places[at].next_step.is_none() {
                    self.places[at].next_step = self.candidate(at);
                    if self.places[at].next_step.is_none() {
                        self.set_aside(at);
                        changed = true;
                    }
                }
            }
        }
    }

    /// Takes a person's seconds; a press that reckoned with them looks again.
    fn take(&mut self, person: usize, span: Span) {
        self.desks[person].take(span);
        for place in &mut self.places {
            if let Some(step) = place.next_step.filter(|s| s.person == person && s.hindered(span)) {
                // Free time only shrinks: nothing sooner can have opened.
                place.not_before_s = place.not_before_s.max(step.start_s);
                place.next_step = None;
            }
        }
    }

    fn begin(&mut self, at: usize) -> bool {
        let Some(batch) = self.places[at].batch() else { return false };
        let Some(target_s) = self.target_s(batch) else {
            if self.never_ready(batch) {
                self.unpressed[batch] = self.model.works[batch].left;
                self.places[at].end_batch();
                return true;
            }
            return false;
        };
        let work = &self.model.works[batch];
        let run = self.runs.len();
        let set_up = self.places[at].begin(batch, work, target_s, self.hold[batch], run);
        self.runs.push(Run { batch, press: at, set_up, closings: Vec::new(), kept: false });
        true
    }

    /// From when the batch may be loaded; `None` while something it waits for is not done.
    fn target_s(&self, batch: usize) -> Option<i64> {
        let work = &self.model.works[batch];
        let problem = self.model.problem;
        let mut target = problem.release_s(&problem.batches[batch]).max(problem.now_s);
        for &(before, lag_s) in &work.after {
            target = target.max(self.done_s[before]?.saturating_add(lag_s));
        }
        Some(target)
    }

    fn never_ready(&self, batch: usize) -> bool {
        self.model.works[batch].after.iter().any(|&(b, _)| self.unpressed[b] > 0 || self.unfinished[b])
    }

    /// Gives up what is left of the press's batch; a set-up for nothing is taken back.
    fn set_aside(&mut self, at: usize) {
        let Some(batch) = self.places[at].batch() else { return };
        self.unpressed[batch] = self.places[at].left;
        let run = &self.runs[self.places[at].run];
        if run.closings.is_empty() {
            for attended in [run.set_up.hands, run.set_up.test].into_iter().flatten() {
                self.desks[attended.person].give_back(attended.span);
            }
            self.places[at].go_back();
        }
        self.places[at].end_batch();
    }

    fn candidate(&self, at: usize) -> Option<Candidate> {
        let place = &self.places[at];
        let batch = place.batch()?;
        let work = &self.model.works[batch];
        let from_s = place.free_s.max(place.not_before_s);
        match place.stage {
            Stage::Idle => None,
            Stage::Hands => self.soonest(at, from_s, alone(place.hands_s(work)), false),
            Stage::Test => self.soonest(at, from_s.max(place.target_s), alone(work.test_s), true),
            Stage::Closings => {
                let pieces = place.left.min(work.per_closing);
                self.soonest(at, from_s.max(place.target_s), work.cycle(pieces), true)
            }
        }
    }

    /// The soonest anyone of the crew can do it while the press is on (and hot, if need be).
    fn soonest(&self, at: usize, from_s: i64, cycle: Cycle, hot: bool) -> Option<Candidate> {
        let place = &self.places[at];
        let least = cycle.load + cycle.press + cycle.unload;
        let mut best: Option<(i64, bool, Candidate)> = None;
        for (person, desk) in self.desks.iter().enumerate() {
            if self.crew >> person & 1 == 0 {
                continue;
            }
            let mut from = place.ready(from_s, least, hot)?;
            let latest = |best: &Option<(i64, bool, Candidate)>| best.map_or(i64::MAX, |b| b.0);
            while let Some(slot) = desk.earliest_closing(from, cycle, latest(&best)) {
                let end_s = slot.unload_s + cycle.unload;
                let Some(ready) = place.ready(slot.load_s, end_s - slot.load_s, hot) else { break };
                if ready == slot.load_s {
                    let other = place.last_person != Some(person);
                    let found = Candidate {
                        place: at,
                        person,
                        start_s: ready,
                        load_end_s: ready + cycle.load,
                        unload_s: slot.unload_s,
                        end_s,
                    };
                    if best.is_none_or(|(start, strange, _)| (ready, other) < (start, strange)) {
                        best = Some((ready, other, found));
                    }
                    break;
                }
                from = ready;
            }
        }
        best.map(|(_, _, found)| found)
    }

    fn take_hands(&mut self, best: Candidate) {
        let span = Span::new(best.start_s, best.end_s);
        self.places[best.place].look_again();
        self.take(best.person, span);
        let place = &mut self.places[best.place];
        let Some(batch) = place.batch() else { return };
        let run = &mut self.runs[place.run];
        run.set_up.hands = Some(Attended { person: best.person, span });
        place.last_person = Some(best.person);
        place.heat_up(&mut run.set_up, &self.model.works[batch], best.end_s);
    }

    fn take_test(&mut self, best: Candidate) {
        let span = Span::new(best.start_s, best.end_s);
        self.places[best.place].look_again();
        self.take(best.person, span);
        let place = &mut self.places[best.place];
        let run = &mut self.runs[place.run];
        place.use_hot(&mut run.set_up, span);
        run.set_up.test = Some(Attended { person: best.person, span });
        place.last_person = Some(best.person);
        place.stage = Stage::Closings;
    }

    fn take_closing(&mut self, best: Candidate) {
        let place = &self.places[best.place];
        let Some(batch) = place.batch() else { return };
        let work = &self.model.works[batch];
        let pieces = place.left.min(work.per_closing);
        if work.cool_s > 0 && !self.rack_free(best, pieces) {
            return;
        }
        let cycle = work.cycle(pieces);
        let load = Span::new(best.start_s, best.start_s + cycle.load);
        let press = Span::new(load.end_s, load.end_s + cycle.press);
        let unload = Span::new(best.unload_s, best.end_s);
        let cool_end_s = unload.end_s + work.cool_s;
        let closing =
            Closing { person: best.person, pieces, spoiled: 0, load, press, unload, cool_end_s, finish: None };
        self.places[best.place].look_again();
        self.take(best.person, load);
        self.take(best.person, unload);

        let place = &mut self.places[best.place];
        let run = &mut self.runs[place.run];
        place.use_hot(&mut run.set_up, Span::new(best.start_s, best.end_s));
        run.closings.push(closing);
        place.last_person = Some(best.person);
        place.last_batch = Some(batch);
        place.left -= pieces;
        let over = place.left == 0;
        let (run, at) = (place.run, run.closings.len() - 1);
        if over {
            place.end_batch();
        }
        if work.finish_s > 0 {
            self.pending.push_back(pending(work, batch, run, at, &closing));
        } else {
            self.hold_rack(work, pieces, cool_end_s);
        }
        if over {
            self.complete(batch);
        }
    }

    /// Whether the rack has room when the closing is unloaded; if not, makes some by
    /// finishing the oldest, or puts the press off until there is, or gives the batch up.
    fn rack_free(&mut self, best: Candidate, pieces: u32) -> bool {
        let places = i64::from(self.model.problem.rack_places);
        let waiting: i64 = self.pending.iter().filter(|p| p.racked).map(|p| p.pieces).sum();
        let mut ends: Vec<(i64, i64)> = self.racked.iter().copied().filter(|&(end, _)| end > best.end_s).collect();
        let held: i64 = ends.iter().map(|e| e.1).sum();
        if held + waiting + i64::from(pieces) <= places {
            return true;
        }
        if let Some(oldest) = self.pending.iter().position(|p| p.racked) {
            self.force(oldest);
            return false;
        }
        ends.sort_unstable();
        let mut free = places - held;
        for (end, count) in ends.into_iter().filter(|e| e.0 < i64::MAX) {
            free += count;
            if free >= i64::from(pieces) {
                let place = &mut self.places[best.place];
                place.free_s = best.start_s + (end - best.end_s).max(1);
                place.look_again();
                return false;
            }
        }
        // Places are held for good by pieces that nobody finds time to finish.
        self.set_aside(best.place);
        false
    }

    fn hold_rack(&mut self, work: &Work, pieces: u32, until_s: i64) {
        if work.cool_s == 0 {
            return;
        }
        if self.racked.len() >= 64 {
            let soonest = self.places.iter().map(|p| p.free_s).min().unwrap_or(i64::MIN);
            self.racked.retain(|&(end, _)| end > soonest);
        }
        self.racked.push((until_s, i64::from(pieces)));
    }

    /// Finishes in the free time before `to_s` what has cooled by then.
    fn fill(&mut self, to_s: i64) {
        // A handful that fit no gap is enough to know that gaps are short just now.
        let mut at = 0;
        while at < self.pending.len().min(8) {
            let item = self.pending[at];
            let from_s = item.ready_s.max(self.filled_to_s - item.seconds);
            match self.soonest_desk(from_s, item.seconds, to_s - item.seconds) {
                Some((start_s, person)) => self.settle(at, person, start_s),
                None => at += 1,
            }
        }
        self.filled_to_s = self.filled_to_s.max(to_s);
    }

    fn soonest_desk(&self, from_s: i64, seconds: i64, latest_s: i64) -> Option<(i64, usize)> {
        let crew = self.desks.iter().enumerate().filter(|(person, _)| self.crew >> person & 1 == 1);
        crew.filter_map(|(person, desk)| desk.earliest(from_s, seconds, latest_s).map(|start| (start, person))).min()
    }

    fn settle(&mut self, at: usize, person: usize, start_s: i64) {
        let Some(item) = self.pending.remove(at) else { return };
        let span = Span::new(start_s, start_s + item.seconds);
        self.take(person, span);
        self.runs[item.run].closings[item.closing].finish = Some(Attended { person, span });
        if item.racked {
            let pieces = u32::try_from(item.pieces).unwrap_or(u32::MAX);
            self.hold_rack(&self.model.works[item.batch], pieces, start_s);
        }
    }

    /// Finishes one that waits as soon as anyone can.
    fn force(&mut self, at: usize) {
        let item = self.pending[at];
        match self.soonest_desk(item.ready_s, item.seconds, i64::MAX) {
            Some((start_s, person)) => self.settle(at, person, start_s),
            None => {
                self.unfinished[item.batch] = true;
                self.pending.remove(at);
                // Its rack places stay taken.
                if item.racked {
                    self.racked.push((i64::MAX, item.pieces));
                }
            }
        }
    }

    /// Finishes everything of the batch and notes its end.
    fn complete(&mut self, batch: usize) {
        while let Some(at) = self.pending.iter().position(|p| p.batch == batch) {
            self.force(at);
        }
        if self.unfinished[batch] || self.unpressed[batch] > 0 {
            return;
        }
        let ends = self.runs.iter().filter(|r| r.batch == batch).flat_map(|r| &r.closings).map(Closing::done_s);
        self.done_s[batch] = Some(ends.max().unwrap_or(self.model.problem.now_s));
    }

    fn finish_all(&mut self) {
        while !self.pending.is_empty() {
            self.force(0);
        }
    }

    fn summed(mut self) -> Decoded {
        self.runs.retain(|r| !r.closings.is_empty());
        let (mut finish_s, mut late) = (Vec::new(), Vec::new());
        let mut score = Score { late_weight: 0, unplaced: 0, cost: 0, tardiness_s: 0 };
        for (index, job) in self.model.problem.jobs.iter().enumerate() {
            let ends: Option<Vec<i64>> = self.model.batches_of[index].iter().map(|&b| self.done_s[b]).collect();
            let end = ends.map(|e| e.into_iter().max().unwrap_or(job.release_s));
            let none = self.model.batches_of[index].is_empty();
            if !none && end.is_none_or(|e| e > job.due_s) {
                late.push(index);
                score.late_weight += i64::from(job.weight);
                score.tardiness_s += end.map_or(0, |e| e - job.due_s);
            }
            finish_s.push(end);
        }
        score.unplaced = self.unpressed.iter().map(|&p| i64::from(p)).sum::<i64>()
            + self.unfinished.iter().map(|&u| i64::from(u)).sum::<i64>();
        let labour_s = self.desks.iter().map(Desk::labour_s).sum();
        let hands_s = self.desks.iter().map(Desk::hands_s).sum();
        let energy_j = self.places.iter().map(Place::energy_j).sum();
        score.cost = self.model.cost(labour_s, energy_j);
        let (runs, unpressed) = (self.runs, self.unpressed);
        Decoded { score, runs, unpressed, finish_s, late, labour_s, hands_s, energy_j }
    }
}

fn alone(seconds: i64) -> Cycle {
    Cycle { load: seconds, press: 0, wait: 0, unload: 0 }
}

fn pending(work: &Work, batch: usize, run: usize, closing: usize, of: &Closing) -> Pending {
    let pieces = i64::from(of.pieces);
    let (ready_s, seconds) = (of.cool_end_s, work.finish_s * pieces);
    Pending { run, closing, batch, ready_s, seconds, pieces, racked: work.cool_s > 0 }
}
