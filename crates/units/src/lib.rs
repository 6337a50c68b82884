//! Quantities with units, and money.
//!
//! In: numbers and text a person typed. Out: values that are always finite and
//! carry their unit in the type. Every other room stands on this one; it knows
//! nothing else of the project.

mod money;
mod quantity;
mod reading;

pub use money::{Currency, Money, MoneyError, Rounding, Share};
pub use quantity::{Angle, Area, Duration, Length, Mass, Temperature, TemperatureDifference};
pub use reading::{ReadError, read_duration, read_length, read_money, read_share, read_temperature};

/// The system of units a person reads in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum UnitSystem {
    /// Millimetres and degrees Celsius first.
    #[default]
    Metric,
    /// Inches and degrees Fahrenheit first.
    Inch,
}
