//! A maker's recipe as a sequence of steps.

use crate::{ClothId, Fibre, Marked, Surface};
use units::{Duration, Temperature};

/// Pressure as the trade says it; never converted to a number for the user.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PressureClass {
    /// Light.
    Light,
    /// Medium.
    Medium,
    /// Firm.
    Firm,
}

/// When the carrier comes off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Peel {
    /// At once, within 3 s.
    Hot,
    /// Hand-warm, about 40 to 60 °C.
    Warm,
    /// At room temperature.
    Cold,
}

/// What a maker allows and what the maker (or shop) sets within it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MakerRange<T> {
    /// Lowest allowed.
    pub low: T,
    /// The value to set.
    pub set: T,
    /// Highest allowed.
    pub high: T,
}

/// What a visit to the press is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StepRole {
    /// Very short, to hold it in place.
    Tack,
    /// The bond is made here.
    Full,
    /// Short, after the peel.
    Second,
}

/// One closing of the press.
#[derive(Debug, Clone, PartialEq)]
pub struct PressStep {
    /// What it is for.
    pub role: StepRole,
    /// Platen temperature.
    pub temperature: MakerRange<Temperature>,
    /// Time closed.
    pub dwell: MakerRange<Duration>,
    /// Pressure.
    pub pressure: PressureClass,
    /// Whether a cover sheet lies on top; `None` when the maker says nothing.
    pub cover: Option<bool>,
    /// Pressed from the inside, through the garment.
    pub from_inside: bool,
}

/// One step of a recipe, in the order they are done.
#[derive(Debug, Clone, PartialEq)]
pub enum RecipeStep {
    /// Press the empty garment, then smooth it.
    Preheat {
        /// Time closed.
        dwell: Duration,
    },
    /// Put the transfer in its place.
    Place,
    /// Close the press.
    Press(PressStep),
    /// Let it lie off the press until it can be peeled.
    SetAside,
    /// Take the carrier off.
    Peel(Peel),
}

/// A maker's recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// The maker's sheet by name and date.
    pub source: String,
    /// The cloth the maker's settings are known for; `None`: a generic cotton tee stands in, marked as default.
    pub reference_cloth: Option<ClothId>,
    /// Fibres for which the maker gives this recipe; empty: all the transfer suits.
    pub for_fibres: Vec<Fibre>,
    /// Faces for which the maker gives this recipe; empty: all the transfer suits.
    pub for_surfaces: Vec<Surface>,
    /// Where the adhesive begins to flow, when the maker says so.
    pub activation: Option<Temperature>,
    /// Hottest later platen that a finished print bears.
    pub bears: Marked<Temperature>,
    /// The steps.
    pub steps: Vec<RecipeStep>,
}

impl Recipe {
    /// Every closing of the press, in order.
    pub fn presses(&self) -> impl Iterator<Item = &PressStep> {
        self.steps.iter().filter_map(|step| match step {
            RecipeStep::Press(press) => Some(press),
            _ => None,
        })
    }

    /// The closing that makes the bond.
    pub fn full_press(&self) -> Option<&PressStep> {
        self.presses().find(|press| press.role == StepRole::Full)
    }

    /// When the carrier comes off, at the first peel.
    pub fn peel(&self) -> Option<Peel> {
        self.steps.iter().find_map(|step| match step {
            RecipeStep::Peel(peel) => Some(*peel),
            _ => None,
        })
    }
}
