//! States along the way, close behind the newest entry and far apart long before it.

/// Marks are thinned after so many more.
const THIN_AFTER: usize = 16;

/// The state behind the first entries that count.
#[derive(Debug, Clone)]
pub(super) struct Mark<S> {
    /// How many of them.
    pub(super) at: usize,
    /// What they come to; without log and marks.
    pub(super) state: Box<S>,
    /// Its steps to come were run.
    pub(super) looked_ahead: bool,
}

/// Oldest first.
#[derive(Debug, Clone)]
pub(super) struct Marks<S> {
    pub(super) held: Vec<Mark<S>>,
    added: usize,
}

impl<S> Default for Marks<S> {
    fn default() -> Self {
        Self {
            held: Vec::new(),
            added: 0,
        }
    }
}

/// How far apart marks lie so many entries back: near ones close, far ones wide.
pub(super) fn gap(back: usize) -> usize {
    (back / 8).max(1)
}

impl<S: Clone> Marks<S> {
    pub(super) fn push(&mut self, mark: Mark<S>) {
        let now = mark.at;
        self.held.push(mark);
        self.added += 1;
        if self.added >= THIN_AFTER {
            self.thin(now);
        }
    }

    /// Drops those whose neighbours lie close enough without them; the oldest stays.
    fn thin(&mut self, now: usize) {
        let mut kept = usize::MAX;
        let mut keep: Vec<bool> = Vec::with_capacity(self.held.len());
        let mut older = self.held.iter().rev().skip(1);
        for mark in self.held.iter().rev() {
            let spared = older.next().is_some_and(|older| {
                kept.saturating_sub(older.at) <= gap(now.saturating_sub(older.at))
            });
            if !spared {
                kept = mark.at;
            }
            keep.push(!spared);
        }
        let mut keep = keep.into_iter().rev();
        self.held.retain(|_| keep.next().unwrap_or(false));
        self.added = 0;
    }

    /// The newest mark behind no more than so many entries; later ones are dropped.
    pub(super) fn back_to(&mut self, at: usize) -> Option<Mark<S>> {
        self.held.retain(|mark| mark.at <= at);
        self.held.last().cloned()
    }
}
