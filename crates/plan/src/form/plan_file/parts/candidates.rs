//! Transfers weighed for a print.

use super::figures::{ReasonFile, reasons};
use crate::result::{Candidate, FilmChoice, Fit};
use schemars::JsonSchema;
use serde::Serialize;
use trade::Shop;
use units::Money;

/// One transfer weighed for one print.
#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::form::plan_file) struct CandidateFile {
    transfer: String,
    fit: &'static str,
    r#for: Vec<ReasonFile>,
    against: Vec<ReasonFile>,
    estimate: Option<i64>,
    lasting: u8,
    shortfall: f64,
    /// Films of one colour it is cut from, the lowest first.
    films: Vec<FilmFile>,
}

/// A film of one colour.
#[derive(Debug, Serialize, JsonSchema)]
struct FilmFile {
    name: String,
    rgb: String,
    /// CIEDE2000 from the art's colour; left out where a person stated the film.
    #[serde(skip_serializing_if = "Option::is_none")]
    difference: Option<f64>,
    /// What is cut from it, where there are several colours.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut: Option<FilmCutFile>,
}

/// What is cut from one of several films.
#[derive(Debug, Serialize, JsonSchema)]
struct FilmCutFile {
    area_mm2: f64,
    /// Places left out because of what lies above.
    knocked_out: u32,
    /// How thick the films lie at the thickest place that it has a part in.
    stack_mm: f64,
    weeding_s: f64,
}

fn films(candidate: &Candidate) -> Vec<FilmFile> {
    let cut = |nth: usize| {
        let one = candidate.stack.as_ref()?.layers.get(nth)?;
        Some(FilmCutFile {
            area_mm2: one.layer.cut.area(),
            knocked_out: one.layer.knocked_out,
            stack_mm: one.layer.stack.mm(),
            weeding_s: one.weeding.s(),
        })
    };
    let film = |(nth, film): (usize, &FilmChoice)| FilmFile {
        name: film.name.clone(),
        rgb: hex(film.rgb),
        difference: film.difference,
        cut: cut(nth),
    };
    candidate.films.iter().enumerate().map(film).collect()
}

fn hex(rgb: [u8; 3]) -> String {
    format!("#{:02x}{:02x}{:02x}", rgb[0], rgb[1], rgb[2])
}

pub(in crate::form::plan_file) fn candidate(shop: &Shop, candidate: &Candidate) -> CandidateFile {
    CandidateFile {
        transfer: shop.transfer(candidate.transfer).id.clone(),
        fit: match candidate.fit {
            Fit::Fits => "fits",
            Fit::WithConditions => "fits-with-conditions",
            Fit::DoesNot => "does-not-fit",
        },
        r#for: reasons(&candidate.for_it),
        against: reasons(&candidate.against),
        estimate: candidate.estimate.map(Money::minor),
        lasting: candidate.lasting,
        shortfall: candidate.shortfall,
        films: films(candidate),
    }
}
