//! See `doors.rs` for what must hold.
#![no_main]

#[path = "../../crates/bondline/tests/doors/doors.rs"]
mod doors;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| doors::order_form(bytes));
