//! The work screen on the shell's loop.

use std::time::Duration;

use crossterm::event::{KeyCode, KeyModifiers};
use ratatui::Frame;

use crate::journal::Entry;
use crate::shell::clock::Now;
use crate::shell::run::{App, Deed, Happening};
use crate::ui::{Effect, Key, Model, Msg, Press, draw, update};

/// The screen, and the entries on their way to the disk.
#[derive(Debug)]
pub(super) struct Desk {
    /// The screen.
    pub(super) model: Model,
    going: Vec<Entry>,
    gone: usize,
}

impl Desk {
    /// A desk with this screen.
    pub(super) fn new(model: Model) -> Self {
        Self {
            model,
            going: Vec::new(),
            gone: 0,
        }
    }

    fn tell(&mut self, msg: Msg) -> Vec<Deed<()>> {
        let mut deeds = Vec::new();
        for effect in update(&mut self.model, msg) {
            match effect {
                Effect::Append(entries) => {
                    self.gone = 0;
                    self.going.clone_from(&entries);
                    deeds.extend(entries.into_iter().map(Deed::Append));
                }
                Effect::Bell => deeds.push(Deed::Bell),
                Effect::LookAtPlan => deeds.push(Deed::Look),
                Effect::Quit => deeds.push(Deed::Quit),
            }
        }
        deeds
    }

    /// One more entry is on the disk; the screen hears of it when all of them are.
    fn appended(&mut self) -> Vec<Deed<()>> {
        self.gone += 1;
        if self.gone < self.going.len() {
            return Vec::new();
        }
        let entries = std::mem::take(&mut self.going);
        self.tell(Msg::Appended(entries))
    }

    /// The rest is not on the disk; what went before it is.
    fn failed(&mut self, why: String) -> Vec<Deed<()>> {
        let mut entries = std::mem::take(&mut self.going);
        entries.truncate(self.gone);
        let mut deeds = Vec::new();
        if !entries.is_empty() {
            deeds.extend(self.tell(Msg::Appended(entries)));
        }
        deeds.extend(self.tell(Msg::AppendFailed(why)));
        deeds
    }
}

/// The key as the screen knows it; chords other than Ctrl-C are nothing, except that some layouts
/// send characters with Ctrl and Alt together.
fn key(code: KeyCode, modifiers: KeyModifiers) -> Option<Key> {
    let chord = KeyModifiers::CONTROL | KeyModifiers::ALT;
    let held = modifiers & chord;
    match code {
        KeyCode::Char('c') if held == KeyModifiers::CONTROL => Some(Key::Interrupt),
        KeyCode::Char(c) if held.is_empty() || held == chord => Some(Key::Char(c)),
        KeyCode::Enter => Some(Key::Enter),
        KeyCode::Backspace | KeyCode::Delete => Some(Key::Backspace),
        KeyCode::Esc => Some(Key::Esc),
        KeyCode::Up => Some(Key::Up),
        KeyCode::Down => Some(Key::Down),
        KeyCode::Left => Some(Key::Left),
        KeyCode::Right => Some(Key::Right),
        KeyCode::Tab => Some(Key::Tab),
        KeyCode::PageUp => Some(Key::PageUp),
        KeyCode::PageDown => Some(Key::PageDown),
        KeyCode::F(1) => Some(Key::Char('?')),
        _ => None,
    }
}

impl App for Desk {
    type Work = ();

    fn update(&mut self, what: Happening<()>, now: Now) -> Vec<Deed<()>> {
        let msg = match what {
            Happening::Key {
                code,
                modifiers,
                repeat,
            } => match key(code, modifiers) {
                Some(key) => Msg::Key(Press {
                    key,
                    repeat,
                    at: now.at,
                    mono_ms: now.mono_ms,
                }),
                None => return Vec::new(),
            },
            Happening::Paste(text) => Msg::Paste(text),
            Happening::Resize(columns, rows) => Msg::Resize(columns, rows),
            Happening::Tick => Msg::Tick {
                at: now.at,
                mono_ms: now.mono_ms,
            },
            Happening::Appended(_) => return self.appended(),
            Happening::AppendFailed(why) => return self.failed(why),
            Happening::Plan(text) => Msg::PlanFile(text),
            Happening::Trouble(text) => Msg::Trouble(text),
            Happening::Resumed => Msg::Tick {
                at: now.at,
                mono_ms: now.mono_ms,
            },
            Happening::Ending => Msg::Leave,
            Happening::Worked(()) => return Vec::new(),
        };
        self.tell(msg)
    }

    fn take_dirty(&mut self) -> bool {
        std::mem::take(&mut self.model.dirty)
    }

    fn draw(&self, frame: &mut Frame<'_>) {
        draw(&self.model, frame);
    }

    fn next_tick(&self, now: Now) -> Option<Duration> {
        // The next whole second on the steady clock, so that ticks neither bunch nor drift.
        self.model.next_tick()?;
        Some(Duration::from_millis(1000 - now.mono_ms % 1000))
    }
}
