//! A kept plan: its files, and the figures that lists and later orders need.

use crate::record::{Kept, Kind};
use serde::{Deserialize, Serialize};

/// A plan as it was made. The plan itself follows from its inputs and is in the file `plan.json`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PlanForm {
    /// The orders planned together, with their versions.
    pub orders: Vec<PlannedOrder>,
    /// SHA-256 over the shop's files, evidence and stock that went in.
    pub shop: String,
    /// The day it was made for, `2026-11-24`.
    pub today: String,
    /// Start of every random choice.
    pub seed: u64,
    /// Evaluations for each pool; the usual number when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub effort: Option<u64>,
    /// Files, by name.
    pub files: Vec<NamedFile>,
    /// Figures of each order.
    pub facts: Vec<PlanFacts>,
}

/// An order in a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PlannedOrder {
    /// The order.
    pub id: String,
    /// Its version that was planned.
    pub version: i64,
    /// SHA-256 over its text and art: the plan holds as long as this is the same.
    pub content: String,
}

/// A file of a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct NamedFile {
    /// Its name with folders, `papers/quote-1.pdf`.
    pub name: String,
    /// SHA-256 of its bytes.
    pub sha256: String,
    /// How many bytes.
    pub bytes: u64,
}

/// Figures of one order; money in minor units of the shop's currency, moments
/// by the shop's clock.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PlanFacts {
    /// The order.
    pub order: String,
    /// Net price.
    pub net: i64,
    /// With taxes.
    pub gross: i64,
    /// Cost.
    pub cost: i64,
    /// Deposit asked for.
    pub deposit: i64,
    /// What an hour of work earns.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub earns_per_hour: Option<i64>,
    /// Currency.
    pub currency: String,
    /// Decimals of its minor unit.
    pub decimals: u8,
    /// The last day on which its offer holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub valid_until: Option<String>,
    /// Last moment to sign off and pay the deposit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sign_off_by: Option<String>,
    /// Last moment to order what is bought.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order_by: Option<String>,
    /// Pressing begins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub press_from: Option<String>,
    /// Finished.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finish: Option<String>,
    /// Whether it is finished after it is due.
    pub late: bool,
    /// Lines that cannot be made.
    pub stopped: u32,
    /// Lines that wait for an answer.
    pub waiting: u32,
    /// Warnings.
    pub warnings: u32,
    /// Sheets and lengths of the whole plan.
    #[serde(default)]
    pub sheets: u32,
    /// Lines, as in the order.
    pub lines: Vec<MadeLine>,
    /// What is pressed, the first first; `None` in plans of earlier builds, whose plan file says it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub runs: Option<Vec<MadeRun>>,
}

/// A print at the press.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct MadeRun {
    /// The line, from 0.
    pub line: usize,
    /// Its print, from 0.
    pub print: usize,
    /// The press by its name for people, where the first piece is pressed.
    pub press: String,
    /// When the first piece is begun, by the shop's clock.
    pub from: String,
}

/// A line as planned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct MadeLine {
    /// The style by the shop's name for it, or as typed.
    pub garment: String,
    /// The cloth of the style.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth: Option<String>,
    /// Colour.
    pub colour: String,
    /// Garments.
    pub pieces: u32,
    /// Whether it can be made.
    #[serde(default)]
    pub state: MadeState,
    /// Price of one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<i64>,
    /// Cost of one, rounded up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit_cost: Option<i64>,
    /// Prints, as in the order.
    pub prints: Vec<MadePrint>,
}

/// Whether a line can be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MadeState {
    /// Planned through.
    #[default]
    Planned,
    /// Waits for a person's answer.
    Waiting,
    /// Cannot be made as ordered.
    Stopped,
}

/// A print as planned.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct MadePrint {
    /// Art by its name in the order.
    pub art: String,
    /// SHA-256 of its bytes, when it could be read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sha256: Option<String>,
    /// Position as typed.
    pub position: String,
    /// Width as pressed, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<f64>,
    /// Height as pressed, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<f64>,
    /// Transfer, by the shop's name for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transfer: Option<String>,
    /// Colours of film, the lowest first, where the transfer comes in colours.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub films: Vec<String>,
    /// The recipe's source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recipe: Option<String>,
    /// Transfers to make, spares included.
    pub transfers: u32,
}

impl Kept for PlanForm {
    const KIND: Kind = Kind::Plan;

    fn holds(&self) -> Vec<String> {
        self.files.iter().map(|file| file.sha256.clone()).collect()
    }
}
