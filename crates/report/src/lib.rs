//! What a stage says besides its value: findings, reasons, progress.
//!
//! In: nothing. Out: data without sentences; `words` turns a code and its named
//! values into a sentence of a language and a unit system. Each room lists its
//! codes in a `codes` module, and a test in `words` holds that each has its
//! sentence.

mod figure;
mod finding;
mod refusal;
mod value;
mod watch;

pub use figure::{Figure, Input, Origin, Reason};
pub use finding::{Finding, Outcome, Place, Severity, Subject};
pub use refusal::{FormError, Refusal};
pub use value::{Code, Named, Value};
pub use watch::{Effort, Go, Progress, Quiet, Seed, Watch};
