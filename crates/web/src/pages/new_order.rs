//! A new order in under a minute: lines as people type them, or a table, and
//! the art dropped in.

use crate::answer::{Answer, Fault, Frame, on_to, page, page_as};
use crate::app::Ctx;
use crate::ask::{Ask, Upload};
use crate::tongue::Tongue;
use askama::Template;
use axum::http::StatusCode;
use desk::kept::assumed_of;
use jiff::ToSpan as _;
use jiff::civil::{Date, Time};
use plan::typed::{ART_TO_COME, lines_of_table, lines_of_text, order_of};
use report::{Finding, Outcome, Value};

#[derive(Template)]
#[template(path = "new_order.html")]
struct NewOrder {
    frame: Frame,
    w: Tongue,
    customer: String,
    name: String,
    due: String,
    lines: String,
    shelf: String,
    faults: Vec<(String, String)>,
}

/// Stands in for art that has not come: a frame with a cross, as large as the print.
const TO_COME: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"70mm\" viewBox=\"0 0 100 70\">\
<path fill=\"#3C4F9E\" fill-rule=\"evenodd\" d=\"M0 0H100V70H0ZM4 4V66H96V4Z\"/>\
<path fill=\"#3C4F9E\" d=\"M28 32H72V38H28Z\"/></svg>\n";

fn form(ctx: &Ctx<'_>, ask: &Ask, faults: Vec<(String, String)>) -> Result<NewOrder, Fault> {
    let w = ctx.w;
    let usual = ctx.app.today().checked_add(14.days()).unwrap_or_else(|_| ctx.app.today());
    let due = match ask.fields.get("due") {
        "" => usual.to_string(),
        typed => typed.to_owned(),
    };
    let shop = ctx.kept().shop()?;
    let names: Vec<String> = shop.value.garments().map(|(_, style)| words::clean(&style.name)).take(40).collect();
    Ok(NewOrder {
        frame: Frame::new(ctx, w.t("web.new-order"), "new"),
        w,
        customer: ask.fields.get("customer").to_owned(),
        name: ask.fields.get("name").to_owned(),
        due,
        lines: ask.fields.raw("lines").to_owned(),
        shelf: w.a("web.on-the-shelf", w.speech.list(&names)),
        faults,
    })
}

pub(crate) fn blank(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    page(&form(ctx, ask, Vec::new())?)
}

pub(crate) fn made(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    match make(ctx, ask) {
        Ok(id) => Ok(on_to(&format!("/orders/{id}"))),
        Err(Stop::Typed(faults)) => page_as(StatusCode::UNPROCESSABLE_ENTITY, &form(ctx, ask, faults)?),
        Err(Stop::Fault(fault)) => Err(fault),
    }
}

enum Stop {
    /// What was typed cannot be taken; it stays in the form.
    Typed(Vec<(String, String)>),
    Fault(Fault),
}

impl<E: Into<Fault>> From<E> for Stop {
    fn from(error: E) -> Self {
        Self::Fault(error.into())
    }
}

fn make(ctx: &Ctx<'_>, ask: &Ask) -> Result<String, Stop> {
    let w = ctx.w;
    let one = |what: &'static str, remedy: &'static str| Stop::Typed(vec![(w.t(what), w.t(remedy))]);
    let customer = words::clean(ask.fields.get("customer"));
    if customer.is_empty() {
        return Err(one("web.no-customer", "web.no-customer-remedy"));
    }
    let due = ask.fields.get("due").parse::<Date>().map_err(|_| one("web.no-day", "web.no-day-remedy"))?;
    if due < ctx.app.today() {
        return Err(one("web.day-past", "web.day-past-remedy"));
    }
    let mut art: Vec<(String, Vec<u8>)> = Vec::new();
    for file in ask.files.iter().filter(|file| file.field == "art") {
        let name = art_name(&file.name, art.len() + 1);
        if art.iter().all(|(known, _)| *known != name) {
            art.push((name, file.bytes.to_vec()));
        }
    }
    let names: Vec<String> = art.iter().map(|(name, _)| name.clone()).collect();
    let shop = ctx.kept().shop()?;
    let table = ask.files.iter().find(|file| file.field == "table");
    let typed = ask.fields.raw("lines");
    let read = match table {
        Some(file) => lines_of_table(&rows_of(file), &shop.value, &names),
        None if typed.contains('\t') => lines_of_table(&rows(typed.as_bytes(), b'\t'), &shop.value, &names),
        None => lines_of_text(typed, &shop.value, &names),
    };
    let Outcome { value: lines, findings } = read.map_err(|faults| Stop::Typed(said(&w, &faults)))?;
    if lines.iter().any(|line| line.prints.iter().any(|print| print.art == ART_TO_COME)) {
        art.push((ART_TO_COME.to_owned(), TO_COME.as_bytes().to_vec()));
    }
    // The end of the day; 17:00 is common practice, no source.
    let due = due.to_datetime(Time::constant(17, 0, 0, 0));
    let order = order_of(&customer, &words::clean(ask.fields.get("name")), due, lines);
    let text = plan::form::write_order(&order);
    let id = ctx.kept().new_order_typed(&text, art, assumed_of(&order, &findings), &ctx.hand())?;
    ctx.kept().plan_later(&id, crate::pages::edit::wish(ctx, None), &ctx.hand())?;
    Ok(id)
}

/// Faults in words, each with its row.
fn said(w: &Tongue, faults: &[Finding]) -> Vec<(String, String)> {
    let row = |finding: &Finding| {
        let row = finding.quantities.iter().find(|named| named.name == "row");
        let says_it = finding.code.0.starts_with("plan.typed");
        match row.map(|named| &named.value) {
            Some(Value::Count(row)) if !says_it => format!("{} ", w.a("web.row", row)),
            _ => String::new(),
        }
    };
    faults
        .iter()
        .map(|finding| {
            let said = w.finding(finding);
            (format!("{}{}", row(finding), said.what), said.remedy)
        })
        .collect()
}

/// A file's own name made safe for an order: letters, digits, hyphens, within the art folder.
pub(crate) fn art_name(name: &str, nth: usize) -> String {
    let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let (stem, ending) = file.rsplit_once('.').unwrap_or((file, ""));
    let plain = |text: &str| -> String {
        let text: String =
            text.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        text.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
    };
    let mut stem: String = plain(stem).chars().take(60).collect();
    if stem.is_empty() {
        stem = format!("art-{nth}");
    }
    let ending: String = plain(ending).chars().take(5).collect();
    format!("art/{stem}.{}", if ending.is_empty() { "bin".to_owned() } else { ending })
}

/// The cells of a file: by tabs, semicolons or commas, whichever its first line has most of.
fn rows_of(file: &Upload) -> Vec<Vec<String>> {
    let first = file.bytes.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let count = |mark: u8| first.iter().filter(|byte| **byte == mark).count();
    let mark = [b',', b';', b'\t'].into_iter().max_by_key(|mark| count(*mark)).unwrap_or(b',');
    rows(&file.bytes, mark)
}

fn rows(bytes: &[u8], mark: u8) -> Vec<Vec<String>> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let mut reader = csv::ReaderBuilder::new().delimiter(mark).has_headers(false).flexible(true).from_reader(bytes);
    let cells = |record: csv::ByteRecord| -> Vec<String> {
        record.iter().map(|cell| String::from_utf8_lossy(cell).trim_start_matches('\'').to_owned()).collect()
    };
    reader.byte_records().filter_map(Result::ok).take(10_000).map(cells).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_art_stay_within_the_order() {
        for (name, safe) in [
            ("Kite Logo (final).SVG", "art/kite-logo-final.svg"),
            ("../../etc/passwd", "art/passwd.bin"),
            ("C:\\art\\river.png", "art/river.png"),
            ("…", "art/art-3.bin"),
            ("a\u{202e}gpj.exe", "art/a-gpj.exe"),
        ] {
            assert_eq!(art_name(name, 3), safe, "{name}");
        }
    }

    #[test]
    fn tables_by_whatever_parts_their_cells() {
        let upload =
            |text: &str| Upload { field: "table".into(), name: "t.csv".into(), bytes: text.as_bytes().to_vec().into() };
        for text in ["garment,size\ntee,\"S, M\"\n", "\u{feff}garment;size\ntee;S, M\n", "garment\tsize\ntee\tS, M\n"] {
            assert_eq!(rows_of(&upload(text)), [["garment", "size"], ["tee", "S, M"]], "{text}");
        }
    }
}
