//! The page that is shown in place of a job whose journal makes the program fail: which entry is at
//! fault, and the offer to take it back.

use ratatui::Frame;

use super::effect::Effect;
use super::msg::{Key, Msg};
use super::press::{Gate, Pace};
use super::settings::Settings;
use super::theme::Meaning;
use super::view::Pen;

/// The page.
#[derive(Debug, Clone)]
pub struct Fault {
    /// The smith wants it taken back.
    pub take_back: bool,
    /// Something to draw.
    pub dirty: bool,
    file: String,
    entry: String,
    why: String,
    settings: Settings,
    gate: Gate,
}

impl Fault {
    /// For an entry told in words, of that journal, and what it leads to.
    #[must_use]
    pub fn new(file: String, entry: String, why: String, settings: Settings) -> Self {
        let gate = Gate::new(settings.quiet_ms);
        Self {
            take_back: false,
            dirty: true,
            file,
            entry,
            why,
            settings,
            gate,
        }
    }

    /// Takes one message: SPACE or + takes the entry back, BACKSPACE or - leaves everything as it is.
    pub fn update(&mut self, msg: &Msg) -> Vec<Effect> {
        self.dirty = true;
        let press = match msg {
            Msg::Key(press) => press,
            Msg::Leave => return vec![Effect::Quit],
            _ => return Vec::new(),
        };
        if press.key == Key::Interrupt {
            return vec![Effect::Quit];
        }
        if !self.gate.take(press, Pace::Act) {
            return Vec::new();
        }
        match press.key {
            Key::Char(' ' | '+') => self.take_back = true,
            Key::Backspace | Key::Char('-' | 'q') => {}
            _ => return Vec::new(),
        }
        vec![Effect::Quit]
    }

    /// Draws the page.
    pub fn draw(&self, frame: &mut Frame<'_>) {
        let area = frame.area();
        let mut pen = Pen::new(frame.buffer_mut(), &self.settings);
        pen.ground(area);
        let text = [
            (
                Meaning::Stop,
                format!("{}: one entry cannot be used", self.file),
            ),
            (Meaning::Text, String::new()),
            (Meaning::Now, self.entry.clone()),
            (Meaning::Text, self.why.clone()),
            (Meaning::Text, String::new()),
            (
                Meaning::Now,
                "SPACE or +  takes this entry back and opens the job".to_owned(),
            ),
            (
                Meaning::Now,
                "BACKSPACE or -  leaves the file as it is".to_owned(),
            ),
            (
                Meaning::Text,
                "Taking back adds an entry that says so. Nothing is erased.".to_owned(),
            ),
        ];
        let mut row = 0;
        for (meaning, words) in text {
            row = pen.wrapped(area, row, &words, meaning).max(row + 1);
        }
    }
}
