//! Any bytes through the heat forms: an answer or a refusal, never a panic,
//! never a hang.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    for read in [heat::form::run, heat::form::cool, heat::form::window, heat::form::calibrate] {
        let _ = read(text);
    }
    // The two that simulate most are read only when the text names what they alone take.
    if text.contains("\"plate\"") {
        let _ = heat::form::platen(text);
    }
    if text.contains("\"doubt\"") {
        let _ = heat::form::dwell(text);
    }
});
