//! `bondline nest run | check`.

use crate::End;
use crate::progress::{complain, say};
use crate::verbs::engine::{Pace, sentence};
use crate::verbs::read_text;
use clap::{Args, Subcommand};
use nest::{Settings, form};
use report::Seed;
use std::path::{Path, PathBuf};

/// Options of `nest`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(subcommand)]
    work: Work,
}

#[derive(Debug, Subcommand)]
enum Work {
    /// Lay designs out at least cost; the layout goes to standard output.
    Run(Run),
    /// Check a layout against its instance, with code of its own.
    Check {
        /// The instance in JSON.
        instance: PathBuf,
        /// The layout in JSON.
        layout: PathBuf,
    },
}

#[derive(Debug, Args)]
struct Run {
    /// The instance in JSON; "-" reads standard input.
    instance: PathBuf,
    /// Start of every random choice.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Positions evaluated; repeatable. About a million take a second and core.
    #[arg(long, conflicts_with = "seconds")]
    effort: Option<u64>,
    /// Stop by the clock instead; the answer may differ from run to run.
    #[arg(long)]
    seconds: Option<f64>,
    /// Threads to use; the answer does not depend on it.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=64))]
    threads: u8,
    /// Read the open strip-packing form: a strip of given height, least length.
    #[arg(long)]
    strip: bool,
    /// Write a picture of the layout.
    #[arg(long)]
    picture: Option<PathBuf>,
}

pub(crate) fn run(options: &Options) -> End {
    let outcome = match &options.work {
        Work::Run(options) => lay_out(options),
        Work::Check { instance, layout } => checked(instance, layout),
    };
    outcome.unwrap_or_else(|error| {
        complain(&error);
        End::Refused
    })
}

fn lay_out(options: &Run) -> Result<End, String> {
    let text = read_text(&options.instance)?;
    let read = if options.strip { form::read_strip(&text) } else { form::read_instance(&text) };
    let instance = read.map_err(|error| error.to_string())?;
    let pace = Pace::of(options.effort, options.seconds, Settings::default().effort)?;
    let settings = Settings { effort: pace.effort, seed: Seed(options.seed), threads: usize::from(options.threads) };
    let mut watch = pace.watch();
    let outcome = nest::solve(&instance, &settings, &mut watch).map_err(|refusal| {
        let said: Vec<String> = refusal.findings.iter().map(sentence).collect();
        said.join("\n")
    })?;
    if let Some(path) = &options.picture {
        let picture = desk::layout_picture(&instance, &outcome.value);
        std::fs::write(path, picture).map_err(|error| format!("{}: {error}", path.display()))?;
    }
    say(&form::write_layout(&instance, &outcome.value, &outcome.findings));
    Ok(if outcome.value.complete { End::Done } else { End::NeedsAPerson })
}

fn checked(instance: &Path, layout: &Path) -> Result<End, String> {
    let (instance, layout) = (read_text(instance)?, read_text(layout)?);
    let (verdict, fine) = form::check(&instance, &layout).map_err(|error| error.to_string())?;
    say(&verdict);
    Ok(if fine { End::Done } else { End::NeedsAPerson })
}
