//! Notices that a file was saved: the plan's, or the journal of a job that is followed.
//!
//! The folder is watched, not the file: most editors save by renaming a new file into place, and a watch
//! on the old one would go deaf. Several events come with one save; the file is read once they have
//! settled. Where the folder is on another machine no event may come: there the file is also looked at now
//! and then.

use std::ffi::OsString;
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::Duration;

use notify::{EventKind, RecommendedWatcher, RecursiveMode, Watcher};

use super::Trouble;
use super::clock::Clock;
use super::disk::{Disk, RealDisk};
use super::paths::folder;
use crate::plan::MAX_BYTES;

/// Quiet this long, and a save is taken to be over.
const SETTLE: Duration = Duration::from_millis(200);
/// The file is read after this long, quiet or not.
const MOST_MS: u64 = 2000;
/// How often a folder is looked at besides.
const NOW_AND_THEN: Duration = Duration::from_secs(10);

/// The plan's text, or why it cannot be read, as a sentence.
pub type PlanText = Result<String, String>;

/// A watched file. Dropping it ends the watching.
#[derive(Debug)]
pub struct Watch {
    look: Sender<Nudge>,
    /// Why only [`Watch::look`] notices changes, as a sentence.
    pub unwatched: Option<String>,
    _watcher: Option<RecommendedWatcher>,
}

/// Why to look.
#[derive(Debug)]
enum Nudge {
    /// Something happened to the file.
    Event,
    /// Asked to.
    Now,
}

impl Watch {
    /// Watches a plan whose text is `known`, telling each new one; it is looked at `every` so often as well.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn plan(
        plan: &Path,
        known: String,
        every: Option<Duration>,
        mut tell: impl FnMut(PlanText) -> bool + Send + 'static,
    ) -> std::io::Result<Self> {
        let file = plan.to_owned();
        let mut last = Ok(known);
        Self::start(plan, every, move || {
            let now = read(&file);
            if now == last {
                return true;
            }
            last.clone_from(&now);
            tell(now)
        })
    }

    /// Watches a file: `look` is called when it may have changed, and `every` so often; no more once it
    /// answers false.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub(super) fn start(
        file: &Path,
        every: Option<Duration>,
        see: impl FnMut() -> bool + Send + 'static,
    ) -> std::io::Result<Self> {
        let name = file.file_name().map(ToOwned::to_owned);
        Self::begin(&folder(file), name, every, see)
    }

    /// Watches a whole folder; where it tells nothing it is looked at now and then.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub(super) fn folder(
        folder: &Path,
        see: impl FnMut() -> bool + Send + 'static,
    ) -> std::io::Result<Self> {
        Self::begin(folder, None, Some(NOW_AND_THEN), see)
    }

    fn begin(
        folder: &Path,
        name: Option<OsString>,
        every: Option<Duration>,
        see: impl FnMut() -> bool + Send + 'static,
    ) -> std::io::Result<Self> {
        let (look, nudges) = channel();
        let (watcher, unwatched) = match watch(folder, name, look.clone()) {
            Ok(watcher) => (Some(watcher), None),
            Err(_) if every.is_some() => (None, None),
            Err(e) => (None, Some(format!("saving the plan is noticed late: {e}"))),
        };
        thread::Builder::new()
            .name("watch".into())
            .spawn(move || run(&nudges, every, see))?;
        Ok(Self {
            look,
            unwatched,
            _watcher: watcher,
        })
    }

    /// Looks now, for file systems that tell nothing.
    pub fn look(&self) {
        // a thread that is gone has nobody to tell
        let _ = self.look.send(Nudge::Now);
    }
}

/// A watch on a folder, for one file of it or for all.
fn watch(
    folder: &Path,
    name: Option<OsString>,
    look: Sender<Nudge>,
) -> notify::Result<RecommendedWatcher> {
    let on_event = move |event: notify::Result<notify::Event>| {
        let ours = event.is_ok_and(|e| {
            // a lost event may have been ours
            e.need_rescan()
                || (!matches!(e.kind, EventKind::Access(_))
                    && (name.is_none() || e.paths.iter().any(|p| p.file_name() == name.as_deref())))
        });
        if ours {
            // a thread that is gone has nobody to tell
            let _ = look.send(Nudge::Event);
        }
    };
    let mut watcher = notify::recommended_watcher(on_event)?;
    watcher.watch(folder, RecursiveMode::NonRecursive)?;
    Ok(watcher)
}

fn run(nudges: &Receiver<Nudge>, every: Option<Duration>, mut see: impl FnMut() -> bool) {
    loop {
        let nudge = match every {
            Some(every) => nudges.recv_timeout(every),
            None => nudges.recv().map_err(|_| RecvTimeoutError::Disconnected),
        };
        let settled = match nudge {
            Ok(Nudge::Event) => settle(nudges),
            Ok(Nudge::Now) | Err(RecvTimeoutError::Timeout) => true,
            Err(RecvTimeoutError::Disconnected) => false,
        };
        if !settled || !see() {
            return;
        }
    }
}

/// Waits until nothing more comes; false when nothing ever will.
fn settle(nudges: &Receiver<Nudge>) -> bool {
    let clock = Clock::start();
    while clock.elapsed_ms() < MOST_MS {
        match nudges.recv_timeout(SETTLE) {
            Ok(Nudge::Event) => {}
            Ok(Nudge::Now) | Err(RecvTimeoutError::Timeout) => return true,
            Err(RecvTimeoutError::Disconnected) => return false,
        }
    }
    true
}

/// The plan's text as it is on the disk.
///
/// # Errors
/// A sentence that names the file: it is missing, too big, not text, or may not be read.
pub fn read(plan: &Path) -> PlanText {
    read_from(&RealDisk, plan).map_err(|trouble| trouble.to_string())
}

fn read_from(disk: &dyn Disk, plan: &Path) -> Result<String, Trouble> {
    let most = MAX_BYTES as u64;
    let bytes = disk.read(plan, most).map_err(|e| match e.kind() {
        std::io::ErrorKind::FileTooLarge => Trouble::TooBig {
            path: plan.to_owned(),
            most,
        },
        _ => Trouble::read(plan)(e),
    })?;
    let refused = |kind: std::io::ErrorKind| Trouble::read(plan)(kind.into());
    let bytes = bytes.ok_or_else(|| refused(std::io::ErrorKind::NotFound))?;
    String::from_utf8(bytes).map_err(|_| refused(std::io::ErrorKind::InvalidData))
}

#[cfg(test)]
mod tests {
    use std::fs::{self, File};
    use std::io::Write as _;
    use std::path::PathBuf;

    use super::*;
    use crate::shell::replace::replace;

    const SOON: Duration = Duration::from_secs(10);

    fn put(path: &Path, text: &str) {
        File::create(path)
            .unwrap()
            .write_all(text.as_bytes())
            .unwrap();
    }

    fn watched(text: &str) -> (tempfile::TempDir, PathBuf, Watch, Receiver<PlanText>) {
        let dir = tempfile::tempdir().unwrap();
        let plan = dir.path().join("knife.toml");
        put(&plan, text);
        let (tell, told) = channel();
        let watch = Watch::plan(&plan, text.into(), None, move |t| tell.send(t).is_ok()).unwrap();
        assert_eq!(watch.unwatched, None);
        (dir, plan, watch, told)
    }

    #[test]
    fn five_saves_by_rename_are_each_noticed() {
        let (_dir, plan, _watch, told) = watched("0");
        for n in 1..=5 {
            let text = n.to_string();
            replace(&RealDisk, &plan, text.as_bytes()).unwrap();
            assert_eq!(told.recv_timeout(SOON).unwrap(), Ok(text));
        }
    }

    #[test]
    fn other_ways_to_save_are_noticed_too() {
        let (dir, plan, _watch, told) = watched("0");
        put(&plan, "in place");
        assert_eq!(told.recv_timeout(SOON).unwrap(), Ok("in place".into()));
        // the old one put aside, the new one written under its name
        fs::rename(&plan, dir.path().join("knife.toml~")).unwrap();
        put(&plan, "aside");
        assert_eq!(told.recv_timeout(SOON).unwrap(), Ok("aside".into()));
        fs::remove_file(&plan).unwrap();
        let gone = told.recv_timeout(SOON).unwrap().unwrap_err();
        assert!(gone.contains("is not there"), "{gone}");
        put(&plan, "back");
        assert_eq!(told.recv_timeout(SOON).unwrap(), Ok("back".into()));
    }

    #[test]
    fn a_burst_is_told_once_and_the_same_text_not_at_all() {
        let (dir, plan, watch, told) = watched("0");
        for n in 0..20 {
            put(&plan, &n.to_string());
        }
        put(&dir.path().join("other.toml"), "not ours");
        assert_eq!(told.recv_timeout(SOON).unwrap(), Ok("19".into()));
        put(&plan, "19");
        watch.look();
        thread::sleep(SETTLE * 2);
        assert!(told.try_recv().is_err());
    }

    #[test]
    fn looking_needs_no_event() {
        let dir = tempfile::tempdir().unwrap();
        let plan = dir.path().join("knife.toml");
        put(&plan, "new");
        let (look, nudges) = channel();
        let mut seen = 0;
        look.send(Nudge::Now).unwrap();
        // a folder on another machine tells nothing
        run(&nudges, Some(Duration::from_millis(5)), || {
            seen += 1;
            seen < 3
        });
        assert_eq!(seen, 3);
        let (tell, told) = channel();
        let every = Some(Duration::from_millis(20));
        let known = "old".to_owned();
        let watch = Watch::plan(&plan, known, every, move |t| tell.send(t).is_ok()).unwrap();
        assert_eq!(told.recv_timeout(SOON).unwrap(), Ok("new".into()));
        drop(watch);
    }

    #[test]
    fn what_cannot_be_a_plan_is_said() {
        let dir = tempfile::tempdir().unwrap();
        let plan = dir.path().join("knife.toml");
        File::create(&plan).unwrap().set_len(100_000_000).unwrap();
        assert!(read(&plan).unwrap_err().contains("is over"));
        fs::remove_file(&plan).unwrap();
        File::create(&plan).unwrap().write_all(b"\xff\xfe").unwrap();
        assert!(read(&plan).unwrap_err().contains("UTF-8"));
        assert!(read(dir.path()).unwrap_err().contains("folder"));
    }
}
