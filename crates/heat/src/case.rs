//! A stack through phases: what is posed, what comes back.

use crate::boundary::{Boundary, Edge};
use crate::column::{Column, Crossed};
use crate::dose::{DoseMeter, DoseRule};
use crate::error::{HeatError, counted, within};
use crate::layer::{Layer, Stack, check_parts};
use crate::limits;
use crate::pace::Pace;

/// What is done to the stack before a phase begins, in this order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Change {
    /// Layers taken off the top.
    pub remove_top: usize,
    /// The work set down on something else.
    pub replace_bottom: Option<NewBottom>,
    /// Layers laid on top, with as many contacts: the last joins them to what lies there.
    pub add_top: Option<NewTop>,
}

/// Layers laid on top.
#[derive(Debug, Clone, PartialEq)]
pub struct NewTop {
    /// The layers, hot side first.
    pub layers: Vec<Layer>,
    /// Between them, and from the last to the present top, W/m²K; as many as layers.
    pub contacts: Vec<Option<f64>>,
}

/// What the work is set down on.
#[derive(Debug, Clone, PartialEq)]
pub struct NewBottom {
    /// How many layers of the present stack stay, counted from the top after
    /// any were taken off.
    pub keep: usize,
    /// The new lower layers; may be none.
    pub layers: Vec<Layer>,
    /// From the kept ones to the first new one, then between the new ones,
    /// W/m²K; as many as layers.
    pub contacts: Vec<Option<f64>>,
}

/// A span of time with its boundaries.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// A name for people.
    pub name: String,
    /// How long, s.
    pub duration_s: f64,
    /// What the top face meets.
    pub top: Boundary,
    /// What the bottom face meets.
    pub bottom: Boundary,
    /// What is done before it begins.
    pub change: Change,
    /// Whether pressure is on: only then a dose is counted.
    pub pressed: bool,
}

/// Where a temperature is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Probe {
    /// A name for people.
    pub name: String,
    /// The place.
    pub place: Place,
}

/// A place in the stack. Layers are numbered from 0 at the hot side of the
/// first stack; later ones go on from there in the order they are added.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Place {
    /// The upper face of a layer.
    Top(usize),
    /// The lower face of a layer.
    Bottom(usize),
    /// In a layer, at a share of its thickness from its top.
    Inside(usize, f64),
}

impl Place {
    fn layer(self) -> usize {
        match self {
            Self::Top(id) | Self::Bottom(id) | Self::Inside(id, _) => id,
        }
    }
}

/// A dose counted at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoseAt {
    /// Where.
    pub place: Place,
    /// How.
    pub rule: DoseRule,
}

/// A stack, the phases it goes through, and what is to be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The layers at the start.
    pub stack: Stack,
    /// Temperature of layers that have none of their own, °C.
    pub start_c: f64,
    /// The phases in order.
    pub phases: Vec<Phase>,
    /// What is read.
    pub probes: Vec<Probe>,
    /// When it is read, s from the start, rising.
    pub times_s: Vec<f64>,
    /// A dose to count.
    pub dose: Option<DoseAt>,
    /// How long steps are.
    pub pace: Pace,
}

/// What one probe read.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The probe's name.
    pub name: String,
    /// At each requested time, °C; `None` while its layer is not in the stack.
    pub values_c: Vec<Option<f64>>,
    /// The highest, °C.
    pub peak_c: f64,
    /// When it was reached, s.
    pub peak_at_s: f64,
}

/// Where the heat went, J/m².
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HeatBook {
    /// Through the top face, inward.
    pub top: f64,
    /// Through the bottom face, inward (negative: out).
    pub bottom: f64,
    /// Kept as temperature by the layers that were there.
    pub stored: f64,
    /// Spent on drying.
    pub drying: f64,
}

impl HeatBook {
    /// |in − stored − drying| over the largest of them, or over 1 J/m² (a
    /// hundred-thousandth of a press) where hardly any heat moved.
    pub fn imbalance(&self) -> f64 {
        let size = self.top.abs().max(self.bottom.abs()).max(self.stored.abs()).max(self.drying).max(1.0);
        (self.top + self.bottom - self.stored - self.drying).abs() / size
    }
}

/// What came of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// The requested times, s.
    pub times_s: Vec<f64>,
    /// What each probe read.
    pub probes: Vec<Reading>,
    /// Where the heat went.
    pub heat: HeatBook,
    /// Water left in each layer at the end, kg/m²; `None` when it is gone.
    pub water_left_kg_m2: Vec<Option<f64>>,
    /// The dose: seconds above the gate, equivalent seconds.
    pub dose: Option<(f64, f64)>,
    /// Steps taken.
    pub steps: u64,
}

/// Runs a case.
///
/// Refuses numbers outside [`limits`], layers that never exist, and runs past
/// [`limits::CELL_STEPS`]. Cost: about 15 ns a cell and step.
pub fn run(case: &Case) -> Result<History, HeatError> {
    check(case)?;
    let mut column = Column::new(case.stack.layers(), case.stack.contacts(), case.start_c)?;
    let mut log = Log::new(case);
    let mut book = HeatBook::default();
    let mut begun = 0.0;
    let mut steps = 0_u64;
    let mut work = 0_u64;
    let mut next_time = 0;
    for (index, phase) in case.phases.iter().enumerate() {
        change(&mut column, &phase.change, case.start_c, index)?;
        let (sensible, bound) = (column.sensible_j_m2(), column.bound_j_m2());
        let ends = begun + phase.duration_s;
        let stops = stops(case, phase, begun, ends, index + 1 == case.phases.len(), &mut next_time);
        work = work.saturating_add(cost(&column, phase, case.pace, stops.len()));
        if work > limits::CELL_STEPS {
            return Err(HeatError::TooMuchWork { cell_steps: work, limit: limits::CELL_STEPS });
        }
        let mut walk = Walk::begin(&mut column, phase, begun, case.pace);
        log.begin(walk.column, walk.edges, begun, index == 0);
        for &(stop, record) in &stops {
            while walk.time_s < stop {
                let from = walk.time_s;
                let crossed = walk.step_to(stop)?;
                steps += 1;
                book.top += crossed.top;
                book.bottom += crossed.bottom;
                log.seen(walk.column, walk.edges, from, walk.time_s, phase.pressed);
            }
            if record {
                log.record(walk.column, walk.edges);
            }
        }
        book.stored += column.sensible_j_m2() - sensible;
        book.drying += bound - column.bound_j_m2();
        begun = ends;
    }
    Ok(log.history(case, &column, book, steps))
}

fn change(column: &mut Column, change: &Change, start_c: f64, phase: usize) -> Result<(), HeatError> {
    if change.remove_top > 0 {
        counted(|| format!("phases[{phase}].remove_top_layers"), change.remove_top, (0, column.layers() - 1))?;
        column.take_from_top(change.remove_top)?;
    }
    if let Some(bottom) = &change.replace_bottom {
        counted(|| format!("phases[{phase}].replace_bottom.keep"), bottom.keep, (1, column.layers()))?;
        column.keep_upper(bottom.keep)?;
        if let Some((joint, rest)) = bottom.contacts.split_first() {
            column.put_below(&bottom.layers, rest, *joint, start_c)?;
        }
    }
    if let Some(top) = &change.add_top {
        column.put_on_top(&top.layers, &top.contacts, start_c)?;
    }
    Ok(())
}

/// Times in the phase at which a step must end: requested ones (true), kinks
/// of the boundaries, the end.
fn stops(case: &Case, phase: &Phase, begun: f64, ends: f64, is_last: bool, next: &mut usize) -> Vec<(f64, bool)> {
    let mut stops: Vec<(f64, bool)> = Vec::new();
    while let Some(&time) = case.times_s.get(*next) {
        if time > ends + 1e-9 && !is_last {
            break;
        }
        stops.push((time.min(ends), true));
        *next += 1;
    }
    let kinks = phase.top.knots().into_iter().chain(phase.bottom.knots());
    stops.extend(kinks.filter(|&t| t > begun && t < ends).map(|t| (t, false)));
    stops.push((ends, false));
    stops.sort_by(|a, b| a.0.total_cmp(&b.0));
    stops
}

fn cost(column: &Column, phase: &Phase, pace: Pace, stops: usize) -> u64 {
    let steps = pace.steps(phase.duration_s, phase.pressed) + stops as f64;
    (steps * column.cells() as f64) as u64
}

fn check(case: &Case) -> Result<(), HeatError> {
    within(|| "start_c".into(), case.start_c, limits::TEMPERATURE_C, "°C")?;
    counted(|| "phases".into(), case.phases.len(), (1, limits::PHASES))?;
    counted(|| "probes".into(), case.probes.len(), (0, limits::PROBES))?;
    counted(|| "times_s".into(), case.times_s.len(), (0, limits::TIMES))?;
    let mut layers = case.stack.layers().len();
    for (index, phase) in case.phases.iter().enumerate() {
        layers += check_phase(&format!("phases[{index}]."), phase)?;
    }
    let total: f64 = case.phases.iter().map(|p| p.duration_s).sum();
    within(|| "phases (all together)".into(), total, (0.0, limits::TOTAL_S), "s")?;
    let mut earlier = 0.0;
    for (index, &time) in case.times_s.iter().enumerate() {
        // The sum of the phases may round a last bit below what the asker added up.
        let time = if time > total && time - total < 1e-6 { total } else { time };
        earlier = within(|| format!("times_s[{index}]"), time, (earlier, total), "s")?;
    }
    let asked = case.probes.iter().enumerate().map(|(i, p)| (format!("probes[{i}].layer"), p.place.layer()));
    let dosed = case.dose.iter().map(|d| ("dose.layer".to_owned(), d.place.layer()));
    for (field, layer) in asked.chain(dosed) {
        if layer >= layers {
            return Err(HeatError::NoSuchLayer { field, layer, layers });
        }
    }
    case.dose.iter().try_for_each(|d| d.rule.check("dose."))
}

/// Checks a phase; how many layers it adds.
fn check_phase(path: &str, phase: &Phase) -> Result<usize, HeatError> {
    within(|| format!("{path}duration_s"), phase.duration_s, limits::PHASE_S, "s")?;
    phase.top.check(&|field| format!("{path}top.{field}"))?;
    phase.bottom.check(&|field| format!("{path}bottom.{field}"))?;
    let mut added = 0;
    if let Some(bottom) = &phase.change.replace_bottom {
        let path = format!("{path}replace_bottom.");
        counted(|| format!("{path}layers"), bottom.layers.len(), (0, limits::LAYERS))?;
        let needed = bottom.layers.len();
        counted(|| format!("{path}contacts_w_m2k"), bottom.contacts.len(), (needed, needed))?;
        check_parts(&path, &bottom.layers, &bottom.contacts)?;
        added += needed;
    }
    if let Some(top) = &phase.change.add_top {
        let path = format!("{path}add_top_layers.");
        let needed = counted(|| format!("{path}layers"), top.layers.len(), (1, limits::LAYERS))?;
        counted(|| format!("{path}contacts_w_m2k"), top.contacts.len(), (needed, needed))?;
        check_parts(&path, &top.layers, &top.contacts)?;
        added += needed;
    }
    Ok(added)
}

/// A column on its way through one phase.
pub(crate) struct Walk<'a> {
    pub column: &'a mut Column,
    pub edges: [Edge; 2],
    pub time_s: f64,
    phase: &'a Phase,
    begun_s: f64,
    pace: Pace,
}

impl<'a> Walk<'a> {
    pub fn begin(column: &'a mut Column, phase: &'a Phase, begun_s: f64, pace: Pace) -> Self {
        let mut walk = Self {
            column,
            edges: [Edge::Open { w_m2k: 0.0, to_c: 0.0, w_m2: 0.0 }; 2],
            time_s: begun_s,
            phase,
            begun_s,
            pace,
        };
        walk.look(begun_s, 0.0);
        walk
    }

    /// One step of the phase's pace, cut short at `stop`.
    pub fn step_to(&mut self, stop: f64) -> Result<Crossed, HeatError> {
        let left = stop - self.time_s;
        let wanted = self.pace.next(self.time_s - self.begun_s, self.phase.pressed);
        // A sliver at the end is taken along.
        let dt = if left < wanted * 1.001 { left } else { wanted };
        let ends = if dt < left { self.time_s + dt } else { stop };
        self.look(ends, dt);
        let crossed = self.column.step(dt, self.edges).ok_or(HeatError::NoSolution { at_s: ends })?;
        self.time_s = ends;
        Ok(crossed)
    }

    /// Temperature of a cell's upper (true) or lower face.
    pub fn face(&self, (cell, upper): (usize, bool)) -> f64 {
        if upper { self.column.upper_face(cell, self.edges[0]) } else { self.column.lower_face(cell, self.edges[1]) }
    }

    /// Sets the edges for a step of `step` that ends at `time`, from the present faces.
    fn look(&mut self, time: f64, step: f64) {
        let top = self.column.top_face(self.edges[0]);
        let bottom = self.column.bottom_face(self.edges[1]);
        self.edges = [self.phase.top.edge(time, step, top), self.phase.bottom.edge(time, step, bottom)];
    }
}

/// What the probes see as the run goes.
struct Log {
    probes: Vec<Seeing>,
    dose: Option<Dosing>,
    values: usize,
}

/// A probe, the cells of its layer while it is there, and what it has read.
struct Seeing {
    place: Place,
    cells: Option<(usize, usize)>,
    reading: Reading,
}

/// The place of a dose, the last temperature there, and what is counted.
struct Dosing {
    place: Place,
    cells: Option<(usize, usize)>,
    last_c: f64,
    meter: DoseMeter,
}

impl Log {
    fn new(case: &Case) -> Self {
        let values = case.times_s.len();
        let seeing = |probe: &Probe| Seeing {
            place: probe.place,
            cells: None,
            reading: Reading {
                name: probe.name.clone(),
                values_c: Vec::with_capacity(values),
                peak_c: f64::NEG_INFINITY,
                peak_at_s: 0.0,
            },
        };
        let dosing = |d: DoseAt| Dosing { place: d.place, cells: None, last_c: 0.0, meter: DoseMeter::new(d.rule) };
        Self { probes: case.probes.iter().map(seeing).collect(), dose: case.dose.map(dosing), values }
    }

    fn begin(&mut self, column: &Column, edges: [Edge; 2], time: f64, first: bool) {
        for probe in &mut self.probes {
            probe.cells = column.place(probe.place.layer());
            if first && let Some(t) = read(column, probe.place, probe.cells, edges) {
                (probe.reading.peak_c, probe.reading.peak_at_s) = (t, time);
            }
        }
        if let Some(dose) = &mut self.dose {
            dose.cells = column.place(dose.place.layer());
            dose.last_c = read(column, dose.place, dose.cells, edges).unwrap_or(f64::NEG_INFINITY);
        }
    }

    fn seen(&mut self, column: &Column, edges: [Edge; 2], from: f64, time: f64, pressed: bool) {
        for probe in &mut self.probes {
            if let Some(t) = read(column, probe.place, probe.cells, edges)
                && t > probe.reading.peak_c
            {
                (probe.reading.peak_c, probe.reading.peak_at_s) = (t, time);
            }
        }
        if let Some(dose) = &mut self.dose
            && let Some(t) = read(column, dose.place, dose.cells, edges)
        {
            if pressed {
                dose.meter.add(dose.last_c, t, time - from);
            }
            dose.last_c = t;
        }
    }

    fn record(&mut self, column: &Column, edges: [Edge; 2]) {
        let most = self.values;
        for probe in &mut self.probes {
            if probe.reading.values_c.len() < most {
                probe.reading.values_c.push(read(column, probe.place, probe.cells, edges));
            }
        }
    }

    fn history(self, case: &Case, column: &Column, heat: HeatBook, steps: u64) -> History {
        History {
            times_s: case.times_s.clone(),
            probes: self.probes.into_iter().map(|p| p.reading).collect(),
            heat,
            water_left_kg_m2: (0..column.ids()).map(|id| column.water_left(id)).collect(),
            dose: self.dose.map(|d| (d.meter.above_s, d.meter.equivalent_s)),
            steps,
        }
    }
}

fn read(column: &Column, place: Place, cells: Option<(usize, usize)>, edges: [Edge; 2]) -> Option<f64> {
    let (first, last) = cells?;
    match place {
        Place::Top(_) => Some(column.upper_face(first, edges[0])),
        Place::Bottom(_) => Some(column.lower_face(last, edges[1])),
        Place::Inside(id, share) => column.inside(id, share, edges),
    }
}
