//! States along the way to the one in hand, so that taking an entry back costs what it changed and not
//! the whole log. They are kept in memory only: the journal is the truth.

use super::Session;

/// Marks are thinned after so many more.
const THIN_AFTER: usize = 16;
/// A step with more clocks than this is too heavy to be kept behind every entry.
const CLOCKS: usize = 200;

/// The state behind the first entries that count.
#[derive(Debug, Clone)]
pub(super) struct Mark {
    /// How many of them.
    at: usize,
    /// What they come to; without log and marks.
    state: Box<Session>,
    /// Its steps to come were run.
    pub(super) looked_ahead: bool,
}

/// Oldest first.
#[derive(Debug, Clone, Default)]
pub(super) struct Marks {
    held: Vec<Mark>,
    added: usize,
}

/// How far apart marks lie so many entries back: near ones close, far ones wide.
fn gap(back: usize) -> usize {
    (back / 8).max(1)
}

impl Marks {
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
    pub(super) fn back_to(&mut self, at: usize) -> Option<Mark> {
        self.held.retain(|mark| mark.at <= at);
        self.held.last().cloned()
    }
}

impl Mark {
    pub(super) fn into_parts(self) -> (usize, Session) {
        (self.at, *self.state)
    }
}

impl Session {
    /// Keeps the state as it is, behind so many entries that count.
    pub(super) fn mark(&mut self, at: usize, looked_ahead: bool) {
        if self.step.timers.len() > CLOCKS && !at.is_multiple_of(1024) {
            return;
        }
        let state = Box::new(self.bare());
        self.marks.held.push(Mark {
            at,
            state,
            looked_ahead,
        });
        self.marks.added += 1;
        if self.marks.added >= THIN_AFTER {
            self.marks.thin(at);
        }
    }

    /// As [`Session::mark`], on the way to `all` entries: only where the mark will be of use.
    pub(super) fn mark_on_the_way(&mut self, at: usize, all: usize) {
        let back = all.saturating_sub(at);
        let apart = gap(back).next_power_of_two();
        if at > 0 && at.is_multiple_of(apart) {
            self.mark(at, false);
        }
    }

    /// A copy of what the log comes to, without the log.
    pub(super) fn bare(&mut self) -> Self {
        let log = std::mem::take(&mut self.log);
        let counts = std::mem::take(&mut self.counts);
        let marks = std::mem::take(&mut self.marks);
        let known = self.known.take();
        let copy = self.clone();
        (self.log, self.counts, self.marks, self.known) = (log, counts, marks, known);
        copy
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::{Entry, Event, Fire};
    use crate::plan::StepId;
    use crate::units::Stamp;

    /// A job of notes, fire and readings, taken one by one.
    fn long(entries: u64) -> Session {
        let text = include_str!("../../plans/three-layer.toml").to_owned();
        let hash = crc32fast::hash(text.as_bytes());
        let step = StepId("prepare-1".into());
        let entry = |seq, event| Entry {
            seq,
            at: Stamp(1_772_438_400_000 + i64::try_from(seq).unwrap() * 7000),
            event,
        };
        let mut session = Session::fold(vec![entry(1, Event::Plan { hash, text })]).unwrap();
        for seq in 2..=entries {
            let step = step.clone();
            let event = match seq % 3 {
                0 => Event::Note {
                    step,
                    text: seq.to_string(),
                },
                1 => Event::Fire {
                    step,
                    now: if seq % 2 == 0 { Fire::In } else { Fire::Out },
                },
                _ => Event::Drank,
            };
            session.take(entry(seq, event)).unwrap();
        }
        session
    }

    fn whole(mut session: Session) -> String {
        format!("{:?}", session.without_log())
    }

    #[test]
    fn a_mark_lies_near_whatever_is_taken_back_and_there_are_few() {
        let taken = long(3000);
        let folded = Session::fold(taken.log().to_vec()).unwrap();
        for session in [taken, folded] {
            assert!(
                session.marks.held.len() < 120,
                "{}",
                session.marks.held.len()
            );
            for back in [1, 2, 5, 30, 200, 1500] {
                let to = 3000 - back;
                let near = session.marks.held.iter().rev().find(|mark| mark.at <= to);
                let apart = to - near.unwrap().at;
                assert!(
                    apart <= back / 4 + 1,
                    "{back} back: {apart} to be folded anew"
                );
            }
        }
    }

    #[test]
    fn an_entry_taken_back_or_brought_back_anywhere_leaves_what_a_whole_fold_gives() {
        let mut session = long(700);
        for of in [700, 699, 300, 2, 700, 650, 300, 2, 2] {
            for event in [
                Event::Undone { seq: of },
                Event::Redone { seq: of },
                Event::Undone { seq: of },
            ] {
                let seq = session.seq + 1;
                let at = session.last.unwrap();
                session.take(Entry { seq, at, event }).unwrap();
                let folded = Session::fold(session.log().to_vec()).unwrap();
                assert_eq!(session.counts, folded.counts);
                assert!(whole(session.clone()) == whole(folded), "entry {of}");
            }
        }
    }
}
