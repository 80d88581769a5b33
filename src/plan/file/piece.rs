//! One piece of steel: `A 6 mm`.

use super::names::Steels;
use super::section::Node;
use super::values;
use crate::billet::{StackPiece, SteelId};
use crate::units::show;

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
    let thickness = match values::length_of(size, node.section.doc.units.get()) {
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
