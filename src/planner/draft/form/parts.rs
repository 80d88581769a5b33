//! Parts of a typed text: sizes one times the other, a range, bars of a steel.

use super::Wrong;
use crate::metal::{Catalogue, Steel};
use crate::units::parse::{self, Quantity};
use crate::units::{Mm, Units, show};

/// An error of one item.
pub(super) fn wrong(key: &'static str, why: impl Into<String>) -> Wrong {
    Wrong {
        key,
        why: why.into(),
    }
}

/// A quantity above zero.
pub(super) fn above_zero<T: Quantity>(
    key: &'static str,
    units: Units,
    text: &str,
) -> Result<T, Wrong> {
    parse::above_zero(text, units).map_err(|why| wrong(key, why.to_string()))
}

/// A length above zero.
pub(super) fn length(key: &'static str, units: Units, text: &str) -> Result<Mm, Wrong> {
    above_zero(key, units, text)
}

/// Adds the unit of the last part to those before it that have none: `100 x 20 x 3 mm`.
fn with_unit(parts: Vec<&str>) -> Vec<String> {
    let unit = |text: &str| -> String {
        let digit = |c: char| c.is_ascii_digit();
        let tail = text
            .rfind(digit)
            .map_or("", |at| text.get(at + 1..).unwrap_or(""));
        tail.trim().to_owned()
    };
    let last = parts.last().map_or_else(String::new, |text| unit(text));
    let each = parts.into_iter().map(|text| {
        let text = text.trim();
        if unit(text).is_empty() {
            format!("{text} {last}")
        } else {
            text.to_owned()
        }
    });
    each.collect()
}

/// So many sizes, one times the other.
pub(super) fn sizes<const N: usize>(
    key: &'static str,
    units: Units,
    text: &str,
) -> Result<[Mm; N], Wrong> {
    let parts = with_unit(text.split(['x', 'X', '×', '*']).collect());
    let each: Vec<Mm> = parts
        .iter()
        .map(|part| length(key, units, part))
        .collect::<Result<_, _>>()?;
    let many = each.len();
    each.try_into().map_err(|_| {
        let example = match N {
            3 => "length x width x thickness, as 100 x 20 x 3",
            _ => "width x thickness, as 12 x 2",
        };
        let text = show::plain(text.trim(), 40);
        wrong(
            key,
            format!("'{text}' has {many} of {N} sizes; write {example}"),
        )
    })
}

/// `60-150`, `60 to 150`, or one number.
pub(super) fn range(key: &'static str, text: &str) -> Result<(u64, u64), Wrong> {
    let count = |text: &str| {
        let bad = |_| {
            let text = show::plain(text.trim(), 24);
            wrong(
                key,
                format!("'{text}' is not a count; write 60-150, or one number"),
            )
        };
        parse::count(text).map_err(bad)
    };
    let both = text
        .split_once("to")
        .or_else(|| text.split_once(['-', '–']));
    let (least, most) = match both {
        Some((least, most)) => (count(least)?, count(most)?),
        None => (count(text)?, count(text)?),
    };
    if least == 0 {
        return Err(wrong(key, "begin at 1 or more"));
    }
    if least > most {
        return Err(wrong(
            key,
            format!("{least} to {most} do not rise; write the lower number first"),
        ));
    }
    Ok((least, most))
}

/// One steel with its thicknesses and, where it has one, the width of its stock.
pub(super) type Bars = (Steel, Vec<Mm>, Option<Mm>);

/// `1084=4mm,6mm x 40mm`.
pub(super) fn bars(key: &'static str, units: Units, text: &str) -> Result<Bars, Wrong> {
    let text = text.trim();
    let shown = show::plain(text, 40);
    let Some((name, sizes)) = text.split_once('=') else {
        return Err(wrong(
            key,
            format!("'{shown}' has no thickness; write grade = thickness, as 1084=6mm"),
        ));
    };
    let steel = Catalogue::builtin()
        .find(name.trim())
        .map_err(|why| wrong(key, why.to_string()))?
        .clone();
    let lacks = sizes.trim_end().ends_with(['x', 'X', '×', '*']);
    if sizes.trim().is_empty() || lacks {
        let what = if lacks {
            "width after the x"
        } else {
            "thickness"
        };
        let name = show::plain(name.trim(), 24);
        return Err(wrong(
            key,
            format!(
                "'{shown}' has no {what}; write {name}=6mm, or {name}=6mm x 40mm with the width"
            ),
        ));
    }
    let (thick, width) = match sizes.split_once(['x', 'X', '×', '*']) {
        Some((thick, width)) => (thick, Some(length(key, units, width)?)),
        None => (sizes, None),
    };
    // Beside a fraction a comma is no decimal comma.
    let listed: Vec<&str> = thick.split(',').collect();
    let doubtful = |pair: &[&str]| match pair {
        [one, other] => {
            let digits = one.ends_with(|c: char| c.is_ascii_digit())
                && other.starts_with(|c: char| c.is_ascii_digit());
            digits && !one.contains('/') && !other.contains('/')
        }
        _ => false,
    };
    if listed.windows(2).any(doubtful) {
        let two = thick
            .trim()
            .replacen(',', &format!("{}, ", units.length_unit()), 1);
        return Err(wrong(
            key,
            format!(
                "'{}' may be two thicknesses or a decimal comma; write {two}, or a point",
                show::plain(thick.trim(), 24)
            ),
        ));
    }
    let parts = with_unit(listed);
    let thick = parts
        .iter()
        .map(|part| length(key, units, part))
        .collect::<Result<Vec<Mm>, _>>()?;
    Ok((steel, thick, width))
}
