//! The door of the layout room: any text, read as instance, layout and strip.
//! What is read is laid out and must come back good.
#![no_main]

use libfuzzer_sys::fuzz_target;
use nest::Settings;
use report::{Effort, Quiet, Seed};

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let read = [nest::form::read_instance(text), nest::form::read_strip(text)];
    for instance in read.into_iter().flatten() {
        let pieces: u64 = instance.designs.iter().map(|d| u64::from(d.quantity)).sum();
        let _ = nest::form::read_layout(&instance, text);
        if pieces > 40 || instance.designs.len() > 6 {
            continue;
        }
        let settings = Settings { effort: Effort(2_000), seed: Seed(1), threads: 1 };
        if let Ok(outcome) = nest::solve(&instance, &settings, &mut Quiet) {
            assert!(nest::check(&instance, &outcome.value).good());
            let again = nest::form::write_instance(&instance);
            assert_eq!(nest::form::read_instance(&again).as_ref(), Ok(&instance));
        }
    }
});
