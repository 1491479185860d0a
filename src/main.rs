//! The `loopwright` command.

use std::process::ExitCode;

/// A search asks for many small pieces of memory, which this gives sooner.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    loopwright::commands::run(std::env::args_os()).into()
}
