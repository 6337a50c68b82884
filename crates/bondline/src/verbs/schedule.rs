//! `bondline schedule run | check | replan`.

use crate::End;
use crate::progress::{complain, say};
use crate::verbs::engine::{Pace, sentence};
use crate::verbs::read_text;
use ::schedule::{Settings, form};
use clap::{Args, Subcommand};
use report::{FormError, Seed};
use std::path::{Path, PathBuf};

/// Options of `schedule`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(subcommand)]
    work: Work,
}

#[derive(Debug, Subcommand)]
enum Work {
    /// Schedule a problem: fewest late orders first, then least labour and energy; the answer goes to standard output.
    Run(Run),
    /// Replay a schedule against its problem, with code of its own.
    Check {
        /// The problem in JSON.
        problem: PathBuf,
        /// The schedule in JSON.
        schedule: PathBuf,
    },
    /// The problem that is left after what happened, with what was begun kept as it is; run it again.
    Replan {
        /// The problem in JSON.
        problem: PathBuf,
        /// The schedule that was worked by, in JSON.
        schedule: PathBuf,
        /// What happened, in JSON: the present second, presses that fail, pieces spoiled, people who leave.
        events: PathBuf,
    },
}

#[derive(Debug, Args)]
struct Run {
    /// The problem in JSON; "-" reads standard input.
    problem: PathBuf,
    /// Start of every random choice.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Schedules tried after the first answer; repeatable.
    #[arg(long, conflicts_with = "seconds")]
    effort: Option<u64>,
    /// Stop by the clock instead; the answer may differ from run to run.
    #[arg(long)]
    seconds: Option<f64>,
    /// Write a picture of the timeline, from its first to its last second.
    #[arg(long)]
    picture: Option<PathBuf>,
}

pub(crate) fn run(options: &Options) -> End {
    let outcome = match &options.work {
        Work::Run(options) => solved(options),
        Work::Check { problem, schedule } => checked(problem, schedule),
        Work::Replan { problem, schedule, events } => replanned(problem, schedule, events),
    };
    outcome.unwrap_or_else(|error| {
        complain(&error);
        End::Refused
    })
}

fn solved(options: &Run) -> Result<End, String> {
    let problem = form::read_problem(&read_text(&options.problem)?).map_err(told)?;
    let pace = Pace::of(options.effort, options.seconds, Settings::default().effort)?;
    let settings = Settings { effort: pace.effort, seed: Seed(options.seed) };
    let mut watch = pace.watch();
    let outcome =
        ::schedule::solve(&problem, &settings, &mut watch).map_err(|refusal| told(FormError::Refused(refusal)))?;
    if let Some(path) = &options.picture {
        std::fs::write(path, desk::schedule_picture(&problem, &outcome.value))
            .map_err(|error| format!("{}: {error}", path.display()))?;
    }
    say(&form::write_schedule(&problem, &outcome.value, &outcome.findings));
    let open = !outcome.value.late_jobs.is_empty() || !outcome.value.unplaced.is_empty();
    Ok(if open { End::NeedsAPerson } else { End::Done })
}

fn checked(problem: &Path, schedule: &Path) -> Result<End, String> {
    let (problem, schedule) = (read_text(problem)?, read_text(schedule)?);
    let (verdict, fine) = form::check(&problem, &schedule).map_err(told)?;
    say(&verdict);
    Ok(if fine { End::Done } else { End::NeedsAPerson })
}

fn replanned(problem: &Path, schedule: &Path, events: &Path) -> Result<End, String> {
    let (problem, schedule, events) = (read_text(problem)?, read_text(schedule)?, read_text(events)?);
    let (left, findings) = form::replan(&problem, &schedule, &events).map_err(told)?;
    findings.iter().for_each(|finding| complain(&sentence(finding)));
    say(&left);
    Ok(if findings.is_empty() { End::Done } else { End::NeedsAPerson })
}

/// What was refused, in words.
fn told(error: FormError) -> String {
    match error {
        FormError::Refused(refusal) => {
            let said: Vec<String> = refusal.findings.iter().map(sentence).collect();
            said.join("\n")
        }
        form => form.to_string(),
    }
}
