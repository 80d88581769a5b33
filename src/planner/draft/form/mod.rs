//! A wish as it is typed: one text for each item, whether it comes from a flag, a wish file or the
//! screen.
//!
//! To add an item: a row in [`items`], and its reading in [`Form::wish`].

mod file;
mod item;
mod parts;
mod read;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

pub use file::{MOST_BYTES, WishFileError};
pub use item::{Group, Item, items};

use crate::plan::Pattern;
use crate::units::{Units, near, show};

/// Most bars on the rack.
pub(super) const MOST_BARS: usize = 12;
/// Longest text of one item.
const MOST_TEXT: usize = 400;

/// Why an item does not read, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{key}: {why}")]
pub struct Wrong {
    /// The item.
    pub key: &'static str,
    /// What is wrong and what to write.
    pub why: String,
}

/// A name that no item has.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("'{}' is not an item of a wish; {}", show::plain(.0, 24), nearest(.0))]
pub struct UnknownItem(pub String);

fn nearest(key: &str) -> String {
    let near = near::nearest(key, items().iter().map(|item| item.key));
    near.map_or_else(
        || "`anvilside draft --help` lists the items".to_owned(),
        |near| format!("write {near}"),
    )
}

/// What was typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Form {
    typed: BTreeMap<&'static str, String>,
}

impl Form {
    /// Puts a text; an empty one takes the item back to what is usual. Steels given one by one are
    /// put after each other.
    ///
    /// # Errors
    /// [`UnknownItem`].
    pub fn put(&mut self, key: &str, text: &str) -> Result<(), UnknownItem> {
        let Some(item) = items().iter().find(|item| item.key == key) else {
            return Err(UnknownItem(key.to_owned()));
        };
        let text = show::plain(text.trim(), MOST_TEXT);
        if text.is_empty() {
            self.typed.remove(item.key);
        } else {
            self.typed.insert(item.key, text);
        }
        Ok(())
    }

    /// One more bar, or several of one steel, on the rack.
    pub fn add_steel(&mut self, text: &str) {
        let before = self.typed.get("steel");
        let all = match before {
            Some(before) => format!("{before}; {text}"),
            None => text.to_owned(),
        };
        // the name is in the table
        let _ = self.put("steel", &all);
    }

    /// What was typed for an item.
    #[must_use]
    pub fn typed(&self, key: &str) -> Option<&str> {
        self.typed.get(key).map(String::as_str)
    }

    /// What holds for an item: what was typed, or what is usual; empty where there is neither.
    #[must_use]
    pub fn text(&self, key: &str) -> &str {
        if let Some(typed) = self.typed(key) {
            return typed;
        }
        let item = items().iter().find(|item| item.key == key);
        match (key, self.pattern()) {
            ("bands", Ok(Pattern::ThreeLayer)) => "3",
            ("bands", Ok(Pattern::Tiles)) => "15-40",
            _ => item.map_or("", |item| item.usual(self.units())),
        }
    }

    /// The units of bare numbers.
    #[must_use]
    pub fn units(&self) -> Units {
        match self.typed.get("units").map(String::as_str) {
            Some("in" | "inch" | "inches") => Units::Inch,
            _ => Units::Mm,
        }
    }

    /// Items that must be typed and are not.
    #[must_use]
    pub fn missing(&self) -> Vec<&'static str> {
        let needed = items().iter().filter(|item| item.is_needed());
        needed
            .map(|item| item.key)
            .filter(|key| !self.typed.contains_key(key))
            .collect()
    }

    /// The command that gives this wish again.
    #[must_use]
    pub fn command(&self) -> String {
        let mut words = vec!["anvilside draft".to_owned()];
        for item in items() {
            let Some(text) = self.typed(item.key) else {
                continue;
            };
            let each: Vec<&str> = match item.key {
                "steel" => text.split(';').map(str::trim).collect(),
                _ => vec![text],
            };
            words.extend(
                each.into_iter()
                    .map(|text| format!("--{} {}", item.key, quoted(text))),
            );
        }
        words.join(" ")
    }
}

/// As a shell takes it for one word.
fn quoted(text: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "-./%=,:_+".contains(c);
    if text.chars().all(plain) {
        text.to_owned()
    } else {
        format!("'{}'", text.replace('\'', "'\\''"))
    }
}
