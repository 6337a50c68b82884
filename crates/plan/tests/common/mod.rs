//! The demo's shop and small orders of canvas bags, planned as a library plans them.

use jiff::civil::{Date, date};
use plan::{Arts, Order, Plan, Settings};
use report::{Effort, Quiet, Seed};
use std::path::{Path, PathBuf};
use trade::Shop;

pub const TODAY: Date = date(2026, 11, 24);

fn demo(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(path)
}

/// The demo's shop with texts of its files replaced.
pub fn shop(changes: &[(&str, &str, &str)]) -> Shop {
    let texts: Vec<(&str, String)> = trade::form::FILE_NAMES
        .iter()
        .map(|name| {
            let mut text = std::fs::read_to_string(demo("shop").join(name)).expect("a file of the demo shop");
            for (_, old, new) in changes.iter().filter(|(file, _, _)| file == name) {
                assert!(text.contains(old), "{name} has no {old:?}");
                text = text.replacen(old, new, 1);
            }
            (*name, text)
        })
        .collect();
    let files: Vec<trade::form::ShopFile<'_>> =
        texts.iter().map(|(name, text)| trade::form::ShopFile { name, text }).collect();
    trade::form::read(&files).expect("a readable shop").value
}

pub fn order(due: &str, more: &str, transfer: &str) -> Order {
    let text = format!(
        "version = 1\ncustomer = \"Kite crew\"\ndue = \"{due}\"\n{more}\n[[line]]\ngarment = \"tote-canvas\"\n\
         colour = \"natural\"\nsizes = {{ \"one size\" = 12 }}\n[[line.print]]\nart = \"art/kite.svg\"\n\
         position = \"bag side\"\nwidth = \"120 mm\"\ntransfer = \"{transfer}\"\n"
    );
    plan::form::read_order("order.toml", &text).expect("a readable order")
}

pub fn planned(shop: &Shop, orders: &[Order]) -> Plan {
    let mut arts = Arts::new();
    for (name, remove_background) in Arts::wanted(orders) {
        let bytes = std::fs::read(demo(&name)).expect("art of the demo");
        let options = art::ReadOptions { remove_background, ..art::ReadOptions::default() };
        arts.insert(&name, remove_background, art::read(&name, &bytes, &options));
    }
    let settings = Settings { today: TODAY, seed: Seed(7), effort: Effort(0), threads: 2 };
    plan::plan(shop, orders, &arts, &settings, &mut Quiet).value
}
