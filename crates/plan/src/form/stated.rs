//! Colours that a customer states: what a colour of the file truly is.

use super::problems::Faults;
use crate::order::StatedColour;
use art::Lab;
use std::collections::BTreeMap;
use toml::Spanned;

/// Colours as typed, checked.
pub(super) fn read(typed: &BTreeMap<String, Spanned<String>>, faults: &mut Faults<'_>) -> Vec<StatedColour> {
    let mut stated: Vec<StatedColour> = Vec::new();
    for (file, meant) in typed {
        let text = meant.get_ref().trim();
        let found = hex(file).zip(hex(text).map(Lab::of).or_else(|| lab(text)));
        match found {
            Some((file, _)) if stated.iter().any(|known| known.file == file) => faults.add(
                meant.span(),
                "a colour of the file is stated twice".to_owned(),
                "keep the line that holds".to_owned(),
            ),
            Some((file, meant)) => stated.push(StatedColour { file, meant, typed: text.to_owned() }),
            None => faults.add(
                meant.span(),
                format!("“{file}” = “{text}” is no pair of colours"),
                "write { \"#1450a0\" = \"#0f4c9a\" } or { \"#1450a0\" = \"lab 32.5 10 -44\" }".to_owned(),
            ),
        }
    }
    stated.sort_by_key(|stated| stated.file);
    stated
}

/// `#rrggbb`.
fn hex(text: &str) -> Option<[u8; 3]> {
    let digits = text.trim().strip_prefix('#')?;
    let number = u32::from_str_radix(digits, 16).ok().filter(|_| digits.len() == 6 && digits.is_ascii())?;
    let [_, r, g, b] = number.to_be_bytes();
    Some([r, g, b])
}

/// `lab L a b`: lightness 0 to 100, the others within ±160.
fn lab(text: &str) -> Option<Lab> {
    let numbers: Vec<f64> =
        text.strip_prefix("lab")?.split_whitespace().map(|n| n.parse().ok()).collect::<Option<_>>()?;
    let [l, a, b] = <[f64; 3]>::try_from(numbers).ok()?;
    ((0.0..=100.0).contains(&l) && a.abs() <= 160.0 && b.abs() <= 160.0).then_some(Lab { l, a, b })
}

#[cfg(test)]
mod tests {
    use crate::form::read_order;

    fn order(stated: &str) -> String {
        format!(
            "version = 1\ncustomer = \"Kite crew\"\ndue = \"2026-12-18\"\n[[line]]\ngarment = \"tote\"\ncolour = \"natural\"\n\
             sizes = {{ \"one size\" = 1 }}\n[[line.print]]\nart = \"kite.svg\"\nposition = \"tote\"\nwidth = \"90 mm\"\n\
             stated-colours = {{ {stated} }}\n"
        )
    }

    #[test]
    fn stated_colours_are_read_or_refused_with_their_place() {
        let text = order("\"#1450a0\" = \"lab 32.5 10 -44\", \"#ff0000\" = \"#c01020\"");
        let read = read_order("order.toml", &text).expect("an order");
        let stated = &read.lines[0].prints[0].stated;
        assert_eq!((stated[0].file, stated[0].meant.l, stated[0].meant.b), ([0x14, 0x50, 0xa0], 32.5, -44.0));
        assert_eq!(stated[1].meant, art::Lab::of([0xc0, 0x10, 0x20]));
        for wrong in ["\"#1450a0\" = \"river blue\"", "\"blue\" = \"#0000ff\"", "\"#1450a0\" = \"lab 132 0 0\""] {
            assert_eq!(read_order("order.toml", &order(wrong)).expect_err("a refusal").len(), 1, "{wrong}");
        }
    }
}
