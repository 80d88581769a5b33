//! The keyboard of a console that tells keys by itself: the screen library reads it.

use std::io;
use std::time::Duration;

use crossterm::event::{self, Event, KeyEventKind};

use crate::shell::clock::Clock;
use crate::shell::input::{Batch, Input, pressed};

/// The keyboard of the console.
#[derive(Debug)]
pub(in crate::shell) struct Keyboard {
    clock: Clock,
}

impl Keyboard {
    /// The console that the program belongs to.
    pub(in crate::shell) fn open(clock: Clock) -> io::Result<Self> {
        Ok(Self { clock })
    }

    /// Drops what was typed before now: it was meant for the shell.
    pub(in crate::shell) fn forget(&self) {
        while event::poll(Duration::ZERO).is_ok_and(|ready| ready) && event::read().is_ok() {}
    }

    /// Waits for something to come, and no longer than `most`.
    pub(in crate::shell) fn hear(&mut self, most: Option<Duration>) -> io::Result<Batch> {
        let mut keys = Vec::new();
        if most.map_or(Ok(true), event::poll)? {
            let input = read(event::read()?);
            keys.extend(input.map(|input| (input, self.clock.now())));
        }
        Ok(Batch {
            bytes: Vec::new(),
            keys,
        })
    }
}

fn read(event: Event) -> Option<Input> {
    match event {
        // it is told when a key goes up again: everything would happen twice
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
