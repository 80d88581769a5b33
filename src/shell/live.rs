//! Calls each time the files of a job have changed, until it is told to stop: for what is kept current beside
//! the job. Nothing is written here and no lock is taken.

use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use super::follow::{EVERY, stamp};
use super::paths::JobPaths;
use super::watch::Watch;

/// So soon a wish to stop is seen.
const SOON: Duration = Duration::from_millis(250);

/// Watches plan and journal; `changed` is called once for each change, also where no event comes.
///
/// # Errors
/// When the system gives no thread.
pub fn on_change(plan: &Path, stop: &AtomicBool, mut changed: impl FnMut()) -> io::Result<()> {
    let paths = JobPaths::of(plan);
    let files = [paths.journal, paths.plan];
    let (tell, told) = channel();
    let mut watches = Vec::new();
    for file in &files {
        let tell = tell.clone();
        let watch = Watch::start(file, Some(EVERY), move || tell.send(()).is_ok())?;
        watches.push(watch);
    }
    drop(tell);
    let stamps = || files.each_ref().map(|file| stamp(file));
    let mut last = stamps();
    while !stop.load(Ordering::Relaxed) {
        match told.recv_timeout(SOON) {
            Ok(()) => {}
            Err(RecvTimeoutError::Timeout) => continue,
            Err(RecvTimeoutError::Disconnected) => break,
        }
        let now = stamps();
        if now != last {
            last = now;
            changed();
        }
    }
    Ok(())
}
