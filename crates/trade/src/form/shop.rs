//! shop.toml.

use super::cloths::typed;
use super::currency;
use super::files::{CutForm, read_cut, write_cut};
use super::garments::is_false;
use super::reader::Reader;
use super::texts::{At, Text, Word, Written, write_money};
use crate::{
    CutWish, LadderStep, Marked, Payer, Person, Pricing, Rates, Shop, Spoilage, Tax, TestOn, TestPiece, WorkDay,
    WorkTimes, defaults,
};
use jiff::civil::{Date, Time, Weekday};
use report::Origin;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use units::{Currency, Duration, Money, Share, Temperature, UnitSystem};

/// The shop itself: name, money, hours, times.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct ShopToml {
    /// Version of this form: 1.
    pub version: At<u32>,
    /// The shop's name.
    name: Text,
    /// Lines of its address, for papers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    address: Vec<Text>,
    /// The shop's own mark for its papers: an SVG or PNG file in the shop folder.
    #[serde(skip_serializing_if = "Option::is_none")]
    mark: Option<Text>,
    /// Three letters, as ISO 4217 has them.
    currency: Text,
    /// Decimals of the currency, when they differ from the usual.
    #[serde(skip_serializing_if = "Option::is_none")]
    currency_decimals: Option<At<u8>>,
    /// Units its people read in.
    units: Word<UnitSystem>,
    /// Usual temperature of the room.
    #[schemars(extend("examples" = ["20 °C, 68 °F"]))]
    room: Written<Temperature>,
    /// Places to lay pieces while they cool.
    rack_places: At<u32>,
    /// Orders share sheets when they are due within so many days of one another.
    #[serde(skip_serializing_if = "Option::is_none")]
    share_days: Option<At<u32>>,
    /// Days on which nobody works.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    holidays: Vec<Text>,
    /// An invented example.
    #[serde(default, skip_serializing_if = "is_false")]
    invented: bool,
    /// Rates of work.
    rates: RatesForm,
    /// How prices are made.
    pricing: PricingForm,
    /// What test pieces are made on and who pays for them.
    #[serde(skip_serializing_if = "Option::is_none")]
    test_piece: Option<TestPieceForm>,
    /// How many more are made than ordered.
    #[serde(skip_serializing_if = "Option::is_none")]
    spoilage: Option<SpoilageForm>,
    /// How long work takes.
    #[serde(skip_serializing_if = "Option::is_none")]
    times: Option<TimesForm>,
    /// What the shop's cutter needs of cut files.
    #[serde(skip_serializing_if = "Option::is_none")]
    cutter: Option<CutForm>,
    /// Taxes, as the shop enters them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    tax: Vec<TaxForm>,
    /// People who work.
    person: At<Vec<PersonForm>>,
}

/// Rates of work.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RatesForm {
    /// A person's hour.
    labour_per_hour: Written<Money>,
    /// Overhead for each hour worked.
    overhead_per_hour: Written<Money>,
}

/// How prices are made.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct PricingForm {
    /// Share of the price that stays.
    margin: Written<Share>,
    /// Unit prices are rounded up to a multiple of this.
    price_step: Written<Money>,
    /// Least charged for an order.
    #[serde(skip_serializing_if = "Option::is_none")]
    minimum_charge: Option<Written<Money>>,
    /// Share asked before money is spent.
    deposit: Written<Share>,
    /// Days a quote holds.
    valid_days: At<u16>,
    /// Quantities of the ladder.
    ladder: At<Vec<At<u32>>>,
    /// On top when work is done before its normal time.
    rush: Written<Share>,
    /// Terms printed on the quote.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    terms: Vec<Text>,
}

/// The test piece.
#[derive(Debug, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct TestPieceForm {
    /// What it is made on.
    #[serde(skip_serializing_if = "Option::is_none")]
    on: Option<Word<TestOn>>,
    /// Who pays for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    paid_by: Option<Word<Payer>>,
}

/// A tax.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct TaxForm {
    /// Its name on the quote.
    name: Text,
    /// Its share of the net price.
    share: Written<Share>,
}

/// How many more are made than ordered.
#[derive(Debug, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct SpoilageForm {
    /// Spare transfers for each design of a small order.
    #[serde(skip_serializing_if = "Option::is_none")]
    spare_transfers: Option<At<u32>>,
    /// Up to how many pieces an order is small.
    #[serde(skip_serializing_if = "Option::is_none")]
    small_order: Option<At<u32>>,
    /// Share of spare transfers above that.
    #[serde(skip_serializing_if = "Option::is_none")]
    spare_share: Option<Written<Share>>,
    /// Chance that a garment is spoiled.
    #[serde(skip_serializing_if = "Option::is_none")]
    garment_loss: Option<Written<Share>>,
}

/// A person and their hours.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct PersonForm {
    /// The name they are called by.
    name: Text,
    /// Hours of the week; days left out are free.
    hours: At<Vec<HoursForm>>,
}

/// Hours of some days.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct HoursForm {
    /// Days of the week.
    days: Vec<Word<Weekday>>,
    /// Work begins.
    from: Text,
    /// Work ends.
    to: Text,
    /// A pause begins.
    #[serde(skip_serializing_if = "Option::is_none")]
    pause_from: Option<Text>,
    /// The pause ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pause_to: Option<Text>,
}

macro_rules! times {
    ($($field:ident, $about:literal;)*) => {
        /// How long work takes; what is left out is common practice.
        #[derive(Debug, Default, Serialize, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields, rename_all = "kebab-case")]
        struct TimesForm { $(
            #[doc = $about]
            #[serde(skip_serializing_if = "Option::is_none")]
            $field: Option<Written<Duration>>,
        )* }

        impl TimesForm {
            fn read(&self, reader: &mut Reader<'_>) -> WorkTimes {
                let usual = defaults::work_times();
                WorkTimes { $($field: reader.or_default(self.$field.as_ref(), 0.0..=36_000.0, usual.$field),)* }
            }

            fn write(times: &WorkTimes) -> Self {
                Self { $($field: typed(&times.$field),)* }
            }
        }
    };
}

times! {
    load, "Load and thread a garment.";
    load_lined, "Load a lined jacket.";
    smooth, "Smooth, lint-roll.";
    place, "Place and align a one-part print.";
    place_part, "Place each further part.";
    peel_hot, "Peel hot.";
    peel_cold, "Peel cold, after the wait.";
    unload, "Unload, fold, check.";
    flip, "Turn the garment over between prints.";
    pack, "Pack a piece.";
    count_in, "Count and inspect a garment at arrival.";
    office, "Once an order: quoting, ordering, writing.";
    art, "Once a design: art work.";
    test_piece, "Once a set-up: test piece.";
}

/// What the file holds.
pub(super) struct House {
    pub name: String,
    pub address: Vec<String>,
    pub mark: Option<String>,
    pub units: UnitSystem,
    pub room: Temperature,
    pub rack_places: u32,
    pub holidays: Vec<Date>,
    pub invented: bool,
    pub rates: Rates,
    pub pricing: Pricing,
    pub taxes: Vec<Tax>,
    pub spoilage: Spoilage,
    pub share_days: Marked<u32>,
    pub times: WorkTimes,
    pub cutter: CutWish,
    pub people: Vec<Person>,
}

/// The currency of all prices, or the fault told with a stand-in.
pub(super) fn read_currency(file: &ShopToml, reader: &mut Reader<'_>) -> Currency {
    let code = &file.currency;
    let decimals = file.currency_decimals.as_ref();
    let read = match decimals {
        Some(decimals) => Currency::new(&code.value, decimals.value),
        None => currency::known(&code.value),
    };
    read.unwrap_or_else(|| {
        let what = format!("“{}” is not a currency known here", super::texts::shown(&code.value));
        let remedy =
            match super::fault::nearest(&code.value.to_lowercase(), currency::codes_lower().iter().map(String::as_str))
            {
                Some(near) => format!("Write “{}”, or add currency-decimals (0 to 4) for another", near.to_uppercase()),
                None => {
                    "Write three capital letters like “EUR”; for a rare one add currency-decimals (0 to 4)".to_owned()
                }
            };
        reader.faults.tell(code.at, what, remedy);
        reader.currency
    })
}

pub(super) fn read(file: &ShopToml, reader: &mut Reader<'_>) -> House {
    House {
        mark: mark(file, reader),
        name: reader.name(&file.name),
        address: file.address.iter().map(|line| reader.name(line)).collect(),
        units: file.units.0,
        room: reader.quantity(&file.room, -10.0..=45.0),
        rack_places: reader.count(file.rack_places.at, file.rack_places.value, 0..=10_000),
        holidays: file.holidays.iter().map(|day| reader.date(day)).collect(),
        invented: file.invented,
        rates: Rates {
            labour_per_hour: reader.money(&file.rates.labour_per_hour),
            overhead_per_hour: reader.money(&file.rates.overhead_per_hour),
        },
        pricing: pricing(&file.pricing, file.test_piece.as_ref(), reader),
        taxes: file.tax.iter().map(|form| tax(form, reader)).collect(),
        spoilage: spoilage(file.spoilage.as_ref().unwrap_or(&SpoilageForm::default()), reader),
        share_days: file
            .share_days
            .as_ref()
            .map_or_else(defaults::share_days, |days| Marked::shop(reader.count(days.at, days.value, 0..=365))),
        times: file.times.as_ref().unwrap_or(&TimesForm::default()).read(reader),
        cutter: read_cut(file.cutter.as_ref(), reader),
        people: people(&file.person, reader),
    }
}

pub(super) fn write(shop: &Shop) -> ShopToml {
    let usual = currency::known(shop.currency.code()) == Some(shop.currency);
    ShopToml {
        version: At::new(1),
        name: At::new(shop.name.clone()),
        address: texts(&shop.address),
        mark: shop.mark.as_ref().map(|mark| At::new(mark.file.clone())),
        currency: At::new(shop.currency.code().to_owned()),
        currency_decimals: (!usual).then(|| At::new(shop.currency.decimals())),
        units: Word(shop.units),
        room: Written::of(shop.room),
        rack_places: At::new(shop.rack_places),
        share_days: (shop.share_days.origin != Origin::Default).then(|| At::new(shop.share_days.value)),
        holidays: shop.holidays.iter().map(|day| At::new(day.to_string())).collect(),
        invented: shop.invented,
        rates: RatesForm {
            labour_per_hour: write_money(shop.rates.labour_per_hour),
            overhead_per_hour: write_money(shop.rates.overhead_per_hour),
        },
        pricing: pricing_form(&shop.pricing, shop.currency),
        test_piece: (shop.pricing.test_piece.origin != Origin::Default).then_some(TestPieceForm {
            on: Some(Word(shop.pricing.test_piece.value.on)),
            paid_by: Some(Word(shop.pricing.test_piece.value.paid_by)),
        }),
        spoilage: Some(spoilage_form(&shop.spoilage)),
        times: Some(TimesForm::write(&shop.times)),
        cutter: write_cut(&shop.cutter),
        tax: shop
            .taxes
            .iter()
            .map(|tax| TaxForm { name: At::new(tax.name.clone()), share: Written::of(tax.share) })
            .collect(),
        person: At::new(shop.people.iter().map(person_form).collect()),
    }
}

/// The file of the shop's mark; a fault where its name could lead anywhere else.
pub(super) fn mark(file: &ShopToml, reader: &mut Reader<'_>) -> Option<String> {
    let text = file.mark.as_ref()?;
    if !super::is_mark_file(&text.value) {
        reader.faults.tell(
            text.at,
            "this is not a picture in the shop folder",
            "Name an SVG or PNG file that lies beside shop.toml, as mark.svg",
        );
        return None;
    }
    Some(text.value.clone())
}

fn texts(texts: &[String]) -> Vec<Text> {
    texts.iter().cloned().map(At::new).collect()
}

fn pricing(form: &PricingForm, test: Option<&TestPieceForm>, reader: &mut Reader<'_>) -> Pricing {
    let step = reader.money(&form.price_step);
    if step.minor() < 1 {
        reader.faults.tell(
            form.price_step.text.at,
            "the price step is nothing",
            "Write the smallest step between prices, like \"0.05\"",
        );
    }
    let steps = &form.ladder.value;
    let rising = steps.windows(2).all(|pair| pair[0].value < pair[1].value);
    if steps.is_empty() || !rising || steps.iter().any(|step| step.value == 0) {
        reader.faults.tell(
            form.ladder.at,
            "the ladder is not a rising list of quantities",
            "Write it like [6, 12, 24, 48]",
        );
    }
    let days = reader.count(form.valid_days.at, u32::from(form.valid_days.value), 1..=365);
    Pricing {
        margin: reader.part(&form.margin),
        price_step: step.minor(),
        minimum_charge: form.minimum_charge.as_ref().map(|written| reader.money(written)),
        deposit: reader.quantity(&form.deposit, 0.0..=100.0),
        valid_days: u16::try_from(days).unwrap_or(1),
        ladder: steps.iter().map(|step| LadderStep { from: step.value }).collect(),
        test_piece: test.map_or_else(defaults::test_piece, |form| {
            let usual = defaults::test_piece().value;
            Marked::shop(TestPiece {
                on: form.on.map_or(usual.on, |word| word.0),
                paid_by: form.paid_by.map_or(usual.paid_by, |word| word.0),
            })
        }),
        rush: reader.quantity(&form.rush, 0.0..=300.0),
        terms: form.terms.iter().map(|line| reader.name(line)).collect(),
    }
}

fn pricing_form(pricing: &Pricing, currency: Currency) -> PricingForm {
    PricingForm {
        margin: Written::of(pricing.margin),
        price_step: write_money(Money::new(pricing.price_step, currency)),
        minimum_charge: pricing.minimum_charge.map(write_money),
        deposit: Written::of(pricing.deposit),
        valid_days: At::new(pricing.valid_days),
        ladder: At::new(pricing.ladder.iter().map(|step| At::new(step.from)).collect()),
        rush: Written::of(pricing.rush),
        terms: texts(&pricing.terms),
    }
}

fn tax(form: &TaxForm, reader: &mut Reader<'_>) -> Tax {
    Tax { name: reader.name(&form.name), share: reader.quantity(&form.share, 0.0..=100.0) }
}

fn spoilage(form: &SpoilageForm, reader: &mut Reader<'_>) -> Spoilage {
    let usual = defaults::spoilage();
    let mut counted =
        |count: &Option<At<u32>>, most| count.as_ref().map(|count| reader.count(count.at, count.value, 0..=most));
    let (spares, small) = (counted(&form.spare_transfers, 100), counted(&form.small_order, 10_000));
    Spoilage {
        small_spares: spares.map_or(usual.small_spares, Marked::shop),
        small_order: small.unwrap_or(usual.small_order),
        share: reader.or_default(form.spare_share.as_ref(), 0.0..=50.0, usual.share),
        garment_loss: reader.or_default(form.garment_loss.as_ref(), 0.0..=50.0, usual.garment_loss),
    }
}

fn spoilage_form(spoilage: &Spoilage) -> SpoilageForm {
    let spares = &spoilage.small_spares;
    SpoilageForm {
        spare_transfers: (spares.origin != Origin::Default).then(|| At::new(spares.value)),
        small_order: Some(At::new(spoilage.small_order)),
        spare_share: typed(&spoilage.share),
        garment_loss: typed(&spoilage.garment_loss),
    }
}

fn people(forms: &At<Vec<PersonForm>>, reader: &mut Reader<'_>) -> Vec<Person> {
    if forms.value.is_empty() {
        reader.faults.tell(forms.at, "nobody works here", "Add at least one [[person]] with hours");
    }
    forms.value.iter().map(|form| Person { name: reader.name(&form.name), hours: hours(form, reader) }).collect()
}

fn hours(form: &PersonForm, reader: &mut Reader<'_>) -> Vec<WorkDay> {
    let mut week: Vec<WorkDay> = Vec::new();
    for span in &form.hours.value {
        let (from, to) = (reader.time(&span.from), reader.time(&span.to));
        if from >= to {
            reader.faults.tell(span.from.at, "work ends before it begins", "Let from be earlier than to");
        }
        let pause = pause(span, (from, to), reader);
        for day in span.days.iter().map(|word| word.0) {
            if week.iter().any(|known| known.day == day) {
                let remedy = "Name each day once; a break is pause-from and pause-to";
                reader.faults.tell(span.from.at, "a day is there twice", remedy);
            }
            week.push(WorkDay { day, from, to, pause });
        }
    }
    if week.is_empty() {
        reader.faults.tell(form.hours.at, "there is no day of work", "Name at least one day");
    }
    week
}

fn pause(span: &HoursForm, (from, to): (Time, Time), reader: &mut Reader<'_>) -> Option<(Time, Time)> {
    match (&span.pause_from, &span.pause_to) {
        (None, None) => None,
        (Some(begins), Some(ends)) => {
            let pause = (reader.time(begins), reader.time(ends));
            if !(from <= pause.0 && pause.0 < pause.1 && pause.1 <= to) {
                reader.faults.tell(
                    begins.at,
                    "the pause does not lie within the hours",
                    "Let it begin after from and end before to",
                );
            }
            Some(pause)
        }
        (Some(text), None) | (None, Some(text)) => {
            reader.faults.tell(text.at, "the pause has one end only", "Give pause-from and pause-to");
            None
        }
    }
}

/// Days in a row with the same hours share a line.
fn person_form(person: &Person) -> PersonForm {
    let mut hours: Vec<(WorkDay, Vec<Word<Weekday>>)> = Vec::new();
    for day in &person.hours {
        match hours.last_mut() {
            Some((same, days)) if (same.from, same.to, same.pause) == (day.from, day.to, day.pause) => {
                days.push(Word(day.day))
            }
            _ => hours.push((*day, vec![Word(day.day)])),
        }
    }
    let clock = |time: Time| At::new(time.strftime("%H:%M").to_string());
    let forms = hours.into_iter().map(|(span, days)| HoursForm {
        days,
        from: clock(span.from),
        to: clock(span.to),
        pause_from: span.pause.map(|pause| clock(pause.0)),
        pause_to: span.pause.map(|pause| clock(pause.1)),
    });
    PersonForm { name: At::new(person.name.clone()), hours: At::new(forms.collect()) }
}
