//! The shelf of a folder: one file beside the plans, changed whole and under a lock.

use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

use super::Trouble;
use super::disk::RealDisk;
use super::lock::{self, Locking};
use super::paths::JobPaths;
use super::replace::{read_text, replace_like};
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
/// [`Trouble`], with the line where the file is damaged.
pub fn read(folder: &Path) -> Result<Shelf, Trouble> {
    let path = shelf_file(folder);
    let Some(text) = read_text(&path, MOST, "a shelf")? else {
        return match path.symlink_metadata() {
            Ok(_) => Err(Trouble::LinkToNothing { path }),
            Err(_) => Ok(Shelf::default()),
        };
    };
    Shelf::read(&text).map_err(|why| Trouble::ShelfFile { path, why })
}

/// Changes the shelf of a folder as it is on the disk at that moment. A new file has the permissions of
/// `like`.
///
/// # Errors
/// [`Trouble`], or what the change says; the file is then as it was.
pub fn change<T>(
    folder: &Path,
    like: &Path,
    change: impl FnOnce(&mut Shelf) -> Result<T, Refused>,
) -> Result<T, Trouble> {
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
            Err(Trouble::Busy) => return Err(Trouble::Changing { path: file }),
            other => break other?,
        }
    };
    let mut shelf = read(folder)?;
    let before = shelf.clone();
    let told = change(&mut shelf)?;
    if shelf != before {
        replace_like(&RealDisk, &file, shelf.write().as_bytes(), like)?;
    }
    Ok(told)
}

/// Brings the shelf beside a plan in line with its job: what was done in words, and why a piece that the plan
/// names cannot be had.
///
/// # Errors
/// [`Trouble`].
pub fn meet(
    paths: &JobPaths,
    side: &ShelfSide,
    now: Stamp,
) -> Result<(Vec<String>, Result<(), Trouble>), Trouble> {
    let name = paths.journal_name();
    let mut tried = None;
    let is_new = |shelf: &Shelf| *shelf != Shelf::default();
    if side.kept.is_empty() && side.takes.is_empty() && !is_new(&read(&paths.folder)?) {
        // no job makes a shelf that has nothing for it
        return Ok((Vec::new(), Ok(())));
    }
    let said = change(&paths.folder, &paths.plan, |shelf| {
        let (said, taken) = shelf.meet(&name, side, now);
        tried = Some(taken.map_err(Trouble::Shelf));
        Ok(said)
    })?;
    Ok((said, tried.unwrap_or(Ok(()))))
}
