//! Why a deed was not done.

use crate::Refusal;
use report::Finding;
use std::fmt;
use store::StoreError;
use trade::form::FormFault;
use units::UnitSystem;
use words::Speech;

/// Why a deed was not done; nothing of it was kept.
#[derive(Debug, Clone, PartialEq)]
pub enum DeedError {
    /// Somebody changed it meanwhile.
    Conflict {
        /// What, `order 12`.
        what: String,
        /// The version the change was made on.
        seen: i64,
        /// The version kept now; 0 when there is none.
        now: i64,
        /// Who changed it last.
        by: String,
    },
    /// There is no such thing.
    Missing {
        /// What, `order 12`.
        what: String,
    },
    /// A text that a person wrote, with every fault's line and remedy.
    Faults(Vec<FormFault>),
    /// What was asked cannot be: what, where, the limit, the remedy.
    Refused(Finding),
    /// A file or folder on the disk.
    Folder(Refusal),
    /// The database.
    Store(StoreError),
}

impl From<StoreError> for DeedError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Conflict { what, expected, found, by } => {
                Self::Conflict { what, seen: expected, now: found, by }
            }
            StoreError::Missing { what } => Self::Missing { what },
            other => Self::Store(other),
        }
    }
}

impl From<Refusal> for DeedError {
    fn from(refusal: Refusal) -> Self {
        match refusal {
            Refusal::Faults(faults) => Self::Faults(faults),
            other => Self::Folder(other),
        }
    }
}

impl From<Finding> for DeedError {
    fn from(finding: Finding) -> Self {
        Self::Refused(finding)
    }
}

impl fmt::Display for DeedError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Conflict { what, seen, now, by } => {
                let conflict =
                    StoreError::Conflict { what: what.clone(), expected: *seen, found: *now, by: words::clean(by) };
                conflict.fmt(f)
            }
            Self::Missing { what } => StoreError::Missing { what: words::clean(what) }.fmt(f),
            Self::Faults(faults) => Refusal::Faults(faults.clone()).fmt(f),
            Self::Refused(finding) => {
                let said = Speech::english(UnitSystem::Metric).finding(finding);
                write!(f, "{} {}", said.what, said.remedy)
            }
            Self::Folder(refusal) => refusal.fmt(f),
            Self::Store(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for DeedError {}
