//! Reading a form and refusing it with place and remedy.

use std::fmt;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::locate;
use crate::error::HeatError;

/// Longest form taken, bytes.
pub const MOST_BYTES: usize = 4_000_000;

/// Why a form is refused.
#[derive(Debug, Clone, PartialEq)]
pub struct FormError {
    /// The field, as a path such as `layers[1].thickness_mm`; empty for the whole.
    pub path: String,
    /// Its line, from 1, where it is known.
    pub line: Option<usize>,
    /// What is wrong with it.
    pub fault: Fault,
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// A key the form does not have.
    UnknownKey {
        /// The key.
        key: String,
        /// The key that was probably meant.
        likely: Option<String>,
        /// All that are known there.
        known: Vec<String>,
    },
    /// A key that is needed and not there.
    Missing {
        /// The key.
        key: String,
    },
    /// Not JSON, or another shape than the form has; said by the reader.
    Shape {
        /// What the reader said.
        said: String,
    },
    /// Longer than is read.
    TooLong {
        /// Its length, bytes.
        bytes: usize,
    },
    /// A version this program does not know.
    Version {
        /// The version.
        version: u32,
    },
    /// A value outside the model's range.
    Value(HeatError),
}

impl fmt::Display for FormError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        let place = if self.path.is_empty() { "the form" } else { &self.path };
        match &self.fault {
            Fault::UnknownKey { key, likely: Some(likely), .. } => {
                write!(f, "{place} has no key \"{key}\"; did you mean \"{likely}\"?")
            }
            Fault::UnknownKey { key, likely: None, known } => {
                write!(f, "{place} has no key \"{key}\"; it takes {}", known.join(", "))
            }
            Fault::Missing { key } => write!(f, "{place} lacks \"{key}\"; add it"),
            Fault::Shape { said } => write!(f, "{place} cannot be read: {said}"),
            Fault::TooLong { bytes } => {
                write!(f, "{place} is {bytes} bytes long; at most {MOST_BYTES} are read, leave out what is not needed")
            }
            Fault::Version { version } => write!(f, "{place} says version {version}; this program knows version 1"),
            Fault::Value(refusal) => write!(f, "{refusal}"),
        }
    }
}

impl std::error::Error for FormError {}

/// What a form's answer may fail with.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Refusal {
    Value(HeatError),
    Version(u32),
}

impl From<HeatError> for Refusal {
    fn from(refusal: HeatError) -> Self {
        Self::Value(refusal)
    }
}

/// Version 1, or none stated.
pub(super) fn version(stated: Option<u32>) -> Result<(), Refusal> {
    match stated {
        None | Some(1) => Ok(()),
        Some(other) => Err(Refusal::Version(other)),
    }
}

/// Reads, answers and writes.
pub(super) fn answer<F: DeserializeOwned, A: Serialize>(
    text: &str,
    answer: impl FnOnce(F) -> Result<A, Refusal>,
) -> Result<String, FormError> {
    if text.len() > MOST_BYTES {
        return Err(FormError { path: String::new(), line: None, fault: Fault::TooLong { bytes: text.len() } });
    }
    let mut reader = serde_json::Deserializer::from_str(text);
    let form: F = serde_path_to_error::deserialize(&mut reader).map_err(|e| misread(&e))?;
    reader.end().map_err(|e| shape(String::new(), &e))?;
    let answered = answer(form).map_err(|refusal| refused(text, refusal))?;
    serde_json::to_string_pretty(&answered).map_err(|e| shape(String::new(), &e))
}

fn refused(text: &str, refusal: Refusal) -> FormError {
    match refusal {
        Refusal::Version(version) => {
            FormError { path: "version".into(), line: locate::line(text, "version"), fault: Fault::Version { version } }
        }
        Refusal::Value(value) => {
            let path = match &value {
                HeatError::OutOfRange { field, .. }
                | HeatError::Count { field, .. }
                | HeatError::NoSuchLayer { field, .. } => field.clone(),
                HeatError::TooMuchWork { .. } | HeatError::NoSolution { .. } => String::new(),
            };
            FormError { line: locate::line(text, &path), path, fault: Fault::Value(value) }
        }
    }
}

fn shape(path: String, error: &serde_json::Error) -> FormError {
    FormError { path, line: (error.line() > 0).then(|| error.line()), fault: Fault::Shape { said: plain(error) } }
}

/// The reader's message without its own place.
fn plain(error: &serde_json::Error) -> String {
    let said = error.to_string();
    let end = said.rfind(" at line ").unwrap_or(said.len());
    said[..end].chars().filter(|c| !c.is_control()).take(300).collect()
}

fn misread(error: &serde_path_to_error::Error<serde_json::Error>) -> FormError {
    let inner = error.inner();
    let path = match error.path().to_string() {
        dot if dot == "." => String::new(),
        path => path.replace(".?", ""),
    };
    let said = plain(inner);
    let line = (inner.line() > 0).then(|| inner.line());
    let quoted = |text: &str| -> Vec<String> { text.split('`').skip(1).step_by(2).map(str::to_owned).collect() };
    let mut names = quoted(&said).into_iter();
    let fault = match names.next() {
        Some(key) if said.starts_with("unknown field") => {
            let known: Vec<String> = names.collect();
            Fault::UnknownKey { likely: likely(&key, &known), key, known }
        }
        Some(key) if said.starts_with("missing field") => Fault::Missing { key },
        _ => Fault::Shape { said },
    };
    // The reader's path ends in the key itself; the fault already names it.
    let path = match &fault {
        Fault::UnknownKey { key, .. } => {
            path.strip_suffix(key.as_str()).map_or(path.clone(), |p| p.trim_end_matches('.').to_owned())
        }
        _ => path,
    };
    FormError { path, line, fault }
}

fn likely(key: &str, known: &[String]) -> Option<String> {
    let close = |name: &String| (strsim::damerau_levenshtein(key, name), name.clone());
    known
        .iter()
        .map(close)
        .min()
        .filter(|(distance, name)| *distance <= 1 + name.chars().count() / 4)
        .map(|(_, name)| name)
}
