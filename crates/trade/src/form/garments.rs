//! garments.toml.

use super::reader::Reader;
use super::texts::{At, Text, Word, Written, write_money};
use crate::{
    Access, Age, Band, ClothId, Dye, Feature, GarmentBreak, GarmentClass, GarmentColour, GarmentId, GarmentSize,
    GarmentStyle, Held, Lining, Measure, Regulated, SupplierId,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use units::{Length, Money, Share};

/// The garment styles that the shop decorates.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct GarmentsFile {
    /// Version of this form: 1.
    pub version: At<u32>,
    /// Every style.
    pub garment: Vec<GarmentForm>,
}

/// A garment style.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct GarmentForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Its class.
    class: Word<GarmentClass>,
    /// For whom it is made.
    age: Word<Age>,
    /// What is sewn on.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    features: Vec<Word<Feature>>,
    /// What lies inside; "none" when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    lining: Option<Word<Lining>>,
    /// How one gets between shell and lining; left out: open without lining, unknown with one.
    #[serde(skip_serializing_if = "Option::is_none")]
    access: Option<Word<Access>>,
    /// Marks that halt planning until a person has answered.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    regulated: Vec<Word<Regulated>>,
    /// Who sells the blanks.
    #[serde(skip_serializing_if = "Option::is_none")]
    supplier: Option<Text>,
    /// Style to offer when a finer one is wanted.
    #[serde(skip_serializing_if = "Option::is_none")]
    finer: Option<Text>,
    /// Styles to offer when this one cannot be had in time, the best first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    substitutes: Vec<Text>,
    /// What comes off the price of every blank from so many of the style on, rising.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    breaks: Vec<BreakForm>,
    /// What a replacement is worth when the customer brings it.
    #[serde(skip_serializing_if = "Option::is_none")]
    declared_value: Option<Written<Money>>,
    /// An invented example.
    #[serde(default, skip_serializing_if = "is_false")]
    invented: bool,
    /// Colours, each with its cloth.
    colour: At<Vec<ColourForm>>,
    /// Sizes, the smallest first.
    size: At<Vec<SizeForm>>,
    /// What there is of a colour and size, where it was counted or looked up.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    held: Vec<HeldForm>,
}

/// What comes off from so many on.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct BreakForm {
    /// From so many of the style.
    from: At<u32>,
    /// Taken off.
    off: Written<Share>,
}

/// What there is of one colour and size.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct HeldForm {
    /// The colour.
    colour: Text,
    /// The size.
    size: Text,
    /// Blanks that lie in the shop.
    #[serde(skip_serializing_if = "Option::is_none")]
    on_hand: Option<At<u32>>,
    /// What the supplier has in stock; left out: enough.
    #[serde(skip_serializing_if = "Option::is_none")]
    at_supplier: Option<At<u32>>,
    /// Working days until the supplier has more, before it makes and sends them.
    #[serde(skip_serializing_if = "Option::is_none")]
    more_days: Option<At<u16>>,
}

/// A colour in which the style comes.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct ColourForm {
    /// Its name.
    name: Text,
    /// sRGB, "#1F4E9A".
    rgb: Text,
    /// The cloth it has in this colour.
    cloth: Text,
    /// How it is dyed.
    dye: Word<Dye>,
}

/// A size in which the style comes.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct SizeForm {
    /// Its name, "M".
    name: Text,
    /// Its band.
    band: Word<Band>,
    /// Price of a blank.
    #[serde(skip_serializing_if = "Option::is_none")]
    price: Option<Written<Money>>,
    /// Measures lying flat.
    measures: MeasuresForm,
}

macro_rules! measures {
    ($($field:ident = $measure:ident, $about:literal;)*) => {
        /// Measures of a garment lying flat; what is not known is left out.
        #[derive(Debug, Default, Serialize, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields, rename_all = "kebab-case")]
        struct MeasuresForm { $(
            #[doc = $about]
            #[serde(skip_serializing_if = "Option::is_none")]
            $field: Option<Written<Length>>,
        )* }

        impl MeasuresForm {
            fn read(&self, reader: &mut Reader<'_>) -> BTreeMap<Measure, Length> {
                let mut read = BTreeMap::new();
                $(if let Some(written) = &self.$field {
                    read.insert(Measure::$measure, reader.quantity(written, 1.0..=3000.0));
                })*
                read
            }

            fn write(measures: &BTreeMap<Measure, Length>) -> Self {
                Self { $($field: measures.get(&Measure::$measure).map(|length| Written::of(*length)),)* }
            }
        }
    };
}

measures! {
    chest_width = ChestWidth, "Across the chest, pit to pit; bags and aprons: full width.";
    body_length = BodyLength, "Highest shoulder point to hem; bags and aprons: full height.";
    hem_width = HemWidth, "Across the hem.";
    shoulder_width = ShoulderWidth, "Across the shoulders, seam to seam.";
    neck_width = NeckWidth, "Width of the neck opening.";
    neck_depth = NeckDepth, "Depth of the front neck below the highest shoulder point.";
    sleeve_length = SleeveLength, "Shoulder seam to sleeve hem.";
    sleeve_width = SleeveWidth, "Across the sleeve near its hem.";
    pocket_width = PocketWidth, "Width of the front or chest pocket.";
    pocket_height = PocketHeight, "Height of that pocket.";
    pocket_drop = PocketDrop, "Highest shoulder point (bags, aprons: top edge) to the pocket's top edge.";
    bib_width = BibWidth, "Width of an apron's bib at its top.";
    bib_height = BibHeight, "Height of an apron's bib.";
    rib_height = RibHeight, "Height of rib at the hem.";
    hood_height = HoodHeight, "Height of the hood, folded flat.";
    hood_width = HoodWidth, "Width of the hood, folded flat.";
    placket_length = PlacketLength, "Length of the placket below the collar seam.";
    gusset_depth = GussetDepth, "Depth of a bag's gusset.";
    handle_drop = HandleDrop, "Top edge to where a bag's handle ends.";
    handle_spacing = HandleSpacing, "Distance between a bag's handles.";
    leg_length = LegLength, "Waist to cuff of legwear.";
    leg_width = LegWidth, "Across the leg at mid-thigh.";
    crown_height = CrownHeight, "Height of a cap's front above the visor.";
    crown_width = CrownWidth, "Width of a cap's front.";
}

pub(super) fn read(file: &GarmentsFile, reader: &mut Reader<'_>) -> Vec<GarmentStyle> {
    let garments: Vec<GarmentStyle> = file.garment.iter().map(|form| garment(form, reader)).collect();
    for (at, form) in file.garment.iter().enumerate() {
        if let Some(finer) = form.finer.as_ref().filter(|_| in_circle(at, &file.garment)) {
            reader.faults.tell(
                finer.at,
                format!("“finer” leads from “{}” back to itself", garments[at].id),
                "Let the finest style name no finer one",
            );
        }
    }
    garments
}

pub(super) fn write(
    garments: &[GarmentStyle],
    cloth: impl Fn(ClothId) -> String,
    supplier: impl Fn(SupplierId) -> String,
) -> GarmentsFile {
    let named = |id: GarmentId| garments.get(id.0).map_or_else(String::new, |garment| garment.id.clone());
    let forms = garments.iter().map(|garment| form(garment, &cloth, &supplier, &named));
    GarmentsFile { version: At::new(1), garment: forms.collect() }
}

/// Whether following `finer` from here comes back here; a name that is not there ends it.
fn in_circle(start: usize, garments: &[GarmentForm]) -> bool {
    let next = |at: usize| {
        let finer = garments.get(at)?.finer.as_ref()?;
        garments.iter().position(|garment| garment.id.value == finer.value)
    };
    let mut at = next(start);
    for _ in 0..garments.len() {
        match at {
            Some(here) if here == start => return true,
            Some(here) => at = next(here),
            None => return false,
        }
    }
    false
}

fn garment(form: &GarmentForm, reader: &mut Reader<'_>) -> GarmentStyle {
    for text in &form.substitutes {
        if text.value == form.id.value {
            reader.faults.tell(text.at, "a style stands in for itself", "Name other styles in “substitutes”");
        }
    }
    let lining = form.lining.map_or(Lining::None, |word| word.0);
    let usual_access = if lining == Lining::None { Access::Open } else { Access::Unknown };
    GarmentStyle {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        class: form.class.0,
        age: form.age.0,
        colours: colours(&form.colour, reader),
        sizes: sizes(&form.size, reader),
        features: form.features.iter().map(|word| word.0).collect(),
        lining,
        access: form.access.map_or(usual_access, |word| word.0),
        regulated: form.regulated.iter().map(|word| word.0).collect(),
        supplier: form.supplier.as_ref().map(|text| SupplierId(reader.refer("supplier", text))),
        finer: form.finer.as_ref().map(|text| GarmentId(reader.refer("garment", text))),
        substitutes: form.substitutes.iter().map(|text| GarmentId(reader.refer("garment", text))).collect(),
        breaks: breaks(&form.breaks, reader),
        held: held(form, reader),
        declared_value: form.declared_value.as_ref().map(|written| reader.money(written)),
        invented: form.invented,
    }
}

/// Price breaks, rising in quantity and in what comes off.
fn breaks(forms: &[BreakForm], reader: &mut Reader<'_>) -> Vec<GarmentBreak> {
    let mut all: Vec<GarmentBreak> = Vec::new();
    for form in forms {
        let from = reader.count(form.from.at, form.from.value, 2..=1_000_000);
        let step = GarmentBreak { from, off: reader.part(&form.off) };
        if all.last().is_some_and(|before| before.from >= step.from || before.off.ppm() >= step.off.ppm()) {
            reader.faults.tell(
                form.from.at,
                "the price breaks do not rise",
                "List them by rising quantity, each with more off",
            );
        }
        all.push(step);
    }
    all
}

/// What there is, each colour and size once and of those the style comes in.
fn held(form: &GarmentForm, reader: &mut Reader<'_>) -> Vec<Held> {
    /// Most blanks of one colour and size that are counted.
    const MOST: u32 = 1_000_000;
    let mut all: Vec<Held> = Vec::new();
    for one in &form.held {
        let colour = form.colour.value.iter().find(|known| known.name.value.eq_ignore_ascii_case(&one.colour.value));
        let size = form.size.value.iter().find(|known| known.name.value.eq_ignore_ascii_case(&one.size.value));
        let (colour, size) = match (colour, size) {
            (Some(colour), Some(size)) => (colour.name.value.clone(), size.name.value.clone()),
            (None, _) => {
                let what = format!("the garment does not come in “{}”", super::texts::shown(&one.colour.value));
                reader.faults.tell(one.colour.at, what, "Name one of its colours");
                continue;
            }
            (_, None) => {
                let what = format!("the garment has no size “{}”", super::texts::shown(&one.size.value));
                reader.faults.tell(one.size.at, what, "Name one of its sizes");
                continue;
            }
        };
        if all.iter().any(|known| known.colour == colour && known.size == size) {
            reader.faults.tell(one.size.at, "this colour and size is there twice", "Write each once");
            continue;
        }
        let on_hand = one.on_hand.as_ref().map_or(0, |count| reader.count(count.at, count.value, 0..=MOST));
        let at_supplier = one.at_supplier.as_ref().map(|count| reader.count(count.at, count.value, 0..=MOST));
        let more_days = one.more_days.as_ref().map(|days| {
            let held = reader.count(days.at, u32::from(days.value), 0..=250);
            u16::try_from(held).unwrap_or_default()
        });
        all.push(Held { colour, size, on_hand, at_supplier, more_days });
    }
    all
}

fn colours(forms: &At<Vec<ColourForm>>, reader: &mut Reader<'_>) -> Vec<GarmentColour> {
    if forms.value.is_empty() {
        reader.faults.tell(forms.at, "there is no colour", "Name at least one colour with its cloth");
    }
    unique(forms.value.iter().map(|form| &form.name), "colour", reader);
    let read = forms.value.iter().map(|form| GarmentColour {
        name: reader.name(&form.name),
        rgb: reader.rgb(&form.rgb),
        cloth: ClothId(reader.refer("cloth", &form.cloth)),
        dye: form.dye.0,
    });
    read.collect()
}

fn sizes(forms: &At<Vec<SizeForm>>, reader: &mut Reader<'_>) -> Vec<GarmentSize> {
    if forms.value.is_empty() {
        reader.faults.tell(forms.at, "there is no size", "Name at least one size with its measures");
    }
    unique(forms.value.iter().map(|form| &form.name), "size", reader);
    let read = forms.value.iter().map(|form| GarmentSize {
        name: reader.name(&form.name),
        band: form.band.0,
        measures: form.measures.read(reader),
        price: form.price.as_ref().map(|written| reader.money(written)),
    });
    read.collect()
}

/// Orders name colours and sizes without regard to letter case.
fn unique<'t>(names: impl Iterator<Item = &'t Text>, what: &str, reader: &mut Reader<'_>) {
    let mut seen: Vec<String> = Vec::new();
    for name in names {
        let lower = name.value.to_lowercase();
        if seen.contains(&lower) {
            let remedy = format!("Name each {what} of a garment once");
            reader.faults.tell(
                name.at,
                format!("the {what} “{}” is there twice", super::texts::shown(&name.value)),
                remedy,
            );
        }
        seen.push(lower);
    }
}

fn form(
    garment: &GarmentStyle,
    cloth: &impl Fn(ClothId) -> String,
    supplier: &impl Fn(SupplierId) -> String,
    named: &impl Fn(GarmentId) -> String,
) -> GarmentForm {
    let colour = garment.colours.iter().map(|colour| ColourForm {
        name: At::new(colour.name.clone()),
        rgb: At::new(hex(colour.rgb)),
        cloth: At::new(cloth(colour.cloth)),
        dye: Word(colour.dye),
    });
    let size = garment.sizes.iter().map(|size| SizeForm {
        name: At::new(size.name.clone()),
        band: Word(size.band),
        price: size.price.map(write_money),
        measures: MeasuresForm::write(&size.measures),
    });
    GarmentForm {
        id: At::new(garment.id.clone()),
        name: At::new(garment.name.clone()),
        class: Word(garment.class),
        age: Word(garment.age),
        features: garment.features.iter().map(|feature| Word(*feature)).collect(),
        lining: Some(Word(garment.lining)),
        access: Some(Word(garment.access)),
        regulated: garment.regulated.iter().map(|mark| Word(*mark)).collect(),
        supplier: garment.supplier.map(|id| At::new(supplier(id))),
        finer: garment.finer.map(|id| At::new(named(id))),
        substitutes: garment.substitutes.iter().map(|id| At::new(named(*id))).collect(),
        declared_value: garment.declared_value.map(write_money),
        invented: garment.invented,
        colour: At::new(colour.collect()),
        size: At::new(size.collect()),
        breaks: garment
            .breaks
            .iter()
            .map(|step| BreakForm { from: At::new(step.from), off: Written::of(step.off) })
            .collect(),
        held: garment.held.iter().map(held_form).collect(),
    }
}

fn held_form(held: &Held) -> HeldForm {
    HeldForm {
        colour: At::new(held.colour.clone()),
        size: At::new(held.size.clone()),
        on_hand: (held.on_hand > 0).then(|| At::new(held.on_hand)),
        at_supplier: held.at_supplier.map(At::new),
        more_days: held.more_days.map(At::new),
    }
}

/// "#1F4E9A".
pub(super) fn hex([red, green, blue]: [u8; 3]) -> String {
    format!("#{red:02X}{green:02X}{blue:02X}")
}

pub(super) fn is_false(value: &bool) -> bool {
    !value
}
