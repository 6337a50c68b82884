//! A kept order: its text as people write it, its art, where it stands.

use crate::record::{Kept, Kind};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// An order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct OrderForm {
    /// The order form, TOML.
    pub text: String,
    /// Its art by the name the order calls it.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub art: BTreeMap<String, FileRef>,
    /// Where it stands.
    #[serde(default)]
    pub standing: Standing,
    /// The earlier order that it repeats.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeats: Option<Repeats>,
    /// What was taken for granted when it was typed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub assumed: Vec<Assumed>,
}

/// One thing of an order that nobody said; it stands as long as the order still says what was taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Assumed {
    /// The line, from 0.
    pub line: usize,
    /// Its print, from 0, where it is about one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub print: Option<usize>,
    /// What of it.
    pub of: AssumedOf,
    /// What was taken, as the order's text says it; a width in mm.
    pub taken: String,
}

/// What was not said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum AssumedOf {
    /// Which of several styles.
    Garment,
    /// The garment's colour.
    Colour,
    /// The size.
    Size,
    /// Where the print goes.
    Place,
    /// How wide it is.
    Width,
    /// Which of several files of art.
    Art,
    /// The art itself, which has not come.
    ArtToCome,
}

/// Bytes kept elsewhere.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct FileRef {
    /// SHA-256 of the bytes, 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// How many bytes.
    pub bytes: u64,
}

/// Where an order stands between shop and customer. Each part is an own fact,
/// because shops do them in different orders.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Standing {
    /// The quote that went out last.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub quote: Option<QuoteSent>,
    /// The customer's word.
    #[serde(default)]
    pub sign_off: SignOff,
    /// Money before work.
    #[serde(default)]
    pub deposit: Deposit,
    /// Transfers and garments.
    #[serde(default)]
    pub goods: Goods,
    /// What was counted at the press so far.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub counts: Vec<PressCount>,
    /// Work at the press.
    #[serde(default)]
    pub work: Work,
    /// Money for the whole.
    #[serde(default)]
    pub payment: Payment,
    /// What it really took, as far as somebody wrote it down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub real: Option<RealCosts>,
    /// Why it will not be made, when it was dropped.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dropped: Option<String>,
}

/// What an order really took.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RealCosts {
    /// Seconds of work by kind: `press`, `weeding`, ….
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub work_s: BTreeMap<String, Option<i64>>,
    /// Invoices by kind, minor units: `transfers`, `garments`, ….
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub money: BTreeMap<String, Option<i64>>,
    /// Sheets and lengths used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheets: Option<u32>,
    /// Spoiled pieces, where they were not counted at the press.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spoiled: Option<u32>,
    /// What there is to say.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What an order says, fact by fact, at one moment.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Frozen {
    /// Every fact by its name: spelling, sizes, positions, colours, art.
    pub facts: BTreeMap<String, String>,
    /// Net price in minor units, when it was planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<i64>,
}

/// A quote that went out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct QuoteSent {
    /// When, milliseconds since the beginning of 1970, UTC.
    pub at_ms: i64,
    /// Who sent it.
    pub by: String,
    /// What it offered.
    pub frozen: Frozen,
}

/// The customer's word.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", tag = "is")]
pub enum SignOff {
    /// None yet.
    #[default]
    Open,
    /// Wished for something else.
    ChangeWished {
        /// When, milliseconds since the beginning of 1970, UTC.
        at_ms: i64,
        /// Who.
        by: String,
        /// What.
        wish: String,
    },
    /// Signed off, on exactly this.
    Signed {
        /// When, milliseconds since the beginning of 1970, UTC.
        at_ms: i64,
        /// Who, by name.
        by: String,
        /// On what.
        on: Frozen,
    },
}

/// Money before work.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", tag = "is")]
pub enum Deposit {
    /// Not paid.
    #[default]
    Open,
    /// Paid.
    Paid {
        /// When, milliseconds since the beginning of 1970, UTC.
        at_ms: i64,
        /// Minor units.
        amount: i64,
    },
    /// Not asked for, by whose decision.
    Waived {
        /// Who decided.
        by: String,
    },
}

/// Transfers and garments.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", tag = "is")]
pub enum Goods {
    /// Not ordered.
    #[default]
    Open,
    /// Ordered.
    Ordered {
        /// When, milliseconds since the beginning of 1970, UTC.
        at_ms: i64,
        /// Who.
        by: String,
    },
    /// Arrived and counted.
    Arrived {
        /// When, milliseconds since the beginning of 1970, UTC.
        at_ms: i64,
        /// Garments counted.
        counted: u32,
        /// Of these, faulty.
        #[serde(default, skip_serializing_if = "is_none")]
        faulty: u32,
        /// What is missing or wrong, if anything.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        note: String,
        /// Lot of each transfer, by the shop's name for it.
        #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
        lots: BTreeMap<String, String>,
    },
}

fn is_none(count: &u32) -> bool {
    *count == 0
}

/// Pieces counted at the press, of one print of one line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PressCount {
    /// The line as planned, from 0.
    pub line: usize,
    /// Its print, from 0.
    pub print: usize,
    /// Good pieces.
    pub good: u32,
    /// Spoiled pieces, each with why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spoiled: Vec<SpoiledCount>,
}

impl PressCount {
    /// All spoiled pieces.
    pub fn spoiled(&self) -> u32 {
        self.spoiled.iter().fold(0, |sum, one| sum.saturating_add(one.pieces))
    }
}

/// Pieces spoiled in one way.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct SpoiledCount {
    /// How many.
    pub pieces: u32,
    /// Why.
    pub why: String,
}

/// Work at the press.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", tag = "is")]
pub enum Work {
    /// Not finished.
    #[default]
    Open,
    /// Pressed.
    Pressed {
        /// When, milliseconds since the beginning of 1970, UTC.
        at_ms: i64,
        /// Good pieces.
        good: u32,
        /// Spoiled pieces.
        spoiled: u32,
    },
    /// Handed over.
    HandedOver {
        /// When, milliseconds since the beginning of 1970, UTC.
        at_ms: i64,
        /// To whom.
        to: String,
        /// Good pieces.
        good: u32,
        /// Spoiled pieces.
        spoiled: u32,
    },
}

/// Money for the whole.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", tag = "is")]
pub enum Payment {
    /// Not paid.
    #[default]
    Open,
    /// Paid.
    Paid {
        /// When, milliseconds since the beginning of 1970, UTC.
        at_ms: i64,
        /// Minor units, deposit included.
        amount: i64,
    },
}

/// The earlier order that this one repeats, as it was made then.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Repeats {
    /// The earlier order.
    pub order: String,
    /// Its version.
    pub version: i64,
    /// How it was planned, when it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub facts: Option<super::PlanFacts>,
    /// Lot of each transfer then.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub lots: BTreeMap<String, String>,
}

impl Kept for OrderForm {
    const KIND: Kind = Kind::Order;

    fn holds(&self) -> Vec<String> {
        self.art.values().map(|file| file.sha256.clone()).collect()
    }
}
