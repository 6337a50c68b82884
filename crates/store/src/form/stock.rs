//! Things on hand.

use crate::record::{Kept, Kind};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Like things in one place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct StockForm {
    /// What.
    pub what: OnHand,
    /// How many there are.
    pub count: u32,
    /// How many of them each order has reserved.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub reserved: BTreeMap<String, u32>,
    /// Where they lie.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// Since when, `2026-11-24`.
    pub since: String,
    /// Lot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<String>,
}

/// A thing on hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", tag = "is")]
pub enum OnHand {
    /// A piece of film or a sheet.
    Film {
        /// The stock item, by the shop's name for it.
        stock: String,
        /// Its film colour, where the transfer comes in colours.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        colour: Option<String>,
        /// Across, mm.
        width_mm: f64,
        /// Along, mm.
        length_mm: f64,
    },
    /// Transfers already made.
    Transfers {
        /// SHA-256 of the art.
        art: String,
        /// The art's name, for people.
        name: String,
        /// Transfer, by the shop's name for it.
        transfer: String,
        /// Colour of film.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        film: Option<String>,
        /// Width as pressed, mm.
        width_mm: f64,
        /// Height as pressed, mm.
        height_mm: f64,
    },
    /// Garments.
    Garments {
        /// Style, by the shop's name for it.
        garment: String,
        /// Colour.
        colour: String,
        /// Size.
        size: String,
    },
}

impl StockForm {
    /// How many nobody has reserved.
    pub fn free(&self) -> u32 {
        let reserved = self.reserved.values().fold(0_u32, |sum, count| sum.saturating_add(*count));
        self.count.saturating_sub(reserved)
    }
}

impl Kept for StockForm {
    const KIND: Kind = Kind::Stock;
}
