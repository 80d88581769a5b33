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
    check: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    law: String,
    mark: Mark,
    script: Option<String>,
}

/// A law with the number of checks behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Evidence {
    /// The law's card.
    pub law: Law,
    /// All rows.
    pub rows: usize,
    /// Rows whose expected value is a published figure, seen or from memory.
    pub published: usize,
    /// Rows worked out by a general-purpose library.
    pub scripted: usize,
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
    let count = |law: Law| {
        let key = law.key;
        let own = rows
            .iter()
            .filter(move |row| row.law.split('.').next() == Some(key));
        let published = |row: &&Row| matches!(row.mark, Mark::Seen | Mark::FromMemory);
        Evidence {
            law,
            rows: own.clone().count(),
            published: own.clone().filter(published).count(),
            scripted: own.filter(|row| row.script.is_some()).count(),
        }
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
            assert!(evidence.rows > 0, "{}", evidence.law.key);
            assert!(evidence.published + evidence.scripted <= 2 * evidence.rows);
        }
    }
}
