//! What the engine refuses, with field, limit and remedy.

use std::fmt;

/// Why a heat question cannot be answered.
#[derive(Debug, Clone, PartialEq)]
pub enum HeatError {
    /// A number outside the range in which the model has meaning.
    OutOfRange {
        /// Which field, as a path such as `layers[1].thickness_mm`.
        field: String,
        /// What it was.
        value: f64,
        /// Smallest value taken.
        lowest: f64,
        /// Largest value taken.
        highest: f64,
        /// Unit of all three, empty for a bare number.
        unit: &'static str,
    },
    /// A list with too few or too many entries.
    Count {
        /// Which list.
        field: String,
        /// How many it has.
        count: usize,
        /// Fewest taken.
        lowest: usize,
        /// Most taken.
        highest: usize,
    },
    /// A layer that is not in the stack when it is asked for.
    NoSuchLayer {
        /// Who asks, as a path such as `probes[0].layer`.
        field: String,
        /// The layer asked for.
        layer: usize,
        /// How many layers there are.
        layers: usize,
    },
    /// More cells times steps than one run may cost.
    TooMuchWork {
        /// Cells times steps the run would take.
        cell_steps: u64,
        /// Most that one run may take.
        limit: u64,
    },
    /// The equations of one step found no solution even with the smallest step.
    NoSolution {
        /// Time since the start of the run, s.
        at_s: f64,
    },
}

impl fmt::Display for HeatError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange { field, value, lowest, highest, unit } => {
                let gap = if unit.is_empty() { "" } else { " " };
                write!(f, "{field} is {value}{gap}{unit}; it must lie between {lowest} and {highest}{gap}{unit}")
            }
            Self::Count { field, count, lowest, highest } => {
                write!(f, "{field} has {count} entries; between {lowest} and {highest} are taken")
            }
            Self::NoSuchLayer { field, layer, layers } => {
                write!(
                    f,
                    "{field} asks for layer {layer}, but there are {layers}; layers are counted from 0 at the hot side"
                )
            }
            Self::TooMuchWork { cell_steps, limit } => write!(
                f,
                "this run would take {cell_steps} cell steps and {limit} is the limit; use fewer layers, fewer times or shorter phases"
            ),
            Self::NoSolution { at_s } => write!(
                f,
                "no solution was found at {at_s} s; look for a layer with an extreme water content or conductivity"
            ),
        }
    }
}

impl std::error::Error for HeatError {}

/// `value` when it is finite and within the limits, else the refusal naming `field`.
pub(crate) fn within(
    field: impl FnOnce() -> String,
    value: f64,
    (lowest, highest): (f64, f64),
    unit: &'static str,
) -> Result<f64, HeatError> {
    if value.is_finite() && value >= lowest && value <= highest {
        Ok(value)
    } else {
        Err(HeatError::OutOfRange { field: field(), value, lowest, highest, unit })
    }
}

/// `count` when it is within the limits, else the refusal naming `field`.
pub(crate) fn counted(
    field: impl FnOnce() -> String,
    count: usize,
    (lowest, highest): (usize, usize),
) -> Result<usize, HeatError> {
    if (lowest..=highest).contains(&count) {
        Ok(count)
    } else {
        Err(HeatError::Count { field: field(), count, lowest, highest })
    }
}
