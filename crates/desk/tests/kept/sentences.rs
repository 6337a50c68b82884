//! Every code of the desk has its sentence, and every sentence its code.

use desk::codes;
use units::UnitSystem;
use words::Speech;

#[test]
fn every_code_of_the_desk_has_its_sentence() {
    let speech = Speech::english(UnitSystem::Metric);
    let silent: Vec<&str> = codes::ALL.iter().filter(|code| !speech.knows(**code)).map(|code| code.0).collect();
    assert!(silent.is_empty(), "no sentence for {silent:?}");
    let known = |key: &str| codes::ALL.iter().any(|code| code.0 == format!("desk.{key}"));
    let stray: Vec<&str> = speech.section("desk").map(|(key, _)| key).filter(|key| !known(key)).collect();
    assert!(stray.is_empty(), "sentences nobody says: {stray:?}");
}
