//! Why nothing was done.

use crate::codes;
use report::{Code, Named, Value};
use std::fmt;
use trade::form::FormFault;
use units::UnitSystem;
use words::Speech;

/// Why a request was refused; nothing was written.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// Faults of files a person wrote, each with its line and remedy.
    Faults(Vec<FormFault>),
    /// A file or folder that cannot be read.
    Unreadable {
        /// Which.
        path: String,
        /// What the system says.
        cause: String,
        /// What to do.
        remedy: String,
    },
    /// A folder that cannot be written.
    Unwritable {
        /// Which.
        path: String,
        /// What the system says.
        cause: String,
        /// What to do.
        remedy: String,
    },
    /// An order due before the day the plan is made for.
    DuePast {
        /// The order.
        order: String,
        /// When it is due.
        due: String,
        /// The day.
        today: String,
    },
    /// The watch asked to stop.
    Stopped,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Faults(faults) => {
                for (at, fault) in faults.iter().enumerate() {
                    if at > 0 {
                        writeln!(f)?;
                    }
                    write!(f, "{fault}")?;
                }
                Ok(())
            }
            Self::Unreadable { path, cause, remedy } => {
                write!(f, "{} {}", said(codes::UNREADABLE, &[("path", path), ("cause", cause)]), sentence(remedy))
            }
            Self::Unwritable { path, cause, remedy } => {
                write!(f, "{} {}", said(codes::UNWRITABLE, &[("path", path), ("cause", cause)]), sentence(remedy))
            }
            Self::DuePast { order, due, today } => {
                let what = said(codes::DUE_PAST, &[("order", order), ("due", due), ("today", today)]);
                write!(f, "{what} {}", said(codes::DUE_PAST_REMEDY, &[]))
            }
            Self::Stopped => f.write_str(&said(codes::STOPPED, &[])),
        }
    }
}

impl std::error::Error for Refusal {}

fn said(code: Code, values: &[(&'static str, &String)]) -> String {
    let named: Vec<Named> =
        values.iter().map(|(name, value)| Named { name, value: Value::Text(shown(value)) }).collect();
    Speech::english(UnitSystem::Metric).say(code, &named)
}

/// A remedy as a sentence of its own.
fn sentence(remedy: &str) -> String {
    let mut letters = remedy.chars();
    let first: String = letters.next().map(|letter| letter.to_uppercase().collect()).unwrap_or_default();
    let end = if remedy.ends_with('.') { "" } else { "." };
    format!("{first}{}{end}", letters.as_str())
}

/// Without characters that steer a terminal.
pub(crate) fn shown(text: &str) -> String {
    words::clean(text)
}
