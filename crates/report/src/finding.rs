//! Findings: what is wrong or worth knowing, where, the limit, the remedy.

use crate::{Code, Named, Value};

/// How much a finding weighs, in rising order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Risky; work goes on.
    Warning,
    /// A person must answer before this line goes on.
    Ask,
    /// This line cannot be made as ordered; the others go on.
    StopsLine,
}

/// What a finding is about. Indices count from 0 in the order's own order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Subject {
    /// Which of the orders planned together.
    pub order: Option<usize>,
    /// Which line of the order.
    pub line: Option<usize>,
    /// Which print of the line.
    pub print: Option<usize>,
}

/// Where on the art or sheet, mm, in the frame of the art as pressed (origin
/// lower left, y up).
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The upright rectangle around the place.
    pub bounds: geometry::Bounds,
}

/// One thing found.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which sentence says it.
    pub code: Code,
    /// How much it weighs.
    pub severity: Severity,
    /// What it is about.
    pub subject: Subject,
    /// Where, when it has a place.
    pub place: Option<Place>,
    /// The values its sentence shows, the limit among them.
    pub quantities: Vec<Named>,
    /// The sentence that says what to do; it may use the same values.
    pub remedy: Code,
    /// A named repair that would settle it, off until asked for.
    pub repair: Option<Code>,
}

impl Finding {
    /// A finding about nothing in particular yet.
    pub fn new(severity: Severity, code: Code, remedy: Code) -> Self {
        Self { code, severity, subject: Subject::default(), place: None, quantities: Vec::new(), remedy, repair: None }
    }

    /// With one more value.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: Value) -> Self {
        self.quantities.push(Named { name, value });
        self
    }

    /// With one more name or other text.
    #[must_use]
    pub fn named(self, name: &'static str, text: impl Into<String>) -> Self {
        self.with(name, Value::Text(text.into()))
    }

    /// About `subject`.
    #[must_use]
    pub fn about(mut self, subject: Subject) -> Self {
        self.subject = subject;
        self
    }

    /// At a place on the art.
    #[must_use]
    pub fn at(mut self, bounds: geometry::Bounds) -> Self {
        self.place = Some(Place { bounds });
        self
    }

    /// With a repair that a person may ask for.
    #[must_use]
    pub fn repaired_by(mut self, repair: Code) -> Self {
        self.repair = Some(repair);
        self
    }
}

/// A value and what was found on the way to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome<T> {
    /// The result.
    pub value: T,
    /// What was found.
    pub findings: Vec<Finding>,
}

impl<T> Outcome<T> {
    /// A value with nothing found.
    pub fn clean(value: T) -> Self {
        Self { value, findings: Vec::new() }
    }
}
