//! What really happened: entries and their line format. Bytes in, entries out; no disk.
//!
//! The promise: an entry is whole or absent.
//!
//! # The journal file
//!
//! A job's journal lies beside its plan: `knife.toml` has `knife.journal`. It is plain text in UTF-8 and
//! only ever grows at its end; going back a step is a record too. The state of the job is what comes of
//! reading the plan and then every record in order; nothing else is kept.
//!
//! One record is one line of four fields, one space between them, and a newline (`0a`) last:
//!
//! ```text
//! 17 2026-11-25T09:12:33.120Z 2d01ba7b {"done":{"step":"draw-1"}}
//! ^  ^                        ^        ^
//! |  |                        |        what happened, as one JSON value (see Event)
//! |  |                        CRC-32 of the line without this field and the space behind it
//! |  wall clock, UTC, RFC 3339 with milliseconds and Z
//! number of the record, from 1 without gaps: it is the line's number too
//! ```
//!
//! - The **checksum** is the CRC-32 of zip, gzip and PNG (ISO-HDLC: reflected polynomial `edb88320`), as
//!   eight lower-case hexadecimal digits, taken over `17 2026-11-25T09:12:33.120Z {"done":...}`.
//! - The **JSON** is an object with one key, the kind of event, or a bare string for a kind without
//!   fields: `"closed"`. Control characters inside it are escaped, so a newline byte always ends a record.
//!   Lengths are cold millimetres, masses grams, temperatures degrees Celsius, spans seconds. A number
//!   that is not finite is never written.
//! - The first record holds the **text of the plan** as it was taken, and each accepted edit is such a
//!   record again: the journal is whole by itself.
//!
//! # What counts
//!
//! A record counts when its number follows, its checksum agrees, its kind is known and its newline is
//! there. Anything else is one of two things ([`scan`] tells which):
//!
//! - **A torn tail**: the last line has no newline, or it is the last line and holds zero bytes (a block
//!   that the disk never filled). The write was cut short by a crash or a power cut before it was
//!   acknowledged. On opening, the file is copied aside and the tail cut off.
//! - **Damage**: any other line that does not count, wherever it lies. It is reported with its line
//!   number and nothing is changed, cut or skipped: the records behind it may depend on it.

mod codec;
mod entry;
mod repair;
#[cfg(test)]
mod samples;
mod spare;
mod time;

pub use codec::{DecodeError, EncodeError, decode, encode};
pub use entry::{Counted, Entry, Event, Fire, Photograph, Resolution};
pub use repair::{Flaw, Scan, scan};
pub use spare::{Kept, Spare};
pub use time::{read_local, read_stamp, write_stamp};
