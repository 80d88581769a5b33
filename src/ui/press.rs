//! Glove rules: one press, one act.
//!
//! A terminal does not tell a held key from one pressed again and again: repeats are just presses.
//! So an act is taken only when the same key has been quiet for a while, longer than the delay
//! before a keyboard begins to repeat (commonly 250 to 660 ms). Characters of a number need only
//! be further apart than a bouncing contact.

use std::collections::BTreeMap;

use crate::units::Stamp;

/// A key, free of any terminal library's ideas. Number-pad keys arrive as the characters on them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Key {
    /// A character, space included.
    Char(char),
    /// Enter, also the number pad's.
    Enter,
    /// Rub out.
    Backspace,
    /// Back out.
    Esc,
    Up,
    Down,
    Left,
    Right,
    /// Tabulator.
    Tab,
    PageUp,
    PageDown,
    /// A key of the number pad that types no number, for its lock is off (or its like on the keyboard).
    PadUnlocked,
    /// Ctrl with C: leave.
    Interrupt,
}

/// One key press with both clocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Press {
    /// Which key.
    pub key: Key,
    /// The terminal says that it is a repeat of a held key.
    pub repeat: bool,
    /// Wall clock.
    pub at: Stamp,
    /// A clock that never jumps, milliseconds from any start.
    pub mono_ms: u64,
}

/// Quiet time before the same key acts again, where settings say nothing else, ms.
pub(super) const QUIET_MS: u64 = 700;
/// How many quiet times part two meanings of one key.
const PAUSES: u64 = 3;
/// Presses of one character closer than this are one bounce, ms.
const BOUNCE_MS: u64 = 35;
/// Presses of one key closer than this come from a held key: keyboards repeat 7 to 30 times a second
/// (common practice, no source), a hand presses 2 to 5 times.
const HELD_MS: u64 = 150;

/// What a press is for, and so how soon the same key may follow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pace {
    /// A character of a number or text.
    Typing,
    /// One of several answers in a row: a steady hand is followed, once in each quiet time.
    Answer,
    /// Something is done: the key must have been quiet before.
    Act,
}

impl Pace {
    /// Of a press that types or moves, or of one that does something.
    pub(super) fn of(typing: bool) -> Self {
        if typing { Self::Typing } else { Self::Act }
    }
}

/// When a key was last heard and last taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Heard {
    last: u64,
    taken: u64,
    held: bool,
}

/// Remembers when each key was last heard of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gate {
    quiet_ms: u64,
    heard: BTreeMap<Key, Heard>,
}

impl Gate {
    /// A gate with this quiet time for acts.
    #[must_use]
    pub fn new(quiet_ms: u64) -> Self {
        Self {
            quiet_ms,
            heard: BTreeMap::new(),
        }
    }

    /// True when the same key was heard too shortly before this press to mean something else by it:
    /// a rhythm of one key must not run on from an answer into a value, or from the card into the work.
    #[must_use]
    pub fn is_rhythm(&self, press: &Press) -> bool {
        let before = self.heard.get(&press.key);
        self.is_short(before.map(|heard| press.mono_ms.saturating_sub(heard.last)))
    }

    /// True for a span too short to part two meanings.
    #[must_use]
    pub fn is_short(&self, span: Option<u64>) -> bool {
        span.is_some_and(|ms| ms < PAUSES * self.quiet_ms)
    }

    /// True when this press is to be taken.
    pub(super) fn take(&mut self, press: &Press, pace: Pace) -> bool {
        let now = press.mono_ms;
        let before = self.heard.get(&press.key).copied();
        let gap = before.map(|heard| now.saturating_sub(heard.last));
        let quiet = gap.is_none_or(|gap| gap >= self.quiet_ms);
        let held = !quiet
            && (press.repeat
                || before.is_some_and(|heard| heard.held)
                || gap.is_some_and(|gap| gap < HELD_MS));
        let take = match pace {
            Pace::Typing => gap.is_none_or(|gap| gap >= BOUNCE_MS.min(self.quiet_ms)),
            Pace::Answer => {
                let rested =
                    before.is_none_or(|heard| now.saturating_sub(heard.taken) >= self.quiet_ms);
                !press.repeat && (quiet || rested && !held)
            }
            Pace::Act => !press.repeat && quiet,
        };
        let taken = before.filter(|_| !take).map_or(now, |heard| heard.taken);
        let heard = Heard {
            last: now,
            taken,
            held,
        };
        self.heard.insert(press.key, heard);
        take
    }

    /// True when the refused press was a quick one and not the repeat of a held key, which a smith is told.
    pub(super) fn was_quick(&self, press: &Press) -> bool {
        let heard = self.heard.get(&press.key);
        heard.is_some_and(|heard| !heard.held && !press.repeat)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn press(key: Key, mono_ms: u64) -> Press {
        Press {
            key,
            repeat: false,
            at: Stamp(0),
            mono_ms,
        }
    }

    #[test]
    fn a_key_held_for_ten_seconds_acts_once() {
        let mut gate = Gate::new(QUIET_MS);
        let mut taken = u32::from(gate.take(&press(Key::Char(' '), 0), Pace::Act));
        let repeats =
            std::iter::successors(Some(500), |at| Some(at + 33)).take_while(|at| *at < 10_000);
        for at in repeats {
            taken += u32::from(gate.take(&press(Key::Char(' '), at), Pace::Act));
        }
        assert_eq!(taken, 1);
    }

    #[test]
    fn two_presses_a_second_apart_act_twice() {
        let mut gate = Gate::new(QUIET_MS);
        assert!(gate.take(&press(Key::Enter, 0), Pace::Act));
        assert!(gate.take(&press(Key::Enter, 1000), Pace::Act));
    }

    #[test]
    fn a_steady_hand_answers_once_in_each_quiet_time_and_a_held_key_once() {
        let taken = |gaps: &[u64]| {
            let mut gate = Gate::new(QUIET_MS);
            let mut at = 0;
            let mut count = u32::from(gate.take(&press(Key::Char('1'), at), Pace::Answer));
            for gap in gaps {
                at += gap;
                count += u32::from(gate.take(&press(Key::Char('1'), at), Pace::Answer));
            }
            count
        };
        assert_eq!(taken(&[350; 8]), 5);
        assert_eq!(taken(&[400; 8]), 5);
        assert_eq!(taken(&[800; 8]), 9);
        // Held: the delay before the repeats, then the repeats, at the rates of slow and fast keyboards.
        for (delay, every) in [(250, 33), (500, 92), (660, 33), (660, 140)] {
            let mut gaps = vec![delay];
            gaps.extend(vec![every; 100]);
            assert_eq!(taken(&gaps), 1, "{delay} {every}");
        }
    }

    #[test]
    fn a_quick_press_is_told_and_a_held_key_is_not() {
        let mut gate = Gate::new(QUIET_MS);
        assert!(gate.take(&press(Key::Enter, 0), Pace::Act));
        assert!(!gate.take(&press(Key::Enter, 400), Pace::Act));
        assert!(gate.was_quick(&press(Key::Enter, 400)));
        assert!(!gate.take(&press(Key::Enter, 433), Pace::Act));
        assert!(!gate.was_quick(&press(Key::Enter, 433)));
    }

    #[test]
    fn different_keys_do_not_wait_for_each_other() {
        let mut gate = Gate::new(QUIET_MS);
        assert!(gate.take(&press(Key::Char('1'), 0), Pace::Typing));
        assert!(gate.take(&press(Key::Char('2'), 5), Pace::Typing));
        assert!(gate.take(&press(Key::Enter, 10), Pace::Act));
    }

    #[test]
    fn a_bouncing_digit_is_one_digit_and_a_double_digit_is_two() {
        let mut gate = Gate::new(QUIET_MS);
        assert!(gate.take(&press(Key::Char('1'), 0), Pace::Typing));
        assert!(!gate.take(&press(Key::Char('1'), 12), Pace::Typing));
        assert!(gate.take(&press(Key::Char('1'), 150), Pace::Typing));
    }
}
