//! `[[step]]`: one after the other, each with the keys of its kind.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use super::common::{self, Common};
use super::document::{Document, Node};
use super::moves::{self, Given};
use super::section::Section;
use super::steels::Steels;
use super::{values, words};
use crate::billet::Kind;
use crate::plan::keys::{self, KINDS};
use crate::plan::{Goal, MAX_STEPS, Shop, Step, StepId};
use crate::units::{near, show};

/// The steps up to the first that could not be read.
pub(super) fn read(
    doc: &mut Document<'_>,
    top: &Section<'_, '_>,
    steels: &Steels,
    shop: &Shop,
    goal: Option<&Goal>,
) -> Vec<Step> {
    let Some(node) = top.get("step") else {
        return Vec::new();
    };
    let Some(items) = values::items(&node).filter(|items| !items.is_empty()) else {
        let quote = doc.quote(&node.span);
        doc.refuse(
            &node,
            format!("step {quote} is not a list of steps"),
            "begin each step with a line [[step]]",
        );
        return Vec::new();
    };
    if items.len() > MAX_STEPS {
        doc.refuse(
            &node,
            format!("the file has {} steps", items.len()),
            format!("a plan has at most {MAX_STEPS} steps; split the job"),
        );
        return Vec::new();
    }
    let mut reader = Reader {
        given: Given { steels, shop, goal },
        kinds: BTreeMap::new(),
        ids: BTreeMap::new(),
        day: 1,
    };
    let mut steps = Vec::new();
    let mut sound = true;
    for item in &items {
        let DeValue::Table(table) = item.value else {
            let quote = doc.quote(&item.span);
            doc.refuse(
                item,
                format!("step {quote} is not a table"),
                "begin each step with a line [[step]]",
            );
            sound = false;
            continue;
        };
        let before = doc.errors();
        let step = reader.step(doc, item, table);
        sound &= doc.errors() == before;
        // What follows a step that could not be read is checked too, but cannot be walked.
        if sound && let Some(step) = step {
            steps.push(step);
        }
    }
    steps
}

struct Reader<'r> {
    given: Given<'r>,
    /// How many of each kind came before.
    kinds: BTreeMap<Kind, u32>,
    /// Line of each id.
    ids: BTreeMap<String, usize>,
    day: u32,
}

impl Reader<'_> {
    fn step<'a, 't>(
        &mut self,
        doc: &mut Document<'_>,
        node: &Node<'a, 't>,
        table: &'a DeTable<'t>,
    ) -> Option<Step> {
        let kind = kind(doc, node, table)?;
        let number = self.kinds.entry(kind).or_insert(0);
        *number += 1;
        let usual = format!("{}-{number}", kind.word());
        let own = table.get("id").and_then(|id| id.get_ref().as_str());
        let id = own
            .filter(|id| common::is_id(id))
            .unwrap_or(&usual)
            .to_owned();
        let section = Section::open(
            doc,
            table,
            node.span.start,
            Some(id.clone()),
            format!("a step of kind {}", kind.word()),
            &[keys::common(), keys::of_kind(kind)],
        );
        self.name(doc, &section, &id);
        let common = common::read(doc, &section);
        let day = self.day(doc, &section, kind, &common);
        let made = moves::read(doc, &section, kind, self.given)?;
        let place = doc.place(node.span.start);
        Some(Step {
            id: StepId(id),
            heats: common.heats.unwrap_or_else(|| common::usual_heats(&made)),
            made,
            title: common.title,
            day,
            window: common.window,
            soak: common.soak,
            machine: self.given.shop.machine,
            done_when: common.done,
            cautions: common.cautions,
            notes: common.notes,
            line: place.line,
            places: section
                .key_places(doc)
                .chain(std::iter::once((String::new(), place)))
                .collect(),
        })
    }

    /// Ids are names, and no two are alike.
    fn name(&mut self, doc: &mut Document<'_>, section: &Section<'_, '_>, id: &str) {
        let at = section.get("id");
        if let Some(node) = &at {
            let Some(text) = words::raw(doc, section, node) else {
                return;
            };
            if !common::is_id(text) {
                let quote = doc.quote(&node.span);
                doc.refuse(
                    node,
                    format!("id {quote} cannot be a name"),
                    "write small letters, digits and dashes, as \"first-weld\"",
                );
                return;
            }
        }
        let start = at.map_or(section.start, |node| node.span.start);
        let line = doc.place(start).line;
        if let Some(first) = self.ids.get(id) {
            let what = format!("id '{id}' is also the step of line {first}");
            doc.error(
                start,
                Some(id),
                Some("id"),
                what,
                "give this step another id",
            );
        } else {
            self.ids.insert(id.to_owned(), line);
        }
    }

    /// The day of the step; days never go back.
    fn day(
        &mut self,
        doc: &mut Document<'_>,
        section: &Section<'_, '_>,
        kind: Kind,
        common: &Common,
    ) -> u32 {
        let day = common.day.unwrap_or(self.day);
        if day < self.day
            && let Some(node) = section.get("day")
        {
            doc.refuse(
                &node,
                format!(
                    "day '{day}' is before the day {} that this step falls on",
                    self.day
                ),
                "leave day out, or write the same day or a later one",
            );
        }
        let day = day.max(self.day);
        self.day = if kind == Kind::EndDay {
            day.saturating_add(1)
        } else {
            day
        };
        day
    }
}

/// The kind of a step, or why it has none.
fn kind(doc: &mut Document<'_>, node: &Node<'_, '_>, table: &DeTable<'_>) -> Option<Kind> {
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
