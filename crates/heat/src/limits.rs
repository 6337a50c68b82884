//! The ranges in which an input has meaning, and the caps that keep a run short.

/// Most layers in one stack, added ones included.
pub const LAYERS: usize = 200;
/// Most phases in one run.
pub const PHASES: usize = 200;
/// Most probes in one run.
pub const PROBES: usize = 200;
/// Most requested times in one run.
pub const TIMES: usize = 10_000;
/// Most points of one time-dependent boundary.
pub const COURSE_POINTS: usize = 10_000;
/// Longest run, s: one day.
pub const TOTAL_S: f64 = 86_400.0;
/// Most cells of one stack.
pub const CELLS: usize = 4_000;
/// Most cells times steps of one run; about two seconds of one core.
pub const CELL_STEPS: u64 = 60_000_000;

/// Thickness of a layer, mm: from a tenth of a micrometre to one metre.
pub const THICKNESS_MM: (f64, f64) = (1e-4, 1000.0);
/// Conductivity, W/mK: from below still air to above diamond.
pub const CONDUCTIVITY: (f64, f64) = (1e-3, 5000.0);
/// Density, kg/m³: from air to above osmium.
pub const DENSITY: (f64, f64) = (0.1, 25_000.0);
/// Heat capacity, J/kgK.
pub const HEAT_CAPACITY: (f64, f64) = (10.0, 20_000.0);
/// A temperature, °C.
pub const TEMPERATURE_C: (f64, f64) = (-100.0, 1000.0);
/// A contact or surface conductance, W/m²K.
pub const CONDUCTANCE: (f64, f64) = (1e-3, 1e7);
/// A surface flux, W/m².
pub const FLUX: (f64, f64) = (-1e7, 1e7);
/// Water held by one layer, kg/m².
pub const WATER_KG_M2: (f64, f64) = (0.0, 10.0);
/// Heat that frees one kilogram of water, J/kg.
pub const LATENT: (f64, f64) = (1e3, 1e7);
/// Narrowest drying window, K.
pub const DRYING_SPAN_K: (f64, f64) = (0.01, 500.0);
/// Length of a phase, s.
pub const PHASE_S: (f64, f64) = (1e-3, TOTAL_S);
/// Size of a face for natural convection (area over perimeter), mm.
pub const SIZE_MM: (f64, f64) = (1.0, 2000.0);
/// Activation energy, J/mol.
pub const ACTIVATION_J_MOL: (f64, f64) = (0.0, 500_000.0);
