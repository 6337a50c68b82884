//! The schedule by itself through the front door: run, checked, planned again.

use serde_json::{Value, json};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn bondline(home: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_bondline")).current_dir(home).args(args).output().expect("the program runs")
}

fn text(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn words(output: &Output) -> String {
    text(output) + &String::from_utf8_lossy(&output.stderr)
}

/// The example of the page that teaches the form.
fn example() -> (String, String) {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/schedule.md");
    let page = fs::read_to_string(page).expect("the page");
    let mut blocks =
        page.split("```json\n").skip(1).map(|rest| rest.split("```").next().unwrap_or_default().to_owned());
    (blocks.next().expect("a problem"), blocks.next().expect("events"))
}

#[test]
fn the_page_on_schedules_is_true() {
    let home = tempfile::tempdir().expect("a folder");
    let (problem, events) = example();
    let write = |name: &str, text: &str| fs::write(home.path().join(name), text).expect("written");
    write("problem.json", &problem);
    let found = bondline(home.path(), &["schedule", "run", "problem.json", "--effort", "50", "--picture", "work.svg"]);
    assert_eq!(found.status.code(), Some(0), "{}", words(&found));
    write("schedule.json", &text(&found));
    assert!(fs::read_to_string(home.path().join("work.svg")).expect("a picture").contains("left"));
    let again = bondline(home.path(), &["schedule", "run", "problem.json", "--effort", "50"]);
    assert_eq!(text(&found), text(&again), "the same bytes");
    let checked = bondline(home.path(), &["schedule", "check", "problem.json", "schedule.json"]);
    assert_eq!(checked.status.code(), Some(0), "{}", words(&checked));

    // What happened, at a moment at which work is going on.
    let schedule: Value = serde_json::from_str(&text(&found)).expect("JSON");
    let second = schedule["entries"][0]["closings"][1]["unload_s"][1].as_i64().expect("a second");
    let mut happened: Value = serde_json::from_str(&events).expect("JSON");
    happened["now_s"] = json!(second);
    happened["events"][0]["from_s"] = json!(second);
    happened["events"][0]["until_s"] = json!(second + 3600);
    write("events.json", &happened.to_string());
    let left = bondline(home.path(), &["schedule", "replan", "problem.json", "schedule.json", "events.json"]);
    assert!(matches!(left.status.code(), Some(0 | 1)), "{}", words(&left));
    write("left.json", &text(&left));
    let new = bondline(home.path(), &["schedule", "run", "left.json", "--effort", "50"]);
    assert!(matches!(new.status.code(), Some(0 | 1)), "{}", words(&new));
    write("new.json", &text(&new));
    let checked = bondline(home.path(), &["schedule", "check", "left.json", "new.json"]);
    assert_eq!(checked.status.code(), Some(0), "{}", words(&checked));
    assert!(text(&new).contains("\"kept\": true"));

    // A schedule of another problem, and a file that is none.
    let wrong = bondline(home.path(), &["schedule", "check", "left.json", "schedule.json"]);
    assert_eq!(wrong.status.code(), Some(1), "{}", words(&wrong));
    write("none.json", "{ \"presses\": 7 }");
    let none = bondline(home.path(), &["schedule", "run", "none.json"]);
    assert_eq!(none.status.code(), Some(2), "{}", words(&none));
    assert!(words(&none).contains("presses"), "{}", words(&none));
}

#[test]
fn the_schema_names_all_four_forms() {
    let home = tempfile::tempdir().expect("a folder");
    let schema: Value = serde_json::from_str(&text(&bondline(home.path(), &["schema", "schedule"]))).expect("JSON");
    for name in ["problem", "schedule", "verdict", "events"] {
        assert!(schema[name]["$schema"].is_string(), "{name}");
    }
}
