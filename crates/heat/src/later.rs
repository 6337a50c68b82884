//! What a print that is already on the garment gets from a later press over it.

use crate::assembly::Assembly;
use crate::dose::DoseRule;
use crate::doubt::Draw;
use crate::error::HeatError;
use crate::session::{Session, Setting, Step, Surroundings, Trace, Until, check_setting};

/// Heat an earlier print gets from one later press.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExtraHeat {
    /// Its bond line at the hottest, adhesive side, °C.
    pub bond_peak_c: f64,
    /// Seconds its bond line, cloth side, is at or above its own activation.
    pub above_activation_s: f64,
    /// Flow dose added, equivalent seconds at 130 °C.
    pub dose_s: f64,
    /// Cloth under it at the hottest, °C.
    pub face_peak_c: f64,
}

/// Heat that `earlier` gets while it lies under the platen of a later press.
///
/// `earlier` is the print as it is by then: usually [`Assembly::peeled`], with
/// the cover sheet of the later press if that one uses it. `activation_c` is
/// the earlier print's own. A print outside the later platen gets none: ask
/// only for those under it.
pub fn extra_heat(
    earlier: &Assembly,
    later: Setting,
    around: Surroundings,
    activation_c: f64,
) -> Result<ExtraHeat, HeatError> {
    check_setting(&|field| format!("later.{field}"), later)?;
    let draw = Draw::default();
    let mut session = Session::begin(earlier, &draw, around, DoseRule::gated_at(activation_c))?;
    let trace = session.full_press(later.platen_c, Until::Seconds(later.dwell_s))?;
    Ok(ExtraHeat {
        bond_peak_c: trace.bond_c.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        above_activation_s: trace.above_s.last().copied().unwrap_or(0.0),
        dose_s: trace.dose_s.last().copied().unwrap_or(0.0),
        face_peak_c: trace.face_peak_c.last().copied().unwrap_or(f64::NEG_INFINITY),
    })
}

/// What one press after some steps does to the work, without any advice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pressed {
    /// Bond line at the end, adhesive side, °C.
    pub bond_end_c: f64,
    /// Bond line at the end, cloth side, °C.
    pub face_end_c: f64,
    /// Hottest cloth under the transfer, °C.
    pub face_peak_c: f64,
    /// Seconds at or above activation, cloth side, tacks included.
    pub above_activation_s: f64,
    /// Flow dose, equivalent seconds at 130 °C, cloth side, tacks included.
    pub dose_s: f64,
    /// Heat drawn from the platen in the full press, J/m².
    pub drawn_j_m2: f64,
    /// Water left in the printed cloth, share of what it held.
    pub water_left: f64,
}

/// The course of one press after the given steps, for a picture: nothing is advised.
///
/// Refuses settings outside the model's ranges. Cost: a millisecond or two.
pub fn course(
    work: &Assembly,
    steps: &[Step],
    setting: Setting,
    around: Surroundings,
    activation_c: f64,
) -> Result<Trace, HeatError> {
    check_setting(&|field| field.to_owned(), setting)?;
    let draw = Draw::default();
    let mut session = Session::begin(work, &draw, around, DoseRule::gated_at(activation_c))?;
    session.take(steps)?;
    session.full_press(setting.platen_c, Until::Seconds(setting.dwell_s))
}

/// Presses the work after the given steps: a tack, cool, cover and full press
/// recipe is simulated as it is done.
pub fn press(
    work: &Assembly,
    steps: &[Step],
    setting: Setting,
    around: Surroundings,
    activation_c: f64,
) -> Result<Pressed, HeatError> {
    check_setting(&|field| field.to_owned(), setting)?;
    let draw = Draw::default();
    let mut session = Session::begin(work, &draw, around, DoseRule::gated_at(activation_c))?;
    let held = session.column.water_left(session.face).unwrap_or(0.0);
    session.take(steps)?;
    let trace = session.full_press(setting.platen_c, Until::Seconds(setting.dwell_s))?;
    let last = |column: &[f64]| column.last().copied().unwrap_or(0.0);
    let left = session.column.water_left(session.face).unwrap_or(0.0);
    Ok(Pressed {
        bond_end_c: last(&trace.bond_c),
        face_end_c: last(&trace.face_c),
        face_peak_c: last(&trace.face_peak_c),
        above_activation_s: last(&trace.above_s),
        dose_s: last(&trace.dose_s),
        drawn_j_m2: last(&trace.drawn_j_m2),
        water_left: if held > 0.0 { left / held } else { 0.0 },
    })
}
