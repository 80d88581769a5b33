//! `anvilside check PLAN`: errors, warnings, and the step table.

use std::path::Path;

use super::{FOUND, out};
use crate::plan::{Level, check};

/// Prints the review; 0 when the plan can be worked, 1 when it has errors.
pub(super) fn run(plan: &Path, json: bool) -> u8 {
    let text = match super::work::plan_text(plan) {
        Ok(text) => text,
        Err(why) => {
            out::complain(&why);
            return FOUND;
        }
    };
    let checked = check(&text);
    let bad = checked
        .found
        .iter()
        .any(|found| found.level == Level::Error);
    let _ = json;
    for found in &checked.found {
        out::complain(&format!("{}:{found}", plan.display()));
    }
    u8::from(bad)
}
