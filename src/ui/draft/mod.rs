//! Drafting on the screen: the wish, the search, the list of plans, a look at one, its file.
//!
//! Pure like the rest of the floor: searching and writing are asked of the shell as [`Wanted`], and
//! answered as [`Heard`].

mod list;
mod update;
mod view;

#[cfg(test)]
mod tests;

use super::model::Tone;
use super::press::Gate;
use super::settings::Settings;
use crate::planner::draft::form::items;
use crate::planner::draft::{Drafted, Form, NoPlan, Progress, Wish};

/// What the shell does for a draft.
#[derive(Debug, Clone, PartialEq)]
pub enum Wanted {
    /// Search beside the drawing; the number comes back with every answer.
    Search(u32, Box<Wish>),
    /// Stop searching.
    Stop,
    /// Write a plan as a new file of that name, and answer with `Saved`.
    Save {
        /// The file's name, as typed.
        name: String,
        /// The plan.
        text: String,
    },
}

/// What the shell tells of a draft.
#[derive(Debug, Clone)]
pub enum Heard {
    /// How far the search of that number is.
    Progress(u32, Progress),
    /// It has ended.
    Ended(u32, Box<Result<Drafted, NoPlan>>),
    /// The file was written under that name, or why not.
    Saved(Result<String, String>),
}

/// Which screen is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Screen {
    Wish,
    /// A search runs.
    Search,
    /// No plan, and why.
    None(Vec<String>),
    /// The short list.
    List,
    /// One plan, from that row on.
    Look(usize),
    /// The name of its file is asked.
    Name,
    /// It is written, under that name.
    Saved(String),
}

/// A draft on the screen.
#[derive(Debug, Clone)]
pub struct Draft {
    /// The wish as typed.
    pub form: Form,
    /// The file that the plan was written to.
    pub written: Option<String>,
    /// True when the plan is to be worked now.
    pub work: bool,
    /// True to search as soon as the screen is there.
    pub starts: bool,
    /// Something to draw.
    pub dirty: bool,
    screen: Screen,
    /// Place of the marked item.
    item: usize,
    /// Place of the marked plan.
    plan: usize,
    /// The line being typed.
    typing: Option<String>,
    /// The answer to the last key.
    say: Option<(Tone, String)>,
    /// Number of the search, so that an older one's answer is not taken.
    number: u32,
    progress: Progress,
    found: Option<Drafted>,
    /// BACKSPACE was pressed once.
    leaving: bool,
    settings: Settings,
    gate: Gate,
}

impl Draft {
    /// With the wish so far, at the first item that must still be typed.
    #[must_use]
    pub fn new(form: Form, settings: Settings) -> Self {
        let gate = Gate::new(settings.quiet_ms);
        let missing = form.missing();
        let item = items().iter().position(|item| missing.contains(&item.key));
        Self {
            form,
            written: None,
            work: false,
            starts: false,
            dirty: true,
            screen: Screen::Wish,
            item: item.unwrap_or(0),
            plan: 0,
            typing: None,
            say: None,
            number: 0,
            progress: Progress {
                done: 0,
                of: 0,
                plans: 0,
            },
            found: None,
            leaving: false,
            settings,
            gate,
        }
    }

    /// The key of the marked item.
    fn key(&self) -> &'static str {
        items().get(self.item).map_or("length", |item| item.key)
    }

    /// How many plans are on the list.
    fn plans(&self) -> usize {
        self.found.as_ref().map_or(0, |found| found.offers.len())
    }
}

/// A file name out of a title.
#[must_use]
pub fn file_name(title: &str) -> String {
    let mut name = String::new();
    for c in title.chars().map(|c| c.to_ascii_lowercase()) {
        if c.is_ascii_alphanumeric() {
            name.push(c);
        } else if !name.ends_with('-') && !name.is_empty() {
            name.push('-');
        }
    }
    let name: String = name.trim_end_matches('-').chars().take(60).collect();
    match name.as_str() {
        "" => "drafted.toml".to_owned(),
        name => format!("{name}.toml"),
    }
}
