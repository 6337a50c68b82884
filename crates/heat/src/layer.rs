//! Layers and the stack they form, from the hot side down.

use crate::error::{HeatError, counted, within};
use crate::limits;

/// Heat that frees a kilogram of water from a textile fibre, J/kg: 2.26 MJ/kg
/// of evaporation plus heat of sorption (from memory of Morton & Hearle, ch. 8).
pub const DESORPTION_J_KG: f64 = 2.6e6;
/// Temperatures between which fibres give off their water in a closed press, °C.
///
/// A judgement: in the sealed, steam-filled gap fibres hold several percent
/// above 100 °C, so drying is spread and not a sharp front. Windows of 70–100
/// and 100–140 °C move a tee's bond line by at most 1 K.
pub const DRYING_WINDOW_C: (f64, f64) = (90.0, 125.0);

/// Temperature of a layer before the first phase, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Start {
    /// The same throughout.
    Even(f64),
    /// Linear from the top face to the bottom face.
    Linear(f64, f64),
}

/// Water bound in a layer.
///
/// What is left is w₀ (1 − F), F rising straight from 0 to 1 across `window_c`
/// with the highest temperature the place has reached; water never returns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// Before the first phase, kg/m².
    pub kg_m2: f64,
    /// Heat that frees it, J/kg.
    pub latent_j_kg: f64,
    /// Where it leaves, °C, low and high.
    pub window_c: (f64, f64),
}

impl Water {
    /// Water in a textile, with the usual heat and drying window.
    pub fn in_fibres(kg_m2: f64) -> Self {
        Self { kg_m2, latent_j_kg: DESORPTION_J_KG, window_c: DRYING_WINDOW_C }
    }
}

/// How a layer is cut into cells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mesh {
    /// Fine at both faces, from the layer's own diffusivity.
    Auto,
    /// Equal cells.
    Even(usize),
    /// Finest at the top face, each next cell larger by `growth`.
    FromTop {
        /// How many cells.
        cells: usize,
        /// Ratio of neighbours, 1 or more.
        growth: f64,
    },
}

/// One layer of a stack; checked when the stack is formed.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// A name for people.
    pub name: String,
    /// Thickness as pressed, mm.
    pub thickness_mm: f64,
    /// Conductivity, W/mK.
    pub conductivity_w_mk: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Heat capacity, J/kgK.
    pub heat_capacity_j_kgk: f64,
    /// Temperature before the first phase, where it is not that of the stack.
    pub start: Option<Start>,
    /// Bound water.
    pub water: Option<Water>,
    /// How it is cut into cells.
    pub mesh: Mesh,
}

impl Layer {
    /// A dry layer: thickness mm, conductivity W/mK, density kg/m³, heat capacity J/kgK.
    pub fn dry(name: impl Into<String>, thickness_mm: f64, [k, rho, c]: [f64; 3]) -> Self {
        Self {
            name: name.into(),
            thickness_mm,
            conductivity_w_mk: k,
            density_kg_m3: rho,
            heat_capacity_j_kgk: c,
            start: None,
            water: None,
            mesh: Mesh::Auto,
        }
    }

    /// With cells cut as told.
    #[must_use]
    pub fn cut(mut self, mesh: Mesh) -> Self {
        self.mesh = mesh;
        self
    }

    /// With a temperature of its own before the first phase, °C.
    #[must_use]
    pub fn starting_at(mut self, start_c: f64) -> Self {
        self.start = Some(Start::Even(start_c));
        self
    }

    /// With its thickness multiplied and its mass per area kept.
    #[must_use]
    pub fn thickness_scaled(mut self, factor: f64) -> Self {
        self.thickness_mm *= factor;
        self
    }

    /// Diffusivity k/ρc, m²/s.
    pub fn diffusivity(&self) -> f64 {
        self.conductivity_w_mk / (self.density_kg_m3 * self.heat_capacity_j_kgk)
    }

    pub(crate) fn check(&self, at: &dyn Fn(&str) -> String) -> Result<(), HeatError> {
        within(|| at("thickness_mm"), self.thickness_mm, limits::THICKNESS_MM, "mm")?;
        within(|| at("conductivity_w_mk"), self.conductivity_w_mk, limits::CONDUCTIVITY, "W/mK")?;
        within(|| at("density_kg_m3"), self.density_kg_m3, limits::DENSITY, "kg/m³")?;
        within(|| at("heat_capacity_j_kgk"), self.heat_capacity_j_kgk, limits::HEAT_CAPACITY, "J/kgK")?;
        match self.start {
            None => {}
            Some(Start::Even(c)) => {
                within(|| at("start_c"), c, limits::TEMPERATURE_C, "°C")?;
            }
            Some(Start::Linear(top, bottom)) => {
                within(|| at("start_c"), top, limits::TEMPERATURE_C, "°C")?;
                within(|| at("start_c"), bottom, limits::TEMPERATURE_C, "°C")?;
            }
        }
        if let Some(water) = self.water {
            within(|| at("water_kg_m2"), water.kg_m2, limits::WATER_KG_M2, "kg/m²")?;
            within(|| at("latent_j_kg"), water.latent_j_kg, limits::LATENT, "J/kg")?;
            within(|| at("drying_window_c"), water.window_c.0, limits::TEMPERATURE_C, "°C")?;
            within(|| at("drying_window_c"), water.window_c.1, limits::TEMPERATURE_C, "°C")?;
            let span = water.window_c.1 - water.window_c.0;
            within(|| at("drying_window_c (high less low)"), span, limits::DRYING_SPAN_K, "K")?;
        }
        match self.mesh {
            Mesh::Auto => {}
            Mesh::Even(cells) => {
                counted(|| at("cells"), cells, (1, limits::CELLS))?;
            }
            Mesh::FromTop { cells, growth } => {
                counted(|| at("cells"), cells, (1, limits::CELLS))?;
                within(|| at("growth"), growth, (1.0, 2.0), "")?;
            }
        }
        Ok(())
    }
}

/// Layers that touch, from the hot side down, with the conductance of each joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    layers: Vec<Layer>,
    contacts: Vec<Option<f64>>,
}

impl Stack {
    /// A stack of 1 to [`limits::LAYERS`] layers; `contacts` has one entry
    /// fewer, W/m²K, `None` where the faces are one.
    ///
    /// Refuses numbers outside [`limits`], naming the field.
    pub fn new(layers: Vec<Layer>, contacts: Vec<Option<f64>>) -> Result<Self, HeatError> {
        counted(|| "layers".into(), layers.len(), (1, limits::LAYERS))?;
        counted(|| "contacts_w_m2k".into(), contacts.len(), (layers.len() - 1, layers.len() - 1))?;
        check_parts("", &layers, &contacts)?;
        Ok(Self { layers, contacts })
    }

    /// The layers, hot side first.
    pub fn layers(&self) -> &[Layer] {
        &self.layers
    }

    /// Conductance of each joint, W/m²K.
    pub fn contacts(&self) -> &[Option<f64>] {
        &self.contacts
    }
}

pub(crate) fn check_parts(path: &str, layers: &[Layer], contacts: &[Option<f64>]) -> Result<(), HeatError> {
    for (index, layer) in layers.iter().enumerate() {
        layer.check(&|field| format!("{path}layers[{index}].{field}"))?;
    }
    for (index, contact) in contacts.iter().enumerate() {
        if let Some(h) = contact {
            within(|| format!("{path}contacts_w_m2k[{index}]"), *h, limits::CONDUCTANCE, "W/m²K")?;
        }
    }
    Ok(())
}
