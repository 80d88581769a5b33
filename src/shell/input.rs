//! What the terminal brings, and which keys mean what.

use crossterm::event::{KeyCode, KeyModifiers};

use super::clock::Now;
use crate::ui::Key;

/// What came from the terminal in one go: the bytes as they were, and the keys among them.
pub(super) struct Batch {
    pub(super) bytes: Vec<u8>,
    pub(super) keys: Vec<(Input, Now)>,
}

/// What came from the terminal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A key went down.
    Key {
        key: Key,
        /// Told by terminals that know it: the key is held. Others send a held key as one press after
        /// the other.
        repeat: bool,
    },
    /// Ctrl with Z: stop until the shell continues us.
    Stop,
    /// Ctrl with L: draw everything anew.
    Redraw,
    /// Text was pasted.
    Paste(String),
    /// A gauge typed its reading and ended it; none where only its last part came.
    Reading(Option<String>),
    /// The terminal has another size now.
    Resize,
    /// The terminal is gone.
    Gone,
}

impl Input {
    /// Ctrl with C.
    pub(super) fn is_interrupt(&self) -> bool {
        matches!(self, Self::Key { key, .. } if *key == Key::Interrupt)
    }
}

pub(super) fn pressed(code: KeyCode, modifiers: KeyModifiers, repeat: bool) -> Option<Input> {
    let both = KeyModifiers::CONTROL | KeyModifiers::ALT;
    let ctrl = modifiers.contains(KeyModifiers::CONTROL);
    let key = match code {
        // some systems tell the third level of a keyboard (AltGr) as these two
        KeyCode::Char(c) if modifiers.contains(both) => Key::Char(c),
        KeyCode::Char(c) if ctrl => match c.to_ascii_lowercase() {
            'c' => Key::Interrupt,
            'z' => return Some(Input::Stop),
            'l' => return Some(Input::Redraw),
            // how old terminals, and keypads that act as one, send these keys
            'h' => Key::Backspace,
            'j' | 'm' => Key::Enter,
            'i' => Key::Tab,
            _ => return None,
        },
        _ if modifiers.intersects(KeyModifiers::ALT | KeyModifiers::META) => return None,
        KeyCode::Char(c) => Key::Char(c),
        KeyCode::Enter => Key::Enter,
        KeyCode::Backspace => Key::Backspace,
        KeyCode::Esc => Key::Esc,
        KeyCode::Up => Key::Up,
        KeyCode::Down => Key::Down,
        KeyCode::Left => Key::Left,
        KeyCode::Right => Key::Right,
        KeyCode::Tab => Key::Tab,
        KeyCode::PageUp => Key::PageUp,
        KeyCode::PageDown => Key::PageDown,
        KeyCode::Home | KeyCode::End | KeyCode::Insert | KeyCode::Delete | KeyCode::KeypadBegin => {
            Key::PadUnlocked
        }
        // help on every keyboard layout
        KeyCode::F(1) => Key::Char('?'),
        _ => return None,
    };
    Some(Input::Key { key, repeat })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(key: Key) -> Option<Input> {
        Some(Input::Key { key, repeat: false })
    }

    #[test]
    fn keys_arrive_whatever_the_keyboard_and_its_layout() {
        let none = KeyModifiers::NONE;
        let both = KeyModifiers::CONTROL | KeyModifiers::ALT;
        for (code, modifiers, given) in [
            (KeyCode::Char('5'), none, key(Key::Char('5'))),
            (KeyCode::Char('ш'), none, key(Key::Char('ш'))),
            (KeyCode::Char('?'), KeyModifiers::SHIFT, key(Key::Char('?'))),
            (KeyCode::Char('/'), both, key(Key::Char('/'))),
            (
                KeyCode::Char('c'),
                KeyModifiers::CONTROL,
                key(Key::Interrupt),
            ),
            (
                KeyCode::Char('h'),
                KeyModifiers::CONTROL,
                key(Key::Backspace),
            ),
            (KeyCode::Char('j'), KeyModifiers::CONTROL, key(Key::Enter)),
            (KeyCode::Char('z'), KeyModifiers::CONTROL, Some(Input::Stop)),
            (
                KeyCode::Char('l'),
                KeyModifiers::CONTROL,
                Some(Input::Redraw),
            ),
            (KeyCode::Char('x'), KeyModifiers::CONTROL, None),
            (KeyCode::Char('x'), KeyModifiers::ALT, None),
            (KeyCode::Enter, none, key(Key::Enter)),
            (KeyCode::End, none, key(Key::PadUnlocked)),
            (KeyCode::Insert, none, key(Key::PadUnlocked)),
            (KeyCode::F(1), none, key(Key::Char('?'))),
            (KeyCode::Home, none, key(Key::PadUnlocked)),
            (KeyCode::F(5), none, None),
        ] {
            assert_eq!(
                pressed(code, modifiers, false),
                given,
                "{code:?} {modifiers:?}"
            );
        }
    }
}
