//! The JSON forms: nothing is lost on the way, what does not hold is refused or found out.

mod common;

use common::{festival, odd};
use report::{Effort, FormError, Quiet, Seed};
use schedule::form;
use schedule::{Problem, Settings, solve};
use serde_json::{Value, json};

const SETTINGS: Settings = Settings { effort: Effort(60), seed: Seed(3) };

/// A day's work of two prints on one garment, as a person would write it.
fn small() -> Value {
    json!({
        "presses": [{ "id": "left", "on_s": [[0, 30000]], "warm_up_s": 600, "standby_w": 400, "heating_w": 1800 }],
        "people": [{ "id": "Ebb", "hours_s": [[0, 14400], [16200, 30000]] }],
        "rack_places": 8,
        "jobs": [{ "id": "kites", "due_s": 20000 }],
        "batches": [
            { "id": "front", "job": "kites", "presses": ["left"], "temp_c": 150, "pieces": 5, "load_s": 12, "press_s": 15 },
            { "id": "back", "job": "kites", "presses": ["left"], "temp_c": 150, "pieces": 5, "load_s": 12, "press_s": 15,
              "cool_s": 60, "finish_s": 5, "after": [{ "batch": "front" }] }
        ]
    })
}

fn schema_of(name: &str) -> Value {
    let all: Value = serde_json::from_str(&form::schema()).expect("JSON");
    all[name].clone()
}

/// Keys of an object in a schema, by hand: every key written must be one of them.
fn keys_are_known(schema: &Value, value: &Value) {
    let known = schema["properties"].as_object().expect("properties");
    for key in value.as_object().expect("an object").keys() {
        assert!(known.contains_key(key), "{key} is not in the schema");
    }
}

#[test]
fn a_problem_and_its_schedule_come_back_as_they_went() {
    for seed in 0..40 {
        let problem = if seed % 4 == 0 { festival(seed, 4, 40, 2, 2) } else { odd(seed) };
        let text = form::write_problem(&problem);
        assert_eq!(form::read_problem(&text).as_ref(), Ok(&problem), "{seed}");
        let found = solve(&problem, &SETTINGS, &mut Quiet).expect("a schedule");
        let written = form::write_schedule(&problem, &found.value, &found.findings);
        assert_eq!(form::read_schedule(&problem, &written).as_ref(), Ok(&found.value), "{seed}");
        let (verdict, good) = form::check(&text, &written).expect("read");
        assert!(good, "{verdict}");
        keys_are_known(&schema_of("problem"), &serde_json::from_str(&text).expect("JSON"));
        keys_are_known(&schema_of("schedule"), &serde_json::from_str(&written).expect("JSON"));
    }
}

/// Batches of one print may bear one name; their ids are told apart.
#[test]
fn equal_names_become_different_ids() {
    let mut problem = festival(5, 3, 30, 1, 1);
    problem.batches.iter_mut().for_each(|batch| batch.name = "1.1.1".into());
    let read = form::read_problem(&form::write_problem(&problem)).expect("read");
    let names: std::collections::BTreeSet<&str> = read.batches.iter().map(|batch| batch.name.as_str()).collect();
    assert_eq!(names.len(), problem.batches.len());
    let nameless = |problem: &Problem| {
        let mut problem = problem.clone();
        problem.batches.iter_mut().for_each(|batch| batch.name.clear());
        problem
    };
    assert_eq!(nameless(&read), nameless(&problem));
}

#[test]
fn a_schedule_that_was_tampered_with_is_found_out() {
    let problem = small().to_string();
    let schedule = form::run(&problem, &SETTINGS, &mut Quiet).expect("a schedule");
    assert!(form::check(&problem, &schedule).expect("read").1);
    let mut other: Value = serde_json::from_str(&schedule).expect("JSON");
    let first = &mut other["entries"][0]["closings"][0]["load_s"];
    *first = json!([first[0].as_i64().expect("a second") - 1, first[1].as_i64().expect("a second")]);
    let (verdict, good) = form::check(&problem, &other.to_string()).expect("read");
    assert!(!good);
    let verdict: Value = serde_json::from_str(&verdict).expect("JSON");
    assert!(verdict["faults"].as_array().is_some_and(|faults| !faults.is_empty()), "{verdict}");
}

/// Re-planned when the press fails for an hour and one piece is spoiled: what was begun
/// stays, the spoiled piece is pressed again, and nothing is pressed while the press is off.
#[test]
fn what_was_done_is_kept_when_a_press_fails() {
    let problem = small().to_string();
    let schedule = form::run(&problem, &SETTINGS, &mut Quiet).expect("a schedule");
    let begun: Value = serde_json::from_str(&schedule).expect("JSON");
    let third = begun["entries"][0]["closings"][2]["load_s"][1].as_i64().expect("a second");
    let events = json!({
        "now_s": third + 100,
        "events": [
            { "kind": "press-fails", "press": "left", "from_s": third + 100, "until_s": third + 3700 },
            { "kind": "pieces-spoiled", "batch": "front", "pieces": 1 }
        ]
    });
    let (left, _) = form::replan(&problem, &schedule, &events.to_string()).expect("a problem");
    let again = form::run(&left, &SETTINGS, &mut Quiet).expect("a schedule");
    assert!(form::check(&left, &again).expect("read").1);
    let again: Value = serde_json::from_str(&again).expect("JSON");
    let entries = again["entries"].as_array().expect("entries");
    let kept: u64 = entries
        .iter()
        .filter(|entry| entry["kept"] == json!(true))
        .flat_map(|entry| entry["closings"].as_array().expect("closings").clone())
        .map(|closing| closing["pieces"].as_u64().expect("a count"))
        .sum();
    assert!(kept >= 3, "{kept} kept");
    let pressed = |batch: &str| -> u64 {
        let own = entries.iter().filter(|entry| entry["batch"] == json!(batch));
        own.flat_map(|entry| entry["closings"].as_array().expect("closings").clone())
            .map(|closing| closing["pieces"].as_u64().expect("a count"))
            .sum()
    };
    assert!(pressed("front") >= 6 && pressed("back") == 5, "{} {}", pressed("front"), pressed("back"));
    for closing in entries.iter().flat_map(|entry| entry["closings"].as_array().expect("closings")) {
        let at = closing["press_s"][0].as_i64().expect("a second");
        assert!(at < third + 100 || at >= third + 3700, "pressed at {at} while the press was off");
    }
}

/// What is wrong, and words of where and how it is told.
#[test]
fn what_does_not_fit_is_refused_with_its_place() {
    type Spoil = fn(&mut Value);
    let cases: [(&str, Spoil); 9] = [
        ("batches[0].job", |p| p["batches"][0]["job"] = json!("tails")),
        ("batches[1].presses", |p| p["batches"][1]["presses"] = json!(["right"])),
        ("batches[1].id", |p| p["batches"][1]["id"] = json!("front")),
        ("batches[1].after", |p| p["batches"][1]["after"] = json!([{ "batch": "side" }])),
        ("dwell_s", |p| p["batches"][0]["dwell_s"] = json!(15)),
        ("version", |p| p["version"] = json!(9)),
        ("schedule.out-of-range", |p| p["batches"][0]["pieces"] = json!(0)),
        ("schedule.out-of-range", |p| p["batches"][0]["release_s"] = json!(i64::MAX)),
        ("schedule.no-people", |p| p["people"] = json!([])),
    ];
    for (told, spoil) in cases {
        let mut problem = small();
        spoil(&mut problem);
        let refused = form::run(&problem.to_string(), &SETTINGS, &mut Quiet).expect_err(told).to_string();
        assert!(refused.contains(told), "{told}: {refused}");
    }
    let schedule = form::run(&small().to_string(), &SETTINGS, &mut Quiet).expect("a schedule");
    for (told, spoiled) in [
        ("entries[0].closings[0].load_s", schedule.replacen("\"load_s\": [", "\"load_s\": [9000000000000000000,", 1)),
        ("there is no batch", schedule.replacen("\"batch\": \"front\"", "\"batch\": \"side\"", 1)),
    ] {
        let refused = form::check(&small().to_string(), &spoiled).expect_err(told);
        assert!(matches!(&refused, FormError::Form { .. }), "{refused}");
        assert!(refused.to_string().contains(told), "{told}: {refused}");
    }
}

/// Numbers far out, in any place, are refused or found out; none is reckoned with until it wraps.
#[test]
fn huge_numbers_never_wrap() {
    let problem = small().to_string();
    let schedule = form::run(&problem, &SETTINGS, &mut Quiet).expect("a schedule");
    let whole: Value = serde_json::from_str(&schedule).expect("JSON");
    let mut tried = 0;
    for (nth, _) in schedule.match_indices(": ").enumerate() {
        for huge in ["9223372036854775807", "-9223372036854775808", "4294967295", "1000000000"] {
            let mut parts = schedule.splitn(nth + 2, ": ");
            let head: Vec<&str> = parts.by_ref().take(nth + 1).collect();
            let Some(tail) = parts.next() else { continue };
            let digits = tail.chars().take_while(|c| c.is_ascii_digit() || *c == '-').count();
            if digits == 0 {
                continue;
            }
            let spoiled = format!("{}: {huge}{}", head.join(": "), &tail[digits..]);
            if let Ok((_, good)) = form::check(&problem, &spoiled) {
                let same = serde_json::from_str::<Value>(&spoiled).expect("JSON") == whole;
                let said = &head[nth]
                    [head[nth].rfind('"').map_or(0, |end| head[nth][..end].rfind('"').map_or(0, |start| start + 1))..];
                let free = ["evaluations\"", "hands_s\"", "cost_minor\""].contains(&said)
                    || whole["bound"].to_string().contains(said);
                assert!(!good || same || free, "{said} = {huge} was not noticed");
            }
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried}");
}
