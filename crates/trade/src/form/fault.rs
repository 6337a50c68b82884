//! What is wrong in a shop's file, where, and what to write instead.

use std::fmt;

/// One fault of one file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct FormFault {
    /// The file by name.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Character of the line, from 1.
    pub column: usize,
    /// What is there, in a sentence without full stop.
    pub what: String,
    /// What to do, in a sentence without full stop.
    pub remedy: String,
}

impl fmt::Display for FormFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, line {}, column {}: {}. {}.", self.file, self.line, self.column, self.what, self.remedy)
    }
}

impl std::error::Error for FormFault {}

/// Nobody reads more; it also bounds the work on a hostile file.
const MOST_FAULTS: usize = 100;

/// Collects the faults of one file.
pub(super) struct Faults<'a> {
    file: &'a str,
    text: &'a str,
    found: Vec<FormFault>,
}

impl<'a> Faults<'a> {
    pub fn new(file: &'a str, text: &'a str) -> Self {
        Self { file, text, found: Vec::new() }
    }

    /// Something is wrong at this byte.
    pub fn tell(&mut self, at: usize, what: impl Into<String>, remedy: impl Into<String>) {
        if self.found.len() >= MOST_FAULTS {
            return;
        }
        let (line, column) = self.place(at);
        self.found.push(FormFault {
            file: self.file.to_owned(),
            line,
            column,
            what: what.into(),
            remedy: remedy.into(),
        });
    }

    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    pub fn into_vec(self) -> Vec<FormFault> {
        self.found
    }

    fn place(&self, at: usize) -> (usize, usize) {
        let before: String = self.text.char_indices().take_while(|(start, _)| *start < at).map(|(_, c)| c).collect();
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        (line, column)
    }
}

/// The nearest of `known` to a mistyped `word`, when one is near enough to be meant.
pub(super) fn nearest<'k>(word: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
    let lower = word.to_lowercase().replace(['_', ' '], "-");
    known
        .map(|candidate| {
            (strsim::damerau_levenshtein(&lower, candidate), strsim::jaro_winkler(&lower, candidate), candidate)
        })
        .filter(|(edits, likeness, candidate)| *edits <= 1 + candidate.chars().count() / 4 || *likeness > 0.86)
        .min_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)))
        .map(|(_, _, candidate)| candidate)
}

/// "Write “x”", or the list of what can be written.
pub(super) fn meant<'k>(word: &str, known: impl Iterator<Item = &'k str> + Clone) -> String {
    match nearest(word, known.clone()) {
        Some(near) => format!("Write “{near}”"),
        None => {
            let all: Vec<&str> = known.take(40).collect();
            if all.is_empty() {
                "There is none to name yet; add it first".to_owned()
            } else {
                format!("Write one of: {}", all.join(", "))
            }
        }
    }
}
