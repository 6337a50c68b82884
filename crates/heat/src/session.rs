//! One piece of work on its way through the press: preheat, tack, cool, press,
//! and the trace of what the bond line saw.

use crate::assembly::Assembly;
use crate::boundary::Boundary;
use crate::case::{Change, Phase, Walk};
use crate::column::Column;
use crate::cooling::{self, Cooling};
use crate::dose::{DoseMeter, DoseRule};
use crate::doubt::Draw;
use crate::error::{HeatError, within};
use crate::limits;
use crate::pace::Pace;

/// Platen temperature and dwell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Platen, °C; 20 to 260.
    pub platen_c: f64,
    /// Closed, s; 0.1 to 300.
    pub dwell_s: f64,
}

/// What is done before the full press, in order.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// The bare cloth is pressed, then lies open while the transfer is placed.
    Preheat {
        /// Platen, °C.
        platen_c: f64,
        /// Closed, s.
        closed_s: f64,
        /// Open until the full press, s; 5 is usual.
        open_s: f64,
    },
    /// A short press, without the cover sheet.
    Tack(Setting),
    /// The work cools.
    Cool {
        /// How.
        way: Cooling,
        /// For how long, s.
        seconds: f64,
    },
    /// The carrier comes off.
    PeelCarrier,
    /// The work, its transfer laid on, is turned over: later presses heat it
    /// from the inside, through the cloth.
    Turn,
}

/// Temperatures before the first step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Room, cloth and transfer, °C.
    pub room_c: f64,
    /// Pad and pillow, °C; 30 in a cold start, 50–60 in a run.
    pub pad_start_c: f64,
}

impl Default for Surroundings {
    fn default() -> Self {
        Self { room_c: 22.0, pad_start_c: 30.0 }
    }
}

/// What one closing of the press did, step by step from the moment it closed.
/// Times s, temperatures °C.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trace {
    /// Time since closing; starts with 0.
    pub time_s: Vec<f64>,
    /// Bond line, adhesive side.
    pub bond_c: Vec<f64>,
    /// Bond line, cloth side: the face of the cloth.
    pub face_c: Vec<f64>,
    /// The hottest the cloth has been: its printed face, or, pressed from the
    /// inside, the face that the platen touches.
    pub face_peak_c: Vec<f64>,
    /// Seconds at or above activation so far, on the colder side of the bond
    /// line (the cloth's; pressed from the inside the adhesive's), pressed,
    /// earlier presses included.
    pub above_s: Vec<f64>,
    /// Flow dose so far, equivalent seconds, same side, pressed.
    pub dose_s: Vec<f64>,
    /// Heat drawn from the platen so far, J/m².
    pub drawn_j_m2: Vec<f64>,
}

impl Trace {
    /// Value of a column of the trace at `time_s`, by straight lines; the last
    /// one beyond the end.
    pub fn at(&self, column: &[f64], time_s: f64) -> f64 {
        let after = self.time_s.partition_point(|&t| t <= time_s);
        match (after.checked_sub(1), self.time_s.get(after)) {
            (Some(i), Some(&t1)) => {
                let t0 = self.time_s[i];
                column[i] + (column[after] - column[i]) * (time_s - t0) / (t1 - t0)
            }
            (Some(i), None) => column[i],
            (None, _) => column.first().copied().unwrap_or(0.0),
        }
    }

    /// First time that both measures have reached the given ones.
    pub fn reaches(&self, dose_s: f64, above_s: f64) -> Option<f64> {
        Some(self.first(&self.dose_s, dose_s)?.max(self.first(&self.above_s, above_s)?))
    }

    /// First time that the hottest face passes `limit_c`.
    pub fn passes(&self, limit_c: f64) -> Option<f64> {
        self.first(&self.face_peak_c, limit_c)
    }

    /// First time a rising column reaches `value`.
    fn first(&self, column: &[f64], value: f64) -> Option<f64> {
        let at = column.partition_point(|&v| v < value);
        let here = *column.get(at)?;
        let Some(before) = at.checked_sub(1) else { return Some(self.time_s[0]) };
        let share = if here > column[before] { (value - column[before]) / (here - column[before]) } else { 1.0 };
        Some(self.time_s[before] + (self.time_s[at] - self.time_s[before]) * share)
    }
}

/// When to open the press.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Until {
    /// After so many seconds.
    Seconds(f64),
    /// When both measures are reached, but not before `least_s` nor after `most_s`.
    Dose { dose_s: f64, above_s: f64, least_s: f64, most_s: f64 },
}

/// The work and where its parts are.
#[derive(Debug, Clone)]
pub(crate) struct Session<'a> {
    assembly: &'a Assembly,
    draw: &'a Draw,
    around: Surroundings,
    pub column: Column,
    /// Layer numbers, `None` when not there.
    cover: bool,
    carrier: bool,
    transfer_on: bool,
    pub bond: Option<usize>,
    pub face: usize,
    /// The cloth layer farthest from the print.
    back: usize,
    upper: usize,
    on_pad: bool,
    turned: bool,
    meter: DoseMeter,
    clock_s: f64,
    pace: Pace,
}

impl<'a> Session<'a> {
    /// The cloth lies on its pad, nothing on it yet.
    pub fn begin(
        assembly: &'a Assembly,
        draw: &'a Draw,
        around: Surroundings,
        rule: DoseRule,
    ) -> Result<Self, HeatError> {
        assembly.check()?;
        within(|| "room_c".into(), around.room_c, (-20.0, 60.0), "°C")?;
        within(|| "pad_start_c".into(), around.pad_start_c, (-20.0, 200.0), "°C")?;
        rule.check("activation.")?;
        let cloth = assembly.cloth(draw)?;
        let count = cloth.layers.len();
        let column = Column::new(&cloth.layers, &cloth.contacts, around.room_c)?;
        let mut session = Self {
            assembly,
            draw,
            around,
            column,
            cover: false,
            carrier: false,
            transfer_on: false,
            bond: None,
            face: 0,
            back: count.saturating_sub(1),
            upper: count,
            on_pad: false,
            turned: false,
            meter: DoseMeter::new(DoseRule { activation_j_mol: draw.activation_j_mol, ..rule }),
            clock_s: 0.0,
            pace: Pace::Press,
        };
        session.onto_pad()?;
        Ok(session)
    }

    /// With the longer steps of a search among many presses.
    pub fn searching(mut self) -> Self {
        self.pace = Pace::Search;
        self
    }

    pub fn take(&mut self, steps: &[Step]) -> Result<(), HeatError> {
        for (index, step) in steps.iter().enumerate() {
            let at = |field: &str| format!("steps[{index}].{field}");
            match step {
                Step::Preheat { platen_c, closed_s, open_s } => {
                    check_setting(&at, Setting { platen_c: *platen_c, dwell_s: *closed_s })?;
                    within(|| at("open_s"), *open_s, (0.0, 3600.0), "s")?;
                    self.press_bare(*platen_c, *closed_s)?;
                    self.rest(*open_s)?;
                }
                Step::Tack(setting) => {
                    check_setting(&at, *setting)?;
                    self.lay_on()?;
                    self.onto_pad()?;
                    self.press(setting.platen_c, Until::Seconds(setting.dwell_s), None)?;
                }
                Step::Cool { way, seconds } => {
                    within(|| at("seconds"), *seconds, (0.0, 7200.0), "s")?;
                    self.cover_off()?;
                    let phases = cooling::set_down(self, *way)?;
                    self.pass(&phases, *seconds)?;
                }
                Step::PeelCarrier => self.peel()?,
                Step::Turn => self.turn()?,
            }
        }
        Ok(())
    }

    /// The full press; the trace runs from the moment of closing.
    pub fn full_press(&mut self, platen_c: f64, until: Until) -> Result<Trace, HeatError> {
        self.lay_on()?;
        self.onto_pad()?;
        self.cover_on()?;
        let most = match until {
            Until::Seconds(s) => s,
            Until::Dose { most_s, .. } => most_s,
        };
        let mut trace = Trace::with_room((most / 0.04) as usize + 60);
        self.press(platen_c, until, Some(&mut trace))?;
        Ok(trace)
    }

    pub fn around(&self) -> Surroundings {
        self.around
    }

    pub fn pad_edge(&self) -> Boundary {
        Boundary::contact(self.assembly.joints.pad_base * self.draw.pad_base, self.assembly.base_c)
    }

    pub fn on_pad(&self) -> bool {
        self.on_pad
    }

    pub fn off_pad(&mut self) -> Result<(), HeatError> {
        self.on_pad = false;
        self.column.keep_upper(self.upper)
    }

    pub fn cover_off(&mut self) -> Result<(), HeatError> {
        if self.cover {
            self.cover = false;
            self.upper -= 1;
            self.column.take_from_top(1)?;
        }
        Ok(())
    }

    fn peel(&mut self) -> Result<(), HeatError> {
        self.cover_off()?;
        if self.carrier {
            self.carrier = false;
            self.upper -= 1;
            if self.turned {
                // It lies lowest, on the pad.
                return self.off_pad();
            }
            self.column.take_from_top(1)?;
        }
        Ok(())
    }

    fn turn(&mut self) -> Result<(), HeatError> {
        self.lay_on()?;
        self.cover_off()?;
        self.off_pad()?;
        self.turned = !self.turned;
        self.column.turn_over()
    }

    /// The bond line's adhesive side: a cell, and whether its upper face is meant.
    pub fn bond_face(&self) -> Option<(usize, bool)> {
        let (first, last) = self.bond.and_then(|id| self.column.place(id))?;
        Some(if self.turned { (first, true) } else { (last, false) })
    }

    fn sight(&self) -> Sight {
        let place = |id| self.column.place(id).unwrap_or((0, 0));
        let (face, back) = (place(self.face), place(self.back));
        let face = if self.turned { (face.1, false) } else { (face.0, true) };
        Sight {
            bond: self.bond_face().unwrap_or(face),
            face,
            hot: if self.turned { (back.0, true) } else { face },
            colder: if self.turned { Colder::Bond } else { Colder::Face },
        }
    }

    fn cover_on(&mut self) -> Result<(), HeatError> {
        let cover = self.assembly.cover(self.draw, self.turned);
        if !self.cover && !cover.layers.is_empty() {
            self.column.put_on_top(&cover.layers, &cover.contacts, self.around.room_c)?;
            self.cover = true;
            self.upper += 1;
        }
        Ok(())
    }

    fn lay_on(&mut self) -> Result<(), HeatError> {
        if self.transfer_on || !self.assembly.has_transfer() {
            return Ok(());
        }
        let parts = self.assembly.transfer(self.draw);
        let first = self.column.ids();
        self.column.put_on_top(&parts.layers, &parts.contacts, self.around.room_c)?;
        self.upper += parts.layers.len();
        self.bond = Some(first + parts.layers.len() - 1);
        self.carrier = self.assembly.carrier.is_some() && parts.layers.len() > 1;
        self.transfer_on = true;
        Ok(())
    }

    fn onto_pad(&mut self) -> Result<(), HeatError> {
        if self.on_pad {
            return Ok(());
        }
        self.column.keep_upper(self.upper)?;
        let start = self.draw.pad_start_c.unwrap_or(self.around.pad_start_c);
        let under = self.assembly.under(self.draw, start);
        if let Some((joint, rest)) = under.contacts.split_first() {
            self.column.put_below(&under.layers, rest, *joint, start)?;
        }
        self.on_pad = true;
        Ok(())
    }

    fn press_bare(&mut self, platen_c: f64, closed_s: f64) -> Result<(), HeatError> {
        let joint = self.assembly.joints.platen_cloth * self.draw.platen_cloth;
        self.pass(&closed(Boundary::contact(joint, platen_c), self.pad_edge()), closed_s)
    }

    fn rest(&mut self, seconds: f64) -> Result<(), HeatError> {
        let open = cooling::open(self.around.room_c, crate::boundary::Facing::Up, self.pad_edge());
        self.pass(&open, seconds)
    }

    /// Passes a phase without looking.
    fn pass(&mut self, phase: &Phase, seconds: f64) -> Result<(), HeatError> {
        let ends = self.clock_s + seconds;
        let mut walk = Walk::begin(&mut self.column, phase, self.clock_s, self.pace);
        while walk.time_s < ends {
            walk.step_to(ends)?;
        }
        self.clock_s = ends;
        Ok(())
    }

    fn press(&mut self, platen_c: f64, until: Until, mut trace: Option<&mut Trace>) -> Result<(), HeatError> {
        let joint = if self.cover || (self.transfer_on && !self.turned) {
            self.assembly.joints.platen_film * self.draw.platen_film
        } else {
            self.assembly.joints.platen_cloth * self.draw.platen_cloth
        };
        let phase = closed(Boundary::contact(joint, platen_c), self.pad_edge());
        let begun = self.clock_s;
        let most = match until {
            Until::Seconds(s) => s,
            Until::Dose { most_s, .. } => most_s,
        };
        let sight = self.sight();
        let mut walk = Walk::begin(&mut self.column, &phase, begun, self.pace);
        let mut now = Moment::read(&walk, sight);
        let mut drawn = 0.0;
        if let Some(trace) = trace.as_deref_mut() {
            trace.push(0.0, now, self.meter, drawn);
        }
        while walk.time_s < begun + most {
            let from = walk.time_s;
            drawn += walk.step_to(begun + most)?.top;
            let before = now.colder_c;
            now = Moment::read(&walk, sight);
            self.meter.add(before, now.colder_c, walk.time_s - from);
            if let Some(trace) = trace.as_deref_mut() {
                trace.push(walk.time_s - begun, now, self.meter, drawn);
            }
            if let Until::Dose { dose_s, above_s, least_s, .. } = until {
                let reached = self.meter.equivalent_s >= dose_s && self.meter.above_s >= above_s;
                if reached && walk.time_s - begun >= least_s {
                    break;
                }
            }
        }
        self.clock_s = walk.time_s;
        Ok(())
    }
}

/// Closed: pressure on.
fn closed(top: Boundary, bottom: Boundary) -> Phase {
    Phase { name: "press".into(), duration_s: limits::TOTAL_S, top, bottom, change: Change::default(), pressed: true }
}

/// Where a press is watched: cells, and whether their upper faces are meant.
#[derive(Debug, Clone, Copy)]
struct Sight {
    bond: (usize, bool),
    face: (usize, bool),
    hot: (usize, bool),
    colder: Colder,
}

/// The side of the bond line that the heat reaches last: it must be wetted.
#[derive(Debug, Clone, Copy)]
enum Colder {
    Bond,
    Face,
}

#[derive(Debug, Clone, Copy)]
struct Moment {
    bond_c: f64,
    face_c: f64,
    colder_c: f64,
    hot_c: f64,
}

impl Moment {
    fn read(walk: &Walk<'_>, sight: Sight) -> Self {
        let at = |place: (usize, bool)| walk.face(place);
        let (bond_c, face_c) = (at(sight.bond), at(sight.face));
        let colder_c = match sight.colder {
            Colder::Bond => bond_c,
            Colder::Face => face_c,
        };
        Self { bond_c, face_c, colder_c, hot_c: at(sight.hot) }
    }
}

impl Trace {
    fn with_room(steps: usize) -> Self {
        let room = || Vec::with_capacity(steps);
        Self {
            time_s: room(),
            bond_c: room(),
            face_c: room(),
            face_peak_c: room(),
            above_s: room(),
            dose_s: room(),
            drawn_j_m2: room(),
        }
    }

    fn push(&mut self, time_s: f64, now: Moment, meter: DoseMeter, drawn: f64) {
        let peak = self.face_peak_c.last().map_or(now.hot_c, |p| p.max(now.hot_c));
        self.time_s.push(time_s);
        self.bond_c.push(now.bond_c);
        self.face_c.push(now.face_c);
        self.face_peak_c.push(peak);
        self.above_s.push(meter.above_s);
        self.dose_s.push(meter.equivalent_s);
        self.drawn_j_m2.push(drawn);
    }
}

pub(crate) fn check_setting(at: &dyn Fn(&str) -> String, setting: Setting) -> Result<(), HeatError> {
    within(|| at("platen_c"), setting.platen_c, (20.0, 260.0), "°C")?;
    within(|| at("dwell_s"), setting.dwell_s, (0.1, 300.0), "s")?;
    Ok(())
}
