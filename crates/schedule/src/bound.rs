//! What no schedule can do better than.

use crate::model::{Model, Work, minor};
use crate::{Press, Span};

/// A proven lower bound, part by part.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Bound {
    /// Jobs late in every schedule, by index.
    pub surely_late: Vec<usize>,
    /// Sum of the late jobs' weights.
    pub late_weight: i64,
    /// Paid seconds, when everything is pressed.
    pub labour_s: i64,
    /// Energy, J, when everything is pressed.
    pub energy_j: i64,
    /// Both at the problem's rates, minor units of money rounded up.
    pub cost_minor: i64,
}

/// The bound of a checked problem.
///
/// Late: each job alone on its own; and the fewest late of all jobs when the presses
/// (or the people) are taken together as one that never waits, by the rule of Moore
/// (1968) and Hodgson. Labour: hands on work, with the dwell where nothing else fits in it; or the presses'
/// taken seconds divided among as many presses as one person can have going at once. Energy: each batch at
/// its least draw, and one warm-up where all begin cold.
pub(crate) fn bound(model: &Model<'_>) -> Bound {
    let surely_late: Vec<usize> =
        (0..model.problem.jobs.len()).filter(|&j| alone_s(model, j) > model.problem.jobs[j].due_s).collect();
    let weight = |j: &usize| i64::from(model.problem.jobs[*j].weight);
    let alone: i64 = surely_late.iter().map(weight).sum();
    let count = fewest_late(model, Taken::Press).max(fewest_late(model, Taken::Hands));
    let mut weights: Vec<i64> = (0..model.problem.jobs.len()).map(|j| weight(&j)).collect();
    weights.sort_unstable();
    let together: i64 = weights.iter().take(count).sum();
    let labour_s = least_labour_s(model);
    let energy_j = least_energy_j(model);
    let cost_minor = minor(model.cost(labour_s, energy_j));
    Bound { surely_late, late_weight: alone.max(together), labour_s, energy_j, cost_minor }
}

/// Earliest end of a job that has the whole shop to itself.
fn alone_s(model: &Model<'_>, job: usize) -> i64 {
    let mut end_of: std::collections::BTreeMap<usize, i64> = std::collections::BTreeMap::new();
    let mut latest = i64::MIN;
    for &batch in model.order.iter().filter(|&&b| model.works[b].job == job) {
        let work = &model.works[batch];
        let mut from = model.problem.release_s(&model.problem.batches[batch]).max(model.problem.now_s);
        for (before, lag_s) in &work.after {
            from = from.max(end_of.get(before).map_or(from, |end| end + lag_s));
        }
        let calendars = work.presses.iter().map(|&p| model.problem.presses[p].available.as_slice());
        let pressed = calendars.filter_map(|c| after_working(c, from, work.press_time_s())).min();
        let end = pressed.map_or(i64::MAX / 4, |p| p + work.cool_s + work.finish_s);
        end_of.insert(batch, end);
        latest = latest.max(end);
    }
    latest
}

/// When `seconds` of a calendar have gone by since `from_s`.
fn after_working(calendar: &[Span], from_s: i64, mut seconds: i64) -> Option<i64> {
    let first = calendar.partition_point(|s| s.end_s <= from_s);
    for span in &calendar[first..] {
        let start = span.start_s.max(from_s);
        if seconds <= span.end_s - start {
            return Some(start + seconds);
        }
        seconds -= span.end_s - start;
    }
    None
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Taken {
    Press,
    Hands,
}

/// Fewest late jobs if the seconds of all calendars up to a job's due date were one
/// machine's: jobs by due date, and whenever too much is in, the longest goes out.
fn fewest_late(model: &Model<'_>, taken: Taken) -> usize {
    let calendars: Vec<&[Span]> = match taken {
        Taken::Press => model.problem.presses.iter().map(|p| p.available.as_slice()).collect(),
        Taken::Hands => model.problem.people.iter().map(|p| p.hours.as_slice()).collect(),
    };
    let mut jobs: Vec<(i64, i64)> = Vec::new();
    for (index, job) in model.problem.jobs.iter().enumerate() {
        let works = model.batches_of[index].iter().map(|&b| &model.works[b]);
        let seconds = works.map(|w| if taken == Taken::Press { w.press_time_s() } else { w.hands_s() }).sum();
        if !model.batches_of[index].is_empty() {
            jobs.push((job.due_s, seconds));
        }
    }
    jobs.sort_unstable();
    let mut longest = std::collections::BinaryHeap::new();
    let (mut sum, mut late) = (0, 0);
    for (due_s, seconds) in jobs {
        longest.push(seconds);
        sum += seconds;
        let open: i64 = calendars.iter().map(|c| open_s(c, model.problem.now_s, due_s)).sum();
        while sum > open {
            let Some(out) = longest.pop() else { break };
            sum -= out;
            late += 1;
        }
    }
    late
}

fn open_s(calendar: &[Span], from_s: i64, to_s: i64) -> i64 {
    calendar.iter().map(|s| (s.end_s.min(to_s) - s.start_s.max(from_s)).max(0)).sum()
}

fn kept_hands_s(model: &Model<'_>) -> i64 {
    let entries = model.problem.done.iter();
    entries
        .map(|e| {
            let set_up = e.set_up.unwrap_or_default();
            let parts = set_up.hands.into_iter().chain(set_up.test).map(|a| a.span.seconds());
            let per_closing = e.closings.iter().map(|c| {
                let finish = c.finish.map_or(0, |f| f.span.seconds());
                c.load.seconds() + c.unload.seconds() + finish
            });
            parts.sum::<i64>() + per_closing.sum::<i64>()
        })
        .sum()
}

fn least_labour_s(model: &Model<'_>) -> i64 {
    let works: Vec<&Work> = model.works.iter().filter(|w| w.left > 0).collect();
    let beyond = kept_hands_s(model) + least_swaps_s(model);
    let hands = works.iter().map(|w| w.hands_s()).sum::<i64>();
    // One person's closings overlap only on different presses, so a paid second covers
    // at most one taken second of each.
    let presses = i64::try_from(model.problem.presses.len()).unwrap_or(1).max(1);
    let taken: i64 = works.iter().map(|w| w.press_time_s() - if framed(w) { 0 } else { w.dwell_s() }).sum();
    let shared = taken.div_euclid(presses) + i64::from(taken.rem_euclid(presses) != 0);
    // Kept closings still under way might be shared with; then only hands are counted.
    let unshared = if model.problem.done.is_empty() { unshared_s(&works, least_swaps_s(model)) } else { 0 };
    (hands + beyond).max(unshared).max(shared)
}

/// Whether somebody is there before and after each dwell, and so paid during it.
fn framed(work: &Work) -> bool {
    work.load_s > 0 && work.unload_s > 0
}

/// Seconds of a person's when dwells too short for any other load are not shared.
///
/// Of two closings one person has going at once, the later one is loaded while the
/// earlier one dwells. A batch whose dwell is shorter than every load, and whose load is
/// longer than every dwell, therefore takes a person for its whole closings; only what is
/// short enough (finishing, test pieces, changing platens) fits in between.
fn unshared_s(works: &[&Work], swaps_s: i64) -> i64 {
    let loads = works.iter().map(|w| w.least_load_s());
    let dwells = works.iter().map(|w| w.press_s + w.wait_s);
    let (shortest_load, longest_dwell) = (loads.min().unwrap_or(0), dwells.max().unwrap_or(0));
    let alone = |w: &Work| framed(w) && w.press_s + w.wait_s < shortest_load && w.least_load_s() > longest_dwell;
    let apart: Vec<&&Work> = works.iter().filter(|w| alone(w)).collect();
    let room = apart.iter().map(|w| w.press_s + w.wait_s).max().unwrap_or(0);
    let dwell: i64 = apart.iter().map(|w| w.dwell_s()).sum();
    let at_press: i64 = works.iter().map(|w| i64::from(w.left) * (w.load_s + w.unload_s)).sum();
    let (mut inside, mut outside) = (0, 0);
    let mut count = |seconds: i64, shortest: i64| {
        let sum = if shortest <= room { &mut inside } else { &mut outside };
        *sum += seconds;
    };
    count(swaps_s, if swaps_s > 0 { 0 } else { i64::MAX });
    for work in works {
        count(work.test_time_s(), work.test_time_s());
        count(i64::from(work.left) * work.finish_s, work.finish_s * work.least_pieces());
    }
    at_press + dwell + outside + (inside - dwell).max(0)
}

/// Each platen that no press begins with must be put on at least once.
fn least_swaps_s(model: &Model<'_>) -> i64 {
    if !model.problem.done.is_empty() {
        return 0;
    }
    let mut needed: Vec<usize> = model.works.iter().filter(|w| w.left > 0).map(|w| w.setup.platen).collect();
    needed.sort_unstable();
    needed.dedup();
    let on = |platen: &usize| model.problem.presses.iter().any(|p| p.start.platen == *platen);
    let swaps = needed.iter().filter(|p| !on(p)).count();
    let least = model.problem.presses.iter().map(|p| p.platen_swap_s).min().unwrap_or(0);
    least * i64::try_from(swaps).unwrap_or(0)
}

fn least_energy_j(model: &Model<'_>) -> i64 {
    let least =
        |w: &Work| w.presses.iter().map(|&p| model.problem.presses[p].standby_w).min().unwrap_or(0) * w.press_time_s();
    let works = || model.works.iter().filter(|w| w.left > 0);
    let held: i64 = works().map(least).sum();
    let cold = |p: &Press| !p.hot_at_start;
    let fresh = model.problem.done.is_empty() && model.problem.presses.iter().all(cold) && works().next().is_some();
    let warm = model.problem.presses.iter().map(|p| p.warm_up_s * p.heating_w).min().unwrap_or(0);
    held + if fresh { warm } else { 0 }
}
