//! The choice of a transfer for a print, and why not the others.

use crate::shapes::PackShape;
use art::FilmLayer;
use report::Reason;
use std::sync::Arc;
use trade::TransferId;
use units::{Duration, Length, Money};

/// Whether a transfer suits a print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fit {
    /// It suits.
    Fits,
    /// It suits under conditions.
    WithConditions,
    /// It does not suit.
    DoesNot,
}

/// One transfer of the shelf, weighed for one print.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Which.
    pub transfer: TransferId,
    /// Verdict.
    pub fit: Fit,
    /// What speaks for it.
    pub for_it: Vec<Reason>,
    /// What speaks against it or must be kept in mind, the gravest first.
    pub against: Vec<Reason>,
    /// Estimated cost of one print: film by its area, press and weeding minutes.
    pub estimate: Option<Money>,
    /// How well it lasts on this cloth, 0 to 100, from stretch, wash and heat margin.
    pub lasting: u8,
    /// By how much it fails, 0 when it fits; compares candidates that fail.
    pub shortfall: f64,
    /// The films it is cut from, for films of one colour: mostly one; several lie over one
    /// another, the lowest first.
    pub films: Vec<FilmChoice>,
    /// What is cut from each film, where the art has several colours.
    pub stack: Option<Arc<FilmStack>>,
    /// Which of its recipes holds for this cloth.
    pub recipe: Option<usize>,
}

/// The colour of film taken for a print.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmChoice {
    /// Name of the film colour.
    pub name: String,
    /// sRGB of the film.
    pub rgb: [u8; 3],
    /// CIEDE2000 from the art's colour; `None` when a person stated the film.
    pub difference: Option<f64>,
}

/// What is cut from each film of a print, laid over one another.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmStack {
    /// The films, the lowest first; one where all other colours are left to the cloth.
    pub layers: Vec<StackedFilm>,
    /// How far a lower film reaches under an upper one.
    pub overlap: Length,
    /// How thick the films may lie on one another.
    pub thickest_allowed: Length,
    /// As packing sees each.
    pub(crate) shapes: Vec<PackShape>,
}

impl FilmStack {
    /// How thick the films lie at the thickest place.
    pub fn thickest(&self) -> Length {
        self.layers.iter().map(|one| one.layer.stack).reduce(Length::max).unwrap_or_default()
    }

    /// Weeding time of all films of one print.
    pub fn weeding(&self) -> Duration {
        self.layers.iter().map(|one| one.weeding).sum()
    }

    /// What is cut from each film, the lowest first.
    pub fn cuts(&self) -> Vec<FilmLayer> {
        self.layers.iter().map(|one| one.layer.clone()).collect()
    }
}

/// One film of a print.
#[derive(Debug, Clone, PartialEq)]
pub struct StackedFilm {
    /// The film.
    pub film: FilmChoice,
    /// What is cut from it.
    pub layer: FilmLayer,
    /// Weeding time of one.
    pub weeding: Duration,
}

/// What was chosen for a print, and why not the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Index into `candidates` of the one taken.
    pub chosen: Option<usize>,
    /// When nothing suits: index of the nearest.
    pub nearest: Option<usize>,
    /// Every transfer of the shelf, in the shop's order.
    pub candidates: Vec<Candidate>,
    /// Why the chosen one.
    pub why: Vec<Reason>,
}

impl Choice {
    /// The candidate taken.
    pub fn taken(&self) -> Option<&Candidate> {
        self.chosen.and_then(|at| self.candidates.get(at))
    }
}
