//! The form of what lies in the press, shared by the questions.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::run::LayerForm;
use crate::assembly::{self, Assembly, Joints};
use crate::cloth::{Cloth, Dye, FaceLimits, Fibre};
use crate::cooling::Cooling;
use crate::doubt::{Doubt, Unsure};
use crate::error::{HeatError, within};
use crate::layer::Mesh;
use crate::session::{Setting, Step, Surroundings};

/// What lies in the press; parts left out are those of a usual film transfer on a sponge pad.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WorkForm {
    /// The printed cloth, then others under it.
    cloth: Vec<ClothForm>,
    /// Glass cloth cover sheet, mm; none where left out.
    cover_mm: Option<f64>,
    /// The carrier.
    carrier: Option<CarrierForm>,
    /// Film or ink, mm; 0.09 where left out.
    film_mm: Option<f64>,
    /// Adhesive, mm; 0.08 where left out.
    adhesive_mm: Option<f64>,
    /// Foam pillow over the pad, mm under load.
    pillow_mm: Option<f64>,
    /// The pad; 8 mm of silicone sponge where left out.
    pad: Option<PadForm>,
    /// Own layers in place of the pad, hot side first.
    under: Option<Vec<LayerForm>>,
    /// Joints that differ from the usual.
    joints: Option<JointsForm>,
    /// Temperature of the press's base, °C; 28 where left out.
    base_c: Option<f64>,
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
enum CarrierForm {
    /// Polyester film.
    Film { mm: f64 },
    /// Paper.
    Paper { mm: f64 },
    /// Peeled already.
    None {},
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PadForm {
    /// Thickness, mm.
    mm: f64,
    /// W/mK; 0.10 (sponge) where left out.
    conductivity_w_mk: Option<f64>,
    /// kg/m³; 500 where left out.
    density_kg_m3: Option<f64>,
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct JointsForm {
    platen_film: Option<f64>,
    cover_carrier: Option<f64>,
    adhesive_cloth: Option<f64>,
    platen_cloth: Option<f64>,
    cloth_cloth: Option<f64>,
    cloth_pad: Option<f64>,
    pad_base: Option<f64>,
}

#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ClothForm {
    /// Fibres with their shares, such as [["cotton", 0.5], ["polyester", 0.5]].
    mix: Vec<(FibreForm, f64)>,
    /// Mass, g/m².
    g_m2: f64,
    /// Thickness under pressure, mm.
    compressed_mm: f64,
    /// Water held, share of dry mass; that of the fibres where left out.
    regain: Option<f64>,
    /// Share of fibres along the heat's way; 0.5 where left out.
    arrangement: Option<f64>,
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum FibreForm {
    Cotton,
    Linen,
    Viscose,
    Polyester,
    Nylon,
    Acrylic,
    Elastane,
    Wool,
    Silk,
    Acetate,
    Polypropylene,
}

impl FibreForm {
    fn fibre(self) -> Fibre {
        match self {
            Self::Cotton => Fibre::Cotton,
            Self::Linen => Fibre::Linen,
            Self::Viscose => Fibre::Viscose,
            Self::Polyester => Fibre::Polyester,
            Self::Nylon => Fibre::Nylon,
            Self::Acrylic => Fibre::Acrylic,
            Self::Elastane => Fibre::Elastane,
            Self::Wool => Fibre::Wool,
            Self::Silk => Fibre::Silk,
            Self::Acetate => Fibre::Acetate,
            Self::Polypropylene => Fibre::Polypropylene,
        }
    }
}

impl WorkForm {
    pub(super) fn assembly(&self, path: &str) -> Result<Assembly, HeatError> {
        crate::error::counted(|| format!("{path}.cloth"), self.cloth.len(), (1, 20))?;
        let cloth: Vec<Cloth> = self.cloth.iter().map(ClothForm::cloth).collect();
        let mm = |field: &str, value: f64| within(|| format!("{path}.{field}"), value, (1e-4, 50.0), "mm");
        let carrier = match self.carrier {
            None => Some(assembly::carrier(0.1)),
            Some(CarrierForm::Film { mm: t }) => Some(assembly::carrier(mm("carrier.mm", t)?)),
            Some(CarrierForm::Paper { mm: t }) => Some(assembly::paper_carrier(mm("carrier.mm", t)?)),
            Some(CarrierForm::None {}) => None,
        };
        Ok(Assembly {
            cover: self.cover_mm.map(|t| mm("cover_mm", t).map(assembly::cover_sheet)).transpose()?,
            carrier,
            film: Some(assembly::film(mm("film_mm", self.film_mm.unwrap_or(0.09))?)),
            adhesive: Some(assembly::adhesive(mm("adhesive_mm", self.adhesive_mm.unwrap_or(0.08))?)),
            cloth,
            under: self.under_layers(path)?,
            joints: self.joints.map_or_else(Joints::default, JointsForm::joints),
            base_c: self.base_c.unwrap_or(crate::properties::BASE_C),
        })
    }

    fn under_layers(&self, path: &str) -> Result<Vec<crate::layer::Layer>, HeatError> {
        if let Some(under) = &self.under {
            return under.iter().enumerate().map(|(i, l)| l.layer(&format!("{path}.under[{i}]."))).collect();
        }
        let mm = |field: &str, value: f64| within(|| format!("{path}.{field}"), value, (0.1, 50.0), "mm");
        let mut under = Vec::new();
        if let Some(t) = self.pillow_mm {
            under.push(assembly::pillow(mm("pillow_mm", t)?));
        }
        let mut pad = assembly::pad(mm("pad.mm", self.pad.map_or(8.0, |p| p.mm))?);
        if let Some(form) = self.pad {
            pad.conductivity_w_mk = form.conductivity_w_mk.unwrap_or(pad.conductivity_w_mk);
            pad.density_kg_m3 = form.density_kg_m3.unwrap_or(pad.density_kg_m3);
            pad.mesh = Mesh::FromTop { cells: 26, growth: 1.1 };
        }
        under.push(pad);
        Ok(under)
    }
}

impl ClothForm {
    fn cloth(&self) -> Cloth {
        let mix = self.mix.iter().map(|&(fibre, share)| (fibre.fibre(), share)).collect();
        let mut cloth = Cloth::new(mix, self.g_m2, self.compressed_mm);
        cloth.regain = self.regain;
        cloth.arrangement = self.arrangement.unwrap_or(0.5);
        cloth
    }
}

impl JointsForm {
    fn joints(self) -> Joints {
        let usual = Joints::default();
        Joints {
            platen_film: self.platen_film.unwrap_or(usual.platen_film),
            cover_carrier: self.cover_carrier.unwrap_or(usual.cover_carrier),
            adhesive_cloth: self.adhesive_cloth.unwrap_or(usual.adhesive_cloth),
            platen_cloth: self.platen_cloth.unwrap_or(usual.platen_cloth),
            cloth_cloth: self.cloth_cloth.unwrap_or(usual.cloth_cloth),
            cloth_pad: self.cloth_pad.unwrap_or(usual.cloth_pad),
            pad_base: self.pad_base.unwrap_or(usual.pad_base),
        }
    }
}

/// Platen and dwell.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SettingForm {
    /// Platen, °C.
    platen_c: f64,
    /// Closed, s.
    dwell_s: f64,
}

impl SettingForm {
    pub(super) fn setting(self) -> Setting {
        Setting { platen_c: self.platen_c, dwell_s: self.dwell_s }
    }
}

/// Temperatures before the first step.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AroundForm {
    /// Room, cloth and transfer, °C; 22 where left out.
    room_c: Option<f64>,
    /// Pad and pillow, °C; 30 where left out.
    pad_start_c: Option<f64>,
}

pub(super) fn around(form: Option<AroundForm>) -> Surroundings {
    let usual = Surroundings::default();
    form.map_or(usual, |f| Surroundings {
        room_c: f.room_c.unwrap_or(usual.room_c),
        pad_start_c: f.pad_start_c.unwrap_or(usual.pad_start_c),
    })
}

/// What is done before the full press.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(tag = "step", rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum StepForm {
    /// The bare cloth is pressed, then lies open.
    Preheat { platen_c: f64, closed_s: f64, open_s: f64 },
    /// A short press without the cover sheet.
    Tack { platen_c: f64, dwell_s: f64 },
    /// The work cools.
    Cool { way: WayForm, seconds: f64 },
    /// The carrier comes off.
    PeelCarrier {},
    /// The work is turned over: later presses heat it from the inside.
    Turn {},
}

pub(super) fn steps(forms: &[StepForm]) -> Vec<Step> {
    let step = |form: &StepForm| match *form {
        StepForm::Preheat { platen_c, closed_s, open_s } => Step::Preheat { platen_c, closed_s, open_s },
        StepForm::Tack { platen_c, dwell_s } => Step::Tack(Setting { platen_c, dwell_s }),
        StepForm::Cool { way, seconds } => Step::Cool { way: way.way(), seconds },
        StepForm::PeelCarrier {} => Step::PeelCarrier,
        StepForm::Turn {} => Step::Turn,
    };
    forms.iter().map(step).collect()
}

/// Where work cools; a pile by its number of pieces.
#[derive(Debug, Clone, Copy, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum WayForm {
    OnPad,
    Table,
    Insulated,
    MetalPlate,
    Hung,
    Fan,
    Piled(usize),
}

impl WayForm {
    pub(super) fn way(self) -> Cooling {
        match self {
            Self::OnPad => Cooling::OnPad,
            Self::Table => Cooling::Table,
            Self::Insulated => Cooling::Insulated,
            Self::MetalPlate => Cooling::MetalPlate,
            Self::Hung => Cooling::Hung,
            Self::Fan => Cooling::Fan,
            Self::Piled(pieces) => Cooling::Piled { pieces },
        }
    }

    pub(super) fn of(way: Cooling) -> Self {
        match way {
            Cooling::OnPad => Self::OnPad,
            Cooling::Table => Self::Table,
            Cooling::Insulated => Self::Insulated,
            Cooling::MetalPlate => Self::MetalPlate,
            Cooling::Hung => Self::Hung,
            Cooling::Fan => Self::Fan,
            Cooling::Piled { pieces } => Self::Piled(pieces),
        }
    }
}

/// Limits of the cloth: stated, or by its fibres and dye.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LimitsForm {
    /// °C of the cloth itself from which care is called for.
    warn_c: Option<f64>,
    /// °C of the cloth itself not to be passed.
    stop_c: Option<f64>,
    /// How the dye bears heat, where no limits are stated.
    dye: Option<DyeForm>,
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum DyeForm {
    Fast,
    DisperseOrUnknown,
    Sublimation,
}

pub(super) fn limits(form: Option<LimitsForm>, work: &Assembly) -> FaceLimits {
    let dye = match form.and_then(|f| f.dye) {
        None | Some(DyeForm::Fast) => Dye::Fast,
        Some(DyeForm::DisperseOrUnknown) => Dye::DisperseOrUnknown,
        Some(DyeForm::Sublimation) => Dye::Sublimation,
    };
    let own = work.cloth.first().map_or(FaceLimits { warn_c: 170.0, stop_c: 200.0 }, |c| c.face_limits(dye));
    let stop_c = form.and_then(|f| f.stop_c).unwrap_or(own.stop_c);
    FaceLimits { warn_c: form.and_then(|f| f.warn_c).unwrap_or(own.warn_c.min(stop_c)), stop_c }
}

/// How doubt is sampled.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct DoubtForm {
    seed: u64,
    /// Joint draws, 0 to 2000.
    samples: usize,
    /// Inputs that were measured.
    #[serde(default)]
    known: Vec<UnsureForm>,
}

/// An uncertain input.
#[derive(Debug, Clone, Copy, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum UnsureForm {
    Platen,
    PlatenFilm,
    CoverCarrier,
    AdhesiveCloth,
    PlatenCloth,
    ClothCloth,
    ClothPad,
    PadBase,
    CarrierThickness,
    CarrierConductivity,
    HeatCapacity,
    Arrangement,
    ClothThickness,
    Regain,
    DryingWindow,
    PadConductivity,
    PadThickness,
    PadStart,
    Activation,
}

macro_rules! same_names {
    ($($name:ident)*) => {
        impl UnsureForm {
            pub(super) fn unsure(self) -> Unsure {
                match self { $(Self::$name => Unsure::$name,)* }
            }

            pub(super) fn of(unsure: Unsure) -> Self {
                match unsure { $(Unsure::$name => Self::$name,)* }
            }
        }
    };
}
same_names!(Platen PlatenFilm CoverCarrier AdhesiveCloth PlatenCloth ClothCloth ClothPad PadBase CarrierThickness
    CarrierConductivity HeatCapacity Arrangement ClothThickness Regain DryingWindow PadConductivity PadThickness
    PadStart Activation);

pub(super) fn doubt(form: Option<&DoubtForm>) -> Doubt {
    form.map_or(Doubt::sampled(1, 100), |f| Doubt {
        seed: f.seed,
        samples: f.samples,
        known: f.known.iter().map(|k| k.unsure()).collect(),
    })
}
