//! Text in, text out: the JSON forms of this room, each with its schema.
//!
//! Every form is read once into checked types; a refusal names the field, its
//! line, the limit and what to do, and for a mistyped key the likely one.
//! Lengths mm, temperatures °C, times s. Each carries a `version`, 1 where it
//! is left out.

mod door;
mod locate;
mod platen;
mod questions;
mod run;
mod work;

pub use door::{Fault, FormError};

/// The forms by the name of the question.
pub const NAMES: [&str; 6] = ["run", "dwell", "window", "cool", "platen", "calibrate"];

/// Runs a stack through phases; see [`schema`] of "run".
pub fn run(text: &str) -> Result<String, FormError> {
    door::answer(text, run::answer)
}

/// What to set for a piece of work; see [`schema`] of "dwell".
pub fn dwell(text: &str) -> Result<String, FormError> {
    door::answer(text, questions::dwell)
}

/// Platen temperature × dwell that serves; see [`schema`] of "window".
pub fn window(text: &str) -> Result<String, FormError> {
    door::answer(text, questions::window)
}

/// How long until it can be peeled and handled; see [`schema`] of "cool".
pub fn cool(text: &str) -> Result<String, FormError> {
    door::answer(text, questions::cool)
}

/// A run of presses under one platen; see [`schema`] of "platen".
pub fn platen(text: &str) -> Result<String, FormError> {
    door::answer(text, platen::platen)
}

/// True platen and pad from readings; see [`schema`] of "calibrate".
pub fn calibrate(text: &str) -> Result<String, FormError> {
    door::answer(text, platen::calibrate)
}

/// JSON Schema (2020-12) of the form that a question takes; `None` for other names than [`NAMES`].
pub fn schema(name: &str) -> Option<String> {
    let schema = match name {
        "run" => schemars::schema_for!(run::CaseForm),
        "dwell" => schemars::schema_for!(questions::DwellForm),
        "window" => schemars::schema_for!(questions::WindowForm),
        "cool" => schemars::schema_for!(questions::CoolForm),
        "platen" => schemars::schema_for!(platen::PlatenForm),
        "calibrate" => schemars::schema_for!(platen::CalibrateForm),
        _ => return None,
    };
    serde_json::to_string_pretty(&schema).ok()
}

/// An example of the form that a question takes; `None` for other names than [`NAMES`].
pub fn example(name: &str) -> Option<&'static str> {
    Some(match name {
        "run" => include_str!("examples/run.json"),
        "dwell" => include_str!("examples/dwell.json"),
        "window" => include_str!("examples/window.json"),
        "cool" => include_str!("examples/cool.json"),
        "platen" => include_str!("examples/platen.json"),
        "calibrate" => include_str!("examples/calibrate.json"),
        _ => return None,
    })
}
