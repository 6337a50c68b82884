//! Names that the shop's files do not have, told with those they have.

use crate::codes;
use report::{Finding, Severity};

/// Names told at most; the shop's files hold the rest.
const MOST_TOLD: usize = 20;

/// There is no such thing in the shop; `known` is what there is of its kind.
pub(super) fn unknown<'n>(what: &str, name: &str, known: impl IntoIterator<Item = &'n str>) -> Finding {
    let all: Vec<&str> = known.into_iter().collect();
    let mut told = all.iter().take(MOST_TOLD).copied().collect::<Vec<_>>().join(", ");
    if all.len() > MOST_TOLD {
        told.push_str(", …");
    }
    if told.is_empty() {
        told.push('–');
    }
    Finding::new(Severity::StopsLine, codes::NAME_UNKNOWN, codes::NAME_UNKNOWN_REMEDY)
        .named("what", what)
        .named("name", words::clean(name))
        .named("known", words::clean(&told))
}

/// What was given is no day.
pub(super) fn no_day(text: &str) -> Finding {
    Finding::new(Severity::StopsLine, codes::DAY_UNREADABLE, codes::DAY_UNREADABLE_REMEDY)
        .named("name", words::clean(text))
}
