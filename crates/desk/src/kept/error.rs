//! Why a deed was not done.

use crate::{Refusal, codes};
use report::{Finding, Severity, Value};
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
                    StoreError::Conflict { what: what.clone(), expected: *seen, found: *now, by: by.clone() };
                say(&told(&conflict), f)
            }
            Self::Missing { what } => say(&told(&StoreError::Missing { what: what.clone() }), f),
            Self::Faults(faults) => Refusal::Faults(faults.clone()).fmt(f),
            Self::Refused(finding) => say(finding, f),
            Self::Folder(refusal) => refusal.fmt(f),
            Self::Store(error) => say(&told(error), f),
        }
    }
}

impl std::error::Error for DeedError {}

fn say(finding: &Finding, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let said = Speech::english(UnitSystem::Metric).finding(finding);
    write!(f, "{} {}", said.what, said.remedy)
}

/// What the store refuses, as a finding that has its sentence.
fn told(error: &StoreError) -> Finding {
    let stop = |code, remedy| Finding::new(Severity::StopsLine, code, remedy);
    match error {
        StoreError::Conflict { what, expected, found, by } => stop(codes::STORE_CONFLICT, codes::STORE_CONFLICT_REMEDY)
            .named("what", words::clean(what))
            .named("by", words::clean(by))
            .with("found", Value::Count(*found))
            .with("expected", Value::Count(*expected)),
        StoreError::Missing { what } => {
            stop(codes::STORE_MISSING, codes::STORE_MISSING_REMEDY).named("what", words::clean(what))
        }
        StoreError::NotMade { place } => {
            stop(codes::STORE_NOT_MADE, codes::STORE_NOT_MADE_REMEDY).named("place", words::clean(place))
        }
        StoreError::Occupied { place } => {
            stop(codes::STORE_OCCUPIED, codes::STORE_OCCUPIED_REMEDY).named("place", words::clean(place))
        }
        StoreError::Newer { found, known } => stop(codes::STORE_NEWER, codes::STORE_NEWER_REMEDY)
            .with("found", Value::Count(*found))
            .with("known", Value::Count(*known)),
        StoreError::Busy => stop(codes::STORE_BUSY, codes::STORE_BUSY_REMEDY),
        StoreError::Full => stop(codes::STORE_FULL, codes::STORE_FULL_REMEDY),
        StoreError::ReadOnly => stop(codes::STORE_READ_ONLY, codes::STORE_READ_ONLY_REMEDY),
        StoreError::Away { cause } => {
            stop(codes::STORE_AWAY, codes::STORE_AWAY_REMEDY).named("cause", words::clean(cause))
        }
        StoreError::Damaged { cause } => {
            stop(codes::STORE_DAMAGED, codes::STORE_DAMAGED_REMEDY).named("cause", words::clean(cause))
        }
        StoreError::JobLost { job } => {
            stop(codes::STORE_JOB_LOST, codes::STORE_JOB_LOST_REMEDY).named("job", words::clean(job))
        }
        StoreError::Unencrypted => stop(codes::TLS_UNBUILT, codes::TLS_UNBUILT_REMEDY),
        StoreError::Other { cause } => {
            stop(codes::STORE_OTHER, codes::STORE_OTHER_REMEDY).named("cause", words::clean(cause))
        }
    }
}
