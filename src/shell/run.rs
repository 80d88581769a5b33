//! The loop: receive, update, perform, draw when something changed.
//!
//! One channel brings everything that can happen; the loop sleeps on it and wakes for nothing else, save
//! a clock tick while the screen counts one down. A record is written and synced before the screen that
//! shows it is drawn.

use std::collections::VecDeque;
use std::fmt;
use std::io;
use std::ops::ControlFlow;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::Duration;

use crossterm::event::{KeyCode, KeyModifiers};
use ratatui::Frame;

use super::clock::{Clock, Now};
use super::crash;
use super::input::{self, Input};
use super::paths::JobPaths;
use super::signals::{self, Signal};
use super::store::Store;
use super::terminal::{self, Screen};
use super::watch::{PlanText, Watch};
use crate::journal::Entry;

/// Most messages taken up before a frame is drawn.
const MOST_AT_ONCE: usize = 1000;

/// What can happen to an [`App`].
#[derive(Debug)]
pub enum Happening<T> {
    /// A key went down.
    Key {
        /// Which.
        code: KeyCode,
        /// With which others.
        modifiers: KeyModifiers,
        /// The terminal says that it is held.
        repeat: bool,
    },
    /// Text was pasted.
    Paste(String),
    /// The terminal has this many columns and rows now.
    Resize(u16, u16),
    /// The time that was asked for has come.
    Tick,
    /// The record of that number is on the disk.
    Appended(u64),
    /// The record is not on the disk, and why, as a sentence.
    AppendFailed(String),
    /// The plan was saved, or cannot be read any more.
    Plan(PlanText),
    /// Something in the world does not work as it should, as a sentence.
    Trouble(String),
    /// Back after the program was stopped.
    Resumed,
    /// The end, asked for from outside. What must be recorded is recorded now.
    Ending,
    /// What a [`Deed::Work`] came to.
    Worked(T),
}

/// What an [`App`] asks of the world.
pub enum Deed<T> {
    /// Write and sync a record, then tell whether it is on the disk.
    Append(Entry),
    /// Sound the bell.
    Bell,
    /// Read the plan again.
    Look,
    /// Think in another thread.
    Work(Box<dyn FnOnce() -> T + Send>),
    /// End.
    Quit,
}

/// A screen without the world.
pub trait App {
    /// What its work in other threads comes to.
    type Work: Send + 'static;

    /// Takes in what happened and says what is to be done.
    fn update(&mut self, what: Happening<Self::Work>, now: Now) -> Vec<Deed<Self::Work>>;

    /// True when the frame is no longer what was last drawn; from then on false until it changes again.
    fn take_dirty(&mut self) -> bool;

    /// Draws.
    fn draw(&self, frame: &mut Frame<'_>);

    /// How long until it wants a tick; `None` when nothing on the screen moves by itself.
    fn next_tick(&self, now: Now) -> Option<Duration>;
}

/// What one job has of the world.
#[derive(Debug)]
pub struct Job {
    /// Its journal.
    pub store: Store,
    /// Its plan as last read.
    pub plan_text: String,
}

/// Why [`Shell::run`] came back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// The screen quit.
    Quit,
    /// A signal asked for the end, or the terminal is gone: nothing more may be shown.
    Asked,
}

enum Message<T> {
    Input(Input, Now),
    Signal(Signal),
    /// From the watch of that job.
    Plan(u32, PlanText),
    /// From the worker of that job.
    Worked(u32, T),
}

/// The terminal and everything that listens, for as long as the program has a screen.
pub struct Shell<T> {
    screen: Screen,
    inbox: Receiver<Message<T>>,
    outbox: Sender<Message<T>>,
    clock: Clock,
    /// Counts the jobs, so that what an earlier one set going is not taken for this one's.
    job: u32,
}

impl<T> fmt::Debug for Shell<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Shell").finish_non_exhaustive()
    }
}

impl<T> fmt::Debug for Deed<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Append(entry) => return f.debug_tuple("Append").field(entry).finish(),
            Self::Bell => "Bell",
            Self::Look => "Look",
            Self::Work(_) => "Work",
            Self::Quit => "Quit",
        })
    }
}

/// Whether the loop goes on.
type Flow = ControlFlow<Ending>;

impl<T: Send + 'static> Shell<T> {
    /// Takes the terminal and starts to listen. Crash notes go beside the journal of `paths`.
    ///
    /// # Errors
    /// When there is no terminal, or the system gives no threads; the terminal is then as it was.
    pub fn start(clock: Clock, paths: JobPaths) -> io::Result<Self> {
        let (outbox, inbox) = channel();
        // before the terminal is taken: from here on it is handed back whatever comes
        signals::listen(outbox.clone(), Message::Signal)?;
        terminal::on_panic(move |info| crash::note(info, &paths));
        let screen = Screen::take()?;
        input::listen(outbox.clone(), move |input| {
            Message::Input(input, clock.now())
        })?;
        Ok(Self {
            screen,
            inbox,
            outbox,
            clock,
            job: 0,
        })
    }

    /// Runs a screen until it quits or the program is asked to end.
    ///
    /// # Errors
    /// When the system gives no thread. A terminal that goes away is an end like any other.
    pub fn run<A: App<Work = T>>(&mut self, app: &mut A, job: Option<Job>) -> io::Result<Ending> {
        self.job += 1;
        let watch = job.as_ref().map(|job| self.watch(job)).transpose()?;
        let mut at_job = AtJob {
            store: job.map(|job| job.store),
            watch,
        };
        if let Some(watch) = &at_job.watch {
            // it may have been saved since it was read
            watch.look();
        }
        if let Some(deaf) = at_job.watch.as_ref().and_then(|w| w.deaf.clone()) {
            // it cannot quit before its first frame
            let _ = self.tell(app, &mut at_job, Happening::Trouble(deaf));
        }
        let _ = app.take_dirty();
        let mut ending = self.draw_afresh(app, &mut at_job);
        loop {
            if let ControlFlow::Break(ending) = ending {
                return Ok(ending);
            }
            ending = self.turn(app, &mut at_job);
        }
    }

    /// Waits, takes up all that came, draws once.
    fn turn<A: App<Work = T>>(&mut self, app: &mut A, at_job: &mut AtJob) -> Flow {
        let mut message = self.wait(app.next_tick(self.clock.now()));
        for _ in 0..MOST_AT_ONCE {
            match message {
                None => self.tell(app, at_job, Happening::Tick)?,
                Some(message) => self.take_up(app, at_job, message)?,
            }
            match self.inbox.try_recv() {
                Ok(next) => message = Some(next),
                Err(_) => break,
            }
        }
        if app.take_dirty() {
            self.draw(app, at_job)?;
        }
        ControlFlow::Continue(())
    }

    /// The next message, or `None` when the time for a tick has come.
    fn wait(&self, tick: Option<Duration>) -> Option<Message<T>> {
        match tick {
            // this shell holds a sender itself, so the channel never closes
            None => self.inbox.recv().ok(),
            // first, or a stream of messages would hold it up for ever
            Some(Duration::ZERO) => None,
            Some(span) => self.inbox.recv_timeout(span).ok(),
        }
    }

    fn take_up<A: App<Work = T>>(
        &mut self,
        app: &mut A,
        at_job: &mut AtJob,
        message: Message<T>,
    ) -> Flow {
        let what = match message {
            Message::Input(Input::Gone, _) | Message::Signal(Signal::HangUp | Signal::End) => {
                return self.end(app, at_job);
            }
            Message::Signal(Signal::Stop) => return self.stop(),
            Message::Signal(Signal::Continued) => {
                if self.screen.retake().is_err() {
                    return self.end(app, at_job);
                }
                self.tell(app, at_job, Happening::Resumed)?;
                return self.draw(app, at_job);
            }
            Message::Input(
                Input::Key {
                    code,
                    modifiers,
                    repeat,
                },
                now,
            ) => {
                // the two conventions of terminals that are the same on every screen
                match (code, modifiers) {
                    (KeyCode::Char('z'), KeyModifiers::CONTROL) => return self.stop(),
                    (KeyCode::Char('l'), KeyModifiers::CONTROL) => {
                        return self.draw_afresh(app, at_job);
                    }
                    _ => {}
                }
                let key = Happening::Key {
                    code,
                    modifiers,
                    repeat,
                };
                return self.tell_at(app, at_job, key, now);
            }
            Message::Input(Input::Paste(text), _) => Happening::Paste(text),
            Message::Input(Input::Resize(columns, rows), _) => Happening::Resize(columns, rows),
            Message::Plan(job, text) if job == self.job => Happening::Plan(text),
            Message::Worked(job, work) if job == self.job => Happening::Worked(work),
            Message::Plan(..) | Message::Worked(..) => return ControlFlow::Continue(()),
        };
        self.tell(app, at_job, what)
    }

    fn tell<A: App<Work = T>>(
        &mut self,
        app: &mut A,
        at_job: &mut AtJob,
        what: Happening<T>,
    ) -> Flow {
        self.tell_at(app, at_job, what, self.clock.now())
    }

    /// Tells the screen, and does what it wants done and what follows from that.
    fn tell_at<A: App<Work = T>>(
        &mut self,
        app: &mut A,
        at_job: &mut AtJob,
        what: Happening<T>,
        now: Now,
    ) -> Flow {
        let mut deeds = VecDeque::from(app.update(what, now));
        while let Some(deed) = deeds.pop_front() {
            match deed {
                Deed::Append(entry) => {
                    let result = at_job.append(&entry);
                    if matches!(result, Happening::AppendFailed(_)) {
                        // those behind it would leave a gap
                        deeds.retain(|deed| !matches!(deed, Deed::Append(_)));
                    }
                    deeds.extend(app.update(result, self.clock.now()));
                }
                Deed::Bell => {
                    if self.screen.bell().is_err() {
                        return self.end(app, at_job);
                    }
                }
                Deed::Look => at_job.look(),
                Deed::Work(work) => {
                    if let Err(e) = self.work(work) {
                        let text = format!("the computer gives no thread: {e}");
                        deeds.extend(app.update(Happening::Trouble(text), self.clock.now()));
                    }
                }
                Deed::Quit => return ControlFlow::Break(Ending::Quit),
            }
        }
        ControlFlow::Continue(())
    }

    /// The last words of a job that is ended from outside.
    fn end<A: App<Work = T>>(&mut self, app: &mut A, at_job: &mut AtJob) -> Flow {
        for deed in app.update(Happening::Ending, self.clock.now()) {
            if let Deed::Append(entry) = deed {
                // nobody is there to be told
                let _ = at_job.append::<T>(&entry);
            }
        }
        ControlFlow::Break(Ending::Asked)
    }

    /// Stops until continued; the signal that says so comes as a message.
    fn stop(&mut self) -> Flow {
        if signals::can_stop() {
            terminal::hand_back();
            signals::stop_here();
        }
        ControlFlow::Continue(())
    }

    fn draw<A: App<Work = T>>(&mut self, app: &mut A, at_job: &mut AtJob) -> Flow {
        match self.screen.draw(|frame| app.draw(frame)) {
            Ok(()) => ControlFlow::Continue(()),
            Err(_) => self.end(app, at_job),
        }
    }

    fn draw_afresh<A: App<Work = T>>(&mut self, app: &mut A, at_job: &mut AtJob) -> Flow {
        match self.screen.forget() {
            Ok(()) => self.draw(app, at_job),
            Err(_) => self.end(app, at_job),
        }
    }

    fn watch(&self, job: &Job) -> io::Result<Watch> {
        let (to, number) = (self.outbox.clone(), self.job);
        let tell = move |text| to.send(Message::Plan(number, text)).is_ok();
        Watch::start(&job.store.paths().plan, job.plan_text.clone(), tell)
    }

    fn work(&self, work: Box<dyn FnOnce() -> T + Send>) -> io::Result<()> {
        let (to, number) = (self.outbox.clone(), self.job);
        let run = move || {
            // a shell that has ended wants no answer
            let _ = to.send(Message::Worked(number, work()));
        };
        thread::Builder::new()
            .name("worker".into())
            .spawn(run)
            .map(drop)
    }
}

/// What one job holds while its screen runs; nothing on a screen without a job.
struct AtJob {
    store: Option<Store>,
    watch: Option<Watch>,
}

impl AtJob {
    fn append<T>(&mut self, entry: &Entry) -> Happening<T> {
        let result = match &mut self.store {
            Some(store) => store.append(entry).map_err(|trouble| trouble.to_string()),
            None => Err("no job is open".to_owned()),
        };
        match result {
            Ok(()) => Happening::Appended(entry.seq),
            Err(text) => Happening::AppendFailed(text),
        }
    }

    fn look(&self) {
        if let Some(watch) = &self.watch {
            watch.look();
        }
    }
}
