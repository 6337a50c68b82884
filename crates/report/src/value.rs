//! Codes and named values, the nouns of findings and reasons.

use jiff::civil::{Date, DateTime};
use units::{Area, Duration, Length, Money, Temperature, TemperatureDifference};

/// A stable name such as `art.line-thin`; `words` holds the sentence for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code(pub &'static str);

/// A value that a sentence may show; `words` chooses unit and form.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// An area.
    Area(Area),
    /// A temperature.
    Temperature(Temperature),
    /// A difference between temperatures.
    Difference(TemperatureDifference),
    /// A span of time.
    Duration(Duration),
    /// An amount of money.
    Money(Money),
    /// A whole number of things.
    Count(i64),
    /// A fraction of one, shown in percent.
    Share(f64),
    /// A bare number, shown with at most three significant digits.
    Number(f64),
    /// A day.
    Date(Date),
    /// A moment on the shop's clock.
    Moment(DateTime),
    /// A name typed by a person or a maker; shown as it is, control characters removed.
    Text(String),
    /// A term that `words` has a phrase for, such as `peel.cold`.
    Term(Code),
    /// Several values, shown one after the other.
    List(Vec<Value>),
}

/// A value with the name under which the sentence calls it.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// Lower-case name with hyphens, as it stands in the sentence's braces.
    pub name: &'static str,
    /// The value.
    pub value: Value,
}

impl Named {
    /// A named value.
    pub fn new(name: &'static str, value: Value) -> Self {
        Self { name, value }
    }

    /// A named text.
    pub fn text(name: &'static str, text: impl Into<String>) -> Self {
        Self { name, value: Value::Text(text.into()) }
    }

    /// A named count.
    pub fn count(name: &'static str, count: i64) -> Self {
        Self { name, value: Value::Count(count) }
    }
}
