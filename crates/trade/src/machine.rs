//! Presses, platens, accessories.

use crate::{Marked, PlatenId};
use units::{Duration, Length, Temperature, TemperatureDifference};

/// Outline of a lower platen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PlatenShape {
    /// Rectangle.
    Rectangle {
        /// Left to right as the operator stands.
        width: Length,
        /// Away from the operator.
        depth: Length,
    },
    /// Round.
    Round {
        /// Diameter.
        diameter: Length,
    },
}

/// What a platen is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PlatenForm {
    /// Flat.
    Flat,
    /// Narrow, for sleeves and legs.
    Sleeve,
    /// Curved, for caps.
    Cap,
    /// A form that goes into a sock.
    Sock,
}

/// A lower platen.
#[derive(Debug, Clone, PartialEq)]
pub struct Platen {
    /// The name it is called by in files.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Outline.
    pub shape: PlatenShape,
    /// What it is made for.
    pub form: PlatenForm,
}

/// A press.
#[derive(Debug, Clone, PartialEq)]
pub struct Press {
    /// The name it is called by in files.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Heated plate, left to right.
    pub plate_width: Length,
    /// Heated plate, away from the operator.
    pub plate_depth: Length,
    /// Platens that fit it, the one usually mounted first.
    pub platens: Vec<PlatenId>,
    /// Hottest setting.
    pub hottest: Temperature,
    /// True temperature of the plate less its display, when measured.
    pub offset: Marked<TemperatureDifference>,
    /// Heater, watts.
    pub heater_w: Marked<f64>,
    /// Thickness of the heated aluminium plate.
    pub plate_thickness: Marked<Length>,
    /// Steps in which temperature can be set.
    pub temperature_step: TemperatureDifference,
    /// From cold to ready.
    pub warm_up: Marked<Duration>,
    /// To change the lower platen.
    pub platen_swap: Marked<Duration>,
    /// To set another pressure.
    pub pressure_reset: Marked<Duration>,
}

/// Finish that a cover sheet gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CoverFinish {
    /// Matt.
    Matt,
    /// Gloss.
    Gloss,
    /// Plain release cloth.
    Plain,
}

/// What an accessory is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AccessoryKind {
    /// The pad that lies on every lower platen.
    Pad {
        /// Thickness.
        thickness: Length,
        /// Heat conductivity, W/mK.
        conductivity: f64,
    },
    /// A loose pillow under the print.
    Pillow {
        /// Thickness.
        thickness: Length,
        /// Left to right.
        width: Length,
        /// Front to back.
        depth: Length,
    },
    /// A sheet on top of the print.
    CoverSheet {
        /// Thickness.
        thickness: Length,
        /// Finish it gives.
        finish: CoverFinish,
    },
}

/// A pad, pillow or cover sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Accessory {
    /// The name it is called by in files.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// What it is.
    pub kind: AccessoryKind,
}
