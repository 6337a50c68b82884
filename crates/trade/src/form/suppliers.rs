//! suppliers.toml.

use super::files::{PrintForm, read_print, write_print};
use super::reader::Reader;
use super::texts::{At, Text, Word, Written, write_money};
use crate::{FileRule, Freight, Layers, Reading, Supplier};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::Money;

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
    let mut days = |days: &At<u16>| {
        let held = reader.count(days.at, u32::from(days.value), 0..=250);
        u16::try_from(held).unwrap_or_default()
    };
    let (production_days, transit_days) = (days(&form.production_days), days(&form.transit_days));
    Supplier {
        id: reader.id(&form.id),
        name: reader.name(&form.name),
        cut_off: reader.time(&form.cut_off),
        production_days,
        transit_days,
        holidays: form.holidays.iter().map(|text| reader.date(text)).collect(),
        minimum: form.minimum.as_ref().map(|written| reader.money(written)),
        handling: form.handling.as_ref().map(|written| reader.money(written)),
        freight: Freight {
            steps: carriage(&form.carriage, reader),
            free_from: form.free_carriage_from.as_ref().map(|written| reader.money(written)),
        },
        files: form.files.as_ref().map(|files| FileRule {
            reading: files.reading.0,
            layers: files.layers.0,
            source: files.source.as_ref().map(|text| reader.name(text)),
        }),
        print: read_print(form.print.as_ref(), reader),
    }
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
        files: supplier.files.as_ref().map(|files| FilesForm {
            reading: Word(files.reading),
            layers: Word(files.layers),
            source: files.source.clone().map(At::new),
        }),
        print: write_print(&supplier.print),
    }
}
