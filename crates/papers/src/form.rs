//! What the templates are given: plain text and pictures, nothing left to work
//! out. Field names are those the templates use.

use serde::Serialize;
use std::collections::BTreeMap;

/// Text by its key, as the words room keeps it under `papers`.
pub(crate) type Say = BTreeMap<&'static str, &'static str>;

/// What stands on every page of a paper.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct Frame {
    /// Name of the paper size, as the typesetter calls it.
    pub paper: &'static str,
    /// Language of the text, by its two letters.
    pub language: &'static str,
    pub say: Say,
    /// Whether the shop is an invented example.
    pub invented: bool,
    pub head: Head,
}

/// Head and foot of a page.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct Head {
    pub title: String,
    pub shop: String,
    pub address: Vec<String>,
    /// SVG text of the shop's mark.
    pub mark: Option<String>,
    pub order: String,
    /// Left end of the foot: shop and order, short enough for one line.
    pub foot: String,
}

/// A size and how many.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Size {
    pub size: String,
    pub count: String,
}

/// A colour of film.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Film {
    pub name: String,
    pub rgb: Option<[u8; 3]>,
}

/// A quote.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct Quote {
    #[serde(flatten)]
    pub frame: Frame,
    pub customer: String,
    /// Letters of the currency.
    pub currency: String,
    pub date: String,
    pub valid_until: String,
    pub due: String,
    pub lines: Vec<QuoteLine>,
    pub totals: Totals,
    pub ways: Vec<QuoteWay>,
    pub confirm: Vec<String>,
    pub terms: Vec<String>,
}

/// One line of a quote.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct QuoteLine {
    pub number: String,
    pub garment: String,
    pub colour: String,
    pub rgb: Option<[u8; 3]>,
    pub brought: bool,
    pub pieces: String,
    pub sizes: Vec<Size>,
    pub prints: Vec<QuotePrint>,
    /// SVG texts.
    pub pictures: Vec<String>,
    pub state: String,
    pub price: Option<QuotePrice>,
}

/// One print of a quote's line.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct QuotePrint {
    pub position: String,
    pub size: Option<String>,
    pub art: String,
    pub transfer: Option<String>,
    /// The lowest first.
    pub films: Vec<Film>,
}

/// The price of a line.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct QuotePrice {
    pub unit: String,
    pub total: String,
    pub ladder: Vec<QuoteRung>,
}

/// A rung of the ladder.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct QuoteRung {
    pub pieces: String,
    pub unit: String,
    pub total: String,
    pub note: Option<String>,
}

/// Sums of a quote.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Totals {
    /// What is added up, each with its amount.
    pub rows: Vec<(String, String)>,
    pub gross: String,
    pub deposit: String,
    pub balance: String,
}

/// One of the three ways.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct QuoteWay {
    pub name: String,
    pub chosen: bool,
    pub lines: Vec<String>,
    pub net: String,
}

/// Job tickets, one a line.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Tickets {
    #[serde(flatten)]
    pub frame: Frame,
    pub customer: String,
    pub due: String,
    pub tickets: Vec<Ticket>,
}

/// The ticket of one line.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct Ticket {
    /// "1 / 3".
    pub number: String,
    pub garment: String,
    pub colour: String,
    pub rgb: Option<[u8; 3]>,
    pub brought: bool,
    pub pieces: String,
    pub press_at: Option<String>,
    /// SVG of the code that names order and line.
    pub qr: String,
    /// SVG texts.
    pub pictures: Vec<String>,
    pub sizes: Vec<Size>,
    pub spare: Option<String>,
    pub placements: Vec<TicketPlace>,
    pub pressing_order: Option<String>,
    pub prints: Vec<TicketPrint>,
    /// Why the line must not be pressed; empty when it may.
    pub halted: Vec<String>,
    pub state: String,
    pub remarks: Vec<String>,
    /// In the order of danger.
    pub cautions: Vec<String>,
    /// What the test piece is made on.
    pub test: String,
}

/// Where one print goes, by size.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct TicketPlace {
    pub print: String,
    pub rows: Vec<String>,
}

/// How one print is pressed.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct TicketPrint {
    pub number: String,
    pub position: String,
    pub size: Option<String>,
    pub art: String,
    pub transfer: Option<String>,
    /// The lowest first.
    pub films: Vec<Film>,
    pub reading: Option<String>,
    pub steps: Vec<Step>,
    pub state: String,
    /// Label and value.
    pub facts: Vec<(String, String)>,
    pub why: Vec<String>,
}

/// One step at the press.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Step {
    pub title: String,
    pub notes: Vec<String>,
    /// In the reader's scale and in the other.
    pub temperature: Option<(String, String)>,
    pub time: Option<String>,
}

/// Purchases by supplier.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Purchases {
    #[serde(flatten)]
    pub frame: Frame,
    pub subtitle: String,
    pub count: String,
    pub total: Option<String>,
    pub first: Option<String>,
    /// What is taken from the shelf instead.
    pub shelf: Vec<String>,
    pub purchases: Vec<SupplierList>,
}

/// One supplier's list.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct SupplierList {
    pub supplier: String,
    pub order_by: String,
    pub arrives: String,
    pub earliest: String,
    pub items: Vec<Item>,
    pub sums: Vec<(String, String)>,
    pub sum_label: String,
    pub total: String,
    pub why: Vec<String>,
    /// Where buying more costs less.
    pub more: Vec<String>,
}

/// One item to buy.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Item {
    pub quantity: String,
    pub what: String,
    pub detail: Option<String>,
    pub rgb: Option<[u8; 3]>,
    pub unit: String,
    pub total: String,
}

/// The sheet map.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct SheetMap {
    #[serde(flatten)]
    pub frame: Frame,
    pub subtitle: String,
    pub pools: Vec<MapPool>,
}

/// Sheets of one transfer in one colour.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct MapPool {
    pub title: String,
    pub colour: Option<String>,
    pub rgb: Option<[u8; 3]>,
    pub sheets: Vec<MapSheet>,
}

/// One sheet or length of film.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct MapSheet {
    pub title: String,
    pub notes: String,
    /// SVG texts, a long sheet in stretches.
    pub pictures: Vec<String>,
    pub rows: Vec<MapRow>,
}

/// One design on a sheet.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct MapRow {
    /// As it stands in the picture.
    pub mark: String,
    pub art: String,
    pub belongs: String,
    pub here: String,
    pub size: Option<String>,
}

/// The packing list.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Packing {
    #[serde(flatten)]
    pub frame: Frame,
    pub customer: String,
    pub due: String,
    pub pieces: String,
    pub lines: Vec<PackingLine>,
}

/// One line to pack.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct PackingLine {
    pub garment: String,
    pub colour: String,
    pub rgb: Option<[u8; 3]>,
    pub prints: String,
    pub pieces: String,
    pub sizes: Vec<Size>,
    /// Why it is not packed, when it is not.
    pub state: Option<String>,
}

/// Paper templates.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Places {
    #[serde(flatten)]
    pub frame: Frame,
    pub pages: Vec<PlaceSheet>,
}

/// One page of a paper template.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct PlaceSheet {
    pub svg: String,
    pub width_mm: f64,
    pub height_mm: f64,
    pub alt: String,
}

/// Care slips.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Care {
    #[serde(flatten)]
    pub frame: Frame,
    pub slips: Vec<CareSlip>,
}

/// One slip.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct CareSlip {
    pub garment: String,
    pub advice: Vec<String>,
}

/// Test records.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Record {
    #[serde(flatten)]
    pub frame: Frame,
    /// What the test pieces are made on.
    pub on: String,
    pub entries: Vec<String>,
    pub checks: Vec<String>,
    pub prints: Vec<RecordPrint>,
}

/// The record of one print.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct RecordPrint {
    pub garment: String,
    pub print: String,
    pub steps: Vec<Step>,
}

/// The press plan.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PressPlan {
    #[serde(flatten)]
    pub frame: Frame,
    /// Orders by name, and when they are due.
    pub orders: Vec<(String, String)>,
    pub late: Option<String>,
    /// SVG texts.
    pub pictures: Vec<String>,
    pub days: Vec<PressSection>,
}

/// The work of one day.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct PressSection {
    pub day: String,
    pub rows: Vec<PressRow>,
}

/// A batch, or a part of one, on one press.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct PressRow {
    pub from: String,
    pub until: String,
    pub press: String,
    pub work: String,
    pub pieces: String,
    pub temperature: String,
    pub people: String,
    pub set_up: Option<String>,
    /// Until when pieces cool.
    pub cool: Option<String>,
    pub done: String,
    pub late: bool,
}

/// The costing of one order.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Costing {
    #[serde(flatten)]
    pub frame: Frame,
    pub customer: String,
    pub net: String,
    pub cost: String,
    pub earns: Option<String>,
    pub work: String,
    /// Label and amount.
    pub rush: Vec<(String, String)>,
    /// Label, moment, and what is to be said of it.
    pub dates: Vec<(String, String, String)>,
    pub lines: Vec<CostingLine>,
}

/// Costs of one line.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct CostingLine {
    pub number: String,
    pub garment: String,
    pub colour: String,
    pub rgb: Option<[u8; 3]>,
    pub pieces: String,
    pub rows: Vec<CostRow>,
    pub cost: String,
    pub unit: String,
    pub total: String,
    pub facts: Vec<String>,
    pub both: Option<CostingBreak>,
    pub landed: Option<CostingLanded>,
}

/// What the prints of a line cost to have here, over the quantity.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct CostingLanded {
    pub said: Option<String>,
    /// Quantities, a column each.
    pub pieces: Vec<String>,
    pub ways: Vec<CostingLandedWay>,
}

/// One way of getting them.
#[derive(Debug, Clone, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) struct CostingLandedWay {
    pub name: String,
    /// By quantity; whether it is the cheapest there.
    pub totals: Vec<(String, bool)>,
    /// What of it is not goods, by quantity.
    pub on_top: Vec<String>,
}

/// A part of the cost.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct CostRow {
    pub what: String,
    pub work: Option<String>,
    pub amount: String,
    pub each: String,
}

/// Two ways over the quantity.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct CostingBreak {
    pub here: String,
    pub other: String,
    /// SVG text.
    pub picture: Option<String>,
    pub said: Vec<String>,
    pub rows: Vec<CostingBreakRow>,
}

/// What a piece costs each way.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct CostingBreakRow {
    pub pieces: String,
    pub here: String,
    pub other: String,
    /// 0: as it is made; 1: the other way.
    pub cheaper: usize,
}
