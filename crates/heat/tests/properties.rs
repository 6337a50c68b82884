//! What holds for any stack: balance, no overshoot, water never rising, and
//! the monotonicities of dose.

mod common;

use common::number;
use heat::press::{Assembly, Cloth, Fibre, Setting, Surroundings, press};
use proptest::prelude::*;
use serde_json::{Value, json};

fn any_layer() -> impl Strategy<Value = Value> {
    let water = prop_oneof![Just(0.0), 0.001..0.05_f64];
    (
        0.02..10.0_f64,
        0.02..1.0_f64,
        50.0..3000.0_f64,
        500.0..2500.0_f64,
        0.0..80.0_f64,
        water,
        60.0..110.0_f64,
        1.0..40.0_f64,
    )
        .prop_map(|(mm, k, rho, c, start, water, low, span)| {
            json!({ "thickness_mm": mm, "conductivity_w_mk": k, "density_kg_m3": rho, "heat_capacity_j_kgk": c,
                    "start_c": start, "water_kg_m2": water, "drying_window_c": [low, low + span] })
        })
}

fn any_boundary() -> impl Strategy<Value = Value> {
    let to = 0.0..200.0_f64;
    prop_oneof![
        to.clone().prop_map(|c| json!({ "kind": "held", "c": c })),
        (20.0..5000.0_f64, to.clone()).prop_map(|(h, c)| json!({ "kind": "contact", "w_m2k": h, "to_c": c })),
        to.clone().prop_map(|c| json!({ "kind": "radiation", "emissivity": 0.9, "to_c": c })),
        to.prop_map(|c| json!({ "kind": "air", "to_c": c, "facing": "down" })),
        Just(json!({ "kind": "insulated" })),
    ]
}

fn any_case() -> impl Strategy<Value = Value> {
    let layers = prop::collection::vec(any_layer(), 1..6);
    let phases = prop::collection::vec((0.5..40.0_f64, any_boundary(), any_boundary()), 1..4);
    (layers, phases, 100.0..5000.0_f64).prop_map(|(layers, phases, contact)| {
        let contacts = vec![contact; layers.len() - 1];
        let probes: Vec<Value> = (0..layers.len())
            .flat_map(|i| ["top", "middle", "bottom"].map(|at| json!({ "name": at, "layer": i, "at": at })))
            .collect();
        let total: f64 = phases.iter().map(|p| p.0).sum();
        let times: Vec<f64> = (0..=40).map(|i| total * f64::from(i) / 40.0).collect();
        let phases: Vec<Value> = phases
            .iter()
            .map(|(s, top, bottom)| json!({ "name": "press", "duration_s": s, "top": top, "bottom": bottom }))
            .collect();
        json!({ "start_c": 22, "layers": layers, "contacts_w_m2k": contacts, "phases": phases, "probes": probes,
                "times_s": times, "pace": "press" })
    })
}

/// Every temperature of the surroundings and of the start.
fn temperatures(case: &Value) -> Vec<f64> {
    let of = |value: &Value| value["c"].as_f64().or(value["to_c"].as_f64());
    let layers = case["layers"].as_array().expect("layers").iter().map(|l| number(l, "start_c"));
    let ends = case["phases"].as_array().expect("phases").iter().flat_map(|p| [of(&p["top"]), of(&p["bottom"])]);
    layers.chain(ends.flatten()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn heat_is_kept_and_nothing_overshoots(case in any_case()) {
        let history = common::run(&case);
        prop_assert!(number(&history, "balance_error") < 1e-6, "{history}");
        let all = temperatures(&case);
        let coldest = all.iter().copied().fold(f64::INFINITY, f64::min) - 1e-6;
        let hottest = all.iter().copied().fold(f64::NEG_INFINITY, f64::max) + 1e-6;
        for probe in history["probes"].as_array().expect("probes") {
            for value in common::numbers(probe, "values_c") {
                prop_assert!(value >= coldest && value <= hottest, "{value} outside {coldest}..{hottest}");
            }
        }
    }

    #[test]
    fn water_never_rises(case in any_case()) {
        let mut left: Vec<f64> = case["layers"].as_array().expect("layers").iter().map(|l| number(l, "water_kg_m2")).collect();
        let phases = case["phases"].as_array().expect("phases").clone();
        for count in 1..=phases.len() {
            let mut shorter = case.clone();
            shorter["phases"] = json!(phases[..count]);
            shorter["times_s"] = json!([]);
            let now = common::numbers(&common::run(&shorter), "water_left_kg_m2");
            for (before, now) in left.iter().zip(&now) {
                prop_assert!(*now <= before + 1e-9 && *now >= 0.0, "{before} → {now}");
            }
            left = now;
        }
    }
}

fn any_work() -> impl Strategy<Value = Assembly> {
    let fibre = prop::sample::select(vec![Fibre::Cotton, Fibre::Polyester, Fibre::Nylon, Fibre::Wool, Fibre::Acrylic]);
    (fibre, 80.0..450.0_f64, 0.15..0.6_f64, 0.05..0.2_f64, 300.0..3000.0_f64).prop_map(
        |(fibre, mass, packing, film, h)| {
            let thickness = mass * 1e-3 / (fibre.data().rho * packing) * 1e3;
            let mut work = Assembly::usual(Cloth::new(vec![(fibre, 1.0)], mass, thickness));
            work.film = Some(heat::press::film(film));
            work.joints.adhesive_cloth = h;
            work
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn dose_rises_with_dwell_and_platen(work in any_work(), platen in 110.0..190.0_f64, dwell in 2.0..30.0_f64) {
        let at = |platen_c, dwell_s| {
            press(&work, &[], Setting { platen_c, dwell_s }, Surroundings::default(), 90.0).expect("presses")
        };
        let (here, longer, hotter) = (at(platen, dwell), at(platen, dwell + 1.0), at(platen + 2.0, dwell));
        prop_assert!(longer.dose_s >= here.dose_s && longer.above_activation_s >= here.above_activation_s);
        prop_assert!(hotter.dose_s >= here.dose_s && hotter.bond_end_c > here.bond_end_c);
        prop_assert!(hotter.water_left <= here.water_left + 1e-12);
    }

    #[test]
    fn a_cover_sheet_never_raises_the_bond_line(work in any_work(), platen in 110.0..190.0_f64, cover in 0.05..0.5_f64) {
        let setting = Setting { platen_c: platen, dwell_s: 15.0 };
        let bond = |work: &Assembly| {
            press(work, &[], setting, Surroundings::default(), 90.0).expect("presses").bond_end_c
        };
        let bare = bond(&work);
        prop_assert!(bond(&work.covered(cover)) <= bare + 1e-9);
    }
}

/// A difference of 1 K is one of 1.8 °F, without the 32.
#[test]
fn differences_have_no_offset() {
    let cool =
        press(&Assembly::reference(), &[], Setting { platen_c: 142.0, dwell_s: 15.0 }, Surroundings::default(), 110.0);
    let hot =
        press(&Assembly::reference(), &[], Setting { platen_c: 150.0, dwell_s: 15.0 }, Surroundings::default(), 110.0);
    let kelvin = hot.expect("presses").bond_end_c - cool.expect("presses").bond_end_c;
    let difference = units::TemperatureDifference::from_k(kelvin).expect("finite");
    assert!((difference.f() - 1.8 * kelvin).abs() < 1e-12);
}
