//! Things on hand besides film: transfers made to spare, garments. Film and sheets
//! lie with their stock item ([`crate::Remnant`]).

use crate::{GarmentId, TransferId};
use jiff::civil::Date;
use units::Length;

/// Transfers of one art, already made, in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct SpareTransfer {
    /// Which transfer.
    pub transfer: TransferId,
    /// SHA-256 of the art's bytes, 64 hexadecimal digits in lower case.
    pub sha256: String,
    /// The art's name, for people.
    pub art: String,
    /// Film colour, where the transfer comes in colours.
    pub film: Option<String>,
    /// Width as pressed.
    pub width: Length,
    /// Height as pressed.
    pub height: Length,
    /// How many; at least one.
    pub count: u32,
    /// Where they lie; may be empty.
    pub place: String,
    /// The day they were made.
    pub since: Date,
    /// The record of the store that says so; `None` when a file of the shop does.
    pub kept: Option<String>,
}

impl SpareTransfer {
    /// Days since they were made; 0 for what is made on `day` or, by a wrong clock, later.
    pub fn age_days(&self, day: Date) -> u32 {
        u32::try_from(day.duration_since(self.since).as_hours() / 24).unwrap_or(0)
    }
}

/// Garments of one style, colour and size in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct SpareGarment {
    /// The style.
    pub garment: GarmentId,
    /// Colour, by the style's name for it.
    pub colour: String,
    /// Size, by the style's name for it.
    pub size: String,
    /// How many; at least one.
    pub count: u32,
    /// Where they lie; may be empty.
    pub place: String,
    /// The record of the store that says so; `None` when a file of the shop does.
    pub kept: Option<String>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// Days counted on a calendar: 30 days hath November.
    #[test]
    fn age_is_counted_in_days() {
        let spare = SpareTransfer {
            transfer: TransferId(0),
            sha256: String::new(),
            art: String::new(),
            film: None,
            width: Length::ZERO,
            height: Length::ZERO,
            count: 1,
            place: String::new(),
            since: date(2026, 11, 1),
            kept: None,
        };
        for (day, age) in
            [(date(2026, 11, 1), 0), (date(2026, 12, 1), 30), (date(2027, 11, 1), 365), (date(2026, 10, 1), 0)]
        {
            assert_eq!(spare.age_days(day), age, "{day}");
        }
    }
}
