//! `[stack]`: the first pile, in a form that is short to write.

use super::fill::fill;
use super::names::Steels;
use super::piece::one;
use super::section::{Node, Section};
use crate::billet::StackPiece;
use crate::plan::Place;
use crate::plan::keys::{STACK, docs};
use crate::units::{Mm, show};

/// Most pieces of a stack.
const MAX_PIECES: usize = 5000;
/// Brackets in brackets.
const MAX_DEPTH: usize = 4;

pub(super) fn read(
    top: &Section<'_>,
    steels: &Steels,
    places: &mut Vec<(String, Place)>,
) -> Option<([Mm; 2], Vec<StackPiece>)> {
    let mut size = [Mm::ZERO; 2];
    let section = top.table("stack", "[stack]", docs(STACK, &mut size))?;
    section.note("stack", places);
    let whole = fill(&section, steels, STACK, &mut size);
    let pieces = section.get("pieces").and_then(|node| pieces(&node, steels));
    whole.and(pieces).map(|pieces| (size, pieces))
}

fn pieces(node: &Node<'_>, steels: &Steels) -> Option<Vec<StackPiece>> {
    let doc = node.section.doc;
    let items = node.items().unwrap_or_else(|| vec![node.clone()]);
    let before = doc.errors();
    let mut pile = Vec::new();
    for item in &items {
        let Some(text) = item.raw() else {
            continue;
        };
        run(steels, item, text, 0, &mut pile);
        if pile.len() > MAX_PIECES {
            let what = format!("the stack has more than {MAX_PIECES} pieces");
            item.refuse(what, "pile fewer and restack");
            return None;
        }
    }
    if doc.errors() > before {
        return None;
    }
    if pile.is_empty() {
        node.refuse("the stack has no pieces".to_owned(), node.wanted());
        return None;
    }
    Some(pile)
}

/// A row of pieces and bracketed repeats.
fn run(steels: &Steels, node: &Node<'_>, text: &str, depth: usize, pile: &mut Vec<StackPiece>) {
    for part in split(text) {
        if pile.len() > MAX_PIECES {
            return;
        }
        let part = part.trim();
        if part.contains(['(', ')']) {
            repeat(steels, node, part, depth, pile);
        } else if let Some(piece) = one(node, steels, part) {
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
fn repeat(steels: &Steels, node: &Node<'_>, part: &str, depth: usize, pile: &mut Vec<StackPiece>) {
    let bad = || {
        node.refuse(
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
        return bad();
    };
    if depth >= MAX_DEPTH {
        return bad();
    }
    let mut once = Vec::new();
    run(steels, node, inside, depth + 1, &mut once);
    // One over the limit is enough to be refused.
    let room = (MAX_PIECES + 1).saturating_sub(pile.len());
    let all = once.len().saturating_mul(times).min(room);
    pile.extend(once.iter().cycle().take(all));
}
