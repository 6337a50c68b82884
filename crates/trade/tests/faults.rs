//! What is wrong in a file is told with file, line, and what was probably meant.

use std::path::Path;
use trade::form::{self, FormFault, ShopFile};

fn demo() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/shop");
    form::FILE_NAMES
        .iter()
        .map(|name| ((*name).to_owned(), std::fs::read_to_string(folder.join(name)).expect(name)))
        .collect()
}

fn faults(files: &[(String, String)]) -> Vec<FormFault> {
    let files: Vec<ShopFile<'_>> = files.iter().map(|(name, text)| ShopFile { name, text }).collect();
    form::read(&files).err().unwrap_or_default()
}

/// The demo with one text of one file replaced (its first place), and the line of that place.
fn spoiled(file: &str, old: &str, new: &str) -> (Vec<(String, String)>, usize) {
    let mut files = demo();
    let text = &mut files.iter_mut().find(|(name, _)| name == file).expect(file).1;
    let at = text.find(old).unwrap_or_else(|| panic!("{file} has no {old:?}"));
    let line = text[..at].matches('\n').count() + 1;
    *text = text.replacen(old, new, 1);
    (files, line)
}

/// File, what is replaced by what, words of the fault and of its remedy.
const CASES: &[(&str, &str, &str, &str, &str)] = &[
    (
        "transfers.toml",
        "temperature = \"155",
        "temprature = \"155",
        "“temprature” is not a key of “transfer.recipe.step”",
        "Write “temperature”",
    ),
    ("transfers.toml", "kind = \"cut-film\"", "kind = \"cutfilm\"", "“cutfilm” is not a word", "Write “cut-film”"),
    (
        "transfers.toml",
        "kind = \"cut-film\"",
        "kind = \"wallpaper\"",
        "“wallpaper” is not a word",
        "Write one of: cut-film",
    ),
    (
        "transfers.toml",
        "[\"plain-roll-500\"]",
        "[\"plain-rol-500\"]",
        "there is no stock “plain-rol-500”",
        "Write “plain-roll-500”",
    ),
    (
        "stock.toml",
        "version = 1",
        "version = 1\n[[spare-transfer]]\ntransfer = \"sheet-powder\"\nart = \"k\"\nsha256 = \"12\"\nwidth = \"9 mm\"\nheight = \"9 mm\"\ncount = 1\nsince = \"2026-10-01\"\n",
        "this is not a SHA-256",
        "Write the 64 digits",
    ),
    (
        "stock.toml",
        "version = 1",
        "version = 1\n[[garment-on-hand]]\ngarment = \"tote-canvas\"\ncolour = \"no such\"\nsize = \"one size\"\ncount = 1\n",
        "the style does not come in this colour",
        "Write it as garments.toml does",
    ),
    ("stock.toml", "weeding = \"frame\"", "weeding = \"frames\"", "“frames” is not a word", "Write “frame”"),
    ("stock.toml", "overlap = \"0.5 mm\"", "overlap = \"50 mm\"", "“50 mm” is out of range", "Write 0 to 5 mm"),
    (
        "stock.toml",
        "largest-mb = 200",
        "largest-mb = -1",
        "-1 is out of range",
        "Write 0.01 to 100000 millions of bytes",
    ),
    ("stock.toml", "check-bar = true", "chek-bar = true", "“chek-bar” is not a key", "Write “check-bar”"),
    ("transfers.toml", "[\"plain-roll-500\"]", "[]", "there is no sheet or roll", "Name at least one"),
    (
        "stock.toml",
        "colour = \"sun yellow\"",
        "colour = \"sun yelow\"",
        "there is no film colour “sun yelow”",
        "Write “sun yellow”",
    ),
    ("stock.toml", "colour = \"sun yellow\", ", "", "in which colour", "Add colour ="),
    ("stock.toml", ", length = \"400 mm\"", "", "how long is it", "Add length ="),
    ("transfers.toml", "\"155 °C\"", "\"155\"", "“155” has no unit", "Write it like 150 °C"),
    ("transfers.toml", "\"155 °C\"", "155", "“transfer.recipe.step.temperature” is a whole number", "in quotes"),
    ("transfers.toml", "\"155 °C\"", "\"1e9 °C\"", "not a unit", "Use °C or °F"),
    ("transfers.toml", "\"155 °C\"", "\"700 °C\"", "“700 °C” is out of range", "Write 60 to 260 °C"),
    (
        "transfers.toml",
        "temperature = \"155 °C\"",
        "temperature = \"165 °C\"",
        "outside the maker's range",
        "lowest to the highest",
    ),
    ("transfers.toml", "dwell = \"12 s\"", "dwell = \"-12 s\"", "out of range", "Write 0.5 to 120 s"),
    ("transfers.toml", "dwell = \"12 s\"", "dwell = \"nan s\"", "does not begin with a number", "Write it like 15 s"),
    ("transfers.toml", "rgb = \"#1B1B1D\"", "rgb = \"black\"", "“black” is not a colour", "#1F4E9A"),
    (
        "transfers.toml",
        "spot-colours = 4",
        "spot-colours = 4\nfull-colour = true",
        "not clear which colours",
        "Give one of",
    ),
    ("transfers.toml", "spot-colours = 4", "spot-colours = -4", "out of range", "not below 0"),
    (
        "transfers.toml",
        "do = \"peel\"\npeel = \"hot\"",
        "do = \"set-aside\"",
        "does not say when the carrier comes off",
        "do = \"peel\"",
    ),
    ("cloths.toml", "70 % cotton", "60 % cotton", "the fibres sum to 90 %", "100 %"),
    ("cloths.toml", "100 % cotton", "100 % coton", "“coton” is not a fibre", "Write “cotton”"),
    ("cloths.toml", "100 % cotton", "-100 % cotton", "not a share of a fibre", "whole percent"),
    (
        "cloths.toml",
        "id = \"canvas-340\"",
        "id = \"canvas-240\"",
        "the cloth “canvas-240” is there twice",
        "its own id",
    ),
    ("cloths.toml", "id = \"canvas-340\"", "id = \"Canvas/../340\"", "cannot be used as an id", "small letters"),
    ("cloths.toml", "mass = \"240 g/m²\"\n", "", "“mass” is missing of “cloth”", "Add mass = \"180 g/m²\""),
    (
        "garments.toml",
        "cloth = \"canvas-240\"",
        "cloth = \"canvas-250\"",
        "there is no cloth “canvas-250”",
        "Write “canvas-240”",
    ),
    (
        "garments.toml",
        "finer = \"apron-heavy\"",
        "finer = \"apron-bib\"",
        "leads from “apron-bib” back to itself",
        "finest",
    ),
    (
        "garments.toml",
        "chest-width = \"700 mm\"",
        "chest-widht = \"700 mm\"",
        "“chest-widht” is not a key",
        "Write “chest-width”",
    ),
    ("garments.toml", "class = \"apron\"", "class = 3", "is a whole number", "in quotes"),
    (
        "presses.toml",
        "\"p-15x15\", \"p-11x15\"",
        "\"p-15x51\", \"p-11x15\"",
        "there is no platen “p-15x51”",
        "Write “p-15x15”",
    ),
    ("presses.toml", "conductivity-w-mk = 0.09", "conductivity-w-mk = nan", "out of range", "W/mK"),
    ("presses.toml", "diameter = \"5 in\"", "width = \"5 in\"", "no clear size", "width and depth"),
    ("shop.toml", "currency = \"EUR\"", "currency = \"EUX\"", "“EUX” is not a currency", "Write “EUR”"),
    ("shop.toml", "margin = \"42 %\"", "margin = \"100 %\"", "out of range", "Write 0 to 99 %"),
    (
        "shop.toml",
        "labour-per-hour = \"26.00\"",
        "labour-per-hour = \"26.001\"",
        "not an amount in EUR",
        "at most 2 decimals",
    ),
    ("shop.toml", "labour-per-hour = \"26.00\"", "labour-per-hour = \"-26.00\"", "out of range", "0 or more"),
    ("shop.toml", "labour-per-hour = \"26.00\"", "labour-per-hour = 26", "is a whole number", "in quotes"),
    ("shop.toml", "ladder = [6, 12", "ladder = [12, 6", "not a rising list", "[6, 12"),
    ("shop.toml", "\"2026-12-25\"", "\"2026-02-30\"", "is not a day", "2026-12-24"),
    ("shop.toml", "from = \"08:30\"", "from = \"18:30\"", "work ends before it begins", "earlier"),
    ("shop.toml", "days = [\"friday\"]", "days = [\"monday\"]", "a day is there twice", "once"),
    ("shop.toml", "version = 1", "version = 2", "version of the form", "version = 1"),
    (
        "suppliers.toml",
        "from = \"0\", price = \"7.90\"",
        "from = \"5\", price = \"7.90\"",
        "does not begin at a goods value of 0",
        "from = \"0\"",
    ),
    ("suppliers.toml", "from = \"60.00\"", "from = \"0.00\"", "do not rise", "rising"),
    ("stock.toml", "margin = \"6 mm\"", "margin = \"160 mm\"", "nothing to print on", "less than the width"),
    ("stock.toml", "reading = \"reversed\"\n", "", "makes of this film differ", "reading = \"right\""),
    ("stock.toml", "maximum = \"10 m\"", "maximum = \"10 mm\"", "shorter than the least", "maximum"),
    ("stock.toml", "{ from = 20, price = \"5.90\" }", "{ from = 5, price = \"5.90\" }", "do not rise", "rising"),
    (
        "suppliers.toml",
        "rush = { production-days = 0, transit-days = 1, charge = \"12.00\"",
        "rush = { production-days = 3, transit-days = 1, charge = \"12.00\"",
        "rush is no faster than the usual delivery",
        "Give it fewer working days",
    ),
    (
        "garments.toml",
        "substitutes = [\"tote-heavy\"]",
        "substitutes = [\"tote-canvas\"]",
        "a style stands in for itself",
        "Name other styles",
    ),
    (
        "garments.toml",
        "substitutes = [\"tote-heavy\"]",
        "held = [{ colour = \"sand\", size = \"one size\" }]",
        "does not come in “sand”",
        "Name one of its colours",
    ),
    (
        "garments.toml",
        "substitutes = [\"tote-heavy\"]",
        "held = [{ colour = \"natural\", size = \"one size\", on-hand = 2000000 }]",
        "2000000 is out of range",
        "Write 0 to 1000000",
    ),
];

#[test]
fn each_fault_has_its_place_and_remedy() {
    for (file, old, new, what, remedy) in CASES {
        let (files, line) = spoiled(file, old, new);
        let found = faults(&files);
        let told = found.iter().find(|fault| fault.what.contains(what) && fault.remedy.contains(remedy));
        let told = told.unwrap_or_else(|| panic!("{file}: {new:?} gives {found:#?}"));
        assert_eq!(told.file, *file, "{new:?}");
        // Some are told at their table or at the item's first line.
        let near = told.line.abs_diff(line) <= 14;
        assert!(near, "{new:?} stands at line {line}, told at {}", told.line);
    }
}

/// The line and column are those of the mistyped text itself.
#[test]
fn a_mistyped_key_is_found_to_the_letter() {
    let (files, line) = spoiled("transfers.toml", "temperature = \"155", "temprature = \"155");
    let found = faults(&files);
    assert_eq!((found[0].line, found[0].column), (line, 1), "{found:#?}");
    let said = found[0].to_string();
    assert!(said.starts_with(&format!("transfers.toml, line {line}, column 1: “temprature” is not a key")), "{said}");
}

#[test]
fn all_faults_of_all_files_come_at_once() {
    let (mut files, _) = spoiled("cloths.toml", "70 % cotton", "60 % cotton");
    for (file, old, new) in [
        ("shop.toml", "units = \"metric\"", "units = \"metrik\""),
        ("garments.toml", "dye = \"dark\"", "dye = \"drak\""),
    ] {
        let text = &mut files.iter_mut().find(|(name, _)| name == file).expect(file).1;
        *text = text.replacen(old, new, 1);
    }
    let told: Vec<String> = faults(&files).into_iter().map(|fault| fault.file).collect();
    assert_eq!(told, ["cloths.toml", "garments.toml", "shop.toml"]);
}

#[test]
fn missing_strange_and_broken_files_are_named() {
    let mut files = demo();
    files.retain(|(name, _)| name != "stock.toml" && name != "suppliers.toml");
    files.push(("stok.toml".to_owned(), String::new()));
    let found = faults(&files);
    assert!(found.iter().any(|fault| fault.file == "stock.toml" && fault.what.contains("missing")), "{found:#?}");
    assert!(found.iter().any(|fault| fault.file == "stok.toml" && fault.remedy == "Write “stock.toml”"), "{found:#?}");

    let (files, line) = spoiled("cloths.toml", "mass = \"340", "mass = 340");
    let found = faults(&files);
    assert!(found.iter().any(|fault| fault.file == "cloths.toml" && fault.line == line), "{found:#?}");
    let hostile = [("shop.toml".to_owned(), "x = \"\u{1b}[31m\u{7}\"\n".repeat(5000))];
    for fault in faults(&hostile) {
        assert!(!fault.to_string().chars().any(char::is_control), "{fault:?}");
    }
}

/// The published schema names every file and every key that the demo uses.
#[test]
fn the_schema_is_json_and_complete() {
    let schema: serde_json::Value = serde_json::from_str(&form::schema()).expect("JSON");
    for name in form::FILE_NAMES {
        assert!(schema.pointer(&format!("/properties/{name}")).is_some(), "{name}");
    }
    assert!(schema.to_string().contains("\"temperature-low\""));
}
