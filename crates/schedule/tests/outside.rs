//! Small shops whose optimum a general-purpose constraint solver has proven.
//!
//! Source: OR-Tools CP-SAT 9.15.6755; model and shops in `outside/small_shops.py`, its
//! answers in `outside/small_shops.json`. The model shares nothing with this crate.

mod common;

use common::{batch, job};
use report::{Effort, Quiet, Seed};
use schedule::{Lag, Person, Press, Problem, Rates, Settings, Setup, Span, solve};
use serde_json::Value;

const PROVEN: &str = include_str!("outside/small_shops.json");

fn number(of: &Value, name: &str) -> i64 {
    of[name].as_i64().unwrap_or_else(|| panic!("{name} in {of}"))
}

fn list(of: &Value, name: &str) -> Vec<Value> {
    of[name].as_array().unwrap_or_else(|| panic!("{name} in {of}")).clone()
}

fn problem(shop: &Value) -> Problem {
    let day = vec![Span::new(0, 20_000)];
    let press = |p: &Value| Press {
        name: "press".into(),
        available: day.clone(),
        start: setup(p),
        hot_at_start: true,
        heat_ms_per_k: number(p, "heat_ms_per_k"),
        cool_ms_per_k: number(p, "cool_ms_per_k"),
        settle_s: number(p, "settle_s"),
        platen_swap_s: number(p, "platen_swap_s"),
        ..Press::default()
    };
    let presses: Vec<Press> = list(shop, "presses").iter().map(press).collect();
    let allowed: Vec<usize> = (0..presses.len()).collect();
    let one = |b: &Value| {
        let mut one = batch("kite", number(b, "job") as usize, &allowed, 0, number(b, "pieces") as u32);
        one.setup = setup(b);
        (one.load_s, one.press_s, one.unload_s) = (number(b, "load_s"), number(b, "press_s"), number(b, "unload_s"));
        one.test_piece_s = number(b, "test_piece_s");
        let lag =
            |l: &Value| Lag { batch: l[0].as_u64().expect("a batch") as usize, lag_s: l[1].as_i64().expect("a lag") };
        one.after = list(b, "after").iter().map(lag).collect();
        one
    };
    Problem {
        presses,
        people: vec![Person { name: "Ebb".into(), hours: day.clone() }],
        jobs: list(shop, "due_s").iter().map(|d| job("order", d.as_i64().expect("a date"))).collect(),
        batches: list(shop, "batches").iter().map(one).collect(),
        rates: Rates { labour_per_hour: 3600, energy_per_kwh: 0 },
        ..Problem::default()
    }
}

fn setup(of: &Value) -> Setup {
    Setup { platen: number(of, "platen") as usize, temp_c: number(of, "temp_c") as i32, pressure: 0 }
}

/// Never better than what is proven best; as few late in every shop, and as little labour
/// in every shop of one press. With two presses and one person the closings are placed by
/// rule, not one by one, and a few shops stay some percent above.
#[test]
fn small_shops_reach_the_proven_optimum() {
    let proven: Value = serde_json::from_str(PROVEN).expect("the solver's answers");
    let shops = list(&proven, "shops");
    assert!(shops.len() >= 25, "hardly anything to compare with: {}", shops.len());
    let mut above = Vec::new();
    for shop in &shops {
        let settings = Settings { effort: Effort(40_000), seed: Seed(1) };
        let found = solve(&problem(shop), &settings, &mut Quiet).expect("a schedule").value;
        let (late, labour_s) = (number(&shop["optimum"], "late"), number(&shop["optimum"], "labour_s"));
        assert_eq!(found.late_weight, late, "{shop}");
        assert!(found.labour_s >= labour_s, "better than the best: {} < {labour_s} in {shop}", found.labour_s);
        assert!(found.bound.late_weight <= late && found.bound.labour_s <= labour_s, "{:?}", found.bound);
        if found.labour_s > labour_s {
            assert_eq!(list(shop, "presses").len(), 2, "{shop}");
            assert!(found.labour_s * 100 <= labour_s * 107, "{} against {labour_s} in {shop}", found.labour_s);
            above.push((number(shop, "seed"), found.labour_s, labour_s));
        }
    }
    assert!(above.len() <= 4, "seed, ours, proven: {above:?}");
}
