//! Cloth under pressure as one layer of known properties.

use crate::error::{HeatError, within};
use crate::layer::{Layer, Mesh, Water};
use crate::properties::{self as data, FibreData};

/// What a thread is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fibre {
    /// Cotton.
    Cotton,
    /// Linen.
    Linen,
    /// Viscose, modal, lyocell.
    Viscose,
    /// Polyester.
    Polyester,
    /// Nylon 6 or 66.
    Nylon,
    /// Acrylic or modacrylic.
    Acrylic,
    /// Elastane.
    Elastane,
    /// Wool.
    Wool,
    /// Silk.
    Silk,
    /// Acetate.
    Acetate,
    /// Polypropylene.
    Polypropylene,
}

impl Fibre {
    /// All of them, in the table's order.
    pub const ALL: [Self; 11] = [
        Self::Cotton,
        Self::Linen,
        Self::Viscose,
        Self::Polyester,
        Self::Nylon,
        Self::Acrylic,
        Self::Elastane,
        Self::Wool,
        Self::Silk,
        Self::Acetate,
        Self::Polypropylene,
    ];

    /// Its properties, with their source.
    pub fn data(self) -> &'static FibreData {
        match self {
            Self::Cotton => &data::COTTON,
            Self::Linen => &data::LINEN,
            Self::Viscose => &data::VISCOSE,
            Self::Polyester => &data::POLYESTER,
            Self::Nylon => &data::NYLON,
            Self::Acrylic => &data::ACRYLIC,
            Self::Elastane => &data::ELASTANE,
            Self::Wool => &data::WOOL,
            Self::Silk => &data::SILK,
            Self::Acetate => &data::ACETATE,
            Self::Polypropylene => &data::POLYPROPYLENE,
        }
    }
}

/// How the dye of the cloth bears heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Dye {
    /// Undyed, light, or of a kind that stays.
    #[default]
    Fast,
    /// Dark or bright disperse dye on polyester, or unknown, under a lighter print.
    DisperseOrUnknown,
    /// The cloth itself is sublimation-printed.
    Sublimation,
}

/// Temperatures of the cloth itself (not of the platen), °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceLimits {
    /// From here on, care.
    pub warn_c: f64,
    /// Not to be passed.
    pub stop_c: f64,
}

/// A cloth as it lies in the press.
#[derive(Debug, Clone, PartialEq)]
pub struct Cloth {
    /// Fibres with their shares by mass; taken relative to their sum.
    pub mix: Vec<(Fibre, f64)>,
    /// Mass per area, dry, g/m².
    pub areal_mass_g_m2: f64,
    /// Thickness under pressure, mm.
    pub compressed_mm: f64,
    /// Water held, share of dry mass; `None`: that of the fibres at 20 °C and 65 %.
    pub regain: Option<f64>,
    /// Share X of fibres that lie along the heat's way, 0 to 1; 0.5 where unknown
    /// (0.3–0.7; 0.55 gives the 0.071 W/mK of cotton pads at 0.5 g/cm³ in
    /// Morton & Hearle, ch. 6, from memory).
    pub arrangement: f64,
    /// Where water leaves, °C.
    pub drying_window_c: (f64, f64),
}

impl Cloth {
    /// A cloth with the fibres' own regain and the usual arrangement.
    pub fn new(mix: Vec<(Fibre, f64)>, areal_mass_g_m2: f64, compressed_mm: f64) -> Self {
        Self {
            mix,
            areal_mass_g_m2,
            compressed_mm,
            regain: None,
            arrangement: 0.5,
            drying_window_c: crate::layer::DRYING_WINDOW_C,
        }
    }

    /// With the given regain, share of dry mass.
    #[must_use]
    pub fn holding(mut self, regain: f64) -> Self {
        self.regain = Some(regain);
        self
    }

    /// Water held, share of dry mass.
    pub fn regain(&self) -> f64 {
        self.regain.unwrap_or_else(|| self.by_mass(|f| f.regain))
    }

    /// Share of the volume that is fibre, φ = areal mass/(ρ thickness).
    pub fn packing(&self) -> f64 {
        self.areal_mass_g_m2 * 1e-3 / (self.fibre_density() * self.compressed_mm * 1e-3)
    }

    /// Effective conductivity, W/mK: X of the parallel and 1 − X of the series
    /// bound of fibre and air.
    ///
    /// That conductivity follows fibre arrangement, and rises with pressure
    /// mainly through density: Bogaty, Hollies & Harris, "Some Thermal
    /// Properties of Fabrics, Part I", abstract.
    pub fn conductivity(&self) -> f64 {
        let phi = self.packing();
        let fibre = self.by_volume(|f| f.k);
        let parallel = phi * fibre + (1.0 - phi) * data::AIR_K;
        let series = 1.0 / (phi / fibre + (1.0 - phi) / data::AIR_K);
        self.arrangement * parallel + (1.0 - self.arrangement) * series
    }

    /// The cloth as a layer of 20 cells.
    ///
    /// Refuses an empty mix, mass outside 20–2000 g/m², thickness outside
    /// 0.03–20 mm, more fibre than fits (packing over 0.95), regain over 1.
    pub fn layer(&self, name: &str) -> Result<Layer, HeatError> {
        self.check()?;
        let thickness = self.compressed_mm;
        let density = self.areal_mass_g_m2 / thickness;
        let mut layer = Layer::dry(name, thickness, [self.conductivity(), density, self.by_mass(|f| f.c)]);
        let water = self.areal_mass_g_m2 * 1e-3 * self.regain();
        if water > 0.0 {
            layer.water = Some(Water { window_c: self.drying_window_c, ..Water::in_fibres(water) });
        }
        Ok(layer.cut(Mesh::Even(20)))
    }

    /// The tightest limits of its fibres; a fibre under 5 % of the mass does
    /// not count. Proposals, not published limits: for polyester 150/180, with
    /// a dark or unknown disperse dye 130/150, sublimation-printed 120/135.
    pub fn face_limits(&self, dye: Dye) -> FaceLimits {
        let whole: f64 = self.mix.iter().map(|m| m.1).sum();
        let mut limits = FaceLimits { warn_c: 170.0, stop_c: 200.0 };
        for &(fibre, _) in self.mix.iter().filter(|m| m.1 >= 0.05 * whole) {
            let own = match (fibre, dye) {
                (Fibre::Polyester, Dye::DisperseOrUnknown) => FaceLimits { warn_c: 130.0, stop_c: 150.0 },
                (Fibre::Polyester, Dye::Sublimation) => FaceLimits { warn_c: 120.0, stop_c: 135.0 },
                _ => FaceLimits { warn_c: fibre.data().warn_c, stop_c: fibre.data().stop_c },
            };
            limits = FaceLimits { warn_c: limits.warn_c.min(own.warn_c), stop_c: limits.stop_c.min(own.stop_c) };
        }
        limits
    }

    fn check(&self) -> Result<(), HeatError> {
        crate::error::counted(|| "cloth.mix".into(), self.mix.len(), (1, 11))?;
        for (index, &(_, share)) in self.mix.iter().enumerate() {
            within(|| format!("cloth.mix[{index}].share"), share, (1e-6, 1e6), "")?;
        }
        within(|| "cloth.areal_mass_g_m2".into(), self.areal_mass_g_m2, (20.0, 2000.0), "g/m²")?;
        within(|| "cloth.compressed_mm".into(), self.compressed_mm, (0.03, 20.0), "mm")?;
        within(|| "cloth.regain".into(), self.regain(), (0.0, 1.0), "")?;
        within(|| "cloth.arrangement".into(), self.arrangement, (0.0, 1.0), "")?;
        within(|| "cloth packing (mass over density and thickness)".into(), self.packing(), (1e-4, 0.95), "")?;
        Ok(())
    }

    fn by_mass(&self, value: impl Fn(&FibreData) -> f64) -> f64 {
        let whole: f64 = self.mix.iter().map(|m| m.1).sum();
        self.mix.iter().map(|&(fibre, share)| share / whole * value(fibre.data())).sum()
    }

    fn fibre_density(&self) -> f64 {
        1.0 / self.by_mass(|f| 1.0 / f.rho)
    }

    fn by_volume(&self, value: impl Fn(&FibreData) -> f64) -> f64 {
        self.by_mass(|f| value(f) / f.rho) * self.fibre_density()
    }
}
