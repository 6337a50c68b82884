//! After a failure what was done stays, and the rest is planned anew.

mod common;

use common::{HOUR, festival, tiny};
use report::{Effort, Quiet, Seed};
use schedule::{Event, Settings, codes, replan, simulate, solve};

fn settings() -> Settings {
    Settings { effort: Effort(40), seed: Seed(1) }
}

#[test]
fn a_failed_press_is_planned_around() {
    let problem = festival(4, 10, 240, 2, 2);
    let first = solve(&problem, &settings(), &mut Quiet).expect("a schedule").value;
    let now_s = 9 * HOUR + 1234;
    let after = replan(&problem, &first, now_s, &[Event::PressFails { press: 0, from_s: now_s, until_s: None }]);
    let second = solve(&after.value, &settings(), &mut Quiet).expect("a schedule").value;
    let kept: u32 = second.entries.iter().filter(|e| e.kept).map(|e| e.pieces()).sum();
    assert!(kept > 0);
    for entry in second.entries.iter().filter(|e| e.press == 0) {
        assert!(entry.kept && entry.end_s() <= now_s);
    }
    assert!(second.entries.iter().filter(|e| !e.kept).all(|e| e.start_s() >= now_s));
    assert_eq!(simulate(&after.value, &second).faults, Vec::new());
}

#[test]
fn spoiled_pieces_are_done_again() {
    let problem = festival(6, 8, 160, 2, 1);
    let first = solve(&problem, &settings(), &mut Quiet).expect("a schedule").value;
    let (batch, now_s) = (first.entries[0].batch, first.entries[0].end_s() + 60);
    let event = Event::PiecesSpoiled { batch, pieces: 2 };
    let after = replan(&problem, &first, now_s, &[event]);
    let second = solve(&after.value, &settings(), &mut Quiet).expect("a schedule").value;
    let pressed: u32 = second.entries.iter().filter(|e| e.batch == batch).map(|e| e.pieces()).sum();
    assert_eq!(pressed, problem.batches[batch].pieces + 2);
}

/// Any moment, any event: the second schedule holds, or what is lost has a finding.
#[test]
fn replanning_holds_at_any_moment() {
    let mut replanned = 0;
    for seed in 0..120 {
        let problem = tiny(seed);
        let first = solve(&problem, &settings(), &mut Quiet).expect("a schedule").value;
        let now_s = 37 * (seed as i64 % 40);
        let events = [
            Event::PressFails { press: 0, from_s: now_s, until_s: Some(now_s + 300) },
            Event::PiecesSpoiled { batch: 0, pieces: 1 },
            Event::PersonLeaves { person: 0, from_s: now_s, until_s: Some(now_s + 200) },
        ];
        let event = events[seed as usize % 3];
        let after = replan(&problem, &first, now_s, &[event]);
        assert!(after.findings.iter().all(|f| f.code == codes::LOST_IN_PRESS));
        let second =
            solve(&after.value, &settings(), &mut Quiet).unwrap_or_else(|r| panic!("seed {seed} {event:?}: {r:?}"));
        replanned += second.value.entries.iter().filter(|e| e.kept).count();
    }
    assert!(replanned > 60, "hardly anything was kept: {replanned}");
}
