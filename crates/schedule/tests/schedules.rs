//! Every schedule holds when replayed, keeps its bound, and is the same each time.

mod common;

use common::{HOUR, festival, odd, tiny};
use report::{Effort, Quiet, Seed};
use schedule::{Settings, solve};

fn settings(effort: u64) -> Settings {
    Settings { effort: Effort(effort), seed: Seed(3) }
}

/// `solve` hands out nothing that the replay refuses: a fault would be a refusal here.
#[test]
fn small_schedules_hold_when_replayed() {
    for seed in 0..400 {
        let problem = tiny(seed);
        let found = solve(&problem, &settings(60), &mut Quiet).unwrap_or_else(|r| panic!("seed {seed}: {r:?}")).value;
        assert!(found.late_weight >= found.bound.late_weight, "seed {seed}");
        if found.unplaced.is_empty() {
            assert!(found.labour_s >= found.bound.labour_s, "seed {seed}: {} < {:?}", found.labour_s, found.bound);
            assert!(found.energy_j >= found.bound.energy_j, "seed {seed}: {} < {:?}", found.energy_j, found.bound);
            assert!(found.cost_minor >= found.bound.cost_minor, "seed {seed}");
        }
        assert!(found.bound.surely_late.iter().all(|j| found.late_jobs.contains(j)), "seed {seed}");
    }
}

/// The same where numbers are strange; here much finds no time, which is said.
#[test]
fn odd_schedules_hold_when_replayed() {
    let mut whole = 0;
    for seed in 0..600 {
        let problem = odd(seed);
        let found = solve(&problem, &settings(40), &mut Quiet).unwrap_or_else(|r| panic!("seed {seed}: {r:?}")).value;
        assert!(found.late_weight >= found.bound.late_weight, "seed {seed}");
        if found.unplaced.is_empty() {
            whole += 1;
            assert!(found.labour_s >= found.bound.labour_s, "seed {seed}: {} < {:?}", found.labour_s, found.bound);
            assert!(found.energy_j >= found.bound.energy_j, "seed {seed}: {} < {:?}", found.energy_j, found.bound);
        }
    }
    assert!(whole > 100 && whole < 600, "{whole} of 600 whole");
}

#[test]
fn a_week_of_festival_orders_holds_when_replayed() {
    for seed in 0..6 {
        let problem = festival(seed, 12, 300, 2, 2);
        let found = solve(&problem, &settings(40), &mut Quiet).unwrap_or_else(|r| panic!("seed {seed}: {r:?}")).value;
        assert!(found.unplaced.is_empty(), "seed {seed}");
        assert!(found.end_s().is_some_and(|end| end < 120 * HOUR));
    }
}

#[test]
fn the_same_seed_gives_the_same_schedule() {
    let problem = festival(5, 10, 200, 3, 2);
    let once = solve(&problem, &settings(400), &mut Quiet).expect("a schedule");
    let again = solve(&problem, &settings(400), &mut Quiet).expect("a schedule");
    assert_eq!(once, again);
}

#[test]
fn more_effort_is_never_worse() {
    for seed in 0..12 {
        let problem = tiny(seed);
        let score = |effort| {
            let found = solve(&problem, &settings(effort), &mut Quiet).expect("a schedule").value;
            (found.late_weight, found.unplaced.len(), found.cost_minor)
        };
        assert!(score(200) <= score(0), "seed {seed}");
    }
}
