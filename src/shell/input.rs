//! The thread that reads the keyboard.
//!
//! It is a thread of its own because the library's reader never returns once the terminal is gone; the
//! rest of the program then ends without it.

use std::io;
use std::sync::mpsc::Sender;
use std::thread;
use std::time::Duration;

use crossterm::event::{self, Event, KeyCode, KeyEventKind, KeyModifiers};

/// What came from the terminal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A key went down, or is held.
    Key {
        /// Which.
        code: KeyCode,
        /// With which others.
        modifiers: KeyModifiers,
        /// Told by terminals that know it: the key is held. Others send a held key as one press after
        /// the other.
        repeat: bool,
    },
    /// Text was pasted.
    Paste(String),
    /// The terminal has this many columns and rows now.
    Resize(u16, u16),
    /// The terminal is gone.
    Gone,
}

/// Starts the thread. What was typed before is dropped: it was meant for the shell.
///
/// # Errors
/// When the system gives no thread.
pub fn listen<M: Send + 'static>(
    to: Sender<M>,
    message: impl Fn(Input) -> M + Send + 'static,
) -> io::Result<()> {
    let run = move || {
        while event::poll(Duration::ZERO).is_ok_and(|more| more) && event::read().is_ok() {}
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

fn read(event: Event) -> Option<Input> {
    match event {
        // some systems tell when a key goes up again: everything would happen twice
        Event::Key(key) if key.kind == KeyEventKind::Release => None,
        Event::Key(key) => Some(Input::Key {
            code: key.code,
            modifiers: key.modifiers,
            repeat: key.kind == KeyEventKind::Repeat,
        }),
        Event::Paste(text) => Some(Input::Paste(text)),
        Event::Resize(columns, rows) => Some(Input::Resize(columns, rows)),
        Event::FocusGained | Event::FocusLost | Event::Mouse(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use crossterm::event::KeyEvent;

    use super::*;

    #[test]
    fn a_key_going_up_is_nothing_and_a_held_one_is_known() {
        let key = |kind| {
            read(Event::Key(KeyEvent::new_with_kind(
                KeyCode::Char(' '),
                KeyModifiers::NONE,
                kind,
            )))
        };
        let down = |repeat| {
            Some(Input::Key {
                code: KeyCode::Char(' '),
                modifiers: KeyModifiers::NONE,
                repeat,
            })
        };
        assert_eq!(key(KeyEventKind::Press), down(false));
        assert_eq!(key(KeyEventKind::Repeat), down(true));
        assert_eq!(key(KeyEventKind::Release), None);
        assert_eq!(read(Event::FocusLost), None);
        assert_eq!(read(Event::Resize(80, 24)), Some(Input::Resize(80, 24)));
    }
}
