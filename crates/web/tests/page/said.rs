//! Every phrase of the page stands in `words`, and none is left over.

use std::collections::BTreeSet;
use std::path::Path;
use units::UnitSystem;
use words::Speech;

fn keys_of(folder: &Path, keys: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            keys_of(&path, keys);
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("a source");
        for part in text.split("\"web.").skip(1) {
            let key: String =
                part.chars().take_while(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || *c == '-').collect();
            keys.insert(key);
        }
    }
}

#[test]
fn every_phrase_has_its_sentence_and_no_sentence_is_left_over() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut used = BTreeSet::new();
    keys_of(&root.join("src"), &mut used);
    keys_of(&root.join("templates"), &mut used);
    assert!(used.len() > 200, "the sources were read: {}", used.len());
    let known: BTreeSet<String> =
        Speech::english(UnitSystem::Metric).section("web").map(|(key, _)| key.to_owned()).collect();
    let silent: Vec<&String> = used.difference(&known).collect();
    let stray: Vec<&String> = known.difference(&used).collect();
    assert!(silent.is_empty() && stray.is_empty(), "without a sentence: {silent:?}; said nowhere: {stray:?}");
}
