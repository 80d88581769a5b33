//! Bytes to the terminal, without waiting for ever for one that takes none.

use std::io;
use std::time::Duration;

/// How often it is looked whether somebody wants the end.
const STEP: Duration = Duration::from_millis(20);

/// The terminal behind the standard output, without that stream's lock and buffer.
#[derive(Debug)]
pub(super) struct Out(std::fs::File);

impl Out {
    /// Opened anew where that can be, so that not waiting holds for nobody else.
    ///
    /// # Errors
    /// When there is no terminal.
    #[cfg(unix)]
    pub(super) fn open() -> io::Result<Self> {
        use std::os::fd::AsFd;
        use std::os::unix::ffi::OsStrExt;
        use std::os::unix::fs::OpenOptionsExt;

        let stdout = io::stdout();
        let flags = rustix::fs::OFlags::NONBLOCK | rustix::fs::OFlags::NOCTTY;
        let anew = rustix::termios::ttyname(&stdout, Vec::new())
            .ok()
            .and_then(|name| {
                let mut options = std::fs::File::options();
                options.write(true).custom_flags(flags.bits().cast_signed());
                options
                    .open(std::ffi::OsStr::from_bytes(name.as_bytes()))
                    .ok()
            });
        let file = match anew {
            Some(file) => file,
            None => std::fs::File::from(stdout.as_fd().try_clone_to_owned()?),
        };
        Ok(Self(file))
    }

    /// As it is: the console takes everything.
    ///
    /// # Errors
    /// When there is none.
    #[cfg(windows)]
    pub(super) fn open() -> io::Result<Self> {
        use std::os::windows::io::AsHandle;
        let handle = io::stdout().as_handle().try_clone_to_owned()?;
        Ok(Self(std::fs::File::from(handle)))
    }

    /// Writes all of it, unless the terminal takes nothing until it is given up; that is asked with how
    /// long it has taken nothing.
    ///
    /// # Errors
    /// When the terminal is gone or was given up.
    pub(super) fn send(
        &mut self,
        mut bytes: &[u8],
        give_up: impl Fn(Duration) -> bool,
    ) -> io::Result<()> {
        use std::io::{ErrorKind, Write};

        let mut waited = Duration::ZERO;
        while !bytes.is_empty() {
            match self.0.write(bytes) {
                Ok(0) => return Err(ErrorKind::WriteZero.into()),
                Ok(n) => {
                    bytes = bytes.get(n..).unwrap_or_default();
                    waited = Duration::ZERO;
                }
                Err(e) if e.kind() == ErrorKind::Interrupted => {}
                Err(e) if e.kind() == ErrorKind::WouldBlock => {
                    if give_up(waited) {
                        return Err(ErrorKind::TimedOut.into());
                    }
                    self.wait();
                    waited += STEP;
                }
                Err(e) => return Err(e),
            }
        }
        Ok(())
    }

    /// Waits until it takes something, or a short while.
    fn wait(&self) {
        #[cfg(unix)]
        {
            use rustix::event::{PollFd, PollFlags, Timespec, poll};
            let most = Timespec {
                tv_sec: 0,
                tv_nsec: i64::from(STEP.subsec_nanos()),
            };
            // what a signal breaks off is tried again
            let _ = poll(&mut [PollFd::new(&self.0, PollFlags::OUT)], Some(&most));
        }
        #[cfg(not(unix))]
        std::thread::sleep(STEP);
    }
}

impl io::Write for Out {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.send(bytes, |waited| waited > Duration::from_secs(1))?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
