//! Bad input through the front door: the field and the limit are named, and
//! nothing hangs.

use heat::form::{self, Fault};
use heat::limits;
use serde_json::{Value, json};

fn example(name: &str) -> Value {
    serde_json::from_str(form::example(name).expect(name)).expect("the example is JSON")
}

fn answer(name: &str, text: &str) -> Result<String, form::FormError> {
    match name {
        "run" => form::run(text),
        "dwell" => form::dwell(text),
        "window" => form::window(text),
        "cool" => form::cool(text),
        "platen" => form::platen(text),
        "calibrate" => form::calibrate(text),
        other => panic!("{other}"),
    }
}

/// Every example runs, every schema is JSON and knows the example's keys.
#[test]
fn examples_run_and_schemas_know_their_keys() {
    for name in form::NAMES {
        let text = form::example(name).expect(name);
        let answered = answer(name, text).unwrap_or_else(|refusal| panic!("{name}: {refusal}"));
        assert!(serde_json::from_str::<Value>(&answered).expect("JSON").is_object());
        let schema: Value = serde_json::from_str(&form::schema(name).expect(name)).expect("JSON");
        for key in example(name).as_object().expect("an object").keys() {
            assert!(!schema["properties"][key].is_null(), "{name}: {key} is not in the schema");
        }
        assert_eq!(schema["additionalProperties"], json!(false), "{name}");
    }
    assert!(form::schema("other").is_none() && form::example("other").is_none());
}

/// (where, value, path named in the refusal, words it must hold).
#[test]
fn numbers_outside_their_range_are_named_with_the_limit() {
    let cases: [(&str, Value, &str); 17] = [
        ("/layers/0/thickness_mm", json!(0.0), "layers[0].thickness_mm"),
        ("/layers/0/thickness_mm", json!(-0.1), "layers[0].thickness_mm"),
        ("/layers/1/conductivity_w_mk", json!(1e9), "layers[1].conductivity_w_mk"),
        ("/layers/1/density_kg_m3", json!(0.0), "layers[1].density_kg_m3"),
        ("/layers/1/heat_capacity_j_kgk", json!(-5), "layers[1].heat_capacity_j_kgk"),
        ("/layers/1/water_kg_m2", json!(-1), "layers[1].water_kg_m2"),
        ("/layers", json!([]), "layers"),
        ("/phases", json!([]), "phases"),
        ("/phases/0/duration_s", json!(0), "phases[0].duration_s"),
        ("/phases/1/duration_s", json!(604_800), "phases[1].duration_s"),
        ("/phases/0/top/w_m2k", json!(0), "phases[0].top.w_m2k"),
        ("/phases/0/top/to_c", json!([[5, 100], [2, 120]]), "phases[0].top.to_c[1] (time)"),
        ("/phases/1/remove_top_layers", json!(7), "phases[1].remove_top_layers"),
        ("/contacts_w_m2k", json!([1500, 20]), "contacts_w_m2k"),
        ("/times_s", json!([5, 1]), "times_s[1]"),
        ("/probes/0/layer", json!(9), "probes[0].layer"),
        ("/start_c", json!(-500), "start_c"),
    ];
    for (pointer, value, path) in cases {
        let mut case = example("run");
        match case.pointer_mut(pointer) {
            Some(place) => *place = value,
            None => panic!("{pointer}"),
        }
        let text = serde_json::to_string_pretty(&case).expect("text");
        let refusal = form::run(&text).expect_err(pointer);
        assert_eq!(refusal.path, path, "{refusal}");
        assert!(matches!(refusal.fault, Fault::Value(_)), "{refusal:?}");
    }
}

#[test]
fn a_refusal_reads_well() {
    let mut case = example("run");
    case["layers"][1]["thickness_mm"] = json!(-0.38);
    let text = serde_json::to_string_pretty(&case).expect("text");
    let line = 1 + text.lines().position(|l| l.contains("-0.38")).expect("there");
    assert_eq!(
        form::run(&text).expect_err("refused").to_string(),
        format!("line {line}: layers[1].thickness_mm is -0.38 mm; it must lie between 0.0001 and 1000 mm")
    );
}

#[test]
fn a_mistyped_key_is_answered_with_the_likely_one() {
    let text = form::example("run").expect("run").replacen("conductivity_w_mk", "conductivty_w_mk", 1);
    let refusal = form::run(&text).expect_err("refused");
    assert_eq!(
        refusal.to_string(),
        "line 5: layers[0] has no key \"conductivty_w_mk\"; did you mean \"conductivity_w_mk\"?"
    );
    let text = form::example("dwell").expect("dwell").replacen("\"recipe\"", "\"receipt\"", 1);
    assert!(form::dwell(&text).expect_err("refused").to_string().contains("\"receipt\""));
}

#[test]
fn what_is_no_number_or_no_form_is_refused() {
    for text in ["", "{", "[]", "null", "{\"start_c\": NaN}", "{\"start_c\": 1e999}", "\u{0}", "{\"version\": 1}"] {
        assert!(form::run(text).is_err(), "{text}");
    }
    let mut case = example("run");
    case["version"] = json!(2);
    assert!(matches!(form::run(&case.to_string()).expect_err("refused").fault, Fault::Version { version: 2 }));
    let deep = "[".repeat(100_000);
    assert!(form::run(&deep).is_err());
    let long = " ".repeat(5_000_000);
    assert!(matches!(form::run(&long).expect_err("refused").fault, Fault::TooLong { .. }));
}

#[test]
fn ten_thousand_layers_and_endless_work_are_refused_at_once() {
    let start = std::time::Instant::now();
    let mut case = example("run");
    let layer = case["layers"][0].clone();
    case["layers"] = json!(vec![layer.clone(); 10_000]);
    case["contacts_w_m2k"] = json!(vec![Value::Null; 9_999]);
    assert!(form::run(&case.to_string()).is_err());
    case["layers"] = json!(vec![layer; limits::LAYERS]);
    case["contacts_w_m2k"] = json!(vec![Value::Null; limits::LAYERS - 1]);
    case["probes"] = json!([]);
    case["dose"] = Value::Null;
    case["phases"] = json!(vec![case["phases"][1].clone(); 200]);
    case["pace"] = json!({ "step_s": 0.00001 });
    let refusal = form::run(&case.to_string()).expect_err("refused");
    assert!(refusal.to_string().contains("cell steps"), "{refusal}");
    assert!(start.elapsed().as_secs() < 20);
}

#[test]
fn the_other_forms_name_their_fields_too() {
    let cases: [(&str, &str, Value, &str); 9] = [
        ("dwell", "/recipe/dwell_s", json!(0), "reference.dwell_s"),
        ("dwell", "/work/cloth/0/compressed_mm", json!(0.2), "cloth packing"),
        ("dwell", "/doubt/samples", json!(1_000_000), "samples"),
        ("window", "/recipe/platen_c", json!(1000), "recipe.platen_c"),
        ("cool", "/press/dwell_s", json!(100_000), "press.dwell_s"),
        ("cool", "/ways", json!([{ "piled": 1_000 }]), "pieces"),
        ("platen", "/presses", json!(1_000_000), "presses"),
        ("platen", "/plate/width_mm", json!(-1), "plate.width_mm"),
        ("calibrate", "/readings/0/not_c", json!(100), "readings[0].not_c"),
    ];
    for (name, pointer, value, path) in cases {
        let mut case = example(name);
        *case.pointer_mut(pointer).expect(pointer) = value;
        let refusal = answer(name, &case.to_string()).expect_err(pointer);
        assert!(refusal.path.starts_with(path), "{name} {pointer}: {refusal}");
    }
}

/// The answer's heat adds up and its numbers are those the example promises.
#[test]
fn the_example_of_a_run_answers_sensibly() {
    let answer: Value =
        serde_json::from_str(&form::run(form::example("run").expect("run")).expect("runs")).expect("JSON");
    assert!(answer["balance_error"].as_f64().expect("a number") < 1e-9);
    assert!(answer["dose"]["above_gate_s"].as_f64().expect("a number") > 10.0);
    let heat = |key: &str| answer["heat_j_m2"][key].as_f64().expect("a number");
    assert!((heat("in") - heat("stored") - heat("drying") - heat("out")).abs() < 1e-3 * heat("in"));
}

/// A small generator, so that the damage is the same on every machine.
fn next(state: &mut u64) -> usize {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    (*state >> 8) as usize
}

/// Damaged examples are answered or refused; none panics or hangs.
#[test]
fn damaged_examples_never_panic() {
    let mut state = 0x9E37_79B9_7F4A_7C15;
    let scraps = ["-", "0", "9", "e9", "1e308", "null", "[", "]", "{}", "\"", ",", "-1e-320", "\u{e9}"];
    let (mut answered, mut refused) = (0, 0);
    for name in ["run", "cool", "calibrate", "platen", "window"] {
        for _ in 0..120 {
            let mut text = form::example(name).expect(name).to_owned();
            for _ in 0..1 + next(&mut state) % 3 {
                // Every other blow hits a digit and leaves the form whole.
                let digits: Vec<usize> = text.match_indices(|c: char| c.is_ascii_digit()).map(|d| d.0).collect();
                let whole = next(&mut state).is_multiple_of(2) && !digits.is_empty();
                let at = if whole { digits[next(&mut state) % digits.len()] } else { next(&mut state) % text.len() };
                let end = if whole { at + 1 } else { (at + next(&mut state) % 4).min(text.len()) };
                let scrap = if whole {
                    ["0", "3", "9", "99", "0.5", "1e5"][next(&mut state) % 6]
                } else {
                    scraps[next(&mut state) % scraps.len()]
                };
                if text.is_char_boundary(at) && text.is_char_boundary(end) {
                    text.replace_range(at..end, scrap);
                }
            }
            match answer(name, &text) {
                Ok(_) => answered += 1,
                Err(refusal) => {
                    assert!(!refusal.to_string().is_empty());
                    refused += 1;
                }
            }
        }
    }
    assert!(answered > 10 && refused > 100, "{answered} answered, {refused} refused");
}
