//! What every law says about itself: its name, where it comes from and where it holds.

use crate::metal::Mark;

/// The card of one law.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Law {
    /// Short name; the part before the dot in a check row's `law`.
    pub key: &'static str,
    /// What it gives, in a few words.
    pub title: &'static str,
    /// Standard, paper or book.
    pub source: &'static str,
    /// How well the source is known.
    pub mark: Mark,
    /// Where it holds, and what is done outside.
    pub valid: &'static str,
}
