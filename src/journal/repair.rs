//! What of a journal file can be trusted.

use super::Entry;

/// The result of reading a journal's bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct Scan {
    /// Whole entries, in order.
    pub entries: Vec<Entry>,
    /// Length of the good part in bytes; what lies behind it is a torn tail.
    pub good: usize,
    /// Damage before the tail: line number from 1 and what is wrong. Nothing behind it is trusted.
    pub damage: Option<(usize, String)>,
}

/// Reads every whole entry.
#[must_use]
pub fn scan(bytes: &[u8]) -> Scan {
    let _ = bytes;
    Scan {
        entries: Vec::new(),
        good: 0,
        damage: None,
    }
}
