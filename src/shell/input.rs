//! The thread that reads the keyboard.
//!
//! It is a thread of its own because the library's reader never returns once the terminal is gone: it
//! tries again and again. A second thread looks after the line, and the program ends without the first.

use std::io::{self, IsTerminal};
use std::sync::mpsc::Sender;
use std::thread;
use std::time::Duration;

use crossterm::event::{self, Event, KeyCode, KeyEventKind, KeyModifiers};

use crate::ui::Key;

/// What came from the terminal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A key went down.
    Key {
        /// Which.
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
    /// The terminal has another size now.
    Resize,
    /// The terminal is gone.
    Gone,
}

/// How often the line is looked after. A signal tells of its end at once, but not to a program whose
/// parent stays behind.
const LOOK_AFTER: Duration = Duration::from_millis(500);

/// Drops what was typed before now: it was meant for the shell.
///
/// # Errors
/// When the terminal is gone.
pub fn forget() -> io::Result<()> {
    while event::poll(Duration::ZERO)? {
        event::read()?;
    }
    Ok(())
}

/// Starts the threads.
///
/// # Errors
/// When the system gives no thread.
pub fn listen<M: Send + 'static>(
    to: Sender<M>,
    message: impl Fn(Input) -> M + Clone + Send + 'static,
) -> io::Result<()> {
    look_after(to.clone(), message.clone())?;
    let run = move || {
        loop {
            let input = event::read().map_or(Some(Input::Gone), read);
            let gone = input == Some(Input::Gone);
            let sent = input.map(|input| to.send(message(input)));
            if gone || matches!(sent, Some(Err(_))) {
                return;
            }
        }
    };
    thread::Builder::new()
        .name("input".into())
        .spawn(run)
        .map(drop)
}

/// Tells when the line is cut.
fn look_after<M: Send + 'static>(
    to: Sender<M>,
    message: impl Fn(Input) -> M + Send + 'static,
) -> io::Result<()> {
    let run = move || {
        while io::stdout().is_terminal() {
            thread::sleep(LOOK_AFTER);
        }
        // a program that has ended needs no telling
        let _ = to.send(message(Input::Gone));
    };
    thread::Builder::new()
        .name("line".into())
        .spawn(run)
        .map(drop)
}

fn read(event: Event) -> Option<Input> {
    match event {
        // some systems tell when a key goes up again: everything would happen twice
        Event::Key(key) if key.kind == KeyEventKind::Release => None,
        Event::Key(key) => {
            let repeat = key.kind == KeyEventKind::Repeat;
            pressed(key.code, key.modifiers, repeat)
        }
        Event::Paste(text) => Some(Input::Paste(text)),
        Event::Resize(..) => Some(Input::Resize),
        Event::FocusGained | Event::FocusLost | Event::Mouse(_) => None,
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
    use crossterm::event::KeyEvent;

    use super::*;

    fn key(key: Key) -> Option<Input> {
        Some(Input::Key { key, repeat: false })
    }

    #[test]
    fn a_key_going_up_is_nothing_and_a_held_one_is_known() {
        let space = |kind| {
            let (code, none) = (KeyCode::Char(' '), KeyModifiers::NONE);
            read(Event::Key(KeyEvent::new_with_kind(code, none, kind)))
        };
        let key = Key::Char(' ');
        let down = |repeat| Some(Input::Key { key, repeat });
        assert_eq!(space(KeyEventKind::Press), down(false));
        assert_eq!(space(KeyEventKind::Repeat), down(true));
        assert_eq!(space(KeyEventKind::Release), None);
        assert_eq!(read(Event::FocusLost), None);
        assert_eq!(read(Event::Resize(80, 24)), Some(Input::Resize));
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
