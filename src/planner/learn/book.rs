//! The shop book: what the smith has pinned or started afresh, as a small TOML file.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::topic::{Space, Topic};
use crate::journal::{read_stamp, write_stamp};
use crate::planner::costs::Prices;
use crate::units::Stamp;

/// What the smith decided on learnt values.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShopBook {
    /// Values that stay as they are, in the topic's own unit: a part of one for losses, factors,
    /// minutes, millimetres.
    pub pinned: BTreeMap<Topic, f64>,
    /// Topics started afresh: what was seen before that moment no longer counts.
    pub reset: BTreeMap<Topic, Stamp>,
    /// The smith's own prices.
    pub prices: Prices,
}

/// Why a shop book cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BookError {
    /// Not TOML, or not this form.
    #[error(
        "line {line} cannot be read ({what}); mend it: [pinned] holds numbers, [costs] prices and a currency; or \
         delete the file"
    )]
    Form {
        /// Its line, from 1.
        line: usize,
        /// What the reader of TOML says.
        what: String,
    },
    /// A name that is not learnt.
    #[error("the shop book names '{name}', which is not learnt; {near}")]
    Topic {
        /// As written.
        name: String,
        /// The nearest name, in words.
        near: String,
    },
    /// A value that cannot be.
    #[error("the shop book pins '{name}' at {value}; write a number above zero")]
    Value {
        /// The topic.
        name: String,
        /// As written.
        value: String,
    },
    /// A price that cannot be.
    #[error("the shop book: {0}")]
    Price(String),
    /// A time that cannot be read.
    #[error("the shop book has '{value}' for '{name}'; write a time as 2026-11-25T09:12:00.000Z")]
    Time {
        /// The topic.
        name: String,
        /// As written.
        value: String,
    },
}

#[derive(Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields, default)]
struct File {
    pinned: BTreeMap<String, f64>,
    reset: BTreeMap<String, String>,
    costs: Prices,
}

/// One change to a shop book.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BookEdit {
    /// A value stays as it is, in the topic's own unit.
    Pin(Topic, f64),
    /// A pinned value is let go.
    LetGo(Topic),
    /// What was seen before that moment no longer counts.
    Afresh(Topic, Stamp),
}

impl ShopBook {
    /// Makes one change.
    pub fn edit(&mut self, edit: BookEdit) {
        match edit {
            BookEdit::Pin(topic, value) => self.pin(topic, Some(value)),
            BookEdit::LetGo(topic) => self.pin(topic, None),
            BookEdit::Afresh(topic, at) => self.start_afresh(topic, at),
        }
    }

    /// Pins a value, or lets it go again.
    pub fn pin(&mut self, topic: Topic, value: Option<f64>) {
        match value.filter(|value| value.is_finite() && *value > 0.0) {
            Some(value) => self.pinned.insert(topic, value),
            None => self.pinned.remove(&topic),
        };
    }

    /// Starts a topic afresh at a moment; a pin on it goes too.
    pub fn start_afresh(&mut self, topic: Topic, at: Stamp) {
        self.pinned.remove(&topic);
        self.reset.insert(topic, at);
    }

    /// Reads the text of a shop book.
    ///
    /// # Errors
    /// [`BookError`] with what is wrong; nothing of the text is taken then.
    pub fn read(text: &str) -> Result<Self, BookError> {
        let file: File = toml::from_str(text).map_err(|error| {
            let before = error.span().and_then(|span| text.get(..span.start));
            BookError::Form {
                line: before.unwrap_or_default().matches('\n').count() + 1,
                what: error.message().to_owned(),
            }
        })?;
        if let Some(why) = file.costs.wrong() {
            return Err(BookError::Price(why));
        }
        let mut book = Self {
            prices: file.costs,
            ..Self::default()
        };
        for (name, value) in file.pinned {
            let topic = topic(&name)?;
            let own = value / unit(topic);
            if !(own.is_finite() && own > 0.0) || (topic.space() == Space::Loss && own >= 0.95) {
                let value = value.to_string();
                return Err(BookError::Value { name, value });
            }
            book.pinned.insert(topic, own);
        }
        for (name, value) in file.reset {
            let topic = topic(&name)?;
            let Some(at) = read_stamp(&value) else {
                return Err(BookError::Time { name, value });
            };
            book.reset.insert(topic, at);
        }
        Ok(book)
    }

    /// The text of a shop book.
    #[must_use]
    pub fn write(&self) -> String {
        let mut out = String::from(
            "# The shop book: values that stay as written here, and topics started afresh.\n\
             # Losses and fish-mouths in percent, heats as a factor on the plan's, minutes, millimetres.\n",
        );
        out.push_str("\n[pinned]\n");
        for (topic, value) in &self.pinned {
            let shown = (value * unit(*topic) * 1e9).round() / 1e9;
            out.push_str(&format!("\"{}\" = {shown:?}\n", topic.key()));
        }
        out.push_str("\n[reset]\n");
        for (topic, at) in &self.reset {
            let Some(at) = write_stamp(*at) else { continue };
            out.push_str(&format!("\"{}\" = \"{at}\"\n", topic.key()));
        }
        if self.prices != Prices::default()
            && let Ok(costs) = toml::to_string(&self.prices)
        {
            // its own tables come under this one
            let costs = costs.replace("[steel]", "[costs.steel]");
            out.push_str(&format!("\n[costs]\n{costs}"));
        }
        out
    }
}

fn topic(name: &str) -> Result<Topic, BookError> {
    Topic::from_key(name).map_err(|near| BookError::Topic {
        name: crate::units::show::plain(name, 40),
        near: near.map_or_else(
            || "`anvilside shop --json` lists the names".to_owned(),
            |near| format!("write {near}"),
        ),
    })
}

/// What one whole of a topic is in the file.
fn unit(topic: Topic) -> f64 {
    match topic.space() {
        Space::Loss => 100.0,
        Space::Plain if topic == Topic::FishMouth => 100.0,
        Space::Log | Space::Plain => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::super::topic::{Topic, Work};
    use super::{BookError, ShopBook};
    use crate::units::Stamp;

    #[test]
    fn a_book_comes_back_the_same() {
        let mut book = ShopBook::default();
        book.pin(Topic::Scale(Work::WeldAndDraw), Some(0.035));
        book.pin(Topic::Trim, Some(12.0));
        book.start_afresh(Topic::Grind, Stamp(1_795_598_000_000));
        book.prices.hour = Some(30.0);
        book.prices.currency = "EUR".to_owned();
        book.prices.steel.insert("1084".to_owned(), 5.5);
        let text = book.write();
        assert!(text.contains("\"scale.weld-and-draw\" = 3.5"), "{text}");
        let back = ShopBook::read(&text).unwrap();
        assert_eq!(back.reset, book.reset);
        assert_eq!(back.prices, book.prices);
        assert!((back.pinned[&Topic::Scale(Work::WeldAndDraw)] - 0.035).abs() < 1e-12);
        assert!((back.pinned[&Topic::Trim] - 12.0).abs() < 1e-12);
        assert_eq!(ShopBook::read(&back.write()).unwrap(), back);
    }

    #[test]
    fn what_is_wrong_is_said() {
        let unknown = ShopBook::read("[pinned]\n\"scale.weld\" = 3\n").unwrap_err();
        assert!(unknown.to_string().contains("scale.weld"), "{unknown}");
        assert!(matches!(
            ShopBook::read("[pinned]\ntrim = -1.0\n"),
            Err(BookError::Value { .. })
        ));
        assert!(matches!(
            ShopBook::read("[reset]\ntrim = \"yesterday\"\n"),
            Err(BookError::Time { .. })
        ));
        assert!(matches!(
            ShopBook::read("\n[pins]\n"),
            Err(BookError::Form { line: 2, .. })
        ));
        assert!(matches!(
            ShopBook::read("[costs]\nhour = -2\n"),
            Err(BookError::Price(_))
        ));
        assert!(matches!(
            ShopBook::read("[costs]\nhours = 2\n"),
            Err(BookError::Form { line: 2, .. })
        ));
        assert_eq!(ShopBook::read("").unwrap(), ShopBook::default());
    }
}
