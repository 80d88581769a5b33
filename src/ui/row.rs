//! A row of the list of billets.

use crate::units::Stamp;

/// Where a row belongs: the group, then the newest first, then by file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Begun and not finished, or not to be opened.
    Unfinished,
    NotBegun,
    Done,
}

/// One billet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListRow {
    /// The job's title.
    pub title: String,
    /// What is wanted of it; nothing where that is not known.
    pub goal: String,
    /// Where it stands, in words.
    pub state: String,
    /// The plan file, for telling like titles apart.
    pub file: String,
    pub group: Group,
    /// When it was worked last.
    pub last: Option<Stamp>,
}
