//! One more thing on the shelf, by copying a maker's sheet into a form.
//!
//! The fields follow from the schema of the shop's files, so that a form asks for
//! all that its file can hold, and nothing else. What is typed becomes an entry of
//! the file; the whole shelf must read with it, else it stays in the form.

use crate::answer::{Answer, Fault, Frame, on_to, page_as};
use crate::app::Ctx;
use crate::ask::{Ask, Fields};
use crate::form::shelf_entry::{Entry, Field, Input, KINDS, KindOf, Of, Rows, entry, slug};
use crate::tongue::Tongue;
use askama::Template;
use axum::http::StatusCode;
use desk::kept::DeedError;
use std::collections::BTreeMap;
use trade::Shop;
use units::UnitSystem;

/// Rows of a list shown before anything is typed, and added at a time.
const ROWS: usize = 3;
/// Fields of a row that are seen at once; the rest unfolds.
const MOST_IN_ROW: usize = 12;
/// Rows of a list at most.
const MOST_ROWS: usize = 60;

struct FieldView {
    /// As the form sends it.
    name: String,
    id: String,
    label: String,
    /// Which control it is.
    control: &'static str,
    value: String,
    /// What may be chosen: value, words, whether it is.
    choices: Vec<(String, String, bool)>,
    hint: String,
    must: bool,
}

impl FieldView {
    fn filled(&self) -> bool {
        !self.value.is_empty() || self.choices.iter().any(|(_, _, picked)| *picked)
    }
}

struct RowsView {
    /// As the form sends it.
    key: String,
    /// Folded away where it is seldom needed: whether it is open.
    folded: Option<bool>,
    title: String,
    /// Fields of the table that the rows belong to.
    fields: Vec<FieldView>,
    /// Each with what is usually filled in, then the rest.
    rows: Vec<(Vec<FieldView>, Vec<FieldView>)>,
}

#[derive(Template)]
#[template(path = "shelf_item.html")]
struct ShelfItem {
    frame: Frame,
    w: Tongue,
    kind: &'static str,
    title: String,
    file: &'static str,
    /// Its version as the form was made from.
    version: i64,
    more_version: i64,
    faults: Vec<String>,
    fields: Vec<FieldView>,
    /// Fields that may be left empty.
    more: Vec<FieldView>,
    more_open: bool,
    rows: Vec<RowsView>,
}

fn kind_of(ask: &Ask) -> Result<&'static KindOf, Fault> {
    KINDS.iter().find(|kind| kind.word == ask.part(0)).ok_or(Fault::Missing)
}

pub(crate) fn blank(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    shown(ctx, kind_of(ask)?, &Fields::default(), StatusCode::OK, Vec::new())
}

fn shown(ctx: &Ctx<'_>, kind: &'static KindOf, typed: &Fields, status: StatusCode, faults: Vec<String>) -> Answer {
    let w = ctx.w;
    let shop = ctx.kept().shop().ok();
    let shop = shop.as_ref().map(|shop| &shop.value);
    let entry = entry(kind);
    let files = ctx.kept().shop_files()?;
    let version = |name: &str| files.iter().find(|(known, _, _)| known == name).map_or(0, |(_, version, _)| *version);
    let seen = |field: &str, name: &str| typed.number(field).unwrap_or_else(|| version(name));
    let name = |key: &str| format!("f.{key}");
    let all = entry.fields.iter().map(|field| view(&w, shop, field, name(&field.key), typed));
    let (fields, more): (Vec<FieldView>, Vec<FieldView>) = all.partition(|field| field.must || field.name == "f.id");
    let page_of = ShelfItem {
        more_open: more.iter().any(FieldView::filled),
        frame: Frame::new(ctx, w.t(kind.title), "shelf"),
        w,
        kind: kind.word,
        title: w.t(kind.title),
        file: kind.file,
        version: seen("version", kind.file),
        more_version: seen("more-version", "stock.toml"),
        faults,
        fields,
        more,
        rows: entry.rows.iter().map(|rows| rows_view(&w, shop, rows, typed)).collect(),
    };
    page_as(status, &page_of)
}

fn rows_view(w: &Tongue, shop: Option<&Shop>, rows: &Rows, typed: &Fields) -> RowsView {
    let given = given_rows(rows, typed);
    let asked =
        typed.number(&format!("count.{}", rows.named)).and_then(|count| usize::try_from(count).ok()).unwrap_or(0);
    let more = if typed.get("more") == rows.named { asked.saturating_add(ROWS) } else { asked };
    let count = more.max(given.len()).max(rows.least).min(MOST_ROWS);
    let row = |nth: usize| {
        let name = |field: &Field| format!("r.{}.{nth}.{}", rows.named, field.key);
        let mut first: Vec<FieldView> =
            rows.fields.iter().map(|field| view(w, shop, field, name(field), typed)).collect();
        for field in first.iter_mut().filter(|_| nth > 0) {
            // Said once, beside the first row.
            field.hint.clear();
            field.must = false;
        }
        let rest = if first.len() > MOST_IN_ROW { first.split_off(MOST_IN_ROW) } else { Vec::new() };
        (first, rest)
    };
    let within = rows.within.iter().flat_map(|(_, fields)| fields);
    let named = rows.table_named();
    let fields: Vec<FieldView> =
        within.map(|field| view(w, shop, field, format!("f.{named}.{}", field.key), typed)).collect();
    let used = !given.is_empty() || fields.iter().any(FieldView::filled) || typed.get("more") == rows.named;
    RowsView {
        folded: rows.further.then_some(used),
        title: w.t(rows.title),
        fields,
        rows: (0..count).map(row).collect(),
        key: rows.named.clone(),
    }
}

fn label(w: &Tongue, field: &Field) -> String {
    let last = field.key.rsplit('.').next().unwrap_or(&field.key);
    let text = match last {
        "id" => w.t("web.key-id"),
        "rgb" => w.t("web.key-rgb"),
        "do" => w.t("web.key-do"),
        "temperature-low" => w.t("web.key-low"),
        "temperature-high" => w.t("web.key-high"),
        "way" => w.t("web.key-way"),
        "kind" => w.t("web.key-kind"),
        "band" => w.t("web.key-band"),
        "sheet" => w.t("web.key-sheet"),
        "line" => w.t("web.least-line"),
        "finer" => w.t("web.key-finer"),
        _ => w.speech.label(last),
    };
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn hint(w: &Tongue, field: &Field) -> String {
    let like = match &field.input {
        Input::Quantity(example) | Input::Text(example) if !example.is_empty() => w.a("web.like", example),
        Input::Steps { .. } => w.t("web.like-steps"),
        Input::List => w.t("web.like-list"),
        _ => String::new(),
    };
    let default = if field.must || !field.defaulted { String::new() } else { w.t("web.empty-is-default") };
    [like, default].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join("; ")
}

fn view(w: &Tongue, shop: Option<&Shop>, field: &Field, name: String, typed: &Fields) -> FieldView {
    let picked = |value: &str| typed.0.iter().any(|(known, text)| *known == name && text == value);
    let spaced = |word: &String| word.replace('-', " ");
    let of_words = |words: &[String]| -> Vec<(String, String, bool)> {
        words.iter().map(|word| (word.clone(), spaced(word), picked(word))).collect()
    };
    let (control, choices) = match &field.input {
        Input::Choice(words) => ("choice", of_words(words)),
        Input::Words(words) => ("many", of_words(words)),
        Input::Flag => ("flag", vec![("yes".to_owned(), String::new(), picked("yes"))]),
        Input::Maybe => (
            "choice",
            vec![("yes".to_owned(), w.t("web.yes"), picked("yes")), ("no".to_owned(), w.t("web.no"), picked("no"))],
        ),
        Input::One(of) => {
            let all = known(shop, *of);
            ("choice", all.into_iter().map(|(id, words)| (id.clone(), words, picked(&id))).collect())
        }
        Input::Many(of) => {
            let all = known(shop, *of);
            ("many", all.into_iter().map(|(id, words)| (id.clone(), words, picked(&id))).collect())
        }
        _ => ("line", Vec::new()),
    };
    FieldView {
        id: name.replace('.', "-"),
        label: label(w, field),
        control,
        value: typed.raw(&name).to_owned(),
        choices,
        hint: hint(w, field),
        must: field.must,
        name,
    }
}

/// What is on the shelf already, by name used in files and name for people.
fn known(shop: Option<&Shop>, of: Of) -> Vec<(String, String)> {
    let Some(shop) = shop else { return Vec::new() };
    let pair = |id: &str, name: &str| (id.to_owned(), words::clean(name));
    match of {
        Of::Suppliers => shop.suppliers().map(|(_, one)| pair(&one.id, &one.name)).collect(),
        Of::Cloths => shop.cloths().map(|(_, one)| pair(&one.id, &one.name)).collect(),
        Of::Garments => shop.garments().map(|(_, one)| pair(&one.id, &one.name)).collect(),
        Of::Stock => shop.stock().map(|(_, one)| pair(&one.id, &one.name)).collect(),
        Of::Platens => shop.platens().map(|(_, one)| pair(&one.id, &one.name)).collect(),
    }
}

/// Rows in which anything was typed, by their numbers. What is only chosen from a list does not count.
fn given_rows(rows: &Rows, typed: &Fields) -> Vec<usize> {
    let prefix = format!("r.{}.", rows.named);
    let mut all: Vec<usize> = Vec::new();
    for (name, text) in &typed.0 {
        let Some((nth, key)) = name.strip_prefix(&prefix).and_then(|rest| rest.split_once('.')) else { continue };
        let typed_in = rows.fields.iter().any(|field| {
            field.key == key
                && (rows.chosen_counts || !matches!(field.input, Input::Choice(_) | Input::One(_) | Input::Maybe))
        });
        if let Some(nth) = nth.parse::<usize>().ok().filter(|nth| *nth < MOST_ROWS)
            && typed_in
            && !text.trim().is_empty()
        {
            all.push(nth);
        }
    }
    all.sort_unstable();
    all.dedup();
    all
}

/// Keeps the new entry when the whole shelf reads with it.
pub(crate) fn keep(ctx: &Ctx<'_>, ask: &Ask) -> Answer {
    let kind = kind_of(ask)?;
    let typed = &ask.fields;
    if !typed.get("more").is_empty() {
        return shown(ctx, kind, typed, StatusCode::OK, Vec::new());
    }
    let entry = entry(kind);
    let inch = ctx.w.speech.units() == UnitSystem::Inch;
    let files = ctx.kept().shop_files()?;
    let text_of = |name: &str| {
        let text = files.iter().find(|(known, _, _)| known == name).map(|(_, _, text)| text.clone());
        text.filter(|text| !text.trim().is_empty()).unwrap_or_else(|| "version = 1\n".to_owned())
    };
    let name = typed.get("f.name");
    let id = match typed.get("f.id") {
        "" => slug(name),
        id => id.to_owned(),
    };
    let mut changed = vec![(
        kind.file.to_owned(),
        format!(
            "{}\n{}",
            text_of(kind.file).trim_end_matches('\n').to_owned() + "\n",
            written(&entry, kind, &id, typed, inch)
        ),
        ask.version(),
    )];
    let listed = price_list(&entry, &id, typed, inch);
    if !listed.is_empty() {
        let text = format!("{}\n{listed}", text_of("stock.toml").trim_end_matches('\n').to_owned() + "\n");
        changed.push(("stock.toml".to_owned(), text, typed.number("more-version").unwrap_or(0)));
    }
    match ctx.kept().put_shop_files(&changed, &ctx.hand()) {
        Ok(_) => Ok(on_to(&format!("/shelf#{}", kind.section))),
        Err(error) => {
            let faults = match &error {
                // Lines of a file say nothing to someone who fills in a form.
                DeedError::Faults(faults) => {
                    faults.iter().map(|fault| format!("{}. {}.", fault.what, fault.remedy)).collect()
                }
                DeedError::Conflict { .. } => vec![ctx.w.t("web.shelf-changed")],
                other => vec![other.to_string()],
            };
            let status = match error {
                DeedError::Conflict { .. } => StatusCode::CONFLICT,
                _ => StatusCode::UNPROCESSABLE_ENTITY,
            };
            let mut again = typed.clone();
            if status == StatusCode::CONFLICT {
                // Sent once more, it goes beside what the other person added.
                again.0.retain(|(name, _)| name != "version" && name != "more-version");
            }
            shown(ctx, kind, &again, status, faults)
        }
    }
}

/// The entry as its file has it.
fn written(entry: &Entry, kind: &KindOf, id: &str, typed: &Fields, inch: bool) -> String {
    let mut text = format!("[[{}]]\nid = {}\n", kind.table, quoted(id));
    text.push_str(&keys(&entry.fields, |key| format!("f.{key}"), typed, inch, ""));
    // A table within the entry, such as a recipe, stands before its own rows.
    for rows in entry.rows.iter().filter(|rows| rows.file.is_none()) {
        if let Some((table, fields)) = &rows.within {
            let of = keys(fields, |key| format!("f.{}.{key}", rows.table_named()), typed, inch, "");
            let any = !of.is_empty() || !given_rows(rows, typed).is_empty();
            if any {
                text.push_str(&format!("\n[[{}.{table}]]\n{of}", kind.table));
            }
        }
        for nth in given_rows(rows, typed) {
            text.push_str(&format!("\n[[{}.{}]]\n", kind.table, rows.key));
            text.push_str(&keys(&rows.fields, |key| format!("r.{}.{nth}.{key}", rows.named), typed, inch, ""));
        }
    }
    text
}

/// What a supplier sells, as entries of the stock.
fn price_list(entry: &Entry, supplier: &str, typed: &Fields, inch: bool) -> String {
    let mut text = String::new();
    for rows in entry.rows.iter().filter(|rows| rows.file.is_some()) {
        for nth in given_rows(rows, typed) {
            let name = |key: &str| format!("r.{}.{nth}.{key}", rows.key);
            let id = match typed.get(&name("id")) {
                "" => slug(&format!("{supplier} {}", typed.get(&name("name")))),
                id => id.to_owned(),
            };
            text.push_str(&format!("\n[[{}]]\nid = {}\nsupplier = {}\n", rows.key, quoted(&id), quoted(supplier)));
            text.push_str(&keys(&rows.fields, name, typed, inch, "id"));
        }
    }
    text
}

/// Keys that were filled in, as lines of TOML; those with a dot as one table.
fn keys(fields: &[Field], name: impl Fn(&str) -> String, typed: &Fields, inch: bool, but: &str) -> String {
    let mut text = String::new();
    let mut tables: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for field in fields.iter().filter(|field| field.key != "id" && field.key != but) {
        let all: Vec<&str> = {
            let name = name(&field.key);
            typed.0.iter().filter(|(known, _)| *known == name).map(|(_, text)| text.trim()).collect()
        };
        let Some(value) = value_of(&field.input, &all, inch) else { continue };
        match field.key.split_once('.') {
            Some((table, key)) => tables.entry(table).or_default().push(format!("{key} = {value}")),
            None => text.push_str(&format!("{} = {value}\n", field.key)),
        }
    }
    for (table, of) in tables {
        text.push_str(&format!("{table} = {{ {} }}\n", of.join(", ")));
    }
    text
}

/// What was typed as a value of TOML; nothing where nothing was.
fn value_of(input: &Input, all: &[&str], inch: bool) -> Option<String> {
    let first = all.first().copied().unwrap_or("");
    let several = || {
        let list: Vec<String> = all.iter().filter(|text| !text.is_empty()).map(|text| quoted(text)).collect();
        (!list.is_empty()).then(|| format!("[{}]", list.join(", ")))
    };
    match input {
        Input::Words(_) | Input::Many(_) => several(),
        _ if first.is_empty() => None,
        Input::Quantity(example) => Some(quoted(&with_unit(first, example, inch))),
        Input::Number => {
            Some(first.replace(',', ".")).filter(|text| text.parse::<f64>().is_ok()).or_else(|| Some(quoted(first)))
        }
        Input::Flag => Some("true".to_owned()),
        Input::Maybe => Some((first == "yes").to_string()),
        Input::List => {
            let list: Vec<String> =
                first.split([',', ';']).map(str::trim).filter(|text| !text.is_empty()).map(quoted).collect();
            Some(format!("[{}]", list.join(", ")))
        }
        Input::Steps { counted, then } => Some(steps(first, *counted, then)),
        Input::Text(_) | Input::Choice(_) | Input::One(_) => Some(quoted(first)),
    }
}

/// "5: 6.60; 20: 5.90" as steps of a price (or of what `then` names); what does not read so is left
/// for the shelf's reader to tell. Pieces are `counted`, values of goods are money.
fn steps(text: &str, counted: bool, then: &str) -> String {
    let step = |part: &str| {
        let (from, what) = part.split_once([':', '=']).unwrap_or((part, ""));
        let (from, what) = (from.trim().replace(',', "."), what.trim().replace(',', "."));
        let from = if counted && from.parse::<u32>().is_ok() { from } else { quoted(&from) };
        format!("{{ from = {from}, {then} = {} }}", quoted(&what))
    };
    let all: Vec<String> = text.split(';').map(str::trim).filter(|part| !part.is_empty()).map(step).collect();
    format!("[{}]", all.join(", "))
}

/// A bare number gets the unit that the person reads first.
fn with_unit(text: &str, example: &str, inch: bool) -> String {
    let bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\u{2212}'));
    let unit = match example {
        _ if !bare => "",
        e if e.contains(" mm") && inch => " in",
        e if e.contains(" mm") => " mm",
        e if e.contains("°C") && inch => " °F",
        e if e.contains("°C") => " °C",
        e if e.contains("g/m") => " g/m²",
        e if e.contains('%') => " %",
        e if e.contains(" s") => " s",
        _ => "",
    };
    format!("{text}{unit}")
}

/// A text as TOML: JSON's strings are TOML's basic strings (TOML 1.0, section String).
fn quoted(text: &str) -> String {
    serde_json::Value::String(words::clean(text)).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_becomes_toml() {
        let length = Input::Quantity("90 mm, 3.5 in".to_owned());
        let heat = Input::Quantity("150 °C, 300 °F".to_owned());
        let cases: [(&Input, &str, bool, Option<&str>); 13] = [
            (&length, "0,09", false, Some("\"0,09 mm\"")),
            (&length, "16", true, Some("\"16 in\"")),
            (&length, "16 cm", true, Some("\"16 cm\"")),
            (&length, "", true, None),
            (&heat, "320", true, Some("\"320 °F\"")),
            (&heat, "about 150", false, Some("\"about 150\"")),
            (&Input::Number, "2200", false, Some("2200")),
            (&Input::Number, "many", false, Some("\"many\"")),
            (&Input::Flag, "yes", false, Some("true")),
            (&Input::List, "70 % cotton; 30 % polyester", false, Some("[\"70 % cotton\", \"30 % polyester\"]")),
            (&Input::Text(String::new()), "say \"so\" \\ ]", false, Some("\"say \\\"so\\\" \\\\ ]\"")),
            (
                &Input::Steps { counted: true, then: "price".to_owned() },
                "5: 6.60; 20: 5,90",
                false,
                Some("[{ from = 5, price = \"6.60\" }, { from = 20, price = \"5.90\" }]"),
            ),
            (
                &Input::Steps { counted: false, then: "price".to_owned() },
                "0: 6.90; 80: 0",
                false,
                Some("[{ from = \"0\", price = \"6.90\" }, { from = \"80\", price = \"0\" }]"),
            ),
        ];
        for (input, typed, inch, toml) in cases {
            assert_eq!(value_of(input, &[typed], inch).as_deref(), toml, "{typed}");
        }
    }
}
