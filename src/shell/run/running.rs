//! One screen, running: what comes in is taken up, what the screen wants is done, then it is drawn.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, PoisonError};

use super::super::app::App;
use super::super::clock::Now;
use super::super::gauge::Said;
use super::super::input::Input;
use super::super::plates::Plates;
use super::super::shop::Shop;
use super::super::signals::{self, Signal};
use super::super::store::Store;
use super::super::watch::Watch;
use super::super::{crash, guard, terminal};
use super::newest::Newest;
use super::{Ending, Flow, MOST_AT_ONCE, Message, Shell};
use crate::journal::Entry;
use crate::planner::foresight::{Outlook, foresee};
use crate::session::{Asked, Cache};
use crate::ui::{Effect, Key, Msg, PhotoAsk, Press};

/// One screen, running.
pub(super) struct Running<'a, A> {
    pub(super) shell: &'a mut Shell,
    pub(super) app: &'a mut A,
    /// None on a screen without a job, or that only shows it.
    pub(super) store: Option<Store>,
    /// The plan of the job.
    pub(super) plan: Option<PathBuf>,
    pub(super) watches: Vec<Watch>,
    /// Records that go ahead of the next.
    pub(super) unsaved: Vec<Entry>,
    /// What is not on the disk since the last attempt, and why.
    pub(super) failed: Option<String>,
    pub(super) reckoning: Arc<Newest<(Asked, Arc<Mutex<Cache>>)>>,
    /// What was worked for the numbers before.
    pub(super) cache: Arc<Mutex<Cache>>,
    pub(super) foreseeing: Arc<Newest<Outlook>>,
    /// Put up to stop the search that runs.
    pub(super) searching: Arc<AtomicBool>,
    pub(super) plates: Plates,
    /// The folder that photographs come to, watched once it was asked for.
    pub(super) photos: PathBuf,
    pub(super) photo_watch: Option<Watch>,
    pub(super) counting: Arc<Newest<(PathBuf, PhotoAsk)>>,
}

impl<A: App> Running<'_, A> {
    pub(super) fn all(&mut self) -> ControlFlow<Ending, Infallible> {
        for watch in &self.watches {
            // it may have been saved since it was read
            watch.look();
        }
        if let Some(unwatched) = self
            .watches
            .iter()
            .find_map(|watch| watch.unwatched.clone())
        {
            self.tell(Msg::Trouble(unwatched))?;
        }
        self.resized()?;
        self.draw_afresh()?;
        self.read_shop()?;
        loop {
            self.turn()?;
        }
    }

    /// Waits, takes up all that came, draws once.
    fn turn(&mut self) -> Flow {
        let mut message = self.shell.wait(self.app.next_tick());
        for _ in 0..MOST_AT_ONCE {
            match message {
                None => self.tick()?,
                Some(message) => self.take_up(message)?,
            }
            match self.shell.inbox.try_recv() {
                Ok(next) => message = Some(next),
                Err(_) => break,
            }
        }
        if self.app.take_dirty() {
            self.draw()?;
        }
        ControlFlow::Continue(())
    }

    fn take_up(&mut self, message: Message) -> Flow {
        match message {
            Message::Input(Input::Gone, _) | Message::Signal(Signal::HangUp | Signal::End) => {
                self.end()
            }
            Message::Signal(Signal::Stop) | Message::Input(Input::Stop, _) => {
                if signals::can_stop() {
                    terminal::hand_back();
                    signals::stop_here();
                }
                // the signal that says so brings the screen back
                ControlFlow::Continue(())
            }
            Message::Signal(Signal::Continued) => {
                if self.shell.screen.retake().is_err() {
                    return self.end();
                }
                self.tick()?;
                self.resized()?;
                self.tell(Msg::Redraw)?;
                self.draw()
            }
            Message::Input(ref input, _) if self.shell.is_overdue() && !input.is_interrupt() => {
                ControlFlow::Continue(())
            }
            Message::Input(Input::Redraw, _) => self.draw_afresh(),
            Message::Input(Input::Key { key, repeat }, now) => self.tell(Msg::Key(Press {
                key,
                repeat,
                ..enter(now)
            })),
            Message::Input(Input::Paste(text), _) => self.tell(Msg::Paste(text)),
            Message::Input(Input::Reading(text), now) => self.tell(Msg::Reading(text, enter(now))),
            Message::Input(Input::Resize, _) | Message::Signal(Signal::Resized) => {
                // a terminal that was made smaller and bigger again has lost what it showed
                self.shell.screen.forget();
                self.resized()
            }
            Message::Plan(job, text) if job == self.shell.job => {
                self.tick()?;
                self.tell(Msg::PlanFile(text))
            }
            Message::FireAndMetal(job, found) if job == self.shell.job => {
                self.tell(Msg::FireAndMetal(found))
            }
            Message::Foreseen(job, found) if job == self.shell.job => {
                self.tell(Msg::Foreseen(found))
            }
            Message::Shop(job, found) if job == self.shell.job => {
                let Shop {
                    others,
                    book,
                    trouble,
                    ..
                } = *found;
                self.tell(Msg::Shop {
                    others,
                    book,
                    trouble,
                })
            }
            Message::Draft(job, heard) if job == self.shell.job => self.tell(Msg::Draft(heard)),
            Message::Photo(job, told) if job == self.shell.job => {
                self.tick()?;
                self.tell(Msg::Photo(*told))
            }
            Message::List(job, rows) if job == self.shell.job => self.tell(Msg::List(rows)),
            Message::Followed(job, found) if job == self.shell.job => {
                self.tick()?;
                self.tell(Msg::Followed(found))
            }
            Message::Plate(job, plate, bytes) if job == self.shell.job => {
                let bytes = match bytes {
                    Ok(bytes) => bytes,
                    Err(why) => {
                        self.tell(Msg::Trouble(why))?;
                        Vec::new()
                    }
                };
                self.plates.made(*plate, bytes);
                self.sharpen()
            }
            Message::Gauge(Said::Reading(text), now) => {
                self.tell(Msg::Reading(Some(text), enter(now)))
            }
            Message::Gauge(Said::Trouble(text), _) => self.tell(Msg::Trouble(text)),
            Message::Failed(job, why) if job == self.shell.job => self.tell(Msg::Trouble(format!(
                "a sum failed ({why}); the record is safe. Odd sizes may be the cause: take the last one back"
            ))),
            Message::Plan(..)
            | Message::Failed(..)
            | Message::Plate(..)
            | Message::FireAndMetal(..)
            | Message::Foreseen(..)
            | Message::Shop(..)
            | Message::Photo(..)
            | Message::List(..)
            | Message::Followed(..)
            | Message::Draft(..) => ControlFlow::Continue(()),
            Message::Fail => crash::fail_on_purpose(),
        }
    }

    /// Tells the size of the screen.
    fn resized(&mut self) -> Flow {
        match self.shell.screen.size() {
            Ok((columns, rows)) => self.tell(Msg::Resize(columns, rows)),
            Err(_) => self.end(),
        }
    }

    /// Tells the time.
    fn tick(&mut self) -> Flow {
        let now = self.shell.clock.now();
        self.tell(Msg::Tick {
            at: now.at,
            mono_ms: now.mono_ms,
        })
    }

    /// Tells the screen, and does what it wants done and what follows from that.
    pub(super) fn tell(&mut self, msg: Msg) -> Flow {
        let mut effects = VecDeque::from(self.update(msg)?);
        while let Some(effect) = effects.pop_front() {
            match effect {
                Effect::Append(entries) => {
                    let (result, told) = self.append(entries);
                    if matches!(result, Msg::AppendFailed(_)) {
                        // those behind it would leave a gap
                        effects.retain(|effect| !matches!(effect, Effect::Append(_)));
                    }
                    effects.extend(self.update(result)?);
                    for told in told {
                        effects.extend(self.update(Msg::Trouble(told))?);
                    }
                }
                Effect::Bell => {
                    if self.shell.screen.bell().is_err() {
                        return self.end();
                    }
                }
                Effect::LookAtPlan => {
                    self.watches.iter().for_each(Watch::look);
                }
                Effect::Reckon(asked) => {
                    let reckon = |job, (asked, cache): &(Asked, Arc<Mutex<Cache>>)| {
                        let cache = cache.lock().unwrap_or_else(PoisonError::into_inner);
                        Message::FireAndMetal(job, Box::new(asked.answer(&cache)))
                    };
                    let asked = (*asked, Arc::clone(&self.cache));
                    if let Some(trouble) = self.answer(&self.reckoning, asked, reckon) {
                        effects.extend(self.update(trouble)?);
                    }
                }
                Effect::Foresee(asked) => {
                    let look =
                        |job, asked: &Outlook| Message::Foreseen(job, Box::new(foresee(asked)));
                    if let Some(trouble) = self.answer(&self.foreseeing, *asked, look) {
                        effects.extend(self.update(trouble)?);
                    }
                }
                Effect::EditShop(edit) => {
                    let result = self.edit_shop(edit);
                    effects.extend(self.update(Msg::ShopSaved(result))?);
                }
                Effect::Photo(wish) => {
                    if let Some(trouble) = self.photo(wish) {
                        effects.extend(self.update(trouble)?);
                    }
                }
                Effect::Shelve(side) => {
                    let result = self.shelve(&side);
                    effects.extend(self.update(Msg::Shelved(result))?);
                }
                Effect::Draft(wanted) => {
                    if let Some(answer) = self.draft(wanted) {
                        effects.extend(self.update(answer)?);
                    }
                }
                Effect::Quit => {
                    let failed = self.failed.take();
                    return ControlFlow::Break(failed.map_or(Ending::Quit, Ending::Unsaved));
                }
            }
        }
        ControlFlow::Continue(())
    }

    /// What the screen makes of it; one that fails is over, but not the program.
    fn update(&mut self, msg: Msg) -> ControlFlow<Ending, Vec<Effect>> {
        match guard::caught(|| self.app.update(msg)) {
            Ok(effects) => ControlFlow::Continue(effects),
            Err(why) => ControlFlow::Break(Ending::Fault(why)),
        }
    }

    /// The last words of a screen that is ended from outside.
    pub(super) fn end(&mut self) -> Flow {
        let now = self.shell.clock.now();
        let mut effects = self.update(Msg::Tick {
            at: now.at,
            mono_ms: now.mono_ms,
        })?;
        effects.extend(self.update(Msg::Leave)?);
        for effect in effects {
            if let Effect::Append(entries) = effect {
                // whether it worked or not, nobody is there to be told
                let _ = self.append(entries);
            }
        }
        ControlFlow::Break(Ending::Asked)
    }
}

/// The key that ends a reading.
fn enter(now: Now) -> Press {
    Press {
        key: Key::Enter,
        repeat: false,
        at: now.at,
        mono_ms: now.mono_ms,
    }
}
