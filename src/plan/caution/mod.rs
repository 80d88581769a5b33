//! The caution cards of `shared/cautions.toml`.

mod file;
mod quantity;

pub use quantity::Quantity;

use serde::{Deserialize, Serialize};

use super::{Machine, Shop, Step};
use crate::billet::{Kind, Move, Struck};
use crate::units::{Seconds, Units};
use file::shipped;

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
    /// A number, typed.
    Number {
        /// What is asked, as "CO reading".
        ask: String,
        /// What kind of number.
        of: Quantity,
    },
    /// One of a few words, chosen by its number.
    Choice(Vec<String>),
    /// The fire watch, kept by its clock.
    Watch,
}

/// How long an answer holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hold {
    /// Asked anew at every step.
    Step,
    /// Until the end of the day.
    #[default]
    Day,
    /// For the whole job: on later days it is confirmed with the rest of the card.
    Job,
}

/// What a typed answer may be, and what to do beyond it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Limits {
    /// Least that lets the work go on, in C, mm, pieces or ppm.
    pub least: Option<f64>,
    /// Most that lets the work go on, in the same.
    pub most: Option<f64>,
    /// Stays below another item's answer by so much.
    pub under: Option<(CautionId, f64)>,
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
    /// How long an answer holds.
    pub hold: Hold,
    /// What is given back.
    pub answer: Answer,
    /// Choices that hold for the whole job, being true of the shop and not of the day.
    pub lasting: Vec<String>,
    /// Choices with which the last fire of the day is out: the clock of the fire watch begins.
    pub out: Vec<String>,
    /// What it puts on: `eyes`, `ears`.
    pub wear: Option<String>,
    /// Limits of a typed answer.
    pub limits: Limits,
    /// Source, or "common practice, no source".
    pub source: String,
    opens: Vec<(String, String)>,
}

impl Caution {
    /// What to do instead, when a typed answer does not let the work go on.
    ///
    /// ```
    /// use anvilside::plan::all_cautions;
    /// let air = all_cautions().find(|one| one.id.0 == "fire.air").unwrap();
    /// assert!(air.stops(30.0).is_some() && air.stops(1.0).is_none());
    /// ```
    #[must_use]
    pub fn stops(&self, answer: f64) -> Option<&str> {
        let low = self.limits.least.is_some_and(|least| answer < least);
        let high = self.limits.most.is_some_and(|most| answer > most);
        (low || high || !answer.is_finite()).then_some(self.limits.stop.as_str())
    }

    /// How long this answer holds.
    #[must_use]
    pub fn holds(&self, answer: &str) -> Hold {
        if self.lasting.iter().any(|word| word == answer) {
            Hold::Job
        } else {
            self.hold
        }
    }

    /// The further items that this answer brings onto the card, by what they are filed under.
    pub fn opens<'a>(&'a self, answer: &'a str) -> impl Iterator<Item = &'a str> {
        self.opens
            .iter()
            .filter(move |(word, _)| word == answer)
            .map(|(_, topic)| topic.as_str())
    }

    /// The number that an answer as journalled holds, in C, mm, pieces or ppm.
    #[must_use]
    pub fn number(&self, answer: &str, units: Units) -> Option<f64> {
        match self.answer {
            Answer::Number { of, .. } => of.read(answer, units).ok(),
            _ => None,
        }
    }
}

/// The cautions of one step, killer items first, then the rest.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Card {
    /// The lines.
    pub items: Vec<Caution>,
}

/// Every caution that the program has, in file order.
pub fn all_cautions() -> impl Iterator<Item = &'static Caution> {
    shipped().rows.iter().map(|row| &row.caution)
}

/// The cautions of a step in this shop, in file order. `topics` adds what belongs to the moment: `day`
/// and `fire` at the first step and the first fire of a day, `watch` when the fire watch is due, and
/// what answers given so far opened.
pub fn shown(shop: &Shop, step: &Step, topics: &[&str]) -> impl Iterator<Item = &'static Caution> {
    let kind = step.kind();
    let machine = match step.machine {
        Machine::Hand => "hand",
        Machine::Press { .. } => "press",
        Machine::Hammer { .. } => "hammer",
    };
    let belongs = move |word: &str| match word {
        "end" => kind == Kind::EndDay,
        "folded" => matches!(&step.made, Move::Jacket { with, .. } if with.len() == 1),
        "machine" => kind.row().struck != Struck::Not && step.machine != Machine::Hand,
        word => word == kind.word() || topics.contains(&word),
    };
    let fits = |words: &[String], is: &str| words.is_empty() || words.iter().any(|word| word == is);
    let rows = shipped().rows.iter();
    rows.filter(move |row| row.on.iter().any(|word| belongs(word)))
        .filter(move |row| fits(&row.with, machine))
        .filter(move |row| fits(&row.fuel, shop.fuel.word()))
        .filter(move |row| fits(&row.quench, shop.quench.word()))
        .map(|row| &row.caution)
}

/// The card of a step: the cautions that are [`shown`], killer items first, and the plan's own.
#[must_use]
pub fn card(shop: &Shop, step: &Step, topics: &[&str]) -> Card {
    let (killer, rest): (Vec<&Caution>, Vec<&Caution>) =
        shown(shop, step, topics).partition(|caution| caution.killer);
    let own = step.cautions.iter().enumerate().map(|(at, text)| Caution {
        id: CautionId(format!("plan.{}", at + 1)),
        text: text.clone(),
        killer: false,
        hold: Hold::Step,
        answer: Answer::Done,
        lasting: Vec::new(),
        out: Vec::new(),
        wear: None,
        limits: Limits::default(),
        source: "the plan".to_owned(),
        opens: Vec::new(),
    });
    let items = killer.into_iter().chain(rest).cloned();
    Card {
        items: items.chain(own).collect(),
    }
}

/// The wording shown once per job and in the record: cards are reminders; local codes, makers'
/// sheets and licensed trades come first.
#[must_use]
pub fn legal() -> &'static str {
    &shipped().legal
}

/// The least time of a fire watch: what its card says and what the command line takes.
#[must_use]
pub fn least_watch() -> Seconds {
    Seconds::from_minutes(f64::from(shipped().watch_minutes))
}

#[cfg(test)]
mod tests {
    use super::file::{File, TEXT, Written};
    use super::*;

    fn file() -> File {
        toml::from_str(TEXT).unwrap()
    }

    #[test]
    fn the_file_is_read_and_ids_are_unique() {
        let file = file();
        let mut ids: Vec<&str> = file.caution.iter().map(|row| row.id.as_str()).collect();
        let all = ids.len();
        assert!(all > 90);
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all);
        for retired in ["arc.shade", "arc.watch", "wheel.eyes"] {
            assert!(!ids.contains(&retired), "{retired} was used before");
        }
        assert!(legal().contains("the rule wins") && legal().contains("emergency number"));
    }

    #[test]
    fn every_kind_of_step_has_a_card() {
        for kind in Kind::ALL {
            let rows = file().caution;
            let has = rows
                .iter()
                .any(|row| row.on.iter().any(|on| on == kind.word()));
            // The card of the end of a day is that of its word.
            assert!(has || kind == Kind::EndDay, "{}", kind.word());
        }
    }

    #[test]
    fn every_row_is_shown_somewhere_and_can_be_answered() {
        let file = file();
        let opened: Vec<&String> = file
            .caution
            .iter()
            .flat_map(|row| row.opens.values().flatten())
            .collect();
        let moments = [
            "day", "fire", "machine", "end", "out", "watch", "bar", "mark", "folded",
        ];
        for row in &file.caution {
            let id = &row.id;
            assert!(!row.source.is_empty(), "{id} has no source");
            assert!(row.text.chars().count() <= 110, "{id} is long");
            for word in &row.on {
                let known = Kind::ALL.iter().any(|kind| kind.word() == word)
                    || moments.contains(&word.as_str())
                    || opened.contains(&word);
                assert!(known, "{id}: {word}");
            }
            let within = |words: &[String], known: &[&str]| {
                words.iter().all(|word| known.contains(&word.as_str()))
            };
            assert!(within(&row.with, &["press", "hammer", "hand"]), "{id}");
            assert!(within(&row.fuel, &crate::plan::Fuel::WORDS), "{id}");
            assert!(within(&row.quench, &crate::plan::Quench::WORDS), "{id}");
            assert!(within(&row.lasting, &choices(row)), "{id}");
            assert!(within(&row.out, &choices(row)), "{id}");
            for word in row.opens.keys() {
                assert!(choices(row).contains(&word.as_str()), "{id}: {word}");
            }
            assert_eq!(row.ask.is_some(), row.unit.is_some(), "{id}");
            assert_eq!(row.ask.is_some(), row.stop.is_some(), "{id}");
            let of = row.unit.as_deref().map(Quantity::of);
            assert!(of.is_none_or(|of| of.is_some()), "{id}: unit");
            let answered = row.ask.is_some() || !row.choose.is_empty() || row.watch;
            assert_eq!(
                row.killer, answered,
                "{id}: a killer item is answered, another is not"
            );
            assert!(row.ask.is_none() || row.choose.is_empty(), "{id}");
        }
    }

    fn choices(row: &Written) -> Vec<&str> {
        row.choose.iter().map(String::as_str).collect()
    }

    #[test]
    fn the_card_and_the_command_line_name_one_least_watch() {
        let minutes = least_watch().minutes();
        let watch = all_cautions().find(|one| one.answer == Answer::Watch);
        let text = &watch.unwrap().text;
        assert!(text.contains(&format!("{minutes} min at least")), "{text}");
    }

    /// 29 CFR 1910.133(a)(5), the table of least shades for arc welding, from memory.
    #[test]
    fn arc_shades_are_those_of_the_published_table() {
        let table: &[(&str, &[(&str, u32)])] = &[
            (
                "arc.stick",
                &[
                    ("under 60", 7),
                    ("60-160", 8),
                    ("160-250", 10),
                    ("250-550", 11),
                ],
            ),
            ("arc.wire", &[("under 60", 7), ("60-500", 10)]),
            ("arc.tig", &[("under 150", 8), ("150-500", 10)]),
        ];
        for (id, rows) in table {
            let caution = all_cautions().find(|one| one.id.0 == *id).unwrap();
            let wanted: Vec<String> = rows
                .iter()
                .map(|(current, shade)| format!("{current} A: shade {shade} or over"))
                .collect();
            assert_eq!(caution.answer, Answer::Choice(wanted), "{id}");
        }
    }

    /// No answer is made up for what does not apply.
    #[test]
    fn no_number_stands_for_what_does_not_apply() {
        for row in file().caution {
            let text = row.text.to_lowercase();
            assert!(
                row.ask.is_none() || !(text.contains("nothing") || text.contains("0 with")),
                "{}: {text}",
                row.id
            );
        }
    }
}
