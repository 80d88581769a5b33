//! A key and a table of keys, as they are documented.

use super::writes::Writes;
use crate::billet::Kind;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeyDoc {
    /// The key.
    pub name: &'static str,
    /// What is written.
    pub writes: Writes,
    /// True when it must be there.
    pub required: bool,
    /// In words, with the default.
    pub words: &'static str,
}

/// The keys of one table of the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Its header, as `[shop]`; for steps the line `kind = "draw"`.
    pub header: String,
    /// The kind of step it belongs to, where it is a step.
    pub kind: Option<Kind>,
    /// What it is for.
    pub words: String,
    pub keys: Vec<KeyDoc>,
}
