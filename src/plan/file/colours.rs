//! `colours = [...]`: what a smith's pyrometer read at the colours that he calls.

use super::section::Node;
use crate::physics::colours::{Pin, School};
use crate::units::parse;

/// Colours pinned to readings: a colour's name, then a temperature.
pub(super) fn pins(node: &Node<'_>) -> Vec<Pin> {
    let units = node.section.doc.units.get();
    let mut out = Vec::new();
    for text in node.texts().unwrap_or_default() {
        let cut = text
            .find(|c: char| c.is_ascii_digit())
            .unwrap_or(text.len());
        let (name, reading) = text.split_at(cut);
        let known = School::Workshop.band(name.trim());
        match (known, parse::quantity(reading, units)) {
            (Some(band), Ok(celsius)) => out.push(Pin {
                name: band.name.to_owned(),
                celsius,
            }),
            (None, _) => {
                let names: Vec<&str> = School::Workshop
                    .bands()
                    .iter()
                    .map(|band| band.name)
                    .collect();
                node.refuse(
                    format!("'{text}' does not begin with a colour"),
                    format!("begin with one of {}", names.join(", ")),
                );
            }
            (_, Err(why)) => node.refuse(
                format!("'{text}' has no temperature: {why}"),
                "write the colour and the reading, as \"orange 1010 C\"",
            ),
        }
    }
    out
}
