//! `bondline seen`: what was seen of transfers on cloths, for later choices.

use super::place::{At, By};
use super::shown::seen_line;
use crate::End;
use crate::progress::say;
use clap::{Args, Subcommand, ValueEnum};
use desk::Refusal;
use desk::kept::{DeedError, Kept};
use jiff::civil::Date;
use store::Kind;
use store::form::{EvidenceForm, Seen};
use units::Temperature;

/// Options of `seen`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(flatten)]
    at: At,
    #[command(flatten)]
    by: By,
    /// The day it was seen (YYYY-MM-DD); today when left out.
    #[arg(long)]
    day: Option<Date>,
    /// The recipe it was pressed by, as the shop's files name its source; left out where there is only one.
    #[arg(long)]
    recipe: Option<String>,
    /// The order it was part of.
    #[arg(long)]
    order: Option<String>,
    /// Lot of the transfer.
    #[arg(long)]
    lot: Option<String>,
    /// Anything worth remembering.
    #[arg(long, default_value = "")]
    note: String,
    #[command(subcommand)]
    deed: Deed,
}

/// How a print fared.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Fared {
    /// It holds.
    Held,
    /// It gave way.
    Failed,
}

#[derive(Debug, Subcommand)]
enum Deed {
    /// List what was seen, of one transfer or all.
    List { transfer: Option<String> },
    /// A test piece was pressed, pulled and stretched.
    TestPiece { transfer: String, cloth: String, fared: Fared },
    /// A piece was washed so many times in all.
    Washed { transfer: String, cloth: String, washes: u32, fared: Fared },
    /// Pieces came back.
    Returned { transfer: String, cloth: String, pieces: u32, why: String },
    /// Pieces were spoiled at the press.
    Spoiled { transfer: String, cloth: String, pieces: u32, why: String },
    /// Pieces were pressed that no kept order counts.
    Pressed { transfer: String, cloth: String, pieces: u32 },
    /// A platen's temperature was read.
    Platen {
        /// The press, as presses.toml calls it.
        press: String,
        /// As set, such as "150 °C".
        set: String,
        /// As read on the platen.
        read: String,
    },
    /// Take what was recorded back.
    Undo { id: String },
    /// Record again what was taken back.
    Redo { id: String },
}

pub(crate) fn run(options: &Options) -> End {
    super::ended(options.at.open().and_then(|kept| done(&kept, options)).map(|()| End::Done))
}

fn done(kept: &Kept, options: &Options) -> Result<(), DeedError> {
    let held = |fared: &Fared| matches!(fared, Fared::Held);
    let (transfer, cloth, seen) = match &options.deed {
        Deed::List { transfer } => {
            let all = kept.evidence()?;
            let wanted = all.iter().filter(|one| transfer.as_ref().is_none_or(|of| one.body.transfer == *of));
            wanted.for_each(|record| say(&seen_line(record)));
            return Ok(());
        }
        Deed::Undo { id } => {
            let version = kept.undo(Kind::Evidence, id, &options.by.hand())?;
            say(&format!("seen {id}, version {version}"));
            return Ok(());
        }
        Deed::Redo { id } => {
            let version = kept.redo(Kind::Evidence, id, &options.by.hand())?;
            say(&format!("seen {id}, version {version}"));
            return Ok(());
        }
        Deed::TestPiece { transfer, cloth, fared } => (transfer, cloth, Seen::TestPiece { held: held(fared) }),
        Deed::Washed { transfer, cloth, washes, fared } => {
            (transfer, cloth, Seen::Washed { washes: *washes, held: held(fared) })
        }
        Deed::Returned { transfer, cloth, pieces, why } => {
            (transfer, cloth, Seen::Returned { pieces: *pieces, why: why.clone() })
        }
        Deed::Spoiled { transfer, cloth, pieces, why } => {
            (transfer, cloth, Seen::Spoiled { pieces: *pieces, why: why.clone() })
        }
        Deed::Pressed { transfer, cloth, pieces } => (transfer, cloth, Seen::Pressed { pieces: *pieces }),
        Deed::Platen { press, set, read } => {
            let none = &String::new();
            let seen = Seen::Platen { press: press.clone(), set_c: celsius(set)?, read_c: celsius(read)? };
            return put(kept, options, (none, none), seen);
        }
    };
    put(kept, options, (transfer, cloth), seen)
}

fn put(kept: &Kept, options: &Options, (transfer, cloth): (&String, &String), seen: Seen) -> Result<(), DeedError> {
    let form = EvidenceForm {
        day: options.day.unwrap_or_else(desk::today).to_string(),
        transfer: transfer.clone(),
        cloth: cloth.clone(),
        recipe: options.recipe.clone().unwrap_or_default(),
        order: options.order.clone(),
        lot: options.lot.clone(),
        seen,
        note: options.note.clone(),
    };
    let id = kept.record(&form, &options.by.hand())?;
    say(&format!("seen {id}"));
    Ok(())
}

fn celsius(text: &str) -> Result<f64, DeedError> {
    let read = units::read_temperature(text).map(Temperature::c).map_err(|error| Refusal::Unreadable {
        path: text.to_owned(),
        cause: error.to_string(),
        remedy: "write a temperature like \"150 °C\" or \"300 °F\"".to_owned(),
    });
    Ok(read?)
}
