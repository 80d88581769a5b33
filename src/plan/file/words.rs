//! Words of the file: flags, text and choices. Every reader says what is wrong and gives `None`.

use toml::de::DeValue;

use super::document::{Document, Node};
use super::section::Section;
use super::values::{items, wrong_type};
use crate::units::{near, show};

/// Longest text of a title or a note.
const TEXT_WIDTH: usize = 2000;
/// Most notes or cautions of one step.
const MAX_TEXTS: usize = 60;

type Doc<'d, 't> = &'d mut Document<'t>;
type Sec<'s, 'a, 't> = &'s Section<'a, 't>;

/// Yes or no.
pub(super) fn flag(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<bool> {
    match node.value {
        DeValue::Boolean(value) => Some(*value),
        _ => wrong_type(doc, section, node),
    }
}

/// Text as written.
pub(super) fn raw<'a>(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'a, '_>,
) -> Option<&'a str> {
    match node.value {
        DeValue::String(text) => Some(text),
        _ => wrong_type(doc, section, node),
    }
}

/// Text safe to draw, at most [`TEXT_WIDTH`] columns; line ends become spaces.
pub(super) fn text(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<String> {
    let raw = raw(doc, section, node)?;
    if raw.chars().count() > TEXT_WIDTH {
        doc.refuse(
            node,
            format!("{} is longer than {TEXT_WIDTH} characters", node.key),
            "make a list of shorter texts",
        );
        return None;
    }
    let words = clean(raw);
    if words.is_empty() {
        doc.refuse(
            node,
            format!("{} is empty", node.key),
            format!("write {}, or leave it out", section.wants(node.key)),
        );
        return None;
    }
    Some(words)
}

/// Line ends to spaces, the rest by [`show::plain`].
pub(super) fn clean(text: &str) -> String {
    let flat = text.replace(['\r', '\n', '\t'], " ");
    show::plain(flat.trim(), 2 * TEXT_WIDTH)
}

/// One text or a list of them.
pub(super) fn texts(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<Vec<String>> {
    let Some(items) = items(node) else {
        return text(doc, section, node).map(|one| vec![one]);
    };
    if items.len() > MAX_TEXTS {
        doc.refuse(
            node,
            format!("{} lists {} texts", node.key, items.len()),
            format!("write at most {MAX_TEXTS}"),
        );
        return None;
    }
    items.iter().map(|item| text(doc, section, item)).collect()
}

/// One of a few words, by its place in the list.
pub(super) fn choice(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
    words: &[&'static str],
) -> Option<usize> {
    let word = raw(doc, section, node)?;
    if let Some(at) = words.iter().position(|known| *known == word) {
        return Some(at);
    }
    let quote = doc.quote(&node.span);
    // Of two words the nearer one says less than both.
    let near = near::nearest(word, words.iter().copied()).filter(|_| words.len() > 3);
    let remedy = near.map_or_else(
        || format!("write {}", section.wants(node.key)),
        |near| format!("write \"{near}\""),
    );
    doc.refuse(node, format!("{} {quote} is not known", node.key), remedy);
    None
}
