//! Any bytes as a shop's file: refused with faults, or read and written without loss.
#![no_main]

use libfuzzer_sys::fuzz_target;
use trade::form::{self, ShopFile};

const DEMO: [&str; 7] = [
    include_str!("../../demo/shop/shop.toml"),
    include_str!("../../demo/shop/presses.toml"),
    include_str!("../../demo/shop/cloths.toml"),
    include_str!("../../demo/shop/garments.toml"),
    include_str!("../../demo/shop/transfers.toml"),
    include_str!("../../demo/shop/suppliers.toml"),
    include_str!("../../demo/shop/stock.toml"),
];

// The first byte says which file of a sound shop the rest replaces.
fuzz_target!(|data: &[u8]| {
    let Some((which, rest)) = data.split_first() else { return };
    let Ok(text) = std::str::from_utf8(rest) else { return };
    let mut texts = DEMO;
    let which = usize::from(*which) % texts.len();
    texts[which] = text;
    let files: Vec<ShopFile<'_>> =
        form::FILE_NAMES.iter().zip(texts).map(|(name, text)| ShopFile { name, text }).collect();
    match form::read(&files) {
        Err(faults) => assert!(!faults.is_empty()),
        Ok(shop) => {
            let written = form::write(&shop.value);
            let again: Vec<ShopFile<'_>> = written.iter().map(|(name, text)| ShopFile { name, text }).collect();
            assert_eq!(form::read(&again).map(|read| read.value).as_ref(), Ok(&shop.value));
        }
    }
});
