//! `[steels]`: grades by name, or steels of the plan's own.

use toml::de::DeValue;

use super::fill::fill;
use super::names::Steels;
use super::section::{Node, Section};
use crate::metal::{Catalogue, Composition, Steel};
use crate::plan::keys::{self, ANALYSIS, FIGURES, SHEET};
use crate::plan::{PlanSteel, free_letter};
use crate::units::{Density, show};

/// Most steels of a job: one letter each.
const MAX_STEELS: usize = 26;

pub(super) fn read(top: &Section<'_>) -> Steels {
    let Some(node) = top.get("steels") else {
        return Steels::default();
    };
    let doc = top.doc;
    let DeValue::Table(table) = node.value else {
        let remedy = "write [steels] with a line for each, as A = \"SAE 1084\"";
        node.bad::<()>("is not a table", remedy);
        return Steels::default();
    };
    if table.is_empty() || table.len() > MAX_STEELS {
        node.refuse(
            format!("[steels] lists {} steels", table.len()),
            format!("name 1 to {MAX_STEELS}, as A = \"SAE 1084\""),
        );
        return Steels::default();
    }
    let before = doc.errors();
    // The file's order decides letters and places, not the alphabet.
    let mut rows: Vec<_> = table.iter().collect();
    rows.sort_by_key(|(key, _)| key.span().start);
    let mut steels = Steels::default();
    for (key, value) in rows {
        let name: &str = key.get_ref();
        steels.names.push(show::plain(name, 40));
        if !is_name(name) {
            doc.error(
                key.span().start,
                None,
                Some("steels"),
                format!("'{}' cannot be the name of a steel", show::plain(name, 40)),
                "use one to twelve letters, digits or dashes, beginning with a letter",
            );
            continue;
        }
        let node = Node {
            value: value.get_ref(),
            span: value.span(),
            ..node.clone()
        };
        steels.list.extend(one(name, &node));
    }
    give_letters(&node, &mut steels.list);
    steels.sound = doc.errors() == before;
    steels
}

fn is_name(name: &str) -> bool {
    name.len() <= 12
        && name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-')
}

/// What stands for a letter that is not given yet.
const NO_LETTER: char = '?';

/// Letters asked for go first; then the first free letter of each name; then any free one.
fn give_letters(node: &Node<'_>, list: &mut [PlanSteel]) {
    let mut taken: Vec<char> = Vec::new();
    for steel in list.iter().filter(|steel| steel.letter != NO_LETTER) {
        if taken.contains(&steel.letter) {
            node.refuse(
                format!("two steels have the letter '{}'", steel.letter),
                format!("give {} another letter", steel.key),
            );
        }
        taken.push(steel.letter);
    }
    for steel in list.iter_mut().filter(|steel| steel.letter == NO_LETTER) {
        if let Some(letter) = free_letter(&steel.key, &taken) {
            steel.letter = letter;
            taken.push(letter);
        }
    }
}

fn one(name: &str, node: &Node<'_>) -> Option<PlanSteel> {
    let plain = |steel| PlanSteel {
        key: name.to_owned(),
        letter: NO_LETTER,
        steel,
        lot: String::new(),
    };
    match node.value {
        DeValue::String(grade) => grade_of(node, grade).map(plain),
        DeValue::Table(table) => {
            let header = format!("[steels.{name}]");
            let start = node.span.start;
            let doc = node.section.doc;
            let section = Section::open(doc, table, start, None, header, keys::steel());
            own(name, &section)
        }
        _ => {
            let what = format!("{name} {} is not a steel", node.quote());
            let remedy = "write a grade in quotes, as \"SAE 1084\", or a table with c, mn ...";
            node.refuse(what, remedy);
            None
        }
    }
}

fn grade_of(node: &Node<'_>, grade: &str) -> Option<Steel> {
    match Catalogue::builtin().find(grade) {
        Ok(steel) => Some(steel.clone()),
        Err(unknown) => {
            let analysis = "give its analysis: { c = 0.8, mn = 0.5 }";
            let (near, remedy) = match unknown.nearest.as_slice() {
                [] => (
                    ", and no grade of the table is near it",
                    format!("{analysis}, or take a grade that the page of the plan format lists"),
                ),
                near => ("", format!("write {}, or {analysis}", near.join(" or "))),
            };
            node.refuse(
                format!("no steel is called '{}'{near}", show::plain(grade, 40)),
                remedy,
            );
            None
        }
    }
}

fn own(name: &str, section: &Section<'_>) -> Option<PlanSteel> {
    let letter = match section.get("letter") {
        Some(node) => letter(&node)?,
        None => NO_LETTER,
    };
    let mut metal = Composition::default();
    fill(section, &Steels::default(), ANALYSIS, &mut metal);
    let analysed = ANALYSIS
        .iter()
        .any(|field| section.get(field.name).is_some());
    let steel = match section.get("grade") {
        Some(node) => {
            let steel = grade_of(&node, node.raw()?)?;
            if analysed {
                node.refuse(
                    format!("{name} has both a grade and an analysis"),
                    "leave out the grade, or c, mn and the others",
                );
                return None;
            }
            steel
        }
        None => analysis(name, section, metal)?,
    };
    let mut own = PlanSteel {
        key: name.to_owned(),
        letter,
        steel,
        lot: String::new(),
    };
    fill(section, &Steels::default(), FIGURES, &mut own);
    for (key, figure) in SHEET {
        if section.get(key).is_some() {
            own.steel.by_sheet(figure);
        }
    }
    Some(own)
}

fn analysis(name: &str, section: &Section<'_>, metal: Composition) -> Option<Steel> {
    let bad = |what: String, remedy: &str| {
        section
            .doc
            .error(section.start, None, Some("c"), what, remedy);
        None
    };
    if section.get("c").is_none() {
        return bad(
            format!("{name} has neither a grade nor carbon"),
            "add grade = \"SAE 1084\", or c = 0.84 and what else is in it",
        );
    }
    if !metal.is_sane() {
        return bad(
            format!("the analysis of {name} adds up to more than 100 %"),
            "write mass percent, as c = 0.84",
        );
    }
    let title = section.get("title").and_then(|node| node.text());
    let title = title.unwrap_or_else(|| name.to_owned());
    Some(Steel::from_composition(title, metal, Some(Density(7.85))))
}

fn letter(node: &Node<'_>) -> Option<char> {
    let mut chars = node.raw()?.chars();
    match (chars.next(), chars.next()) {
        (Some(c), None) if c.is_ascii_uppercase() => Some(c),
        _ => node.bad("is not one capital letter", "write one of A to Z"),
    }
}
