//! stock.toml.

use super::fault::meant;
use super::files::{CutForm, PrintForm, read_cut, read_print, write_cut, write_print};
use super::on_hand::{self, SpareGarmentForm, SpareTransferForm};
use super::reader::Reader;
use super::texts::{At, Text, Word, Written, shown, write_money};
use crate::{
    Direction, LengthBreak, Marked, Reading, Remnant, SheetBreak, Shop, StockItem, StockShape, Supplier, SupplierId,
    Trim,
};
use report::Origin;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Duration, Length, Money};

/// Sheets and rolls.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct StockFile {
    /// Version of this form: 1.
    pub version: At<u32>,
    /// Sheets sold by the piece.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sheet: Vec<SheetForm>,
    /// Film sold by length.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub roll: Vec<RollForm>,
    /// Transfers already made that lie in the shop.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spare_transfer: Vec<SpareTransferForm>,
    /// Garments that lie in the shop.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub garment_on_hand: Vec<SpareGarmentForm>,
}

/// A sheet size.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct SheetForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Who sells it.
    #[serde(skip_serializing_if = "Option::is_none")]
    supplier: Option<Text>,
    /// Across.
    width: Written<Length>,
    /// Along.
    length: Written<Length>,
    /// Price of one.
    price: Written<Money>,
    /// Charged for each different layout.
    #[serde(skip_serializing_if = "Option::is_none")]
    set_up: Option<Written<Money>>,
    /// Unusable all round.
    margin: Written<Length>,
    /// Least distance between pieces.
    #[serde(skip_serializing_if = "Option::is_none")]
    spacing: Option<Written<Length>>,
    /// Which way the art reads on it, when the stock's own rule is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    reading: Option<Word<Reading>>,
    /// Which turns it allows.
    turns: Word<Direction>,
    /// Cutting pieces apart by hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    trim: Option<TrimForm>,
    /// Whole sheets and left-over pieces that lie in the shop.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    remnant: Vec<RemnantForm>,
    /// Prices for several sheets of one and the same layout.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    identical: Vec<SheetBreakForm>,
    /// Prices for several sheets bought together, whatever their layout.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    breaks: Vec<SheetBreakForm>,
    /// How its print files are to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    print: Option<PrintForm>,
    /// How its cut files are to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut: Option<CutForm>,
}

/// A roll.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RollForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Who sells it.
    #[serde(skip_serializing_if = "Option::is_none")]
    supplier: Option<Text>,
    /// Across.
    width: Written<Length>,
    /// Sold in multiples of this.
    step: Written<Length>,
    /// Price of a step.
    price_per_step: Written<Money>,
    /// Prices of a step for more length bought together.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    breaks: Vec<LengthBreakForm>,
    /// Least length sold.
    minimum: Written<Length>,
    /// Longest piece without a break.
    maximum: Written<Length>,
    /// Unusable all round.
    margin: Written<Length>,
    /// Least distance between pieces.
    #[serde(skip_serializing_if = "Option::is_none")]
    spacing: Option<Written<Length>>,
    /// Which way the art reads on it, when the stock's own rule is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    reading: Option<Word<Reading>>,
    /// Which turns it allows.
    turns: Word<Direction>,
    /// Cutting pieces apart by hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    trim: Option<TrimForm>,
    /// Left-over pieces that lie in the shop.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    remnant: Vec<RemnantForm>,
    /// How its print files are to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    print: Option<PrintForm>,
    /// How its cut files are to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut: Option<CutForm>,
}

/// A price from so many sheets.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct SheetBreakForm {
    /// From so many sheets.
    from: At<u32>,
    /// Price of each.
    price: Written<Money>,
}

/// A price from such a length.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct LengthBreakForm {
    /// From this length.
    from: Written<Length>,
    /// Price of each step.
    price: Written<Money>,
}

/// Pieces that lie in the shop.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RemnantForm {
    /// Its film colour, where the transfer comes in colours.
    #[serde(skip_serializing_if = "Option::is_none")]
    colour: Option<Text>,
    /// Across; the width of the stock item when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    width: Option<Written<Length>>,
    /// Along; a whole sheet's when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    length: Option<Written<Length>>,
    /// How many alike; one when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<At<u32>>,
}

/// Cutting printed pieces apart by hand.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct TrimForm {
    /// For one straight cut.
    straight_cut: Written<Duration>,
    /// For each millimetre of outline cut by scissors.
    per_outline_mm: Written<Duration>,
}

/// What the transfers that use a stock item say of it, for what is not typed.
pub(super) struct Used {
    /// Distance between pieces by family, mm.
    pub spacing_mm: f64,
    /// Which way the art reads; `Err`: makes or uses differ.
    pub reading: Result<Marked<Reading>, &'static str>,
    /// Film colours it comes in; none where transfers on it show their own.
    pub films: Vec<String>,
}

pub(super) fn read(
    file: &StockFile,
    used: impl Fn(&str, Option<&str>) -> Used,
    reader: &mut Reader<'_>,
) -> Vec<StockItem> {
    let used = &used;
    let sheets: Vec<StockItem> = file.sheet.iter().map(|form| sheet(form, used, reader)).collect();
    let rolls: Vec<StockItem> = file.roll.iter().map(|form| roll(form, used, reader)).collect();
    [sheets, rolls].concat()
}

pub(super) fn write(shop: &Shop) -> StockFile {
    let (spare_transfer, garment_on_hand) = on_hand::write(shop);
    let mut file =
        StockFile { version: At::new(1), sheet: Vec::new(), roll: Vec::new(), spare_transfer, garment_on_hand };
    for item in &shop.stock {
        write_item(item, &shop.suppliers, &mut file);
    }
    file
}

fn sheet(form: &SheetForm, used: &impl Fn(&str, Option<&str>) -> Used, reader: &mut Reader<'_>) -> StockItem {
    let width = reader.quantity(&form.width, 20.0..=5000.0);
    let length = reader.quantity(&form.length, 20.0..=5000.0);
    let margin = margin(&form.margin, width.min(length), reader);
    let used = used(&form.id.value, form.supplier.as_ref().map(|text| text.value.as_str()));
    let (spacing, reading) = from_use(&form.id, form.spacing.as_ref(), form.reading, &used, reader);
    let shape = StockShape::Sheet {
        width,
        length,
        price: reader.money(&form.price),
        identical: sheet_breaks(&form.identical, reader),
        breaks: sheet_breaks(&form.breaks, reader),
        set_up: form.set_up.as_ref().map(|written| reader.money(written)),
    };
    StockItem {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        shape,
        margin,
        spacing,
        reading,
        direction: form.turns.0,
        supplier: form.supplier.as_ref().map(|text| SupplierId(reader.refer("supplier", text))),
        remnants: form
            .remnant
            .iter()
            .map(|remnant| read_remnant(remnant, &form.id, (width, Some(length)), &used, reader))
            .collect(),
        trim: form.trim.as_ref().map(|trim| read_trim(trim, reader)),
        print: read_print(form.print.as_ref(), reader),
        cut: read_cut(form.cut.as_ref(), reader),
    }
}

fn roll(form: &RollForm, used: &impl Fn(&str, Option<&str>) -> Used, reader: &mut Reader<'_>) -> StockItem {
    let width = reader.quantity(&form.width, 20.0..=5000.0);
    let margin = margin(&form.margin, width, reader);
    let used = used(&form.id.value, form.supplier.as_ref().map(|text| text.value.as_str()));
    let (spacing, reading) = from_use(&form.id, form.spacing.as_ref(), form.reading, &used, reader);
    let step = reader.quantity(&form.step, 1.0..=100_000.0);
    let minimum = reader.quantity(&form.minimum, 1.0..=1_000_000.0);
    let maximum = reader.quantity(&form.maximum, 1.0..=1_000_000.0);
    if maximum < minimum || maximum < step {
        reader.faults.tell(
            form.maximum.text.at,
            "the longest piece is shorter than the least sold",
            "Let maximum be at least minimum and step",
        );
    }
    let price_per_step = reader.money(&form.price_per_step);
    let breaks = length_breaks(&form.breaks, reader);
    let shape = StockShape::Roll { width, step, price_per_step, breaks, minimum, maximum };
    StockItem {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        shape,
        margin,
        spacing,
        reading,
        direction: form.turns.0,
        supplier: form.supplier.as_ref().map(|text| SupplierId(reader.refer("supplier", text))),
        remnants: form
            .remnant
            .iter()
            .map(|remnant| read_remnant(remnant, &form.id, (width, None), &used, reader))
            .collect(),
        trim: form.trim.as_ref().map(|trim| read_trim(trim, reader)),
        print: read_print(form.print.as_ref(), reader),
        cut: read_cut(form.cut.as_ref(), reader),
    }
}

fn margin(written: &Written<Length>, narrow: Length, reader: &mut Reader<'_>) -> Length {
    let margin = reader.quantity(written, 0.0..=1000.0);
    // Only when both were read is the comparison about what was typed.
    if narrow > Length::ZERO && margin * 2.0 >= narrow {
        reader.faults.tell(
            written.text.at,
            "the margins leave nothing to print on",
            "Let twice the margin be less than the width",
        );
    }
    margin
}

fn from_use(
    id: &Text,
    spacing: Option<&Written<Length>>,
    reading: Option<Word<Reading>>,
    used: &Used,
    reader: &mut Reader<'_>,
) -> (Marked<Length>, Marked<Reading>) {
    let usual = Marked::default_practice(Length::from_mm(used.spacing_mm).unwrap_or_default());
    let spacing = reader.or_default(spacing, 0.0..=200.0, usual);
    let reading = match (reading, &used.reading) {
        (Some(word), _) => Marked::shop(word.0),
        (None, Ok(reading)) => reading.clone(),
        (None, Err(what)) => {
            reader.faults.tell(
                id.at,
                *what,
                "Add reading = \"right\" or reading = \"reversed\", as the maker's sheet says",
            );
            Marked::default_practice(Reading::Right)
        }
    };
    (spacing, reading)
}

fn length_breaks(forms: &[LengthBreakForm], reader: &mut Reader<'_>) -> Vec<LengthBreak> {
    let read: Vec<LengthBreak> = forms
        .iter()
        .map(|one| LengthBreak { from: reader.quantity(&one.from, 1.0..=1_000_000.0), price: reader.money(&one.price) })
        .collect();
    for (form, pair) in forms.iter().skip(1).zip(read.windows(2)) {
        if pair[1].from <= pair[0].from {
            reader.faults.tell(
                form.from.text.at,
                "the price breaks do not rise",
                "List them by rising length, each once",
            );
        }
    }
    read
}

fn sheet_breaks(forms: &[SheetBreakForm], reader: &mut Reader<'_>) -> Vec<SheetBreak> {
    let read: Vec<SheetBreak> = forms
        .iter()
        .map(|one| SheetBreak {
            from: reader.count(one.from.at, one.from.value, 2..=1_000_000),
            price: reader.money(&one.price),
        })
        .collect();
    for (form, pair) in forms.iter().skip(1).zip(read.windows(2)) {
        if pair[1].from <= pair[0].from {
            reader.faults.tell(
                form.from.at,
                "the price breaks do not rise",
                "List them by rising number of sheets, each once",
            );
        }
    }
    read
}

/// A piece on hand; `whole` is what the stock item itself measures.
fn read_remnant(
    form: &RemnantForm,
    of: &Text,
    whole: (Length, Option<Length>),
    used: &Used,
    reader: &mut Reader<'_>,
) -> Remnant {
    let (widest, longest) = (whole.0.mm().max(20.0), whole.1.map_or(1_000_000.0, |length| length.mm().max(20.0)));
    let width = form.width.as_ref().map_or(whole.0, |written| reader.quantity(written, 1.0..=widest));
    let length = match (&form.length, whole.1) {
        (Some(written), _) => reader.quantity(written, 1.0..=longest),
        (None, Some(length)) => length,
        (None, None) => {
            reader.faults.tell(
                of.at,
                "a piece of it is on hand, but how long is it",
                "Add length = \"1.2 m\" to the remnant",
            );
            Length::ZERO
        }
    };
    let colour = form.colour.as_ref().map(|text| text.value.clone());
    remnant_colour(form, of, used, reader);
    let count = form.count.as_ref().map_or(1, |count| reader.count(count.at, count.value, 1..=10_000));
    Remnant { colour, width, length, count, kept: None }
}

/// A piece of white film is no help to a red print.
fn remnant_colour(form: &RemnantForm, of: &Text, used: &Used, reader: &mut Reader<'_>) {
    match &form.colour {
        None if used.films.is_empty() => {}
        None => reader.faults.tell(
            of.at,
            "a piece of it is on hand, but in which colour",
            format!("Add colour = \"{}\" or another of its colours to the remnant", used.films[0]),
        ),
        Some(text) if used.films.is_empty() => {
            reader.faults.tell(text.at, "no transfer on it comes in film colours", "Strike the colour of the remnant")
        }
        Some(text) if !used.films.contains(&text.value) => {
            let remedy = meant(&text.value, used.films.iter().map(String::as_str));
            reader.faults.tell(text.at, format!("there is no film colour “{}” on it", shown(&text.value)), remedy);
        }
        Some(_) => {}
    }
}

fn read_trim(form: &TrimForm, reader: &mut Reader<'_>) -> Trim {
    Trim {
        straight_cut: reader.quantity(&form.straight_cut, 0.0..=600.0),
        per_outline_mm: reader.quantity(&form.per_outline_mm, 0.0..=60.0),
    }
}

fn write_item(item: &StockItem, suppliers: &[Supplier], file: &mut StockFile) {
    let (id, name) = (At::new(item.id.clone()), At::new(item.name.clone()));
    let supplier = item.supplier.and_then(|id| suppliers.get(id.0)).map(|supplier| At::new(supplier.id.clone()));
    let spacing = super::cloths::typed(&item.spacing);
    // What the printer's rule gave comes again from the printer's rule.
    let own = item.reading.origin == Origin::Shop && item.reading.source.is_none();
    let reading = own.then_some(Word(item.reading.value));
    let turns = Word(item.direction);
    let margin = Written::of(item.margin);
    let trim = item.trim.map(|trim| TrimForm {
        straight_cut: Written::of(trim.straight_cut),
        per_outline_mm: Written::of(trim.per_outline_mm),
    });
    let (print, cut) = (write_print(&item.print), write_cut(&item.cut));
    match &item.shape {
        StockShape::Sheet { width, length, price, identical, breaks, set_up } => {
            let remnant = item
                .remnants
                .iter()
                .filter(|one| one.kept.is_none())
                .map(|remnant| write_remnant(remnant, *width, Some(*length)))
                .collect();
            let (width, length, price) = (Written::of(*width), Written::of(*length), write_money(*price));
            let (identical, breaks) = (write_breaks(identical), write_breaks(breaks));
            let set_up = set_up.map(write_money);
            file.sheet.push(SheetForm {
                id,
                name,
                supplier,
                width,
                length,
                price,
                set_up,
                margin,
                spacing,
                reading,
                turns,
                trim,
                remnant,
                identical,
                breaks,
                print,
                cut,
            });
        }
        StockShape::Roll { width, step, price_per_step, breaks, minimum, maximum } => {
            let remnant = item
                .remnants
                .iter()
                .filter(|one| one.kept.is_none())
                .map(|remnant| write_remnant(remnant, *width, None))
                .collect();
            let (width, step, price_per_step) = (Written::of(*width), Written::of(*step), write_money(*price_per_step));
            let (minimum, maximum) = (Written::of(*minimum), Written::of(*maximum));
            let breaks = breaks
                .iter()
                .map(|one| LengthBreakForm { from: Written::of(one.from), price: write_money(one.price) })
                .collect();
            file.roll.push(RollForm {
                id,
                name,
                supplier,
                width,
                step,
                price_per_step,
                breaks,
                minimum,
                maximum,
                margin,
                spacing,
                reading,
                turns,
                trim,
                remnant,
                print,
                cut,
            });
        }
    }
}

fn write_breaks(breaks: &[SheetBreak]) -> Vec<SheetBreakForm> {
    breaks.iter().map(|one| SheetBreakForm { from: At::new(one.from), price: write_money(one.price) }).collect()
}

fn write_remnant(remnant: &Remnant, width: Length, length: Option<Length>) -> RemnantForm {
    RemnantForm {
        colour: remnant.colour.clone().map(At::new),
        width: (remnant.width != width).then(|| Written::of(remnant.width)),
        length: (Some(remnant.length) != length).then(|| Written::of(remnant.length)),
        count: (remnant.count != 1).then(|| At::new(remnant.count)),
    }
}
