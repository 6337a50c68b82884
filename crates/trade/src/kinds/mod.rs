//! What is generally known of each family of transfers.
//!
//! Every value here is common practice, no source. It fills what a maker's
//! sheet leaves out, press settings excepted (no recipe, no settings), and it
//! tells when a typed recipe is unusual for its family. It never overrules a
//! maker's sheet.

mod check;
mod table;

pub use check::unusual;

use crate::{Fibre, Finish, Kind, Marked, Peel, PressureClass, Reading, Surface, Way};
use units::Temperature;

/// One usual way of pressing a family, for comparison with a maker's sheet only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsualPress {
    /// Platen, °C, lowest and highest.
    pub temperature_c: (f64, f64),
    /// Seconds closed for the full press, shortest and longest.
    pub dwell_s: (f64, f64),
    /// Peels in use.
    pub peels: &'static [Peel],
}

/// Where a film may lie when several are stacked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stacking {
    /// Below or above others.
    Any,
    /// Below others only when all above are low-temperature too, or above.
    LowTemperature,
    /// Only as the top.
    Top,
    /// Only as the top, and pressed last.
    TopLast,
    /// Only on its own kind.
    OwnKind,
    /// A single piece: nothing below, nothing above.
    Single,
    /// Dye in the cloth: pressed first, never under or over film.
    InCloth,
}

/// Which way the art reads, by family.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ReadingRule {
    /// Always this way.
    Always(Reading),
    /// As the printer's file rule says; right-reading when it says nothing.
    PrinterRule,
    /// Each make has its own rule; it must be typed.
    ByMake,
}

/// Which turns the film of a family allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum UsualTurns {
    /// Any turn.
    Free,
    /// One way, or upside down when it has no nap.
    Directional,
}

/// What is generally known of a family. All of it common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KindDefaults {
    /// The family.
    pub kind: Kind,
    /// Usual ways of pressing it; they only check what is typed.
    pub presses: &'static [UsualPress],
    /// Usual pressures, lightest and firmest.
    pub pressure: (PressureClass, PressureClass),
    /// Closings allowed in one recipe.
    pub most_presses: u8,
    /// A press without cover sheet harms it.
    pub needs_cover: bool,
    /// Thinnest line, smallest isolated part (diameter), narrowest gap, mm.
    pub minimums_mm: (f64, f64, f64),
    /// Distance between pieces on the sheet, mm.
    pub spacing_mm: f64,
    /// How far the finished print stretches, as a fraction.
    pub stretch: f64,
    /// Highest wash temperature, °C.
    pub wash_c: f64,
    /// Thickness left on the cloth, thinnest and thickest, µm.
    pub thickness_um: (f64, f64),
    /// Thickness of the carrier while pressed, µm.
    pub carrier_um: f64,
    /// Fibres it holds on.
    pub good_on: &'static [Fibre],
    /// Fibres to keep it off.
    pub avoid: &'static [Fibre],
    /// Faces it holds on besides plain cloth.
    pub surfaces: &'static [Surface],
    /// Its place in a stack of films.
    pub stacking: Stacking,
    /// Which way the art reads.
    pub reading: ReadingRule,
    /// Which turns its film allows.
    pub turns: UsualTurns,
    /// Its look.
    pub finish: Finish,
    /// Smallest capital letters, mm.
    pub cap_height_mm: f64,
    /// The same for letters with serifs, mm.
    pub serif_cap_height_mm: f64,
    /// A print tried on this very cloth comes before the order.
    pub trial_first: bool,
}

impl KindDefaults {
    /// Thickness in the middle of the usual range, µm.
    pub fn middle_thickness_um(&self) -> f64 {
        (self.thickness_um.0 + self.thickness_um.1) / 2.0
    }

    /// Lowest platen temperature in use for the family.
    ///
    /// For saying which family comes nearest; never a setting.
    pub fn coolest(&self) -> Marked<Temperature> {
        let lowest = self.presses.iter().map(|press| press.temperature_c.0).fold(f64::INFINITY, f64::min);
        Marked::default_practice(Temperature::from_c(lowest).unwrap_or_default())
    }

    /// Which way the art reads by default on film or sheets got in this way.
    ///
    /// `None`: makes differ, the shop must say. Cut film is cut reversed; a
    /// bought sheet reads right unless its printer says otherwise.
    pub fn reading_for(&self, way: Way, printer: Option<Reading>) -> Option<Reading> {
        match self.reading {
            ReadingRule::Always(reading) => Some(reading),
            _ if way == Way::Bought => Some(printer.unwrap_or(Reading::Right)),
            ReadingRule::PrinterRule => Some(printer.unwrap_or(Reading::Right)),
            ReadingRule::ByMake => None,
        }
    }
}

/// What is generally known of `kind`.
pub fn generic(kind: Kind) -> &'static KindDefaults {
    table::of(kind)
}

/// Every family, in the table's order.
pub fn all() -> &'static [KindDefaults] {
    table::ALL
}

/// Most films in a stack.
pub const MOST_FILMS: usize = 3;
/// Overlap of stacked films so that no cloth shows, mm.
pub const OVERLAP_MM: (f64, f64) = (1.0, 1.5);
/// A stack thicker than this is knocked out below, µm.
pub const THICKEST_STACK_UM: f64 = 250.0;
/// Total dwell on the lowest film against its own dwell.
pub const MOST_DWELL_ON_LOWEST: f64 = 3.0;
