//! What holds up each law: the rows of `shared/checks/`, counted.
//!
//! The rows are embedded at build, so that the program can say beside every law how many checks
//! stand behind it; `tests/it/checks` runs them.

use serde::Deserialize;

use super::{Law, laws};
use crate::metal::Mark;

/// Every file of rows, as shipped.
const FILES: &[(&str, &str)] = &[
    (
        "colours.toml",
        include_str!("../../shared/checks/colours.toml"),
    ),
    (
        "diffusion.toml",
        include_str!("../../shared/checks/diffusion.toml"),
    ),
    (
        "expansion.toml",
        include_str!("../../shared/checks/expansion.toml"),
    ),
    (
        "forming.toml",
        include_str!("../../shared/checks/forming.toml"),
    ),
    (
        "hardness.toml",
        include_str!("../../shared/checks/hardness.toml"),
    ),
    (
        "measured.toml",
        include_str!("../../shared/checks/measured.toml"),
    ),
    ("scale.toml", include_str!("../../shared/checks/scale.toml")),
    (
        "section.toml",
        include_str!("../../shared/checks/section.toml"),
    ),
    (
        "transformation.toml",
        include_str!("../../shared/checks/transformation.toml"),
    ),
];

#[derive(Deserialize)]
struct File {
    check: Vec<CheckRow>,
}

#[derive(Deserialize)]
struct CheckRow {
    law: String,
    mark: Mark,
    script: Option<String>,
}

/// How many rows stand on each kind of figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// A figure printed elsewhere and read there.
    pub published: usize,
    /// A figure recalled from the source named, not read again.
    pub memory: usize,
    /// Worked out apart, by hand or by a general-purpose library, or looked up in the law's own table.
    pub computed: usize,
    /// Common practice, no source.
    pub practice: usize,
    /// Of those computed: by a script with a general-purpose library.
    pub scripted: usize,
}

impl Tally {
    /// All rows.
    #[must_use]
    pub const fn rows(self) -> usize {
        self.published + self.memory + self.computed + self.practice
    }

    fn with(mut self, row: &CheckRow) -> Self {
        match row.mark {
            Mark::Seen => self.published += 1,
            Mark::FromMemory => self.memory += 1,
            Mark::Computed => self.computed += 1,
            Mark::CommonPractice | Mark::Sheet => self.practice += 1,
        }
        self.scripted += usize::from(row.script.is_some());
        self
    }

    /// Both together.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self {
            published: self.published + other.published,
            memory: self.memory + other.memory,
            computed: self.computed + other.computed,
            practice: self.practice + other.practice,
            scripted: self.scripted + other.scripted,
        }
    }
}

/// A law with the checks behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Evidence {
    /// The law's card.
    pub law: Law,
    /// Its rows, by what they stand on.
    pub tally: Tally,
}

/// Every law, in the order of [`laws`], with its checks.
///
/// # Errors
/// What is wrong with a file of rows; a test holds that nothing is.
pub fn evidence() -> Result<Vec<Evidence>, toml::de::Error> {
    let mut rows = Vec::new();
    for (_, text) in FILES {
        rows.extend(toml::from_str::<File>(text)?.check);
    }
    let count = |law: Law| Evidence {
        law,
        tally: rows
            .iter()
            .filter(|row| row.law.split('.').next() == Some(law.key))
            .fold(Tally::default(), Tally::with),
    };
    Ok(laws().into_iter().map(count).collect())
}

/// The names of the embedded files, for the test that none is forgotten.
#[must_use]
pub fn files() -> Vec<&'static str> {
    FILES.iter().map(|(name, _)| *name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_law_stands_on_something() {
        for evidence in evidence().unwrap() {
            assert!(evidence.tally.rows() > 0, "{}", evidence.law.key);
            assert!(evidence.tally.scripted <= evidence.tally.computed);
        }
    }
}
