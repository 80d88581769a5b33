//! `[stack]`: the first pile, in a form that is short to write.

use toml::de::DeValue;

use super::document::{Document, Node};
use super::section::Section;
use super::steels::Steels;
use super::{note_places, table, values, words};
use crate::billet::{StackPiece, SteelId};
use crate::plan::Place;
use crate::plan::keys::STACK;
use crate::units::{Mm, show};

/// Most pieces of a stack.
const MAX_PIECES: usize = 5000;
/// Brackets in brackets.
const MAX_DEPTH: usize = 4;

pub(super) fn read(
    doc: &mut Document<'_>,
    top: &Section<'_, '_>,
    steels: &Steels,
    places: &mut Vec<(String, Place)>,
) -> Option<(Mm, Mm, Vec<StackPiece>)> {
    let section = table(doc, top, "stack", &STACK)?;
    note_places(doc, &section, "stack", places);
    let mut size = |key| {
        let node = section.get(key)?;
        values::size(doc, &section, &node)
    };
    let (width, length) = (size("width"), size("length"));
    let pieces = section
        .get("pieces")
        .and_then(|node| pieces(doc, &section, steels, &node));
    Some((width?, length?, pieces?))
}

fn pieces(
    doc: &mut Document<'_>,
    section: &Section<'_, '_>,
    steels: &Steels,
    node: &Node<'_, '_>,
) -> Option<Vec<StackPiece>> {
    let items = match node.value {
        DeValue::String(_) => vec![node.clone()],
        _ => values::items(node).unwrap_or_else(|| vec![node.clone()]),
    };
    let before = doc.errors();
    let mut pile = Vec::new();
    for item in &items {
        let Some(text) = words::raw(doc, section, item) else {
            continue;
        };
        run(doc, steels, item, text, 0, &mut pile);
        if pile.len() > MAX_PIECES {
            doc.refuse(
                item,
                format!("the stack has more than {MAX_PIECES} pieces"),
                "pile fewer and restack",
            );
            return None;
        }
    }
    if doc.errors() > before {
        return None;
    }
    if pile.is_empty() {
        doc.refuse(
            node,
            "the stack has no pieces".to_owned(),
            format!("write {}", section.wants("pieces")),
        );
        return None;
    }
    Some(pile)
}

/// A row of pieces and bracketed repeats.
fn run(
    doc: &mut Document<'_>,
    steels: &Steels,
    node: &Node<'_, '_>,
    text: &str,
    depth: usize,
    pile: &mut Vec<StackPiece>,
) {
    for part in split(text) {
        if pile.len() > MAX_PIECES {
            return;
        }
        let part = part.trim();
        if part.contains(['(', ')']) {
            repeat(doc, steels, node, part, depth, pile);
        } else if let Some(piece) = one(doc, steels, node, part) {
            pile.push(piece);
        }
    }
}

/// Splits at commas outside brackets; a comma between two digits is a decimal comma.
fn split(text: &str) -> Vec<&str> {
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| {
        at.and_then(|at| bytes.get(at))
            .is_some_and(u8::is_ascii_digit)
    };
    let mut parts = Vec::new();
    let (mut start, mut depth) = (0, 0_i32);
    for (at, c) in text.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            ',' if depth == 0 && !(digit(at.checked_sub(1)) && digit(at.checked_add(1))) => {
                parts.push(text.get(start..at).unwrap_or_default());
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(text.get(start..).unwrap_or_default());
    parts
}

/// `4 x (A 6 mm, B 3 mm)`.
fn repeat(
    doc: &mut Document<'_>,
    steels: &Steels,
    node: &Node<'_, '_>,
    part: &str,
    depth: usize,
    pile: &mut Vec<StackPiece>,
) {
    let bad = |doc: &mut Document<'_>| {
        doc.refuse(
            node,
            format!(
                "pieces '{}' does not read as a repeat",
                show::plain(part, 40)
            ),
            "write 4 x (A 6 mm, B 3 mm)",
        );
    };
    let parsed = part.split_once('(').and_then(|(front, rest)| {
        let inside = rest.strip_suffix(')')?;
        let times = front.trim().strip_suffix(['x', 'X', '*', '\u{d7}'])?.trim();
        let times: usize = times.parse().ok()?;
        (1..=MAX_PIECES).contains(&times).then_some((times, inside))
    });
    let Some((times, inside)) = parsed else {
        return bad(doc);
    };
    if depth >= MAX_DEPTH {
        return bad(doc);
    }
    let mut once = Vec::new();
    run(doc, steels, node, inside, depth + 1, &mut once);
    // One over the limit is enough to be refused.
    let room = (MAX_PIECES + 1).saturating_sub(pile.len());
    let all = once.len().saturating_mul(times).min(room);
    pile.extend(once.iter().cycle().take(all));
}

/// `A 6 mm`.
pub(super) fn one(
    doc: &mut Document<'_>,
    steels: &Steels,
    node: &Node<'_, '_>,
    text: &str,
) -> Option<StackPiece> {
    let wants = "a steel and a thickness, as \"A 6 mm\"";
    let quote = show::plain(text, 40);
    let Some((name, size)) = text.trim().split_once(char::is_whitespace) else {
        doc.refuse(
            node,
            format!("{} '{quote}' is not a piece", node.key),
            format!("write {wants}"),
        );
        return None;
    };
    let thickness = match values::length_of(size, doc.units) {
        Ok(thickness) if thickness.0 >= 1e-3 => Some(thickness),
        Ok(_) => {
            doc.refuse(
                node,
                format!("{} '{quote}' has no thickness", node.key),
                format!("write {wants}"),
            );
            None
        }
        Err(error) => {
            values::refuse_number(doc, node, wants, &error);
            None
        }
    };
    let Some(at) = steels.find(name) else {
        if !steels.names(name) {
            doc.refuse(
                node,
                format!(
                    "{} '{quote}' names the steel '{}', which [steels] does not have",
                    node.key,
                    show::plain(name, 20)
                ),
                steels.remedy(&show::plain(name, 20)),
            );
        }
        return None;
    };
    Some(StackPiece {
        steel: SteelId::from_index(at),
        thickness: thickness?,
    })
}
