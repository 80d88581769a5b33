//! What the loop runs: a screen that takes messages, wants effects and draws.

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::journal::Entry;
use crate::ui::{self, Draft, Effect, Fault, List, Model, Msg, Plate};
use crate::units::Seconds;

/// A screen without the world.
pub trait App {
    /// Takes in what happened and says what is to be done, in order.
    fn update(&mut self, msg: Msg) -> Vec<Effect>;

    /// True when the frame is no longer what was last drawn; from then on false until it changes again.
    fn take_dirty(&mut self) -> bool;

    fn draw(&self, frame: &mut Frame<'_>);

    /// How often it wants a tick; `None` when nothing on the screen moves by itself.
    fn next_tick(&self) -> Option<Seconds> {
        None
    }

    /// Every record that was confirmed, oldest first.
    fn log(&self) -> &[Entry] {
        &[]
    }

    /// The sharp picture that belongs on a screen of this size.
    fn plate(&self, _screen: Rect) -> Option<Plate> {
        None
    }
}

impl App for Model {
    fn update(&mut self, msg: Msg) -> Vec<Effect> {
        ui::update(self, msg)
    }

    fn take_dirty(&mut self) -> bool {
        std::mem::take(&mut self.dirty)
    }

    fn draw(&self, frame: &mut Frame<'_>) {
        ui::draw(self, frame);
    }

    fn next_tick(&self) -> Option<Seconds> {
        Self::next_tick(self)
    }

    fn log(&self) -> &[Entry] {
        self.session.log()
    }

    fn plate(&self, screen: Rect) -> Option<Plate> {
        Self::plate(self, screen)
    }
}

impl App for Fault {
    fn update(&mut self, msg: Msg) -> Vec<Effect> {
        Self::update(self, &msg)
    }

    fn take_dirty(&mut self) -> bool {
        std::mem::take(&mut self.dirty)
    }

    fn draw(&self, frame: &mut Frame<'_>) {
        Self::draw(self, frame);
    }
}

impl App for List {
    fn update(&mut self, msg: Msg) -> Vec<Effect> {
        Self::update(self, msg)
    }

    fn take_dirty(&mut self) -> bool {
        std::mem::take(&mut self.dirty)
    }

    fn draw(&self, frame: &mut Frame<'_>) {
        Self::draw(self, frame);
    }
}

impl App for Draft {
    fn update(&mut self, msg: Msg) -> Vec<Effect> {
        Self::update(self, msg)
    }

    fn take_dirty(&mut self) -> bool {
        std::mem::take(&mut self.dirty)
    }

    fn draw(&self, frame: &mut Frame<'_>) {
        Self::draw(self, frame);
    }
}
