//! One table of the file against the keys it may have.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::document::{Document, MAX_FOUND};
use crate::plan::keys::all_tables;
use crate::plan::{KeyDoc, Place, Writes};
use crate::units::{near, show};

/// One table of the file with the keys it may have.
#[derive(Debug)]
pub(super) struct Section<'a> {
    pub(super) doc: &'a Document<'a>,
    table: &'a DeTable<'a>,
    /// Where the table begins.
    pub(super) start: usize,
    /// The step's id where the table is a step.
    pub(super) step: Option<String>,
    name: String,
    keys: Vec<KeyDoc>,
}

/// The value of a key.
#[derive(Debug, Clone)]
pub(super) struct Node<'s> {
    pub(super) section: &'s Section<'s>,
    pub(super) key: &'static str,
    pub(super) value: &'s DeValue<'s>,
    pub(super) span: Range<usize>,
}

/// The other tables of a plan, steps aside, that have exactly this key.
fn homes(word: &str, here: &str) -> String {
    let tables = all_tables().iter().filter(|table| table.kind.is_none());
    let with = tables.filter(|table| table.keys.iter().any(|known| known.name == word));
    let headers = with.map(|table| table.header.as_str());
    let named: Vec<&str> = headers
        .filter(|header| header.starts_with('[') && *header != here)
        // A bar has what the one stack has.
        .filter(|header| *header != "[[bar]]" || word == "name")
        .collect();
    named.join(" or ")
}

impl<'a> Section<'a> {
    /// Opens a table: unknown keys are said at once, and missing ones.
    pub(super) fn open(
        doc: &'a Document<'a>,
        table: &'a DeTable<'a>,
        start: usize,
        step: Option<String>,
        name: String,
        keys: Vec<KeyDoc>,
    ) -> Self {
        let section = Self {
            doc,
            table,
            start,
            step,
            name,
            keys,
        };
        section.unknown();
        section.missing();
        section
    }

    fn unknown(&self) {
        for (key, _) in self.table {
            let word: &str = key.get_ref();
            if self.keys.iter().any(|known| known.name == word) || self.doc.is_full() {
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
            self.doc.error(
                key.span().start,
                self.step.as_deref(),
                Some(word),
                format!("{} has no key '{shown}'", self.name),
                remedy,
            );
        }
    }

    /// The key that a mistyped word is nearest to.
    fn meant(&self, word: &str) -> Option<&KeyDoc> {
        let name = near::nearest(word, self.keys.iter().map(|known| known.name))?;
        self.keys.iter().find(|known| known.name == name)
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

    fn missing(&self) {
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
            let what = format!("{} has no '{}'", self.name, key.name);
            self.lacks(key.name, what, remedy);
        }
    }

    /// An error of the table itself: something is not there. Nothing is called missing in a file that
    /// could not be read whole.
    pub(super) fn lacks(&self, key: &str, what: String, remedy: impl Into<String>) {
        if !self.doc.is_broken() {
            let step = self.step.as_deref();
            self.doc.error(self.start, step, Some(key), what, remedy);
        }
    }

    fn list(&self) -> String {
        let mut names: Vec<&str> = self.keys.iter().map(|key| key.name).collect();
        names.sort_unstable();
        names.join(", ")
    }

    /// A key's value, where it is there.
    pub(super) fn get(&self, key: &'static str) -> Option<Node<'_>> {
        self.table.get(key).map(|value| Node {
            section: self,
            key,
            value: value.get_ref(),
            span: value.span(),
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
    pub(super) fn key_places(&self) -> impl Iterator<Item = (String, Place)> {
        let place = |at| self.doc.place(at);
        let keys = self.table.iter();
        keys.map(move |(key, value)| (key.get_ref().to_string(), place(value.span().start)))
    }

    /// Adds the places of the table's keys under its name.
    pub(super) fn note(&self, name: &str, places: &mut Vec<(String, Place)>) {
        places.push((name.to_owned(), self.doc.place(self.start)));
        places.extend(
            self.key_places()
                .map(|(key, place)| (format!("{name}.{key}"), place)),
        );
    }

    /// A table under a key, opened; says so when it is something else.
    pub(super) fn table(
        &self,
        key: &'static str,
        header: &str,
        keys: Vec<KeyDoc>,
    ) -> Option<Section<'_>> {
        let node = self.get(key)?;
        let DeValue::Table(table) = node.value else {
            let what = format!("{key} {} is not a table", node.quote());
            node.refuse(what, format!("write {header} with a key on each line"));
            return None;
        };
        let start = node.span.start;
        Some(Section::open(
            self.doc,
            table,
            start,
            None,
            header.to_owned(),
            keys,
        ))
    }
}

impl<'s> Node<'s> {
    /// An error at the value.
    pub(super) fn refuse(&self, what: String, remedy: impl Into<String>) {
        let step = self.section.step.as_deref();
        self.section
            .doc
            .error(self.span.start, step, Some(self.key), what, remedy);
    }

    /// An error that quotes the value: `key 'value' why`.
    pub(super) fn bad<T>(&self, why: &str, remedy: impl Into<String>) -> Option<T> {
        self.refuse(format!("{} {} {why}", self.key, self.quote()), remedy);
        None
    }

    /// The value as written, short.
    pub(super) fn quote(&self) -> String {
        self.section.doc.quote(&self.span)
    }

    /// `write` and what the key takes.
    pub(super) fn wanted(&self) -> String {
        format!("write {}", self.section.wants(self.key))
    }

    /// The items of a list, each as a node of the same key.
    pub(super) fn items(&self) -> Option<Vec<Node<'s>>> {
        let DeValue::Array(list) = self.value else {
            return None;
        };
        let item = |item: &'s toml::Spanned<DeValue<'s>>| Node {
            value: item.get_ref(),
            span: item.span(),
            ..self.clone()
        };
        Some(list.iter().map(item).collect())
    }
}
