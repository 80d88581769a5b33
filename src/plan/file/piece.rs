//! One piece of steel: `A 6 mm`.

use super::names::Steels;
use super::section::Node;
use crate::billet::{Piece, StackPiece, SteelId};
use crate::units::{Mm, parse, show};

/// Most bars on one side.
pub(super) const MAX_LAID: usize = 100;

/// Plain pieces and bars of the plan, in order: one text or a list of them.
pub(super) fn laid(node: &Node<'_>, steels: &Steels) -> Option<Vec<Piece>> {
    let items = node.items().unwrap_or_else(|| vec![node.clone()]);
    if items.is_empty() || items.len() > MAX_LAID {
        return node.bad("names no bar, or too many", node.wanted());
    }
    let read: Vec<Option<Piece>> = items.iter().map(|item| put(item, steels)).collect();
    read.into_iter().collect()
}

/// A bar of the plan, as `sides flipped`, or a plain piece.
fn put(node: &Node<'_>, steels: &Steels) -> Option<Piece> {
    let text = node.raw()?;
    if is_bar(steels, text) {
        return bar(node, text);
    }
    let mut words = text.split_whitespace();
    let name = words.next().unwrap_or_default();
    let plain = steels.names(name) || steels.bars.is_empty() || words.next().is_some();
    if plain && node.key != "with" {
        return one(node, steels, text).map(|piece| Piece::Plain {
            steel: piece.steel,
            thickness: piece.thickness,
        });
    }
    let names = if steels.bars.is_empty() {
        "begin each bar with a line [[bar]]".to_owned()
    } else {
        format!("write one of {}", steels.bars.join(", "))
    };
    node.bad("is not a bar of this plan", names)
}

/// True where a text begins with the name of a bar.
pub(super) fn is_bar(steels: &Steels, text: &str) -> bool {
    let name = text.split_whitespace().next().unwrap_or_default();
    steels.bars.iter().any(|bar| bar == name)
}

/// A bar of the plan, as `sides flipped`.
pub(super) fn bar(node: &Node<'_>, text: &str) -> Option<Piece> {
    let mut words = text.split_whitespace();
    let name = words.next().unwrap_or_default();
    let mut turns = 0;
    for word in words {
        turns += match word {
            "turned" => 1,
            "flipped" => 2,
            _ => {
                let remedy = format!("write \"{name}\", \"{name} turned\" or \"{name} flipped\"");
                return node.bad("does not say how the bar lies", remedy);
            }
        };
    }
    Some(Piece::Of {
        bar: name.to_owned(),
        turns: turns % 4,
    })
}

/// `A 6 mm`.
pub(super) fn one(node: &Node<'_>, steels: &Steels, text: &str) -> Option<StackPiece> {
    let wants = "a steel and a thickness, as \"A 6 mm\"";
    let quote = show::plain(text, 40);
    let bad = |why: &str, remedy: String| {
        node.refuse(format!("{} '{quote}' {why}", node.key), remedy);
    };
    let Some((name, size)) = text.trim().split_once(char::is_whitespace) else {
        bad("is not a piece", format!("write {wants}"));
        return None;
    };
    let thickness = match parse::quantity::<Mm>(size, node.section.doc.units.get()) {
        Ok(thickness) if thickness.0 >= 1e-3 => Some(thickness),
        Ok(_) => {
            bad("has no thickness", format!("write {wants}"));
            None
        }
        Err(error) => node.refuse_number(wants, &error.fault),
    };
    let Some(at) = steels.find(name) else {
        if !steels.names(name) {
            let name = show::plain(name, 20);
            let why = format!("names the steel '{name}', which [steels] does not have");
            bad(&why, steels.remedy(&name));
        }
        return None;
    };
    Some(StackPiece {
        steel: SteelId::from_index(at),
        thickness: thickness?,
    })
}
