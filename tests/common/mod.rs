//! A desk for tests: the real screen on a plan, with a shell that writes to memory.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::panic,
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::cast_precision_loss
)]

pub mod dice;
pub mod html;
pub mod picture;
pub mod program;
pub mod worked;

use anvilside::journal::{Entry, Event};
use anvilside::session::{Cache, Session};
use anvilside::ui::theme::Theme;
use anvilside::ui::{
    Effect, Key, Mode, Model, Msg, PhotoFile, PhotoTold, PhotoWish, Press, Settings, Shades, draw,
    update,
};
use anvilside::units::{Seconds, Stamp};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;

/// 2026-03-02 08:00 UTC, a Monday.
pub const MORNING: Stamp = Stamp(1_772_438_400_000);

/// As in a terminal of 256 colours.
pub fn of_256_colours() -> Settings {
    Settings {
        shades: Shades::of(None, Some("xterm-256color")),
        ..Settings::default()
    }
}

/// The screen, its clock, and the journal so far.
pub struct Desk {
    pub model: Model,
    pub journal: Vec<Entry>,
    pub now: Stamp,
    pub bells: usize,
    /// Keys pressed so far.
    pub presses: usize,
    /// The screens at 80 x 24 after each key, with their times, where wanted.
    pub trail: Option<Vec<(Stamp, Buffer)>>,
    pub quit: bool,
    /// When set, appends fail with this reason.
    pub disk_full: Option<String>,
    /// Forecasts are worked; a long walk that does not look at them goes without.
    pub foresees: bool,
    /// Numbers of fire and metal are worked; a long walk that does not look at them goes without.
    pub reckons: bool,
    /// What was worked for the numbers before.
    pub cache: Cache,
    /// The folder that photographs come to, where there is one.
    pub photos: Option<std::path::PathBuf>,
    /// The shop file.
    pub shop: anvilside::planner::learn::ShopBook,
}

/// The text of a plan of the project's own.
pub fn plan_text(name: &str) -> String {
    let path = format!("{}/plans/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// The pair of kitchen knives with blanks that take all of the bar: no margin is left in the last cut.
pub fn tight_pair() -> String {
    plan_text("kitchen-pair").replace("length = 125\nkeep = true", "length = 260")
}

fn first(text: &str, at: Stamp) -> Vec<Entry> {
    let hash = crc32fast::hash(text.as_bytes());
    vec![
        Entry {
            seq: 1,
            at,
            event: Event::Plan {
                hash,
                text: text.to_owned(),
            },
        },
        Entry {
            seq: 2,
            at,
            event: Event::Opened {
                offset: 0,
                version: "test".to_owned(),
            },
        },
    ]
}

impl Desk {
    /// A fresh job on a plan's text.
    pub fn on(text: &str) -> Self {
        Self::reopen(first(text, MORNING), MORNING, Settings::default())
    }

    /// A fresh job on one of the sample plans.
    pub fn sample(name: &str) -> Self {
        Self::on(&plan_text(name))
    }

    /// The screen as it opens on a journal.
    pub fn reopen(journal: Vec<Entry>, now: Stamp, settings: Settings) -> Self {
        let session = Session::fold(journal.clone()).expect("journal folds");
        let model = Model::new(session, settings, now);
        Self {
            model,
            journal,
            now,
            bells: 0,
            presses: 0,
            trail: None,
            quit: false,
            disk_full: None,
            foresees: true,
            reckons: true,
            cache: Cache::default(),
            photos: None,
            shop: anvilside::planner::learn::ShopBook::default(),
        }
    }

    /// Ends the program without a word and opens it again after so long.
    pub fn killed_and_reopened(self, after: Seconds) -> Self {
        let now = self.now.plus(after);
        let mut journal = self.journal;
        let seq = journal.last().map_or(1, |entry| entry.seq + 1);
        let event = Event::Opened {
            offset: 0,
            version: "test".to_owned(),
        };
        journal.push(Entry {
            seq,
            at: now,
            event,
        });
        Self::reopen(journal, now, self.model.settings.clone())
    }

    pub fn send(&mut self, msg: Msg) {
        let mut queue: std::collections::VecDeque<Msg> = [msg].into();
        while let Some(msg) = queue.pop_front() {
            for effect in update(&mut self.model, msg) {
                match effect {
                    Effect::Append(entries) => match &self.disk_full {
                        Some(why) => queue.push_back(Msg::AppendFailed(why.clone())),
                        None => {
                            self.journal.extend(entries.clone());
                            queue.push_back(Msg::Appended(entries));
                        }
                    },
                    Effect::Reckon(_) if !self.reckons => {}
                    Effect::Reckon(asked) => {
                        queue.push_back(Msg::FireAndMetal(Box::new(asked.answer(&self.cache))));
                    }
                    Effect::Foresee(_) if !self.foresees => {}
                    Effect::Foresee(asked) => {
                        let found = anvilside::planner::foresight::foresee(&asked);
                        queue.push_back(Msg::Foreseen(Box::new(found)));
                    }
                    Effect::EditShop(edit) => {
                        let result = match &self.disk_full {
                            Some(why) => Err(why.clone()),
                            None => {
                                self.shop.edit(edit);
                                Ok(self.shop.clone())
                            }
                        };
                        queue.push_back(Msg::ShopSaved(result));
                    }
                    Effect::Photo(wish) => queue.extend(self.photo(wish)),
                    Effect::Bell => self.bells += 1,
                    Effect::Quit => self.quit = true,
                    _ => {}
                }
            }
        }
    }

    /// What the shell would tell of the folder of photographs: its pictures by name.
    fn photo(&self, wish: PhotoWish) -> Option<Msg> {
        let folder = self.photos.as_ref()?;
        Some(Msg::Photo(match wish {
            PhotoWish::Newest => {
                let mut files: Vec<PhotoFile> = std::fs::read_dir(folder)
                    .expect("a folder")
                    .map(|entry| entry.expect("an entry").file_name())
                    .map(|name| PhotoFile {
                        name: name.into_string().expect("text"),
                        changed: self.now,
                    })
                    .filter(|file| file.name.ends_with(".jpg"))
                    .collect();
                files.sort_by(|a, b| a.name.cmp(&b.name));
                files.truncate(9);
                PhotoTold::Newest("photos".to_owned(), Ok(files))
            }
            PhotoWish::Count(ask) => {
                let photo = match &ask.photo {
                    Some(photo) => Ok(photo.clone()),
                    None => anvilside::shell::photo::read(&folder.join(&ask.name))
                        .map(Into::into)
                        .map_err(String::from),
                };
                PhotoTold::Counted(Box::new(ask.answer(photo)))
            }
        }))
    }

    /// One press, a second after the last.
    pub fn key(&mut self, key: Key) {
        self.now = self.now.plus(Seconds(1.0));
        self.press_now(key);
    }

    pub fn press_now(&mut self, key: Key) {
        self.presses += 1;
        let mono_ms = u64::try_from(self.now.0).expect("after 1970");
        self.send(Msg::Key(Press {
            key,
            repeat: false,
            at: self.now,
            mono_ms,
        }));
        if self.trail.is_some() {
            let shown = (self.now, self.buffer(80, 24));
            self.trail
                .iter_mut()
                .for_each(|trail| trail.push(shown.clone()));
        }
    }

    /// Types each character of a text, a second apart.
    pub fn keys(&mut self, text: &str) {
        for c in text.chars() {
            self.key(match c {
                '\n' => Key::Enter,
                '<' => Key::Backspace,
                c => Key::Char(c),
            });
        }
    }

    /// Time goes by, with the ticks that a running screen gets.
    pub fn wait(&mut self, span: Seconds) {
        self.now = self.now.plus(span);
        let mono_ms = u64::try_from(self.now.0).expect("after 1970");
        self.send(Msg::Tick {
            at: self.now,
            mono_ms,
        });
    }

    /// The numbers of fire and metal as they are now, as the program has them from beside the screen.
    pub fn reckon_now(&mut self) {
        let inputs = self.model.session.inputs(self.now, &self.cache);
        let found = anvilside::session::reckon(&inputs, &self.cache);
        self.send(Msg::FireAndMetal(Box::new(found)));
    }

    /// Settles every item of the card as a smith would on the number pad.
    pub fn answer_card(&mut self) {
        use anvilside::plan::Answer;
        for _ in 0..200 {
            let card = self.model.session.card();
            let Some(item) = card.current().and_then(|at| card.items.get(at)) else {
                // The key that settled the card rests before it moves the work on.
                self.wait(Seconds(3.0));
                return;
            };
            if item.is_joint() {
                self.keys("+");
                continue;
            }
            match &item.caution.answer {
                Answer::Done | Answer::Watch => self.keys("+"),
                Answer::Number { .. } => {
                    // A choice and a number on the same key want a pause.
                    self.wait(Seconds(3.0));
                    let value = wanted_number(&self.model.session, &item.caution);
                    self.keys(&format!("{value}\n"));
                }
                Answer::Choice(_) => self.keys("1"),
            }
        }
        panic!("the card does not end: {:?}", self.model.session.card());
    }

    /// On to the step of that id, everything before it done as expected.
    pub fn go_to(&mut self, id: &str) {
        while self.model.session.current().unwrap().id.0 != id {
            self.finish_step();
        }
    }

    /// From wherever the step is to the next one, with the number pad alone and the expected heats.
    pub fn finish_step(&mut self) {
        let at = self.model.session.at;
        if matches!(self.model.mode, Mode::Legal | Mode::Resume) {
            self.keys("+");
        }
        self.answer_card();
        let heats = self.model.session.current().map_or(0, |step| step.heats);
        let hot = self
            .model
            .session
            .current()
            .is_some_and(|step| step.kind().is_hot());
        if hot {
            let inside = self.model.session.soak().map_or(0.0, |soak| soak.0);
            for _ in 0..heats {
                self.keys("+");
                // Where the numbers of the fire are known, as long as its clock counts.
                let counted = self.model.soak().map_or(0.0, |need| need.best + 1.0);
                self.wait(Seconds(inside.max(300.0).max(counted)));
                self.keys("+");
                self.wait(Seconds(40.0));
            }
            self.key(Key::Enter);
        } else {
            self.keys("+");
        }
        let mut waited = false;
        for _ in 0..20 {
            if self.model.session.at != at {
                if hot && !waited {
                    // What comes from the fire lies until it is cold.
                    self.wait(Seconds(3.0 * 3600.0));
                }
                return;
            }
            if self.model.session.is_timing() {
                waited = true;
                self.wait(Seconds(3.0 * 3600.0));
            }
            self.keys("+");
        }
        panic!(
            "step {at} does not end; mode {:?}, reply {:?}",
            self.model.mode, self.model.reply
        );
    }

    /// The screen as drawn at this size.
    pub fn buffer(&self, columns: u16, rows: u16) -> Buffer {
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).expect("backend");
        terminal
            .draw(|frame| draw(&self.model, frame))
            .expect("draws");
        terminal.backend().buffer().clone()
    }

    /// The screen as lines of text.
    pub fn lines(&self, columns: u16, rows: u16) -> Vec<String> {
        let buffer = self.buffer(columns, rows);
        (0..rows)
            .map(|y| {
                let row: String = (0..columns)
                    .map(|x| buffer[(x, y)].symbol().to_owned())
                    .collect();
                row.trim_end().to_owned()
            })
            .collect()
    }

    /// The screen as one text.
    pub fn screen(&self, columns: u16, rows: u16) -> String {
        self.lines(columns, rows).join("\n")
    }

    /// True when the 80 x 24 screen shows these words.
    pub fn shows(&self, words: &str) -> bool {
        self.screen(80, 24).contains(words)
    }
}

/// Settings with a theme.
pub fn themed(theme: Theme) -> Settings {
    Settings {
        theme,
        ..Settings::default()
    }
}

/// A number that the caution takes and that is true of the job, as typed in the plan's units.
pub fn wanted_number(session: &Session, caution: &anvilside::plan::Caution) -> String {
    use anvilside::plan::{Answer, Quantity};
    let Answer::Number { of, .. } = &caution.answer else {
        panic!("{} asks for no number", caution.id.0);
    };
    let first = session
        .current()
        .is_some_and(|step| step.kind().word() == "stack");
    let value = match of {
        Quantity::Pieces if first => session.billet.first.len() as f64,
        Quantity::Pieces => f64::from(session.billet.pieces),
        _ => caution.limits.least.or(caution.limits.most).unwrap_or(5.0),
    };
    let shown = of.show(value, session.plan.units);
    let (number, _) = shown.rsplit_once(' ').expect("a number and its unit");
    number.to_owned()
}
