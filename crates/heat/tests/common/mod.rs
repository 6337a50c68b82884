//! What several test files need: posing a case through the front door.

use serde_json::{Value, json};

/// Runs a case through its JSON form.
#[allow(dead_code, reason = "not every test file that includes this module uses it")]
pub fn run(case: &Value) -> Value {
    let answer = heat::form::run(&case.to_string()).unwrap_or_else(|refusal| panic!("{refusal}\n{case:#}"));
    serde_json::from_str(&answer).expect("the answer is JSON")
}

/// A layer of the run form: mm, [k, rho, c].
#[allow(dead_code, reason = "not every test file that includes this module uses it")]
pub fn layer(name: &str, thickness_mm: f64, [k, rho, c]: [f64; 3]) -> Value {
    json!({ "name": name, "thickness_mm": thickness_mm, "conductivity_w_mk": k, "density_kg_m3": rho,
            "heat_capacity_j_kgk": c })
}

/// A number of a JSON object.
pub fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} is a number in {value}"))
}

/// A list of numbers of a JSON object.
#[allow(dead_code, reason = "not every test file that includes this module uses it")]
pub fn numbers(value: &Value, key: &str) -> Vec<f64> {
    value[key].as_array().expect(key).iter().map(|v| v.as_f64().expect("a number")).collect()
}
