//! What was seen of a transfer on a cloth.

use crate::record::{Kept, Kind};
use serde::{Deserialize, Serialize};

/// One thing seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct EvidenceForm {
    /// The day it was seen, `2026-11-24`.
    pub day: String,
    /// Transfer, by the shop's name for it.
    pub transfer: String,
    /// Cloth, by the shop's name for it.
    pub cloth: String,
    /// Source of the recipe it was pressed by.
    #[serde(default)]
    pub recipe: String,
    /// The order it was part of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order: Option<String>,
    /// Lot of the transfer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<String>,
    /// What was seen.
    pub seen: Seen,
    /// Anything worth remembering.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What was seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", tag = "is")]
pub enum Seen {
    /// A test piece, before work.
    TestPiece {
        /// Whether the print held when pulled and stretched.
        held: bool,
    },
    /// An order was pressed.
    Pressed {
        /// Good pieces.
        pieces: u32,
    },
    /// A piece was washed.
    Washed {
        /// Washes it has been through.
        washes: u32,
        /// Whether the print still holds.
        held: bool,
    },
    /// Pieces came back.
    Returned {
        /// How many.
        pieces: u32,
        /// Why.
        why: String,
    },
    /// Pieces were spoiled at the press.
    Spoiled {
        /// How many.
        pieces: u32,
        /// Why.
        why: String,
    },
    /// A platen's temperature was read.
    Platen {
        /// The press, by the shop's name for it.
        press: String,
        /// As set, °C.
        set_c: f64,
        /// As read on the platen, °C.
        read_c: f64,
    },
}

impl Kept for EvidenceForm {
    const KIND: Kind = Kind::Evidence;
}
