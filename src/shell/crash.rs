//! The note left beside the journal when the program fails.

use std::backtrace::Backtrace;
use std::panic::PanicHookInfo;
use std::path::{Path, PathBuf};
use std::thread;

use super::clock::Clock;
use super::disk::{Disk, Open, RealDisk};
use super::paths::{JobPaths, show};
use crate::journal::write_stamp;

/// Writes down what is known of a panic under the first free name of the job's crash notes, where there
/// is a job that is worked, and gives the words for the user.
#[must_use]
pub fn note(info: &PanicHookInfo<'_>, paths: Option<&JobPaths>) -> String {
    let text = describe(
        info.payload_as_str().unwrap_or("no message"),
        &info
            .location()
            .map_or_else(String::new, ToString::to_string),
        thread::current().name().unwrap_or("without a name"),
        &Backtrace::force_capture().to_string(),
    );
    let Some(paths) = paths else {
        let name = env!("CARGO_PKG_NAME");
        return format!(
            "{name} failed and had to stop; it has written nothing. Start it again.\n{text}"
        );
    };
    words(keep(&RealDisk, paths, &text).as_deref(), &paths.journal)
}

fn describe(message: &str, place: &str, thread: &str, trace: &str) -> String {
    let when = write_stamp(Clock::start().now().at).unwrap_or_default();
    let (name, version) = (env!("CARGO_PKG_NAME"), env!("CARGO_PKG_VERSION"));
    format!(
        "{name} {version} failed at {when}\n{message}\nat {place}, thread {thread}\n\n{trace}\n"
    )
}

fn words(note: Option<&Path>, journal: &Path) -> String {
    let name = env!("CARGO_PKG_NAME");
    let kept = show(journal);
    let told = match note {
        Some(note) => format!("What is known of it is in {}.", show(note)),
        None => "No note of it could be written.".to_owned(),
    };
    format!(
        "{name} failed and had to stop. Every confirmed entry is safe in {kept}: start it again to go \
         on. {told}"
    )
}

fn keep(disk: &dyn Disk, paths: &JobPaths, text: &str) -> Option<PathBuf> {
    (1..100).find_map(|n| {
        let path = paths.crash(n);
        let mut tape = disk.open(&path, Open::NewLike(&path)).ok()?;
        tape.write(text.as_bytes()).ok()?;
        tape.sync().ok()?;
        Some(path)
    })
}

/// For the tests of the real program: fails on purpose in the calling thread.
#[expect(clippy::panic, reason = "that is what it is for")]
pub(super) fn fail_on_purpose() -> ! {
    panic!("failed on purpose");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_are_numbered_and_say_what_and_where() {
        let dir = tempfile::tempdir().unwrap();
        let paths = JobPaths::of(&dir.path().join("knife.toml"));
        let text = describe("lost a bar", "src/a.rs:7:1", "main", "frames");
        for n in [1, 2] {
            let path = keep(&RealDisk, &paths, &text).unwrap();
            assert_eq!(path, paths.crash(n));
            assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
        }
        for part in [
            "lost a bar",
            "src/a.rs:7:1",
            "thread main",
            "frames",
            "failed at 2",
        ] {
            assert!(text.contains(part), "{text}");
        }
    }

    #[test]
    fn a_note_that_cannot_be_written_is_said_and_no_more() {
        let dir = tempfile::tempdir().unwrap();
        let paths = JobPaths::of(&dir.path().join("gone/knife.toml"));
        assert_eq!(keep(&RealDisk, &paths, "x"), None);
        let words = words(None, &paths.journal);
        assert!(
            words.contains("knife.journal") && words.contains("No note"),
            "{words}"
        );
    }
}
