//! The `loopwright` command.

fn main() {}
