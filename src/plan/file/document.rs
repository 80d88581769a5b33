//! The text, its places, and what was found in it.

use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::ops::Range;

use crate::plan::{Diagnostic, Level, Place};
use crate::units::{Units, show};

/// Most findings that are written out; the rest are counted.
pub(super) const MAX_FOUND: usize = 200;

/// The file while it is read.
#[derive(Debug)]
pub(super) struct Document<'t> {
    text: &'t str,
    /// Byte where each line begins.
    lines: Vec<usize>,
    pub(super) units: Cell<Units>,
    /// Lines that are not TOML: nothing else is said of them, and no key is called missing.
    broken: BTreeSet<usize>,
    found: RefCell<Vec<Diagnostic>>,
    more: Cell<usize>,
}

impl<'t> Document<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        let mut lines = vec![0];
        lines.extend(text.match_indices('\n').map(|(at, _)| at + 1));
        Self {
            text,
            lines,
            units: Cell::new(Units::Mm),
            broken: BTreeSet::new(),
            found: RefCell::default(),
            more: Cell::default(),
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

    pub(super) fn push(&self, found: Diagnostic) {
        if !self.is_full() {
            self.found.borrow_mut().push(found);
        }
    }

    /// An error at a byte.
    pub(super) fn error(
        &self,
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

    /// Says only that this is some other file: a line for each of its lines helps nobody.
    pub(super) fn not_a_plan(&self) {
        let count = self.broken.len();
        let what = match self.broken.first() {
            Some(first) if count > 1 => {
                format!(
                    "this is not a plan: {count} of its lines are not TOML, line {first} the first"
                )
            }
            Some(_) => "this is not a plan".to_owned(),
            None => {
                "this is not a plan: it has neither [goal] nor [stack] nor a [[step]]".to_owned()
            }
        };
        self.more.set(0);
        self.found.replace(vec![Diagnostic {
            level: Level::Error,
            place: Place { line: 1, column: 1 },
            step: None,
            key: None,
            what,
            remedy: "give the file that holds the steps, or begin with `anvilside samples DIR` or \
                     `anvilside draft`"
                .to_owned(),
        }]);
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
        self.errors() > 0
    }

    /// True when no more findings are written out; one more is counted then.
    pub(super) fn is_full(&self) -> bool {
        let full = self.found.borrow().len() >= MAX_FOUND;
        self.more.update(|more| more + usize::from(full));
        full
    }

    /// Errors found so far; two readings differ when something was wrong between them.
    pub(super) fn errors(&self) -> usize {
        self.found.borrow().len() + self.more.get()
    }

    /// Everything found, by line.
    pub(super) fn finish(self) -> Vec<Diagnostic> {
        let mut found = self.found.into_inner();
        found.sort_by_key(|found| found.place);
        let more = self.more.get();
        if more > 0 {
            let place = found.last().map(|last| last.place).unwrap_or_default();
            found.push(Diagnostic {
                level: Level::Error,
                place,
                step: None,
                key: None,
                what: format!("{more} more findings are not listed"),
                remedy: "mend these first".to_owned(),
            });
        }
        found
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
