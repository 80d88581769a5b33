//! What the screen wants done: records written, and slow work in threads of its own.

use std::io;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

use super::super::app::App;
use super::super::{Trouble, draft, guard, paths, photos, shelf, shop};
use super::newest::Newest;
use super::running::Running;
use super::{Flow, Message};
use crate::journal::Entry;
use crate::planner::learn::{BookEdit, ShopBook};
use crate::session::ShelfSide;
use crate::ui::{Heard, Msg, PhotoAsk, PhotoTold, PhotoWish, Wanted};

fn no_thread(why: &io::Error) -> Msg {
    Msg::Trouble(format!("the computer gives no thread for sums: {why}"))
}

impl<A: App> Running<'_, A> {
    /// Works numbers beside the drawing. One question at a time: of those that wait only the newest is
    /// answered.
    pub(super) fn answer<T: Send + 'static>(
        &self,
        waiting: &Arc<Newest<T>>,
        asked: T,
        answer: fn(u32, &T) -> Message,
    ) -> Option<Msg> {
        if !waiting.put(asked) {
            return None;
        }
        let (to, job) = (self.shell.outbox.clone(), self.shell.job);
        let theirs = Arc::clone(waiting);
        let work = move || {
            while let Some(asked) = theirs.next() {
                let done = guard::caught(|| answer(job, &asked));
                // a loop that has ended wants no numbers
                let _ = to.send(done.unwrap_or_else(|why| Message::Failed(job, why)));
            }
        };
        let begun = thread::Builder::new().name("sums".into()).spawn(work);
        begun.err().map(|why| {
            // so that the next one tries again
            while waiting.next().is_some() {}
            no_thread(&why)
        })
    }

    /// Searches beside the drawing, stops that, or writes the plan; what is to be told at once.
    pub(super) fn draft(&mut self, wanted: Wanted) -> Option<Msg> {
        self.searching.store(true, Ordering::Relaxed);
        let (number, wish) = match wanted {
            Wanted::Stop => return None,
            Wanted::Save { name, text } => {
                let saved = draft::save(Path::new(&name), &text);
                let saved = saved.map(|path| paths::show(&path)).map_err(String::from);
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
        begun.err().map(|why| no_thread(&why))
    }

    /// Looks at the folder of photographs, or counts one of them; what is to be told at once.
    pub(super) fn photo(&mut self, wish: PhotoWish) -> Option<Msg> {
        match wish {
            PhotoWish::Count(ask) => {
                let count = |job, (folder, ask): &(PathBuf, PhotoAsk)| {
                    let told = PhotoTold::Counted(Box::new(photos::count(folder, ask)));
                    Message::Photo(job, Box::new(told))
                };
                self.answer(&self.counting, (self.photos.clone(), *ask), count)
            }
            PhotoWish::Newest => {
                if let Some(watch) = &self.photo_watch {
                    watch.look();
                    return None;
                }
                let (to, job) = (self.shell.outbox.clone(), self.shell.job);
                let tell = move |told| to.send(Message::Photo(job, Box::new(told))).is_ok();
                match photos::watch(&self.photos, tell) {
                    Ok(watch) => {
                        self.photo_watch = Some(watch);
                        None
                    }
                    Err(why) => Some(no_thread(&why)),
                }
            }
        }
    }

    /// Does work in a thread of its own and sends what comes of it, with the number of the job.
    pub(super) fn beside(
        &self,
        name: &str,
        work: impl FnOnce(u32) -> Message + Send + 'static,
    ) -> io::Result<()> {
        let (to, job) = (self.shell.outbox.clone(), self.shell.job);
        let work = move || {
            let done = guard::caught(|| work(job));
            // a loop that has ended wants no numbers
            let _ = to.send(done.unwrap_or_else(|why| Message::Failed(job, why)));
        };
        thread::Builder::new()
            .name(name.into())
            .spawn(work)
            .map(drop)
    }

    /// Reads the shop file and the other journals of the folder, beside the drawing.
    pub(super) fn read_shop(&mut self) -> Flow {
        let Some(plan) = self.plan.clone() else {
            return ControlFlow::Continue(());
        };
        let work = move |job| Message::Shop(job, Box::new(shop::read(&plan)));
        match self.beside("shop", work) {
            Ok(()) => ControlFlow::Continue(()),
            Err(e) => self.tell(Msg::Trouble(format!(
                "the computer gives no thread to read the other journals: {e}"
            ))),
        }
    }

    pub(super) fn edit_shop(&self, edit: BookEdit) -> Result<ShopBook, String> {
        let store = self.store.as_ref().ok_or("no job is open")?;
        Ok(shop::edit_book(&store.paths().plan, edit)?)
    }

    /// Brings the shelf beside the plan in line with the job.
    pub(super) fn shelve(&self, side: &ShelfSide) -> Result<Vec<String>, String> {
        let store = self.store.as_ref().ok_or("no job is open")?;
        let now = self.shell.clock.now().at;
        let (said, taken) = shelf::meet(store.paths(), side, now)?;
        Ok(taken.map(|()| said)?)
    }

    /// Writes records; what the screen is to be told besides.
    pub(super) fn append(&mut self, entries: Vec<Entry>) -> (Msg, Vec<String>) {
        let mut told = Vec::new();
        let Some(store) = &mut self.store else {
            return (Msg::AppendFailed("no job is open".to_owned()), told);
        };
        let mut ahead = self.unsaved.len();
        self.unsaved.extend(entries);
        let mut result = store.append_all(&self.unsaved);
        if let Err(Trouble::Changed { .. }) = result {
            match store.write_anew(self.app.log()) {
                Ok(words) => {
                    told.push(words);
                    // they are in the session, and so among what was written
                    self.unsaved.drain(..ahead);
                    ahead = 0;
                    result = store.append_all(&self.unsaved);
                }
                Err(why) => result = Err(why),
            }
        }
        let entries = self.unsaved.split_off(ahead);
        match result {
            Ok(()) => {
                self.unsaved.clear();
                self.failed = None;
                (Msg::Appended(entries), told)
            }
            Err(trouble) => {
                let what = match store.next_seq() {
                    1 => "nothing of this job is on the disk",
                    _ => "what was confirmed is on the disk, the last entry is not",
                };
                self.failed = Some(format!("{what}: {trouble}"));
                (Msg::AppendFailed(trouble.to_string()), told)
            }
        }
    }
}
