//! What each key does. The number pad does everything but spell a steel.

use super::{Draft, Heard, Screen, Wanted, file_name};
use crate::planner::draft::form::items;
use crate::planner::draft::{Form, NoPlan, Progress};
use crate::ui::effect::Effect;
use crate::ui::model::Tone;
use crate::ui::msg::{Key, Msg, Press};
use crate::ui::press::Pace;

/// Rows that PAGE UP and PAGE DOWN move by.
const PAGE: usize = 10;
/// Longest line.
const MOST: usize = 300;

impl Draft {
    /// Takes one message.
    pub fn update(&mut self, msg: Msg) -> Vec<Effect> {
        match msg {
            Msg::Key(press) => {
                self.dirty = true;
                self.press(&press)
            }
            Msg::Paste(text) => {
                self.dirty = true;
                for c in text.chars().filter(|c| !c.is_control()) {
                    self.letter(c);
                }
                Vec::new()
            }
            Msg::Reading(text, press) => {
                self.dirty = true;
                // where no text is being typed, digits choose at once
                if self.typing.is_none() && self.screen != Screen::Wish {
                    return Vec::new();
                }
                self.typing = text;
                self.type_key(press.key)
            }
            Msg::Draft(heard) => self.hear(heard),
            Msg::Leave => vec![Effect::Draft(Wanted::Stop), Effect::Quit],
            Msg::Trouble(why) => {
                self.dirty = true;
                self.say = Some((Tone::Stop, why));
                Vec::new()
            }
            // the first thing that a screen is told is its size
            Msg::Resize(..) if std::mem::take(&mut self.starts) => self.search(),
            Msg::Resize(..) | Msg::Redraw => {
                self.dirty = true;
                Vec::new()
            }
            _ => Vec::new(),
        }
    }

    /// Begins to search, where the wish can be read; else marks the item that stands in the way.
    pub fn search(&mut self) -> Vec<Effect> {
        self.dirty = true;
        match self.form.wish() {
            Ok(wish) => {
                self.number += 1;
                self.progress = Progress {
                    done: 0,
                    of: 0,
                    plans: 0,
                };
                self.say = None;
                self.screen = Screen::Search;
                vec![Effect::Draft(Wanted::Search(self.number, Box::new(wish)))]
            }
            Err(wrong) => {
                let at = items().iter().position(|item| item.key == wrong.key);
                self.item = at.unwrap_or(self.item);
                self.screen = Screen::Wish;
                self.say = Some((Tone::Caution, wrong.to_string()));
                Vec::new()
            }
        }
    }

    fn hear(&mut self, heard: Heard) -> Vec<Effect> {
        match heard {
            Heard::Progress(number, progress) => {
                // answers of several threads may overtake each other
                if number == self.number && progress.done > self.progress.done {
                    self.progress = progress;
                    self.dirty = true;
                }
            }
            Heard::Ended(number, result) => {
                if number != self.number || self.screen != Screen::Search {
                    return Vec::new();
                }
                self.dirty = true;
                match *result {
                    Ok(found) => {
                        self.found = Some(found);
                        self.plan = 0;
                        self.screen = Screen::List;
                    }
                    Err(NoPlan::Limits(why)) => self.screen = Screen::None(why),
                    Err(NoPlan::Stopped) => self.screen = Screen::Wish,
                }
            }
            Heard::Saved(Ok(name)) => {
                self.dirty = true;
                self.written = Some(name.clone());
                self.typing = None;
                self.screen = Screen::Saved(name);
            }
            Heard::Saved(Err(why)) => {
                self.dirty = true;
                self.say = Some((Tone::Caution, why));
            }
        }
        Vec::new()
    }

    fn press(&mut self, press: &Press) -> Vec<Effect> {
        if press.key == Key::Interrupt {
            return vec![Effect::Draft(Wanted::Stop), Effect::Quit];
        }
        let moves = matches!(
            press.key,
            Key::Up | Key::Down | Key::PageUp | Key::PageDown | Key::Tab
        );
        // A wish is typed at a desk: two items may be taken within the quiet time.
        let letter = matches!(press.key, Key::Char(_) | Key::Backspace);
        let letters = self.typing.is_some() && (letter || self.screen == Screen::Wish);
        if !self.gate.take(press, Pace::of(moves || letters)) {
            return Vec::new();
        }
        let was_leaving = std::mem::take(&mut self.leaving);
        self.say = None;
        if self.typing.is_some() {
            return self.type_key(press.key);
        }
        match self.screen.clone() {
            Screen::Wish => self.wish_key(press.key, was_leaving),
            Screen::Search => self.search_key(press.key),
            Screen::None(_) => {
                self.screen = Screen::Wish;
                Vec::new()
            }
            Screen::List => self.list_key(press.key),
            Screen::Look(top) => self.look_key(press.key, top),
            Screen::Name => Vec::new(),
            Screen::Saved(_) => self.saved_key(press.key),
        }
    }

    fn wish_key(&mut self, key: Key, was_leaving: bool) -> Vec<Effect> {
        let last = items().len() - 1;
        match key {
            Key::Up => self.item = self.item.saturating_sub(1),
            Key::Down | Key::Tab => self.item = (self.item + 1).min(last),
            Key::PageUp => self.item = self.item.saturating_sub(PAGE),
            Key::PageDown => self.item = (self.item + PAGE).min(last),
            Key::Char(' ' | '+') => return self.search(),
            Key::Char('*') => {
                // an empty text takes the item back to what is usual
                let _ = self.form.put(self.key(), "");
            }
            Key::Enter | Key::Right if Form::is_choice(self.key()) => {
                self.form.step(self.key());
            }
            Key::Enter | Key::Right => {
                let usual = self.form.text(self.key());
                let text = if usual == "none" { "" } else { usual };
                self.typing = Some(text.to_owned());
            }
            Key::Char('/') if Form::is_choice(self.key()) => {
                self.form.step(self.key());
            }
            Key::Backspace | Key::Esc | Key::Char('-') => {
                if was_leaving || self.form == Form::default() {
                    return vec![Effect::Quit];
                }
                self.leaving = true;
                let text =
                    "Leave? The wish is not kept. Press it again to leave, anything else to stay";
                self.say = Some((Tone::Caution, text.to_owned()));
            }
            Key::Char(c) if !Form::is_choice(self.key()) => self.typing = Some(c.to_string()),
            _ => {}
        }
        Vec::new()
    }

    fn search_key(&mut self, key: Key) -> Vec<Effect> {
        let stops = matches!(key, Key::Esc | Key::Backspace | Key::Char('0' | '-'));
        if !stops {
            return Vec::new();
        }
        // what still comes of it is not taken
        self.number += 1;
        self.screen = Screen::Wish;
        self.say = Some((Tone::Plain, "Stopped. + searches again".to_owned()));
        vec![Effect::Draft(Wanted::Stop)]
    }

    fn list_key(&mut self, key: Key) -> Vec<Effect> {
        let last = self.plans().saturating_sub(1);
        match key {
            Key::Up => self.plan = self.plan.saturating_sub(1),
            Key::Down | Key::Tab => self.plan = (self.plan + 1).min(last),
            Key::Char(' ' | '+') | Key::Enter => self.screen = Screen::Look(0),
            Key::Backspace | Key::Esc | Key::Char('-') => self.screen = Screen::Wish,
            Key::Char(c) => self.open(c),
            _ => {}
        }
        Vec::new()
    }

    /// Looks at the plan of that digit.
    fn open(&mut self, digit: char) {
        let place = digit.to_digit(10).map_or(0, |n| n as usize);
        if let Some(at) = place.checked_sub(1).filter(|at| *at < self.plans()) {
            self.plan = at;
            self.screen = Screen::Look(0);
        }
    }

    fn look_key(&mut self, key: Key, top: usize) -> Vec<Effect> {
        // the view ends at the last row; a top behind it would take as many presses back
        let most = self.rows().saturating_sub(1);
        let to = |top: usize| Screen::Look(top.min(most));
        match key {
            Key::Up => self.screen = to(top.saturating_sub(1)),
            Key::Down | Key::Tab => self.screen = to(top + 1),
            Key::PageUp => self.screen = to(top.saturating_sub(PAGE)),
            Key::PageDown => self.screen = to(top + PAGE),
            Key::Char(' ' | '+') | Key::Enter => {
                let title = self
                    .found
                    .as_ref()
                    .map_or("", |found| found.wish.title.as_str());
                self.typing = Some(file_name(title));
                self.screen = Screen::Name;
            }
            Key::Backspace | Key::Esc | Key::Char('-') => self.screen = Screen::List,
            Key::Char(c) => self.open(c),
            _ => {}
        }
        Vec::new()
    }

    fn saved_key(&mut self, key: Key) -> Vec<Effect> {
        match key {
            Key::Char(' ' | '+') | Key::Enter => {
                self.work = true;
                vec![Effect::Quit]
            }
            Key::Backspace | Key::Esc | Key::Char('-' | '0') => vec![Effect::Quit],
            _ => Vec::new(),
        }
    }

    fn letter(&mut self, c: char) {
        if let Some(text) = &mut self.typing
            && text.chars().count() < MOST
        {
            text.push(c);
        }
    }

    fn type_key(&mut self, key: Key) -> Vec<Effect> {
        match key {
            Key::Char(c) => self.letter(c),
            Key::Backspace => {
                if let Some(text) = &mut self.typing {
                    text.pop();
                }
            }
            Key::Esc => {
                self.typing = None;
                if self.screen == Screen::Name {
                    self.screen = Screen::Look(0);
                }
            }
            Key::Enter | Key::Down | Key::Up | Key::Tab if self.screen == Screen::Wish => {
                self.take(key);
            }
            Key::Enter if self.screen == Screen::Name => return self.save(),
            _ => {}
        }
        Vec::new()
    }

    /// Takes the typed text for the marked item, and goes on to the next; what does not read stays.
    fn take(&mut self, key: Key) {
        let Some(text) = self.typing.clone() else {
            return;
        };
        let mut with = self.form.clone();
        // the name is in the table
        let _ = with.put(self.key(), &text);
        if let Some(wrong) = with.trouble(self.key()).filter(|_| !text.trim().is_empty()) {
            self.say = Some((Tone::Caution, wrong.to_string()));
            return;
        }
        self.form = with;
        self.typing = None;
        self.item = match key {
            Key::Up => self.item.saturating_sub(1),
            _ => (self.item + 1).min(items().len() - 1),
        };
    }

    fn save(&mut self) -> Vec<Effect> {
        let chosen = self
            .found
            .as_ref()
            .and_then(|found| found.offers.get(self.plan));
        let (Some(name), Some((offer, _))) = (self.typing.clone(), chosen) else {
            return Vec::new();
        };
        if name.trim().is_empty() {
            self.say = Some((Tone::Caution, "type a name for the file".to_owned()));
            return Vec::new();
        }
        vec![Effect::Draft(Wanted::Save {
            name: name.trim().to_owned(),
            text: offer.text.clone(),
        })]
    }
}
