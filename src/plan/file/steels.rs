//! `[steels]`: grades by name, or steels of the plan's own.

use toml::de::DeValue;

use super::document::{Document, Node};
use super::section::Section;
use super::{values, words};
use crate::metal::{Catalogue, Composition, Steel, Window};
use crate::plan::PlanSteel;
use crate::plan::keys::STEEL;
use crate::units::bounds::Bounds;
use crate::units::{Density, near, show};

/// Most steels of a job: one letter each.
const MAX_STEELS: usize = 26;

const PERCENT: Bounds = Bounds {
    name: "a mass percent",
    unit: "%",
    least: 0.0,
    greatest: 100.0,
};
/// Density of metals that a smith could weld, magnesium to tungsten.
const DENSITY: Bounds = Bounds {
    name: "a density",
    unit: "g/cm3",
    least: 1.0,
    greatest: 20.0,
};

/// The steels of the job.
#[derive(Debug, Default)]
pub(super) struct Steels {
    pub(super) list: Vec<PlanSteel>,
    /// False when a steel could not be read: other tables then do not call its name unknown.
    pub(super) sound: bool,
    /// Names that stand in the table, read or not.
    names: Vec<String>,
}

impl Steels {
    /// The place of a steel by the plan's name for it.
    pub(super) fn find(&self, name: &str) -> Option<usize> {
        self.list.iter().position(|steel| steel.key == name)
    }

    /// True when the table names it, even if it could not be read.
    pub(super) fn names(&self, name: &str) -> bool {
        self.names.iter().any(|known| known == name)
    }

    /// What to write instead of an unknown name.
    pub(super) fn remedy(&self, wrong: &str) -> String {
        // One letter is as near to another as to any: then all of them are listed.
        let long = self.names.iter().filter(|name| name.len() > 2);
        if let Some(near) = near::nearest(wrong, long.map(String::as_str)) {
            return format!("write {near}");
        }
        let all = self.names.join(", ");
        format!("write one of {all}, or add '{wrong}' to [steels]")
    }
}

pub(super) fn read(doc: &mut Document<'_>, top: &Section<'_, '_>) -> Steels {
    let Some(node) = top.get("steels") else {
        return Steels::default();
    };
    let DeValue::Table(table) = node.value else {
        let quote = doc.quote(&node.span);
        doc.refuse(
            &node,
            format!("steels {quote} is not a table"),
            "write [steels] with a line for each, as A = \"SAE 1084\"",
        );
        return Steels::default();
    };
    if table.is_empty() || table.len() > MAX_STEELS {
        doc.refuse(
            &node,
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
    let mut letters: Vec<Option<char>> = Vec::new();
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
            key: "steels",
            value: value.get_ref(),
            span: value.span(),
            step: None,
        };
        if let Some((steel, letter)) = one(doc, name, &node) {
            letters.push(letter);
            steels.list.push(PlanSteel {
                key: name.to_owned(),
                letter: '?',
                steel,
            });
        }
    }
    give_letters(doc, &node, &mut steels.list, &letters);
    steels.sound = doc.errors() == before;
    steels
}

fn is_name(name: &str) -> bool {
    name.len() <= 12
        && name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-')
}

/// Letters asked for go first; then the first free letter of each name; then any free one.
fn give_letters(
    doc: &mut Document<'_>,
    node: &Node<'_, '_>,
    list: &mut [PlanSteel],
    asked: &[Option<char>],
) {
    let mut taken: Vec<char> = Vec::new();
    for (steel, letter) in list.iter_mut().zip(asked) {
        let Some(letter) = letter else { continue };
        if taken.contains(letter) {
            doc.refuse(
                node,
                format!("two steels have the letter '{letter}'"),
                format!("give {} another letter", steel.key),
            );
        }
        steel.letter = *letter;
        taken.push(*letter);
    }
    for steel in list.iter_mut().filter(|steel| steel.letter == '?') {
        let own = steel.key.chars().map(|c| c.to_ascii_uppercase());
        let free = own
            .chain('A'..='Z')
            .find(|c| c.is_ascii_uppercase() && !taken.contains(c));
        if let Some(letter) = free {
            steel.letter = letter;
            taken.push(letter);
        }
    }
}

fn one(doc: &mut Document<'_>, name: &str, node: &Node<'_, '_>) -> Option<(Steel, Option<char>)> {
    match node.value {
        DeValue::String(grade) => grade_of(doc, node, grade).map(|steel| (steel, None)),
        DeValue::Table(table) => {
            let header = format!("[steels.{name}]");
            let section = Section::open(doc, table, node.span.start, None, header, &[&STEEL]);
            own(doc, name, &section)
        }
        _ => {
            let quote = doc.quote(&node.span);
            doc.refuse(
                node,
                format!("{name} {quote} is not a steel"),
                "write a grade in quotes, as \"SAE 1084\", or a table with c, mn ...",
            );
            None
        }
    }
}

fn grade_of(doc: &mut Document<'_>, node: &Node<'_, '_>, grade: &str) -> Option<Steel> {
    match Catalogue::builtin().find(grade) {
        Ok(steel) => Some(steel.clone()),
        Err(unknown) => {
            doc.refuse(
                node,
                format!("no steel is called '{}'", show::plain(grade, 40)),
                format!(
                    "write {}, or give its analysis: {{ c = 0.8, mn = 0.5 }}",
                    unknown.nearest.join(" or ")
                ),
            );
            None
        }
    }
}

fn own(
    doc: &mut Document<'_>,
    name: &str,
    section: &Section<'_, '_>,
) -> Option<(Steel, Option<char>)> {
    let letter = match section.get("letter") {
        Some(node) => Some(letter(doc, section, &node)?),
        None => None,
    };
    let mut metal = Composition::default();
    let mut percent = |key| {
        let node = section.get(key)?;
        values::number(doc, section, &node, &PERCENT)
    };
    let mut analysed = false;
    for (key, field) in [
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
    ] {
        analysed |= section.get(key).is_some();
        if let Some(share) = percent(key) {
            *field = share;
        }
    }
    let density = section
        .get("density")
        .and_then(|node| values::number(doc, section, &node, &DENSITY))
        .map(Density);
    let mut steel = match section.get("grade") {
        Some(node) => {
            let grade = words::raw(doc, section, &node)?;
            let steel = grade_of(doc, &node, grade)?;
            if analysed {
                doc.refuse(
                    &node,
                    format!("{name} has both a grade and an analysis"),
                    "leave out the grade, or c, mn and the others",
                );
                return None;
            }
            Steel {
                density: density.unwrap_or(steel.density),
                ..steel
            }
        }
        None => analysis(doc, name, section, metal, density)?,
    };
    windows(doc, section, &mut steel);
    Some((steel, letter))
}

fn analysis(
    doc: &mut Document<'_>,
    name: &str,
    section: &Section<'_, '_>,
    metal: Composition,
    density: Option<Density>,
) -> Option<Steel> {
    if section.get("c").is_none() {
        doc.error(
            section.start,
            None,
            Some("c"),
            format!("{name} has neither a grade nor carbon"),
            "add grade = \"SAE 1084\", or c = 0.84 and what else is in it",
        );
        return None;
    }
    if !metal.is_sane() {
        doc.error(
            section.start,
            None,
            Some("c"),
            format!("the analysis of {name} adds up to more than 100 %"),
            "write mass percent, as c = 0.84",
        );
        return None;
    }
    let title = section
        .get("title")
        .and_then(|node| words::text(doc, section, &node));
    let density = density.or(Some(Density(7.85)));
    Some(Steel::from_composition(
        title.unwrap_or_else(|| name.to_owned()),
        metal,
        density,
    ))
}

fn windows(doc: &mut Document<'_>, section: &Section<'_, '_>, steel: &mut Steel) {
    let mut written = Vec::new();
    for (key, figure, field) in [
        ("forging", "forging", &mut steel.forging),
        ("normalising", "normalise", &mut steel.normalise),
        ("hardening", "austenitise", &mut steel.austenitise),
        ("tempering", "temper", &mut steel.temper),
    ] {
        let window = section
            .get(key)
            .and_then(|node| values::window(doc, section, &node));
        if let Some((low, high)) = window {
            *field = Some(Window { low, high });
            written.push(figure);
        }
    }
    for figure in written {
        steel.by_sheet(figure);
    }
    if let Some(burning) = section
        .get("burning")
        .and_then(|node| values::temperature(doc, section, &node))
    {
        steel.burning = Some(burning);
    }
    if let Some(quench) = section
        .get("quench")
        .and_then(|node| words::text(doc, section, &node))
    {
        steel.quench = Some(quench);
    }
}

fn letter(doc: &mut Document<'_>, section: &Section<'_, '_>, node: &Node<'_, '_>) -> Option<char> {
    let text = words::raw(doc, section, node)?;
    let mut chars = text.chars();
    match (chars.next(), chars.next()) {
        (Some(c), None) if c.is_ascii_uppercase() => Some(c),
        _ => {
            let quote = doc.quote(&node.span);
            doc.refuse(
                node,
                format!("letter {quote} is not one capital letter"),
                "write one of A to Z",
            );
            None
        }
    }
}
