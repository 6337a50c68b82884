//! A figure that answers "why?".

use crate::{Code, Value};

/// Where an input of a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    /// The maker's own sheet.
    Maker,
    /// The shop's own file.
    Shop,
    /// A default shipped with the program, marked common practice.
    Default,
    /// Measured here.
    Measured,
    /// Calculated by a model.
    Model,
    /// Said by a person in the order.
    Person,
}

/// One input of a reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Lower-case name with hyphens; `words` has a label for it and the rule's sentence may use it.
    pub name: &'static str,
    /// Its value.
    pub value: Value,
    /// Where it comes from.
    pub origin: Origin,
    /// The source by name ("maker's sheet, lot 4", "ISO 3758:2023"), when there is one.
    pub source: Option<String>,
}

/// Why a figure is what it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// The rule, as a code whose sentence may use the inputs by name.
    pub rule: Code,
    /// What went in.
    pub inputs: Vec<Input>,
    /// What was considered and not taken, as codes with sentences over the same inputs.
    pub refused: Vec<Code>,
    /// What would change the figure, as codes with sentences.
    pub would_change: Vec<Code>,
}

impl Reason {
    /// A reason without inputs yet.
    pub fn new(rule: Code) -> Self {
        Self { rule, inputs: Vec::new(), refused: Vec::new(), would_change: Vec::new() }
    }

    /// With one more input.
    #[must_use]
    pub fn from(mut self, name: &'static str, value: Value, origin: Origin) -> Self {
        self.inputs.push(Input { name, value, origin, source: None });
        self
    }

    /// With one more input and its source by name.
    #[must_use]
    pub fn sourced(mut self, name: &'static str, value: Value, origin: Origin, source: impl Into<String>) -> Self {
        self.inputs.push(Input { name, value, origin, source: Some(source.into()) });
        self
    }

    /// With an alternative that was not taken.
    #[must_use]
    pub fn refusing(mut self, code: Code) -> Self {
        self.refused.push(code);
        self
    }

    /// With something that would change it.
    #[must_use]
    pub fn changed_by(mut self, code: Code) -> Self {
        self.would_change.push(code);
        self
    }
}

/// A value that a person may act on, its range of doubt, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure<T> {
    /// The value.
    pub value: T,
    /// Lowest and highest it may well be, where there is doubt.
    pub range: Option<(T, T)>,
    /// Why, the decisive reason first.
    pub why: Vec<Reason>,
}

impl<T> Figure<T> {
    /// A figure with one reason and no stated doubt.
    pub fn new(value: T, why: Reason) -> Self {
        Self { value, range: None, why: vec![why] }
    }

    /// With its range of doubt.
    #[must_use]
    pub fn between(mut self, low: T, high: T) -> Self {
        self.range = Some((low, high));
        self
    }
}
