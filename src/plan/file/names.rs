//! The steels of the job by the plan's names for them.

use crate::plan::PlanSteel;
use crate::units::near;

/// The steels of the job.
#[derive(Debug, Default)]
pub(super) struct Steels {
    pub(super) list: Vec<PlanSteel>,
    /// False when a steel could not be read: other tables then do not call its name unknown.
    pub(super) sound: bool,
    /// Names that stand in the table, read or not.
    pub(super) names: Vec<String>,
    /// Names of the plan's bars, where it has several.
    pub(super) bars: Vec<String>,
}

impl Steels {
    /// The place of a steel by the plan's name for it.
    pub(super) fn find(&self, name: &str) -> Option<usize> {
        self.list.iter().position(|steel| steel.key == name)
    }

    /// True when the table names it, even if it could not be read.
    pub(super) fn names(&self, name: &str) -> bool {
        self.names.iter().any(|known| known == name)
    }

    /// What to write instead of an unknown name.
    pub(super) fn remedy(&self, wrong: &str) -> String {
        // One letter is as near to another as to any: then all of them are listed.
        let long = self.names.iter().filter(|name| name.len() > 2);
        if let Some(near) = near::nearest(wrong, long.map(String::as_str)) {
            return format!("write {near}");
        }
        let all = self.names.join(", ");
        format!("write one of {all}, or add '{wrong}' to [steels]")
    }
}
