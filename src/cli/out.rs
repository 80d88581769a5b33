//! Words to standard output and standard error that never panic: a closed pipe ends quietly.

use std::io::Write;

/// To standard output.
pub(super) fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = writeln!(out, "{}", text.trim_end_matches('\n'));
    let _ = out.flush();
}

/// To standard error.
pub(super) fn complain(text: &str) {
    let mut out = std::io::stderr().lock();
    let _ = writeln!(out, "{}", text.trim_end_matches('\n'));
    let _ = out.flush();
}
