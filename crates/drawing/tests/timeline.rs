//! The timeline shows every batch, names every due date, and its table agrees.

use drawing::{TimelineText, timeline, timeline_table, timeline_windows};
use report::{Effort, Quiet, Seed};
use schedule::{Batch, Job, Person, Press, Problem, Schedule, Settings, Setup, Span, solve};

fn shop() -> (Problem, Schedule) {
    let hours = vec![Span::new(28_800, 43_200), Span::new(45_000, 57_600)];
    let press = |name: &str| Press {
        name: name.into(),
        available: vec![Span::new(28_800, 57_600)],
        warm_up_s: 600,
        standby_w: 400,
        ..Press::default()
    };
    let job = |name: &str, due_s| Job { name: name.into(), release_s: 0, due_s, weight: 1 };
    let batch = |name: &str, job, temp_c, cool_s| Batch {
        name: name.into(),
        job,
        presses_allowed: vec![0, 1],
        setup: Setup { temp_c, ..Setup::default() },
        pieces: 40,
        per_closing: 1,
        load_s: 12,
        press_s: 15,
        open_wait_s: 20,
        unload_s: 5,
        cool_s,
        finish_s: 4,
        ..Batch::default()
    };
    let problem = Problem {
        presses: vec![press("left"), press("right")],
        people: vec![Person { name: "Ebb & Flow".into(), hours }],
        rack_places: 30,
        jobs: vec![job("tails <3", 36_000), job("sails", 36_000), job("flags", 29_500)],
        batches: vec![batch("tails", 0, 150, 60), batch("sails", 1, 150, 0), batch("flags", 2, 130, 0)],
        ..Problem::default()
    };
    let settings = Settings { effort: Effort(100), seed: Seed(1) };
    let found = solve(&problem, &settings, &mut Quiet).expect("a schedule").value;
    (problem, found)
}

fn picture() -> String {
    let (problem, found) = shop();
    let windows = timeline_windows(&found);
    assert_eq!(windows.len(), 1);
    let text = TimelineText {
        title: "Day",
        description: "Presses and people",
        clock: &|s| format!("{:02}:{:02}", s / 3600, s % 3600 / 60),
        temperature: &|c| format!("{c} °C"),
        due: "due",
        late: "late",
        now: "now",
        set_up: "set-up",
        cooling: "cooling",
        finishing: "packing",
    };
    timeline(&problem, &found, windows[0], &text)
}

#[test]
fn presses_people_temperatures_and_due_dates_are_named() {
    let svg = picture();
    for name in [">left<", ">right<", "Ebb &amp; Flow", "150 °C", "130 °C", "flags (late)", ">cooling<", "08:30"] {
        assert!(svg.contains(name), "{name} is missing");
    }
    assert!(!svg.contains("<3"), "names are escaped");
}

#[test]
fn the_table_tells_the_same_as_the_schedule() {
    let (problem, found) = shop();
    let rows = timeline_table(&problem, &found);
    assert_eq!(rows.len(), found.entries.len());
    assert_eq!(rows.iter().map(|r| r.pieces).sum::<u32>(), 120);
    for (row, entry) in rows.iter().zip(&found.entries) {
        assert_eq!((row.start_s, row.end_s, row.done_s), (entry.first_load_s(), entry.end_s(), entry.done_s()));
        assert_eq!(row.late, found.late_jobs.contains(&problem.batches[entry.batch].job));
    }
    assert!(rows.iter().any(|r| r.late && r.job == "flags"));
}
