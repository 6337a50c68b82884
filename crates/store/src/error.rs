//! Why the store did not do something, with what to do.

use std::fmt;

/// Why a request to the store was not carried out. Nothing of it was kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StoreError {
    /// Somebody changed it meanwhile.
    Conflict {
        /// What, `order 12`.
        what: String,
        /// The version the change was made on; 0 for something new.
        expected: i64,
        /// The version kept now; 0 when there is none.
        found: i64,
        /// Who changed it last.
        by: String,
    },
    /// There is no such thing.
    Missing {
        /// What, `order 12`.
        what: String,
    },
    /// No database is there yet.
    NotMade {
        /// Where it was looked for.
        place: String,
    },
    /// A database is there already.
    Occupied {
        /// Where.
        place: String,
    },
    /// Written by a later build of the program.
    Newer {
        /// Schema of the database.
        found: i64,
        /// Newest schema this build knows.
        known: i64,
    },
    /// Another program holds the database.
    Busy,
    /// The disk is full.
    Full,
    /// The disk or database may only be read.
    ReadOnly,
    /// The database does not answer.
    Away {
        /// What the system says.
        cause: String,
    },
    /// What is kept is not what was written.
    Damaged {
        /// What the database says.
        cause: String,
    },
    /// A job was taken from its worker: another has it, or it was called off.
    JobLost {
        /// The job.
        job: String,
    },
    /// The address asks for an encrypted connection, which this build cannot make.
    Unencrypted,
    /// Anything else the database says.
    Other {
        /// What it says.
        cause: String,
    },
}

/// For logs; the sentences that people are shown are made elsewhere.
impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self, f)
    }
}

impl std::error::Error for StoreError {}

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        match &error {
            sqlx::Error::Database(told) => {
                let code = told.code().map(|code| code.into_owned()).unwrap_or_default();
                of_code(&code, told.message())
            }
            sqlx::Error::PoolTimedOut => Self::Busy,
            sqlx::Error::Io(cause) => Self::Away { cause: cause.to_string() },
            sqlx::Error::PoolClosed | sqlx::Error::WorkerCrashed => Self::Away { cause: error.to_string() },
            // Built without TLS, the only thing to be said of it is that it was asked for.
            sqlx::Error::Tls(_) => Self::Unencrypted,
            sqlx::Error::Protocol(cause) => Self::Away { cause: cause.clone() },
            _ => Self::Other { cause: error.to_string() },
        }
    }
}

/// SQLite's result codes are numbers below 10,000 whose lowest byte decides
/// (sqlite.org/rescode.html); PostgreSQL's have five characters (PostgreSQL
/// manual, appendix A).
fn of_code(code: &str, message: &str) -> StoreError {
    let cause = message.to_owned();
    if code.len() < 5 {
        return match code.parse::<i32>().unwrap_or(0) & 0xff {
            5 | 6 => StoreError::Busy,
            8 => StoreError::ReadOnly,
            13 => StoreError::Full,
            11 | 26 => StoreError::Damaged { cause },
            10 | 14 => StoreError::Away { cause },
            _ => StoreError::Other { cause },
        };
    }
    match code {
        "53100" => StoreError::Full,
        "25006" => StoreError::ReadOnly,
        "55P03" | "40001" | "40P01" => StoreError::Busy,
        "XX001" | "XX002" => StoreError::Damaged { cause },
        _ if code.starts_with("08") || code.starts_with("57") || code.starts_with("53") || code.starts_with("28") => {
            StoreError::Away { cause }
        }
        "3D000" => StoreError::Away { cause },
        _ => StoreError::Other { cause },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Codes of sqlite.org/rescode.html and of the PostgreSQL manual, appendix A.
    #[test]
    fn codes_get_their_clear_word() {
        for (code, expected) in [
            ("5", StoreError::Busy),
            ("517", StoreError::Busy), // SQLITE_BUSY_SNAPSHOT
            ("13", StoreError::Full),
            ("1032", StoreError::ReadOnly), // SQLITE_READONLY_DBMOVED
            ("11", StoreError::Damaged { cause: "x".into() }),
            ("778", StoreError::Away { cause: "x".into() }), // SQLITE_IOERR_WRITE
            ("53100", StoreError::Full),
            ("57P01", StoreError::Away { cause: "x".into() }),
            ("40P01", StoreError::Busy),
            ("42601", StoreError::Other { cause: "x".into() }),
        ] {
            assert_eq!(of_code(code, "x"), expected, "{code}");
        }
    }
}
