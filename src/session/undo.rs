//! What counts: undo and redo are entries too.

use super::Session;
use crate::journal::{Entry, Event};

/// Places of entries that count, and the numbers that redo would bring back, newest last.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Live {
    /// Places in the log, oldest first.
    pub(super) counted: Vec<usize>,
    /// Undone and not overtaken by anything newer.
    pub(super) redo: Vec<u64>,
}

/// Works out what counts, in one pass.
pub(super) fn live(log: &[Entry]) -> Live {
    let mut off = std::collections::BTreeSet::new();
    let mut redo: Vec<u64> = Vec::new();
    for entry in log {
        match &entry.event {
            // the first plan stays: without it there is no job
            Event::Undone { seq: ..=1 } => {}
            Event::Undone { seq } => {
                off.insert(*seq);
                redo.push(*seq);
            }
            Event::Redone { seq } => {
                off.remove(seq);
                redo.retain(|held| held != seq);
            }
            other if other.can_undo() => redo.clear(),
            _ => {}
        }
    }
    let counted = log
        .iter()
        .enumerate()
        .filter(|(_, entry)| {
            !off.contains(&entry.seq)
                && !matches!(entry.event, Event::Undone { .. } | Event::Redone { .. })
        })
        .map(|(at, _)| at)
        .collect();
    Live { counted, redo }
}

/// True when the one is the decision that brought the other, a plan.
fn decides(decided: &Entry, plan: &Entry) -> bool {
    matches!(decided.event, Event::Decided { .. })
        && matches!(plan.event, Event::Plan { .. })
        && plan.seq == decided.seq + 1
}

impl Session {
    /// The entry that undo would take back: the newest that counts. The first plan stays.
    #[must_use]
    pub fn undo_target(&self) -> Option<&Entry> {
        let live = live(&self.log);
        live.counted
            .iter()
            .rev()
            .filter_map(|at| self.log.get(*at))
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
            let live = live(&self.log);
            let mut before = live.counted.iter().rev().filter_map(|at| self.log.get(*at));
            let decided = before.find(|entry| entry.seq < newest.seq);
            out.extend(decided.filter(|entry| decides(entry, newest)));
        }
        out
    }

    /// What one redo brings back, oldest first: a decision and the plan it brought go together.
    #[must_use]
    pub fn redo_targets(&self) -> Vec<&Entry> {
        let redo = live(&self.log).redo;
        let find = |seq: &u64| self.log.iter().find(|entry| entry.seq == *seq);
        let mut last = redo.iter().rev().filter_map(find);
        let Some(newest) = last.next() else {
            return Vec::new();
        };
        let plan = last.next().filter(|plan| decides(newest, plan));
        std::iter::once(newest).chain(plan).collect()
    }

    /// The text that the plan file had when it was last taken: decisions change the plan in force,
    /// not the file.
    #[must_use]
    pub fn file_hash(&self) -> u32 {
        let live = live(&self.log);
        let mut counted = live.counted.iter().filter_map(|at| self.log.get(*at));
        let mut before: Option<&Entry> = None;
        let mut hash = self.plan_hash;
        for entry in counted.by_ref() {
            if let Event::Plan { hash: own, .. } = &entry.event
                && !before.is_some_and(|before| decides(before, entry))
            {
                hash = *own;
            }
            before = Some(entry);
        }
        hash
    }

    /// The entry that redo would bring back.
    #[must_use]
    pub fn redo_target(&self) -> Option<&Entry> {
        let seq = *live(&self.log).redo.last()?;
        self.log.iter().find(|entry| entry.seq == seq)
    }
}
