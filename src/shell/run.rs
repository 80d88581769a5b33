//! The loop: receive, update, perform, draw when something changed.
//!
//! One channel brings everything that can happen; the loop sleeps on it and wakes for nothing else, save
//! a clock tick while the screen counts one down. A record is written and synced before the screen that
//! shows it is drawn.

mod errands;
mod newest;
mod running;
mod showing;

use std::io;
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::Duration;

use running::Running;

pub use super::app::App;
use super::clock::{Clock, Now};
use super::crash;
use super::follow;
use super::gauge;
use super::graphics::{Graphics, Wish};
use super::input::Input;
use super::keyboard::{self, Keyboard};
use super::paths::{JobPaths, folder};
use super::plates::Plates;
use super::shop::Shop;
use super::signals::{self, Signal};
use super::store::Store;
use super::terminal::{self, Screen};
use super::watch::{PlanText, Watch};
use crate::journal::Entry;
use crate::planner::foresight::Foresight;
use crate::session::FireAndMetal;
use crate::ui::{Followed, Heard, ListRow, PhotoTold, Plate};
use crate::units::Seconds;

/// Most messages taken up before a frame is drawn.
const MOST_AT_ONCE: usize = 1000;
/// So long after Ctrl-C, keys that came before it are let drop, ms.
const OVERDUE_MS: u64 = 300;
/// How soon [`Shell::fail`] fails: behind the first frame.
const FAIL_AFTER: Duration = Duration::from_millis(400);

/// What a screen may do with a job.
#[derive(Debug)]
pub enum Seat {
    /// Work it, with its journal.
    Works(Box<Store>),
    /// Only show it: nothing is locked, nothing written.
    Follows {
        /// Look now and then whether the other copy has left.
        may_take_over: bool,
    },
}

/// What one job has of the world.
#[derive(Debug)]
pub struct Job {
    /// Its files.
    pub paths: JobPaths,
    /// What the screen may do with it.
    pub seat: Seat,
    /// The plan's text that is in force; another one in the file is told at once.
    pub plan_text: String,
    /// Records that could not be written on opening; they go ahead of the next.
    pub unsaved: Vec<Entry>,
    /// The folder that photographs come to; none for that of the plan.
    pub photos: Option<PathBuf>,
}

/// Why [`Shell::run`] came back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ending {
    /// The screen quit.
    Quit,
    /// The screen quit, and not everything is on the disk: what is not, and why.
    Unsaved(String),
    /// The screen failed: an entry of the journal may be the cause.
    Fault(String),
    /// A signal asked for the end, or the terminal is gone: nothing more may be shown.
    Asked,
}

#[derive(Debug)]
enum Message {
    Input(Input, Now),
    Signal(Signal),
    /// From the watch of that job.
    Plan(u32, PlanText),
    /// Numbers worked for that job.
    FireAndMetal(u32, Box<FireAndMetal>),
    /// What is to come of that job.
    Foreseen(u32, Box<Foresight>),
    /// What lies beside that job.
    Shop(u32, Box<Shop>),
    /// The bytes of a picture of that job, or why there are none.
    Plate(u32, Box<Plate>, Result<Vec<u8>, String>),
    /// Of that screen's draft.
    Draft(u32, Heard),
    /// Of that job's folder of photographs.
    Photo(u32, Box<PhotoTold>),
    /// Rows of that list.
    List(u32, Vec<(usize, Option<ListRow>)>),
    /// Of the job that is followed.
    Followed(u32, Followed),
    /// From the gauge on a serial line.
    Gauge(gauge::Said, Now),
    /// Work beside that screen failed.
    Failed(u32, String),
    /// See [`Shell::fail`].
    Fail,
}

/// The terminal and everything that listens, for as long as the program has a screen.
#[derive(Debug)]
pub struct Shell {
    screen: Screen,
    /// None where pictures are made of cells.
    graphics: Option<Graphics>,
    inbox: Receiver<Message>,
    outbox: Sender<Message>,
    clock: Clock,
    /// Counts the jobs, so that what an earlier one set going is not taken for this one's.
    job: u32,
    /// When the last tick was due.
    ticked_ms: u64,
    /// When Ctrl-C was read, ms; 0 for never.
    interrupted: Arc<AtomicU64>,
}

/// Whether the loop goes on.
type Flow = ControlFlow<Ending>;

impl Shell {
    /// Takes the terminal and starts to listen. Once in the life of the program: the thread that reads the
    /// keys cannot be ended, and two would share them. Crash notes go beside the journal of `paths`, or
    /// of the job that is worked; without one there are none. The terminal may be asked which sharp pictures it takes.
    ///
    /// # Errors
    /// When there is no terminal, or the system gives no threads; the terminal is then as it was.
    pub fn start(clock: Clock, paths: Option<JobPaths>, sharp: Wish) -> io::Result<Self> {
        let (outbox, inbox) = channel();
        // before the terminal is taken: from here on it is handed back whatever comes
        signals::listen(outbox.clone(), Message::Signal)?;
        note_crashes(paths);
        let mut screen = Screen::take()?;
        let mut keyboard = Keyboard::open(clock)?;
        keyboard.forget();
        let (graphics, typed) = screen.settle(sharp, &mut keyboard, clock);
        for (input, at) in typed {
            // this shell holds the other end
            let _ = outbox.send(Message::Input(input, at));
        }
        let gone = move || Message::Input(Input::Gone, clock.now());
        let interrupted = Arc::<AtomicU64>::default();
        let flag = Arc::clone(&interrupted);
        let message = move |input: Input, now: Now| {
            if input.is_interrupt() {
                terminal::hurry();
                flag.store(now.mono_ms.max(1), Ordering::SeqCst);
            }
            Message::Input(input, now)
        };
        keyboard::listen(keyboard, outbox.clone(), message, gone)?;
        Ok(Self {
            screen,
            graphics,
            inbox,
            outbox,
            clock,
            job: 0,
            ticked_ms: 0,
            interrupted,
        })
    }

    /// Pixels across and down of a cell, where the terminal takes sharp pictures.
    #[must_use]
    pub fn sharp(&self) -> Option<[u16; 2]> {
        self.graphics.map(|graphics| graphics.cell)
    }

    /// Takes the readings of a gauge on this serial line, from now on.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn listen_to_gauge(&self, device: &str) -> io::Result<()> {
        gauge::listen(device, self.clock, self.outbox.clone(), Message::Gauge)
    }

    /// Reads a list beside the screen that runs next, and tells it rows as they come.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn list(
        &self,
        read: impl FnOnce(&(dyn Fn(Vec<(usize, Option<ListRow>)>) -> bool + Sync)) + Send + 'static,
    ) -> io::Result<()> {
        let (to, next) = (self.outbox.clone(), self.job + 1);
        let work = move || read(&|rows| to.send(Message::List(next, rows)).is_ok());
        let builder = thread::Builder::new().name("list".into());
        builder.spawn(work).map(drop)
    }

    /// For the tests of the real program: fails on purpose soon, in the main thread or in another.
    pub fn fail(&self, in_main: bool) {
        let to = self.outbox.clone();
        let fail = move || {
            thread::sleep(FAIL_AFTER);
            if in_main {
                // a main thread that has ended cannot fail
                let _ = to.send(Message::Fail);
            } else {
                crash::fail_on_purpose()
            }
        };
        // no thread, no failure: the test notices
        let _ = thread::Builder::new().name("worker".into()).spawn(fail);
    }

    /// Runs a screen until it quits or the program is asked to end.
    ///
    /// # Errors
    /// When the system gives no thread. A terminal that goes away is an end like any other.
    pub fn run<A: App>(&mut self, app: &mut A, job: Option<Job>) -> io::Result<Ending> {
        self.job += 1;
        let watches = job.as_ref().map(|job| self.watch(job)).transpose()?;
        let plan = job.as_ref().map(|job| job.paths.plan.clone());
        let photos = job.as_ref().map(|job| {
            job.photos
                .clone()
                .unwrap_or_else(|| folder(&job.paths.plan))
        });
        let (store, unsaved) = match job {
            Some(Job {
                paths,
                seat: Seat::Works(store),
                unsaved,
                ..
            }) => {
                note_crashes(Some(paths));
                (Some(*store), unsaved)
            }
            Some(_) => {
                note_crashes(None);
                (None, Vec::new())
            }
            None => (None, Vec::new()),
        };
        let mut running = Running {
            shell: self,
            app,
            store,
            plan,
            watches: watches.unwrap_or_default(),
            unsaved,
            failed: None,
            reckoning: Arc::default(),
            cache: Arc::default(),
            foreseeing: Arc::default(),
            searching: Arc::default(),
            plates: Plates::default(),
            photos: photos.unwrap_or_default(),
            photo_watch: None,
            counting: Arc::default(),
        };
        match running.all() {
            ControlFlow::Break(ending) => Ok(ending),
        }
    }

    /// Keys that wait since before Ctrl-C have had their time.
    fn is_overdue(&self) -> bool {
        let at = self.interrupted.load(Ordering::SeqCst);
        at > 0 && self.clock.elapsed_ms() > at + OVERDUE_MS
    }

    /// The next message, or `None` when the time for a tick has come.
    fn wait(&mut self, every: Option<Seconds>) -> Option<Message> {
        let Some(every) = every else {
            // this shell holds a sender itself, so the channel never closes
            return self.inbox.recv().ok();
        };
        let span = Duration::try_from_secs_f64(every.0).unwrap_or(Duration::MAX);
        let due = span.saturating_add(Duration::from_millis(self.ticked_ms));
        let left = self.clock.until(due);
        // first, or a stream of messages would hold it up for ever
        let message = if left.is_zero() {
            None
        } else {
            self.inbox.recv_timeout(left).ok()
        };
        if message.is_none() {
            // steady beats, but none to be made up for
            let now = Duration::from_millis(self.clock.elapsed_ms());
            let beat = if now.saturating_sub(due) < span {
                due
            } else {
                now
            };
            self.ticked_ms = u64::try_from(beat.as_millis()).unwrap_or(u64::MAX);
        }
        message
    }

    fn watch(&self, job: &Job) -> io::Result<Vec<Watch>> {
        let (to, number) = (self.outbox.clone(), self.job);
        let tell = move |text| to.send(Message::Plan(number, text)).is_ok();
        let plan = &job.paths.plan;
        let Seat::Follows { may_take_over } = job.seat else {
            return Ok(vec![Watch::plan(plan, job.plan_text.clone(), None, tell)?]);
        };
        let to = self.outbox.clone();
        let heard = move |found| to.send(Message::Followed(number, found)).is_ok();
        Ok(vec![
            Watch::plan(plan, job.plan_text.clone(), Some(follow::EVERY), tell)?,
            follow::watch(&job.paths, may_take_over, heard)?,
        ])
    }
}

/// From now on, crash notes go beside the journal of that job.
fn note_crashes(paths: Option<JobPaths>) {
    terminal::on_panic(move |info| crash::note(info, paths.as_ref()));
}
