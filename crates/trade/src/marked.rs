//! A value and where it comes from.

use report::Origin;

/// A value with its origin, so that every figure can say what it stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct Marked<T> {
    /// The value.
    pub value: T,
    /// Who says so.
    pub origin: Origin,
    /// By name, when there is one: "maker's sheet, lot 4"; for defaults "common practice".
    pub source: Option<String>,
}

impl<T> Marked<T> {
    /// A default shipped with the program.
    pub fn default_practice(value: T) -> Self {
        Self { value, origin: Origin::Default, source: Some("common practice".to_owned()) }
    }

    /// A value the shop entered.
    pub fn shop(value: T) -> Self {
        Self { value, origin: Origin::Shop, source: None }
    }

    /// A value from a maker's sheet.
    pub fn maker(value: T, source: impl Into<String>) -> Self {
        Self { value, origin: Origin::Maker, source: Some(source.into()) }
    }
}
