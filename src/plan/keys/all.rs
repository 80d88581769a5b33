//! Every table of the format, made from the lists of keys.

use std::sync::LazyLock;

use super::doc::{KeyDoc, Table};
use super::field::docs;
use super::steps::{COMMON, form, heats_words};
use super::tables::{
    self, ANALYSIS, BAR, BLADE, BOLSTER, FIGURES, FOUND, GOAL, SHOP, STACK, STEEL_NAMES, TANG, TOP,
    TOP_HEADER, usual_goal, usual_shop,
};
use crate::billet::{Kind, Move};
use crate::metal::{Composition, Steel};
use crate::plan::{Bolster, PlanBar, PlanSteel, Step, Tang};
use crate::units::{Density, Units};

/// Every table: the top of the file, its tables, what every step may carry, then one for each kind.
#[must_use]
pub fn all_tables() -> &'static [Table] {
    static ALL: LazyLock<Vec<Table>> = LazyLock::new(tables);
    &ALL
}

/// A table by its header.
pub(super) fn table(header: &str) -> Option<&'static Table> {
    all_tables().iter().find(|table| table.header == header)
}

/// The steps of a kind.
pub(super) fn of_kind(kind: Kind) -> Option<&'static Table> {
    all_tables().iter().find(|table| table.kind == Some(kind))
}

/// What every step may carry.
pub(super) fn common() -> Option<&'static Table> {
    table("[[step]]")
}

fn tables() -> Vec<Table> {
    let shop = usual_shop(Units::Mm);
    let mut goal = usual_goal();
    let blank = Step::blank(Move::Prepare);
    let mut all = Vec::new();
    let mut put = |header: &str, kind, words: &str, keys| {
        all.push(Table {
            header: header.to_owned(),
            kind,
            words: words.to_owned(),
            keys,
        });
    };
    let top = &mut (String::new(), Units::Mm, Vec::new());
    put(TOP_HEADER, None, tables::TOP_WORDS, docs(TOP, top));
    put(
        "[goal]",
        None,
        "What the smith wants at the end.",
        docs(GOAL, &mut goal),
    );
    put(
        "[goal.blade]",
        None,
        "The finished blade, cold.",
        docs(BLADE, &mut goal.blade),
    );
    let tang = docs(TANG, &mut Tang::default());
    put(
        "[goal.tang]",
        None,
        "The part under the handle, finished.",
        tang,
    );
    let bolster = docs(BOLSTER, &mut Bolster::default());
    put(
        "[goal.bolster]",
        None,
        "A bolster forged from the same bar, finished.",
        bolster,
    );
    put("[steels]", None, tables::STEELS_WORDS, Vec::new());
    put("[steels.NAME]", None, tables::STEEL_WORDS, steel());
    put(
        "[shop]",
        None,
        "Machines and allowances; a step's own amount goes before these. At most one of `press`, `hammer` and `hand`. The defaults are common practice, no source: put your own.",
        docs(SHOP, &mut shop.clone()),
    );
    let stack = || docs(STACK, &mut PlanBar::default());
    put(
        "[stack]",
        None,
        "The first stack, cleaned. Its height is the sum of its pieces.",
        stack(),
    );
    put("[found]", None, tables::FOUND_WORDS, found());
    put("[[bar]]", None, tables::BAR_WORDS, bar());
    put(
        "[[step]]",
        None,
        "Keys that every step may carry.",
        docs(COMMON, &mut blank.clone()),
    );
    for kind in Kind::ALL {
        let header = format!("kind = \"{}\"", kind.word());
        let words = format!("{}{}", kind.row().words, heats_words(kind));
        put(&header, Some(kind), &words, form(kind, &shop, None).docs());
    }
    all
}

fn found() -> Vec<KeyDoc> {
    docs(FOUND, &mut PlanBar::default())
}

/// The keys of a bar among several: those of a first stack and those of a bar as found. What only one of them
/// must have may be left out.
fn bar() -> Vec<KeyDoc> {
    let stack = docs(STACK, &mut PlanBar::default());
    let known = |keys: &[KeyDoc], name: &str| keys.iter().any(|key| key.name == name);
    let more = found();
    let both: Vec<&str> = stack
        .iter()
        .map(|key| key.name)
        .filter(|name| known(&more, name))
        .collect();
    let beside = more.iter().filter(|key| !known(&stack, key.name)).cloned();
    let mut all = docs(BAR, &mut PlanBar::default());
    all.extend(stack.iter().cloned().chain(beside).map(|key| KeyDoc {
        required: key.required && both.contains(&key.name),
        ..key
    }));
    all
}

/// The keys of a steel in full.
pub(crate) fn steel() -> Vec<KeyDoc> {
    let mut blank = PlanSteel {
        key: String::new(),
        letter: '?',
        steel: Steel::from_composition("", Composition::default(), Some(Density(7.85))),
        lot: String::new(),
    };
    let mut keys = docs(STEEL_NAMES, &mut blank);
    keys.extend(docs(ANALYSIS, &mut blank.steel.nominal));
    keys.extend(docs(FIGURES, &mut blank));
    keys
}
