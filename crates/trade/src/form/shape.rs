//! Whether a file has the keys and kinds of value that its schema asks for.
//!
//! The schema comes from the form types, so that what is published and what is
//! checked are one. Every fault of a file is told at once, with its place.

use super::fault::{Faults, meant};
use super::texts::shown;
use serde_json::{Map, Value};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

type Json = Map<String, Value>;

/// Checks a whole file against its schema; `root` holds the shared definitions.
pub(super) fn check(table: &Spanned<DeTable<'_>>, schema: &Value, root: &Value, faults: &mut Faults<'_>) {
    let mut check = Check { root, faults };
    let whole = resolve(schema, root);
    check.table(table.get_ref(), table.span().start, whole, "");
}

struct Check<'c, 'f> {
    root: &'c Value,
    faults: &'c mut Faults<'f>,
}

impl<'c> Check<'c, '_> {
    fn table(&mut self, table: &DeTable<'_>, at: usize, schema: Option<&'c Json>, path: &str) {
        let Some(schema) = schema else { return };
        let Some(properties) = schema.get("properties").and_then(Value::as_object) else { return };
        for (key, value) in table {
            match properties.get(key.get_ref().as_ref()) {
                Some(wanted) => self.value(value, wanted, &join(path, key.get_ref())),
                None => self.faults.tell(
                    key.span().start,
                    format!("“{}” is not a key {}", shown(key.get_ref()), place(path)),
                    meant(key.get_ref(), properties.keys().map(String::as_str)),
                ),
            }
        }
        let required = schema.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str);
        for key in required.filter(|key| !table.contains_key(*key)) {
            let example = properties.get(key).and_then(|wanted| self.example(wanted));
            let example = example.map_or(format!("Add “{key}”"), |example| format!("Add {key} = {example}"));
            self.faults.tell(at, format!("“{key}” is missing {}", place(path)), example);
        }
    }

    fn value(&mut self, value: &Spanned<DeValue<'_>>, wanted: &'c Value, path: &str) {
        let Some(schema) = resolve(wanted, self.root) else { return };
        let at = value.span().start;
        let kinds = kinds(schema);
        match value.get_ref() {
            DeValue::Table(table) if kinds.contains(&"object") => self.table(table, at, Some(schema), path),
            DeValue::Array(items) if kinds.contains(&"array") => {
                if let Some(each) = schema.get("items") {
                    for item in items.iter() {
                        self.value(item, each, path);
                    }
                }
            }
            DeValue::String(text) if kinds.contains(&"string") => self.word(text, at, schema, path),
            DeValue::Integer(number) if kinds.contains(&"integer") => self.integer(number.as_str(), at, schema, path),
            DeValue::Integer(_) | DeValue::Float(_) if kinds.contains(&"number") => {}
            DeValue::Boolean(_) if kinds.contains(&"boolean") => {}
            _ if kinds.is_empty() => {}
            other => {
                let remedy = match (kinds.first().copied(), other) {
                    (
                        Some("string"),
                        DeValue::Integer(_) | DeValue::Float(_) | DeValue::Datetime(_) | DeValue::Boolean(_),
                    ) => self
                        .example(wanted)
                        .map_or("Put it in quotes".to_owned(), |example| format!("Write it in quotes, like {example}")),
                    (Some(kind), _) => format!("Write {}", said(kind)),
                    (None, _) => "Look at the key again".to_owned(),
                };
                self.faults.tell(at, format!("“{}” is {}", shown(path), said(type_of(other))), remedy);
            }
        }
    }

    fn word(&mut self, text: &str, at: usize, schema: &Json, path: &str) {
        let Some(words) = schema.get("enum").and_then(Value::as_array) else { return };
        let words = words.iter().filter_map(Value::as_str);
        if !words.clone().any(|word| word == text) {
            self.faults.tell(
                at,
                format!("“{}” is not a word that “{}” can have", shown(text), shown(path)),
                meant(text, words),
            );
        }
    }

    fn integer(&mut self, digits: &str, at: usize, schema: &Json, path: &str) {
        let number = digits.replace('_', "").parse::<i64>().ok().filter(|number| {
            let least = schema.get("minimum").and_then(Value::as_i64).unwrap_or(i64::MIN);
            let most = schema.get("maximum").and_then(Value::as_i64).unwrap_or(i64::from(u32::MAX));
            (least..=most).contains(number)
        });
        if number.is_none() {
            self.faults.tell(
                at,
                format!("{} is out of range for “{}”", shown(digits), shown(path)),
                "Write a whole number that can be counted, not below 0",
            );
        }
    }

    fn example(&self, wanted: &Value) -> Option<String> {
        let schema = resolve(wanted, self.root)?;
        let first = |key: &str| schema.get(key)?.as_array()?.first()?.as_str();
        let text = first("examples").map(|all| all.split(", ").next().unwrap_or(all)).or_else(|| first("enum"))?;
        Some(format!("\"{text}\""))
    }
}

/// Follows references and steps over "or nothing".
fn resolve<'v>(schema: &'v Value, root: &'v Value) -> Option<&'v Json> {
    let mut at = schema;
    // Definitions of the forms nest a few deep and never in circles.
    for _ in 0..16 {
        let object = at.as_object()?;
        if let Some(target) = object.get("$ref").and_then(Value::as_str) {
            at = root.pointer(target.strip_prefix('#')?)?;
        } else if let Some(some) = object.get("anyOf").and_then(Value::as_array) {
            at = some.iter().find(|one| one.get("type").and_then(Value::as_str) != Some("null"))?;
        } else {
            return Some(object);
        }
    }
    None
}

fn kinds(schema: &Json) -> Vec<&str> {
    match schema.get("type") {
        Some(Value::String(kind)) => vec![kind],
        Some(Value::Array(all)) => all.iter().filter_map(Value::as_str).filter(|kind| *kind != "null").collect(),
        _ => Vec::new(),
    }
}

fn type_of(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "string",
        DeValue::Integer(_) => "integer",
        DeValue::Float(_) => "number",
        DeValue::Boolean(_) => "boolean",
        DeValue::Datetime(_) => "date",
        DeValue::Array(_) => "array",
        DeValue::Table(_) => "object",
    }
}

fn said(kind: &str) -> &'static str {
    match kind {
        "string" => "text in quotes",
        "integer" => "a whole number",
        "number" => "a number",
        "boolean" => "true or false",
        "date" => "a bare date",
        "array" => "a list",
        _ => "a table with keys",
    }
}

fn place(path: &str) -> String {
    if path.is_empty() { "at the top of the file".to_owned() } else { format!("of “{path}”") }
}

fn join(path: &str, key: &str) -> String {
    if path.is_empty() { shown(key) } else { format!("{path}.{}", shown(key)) }
}
