//! `bondline schema`.

use crate::End;
use crate::progress::say;
use clap::{Args, ValueEnum};

/// Options of `schema`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Which form.
    form: Form,
}

/// A file form with a published schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// The order file.
    Order,
    /// The files of a shop folder.
    Shop,
    /// The plan file.
    Plan,
    /// Nesting: what is asked and answered.
    Nest,
    /// Schedule: problem, answer, verdict, events.
    Schedule,
    /// Heat: a case to run.
    HeatRun,
    /// Heat: dwell for a stack.
    HeatDwell,
    /// Heat: window.
    HeatWindow,
    /// Heat: cooling.
    HeatCool,
    /// Heat: a platen through a run.
    HeatPlaten,
    /// Heat: calibration.
    HeatCalibrate,
    /// The report on one art file.
    Art,
}

pub(crate) fn run(options: &Options) -> End {
    let pretty = |value: serde_json::Value| serde_json::to_string_pretty(&value).unwrap_or_default();
    say(&match options.form {
        Form::Order => pretty(plan::form::order_schema()),
        Form::Plan => pretty(plan::form::plan_schema()),
        Form::Shop => trade::form::schema(),
        Form::Nest => nest::form::schema(),
        Form::Schedule => ::schedule::form::schema(),
        Form::HeatRun => heat::form::schema("run").unwrap_or_default(),
        Form::HeatDwell => heat::form::schema("dwell").unwrap_or_default(),
        Form::HeatWindow => heat::form::schema("window").unwrap_or_default(),
        Form::HeatCool => heat::form::schema("cool").unwrap_or_default(),
        Form::HeatPlaten => heat::form::schema("platen").unwrap_or_default(),
        Form::HeatCalibrate => heat::form::schema("calibrate").unwrap_or_default(),
        Form::Art => pretty(art::form::schema().into()),
    });
    End::Done
}
