//! `bondline stock`: what is on hand besides what the shop's files say.

use super::place::{At, By};
use super::shown::stock_line;
use crate::End;
use crate::progress::say;
use clap::{Args, Subcommand};
use desk::Refusal;
use desk::kept::{DeedError, Kept};
use jiff::civil::Date;
use std::path::{Path, PathBuf};
use store::form::{OnHand, StockForm};
use store::{Kind, Record, Stamp};
use units::Length;

/// Options of `stock`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    #[command(flatten)]
    at: At,
    #[command(flatten)]
    by: By,
    /// The version you saw; the change is refused when somebody made another meanwhile.
    #[arg(long, value_name = "VERSION")]
    on: Option<i64>,
    #[command(subcommand)]
    deed: Deed,
}

/// Where it lies and since when.
#[derive(Debug, Args)]
struct Lies {
    /// How many.
    #[arg(long, default_value_t = 1)]
    count: u32,
    /// Where they lie.
    #[arg(long, default_value = "")]
    place: String,
    /// Since when (YYYY-MM-DD); today when left out.
    #[arg(long)]
    since: Option<Date>,
    /// Lot.
    #[arg(long)]
    lot: Option<String>,
}

#[derive(Debug, Subcommand)]
enum Deed {
    /// List everything on hand: what, where, since when, free and reserved.
    List,
    /// Put pieces of film or sheets on hand.
    Film {
        /// The stock item, as stock.toml calls it.
        stock: String,
        /// Across, such as "500 mm".
        width: String,
        /// Along.
        length: String,
        /// Film colour, where the transfer comes in colours.
        #[arg(long)]
        colour: Option<String>,
        #[command(flatten)]
        lies: Lies,
    },
    /// Put transfers on hand that are made already.
    Transfers {
        /// The art file; the very same bytes as an order's.
        art: PathBuf,
        /// The transfer, as transfers.toml calls it.
        transfer: String,
        /// Width as pressed, such as "120 mm".
        width: String,
        /// Height as pressed.
        height: String,
        /// Film colour, where the transfer comes in colours.
        #[arg(long)]
        film: Option<String>,
        #[command(flatten)]
        lies: Lies,
    },
    /// Put garments on hand.
    Garments {
        /// The style, as garments.toml calls it.
        garment: String,
        colour: String,
        size: String,
        #[command(flatten)]
        lies: Lies,
    },
    /// So many were counted.
    Count { id: String, count: u32 },
    /// Reserve some for an order by hand; planning the order reserves what its plan uses.
    Reserve { id: String, order: String, count: u32 },
    /// Some were used up.
    Use {
        id: String,
        count: u32,
        /// For this order: what it has reserved is used first.
        #[arg(long)]
        order: Option<String>,
    },
    /// Undo the last change of an entry.
    Undo { id: String },
    /// Do the change again that was undone last.
    Redo { id: String },
}

pub(crate) fn run(options: &Options) -> End {
    super::ended(options.at.open().and_then(|kept| done(&kept, options)).map(|()| End::Done))
}

fn done(kept: &Kept, options: &Options) -> Result<(), DeedError> {
    let hand = options.by.hand();
    let changed = |id: &str, version: i64| say(&format!("stock {id}, version {version}"));
    match &options.deed {
        Deed::List => {
            let shop = kept.shop()?;
            kept.list_stock()?.iter().for_each(|record| say(&stock_line(&shop.value, record)));
        }
        Deed::Film { stock, width, length, colour, lies } => {
            let (stock, colour) = (stock.clone(), colour.clone());
            let (width_mm, length_mm) = (mm(width)?, mm(length)?);
            put(kept, OnHand::Film { stock, colour, width_mm, length_mm }, lies, &hand)?;
        }
        Deed::Transfers { art, transfer, width, height, film, lies } => {
            let what = OnHand::Transfers {
                art: hash(art)?,
                name: art.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned()),
                transfer: transfer.clone(),
                film: film.clone(),
                width_mm: mm(width)?,
                height_mm: mm(height)?,
            };
            put(kept, what, lies, &hand)?;
        }
        Deed::Garments { garment, colour, size, lies } => {
            let (garment, colour, size) = (garment.clone(), colour.clone(), size.clone());
            put(kept, OnHand::Garments { garment, colour, size }, lies, &hand)?;
        }
        Deed::Count { id, count } => {
            let record = entry(kept, id)?;
            let form = StockForm { count: *count, ..record.body };
            changed(id, kept.change_stock(id, options.on.unwrap_or(record.version), &form, &hand)?);
        }
        Deed::Reserve { id, order, count } => {
            let on = options.on.map_or_else(|| entry(kept, id).map(|entry| entry.version), Ok)?;
            changed(id, kept.reserve(id, on, order, *count, &hand)?);
        }
        Deed::Use { id, count, order } => {
            let on = options.on.map_or_else(|| entry(kept, id).map(|entry| entry.version), Ok)?;
            changed(id, kept.use_up(id, on, order.as_deref(), *count, &hand)?);
        }
        Deed::Undo { id } => changed(id, kept.undo(Kind::Stock, id, &hand)?),
        Deed::Redo { id } => changed(id, kept.redo(Kind::Stock, id, &hand)?),
    }
    Ok(())
}

fn put(kept: &Kept, what: OnHand, lies: &Lies, hand: &Stamp) -> Result<(), DeedError> {
    let form = StockForm {
        what,
        count: lies.count,
        reserved: Default::default(),
        place: lies.place.clone(),
        since: lies.since.unwrap_or_else(desk::today).to_string(),
        lot: lies.lot.clone(),
    };
    let id = kept.put_stock(&form, hand)?;
    say(&format!("stock {id}"));
    Ok(())
}

fn entry(kept: &Kept, id: &str) -> Result<Record<StockForm>, DeedError> {
    let found = kept.list_stock()?.into_iter().find(|record| record.id == *id);
    found.ok_or_else(|| DeedError::Missing { what: format!("stock {id}") })
}

fn mm(text: &str) -> Result<f64, DeedError> {
    let read = units::read_length(text).map(Length::mm).map_err(|error| Refusal::Unreadable {
        path: text.to_owned(),
        cause: error.to_string(),
        remedy: "write a length like \"120 mm\" or \"4.5 in\"".to_owned(),
    });
    Ok(read?)
}

/// SHA-256 of a file that an order's art could be.
fn hash(path: &Path) -> Result<String, DeedError> {
    Ok(store::hash_of(&super::order::bytes_of(path)?))
}
