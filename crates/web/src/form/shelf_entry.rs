//! What a form of the shelf asks for, read from the schema of the shop's files.

use serde_json::Value;
use std::sync::LazyLock;

/// A kind of thing that can be added.
#[derive(Debug)]
pub(crate) struct KindOf {
    /// In addresses.
    pub word: &'static str,
    /// The table of its file.
    pub table: &'static str,
    pub file: &'static str,
    /// Heading of the form.
    pub title: &'static str,
    /// Where on the shelf it is seen.
    pub section: &'static str,
    form: &'static str,
}

/// Every kind, in the order in which a shop needs them.
pub(crate) const KINDS: &[KindOf] = &[
    kind("supplier", "suppliers.toml", "web.add-supplier", "stock", "SupplierForm"),
    kind("sheet", "stock.toml", "web.add-sheet", "stock", "SheetForm"),
    kind("roll", "stock.toml", "web.add-roll", "stock", "RollForm"),
    kind("transfer", "transfers.toml", "web.add-transfer", "transfers", "TransferForm"),
    kind("cloth", "cloths.toml", "web.add-cloth", "cloths", "ClothForm"),
    kind("garment", "garments.toml", "web.add-garment", "garments", "GarmentForm"),
    kind("platen", "presses.toml", "web.add-platen", "presses", "PlatenItem"),
    kind("press", "presses.toml", "web.add-press", "presses", "PressForm"),
];

const fn kind(
    word: &'static str,
    file: &'static str,
    title: &'static str,
    section: &'static str,
    form: &'static str,
) -> KindOf {
    KindOf { word, table: word, file, title, section, form }
}

/// What stands on the shelf already and can be named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Of {
    Suppliers,
    Cloths,
    Garments,
    Stock,
    Platens,
}

/// How a field is filled in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Input {
    /// A text, with an example where it has a form of its own.
    Text(String),
    /// A quantity with its unit, with an example.
    Quantity(String),
    /// A bare number.
    Number,
    /// Ticked or not.
    Flag,
    /// Yes, no, or not said.
    Maybe,
    /// One of these words.
    Choice(Vec<String>),
    /// Some of these words.
    Words(Vec<String>),
    /// One of what is on the shelf.
    One(Of),
    /// Some of what is on the shelf.
    Many(Of),
    /// Texts, one after the other.
    List,
    /// From a number of pieces, or from a value of goods, on: what holds there, by that key.
    Steps { counted: bool, then: String },
}

/// A key of an entry; `minimums.line` is a key of a table within it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Field {
    pub key: String,
    pub input: Input,
    pub must: bool,
    /// Left out, common practice stands in.
    pub defaulted: bool,
}

/// A list within an entry, or of entries that go with it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rows {
    /// Its tables, `colour`, `recipe.step`.
    pub key: String,
    /// What the form calls it: as its tables, but for a second table of the same.
    pub named: String,
    pub title: &'static str,
    pub fields: Vec<Field>,
    /// Rows shown at least.
    pub least: usize,
    /// Whether a choice alone makes a row, as "place" makes a step.
    pub chosen_counts: bool,
    /// The table that the rows belong to, with its own keys.
    pub within: Option<(String, Vec<Field>)>,
    /// The file that the rows go to, where it is another.
    pub file: Option<&'static str>,
    /// Whether it is one more of what was asked for already, and seldom needed.
    pub further: bool,
}

impl Rows {
    /// What the form calls the table that the rows belong to.
    pub fn table_named(&self) -> &str {
        self.named.split_once('.').map_or(self.named.as_str(), |(table, _)| table)
    }
}

/// All that a form asks for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Entry {
    pub fields: Vec<Field>,
    pub rows: Vec<Rows>,
}

static SCHEMA: LazyLock<Value> = LazyLock::new(|| serde_json::from_str(&trade::form::schema()).unwrap_or_default());

/// Keys that are written in the file itself: print and cut rules, remnants, marks of examples.
const NOT_ASKED: [&str; 6] = ["print", "cut", "remnant", "invented", "largest", "moisture"];
/// Keys that need no form: left out, nothing stands in.
const NOTHING_STANDS_IN: [&str; 14] = [
    "price",
    "set-up",
    "supplier",
    "finer",
    "features",
    "regulated",
    "declared-value",
    "holidays",
    "minimum",
    "handling",
    "free-carriage-from",
    "remark",
    "identical",
    "data-sheet",
];

/// What the form of a kind asks for.
pub(crate) fn entry(kind: &KindOf) -> Entry {
    let mut entry = Entry { fields: Vec::new(), rows: Vec::new() };
    for (key, of, must) in properties(kind.form) {
        match rows_of(&key, of) {
            // Cloths of another class are often pressed otherwise: a maker's sheet has two recipes then.
            Some(rows) if rows.within.is_some() => {
                let named = format!("second-{}", rows.key);
                let second = Rows { named, title: "web.second-recipe", further: true, ..rows.clone() };
                entry.rows.extend([rows, second]);
            }
            Some(rows) => entry.rows.push(rows),
            None => entry.fields.extend(fields_of(&key, of, must)),
        }
    }
    if kind.word == "supplier" {
        // Its price list: the sheets that it sells.
        let asked = ["id", "name", "width", "length", "price", "margin", "turns", "set-up", "spacing", "identical"];
        let mut fields = plain_fields("SheetForm");
        fields.retain(|field| asked.contains(&field.key.as_str()));
        entry.rows.push(Rows {
            key: "sheet".to_owned(),
            named: "sheet".to_owned(),
            title: "web.price-list",
            fields,
            least: 3,
            chosen_counts: false,
            within: None,
            file: Some("stock.toml"),
            further: false,
        });
    }
    entry
}

/// Keys of a form with their schema and whether they must be there.
fn properties(form: &str) -> Vec<(String, &'static Value, bool)> {
    let def = &SCHEMA["$defs"][form];
    let must = |key: &str| def["required"].as_array().is_some_and(|all| all.iter().any(|known| known == key));
    let all = def["properties"].as_object().into_iter().flatten();
    let asked = all.filter(|(key, _)| !NOT_ASKED.contains(&key.as_str()));
    // The short name used in files is made from the name where it is left empty.
    asked.map(|(key, of)| (key.clone(), of, must(key) && key != "id")).collect()
}

fn plain_fields(form: &str) -> Vec<Field> {
    properties(form).into_iter().flat_map(|(key, of, must)| fields_of(&key, of, must)).collect()
}

/// The name of what a schema refers to, whether it may be left out or not.
fn reference(of: &Value) -> Option<&str> {
    let direct = of["$ref"].as_str();
    let maybe = || of["anyOf"].as_array()?.iter().find_map(|one| one["$ref"].as_str());
    direct.or_else(maybe)?.rsplit('/').next()
}

fn has_type(of: &Value, name: &str) -> bool {
    match &of["type"] {
        Value::String(known) => known == name,
        Value::Array(all) => all.iter().any(|known| known == name),
        _ => false,
    }
}

/// A list of tables as rows of the form.
fn rows_of(key: &str, of: &Value) -> Option<Rows> {
    let form = reference(&of["items"]).filter(|form| form.ends_with("Form"))?;
    let (title, least) = match (key, form) {
        ("colour", "FilmForm") => ("web.film-colours", 2),
        ("colour", _) => ("web.garment-colours", 2),
        ("size", _) => ("web.sizes-measures", 3),
        ("recipe", _) => {
            // Press settings are the maker's or nobody's: nothing stands in for what is left empty.
            let only = |form| -> Vec<Field> {
                plain_fields(form).into_iter().map(|field| Field { defaulted: false, ..field }).collect()
            };
            let mut fields = only("RecipeForm");
            fields.retain(|field| field.key != "step");
            return Some(Rows {
                key: "recipe.step".to_owned(),
                named: "recipe.step".to_owned(),
                title: "web.recipe-steps",
                fields: only("StepForm"),
                least: 5,
                chosen_counts: true,
                within: Some(("recipe".to_owned(), fields)),
                file: None,
                further: false,
            });
        }
        _ => return None,
    };
    Some(Rows {
        key: key.to_owned(),
        named: key.to_owned(),
        title,
        fields: plain_fields(form),
        least,
        chosen_counts: false,
        within: None,
        file: None,
        further: false,
    })
}

/// The field of a key; several for a table within the entry.
fn fields_of(key: &str, of: &Value, must: bool) -> Vec<Field> {
    let field = |input| {
        let defaulted = !must && !NOTHING_STANDS_IN.contains(&key) && key != "id";
        vec![Field { key: key.to_owned(), input, must, defaulted }]
    };
    if let Some(one) = shelf_name(key) {
        return field(if has_type(of, "array") { Input::Many(one) } else { Input::One(one) });
    }
    if has_type(of, "array") {
        return match reference(&of["items"]) {
            Some(form) if form.ends_with("Form") => {
                let parts = properties(form);
                let counted = parts.iter().any(|(key, of, _)| key == "from" && has_type(of, "integer"));
                let then = parts.into_iter().map(|(key, ..)| key).find(|key| key != "from").unwrap_or_default();
                field(Input::Steps { counted, then })
            }
            Some(words) => field(Input::Words(words_of(words))),
            None => field(Input::List),
        };
    }
    if let Some(name) = reference(of) {
        let def = &SCHEMA["$defs"][name];
        if def["properties"].is_object() {
            return properties(name)
                .into_iter()
                .flat_map(|(inner, of, _)| fields_of(&inner, of, false))
                // What stands in for a whole table is told by the table.
                .map(|inner| Field { key: format!("{key}.{}", inner.key), defaulted: key == "minimums", ..inner })
                .collect();
        }
        let words = words_of(name);
        if !words.is_empty() {
            return field(Input::Choice(words));
        }
        let example = def["examples"][0].as_str().unwrap_or_default().to_owned();
        return field(Input::Quantity(example));
    }
    let maybe = of["type"].is_array();
    match () {
        () if has_type(of, "boolean") && maybe => field(Input::Maybe),
        () if has_type(of, "boolean") => {
            vec![Field { key: key.to_owned(), input: Input::Flag, must: false, defaulted: false }]
        }
        () if has_type(of, "integer") || has_type(of, "number") => field(Input::Number),
        () => field(Input::Text(example_of(key).to_owned())),
    }
}

/// What a key names of the shelf.
fn shelf_name(key: &str) -> Option<Of> {
    match key {
        "supplier" => Some(Of::Suppliers),
        "cloth" | "reference-cloth" => Some(Of::Cloths),
        "finer" => Some(Of::Garments),
        "stock" => Some(Of::Stock),
        "platens" => Some(Of::Platens),
        _ => None,
    }
}

fn words_of(name: &str) -> Vec<String> {
    let all = SCHEMA["$defs"][name]["enum"].as_array().into_iter().flatten();
    all.filter_map(Value::as_str).map(str::to_owned).collect()
}

fn example_of(key: &str) -> &'static str {
    match key {
        "rgb" => "#1F4E9A",
        "cut-off" => "14:00",
        _ => "",
    }
}

/// A name for people as the short one that files use: small letters, digits, hyphens.
pub(crate) fn slug(name: &str) -> String {
    let plain: String = name.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    parts.join("-").chars().take(40).collect::<String>().trim_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each form asks for every key that its file must have; checked against the schema by hand for
    /// three kinds whose keys docs/shop-files.md shows.
    #[test]
    fn forms_ask_for_what_the_files_must_have() {
        let musts = |word: &str| -> Vec<String> {
            let kind = KINDS.iter().find(|kind| kind.word == word).expect("a kind");
            entry(kind).fields.into_iter().filter(|field| field.must).map(|field| field.key).collect()
        };
        assert_eq!(musts("cloth"), ["name", "fibres", "mass", "structure"]);
        assert_eq!(musts("press"), ["name", "plate-width", "plate-depth", "platens", "hottest", "temperature-step"]);
        assert_eq!(musts("supplier"), ["name", "cut-off", "production-days", "transit-days", "carriage"]);
        for kind in KINDS {
            assert!(!entry(kind).fields.is_empty(), "{}: its form is in the schema", kind.word);
        }
    }

    #[test]
    fn fields_are_filled_in_as_their_values_are() {
        let of = |word: &str| entry(KINDS.iter().find(|kind| kind.word == word).expect("a kind"));
        let input = |word: &str, key: &str| {
            of(word).fields.into_iter().find(|field| field.key == key).map(|field| field.input).expect(key)
        };
        assert_eq!(input("transfer", "thickness"), Input::Quantity("90 mm, 3.5 in".to_owned()));
        assert_eq!(input("transfer", "full-colour"), Input::Flag);
        assert_eq!(input("transfer", "film-on-film"), Input::Maybe);
        assert_eq!(input("transfer", "stock"), Input::Many(Of::Stock));
        assert_eq!(input("transfer", "minimums.line"), Input::Quantity("90 mm, 3.5 in".to_owned()));
        assert_eq!(input("supplier", "carriage"), Input::Steps { counted: false, then: "price".to_owned() });
        assert_eq!(input("sheet", "identical"), Input::Steps { counted: true, then: "price".to_owned() });
        assert_eq!(input("garment", "breaks"), Input::Steps { counted: true, then: "off".to_owned() });
        assert_eq!(input("press", "heater-watts"), Input::Number);
        assert!(matches!(input("garment", "features"), Input::Words(words) if words.contains(&"hood".to_owned())));
        let keys: Vec<String> = of("transfer").rows.into_iter().map(|rows| rows.key).collect();
        assert_eq!(keys, ["colour", "recipe.step", "recipe.step"]);
        let names: Vec<String> = of("transfer").rows.iter().map(|rows| rows.table_named().to_owned()).collect();
        assert_eq!(names, ["colour", "recipe", "second-recipe"]);
        let size = of("garment").rows.into_iter().find(|rows| rows.key == "size").expect("sizes");
        assert!(size.fields.iter().any(|field| field.key == "measures.chest-width"));
    }
}
