//! The review of a plan file: reading, walking and weighing it against its goal, together.

use super::{Diagnostic, Level, Plan, Walk, file, review};

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
        if self.errors() > 0 {
            return None;
        }
        self.plan.zip(self.walk)
    }

    /// How many errors were found.
    #[must_use]
    pub fn errors(&self) -> usize {
        self.count(Level::Error)
    }

    /// How many oddities were found.
    #[must_use]
    pub fn warnings(&self) -> usize {
        self.count(Level::Warning)
    }

    fn count(&self, level: Level) -> usize {
        self.found.iter().filter(|one| one.level == level).count()
    }
}

/// Reads and walks a plan file.
///
/// When some steps cannot be read, the steps before them are walked all the same: impossible sizes
/// and misspelt keys show together.
#[must_use]
pub fn check(text: &str) -> Checked {
    let draft = file::draft(text);
    let mut found = draft.found;
    let walk = draft.plan.as_ref().map(|plan| {
        let walk = super::dry_run(plan, 0, &plan.first_billet());
        found.extend(walk.found.iter().cloned());
        if draft.whole {
            found.extend(review::review(plan, &walk));
        }
        walk
    });
    found.sort_by_key(|one| (one.level, one.place));
    let whole = draft.whole;
    Checked {
        plan: draft.plan.filter(|_| whole),
        walk: walk.filter(|_| whole),
        found,
    }
}
