//! What is uncertain, drawn from a seed.

use crate::cloth::Cloth;
use crate::dose;
use crate::error::HeatError;
use crate::layer::Layer;
use crate::properties::{self as data, Joint};

/// How doubt is sampled.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Start of the random choices; the same seed gives the same ranges.
    pub seed: u64,
    /// How many joint draws; 100–200 give steady ranges, 0 gives none. At most 2000.
    pub samples: usize,
    /// Inputs that have been measured and are therefore not varied.
    pub known: Vec<Unsure>,
}

impl Doubt {
    /// So many draws from a seed, nothing measured.
    pub fn sampled(seed: u64, samples: usize) -> Self {
        Self { seed, samples, known: Vec::new() }
    }

    /// No doubt at all: nominal values only.
    pub fn none() -> Self {
        Self::sampled(0, 0)
    }
}

/// An input that is not known well.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unsure {
    /// True platen temperature, ± 4 K about the setting; its effect is given apart.
    Platen,
    /// Joint of platen and film.
    PlatenFilm,
    /// Joint of cover sheet and carrier.
    CoverCarrier,
    /// Joint of adhesive and cloth.
    AdhesiveCloth,
    /// Joint of platen and bare cloth.
    PlatenCloth,
    /// Joint of cloth and cloth.
    ClothCloth,
    /// Joint of cloth and pad.
    ClothPad,
    /// Joint of pad and base.
    PadBase,
    /// Carrier thickness.
    CarrierThickness,
    /// Carrier conductivity.
    CarrierConductivity,
    /// Heat capacities.
    HeatCapacity,
    /// Fibre arrangement in the cloth.
    Arrangement,
    /// Thickness of the cloth under pressure.
    ClothThickness,
    /// Water in the cloth.
    Regain,
    /// Where the water leaves.
    DryingWindow,
    /// Conductivity of the pad.
    PadConductivity,
    /// Thickness of the pad.
    PadThickness,
    /// Temperature of the pad at the start.
    PadStart,
    /// Activation energy of the adhesive.
    Activation,
}

impl Unsure {
    /// Those drawn jointly, in order of drawing.
    pub const JOINT: [Self; 18] = [
        Self::PlatenFilm,
        Self::CoverCarrier,
        Self::AdhesiveCloth,
        Self::PlatenCloth,
        Self::ClothCloth,
        Self::ClothPad,
        Self::PadBase,
        Self::CarrierThickness,
        Self::CarrierConductivity,
        Self::HeatCapacity,
        Self::Arrangement,
        Self::ClothThickness,
        Self::Regain,
        Self::DryingWindow,
        Self::PadConductivity,
        Self::PadThickness,
        Self::PadStart,
        Self::Activation,
    ];
}

/// How far the true platen may lie from its setting, K.
pub const PLATEN_DOUBT_K: f64 = 4.0;

/// One joint draw: factors on nominal values, and a few values of their own.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Draw {
    pub platen_film: f64,
    pub cover_carrier: f64,
    pub adhesive_cloth: f64,
    pub platen_cloth: f64,
    pub cloth_cloth: f64,
    pub cloth_pad: f64,
    pub pad_base: f64,
    carrier_thickness: f64,
    carrier_conductivity: f64,
    heat_capacity: f64,
    arrangement: f64,
    cloth_thickness: f64,
    regain: f64,
    drying_window: Option<(f64, f64)>,
    pad_conductivity: f64,
    pad_thickness: f64,
    /// °C, in place of the stated start of the pad.
    pub pad_start_c: Option<f64>,
    pub activation_j_mol: f64,
    /// The places drawn, 0 to 1, in the order of [`Unsure::JOINT`].
    pub places: [f64; 18],
}

impl Default for Draw {
    fn default() -> Self {
        Self {
            platen_film: 1.0,
            cover_carrier: 1.0,
            adhesive_cloth: 1.0,
            platen_cloth: 1.0,
            cloth_cloth: 1.0,
            cloth_pad: 1.0,
            pad_base: 1.0,
            carrier_thickness: 1.0,
            carrier_conductivity: 1.0,
            heat_capacity: 1.0,
            arrangement: 0.0,
            cloth_thickness: 1.0,
            regain: 1.0,
            drying_window: None,
            pad_conductivity: 1.0,
            pad_thickness: 1.0,
            pad_start_c: None,
            activation_j_mol: dose::ACTIVATION_J_MOL,
            places: [0.5; 18],
        }
    }
}

impl Draw {
    /// The `index`th draw of a doubt; independent of every other.
    pub fn sample(doubt: &Doubt, index: usize) -> Self {
        let mut random = Random::new(doubt.seed, index as u64);
        let mut draw = Self::default();
        for (at, unsure) in Unsure::JOINT.into_iter().enumerate() {
            let place = random.unit();
            if doubt.known.contains(&unsure) {
                continue;
            }
            draw.places[at] = place;
            draw.set(unsure, place);
        }
        draw
    }

    /// Nominal but for the pad's conductivity, as a factor.
    pub fn with_pad(factor: f64) -> Self {
        Self { pad_conductivity: factor, ..Self::default() }
    }

    fn set(&mut self, unsure: Unsure, place: f64) {
        match unsure {
            Unsure::Platen => {}
            Unsure::PlatenFilm => self.platen_film = factor(&data::PLATEN_FILM, place),
            Unsure::CoverCarrier => self.cover_carrier = factor(&data::COVER_CARRIER, place),
            Unsure::AdhesiveCloth => self.adhesive_cloth = factor(&data::ADHESIVE_CLOTH, place),
            Unsure::PlatenCloth => self.platen_cloth = factor(&data::PLATEN_CLOTH, place),
            Unsure::ClothCloth => self.cloth_cloth = factor(&data::CLOTH_CLOTH, place),
            Unsure::ClothPad => self.cloth_pad = factor(&data::CLOTH_PAD, place),
            Unsure::PadBase => self.pad_base = factor(&data::PAD_BASE, place),
            Unsure::CarrierThickness => self.carrier_thickness = even(0.75, 1.25, place),
            Unsure::CarrierConductivity => self.carrier_conductivity = even(0.15, 0.22, place) / data::PET_FILM.k,
            Unsure::HeatCapacity => self.heat_capacity = even(0.9, 1.1, place),
            Unsure::Arrangement => self.arrangement = even(-0.2, 0.2, place),
            Unsure::ClothThickness => self.cloth_thickness = even(0.8, 1.25, place),
            Unsure::Regain => self.regain = even(0.7, 1.3, place),
            Unsure::DryingWindow => {
                self.drying_window = Some(match (place * 3.0) as u8 {
                    0 => (70.0, 100.0),
                    1 => (90.0, 125.0),
                    _ => (100.0, 140.0),
                });
            }
            Unsure::PadConductivity => self.pad_conductivity = logarithmic(0.6, 2.4, place),
            Unsure::PadThickness => self.pad_thickness = even(0.75, 1.25, place),
            Unsure::PadStart => self.pad_start_c = Some(even(25.0, 65.0, place)),
            Unsure::Activation => self.activation_j_mol = even(50_000.0, 120_000.0, place),
        }
    }

    pub fn carrier(&self, layer: &Layer) -> Layer {
        let mut layer = self.polymer(layer);
        layer.thickness_mm *= self.carrier_thickness;
        layer.conductivity_w_mk *= self.carrier_conductivity;
        layer
    }

    pub fn polymer(&self, layer: &Layer) -> Layer {
        let mut layer = layer.clone();
        layer.heat_capacity_j_kgk *= self.heat_capacity;
        layer
    }

    /// A softer pad conducts less because it holds more air: density follows
    /// conductivity from sponge (0.10 W/mK, 500 kg/m³) to solid rubber (0.24, 1150).
    pub fn pad(&self, layer: &Layer) -> Layer {
        let mut layer = self.polymer(layer);
        layer.conductivity_w_mk *= self.pad_conductivity;
        layer.density_kg_m3 *= 1.0 + (self.pad_conductivity - 1.0) * 0.93;
        layer.thickness_mm *= self.pad_thickness;
        layer
    }

    pub fn cloth(&self, cloth: &Cloth) -> Result<Layer, HeatError> {
        let mut drawn = cloth.clone();
        drawn.arrangement = (cloth.arrangement + self.arrangement).clamp(0.0, 1.0);
        drawn.compressed_mm *= self.cloth_thickness;
        drawn.regain = Some((cloth.regain() * self.regain).min(1.0));
        if let Some(window) = self.drying_window {
            drawn.drying_window_c = window;
        }
        // A thin dense cloth may not be pressed thinner than its fibres allow.
        if drawn.packing() > 0.95 && cloth.packing() <= 0.95 {
            drawn.compressed_mm = cloth.compressed_mm * cloth.packing() / 0.95;
        }
        Ok(self.polymer(&drawn.layer("cloth")?))
    }
}

fn factor(joint: &Joint, place: f64) -> f64 {
    logarithmic(joint.range.0, joint.range.1, place) / joint.w_m2k
}

fn even(low: f64, high: f64, place: f64) -> f64 {
    low + (high - low) * place
}

fn logarithmic(low: f64, high: f64, place: f64) -> f64 {
    low * libm::exp(place * libm::log(high / low))
}

/// SplitMix64 (Steele, Lea & Flood, "Fast splittable pseudorandom number
/// generators", OOPSLA 2014): small, and the same on every machine.
struct Random(u64);

impl Random {
    fn new(seed: u64, stream: u64) -> Self {
        let mut random = Self(seed ^ stream.wrapping_mul(0xD134_2543_DE82_EF95));
        random.next();
        random
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// The values at the given shares of a list, which is sorted; `None` when empty.
pub(crate) fn quantile(values: &mut [f64], share: f64) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let last = values.len().checked_sub(1)?;
    let at = share.clamp(0.0, 1.0) * last as f64;
    let (low, rest) = (at.floor() as usize, at.fract());
    Some(values[low] + (values[(low + 1).min(last)] - values[low]) * rest)
}

/// Spearman's rank correlation of two lists of the same length; 0 when either is constant.
pub(crate) fn rank_correlation(a: &[f64], b: &[f64]) -> f64 {
    let (a, b) = (ranks(a), ranks(b));
    let mean = (a.len() as f64 - 1.0) / 2.0;
    let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
    for (x, y) in a.iter().zip(&b) {
        ab += (x - mean) * (y - mean);
        aa += (x - mean) * (x - mean);
        bb += (y - mean) * (y - mean);
    }
    if aa > 0.0 && bb > 0.0 { ab / (aa * bb).sqrt() } else { 0.0 }
}

/// Ranks from 0, ties sharing their mean.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&i, &j| values[i].total_cmp(&values[j]));
    let mut ranks = vec![0.0; values.len()];
    let mut start = 0;
    while start < order.len() {
        let mut end = start;
        while end + 1 < order.len() && values[order[end + 1]] == values[order[start]] {
            end += 1;
        }
        let shared = (start + end) as f64 / 2.0;
        for &index in &order[start..=end] {
            ranks[index] = shared;
        }
        start = end + 1;
    }
    ranks
}
