//! `bondline plan`.

use crate::End;
use crate::progress::{Shown, complain, say};
use clap::Args;
use desk::{PlanRequest, Refusal, ShopFolder};
use jiff::civil::Date;
use std::path::PathBuf;
use units::UnitSystem;
use words::Speech;

/// Options of `plan`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Order files in TOML; several in one folder are planned together and share sheets.
    #[arg(required = true)]
    orders: Vec<PathBuf>,
    /// The shop's folder.
    #[arg(long)]
    shop: PathBuf,
    /// Folder for the result; an earlier plan there is replaced when this one is complete.
    #[arg(long)]
    out: PathBuf,
    /// Plan as if today were this day (YYYY-MM-DD).
    #[arg(long)]
    today: Option<Date>,
    /// Start of every random choice; the same seed gives the same bytes.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How hard to search for cheaper layouts: evaluations for each transfer.
    #[arg(long)]
    effort: Option<u64>,
    /// Threads to use; the plan does not depend on it.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=64))]
    threads: u8,
    /// Print the reasons of every figure.
    #[arg(long)]
    explain: bool,
}

pub(crate) fn run(options: &Options) -> End {
    match planned(options) {
        Ok(end) => end,
        Err(refusal) => {
            complain(&refusal.to_string());
            End::Refused
        }
    }
}

fn planned(options: &Options) -> Result<End, Refusal> {
    let mut orders = Vec::new();
    let mut art = None;
    for path in &options.orders {
        let (order, folder) = desk::order_file(path)?;
        orders.push(order);
        art.get_or_insert(folder);
    }
    let Some(art) = art else { return Ok(End::Refused) };
    let request = PlanRequest {
        orders,
        art,
        shop: ShopFolder::open(&options.shop)?,
        out: options.out.clone(),
        today: options.today.unwrap_or_else(desk::today),
        seed: options.seed,
        effort: options.effort,
        threads: usize::from(options.threads),
    };
    let mut watch = Shown::new(Speech::english(UnitSystem::Metric));
    let outcome = desk::plan_orders(&request, &mut watch);
    watch.finish();
    let planned = outcome?;
    let speech = Speech::english(planned.shop.units);
    say(&desk::summary(&planned.shop, &planned.plan, &speech));
    if options.explain {
        say(&desk::explanation(&planned.shop, &planned.plan, &speech));
    }
    say(&format!("\n{} files in {}", planned.files.len(), options.out.display()));
    Ok(if planned.needs_a_person() { End::NeedsAPerson } else { End::Done })
}
