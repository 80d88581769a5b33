//! Which sequences are keys. Everything that is not in here is an answer or a report, and no key.

use crossterm::event::{KeyCode, KeyModifiers};

/// What ESC [ begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sequence {
    Key(KeyCode, KeyModifiers, bool),
    /// Pasted text follows.
    Paste,
    /// Nothing that is typed.
    Other,
}

/// Reads a sequence by what stands between ESC [ and its last byte.
pub(super) fn sequence(body: &[u8], last: u8) -> Sequence {
    if (body, last) == (b"200", b'~') {
        return Sequence::Paste;
    }
    let key = std::str::from_utf8(body)
        .ok()
        .and_then(|body| key(body, last));
    key.unwrap_or(Sequence::Other)
}

fn key(body: &str, last: u8) -> Option<Sequence> {
    let plain = |c: char| c.is_ascii_digit() || c == ';' || c == ':';
    if !body.chars().all(plain) {
        return None;
    }
    let mut parts = body.split(';');
    let number = parts.next().unwrap_or_default();
    let (held, event) = match parts.next() {
        None => (0, 1),
        Some(part) => {
            let (held, event) = part.split_once(':').unwrap_or((part, "1"));
            (
                held.parse::<u8>().ok()?.checked_sub(1)?,
                event.parse().ok()?,
            )
        }
    };
    let repeat = match event {
        1_u8 => false,
        2 => true,
        // it went up again
        _ => return None,
    };
    let code = match last {
        // without a number, or with 1 before what else is held
        b'A'..=b'F' | b'H' | b'P' if matches!(number, "" | "1") => keypad(last)?,
        b'~' => match number {
            "1" | "2" | "3" | "4" | "7" | "8" => KeyCode::Home,
            "5" => KeyCode::PageUp,
            "6" => KeyCode::PageDown,
            "11" => KeyCode::F(1),
            _ => return None,
        },
        // keys by the number of their character
        b'u' if !number.is_empty() => {
            let c = number.split(':').next()?.parse().ok()?;
            by_number(c)?
        }
        _ => return None,
    };
    Some(Sequence::Key(code, modifiers(held), repeat))
}

fn by_number(number: u32) -> Option<KeyCode> {
    Some(match number {
        9 => KeyCode::Tab,
        13 | 57_414 => KeyCode::Enter,
        27 => KeyCode::Esc,
        8 | 127 => KeyCode::Backspace,
        // the number pad
        57_399..=57_408 => KeyCode::Char(char::from_digit(number - 57_399, 10)?),
        57_409 => KeyCode::Char('.'),
        57_410 => KeyCode::Char('/'),
        57_411 => KeyCode::Char('*'),
        57_412 => KeyCode::Char('-'),
        57_413 => KeyCode::Char('+'),
        _ => KeyCode::Char(char::from_u32(number).filter(|c| !c.is_control())?),
    })
}

fn modifiers(held: u8) -> KeyModifiers {
    let all = [
        (1, KeyModifiers::SHIFT),
        (2, KeyModifiers::ALT),
        (4, KeyModifiers::CONTROL),
        (8, KeyModifiers::SUPER),
    ];
    all.into_iter()
        .filter(|(bit, _)| held & bit != 0)
        .fold(KeyModifiers::NONE, |sum, (_, one)| sum | one)
}

/// The last byte behind ESC O, and of short ones behind ESC [.
pub(super) fn keypad(byte: u8) -> Option<KeyCode> {
    Some(match byte {
        b'A' => KeyCode::Up,
        b'B' => KeyCode::Down,
        b'C' => KeyCode::Right,
        b'D' => KeyCode::Left,
        b'E' | b'F' | b'H' => KeyCode::Home,
        b'M' => KeyCode::Enter,
        b'P' => KeyCode::F(1),
        // a number pad that is set to send these
        b'p'..=b'y' => KeyCode::Char(char::from(byte - b'p' + b'0')),
        b'j'..=b'o' => KeyCode::Char(char::from(byte - b'j' + b'*')),
        _ => return None,
    })
}

/// A key of one byte that is no character.
pub(super) fn control(byte: u8) -> Option<(KeyCode, KeyModifiers)> {
    let none = KeyModifiers::NONE;
    Some(match byte {
        b'\r' => (KeyCode::Enter, none),
        b'\t' => (KeyCode::Tab, none),
        0x7f => (KeyCode::Backspace, none),
        1..=26 => {
            let letter = char::from(byte - 1 + b'a');
            (KeyCode::Char(letter), KeyModifiers::CONTROL)
        }
        _ => return None,
    })
}

/// A character of several bytes: none while it is not whole.
pub(super) fn character(bytes: &[u8]) -> Result<Option<char>, ()> {
    match std::str::from_utf8(bytes) {
        Ok(text) => text
            .chars()
            .next()
            .filter(|c| !c.is_control())
            .map(Some)
            .ok_or(()),
        Err(e) if e.error_len().is_none() && bytes.len() < 4 => Ok(None),
        Err(_) => Err(()),
    }
}
