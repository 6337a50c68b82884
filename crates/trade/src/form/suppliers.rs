//! suppliers.toml.

use super::files::{PrintForm, read_print, write_print};
use super::reader::Reader;
use super::texts::{At, Text, Word, Written, write_money};
use crate::{FileRule, Freight, Layers, Reading, RushService, Supplier};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Money, Share};

/// Printers and merchants.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct SuppliersFile {
    /// Version of this form: 1.
    pub version: At<u32>,
    /// Every supplier.
    pub supplier: Vec<SupplierForm>,
}

/// A supplier.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct SupplierForm {
    /// Name used in files.
    id: Text,
    /// Name for people.
    name: Text,
    /// Orders after this time count as the next working day's.
    cut_off: Text,
    /// Working days to make the goods.
    production_days: At<u16>,
    /// Working days under way.
    transit_days: At<u16>,
    /// Days on which it does not work.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    holidays: Vec<Text>,
    /// Smallest goods value accepted; the difference is charged.
    #[serde(skip_serializing_if = "Option::is_none")]
    minimum: Option<Written<Money>>,
    /// Charged once an order.
    #[serde(skip_serializing_if = "Option::is_none")]
    handling: Option<Written<Money>>,
    /// Goods value from which carriage is free.
    #[serde(skip_serializing_if = "Option::is_none")]
    free_carriage_from: Option<Written<Money>>,
    /// Carriage by goods value, the first step from 0.
    carriage: At<Vec<CarriageForm>>,
    /// Faster delivery at a price.
    #[serde(skip_serializing_if = "Option::is_none")]
    rush: Option<At<RushForm>>,
    /// How a printer wants files.
    #[serde(skip_serializing_if = "Option::is_none")]
    files: Option<FilesForm>,
    /// How a printer's files are to be made.
    #[serde(skip_serializing_if = "Option::is_none")]
    print: Option<PrintForm>,
}

/// What carriage costs from a goods value.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct CarriageForm {
    /// Goods value.
    from: Written<Money>,
    /// Price of carriage.
    price: Written<Money>,
}

/// Faster delivery at a price.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RushForm {
    /// Rush orders after this time count as the next working day's; left out: as for other orders.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_off: Option<Text>,
    /// Working days to make the goods.
    production_days: At<u16>,
    /// Working days under way.
    transit_days: At<u16>,
    /// Charged once an order.
    #[serde(skip_serializing_if = "Option::is_none")]
    charge: Option<Written<Money>>,
    /// Charged as a share of the goods' value.
    #[serde(skip_serializing_if = "Option::is_none")]
    share: Option<Written<Share>>,
}

/// How a printer wants files.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct FilesForm {
    /// Which way the art reads.
    reading: Word<Reading>,
    /// Which layers.
    layers: Word<Layers>,
    /// Where the rule was read, and when.
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<Text>,
}

pub(super) fn read(file: &SuppliersFile, reader: &mut Reader<'_>) -> Vec<Supplier> {
    file.supplier.iter().map(|form| supplier(form, reader)).collect()
}

pub(super) fn write(suppliers: &[Supplier]) -> SuppliersFile {
    SuppliersFile { version: At::new(1), supplier: suppliers.iter().map(form).collect() }
}

fn supplier(form: &SupplierForm, reader: &mut Reader<'_>) -> Supplier {
    let (production_days, transit_days) =
        (working_days(&form.production_days, reader), working_days(&form.transit_days, reader));
    let cut_off = reader.time(&form.cut_off);
    let usual = Usual { cut_off, days: production_days.saturating_add(transit_days) };
    Supplier {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        cut_off,
        production_days,
        transit_days,
        holidays: form.holidays.iter().map(|text| reader.date(text)).collect(),
        minimum: form.minimum.as_ref().map(|written| reader.money(written)),
        handling: form.handling.as_ref().map(|written| reader.money(written)),
        freight: Freight {
            steps: carriage(&form.carriage, reader),
            free_from: form.free_carriage_from.as_ref().map(|written| reader.money(written)),
        },
        rush: form.rush.as_ref().map(|form| rush(form, &usual, reader)),
        files: form.files.as_ref().map(|files| FileRule {
            reading: files.reading.0,
            layers: files.layers.0,
            source: files.source.as_ref().map(|text| reader.name(text)),
        }),
        print: read_print(form.print.as_ref(), reader),
    }
}

fn working_days(days: &At<u16>, reader: &mut Reader<'_>) -> u16 {
    let held = reader.count(days.at, u32::from(days.value), 0..=250);
    u16::try_from(held).unwrap_or_default()
}

/// Delivery as it is without rush.
struct Usual {
    cut_off: jiff::civil::Time,
    days: u16,
}

fn rush(form: &At<RushForm>, usual: &Usual, reader: &mut Reader<'_>) -> RushService {
    let (at, form) = (form.at, &form.value);
    let rush = RushService {
        cut_off: form.cut_off.as_ref().map_or(usual.cut_off, |text| reader.time(text)),
        production_days: working_days(&form.production_days, reader),
        transit_days: working_days(&form.transit_days, reader),
        charge: form.charge.as_ref().map(|written| reader.money(written)),
        share: form.share.as_ref().map(|written| reader.part(written)).unwrap_or_default(),
    };
    let days = rush.production_days.saturating_add(rush.transit_days);
    if (days, std::cmp::Reverse(rush.cut_off)) >= (usual.days, std::cmp::Reverse(usual.cut_off)) {
        reader.faults.tell(
            at,
            "rush is no faster than the usual delivery",
            "Give it fewer working days in all, or leave rush out",
        );
    }
    rush
}

fn carriage(forms: &At<Vec<CarriageForm>>, reader: &mut Reader<'_>) -> Vec<(Money, Money)> {
    let steps: Vec<(Money, Money)> =
        forms.value.iter().map(|form| (reader.money(&form.from), reader.money(&form.price))).collect();
    if steps.first().is_none_or(|(from, _)| from.minor() != 0) {
        reader.faults.tell(
            forms.at,
            "carriage does not begin at a goods value of 0",
            "Let the first step have from = \"0\"",
        );
    }
    for (at, pair) in steps.windows(2).enumerate() {
        if pair[1].0.minor() <= pair[0].0.minor() {
            let place = forms.value[at + 1].from.text.at;
            reader.faults.tell(
                place,
                "the steps of carriage do not rise",
                "List them by rising goods value, each once",
            );
        }
    }
    steps
}

fn form(supplier: &Supplier) -> SupplierForm {
    let carriage = supplier
        .freight
        .steps
        .iter()
        .map(|(from, price)| CarriageForm { from: write_money(*from), price: write_money(*price) });
    SupplierForm {
        id: At::new(supplier.id.clone()),
        name: At::new(supplier.name.clone()),
        cut_off: At::new(supplier.cut_off.strftime("%H:%M").to_string()),
        production_days: At::new(supplier.production_days),
        transit_days: At::new(supplier.transit_days),
        holidays: supplier.holidays.iter().map(|day| At::new(day.to_string())).collect(),
        minimum: supplier.minimum.map(write_money),
        handling: supplier.handling.map(write_money),
        free_carriage_from: supplier.freight.free_from.map(write_money),
        carriage: At::new(carriage.collect()),
        rush: supplier.rush.as_ref().map(|rush| {
            At::new(RushForm {
                cut_off: (rush.cut_off != supplier.cut_off)
                    .then(|| At::new(rush.cut_off.strftime("%H:%M").to_string())),
                production_days: At::new(rush.production_days),
                transit_days: At::new(rush.transit_days),
                charge: rush.charge.map(write_money),
                share: (rush.share != Share::default()).then(|| Written::of(rush.share)),
            })
        }),
        files: supplier.files.as_ref().map(|files| FilesForm {
            reading: Word(files.reading),
            layers: Word(files.layers),
            source: files.source.clone().map(At::new),
        }),
        print: write_print(&supplier.print),
    }
}
