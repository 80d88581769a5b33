//! What really happened: entries and their line format. Bytes in, entries out; no disk.
//!
//! The promise: an entry is whole or absent. A line counts when its sequence number follows, its
//! checksum agrees and its newline is there. A torn tail is cut off (a copy is kept by the shell);
//! damage before the tail is reported by line and never skipped.

mod codec;
mod entry;
mod repair;

pub use codec::{DecodeError, decode, encode};
pub use entry::{Entry, Event, Fire, Resolution};
pub use repair::{Scan, scan};
