//! transfers.toml.

use super::cloths::{typed, typed_fraction};
use super::garments::{hex, is_false};
use super::reader::Reader;
use super::recipes::{self, RecipeForm};
use super::texts::{At, Text, Word, Written};
use crate::kinds::{self, KindDefaults};
use crate::{
    Cloth, ColourFamily, Colours, Fibre, FilmColour, Finish, Kind, Marked, Minimums, StockId, StockItem, Surface,
    Transfer, Way, defaults,
};
use report::Origin;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Length, Share, Temperature};

/// The transfers on the shelf.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct TransfersFile {
    /// Version of this form: 1.
    pub version: At<u32>,
    /// Every transfer.
    pub transfer: Vec<TransferForm>,
}

/// A transfer on the shelf. Its colours are one of: a list of `colour`, `full-colour`, `spot-colours`.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct TransferForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Its family.
    pub kind: Word<Kind>,
    /// How the shop gets it.
    pub way: Word<Way>,
    /// Look of the finished print.
    finish: Word<Finish>,
    /// Sheets and rolls it can be had on.
    pub stock: At<Vec<Text>>,
    /// The maker's data sheet from which the values below come; left out: they are the shop's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    data_sheet: Option<Text>,
    /// Full colour print.
    #[serde(default, skip_serializing_if = "is_false")]
    full_colour: bool,
    /// White lies below the full colour print.
    #[serde(default, skip_serializing_if = "is_false")]
    white_below: bool,
    /// Most spot colours in one print.
    #[serde(skip_serializing_if = "Option::is_none")]
    spot_colours: Option<At<u8>>,
    /// Smallest parts that hold and can be made.
    #[serde(skip_serializing_if = "Option::is_none")]
    minimums: Option<MinimumsForm>,
    /// Fibres it holds on.
    #[serde(skip_serializing_if = "Option::is_none")]
    good_on: Option<Vec<Word<Fibre>>>,
    /// Fibres to keep it off.
    #[serde(skip_serializing_if = "Option::is_none")]
    avoid: Option<Vec<Word<Fibre>>>,
    /// Faces it holds on besides plain cloth.
    #[serde(skip_serializing_if = "Option::is_none")]
    surfaces: Option<Vec<Word<Surface>>>,
    /// How far the finished print stretches.
    #[serde(skip_serializing_if = "Option::is_none")]
    stretch: Option<Written<Share>>,
    /// Highest wash temperature.
    #[serde(skip_serializing_if = "Option::is_none")]
    wash: Option<Written<Temperature>>,
    /// Thickness of what stays on the cloth.
    #[serde(skip_serializing_if = "Option::is_none")]
    thickness: Option<Written<Length>>,
    /// Thickness of the carrier while pressed.
    #[serde(skip_serializing_if = "Option::is_none")]
    carrier: Option<Written<Length>>,
    /// Whether film holds on its face; left out: nobody has said.
    #[serde(skip_serializing_if = "Option::is_none")]
    film_on_film: Option<bool>,
    /// Days that a made transfer may lie before it is pressed.
    #[serde(skip_serializing_if = "Option::is_none")]
    keeps_days: Option<At<u32>>,
    /// Largest piece.
    #[serde(skip_serializing_if = "Option::is_none")]
    largest: Option<LargestForm>,
    /// A remark shown as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    remark: Option<Text>,
    /// Colours of film, one a film.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    colour: Vec<FilmForm>,
    /// Makers' recipes; without one there are no settings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    recipe: Vec<RecipeForm>,
}

/// Smallest parts.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct MinimumsForm {
    /// Thinnest line.
    line: Written<Length>,
    /// Diameter of the smallest isolated part.
    island: Written<Length>,
    /// Narrowest gap.
    gap: Written<Length>,
}

/// Largest piece.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct LargestForm {
    /// Left to right.
    width: Written<Length>,
    /// Top to bottom.
    height: Written<Length>,
}

impl TransferForm {
    /// The names of its film colours.
    pub fn film_names(&self) -> impl Iterator<Item = String> {
        self.colour.iter().map(|film| film.name.value.clone())
    }
}

/// A colour of film.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct FilmForm {
    /// Its name on the shelf.
    name: Text,
    /// sRGB as read from the maker's card.
    rgb: Text,
    /// Its family; "plain" when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    family: Option<Word<ColourFamily>>,
}

pub(super) fn read(file: &TransfersFile, reader: &mut Reader<'_>) -> Vec<Transfer> {
    file.transfer.iter().map(|form| transfer(form, reader)).collect()
}

pub(super) fn write(transfers: &[Transfer], cloths: &[Cloth], stock: &[StockItem]) -> TransfersFile {
    TransfersFile {
        version: At::new(1),
        transfer: transfers.iter().map(|transfer| form(transfer, cloths, stock)).collect(),
    }
}

fn transfer(form: &TransferForm, reader: &mut Reader<'_>) -> Transfer {
    let known = kinds::generic(form.kind.0);
    let sheet = form.data_sheet.as_ref().map(|text| reader.name(text));
    let marks = Marks { sheet };
    if form.stock.value.is_empty() {
        reader.faults.tell(
            form.stock.at,
            "there is no sheet or roll it can be had on",
            "Name at least one id of stock.toml",
        );
    }
    Transfer {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        kind: form.kind.0,
        way: form.way.0,
        recipes: form.recipe.iter().map(|recipe| recipes::read(recipe, reader)).collect(),
        stock: form.stock.value.iter().map(|text| StockId(reader.refer("stock", text))).collect(),
        colours: colours(form, reader),
        minimums: marks.or(form.minimums.as_ref().map(|form| minimums(form, reader)), || usual_minimums(known)),
        good_on: marks.or(words(form.good_on.as_ref()), || known.good_on.to_vec()),
        avoid: marks.or(words(form.avoid.as_ref()), || known.avoid.to_vec()),
        surfaces: marks.or(words(form.surfaces.as_ref()), || known.surfaces.to_vec()),
        stretch: marks
            .or(form.stretch.as_ref().map(|written| reader.quantity(written, 0.0..=500.0).fraction()), || {
                known.stretch
            }),
        finish: form.finish.0,
        wash: marks.or(form.wash.as_ref().map(|written| reader.quantity(written, 10.0..=95.0)), || {
            Temperature::from_c(known.wash_c).unwrap_or_default()
        }),
        thickness: marks.or(form.thickness.as_ref().map(|written| reader.quantity(written, 0.0..=5.0)), || {
            micrometres(known.middle_thickness_um())
        }),
        carrier: marks.or(form.carrier.as_ref().map(|written| reader.quantity(written, 0.0..=2.0)), || {
            micrometres(known.carrier_um)
        }),
        film_on_film: form.film_on_film.map(|said| marks.or(Some(said), || said)),
        keeps_days: marks.or(form.keeps_days.as_ref().map(|days| reader.count(days.at, days.value, 1..=3650)), || {
            defaults::keeps_days().value
        }),
        largest: form
            .largest
            .as_ref()
            .map(|form| (reader.quantity(&form.width, 5.0..=5000.0), reader.quantity(&form.height, 5.0..=5000.0))),
        remark: form.remark.as_ref().map(|text| reader.name(text)),
    }
}

/// Whose values the typed ones are.
struct Marks {
    sheet: Option<String>,
}

impl Marks {
    fn or<T>(&self, typed: Option<T>, usual: impl FnOnce() -> T) -> Marked<T> {
        match (typed, &self.sheet) {
            (Some(value), Some(sheet)) => Marked::maker(value, sheet.clone()),
            (Some(value), None) => Marked::shop(value),
            (None, _) => Marked::default_practice(usual()),
        }
    }
}

fn words<T: Copy>(words: Option<&Vec<Word<T>>>) -> Option<Vec<T>> {
    words.map(|words| words.iter().map(|word| word.0).collect())
}

fn usual_minimums(known: &KindDefaults) -> Minimums {
    let mm = |value| Length::from_mm(value).unwrap_or_default();
    let (line, island, gap) = known.minimums_mm;
    Minimums { line: mm(line), island: mm(island), gap: mm(gap) }
}

fn micrometres(um: f64) -> Length {
    Length::from_mm(um / 1000.0).unwrap_or_default()
}

fn minimums(form: &MinimumsForm, reader: &mut Reader<'_>) -> Minimums {
    Minimums {
        line: reader.quantity(&form.line, 0.01..=50.0),
        island: reader.quantity(&form.island, 0.01..=50.0),
        gap: reader.quantity(&form.gap, 0.01..=50.0),
    }
}

fn colours(form: &TransferForm, reader: &mut Reader<'_>) -> Colours {
    if form.white_below && !form.full_colour {
        reader.faults.tell(
            form.id.at,
            "white-below is said without full-colour",
            "Add full-colour = true or strike white-below",
        );
    }
    match (form.colour.is_empty(), form.full_colour, &form.spot_colours) {
        (false, false, None) => Colours::Film(form.colour.iter().map(|colour| film(colour, reader)).collect()),
        (true, true, None) => Colours::Full { white: form.white_below },
        (true, false, Some(most)) => {
            let most_held = reader.count(most.at, u32::from(most.value), 1..=24);
            Colours::Spot { most: u8::try_from(most_held).unwrap_or(1) }
        }
        _ => {
            reader.faults.tell(
                form.id.at,
                "it is not clear which colours it can show",
                "Give one of: a list of [[transfer.colour]], full-colour = true, spot-colours = 6",
            );
            Colours::Spot { most: 1 }
        }
    }
}

fn film(form: &FilmForm, reader: &mut Reader<'_>) -> FilmColour {
    FilmColour {
        name: reader.name(&form.name),
        rgb: reader.rgb(&form.rgb),
        family: form.family.map_or(ColourFamily::Plain, |word| word.0),
    }
}

fn form(transfer: &Transfer, cloths: &[Cloth], stock: &[StockItem]) -> TransferForm {
    let called = |id: &StockId| At::new(stock.get(id.0).map_or_else(String::new, |item| item.id.clone()));
    let (full_colour, white_below) = match transfer.colours {
        Colours::Full { white } => (true, white),
        _ => (false, false),
    };
    TransferForm {
        id: At::new(transfer.id.clone()),
        name: At::new(transfer.name.clone()),
        kind: Word(transfer.kind),
        way: Word(transfer.way),
        finish: Word(transfer.finish),
        stock: At::new(transfer.stock.iter().map(called).collect()),
        data_sheet: sheet_of(transfer).map(At::new),
        full_colour,
        white_below,
        spot_colours: if let Colours::Spot { most } = transfer.colours { Some(At::new(most)) } else { None },
        minimums: is_typed(&transfer.minimums).then(|| MinimumsForm {
            line: Written::of(transfer.minimums.value.line),
            island: Written::of(transfer.minimums.value.island),
            gap: Written::of(transfer.minimums.value.gap),
        }),
        good_on: typed_words(&transfer.good_on),
        avoid: typed_words(&transfer.avoid),
        surfaces: typed_words(&transfer.surfaces),
        stretch: typed_fraction(&transfer.stretch),
        wash: typed(&transfer.wash),
        thickness: typed(&transfer.thickness),
        carrier: typed(&transfer.carrier),
        film_on_film: transfer.film_on_film.as_ref().map(|said| said.value),
        keeps_days: is_typed(&transfer.keeps_days).then(|| At::new(transfer.keeps_days.value)),
        largest: transfer
            .largest
            .map(|(width, height)| LargestForm { width: Written::of(width), height: Written::of(height) }),
        remark: transfer.remark.clone().map(At::new),
        colour: if let Colours::Film(films) = &transfer.colours {
            films.iter().map(film_form).collect()
        } else {
            Vec::new()
        },
        recipe: transfer.recipes.iter().map(|recipe| recipes::write(recipe, cloths)).collect(),
    }
}

fn film_form(film: &FilmColour) -> FilmForm {
    FilmForm {
        name: At::new(film.name.clone()),
        rgb: At::new(hex(film.rgb)),
        family: (film.family != ColourFamily::Plain).then_some(Word(film.family)),
    }
}

fn is_typed<T>(marked: &Marked<T>) -> bool {
    marked.origin != Origin::Default
}

fn typed_words<T: Copy>(marked: &Marked<Vec<T>>) -> Option<Vec<Word<T>>> {
    is_typed(marked).then(|| marked.value.iter().map(|value| Word(*value)).collect())
}

/// The data sheet named by any value of the transfer; one sheet serves all.
fn sheet_of(transfer: &Transfer) -> Option<String> {
    fn of<T>(marked: &Marked<T>) -> Option<&String> {
        marked.source.as_ref().filter(|_| marked.origin == Origin::Maker)
    }
    of(&transfer.minimums)
        .or_else(|| of(&transfer.good_on))
        .or_else(|| of(&transfer.avoid))
        .or_else(|| of(&transfer.surfaces))
        .or_else(|| of(&transfer.stretch))
        .or_else(|| of(&transfer.wash))
        .or_else(|| of(&transfer.thickness))
        .or_else(|| of(&transfer.carrier))
        .or_else(|| of(&transfer.keeps_days))
        .or_else(|| of(transfer.film_on_film.as_ref()?))
        .cloned()
}
