//! Every key of the plan format, once: the reader, the format page and the JSON schema come from it.

mod page;
mod schema;
mod steps;
mod tables;
mod writes;

pub use page::format_page;
pub use schema::schema;
pub use writes::Writes;

pub(crate) use steps::{KINDS, common, of_kind};
pub(crate) use tables::{BLADE, BOLSTER, GOAL, PATTERNS, SHOP, STACK, STEEL, STEELS, TANG, TOP};

use crate::billet::Kind;

/// One key.
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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Table {
    /// Its header, as `[shop]`; for steps the line `kind = "draw"`.
    pub header: &'static str,
    /// The kind of step it belongs to, where it is a step.
    pub kind: Option<Kind>,
    /// What it is for.
    pub words: &'static str,
    /// Its keys.
    pub keys: &'static [KeyDoc],
}

impl KeyDoc {
    /// A key that must be there.
    const fn must(name: &'static str, writes: Writes, words: &'static str) -> Self {
        Self {
            name,
            writes,
            required: true,
            words,
        }
    }

    /// A key that may be left out.
    const fn may(name: &'static str, writes: Writes, words: &'static str) -> Self {
        Self {
            name,
            writes,
            required: false,
            words,
        }
    }
}

/// Every table: the top of the file, its tables, what every step may carry, then one for each kind.
#[must_use]
pub fn all_tables() -> &'static [Table] {
    static ALL: std::sync::OnceLock<Vec<Table>> = std::sync::OnceLock::new();
    ALL.get_or_init(|| {
        let mut all = vec![
            TOP,
            GOAL,
            BLADE,
            TANG,
            BOLSTER,
            STEELS,
            STEEL,
            SHOP,
            STACK,
            *common(),
        ];
        all.extend(Kind::ALL.iter().map(|kind| *of_kind(*kind)));
        all
    })
}
