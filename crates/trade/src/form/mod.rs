//! The shop folder as TOML files that people write.
//!
//! In: the text of each file. Out: one checked [`Shop`], or every fault at once
//! with file, line and what was probably meant. Each file carries `version = 1`.
//! Keys and values are the trade's own words; quantities stand as people write
//! them. The schema that is published is the schema that is checked.

mod cloths;
mod currency;
mod fault;
mod files;
mod garments;
mod on_hand;
mod presses;
mod reader;
mod recipes;
mod shape;
mod shop;
mod stock;
mod suppliers;
mod texts;
mod transfers;
mod words;

pub use fault::FormFault;
pub use texts::Worded;

use crate::{AccessoryKind, Marked, Shop, codes, kinds};
use fault::{Faults, meant};
use reader::{Names, Reader};
use report::{Finding, Outcome, Severity};
use schemars::JsonSchema;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use texts::shown;
use toml::Spanned;
use toml::de::{DeTable, DeValue};
use units::Currency;

/// A file of the shop folder: its bare name and its text.
#[derive(Debug, Clone, Copy)]
pub struct ShopFile<'a> {
    /// Its name without folder, "presses.toml".
    pub name: &'a str,
    /// Its text.
    pub text: &'a str,
}

/// The names of the files a shop folder may hold; all but `suppliers.toml` must be there.
pub const FILE_NAMES: &[&str] =
    &["shop.toml", "presses.toml", "cloths.toml", "garments.toml", "transfers.toml", "suppliers.toml", "stock.toml"];

/// No file that a person writes is larger; the text beyond is not read, bytes.
pub const LARGEST_FILE: usize = 4_000_000;

/// Reads a shop folder.
///
/// Values left out are filled with defaults marked as such. Findings name what
/// is unusual or incomplete without being wrong. The picture of the shop's mark comes as a file of its own,
/// its bytes in base64. On refusal every fault is
/// returned, in the order of files, lines and columns (at most 100 a file).
pub fn read(files: &[ShopFile<'_>]) -> Result<Outcome<Shop>, Vec<FormFault>> {
    let schema = schema_value();
    let mut faults = missing_files(files);
    let parsed: Vec<Parsed<'_>> = files.iter().filter_map(|file| parse(*file, &schema, &mut faults)).collect();
    let names = collect_names(&parsed, &mut faults);
    let forms = Forms::from(parsed, &mut faults);
    let mut shop = assemble(&forms, &names, &mut faults);
    if let Some(mark) = shop.as_mut().and_then(|shop| shop.mark.as_mut()) {
        mark.base64 = files
            .iter()
            .find(|file| file.name == mark.file && file.text.len() <= LARGEST_FILE)
            .map(|file| file.text.to_owned());
    }
    faults.sort();
    match shop {
        Some(shop) if faults.is_empty() => {
            let findings = look_over(&shop);
            Ok(Outcome { value: shop, findings })
        }
        _ => Err(faults),
    }
}

/// The JSON Schema of every file, in one document: a property for each file's name.
pub fn schema() -> String {
    serde_json::to_string_pretty(&schema_value()).unwrap_or_default()
}

/// The shop as files, names with texts, without loss: reading them gives an equal shop.
///
/// Defaults are left out, so that they stay defaults.
pub fn write(shop: &Shop) -> Vec<(String, String)> {
    let cloth = |id: crate::ClothId| shop.cloth(id).id.clone();
    let supplier = |id: crate::SupplierId| shop.supplier(id).id.clone();
    let files = [
        ("shop.toml", text(&shop::write(shop))),
        ("presses.toml", text(&presses::write(&shop.presses, &shop.platens, &shop.accessories))),
        ("cloths.toml", text(&cloths::write(&shop.cloths))),
        ("garments.toml", text(&garments::write(&shop.garments, cloth, supplier))),
        ("transfers.toml", text(&transfers::write(&shop.transfers, &shop.cloths, &shop.stock))),
        ("suppliers.toml", text(&suppliers::write(&shop.suppliers))),
        ("stock.toml", text(&stock::write(shop))),
    ];
    let mark = shop.mark.as_ref().and_then(|mark| Some((mark.file.clone(), mark.base64.clone()?)));
    files.into_iter().map(|(name, text)| (name.to_owned(), text)).chain(mark).collect()
}

/// A shop folder: one property a file.
#[derive(JsonSchema)]
#[expect(dead_code, reason = "read by the schema only")]
struct Folder {
    #[schemars(rename = "shop.toml")]
    shop: shop::ShopToml,
    #[schemars(rename = "presses.toml")]
    presses: presses::PressesFile,
    #[schemars(rename = "cloths.toml")]
    cloths: cloths::ClothsFile,
    #[schemars(rename = "garments.toml")]
    garments: garments::GarmentsFile,
    #[schemars(rename = "transfers.toml")]
    transfers: transfers::TransfersFile,
    #[schemars(rename = "suppliers.toml")]
    suppliers: Option<suppliers::SuppliersFile>,
    #[schemars(rename = "stock.toml")]
    stock: stock::StockFile,
}

fn schema_value() -> Value {
    schemars::schema_for!(Folder).to_value()
}

/// The text of a form; forms hold nothing that TOML cannot.
fn text<T: Serialize>(form: &T) -> String {
    toml::to_string(form).unwrap_or_default()
}

/// Whether a name is that of a picture beside the shop's files: nothing but letters, digits, hyphens,
/// underlines and points, ending as SVG or PNG do.
pub fn is_mark_file(name: &str) -> bool {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    let ends = |ending: &str| name.to_ascii_lowercase().ends_with(ending);
    (5..=80).contains(&name.len())
        && name.chars().all(plain)
        && !name.starts_with('.')
        && (ends(".svg") || ends(".png"))
}

/// The picture that a `shop.toml` names as the shop's mark, as far as the text can be read.
pub fn mark_of(text: &str) -> Option<String> {
    let file: toml::Table = text.parse().ok()?;
    file.get("mark")?.as_str().filter(|name| is_mark_file(name)).map(str::to_owned)
}

fn missing_files(files: &[ShopFile<'_>]) -> Vec<FormFault> {
    let mut faults = Vec::new();
    let whole =
        |file: &str, what: String, remedy: String| FormFault { file: shown(file), line: 1, column: 1, what, remedy };
    for name in FILE_NAMES.iter().filter(|name| **name != "suppliers.toml") {
        if !files.iter().any(|file| file.name == *name) {
            faults.push(whole(
                name,
                "the file is missing from the shop folder".to_owned(),
                format!("Add {name} with version = 1"),
            ));
        }
    }
    for (at, file) in files.iter().enumerate() {
        if !FILE_NAMES.contains(&file.name) && !is_mark_file(file.name) {
            faults.push(whole(
                file.name,
                "this is not a file of a shop folder".to_owned(),
                meant(file.name, FILE_NAMES.iter().copied()),
            ));
        }
        if files[..at].iter().any(|earlier| earlier.name == file.name) {
            faults.push(whole(file.name, "the file is there twice".to_owned(), "Keep one of them".to_owned()));
        }
    }
    faults
}

/// A file whose TOML could be read.
struct Parsed<'a> {
    file: ShopFile<'a>,
    table: Spanned<DeTable<'a>>,
    /// Keys and kinds of value are as they should be.
    sound: bool,
}

fn parse<'a>(file: ShopFile<'a>, schema: &Value, faults: &mut Vec<FormFault>) -> Option<Parsed<'a>> {
    let name = FILE_NAMES.iter().find(|name| **name == file.name)?;
    let mut told = Faults::new(file.name, file.text);
    if file.text.len() > LARGEST_FILE {
        told.tell(0, "the file is larger than 4 MB", "Split off what is no longer used");
        faults.extend(told.into_vec());
        return None;
    }
    let (table, refused) = DeTable::parse_recoverable(file.text);
    for error in &refused {
        let at = error.span().map_or(0, |span| span.start);
        told.tell(
            at,
            format!("this cannot be read as TOML: {}", shown(error.message())),
            "Look at quotes, brackets and equals signs here",
        );
    }
    if refused.is_empty() {
        let own = schema.pointer(&format!("/properties/{name}")).unwrap_or(&Value::Null);
        shape::check(&table, own, schema, &mut told);
        check_version(&table, &mut told);
    }
    let sound = told.is_empty();
    faults.extend(told.into_vec());
    Some(Parsed { file, table, sound })
}

fn check_version(table: &Spanned<DeTable<'_>>, told: &mut Faults<'_>) {
    let version = table.get_ref().get("version");
    let Some(version) = version.filter(|version| version.get_ref().is_integer()) else { return };
    if version.get_ref().as_integer().is_some_and(|number| number.as_str() != "1") {
        told.tell(version.span().start, "this version of the form is not known here", "Write version = 1");
    }
}

/// The lists whose items are named elsewhere: list, tables that make it up, key of the name.
const LISTS: &[(&str, &[&str], &str)] = &[
    ("person", &["person"], "name"),
    ("platen", &["platen"], "id"),
    ("press", &["press"], "id"),
    ("accessory", &["pad", "pillow", "cover-sheet"], "id"),
    ("cloth", &["cloth"], "id"),
    ("garment", &["garment"], "id"),
    ("transfer", &["transfer"], "id"),
    ("supplier", &["supplier"], "id"),
    ("stock", &["sheet", "roll"], "id"),
];

/// The names of every list, also of files with faults, so that one fault does not breed others.
fn collect_names(parsed: &[Parsed<'_>], faults: &mut Vec<FormFault>) -> Names {
    let mut names = Names::new();
    for &(list, tables, key) in LISTS {
        let known = names.entry(list).or_default();
        for one in parsed {
            let mut told = Faults::new(one.file.name, one.file.text);
            for (name, at) in tables.iter().flat_map(|table| named_items(&one.table, table, key)) {
                if known.contains(&name) {
                    told.tell(at, format!("the {list} “{}” is there twice", shown(&name)), "Give each its own id");
                }
                known.push(name);
            }
            faults.extend(told.into_vec());
        }
    }
    names
}

fn named_items(table: &Spanned<DeTable<'_>>, list: &str, key: &str) -> Vec<(String, usize)> {
    let items = table.get_ref().get(list).and_then(|value| value.get_ref().as_array());
    let named = |item: &Spanned<DeValue<'_>>| {
        let name = item.get_ref().as_table()?.get(key)?;
        Some((name.get_ref().as_str()?.to_owned(), name.span().start))
    };
    // An item without a name keeps its place in the list.
    items
        .map(|items| {
            items.iter().map(|item| named(item).unwrap_or_default()).filter(|(name, _)| !name.is_empty()).collect()
        })
        .unwrap_or_default()
}

/// A form with the file it came from.
struct Form<'a, T> {
    file: ShopFile<'a>,
    form: T,
}

#[derive(Default)]
struct Forms<'a> {
    shop: Option<Form<'a, shop::ShopToml>>,
    presses: Option<Form<'a, presses::PressesFile>>,
    cloths: Option<Form<'a, cloths::ClothsFile>>,
    garments: Option<Form<'a, garments::GarmentsFile>>,
    transfers: Option<Form<'a, transfers::TransfersFile>>,
    suppliers: Option<Form<'a, suppliers::SuppliersFile>>,
    stock: Option<Form<'a, stock::StockFile>>,
}

impl<'a> Forms<'a> {
    fn from(parsed: Vec<Parsed<'a>>, faults: &mut Vec<FormFault>) -> Self {
        let mut forms = Self::default();
        for one in parsed.into_iter().filter(|one| one.sound) {
            match one.file.name {
                "shop.toml" => forms.shop = form(one, faults),
                "presses.toml" => forms.presses = form(one, faults),
                "cloths.toml" => forms.cloths = form(one, faults),
                "garments.toml" => forms.garments = form(one, faults),
                "transfers.toml" => forms.transfers = form(one, faults),
                "suppliers.toml" => forms.suppliers = form(one, faults),
                _ => forms.stock = form(one, faults),
            }
        }
        forms
    }
}

fn form<'a, T: DeserializeOwned>(parsed: Parsed<'a>, faults: &mut Vec<FormFault>) -> Option<Form<'a, T>> {
    let file = parsed.file;
    match T::deserialize(toml::de::Deserializer::from(parsed.table)) {
        Ok(form) => Some(Form { file, form }),
        Err(error) => {
            let mut told = Faults::new(file.name, file.text);
            told.tell(error.span().map_or(0, |span| span.start), shown(error.message()), "Look at this value again");
            faults.extend(told.into_vec());
            None
        }
    }
}

/// Converts every form that could be read, so that all faults come at once.
fn assemble(forms: &Forms<'_>, names: &Names, faults: &mut Vec<FormFault>) -> Option<Shop> {
    let stand_in = Currency::new("EUR", 2)?;
    let mut in_file = |file: ShopFile<'_>, currency: Currency, read: &mut dyn FnMut(&mut Reader<'_>)| {
        let mut reader = Reader { faults: Faults::new(file.name, file.text), names, currency };
        read(&mut reader);
        faults.extend(reader.faults.into_vec());
    };
    let mut currency = stand_in;
    let mut house = None;
    if let Some(Form { file, form }) = &forms.shop {
        in_file(*file, stand_in, &mut |reader| {
            currency = shop::read_currency(form, reader);
            reader.currency = currency;
            house = Some(shop::read(form, reader));
        });
    }
    macro_rules! convert {
        ($slot:ident, $module:ident) => {{
            let mut read = None;
            if let Some(Form { file, form }) = &forms.$slot {
                in_file(*file, currency, &mut |reader| read = Some($module::read(form, reader)));
            }
            read
        }};
    }
    let machines = convert!(presses, presses);
    let cloths = convert!(cloths, cloths);
    let garments = convert!(garments, garments);
    let transfers = convert!(transfers, transfers);
    let suppliers = convert!(suppliers, suppliers).unwrap_or_default();
    let mut stock = None;
    if let (Some(Form { file, form }), Some(users)) = (&forms.stock, &forms.transfers) {
        let used = |id: &str, seller: Option<&str>| used(id, seller, &users.form, &suppliers);
        in_file(*file, currency, &mut |reader| stock = Some(stock::read(form, &used, reader)));
    }
    let (mut spare_transfers, mut spare_garments) = (None, None);
    if let Some(Form { file, form }) = &forms.stock {
        in_file(*file, currency, &mut |reader| {
            spare_transfers = Some(on_hand::transfers(&form.spare_transfer, transfers.as_deref(), reader));
            spare_garments = Some(on_hand::garments(&form.garment_on_hand, garments.as_deref(), reader));
        });
    }
    let (house, machines) = (house?, machines?);
    Some(Shop {
        name: house.name,
        address: house.address,
        mark: house.mark.map(|file| crate::ShopMark { file, base64: None }),
        currency,
        units: house.units,
        room: house.room,
        holidays: house.holidays,
        rack_places: house.rack_places,
        rates: house.rates,
        pricing: house.pricing,
        taxes: house.taxes,
        spoilage: house.spoilage,
        share_days: house.share_days,
        times: house.times,
        cutter: house.cutter,
        invented: house.invented,
        people: house.people,
        cloths: cloths?,
        garments: garments?,
        transfers: transfers?,
        stock: stock?,
        suppliers,
        presses: machines.presses,
        platens: machines.platens,
        accessories: machines.accessories,
        evidence: Vec::new(),
        spare_transfers: spare_transfers.unwrap_or_default(),
        spare_garments: spare_garments.unwrap_or_default(),
    })
}

/// What the transfers on a stock item say of its spacing and reading.
fn used(
    id: &str,
    seller: Option<&str>,
    transfers: &transfers::TransfersFile,
    suppliers: &[crate::Supplier],
) -> stock::Used {
    let rule = seller
        .and_then(|seller| suppliers.iter().find(|supplier| supplier.id == seller))
        .and_then(|supplier| supplier.files.as_ref());
    let users = || transfers.transfer.iter().filter(|form| form.stock.value.iter().any(|text| text.value == id));
    let films: Vec<String> = users().flat_map(transfers::TransferForm::film_names).collect();
    let spacing_mm = users().map(|form| kinds::generic(form.kind.0).spacing_mm).fold(0.0, f64::max);
    let mut reading = None;
    for form in users() {
        let known = kinds::generic(form.kind.0);
        let printer = rule.map(|rule| rule.reading);
        let Some(read) = known.reading_for(form.way.0, printer) else {
            return stock::Used {
                spacing_mm,
                films,
                reading: Err("makes of this film differ in whether it is cut reversed"),
            };
        };
        let by_rule =
            rule.filter(|_| known.reading_for(form.way.0, None) != Some(read) || follows_printer(form.way.0, known));
        let marked = match by_rule {
            Some(rule) => Marked {
                value: read,
                origin: report::Origin::Shop,
                source: Some(rule.source.clone().unwrap_or_else(|| "printer's file rule".to_owned())),
            },
            None => Marked::default_practice(read),
        };
        if reading.as_ref().is_some_and(|earlier: &Marked<crate::Reading>| earlier.value != marked.value) {
            return stock::Used { spacing_mm, films, reading: Err("the transfers that use it read different ways") };
        }
        reading = Some(marked);
    }
    let spacing_mm = if spacing_mm > 0.0 { spacing_mm } else { UNUSED_SPACING_MM };
    stock::Used { spacing_mm, films, reading: Ok(reading.unwrap_or(Marked::default_practice(crate::Reading::Right))) }
}

/// Spacing of stock that no transfer uses yet, mm.
const UNUSED_SPACING_MM: f64 = 8.0;

fn follows_printer(way: crate::Way, known: &kinds::KindDefaults) -> bool {
    !matches!(known.reading, kinds::ReadingRule::Always(_)) && way == crate::Way::Bought
}

/// What is not wrong, but worth a look.
fn look_over(shop: &Shop) -> Vec<Finding> {
    let mut found = Vec::new();
    for transfer in &shop.transfers {
        if transfer.recipes.is_empty() {
            found.push(
                Finding::new(Severity::Warning, codes::NO_RECIPE, codes::TYPE_RECIPE)
                    .named("transfer", transfer.name.clone()),
            );
        }
        for recipe in &transfer.recipes {
            found.extend(kinds::unusual(transfer.kind, &transfer.name, recipe));
        }
    }
    let covered = |transfer: &&crate::Transfer| {
        transfer.recipes.iter().flat_map(crate::Recipe::presses).any(|press| press.cover == Some(true))
    };
    let has_cover = shop.accessories.iter().any(|one| matches!(one.kind, AccessoryKind::CoverSheet { .. }));
    if let Some(transfer) = shop.transfers.iter().find(covered).filter(|_| !has_cover) {
        found.push(
            Finding::new(Severity::Warning, codes::NO_COVER_SHEET, codes::ADD_COVER_SHEET)
                .named("transfer", transfer.name.clone()),
        );
    }
    for (id, item) in shop.stock() {
        if item.supplier.is_none() && item.remnants.is_empty() {
            found.push(
                Finding::new(Severity::Warning, codes::STOCK_NOT_HAD, codes::NAME_SUPPLIER)
                    .named("stock", item.name.clone()),
            );
        }
        if !shop.transfers.iter().any(|transfer| transfer.stock.contains(&id)) {
            found.push(
                Finding::new(Severity::Note, codes::STOCK_UNUSED, codes::USE_OR_STRIKE)
                    .named("stock", item.name.clone()),
            );
        }
    }
    found
}
