//! Locked pieces in the order file.

use super::order::clean;
use super::problems::Faults;
use super::write_order::{length, quoted};
use crate::Locked;
use schemars::JsonSchema;
use serde::Deserialize;
use std::fmt::Write as _;
use toml::Spanned;
use units::{Length, read_length};

/// Most pieces that one order may lock.
const MOST_LOCKED: usize = 2000;
/// Highest number of a line, print, film or sheet.
const MOST_NUMBER: usize = 100_000;
/// Farthest that a piece may lie from the corner of its film, mm.
const FARTHEST_MM: f64 = 1e6;

/// A piece that stays where a person laid it.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct LockedFile {
    /// Whose copy it is: the line, counted from 1 as the plan counts lines.
    line: usize,
    /// The print of that line, counted from 1.
    print: usize,
    /// Which film of the print, counted from the lowest, from 1, where it is cut from several.
    film: Option<usize>,
    /// The transfer it is made in, as the shop's files call it.
    transfer: String,
    /// The stock item it lies on, as the shop's files call it.
    stock: String,
    /// Size of the film on hand; left out on a sheet or length that is bought.
    remnant: Option<RemnantFile>,
    /// Which sheet, counted from 1; pieces with one number stay on one sheet.
    sheet: usize,
    /// Where the origin of its art box lies, along the usable film: "12.5 mm".
    #[schemars(with = "String")]
    along: Spanned<String>,
    /// The same, across the film.
    #[schemars(with = "String")]
    across: Spanned<String>,
    /// Turned counter-clockwise, degrees.
    #[serde(default)]
    turn: f64,
    /// Who laid it there.
    by: String,
}

/// A piece of film on hand.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct RemnantFile {
    #[schemars(with = "String")]
    width: Spanned<String>,
    #[schemars(with = "String")]
    length: Spanned<String>,
}

pub(super) fn read(all: Vec<Spanned<LockedFile>>, faults: &mut Faults<'_>) -> Vec<Locked> {
    if let Some(first) = all.get(MOST_LOCKED) {
        faults.add(
            first.span(),
            format!("{} locked pieces are more than the {MOST_LOCKED} that one order may have", all.len()),
            "unlock some, and let them be laid out".to_owned(),
        );
    }
    all.into_iter().take(MOST_LOCKED).filter_map(|one| read_one(one, faults)).collect()
}

fn read_one(one: Spanned<LockedFile>, faults: &mut Faults<'_>) -> Option<Locked> {
    let span = one.span();
    let one = one.into_inner();
    let known = [one.line, one.print, one.sheet, one.film.unwrap_or(1)];
    if known.iter().any(|number| !(1..=MOST_NUMBER).contains(number)) {
        faults.add(
            span,
            format!("line, print, film or sheet of a locked piece is not a number from 1 to {MOST_NUMBER}"),
            "count each from 1".to_owned(),
        );
        return None;
    }
    if !(-360.0..=360.0).contains(&one.turn) {
        faults.add(
            span,
            format!("a locked piece is turned by {} degrees", one.turn),
            "give a turn from -360 to 360".to_owned(),
        );
        return None;
    }
    if clean(&one.by).is_empty() {
        faults.add(span, "a locked piece names nobody".to_owned(), "write by = \"…\", who laid it there".to_owned());
        return None;
    }
    let at = (read_place(&one.along, faults)?, read_place(&one.across, faults)?);
    let remnant = match &one.remnant {
        None => None,
        Some(remnant) => Some((read_place(&remnant.width, faults)?, read_place(&remnant.length, faults)?)),
    };
    Some(Locked {
        line: one.line - 1,
        print: one.print - 1,
        film: one.film.map(|film| film - 1),
        transfer: clean(&one.transfer),
        stock: clean(&one.stock),
        remnant,
        sheet: one.sheet - 1,
        at,
        turn_deg: one.turn,
        by: clean(&one.by),
    })
}

fn read_place(text: &Spanned<String>, faults: &mut Faults<'_>) -> Option<Length> {
    let what = match read_length(text.as_ref()) {
        Ok(length) if length.mm().abs() <= FARTHEST_MM => return Some(length),
        Ok(_) => "a locked piece lies more than a kilometre away".to_owned(),
        Err(error) => error.to_string(),
    };
    faults.add(text.span(), what, "measure from the corner of the usable film, \"12.5 mm\"".to_owned());
    None
}

pub(super) fn write(locked: &Locked, text: &mut String) {
    let Locked { line, print, film, transfer, stock, remnant, sheet, at, turn_deg, by } = locked;
    let _ = write!(text, "\n[[locked]]\nline = {}\nprint = {}\n", line.saturating_add(1), print.saturating_add(1));
    if let Some(film) = film {
        let _ = writeln!(text, "film = {}", film.saturating_add(1));
    }
    let _ = write!(text, "transfer = {}\nstock = {}\n", quoted(transfer), quoted(stock));
    if let Some((width, long)) = remnant {
        let _ = writeln!(text, "remnant = {{ width = {}, length = {} }}", length(*width), length(*long));
    }
    let _ = write!(text, "sheet = {}\nalong = {}\nacross = {}\n", sheet.saturating_add(1), length(at.0), length(at.1));
    if *turn_deg != 0.0 {
        let _ = writeln!(text, "turn = {turn_deg:?}");
    }
    let _ = writeln!(text, "by = {}", quoted(by));
}
