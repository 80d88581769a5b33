//! The shelf of a folder: one file beside the plans, changed whole and under a lock.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

use super::Trouble;
use super::disk::{Disk, RealDisk};
use super::lock::{self, Locking};
use super::paths::{self, JobPaths};
use super::replace::replace_like;
use crate::planner::shelf::{Refused, Shelf};
use crate::session::ShelfSide;
use crate::units::Stamp;

/// Name of the file.
pub const SHELF_FILE: &str = "anvilside.shelf.toml";
/// Most bytes of it.
const MOST: u64 = 4 << 20;
/// Another program has it for a moment only: how often, and how long in between, it is asked again.
const TRIES: u32 = 250;
const PAUSE: Duration = Duration::from_millis(20);

/// The shelf file of a folder.
#[must_use]
pub fn shelf_file(folder: &Path) -> PathBuf {
    folder.join(SHELF_FILE)
}

/// What lies in a folder; an empty shelf where there is no file. Nothing is locked or changed.
///
/// # Errors
/// A sentence with the file's name, and the line where it is damaged.
pub fn read(folder: &Path) -> Result<Shelf, String> {
    let path = shelf_file(folder);
    let shown = paths::show(&path);
    let bytes = RealDisk.read(&path, MOST).map_err(|why| match why.kind() {
        ErrorKind::FileTooLarge => format!("{shown}: too large for a shelf"),
        _ => Trouble::read(&path)(why).to_string(),
    })?;
    let Some(bytes) = bytes else {
        return match path.symlink_metadata() {
            Ok(_) => Err(format!(
                "{shown}: a link to a file that is not there; mend it or take it away"
            )),
            Err(_) => Ok(Shelf::default()),
        };
    };
    let text =
        String::from_utf8(bytes).map_err(|_| format!("{shown}: is not text; save it as UTF-8"))?;
    Shelf::read(&text).map_err(|why| {
        format!("{shown}: {why}; mend that line, or move the file aside to begin a new shelf")
    })
}

/// Changes the shelf of a folder as it is on the disk at that moment. A new file has the permissions of
/// `like`.
///
/// # Errors
/// Why it cannot be read or written, or what the change says; the file is then as it was.
pub fn change<T>(
    folder: &Path,
    like: &Path,
    change: impl FnOnce(&mut Shelf) -> Result<T, Refused>,
) -> Result<T, String> {
    let file = shelf_file(folder);
    let paths = JobPaths {
        plan: like.to_owned(),
        journal: file.clone(),
        lock: file.with_extension("lock"),
        folder: folder.to_owned(),
    };
    let mut tries = 0;
    let _lock = loop {
        match lock::take(&RealDisk, &paths, Locking::Lock) {
            Err(Trouble::Busy | Trouble::Held { .. }) if tries < TRIES => {
                tries += 1;
                sleep(PAUSE);
            }
            Err(Trouble::Busy) => {
                return Err(format!(
                    "{}: another program is changing it; try again",
                    paths::show(&file)
                ));
            }
            other => break other.map_err(|why| why.to_string())?,
        }
    };
    let mut shelf = read(folder)?;
    let before = shelf.clone();
    let told = change(&mut shelf).map_err(|why| why.to_string())?;
    if shelf != before {
        replace_like(&RealDisk, &file, shelf.write().as_bytes(), like)
            .map_err(|why| why.to_string())?;
    }
    Ok(told)
}

/// Brings the shelf beside a plan in line with its job: what was done in words, and why a piece that the plan
/// names cannot be had.
///
/// # Errors
/// Why the file cannot be read or written.
pub fn meet(
    paths: &JobPaths,
    side: &ShelfSide,
    now: Stamp,
) -> Result<(Vec<String>, Result<(), String>), String> {
    let name = paths.journal_name();
    let mut tried = None;
    let is_new = |shelf: &Shelf| *shelf != Shelf::default();
    if side.kept.is_empty() && side.takes.is_empty() && !is_new(&read(&paths.folder)?) {
        // no job makes a shelf that has nothing for it
        return Ok((Vec::new(), Ok(())));
    }
    let said = change(&paths.folder, &paths.plan, |shelf| {
        let (said, taken) = shelf.meet(&name, side, now);
        tried = Some(taken.map_err(|why| why.to_string()));
        Ok(said)
    })?;
    Ok((said, tried.unwrap_or(Ok(()))))
}
