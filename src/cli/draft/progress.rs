//! A bar on the standard error while a search lasts, and Ctrl-C to stop it.

use std::io::{IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use crate::planner::draft::Progress;
use crate::shell::clock::Clock;
use crate::shell::signals;

/// A bar is shown for a search that lasts longer than this.
const SOON_MS: u64 = 400;
/// Letters of the bar.
const WIDE: usize = 40;

/// A search that is looked after.
#[derive(Debug)]
pub(super) struct Watched {
    stop: Arc<AtomicBool>,
    clock: Clock,
    /// A terminal reads the progress.
    watched: bool,
}

impl Watched {
    pub(super) fn start() -> std::io::Result<Self> {
        Ok(Self {
            stop: signals::interrupted()?,
            clock: Clock::start(),
            watched: std::io::stderr().is_terminal(),
        })
    }

    /// Up once the search is to stop.
    pub(super) fn stop(&self) -> &AtomicBool {
        &self.stop
    }

    /// Draws the bar anew.
    pub(super) fn show(&self, progress: Progress) {
        if !self.watched || self.clock.elapsed_ms() < SOON_MS {
            return;
        }
        let of = progress.of.max(1);
        let full = WIDE * progress.done.min(of) / of;
        let bar = "#".repeat(full) + &".".repeat(WIDE - full);
        let mut to = std::io::stderr().lock();
        // a bar that cannot be shown is no reason to stop
        let _ = write!(
            to,
            "\r[{bar}] {:>3} %, Ctrl-C stops",
            100 * progress.done.min(of) / of
        );
        let _ = to.flush();
    }

    /// Takes the bar away.
    pub(super) fn end(&self) {
        if self.watched && self.clock.elapsed_ms() >= SOON_MS {
            let mut to = std::io::stderr().lock();
            let _ = write!(to, "\r{:width$}\r", "", width = WIDE + 24);
            let _ = to.flush();
        }
    }
}
