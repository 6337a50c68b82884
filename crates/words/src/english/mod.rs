//! English: one file of sentences for each room that says something.

mod art;
mod desk;
mod garment;
mod heat;
mod labels;
mod nest;
mod papers;
mod plan;
mod schedule;
mod sheets;
mod trade;
mod web;

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Every table, by room.
pub(crate) const TABLES: &[(&str, &[(&str, &str)])] = &[
    ("art", art::SENTENCES),
    ("nest", nest::SENTENCES),
    ("heat", heat::SENTENCES),
    ("schedule", schedule::SENTENCES),
    ("trade", trade::SENTENCES),
    ("garment", garment::SENTENCES),
    ("plan", plan::SENTENCES),
    ("sheets", sheets::SENTENCES),
    ("papers", papers::SENTENCES),
    ("desk", desk::SENTENCES),
    ("web", web::SENTENCES),
];

static SENTENCES: LazyLock<BTreeMap<&'static str, &'static str>> =
    LazyLock::new(|| TABLES.iter().chain(crate::enums::TABLES).flat_map(|(_, table)| table.iter().copied()).collect());

static LABELS: LazyLock<BTreeMap<&'static str, &'static str>> =
    LazyLock::new(|| labels::LABELS.iter().copied().collect());

/// The sentence of a code.
pub(crate) fn sentence(code: &str) -> Option<&'static str> {
    SENTENCES.get(code).copied()
}

/// Every sentence of a room: what follows "room." in its code, and the sentence.
pub(crate) fn section(room: &str) -> impl Iterator<Item = (&'static str, &'static str)> {
    SENTENCES.iter().filter_map(move |(code, text)| Some((code.strip_prefix(room)?.strip_prefix('.')?, *text)))
}

/// The code of this name as it stands in the tables.
pub(crate) fn code(name: &str) -> Option<&'static str> {
    SENTENCES.get_key_value(name).map(|(code, _)| *code)
}

/// The label of an input.
pub(crate) fn label(name: &str) -> Option<&'static str> {
    LABELS.get(name).copied()
}
