//! `[[step]]`: one after the other, each with the keys of its kind.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use super::fill::fill;
use super::moves;
use super::names::Steels;
use super::section::{Node, Section};
use crate::billet::{Kind, Move};
use crate::plan::keys::{self, COMMON, KINDS, usual_heats};
use crate::plan::{Goal, MAX_STEPS, Shop, Step, StepId};
use crate::units::{near, show};

/// The steps up to the first that could not be read.
pub(super) fn read(
    top: &Section<'_>,
    steels: &Steels,
    shop: &Shop,
    goal: Option<&Goal>,
) -> Vec<Step> {
    let Some(node) = top.get("step") else {
        return Vec::new();
    };
    let Some(items) = node.items().filter(|items| !items.is_empty()) else {
        node.bad::<()>(
            "is not a list of steps",
            "begin each step with a line [[step]]",
        );
        return Vec::new();
    };
    if items.len() > MAX_STEPS {
        node.refuse(
            format!("the file has {} steps", items.len()),
            format!("a plan has at most {MAX_STEPS} steps; split the job"),
        );
        return Vec::new();
    }
    let mut reader = Reader {
        steels,
        shop,
        goal,
        bar: steels.bars.first().cloned().unwrap_or_default(),
        kinds: BTreeMap::new(),
        ids: BTreeMap::new(),
        day: 1,
    };
    let mut steps = Vec::new();
    let mut sound = true;
    for item in &items {
        let DeValue::Table(table) = item.value else {
            item.bad::<()>("is not a table", "begin each step with a line [[step]]");
            sound = false;
            continue;
        };
        let before = top.doc.errors();
        let step = reader.step(item, table);
        sound &= top.doc.errors() == before;
        // What follows a step that could not be read is checked too, but cannot be walked.
        if sound && let Some(step) = step {
            steps.push(step);
        }
    }
    steps
}

struct Reader<'r> {
    steels: &'r Steels,
    shop: &'r Shop,
    goal: Option<&'r Goal>,
    /// The bar of the step before.
    bar: String,
    /// How many of each kind came before.
    kinds: BTreeMap<Kind, u32>,
    /// Line of each id.
    ids: BTreeMap<String, usize>,
    day: u32,
}

impl Reader<'_> {
    fn step(&mut self, node: &Node<'_>, table: &DeTable<'_>) -> Option<Step> {
        let doc = node.section.doc;
        let kind = kind(node, table)?;
        let number = self.kinds.entry(kind).or_insert(0);
        *number += 1;
        let usual = format!("{}-{number}", kind.word());
        let own = table.get("id").and_then(|id| id.get_ref().as_str());
        let id = own.filter(|id| is_id(id)).unwrap_or(&usual).to_owned();
        let edge = self.goal.map(|goal| goal.blade.edge);
        let form = keys::form(kind, self.shop, edge);
        let mut keys = keys::docs(COMMON, &mut Step::blank(Move::Prepare));
        keys.extend(form.docs());
        let name = format!("a step of kind {}", kind.word());
        let start = node.span.start;
        let section = Section::open(doc, table, start, Some(id.clone()), name, keys);
        self.name(&section, &id);
        self.bar(&section);
        let made = moves::read(&section, self.steels, &form);
        let whole = made.is_some();
        let made = made.unwrap_or(form.blank);
        let place = doc.place(start);
        let mut step = Step {
            id: StepId(id),
            bar: self.bar.clone(),
            heats: usual_heats(&made),
            day: self.day,
            machine: self.shop.machine,
            line: place.line,
            places: section
                .key_places()
                .chain(std::iter::once((String::new(), place)))
                .collect(),
            ..Step::blank(made)
        };
        fill(&section, self.steels, COMMON, &mut step);
        step.day = self.day(&section, kind, step.day);
        if !step.bar.is_empty() && kind != Kind::EndDay {
            step.called = format!("{}: {}", step.bar, step.name());
        }
        whole.then_some(step)
    }

    /// The bar that the step works on.
    fn bar(&mut self, section: &Section<'_>) {
        let Some(node) = section.get("bar") else {
            return;
        };
        let Some(name) = node.raw() else {
            return;
        };
        if self.steels.bars.iter().any(|bar| bar == name) {
            name.clone_into(&mut self.bar);
        } else if self.steels.bars.is_empty() {
            let what = format!(
                "the step works on bar {}, and the plan has one bar",
                node.quote()
            );
            node.refuse(what, "leave bar out, or begin each bar with a line [[bar]]");
        } else {
            let remedy = format!("write one of {}", self.steels.bars.join(", "));
            node.bad::<()>("is not a bar of this plan", remedy);
        }
    }

    /// Ids are names, and no two are alike.
    fn name(&mut self, section: &Section<'_>, id: &str) {
        let at = section.get("id");
        if let Some(node) = &at {
            let Some(text) = node.raw() else {
                return;
            };
            if !is_id(text) {
                let remedy = "write small letters, digits and dashes, as \"first-weld\"";
                node.bad::<()>("cannot be a name", remedy);
                return;
            }
        }
        let start = at.map_or(section.start, |node| node.span.start);
        let line = section.doc.place(start).line;
        if let Some(first) = self.ids.get(id) {
            let what = format!("id '{id}' is also the step of line {first}");
            let remedy = "give this step another id";
            section.doc.error(start, Some(id), Some("id"), what, remedy);
        } else {
            self.ids.insert(id.to_owned(), line);
        }
    }

    /// The day of the step; days never go back.
    fn day(&mut self, section: &Section<'_>, kind: Kind, day: u32) -> u32 {
        if day < self.day
            && let Some(node) = section.get("day")
        {
            node.refuse(
                format!(
                    "day '{day}' is before the day {} that this step falls on",
                    self.day
                ),
                "leave day out, or write the same day or a later one",
            );
        }
        let day = day.max(self.day);
        self.day = crate::plan::day_after(kind, day);
        day
    }
}

/// True for a name that a step can have.
pub(super) fn is_id(id: &str) -> bool {
    id.len() <= 40
        && id.starts_with(|c: char| c.is_ascii_lowercase())
        && id
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}

/// The kind of a step, or why it has none.
fn kind(node: &Node<'_>, table: &DeTable<'_>) -> Option<Kind> {
    let doc = node.section.doc;
    let Some(value) = table.get("kind") else {
        // A key that is nearly it will be meant as it.
        let near = table
            .keys()
            .find(|key| near::nearest(key.get_ref(), ["kind"]).is_some());
        let (at, remedy) = match near {
            Some(key) => (
                key.span().start,
                format!("write kind for '{}'", show::plain(key.get_ref(), 20)),
            ),
            None => (
                node.span.start,
                "add kind = \"draw\" or another kind".to_owned(),
            ),
        };
        if !doc.is_broken() {
            doc.error(
                at,
                None,
                Some("kind"),
                "the step has no kind".to_owned(),
                remedy,
            );
        }
        return None;
    };
    let word = value.get_ref().as_str().unwrap_or_default();
    if let Some(kind) = Kind::ALL.into_iter().find(|kind| kind.word() == word) {
        return Some(kind);
    }
    let quote = doc.quote(&value.span());
    let remedy = near::nearest(word, KINDS).map_or_else(
        || format!("write one of {}", KINDS.join(", ")),
        |near| format!("write \"{near}\""),
    );
    doc.error(
        value.span().start,
        None,
        Some("kind"),
        format!("kind {quote} is not known"),
        remedy,
    );
    None
}
