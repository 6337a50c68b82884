//! Stacks against a general-purpose ODE solver.
//!
//! `data/lines.json` is written by `outside/lines.py`: method of lines with
//! SciPy's Radau method, two grids extrapolated; it shares nothing with this
//! room. Each joint's lower face has to agree within 0.05 K plus the doubt of
//! the reference.

mod common;

use common::{number, numbers, run};
use serde_json::{Value, json};

#[test]
fn agrees_with_the_method_of_lines() {
    let all: Value = serde_json::from_str(include_str!("data/lines.json")).expect("the case file is JSON");
    let cases = all["cases"].as_array().expect("cases");
    assert!(cases.len() >= 6);
    for case in cases {
        let name = case["name"].as_str().expect("a name");
        let layers: Vec<Value> = case["layers"].as_array().expect("layers").iter().map(posed).collect();
        let times = numbers(case, "times_s");
        let probes: Vec<Value> = (1..layers.len()).map(|i| json!({ "name": "joint", "layer": i })).collect();
        let history = run(&json!({ "start_c": 22, "layers": layers, "contacts_w_m2k": case["contacts_w_m2k"],
            "phases": [{ "name": "run", "duration_s": times[times.len() - 1], "top": case["top"], "bottom": case["bottom"] }],
            "probes": probes, "times_s": times }));
        let near = 0.05 + number(case, "doubt_k");
        for (probe, row) in case["lower_face_of_each_joint_c"].as_array().expect("joints").iter().enumerate() {
            let found = numbers(&history["probes"][probe], "values_c");
            for (at, expected) in row.as_array().expect("times").iter().enumerate() {
                let expected = expected.as_f64().expect("a number");
                let gap = (found[at] - expected).abs();
                assert!(gap <= near, "{name}, joint {probe}, {} s: {} against {expected}", times[at], found[at]);
            }
        }
    }
}

fn posed(layer: &Value) -> Value {
    let values = numbers(layer, "values");
    let mut posed = common::layer("", number(layer, "thickness_mm"), [values[0], values[1], values[2]]);
    posed["start_c"] = layer["start_c"].clone();
    posed
}
