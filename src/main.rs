//! The `anvilside` program: everything happens in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    anvilside::cli::run(std::env::args_os())
}
