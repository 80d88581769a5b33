//! `anvilside record PLAN`: the job's record as plain text.

use std::path::Path;

use super::{FOUND, out, status};

/// Prints the record; 0, or 1 when it cannot be told.
pub(super) fn run(plan: &Path) -> u8 {
    match status::load(plan) {
        Ok(session) => {
            out::say(&session.record());
            0
        }
        Err(why) => {
            out::complain(&why);
            FOUND
        }
    }
}
