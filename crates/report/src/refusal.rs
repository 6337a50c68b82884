use std::fmt;

use crate::Finding;

/// Why an engine does not take what it was asked; every finding names what, the limit and the remedy.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What is wrong, at least one.
    pub findings: Vec<Finding>,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let codes: Vec<&str> = self.findings.iter().map(|found| found.code.0).collect();
        write!(f, "refused: {}", codes.join(", "))
    }
}

impl std::error::Error for Refusal {}

/// Why a text is not taken for an engine's form.
#[derive(Debug, Clone, PartialEq)]
pub enum FormError {
    /// Not of the form: where, and what is wrong there.
    Form {
        /// Keys and numbers from the outside in, "designs[2].outline".
        place: String,
        /// What was found there and what would be right.
        message: String,
    },
    /// Of the form, but there is no answer to it.
    Refused(Refusal),
}

impl fmt::Display for FormError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form { place, message } if place == "." || place.is_empty() => write!(f, "{message}"),
            Self::Form { place, message } => write!(f, "{place}: {message}"),
            Self::Refused(refusal) => write!(f, "{refusal}"),
        }
    }
}

impl std::error::Error for FormError {}
