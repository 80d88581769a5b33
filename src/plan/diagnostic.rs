//! What is wrong or odd in a plan: where, what, and what to do.

use std::collections::BTreeMap;

use serde::Serialize;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// The plan cannot be worked.
    Error,
    /// Odd but possible.
    Warning,
}

/// Where in the file, counting from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize)]
pub struct Place {
    pub line: usize,
    /// Column, in characters.
    pub column: usize,
}

/// Where each key of a table is written, for findings that come after the reading. Two of them are
/// always equal: the same work written on other lines is the same work.
#[derive(Debug, Clone, Default)]
pub struct Places(BTreeMap<String, Place>);

impl Places {
    /// Where that key is written.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<Place> {
        self.0.get(key).copied()
    }
}

impl PartialEq for Places {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl FromIterator<(String, Place)> for Places {
    fn from_iter<I: IntoIterator<Item = (String, Place)>>(items: I) -> Self {
        Self(items.into_iter().collect())
    }
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// How bad.
    pub level: Level,
    pub place: Place,
    /// The step concerned, as its id.
    pub step: Option<String>,
    /// The key concerned.
    pub key: Option<String>,
    /// What is wrong, with the value in quotes.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl std::fmt::Display for Diagnostic {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let level = match self.level {
            Level::Error => "error",
            Level::Warning => "warning",
        };
        // what no line says is told of the first
        let (line, column) = (self.place.line.max(1), self.place.column.max(1));
        write!(out, "{line}:{column}: {level}: ")?;
        if let Some(step) = &self.step {
            write!(out, "{step}: ")?;
        }
        write!(out, "{}; {}", self.what, self.remedy)
    }
}
