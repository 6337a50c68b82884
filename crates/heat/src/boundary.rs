//! What a stack's outer faces meet: a held temperature, a contact, a flux,
//! radiation, still air, or nothing.

use crate::error::{HeatError, counted, within};
use crate::limits;

/// Stefan–Boltzmann constant, W/m²K⁴ (CODATA 2018, exact).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
const ZERO_C_IN_K: f64 = 273.15;
const GRAVITY: f64 = 9.806_65;

/// A value over time: points joined by straight lines, held before the first
/// and after the last.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    points: Vec<(f64, f64)>,
}

impl Course {
    /// The same at all times.
    pub fn steady(value: f64) -> Self {
        Self { points: vec![(0.0, value)] }
    }

    /// Points (time since the start of the run in s, value), times rising.
    ///
    /// Refuses an empty list, more than [`limits::COURSE_POINTS`], falling times.
    pub fn points(field: &str, points: Vec<(f64, f64)>) -> Result<Self, HeatError> {
        counted(|| field.to_owned(), points.len(), (1, limits::COURSE_POINTS))?;
        for (index, &(time, _)) in points.iter().enumerate() {
            let earlier = if index == 0 { 0.0 } else { points[index - 1].0 };
            within(|| format!("{field}[{index}] (time)"), time, (earlier, limits::TOTAL_S), "s")?;
        }
        Ok(Self { points })
    }

    /// The value at `time_s`. Cost: logarithmic in the number of points.
    pub fn at(&self, time_s: f64) -> f64 {
        let after = self.points.partition_point(|p| p.0 <= time_s);
        match (after.checked_sub(1).map(|i| self.points[i]), self.points.get(after)) {
            (Some((t0, v0)), Some(&(t1, v1))) => v0 + (v1 - v0) * (time_s - t0) / (t1 - t0),
            (Some((_, v)), None) | (None, Some(&(_, v))) => v,
            (None, None) => 0.0,
        }
    }

    pub(crate) fn knots(&self) -> impl Iterator<Item = f64> + '_ {
        self.points.iter().map(|p| p.0)
    }

    fn check(&self, field: &dyn Fn() -> String, range: (f64, f64), unit: &'static str) -> Result<(), HeatError> {
        self.points.iter().try_for_each(|p| within(field, p.1, range, unit).map(drop))
    }
}

/// Which way a face in still air looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Facing {
    /// A table top.
    Up,
    /// The underside of a table.
    Down,
    /// A hanging piece.
    Side,
}

/// What an outer face meets.
#[derive(Debug, Clone, PartialEq)]
pub enum Boundary {
    /// The face itself is held, °C.
    Held(Course),
    /// Something of a given temperature through a conductance.
    Contact {
        /// Conductance, W/m²K.
        w_m2k: f64,
        /// Temperature beyond it, °C.
        to_c: Course,
    },
    /// A flux into the face, W/m².
    Flux(Course),
    /// Large grey surroundings.
    Radiation {
        /// Emissivity of the face, 0 to 1.
        emissivity: f64,
        /// Their temperature, °C.
        to_c: Course,
    },
    /// Still air with natural convection, and surroundings of the same temperature.
    Air {
        /// Air temperature, °C.
        to_c: Course,
        /// Which way the face looks.
        facing: Facing,
        /// Area over perimeter of the face, mm.
        size_mm: f64,
        /// Emissivity of the face, 0 to 1.
        emissivity: f64,
    },
    /// Heat supplied to the face, less a loss through a conductance: a plate
    /// with a heater and a casing.
    Heated {
        /// Supplied, W/m².
        w_m2: Course,
        /// Loss conductance, W/m²K.
        loss_w_m2k: f64,
        /// Temperature the loss goes to, °C.
        to_c: Course,
    },
    /// No heat passes.
    Insulated,
}

/// Emissivity of cloth, film and paper (from memory of Incropera & DeWitt, Table A.11).
pub const EMISSIVITY: f64 = 0.9;
/// Area over perimeter of a mid-sized print, mm.
pub const FACE_SIZE_MM: f64 = 60.0;

impl Boundary {
    /// A contact of steady temperature.
    pub fn contact(w_m2k: f64, to_c: f64) -> Self {
        Self::Contact { w_m2k, to_c: Course::steady(to_c) }
    }

    /// Still air around a mid-sized print.
    pub fn air(to_c: f64, facing: Facing) -> Self {
        Self::Air { to_c: Course::steady(to_c), facing, size_mm: FACE_SIZE_MM, emissivity: EMISSIVITY }
    }

    pub(crate) fn check(&self, at: &dyn Fn(&str) -> String) -> Result<(), HeatError> {
        match self {
            Self::Held(c) => c.check(&|| at("c"), limits::TEMPERATURE_C, "°C"),
            Self::Contact { w_m2k, to_c } => {
                within(|| at("w_m2k"), *w_m2k, limits::CONDUCTANCE, "W/m²K")?;
                to_c.check(&|| at("to_c"), limits::TEMPERATURE_C, "°C")
            }
            Self::Flux(q) => q.check(&|| at("w_m2"), limits::FLUX, "W/m²"),
            Self::Radiation { emissivity, to_c } => {
                within(|| at("emissivity"), *emissivity, (0.0, 1.0), "")?;
                to_c.check(&|| at("to_c"), limits::TEMPERATURE_C, "°C")
            }
            Self::Air { to_c, size_mm, emissivity, .. } => {
                within(|| at("size_mm"), *size_mm, limits::SIZE_MM, "mm")?;
                within(|| at("emissivity"), *emissivity, (0.0, 1.0), "")?;
                to_c.check(&|| at("to_c"), limits::TEMPERATURE_C, "°C")
            }
            Self::Heated { w_m2, loss_w_m2k, to_c } => {
                within(|| at("loss_w_m2k"), *loss_w_m2k, (0.0, limits::CONDUCTANCE.1), "W/m²K")?;
                w_m2.check(&|| at("w_m2"), limits::FLUX, "W/m²")?;
                to_c.check(&|| at("to_c"), limits::TEMPERATURE_C, "°C")
            }
            Self::Insulated => Ok(()),
        }
    }

    pub(crate) fn knots(&self) -> Vec<f64> {
        match self {
            Self::Held(course) | Self::Flux(course) => course.knots().collect(),
            Self::Contact { to_c, .. } | Self::Radiation { to_c, .. } | Self::Air { to_c, .. } => {
                to_c.knots().collect()
            }
            Self::Heated { w_m2, to_c, .. } => w_m2.knots().chain(to_c.knots()).collect(),
            Self::Insulated => Vec::new(),
        }
    }

    /// The edge for a step that ends at `time_s`, with a face that was at
    /// `face_c`. A flux is taken at the middle of the step, where a straight
    /// course has its mean, so that its heat is exact. Surface conductances are taken at that face temperature, as a
    /// secant, so that a step can never carry the face past its surroundings.
    pub(crate) fn edge(&self, time_s: f64, step_s: f64, face_c: f64) -> Edge {
        let middle_s = time_s - 0.5 * step_s;
        match self {
            Self::Held(c) => Edge::Held(c.at(time_s)),
            Self::Contact { w_m2k, to_c } => Edge::Open { w_m2k: *w_m2k, to_c: to_c.at(time_s), w_m2: 0.0 },
            Self::Flux(q) => Edge::Open { w_m2k: 0.0, to_c: 0.0, w_m2: q.at(middle_s) },
            Self::Radiation { emissivity, to_c } => {
                let to_c = to_c.at(time_s);
                Edge::Open { w_m2k: radiative_conductance(*emissivity, face_c, to_c), to_c, w_m2: 0.0 }
            }
            Self::Air { to_c, facing, size_mm, emissivity } => {
                let to_c = to_c.at(time_s);
                let w_m2k = natural_convection(*facing, *size_mm, face_c, to_c)
                    + radiative_conductance(*emissivity, face_c, to_c);
                Edge::Open { w_m2k, to_c, w_m2: 0.0 }
            }
            Self::Heated { w_m2, loss_w_m2k, to_c } => {
                Edge::Open { w_m2k: *loss_w_m2k, to_c: to_c.at(time_s), w_m2: w_m2.at(middle_s) }
            }
            Self::Insulated => Edge::Open { w_m2k: 0.0, to_c: 0.0, w_m2: 0.0 },
        }
    }
}

/// A boundary as one step sees it: linear in the face temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Edge {
    Held(f64),
    Open { w_m2k: f64, to_c: f64, w_m2: f64 },
}

impl Edge {
    /// (conductance to the cell's middle, temperature beyond, flux added),
    /// `half` being the resistance from the face to the middle of the cell.
    pub(crate) fn seen_through(self, half: f64) -> (f64, f64, f64) {
        match self {
            Self::Held(c) => (1.0 / half, c, 0.0),
            Self::Open { w_m2k, to_c, w_m2 } => {
                let share = 1.0 / (1.0 + w_m2k * half);
                (w_m2k * share, to_c, w_m2 * share)
            }
        }
    }
}

/// Secant conductance of radiation between a grey face and large surroundings,
/// εσ(T² + T∞²)(T + T∞), W/m²K. Exact for the flux εσ(T⁴ − T∞⁴).
pub fn radiative_conductance(emissivity: f64, face_c: f64, to_c: f64) -> f64 {
    let (a, b) = ((face_c + ZERO_C_IN_K).max(0.0), (to_c + ZERO_C_IN_K).max(0.0));
    emissivity * STEFAN_BOLTZMANN * (a * a + b * b) * (a + b)
}

/// Conductance of natural convection in still air, W/m²K.
///
/// Nu = 0.54 Ra^¼ from a hot face looking up or a cold one looking down,
/// 0.27 Ra^¼ the other way round, 0.59 Ra^¼ from an upright face; length =
/// area over perimeter. Valid for 10⁴ < Ra < 10⁹, where prints lie; below, Nu
/// is not let under 1. Source: McAdams, in Incropera & DeWitt, ch. 9 (from memory).
pub fn natural_convection(facing: Facing, size_mm: f64, face_c: f64, air_c: f64) -> f64 {
    let length = size_mm * 1e-3;
    let air = Air::at(0.5 * (face_c + air_c));
    let rise = (face_c - air_c).abs();
    let rayleigh = GRAVITY * rise * length * length * length / (air.mean_k * air.viscosity * air.diffusivity);
    let factor = match (facing, face_c >= air_c) {
        (Facing::Side, _) => 0.59,
        (Facing::Up, true) | (Facing::Down, false) => 0.54,
        (Facing::Up, false) | (Facing::Down, true) => 0.27,
    };
    (factor * rayleigh.sqrt().sqrt()).max(1.0) * air.conductivity / length
}

struct Air {
    mean_k: f64,
    viscosity: f64,
    diffusivity: f64,
    conductivity: f64,
}

impl Air {
    /// Air at atmospheric pressure: K, ν 10⁻⁶ m²/s, α 10⁻⁶ m²/s, k 10⁻³ W/mK
    /// (Incropera & DeWitt, Table A.4), joined by straight lines.
    const TABLE: [[f64; 4]; 7] = [
        [200.0, 7.590, 10.3, 18.1],
        [250.0, 11.44, 15.9, 22.3],
        [300.0, 15.89, 22.5, 26.3],
        [350.0, 20.92, 29.9, 30.0],
        [400.0, 26.41, 38.3, 33.8],
        [450.0, 32.39, 47.2, 37.3],
        [500.0, 38.79, 56.7, 40.7],
    ];

    fn at(c: f64) -> Self {
        let kelvin = (c + ZERO_C_IN_K).clamp(200.0, 500.0);
        let row = (((kelvin - 200.0) / 50.0) as usize).min(5);
        let (low, high) = (Self::TABLE[row], Self::TABLE[row + 1]);
        let share = (kelvin - low[0]) / 50.0;
        let mix = |column: usize| low[column] + (high[column] - low[column]) * share;
        Self { mean_k: kelvin, viscosity: mix(1) * 1e-6, diffusivity: mix(2) * 1e-6, conductivity: mix(3) * 1e-3 }
    }
}
