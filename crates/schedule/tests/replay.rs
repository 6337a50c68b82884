//! The replay refuses every schedule that was tampered with, and says why.

mod common;

use common::{batch, festival, job, person, press};
use report::{Effort, Quiet, Seed};
use schedule::{Fault, Problem, Schedule, Settings, Span, simulate, solve};

fn shop() -> (Problem, Schedule) {
    let mut problem = Problem { rack_places: 3, ..Problem::default() };
    problem.presses = vec![press("left"), press("right")];
    problem.people = vec![person("Ebb"), person("Flow")];
    problem.jobs = vec![job("kites", 40_000), job("flags", 90_000)];
    let mut first = batch("tails", 0, &[0, 1], 150, 12);
    (first.cool_s, first.finish_s) = (40, 5);
    let mut second = batch("pennants", 1, &[0], 130, 9);
    second.after.push(schedule::Lag { batch: 0, lag_s: 100 });
    second.setup.platen = 1;
    let third = batch("sails", 1, &[1], 130, 5);
    problem.batches = vec![first, second, third];
    let settings = Settings { effort: Effort(100), seed: Seed(1) };
    let found = solve(&problem, &settings, &mut Quiet).expect("a schedule").value;
    assert!(found.unplaced.is_empty());
    (problem, found)
}

type Tamper = fn(&mut Problem, &mut Schedule);
type Expected = fn(&Fault) -> bool;

fn entry_of(s: &mut Schedule, batch: usize) -> &mut schedule::Entry {
    s.entries.iter_mut().find(|e| e.batch == batch).expect("the batch")
}

fn moved(span: &mut Span, by: i64) {
    *span = Span::new(span.start_s + by, span.end_s + by);
}

#[test]
fn tampering_is_noticed() {
    let cases: [(&str, Tamper, Expected); 19] = [
        ("a shorter dwell", |_, s| entry_of(s, 0).closings[0].press.end_s -= 1, |f| matches!(f, Fault::Step { .. })),
        (
            "late out of the press",
            |_, s| moved(&mut entry_of(s, 0).closings[1].unload, 1),
            |f| matches!(f, Fault::Step { .. }),
        ),
        ("a closing missing", |_, s| entry_of(s, 0).closings.truncate(11), |f| matches!(f, Fault::Pieces { batch: 0 })),
        (
            "nobody there",
            |p, _| p.people.iter_mut().for_each(|x| x.hours[0].end_s = x.hours[0].start_s + 1000),
            |f| matches!(f, Fault::PersonAway { .. }),
        ),
        (
            "press off",
            |p, _| p.presses.iter_mut().for_each(|x| x.available[0].end_s = x.available[0].start_s + 1000),
            |f| matches!(f, Fault::PressOff { .. }),
        ),
        (
            "a longer warm-up",
            |p, _| p.presses.iter_mut().for_each(|x| x.warm_up_s += 1),
            |f| matches!(f, Fault::PressCold { .. }),
        ),
        ("no test piece", |_, s| entry_of(s, 0).set_up = None, |f| matches!(f, Fault::TestPiece { .. })),
        (
            "platen not changed",
            |_, s| entry_of(s, 1).set_up.as_mut().expect("a set-up").hands = None,
            |f| matches!(f, Fault::WrongSetup { .. }),
        ),
        ("another press", |_, s| entry_of(s, 1).press = 1, |f| matches!(f, Fault::PressNotAllowed { .. })),
        ("a small rack", |p, _| p.rack_places = 1, |f| matches!(f, Fault::RackFull { .. })),
        (
            "peeled warm",
            |_, s| entry_of(s, 0).closings[2].finish.as_mut().expect("finishing").span.start_s -= 1,
            |f| matches!(f, Fault::Step { .. }),
        ),
        ("before the goods come", |p, _| p.jobs[0].release_s = 50_000, |f| matches!(f, Fault::TooEarly { .. })),
        ("before its own goods come", |p, _| p.batches[0].release_s = 50_000, |f| matches!(f, Fault::TooEarly { .. })),
        (
            "before the print beneath",
            |p, _| p.batches[2].after.push(schedule::Lag { batch: 1, lag_s: 500_000 }),
            |f| matches!(f, Fault::TooEarly { .. }),
        ),
        ("another person's total", |_, s| s.labour_s -= 1, |f| matches!(f, Fault::Total { what: "labour" })),
        ("energy left out", |_, s| s.energy_j -= 1, |f| matches!(f, Fault::Total { what: "energy" })),
        ("lateness hidden", |p, _| p.jobs[1].due_s = 100, |f| matches!(f, Fault::Total { what: "late jobs" })),
        (
            "a batch twice",
            |_, s| {
                let again = s.entries[0].clone();
                s.entries.push(again)
            },
            |f| matches!(f, Fault::PersonTwice { .. }),
        ),
        ("somebody unknown", |_, s| s.entries[0].closings[0].person = 9, |f| matches!(f, Fault::Unknown { entry: 0 })),
    ];
    let (problem, schedule) = shop();
    assert_eq!(simulate(&problem, &schedule).faults, Vec::new());
    for (name, tamper, expected) in cases {
        let (mut problem, mut schedule) = (problem.clone(), schedule.clone());
        tamper(&mut problem, &mut schedule);
        let faults = simulate(&problem, &schedule).faults;
        assert!(faults.iter().any(expected), "{name}: {faults:?}");
    }
}

/// Any one closing moved by one second, either way, breaks something.
#[test]
fn a_second_either_way_is_noticed() {
    let problem = festival(2, 6, 80, 2, 1);
    let settings = Settings { effort: Effort(20), seed: Seed(1) };
    let found = solve(&problem, &settings, &mut Quiet).expect("a schedule").value;
    let mut noticed = 0;
    for entry in 0..found.entries.len() {
        for by in [-1, 1] {
            let mut other = found.clone();
            let closing = &mut other.entries[entry].closings[0];
            for span in [&mut closing.load, &mut closing.press, &mut closing.unload] {
                moved(span, by);
            }
            assert!(!simulate(&problem, &other).faults.is_empty(), "entry {entry} by {by}");
            noticed += 1;
        }
    }
    assert!(noticed >= 12);
}
