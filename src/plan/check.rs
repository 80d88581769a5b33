//! The review of a plan file: reading and walking together.

use super::{Diagnostic, Plan, Walk};

/// A reviewed file.
#[derive(Debug, Clone)]
pub struct Checked {
    /// The plan, when the text could be read.
    pub plan: Option<Plan>,
    /// The dry run, when there is a plan.
    pub walk: Option<Walk>,
    /// Everything found, errors first, by line.
    pub found: Vec<Diagnostic>,
}

impl Checked {
    /// The plan and its walk, when nothing stands against working it.
    #[must_use]
    pub fn sound(self) -> Option<(Plan, Walk)> {
        if self.found.iter().any(|d| d.level == super::Level::Error) {
            return None;
        }
        self.plan.zip(self.walk)
    }
}

/// Reads and walks a plan file.
#[must_use]
pub fn check(text: &str) -> Checked {
    match super::read(text) {
        Ok((plan, mut found)) => {
            let walk = super::dry_run(&plan, 0, &plan.first_billet());
            found.extend(walk.found.iter().cloned());
            found.sort_by_key(|d| (d.level, d.place));
            Checked {
                plan: Some(plan),
                walk: Some(walk),
                found,
            }
        }
        Err(mut found) => {
            found.sort_by_key(|d| (d.level, d.place));
            Checked {
                plan: None,
                walk: None,
                found,
            }
        }
    }
}
