//! The keyboard of a terminal that sends bytes.

use std::fs::File;
use std::io::{self, ErrorKind, IsTerminal, Read};
use std::time::Duration;

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::termios::{QueueSelector, tcflush};

use super::decode::Decoder;
use super::runs::Runs;
use crate::shell::clock::Clock;
use crate::shell::input::Batch;

/// Most bytes taken up before the keys among them are told.
const AT_ONCE: usize = 1 << 16;
/// The rest of something that was cut comes in one go, give or take this.
const GATHER: Duration = Duration::from_millis(10);

/// The keyboard of the terminal.
#[derive(Debug)]
pub(in crate::shell) struct Keyboard {
    tty: File,
    clock: Clock,
    decoder: Decoder,
    runs: Runs,
}

impl Keyboard {
    /// The terminal behind the standard input, or the one that the program belongs to.
    ///
    /// # Errors
    /// When there is none.
    pub(in crate::shell) fn open(clock: Clock) -> io::Result<Self> {
        use std::os::fd::AsFd;
        let stdin = io::stdin();
        let tty = if stdin.is_terminal() {
            File::from(stdin.as_fd().try_clone_to_owned()?)
        } else {
            File::open("/dev/tty")?
        };
        Ok(Self {
            tty,
            clock,
            decoder: Decoder::default(),
            runs: Runs::default(),
        })
    }

    /// Drops what was typed before now: it was meant for the shell.
    pub(in crate::shell) fn forget(&self) {
        // a terminal that cannot drop it has nothing typed yet either
        let _ = tcflush(&self.tty, QueueSelector::IFlush);
    }

    /// Waits for something to come, or for what was held to be let go, and no longer than `most`. Gives
    /// the bytes as they came, and what they mean.
    ///
    /// # Errors
    /// When the terminal is gone.
    pub(in crate::shell) fn hear(&mut self, most: Option<Duration>) -> io::Result<Batch> {
        let due = [self.decoder.due(), self.runs.due()];
        let due = due.into_iter().flatten().min();
        let due = due.map(|due| self.clock.until(Duration::from_millis(due)));
        let wait = due.into_iter().chain(most).min();
        let mut bytes = Vec::new();
        if self.is_ready(wait)? {
            self.drain(&mut bytes)?;
            if self.decoder.expects_rest(self.clock.elapsed_ms()) && self.is_ready(Some(GATHER))? {
                self.drain(&mut bytes)?;
            }
        }
        let now = self.clock.now();
        let tokens = if bytes.is_empty() {
            self.decoder.late(now.mono_ms)
        } else {
            self.decoder.take(&bytes, now.mono_ms)
        };
        let keys = if tokens.is_empty() {
            self.runs.late(now.mono_ms)
        } else {
            self.runs.take(tokens, now)
        };
        Ok(Batch { bytes, keys })
    }

    fn is_ready(&self, wait: Option<Duration>) -> io::Result<bool> {
        ready(&self.tty, wait)
    }

    fn drain(&mut self, bytes: &mut Vec<u8>) -> io::Result<()> {
        let mut buffer = [0; 4096];
        loop {
            match self.tty.read(&mut buffer) {
                Ok(0) => return Err(ErrorKind::UnexpectedEof.into()),
                Ok(n) => bytes.extend_from_slice(buffer.get(..n).unwrap_or_default()),
                Err(e) if matches!(e.kind(), ErrorKind::Interrupted | ErrorKind::WouldBlock) => {}
                Err(e) => return Err(e),
            }
            if bytes.len() >= AT_ONCE || !self.is_ready(Some(Duration::ZERO))? {
                return Ok(());
            }
        }
    }
}

/// Waits until there is something to read, and no longer than that.
///
/// # Errors
/// What the system says.
pub(in crate::shell) fn ready(file: &File, wait: Option<Duration>) -> io::Result<bool> {
    let wait = wait.map(|wait| Timespec {
        tv_sec: i64::try_from(wait.as_secs()).unwrap_or(i64::MAX),
        tv_nsec: i64::from(wait.subsec_nanos()),
    });
    match poll(&mut [PollFd::new(file, PollFlags::IN)], wait.as_ref()) {
        Ok(n) => Ok(n > 0),
        Err(rustix::io::Errno::INTR) => Ok(false),
        Err(e) => Err(e.into()),
    }
}
