//! What lies in the press: cover, transfer, cloth, pillow and pad, and their joints.

use crate::cloth::Cloth;
use crate::doubt::Draw;
use crate::error::{HeatError, counted, within};
use crate::layer::{Layer, Mesh};
use crate::limits;
use crate::properties as data;

/// Conductance of the joints, W/m²K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joints {
    /// Platen on cover sheet, carrier or film.
    pub platen_film: f64,
    /// Cover sheet on carrier or film.
    pub cover_carrier: f64,
    /// Adhesive on cloth.
    pub adhesive_cloth: f64,
    /// Platen or cover sheet on bare cloth.
    pub platen_cloth: f64,
    /// Cloth on cloth.
    pub cloth_cloth: f64,
    /// Cloth on pillow or pad, pillow on pad.
    pub cloth_pad: f64,
    /// Pad on the press's base.
    pub pad_base: f64,
}

impl Default for Joints {
    fn default() -> Self {
        Self {
            platen_film: data::PLATEN_FILM.w_m2k,
            cover_carrier: data::COVER_CARRIER.w_m2k,
            adhesive_cloth: data::ADHESIVE_CLOTH.w_m2k,
            platen_cloth: data::PLATEN_CLOTH.w_m2k,
            cloth_cloth: data::CLOTH_CLOTH.w_m2k,
            cloth_pad: data::CLOTH_PAD.w_m2k,
            pad_base: data::PAD_BASE.w_m2k,
        }
    }
}

/// Everything between platen and base, hot side first.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// Cover sheet over all, bare cloth included.
    pub cover: Option<Layer>,
    /// Carrier of the transfer; `None` once peeled.
    pub carrier: Option<Layer>,
    /// Film or ink.
    pub film: Option<Layer>,
    /// Adhesive; its lower face is the bond line. Where there is none, the
    /// lowest layer of the transfer is taken.
    pub adhesive: Option<Layer>,
    /// Cloth layers under the print, the printed one first.
    pub cloth: Vec<Cloth>,
    /// Pillow, then pad; the last one lies on the base.
    pub under: Vec<Layer>,
    /// The joints.
    pub joints: Joints,
    /// Temperature of the base, °C.
    pub base_c: f64,
}

impl Assembly {
    /// A usual film transfer (carrier 100 µm, film 90 µm, adhesive 80 µm) on
    /// one layer of `cloth` over an 8 mm sponge pad. Generic values, to be
    /// overridden by a maker's.
    pub fn usual(cloth: Cloth) -> Self {
        Self {
            cover: None,
            carrier: Some(carrier(0.100)),
            film: Some(film(0.090)),
            adhesive: Some(adhesive(0.080)),
            cloth: vec![cloth],
            under: vec![pad(8.0)],
            joints: Joints::default(),
            base_c: data::BASE_C,
        }
    }

    /// The work most recipes are known for, where a sheet does not say: a usual
    /// film transfer on one layer of cotton jersey, 180 g/m², 0.38 mm as pressed
    /// (common practice, no source).
    pub fn reference() -> Self {
        Self::usual(Cloth::new(vec![(crate::cloth::Fibre::Cotton, 1.0)], 180.0, 0.38))
    }

    /// With a cover sheet of the given thickness, mm.
    #[must_use]
    pub fn covered(mut self, thickness_mm: f64) -> Self {
        self.cover = Some(cover_sheet(thickness_mm));
        self
    }

    /// With a pillow over the pad, mm.
    #[must_use]
    pub fn on_pillow(mut self, thickness_mm: f64) -> Self {
        self.under.insert(0, pillow(thickness_mm));
        self
    }

    /// Without its carrier.
    #[must_use]
    pub fn peeled(mut self) -> Self {
        self.carrier = None;
        self
    }

    /// The same place without the transfer: the cloth beside it.
    #[must_use]
    pub fn bare(&self) -> Self {
        Self { carrier: None, film: None, adhesive: None, ..self.clone() }
    }

    pub(crate) fn has_transfer(&self) -> bool {
        self.carrier.is_some() || self.film.is_some() || self.adhesive.is_some()
    }

    /// Transfer layers from the top, with the contact below each.
    pub(crate) fn transfer(&self, draw: &Draw) -> Parts {
        let layers: Vec<Layer> = [
            self.carrier.as_ref().map(|l| draw.carrier(l)),
            self.film.as_ref().map(|l| draw.polymer(l)),
            self.adhesive.as_ref().map(|l| draw.polymer(l)),
        ]
        .into_iter()
        .flatten()
        .collect();
        let mut contacts = vec![None; layers.len()];
        if let Some(last) = contacts.last_mut() {
            *last = Some(self.joints.adhesive_cloth * draw.adhesive_cloth);
        }
        Parts { layers, contacts }
    }

    /// The cover sheet with the contact below it: on the transfer, or on cloth
    /// where there is none or the work lies turned over.
    pub(crate) fn cover(&self, draw: &Draw, turned: bool) -> Parts {
        let below = if self.has_transfer() && !turned {
            self.joints.cover_carrier * draw.cover_carrier
        } else {
            self.joints.platen_cloth * draw.platen_cloth
        };
        let layers: Vec<Layer> = self.cover.iter().map(|l| draw.polymer(l)).collect();
        Parts { contacts: vec![Some(below); layers.len()], layers }
    }

    /// Cloth layers with the contact below each.
    pub(crate) fn cloth(&self, draw: &Draw) -> Result<Parts, HeatError> {
        let layers = self.cloth.iter().map(|c| draw.cloth(c)).collect::<Result<Vec<_>, _>>()?;
        let mut contacts = vec![Some(self.joints.cloth_cloth * draw.cloth_cloth); layers.len()];
        if let Some(last) = contacts.last_mut() {
            *last = Some(self.joints.cloth_pad * draw.cloth_pad);
        }
        Ok(Parts { layers, contacts })
    }

    /// What lies under the cloth, each with the contact above it.
    pub(crate) fn under(&self, draw: &Draw, start_c: f64) -> Parts {
        let last = self.under.len().saturating_sub(1);
        let layers: Vec<Layer> = self
            .under
            .iter()
            .enumerate()
            .map(|(i, l)| if i == last { draw.pad(l) } else { l.clone() }.starting_at(start_c))
            .collect();
        Parts { contacts: vec![Some(self.joints.cloth_pad * draw.cloth_pad); layers.len()], layers }
    }

    pub(crate) fn check(&self) -> Result<(), HeatError> {
        counted(|| "cloth".into(), self.cloth.len(), (1, 20))?;
        counted(|| "under".into(), self.under.len(), (1, 20))?;
        within(|| "base_c".into(), self.base_c, limits::TEMPERATURE_C, "°C")?;
        let joints = [
            ("platen_film", self.joints.platen_film),
            ("cover_carrier", self.joints.cover_carrier),
            ("adhesive_cloth", self.joints.adhesive_cloth),
            ("platen_cloth", self.joints.platen_cloth),
            ("cloth_cloth", self.joints.cloth_cloth),
            ("cloth_pad", self.joints.cloth_pad),
            ("pad_base", self.joints.pad_base),
        ];
        for (name, value) in joints {
            within(|| format!("joints.{name}"), value, (10.0, 100_000.0), "W/m²K")?;
        }
        let named =
            [("cover", &self.cover), ("carrier", &self.carrier), ("film", &self.film), ("adhesive", &self.adhesive)];
        for (name, layer) in named {
            if let Some(layer) = layer {
                layer.check(&|field| format!("{name}.{field}"))?;
            }
        }
        for (index, layer) in self.under.iter().enumerate() {
            layer.check(&|field| format!("under[{index}].{field}"))?;
        }
        Ok(())
    }
}

/// Layers with as many contacts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Parts {
    pub layers: Vec<Layer>,
    pub contacts: Vec<Option<f64>>,
}

/// Polyester carrier film, mm.
pub fn carrier(thickness_mm: f64) -> Layer {
    Layer::dry("carrier", thickness_mm, data::PET_FILM.values()).cut(Mesh::Even(5))
}

/// Paper carrier, mm.
pub fn paper_carrier(thickness_mm: f64) -> Layer {
    Layer::dry("carrier", thickness_mm, data::PAPER.values()).cut(Mesh::Even(5))
}

/// Film or ink, mm.
pub fn film(thickness_mm: f64) -> Layer {
    Layer::dry("film", thickness_mm, data::PU_FILM.values()).cut(Mesh::Even(4))
}

/// Adhesive, mm.
pub fn adhesive(thickness_mm: f64) -> Layer {
    Layer::dry("adhesive", thickness_mm, data::ADHESIVE.values()).cut(Mesh::Even(4))
}

/// Glass cloth cover sheet, mm; 0.12 is usual.
pub fn cover_sheet(thickness_mm: f64) -> Layer {
    Layer::dry("cover", thickness_mm, data::PTFE_GLASS.values()).cut(Mesh::Even(5))
}

/// Foam pillow, mm under load.
pub fn pillow(thickness_mm: f64) -> Layer {
    Layer::dry("pillow", thickness_mm, data::FOAM.values()).cut(Mesh::FromTop { cells: 24, growth: 1.1 })
}

/// Silicone sponge pad, mm; 8 is usual.
pub fn pad(thickness_mm: f64) -> Layer {
    Layer::dry("pad", thickness_mm, data::SPONGE.values()).cut(Mesh::FromTop { cells: 26, growth: 1.1 })
}
