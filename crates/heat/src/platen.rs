//! The platen as one lump of metal: sag in a press, recovery, the rate it can
//! keep, the pad warming under it, and the time a change of setting takes.
//!
//! One lump is enough: at 12 kW/m² only 0.4 K lies across 15 mm of aluminium.
//! That corners run cooler it cannot show; see [`crate::calibrate::map`].

use crate::assembly::Assembly;
use crate::boundary::{Edge, Facing};
use crate::case::Walk;
use crate::column::Column;
use crate::cooling;
use crate::dose::{DoseMeter, DoseRule};
use crate::doubt::Draw;
use crate::error::{HeatError, counted, within};
use crate::layer::{Layer, Mesh};
use crate::pace::Pace;
use crate::properties as data;
use crate::session::{Setting, check_setting};

/// Heat a casing loses, W/K (an assumption for a full-size press).
pub const CASING_W_K: f64 = 1.3;
/// Heat the open face loses near 150 °C, W/m²K (calculated: convection and radiation).
pub const OPEN_W_M2K: f64 = 13.6;

/// A heated plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Heat capacity, J/K.
    pub heat_capacity_j_k: f64,
    /// Face, m².
    pub area_m2: f64,
    /// Heater, W.
    pub heater_w: f64,
    /// Loss of the casing, W/K.
    pub casing_w_k: f64,
    /// Loss of the open face, W/m²K.
    pub open_w_m2k: f64,
}

impl Plate {
    /// An aluminium plate, mm and W, with the usual losses.
    pub fn aluminium([width_mm, length_mm, thickness_mm]: [f64; 3], heater_w: f64) -> Self {
        let area_m2 = width_mm * length_mm * 1e-6;
        let volume = area_m2 * thickness_mm * 1e-3;
        Self {
            heat_capacity_j_k: volume * data::ALUMINIUM.rho * data::ALUMINIUM.c,
            area_m2,
            heater_w,
            casing_w_k: CASING_W_K,
            open_w_m2k: OPEN_W_M2K,
        }
    }

    /// Loss with the face open, W/K.
    pub fn open_loss_w_k(&self) -> f64 {
        self.casing_w_k + self.open_w_m2k * self.area_m2
    }

    pub(crate) fn check(&self) -> Result<(), HeatError> {
        within(|| "plate.heat_capacity_j_k".into(), self.heat_capacity_j_k, (10.0, 1e6), "J/K")?;
        within(|| "plate.area_m2".into(), self.area_m2, (1e-4, 4.0), "m²")?;
        within(|| "plate.heater_w".into(), self.heater_w, (0.0, 50_000.0), "W")?;
        within(|| "plate.casing_w_k".into(), self.casing_w_k, (0.0, 1000.0), "W/K")?;
        within(|| "plate.open_w_m2k".into(), self.open_w_m2k, (0.0, 1000.0), "W/m²K")?;
        Ok(())
    }
}

/// A lump with constant heating and loss: T = T_s + (T₀ − T_s) exp(−t UA/C),
/// T_s = T_room + P/UA. Source: Incropera & DeWitt, ch. 5, general lumped capacitance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lump {
    /// C, J/K.
    pub heat_capacity_j_k: f64,
    /// UA, W/K.
    pub loss_w_k: f64,
    /// T_room, °C.
    pub room_c: f64,
}

impl Lump {
    /// Temperature after `seconds`, °C.
    pub fn after(&self, from_c: f64, power_w: f64, seconds: f64) -> f64 {
        if self.loss_w_k <= 0.0 {
            return from_c + power_w * seconds / self.heat_capacity_j_k;
        }
        let settles = self.room_c + power_w / self.loss_w_k;
        settles + (from_c - settles) * libm::exp(-seconds * self.loss_w_k / self.heat_capacity_j_k)
    }

    /// Time from one temperature to another, s; `None` when it is never reached.
    pub fn time_to(&self, from_c: f64, to_c: f64, power_w: f64) -> Option<f64> {
        if from_c == to_c {
            return Some(0.0);
        }
        if self.loss_w_k <= 0.0 {
            let time = (to_c - from_c) * self.heat_capacity_j_k / power_w;
            return (time.is_finite() && time >= 0.0).then_some(time);
        }
        let settles = self.room_c + power_w / self.loss_w_k;
        let ratio = (from_c - settles) / (to_c - settles);
        let time = self.heat_capacity_j_k / self.loss_w_k * libm::log(ratio);
        (ratio > 0.0 && time.is_finite() && time >= 0.0).then_some(time)
    }
}

/// Time to change the platen from one temperature to another with the press
/// open, s: heater full on when rising, off when falling. `None` when the
/// heater never gets there.
pub fn change_time_s(plate: &Plate, from_c: f64, to_c: f64, room_c: f64) -> Option<f64> {
    let lump = Lump { heat_capacity_j_k: plate.heat_capacity_j_k, loss_w_k: plate.open_loss_w_k(), room_c };
    lump.time_to(from_c, to_c, if to_c > from_c { plate.heater_w } else { 0.0 })
}

/// Presses an hour that the heater can keep up with, from the heat one press
/// draws; `None` when it cannot even hold the open plate.
///
/// P·cycle = Q + casing·cycle + face·(cycle − dwell), all losses at the setting.
pub fn sustainable_per_hour(plate: &Plate, setting: Setting, drawn_j_m2: f64, room_c: f64) -> Option<f64> {
    let over = setting.platen_c - room_c;
    let face = plate.open_w_m2k * plate.area_m2 * over;
    let spare = plate.heater_w - plate.casing_w_k * over - face;
    if spare <= 0.0 {
        return None;
    }
    let cycle = (drawn_j_m2 * plate.area_m2 - face * setting.dwell_s) / spare;
    Some(3600.0 / cycle.max(setting.dwell_s))
}

/// A run of equal presses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Thermostat setting and dwell.
    pub setting: Setting,
    /// Open between presses, s; 1 to 3600.
    pub open_s: f64,
    /// How many; 1 to 500.
    pub presses: usize,
    /// Width of the thermostat's band about the setting, K.
    pub band_k: f64,
    /// Room, °C.
    pub room_c: f64,
    /// Pad before the first press, °C.
    pub pad_start_c: f64,
}

/// One press of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressSeen {
    /// Platen when it closes, °C.
    pub platen_closing_c: f64,
    /// Lowest platen while closed, °C.
    pub platen_lowest_c: f64,
    /// Pad surface just before, °C.
    pub pad_c: f64,
    /// Bond line at the end, °C.
    pub bond_end_c: f64,
    /// Heat drawn from the platen, J.
    pub drawn_j: f64,
    /// Share of the cycle that the heater was on.
    pub heater_share: f64,
}

/// What a run does.
#[derive(Debug, Clone, PartialEq)]
pub struct RunSeen {
    /// Each press.
    pub presses: Vec<PressSeen>,
    /// Largest fall of the platen in one press, K.
    pub sag_k: f64,
    /// How far under the setting the platen closes at the end of the run, K.
    pub settles_low_k: f64,
    /// Mean heater power over the last fifth of the run, W.
    pub mean_power_w: f64,
    /// Presses an hour the heater can keep up with.
    pub sustainable_per_hour: Option<f64>,
    /// Closed cycles on an empty or scrap-laid pad after which the bond line is
    /// within 1 K of the run's end; 0 when it is from the first.
    pub warm_up_cycles: usize,
}

/// Simulates a run of presses with the platen, its thermostat and the pad.
///
/// Each piece covers the whole plate and starts at room temperature; it leaves
/// when the press opens. Cost: about 0.5 ms a press.
pub fn run(plate: &Plate, work: &Assembly, run: &Run) -> Result<RunSeen, HeatError> {
    plate.check()?;
    work.check()?;
    check_setting(&|field| field.to_owned(), run.setting)?;
    within(|| "open_s".into(), run.open_s, (1.0, 3600.0), "s")?;
    within(|| "band_k".into(), run.band_k, (0.0, 20.0), "K")?;
    within(|| "room_c".into(), run.room_c, (-20.0, 60.0), "°C")?;
    within(|| "pad_start_c".into(), run.pad_start_c, (-20.0, 200.0), "°C")?;
    counted(|| "presses".into(), run.presses, (1, 500))?;
    let total = run.presses as f64 * (run.setting.dwell_s + run.open_s);
    within(|| "the whole run".into(), total, (0.0, crate::limits::TOTAL_S), "s")?;
    let mut bench = Bench::new(plate, work, run)?;
    let presses = (0..run.presses).map(|_| bench.cycle()).collect::<Result<Vec<_>, _>>()?;
    Ok(seen(plate, run, presses))
}

fn seen(plate: &Plate, run: &Run, presses: Vec<PressSeen>) -> RunSeen {
    let late = &presses[presses.len() - presses.len().div_ceil(5)..];
    let mean = |value: &dyn Fn(&PressSeen) -> f64| late.iter().map(value).sum::<f64>() / late.len() as f64;
    let last = mean(&|p| p.bond_end_c);
    let drawn = mean(&|p| p.drawn_j) / plate.area_m2;
    RunSeen {
        sag_k: presses.iter().map(|p| p.platen_closing_c - p.platen_lowest_c).fold(0.0, f64::max),
        settles_low_k: (run.setting.platen_c - mean(&|p| p.platen_closing_c)).max(0.0),
        mean_power_w: mean(&|p| p.heater_share) * plate.heater_w,
        sustainable_per_hour: sustainable_per_hour(plate, run.setting, drawn, run.room_c),
        warm_up_cycles: presses.iter().position(|p| p.bond_end_c > last - 1.0).unwrap_or(presses.len()),
        presses,
    }
}

/// Platen, pad and the work between them.
struct Bench<'a> {
    plate: &'a Plate,
    work: &'a Assembly,
    run: &'a Run,
    draw: Draw,
    /// The pad and what lies under the cloth, kept from press to press.
    pad: Column,
    platen_c: f64,
    heating: bool,
}

const STEP_S: f64 = 0.1;

impl<'a> Bench<'a> {
    fn new(plate: &'a Plate, work: &'a Assembly, run: &'a Run) -> Result<Self, HeatError> {
        let draw = Draw::default();
        let under = work.under(&draw, run.pad_start_c);
        let joints = under.contacts.get(1..).unwrap_or(&[]);
        let pad = Column::new(&under.layers, joints, run.pad_start_c)?;
        Ok(Self { plate, work, run, draw, pad, platen_c: run.setting.platen_c, heating: false })
    }

    fn cycle(&mut self) -> Result<PressSeen, HeatError> {
        let closed = self.closed()?;
        let on_s = self.open()?;
        let share = (closed.heater_share + on_s) / (self.run.setting.dwell_s + self.run.open_s);
        Ok(PressSeen { heater_share: share, ..closed })
    }

    /// Closed; `heater_share` holds the seconds the heater was on.
    fn closed(&mut self) -> Result<PressSeen, HeatError> {
        let room = self.run.room_c;
        let closing = self.platen_c;
        let pad_c = self.pad.upper_face(0, Edge::Open { w_m2k: 0.0, to_c: room, w_m2: 0.0 });
        let under = self.pad.layers();
        let mut column = self.pad.clone();
        let cloth = self.work.cloth(&self.draw)?;
        column.put_on_top(&cloth.layers, &cloth.contacts, room)?;
        let face = column.ids() - cloth.layers.len();
        let transfer = self.work.transfer(&self.draw);
        column.put_on_top(&transfer.layers, &transfer.contacts, room)?;
        let bond = (!transfer.layers.is_empty()).then(|| column.ids() - 1);
        let cover = self.work.cover(&self.draw, false);
        column.put_on_top(&cover.layers, &cover.contacts, room)?;
        let joint = if bond.is_some() || !cover.layers.is_empty() {
            self.work.joints.platen_film
        } else {
            self.work.joints.platen_cloth
        };
        column.put_on_top(&[self.lump()], &[Some(joint)], self.platen_c)?;
        let bottom = Edge::Open { w_m2k: self.work.joints.pad_base, to_c: self.work.base_c, w_m2: 0.0 };
        let (mut lowest, mut on_s, mut supplied, mut lost) = (self.platen_c, 0.0, 0.0, 0.0);
        for dt in steps(self.run.setting.dwell_s) {
            let heating = self.thermostat();
            let casing = self.plate.casing_w_k / self.plate.area_m2;
            let w_m2 = if heating { self.plate.heater_w / self.plate.area_m2 } else { 0.0 };
            let top = Edge::Open { w_m2k: casing, to_c: room, w_m2 };
            column.step(dt, [top, bottom]).ok_or(HeatError::NoSolution { at_s: 0.0 })?;
            self.platen_c = column.first_cell();
            lowest = lowest.min(self.platen_c);
            on_s += if heating { dt } else { 0.0 };
            supplied += w_m2 * dt * self.plate.area_m2;
            lost += casing * (self.platen_c - room) * dt * self.plate.area_m2;
        }
        let bond_end_c = match bond.and_then(|id| column.place(id)) {
            Some((_, cell)) => column.lower_face(cell, bottom),
            None => column.place(face).map_or(room, |p| column.upper_face(p.0, bottom)),
        };
        let kept = self.plate.heat_capacity_j_k * (self.platen_c - closing);
        let above = column.layers() - under;
        column.take_from_top(above)?;
        self.pad = column;
        Ok(PressSeen {
            platen_closing_c: closing,
            platen_lowest_c: lowest,
            pad_c,
            bond_end_c,
            drawn_j: supplied - lost - kept,
            heater_share: on_s,
        })
    }

    /// Open: the pad in air, the plate on its own. Seconds the heater was on.
    fn open(&mut self) -> Result<f64, HeatError> {
        let bottom = crate::boundary::Boundary::contact(self.work.joints.pad_base, self.work.base_c);
        let phase = cooling::open(self.run.room_c, Facing::Up, bottom);
        let mut walk = Walk::begin(&mut self.pad, &phase, 0.0, Pace::Even(0.25));
        while walk.time_s < self.run.open_s {
            walk.step_to(self.run.open_s)?;
        }
        let lump = Lump {
            heat_capacity_j_k: self.plate.heat_capacity_j_k,
            loss_w_k: self.plate.open_loss_w_k(),
            room_c: self.run.room_c,
        };
        let mut on_s = 0.0;
        for dt in steps(self.run.open_s) {
            let heating = self.thermostat();
            on_s += if heating { dt } else { 0.0 };
            self.platen_c = lump.after(self.platen_c, if heating { self.plate.heater_w } else { 0.0 }, dt);
        }
        Ok(on_s)
    }

    fn thermostat(&mut self) -> bool {
        let half = 0.5 * self.run.band_k;
        let over = self.platen_c - self.run.setting.platen_c;
        self.heating = if over < -half { true } else { over <= half && self.heating };
        if self.run.band_k <= 0.0 {
            self.heating = over < 0.0;
        }
        self.heating
    }

    /// The plate as one cell without resistance of its own.
    fn lump(&self) -> Layer {
        let per_area = self.plate.heat_capacity_j_k / self.plate.area_m2;
        Layer::dry("platen", 15.0, [5000.0, per_area / (0.015 * 1000.0), 1000.0]).cut(Mesh::Even(1))
    }
}

fn steps(seconds: f64) -> impl Iterator<Item = f64> {
    let whole = (seconds / STEP_S).ceil().max(1.0);
    std::iter::repeat_n(seconds / whole, whole as usize)
}

/// Dose of one history given as points of time and temperature joined by
/// straight lines: for readings of a logger at the bond line.
pub fn dose_of_readings(rule: DoseRule, points: &[(f64, f64)]) -> (f64, f64) {
    let mut meter = DoseMeter::new(rule);
    for pair in points.windows(2) {
        meter.add(pair[0].1, pair[1].1, (pair[1].0 - pair[0].0).max(0.0));
    }
    (meter.above_s, meter.equivalent_s)
}
