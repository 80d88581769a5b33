//! Keys typed while the terminal was being asked, read back out of the bytes that came, so that none is
//! lost. The sequences are those of the DEC VT and xterm keyboards (from memory).

use crossterm::event::{KeyCode, KeyModifiers};

use super::clock::Now;
use super::input::{Input, pressed};

/// Bytes from the terminal, each with when it came.
#[derive(Debug, Default)]
pub(super) struct Came {
    pub(super) bytes: Vec<u8>,
    at: Vec<Now>,
}

const ESC: u8 = 0x1b;
const BEL: u8 = 0x07;
/// Behind pasted text.
const PASTED: &[u8] = b"\x1b[201~";

impl Came {
    /// Takes up what came just now.
    pub(super) fn take(&mut self, bytes: &[u8], at: Now) {
        self.bytes.extend_from_slice(bytes);
        self.at.resize(self.bytes.len(), at);
    }

    /// The keys among them, in order. Answers, pasted text, and a sequence that has not come whole are
    /// no keys.
    pub(super) fn keys(&self) -> Vec<(Input, Now)> {
        let mut keys = Vec::new();
        let mut at = 0;
        while let Some(first) = self.bytes.get(at) {
            let rest = self.bytes.get(at..).unwrap_or_default();
            let Some((length, key)) = (if *first == ESC {
                sequence(rest)
            } else {
                Some(plain(rest))
            }) else {
                break;
            };
            let input = key.and_then(|(code, modifiers)| pressed(code, modifiers, false));
            keys.extend(input.zip(self.at.get(at).copied()));
            at += length;
        }
        keys
    }
}

type Found = (usize, Option<(KeyCode, KeyModifiers)>);

/// A key without an escape sequence: how many bytes, and which.
fn plain(rest: &[u8]) -> Found {
    let none = KeyModifiers::NONE;
    match rest.first().copied() {
        Some(b'\r') => (1, Some((KeyCode::Enter, none))),
        Some(b'\t') => (1, Some((KeyCode::Tab, none))),
        Some(0x7f) => (1, Some((KeyCode::Backspace, none))),
        Some(c @ 1..=26) => {
            let letter = char::from(c - 1 + b'a');
            (1, Some((KeyCode::Char(letter), KeyModifiers::CONTROL)))
        }
        _ => {
            // as long as the first byte says, one where that is no character
            let found = (1..=rest.len().min(4)).find_map(|n| {
                let text = std::str::from_utf8(rest.get(..n)?).ok()?;
                Some((n, text.chars().next()?))
            });
            match found {
                Some((n, c)) if !c.is_control() => (n, Some((KeyCode::Char(c), none))),
                _ => (1, None),
            }
        }
    }
}

/// One that begins with ESC; none while its end has not come.
fn sequence(rest: &[u8]) -> Option<Found> {
    let code = |key| Some((key, KeyModifiers::NONE));
    match rest.get(1) {
        Some(b'[') => {
            let end = rest
                .iter()
                .skip(2)
                .position(|b| (0x40..=0x7e).contains(b))?
                + 2;
            let (body, last) = (rest.get(2..end)?, rest.get(end)?);
            if (body, last) == (b"200", &b'~') {
                let begin = rest.windows(PASTED.len()).position(|w| w == PASTED)?;
                return Some((begin + PASTED.len(), None));
            }
            let key = match (body, last) {
                (b"", _) => arrow(*last),
                (b"5", b'~') => Some(KeyCode::PageUp),
                (b"6", b'~') => Some(KeyCode::PageDown),
                (b"1" | b"2" | b"3" | b"4", b'~') => Some(KeyCode::Home),
                _ => None,
            };
            Some((end + 1, key.and_then(code)))
        }
        Some(b'O') => {
            let key = match rest.get(2)? {
                b'M' => Some(KeyCode::Enter),
                b'P' => Some(KeyCode::F(1)),
                last => arrow(*last),
            };
            Some((3, key.and_then(code)))
        }
        Some(b'_' | b']' | b'P' | b'^') => {
            let end = rest.iter().skip(2).position(|b| [BEL, ESC].contains(b))? + 2;
            let length = match (rest.get(end), rest.get(end + 1)) {
                (Some(&ESC), Some(b'\\')) => end + 2,
                (Some(&ESC), None) => return None,
                // broken off by the next one
                (Some(&ESC), Some(_)) => end,
                _ => end + 1,
            };
            Some((length, None))
        }
        _ => Some((1, code(KeyCode::Esc))),
    }
}

fn arrow(last: u8) -> Option<KeyCode> {
    match last {
        b'A' => Some(KeyCode::Up),
        b'B' => Some(KeyCode::Down),
        b'C' => Some(KeyCode::Right),
        b'D' => Some(KeyCode::Left),
        b'H' | b'F' | b'E' => Some(KeyCode::Home),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::ui::Key;
    use crate::units::Stamp;

    fn now(mono_ms: u64) -> Now {
        Now {
            at: Stamp(0),
            mono_ms,
        }
    }

    fn keys(bytes: &[u8]) -> Vec<Input> {
        let mut came = Came::default();
        came.take(bytes, now(0));
        came.keys().into_iter().map(|(input, _)| input).collect()
    }

    fn key(key: Key) -> Input {
        Input::Key { key, repeat: false }
    }

    #[test]
    fn keys_between_answers_are_kept_and_answers_are_none() {
        let came = b"4\x1b[?62;4;22c0\r\x1b_Gi=31;OK\x1b\\\x7f\x1b[6;16;8t\x1b[A\x1b]1337;ReportCellSize=16;8\x07 ";
        let wanted = [
            key(Key::Char('4')),
            key(Key::Char('0')),
            key(Key::Enter),
            key(Key::Backspace),
            key(Key::Up),
            key(Key::Char(' ')),
        ];
        assert_eq!(keys(came), wanted);
    }

    #[test]
    fn every_key_of_the_table_is_known() {
        for (bytes, wanted) in [
            (&b"\x1b"[..], Some(key(Key::Esc))),
            (b"\x1bOB", Some(key(Key::Down))),
            (b"\x1bOM", Some(key(Key::Enter))),
            (b"\x1b[5~", Some(key(Key::PageUp))),
            (b"\x1b[3~", Some(key(Key::PadUnlocked))),
            (b"\x03", Some(key(Key::Interrupt))),
            (b"\x1a", Some(Input::Stop)),
            (b"\n", Some(key(Key::Enter))),
            ("é".as_bytes(), Some(key(Key::Char('é')))),
            (b"\xc3", None),
            (b"\x1b[200~12q\x1b[201~", None),
            (b"\x1b[?62;4", None),
            (b"\x1b_Gi=31", None),
        ] {
            assert_eq!(keys(bytes), Vec::from_iter(wanted), "{bytes:?}");
        }
    }

    #[test]
    fn each_has_the_time_it_came() {
        let mut came = Came::default();
        came.take(b"1\x1b[?6", now(10));
        came.take(b"2c2", now(20));
        let times: Vec<u64> = came.keys().iter().map(|(_, now)| now.mono_ms).collect();
        assert_eq!(times, [10, 20]);
    }

    proptest! {
        #[test]
        fn digits_survive_whatever_stands_between(n in 0_usize..40, cut in 0_usize..9) {
            let answer = b"\x1b[?62;22c";
            let mut bytes = Vec::new();
            for at in 0..n {
                bytes.push(b'0' + u8::try_from(at % 10).unwrap());
                bytes.extend_from_slice(answer);
            }
            bytes.extend_from_slice(&answer[..cut]);
            // a lone ESC at the very end is the key of that name
            prop_assert_eq!(keys(&bytes).len(), n + usize::from(cut == 1));
        }

        #[test]
        fn any_bytes_are_read_to_the_end(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
            prop_assert!(keys(&bytes).len() <= bytes.len());
        }
    }
}
