//! What files say of print and cut files: tables `print` and `cut` of several of them.

use super::reader::Reader;
use super::texts::{At, Text, Word, Written};
use crate::{CutFormat, CutWish, Layers, PagesIn, PrintFormat, PrintWish, SoftEdges, Weeding, WhiteIn};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::Length;

/// How print files are to be; what is left out is left to the supplier's table, then to common practice.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct PrintForm {
    /// Which files: "png", "pdf".
    #[serde(skip_serializing_if = "Option::is_none")]
    formats: Option<At<Vec<Word<PrintFormat>>>>,
    /// Which layers, where a stock item differs from its printer's rule.
    #[serde(skip_serializing_if = "Option::is_none")]
    layers: Option<Word<Layers>>,
    /// Pixels to the inch.
    #[serde(skip_serializing_if = "Option::is_none")]
    dpi: Option<At<f64>>,
    /// Where the white layer goes.
    #[serde(skip_serializing_if = "Option::is_none")]
    white_in: Option<Word<WhiteIn>>,
    /// How far the white stays back from the ink's edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    choke: Option<Written<Length>>,
    /// What becomes of soft edges in the white.
    #[serde(skip_serializing_if = "Option::is_none")]
    soft_edges: Option<Word<SoftEdges>>,
    /// Rows of halftone dots to the inch.
    #[serde(skip_serializing_if = "Option::is_none")]
    ruling: Option<At<f64>>,
    /// Direction of the rows, degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    angle: Option<At<f64>>,
    /// Side of a scattered dot.
    #[serde(skip_serializing_if = "Option::is_none")]
    dot: Option<Written<Length>>,
    /// How far a colour may be from the cloth's and still be left out (CIEDE2000).
    #[serde(skip_serializing_if = "Option::is_none")]
    cloth_difference: Option<At<f64>>,
    /// Name of the white separation.
    #[serde(skip_serializing_if = "Option::is_none")]
    white_name: Option<Text>,
    /// Name of the separation of the cut line.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_name: Option<Text>,
    /// Where the pages of a divided sheet go.
    #[serde(skip_serializing_if = "Option::is_none")]
    pages_in: Option<Word<PagesIn>>,
    /// The longest sheet taken in one page or picture.
    #[serde(skip_serializing_if = "Option::is_none")]
    longest: Option<Written<Length>>,
    /// The largest file taken, millions of bytes.
    #[serde(skip_serializing_if = "Option::is_none")]
    largest_mb: Option<At<f64>>,
    /// Labels beside the pieces.
    #[serde(skip_serializing_if = "Option::is_none")]
    labels: Option<bool>,
    /// A bar of 100 mm to measure the print by.
    #[serde(skip_serializing_if = "Option::is_none")]
    check_bar: Option<bool>,
    /// Corner marks that a cutter finds the print by.
    #[serde(skip_serializing_if = "Option::is_none")]
    register_marks: Option<bool>,
}

/// How cut files are to be; what is left out is left to the shop's cutter, then to common practice.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct CutForm {
    /// Which files: "svg", "dxf", "hpgl".
    #[serde(skip_serializing_if = "Option::is_none")]
    formats: Option<At<Vec<Word<CutFormat>>>>,
    /// How far the knife's tip trails; left out where the machine corrects for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    knife_offset: Option<Written<Length>>,
    /// Corners that turn more than this get a swivel, degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    turn_from: Option<At<f64>>,
    /// How far a closed cut runs on past its start.
    #[serde(skip_serializing_if = "Option::is_none")]
    overlap: Option<Written<Length>>,
    /// How far the cut of a curve may stray.
    #[serde(skip_serializing_if = "Option::is_none")]
    tolerance: Option<Written<Length>>,
    /// Extra cuts for weeding.
    #[serde(skip_serializing_if = "Option::is_none")]
    weeding: Option<Word<Weeding>>,
    /// How far the frame runs outside the pieces.
    #[serde(skip_serializing_if = "Option::is_none")]
    frame: Option<Written<Length>>,
    /// Distance between cuts across the waste.
    #[serde(skip_serializing_if = "Option::is_none")]
    split_every: Option<Written<Length>>,
    /// How far outside the ink a printed piece is cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    outline: Option<Written<Length>>,
}

pub(super) fn read_print(form: Option<&PrintForm>, reader: &mut Reader<'_>) -> PrintWish {
    let Some(form) = form else { return PrintWish::default() };
    PrintWish {
        formats: form.formats.as_ref().map(|words| several(words, reader)),
        layers: form.layers.map(|word| word.0),
        dpi: number(form.dpi.as_ref(), 50.0, 1200.0, "pixels to the inch", reader),
        white_in: form.white_in.map(|word| word.0),
        choke: length(form.choke.as_ref(), 0.0, 2.0, reader),
        soft_edges: form.soft_edges.map(|word| word.0),
        ruling: number(form.ruling.as_ref(), 10.0, 150.0, "lines to the inch", reader),
        angle_deg: number(form.angle.as_ref(), -360.0, 360.0, "degrees", reader),
        dot: length(form.dot.as_ref(), 0.0, 5.0, reader),
        cloth_difference: number(form.cloth_difference.as_ref(), 0.0, 20.0, "(CIEDE2000)", reader),
        white_name: form.white_name.as_ref().map(|text| reader.name(text)),
        cut_name: form.cut_name.as_ref().map(|text| reader.name(text)),
        pages_in: form.pages_in.map(|word| word.0),
        longest: length(form.longest.as_ref(), 50.0, 200_000.0, reader),
        largest_mb: number(form.largest_mb.as_ref(), 0.01, 100_000.0, "millions of bytes", reader),
        labels: form.labels,
        check_bar: form.check_bar,
        register_marks: form.register_marks,
    }
}

pub(super) fn read_cut(form: Option<&CutForm>, reader: &mut Reader<'_>) -> CutWish {
    let Some(form) = form else { return CutWish::default() };
    CutWish {
        formats: form.formats.as_ref().map(|words| several(words, reader)),
        knife_offset: length(form.knife_offset.as_ref(), 0.0, 2.0, reader),
        turn_from_deg: number(form.turn_from.as_ref(), 1.0, 90.0, "degrees", reader),
        overlap: length(form.overlap.as_ref(), 0.0, 5.0, reader),
        tolerance: length(form.tolerance.as_ref(), 0.001, 1.0, reader),
        weeding: form.weeding.map(|word| word.0),
        frame: length(form.frame.as_ref(), 0.0, 50.0, reader),
        split_every: length(form.split_every.as_ref(), 10.0, 10_000.0, reader),
        outline: length(form.outline.as_ref(), 0.0, 50.0, reader),
    }
}

/// `None` when nothing is said, so that no empty table is written.
pub(super) fn write_print(wish: &PrintWish) -> Option<PrintForm> {
    (*wish != PrintWish::default()).then(|| PrintForm {
        formats: wish.formats.as_ref().map(|formats| words(formats)),
        layers: wish.layers.map(Word),
        dpi: wish.dpi.map(At::new),
        white_in: wish.white_in.map(Word),
        choke: wish.choke.map(Written::of),
        soft_edges: wish.soft_edges.map(Word),
        ruling: wish.ruling.map(At::new),
        angle: wish.angle_deg.map(At::new),
        dot: wish.dot.map(Written::of),
        cloth_difference: wish.cloth_difference.map(At::new),
        white_name: wish.white_name.clone().map(At::new),
        cut_name: wish.cut_name.clone().map(At::new),
        pages_in: wish.pages_in.map(Word),
        longest: wish.longest.map(Written::of),
        largest_mb: wish.largest_mb.map(At::new),
        labels: wish.labels,
        check_bar: wish.check_bar,
        register_marks: wish.register_marks,
    })
}

/// `None` when nothing is said, so that no empty table is written.
pub(super) fn write_cut(wish: &CutWish) -> Option<CutForm> {
    (*wish != CutWish::default()).then(|| CutForm {
        formats: wish.formats.as_ref().map(|formats| words(formats)),
        knife_offset: wish.knife_offset.map(Written::of),
        turn_from: wish.turn_from_deg.map(At::new),
        overlap: wish.overlap.map(Written::of),
        tolerance: wish.tolerance.map(Written::of),
        weeding: wish.weeding.map(Word),
        frame: wish.frame.map(Written::of),
        split_every: wish.split_every.map(Written::of),
        outline: wish.outline.map(Written::of),
    })
}

fn several<T: Copy + PartialEq>(words: &At<Vec<Word<T>>>, reader: &mut Reader<'_>) -> Vec<T> {
    let mut all: Vec<T> = Vec::new();
    for word in &words.value {
        if !all.contains(&word.0) {
            all.push(word.0);
        }
    }
    if all.is_empty() {
        reader.faults.tell(words.at, "no file is named", "Name at least one, or leave the key out");
    }
    all
}

fn words<T: Copy>(all: &[T]) -> At<Vec<Word<T>>> {
    At::new(all.iter().copied().map(Word).collect())
}

fn length(written: Option<&Written<Length>>, least: f64, most: f64, reader: &mut Reader<'_>) -> Option<Length> {
    written.map(|written| reader.quantity(written, least..=most))
}

fn number(number: Option<&At<f64>>, least: f64, most: f64, unit: &str, reader: &mut Reader<'_>) -> Option<f64> {
    number.map(|number| reader.number(number.at, number.value, least..=most, unit))
}
