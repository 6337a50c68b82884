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
