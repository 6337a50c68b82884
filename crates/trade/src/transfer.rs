//! Transfers on the shelf.

use crate::{Fibre, Marked, Recipe, StockId, Surface};
use units::{Length, Temperature};

/// The family of a transfer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Plain cut film.
    CutFilm,
    /// Thin, elastic cut film.
    StretchFilm,
    /// Low-temperature cut film.
    LowTemperatureFilm,
    /// Flock.
    Flock,
    /// Glitter.
    Glitter,
    /// Metallic or foil look.
    Metallic,
    /// Puff, dimensional.
    Puff,
    /// Reflective.
    Reflective,
    /// Print-and-cut film.
    PrintAndCut,
    /// Screen-made plastisol transfer.
    ScreenMade,
    /// Digital film with powder adhesive.
    PowderAdhesive,
    /// Digital colour with screen-printed adhesive and white.
    Hybrid,
    /// Sublimation from paper.
    Sublimation,
    /// Nylon-grade adhesive.
    NylonGrade,
    /// Water-repellent-grade adhesive.
    RepellentGrade,
}

/// How the shop gets it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// Film cut on the shop's own cutter.
    CutInShop,
    /// Printed on the shop's own printer.
    PrintedInShop,
    /// Sheets bought from a printer.
    Bought,
}

/// Look of the finished print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Finish {
    /// Matt.
    Matt,
    /// Smooth, half gloss.
    Smooth,
    /// Soft ink film.
    Soft,
    /// Velvet pile.
    Velvet,
    /// Rough and sparkling.
    Sparkling,
    /// Mirror.
    Mirror,
    /// Raised and spongy.
    Raised,
    /// Lights up in a lamp's beam.
    Reflecting,
    /// No film: dye in the cloth.
    InCloth,
}

/// Colours matched by name and family, not by difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ColourFamily {
    /// Plain colour; matched by difference.
    Plain,
    /// Metallic.
    Metallic,
    /// Glitter.
    Glitter,
    /// Reflective.
    Reflective,
    /// Fluorescent.
    Fluorescent,
}

/// A colour of film.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmColour {
    /// Its name on the shelf.
    pub name: String,
    /// sRGB as read from the maker's card.
    pub rgb: [u8; 3],
    /// Its family.
    pub family: ColourFamily,
}

/// Which colours it can show.
#[derive(Debug, Clone, PartialEq)]
pub enum Colours {
    /// One colour a film, chosen from these.
    Film(Vec<FilmColour>),
    /// Full colour; with or without a white below.
    Full {
        /// Whether white lies below the colours.
        white: bool,
    },
    /// Up to so many spot colours in one print.
    Spot {
        /// How many.
        most: u8,
    },
}

/// Smallest parts that hold and can be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minimums {
    /// Thinnest line.
    pub line: Length,
    /// Diameter of the smallest isolated part.
    pub island: Length,
    /// Narrowest gap.
    pub gap: Length,
}

/// A transfer on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Transfer {
    /// The name it is called by in files.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// Its family.
    pub kind: Kind,
    /// How the shop gets it.
    pub way: Way,
    /// Makers' recipes; may be empty, then there are no settings.
    pub recipes: Vec<Recipe>,
    /// Sheets and rolls it can be had on, at least one.
    pub stock: Vec<StockId>,
    /// Colours.
    pub colours: Colours,
    /// Smallest parts.
    pub minimums: Marked<Minimums>,
    /// Fibres it holds on.
    pub good_on: Marked<Vec<Fibre>>,
    /// Fibres to keep it off.
    pub avoid: Marked<Vec<Fibre>>,
    /// Faces it holds on besides plain cloth.
    pub surfaces: Marked<Vec<Surface>>,
    /// How far the finished print stretches, as a fraction.
    pub stretch: Marked<f64>,
    /// Look.
    pub finish: Finish,
    /// Highest wash temperature of the finished print.
    pub wash: Marked<Temperature>,
    /// Total thickness of what stays on the cloth.
    pub thickness: Marked<Length>,
    /// Thickness of the carrier while pressed.
    pub carrier: Marked<Length>,
    /// Whether film holds on its face, where its maker or the shop says so. Faces released with
    /// silicone take none.
    pub film_on_film: Option<Marked<bool>>,
    /// Days that a made transfer may lie before it is pressed.
    pub keeps_days: Marked<u32>,
    /// Largest piece, when the maker limits it.
    pub largest: Option<(Length, Length)>,
    /// The shop's or maker's remark, shown as it is.
    pub remark: Option<String>,
}
