//! `bondline shop`: what is kept of a shop as a whole.

use super::place::{At, By};
use crate::End;
use crate::progress::{complain, say};
use clap::{Args, Subcommand};
use desk::kept::{DeedError, Kept};
use std::path::PathBuf;
use store::StoreError;

/// Options of `shop`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(subcommand)]
    deed: Deed,
}

#[derive(Debug, Subcommand)]
enum Deed {
    /// Make a new, empty shop.
    Init {
        #[command(flatten)]
        at: At,
    },
    /// Take a folder in: the shop's TOML files, or a whole shop as `export` wrote it. Makes the shop when there is none.
    Import {
        /// The folder.
        folder: PathBuf,
        #[command(flatten)]
        at: At,
        #[command(flatten)]
        by: By,
    },
    /// Write the whole shop into a folder of open files, history included.
    Export {
        /// The folder; an earlier export there is replaced when this one is complete.
        folder: PathBuf,
        #[command(flatten)]
        at: At,
    },
    /// Copy the whole shop into one file while others go on working.
    Backup {
        /// The file; it must not be there yet.
        file: PathBuf,
        #[command(flatten)]
        at: At,
    },
    /// Make a shop of a backup; nothing may be kept at the place yet.
    Restore {
        /// The backup.
        file: PathBuf,
        #[command(flatten)]
        at: At,
    },
    /// Read everything that is kept and tell what is not as it was put in.
    Check {
        #[command(flatten)]
        at: At,
    },
}

pub(crate) fn run(options: &Options) -> End {
    super::ended(done(&options.deed))
}

fn done(deed: &Deed) -> Result<End, DeedError> {
    match deed {
        Deed::Init { at } => {
            Kept::make(&at.place())?;
            say(&format!("a new shop is kept at {}", at.place().shown()));
        }
        Deed::Import { folder, at, by } => {
            let place = at.place();
            let (kept, new) = match Kept::open(&place) {
                Err(DeedError::Store(StoreError::NotMade { .. })) => (Kept::make(&place)?, true),
                kept => (kept?, false),
            };
            let imported = match kept.import(folder, &by.hand()) {
                Ok(imported) => imported,
                Err(error) => {
                    if new {
                        complain(&format!("an empty shop was made at {}", place.shown()));
                    }
                    return Err(error);
                }
            };
            say(&format!(
                "taken in: {} changes of its history, {} files of the shop, {} orders",
                imported.history, imported.shop_files, imported.orders
            ));
        }
        Deed::Export { folder, at } => {
            at.open()?.export(folder)?;
            say(&format!("written to {}", folder.display()));
        }
        Deed::Backup { file, at } => {
            at.open()?.backup(file)?;
            say(&format!("copied to {} and read back without a fault", file.display()));
        }
        Deed::Restore { file, at } => {
            Kept::restore(file, &at.place())?;
            say(&format!("restored to {}", at.place().shown()));
        }
        Deed::Check { at } => return check(at),
    }
    Ok(End::Done)
}

/// Damage is what was asked for: it is told as an answer.
fn check(at: &At) -> Result<End, DeedError> {
    let faults = match at.open().and_then(|kept| kept.check()) {
        Err(error @ DeedError::Store(StoreError::Damaged { .. })) => {
            say(&error.to_string());
            return Ok(End::NeedsAPerson);
        }
        other => other?,
    };
    for fault in &faults {
        say(&format!("{}: {}", words::clean(&fault.place), words::clean(&fault.what)));
    }
    if faults.is_empty() {
        say("everything is as it was put in");
        return Ok(End::Done);
    }
    say(&format!(
        "{} faults; keep this database as it is, and restore the last backup to another place with bondline shop restore",
        faults.len()
    ));
    Ok(End::NeedsAPerson)
}
