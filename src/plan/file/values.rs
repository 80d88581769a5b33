//! Numbers of the file as quantities. Every reader says what is wrong and gives `None`.

use toml::de::DeValue;

use super::document::{Document, Node};
use super::section::Section;
use crate::units::bounds::{self, Bounds};
use crate::units::parse::{self, NumberError};
use crate::units::{Celsius, Fraction, Grams, Kilonewtons, Mm, Seconds, show};

type Doc<'d, 't> = &'d mut Document<'t>;
type Sec<'s, 'a, 't> = &'s Section<'a, 't>;

/// A number as written: text to be parsed, or a bare number.
enum Written<'a> {
    Text(&'a str),
    Bare(f64),
}

fn written<'a>(node: &Node<'a, '_>) -> Option<Written<'a>> {
    match node.value {
        DeValue::String(text) => Some(Written::Text(text)),
        DeValue::Integer(whole) if whole.radix() == 10 => {
            whole.as_str().parse().ok().map(Written::Bare)
        }
        DeValue::Float(float) => float.as_str().parse().ok().map(Written::Bare),
        _ => None,
    }
}

pub(super) fn wrong_type<T>(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<T> {
    let quote = doc.quote(&node.span);
    let kind = type_name(node.value);
    doc.refuse(
        node,
        format!("{} {quote} is {kind}", node.key),
        format!("write {}", section.wants(node.key)),
    );
    None
}

/// A TOML type in everyday words.
fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(whole) if whole.radix() != 10 => "not a decimal number",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Says a refused number: what it is in the file, why not, and what to write.
pub(super) fn refuse_number(
    doc: Doc<'_, '_>,
    node: &Node<'_, '_>,
    wants: &str,
    error: &NumberError,
) {
    let quote = doc.quote(&node.span);
    let why = match error {
        NumberError::Empty => "is empty".to_owned(),
        NumberError::Malformed(_) => "does not read as a number".to_owned(),
        NumberError::Negative(_) => "is below zero".to_owned(),
        NumberError::Fraction(_) => "is not a fraction that a rule shows".to_owned(),
        NumberError::Unit { unit, what, .. } => {
            format!("has the unit '{unit}', which is not one of {what}")
        }
        NumberError::Range {
            least,
            greatest,
            unit,
            what,
            ..
        } => {
            let range = format!("{least} to {greatest} {unit}");
            format!("is outside what {what} can be ({})", range.trim_end())
        }
    };
    let remedy = match error {
        NumberError::Unit { allowed, .. } => format!("write it in {allowed}"),
        _ => format!("write {wants}"),
    };
    doc.refuse(node, format!("{} {quote} {why}", node.key), remedy);
}

fn bare(value: f64, factor: f64, offset: f64, within: &Bounds) -> Result<f64, NumberError> {
    let value = value * factor + offset;
    if within.hold(value) {
        return Ok(value);
    }
    Err(NumberError::Range {
        value: show::trimmed(value, 2),
        unit: within.unit,
        what: within.name,
        least: show::trimmed(within.least, 2),
        greatest: show::trimmed(within.greatest, 2),
    })
}

/// A length out of typed text, in the plan's units when it carries none. The single letters that a
/// number pad takes for units are refused here: `1 m` would be read as a millimetre.
pub(super) fn length_of(text: &str, units: crate::units::Units) -> Result<Mm, NumberError> {
    if let Ok(typed) = parse::number(text)
        && matches!(typed.unit.as_str(), "m" | "c" | "i")
    {
        return Err(NumberError::Unit {
            unit: typed.unit,
            what: bounds::LENGTH.name,
            allowed: "mm, cm or in",
        });
    }
    parse::length(text, units.default_length())
}

fn number_by<T>(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
    from_text: impl Fn(&str) -> Result<T, NumberError>,
    from_bare: impl Fn(f64) -> Result<T, NumberError>,
) -> Option<T> {
    let read = match written(node) {
        Some(Written::Text(text)) => from_text(text),
        Some(Written::Bare(value)) => from_bare(value),
        None => return wrong_type(doc, section, node),
    };
    read.map_err(|error| refuse_number(doc, node, &section.wants(node.key), &error))
        .ok()
}

/// A size that may be zero.
pub(super) fn allowance(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<Mm> {
    let units = doc.units;
    let factor = match units {
        crate::units::Units::Mm => 1.0,
        crate::units::Units::Inch => 25.4,
    };
    number_by(
        doc,
        section,
        node,
        |text| length_of(text, units),
        |value| bare(value, factor, 0.0, &bounds::LENGTH).map(Mm),
    )
}

/// A size above zero.
pub(super) fn size(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>, node: &Node<'_, '_>) -> Option<Mm> {
    let size = allowance(doc, section, node)?;
    if size.0 >= 1e-3 {
        return Some(size);
    }
    let quote = doc.quote(&node.span);
    doc.refuse(
        node,
        format!("{} {quote} is not a size", node.key),
        format!("write {}", section.wants(node.key)),
    );
    None
}

/// A temperature.
pub(super) fn temperature(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<Celsius> {
    let units = doc.units;
    number_by(
        doc,
        section,
        node,
        |text| parse::temperature(text, units.default_length()),
        |value| {
            let (factor, offset) = match units {
                crate::units::Units::Mm => (1.0, 0.0),
                crate::units::Units::Inch => (1.0 / 1.8, -32.0 / 1.8),
            };
            bare(value, factor, offset, &bounds::TEMPERATURE).map(Celsius)
        },
    )
}

/// Two temperatures, the lower first.
pub(super) fn window(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<(Celsius, Celsius)> {
    let [low, high] = pair(doc, section, node)?;
    let low = temperature(doc, section, &low);
    let high = temperature(doc, section, &high);
    let (low, high) = low.zip(high)?;
    if low.0 >= high.0 {
        let quote = doc.quote(&node.span);
        doc.refuse(
            node,
            format!("{} {quote} does not rise", node.key),
            "write the lower temperature first",
        );
        return None;
    }
    Some((low, high))
}

fn pair<'a, 't>(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'a, 't>,
) -> Option<[Node<'a, 't>; 2]> {
    let items = items(node);
    let Some([a, b]) = items.as_deref() else {
        return wrong_type_of_list(doc, section, node, items.map(|items| items.len()));
    };
    Some([a.clone(), b.clone()])
}

fn wrong_type_of_list<T>(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
    len: Option<usize>,
) -> Option<T> {
    let Some(len) = len else {
        return wrong_type(doc, section, node);
    };
    let quote = doc.quote(&node.span);
    doc.refuse(
        node,
        format!("{} {quote} lists {len} values, not two", node.key),
        format!("write {}", section.wants(node.key)),
    );
    None
}

/// The items of a list, each as a node of the same key.
pub(super) fn items<'a, 't>(node: &Node<'a, 't>) -> Option<Vec<Node<'a, 't>>> {
    let DeValue::Array(list) = node.value else {
        return None;
    };
    Some(
        list.iter()
            .map(|item| Node {
                key: node.key,
                value: item.get_ref(),
                span: item.span(),
                step: node.step.clone(),
            })
            .collect(),
    )
}

/// A time; a bare number is minutes.
pub(super) fn duration(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<Seconds> {
    number_by(doc, section, node, parse::duration, |value| {
        bare(value, 60.0, 0.0, &bounds::DURATION).map(Seconds)
    })
}

/// A share under one whole.
pub(super) fn share(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<Fraction> {
    number_by(doc, section, node, parse::fraction, |value| {
        bare(value, 100.0, 0.0, &bounds::FRACTION).map(Fraction::from_percent)
    })
}

/// A loss: a share that leaves something.
pub(super) fn loss(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<Fraction> {
    let share = share(doc, section, node)?;
    if share.0 < 0.95 {
        return Some(share);
    }
    let quote = doc.quote(&node.span);
    doc.refuse(
        node,
        format!("{} {quote} leaves nothing of the bar", node.key),
        "write a share under 95 %",
    );
    None
}

/// A force; a bare number is US tons.
pub(super) fn force(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<Kilonewtons> {
    number_by(doc, section, node, parse::force, |value| {
        let one = Kilonewtons::from_us_tons(1.0).0;
        bare(value, one, 0.0, &bounds::FORCE).map(Kilonewtons)
    })
}

/// A mass; a bare number is in the plan's units.
pub(super) fn mass(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
) -> Option<Grams> {
    let units = doc.units;
    number_by(
        doc,
        section,
        node,
        |text| parse::mass(text, units.default_length()),
        |value| {
            let one = match units {
                crate::units::Units::Mm => 1.0,
                crate::units::Units::Inch => Grams::from_pounds(1.0).0,
            };
            bare(value, one, 0.0, &bounds::MASS).map(Grams)
        },
    )
}

/// A plain number between limits.
pub(super) fn number(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
    within: &Bounds,
) -> Option<f64> {
    number_by(
        doc,
        section,
        node,
        |text| {
            let typed = parse::number(text)?;
            if !typed.unit.is_empty() && typed.unit != within.unit {
                return Err(NumberError::Unit {
                    unit: show::plain(&typed.unit, 24),
                    what: within.name,
                    allowed: within.unit,
                });
            }
            bare(typed.value, 1.0, 0.0, within)
        },
        |value| bare(value, 1.0, 0.0, within),
    )
}

/// A whole number of things, at least `least` and at most `most`.
pub(super) fn count(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
    least: u64,
    most: u64,
) -> Option<u64> {
    let value = match node.value {
        DeValue::Integer(whole) if whole.radix() == 10 => {
            whole.as_str().replace('_', "").parse::<i128>().ok()
        }
        DeValue::String(text) => parse::count(text).ok().map(i128::from),
        DeValue::Float(_) => None,
        _ => return wrong_type(doc, section, node),
    };
    let quote = doc.quote(&node.span);
    let Some(value) = value else {
        doc.refuse(
            node,
            format!("{} {quote} is not a whole number", node.key),
            format!("write {}", section.wants(node.key)),
        );
        return None;
    };
    match u64::try_from(value) {
        Ok(value) if value >= least && value <= most => Some(value),
        _ => {
            doc.refuse(
                node,
                format!("{} {quote} is not possible", node.key),
                format!("write a whole number from {least} to {most}"),
            );
            None
        }
    }
}

/// A small count, as of pieces or heats.
pub(super) fn count32(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
    least: u32,
    most: u32,
) -> Option<u32> {
    count(doc, section, node, u64::from(least), u64::from(most)).and_then(|n| u32::try_from(n).ok())
}

/// Least and most.
pub(super) fn counts(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    node: &Node<'_, '_>,
    most: u64,
) -> Option<(u64, u64)> {
    let [low, high] = pair(doc, section, node)?;
    let low = count(doc, section, &low, 1, most);
    let high = count(doc, section, &high, 1, most);
    let (low, high) = low.zip(high)?;
    if low > high {
        let quote = doc.quote(&node.span);
        doc.refuse(
            node,
            format!("{} {quote} falls", node.key),
            "write the lower number first",
        );
        return None;
    }
    Some((low, high))
}
