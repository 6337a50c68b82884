//! How one print is pressed, and what the heat model says of it.

use super::FilmChoice;
use report::{Code, Figure};
use trade::{AccessoryId, Peel, PlatenId, PressId, PressureClass, StepRole, TransferId};
use units::{Duration, Length, Temperature, TemperatureDifference};

/// How one print is pressed.
#[derive(Debug, Clone, PartialEq)]
pub struct PressCard {
    /// The transfer.
    pub transfer: TransferId,
    /// The maker's sheet.
    pub source: String,
    /// Presses it may be done on.
    pub presses: Vec<PressId>,
    /// Platen.
    pub platen: PlatenId,
    /// Pillow under the print, when needed.
    pub pillow: Option<AccessoryId>,
    /// Steps, in order.
    pub steps: Vec<CardStep>,
    /// Films laid over one another, where there are several.
    pub stacked: Option<Stacked>,
    /// What the heat model says of the full press on this cloth.
    pub heat: Option<HeatCard>,
    /// Pieces in one closing.
    pub per_closing: u32,
    /// Heat that this print gets once more from each later press over it, in pressing order.
    pub heated_again: Vec<HeatedAgain>,
    /// Cautions of the heat room that hold for this print, in the order they are read out.
    pub cautions: Vec<Code>,
}

/// How several films of one print are pressed.
#[derive(Debug, Clone, PartialEq)]
pub struct Stacked {
    /// The films, the lowest first, which is the order of laying.
    pub films: Vec<FilmChoice>,
    /// How far a lower film reaches under an upper one.
    pub overlap: Length,
    /// How thick the films lie at the thickest place, and may lie at most.
    pub thickest: (Length, Length),
    /// All closings over the lowest film together, and at most.
    pub dwell_on_lowest: (Duration, Duration),
    /// What the films beneath get from the last full press.
    pub beneath: Option<UnderLater>,
}

/// What lies under a later plate gets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnderLater {
    /// Hottest bond line.
    pub bond_peak: Temperature,
    /// Time its bond line is above activation.
    pub above_activation: Duration,
    /// Hottest platen that the maker says it bears.
    pub bears: Temperature,
}

/// What a finished print gets from a later press whose platen covers it.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatedAgain {
    /// Index of the later print on the line.
    pub by: usize,
    /// The later platen.
    pub platen: Temperature,
    /// How long it is closed.
    pub dwell: Duration,
    /// This print's bond line at the hottest.
    pub bond_peak: Temperature,
    /// The cloth under it at the hottest.
    pub cloth_peak: Temperature,
    /// Time its bond line is above its own activation once more.
    pub above_activation: Duration,
    /// Hottest later platen that its maker says it bears.
    pub bears: Temperature,
}

/// What is set on one press so that its plate is as hot as wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct SetPoint {
    /// The press.
    pub press: PressId,
    /// Its display: wanted less its measured offset, as it can be set.
    pub display: Figure<Temperature>,
}

/// A step as the operator does it.
#[derive(Debug, Clone, PartialEq)]
pub enum CardStep {
    /// Press the empty garment and smooth it.
    Preheat {
        /// True plate.
        temperature: Temperature,
        /// What each press of the card is set to for it.
        set: Vec<SetPoint>,
        /// Time closed.
        dwell: Figure<Duration>,
    },
    /// Put the transfer in its place.
    Place {
        /// Which of the stacked films, from the lowest; `None` where there is one.
        film: Option<usize>,
    },
    /// Close the press.
    Press {
        /// What it is for.
        role: StepRole,
        /// True plate.
        temperature: Figure<Temperature>,
        /// What each press of the card is set to for it.
        set: Vec<SetPoint>,
        /// Time closed.
        dwell: Figure<Duration>,
        /// Pressed from the inside, through the garment.
        from_inside: bool,
        /// Pressure.
        pressure: PressureClass,
        /// Cover sheet on top.
        cover: Option<AccessoryId>,
    },
    /// Lay it aside.
    SetAside {
        /// How long until it can be peeled, laid singly on a table.
        wait: Figure<Duration>,
    },
    /// Take the carrier off.
    Peel(Peel),
}

/// What the heat model says of a full press, in figures for people.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatCard {
    /// Bond line, cloth side, at the end of the dwell, on this cloth.
    pub bond_end: Figure<Temperature>,
    /// The same on the recipe's reference cloth.
    pub reference_bond_end: Temperature,
    /// Time the bond line is above activation, this cloth.
    pub above_activation: Duration,
    /// Activation temperature used: the maker's, or a default marked as such.
    pub activation: Figure<Temperature>,
    /// Hottest cloth, bare cloth beside the transfer included.
    pub cloth_peak: Temperature,
    /// The cloth's limit less its peak; negative when over.
    pub margin: TemperatureDifference,
    /// The cloth's own limit.
    pub limit: Temperature,
    /// Change against the maker's dwell that this cloth calls for (0: as the maker says).
    pub longer: Duration,
    /// Dwell that would give the reference dose, as a range, for information.
    pub equal_dose: Option<(Duration, Duration)>,
    /// Temperatures over time at the bond line (s, °C), for the picture.
    pub curve: Vec<(f64, f64)>,
    /// Heat drawn from the platen in one closing, J.
    pub energy_j: f64,
    /// Which settings serve, and what closes them.
    pub window: HeatWindow,
    /// Cooling after the press, by where it lies.
    pub cooling: Vec<Cooldown>,
}

/// Temperature and dwell that serve on this cloth.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatWindow {
    /// The whole map, recipe ± 15 K; what lies outside the maker's range is for information only.
    pub map: heat::press::Window,
    /// The maker's setting.
    pub recipe: (Temperature, Duration),
    /// What is set on this cloth.
    pub advised: (Temperature, Duration),
    /// The maker's lowest and highest temperature.
    pub maker: (Temperature, Temperature),
    /// How far the setting may be moved on the maker's sheet; `None` when it does not serve.
    pub leeway: Option<Leeway>,
    /// Why the setting does not serve, where it does not.
    pub closed_by: Option<Code>,
}

/// How far the setting may be moved, and what stops it on each side.
#[derive(Debug, Clone, PartialEq)]
pub struct Leeway {
    /// Coldest and hottest plate at the dwell set.
    pub temperature: (Temperature, Temperature),
    /// Shortest and longest dwell at the plate set.
    pub dwell: (Duration, Duration),
    /// What stops it on the colder side.
    pub colder: Code,
    /// What stops it on the hotter side.
    pub hotter: Code,
    /// What stops it on the shorter side.
    pub shorter: Code,
    /// What stops it on the longer side.
    pub longer: Code,
}

/// Waits after the press, laid or hung in one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooldown {
    /// Where it cools.
    pub way: Code,
    /// Until the bond line is at the peel temperature; `None` when not practical.
    pub to_peel: Option<Duration>,
    /// Until it may be carried in bare hands; `None` when not practical.
    pub to_handling: Option<Duration>,
}
