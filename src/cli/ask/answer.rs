//! An answer: one line of words, and the same figures under names that scripts can hold on to.

use serde_json::{Map, Value, json};

use super::say;
use crate::metal::{Mark, Source};
use crate::physics::{Law, Spread};
use crate::plan::report::FORMAT;

/// What an answer stands on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Basis {
    key: String,
    title: String,
    source: String,
    mark: Mark,
    valid: String,
}

impl Basis {
    /// Something that is not one of the laws of physics: a figure of a steel, or plain arithmetic.
    pub(super) fn new(key: &str, title: &str, source: &Source, valid: &str) -> Self {
        Self {
            key: key.to_owned(),
            title: title.to_owned(),
            source: source.text.clone(),
            mark: source.mark,
            valid: valid.to_owned(),
        }
    }
}

impl Basis {
    /// What follows by arithmetic alone.
    pub(super) fn arithmetic(key: &str, title: &str, how: &str) -> Self {
        let source = Source {
            text: how.to_owned(),
            mark: Mark::Computed,
        };
        Self::new(key, title, &source, "any real size")
    }

    /// A figure of the trade that nobody has measured.
    pub(super) fn practice(key: &str, title: &str, how: &str) -> Self {
        let source = Source {
            text: how.to_owned(),
            mark: Mark::CommonPractice,
        };
        Self::new(key, title, &source, "a small shop; put your own figures")
    }
}

impl From<Law> for Basis {
    fn from(law: Law) -> Self {
        Self {
            key: law.key.to_owned(),
            title: law.title.to_owned(),
            source: law.source.to_owned(),
            mark: law.mark,
            valid: law.valid.to_owned(),
        }
    }
}

/// One question answered.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Answer {
    topic: &'static str,
    text: String,
    inputs: Map<String, Value>,
    figures: Map<String, Value>,
    bases: Vec<Basis>,
    range: String,
}

impl Answer {
    /// An answer on a topic; `range` says in a few words what the range stands for.
    pub(super) fn new(topic: &'static str, range: impl Into<String>) -> Self {
        Self {
            topic,
            text: String::new(),
            inputs: Map::new(),
            figures: Map::new(),
            bases: Vec::new(),
            range: range.into(),
        }
    }

    /// The line of words.
    pub(super) fn say(mut self, text: String) -> Self {
        self.text = text;
        self
    }

    /// Echoes what was asked, in the unit that ends the key.
    pub(super) fn input(mut self, key: &str, value: impl Into<Value>) -> Self {
        self.inputs.insert(key.to_owned(), tidy(value.into()));
        self
    }

    /// A figure without a range, or words; null for what is not known.
    pub(super) fn figure(mut self, key: &str, value: impl Into<Value>) -> Self {
        self.figures.insert(key.to_owned(), tidy(value.into()));
        self
    }

    /// A figure with its range: `cold_mm` comes with `cold_low_mm` and `cold_high_mm`. `unit` is what
    /// ends the keys, or nothing for a plain number. All three are null when there is none.
    pub(super) fn range(
        mut self,
        name: &str,
        unit: &str,
        spread: impl Into<Option<Spread>>,
    ) -> Self {
        let spread = spread.into();
        let tail = if unit.is_empty() {
            String::new()
        } else {
            format!("_{unit}")
        };
        for (part, value) in [
            ("", spread.map(|s| s.best)),
            ("_low", spread.map(|s| s.low)),
            ("_high", spread.map(|s| s.high)),
        ] {
            self.figures
                .insert(format!("{name}{part}{tail}"), tidy(json!(value)));
        }
        self
    }

    /// Elements that the laws take no account of, named in the words and in `ignored`; nothing without any.
    pub(super) fn leaving_out(mut self, elements: &[String]) -> Self {
        if !elements.is_empty() {
            self.text = format!("{}; not in the law: {}", self.text, elements.join(", "));
        }
        self.figure("ignored", json!(elements))
    }

    /// A law behind the answer, the most telling first.
    pub(super) fn by(mut self, basis: impl Into<Basis>) -> Self {
        self.bases.push(basis.into());
        self
    }

    /// Two lines: the answer, and what it stands on.
    pub(super) fn lines(&self) -> String {
        let laws: Vec<String> = self
            .bases
            .iter()
            .map(|basis| format!("{}: {} ({})", basis.title, basis.source, basis.mark.words()))
            .collect();
        let range = if self.range.is_empty() {
            String::new()
        } else {
            format!(". Range: {}", self.range)
        };
        format!("{}\n  law: {}{range}", self.text, laws.join(" + "))
    }

    /// The same as JSON, metric whatever the units asked for.
    pub(super) fn json(&self) -> Value {
        let laws: Vec<Value> = self
            .bases
            .iter()
            .map(|basis| {
                json!({
                    "law": basis.key,
                    "title": basis.title,
                    "source": basis.source,
                    "mark": basis.mark,
                    "valid": basis.valid,
                })
            })
            .collect();
        json!({
            "format": FORMAT,
            "topic": self.topic,
            "text": self.text,
            "inputs": self.inputs,
            "answer": self.figures,
            "range": self.range,
            "laws": laws,
        })
    }
}

/// Numbers to nine figures: more is noise of the arithmetic.
fn tidy(value: Value) -> Value {
    match value.as_f64() {
        Some(number) if value.is_f64() => json!(say::rounded(number, 9)),
        _ => value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::expansion;

    #[test]
    fn a_range_ends_its_three_keys_in_the_unit() {
        let answer = Answer::new("size", "").range("cold", "mm", Spread::around(10.0, 0.1));
        let keys: Vec<&String> = answer.figures.keys().collect();
        assert_eq!(keys, ["cold_high_mm", "cold_low_mm", "cold_mm"]);
        let none = Answer::new("size", "").range("count", "", None);
        assert!(none.figures["count_low"].is_null());
    }

    #[test]
    fn the_second_line_names_law_source_mark_and_range() {
        let answer = Answer::new("size", "20 C either way").by(expansion::LAW);
        let lines = answer.lines();
        let second = lines.lines().nth(1).unwrap();
        assert!(second.contains("hot size against cold: EN 1993-1-2:2005"));
        assert!(second.ends_with("(published and read). Range: 20 C either way"));
        assert_eq!(lines.lines().count(), 2);
    }
}
