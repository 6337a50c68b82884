//! What this press really does: platen offset and pad from readings at the
//! bond line, and a map of the plate.

use crate::assembly::Assembly;
use crate::dose::DoseRule;
use crate::doubt::Draw;
use crate::error::{HeatError, counted, within};
use crate::session::{Session, Setting, Surroundings, Until, check_setting};

/// Something seen on this press.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// A temperature strip at the bond line: the highest mark that turned.
    Strip {
        /// What lay in the press; the strip lies between adhesive and cloth.
        work: Assembly,
        /// What was set.
        setting: Setting,
        /// Pad and room.
        around: Surroundings,
        /// Highest mark that turned, °C.
        turned_c: f64,
        /// Next mark, which did not, °C.
        not_c: f64,
    },
    /// A dwell that was found just good on this press, for a material whose
    /// recipe is known: it gives what the recipe gives on its reference.
    GoodDwell {
        /// What lay in the press.
        work: Assembly,
        /// The setting that was just good.
        setting: Setting,
        /// Pad and room.
        around: Surroundings,
        /// The recipe.
        recipe: Setting,
        /// The work the recipe is known for.
        reference: Box<Assembly>,
        /// Activation temperature, °C.
        activation_c: f64,
    },
}

/// What fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// True platen less setting, K.
    pub platen_offset_k: f64,
    /// Its doubt, K (one standard deviation).
    pub platen_doubt_k: f64,
    /// Conductivity of the pad over the one assumed.
    pub pad_factor: f64,
    /// Lowest and highest likely (one standard deviation).
    pub pad_factor_range: (f64, f64),
    /// For each reading, model less reading after the fit: K for strips, share
    /// of the dose for dwells.
    pub left_over: Vec<f64>,
    /// Whether the readings told the pad apart from the offset: its doubt fell to
    /// under two thirds of what it was without them.
    pub pad_told: bool,
}

/// Doubt about the offset before any reading, K.
const OFFSET_BEFORE_K: f64 = 6.0;
/// Doubt about the logarithm of the pad's conductivity before any reading: a
/// factor of about 1.6.
const PAD_BEFORE: f64 = 0.47;
/// Doubt of a just-good dwell, share of the dose.
const DWELL_DOUBT: f64 = 0.2;
const ROUNDS: usize = 12;

/// Fits platen offset and pad conductivity to readings, 1 to 50.
///
/// Most likely values under normal doubt (Gauss–Newton with the doubts above as
/// a prior), so that one reading moves mostly the offset and several at
/// different dwells or works tell the pad too.
pub fn calibrate(seen: &[Seen]) -> Result<Calibration, HeatError> {
    counted(|| "readings".into(), seen.len(), (1, 50))?;
    for (index, reading) in seen.iter().enumerate() {
        check(index, reading)?;
    }
    let (mut offset, mut pad) = (0.0_f64, 0.0_f64);
    let mut spread = ([[0.0; 2]; 2], 1.0);
    for _ in 0..ROUNDS {
        let (gradient, curvature) = slope(seen, offset, pad)?;
        let [[a, b], [_, d]] = curvature;
        let determinant = a * d - b * b;
        spread = (curvature, determinant);
        let step_offset = -(d * gradient[0] - b * gradient[1]) / determinant;
        let step_pad = -(a * gradient[1] - b * gradient[0]) / determinant;
        offset = (offset + step_offset.clamp(-10.0, 10.0)).clamp(-40.0, 40.0);
        pad = (pad + step_pad.clamp(-0.5, 0.5)).clamp(-2.0, 2.0);
        if step_offset.abs() < 1e-3 && step_pad.abs() < 1e-4 {
            break;
        }
    }
    let ([[a, _], [_, d]], determinant) = spread;
    let (offset_doubt, pad_doubt) = ((d / determinant).sqrt(), (a / determinant).sqrt());
    let left_over =
        seen.iter().map(|s| residual(s, offset, pad).map(|(r, doubt)| r * doubt)).collect::<Result<Vec<_>, _>>()?;
    Ok(Calibration {
        platen_offset_k: offset,
        platen_doubt_k: offset_doubt,
        pad_factor: libm::exp(pad),
        pad_factor_range: (libm::exp(pad - pad_doubt), libm::exp(pad + pad_doubt)),
        left_over,
        pad_told: pad_doubt < PAD_BEFORE * 2.0 / 3.0,
    })
}

fn check(index: usize, seen: &Seen) -> Result<(), HeatError> {
    let at = |field: &str| format!("readings[{index}].{field}");
    match seen {
        Seen::Strip { setting, turned_c, not_c, .. } => {
            check_setting(&at, *setting)?;
            within(|| at("turned_c"), *turned_c, (20.0, 300.0), "°C")?;
            within(|| at("not_c"), *not_c, (*turned_c + 0.1, *turned_c + 50.0), "°C").map(drop)
        }
        Seen::GoodDwell { setting, recipe, .. } => {
            check_setting(&at, *setting)?;
            check_setting(&|field| at(&format!("recipe.{field}")), *recipe)
        }
    }
}

type Slope = ([f64; 2], [[f64; 2]; 2]);

/// Gradient and Gauss–Newton curvature of half the squared doubt.
fn slope(seen: &[Seen], offset: f64, pad: f64) -> Result<Slope, HeatError> {
    let mut gradient = [offset / (OFFSET_BEFORE_K * OFFSET_BEFORE_K), pad / (PAD_BEFORE * PAD_BEFORE)];
    let mut curvature = [[1.0 / (OFFSET_BEFORE_K * OFFSET_BEFORE_K), 0.0], [0.0, 1.0 / (PAD_BEFORE * PAD_BEFORE)]];
    for reading in seen {
        let (here, _) = residual(reading, offset, pad)?;
        let by_offset = (residual(reading, offset + 0.5, pad)?.0 - residual(reading, offset - 0.5, pad)?.0) / 1.0;
        let by_pad = (residual(reading, offset, pad + 0.1)?.0 - residual(reading, offset, pad - 0.1)?.0) / 0.2;
        let by = [by_offset, by_pad];
        for i in 0..2 {
            gradient[i] += here * by[i];
            for j in 0..2 {
                curvature[i][j] += by[i] * by[j];
            }
        }
    }
    Ok((gradient, curvature))
}

/// Model less reading in units of its doubt, and that doubt.
fn residual(seen: &Seen, offset: f64, pad: f64) -> Result<(f64, f64), HeatError> {
    let draw = Draw::with_pad(libm::exp(pad));
    match seen {
        Seen::Strip { work, setting, around, turned_c, not_c } => {
            let platen = setting.platen_c + offset;
            let mut session = Session::begin(work, &draw, *around, DoseRule::gated_at(110.0))?;
            let trace = session.full_press(platen, Until::Seconds(setting.dwell_s))?;
            // The strip lies in the joint: between both faces.
            let end = trace.bond_c.len().saturating_sub(1);
            let model = 0.5 * (trace.bond_c[end] + trace.face_c[end]);
            // A value anywhere between two marks: standard deviation of an even spread.
            let doubt = ((not_c - turned_c) / 12.0_f64.sqrt()).max(1.0);
            Ok(((model - 0.5 * (turned_c + not_c)) / doubt, doubt))
        }
        Seen::GoodDwell { work, setting, around, recipe, reference, activation_c } => {
            // Ungated at 20 K under activation, so that a cold press still has a slope.
            let rule = DoseRule::gated_at(activation_c - 20.0);
            let plain = Draw::default();
            let wanted = Session::begin(reference, &plain, Surroundings::default(), rule)?
                .full_press(recipe.platen_c, Until::Seconds(recipe.dwell_s))?;
            let given = Session::begin(work, &draw, *around, rule)?
                .full_press(setting.platen_c + offset, Until::Seconds(setting.dwell_s))?;
            let dose = |column: &[f64]| column.last().copied().unwrap_or(0.0).max(1e-3);
            let share = libm::log(dose(&given.dose_s) / dose(&wanted.dose_s));
            Ok((share / DWELL_DOUBT, DWELL_DOUBT))
        }
    }
}

/// What a grid of readings over a plate says.
#[derive(Debug, Clone, PartialEq)]
pub struct PlateMap {
    /// Mean, °C.
    pub mean_c: f64,
    /// Mean less setting, K.
    pub offset_k: f64,
    /// Hottest less coldest, K.
    pub spread_k: f64,
    /// Coldest reading: row, column (from 0, back left), °C.
    pub coldest: (usize, usize, f64),
    /// Hottest reading, as above.
    pub hottest: (usize, usize, f64),
    /// Whether the coldest lies in a corner.
    pub in_corner: bool,
    /// What follows.
    pub advice: MapAdvice,
    /// Dwell that the coldest place would need over the middle's, share: 3.5 % a kelvin.
    pub longer_at_coldest: f64,
}

/// What follows from a map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MapAdvice {
    /// Within 4 K: press anywhere.
    Even,
    /// Keep prints off the cold place, or turn long prints away from it.
    AvoidColdest,
    /// Over 15 K: have the plate looked at; set nothing by it.
    Repair,
}

/// Dwell per kelvin of platen error: 3 to 4 %, calculated with the model.
pub const DWELL_PER_KELVIN: f64 = 0.035;

/// Reads a map: rows from back to front, columns from left to right, 2×2 to 20×20.
pub fn map(setting_c: f64, readings_c: &[Vec<f64>]) -> Result<PlateMap, HeatError> {
    within(|| "setting_c".into(), setting_c, (20.0, 300.0), "°C")?;
    counted(|| "map".into(), readings_c.len(), (2, 20))?;
    let columns = counted(|| "map[0]".into(), readings_c[0].len(), (2, 20))?;
    let mut all: Vec<(usize, usize, f64)> = Vec::with_capacity(readings_c.len() * columns);
    for (row, line) in readings_c.iter().enumerate() {
        counted(|| format!("map[{row}]"), line.len(), (columns, columns))?;
        for (column, &c) in line.iter().enumerate() {
            all.push((row, column, within(|| format!("map[{row}][{column}]"), c, (0.0, 400.0), "°C")?));
        }
    }
    let pick = |best: fn(&f64, &f64) -> bool| {
        all.iter().copied().reduce(|a, b| if best(&b.2, &a.2) { b } else { a }).unwrap_or((0, 0, setting_c))
    };
    let (coldest, hottest) = (pick(f64::lt), pick(f64::gt));
    let mean_c = all.iter().map(|r| r.2).sum::<f64>() / all.len() as f64;
    let spread_k = hottest.2 - coldest.2;
    let edge = |at: usize, count: usize| at == 0 || at + 1 == count;
    Ok(PlateMap {
        mean_c,
        offset_k: mean_c - setting_c,
        spread_k,
        coldest,
        hottest,
        in_corner: edge(coldest.0, readings_c.len()) && edge(coldest.1, columns),
        advice: match spread_k {
            s if s <= 4.0 => MapAdvice::Even,
            s if s <= 15.0 => MapAdvice::AvoidColdest,
            _ => MapAdvice::Repair,
        },
        longer_at_coldest: (mean_c - coldest.2) * DWELL_PER_KELVIN,
    })
}
