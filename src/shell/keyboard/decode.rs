//! The bytes of a terminal, read as keys.
//!
//! A terminal sends more than keys: answers to questions, asked or not, early or late, whole or in
//! pieces; reports of focus, mouse, size and colours; pasted text. None of these may ever be taken for a
//! key, and none may leave the keyboard deaf: what is not finished in a tenth of a second is dropped, and
//! where its rest comes later in one go that is dropped too.
//!
//! The grammar is that of ECMA-48 (control functions) and of the DEC VT and xterm keyboards (from
//! memory).

use crossterm::event::{KeyCode, KeyModifiers};

use super::sequences::{Sequence, character, control, keypad, sequence};

/// A sequence that is not finished after so long is dropped, ms.
pub(super) const UNFINISHED_MS: u64 = 100;
/// So long after that its rest, coming in one go, is known for what it is, ms.
const REST_MS: u64 = 2000;
/// So many bytes in one go come from no hand: a long answer or pasted text is still on its way.
const FLOW: usize = 8;
/// Most that is kept of a sequence; what goes on longer is followed to its end all the same.
const MOST: usize = 64;
/// Most bytes that are kept of a pasted text.
const PASTE: usize = 4096;
/// Behind pasted text.
const PASTED: &[u8] = b"\x1b[201~";

const ESC: u8 = 0x1b;
const BEL: u8 = 0x07;
const CANCEL: [u8; 2] = [0x18, 0x1a];
const INTERRUPT: u8 = 0x03;

/// What a terminal sent that matters here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Token {
    Key {
        code: KeyCode,
        modifiers: KeyModifiers,
        /// The terminal says that it is held.
        repeat: bool,
    },
    /// Text was pasted.
    Paste(String),
}

/// Where in a sequence the last byte left off.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
enum State {
    #[default]
    Ground,
    /// ESC.
    Escape,
    /// ESC [ and what followed.
    Control(Vec<u8>),
    /// ESC O.
    Shift,
    /// ESC [ [, and a letter is to come: function keys of a console.
    Console,
    /// ESC [ M, and so many characters are to come.
    Mouse(u8),
    /// A string of any kind, to its end; true behind an ESC that may be the first half of that.
    Text(bool),
    /// Pasted text.
    Paste(Vec<u8>),
    /// A character of several bytes.
    Character(Vec<u8>),
}

/// Reads bytes as they come.
#[derive(Debug, Default)]
pub(super) struct Decoder {
    state: State,
    /// When the sequence is dropped.
    due: u64,
    /// What was dropped last, and until when its rest is expected.
    dropped: Option<(State, u64)>,
    found: Vec<Token>,
}

impl Decoder {
    /// Takes up what came in one go.
    pub(super) fn take(&mut self, bytes: &[u8], at_ms: u64) -> Vec<Token> {
        self.expire(at_ms);
        // pressed by itself it means that key, whatever the terminal has begun to say
        if bytes == [INTERRUPT] {
            self.state = State::Ground;
        }
        let bytes = self.without_rest(bytes, at_ms);
        if bytes.len() >= FLOW {
            self.due = self.due.max(at_ms + UNFINISHED_MS);
        }
        for byte in bytes {
            let before = self.state == State::Ground;
            self.step(*byte);
            if before && self.state != State::Ground {
                self.due = at_ms + UNFINISHED_MS;
            }
        }
        std::mem::take(&mut self.found)
    }

    /// When [`Decoder::late`] is to be called, should nothing come before.
    pub(super) fn due(&self) -> Option<u64> {
        (self.state != State::Ground).then_some(self.due)
    }

    /// Drops a sequence that was not finished in time. An ESC alone was the key of that name.
    pub(super) fn late(&mut self, at_ms: u64) -> Vec<Token> {
        self.expire(at_ms);
        std::mem::take(&mut self.found)
    }

    /// True while the rest of something that was dropped may still come.
    pub(super) fn expects_rest(&self, at_ms: u64) -> bool {
        self.dropped.as_ref().is_some_and(|(_, most)| at_ms < *most)
    }

    fn expire(&mut self, at_ms: u64) {
        if self.state == State::Ground || at_ms < self.due {
            return;
        }
        match std::mem::take(&mut self.state) {
            State::Escape => {
                self.key(KeyCode::Esc, KeyModifiers::NONE);
                self.dropped = Some((State::Escape, at_ms + REST_MS));
            }
            // its end never came, or comes by itself
            State::Paste(text) => {
                self.pasted(&text);
                self.dropped = Some((State::Paste(Vec::new()), at_ms + REST_MS));
            }
            other => self.dropped = Some((other, at_ms + REST_MS)),
        }
    }

    /// Leaves out the rest of what was dropped. A machine sends it in one go, a hand presses single keys.
    fn without_rest<'a>(&mut self, bytes: &'a [u8], at_ms: u64) -> &'a [u8] {
        let Some((dropped, most)) = self.dropped.take() else {
            return bytes;
        };
        if at_ms >= most || self.state != State::Ground || bytes.first() == Some(&ESC) {
            return bytes;
        }
        let behind = |length: usize| bytes.get(length..).unwrap_or_default();
        // one that ends a sequence, not the first of a word
        let letter = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_alphabetic);
        let alone = letter(0) && !letter(1);
        match dropped {
            State::Escape => {
                let begins = bytes.first().is_some_and(|b| b"[]PX^_O".contains(b));
                if begins && bytes.len() >= 2 {
                    self.state = State::Escape;
                    self.due = at_ms + UNFINISHED_MS;
                }
                bytes
            }
            State::Control(body) if body.is_empty() && bytes.first() == Some(&b'M') => {
                self.state = State::Control(body);
                self.due = at_ms + UNFINISHED_MS;
                bytes
            }
            State::Control(_) => {
                let end = bytes.iter().position(|b| !(0x20..=0x3f).contains(b));
                let last = end.and_then(|end| bytes.get(end)).copied();
                match (end, last) {
                    _ if alone => behind(1),
                    (Some(end @ 1..), Some(0x40..=0x7e)) => behind(end + 1),
                    _ => bytes,
                }
            }
            State::Paste(text) if bytes.len() >= 3 => {
                self.state = State::Paste(text);
                self.due = at_ms + UNFINISHED_MS;
                bytes
            }
            State::Shift | State::Console if alone => behind(1),
            State::Mouse(left) if bytes.len() >= usize::from(left) => {
                self.state = State::Mouse(left);
                self.due = at_ms + UNFINISHED_MS;
                bytes
            }
            State::Text(true) if bytes.first() == Some(&b'\\') => behind(1),
            State::Text(_) => {
                let end = bytes.iter().position(|b| *b < b' ');
                match end.and_then(|end| bytes.get(end..)) {
                    Some([BEL, rest @ ..] | [ESC, b'\\', rest @ ..]) => rest,
                    // a long one, of which more is to come
                    None if bytes.len() >= FLOW => {
                        self.state = State::Text(false);
                        self.due = at_ms + UNFINISHED_MS;
                        &[]
                    }
                    _ => bytes,
                }
            }
            State::Character(_) => {
                let rest = bytes.iter().take_while(|b| (0x80..0xc0).contains(*b));
                behind(rest.count())
            }
            _ => bytes,
        }
    }

    fn step(&mut self, byte: u8) {
        match std::mem::take(&mut self.state) {
            State::Paste(mut text) => {
                if text.len() < PASTE + PASTED.len() || PASTED.contains(&byte) {
                    text.push(byte);
                }
                if text.ends_with(PASTED) {
                    text.truncate(text.len() - PASTED.len());
                    self.pasted(&text);
                } else {
                    if text.len() > 2 * PASTE {
                        // the middle is not kept; the end of it must be known
                        text.drain(PASTE..text.len() - PASTED.len());
                    }
                    self.state = State::Paste(text);
                }
            }
            _ if byte == INTERRUPT => self.ground(byte),
            State::Ground => self.ground(byte),
            State::Escape => self.escape(byte),
            State::Control(body) => self.control(body, byte),
            State::Shift => match keypad(byte) {
                Some(code) => self.key(code, KeyModifiers::NONE),
                None if byte < b' ' => self.ground(byte),
                None => {}
            },
            State::Console if byte == b'A' => self.key(KeyCode::F(1), KeyModifiers::NONE),
            State::Console if byte < b' ' => self.ground(byte),
            State::Console => {}
            State::Mouse(_) if byte < b' ' => self.ground(byte),
            // of two bytes where the terminal writes large numbers as characters
            State::Mouse(left) if (0xc2..0xe0).contains(&byte) => self.state = State::Mouse(left),
            State::Mouse(left) if left > 1 => self.state = State::Mouse(left - 1),
            State::Mouse(_) => {}
            State::Text(true) if byte == b'\\' => {}
            // broken off by the next one
            State::Text(true) => self.escape(byte),
            State::Text(false) => match byte {
                BEL => {}
                byte if CANCEL.contains(&byte) => {}
                byte => self.state = State::Text(byte == ESC),
            },
            State::Character(mut bytes) => {
                if !(0x80..0xc0).contains(&byte) {
                    return self.ground(byte);
                }
                bytes.push(byte);
                match character(&bytes) {
                    Ok(Some(c)) => self.key(KeyCode::Char(c), KeyModifiers::NONE),
                    Ok(None) => self.state = State::Character(bytes),
                    Err(()) => {}
                }
            }
        }
    }

    fn ground(&mut self, byte: u8) {
        match byte {
            ESC => self.state = State::Escape,
            // the same in one byte
            0x9b => self.state = State::Control(Vec::new()),
            0x90 | 0x98 | 0x9d..=0x9f => self.state = State::Text(false),
            0x20..=0x7e => self.key(KeyCode::Char(char::from(byte)), KeyModifiers::NONE),
            0xc2..=0xf4 => self.state = State::Character(vec![byte]),
            _ => {
                if let Some((code, modifiers)) = control(byte) {
                    self.key(code, modifiers);
                }
            }
        }
    }

    fn escape(&mut self, byte: u8) {
        match byte {
            b'[' => self.state = State::Control(Vec::new()),
            b'O' => self.state = State::Shift,
            b']' | b'P' | b'X' | b'^' | b'_' => self.state = State::Text(false),
            ESC => {
                self.key(KeyCode::Esc, KeyModifiers::NONE);
                self.state = State::Escape;
            }
            // with ALT held, which means nothing here
            b'\r' | b'\n' | b'\t' | 0x20.. => {}
            _ => self.ground(byte),
        }
    }

    fn control(&mut self, mut body: Vec<u8>, byte: u8) {
        match byte {
            b'[' if body.is_empty() => self.state = State::Console,
            b'M' if body.is_empty() => self.state = State::Mouse(3),
            0x20..=0x3f => {
                if body.len() < MOST {
                    body.push(byte);
                }
                self.state = State::Control(body);
            }
            0x40..=0x7e => match sequence(&body, byte) {
                Sequence::Paste => self.state = State::Paste(Vec::new()),
                Sequence::Key(code, modifiers, repeat) => self.found.push(Token::Key {
                    code,
                    modifiers,
                    repeat,
                }),
                Sequence::Other => {}
            },
            byte if CANCEL.contains(&byte) => {}
            byte => self.ground(byte),
        }
    }

    fn key(&mut self, code: KeyCode, modifiers: KeyModifiers) {
        self.found.push(Token::Key {
            code,
            modifiers,
            repeat: false,
        });
    }

    fn pasted(&mut self, text: &[u8]) {
        let kept = text.get(..PASTE).unwrap_or(text);
        self.found
            .push(Token::Paste(String::from_utf8_lossy(kept).into_owned()));
    }
}

#[cfg(test)]
mod tests;
