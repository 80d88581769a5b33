//! The keyboard: bytes of the terminal in, keys out.
//!
//! The screen library's own reader takes late answers of the terminal for keys, waits for ever for the
//! rest of a sequence that was cut, and leaves the tail of a burst unread. So the bytes are read here,
//! all that are ready at each wake. Its names for keys are used all the same.

#[cfg(not(unix))]
mod console;
#[cfg(unix)]
mod decode;
#[cfg(unix)]
mod runs;
#[cfg(unix)]
mod sequences;
#[cfg(unix)]
mod tty;

#[cfg(not(unix))]
pub(super) use console::Keyboard;
#[cfg(unix)]
pub(super) use tty::{Keyboard, ready};

use super::clock::Now;
use super::input::Input;

/// Whether there is a keyboard to read.
pub(super) fn is_there() -> bool {
    use std::io::IsTerminal;
    std::io::stdin().is_terminal() || cfg!(not(unix)) || std::fs::File::open("/dev/tty").is_ok()
}

/// What came from the terminal in one go: the bytes as they were, and the keys among them.
pub(super) struct Came {
    pub(super) bytes: Vec<u8>,
    pub(super) keys: Vec<(Input, Now)>,
}
