//! Any `ADDRESS=VALUE` on a design that holds everything.
#![no_main]

#[path = "../exercise.rs"]
mod exercise;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    exercise::addresses(bytes);
});
