//! The real program, run in a folder of its own.

use std::path::Path;
use std::process::{Command, Output};

/// Runs it to its end.
pub fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_anvilside"))
        .args(args)
        .current_dir(folder)
        .env("ANVILSIDE_STATE", folder.join("state"))
        .output()
        .unwrap()
}

/// All that it printed.
pub fn text(out: &Output) -> String {
    String::from_utf8([out.stdout.clone(), out.stderr.clone()].concat()).unwrap()
}
