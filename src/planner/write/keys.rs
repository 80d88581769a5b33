//! The keys of a table as lines, from the list that a reader reads them by.

use super::number;
use crate::billet::Piece;
use crate::plan::keys::{Field, Need, Slot};
use crate::plan::{Machine, Plan};

/// One `key = value` for each key that is worth writing: those of [`Need::May`] only where they are not
/// what a reader fills in by itself.
pub(super) fn lines<T>(
    plan: &Plan,
    fields: &[Field<T>],
    own: &mut T,
    usual: &mut T,
) -> Vec<String> {
    let line = |field: &Field<T>| {
        let said = value(plan, (field.slot)(own))?;
        let same = value(plan, (field.slot)(usual)).as_ref() == Some(&said);
        (field.need != Need::May || !same).then(|| format!("{} = {said}", field.name))
    };
    fields.iter().filter_map(line).collect()
}

/// A value as it is written; none for what is not there.
fn value(plan: &Plan, slot: Slot<'_>) -> Option<String> {
    let units = plan.units;
    Some(match slot {
        Slot::Text(text) => number::text(text.get()?),
        Slot::Texts(texts) => number::list((!texts.is_empty()).then_some(texts)?),
        Slot::Colours(pins) => {
            let pin = |pin: &crate::physics::colours::Pin| {
                format!("\"{} {} C\"", pin.name, pin.celsius.0)
            };
            let pins: Vec<String> = pins.iter().map(pin).collect();
            format!("[{}]", (!pins.is_empty()).then(|| pins.join(", "))?)
        }
        Slot::Size(size) => number::length(units, *size.get()?),
        Slot::Allowance(size) => number::length(units, *size),
        Slot::From(from) => number::length(units, (*from)?),
        Slot::Ends(ends) => {
            let [held, far] = ends.map(|end| number::length(units, end));
            format!("[{held}, {far}]")
        }
        Slot::Temperature(at) => number::temperature(units, *at.get()?),
        Slot::Window(window) => {
            let window = (*window)?;
            let [low, high] = [window.low, window.high].map(|at| number::temperature(units, at));
            format!("[{low}, {high}]")
        }
        Slot::Duration(time) => number::duration(*time.get()?),
        Slot::Share(share) | Slot::Loss(share) => number::share(*share.get()?),
        Slot::Part(part) => number::share(crate::units::Fraction(*part)),
        Slot::Count(count, _) => count.get()?.to_string(),
        Slot::Bands(bands) => (*bands)?.to_string(),
        Slot::Between(between) => match (*between)? {
            [low, high] if low == high => low.to_string(),
            [low, high] => format!("[{low}, {high}]"),
        },
        Slot::Mass(mass) => number::mass(units, *mass.get()?),
        Slot::Range([least, most]) => format!("[{least}, {most}]"),
        Slot::Number(number, _) | Slot::Percent(number) => number::plain(*number),
        Slot::Flag(flag) => flag.then(|| "true".to_owned())?,
        Slot::Press(machine) => match machine {
            Machine::Press { force } => number::force(*force),
            _ => return None,
        },
        Slot::Hammer(machine) => match machine {
            Machine::Hammer { ram } => number::mass(units, *ram),
            _ => return None,
        },
        Slot::Hand(machine) => (*machine == Machine::Hand).then(|| "true".to_owned())?,
        Slot::Word(word, _) => number::text(word.word()),
        Slot::Laid(bars, side) => {
            let on = bars.iter().filter(|bar| bar.side == side);
            laid(plan, on.map(|bar| &bar.piece))?
        }
        Slot::With(with) => laid(plan, with.iter())?,
        Slot::Stray(..) | Slot::Other(_) => return None,
    })
}

/// A bar of the plan as it is written; none of a plain piece.
pub(super) fn bar_text(piece: &Piece) -> Option<String> {
    let Piece::Of { bar, turns } = piece else {
        return None;
    };
    let how = match turns % 4 {
        0 => "",
        1 => " turned",
        2 => " flipped",
        _ => " turned flipped",
    };
    Some(format!("{bar}{how}"))
}

/// Plain pieces and bars: one text, or a list of several.
fn laid<'p>(plan: &Plan, pieces: impl Iterator<Item = &'p Piece>) -> Option<String> {
    let one = |piece: &Piece| match piece {
        Piece::Plain { steel, thickness } => {
            let key = plan
                .steels
                .get(steel.index())
                .map_or("?", |steel| &steel.key);
            format!("{key} {}", number::length_in_text(plan.units, *thickness))
        }
        of @ Piece::Of { .. } => bar_text(of).unwrap_or_default(),
    };
    let texts: Vec<String> = pieces.map(one).collect();
    match texts.as_slice() {
        [] => None,
        [one] => Some(number::text(one)),
        many => Some(number::list(many)),
    }
}
