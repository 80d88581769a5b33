//! What undo takes back and redo brings back.

use super::Session;
use super::live::place_of;
use crate::journal::{Entry, Event};

/// True when the one is the decision that brought the other, a plan.
fn decides(decided: &Entry, plan: &Entry) -> bool {
    matches!(decided.event, Event::Decided { .. })
        && matches!(plan.event, Event::Plan { .. })
        && plan.seq == decided.seq + 1
}

impl Session {
    /// The entries that count, newest first.
    fn back(&self) -> impl Iterator<Item = &Entry> {
        let places = self.counts.counted.iter().rev();
        places.filter_map(|at| self.log.get(*at))
    }

    /// The entries that count, oldest first.
    pub(super) fn in_force(&self) -> impl Iterator<Item = &Entry> {
        let places = self.counts.counted.iter();
        places.filter_map(|at| self.log.get(*at))
    }

    /// The entry that undo would take back: the newest that counts. The first plan stays.
    #[must_use]
    pub fn undo_target(&self) -> Option<&Entry> {
        self.back()
            .find(|entry| entry.event.can_undo())
            .filter(|entry| entry.seq > 1)
    }

    /// What one undo takes back, newest first: a decision and the plan it brought go together.
    #[must_use]
    pub fn undo_targets(&self) -> Vec<&Entry> {
        let Some(newest) = self.undo_target() else {
            return Vec::new();
        };
        let mut out = vec![newest];
        if matches!(newest.event, Event::Plan { .. }) {
            let decided = self.back().find(|entry| entry.seq < newest.seq);
            out.extend(decided.filter(|entry| decides(entry, newest)));
        }
        out
    }

    /// What one redo brings back, oldest first: a decision and the plan it brought go together.
    #[must_use]
    pub fn redo_targets(&self) -> Vec<&Entry> {
        let mut last = self.to_redo();
        let Some(newest) = last.next() else {
            return Vec::new();
        };
        let plan = last.next().filter(|plan| decides(newest, plan));
        std::iter::once(newest).chain(plan).collect()
    }

    fn to_redo(&self) -> impl Iterator<Item = &Entry> {
        let places = self.counts.redo.iter().rev();
        let places = places.filter_map(|seq| place_of(&self.log, *seq));
        places.filter_map(|at| self.log.get(at))
    }

    /// The text that the plan file had when it was last taken: decisions change the plan in force,
    /// not the file.
    #[must_use]
    pub fn file_hash(&self) -> u32 {
        let mut before: Option<&Entry> = None;
        let mut hash = self.plan_hash;
        for entry in self.in_force() {
            if let Event::Plan { hash: own, .. } = &entry.event
                && !before.is_some_and(|before| decides(before, entry))
            {
                hash = *own;
            }
            before = Some(entry);
        }
        hash
    }

    /// What was decided since the plan file was last taken, oldest first: it stands over the file, and is not
    /// in it.
    #[must_use]
    pub fn over_the_file(&self) -> Vec<&str> {
        let mut before: Option<&Entry> = None;
        let mut out = Vec::new();
        for entry in self.in_force() {
            if matches!(entry.event, Event::Plan { .. }) {
                match before.map(|before| &before.event) {
                    Some(Event::Decided { what, .. }) => out.push(what.as_str()),
                    _ => out.clear(),
                }
            }
            before = Some(entry);
        }
        out
    }

    /// The entry that redo would bring back.
    #[must_use]
    pub fn redo_target(&self) -> Option<&Entry> {
        self.to_redo().next()
    }
}
