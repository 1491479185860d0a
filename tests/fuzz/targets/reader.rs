//! Any text, read as a design or a catalogue and complained about.
#![no_main]

#[path = "../exercise.rs"]
mod exercise;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    exercise::reader(bytes);
});
