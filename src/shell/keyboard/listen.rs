//! The thread that listens to the keyboard.

use std::io::{self, IsTerminal};
use std::sync::mpsc::Sender;
use std::thread;

#[cfg(not(unix))]
use super::console::Keyboard;
#[cfg(unix)]
use super::tty::Keyboard;
use crate::shell::clock::Now;
use crate::shell::input::Input;

/// Whether there is a keyboard to read.
pub(in crate::shell) fn is_there() -> bool {
    io::stdin().is_terminal() || cfg!(not(unix)) || std::fs::File::open("/dev/tty").is_ok()
}

/// Starts the thread.
///
/// # Errors
/// When the system gives none.
pub(in crate::shell) fn listen<M: Send + 'static>(
    mut keyboard: Keyboard,
    to: Sender<M>,
    message: impl Fn(Input, Now) -> M + Send + 'static,
    gone: impl FnOnce() -> M + Send + 'static,
) -> io::Result<()> {
    let run = move || {
        while let Ok(came) = keyboard.hear(None) {
            for (input, now) in came.keys {
                if to.send(message(input, now)).is_err() {
                    return;
                }
            }
        }
        // a program that has ended needs no telling
        let _ = to.send(gone());
    };
    thread::Builder::new()
        .name("input".into())
        .spawn(run)
        .map(drop)
}
