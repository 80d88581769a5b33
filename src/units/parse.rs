//! What a smith types, read as a number with a unit.
//!
//! Point or comma decimals; whole numbers, fractions and mixed numbers (`1-3/8`, `1 3/8`, `1.375`);
//! a unit behind the number or the caller's default. Anything doubtful is refused with a reason:
//! two separators, a bare fraction bar, a stray sign, a thousands separator.

pub use super::DefaultLength;
use super::bounds::{self, Bounds};
use super::{Celsius, Fraction, Grams, Kilonewtons, Mm, Seconds};

/// Why a typed number was not taken, as a sentence to the smith.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NumberError {
    /// Nothing was typed.
    #[error("nothing typed; type a number")]
    Empty,
    /// It does not read as a number.
    #[error("'{0}' is not a number; write 40, 12.5, 12,5, 3/8 or 1-3/8")]
    Malformed(String),
    /// It is below zero.
    #[error("'{0}' is below zero; write it without the minus")]
    Negative(String),
    /// The unit is not one that fits here.
    #[error("'{unit}' is not a unit of {what}; use {allowed}")]
    Unit {
        /// The unit as typed.
        unit: String,
        /// The quantity in words.
        what: &'static str,
        /// The units that would do.
        allowed: &'static str,
    },
    /// Outside the range that can be meant.
    #[error("{value} {unit} is outside what {what} can be here ({least} to {greatest} {unit})")]
    Range {
        /// The value, in the unit of the bounds.
        value: String,
        /// Unit of the bounds.
        unit: &'static str,
        /// The quantity in words.
        what: &'static str,
        /// Smallest accepted.
        least: String,
        /// Largest accepted.
        greatest: String,
    },
    /// A fraction whose lower number is zero, or whose upper is not smaller in a mixed number.
    #[error("'{0}' is not a fraction a rule can show; write 3/8 or 1-3/8")]
    Fraction(String),
}

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
        return Err(NumberError::Empty);
    }
    if let Some(rest) = text.strip_prefix(['-', '\u{2212}'])
        && rest.starts_with(|c: char| c.is_ascii_digit())
    {
        return Err(NumberError::Negative(shorten(text)));
    }
    let bad = || NumberError::Malformed(shorten(text));
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
        (
            mixed(digits).ok_or_else(|| NumberError::Fraction(shorten(digits)))?,
            true,
        )
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

fn shorten(text: &str) -> String {
    super::show::plain(text, 24)
}

fn bounded(value: f64, bounds: &Bounds) -> Result<f64, NumberError> {
    if bounds.hold(value) {
        return Ok(value);
    }
    Err(NumberError::Range {
        value: super::show::trimmed(value, 2),
        unit: bounds.unit,
        what: bounds.name,
        least: super::show::trimmed(bounds.least, 2),
        greatest: super::show::trimmed(bounds.greatest, 2),
    })
}

fn wrong_unit(typed: &Typed, bounds: &Bounds, allowed: &'static str) -> NumberError {
    NumberError::Unit {
        unit: shorten(&typed.unit),
        what: bounds.name,
        allowed,
    }
}

/// A length: `40 mm`, `1-3/8 in`, `0.5 cm`, `2"`; a bare number is in `default`.
///
/// ```
/// # use anvilside::units::{Mm, parse::{DefaultLength, length}};
/// assert_eq!(length("1-3/8 in", DefaultLength::Mm).unwrap(), Mm(34.925));
/// assert_eq!(length("0.5 cm", DefaultLength::Inch).unwrap(), Mm(5.0));
/// ```
///
/// # Errors
/// [`NumberError`] for anything that is not a length inside [`bounds::LENGTH`].
pub fn length(text: &str, default: DefaultLength) -> Result<Mm, NumberError> {
    let typed = number(text)?;
    let mm = match typed.unit.as_str() {
        "" => match default {
            DefaultLength::Mm => typed.value,
            DefaultLength::Inch => Mm::from_inch(typed.value).0,
        },
        "mm" | "m" | "millimetre" | "millimetres" | "millimeters" => typed.value,
        "cm" | "c" => typed.value * 10.0,
        "in" | "i" | "inch" | "inches" | "\"" | "\u{201d}" | "\u{2033}" => {
            Mm::from_inch(typed.value).0
        }
        _ => return Err(wrong_unit(&typed, &bounds::LENGTH, "mm, cm or in")),
    };
    bounded(mm, &bounds::LENGTH).map(Mm)
}

/// A mass: `1.2 kg`, `1583 g`, `2.88 lb`, `12 oz`; a bare number is in grams, or pounds for inch shops.
///
/// # Errors
/// [`NumberError`] for anything that is not a mass inside [`bounds::MASS`].
pub fn mass(text: &str, default: DefaultLength) -> Result<Grams, NumberError> {
    let typed = number(text)?;
    let grams = match typed.unit.as_str() {
        "" => match default {
            DefaultLength::Mm => typed.value,
            DefaultLength::Inch => Grams::from_pounds(typed.value).0,
        },
        "g" => typed.value,
        "kg" | "k" => typed.value * 1000.0,
        "lb" | "lbs" | "l" => Grams::from_pounds(typed.value).0,
        "oz" | "o" => Grams::from_pounds(typed.value / 16.0).0,
        _ => return Err(wrong_unit(&typed, &bounds::MASS, "g, kg, lb or oz")),
    };
    bounded(grams, &bounds::MASS).map(Grams)
}

/// A temperature: `815 C`, `1500 F`; a bare number is Celsius, or Fahrenheit for inch shops.
///
/// # Errors
/// [`NumberError`] for anything that is not a temperature inside [`bounds::TEMPERATURE`].
pub fn temperature(text: &str, default: DefaultLength) -> Result<Celsius, NumberError> {
    let typed = number(text)?;
    let celsius = match typed.unit.as_str() {
        "" => match default {
            DefaultLength::Mm => typed.value,
            DefaultLength::Inch => Celsius::from_fahrenheit(typed.value).0,
        },
        "c" | "°c" | "degc" => typed.value,
        "f" | "°f" | "degf" => Celsius::from_fahrenheit(typed.value).0,
        _ => return Err(wrong_unit(&typed, &bounds::TEMPERATURE, "C or F")),
    };
    bounded(celsius, &bounds::TEMPERATURE).map(Celsius)
}

/// A time: `10 min`, `90 s`, `2 h`, `1 h`; a bare number is minutes.
///
/// # Errors
/// [`NumberError`] for anything that is not a time inside [`bounds::DURATION`].
pub fn duration(text: &str) -> Result<Seconds, NumberError> {
    let typed = number(text)?;
    let seconds = match typed.unit.as_str() {
        "" | "min" | "m" | "minute" | "minutes" => typed.value * 60.0,
        "s" | "sec" | "second" | "seconds" => typed.value,
        "h" | "hour" | "hours" => typed.value * 3600.0,
        "d" | "day" | "days" => typed.value * 86_400.0,
        _ => return Err(wrong_unit(&typed, &bounds::DURATION, "s, min, h or d")),
    };
    bounded(seconds, &bounds::DURATION).map(Seconds)
}

/// A share: `4 %` (or `0.04` without the sign).
///
/// # Errors
/// [`NumberError`] for anything that is not a share from 0 to 100 %.
pub fn fraction(text: &str) -> Result<Fraction, NumberError> {
    let typed = number(text)?;
    let percent = match typed.unit.as_str() {
        "" => typed.value * 100.0,
        "%" | "percent" => typed.value,
        _ => return Err(wrong_unit(&typed, &bounds::FRACTION, "%")),
    };
    bounded(percent, &bounds::FRACTION).map(Fraction::from_percent)
}

/// A force: `25 t` (US tons, as presses are rated), `222 kN`; a bare number is US tons.
///
/// # Errors
/// [`NumberError`] for anything that is not a force inside [`bounds::FORCE`].
pub fn force(text: &str) -> Result<Kilonewtons, NumberError> {
    let typed = number(text)?;
    let kn = match typed.unit.as_str() {
        "" | "t" | "ton" | "tons" => Kilonewtons::from_us_tons(typed.value).0,
        "kn" => typed.value,
        _ => return Err(wrong_unit(&typed, &bounds::FORCE, "tons or kN")),
    };
    bounded(kn, &bounds::FORCE).map(Kilonewtons)
}

/// A whole number without a unit.
///
/// # Errors
/// [`NumberError`] for anything that is not a whole number inside [`bounds::COUNT`].
pub fn count(text: &str) -> Result<u64, NumberError> {
    let typed = number(text)?;
    if !typed.unit.is_empty() || typed.fraction || typed.value.fract() > 0.0 {
        return Err(NumberError::Malformed(shorten(text)));
    }
    let value = bounded(typed.value, &bounds::COUNT)?;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole, not negative and under 1e15 by the checks above"
    )]
    Ok(value as u64)
}
