//! One table of the file against the keys it may have.

use toml::de::DeTable;

use super::document::{Document, MAX_FOUND, Node};
use crate::plan::keys::{Table, all_tables};
use crate::plan::{KeyDoc, Place, Writes};
use crate::units::{near, show};

/// One table of the file with the keys it may have.
#[derive(Debug)]
pub(super) struct Section<'a, 't> {
    table: &'a DeTable<'t>,
    /// Where the table begins.
    pub(super) start: usize,
    /// The step's id where the table is a step.
    pub(super) step: Option<String>,
    name: String,
    keys: Vec<&'static KeyDoc>,
}

/// The other tables of a plan, steps aside, that have exactly this key.
fn homes(word: &str, here: &str) -> String {
    let tables = all_tables().iter().filter(|table| table.kind.is_none());
    let with = tables.filter(|table| table.keys.iter().any(|known| known.name == word));
    let headers = with.map(|table| table.header);
    let named: Vec<&str> = headers
        .filter(|header| header.starts_with('[') && *header != here)
        .collect();
    named.join(" or ")
}

impl<'a, 't> Section<'a, 't> {
    /// Opens a table: unknown keys are said at once, and missing ones.
    pub(super) fn open(
        doc: &mut Document<'_>,
        table: &'a DeTable<'t>,
        start: usize,
        step: Option<String>,
        name: String,
        docs: &[&'static Table],
    ) -> Self {
        let keys: Vec<&'static KeyDoc> = docs.iter().flat_map(|doc| doc.keys.iter()).collect();
        let section = Self {
            table,
            start,
            step,
            name,
            keys,
        };
        section.unknown(doc);
        section.missing(doc);
        section
    }

    fn unknown(&self, doc: &mut Document<'_>) {
        for (key, _) in self.table {
            let word: &str = key.get_ref();
            if self.keys.iter().any(|known| known.name == word) {
                continue;
            }
            if doc.is_full() {
                continue;
            }
            let shown = show::plain(word, 40);
            let elsewhere = match self.step {
                None => homes(word, &self.name),
                Some(_) => String::new(),
            };
            let remedy = match self.meant(word) {
                _ if !elsewhere.is_empty() => format!("write it under {elsewhere}"),
                Some(known) if known.writes == Writes::Steps => "write [[step]]".to_owned(),
                Some(known) if self.table.contains_key(known.name) => {
                    format!("leave it out; {} is there already", known.name)
                }
                Some(known) => format!("write {}", known.name),
                None => format!("leave it out; {} takes {}", self.name, self.list()),
            };
            doc.error(
                key.span().start,
                self.step.as_deref(),
                Some(word),
                format!("{} has no key '{shown}'", self.name),
                remedy,
            );
        }
    }

    /// The key that a mistyped word is nearest to.
    fn meant(&self, word: &str) -> Option<&'static KeyDoc> {
        let name = near::nearest(word, self.keys.iter().map(|known| known.name))?;
        self.keys.iter().copied().find(|known| known.name == name)
    }

    /// True when a key is not there because it was mistyped, which is said already.
    pub(super) fn mistyped(&self, key: &str) -> bool {
        self.table
            .keys()
            .filter(|word| !self.keys.iter().any(|known| known.name == word.get_ref()))
            .take(MAX_FOUND)
            .any(|word| {
                self.meant(word.get_ref())
                    .is_some_and(|known| known.name == key)
            })
    }

    fn missing(&self, doc: &mut Document<'_>) {
        if doc.is_broken() {
            return;
        }
        for key in self.keys.iter().filter(|key| key.required) {
            if self.table.contains_key(key.name) || self.mistyped(key.name) {
                continue;
            }
            let remedy = match key.writes {
                Writes::Table if self.step.is_none() && self.name == "[goal]" => {
                    format!("add a table [goal.{}]", key.name)
                }
                Writes::Table => format!("add a table [{}]", key.name),
                Writes::Steps => "add the steps, each a [[step]]".to_owned(),
                writes => format!("add {} = {}", key.name, writes.words()),
            };
            doc.error(
                self.start,
                self.step.as_deref(),
                Some(key.name),
                format!("{} has no '{}'", self.name, key.name),
                remedy,
            );
        }
    }

    fn list(&self) -> String {
        let mut names: Vec<&str> = self.keys.iter().map(|key| key.name).collect();
        names.sort_unstable();
        names.join(", ")
    }

    /// A key's value, where it is there.
    pub(super) fn get(&self, key: &'static str) -> Option<Node<'a, 't>> {
        self.table.get(key).map(|value| Node {
            key,
            value: value.get_ref(),
            span: value.span(),
            step: self.step.clone(),
        })
    }

    /// What the key takes, in words.
    pub(super) fn wants(&self, key: &str) -> String {
        self.keys
            .iter()
            .find(|known| known.name == key)
            .map_or_else(String::new, |known| known.writes.words())
    }

    /// Places of every key of the table, for findings of the later review.
    pub(super) fn key_places(&self, doc: &Document<'_>) -> impl Iterator<Item = (String, Place)> {
        self.table
            .iter()
            .map(|(key, value)| (key.get_ref().to_string(), doc.place(value.span().start)))
    }
}
