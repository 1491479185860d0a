//! The `loopwright` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    loopwright::commands::run(std::env::args_os()).into()
}
