//! Draws the timeline of an invented festival week, one file a day.
//!
//! `cargo run --release -p drawing --example timeline OUT-FOLDER`
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a look at a picture, run by hand")]

#[path = "../../schedule/tests/common/mod.rs"]
mod common;

use drawing::{TimelineText, timeline, timeline_table, timeline_windows};
use report::{Effort, Quiet, Seed};
use schedule::{Settings, solve};

fn main() {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".into());
    let mut problem = common::festival(5, 9, 260, 2, 2);
    problem.jobs[3].due_s = 9 * 3600;
    problem.jobs[4].due_s = 14 * 3600 + 1800;
    for batch in &mut problem.batches {
        batch.open_wait_s = 20;
    }
    let found = solve(&problem, &Settings { effort: Effort(600), seed: Seed(1) }, &mut Quiet).unwrap().value;
    let text = TimelineText {
        title: "Timeline",
        description: "Presses and people, with batches, set-ups, cooling and due dates",
        clock: &|s| format!("{:02}:{:02}", s.rem_euclid(86_400) / 3600, s.rem_euclid(3600) / 60),
        temperature: &|c| format!("{c} °C"),
        due: "due",
        late: "late",
        now: "now",
        set_up: "set-up",
        cooling: "cooling",
        finishing: "peeling and packing",
    };
    for (at, window) in timeline_windows(&found).into_iter().enumerate() {
        std::fs::write(format!("{folder}/day-{}.svg", at + 1), timeline(&problem, &found, window, &text)).unwrap();
    }
    for row in timeline_table(&problem, &found) {
        println!("{row:?}");
    }
}
