//! What counts: undo and redo are entries too.

use super::Session;
use crate::journal::{Entry, Event};

/// Places of entries that count, and the numbers that redo would bring back, newest last.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Live {
    /// Places in the log, oldest first.
    pub(super) counted: Vec<usize>,
    /// Undone and not overtaken by anything newer.
    redo: Vec<u64>,
}

impl Live {
    /// Of a whole log, in one pass.
    pub(super) fn of(log: &[Entry]) -> Self {
        let mut off = vec![false; log.len()];
        let mut redo = Redo::default();
        for (at, entry) in log.iter().enumerate() {
            let before = log.get(..at).unwrap_or_default();
            if let Some((place, is_off)) = redo.take(before, entry)
                && let Some(held) = off.get_mut(place)
            {
                *held = is_off;
            }
        }
        let places = off.iter().zip(log).enumerate();
        let counted = places.filter(|(_, (off, entry))| !**off && counts(&entry.event));
        Self {
            counted: counted.map(|(at, _)| at).collect(),
            redo: redo.0,
        }
    }

    /// One entry more, behind a log. Where it takes an earlier one back or brings one back: how many before
    /// that one count, which stay as they were.
    pub(super) fn take(&mut self, log: &[Entry], entry: &Entry) -> Option<usize> {
        let mut redo = Redo(std::mem::take(&mut self.redo));
        let moved = redo.take(log, entry);
        self.redo = redo.0;
        let Some((place, is_off)) = moved else {
            if counts(&entry.event) {
                self.counted.push(log.len());
            }
            return None;
        };
        match self.counted.binary_search(&place) {
            Ok(at) if is_off => {
                self.counted.remove(at);
                Some(at)
            }
            Err(at) if !is_off && log.get(place).is_some_and(|one| counts(&one.event)) => {
                self.counted.insert(at, place);
                Some(at)
            }
            _ => None,
        }
    }
}

/// The numbers that redo would bring back, newest last.
#[derive(Default)]
struct Redo(Vec<u64>);

impl Redo {
    /// The place that an entry behind a log takes out of what counts (true) or into it (false).
    fn take(&mut self, log: &[Entry], entry: &Entry) -> Option<(usize, bool)> {
        match &entry.event {
            // the first plan stays: without it there is no job
            Event::Undone { seq: ..=1 } => None,
            Event::Undone { seq } => {
                let place = place_of(log, *seq)?;
                self.0.push(*seq);
                Some((place, true))
            }
            Event::Redone { seq } => {
                self.0.retain(|held| held != seq);
                Some((place_of(log, *seq)?, false))
            }
            other => {
                if other.can_undo() {
                    self.0.clear();
                }
                None
            }
        }
    }
}

fn counts(event: &Event) -> bool {
    !matches!(event, Event::Undone { .. } | Event::Redone { .. })
}

pub(super) fn place_of(log: &[Entry], seq: u64) -> Option<usize> {
    log.binary_search_by_key(&seq, |entry| entry.seq).ok()
}

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

    /// The entry that redo would bring back.
    #[must_use]
    pub fn redo_target(&self) -> Option<&Entry> {
        self.to_redo().next()
    }
}
