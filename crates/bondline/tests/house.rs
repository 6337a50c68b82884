//! The house keeps its order: rooms use only those above them, nothing is
//! unsafe, every room says what it is for, no leftovers.

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in reading order: a room may use those above it, never one below.
const ROOMS: [&str; 18] = [
    "units", "geometry", "report", "art", "nest", "heat", "schedule", "trade", "garment", "plan", "drawing", "words",
    "sheets", "papers", "store", "desk", "web", "bondline",
];

fn crates() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

#[test]
fn no_room_uses_one_below_it() {
    let mut folders: Vec<String> = fs::read_dir(crates())
        .expect("the rooms' folder")
        .map(|entry| entry.expect("a room").file_name().to_string_lossy().into_owned())
        .collect();
    folders.sort();
    let mut known: Vec<String> = ROOMS.iter().map(|room| (*room).to_owned()).collect();
    known.sort();
    assert_eq!(folders, known, "the list of rooms is the table of contents");
    let mut uses = 0;
    for (at, room) in ROOMS.iter().enumerate() {
        let manifest = fs::read_to_string(crates().join(room).join("Cargo.toml")).expect("a manifest");
        let manifest: toml::Table = manifest.parse().expect("TOML");
        for section in ["dependencies", "dev-dependencies", "build-dependencies"] {
            let Some(table) = manifest.get(section).and_then(toml::Value::as_table) else { continue };
            for used in table.keys() {
                let Some(place) = ROOMS.iter().position(|known| known == used) else { continue };
                uses += 1;
                assert!(place < at, "{room} uses {used}, which stands below it ({section})");
            }
        }
    }
    assert!(uses > 30, "the manifests were read: {uses} uses");
}

#[test]
fn engines_know_nothing_of_the_trade() {
    for engine in ["nest", "heat", "schedule"] {
        let manifest = fs::read_to_string(crates().join(engine).join("Cargo.toml")).expect("a manifest");
        let manifest: toml::Table = manifest.parse().expect("TOML");
        let used = manifest.get("dependencies").and_then(toml::Value::as_table).expect("dependencies");
        for stranger in ["trade", "garment", "plan", "art"] {
            assert!(!used.contains_key(stranger), "{engine} must not know {stranger}");
        }
    }
}

#[test]
fn every_source_file_is_safe_and_finished() {
    let mut seen = 0;
    let mut folders = vec![crates()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            if path.extension().is_none_or(|ending| ending != "rs") || path.ends_with("tests/house.rs") {
                continue;
            }
            seen += 1;
            check_source(&path);
        }
    }
    assert!(seen > 100, "the sources were read: {seen}");
}

fn check_source(path: &Path) {
    let text = fs::read_to_string(path).expect("a source file");
    for (line, number) in text.lines().zip(1..) {
        let code = line.split("//").next().unwrap_or("");
        let at = format!("{}:{number}", path.display());
        assert!(!code.contains("unsafe "), "{at}: no unsafe code of ours");
        for leftover in ["todo!(", "unimplemented!(", "dbg!("] {
            assert!(!code.contains(leftover), "{at}: {leftover} is left over");
        }
        for marker in ["TODO", "FIXME", "XXX"] {
            assert!(!line.contains(marker), "{at}: {marker} is left over; finish it or write it down as an issue");
        }
        for blanket in ["allow(warnings", "allow(clippy::all"] {
            assert!(!code.contains(blanket), "{at}: no blanket allow");
        }
    }
}

#[test]
fn every_room_says_what_it_is_for() {
    for room in ROOMS {
        let source = crates().join(room).join("src");
        let text = fs::read_to_string(source.join("lib.rs"))
            .or_else(|_| fs::read_to_string(source.join("main.rs")))
            .expect("a crate root");
        let intro: String = text.lines().take_while(|line| line.starts_with("//!")).collect();
        assert!(intro.len() > 80, "{room} opens with what it is for");
    }
}
