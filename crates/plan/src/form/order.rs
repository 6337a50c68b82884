//! The order file.

use super::problems::{Faults, nearest};
use super::stated;
use crate::{Decision, Line, Order, Print, SizeCount, Way};
use art::SizeWish;
use garment::Sizing;
use jiff::civil::{Date, DateTime, Time};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;
use trade::form::FormFault;
use trade::{Finish, Payer, TestOn};
use units::{Length, Share, read_length, read_share};

/// The version this program reads.
pub const ORDER_VERSION: u32 = 1;

/// Most lines, prints of a line and pieces of a size that are taken.
const MOST_LINES: usize = 500;
const MOST_PRINTS: usize = 12;
const MOST_PIECES: i64 = 100_000;

/// Reads an order file; `name` is shown in faults.
///
/// Everything wrong with values is told at once; a mistyped key alone, with the
/// key that was probably meant, because what follows it cannot be trusted.
pub fn read_order(name: &str, text: &str) -> Result<Order, Vec<FormFault>> {
    let mut faults = Faults::new(name, text);
    let file: OrderFile = match toml::from_str(text) {
        Ok(file) => file,
        Err(error) => {
            faults.unreadable(&error);
            return Err(faults.all());
        }
    };
    let order = checked(file, &mut faults);
    if faults.is_empty() { Ok(order) } else { Err(faults.all()) }
}

/// The JSON Schema of the order file.
pub fn order_schema() -> serde_json::Value {
    schemars::schema_for!(OrderFile).into()
}

/// An order: who wants what by when.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct OrderFile {
    /// Version of this form: 1.
    #[schemars(with = "u32")]
    version: Spanned<u32>,
    /// Who ordered.
    customer: String,
    /// What the order is called; the customer's name when left out.
    name: Option<String>,
    /// When it must be handed over: "2026-12-18" or "2026-12-18T17:00".
    #[schemars(with = "String")]
    due: Spanned<String>,
    /// Which of the three ways: "everyday", "stronger" or "finest".
    #[schemars(with = "Option<String>")]
    way: Option<Spanned<String>>,
    /// Done before its normal time, at the shop's charge for that.
    #[serde(default)]
    rush: bool,
    /// Taken off the lines' prices: "10 %", at most 90 %.
    #[schemars(with = "Option<String>")]
    discount: Option<Spanned<String>>,
    /// Print a bar of 100 mm on the sheets, to measure the print by.
    #[serde(default)]
    check_bar: bool,
    /// What test pieces are made on and who pays, where it is not as in the shop's rule.
    test_piece: Option<TestPieceFile>,
    /// Garment lines.
    #[serde(rename = "line", default)]
    #[schemars(with = "Vec<LineFile>")]
    lines: Vec<Spanned<LineFile>>,
    /// Answers to questions that halted a line.
    #[serde(rename = "answer", default)]
    #[schemars(with = "Vec<AnswerFile>")]
    answers: Vec<Spanned<AnswerFile>>,
    /// Pieces that stay where a person laid them on a sheet.
    #[serde(rename = "locked", default)]
    #[schemars(with = "Vec<super::locked::LockedFile>")]
    locked: Vec<Spanned<super::locked::LockedFile>>,
}

/// The test piece.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct TestPieceFile {
    /// What it is made on: "garment", "offcut" or "inside-hem".
    #[schemars(with = "Option<String>")]
    on: Option<Spanned<String>>,
    /// Who pays for it: "customer" or "shop".
    #[schemars(with = "Option<String>")]
    paid_by: Option<Spanned<String>>,
}

/// One style in one colour.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct LineFile {
    /// Garment style, as the shop's files call it.
    garment: String,
    /// Colour.
    colour: String,
    /// Brought by the customer instead of bought.
    #[serde(default)]
    brought: bool,
    /// How many of each size: { S = 4, M = 8 }.
    #[schemars(with = "BTreeMap<String, i64>")]
    sizes: Spanned<toml::map::Map<String, toml::Value>>,
    /// Prints on each garment.
    #[serde(rename = "print", default)]
    #[schemars(with = "Vec<PrintFile>")]
    prints: Vec<Spanned<PrintFile>>,
}

/// One print.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct PrintFile {
    /// Art file, within the order's own folder.
    #[schemars(with = "String")]
    art: Spanned<String>,
    /// Where: "left chest", "full back" ….
    position: String,
    /// Width as pressed: "90 mm" or "3.5 in".
    #[schemars(with = "Option<String>")]
    width: Option<Spanned<String>>,
    /// Height as pressed, instead of the width.
    #[schemars(with = "Option<String>")]
    height: Option<Spanned<String>>,
    /// Instead of width or height, as large as is usual there: "one for all" sizes of the line,
    /// "one for adults" and others by their band of sizes, or "each band" its own.
    #[schemars(with = "Option<String>")]
    sized: Option<Spanned<String>>,
    /// Look asked for: "matt", "smooth", "soft", "velvet", "sparkling", "mirror", "raised", "reflecting", "in cloth".
    #[schemars(with = "Option<String>")]
    finish: Option<Spanned<String>>,
    /// Moved from the usual place.
    offset: Option<OffsetFile>,
    /// A transfer chosen by a person, as the shop's files call it.
    transfer: Option<String>,
    /// Remove the box behind the art.
    #[serde(default)]
    remove_background: bool,
    /// Film colours stated by the customer.
    #[serde(default)]
    colours: Vec<String>,
    /// Leave art in the garment's own colour unprinted.
    #[serde(default)]
    let_cloth_show: bool,
    /// What colours of the file truly are: { "#1450a0" = "#0f4c9a" }, or "lab 32.5 10 -44" (CIELAB under D65).
    #[serde(default)]
    #[schemars(with = "BTreeMap<String, String>")]
    stated_colours: BTreeMap<String, Spanned<String>>,
}

/// Moved from the usual place, as one looks at the garment.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct OffsetFile {
    /// To the right: "10 mm"; negative to the left.
    #[schemars(with = "Option<String>")]
    right: Option<Spanned<String>>,
    /// Up: "10 mm"; negative down.
    #[schemars(with = "Option<String>")]
    up: Option<Spanned<String>>,
}

/// A person's answer to a question that halted a line.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct AnswerFile {
    /// The line, counted from 1.
    line: usize,
    /// The question's name, as the findings show it.
    question: String,
    /// Whether work may go on.
    go_on: bool,
    /// Who answered.
    by: String,
}

fn checked(file: OrderFile, faults: &mut Faults<'_>) -> Order {
    if *file.version.as_ref() != ORDER_VERSION {
        faults.add(
            file.version.span(),
            format!("version {} of the order form is not known", file.version.as_ref()),
            format!("this program reads version {ORDER_VERSION}; write version = {ORDER_VERSION}"),
        );
    }
    if file.lines.is_empty() {
        faults.add(
            0..0,
            "the order has no [[line]]".to_owned(),
            "add one [[line]] for each garment and colour".to_owned(),
        );
    }
    if file.lines.len() > MOST_LINES {
        faults.add(
            0..0,
            format!("{} lines are more than the {MOST_LINES} that one order may have", file.lines.len()),
            "divide it into several orders".to_owned(),
        );
    }
    let line_count = file.lines.len();
    let answers = file.answers.into_iter().filter_map(|answer| read_answer(answer, line_count, faults));
    let mut decisions: Vec<Decision> = answers.collect();
    decisions.extend(super::locked::read(file.locked, faults).into_iter().map(Decision::Locked));
    let name = clean(file.name.as_deref().unwrap_or(&file.customer));
    let test = file.test_piece.unwrap_or_default();
    Order {
        customer: clean(&file.customer),
        name,
        due: due(&file.due, faults),
        rush: file.rush,
        discount: file.discount.as_ref().map_or(Share::ZERO, |share| read_discount(share, faults)),
        check_bar: file.check_bar,
        test_on: test.on.and_then(|word| one_of(&word, "on", &TESTS_ON, faults)),
        test_paid_by: test.paid_by.and_then(|word| one_of(&word, "paid-by", &PAYERS, faults)),
        way: file.way.as_ref().and_then(|way| one_of(way, "way", &WAYS, faults)).unwrap_or_default(),
        decisions,
        lines: file.lines.into_iter().take(MOST_LINES).map(|line| read_line(line, faults)).collect(),
    }
}

fn due(text: &Spanned<String>, faults: &mut Faults<'_>) -> DateTime {
    let typed = text.as_ref().trim();
    // A bare day means the end of its working hours; 17:00 is common practice, no source.
    let end_of_day = Time::constant(17, 0, 0, 0);
    let read = typed.parse::<DateTime>().ok().filter(|_| typed.contains(['T', ' ']));
    read.or_else(|| typed.parse::<Date>().ok().map(|day| day.to_datetime(end_of_day))).unwrap_or_else(|| {
        faults.add(
            text.span(),
            format!("“{}” is not a day", clean(typed)),
            "write due = \"2026-12-18\" or \"2026-12-18T17:00\"".to_owned(),
        );
        DateTime::default()
    })
}

fn read_discount(text: &Spanned<String>, faults: &mut Faults<'_>) -> Share {
    let remedy = || "write discount = \"10 %\"".to_owned();
    match read_share(text.as_ref()) {
        Ok(share) if (0..=900_000).contains(&share.ppm()) => share,
        Ok(_) => {
            faults.add(text.span(), "a discount is from 0 to 90 %".to_owned(), remedy());
            Share::ZERO
        }
        Err(error) => {
            faults.add(text.span(), error.to_string(), remedy());
            Share::ZERO
        }
    }
}

pub(super) const WAYS: [(&str, Way); 3] =
    [("everyday", Way::Everyday), ("stronger", Way::Stronger), ("finest", Way::Finest)];

pub(super) const TESTS_ON: [(&str, TestOn); 3] =
    [("garment", TestOn::Garment), ("offcut", TestOn::Offcut), ("inside-hem", TestOn::InsideHem)];
pub(super) const PAYERS: [(&str, Payer); 2] = [("customer", Payer::Customer), ("shop", Payer::Shop)];

/// What a word of a closed list names; a fault where it names nothing.
fn one_of<T: Copy, const N: usize>(
    text: &Spanned<String>,
    key: &str,
    words: &[(&str, T); N],
    faults: &mut Faults<'_>,
) -> Option<T> {
    let typed = text.as_ref().as_str();
    let found = words.iter().find(|(word, _)| *word == typed).map(|(_, value)| *value);
    if found.is_none() {
        faults.unknown_word(text.span(), key, typed, &words.map(|(word, _)| word));
    }
    found
}

fn read_answer(answer: Spanned<AnswerFile>, lines: usize, faults: &mut Faults<'_>) -> Option<Decision> {
    let span = answer.span();
    let answer = answer.into_inner();
    let Some(line) = answer.line.checked_sub(1).filter(|at| *at < lines) else {
        faults.add(
            span,
            format!("the answer is about line {}, the order has {lines}", answer.line),
            "count the [[line]] tables from 1".to_owned(),
        );
        return None;
    };
    if clean(&answer.by).is_empty() {
        faults.add(span, "the answer names nobody".to_owned(), "write by = \"…\", the person who decided".to_owned());
        return None;
    }
    Some(Decision::Answered { line, question: clean(&answer.question), go_on: answer.go_on, by: clean(&answer.by) })
}

fn read_line(line: Spanned<LineFile>, faults: &mut Faults<'_>) -> Line {
    let span = line.span();
    let line = line.into_inner();
    let sizes = read_sizes(&line.sizes, faults);
    if line.prints.is_empty() {
        faults.add(
            span.clone(),
            format!("the line of “{}” has no [[line.print]]", clean(&line.garment)),
            "add one for each print, or leave the line out".to_owned(),
        );
    }
    if line.prints.len() > MOST_PRINTS {
        faults.add(
            span,
            format!("{} prints on one garment are more than {MOST_PRINTS}", line.prints.len()),
            "put prints that are pressed together into one art file".to_owned(),
        );
    }
    Line {
        garment: clean(&line.garment),
        colour: clean(&line.colour),
        brought: line.brought,
        sizes,
        prints: line.prints.into_iter().take(MOST_PRINTS).map(|print| read_print(print, faults)).collect(),
    }
}

fn read_sizes(sizes: &Spanned<toml::map::Map<String, toml::Value>>, faults: &mut Faults<'_>) -> Vec<SizeCount> {
    if sizes.as_ref().is_empty() {
        faults.add(sizes.span(), "no size is given".to_owned(), "write sizes = { M = 8 }".to_owned());
    }
    let mut read: Vec<SizeCount> = Vec::new();
    for (size, count) in sizes.as_ref() {
        let name = clean(size);
        if name.is_empty() || read.iter().any(|known| known.size == name) {
            faults.add(
                sizes.span(),
                format!("the size “{name}” is empty or given twice"),
                "name each size once, with all of its pieces".to_owned(),
            );
            continue;
        }
        match count.as_integer() {
            Some(count) if (1..=MOST_PIECES).contains(&count) => {
                read.push(SizeCount { size: name, count: u32::try_from(count).unwrap_or(u32::MAX) });
            }
            Some(count) => faults.add(
                sizes.span(),
                format!("{count} pieces of size {name} cannot be ordered"),
                format!("give a quantity from 1 to {MOST_PIECES}, or leave the size out"),
            ),
            None => faults.add(
                sizes.span(),
                format!("the quantity of size {name} is not a whole number"),
                "write sizes = { M = 8 }".to_owned(),
            ),
        }
    }
    read
}

fn read_print(print: Spanned<PrintFile>, faults: &mut Faults<'_>) -> Print {
    let span = print.span();
    let print = print.into_inner();
    check_path(&print.art, faults);
    let sizing = print.sized.as_ref().and_then(|sized| read_sizing(sized, faults));
    if let Some(sized) = print.sized.as_ref().filter(|_| print.width.is_some() || print.height.is_some()) {
        faults.add(
            sized.span(),
            "both a size and “sized” are given".to_owned(),
            "give a width or a height, or sized = \"each band\"".to_owned(),
        );
    }
    let size = match (&print.width, &print.height) {
        (Some(width), None) => SizeWish::Width(read_size(width, "width", faults)),
        (None, Some(height)) => SizeWish::Height(read_size(height, "height", faults)),
        (None, None) => SizeWish::AsFile,
        (Some(_), Some(_)) => {
            faults.add(
                span,
                "both width and height are given".to_owned(),
                "give one of them; the other follows from the art, which is never distorted".to_owned(),
            );
            SizeWish::AsFile
        }
    };
    let offset = print.offset.map(|offset| {
        let read = |side: &Option<Spanned<String>>, faults: &mut Faults<'_>| {
            side.as_ref().map_or(Length::ZERO, |text| read_offset(text, faults))
        };
        (read(&offset.right, faults), read(&offset.up, faults))
    });
    Print {
        art: print.art.into_inner(),
        position: clean(&print.position),
        size,
        finish: print.finish.as_ref().and_then(|finish| read_finish(finish, faults)),
        offset,
        transfer: print.transfer.as_deref().map(clean),
        remove_background: print.remove_background,
        colours: print.colours.iter().map(|colour| clean(colour)).collect(),
        let_cloth_show: print.let_cloth_show,
        sizing,
        stated: stated::read(&print.stated_colours, faults),
    }
}

/// An art path stays within the order's folder whatever it says.
fn check_path(path: &Spanned<String>, faults: &mut Faults<'_>) {
    let text = path.as_ref();
    let climbs = text.split(['/', '\\']).any(|part| part == "..");
    let absolute = text.starts_with(['/', '\\']) || text.contains(':');
    if text.trim().is_empty() || climbs || absolute || text.chars().any(char::is_control) {
        faults.add(
            path.span(),
            format!("“{}” does not name a file in the order's folder", clean(text)),
            "put the art beside the order file and name it like art = \"art/kite.svg\"".to_owned(),
        );
    }
}

fn read_size(text: &Spanned<String>, what: &str, faults: &mut Faults<'_>) -> Length {
    match read_length(text.as_ref()) {
        Ok(length) if length.mm() >= 1.0 && length.mm() <= 5000.0 => length,
        Ok(_) => {
            faults.add(
                text.span(),
                format!("a {what} of {} cannot be pressed", clean(text.as_ref())),
                format!("give a {what} from 1 mm to 5 m"),
            );
            Length::ZERO
        }
        Err(error) => {
            faults.add(text.span(), error.to_string(), format!("write {what} = \"90 mm\" or \"3.5 in\""));
            Length::ZERO
        }
    }
}

fn read_offset(text: &Spanned<String>, faults: &mut Faults<'_>) -> Length {
    match read_length(text.as_ref()) {
        Ok(length) if length.mm().abs() <= 2000.0 => length,
        Ok(_) => {
            faults.add(
                text.span(),
                "the offset is larger than 2 m".to_owned(),
                "measure from the usual place".to_owned(),
            );
            Length::ZERO
        }
        Err(error) => {
            faults.add(text.span(), error.to_string(), "write right = \"10 mm\"".to_owned());
            Length::ZERO
        }
    }
}

pub(super) const SIZINGS: [(&str, Sizing); 3] =
    [("one for all", Sizing::OneForAll), ("one for adults", Sizing::OneForAdults), ("each band", Sizing::EachBand)];

fn read_sizing(text: &Spanned<String>, faults: &mut Faults<'_>) -> Option<Sizing> {
    let typed = text.as_ref().trim().to_lowercase();
    let found = SIZINGS.iter().find(|(word, _)| *word == typed).map(|(_, sizing)| *sizing);
    if found.is_none() {
        faults.unknown_word(text.span(), "sized", &typed, &SIZINGS.map(|(word, _)| word));
    }
    found
}

pub(super) const FINISHES: [(&str, Finish); 9] = [
    ("matt", Finish::Matt),
    ("smooth", Finish::Smooth),
    ("soft", Finish::Soft),
    ("velvet", Finish::Velvet),
    ("sparkling", Finish::Sparkling),
    ("mirror", Finish::Mirror),
    ("raised", Finish::Raised),
    ("reflecting", Finish::Reflecting),
    ("in cloth", Finish::InCloth),
];

fn read_finish(text: &Spanned<String>, faults: &mut Faults<'_>) -> Option<Finish> {
    let typed = text.as_ref().trim().to_lowercase();
    let found = FINISHES.iter().find(|(word, _)| *word == typed).map(|(_, finish)| *finish);
    if found.is_none() {
        let words: Vec<&str> = FINISHES.iter().map(|(word, _)| *word).collect();
        faults.unknown_word(text.span(), "finish", &typed, &words);
    }
    found
}

/// What may be shown and stored: no control characters, at most 200 characters.
pub(super) fn clean(text: &str) -> String {
    // Cleaned first and cut last, so that what was read reads the same when it is written.
    let plain: String = text.chars().filter(|c| !c.is_control()).collect();
    plain.trim().chars().take(200).collect::<String>().trim_end().to_owned()
}

/// The known word nearest to a typed one, when it is near at all.
pub(crate) fn probably<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    nearest(typed, known)
}
