//! The text, its places, and what was found in it.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use crate::plan::keys::Table;
use crate::plan::{Diagnostic, KeyDoc, Level, Place, Writes};
use crate::units::{Units, near, show};

/// Most findings that are written out; the rest are counted.
const MAX_FOUND: usize = 200;

/// A value or key with its bytes in the text.
#[derive(Debug, Clone)]
pub(super) struct Node<'a, 't> {
    pub(super) key: &'static str,
    pub(super) value: &'a DeValue<'t>,
    pub(super) span: Range<usize>,
    pub(super) step: Option<String>,
}

/// The file while it is read.
#[derive(Debug)]
pub(super) struct Document<'t> {
    text: &'t str,
    /// Byte where each line begins.
    lines: Vec<usize>,
    pub(super) units: Units,
    /// Lines that are not TOML: nothing else is said of them, and no key is called missing.
    broken: BTreeSet<usize>,
    found: Vec<Diagnostic>,
    more: usize,
}

impl<'t> Document<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        let mut lines = vec![0];
        lines.extend(text.match_indices('\n').map(|(at, _)| at + 1));
        Self {
            text,
            lines,
            units: Units::Mm,
            broken: BTreeSet::new(),
            found: Vec::new(),
            more: 0,
        }
    }

    /// Where a byte is.
    pub(super) fn place(&self, at: usize) -> Place {
        let line = self.lines.partition_point(|start| *start <= at).max(1);
        let start = self.lines.get(line - 1).copied().unwrap_or(0);
        let column = self
            .text
            .get(start..at)
            .map_or(1, |s| s.chars().count() + 1);
        Place { line, column }
    }

    /// The text of a span, safe to draw and short.
    pub(super) fn quote(&self, span: &Range<usize>) -> String {
        let raw = self.text.get(span.clone()).unwrap_or_default();
        let first = raw.lines().next().unwrap_or_default().trim();
        let bare = first.trim_matches('"').trim_matches('\'');
        let cut = show::plain(bare, 40);
        if cut.len() < bare.len() || raw.lines().count() > 1 {
            format!("'{cut}...'")
        } else {
            format!("'{cut}'")
        }
    }

    pub(super) fn push(&mut self, found: Diagnostic) {
        if self.found.len() < MAX_FOUND {
            self.found.push(found);
        } else {
            self.more += 1;
        }
    }

    /// An error at a byte.
    pub(super) fn error(
        &mut self,
        at: usize,
        step: Option<&str>,
        key: Option<&str>,
        what: String,
        remedy: impl Into<String>,
    ) {
        let place = self.place(at);
        if self.broken.contains(&place.line) {
            return;
        }
        self.push(Diagnostic {
            level: Level::Error,
            place,
            step: step.map(str::to_owned),
            key: key.map(|key| show::plain(key, 40)),
            what,
            remedy: remedy.into(),
        });
    }

    /// An error at a value.
    pub(super) fn refuse(&mut self, node: &Node<'_, '_>, what: String, remedy: impl Into<String>) {
        self.error(
            node.span.start,
            node.step.as_deref(),
            Some(node.key),
            what,
            remedy,
        );
    }

    /// Text that is not TOML.
    pub(super) fn unreadable(&mut self, error: &toml::de::Error) {
        let span = error.span().unwrap_or(0..0);
        let place = self.place(span.start);
        if self.broken.contains(&place.line) {
            return;
        }
        let (what, remedy) = syntax(error.message());
        let quote = format!("'{}'", show::plain(self.line(place.line), 40));
        self.push(Diagnostic {
            level: Level::Error,
            place,
            step: None,
            key: None,
            what: format!("{what} in {quote}"),
            remedy,
        });
        self.broken.insert(place.line);
    }

    /// The text with its unreadable lines blanked, byte for byte as long; none when that would not
    /// help: nothing new to blank, or a line that other lines hang on.
    pub(super) fn masked(&self, text: &str) -> Option<String> {
        if self.broken.len() > MAX_FOUND {
            return None;
        }
        let mut out = text.as_bytes().to_vec();
        let mut changed = false;
        for line in &self.broken {
            let mut end = line + 1;
            if !self.is_whole(*line) {
                return None;
            }
            if self.is_header(*line) {
                // Keys below a header that cannot be read belong to no table.
                while end <= self.lines.len() && !self.is_header(end) {
                    end += 1;
                }
            }
            let from = self.lines.get(line - 1).copied().unwrap_or(0);
            let to = self.lines.get(end - 1).copied().unwrap_or(text.len());
            for byte in out.get_mut(from..to).unwrap_or_default() {
                if !matches!(*byte, b'\n' | b'\r' | b' ') {
                    *byte = b' ';
                    changed = true;
                }
            }
        }
        if changed {
            String::from_utf8(out).ok()
        } else {
            None
        }
    }

    /// The text of a line, from 1.
    fn line(&self, line: usize) -> &'t str {
        let from = self.lines.get(line - 1).copied().unwrap_or(0);
        let to = self.lines.get(line).copied().unwrap_or(self.text.len());
        self.text.get(from..to).unwrap_or_default().trim()
    }

    fn is_header(&self, line: usize) -> bool {
        self.line(line).starts_with('[')
    }

    /// True for a line that opens no list or text which a later line would close.
    fn is_whole(&self, line: usize) -> bool {
        let text = self.line(line);
        let count = |c: char| text.matches(c).count();
        let texts = text.contains("\"\"\"") || text.contains("'''");
        self.is_header(line) || (count('[') == count(']') && count('{') == count('}') && !texts)
    }

    /// True when some lines could not be read at all.
    pub(super) fn is_broken(&self) -> bool {
        !self.broken.is_empty()
    }

    pub(super) fn has_errors(&self) -> bool {
        self.found.iter().any(|found| found.level == Level::Error)
    }

    /// Errors found so far; two readings differ when something was wrong between them.
    pub(super) fn errors(&self) -> usize {
        self.found.len() + self.more
    }

    /// Everything found, by line.
    pub(super) fn finish(mut self) -> Vec<Diagnostic> {
        self.found.sort_by_key(|found| found.place);
        if self.more > 0 {
            let place = self.found.last().map(|last| last.place).unwrap_or_default();
            self.found.push(Diagnostic {
                level: Level::Error,
                place,
                step: None,
                key: None,
                what: format!("{} more findings are not listed", self.more),
                remedy: "mend these first".to_owned(),
            });
        }
        self.found
    }
}

/// A message of the TOML reader in the words of this program.
fn syntax(message: &str) -> (String, String) {
    let known = [
        (
            "duplicate key",
            "the same key or table twice",
            "leave one of them",
        ),
        (
            "string values must be quoted",
            "text without quotes",
            "put text and sizes in \"quotes\"",
        ),
        (
            "invalid basic string",
            "a text that is not closed",
            "end it with \" on the same line",
        ),
        (
            "key with no value",
            "a key without a value",
            "write key = value, or [key] for a table",
        ),
        ("recursion limit", "tables too deep", "write flat tables"),
    ];
    let lower = message.to_lowercase();
    known
        .iter()
        .find(|(sign, _, _)| lower.contains(sign))
        .map_or_else(
            || {
                (
                    format!("not TOML ({})", show::plain(message, 90)),
                    "mend the line: key = value, text in \"quotes\", lists in [ ]".to_owned(),
                )
            },
            |(_, what, remedy)| ((*what).to_owned(), (*remedy).to_owned()),
        )
}

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
            if doc.found.len() >= MAX_FOUND {
                doc.more += 1;
                continue;
            }
            let shown = show::plain(word, 40);
            let remedy = match self.meant(word) {
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
