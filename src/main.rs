//! Calls `cli::main` and returns its exit code; nothing else.

fn main() -> std::process::ExitCode {
    facelay::cli::main()
}
