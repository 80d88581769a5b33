//! The caution cards of `shared/cautions.toml`.

use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::{Machine, Step};
use crate::billet::Kind;

/// The cards, as shipped.
const TEXT: &str = include_str!("../../shared/cautions.toml");

/// Longest run of lines that a screen shows before a break.
const CHUNK: usize = 9;

/// A caution's stable name, as `fire.extinguisher`; a plan's own cautions are `plan.1`, `plan.2` ...
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct CautionId(pub String);

/// What the smith gives back.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Answer {
    /// One press: read and done.
    #[default]
    Done,
    /// A number in a unit, typed.
    Number {
        /// What is asked, as "CO reading".
        ask: String,
        /// Its unit, as "ppm".
        unit: String,
    },
    /// One of a few words, chosen by its number.
    Choice(Vec<String>),
}

/// What a typed answer may be, and what to do beyond it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Limits {
    /// Least that lets the work go on, in the answer's unit.
    pub least: Option<f64>,
    /// Most that lets the work go on, in the answer's unit.
    pub most: Option<f64>,
    /// What to do when it is beyond them.
    pub stop: String,
}

/// One line of a card.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// Stable name.
    pub id: CautionId,
    /// Short and imperative.
    pub text: String,
    /// Missed, it can hurt or ruin: the step does not open until it is answered.
    pub killer: bool,
    /// Asked anew at every step; otherwise an answer holds for the day.
    pub each: bool,
    /// What is given back.
    pub answer: Answer,
    /// Limits of a typed answer.
    pub limits: Limits,
    /// Source, or "common practice, no source".
    pub source: String,
}

impl Caution {
    /// What to do instead, when a typed answer does not let the work go on.
    ///
    /// ```
    /// use anvilside::plan::all_cautions;
    /// let air = all_cautions().find(|one| one.id.0 == "fire.air").unwrap();
    /// assert!(air.stops(60.0).is_some() && air.stops(4.0).is_none());
    /// ```
    #[must_use]
    pub fn stops(&self, answer: f64) -> Option<&str> {
        let low = self.limits.least.is_some_and(|least| answer < least);
        let high = self.limits.most.is_some_and(|most| answer > most);
        (low || high || !answer.is_finite()).then_some(self.limits.stop.as_str())
    }
}

/// The cautions of one step, killer items first, then the rest; see [`Card::chunks`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Card {
    /// The lines.
    pub items: Vec<Caution>,
}

impl Card {
    /// The lines in parts of about the same length, none over nine.
    #[must_use]
    pub fn chunks(&self) -> Vec<&[Caution]> {
        if self.items.is_empty() {
            return Vec::new();
        }
        let parts = self.items.len().div_ceil(CHUNK);
        self.items
            .chunks(self.items.len().div_ceil(parts))
            .collect()
    }
}

/// A row of the file: when it is shown beside the caution itself.
#[derive(Debug)]
struct Row {
    on: Vec<String>,
    with: Vec<String>,
    caution: Caution,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    legal: String,
    caution: Vec<Written>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    id: String,
    on: Vec<String>,
    #[serde(default)]
    with: Vec<String>,
    #[serde(default)]
    killer: bool,
    #[serde(default)]
    each: bool,
    text: String,
    ask: Option<String>,
    unit: Option<String>,
    least: Option<f64>,
    most: Option<f64>,
    stop: Option<String>,
    #[serde(default)]
    choose: Vec<String>,
    source: String,
}

impl From<Written> for Row {
    fn from(row: Written) -> Self {
        let answer = match (row.ask, row.unit, row.choose.is_empty()) {
            (Some(ask), Some(unit), _) => Answer::Number { ask, unit },
            (_, _, false) => Answer::Choice(row.choose),
            _ => Answer::Done,
        };
        Self {
            on: row.on,
            with: row.with,
            caution: Caution {
                id: CautionId(row.id),
                text: row.text,
                each: row.each,
                killer: row.killer,
                answer,
                limits: Limits {
                    least: row.least,
                    most: row.most,
                    stop: row.stop.unwrap_or_default(),
                },
                source: row.source,
            },
        }
    }
}

/// The file, read once. A test holds that it can be read; without it the cards would be empty.
fn shipped() -> &'static (Vec<Row>, String) {
    static SHIPPED: OnceLock<(Vec<Row>, String)> = OnceLock::new();
    SHIPPED.get_or_init(|| {
        let file: Option<File> = toml::from_str(TEXT).ok();
        file.map_or_else(Default::default, |file| {
            let rows = file.caution.into_iter().map(Row::from).collect();
            (rows, file.legal.trim().to_owned())
        })
    })
}

/// Every caution that the program has, in file order.
pub fn all_cautions() -> impl Iterator<Item = &'static Caution> {
    shipped().0.iter().map(|row| &row.caution)
}

/// The card of a step, killer items first. `first_of_day` adds what belongs to the start of a day,
/// and on a hot step what belongs before lighting: pass it for the first hot step of each day.
#[must_use]
pub fn cards(step: &Step, first_of_day: bool) -> Card {
    card(step, first_of_day, first_of_day && step.kind().is_hot())
}

/// The card of a step with what belongs to the start of a day and to the first fire of a day asked
/// for one by one.
#[must_use]
pub fn card(step: &Step, day: bool, fire: bool) -> Card {
    let kind = step.kind();
    let machine = match step.machine {
        Machine::Hand => "hand",
        Machine::Press { .. } => "press",
        Machine::Hammer { .. } => "hammer",
    };
    let belongs = |word: &str| match word {
        "day" => day,
        "fire" => fire,
        "end" => kind == Kind::EndDay,
        word => word == kind.word(),
    };
    let shown: Vec<&Row> = shipped()
        .0
        .iter()
        .filter(|row| row.on.iter().any(|word| belongs(word)))
        .filter(|row| row.with.is_empty() || row.with.iter().any(|word| word == machine))
        .collect();
    let (killer, rest): (Vec<&Row>, Vec<&Row>) =
        shown.into_iter().partition(|row| row.caution.killer);
    let own = step.cautions.iter().enumerate().map(|(at, text)| Caution {
        id: CautionId(format!("plan.{}", at + 1)),
        text: text.clone(),
        killer: false,
        each: true,
        answer: Answer::Done,
        limits: Limits::default(),
        source: "the plan".to_owned(),
    });
    let items = killer
        .into_iter()
        .chain(rest)
        .map(|row| row.caution.clone());
    Card {
        items: items.chain(own).collect(),
    }
}

/// The wording shown once per job and in the record: cards are reminders; local codes, makers'
/// sheets and licensed trades come first.
#[must_use]
pub fn legal() -> &'static str {
    &shipped().1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file() -> File {
        toml::from_str(TEXT).unwrap()
    }

    #[test]
    fn the_file_is_read_and_ids_are_unique() {
        let file = file();
        let mut ids: Vec<&str> = file.caution.iter().map(|row| row.id.as_str()).collect();
        let all = ids.len();
        assert!(all > 70);
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all);
        assert!(legal().contains("the rule wins") && legal().contains("emergency number"));
    }

    #[test]
    fn every_row_is_shown_somewhere_and_can_be_answered() {
        for row in file().caution {
            assert!(!row.source.is_empty(), "{} has no source", row.id);
            assert!(row.text.chars().count() <= 150, "{} is long", row.id);
            for word in &row.on {
                let known = Kind::ALL.iter().any(|kind| kind.word() == word);
                assert!(
                    known || ["day", "fire", "end"].contains(&word.as_str()),
                    "{}: {word}",
                    row.id
                );
            }
            for word in &row.with {
                assert!(
                    ["press", "hammer", "hand"].contains(&word.as_str()),
                    "{}",
                    row.id
                );
            }
            assert_eq!(row.ask.is_some(), row.unit.is_some(), "{}", row.id);
            assert_eq!(row.ask.is_some(), row.stop.is_some(), "{}", row.id);
            let answered = row.ask.is_some() || !row.choose.is_empty();
            assert_eq!(
                row.killer, answered,
                "{}: a killer item is answered, another is not",
                row.id
            );
            assert!(row.ask.is_none() || row.choose.is_empty(), "{}", row.id);
        }
    }
}
