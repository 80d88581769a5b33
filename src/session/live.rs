//! What of a log counts: undo and redo are entries too.

use crate::journal::{Entry, Event};

/// Places of entries that count, and the numbers that redo would bring back, newest last.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Live {
    /// Places in the log, oldest first.
    pub(super) counted: Vec<usize>,
    /// Undone and not overtaken by anything newer.
    pub(super) redo: Vec<u64>,
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
