//! `[shop]`: machines and allowances, with what is common where the plan is silent.

use super::document::{Document, Node};
use super::section::Section;
use super::{note_places, table, values, words};
use crate::billet::Allowances;
use crate::physics::colours::{Eye, Pin, School};
use crate::plan::keys::SHOP;
use crate::plan::{Fuel, Machine, Place, Quench, Shop};
use crate::units::{Celsius, Fraction, Mm, Units, parse};

/// What the shop is where the plan says nothing. Common practice, no source.
fn usual(units: Units) -> Shop {
    Shop {
        allowances: Allowances {
            kerf: Mm(2.0),
            grind: Mm(0.5),
            trim: Mm(10.0),
            scale: Fraction::from_percent(4.0),
            mark: match units {
                Units::Mm => Mm(0.5),
                Units::Inch => Mm::from_inch(1.0 / 16.0),
            },
            shortest: Mm(40.0),
            widest: None,
            tallest: None,
            longest: None,
            finished: None,
            units,
        },
        machine: Machine::Hand,
        die: Mm(50.0),
        fuel: Fuel::default(),
        quench: Quench::default(),
        fire: Celsius(1260.0),
        fire_scale: Fraction::ONE,
        oil: None,
        eye: Eye::default(),
    }
}

pub(super) fn read(
    doc: &mut Document<'_>,
    top: &Section<'_, '_>,
    places: &mut Vec<(String, Place)>,
) -> Shop {
    let mut shop = usual(doc.units);
    let Some(section) = table(doc, top, "shop", &SHOP) else {
        return shop;
    };
    note_places(doc, &section, "shop", places);
    if let Some(machine) = machine(doc, &section) {
        shop.machine = machine;
    }
    let allow = &mut shop.allowances;
    for (key, field) in [
        ("kerf", &mut allow.kerf),
        ("grind", &mut allow.grind),
        ("trim", &mut allow.trim),
    ] {
        set(doc, &section, key, field, values::allowance);
    }
    for (key, field) in [
        ("mark", &mut allow.mark),
        ("shortest", &mut allow.shortest),
        ("die", &mut shop.die),
    ] {
        set(doc, &section, key, field, values::size);
    }
    for (key, field) in [
        ("widest", &mut allow.widest),
        ("tallest", &mut allow.tallest),
        ("longest", &mut allow.longest),
    ] {
        *field = section
            .get(key)
            .and_then(|node| values::size(doc, &section, &node));
    }
    set(
        doc,
        &section,
        "fuel",
        &mut shop.fuel,
        |doc, section, node| {
            let at = words::choice(doc, section, node, &Fuel::WORDS)?;
            Fuel::ALL.get(at).copied()
        },
    );
    set(
        doc,
        &section,
        "quench",
        &mut shop.quench,
        |doc, section, node| {
            let at = words::choice(doc, section, node, &Quench::WORDS)?;
            Quench::ALL.get(at).copied()
        },
    );
    set(doc, &section, "scale", &mut allow.scale, values::loss);
    set(doc, &section, "fire", &mut shop.fire, values::temperature);
    set(
        doc,
        &section,
        "fire-scale",
        &mut shop.fire_scale,
        values::share,
    );
    shop.oil = section
        .get("oil")
        .and_then(|node| values::temperature(doc, &section, &node));
    if let Some(node) = section.get("colours") {
        shop.eye.pins = pins(doc, &section, &node);
    }
    shop
}

/// Colours pinned to readings: a colour's name, then a temperature.
fn pins(doc: &mut Document<'_>, section: &Section<'_, '_>, node: &Node<'_, '_>) -> Vec<Pin> {
    let default = doc.units.default_length();
    let mut out = Vec::new();
    for text in words::texts(doc, section, node).unwrap_or_default() {
        let cut = text
            .find(|c: char| c.is_ascii_digit())
            .unwrap_or(text.len());
        let (name, reading) = text.split_at(cut);
        let known = School::Workshop.band(name.trim());
        match (known, parse::temperature(reading, default)) {
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
                doc.refuse(
                    node,
                    format!("'{text}' does not begin with a colour"),
                    format!("begin with one of {}", names.join(", ")),
                );
            }
            (_, Err(why)) => doc.refuse(
                node,
                format!("'{text}' has no temperature: {why}"),
                "write the colour and the reading, as \"orange 1010 C\"",
            ),
        }
    }
    out
}

fn set<T>(
    doc: &mut Document<'_>,
    section: &Section<'_, '_>,
    key: &'static str,
    field: &mut T,
    read: impl Fn(&mut Document<'_>, &Section<'_, '_>, &Node<'_, '_>) -> Option<T>,
) {
    if let Some(value) = section.get(key).and_then(|node| read(doc, section, &node)) {
        *field = value;
    }
}

fn machine(doc: &mut Document<'_>, section: &Section<'_, '_>) -> Option<Machine> {
    let press = section.get("press").and_then(|node| {
        let force = values::force(doc, section, &node)?;
        Some((node, Machine::Press { force }))
    });
    let hammer = section.get("hammer").and_then(|node| {
        let ram = values::mass(doc, section, &node)?;
        Some((node, Machine::Hammer { ram }))
    });
    let hand = section.get("hand").and_then(|node| {
        let by_hand = words::flag(doc, section, &node)?;
        by_hand.then_some((node, Machine::Hand))
    });
    let mut stated = [press, hammer, hand].into_iter().flatten();
    let first = stated.next();
    for (node, _) in stated {
        let quote = doc.quote(&node.span);
        doc.refuse(
            &node,
            format!("{} {quote} is a second machine", node.key),
            "keep the one that does the drawing out: press, hammer or hand",
        );
    }
    first.map(|(_, machine)| machine)
}
