//! `bondline worker`: does the jobs that others put in.

use super::place::At;
use crate::End;
use crate::progress::{complain, say};
use clap::Args;
use desk::kept::{DeedError, Kept};
use std::sync::atomic::AtomicBool;
use std::time::Duration;
use store::StoreError;

/// Options of `worker`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(flatten)]
    at: At,
    /// What this worker is called; the machine's name and its process when left out.
    #[arg(long)]
    name: Option<String>,
    /// Threads to use; plans do not depend on it.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=64))]
    threads: u8,
    /// End when no job is left, instead of waiting for the next.
    #[arg(long)]
    until_done: bool,
}

/// How long an idle worker rests, and one whose database is away.
const REST: Duration = Duration::from_millis(500);
const AWAY: Duration = Duration::from_secs(3);

pub(crate) fn run(options: &Options) -> End {
    let kept = match options.at.open() {
        Ok(kept) => kept,
        Err(error) => {
            complain(&error.to_string());
            return End::Refused;
        }
    };
    let name = options.name.clone().unwrap_or_else(own_name);
    say(&format!("worker {name} is ready"));
    loop {
        match work(&kept, &name, options) {
            Ok(true) => {}
            Ok(false) if options.until_done => return End::Done,
            Ok(false) => std::thread::sleep(REST),
            // The database may come back; what was taken goes back to the others by itself.
            Err(DeedError::Store(error @ (StoreError::Away { .. } | StoreError::Busy | StoreError::Full))) => {
                complain(&error.to_string());
                std::thread::sleep(AWAY);
            }
            Err(error) => {
                complain(&error.to_string());
                return End::Refused;
            }
        }
    }
}

/// Whether anything is left to do.
fn work(kept: &Kept, name: &str, options: &Options) -> Result<bool, DeedError> {
    // Whoever ends this process ends it at once; its job then goes back when its beat has stood still.
    let stop = AtomicBool::new(false);
    if kept.work_one(name, usize::from(options.threads), &stop)? {
        return Ok(true);
    }
    if options.until_done && kept.work_left()? {
        // Another worker is at it, or has died at it.
        std::thread::sleep(REST);
        return Ok(true);
    }
    Ok(false)
}

fn own_name() -> String {
    let machine = std::fs::read_to_string("/proc/sys/kernel/hostname").ok();
    let machine = machine.or_else(|| std::env::var("COMPUTERNAME").ok()).unwrap_or_default();
    let machine = words::clean(&machine);
    format!("{}-{}", if machine.is_empty() { "worker" } else { &machine }, std::process::id())
}
