//! Any text, read as a quantity of every dimension.
#![no_main]

#[path = "../exercise.rs"]
mod exercise;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    exercise::quantities(bytes);
});
