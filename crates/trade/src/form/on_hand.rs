//! Spare transfers and garments of stock.toml.

use super::reader::Reader;
use super::texts::{At, Text, Written};
use crate::{Colours, GarmentId, GarmentStyle, Shop, SpareGarment, SpareTransfer, Transfer, TransferId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::Length;

/// Transfers already made.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct SpareTransferForm {
    /// Which transfer.
    transfer: Text,
    /// The art's name, for people.
    art: Text,
    /// SHA-256 of the art file, 64 digits.
    sha256: Text,
    /// Film colour, where the transfer comes in colours.
    #[serde(skip_serializing_if = "Option::is_none")]
    film: Option<Text>,
    /// Width as pressed.
    width: Written<Length>,
    /// Height as pressed.
    height: Written<Length>,
    /// How many.
    count: At<u32>,
    /// Where they lie.
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<Text>,
    /// The day they were made, "2026-10-01".
    since: Text,
}

/// Garments that lie in the shop.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct SpareGarmentForm {
    /// The style.
    garment: Text,
    /// Colour, by the style's name for it.
    colour: Text,
    /// Size, by the style's name for it.
    size: Text,
    /// How many.
    count: At<u32>,
    /// Where they lie.
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<Text>,
}

/// More of one thing than a shelf holds.
const MOST: u32 = 1_000_000;

pub(super) fn transfers(
    forms: &[SpareTransferForm],
    known: Option<&[Transfer]>,
    reader: &mut Reader<'_>,
) -> Vec<SpareTransfer> {
    forms.iter().map(|form| transfer(form, known, reader)).collect()
}

fn transfer(form: &SpareTransferForm, known: Option<&[Transfer]>, reader: &mut Reader<'_>) -> SpareTransfer {
    let at = reader.refer("transfer", &form.transfer);
    let sha256 = form.sha256.value.to_ascii_lowercase();
    if sha256.len() != 64 || !sha256.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        let remedy = "Write the 64 digits of the art file's SHA-256, as the plan's plan.json has them";
        reader.faults.tell(form.sha256.at, "this is not a SHA-256", remedy);
    }
    let film = form.film.as_ref().map(|film| reader.name(film));
    if let Some(Colours::Film(films)) = known.and_then(|known| known.get(at)).map(|transfer| &transfer.colours)
        && !film.as_ref().is_some_and(|film| films.iter().any(|known| known.name == *film))
    {
        let names: Vec<&str> = films.iter().map(|film| film.name.as_str()).collect();
        let place = form.film.as_ref().map_or(form.transfer.at, |film| film.at);
        reader.faults.tell(place, "it is not said in which film", format!("Add film = one of: {}", names.join(", ")));
    }
    SpareTransfer {
        transfer: TransferId(at),
        sha256,
        art: reader.name(&form.art),
        film,
        width: reader.quantity(&form.width, 1.0..=5000.0),
        height: reader.quantity(&form.height, 1.0..=5000.0),
        count: reader.count(form.count.at, form.count.value, 1..=MOST),
        place: form.place.as_ref().map_or_else(String::new, |place| reader.name(place)),
        since: reader.date(&form.since),
        kept: None,
    }
}

pub(super) fn garments(
    forms: &[SpareGarmentForm],
    known: Option<&[GarmentStyle]>,
    reader: &mut Reader<'_>,
) -> Vec<SpareGarment> {
    forms.iter().map(|form| garment(form, known, reader)).collect()
}

fn garment(form: &SpareGarmentForm, known: Option<&[GarmentStyle]>, reader: &mut Reader<'_>) -> SpareGarment {
    let at = reader.refer("garment", &form.garment);
    let (colour, size) = (reader.name(&form.colour), reader.name(&form.size));
    if let Some(style) = known.and_then(|known| known.get(at)) {
        if style.colour(&colour).is_none() {
            reader.faults.tell(
                form.colour.at,
                "the style does not come in this colour",
                "Write it as garments.toml does",
            );
        }
        if style.size(&size).is_none() {
            reader.faults.tell(form.size.at, "the style does not come in this size", "Write it as garments.toml does");
        }
    }
    SpareGarment {
        garment: GarmentId(at),
        colour,
        size,
        count: reader.count(form.count.at, form.count.value, 1..=MOST),
        place: form.place.as_ref().map_or_else(String::new, |place| reader.name(place)),
        kept: None,
    }
}

/// What files say is on hand; what a store says stays there.
pub(super) fn write(shop: &Shop) -> (Vec<SpareTransferForm>, Vec<SpareGarmentForm>) {
    let place = |place: &String| (!place.is_empty()).then(|| At::new(place.clone()));
    let transfers = shop.spare_transfers.iter().filter(|spare| spare.kept.is_none());
    let transfers = transfers.map(|spare| SpareTransferForm {
        transfer: At::new(shop.transfer(spare.transfer).id.clone()),
        art: At::new(spare.art.clone()),
        sha256: At::new(spare.sha256.clone()),
        film: spare.film.clone().map(At::new),
        width: Written::of(spare.width),
        height: Written::of(spare.height),
        count: At::new(spare.count),
        place: place(&spare.place),
        since: At::new(spare.since.to_string()),
    });
    let garments = shop.spare_garments.iter().filter(|spare| spare.kept.is_none());
    let garments = garments.map(|spare| SpareGarmentForm {
        garment: At::new(shop.garment(spare.garment).id.clone()),
        colour: At::new(spare.colour.clone()),
        size: At::new(spare.size.clone()),
        count: At::new(spare.count),
        place: place(&spare.place),
    });
    (transfers.collect(), garments.collect())
}
