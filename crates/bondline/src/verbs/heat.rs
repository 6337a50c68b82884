//! `bondline heat run | dwell | window | cool | platen | calibrate`.

use crate::End;
use crate::progress::{complain, say};
use crate::verbs::read_text;
use clap::{Args, Subcommand};
use heat::form::{self, FormError};
use std::path::PathBuf;

/// Options of `heat`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(subcommand)]
    question: Question,
}

/// What is asked; each takes a JSON file and answers in JSON.
#[derive(Debug, Subcommand)]
enum Question {
    /// Temperatures through a stack of layers and phases.
    Run(Case),
    /// What to set for a stack, against the maker's recipe on its own.
    Dwell(Case),
    /// Temperature and dwell that serve, and what closes each edge.
    Window(Case),
    /// How long until it can be handled and peeled, by way of cooling.
    Cool(Case),
    /// Sag, recovery and rate of a platen through a run of presses.
    Platen(Case),
    /// Fit platen offset and pad from readings, or map the plate.
    Calibrate(Case),
    /// Print an example question of this name.
    Example {
        /// Which: run, dwell, window, cool, platen, calibrate.
        name: String,
    },
}

/// A question of the heat room: text in, text out.
type Ask = fn(&str) -> Result<String, FormError>;

/// A case file.
#[derive(Debug, Args)]
struct Case {
    /// The question in JSON; "-" reads standard input.
    file: PathBuf,
}

pub(crate) fn run(options: &Options) -> End {
    let (case, ask): (&Case, Ask) = match &options.question {
        Question::Run(case) => (case, form::run),
        Question::Dwell(case) => (case, form::dwell),
        Question::Window(case) => (case, form::window),
        Question::Cool(case) => (case, form::cool),
        Question::Platen(case) => (case, form::platen),
        Question::Calibrate(case) => (case, form::calibrate),
        Question::Example { name } => return example(name),
    };
    let answer = read_text(&case.file).and_then(|text| ask(&text).map_err(|error| error.to_string()));
    match answer {
        Ok(answer) => {
            say(&answer);
            End::Done
        }
        Err(error) => {
            complain(&error);
            End::Refused
        }
    }
}

fn example(name: &str) -> End {
    match form::example(name) {
        Some(text) => {
            say(text);
            End::Done
        }
        None => {
            complain("there is no example of that name; try run, dwell, window, cool, platen or calibrate");
            End::Refused
        }
    }
}
