//! Why nothing was done.

use std::fmt;
use trade::form::FormFault;

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
                write!(f, "{} cannot be read: {cause}; {remedy}", shown(path))
            }
            Self::Unwritable { path, cause, remedy } => {
                write!(f, "{} cannot be written: {cause}; {remedy}", shown(path))
            }
            Self::DuePast { order, due, today } => write!(
                f,
                "“{}” is due {due}, before today ({today}); correct the due date or the --today option",
                shown(order)
            ),
            Self::Stopped => f.write_str("stopped as asked; nothing was written"),
        }
    }
}

impl std::error::Error for Refusal {}

/// Without characters that steer a terminal.
pub(crate) fn shown(text: &str) -> String {
    words::clean(text)
}
