//! Textbook cases with closed forms, posed through the front door.
//!
//! `data/closed-forms.json` holds for each case the formula, its source
//! (Carslaw & Jaeger; Incropera & DeWitt; section and chapter numbers from
//! memory), the inputs, and values evaluated in 30-digit arithmetic, with the
//! tolerance a numerical solution has to keep.

mod common;

use common::{layer, number, numbers, run};
use serde_json::{Value, json};

fn case(id: &str) -> Value {
    let all: Value = serde_json::from_str(include_str!("data/closed-forms.json")).expect("the case file is JSON");
    all["cases"].as_array().expect("cases").iter().find(|c| c["id"] == id).expect(id).clone()
}

fn body(inputs: &Value) -> [f64; 3] {
    [number(inputs, "k"), number(inputs, "rho"), number(inputs, "c")]
}

fn tolerance(case: &Value) -> f64 {
    number(&case["tolerance"], "numerical_K")
}

fn close(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: found {found:.4}, expected {expected:.4} ± {tolerance}");
}

/// One layer (or several) under a top boundary, insulated below, read at
/// depths from the top and at times.
fn depths(
    layers: &[Value],
    start_c: f64,
    [top, bottom]: [Value; 2],
    depths_m: &[f64],
    times_s: &[f64],
) -> Vec<Vec<f64>> {
    let probes: Vec<Value> = depths_m.iter().map(|x| json!({ "name": format!("{x}"), "depth_mm": x * 1e3 })).collect();
    let contacts = vec![Value::Null; layers.len() - 1];
    let end = times_s.last().expect("times");
    let history = run(&json!({ "start_c": start_c, "layers": layers, "contacts_w_m2k": contacts,
        "phases": [{ "name": "run", "duration_s": end, "top": top, "bottom": bottom }],
        "probes": probes, "times_s": times_s }));
    history["probes"].as_array().expect("probes").iter().map(|p| numbers(p, "values_c")).collect()
}

/// Checks every expected {x_m, t_s, T_C} of a case that has lists of both.
fn check_grid(id: &str, xs: &str, layers: &[Value], start_c: f64, bounds: [Value; 2], depth: impl Fn(f64) -> f64) {
    let case = case(id);
    let (x, t) = (numbers(&case["inputs"], xs), numbers(&case["inputs"], "t_s"));
    let found = depths(layers, start_c, bounds, &x.iter().map(|&x| depth(x)).collect::<Vec<_>>(), &t);
    let expected = case["expected"].as_array().expect("expected");
    assert!(!expected.is_empty());
    for row in expected {
        let (at_x, at_t) = (number(row, "x_m"), number(row, "t_s"));
        let i = x.iter().position(|&v| v == at_x).expect("x");
        let j = t.iter().position(|&v| v == at_t).expect("t");
        close(found[i][j], number(row, "T_C"), tolerance(&case), &format!("{id} x {at_x} t {at_t}"));
    }
}

fn insulated() -> Value {
    json!({ "kind": "insulated" })
}

#[test]
fn h01_half_space_with_a_held_face() {
    let inputs = case("H01")["inputs"].clone();
    let top = json!({ "kind": "held", "c": inputs["Ts"] });
    check_grid("H01", "x_m", &[layer("body", 40.0, body(&inputs))], number(&inputs, "Ti"), [top, insulated()], |x| x);
}

#[test]
fn h02_half_space_with_a_constant_flux() {
    let inputs = case("H02")["inputs"].clone();
    let top = json!({ "kind": "flux", "w_m2": inputs["q_W_m2"] });
    check_grid("H02", "x_m", &[layer("body", 25.0, body(&inputs))], number(&inputs, "Ti"), [top, insulated()], |x| x);
}

#[test]
fn h03_half_space_through_a_contact() {
    let inputs = case("H03")["inputs"].clone();
    let top = json!({ "kind": "contact", "w_m2k": inputs["h"], "to_c": inputs["Tinf"] });
    check_grid("H03", "x_m", &[layer("body", 20.0, body(&inputs))], number(&inputs, "Ti"), [top, insulated()], |x| x);
}

/// The joint of two half-spaces jumps to its temperature at once and stays.
#[test]
fn h04_two_bodies_in_perfect_contact() {
    let case = case("H04");
    let inputs = &case["inputs"];
    let body_of = |name: &str, mm: f64, start_c: f64| {
        let mut layer = layer(name, mm, body(&inputs[name]));
        layer["start_c"] = json!(start_c);
        layer
    };
    let joint = |upper: Value, lower: Value, probes: Value| {
        run(&json!({ "start_c": 22, "layers": [upper, lower], "contacts_w_m2k": [null],
            "phases": [{ "name": "touch", "duration_s": 1, "top": insulated(), "bottom": insulated() }],
            "probes": probes, "times_s": [0.2, 1.0] }))
    };
    let hot = number(inputs, "hot_PET_Ti");
    let pairs = [
        ("aluminium|PET", body_of("aluminium", 100.0, 150.0), body_of("PET", 12.0, 22.0)),
        ("aluminium|fabric", body_of("aluminium", 100.0, 150.0), body_of("fabric", 12.0, 22.0)),
        ("PET at 140 C|fabric at 22 C", body_of("PET", 12.0, hot), body_of("fabric", 12.0, 22.0)),
    ];
    for (name, upper, lower) in pairs {
        let thickness = number(&upper, "thickness_mm");
        let probes = json!([{ "name": "joint", "layer": 1 },
            { "name": "above", "depth_mm": thickness - 0.1 }, { "name": "below", "depth_mm": thickness + 0.2 }]);
        let history = joint(upper, lower, probes);
        let read = |probe: usize| numbers(&history["probes"][probe], "values_c");
        let rows: Vec<&Value> =
            case["expected"].as_array().expect("expected").iter().filter(|r| r["pair"] == name).collect();
        assert!(!rows.is_empty());
        for row in rows {
            match row["side"].as_str() {
                None => {
                    let expected = number(row, "T_interface_C");
                    read(0).iter().for_each(|&t| close(t, expected, tolerance(&case), name));
                }
                Some("fabric") => close(read(2)[1], number(row, "T_C"), tolerance(&case), "in the fabric"),
                Some(_) => close(read(1)[1], number(row, "T_C"), tolerance(&case), "in the film"),
            }
        }
    }
}

#[test]
fn h05_two_bodies_joined_by_a_conductance() {
    let case = case("H05");
    let inputs = &case["inputs"];
    let half = |name: &str| {
        let mut layer = layer(name, 15.0, body(&inputs[name]));
        layer["start_c"] = inputs[name]["Ti"].clone();
        layer
    };
    let rows = case["expected"].as_array().expect("expected");
    let times: Vec<f64> = rows.iter().map(|r| number(r, "t_s")).collect();
    let history = run(&json!({ "start_c": 22, "layers": [half("A"), half("B")], "contacts_w_m2k": [inputs["h"]],
        "phases": [{ "name": "touch", "duration_s": 5, "top": insulated(), "bottom": insulated() }],
        "probes": [{ "name": "A", "layer": 0, "at": "bottom" }, { "name": "B", "layer": 1 }], "times_s": times }));
    let (a, b) = (numbers(&history["probes"][0], "values_c"), numbers(&history["probes"][1], "values_c"));
    for (at, row) in rows.iter().enumerate() {
        close(a[at], number(row, "T_face_A_C"), tolerance(&case), "face A");
        close(b[at], number(row, "T_face_B_C"), tolerance(&case), "face B");
        let flux = number(inputs, "h") * (a[at] - b[at]);
        close(flux / number(row, "flux_W_m2"), 1.0, 0.01, "flux");
    }
}

#[test]
fn h06_slab_held_on_one_face() {
    let inputs = case("H06")["inputs"].clone();
    let thickness = number(&inputs, "L");
    let top = json!({ "kind": "held", "c": inputs["Ts"] });
    let slab = [layer("slab", thickness * 1e3, body(&inputs))];
    let start = number(&inputs, "Ti");
    check_grid("H06", "x_from_insulated_face_m", &slab, start, [top, insulated()], |x| thickness - x);
}

#[test]
fn h07_slab_with_both_faces_stepped() {
    let inputs = case("H07")["inputs"].clone();
    let held = |key: &str| json!({ "kind": "held", "c": inputs[key] });
    let slab = [layer("slab", number(&inputs, "L") * 1e3, body(&inputs))];
    check_grid("H07", "x_m", &slab, number(&inputs, "Ti"), [held("T1"), held("T2")], |x| x);
}

#[test]
fn h08_slab_cooled_on_both_faces() {
    let inputs = case("H08")["inputs"].clone();
    let air = json!({ "kind": "contact", "w_m2k": inputs["h"], "to_c": inputs["Tinf"] });
    let half = number(&inputs, "half_thickness_L");
    let slab = [layer("slab", 2e3 * half, body(&inputs))];
    check_grid("H08", "x_m", &slab, number(&inputs, "Ti"), [air.clone(), air], |x| half + x);
}

#[test]
fn h09_plate_giving_a_constant_flux() {
    let inputs = case("H09")["inputs"].clone();
    let thickness = number(&inputs, "L");
    let top = json!({ "kind": "flux", "w_m2": inputs["q_W_m2"] });
    let slab = [layer("plate", thickness * 1e3, body(&inputs))];
    let start = number(&inputs, "Ti");
    check_grid("H09", "x_from_insulated_face_m", &slab, start, [top, insulated()], |x| thickness - x);
}

/// A light stack is steady after a minute; the resistances are what counts.
#[test]
fn h10_steady_series() {
    let case = case("H10");
    let inputs = &case["inputs"];
    let rows = inputs["layers"].as_array().expect("layers");
    let is_contact = |row: &Value| row["L_m"].is_null();
    let conductance = |row: &Value| 1.0 / number(row, "R_m2K_W");
    let layers: Vec<Value> = rows
        .iter()
        .filter(|r| !is_contact(r))
        .map(|r| layer("", number(r, "L_m") * 1e3, [number(r, "L_m") / number(r, "R_m2K_W"), 1.0, 100.0]))
        .collect();
    let mut contacts = Vec::new();
    for pair in rows.windows(2).skip(1) {
        match (is_contact(&pair[0]), is_contact(&pair[1])) {
            (true, false) => contacts.push(json!(conductance(&pair[0]))),
            (false, false) => contacts.push(Value::Null),
            _ => {}
        }
    }
    // The first contact is the boundary's, and so is the last.
    assert_eq!(contacts.len(), layers.len() - 1, "{contacts:?}");
    let end = |row: &Value, c: &Value| json!({ "kind": "contact", "w_m2k": conductance(row), "to_c": c });
    let probes: Vec<Value> = (0..layers.len())
        .flat_map(|i| [json!({ "name": "top", "layer": i }), json!({ "name": "bottom", "layer": i, "at": "bottom" })])
        .collect();
    let history = run(&json!({ "start_c": 25, "layers": layers, "contacts_w_m2k": contacts, "probes": probes,
        "times_s": [300], "phases": [{ "name": "hold", "duration_s": 300, "top": end(&rows[0], &inputs["T_hot"]),
        "bottom": end(&rows[rows.len() - 1], &inputs["T_cold"]) }] }));
    let faces: Vec<f64> =
        history["probes"].as_array().expect("probes").iter().map(|p| numbers(p, "values_c")[0]).collect();
    let expected = case["expected"]["after_each"].as_array().expect("after_each");
    let (mut at, mut checked) = (0, 0);
    for (row, after) in rows.iter().zip(expected) {
        // After a contact comes the top of the next layer, after a layer its bottom.
        let found = if is_contact(row) { faces.get(2 * at) } else { faces.get(2 * at + 1) };
        at += usize::from(!is_contact(row));
        if let Some(&found) = found {
            close(found, number(after, "T_C"), tolerance(&case), "series");
            checked += 1;
        }
    }
    assert_eq!(checked, rows.len() - 1, "all but the cold end itself");
}

fn lump(per_area: f64) -> Value {
    layer("lump", 1.0, [1000.0, per_area, 1000.0])
}

#[test]
fn h11_lump_cooling_to_air() {
    let case = case("H11");
    let inputs = &case["inputs"];
    for row in case["expected"].as_array().expect("expected") {
        let side = json!({ "kind": "contact", "w_m2k": 0.5 * number(row, "h_total"), "to_c": inputs["Ta"] });
        let time = number(row, "t_s");
        let history = run(&json!({ "start_c": inputs["T0"], "layers": [lump(number(inputs, "mc_J_m2K"))],
            "phases": [{ "name": "cool", "duration_s": time, "top": side, "bottom": side }],
            "probes": [{ "name": "lump", "layer": 0, "at": "middle" }], "times_s": [time] }));
        let expected = row["T_target_C"].as_f64().unwrap_or_else(|| number(row, "T_C"));
        close(numbers(&history["probes"][0], "values_c")[0], expected, tolerance(&case), "lump in air");
    }
}

fn heated(power: f64, loss: &Value, to: &Value) -> Value {
    json!({ "kind": "heated", "w_m2": power, "loss_w_m2k": loss, "to_c": to })
}

/// Both the platen's own formula and a heated layer of the engine.
#[test]
fn h12_platen_with_constant_power() {
    let case = case("H12");
    let inputs = &case["inputs"];
    let plate = heat::platen::Lump {
        heat_capacity_j_k: number(inputs, "C_J_K"),
        loss_w_k: number(inputs, "UA_W_K"),
        room_c: number(inputs, "Ta"),
    };
    for row in case["expected"].as_array().expect("expected") {
        let power = number(row, "P_W");
        for (from, key) in [(140.0, "time_140_to_150_s"), (22.0, "time_22_to_150_s")] {
            let time = number(row, key);
            close(plate.time_to(from, 150.0, power).expect("reached"), time, 0.02, key);
            let history = run(&json!({ "start_c": from, "layers": [lump(plate.heat_capacity_j_k)],
                "phases": [{ "name": "heat", "duration_s": time, "top": heated(power, &inputs["UA_W_K"], &inputs["Ta"]),
                "bottom": insulated() }], "probes": [{ "name": "plate", "layer": 0 }], "times_s": [time] }));
            close(numbers(&history["probes"][0], "values_c")[0], 150.0, tolerance(&case), key);
        }
        close(plate.after(140.0, power, 60.0), number(row, "T_after_60s_from_140_C"), 0.01, "after 60 s");
    }
}

#[test]
fn h13_platen_and_work_as_two_lumps() {
    let case = case("H13");
    let inputs = &case["inputs"];
    let upper = |start: &Value| {
        let mut layer = lump(number(inputs, "C1_J_K"));
        layer["start_c"] = start.clone();
        layer
    };
    for row in case["expected"].as_array().expect("expected") {
        let time = number(row, "t_s");
        let top = heated(number(row, "heater_W"), &inputs["UA_W_K"], &inputs["Ta"]);
        let history = run(&json!({ "start_c": inputs["T_work0"], "contacts_w_m2k": [inputs["G_W_K"]],
            "layers": [upper(&inputs["T_platen0"]), lump(number(inputs, "C2_J_K"))],
            "phases": [{ "name": "press", "duration_s": time, "top": top, "bottom": insulated() }],
            "probes": [{ "name": "platen", "layer": 0, "at": "middle" }, { "name": "work", "layer": 1, "at": "middle" }],
            "times_s": [time] }));
        let read = |probe: usize| numbers(&history["probes"][probe], "values_c")[0];
        close(read(0), number(row, "T_platen_C"), tolerance(&case), "platen");
        close(read(1), number(row, "T_work_C"), tolerance(&case), "work");
    }
}

#[test]
fn h14_film_on_a_half_space() {
    let case = case("H14");
    let inputs = &case["inputs"];
    let film = &inputs["film"];
    let layers = [layer("film", number(film, "L") * 1e3, body(film)), layer("solid", 20.0, body(&inputs["solid"]))];
    let rows = case["expected"].as_array().expect("expected");
    let mut times: Vec<f64> = rows.iter().map(|r| number(r, "t_s")).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    let top = json!({ "kind": "held", "c": inputs["Ts"] });
    for row in rows {
        let depth = number(row, "x_m");
        let found = depths(&layers, number(inputs, "Ti"), [top.clone(), insulated()], &[depth], &times);
        let at = times.iter().position(|&t| t == number(row, "t_s")).expect("time");
        close(found[0][at], number(row, "T_C"), tolerance(&case), &format!("film x {depth}"));
    }
}

/// The front is where the water that is gone would have filled the layer.
#[test]
fn h15_drying_front() {
    let case = case("H15");
    let inputs = &case["inputs"];
    let thickness = 2.0;
    let water = number(inputs, "water_kg_m3") * thickness * 1e-3;
    for row in case["expected"]["front"].as_array().expect("front") {
        let mut wet = layer("wet", thickness, body(inputs));
        wet["water_kg_m2"] = json!(water);
        wet["drying_window_c"] = json!([100.0, 101.0]);
        wet["latent_j_kg"] = inputs["Lv_J_kg"].clone();
        wet["cells"] = json!(200);
        let history = run(&json!({ "start_c": inputs["Ti"], "layers": [wet],
            "phases": [{ "name": "dry", "duration_s": row["t_s"], "top": { "kind": "held", "c": inputs["Ts"] },
            "bottom": insulated() }] }));
        let left = numbers(&history, "water_left_kg_m2")[0];
        let front = (1.0 - left / water) * thickness;
        let expected = number(row, "front_mm");
        close(front / expected, 1.0, number(&case["tolerance"], "numerical_percent") / 100.0, "front");
    }
}

#[test]
fn h16_lump_with_a_latent_plateau() {
    let case = case("H16");
    let inputs = &case["inputs"];
    let mut wet = lump(number(inputs, "mc_J_m2K"));
    wet["water_kg_m2"] = inputs["water_kg_m2"].clone();
    wet["drying_window_c"] = json!([99.95, 100.05]);
    wet["latent_j_kg"] = inputs["Lv"].clone();
    let expected = &case["expected"];
    let near = number(&case["tolerance"], "numerical_s");
    let reach = number(expected, "t_reach_100_s");
    let leave = reach + number(expected, "plateau_s");
    let total = number(expected, "total_s");
    let around = |t: f64| [t - near, t + near];
    let times: Vec<f64> = [reach, leave, total].into_iter().flat_map(around).collect();
    let history = run(&json!({ "start_c": inputs["T0"], "layers": [wet],
        "phases": [{ "name": "press", "duration_s": 6, "bottom": insulated(),
        "top": { "kind": "contact", "w_m2k": inputs["h"], "to_c": inputs["Tp"] } }],
        "probes": [{ "name": "lump", "layer": 0, "at": "middle" }], "times_s": times }));
    let t = numbers(&history["probes"][0], "values_c");
    assert!(t[0] < 99.95 && t[1] >= 99.95, "reaches 100 °C: {t:?}");
    assert!(t[2] <= 100.05 && t[3] > 100.05, "leaves the plateau: {t:?}");
    let target = number(inputs, "T_target");
    assert!(t[4] < target && t[5] > target, "reaches the target: {t:?}");
}

/// T(t) = 150 − 128 exp(−t/4) over 15 s, sampled as a press samples it.
#[test]
fn h17_dose_of_a_known_history() {
    let case = case("H17");
    let (inputs, expected) = (&case["inputs"], &case["expected"]);
    let points: Vec<(f64, f64)> =
        (0..=300).map(|i| f64::from(i) * 0.05).map(|t| (t, 150.0 - 128.0 * (-t / 4.0).exp())).collect();
    let dose = |gate_c: f64| {
        let rule = heat::dose::DoseRule {
            gate_c,
            activation_j_mol: number(inputs, "Ea_J_mol"),
            reference_c: number(inputs, "Tref_K") - 273.15,
        };
        heat::platen::dose_of_readings(rule, &points)
    };
    let near = number(&case["tolerance"], "numerical_s");
    close(dose(110.0).0, number(expected, "time_above_110_s"), near, "above 110");
    close(dose(120.0).0, number(expected, "time_above_120_s"), near, "above 120");
    close(dose(0.0).1, number(expected, "D_equiv_s_at_130C"), near, "dose");
}
