//! Watches the journal of a job that another copy works. Nothing is written; the lock is tried only where
//! this copy would take the job over.

use std::fs;
use std::io;
use std::path::Path;
use std::time::{Duration, SystemTime};

use super::disk::RealDisk;
use super::lock::{self, Locking};
use super::paths::JobPaths;
use super::store::read_entries;
use super::watch::Watch;
use crate::ui::Followed;

/// So often the files are looked at where no event comes: the folder may be on another machine.
pub(super) const EVERY: Duration = Duration::from_secs(1);

/// Tells the journal each time it has changed, and where asked whether the job is free.
///
/// # Errors
/// When the system gives no thread.
pub(super) fn watch(
    paths: &JobPaths,
    may_take_over: bool,
    mut heard: impl FnMut(Followed) -> bool + Send + 'static,
) -> io::Result<Watch> {
    let paths = paths.clone();
    let file = paths.journal.clone();
    let mut last = None;
    let mut was_free = false;
    Watch::start(&file, Some(EVERY), move || {
        let now = stamp(&paths.journal);
        if last.as_ref() != Some(&now) {
            last = Some(now);
            let entries = read_entries(&paths.plan).map_err(|why| why.to_string());
            if !heard(Followed::Journal(entries)) {
                return false;
            }
        }
        if may_take_over {
            let free = is_free(&paths);
            if free != was_free {
                was_free = free;
                return heard(Followed::Free(free));
            }
        }
        true
    })
}

/// Length and time of the last change; none where there is no file.
pub(super) fn stamp(file: &Path) -> Option<(u64, Option<SystemTime>)> {
    let about = fs::metadata(file).ok()?;
    Some((about.len(), about.modified().ok()))
}

/// True when nobody holds the lock. It is let go again at once: the smith is asked first.
fn is_free(paths: &JobPaths) -> bool {
    lock::take(&RealDisk, paths, Locking::Lock).is_ok()
}

#[cfg(test)]
mod tests {
    use std::fs::OpenOptions;
    use std::io::Write as _;
    use std::sync::mpsc::channel;

    use super::*;
    use crate::journal::{Entry, Event, encode};
    use crate::shell::disk::Disk;
    use crate::units::Stamp;

    const SOON: Duration = Duration::from_secs(10);

    #[test]
    fn what_is_added_damaged_or_gone_is_heard_and_nothing_is_written() {
        let dir = tempfile::tempdir().unwrap();
        let paths = JobPaths::of(&dir.path().join("knife.toml"));
        let (tell, told) = channel();
        let _watch = watch(&paths, false, move |found| tell.send(found).is_ok()).unwrap();
        let next = || match told.recv_timeout(SOON).unwrap() {
            Followed::Journal(found) => found,
            Followed::Free(_) => panic!("the lock was tried"),
        };
        assert_eq!(next().unwrap(), []);
        let line = |seq| {
            let event = Event::Closed;
            encode(&Entry {
                seq,
                at: Stamp(1),
                event,
            })
            .unwrap()
        };
        let add = |text: &str| {
            let mut options = OpenOptions::new();
            let file = options.append(true).create(true).open(&paths.journal);
            file.unwrap().write_all(text.as_bytes()).unwrap();
        };
        add(&line(1));
        assert_eq!(next().unwrap().len(), 1);
        // half a line is not one yet
        let second = line(2);
        let (half, rest) = second.split_at(10);
        add(half);
        assert_eq!(next().unwrap().len(), 1);
        add(rest);
        assert_eq!(next().unwrap().len(), 2);
        add("9 nonsense\n");
        assert!(next().unwrap_err().contains("line 3"));
        fs::remove_file(&paths.journal).unwrap();
        assert_eq!(next().unwrap(), []);
        let left = fs::read_dir(dir.path()).unwrap().count();
        assert_eq!(left, 0, "something was written");
    }

    #[test]
    fn a_lock_that_is_let_go_is_noticed() {
        let dir = tempfile::tempdir().unwrap();
        let paths = JobPaths::of(&dir.path().join("knife.toml"));
        let held = RealDisk.lock(&paths.lock, &paths.plan).unwrap().unwrap();
        let (tell, told) = channel();
        let _watch = watch(&paths, true, move |found| tell.send(found).is_ok()).unwrap();
        assert!(matches!(told.recv_timeout(SOON), Ok(Followed::Journal(_))));
        drop(held);
        assert!(matches!(told.recv_timeout(SOON), Ok(Followed::Free(true))));
        let again = RealDisk.lock(&paths.lock, &paths.plan).unwrap();
        assert!(again.is_some(), "it is not kept");
        assert!(matches!(told.recv_timeout(SOON), Ok(Followed::Free(false))));
    }
}
