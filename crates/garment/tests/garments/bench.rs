//! The invented shop on which the tests stand.

use garment::{Placed, Position, Reach, Unreachable, place, reach};
use trade::form::{ShopFile, read};
use trade::{Cloth, GarmentSize, GarmentStyle, Shop};
use units::Length;

const FILES: [(&str, &str); 7] = [
    ("shop.toml", include_str!("../shop/shop.toml")),
    ("presses.toml", include_str!("../shop/presses.toml")),
    ("cloths.toml", include_str!("../shop/cloths.toml")),
    ("garments.toml", include_str!("../shop/garments.toml")),
    ("transfers.toml", include_str!("../shop/transfers.toml")),
    ("suppliers.toml", include_str!("../shop/suppliers.toml")),
    ("stock.toml", include_str!("../shop/stock.toml")),
];

/// The whole shop.
pub fn shop() -> Shop {
    with_presses(FILES[1].1)
}

/// The shop with `platens` only, and pillows or none.
pub fn shop_with(platens: &[&str], pillows: bool) -> Shop {
    let text = FILES[1].1;
    let listed: Vec<String> = platens.iter().filter(|p| **p != "cap").map(|p| format!("\"{p}\"")).collect();
    let mut kept = String::new();
    let mut skip = false;
    for block in text.split("\n\n") {
        let id = block.lines().find_map(|line| line.strip_prefix("id = \"")).map(|rest| rest.trim_end_matches('"'));
        skip = match (block.lines().next(), id) {
            (Some("[[platen]]"), Some(id)) => !platens.contains(&id),
            (Some("[[pillow]]"), _) => !pillows,
            (Some("[[press]]"), Some("cap-press")) => !platens.contains(&"cap"),
            (Some("[[press]]"), _) => listed.is_empty(),
            _ => false,
        };
        if skip {
            continue;
        }
        for line in block.lines() {
            if line.starts_with("platens = [\"16x20\"") {
                kept.push_str(&format!("platens = [{}]\n", listed.join(", ")));
            } else {
                kept.push_str(line);
                kept.push('\n');
            }
        }
        kept.push('\n');
    }
    let _ = skip;
    with_presses(&kept)
}

fn with_presses(presses: &str) -> Shop {
    let files: Vec<ShopFile<'_>> = FILES
        .iter()
        .map(|(name, text)| ShopFile { name, text: if *name == "presses.toml" { presses } else { text } })
        .collect();
    read(&files).unwrap_or_else(|faults| panic!("{faults:#?}")).value
}

pub fn mm(value: f64) -> Length {
    Length::from_mm(value).expect("finite")
}

pub fn style<'a>(shop: &'a Shop, id: &str) -> &'a GarmentStyle {
    shop.garment(shop.find_garment(id).unwrap_or_else(|| panic!("no garment {id}")))
}

pub fn size<'a>(style: &'a GarmentStyle, name: &str) -> &'a GarmentSize {
    style.size(name).unwrap_or_else(|| panic!("no size {name} of {}", style.id))
}

pub fn cloth<'a>(shop: &'a Shop, style: &GarmentStyle) -> &'a Cloth {
    shop.cloth(style.colours[0].cloth)
}

pub fn put(style: &GarmentStyle, size: &GarmentSize, position: Position, w: f64, h: f64) -> Placed {
    let outcome = place(style, size, position, (mm(w), mm(h)), None);
    outcome.value.unwrap_or_else(|| panic!("{} {} {position:?}: {:#?}", style.id, size.name, outcome.findings))
}

pub fn reached(
    shop: &Shop,
    garment: &str,
    size_name: &str,
    position: Position,
    art: (f64, f64),
) -> Result<Reach, Box<Unreachable>> {
    let style = style(shop, garment);
    let size = size(style, size_name);
    let placed = put(style, size, position, art.0, art.1);
    reach(shop, style, size, cloth(shop, style), &placed, &[])
}
