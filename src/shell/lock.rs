//! One copy of the program works a job: the system's own lock, or where the disk knows none (network
//! shares) a file that says who has the job open, where and since when.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::Trouble;
use super::clock::Clock;
use super::disk::{Disk, Lock, Open};
use super::paths::JobPaths;
use crate::journal::write_stamp;

/// Most bytes of a note.
const MOST: u64 = 1 << 12;

/// How a job is kept from being worked twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Locking {
    /// By a lock, or by a note where the disk knows no locks.
    #[default]
    Lock,
    /// Not at all: the smith has said that no other copy is open.
    Nothing,
}

/// Takes the lock of a job.
///
/// # Errors
/// [`Trouble::Busy`] or [`Trouble::Held`] when another copy has the job open, else [`Trouble::Write`].
pub(super) fn take(disk: &dyn Disk, paths: &JobPaths, how: Locking) -> Result<Lock, Trouble> {
    if how == Locking::Nothing {
        return Ok(Lock::unshared());
    }
    match disk.lock(&paths.lock, &paths.plan) {
        Ok(lock) => lock.ok_or(Trouble::Busy),
        Err(why) if why.kind() == ErrorKind::InvalidInput => Err(Trouble::NotALock {
            path: paths.lock.clone(),
        }),
        Err(why) if knows_none(&why) => note(disk, paths),
        Err(why) => Err(Trouble::write(&paths.lock)(why)),
    }
}

/// What systems say on a disk without locks: not supported, or no locks available.
fn knows_none(why: &io::Error) -> bool {
    why.kind() == ErrorKind::Unsupported || (cfg!(unix) && why.raw_os_error() == Some(NO_LOCKS))
}

/// `ENOLCK` of errno(3).
const NO_LOCKS: i32 = if cfg!(any(target_os = "linux", target_os = "android")) {
    37
} else {
    77
};

fn note(disk: &dyn Disk, paths: &JobPaths) -> Result<Lock, Trouble> {
    let file = note_of(&paths.lock);
    let cannot = || Trouble::write(&file);
    let mut last = String::new();
    // once more where the note found is of a copy that is gone
    for _ in 0..2 {
        match disk.open(&file, Open::NewLike(&paths.plan)) {
            Ok(mut tape) => {
                let ours = ours();
                let written = tape.write(ours.as_bytes()).and_then(|()| tape.sync());
                written.map_err(cannot())?;
                return Ok(Lock::note(file, ours));
            }
            Err(why) if why.kind() == ErrorKind::AlreadyExists => {}
            Err(why) => return Err(cannot()(why)),
        }
        let bytes = disk
            .read(&file, MOST)
            .map_err(cannot())?
            .unwrap_or_default();
        last = String::from_utf8_lossy(&bytes).into_owned();
        if !is_gone(&last) {
            break;
        }
        disk.remove(&file).map_err(cannot())?;
    }
    Err(Trouble::Held {
        path: file,
        by: held_by(&last),
    })
}

/// `<stem>.lock.held` beside the lock.
fn note_of(lock: &Path) -> PathBuf {
    lock.with_extension("lock.held")
}

/// Process, host and time, a word each.
fn ours() -> String {
    let since = write_stamp(Clock::start().now().at).unwrap_or_default();
    format!("{} {} {since}\n", std::process::id(), host())
}

/// The name of this computer.
fn host() -> String {
    let named = std::fs::read_to_string("/proc/sys/kernel/hostname").ok();
    let named = named.or_else(|| {
        std::env::var("COMPUTERNAME")
            .or(std::env::var("HOSTNAME"))
            .ok()
    });
    let named = named.unwrap_or_default();
    let word: String = named.split_whitespace().collect();
    if word.is_empty() {
        "-".to_owned()
    } else {
        word
    }
}

/// True when a note is of a process of this computer that runs no more.
fn is_gone(note: &str) -> bool {
    let mut words = note.split_whitespace();
    let process = words.next().and_then(|word| word.parse::<u32>().ok());
    let here = words.next() == Some(host().as_str()) && Path::new("/proc/self").exists();
    process.is_some_and(|process| here && !Path::new(&format!("/proc/{process}")).exists())
}

/// A note in words.
fn held_by(note: &str) -> String {
    let words: Vec<&str> = note.split_whitespace().collect();
    match words.as_slice() {
        [process, host, since] => format!("process {process} on computer {host}, since {since}"),
        _ => "somebody who left no name".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::shell::disk::{RealDisk, Tape};

    /// The computer's disk as a network share without locks.
    #[derive(Debug)]
    struct Share;

    impl Disk for Share {
        fn read(&self, path: &Path, most: u64) -> io::Result<Option<Vec<u8>>> {
            RealDisk.read(path, most)
        }
        fn open(&self, path: &Path, how: Open<'_>) -> io::Result<Box<dyn Tape>> {
            RealDisk.open(path, how)
        }
        fn lock(&self, _: &Path, _: &Path) -> io::Result<Option<Lock>> {
            Err(io::Error::from_raw_os_error(NO_LOCKS))
        }
        fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
            RealDisk.rename(from, to)
        }
        fn remove(&self, path: &Path) -> io::Result<()> {
            RealDisk.remove(path)
        }
        fn sync_folder(&self, folder: &Path) -> io::Result<()> {
            RealDisk.sync_folder(folder)
        }
    }

    #[test]
    fn without_locks_a_note_keeps_a_second_copy_out_and_goes_with_the_first() {
        let dir = tempfile::tempdir().unwrap();
        let paths = JobPaths::of(&dir.path().join("knife.toml"));
        let held = take(&Share, &paths, Locking::Lock).unwrap();
        let refused = take(&Share, &paths, Locking::Lock).unwrap_err();
        let words = refused.to_string();
        assert!(words.contains(&std::process::id().to_string()), "{words}");
        assert!(words.contains("knife.lock.held"), "{words}");
        // asked for, it goes without
        assert!(take(&Share, &paths, Locking::Nothing).is_ok());
        drop(held);
        assert!(!note_of(&paths.lock).exists());
        assert!(take(&Share, &paths, Locking::Lock).is_ok());
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn the_note_of_a_copy_that_died_here_is_taken_over_and_one_from_elsewhere_is_not() {
        let dir = tempfile::tempdir().unwrap();
        let paths = JobPaths::of(&dir.path().join("knife.toml"));
        let put = |text: &str| {
            let mut file = fs::File::create(note_of(&paths.lock)).unwrap();
            io::Write::write_all(&mut file, text.as_bytes()).unwrap();
        };
        // no process has so high a number, see pid_max in proc(5)
        for (text, free) in [
            (
                format!("4999999 {} 2026-01-01T00:00:00.000Z\n", host()),
                true,
            ),
            (
                "4999999 elsewhere 2026-01-01T00:00:00.000Z\n".to_owned(),
                false,
            ),
            (String::new(), false),
            (format!("{} {} -\n", std::process::id(), host()), false),
        ] {
            put(&text);
            let taken = take(&Share, &paths, Locking::Lock);
            assert_eq!(taken.is_ok(), free, "{text}");
        }
    }

    #[test]
    fn a_note_that_is_no_longer_ours_is_left() {
        let dir = tempfile::tempdir().unwrap();
        let paths = JobPaths::of(&dir.path().join("knife.toml"));
        let held = take(&Share, &paths, Locking::Lock).unwrap();
        let file = note_of(&paths.lock);
        fs::remove_file(&file).unwrap();
        let mut other = fs::File::create(&file).unwrap();
        io::Write::write_all(&mut other, b"1 elsewhere now\n").unwrap();
        drop(held);
        assert!(file.exists());
    }
}
