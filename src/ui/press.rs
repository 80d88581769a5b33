//! Glove rules: one press, one act.
//!
//! A terminal does not tell a held key from one pressed again and again: repeats are just presses.
//! So an act is taken only when the same key has been quiet for a while, longer than the delay
//! before a keyboard begins to repeat (commonly 250 to 660 ms). Characters of a number need only
//! be further apart than a bouncing contact.

use std::collections::BTreeMap;

use super::msg::{Key, Press};

/// Quiet time before the same key acts again, where settings say nothing else, ms.
pub(super) const QUIET_MS: u64 = 700;
/// How many quiet times part two meanings of one key.
const PAUSES: u64 = 3;
/// Presses of one character closer than this are one bounce, ms.
const BOUNCE_MS: u64 = 35;

/// Remembers when each key was last heard of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gate {
    quiet_ms: u64,
    heard: BTreeMap<Key, u64>,
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
        self.is_short(before.map(|at| press.mono_ms.saturating_sub(*at)))
    }

    /// True for a span too short to part two meanings.
    #[must_use]
    pub fn is_short(&self, span: Option<u64>) -> bool {
        span.is_some_and(|ms| ms < PAUSES * self.quiet_ms)
    }

    /// True when this press is to be taken; `typing` for characters that go into the entry line.
    pub fn take(&mut self, press: &Press, typing: bool) -> bool {
        let before = self.heard.insert(press.key, press.mono_ms);
        if press.repeat && !typing {
            return false;
        }
        let quiet = if typing {
            BOUNCE_MS.min(self.quiet_ms)
        } else {
            self.quiet_ms
        };
        before.is_none_or(|at| press.mono_ms.saturating_sub(at) >= quiet)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Stamp;

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
        let mut taken = u32::from(gate.take(&press(Key::Char(' '), 0), false));
        let repeats =
            std::iter::successors(Some(500), |at| Some(at + 33)).take_while(|at| *at < 10_000);
        for at in repeats {
            taken += u32::from(gate.take(&press(Key::Char(' '), at), false));
        }
        assert_eq!(taken, 1);
    }

    #[test]
    fn two_presses_a_second_apart_act_twice() {
        let mut gate = Gate::new(QUIET_MS);
        assert!(gate.take(&press(Key::Enter, 0), false));
        assert!(gate.take(&press(Key::Enter, 1000), false));
    }

    #[test]
    fn different_keys_do_not_wait_for_each_other() {
        let mut gate = Gate::new(QUIET_MS);
        assert!(gate.take(&press(Key::Char('1'), 0), true));
        assert!(gate.take(&press(Key::Char('2'), 5), true));
        assert!(gate.take(&press(Key::Enter, 10), false));
    }

    #[test]
    fn a_bouncing_digit_is_one_digit_and_a_double_digit_is_two() {
        let mut gate = Gate::new(QUIET_MS);
        assert!(gate.take(&press(Key::Char('1'), 0), true));
        assert!(!gate.take(&press(Key::Char('1'), 12), true));
        assert!(gate.take(&press(Key::Char('1'), 150), true));
    }
}
