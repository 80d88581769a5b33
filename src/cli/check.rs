//! `anvilside check PLAN`: errors, warnings, and the step table.

use std::path::Path;

use super::{FOUND, out, shelf};
use crate::plan::{Blank, bands_by_scale, check, report};
use crate::shell::paths;
use crate::units::show;

/// Prints the review; 0 when the plan can be worked, 1 when it has errors or cannot be read.
pub(super) fn run(plan: &Path, json: bool) -> u8 {
    let text = match super::work::plan_text(plan) {
        Ok(text) => text,
        Err(why) => {
            out::complain(&why);
            return FOUND;
        }
    };
    let mut checked = check(&text);
    if let Some(found) = checked
        .plan
        .as_ref()
        .map(|found| shelf::review(plan, found))
    {
        checked.found.extend(found);
        checked.found.sort_by_key(|one| (one.level, one.place));
    }
    if json {
        out::json(&report::json(&checked));
    } else {
        let table = report::table(&checked);
        if !table.is_empty() {
            out::say(&format!("{table}\n"));
        }
        if let (Some(plan), Some(walk)) = (&checked.plan, &checked.walk) {
            if let Some(row) = walk.rows.last() {
                out::say(&format!(
                    "bands at the end: {}\n",
                    row.billet.counts().text()
                ));
            }
            if let Some((least, most)) = bands_by_scale(plan, walk) {
                out::say(&format!(
                    "bands by scale: {} to {} (estimate): how deep it eats decides over the outer ones\n",
                    show::count(least),
                    show::count(most)
                ));
            }
            if let Some(blank) = Blank::of(plan, walk) {
                out::say(&format!("blank: {}\n", blank.text(plan.units)));
            }
        }
        out::say(&report::findings(&checked, &paths::show(plan)));
    }
    if checked.errors() > 0 { FOUND } else { 0 }
}
