//! Every code of every room has its sentence.

use report::Code;
use units::UnitSystem;
use words::Speech;

/// Rooms whose codes lie above this one, each with all it says.
const ROOMS: [(&str, &[Code]); 7] = [
    ("art", art::codes::ALL),
    ("nest", nest::codes::ALL),
    ("heat", heat::codes::ALL),
    ("schedule", schedule::codes::ALL),
    ("trade", trade::codes::ALL),
    ("garment", garment::codes::ALL),
    ("plan", plan::codes::ALL),
];

#[test]
fn every_code_has_its_sentence() {
    let speech = Speech::english(UnitSystem::Metric);
    let mut silent = Vec::new();
    for (room, codes) in ROOMS {
        assert!(!codes.is_empty(), "{room} lists no codes");
        for code in codes {
            assert!(code.0.starts_with(&format!("{room}.")), "{} is not of {room}", code.0);
            if !speech.knows(*code) {
                silent.push(code.0);
            }
        }
    }
    assert!(silent.is_empty(), "no sentence for {silent:?}");
}

#[test]
fn no_sentence_is_left_without_its_code() {
    let speech = Speech::english(UnitSystem::Metric);
    let mut stray = Vec::new();
    for (room, codes) in ROOMS {
        for (key, _) in speech.section(room) {
            let code = format!("{room}.{key}");
            if !codes.iter().any(|known| known.0 == code) {
                stray.push(code);
            }
        }
    }
    assert!(stray.is_empty(), "sentences nobody says: {stray:?}");
}
