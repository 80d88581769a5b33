//! What a smith types, read as a number with a unit.
//!
//! Point or comma decimals; whole numbers, fractions and mixed numbers (`1-3/8`, `1 3/8`, `1.375`);
//! a unit behind the number or the caller's default. Anything doubtful is refused with a reason:
//! two separators, a bare fraction bar, a stray sign, a thousands separator.

use super::bounds::{self, Bounds, Fault, NumberError};
use super::{Celsius, Fraction, Grams, Kilonewtons, Mm, Seconds, Units, show};

/// A number and the unit text behind it, as typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// The number.
    pub value: f64,
    /// The unit, lower case, empty when none was typed.
    pub unit: String,
    /// True when it was written with a fraction bar.
    pub fraction: bool,
}

/// Splits typed text into a number and a unit, refusing anything doubtful.
///
/// ```
/// # use anvilside::units::parse::number;
/// assert_eq!(number("1-3/8 in").unwrap().value, 1.375);
/// assert_eq!(number("12,5mm").unwrap().unit, "mm");
/// assert!(number("1..2").is_err() && number("/4").is_err() && number("--").is_err());
/// ```
///
/// # Errors
/// A [`NumberError`] that says what is wrong with the text.
pub fn number(text: &str) -> Result<Typed, NumberError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Fault::Empty.of(text));
    }
    if let Some(rest) = text.strip_prefix(['-', '\u{2212}'])
        && rest.starts_with(|c: char| c.is_ascii_digit())
    {
        return Err(Fault::Negative.of(text));
    }
    let bad = || Fault::Malformed.of(text);
    let split = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | '-' | ' ' | '\t')))
        .unwrap_or(text.len());
    let (digits, unit) = text.split_at(split);
    let digits = digits.trim();
    let unit = unit.trim().trim_end_matches('.').to_lowercase();
    if unit.chars().any(|c| c.is_ascii_digit()) || unit.chars().count() > 12 {
        return Err(bad());
    }
    if digits.is_empty() {
        return Err(bad());
    }
    let (value, fraction) = if digits.contains('/') {
        (mixed(digits).ok_or_else(|| Fault::Fraction.of(text))?, true)
    } else {
        (decimal(digits).ok_or_else(bad)?, false)
    };
    Ok(Typed {
        value,
        unit,
        fraction,
    })
}

fn decimal(text: &str) -> Option<f64> {
    let separators = text.chars().filter(|c| matches!(c, '.' | ',')).count();
    let plain = text
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
    if !plain || separators > 1 || text.ends_with(['.', ',']) || text.len() > 15 {
        return None;
    }
    let value: f64 = text.replace(',', ".").parse().ok()?;
    value.is_finite().then_some(value)
}

fn mixed(text: &str) -> Option<f64> {
    let (left, lower) = text.split_once('/')?;
    let lower = whole(lower.trim())?;
    let left = left.trim();
    let cut = left.rfind(['-', ' ', '\t']);
    let (units, upper) = match cut {
        Some(at) => {
            let (a, b) = left.split_at(at);
            (whole(a.trim())?, whole(b.get(1..)?.trim())?)
        }
        None => (0.0, whole(left)?),
    };
    if lower < 1.0 || (cut.is_some() && upper >= lower) {
        return None;
    }
    Some(units + upper / lower)
}

fn whole(text: &str) -> Option<f64> {
    if text.is_empty() || text.len() > 6 || !text.chars().all(|c| c.is_ascii_digit()) {
        return None;
    }
    text.parse().ok()
}

/// A quantity that a smith types: how it may be written stands here once for the plan, the commands,
/// the wish and the screen.
pub trait Quantity: Sized + Copy + 'static {
    /// What it can be.
    const BOUNDS: Bounds;
    /// Its units in words.
    const ALLOWED: &'static str;
    /// The units by their names, with what makes the quantity of a number. A bare number is in the
    /// first, or in the second for inch shops.
    const UNITS: &'static [Unit<Self>];
    /// Its number in the unit of the bounds.
    fn bare(self) -> f64;
}

/// Names of a unit, and what makes a quantity of a number of it.
pub type Unit<T> = (&'static [&'static str], fn(f64) -> T);

fn bounded<T: Quantity>(value: T) -> Result<T, Fault> {
    T::BOUNDS.check(value.bare()).map(|_| value)
}

fn wrong_unit(typed: &Typed, what: &'static str, allowed: &'static str) -> Fault {
    Fault::Unit {
        unit: show::plain(&typed.unit, 24),
        what,
        allowed,
    }
}

/// A quantity out of typed text: `40 mm`, `1-3/8 in`, `1500 F`.
///
/// ```
/// # use anvilside::units::{Celsius, Mm, Units, parse::quantity};
/// assert_eq!(quantity::<Mm>("1-3/8 in", Units::Mm).unwrap(), Mm(34.925));
/// assert_eq!(quantity::<Mm>("0.5 cm", Units::Inch).unwrap(), Mm(5.0));
/// assert_eq!(quantity::<Celsius>("815", Units::Mm).unwrap(), Celsius(815.0));
/// ```
///
/// # Errors
/// [`NumberError`] for anything that is not such a quantity within its bounds.
pub fn quantity<T: Quantity>(text: &str, units: Units) -> Result<T, NumberError> {
    let typed = number(text)?;
    if typed.unit.is_empty() {
        return bare(typed.value, units).map_err(|fault| fault.of(text));
    }
    let unit = T::UNITS
        .iter()
        .find(|(names, _)| names.contains(&typed.unit.as_str()))
        .ok_or_else(|| wrong_unit(&typed, T::BOUNDS.name, T::ALLOWED).of(text))?;
    bounded(unit.1(typed.value)).map_err(|fault| fault.of(text))
}

/// A quantity above zero out of typed text.
///
/// # Errors
/// [`Fault::Zero`] for zero, else as [`quantity`].
pub fn above_zero<T: Quantity>(text: &str, units: Units) -> Result<T, NumberError> {
    let value: T = quantity(text, units)?;
    if value.bare() > 0.0 {
        Ok(value)
    } else {
        Err(Fault::Zero.of(text))
    }
}

/// A length as it is keyed on the screen, where one letter stands for its unit: `40 m` is 40 mm. In a
/// file or a command it might be metres, and is refused.
///
/// ```
/// # use anvilside::units::parse::spelt;
/// assert_eq!(spelt("12 i"), "12 in");
/// assert_eq!(spelt("12.5m"), "12.5mm");
/// assert_eq!(spelt("12 kg"), "12 kg");
/// ```
#[must_use]
pub fn spelt(text: &str) -> String {
    let text = text.trim();
    let rest = match number(text).ok().map(|typed| typed.unit).as_deref() {
        Some("m" | "c") => "m",
        Some("i") => "n",
        _ => "",
    };
    format!("{text}{rest}")
}

/// A quantity out of a bare number, in the unit that the shop leaves out.
///
/// # Errors
/// [`Fault::Range`] outside the bounds.
pub fn bare<T: Quantity>(value: f64, units: Units) -> Result<T, Fault> {
    let second = usize::from(units == Units::Inch);
    match T::UNITS.get(second) {
        Some((_, make)) => bounded(make(value)),
        None => Err(Fault::Malformed),
    }
}

impl Quantity for Mm {
    const BOUNDS: Bounds = bounds::LENGTH;
    const ALLOWED: &'static str = "mm, cm or in";
    const UNITS: &'static [Unit<Self>] = &[
        (&["mm", "millimetre", "millimetres", "millimeters"], Self),
        (
            &["in", "inch", "inches", "\"", "\u{201d}", "\u{2033}"],
            Self::from_inch,
        ),
        (&["cm"], |cm| Self(cm * 10.0)),
    ];
    fn bare(self) -> f64 {
        self.0
    }
}

impl Quantity for Grams {
    const BOUNDS: Bounds = bounds::MASS;
    const ALLOWED: &'static str = "g, kg, lb or oz";
    const UNITS: &'static [Unit<Self>] = &[
        (&["g"], Self),
        (&["lb", "lbs", "l"], Self::from_pounds),
        (&["kg", "k"], |kg| Self(kg * 1000.0)),
        (&["oz", "o"], |oz| Self::from_pounds(oz / 16.0)),
    ];
    fn bare(self) -> f64 {
        self.0
    }
}

impl Quantity for Celsius {
    const BOUNDS: Bounds = bounds::TEMPERATURE;
    const ALLOWED: &'static str = "C or F";
    const UNITS: &'static [Unit<Self>] = &[
        (&["c", "\u{b0}c", "degc"], Self),
        (&["f", "\u{b0}f", "degf"], Self::from_fahrenheit),
    ];
    fn bare(self) -> f64 {
        self.0
    }
}

/// Minutes, whatever the shop's lengths are in.
const MINUTES: Unit<Seconds> = (&["min", "m", "minute", "minutes"], |min| {
    Seconds(min * 60.0)
});

impl Quantity for Seconds {
    const BOUNDS: Bounds = bounds::DURATION;
    const ALLOWED: &'static str = "s, min, h or d";
    const UNITS: &'static [Unit<Self>] = &[
        MINUTES,
        MINUTES,
        (&["s", "sec", "second", "seconds"], Self),
        (&["h", "hour", "hours"], |h| Self(h * 3600.0)),
        (&["d", "day", "days"], |d| Self(d * 86_400.0)),
    ];
    fn bare(self) -> f64 {
        self.0
    }
}

/// A share without the sign is a part of one.
const PART: Unit<Fraction> = (&[], |part| Fraction::from_percent(part * 100.0));

impl Quantity for Fraction {
    const BOUNDS: Bounds = bounds::FRACTION;
    const ALLOWED: &'static str = "%";
    const UNITS: &'static [Unit<Self>] = &[PART, PART, (&["%", "percent"], Self::from_percent)];
    fn bare(self) -> f64 {
        self.percent()
    }
}

const TONS: Unit<Kilonewtons> = (&["t", "ton", "tons"], Kilonewtons::from_us_tons);

impl Quantity for Kilonewtons {
    const BOUNDS: Bounds = bounds::FORCE;
    const ALLOWED: &'static str = "tons or kN";
    const UNITS: &'static [Unit<Self>] = &[TONS, TONS, (&["kn"], Self)];
    fn bare(self) -> f64 {
        self.0
    }
}

/// A plain number between limits, with their unit or none.
///
/// # Errors
/// [`NumberError`] for anything else.
pub fn within(text: &str, bounds: &Bounds) -> Result<f64, NumberError> {
    let typed = number(text)?;
    let fault = if !typed.unit.is_empty() && typed.unit != bounds.unit {
        Err(wrong_unit(&typed, bounds.name, bounds.unit))
    } else {
        bounds.check(typed.value)
    };
    fault.map_err(|fault| fault.of(text))
}

/// A count, or two with a dash between: the least and the most that it may be.
///
/// ```
/// # use anvilside::units::parse::count_between;
/// assert_eq!(count_between("121").unwrap(), (121, 121));
/// assert_eq!(count_between("119-123").unwrap(), (119, 123));
/// assert!(count_between("123-119").is_err() && count_between("0").is_err());
/// ```
///
/// # Errors
/// [`NumberError`] for anything else.
pub fn count_between(text: &str) -> Result<(u64, u64), NumberError> {
    let (low, high) = text.split_once('-').unwrap_or((text, text));
    let [low, high] = [count(low.trim())?, count(high.trim())?];
    if low == 0 || low > high {
        return Err(Fault::Malformed.of(text));
    }
    Ok((low, high))
}

/// A whole number without a unit.
///
/// # Errors
/// [`NumberError`] for anything that is not a whole number inside [`bounds::COUNT`].
pub fn count(text: &str) -> Result<u64, NumberError> {
    let typed = number(text)?;
    if !typed.unit.is_empty() || typed.fraction || typed.value.fract() > 0.0 {
        return Err(Fault::Malformed.of(text));
    }
    let value = bounds::COUNT
        .check(typed.value)
        .map_err(|fault| fault.of(text))?;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole, not negative and under 1e15 by the checks above"
    )]
    Ok(value as u64)
}
