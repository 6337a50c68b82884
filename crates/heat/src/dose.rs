//! What the adhesive gets: time above its activation, and flow.

use crate::error::{HeatError, within};
use crate::limits;

/// Gas constant, J/molK (CODATA 2018, exact).
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Reference temperature of the flow dose, °C.
pub const REFERENCE_C: f64 = 130.0;
/// Activation energy of a hot-melt's viscosity, J/mol; 50 to 120 kJ/mol occur
/// (from memory; no one source).
pub const ACTIVATION_J_MOL: f64 = 80_000.0;
const ZERO_C_IN_K: f64 = 273.15;

/// How a dose is counted.
///
/// D = ∫ exp[(E/R)(1/T_ref − 1/T)] dt over the time that T is at or above the
/// gate: seconds at the reference temperature with the same flow (∫ dt/η for
/// an Arrhenius viscosity). Without the gate a long time below activation
/// would be offered as the equal of a press.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoseRule {
    /// Activation temperature, °C: nothing counts below.
    pub gate_c: f64,
    /// Activation energy E, J/mol.
    pub activation_j_mol: f64,
    /// Reference temperature, °C.
    pub reference_c: f64,
}

impl DoseRule {
    /// With the usual activation energy and reference temperature.
    pub fn gated_at(gate_c: f64) -> Self {
        Self { gate_c, activation_j_mol: ACTIVATION_J_MOL, reference_c: REFERENCE_C }
    }

    /// The activation temperature taken where the maker states none: the lower
    /// of 110 °C and 35 K under the recipe's platen (common practice, no source).
    pub fn gate_for(platen_c: f64) -> f64 {
        (platen_c - 35.0).min(110.0)
    }

    pub(crate) fn check(&self, path: &str) -> Result<(), HeatError> {
        within(|| format!("{path}gate_c"), self.gate_c, limits::TEMPERATURE_C, "°C")?;
        within(|| format!("{path}reference_c"), self.reference_c, limits::TEMPERATURE_C, "°C")?;
        within(|| format!("{path}activation_j_mol"), self.activation_j_mol, limits::ACTIVATION_J_MOL, "J/mol")?;
        Ok(())
    }

    fn rate(&self, c: f64) -> f64 {
        let inverse = 1.0 / (self.reference_c + ZERO_C_IN_K) - 1.0 / (c + ZERO_C_IN_K);
        libm::exp(self.activation_j_mol / GAS_CONSTANT * inverse)
    }
}

/// Adds up a dose step by step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoseMeter {
    rule: DoseRule,
    /// Seconds at or above the gate.
    pub above_s: f64,
    /// The flow dose, equivalent seconds at the reference temperature.
    pub equivalent_s: f64,
}

impl DoseMeter {
    /// Nothing counted yet.
    pub fn new(rule: DoseRule) -> Self {
        Self { rule, above_s: 0.0, equivalent_s: 0.0 }
    }

    /// Counts `dt` seconds during which the temperature went in a straight
    /// line from `from_c` to `to_c`; Simpson's rule over the part above the gate.
    pub fn add(&mut self, from_c: f64, to_c: f64, dt: f64) {
        let gate = self.rule.gate_c;
        let (low, high) = (from_c.min(to_c), from_c.max(to_c));
        if high < gate {
            return;
        }
        let start = low.max(gate);
        let share = if high > low { (high - start) / (high - low) } else { 1.0 };
        let span = dt * share;
        self.above_s += span;
        let middle = self.rule.rate(0.5 * (start + high));
        self.equivalent_s += span * (self.rule.rate(start) + 4.0 * middle + self.rule.rate(high)) / 6.0;
    }
}
