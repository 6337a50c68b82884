//! Eight whole stacks against a second implementation of the same equations.
//!
//! `data/full-stacks.json` is the converged output of that implementation. It
//! is not measured truth: agreement shows that two programs solve one model
//! alike, no more.

use heat::boundary::{Boundary, Facing};
use heat::case::{Case, Change, DoseAt, NewBottom, Phase, Place, Probe, run};
use heat::dose::DoseRule;
use heat::layer::{Layer, Mesh, Stack, Water};
use heat::pace::Pace;
use heat::properties::WOOD;
use serde_json::Value;

fn cases() -> Vec<Value> {
    let all: Value = serde_json::from_str(include_str!("data/full-stacks.json")).expect("the case file is JSON");
    all["cases"].as_array().expect("cases").clone()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().expect(key)
}

/// The press's own cells for each part.
fn mesh(name: &str) -> Mesh {
    match name {
        "pet" | "cover" => Mesh::Even(5),
        "film" | "adh" => Mesh::Even(4),
        "fabric" => Mesh::Even(20),
        "pillow" => Mesh::FromTop { cells: 24, growth: 1.1 },
        _ => Mesh::FromTop { cells: 26, growth: 1.1 },
    }
}

fn layer(row: &Value) -> Layer {
    let name = row["name"].as_str().expect("name");
    let thickness = number(row, "thickness_m");
    let values = [number(row, "k_W_mK"), number(row, "rho_kg_m3"), number(row, "c_J_kgK")];
    let mut layer = Layer::dry(name, thickness * 1e3, values).cut(mesh(name)).starting_at(number(row, "T0_C"));
    let water = number(row, "water_kg_m3") * thickness;
    if water > 0.0 {
        let window = row["desorption_window_C"].as_array().expect("window");
        layer.water = Some(Water {
            kg_m2: water,
            latent_j_kg: number(row, "desorption_heat_J_kg"),
            window_c: (window[0].as_f64().expect("low"), window[1].as_f64().expect("high")),
        });
    }
    layer
}

fn pose(case: &Value, pace: Pace) -> (Case, usize, usize) {
    let rows = case["layers_top_to_bottom"].as_array().expect("layers");
    let layers: Vec<Layer> = rows.iter().map(layer).collect();
    let contacts = rows[..rows.len() - 1].iter().map(|r| r["conductance_to_layer_below_W_m2K"].as_f64()).collect();
    let find = |name: &str| rows.iter().position(|r| r["name"] == name).expect(name);
    let (adhesive, fabric) = (find("adh"), find("fabric"));
    let covered = usize::from(rows[0]["name"] == "cover");
    let dwell = number(case, "dwell_s");
    let bottom = Boundary::contact(number(case, "pad_to_base_conductance"), number(case, "base_C"));
    let press = Phase {
        name: "press".into(),
        duration_s: dwell,
        top: Boundary::contact(number(case, "platen_to_top_conductance"), number(case, "platen_C")),
        bottom,
        change: Change::default(),
        pressed: true,
    };
    let table =
        Layer::dry("table", 18.0, WOOD.values()).cut(Mesh::FromTop { cells: 40, growth: 1.1 }).starting_at(22.0);
    let cool = Phase {
        name: "cool".into(),
        duration_s: 150.0,
        top: Boundary::air(22.0, Facing::Up),
        bottom: Boundary::contact(8.0, 22.0),
        change: Change {
            remove_top: covered,
            replace_bottom: Some(NewBottom {
                keep: fabric + 1 - covered,
                layers: vec![table],
                contacts: vec![Some(60.0)],
            }),
            add_top: None,
        },
        pressed: false,
    };
    let probe = |name: &str, place: Place| Probe { name: name.into(), place };
    let times = std::iter::once(dwell).chain((1..=1500).map(|i| dwell + f64::from(i) * 0.1)).collect();
    let case = Case {
        stack: Stack::new(layers, contacts).expect("a stack"),
        start_c: 22.0,
        phases: vec![press, cool],
        probes: vec![
            probe("bond", Place::Bottom(adhesive)),
            probe("face", Place::Top(fabric)),
            probe("back", Place::Bottom(fabric)),
        ],
        times_s: times,
        dose: Some(DoseAt { place: Place::Bottom(adhesive), rule: DoseRule::gated_at(90.0) }),
        pace,
    };
    (case, adhesive, fabric)
}

fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: found {found:.3}, expected {expected:.3} ± {tolerance}");
}

#[test]
fn agrees_with_a_second_implementation() {
    let cases = cases();
    assert_eq!(cases.len(), 8);
    for case in &cases {
        let id = case["id"].as_str().expect("id");
        let expected = &case["prototype_output"];
        let (posed, adhesive, fabric) = pose(case, Pace::Press);
        let history = run(&posed).expect(id);
        let read = |probe: usize, at: usize| history.probes[probe].values_c[at].expect("there");
        near(read(0, 0), number(expected, "bond_end_C"), 0.3, &format!("{id} bond"));
        near(history.probes[1].peak_c, number(expected, "fabric_face_peak_C"), 0.3, &format!("{id} face"));
        near(read(2, 0), number(expected, "fabric_back_end_C"), 0.3, &format!("{id} back"));
        let dose = history.dose.expect("a dose").1;
        let expected_dose = number(expected, "dose_adhesive_side_equiv_s_at_130C");
        near(dose / expected_dose, 1.0, 0.02, &format!("{id} dose"));
        let mut pressed = posed.clone();
        pressed.phases.truncate(1);
        pressed.times_s.clear();
        for (gate, key) in [(110.0, "time_bond_ge_110_s"), (120.0, "time_bond_ge_120_s")] {
            pressed.dose = Some(DoseAt { place: Place::Bottom(adhesive), rule: DoseRule::gated_at(gate) });
            let above = run(&pressed).expect(id).dose.expect("a dose").0;
            near(above, number(expected, key), 0.05, &format!("{id} {key}"));
        }
        let heat = run(&pressed).expect(id);
        near(heat.heat.top / number(expected, "heat_from_platen_kJ_m2") / 1e3, 1.0, 0.003, &format!("{id} heat"));
        if let Some(left) = expected["water_left_fraction"].as_f64() {
            let held = posed.stack.layers()[fabric].water.expect("water").kg_m2;
            let found = heat.water_left_kg_m2[fabric].expect("there") / held;
            near(found, left, 0.003, &format!("{id} water"));
        }
        for (target, key) in [(60.0, "60"), (40.0, "40"), (30.0, "30")] {
            let at = history.probes[0].values_c.iter().position(|t| t.is_some_and(|t| t <= target)).expect("cools");
            let seconds = history.times_s[at] - history.times_s[0];
            near(seconds, number(&expected["cool_on_table_s"], key), 1.5, &format!("{id} cools to {key}"));
        }
        assert!(history.heat.imbalance() < 1e-6, "{id}: {:?}", history.heat);
    }
}

/// Backward Euler is of first order in the step; finite volumes of second in the cell.
#[test]
fn refines_with_the_expected_order() {
    let case = &cases()[3]; // oven dry: no drying window between the orders
    let bond = |pace: Pace, finer: usize| {
        let (mut posed, _, _) = pose(case, pace);
        posed.phases.truncate(1);
        posed.phases[0].duration_s = 5.0;
        posed.times_s = vec![5.0];
        posed.dose = None;
        let layers = posed.stack.layers().iter().map(|l| {
            let mesh = match l.mesh {
                Mesh::Even(cells) => Mesh::Even(cells * finer),
                Mesh::FromTop { cells, growth } => {
                    Mesh::FromTop { cells: cells * finer, growth: growth.powf(1.0 / finer as f64) }
                }
                Mesh::Auto => Mesh::Auto,
            };
            l.clone().cut(mesh)
        });
        posed.stack = Stack::new(layers.collect(), posed.stack.contacts().to_vec()).expect("a stack");
        run(&posed).expect("runs").probes[0].values_c[0].expect("there")
    };
    let step = |dt: f64| bond(Pace::Even(dt), 1);
    let (a, b, c) = (step(0.1), step(0.05), step(0.025));
    let order = ((b - a) / (c - b)).log2();
    assert!((order - 1.0).abs() < 0.25, "order in the step {order:.2}: {a} {b} {c}");
    let cells = |finer: usize| bond(Pace::Even(0.05), finer);
    let (a, b, c) = (cells(1), cells(2), cells(4));
    let order = ((b - a) / (c - b)).log2();
    assert!((order - 2.0).abs() < 0.5, "order in the cells {order:.2}: {a} {b} {c}");
}

#[test]
fn the_usual_grid_and_step_are_fine_enough() {
    for case in &cases() {
        let bond = |finer: usize, pace: Pace| {
            let (mut posed, _, _) = pose(case, pace);
            let dwell = posed.phases[0].duration_s;
            posed.phases.truncate(1);
            posed.times_s = vec![dwell];
            let layers = posed.stack.layers().iter().map(|l| {
                let mesh = match l.mesh {
                    Mesh::Even(cells) => Mesh::Even(cells * finer),
                    Mesh::FromTop { cells, growth } => {
                        Mesh::FromTop { cells: cells * finer, growth: growth.powf(1.0 / finer as f64) }
                    }
                    Mesh::Auto => Mesh::Auto,
                };
                l.clone().cut(mesh)
            });
            posed.stack = Stack::new(layers.collect(), posed.stack.contacts().to_vec()).expect("a stack");
            run(&posed).expect("runs").probes[0].values_c[0].expect("there")
        };
        let (usual, refined) = (bond(1, Pace::Press), bond(4, Pace::Even(0.01)));
        assert!((usual - refined).abs() < 0.02, "{}: {usual} against {refined}", case["id"]);
    }
}
