//! The loop: receive, update, perform, draw when something changed.
//!
//! One channel brings everything that can happen; the loop sleeps on it and wakes for nothing else, save
//! a clock tick while the screen counts one down. A record is written and synced before the screen that
//! shows it is drawn.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::io;
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::Duration;

use ratatui::layout::Rect;

pub use super::app::App;
use super::clock::{Clock, Now};
use super::crash;
use super::draft;
use super::graphics::{Graphics, Wish};
use super::input::{self, Input};
use super::paths::JobPaths;
use super::plates::Plates;
use super::shop::{self, Shop};
use super::signals::{self, Signal};
use super::store::Store;
use super::terminal::{self, Screen};
use super::watch::{PlanText, Watch};
use crate::journal::Entry;
use crate::planner::foresight::{Foresight, foresee};
use crate::planner::learn::{BookEdit, ShopBook};
use crate::session::{Inputs, Reckoned, reckon};
use crate::ui::{Effect, Heard, Msg, Plate, Press, Wanted};
use crate::units::Seconds;

/// Most messages taken up before a frame is drawn.
const MOST_AT_ONCE: usize = 1000;
/// How soon [`Shell::fail`] fails: behind the first frame.
const FAIL_AFTER: Duration = Duration::from_millis(400);

/// What one job has of the world.
#[derive(Debug)]
pub struct Job {
    /// Its journal.
    pub store: Store,
    /// The plan's text that is in force; another one in the file is told at once.
    pub plan_text: String,
    /// Records that could not be written on opening; they go ahead of the next.
    pub unsaved: Vec<Entry>,
}

/// Why [`Shell::run`] came back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// The screen quit.
    Quit,
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
    Reckoned(u32, Box<Reckoned>),
    /// What is to come of that job.
    Foreseen(u32, Box<Foresight>),
    /// What lies beside that job.
    Shop(u32, Box<Shop>),
    /// The bytes of a picture of that job, or why there are none.
    Plate(u32, Box<Plate>, Result<Vec<u8>, String>),
    /// Of that screen's draft.
    Draft(u32, Heard),
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
}

/// Whether the loop goes on.
type Flow = ControlFlow<Ending>;

impl Shell {
    /// Takes the terminal and starts to listen. Once in the life of the program: the thread that reads the
    /// keys cannot be ended, and two would share them. Crash notes go beside the journal of `paths`, or
    /// of the job that runs. The terminal may be asked which sharp pictures it takes.
    ///
    /// # Errors
    /// When there is no terminal, or the system gives no threads; the terminal is then as it was.
    pub fn start(clock: Clock, paths: JobPaths, sharp: Wish) -> io::Result<Self> {
        let (outbox, inbox) = channel();
        // before the terminal is taken: from here on it is handed back whatever comes
        signals::listen(outbox.clone(), Message::Signal)?;
        note_crashes(paths);
        let mut screen = Screen::take()?;
        let graphics = screen.settle(sharp);
        input::listen(outbox.clone(), move |input| {
            Message::Input(input, clock.now())
        })?;
        Ok(Self {
            screen,
            graphics,
            inbox,
            outbox,
            clock,
            job: 0,
            ticked_ms: 0,
        })
    }

    /// Pixels across and down of a cell, where the terminal takes sharp pictures.
    #[must_use]
    pub fn sharp(&self) -> Option<[u16; 2]> {
        self.graphics.map(|graphics| graphics.cell)
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
        let watch = job.as_ref().map(|job| self.watch(job)).transpose()?;
        let (store, unsaved) = match job {
            Some(job) => {
                note_crashes(job.store.paths().clone());
                (Some(job.store), job.unsaved)
            }
            None => (None, Vec::new()),
        };
        let mut running = Running {
            shell: self,
            app,
            store,
            watch,
            unsaved,
            searching: Arc::default(),
            plates: Plates::default(),
        };
        match running.all() {
            ControlFlow::Break(ending) => Ok(ending),
        }
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

    fn watch(&self, job: &Job) -> io::Result<Watch> {
        let (to, number) = (self.outbox.clone(), self.job);
        let tell = move |text| to.send(Message::Plan(number, text)).is_ok();
        Watch::start(&job.store.paths().plan, job.plan_text.clone(), tell)
    }
}

/// From now on, crash notes go beside the journal of that job.
fn note_crashes(paths: JobPaths) {
    terminal::on_panic(move |info| crash::note(info, &paths));
}

/// One screen, running.
struct Running<'a, A> {
    shell: &'a mut Shell,
    app: &'a mut A,
    /// None on a screen without a job.
    store: Option<Store>,
    watch: Option<Watch>,
    /// Records that go ahead of the next.
    unsaved: Vec<Entry>,
    /// Put up to stop the search that runs.
    searching: Arc<AtomicBool>,
    plates: Plates,
}

impl<A: App> Running<'_, A> {
    fn all(&mut self) -> ControlFlow<Ending, Infallible> {
        if let Some(watch) = &self.watch {
            // it may have been saved since it was read
            watch.look();
            if let Some(deaf) = watch.deaf.clone() {
                self.tell(Msg::Trouble(deaf))?;
            }
        }
        self.resized()?;
        self.draw_afresh()?;
        self.look_about()?;
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
            Message::Input(Input::Redraw, _) => self.draw_afresh(),
            Message::Input(Input::Key { key, repeat }, now) => self.tell(Msg::Key(Press {
                key,
                repeat,
                at: now.at,
                mono_ms: now.mono_ms,
            })),
            Message::Input(Input::Paste(text), _) => self.tell(Msg::Paste(text)),
            Message::Input(Input::Resize, _) => {
                // a terminal that was made smaller and bigger again has lost what it showed
                self.shell.screen.forget();
                self.resized()
            }
            Message::Plan(job, text) if job == self.shell.job => {
                self.tick()?;
                self.tell(Msg::PlanFile(text))
            }
            Message::Reckoned(job, found) if job == self.shell.job => {
                self.tell(Msg::Reckoned(found))
            }
            Message::Foreseen(job, found) if job == self.shell.job => {
                self.tell(Msg::Foreseen(found))
            }
            Message::Shop(job, found) if job == self.shell.job => {
                let Shop {
                    others,
                    book,
                    trouble,
                } = *found;
                self.tell(Msg::Shop {
                    others,
                    book,
                    trouble,
                })
            }
            Message::Draft(job, heard) if job == self.shell.job => self.tell(Msg::Draft(heard)),
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
            Message::Plan(..)
            | Message::Plate(..)
            | Message::Reckoned(..)
            | Message::Foreseen(..)
            | Message::Shop(..)
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
    fn tell(&mut self, msg: Msg) -> Flow {
        let mut effects = VecDeque::from(self.app.update(msg));
        while let Some(effect) = effects.pop_front() {
            match effect {
                Effect::Append(entries) => {
                    let result = self.append(entries);
                    if matches!(result, Msg::AppendFailed(_)) {
                        // those behind it would leave a gap
                        effects.retain(|effect| !matches!(effect, Effect::Append(_)));
                    }
                    effects.extend(self.app.update(result));
                }
                Effect::Bell => {
                    if self.shell.screen.bell().is_err() {
                        return self.end();
                    }
                }
                Effect::LookAtPlan => {
                    if let Some(watch) = &self.watch {
                        watch.look();
                    }
                }
                Effect::Reckon(inputs) => {
                    if let Err(e) = self.reckon(*inputs) {
                        let text = format!("the computer gives no thread for sums: {e}");
                        effects.extend(self.app.update(Msg::Trouble(text)));
                    }
                }
                Effect::Foresee(asked) => {
                    let work = move |job| Message::Foreseen(job, Box::new(foresee(&asked)));
                    if let Err(e) = self.beside("foresee", work) {
                        let text = format!("the computer gives no thread for sums: {e}");
                        effects.extend(self.app.update(Msg::Trouble(text)));
                    }
                }
                Effect::EditShop(edit) => {
                    let result = self.edit_shop(edit);
                    effects.extend(self.app.update(Msg::ShopSaved(result)));
                }
                Effect::Draft(wanted) => {
                    if let Some(answer) = self.draft(wanted) {
                        effects.extend(self.app.update(answer));
                    }
                }
                Effect::Quit => return ControlFlow::Break(Ending::Quit),
            }
        }
        ControlFlow::Continue(())
    }

    /// Works numbers beside the drawing; a newer state of the job overtakes an older one on the screen.
    fn reckon(&self, inputs: Inputs) -> io::Result<()> {
        let work = move |job| Message::Reckoned(job, Box::new(reckon(&inputs)));
        self.beside("reckon", work)
    }

    /// Searches beside the drawing, stops that, or writes the plan; what is to be told at once.
    fn draft(&mut self, wanted: Wanted) -> Option<Msg> {
        self.searching.store(true, Ordering::Relaxed);
        let (number, wish) = match wanted {
            Wanted::Stop => return None,
            Wanted::Save { name, text } => {
                let saved = draft::save(Path::new(&name), &text);
                let saved = saved.map(|path| super::paths::show(&path));
                return Some(Msg::Draft(Heard::Saved(saved)));
            }
            Wanted::Search(number, wish) => (number, wish),
        };
        let stop = Arc::new(AtomicBool::new(false));
        self.searching = Arc::clone(&stop);
        let to = self.shell.outbox.clone();
        let work = move |job| {
            let told = |progress| {
                // a loop that has ended wants no news
                let _ = to.send(Message::Draft(job, Heard::Progress(number, progress)));
            };
            let result = draft::search(&wish, &draft::taught(), &stop, &told);
            Message::Draft(job, Heard::Ended(number, Box::new(result)))
        };
        let begun = self.beside("draft", work);
        begun
            .err()
            .map(|e| Msg::Trouble(format!("the computer gives no thread for sums: {e}")))
    }

    /// Does work in a thread of its own and sends what comes of it, with the number of the job.
    fn beside(
        &self,
        name: &str,
        work: impl FnOnce(u32) -> Message + Send + 'static,
    ) -> io::Result<()> {
        let (to, job) = (self.shell.outbox.clone(), self.shell.job);
        let work = move || {
            // a loop that has ended wants no numbers
            let _ = to.send(work(job));
        };
        thread::Builder::new()
            .name(name.into())
            .spawn(work)
            .map(drop)
    }

    /// Reads the shop file and the other journals of the folder, beside the drawing.
    fn look_about(&mut self) -> Flow {
        let Some(store) = &self.store else {
            return ControlFlow::Continue(());
        };
        let plan = store.paths().plan.clone();
        let work = move |job| Message::Shop(job, Box::new(shop::read(&plan)));
        match self.beside("shop", work) {
            Ok(()) => ControlFlow::Continue(()),
            Err(e) => self.tell(Msg::Trouble(format!(
                "the computer gives no thread to read the other journals: {e}"
            ))),
        }
    }

    fn edit_shop(&self, edit: BookEdit) -> Result<ShopBook, String> {
        let store = self.store.as_ref().ok_or("no job is open")?;
        shop::edit_book(&store.paths().plan, edit)
    }

    fn append(&mut self, entries: Vec<Entry>) -> Msg {
        let Some(store) = &mut self.store else {
            return Msg::AppendFailed("no job is open".to_owned());
        };
        let ahead = self.unsaved.len();
        self.unsaved.extend(entries);
        let result = store.append_all(&self.unsaved);
        let entries = self.unsaved.split_off(ahead);
        match result {
            Ok(()) => {
                self.unsaved.clear();
                Msg::Appended(entries)
            }
            Err(trouble) => Msg::AppendFailed(trouble.to_string()),
        }
    }

    /// The last words of a screen that is ended from outside.
    fn end(&mut self) -> Flow {
        let now = self.shell.clock.now();
        let mut effects = self.app.update(Msg::Tick {
            at: now.at,
            mono_ms: now.mono_ms,
        });
        effects.extend(self.app.update(Msg::Leave));
        for effect in effects {
            if let Effect::Append(entries) = effect {
                // whether it worked or not, nobody is there to be told
                let _ = self.append(entries);
            }
        }
        ControlFlow::Break(Ending::Asked)
    }

    fn draw(&mut self) -> Flow {
        match self.shell.screen.draw(|frame| self.app.draw(frame)) {
            Ok(()) => self.sharpen(),
            Err(_) => self.end(),
        }
    }

    /// Sees to the sharp picture once the cells are drawn.
    fn sharpen(&mut self) -> Flow {
        let Some(graphics) = self.shell.graphics else {
            return ControlFlow::Continue(());
        };
        let Ok((columns, rows)) = self.shell.screen.size() else {
            return self.end();
        };
        let wanted = self.app.plate(Rect::new(0, 0, columns, rows));
        if self.plates.is_stale(wanted.as_ref()) && self.shell.screen.has_picture() {
            // what takes it away wipes cells too
            self.shell.screen.forget();
            if self
                .shell
                .screen
                .draw(|frame| self.app.draw(frame))
                .is_err()
            {
                return self.end();
            }
        }
        if let Some(plate) = self.plates.next(wanted.as_ref()) {
            let work = move |job| {
                let bytes = graphics.encode(&plate).map_err(|e| e.to_string());
                Message::Plate(job, Box::new(plate), bytes)
            };
            if let Err(e) = self.beside("picture", work) {
                self.plates.failed();
                let text = format!("the computer gives no thread for the picture: {e}");
                return self.tell(Msg::Trouble(text));
            }
        }
        let bytes = self.plates.bytes(wanted.as_ref());
        if !bytes.is_empty()
            && !self.shell.screen.has_picture()
            && self.shell.screen.show(bytes, graphics.protocol).is_err()
        {
            return self.end();
        }
        ControlFlow::Continue(())
    }

    fn draw_afresh(&mut self) -> Flow {
        self.app.take_dirty();
        self.shell.screen.forget();
        self.draw()
    }
}
