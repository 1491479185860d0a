//! Small designs, thrown and made worse, all the way to the pages.
#![no_main]

#[path = "../exercise.rs"]
mod exercise;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    exercise::solve(bytes);
});
