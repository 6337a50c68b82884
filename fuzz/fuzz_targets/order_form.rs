//! An order file that says anything at all is read or refused, never more.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Err(faults) = plan::form::read_order("order.toml", text) {
        assert!(!faults.is_empty(), "a refusal says why");
    }
});
