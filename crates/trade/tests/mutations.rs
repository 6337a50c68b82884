//! Spoiled files never panic: they are refused with faults, or read and written without loss.

use std::path::Path;
use trade::form::{self, ShopFile};

/// A fixed sequence of numbers (multiplier of Park and Miller, 1988).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        usize::try_from(self.0).unwrap_or(0) % most.max(1)
    }
}

/// What people and machines put where it does not belong.
const STRANGE: &[&str] = &[
    "",
    "\"",
    "[",
    "]",
    "=",
    "\n",
    "-1",
    "0",
    "99999999999999999999",
    "nan",
    "inf",
    "1e308",
    "true",
    "\"\"",
    "é",
    "\u{0}",
    "[[press]]",
    "[[transfer.recipe.step]]",
    "2026-01-01",
    "{}",
    "#",
    "\"9e99 mm\"",
    "\"-0 °C\"",
    "'''",
];

#[test]
fn spoiled_files_are_refused_or_read_without_loss() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop");
    let whole: Vec<(String, String)> = form::FILE_NAMES
        .iter()
        .map(|name| ((*name).to_owned(), std::fs::read_to_string(folder.join(name)).expect(name)))
        .collect();
    let mut dice = Dice(20_261_218);
    let (mut refused, mut kept) = (0, 0);
    for _ in 0..400 {
        let mut files = whole.clone();
        let which = dice.below(files.len());
        let text = &mut files[which].1;
        let at = text.floor_char_boundary(dice.below(text.len()));
        let end = text.floor_char_boundary((at + dice.below(12)).min(text.len())).max(at);
        text.replace_range(at..end, STRANGE[dice.below(STRANGE.len())]);
        let read: Vec<ShopFile<'_>> = files.iter().map(|(name, text)| ShopFile { name, text }).collect();
        match form::read(&read) {
            Err(faults) => {
                assert!(!faults.is_empty(), "refused without a fault: {}", files[which].1);
                refused += 1;
            }
            Ok(shop) => {
                let written = form::write(&shop.value);
                let again: Vec<ShopFile<'_>> = written.iter().map(|(name, text)| ShopFile { name, text }).collect();
                assert_eq!(form::read(&again).map(|read| read.value).as_ref(), Ok(&shop.value));
                kept += 1;
            }
        }
    }
    assert!(refused > 100 && kept > 10, "{refused} refused, {kept} kept");
}
