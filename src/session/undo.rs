//! What counts: undo and redo are entries too.

use super::Session;
use crate::journal::{Entry, Event};

/// True for entries that a smith can take back.
fn can_undo(event: &Event) -> bool {
    match event {
        Event::Opened { .. } | Event::Closed | Event::LegalRead => false,
        Event::Undone { .. } | Event::Redone { .. } => false,
        Event::Plan { .. }
        | Event::Caution { .. }
        | Event::Fire { .. }
        | Event::Timer { .. }
        | Event::TimerDone { .. }
        | Event::Measured { .. }
        | Event::Unmeasured { .. }
        | Event::Done { .. }
        | Event::Note { .. }
        | Event::Drank
        | Event::WatchBegan { .. }
        | Event::Decided { .. } => true,
    }
}

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
            Event::Undone { seq } => {
                off.insert(*seq);
                redo.push(*seq);
            }
            Event::Redone { seq } => {
                off.remove(seq);
                redo.retain(|held| held != seq);
            }
            other if can_undo(other) => redo.clear(),
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

impl Session {
    /// The entry that undo would take back: the newest that counts. The first plan stays.
    #[must_use]
    pub fn undo_target(&self) -> Option<&Entry> {
        let live = live(&self.log);
        live.counted
            .iter()
            .rev()
            .filter_map(|at| self.log.get(*at))
            .find(|entry| can_undo(&entry.event))
            .filter(|entry| entry.seq > 1)
    }

    /// The entry that redo would bring back.
    #[must_use]
    pub fn redo_target(&self) -> Option<&Entry> {
        let seq = *live(&self.log).redo.last()?;
        self.log.iter().find(|entry| entry.seq == seq)
    }
}
