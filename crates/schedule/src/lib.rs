//! Which work on which press, by whom, when.
//!
//! In: presses with their calendars and set-up times, people with their hours,
//! batches of pieces with the seconds each step takes, jobs with due dates. Out:
//! a [`Schedule`] to the second, a proven bound beside it, and findings for
//! what is late or does not fit. Times are whole seconds from the problem's own
//! origin. What is pressed, and why it takes so long, is left to others.
//!
//! [`solve`] answers at once and then improves while effort lasts; [`simulate`]
//! replays any schedule second by second, sharing no code with the search, and
//! every schedule passes it before it is handed out.

// The shops of the tests call this crate by its name, from outside and from inside.
#[cfg(test)]
extern crate self as schedule;

mod answer;
mod bound;
mod check;
pub mod codes;
mod decode;
#[cfg(test)]
mod exhaustive;
pub mod form;
mod model;
mod people;
mod place;
mod problem;
mod replan;
mod search;
mod simulate;
mod tending;

pub use answer::{Attended, Closing, Entry, Schedule, SetUp, Unplaced};
pub use bound::Bound;
pub use problem::{Batch, Done, Job, Lag, Limits, Person, Press, Problem, Rates, Settings, Setup, Span};
pub use replan::{Event, replan};
pub use report::Refusal;
pub use search::solve;
pub use simulate::{Fault, Verdict, simulate};
pub use tending::{Tending, machine_tending};
