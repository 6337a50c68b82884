//! Faults of a text file with their line and the word that was probably meant.

use std::ops::Range;
use trade::form::FormFault;

/// Faults gathered while a file is read.
pub(super) struct Faults<'a> {
    file: &'a str,
    text: &'a str,
    found: Vec<FormFault>,
}

impl<'a> Faults<'a> {
    pub(super) fn new(file: &'a str, text: &'a str) -> Self {
        Self { file, text, found: Vec::new() }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    pub(super) fn all(self) -> Vec<FormFault> {
        self.found
    }

    pub(super) fn add(&mut self, span: Range<usize>, what: String, remedy: String) {
        let (line, column) = self.position(span.start);
        self.found.push(FormFault { file: self.file.to_owned(), line, column, what, remedy });
    }

    pub(super) fn unknown_word(&mut self, span: Range<usize>, what: &str, typed: &str, known: &[&str]) {
        let typed: String = typed.chars().filter(|c| !c.is_control()).take(40).collect();
        let list = known.join(", ");
        let remedy = match nearest(&typed, known.iter().copied()) {
            Some(word) => format!("“{word}” was probably meant; known are {list}"),
            None => format!("known are {list}"),
        };
        self.add(span, format!("“{typed}” is not a {what} known here"), remedy);
    }

    /// What the TOML reader could not take, in our words.
    pub(super) fn unreadable(&mut self, error: &toml::de::Error) {
        let span = error.span().unwrap_or(0..0);
        let message = error.message();
        if let Some((typed, known)) = unknown_field(message) {
            let remedy = match nearest(&typed, known.iter().map(String::as_str)) {
                Some(key) => format!("“{key}” was probably meant; keys known here are {}", known.join(", ")),
                None => format!("keys known here are {}", known.join(", ")),
            };
            self.add(span, format!("the key “{typed}” is not known here"), remedy);
        } else if let Some(field) = message.strip_prefix("missing field `").and_then(|rest| rest.split('`').next()) {
            self.add(span, format!("the key “{field}” is missing"), format!("add {field} = …"));
        } else {
            let plain: String = message.chars().filter(|c| !c.is_control()).take(200).collect();
            self.add(span, plain, "compare with the example in docs/order-file.md".to_owned());
        }
    }

    fn position(&self, at: usize) -> (usize, usize) {
        let before = self.text.get(..at.min(self.text.len())).unwrap_or("");
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().map_or(0, |tail| tail.chars().count()) + 1;
        (line, column)
    }
}

/// The typed key and the known ones, out of the reader's message.
fn unknown_field(message: &str) -> Option<(String, Vec<String>)> {
    let rest = message.strip_prefix("unknown field `")?;
    let mut quoted = rest.split('`').step_by(2).map(str::to_owned);
    let typed = quoted.next()?;
    Some((typed, quoted.filter(|key| !key.is_empty()).collect()))
}

/// The known word nearest to a typed one: half of it may be wrong, no more.
pub(super) fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed = typed.to_lowercase();
    known
        .into_iter()
        .map(|word| (strsim::damerau_levenshtein(&typed, &word.to_lowercase()), word))
        .filter(|(distance, word)| *distance * 2 <= word.chars().count().max(2))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}
