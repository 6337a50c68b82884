//! The shipped demo shop goes through the door and comes back equal.

use std::path::{Path, PathBuf};
use trade::form::{self, ShopFile};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop")
}

fn demo() -> Vec<(String, String)> {
    form::FILE_NAMES
        .iter()
        .map(|name| ((*name).to_owned(), std::fs::read_to_string(folder().join(name)).expect(name)))
        .collect()
}

fn read(files: &[(String, String)]) -> Result<report::Outcome<trade::Shop>, Vec<form::FormFault>> {
    let files: Vec<ShopFile<'_>> = files.iter().map(|(name, text)| ShopFile { name, text }).collect();
    form::read(&files)
}

fn said(faults: &[form::FormFault]) -> String {
    faults.iter().map(|fault| format!("{fault}\n")).collect()
}

/// Every recipe of the demo is usual for its family; only the lost sheet is told.
#[test]
fn the_demo_shop_is_read() {
    let shop = read(&demo()).unwrap_or_else(|faults| panic!("{}", said(&faults)));
    let codes: Vec<_> = shop.findings.iter().map(|finding| finding.code.0).collect();
    assert_eq!(codes, ["trade.no-recipe"], "{:#?}", shop.findings);
    assert!(shop.value.invented && shop.value.garments().all(|(_, garment)| garment.invented));
    assert_eq!(shop.value.presses().count(), 2);
}

#[test]
fn written_and_read_again_it_is_equal() {
    let first = read(&demo()).expect("reads").value;
    let written = form::write(&first);
    let second = read(&written).unwrap_or_else(|faults| panic!("{}", said(&faults)));
    assert_eq!(first, second.value);
    assert_eq!(written, form::write(&second.value), "writing is stable");
}

/// Nothing is filled in silently: what a person did not type says that it is a default.
#[test]
fn every_default_says_so() {
    use report::Origin::{Default, Maker, Measured, Shop};
    let shop = read(&demo()).expect("reads").value;
    let (_, plain) = shop.transfers().find(|(_, one)| one.id == "film-plain").expect("there");
    assert_eq!((plain.wash.origin, plain.wash.source.as_deref()), (Maker, Some("Meadow data sheet, 2 March 2026")));
    assert_eq!((plain.minimums.origin, plain.minimums.source.as_deref()), (Default, Some("common practice")));
    assert_eq!(plain.stretch.origin, Default);
    assert_eq!(plain.recipes[0].bears.origin, Default);
    assert_eq!((shop.times.load.origin, shop.times.flip.origin), (Shop, Default));
    let (_, big) = shop.presses().next().expect("there");
    assert_eq!((big.offset.origin, big.plate_thickness.origin), (Measured, Default));
    let (_, sheet) = shop.stock().find(|(_, one)| one.id == "powder-22x24").expect("there");
    let rule = Some("printer's file page, read 3 November 2026");
    assert_eq!((sheet.reading.origin, sheet.reading.source.as_deref()), (Shop, rule));
    let (_, roll) = shop.stock().find(|(_, one)| one.id == "plain-roll-500").expect("there");
    assert_eq!((roll.reading.value, roll.reading.origin), (trade::Reading::Reversed, Default));
}

/// Rush, stock and styles that stand in are read as written, and written as read.
#[test]
fn what_suppliers_and_shelves_hold_is_not_lost() {
    let mut files = demo();
    let garments = &mut files.iter_mut().find(|(name, _)| name == "garments.toml").expect("there").1;
    *garments = garments.replacen(
        "substitutes = [\"tote-heavy\"]",
        "substitutes = [\"tote-heavy\", \"carrier-pp\"]\nbreaks = [{ from = 24, off = \"5 %\" }, { from = 72, off = \"9 %\" }]\nheld = [{ colour = \"NATURAL\", size = \"One size\", on-hand = 6, at-supplier = 0, more-days = 8 }]",
        1,
    );
    let shop = read(&files).expect("reads").value;
    let bag = shop.garment(shop.find_garment("tote-canvas").expect("there"));
    let held = bag.held("natural", "one size").expect("entered");
    assert_eq!(
        (held.on_hand, held.at_supplier, held.more_days, held.colour.as_str()),
        (6, Some(0), Some(8), "natural")
    );
    assert_eq!((bag.substitutes.len(), bag.breaks.len()), (2, 2));
    let rush = shop.supplier(shop.find_supplier("lockgate").expect("there")).rush.as_ref().expect("rush is sold");
    assert_eq!((rush.production_days, rush.transit_days, rush.share), (0, 1, units::Share::default()));
    assert_eq!(read(&form::write(&shop)).expect("reads again").value, shop);
}

/// A transfer whose sheet is lost has no settings, whatever its family usually takes.
#[test]
fn no_recipe_no_settings() {
    let shop = read(&demo()).expect("reads").value;
    let (_, velvet) = shop.transfers().find(|(_, one)| one.id == "film-velvet").expect("there");
    assert!(velvet.recipes.is_empty());
}

/// The examples of the page that teaches the files have right keys, words and
/// quantities; only names of other files' items may be absent.
#[test]
fn the_page_on_shop_files_is_true() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/shop-files.md");
    let page = std::fs::read_to_string(page).expect("the page");
    let mut files = Vec::new();
    for section in page.split("\n## ").skip(1) {
        let name = section.lines().next().unwrap_or_default().to_owned();
        // A section that is not about one file shows parts of several.
        if !form::FILE_NAMES.contains(&name.as_str()) {
            continue;
        }
        let block = section.split("```toml\n").nth(1).and_then(|rest| rest.split("```").next());
        files.extend(block.map(|text| (name, text.to_owned())));
    }
    assert_eq!(files.len(), form::FILE_NAMES.len());
    let faults = read(&files).err().unwrap_or_default();
    assert!(
        !faults.is_empty() && faults.iter().all(|fault| fault.what.starts_with("there is no ")),
        "{}",
        said(&faults)
    );
}
