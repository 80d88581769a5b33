//! One row: reading it, running it, and the wrapper through which a function reads its inputs.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::path::Path;

use anvilside::metal::{Catalogue, Composition, Mark};
use serde::Deserialize;

/// One check.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Row {
    /// Its own name, unique over all files.
    pub(crate) id: String,
    /// The function of the registry: law key, dot, what is asked.
    pub(crate) law: String,
    /// What goes in.
    pub(crate) input: toml::Table,
    /// What must come out: a number or a word.
    pub(crate) expected: toml::Value,
    /// How far off a number may be, in its own unit.
    pub(crate) tolerance: Option<f64>,
    /// How far off a number may be, as a part of the expected one.
    pub(crate) relative: Option<f64>,
    /// `range`: a measured figure that must lie in the law's own range. Nine in ten of a law's do:
    /// that is what its range says, and the tenth that does not stays in the file.
    pub(crate) within: Option<String>,
    /// Where the expected figure comes from.
    pub(crate) source: String,
    /// How well that source is known.
    pub(crate) mark: Mark,
    /// The script in `tests/reference/` that worked the figure out with a general-purpose library.
    pub(crate) script: Option<String>,
    /// Anything worth saying.
    #[expect(dead_code, reason = "for the reader of the file")]
    pub(crate) note: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    check: Vec<Row>,
}

/// What a function gives back.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Answer {
    /// A number in the unit that the function's name states.
    Number(f64),
    /// A word, such as a colour.
    Word(String),
}

impl From<f64> for Answer {
    fn from(value: f64) -> Self {
        Self::Number(value)
    }
}

impl From<&str> for Answer {
    fn from(value: &str) -> Self {
        Self::Word(value.to_owned())
    }
}

/// Works a row's answer out of its inputs.
pub(crate) type Function = fn(&Input<'_>) -> Result<Answer, String>;

/// The inputs of a row; remembers which were read.
#[derive(Debug)]
pub(crate) struct Input<'a> {
    table: &'a toml::Table,
    read: RefCell<BTreeSet<String>>,
}

impl<'a> Input<'a> {
    fn new(table: &'a toml::Table) -> Self {
        Self {
            table,
            read: RefCell::default(),
        }
    }

    fn get(&self, name: &str) -> Option<&'a toml::Value> {
        self.read.borrow_mut().insert(name.to_owned());
        self.table.get(name)
    }

    /// A number that the row must give.
    pub(crate) fn number(&self, name: &str) -> Result<f64, String> {
        let value = self.get(name).ok_or_else(|| format!("no input '{name}'"))?;
        as_number(value).ok_or_else(|| format!("input '{name}' is not a number"))
    }

    /// A number that the row may give.
    pub(crate) fn number_or(&self, name: &str, otherwise: f64) -> Result<f64, String> {
        if self.table.contains_key(name) {
            self.number(name)
        } else {
            Ok(otherwise)
        }
    }

    /// A word that the row must give.
    pub(crate) fn word(&self, name: &str) -> Result<&'a str, String> {
        let value = self.get(name).ok_or_else(|| format!("no input '{name}'"))?;
        value
            .as_str()
            .ok_or_else(|| format!("input '{name}' is not a word"))
    }

    /// A word that the row may give.
    #[allow(dead_code, reason = "for the laws that take words")]
    pub(crate) fn word_or(&self, name: &str, otherwise: &'a str) -> Result<&'a str, String> {
        if self.table.contains_key(name) {
            self.word(name)
        } else {
            Ok(otherwise)
        }
    }

    /// A list of numbers that the row must give.
    #[allow(dead_code, reason = "for the laws that take lists")]
    pub(crate) fn list(&self, name: &str) -> Result<Vec<f64>, String> {
        let value = self.get(name).ok_or_else(|| format!("no input '{name}'"))?;
        let items = value
            .as_array()
            .ok_or_else(|| format!("input '{name}' is not a list"))?;
        items
            .iter()
            .map(|item| as_number(item).ok_or_else(|| format!("'{name}' holds no number")))
            .collect()
    }

    /// The metal: a built-in grade by `steel`, or an analysis by element in mass %; an element
    /// beside `steel` replaces the grade's own.
    pub(crate) fn metal(&self) -> Result<Composition, String> {
        let mut metal = if self.table.contains_key("steel") {
            let grade = Catalogue::builtin().find(self.word("steel")?);
            grade.map_err(|e| e.to_string())?.nominal
        } else {
            Composition::default()
        };
        let elements = [
            ("c", &mut metal.c),
            ("mn", &mut metal.mn),
            ("si", &mut metal.si),
            ("cr", &mut metal.cr),
            ("ni", &mut metal.ni),
            ("mo", &mut metal.mo),
            ("v", &mut metal.v),
            ("w", &mut metal.w),
            ("cu", &mut metal.cu),
            ("p", &mut metal.p),
            ("s", &mut metal.s),
        ];
        for (name, place) in elements {
            *place = self.number_or(name, *place)?;
        }
        Ok(metal)
    }

    fn unread(&self) -> Vec<String> {
        let read = self.read.borrow();
        let unread = self.table.keys().filter(|name| !read.contains(*name));
        unread.cloned().collect()
    }
}

fn as_number(value: &toml::Value) -> Option<f64> {
    #[expect(clippy::cast_precision_loss, reason = "whole inputs are small")]
    value
        .as_float()
        .or_else(|| value.as_integer().map(|whole| whole as f64))
}

/// The rows of a file.
pub(crate) fn read(text: &str) -> Result<Vec<Row>, toml::de::Error> {
    toml::from_str::<File>(text).map(|file| file.check)
}

/// What a function of the registry makes of a table of inputs, each of which it must read.
fn worked(law: &str, table: &toml::Table, registry: &[(&str, Function)]) -> Result<Answer, String> {
    let (_, function) = registry
        .iter()
        .find(|(name, _)| *name == law)
        .ok_or_else(|| format!("no law is called '{law}'"))?;
    let input = Input::new(table);
    let answer = function(&input)?;
    let unread = input.unread();
    if unread.is_empty() {
        Ok(answer)
    } else {
        Err(format!("inputs that '{law}' does not read: {unread:?}"))
    }
}

/// Runs one row.
pub(crate) fn run(row: &Row, registry: &[(&str, Function)]) -> Result<(), String> {
    match (worked(&row.law, &row.input, registry)?, &row.expected) {
        (Answer::Word(got), toml::Value::String(wanted)) if got == *wanted => Ok(()),
        (Answer::Number(got), wanted) if as_number(wanted).is_some() => {
            let wanted = as_number(wanted).unwrap_or(f64::NAN);
            let slack = match (row.tolerance, row.relative) {
                (Some(slack), None) => slack,
                (None, Some(part)) => part * wanted.abs(),
                _ => return Err("give either tolerance or relative".to_owned()),
            };
            if (got - wanted).abs() <= slack {
                return Ok(());
            }
            Err(format!("got {got}, expected {wanted} within {slack}"))
        }
        (got, wanted) => Err(format!("got {got:?}, expected {wanted}")),
    }
}

/// Whether the measured figure of a row lies in the law's own range.
pub(crate) fn in_range(row: &Row, registry: &[(&str, Function)]) -> Result<bool, String> {
    if row.within.as_deref() != Some("range") || row.tolerance.or(row.relative).is_some() {
        return Err("a measured row says within = \"range\", and no tolerance".to_owned());
    }
    let wanted = as_number(&row.expected).ok_or("the measured figure is not a number")?;
    let end = |name: &str| {
        let mut table = row.input.clone();
        table.insert("end".to_owned(), toml::Value::String(name.to_owned()));
        match worked(&row.law, &table, registry)? {
            Answer::Number(number) => Ok(number),
            Answer::Word(word) => Err(format!("got '{word}', expected a number")),
        }
    };
    Ok(end("low")? <= wanted && wanted <= end("high")?)
}

/// Looks that the row says where its figure comes from.
pub(crate) fn sourced(row: &Row, root: &Path) -> Result<(), String> {
    if row.source.trim().len() < 4 {
        return Err("no source".to_owned());
    }
    if let Some(script) = &row.script
        && !root.join("tests/reference").join(script).is_file()
    {
        return Err(format!("no script tests/reference/{script}"));
    }
    Ok(())
}
