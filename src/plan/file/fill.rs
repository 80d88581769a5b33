//! The keys of a table into their places.

use super::names::Steels;
use super::section::{Node, Section};
use super::{colours, piece};
use crate::billet::FrameBar;
use crate::plan::keys::{Field, Need, PERCENT, Slot};
use crate::plan::{MOST_FOUND, Machine};
use crate::units::{Fraction, Grams, Mm};

/// Most bands that a plan can name.
const MAX_BANDS: u64 = 1_000_000_000_000_000;

/// Reads every key of the table. What could not be read leaves the usual value behind and an error in
/// the document; `None` when a key that must be there is not read.
pub(super) fn fill<T>(
    section: &Section<'_>,
    steels: &Steels,
    fields: &[Field<T>],
    into: &mut T,
) -> Option<()> {
    let mut whole = true;
    for field in fields {
        let read = match (section.get(field.name), (field.slot)(into)) {
            (_, Slot::Other(_)) => continue,
            (Some(node), slot) => take(&node, steels, slot).is_some(),
            (None, _) => false,
        };
        whole &= read || field.need != Need::Must;
    }
    whole.then_some(())
}

fn take(node: &Node<'_>, steels: &Steels, slot: Slot<'_>) -> Option<()> {
    match slot {
        Slot::Text(to) => to.set(node.text()?),
        Slot::Texts(to) => *to = node.texts()?,
        Slot::Colours(to) => *to = colours::pins(node),
        Slot::Size(to) => to.set(node.size()?),
        Slot::Allowance(to) => *to = node.allowance()?,
        Slot::From(to) => *to = Some(node.allowance()?),
        Slot::Ends(to) => *to = ends(node, *to)?,
        Slot::Temperature(to) => to.set(node.quantity()?),
        Slot::Window(to) => *to = Some(node.window()?),
        Slot::Duration(to) => to.set(node.quantity()?),
        Slot::Share(to) => to.set(node.quantity()?),
        Slot::Part(to) => *to = node.quantity::<Fraction>()?.0,
        Slot::Loss(to) => to.set(node.loss()?),
        Slot::Count(to, [least, most]) => {
            let count = node.count(u64::from(least), u64::from(most))?;
            to.set(u32::try_from(count).ok()?);
        }
        Slot::Bands(to) => *to = Some(node.count(1, MAX_BANDS)?),
        Slot::Between(to) => *to = Some(between(node)?),
        Slot::Mass(to) => to.set(mass(node)?),
        Slot::Range([least, most]) => [*least, *most] = node.range(MAX_BANDS)?,
        Slot::Number(to, within) => *to = node.number(within)?,
        Slot::Percent(to) => *to = node.number(&PERCENT)?,
        Slot::Flag(to) => *to = node.flag()?,
        Slot::Press(to) => {
            *to = Machine::Press {
                force: node.quantity()?,
            }
        }
        Slot::Hammer(to) => {
            *to = Machine::Hammer {
                ram: node.quantity()?,
            }
        }
        Slot::Hand(to) => {
            if node.flag()? {
                *to = Machine::Hand;
            }
        }
        Slot::Word(to, words) => {
            to.take(node.choice(words)?);
        }
        Slot::Laid(bars, side) => {
            let found = piece::laid(node, steels)?;
            bars.extend(found.into_iter().map(|piece| FrameBar { side, piece }));
        }
        Slot::With(with) => *with = piece::laid(node, steels)?,
        // A key that would be ignored is said instead.
        Slot::Stray(_, owner, wanted) => {
            let key = node.key;
            node.refuse(
                format!("{key} belongs to {owner}"),
                format!("add {wanted}, or leave {key} out"),
            );
            return None;
        }
        Slot::Other(_) => {}
    }
    Some(())
}

/// A mass above zero.
fn mass(node: &Node<'_>) -> Option<Grams> {
    let mass = node.quantity::<Grams>()?;
    if mass.is_positive() {
        return Some(mass);
    }
    node.bad("is not a mass", node.wanted())
}

/// A count of bands as found, or least and most.
fn between(node: &Node<'_>) -> Option<[u64; 2]> {
    match node.items() {
        Some(_) => node.range(MOST_FOUND),
        None => node.count(1, MOST_FOUND).map(|count| [count; 2]),
    }
}

/// One size for both ends, or one for each.
fn ends(node: &Node<'_>, usual: [Mm; 2]) -> Option<[Mm; 2]> {
    let Some(items) = node.items() else {
        return node.allowance().map(|both| [both; 2]);
    };
    let [held, far] = items.as_slice() else {
        return node.bad(
            &format!("lists {} sizes, not two", items.len()),
            node.wanted(),
        );
    };
    let (held, far) = (held.allowance(), far.allowance());
    Some([held.unwrap_or(usual[0]), far.unwrap_or(usual[1])])
}
