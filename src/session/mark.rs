//! States along the way to the one in hand, so that taking an entry back costs what it changed and not
//! the whole log. They are kept in memory only: the journal is the truth.

use super::Session;
use super::marks::{Mark, gap};

/// A step with more clocks than this is too heavy to be kept behind every entry.
const CLOCKS: usize = 200;

impl Session {
    /// Keeps the state as it is, behind so many entries that count.
    pub(super) fn mark(&mut self, at: usize, looked_ahead: bool) {
        if self.step.timers.len() > CLOCKS && !at.is_multiple_of(1024) {
            return;
        }
        let state = Box::new(self.bare());
        self.marks.push(Mark {
            at,
            state,
            looked_ahead,
        });
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
