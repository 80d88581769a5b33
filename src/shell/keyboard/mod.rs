//! The keyboard: bytes of the terminal in, keys out.
//!
//! The screen library's own reader takes late answers of the terminal for keys, waits for ever for the
//! rest of a sequence that was cut, and leaves the tail of a burst unread. So the bytes are read here,
//! all that are ready at each wake. Its names for keys are used all the same.

#[cfg(not(unix))]
mod console;
#[cfg(unix)]
mod decode;
mod listen;
#[cfg(unix)]
mod runs;
#[cfg(unix)]
mod sequences;
#[cfg(unix)]
mod tty;

#[cfg(not(unix))]
pub(super) use console::Keyboard;
pub(super) use listen::{is_there, listen};
#[cfg(unix)]
pub(super) use tty::{Keyboard, ready};
