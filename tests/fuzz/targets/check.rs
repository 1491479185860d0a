//! Any design, or one made worse, through every check.
#![no_main]

#[path = "../exercise.rs"]
mod exercise;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    exercise::check(bytes);
});
