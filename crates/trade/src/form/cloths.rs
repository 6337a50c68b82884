//! cloths.toml.

use super::reader::Reader;
use super::texts::{At, Text, Word, Worded, Written};
use crate::{Cloth, Marked, Structure, Surface, ceilings, defaults};
use report::Origin;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Length, Mass, Share};

/// The cloths that garments are made of.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct ClothsFile {
    /// Version of this form: 1.
    pub version: At<u32>,
    /// Every cloth.
    pub cloth: Vec<ClothForm>,
}

/// A cloth.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct ClothForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Shares as on the sewn-in label: "80 % cotton".
    fibres: At<Vec<Text>>,
    /// Mass per area.
    mass: Written<Mass>,
    /// How it is made.
    structure: Word<Structure>,
    /// What lies on the face that is pressed; "plain" when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    surface: Option<Word<Surface>>,
    /// Thickness under the press, when measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pressed_thickness: Option<Written<Length>>,
    /// How far it is stretched in wear.
    #[serde(skip_serializing_if = "Option::is_none")]
    working_stretch: Option<Written<Share>>,
    /// Moisture at rest, percent of the dry mass, when measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    moisture: Option<Written<Share>>,
}

pub(super) fn read(file: &ClothsFile, reader: &mut Reader<'_>) -> Vec<Cloth> {
    file.cloth.iter().map(|form| cloth(form, reader)).collect()
}

pub(super) fn write(cloths: &[Cloth]) -> ClothsFile {
    ClothsFile { version: At::new(1), cloth: cloths.iter().map(form).collect() }
}

fn cloth(form: &ClothForm, reader: &mut Reader<'_>) -> Cloth {
    let mass = reader.quantity(&form.mass, 10.0..=2000.0);
    let structure = form.structure.0;
    Cloth {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        fibres: reader.fibres(form.fibres.at, &form.fibres.value),
        mass,
        pressed_thickness: reader.or_default(
            form.pressed_thickness.as_ref(),
            0.02..=50.0,
            defaults::pressed_thickness(structure, mass),
        ),
        structure,
        surface: form.surface.map_or(Surface::Plain, |word| word.0),
        working_stretch: match &form.working_stretch {
            Some(written) => Marked::shop(reader.quantity(written, 0.0..=300.0).fraction()),
            None => ceilings::usual_stretch(structure),
        },
        regain: form.moisture.as_ref().map(|written| reader.quantity(written, 0.0..=40.0).fraction()),
    }
}

fn form(cloth: &Cloth) -> ClothForm {
    let fibres = cloth.fibres.iter().map(|share| At::new(format!("{} % {}", share.percent, share.fibre.word())));
    ClothForm {
        id: At::new(cloth.id.clone()),
        name: At::new(cloth.name.clone()),
        fibres: At::new(fibres.collect()),
        mass: Written::of(cloth.mass),
        structure: Word(cloth.structure),
        surface: (cloth.surface != Surface::Plain).then_some(Word(cloth.surface)),
        pressed_thickness: typed(&cloth.pressed_thickness),
        working_stretch: typed_fraction(&cloth.working_stretch),
        moisture: cloth.regain.map(fraction),
    }
}

/// The value as a person typed it; nothing when it is a default.
pub(super) fn typed<Q: super::texts::Quantity>(marked: &Marked<Q>) -> Option<Written<Q>> {
    (marked.origin != Origin::Default).then(|| Written::of(marked.value))
}

/// A fraction as a percent; fractions are read from whole parts per million.
pub(super) fn fraction(value: f64) -> Written<Share> {
    Written::of(Share::from_ppm((value * 1e6).round() as i64).unwrap_or_default())
}

/// The same for a marked fraction.
pub(super) fn typed_fraction(marked: &Marked<f64>) -> Option<Written<Share>> {
    (marked.origin != Origin::Default).then(|| fraction(marked.value))
}
