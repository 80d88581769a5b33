//! Quantities as text, in the units a shop reads.

use super::{Celsius, Fraction, Grams, Kilonewtons, Mm, Mm3, Seconds, Stamp};

/// The units that a shop works in.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Default,
    serde::Serialize,
    serde::Deserialize,
    strum::IntoStaticStr,
    strum::VariantArray,
)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Units {
    /// Millimetres, grams, Celsius.
    #[default]
    Mm,
    /// Inch fractions, pounds, Fahrenheit.
    Inch,
}

/// Finest fraction of an inch that is written as a fraction.
const INCH_PARTS: f64 = 64.0;

impl Units {
    /// The other system, for the second reading of an echo.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Mm => Self::Inch,
            Self::Inch => Self::Mm,
        }
    }

    /// A size with its unit, as typed (`12.53 mm`, `1-3/8 in`, `0.291 in`) or, where it was worked out, to
    /// the mark of a shop's caliper: a tenth of a millimetre, a hundredth of an inch.
    ///
    /// ```
    /// # use anvilside::units::{Mm, Units};
    /// assert_eq!(Units::Mm.length(Mm(345.5)), "345.5 mm");
    /// assert_eq!(Units::Mm.length(Mm(-0.1382)), "-0.1 mm");
    /// assert_eq!(Units::Inch.length(Mm::from_inch(1.375)), "1-3/8 in");
    /// assert_eq!(Units::Inch.length(Mm::from_inch(0.291)), "0.291 in");
    /// ```
    #[must_use]
    pub fn length(self, value: Mm) -> String {
        format!("{} {}", self.length_bare(value), self.length_unit())
    }

    /// A length too small for a caliper, as a layer or the scale of one heat: to two figures.
    ///
    /// ```
    /// # use anvilside::units::{Mm, Units};
    /// assert_eq!(Units::Mm.fine(Mm(0.0561)), "0.056 mm");
    /// assert_eq!(Units::Mm.fine(Mm(0.3487)), "0.35 mm");
    /// assert_eq!(Units::Inch.fine(Mm(0.0561)), "0.0022 in");
    /// ```
    #[must_use]
    pub fn fine(self, value: Mm) -> String {
        let number = match self {
            Self::Mm => value.0,
            Self::Inch => value.inch(),
        };
        let decimals = match number.abs() {
            n if n >= 1.0 => return self.length(value),
            n if n >= 0.1 => 2,
            n if n >= 0.01 => 3,
            n if n >= 0.001 => 4,
            _ => 5,
        };
        format!("{} {}", trimmed(number, decimals), self.length_unit())
    }

    /// To the nearest whole mm, or sixteenth of an inch: for lengths that are only estimated.
    #[must_use]
    pub fn rounded(self, value: Mm) -> Mm {
        match self {
            Self::Mm => Mm(value.0.round()),
            Self::Inch => Mm::from_inch((value.inch() * 16.0).round() / 16.0),
        }
    }

    /// The word for the length unit.
    #[must_use]
    pub fn length_unit(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "in",
        }
    }

    /// A length without its unit.
    #[must_use]
    pub fn length_bare(self, value: Mm) -> String {
        match self {
            Self::Mm => at_mark(value.0, 2, 1),
            Self::Inch => inch(value.inch()),
        }
    }

    /// Width x thickness x length, one unit at the end.
    #[must_use]
    pub fn size(self, width: Mm, thickness: Mm, length: Mm) -> String {
        format!(
            "{} x {} x {} {}",
            self.length_bare(width),
            self.length_bare(thickness),
            self.length_bare(length),
            self.length_unit()
        )
    }

    /// A mass with its unit, always the one that a bare typed mass is read in.
    #[must_use]
    pub fn mass(self, value: Grams) -> String {
        match self {
            Self::Mm => format!("{} g", trimmed(value.0, 0)),
            Self::Inch => format!("{} lb", fixed(value.pounds(), 2)),
        }
    }

    /// A volume with its unit.
    #[must_use]
    pub fn volume(self, value: Mm3) -> String {
        match self {
            Self::Mm => format!("{} cm3", fixed(value.cubic_cm(), 1)),
            Self::Inch => format!("{} in3", fixed(value.cubic_inch(), 3)),
        }
    }

    /// A temperature with its unit.
    #[must_use]
    pub fn temperature(self, value: Celsius) -> String {
        match self {
            Self::Mm => format!("{} C", trimmed(value.0, 0)),
            Self::Inch => format!("{} F", trimmed(value.fahrenheit(), 0)),
        }
    }

    /// An estimated temperature with its unit, to ten degrees.
    ///
    /// ```
    /// # use anvilside::units::{Celsius, Units};
    /// assert_eq!(Units::Mm.about(Celsius(643.7)), "~640 C");
    /// assert_eq!(Units::Inch.about(Celsius(643.7)), "~1190 F");
    /// ```
    #[must_use]
    pub fn about(self, value: Celsius) -> String {
        let ten = |degrees: f64| trimmed((degrees / 10.0).round() * 10.0, 0);
        match self {
            Self::Mm => format!("~{} C", ten(value.0)),
            Self::Inch => format!("~{} F", ten(value.fahrenheit())),
        }
    }

    /// A force with its unit.
    #[must_use]
    pub fn force(self, value: Kilonewtons) -> String {
        match self {
            Self::Mm => format!("{} kN", trimmed(value.0, 0)),
            Self::Inch => format!("{} US tons", fixed(value.us_tons(), 1)),
        }
    }
}

fn inch(value: f64) -> String {
    let parts = value * INCH_PARTS;
    let nearest = parts.round();
    if (parts - nearest).abs() > 0.02 || nearest < 1.0 || value.abs() > 400.0 {
        return at_mark(value, 3, 2);
    }
    let whole = (nearest / INCH_PARTS).floor();
    let mut upper = nearest - whole * INCH_PARTS;
    if upper < 0.5 {
        return trimmed(whole, 0);
    }
    let mut lower = INCH_PARTS;
    while upper % 2.0 < 0.5 {
        upper /= 2.0;
        lower /= 2.0;
    }
    if whole > 0.0 {
        format!(
            "{}-{}/{}",
            trimmed(whole, 0),
            trimmed(upper, 0),
            trimmed(lower, 0)
        )
    } else {
        format!("{}/{}", trimmed(upper, 0), trimmed(lower, 0))
    }
}

/// A number that ends at the `typed` decimal as it is, any other to the `mark` of an instrument.
fn at_mark(value: f64, typed: usize, mark: usize) -> String {
    let exact = |decimals: usize| {
        let text = trimmed(value, decimals);
        let back = text.parse::<f64>().unwrap_or(f64::NAN);
        (back - value).abs() <= 1e-9 * value.abs().max(1.0)
    };
    trimmed(value, if exact(typed) { typed } else { mark })
}

/// A count with its word: `1 heat`, `~3 heats`, `1 to 2 heats`.
///
/// ```
/// # use anvilside::units::show::counted;
/// assert_eq!(counted(1, "heat"), "1 heat");
/// assert_eq!(counted("0 to 1", "heat"), "0 to 1 heats");
/// ```
#[must_use]
pub fn counted(count: impl std::fmt::Display, one: &str) -> String {
    let count = count.to_string();
    let many = if count.trim_start_matches('~') == "1" {
        ""
    } else {
        "s"
    };
    format!("{count} {one}{many}")
}

/// A number with a fixed count of decimals; never `-0`.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let zero = text
        .trim_start_matches('-')
        .chars()
        .all(|c| matches!(c, '0' | '.'));
    if zero {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// A number with at most so many decimals and no trailing zeros.
///
/// ```
/// # use anvilside::units::show::trimmed;
/// assert_eq!(trimmed(14.0, 1), "14");
/// assert_eq!(trimmed(-0.001, 1), "0");
/// ```
#[must_use]
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A percentage.
#[must_use]
pub fn percent(value: Fraction, decimals: usize) -> String {
    format!("{} %", fixed(value.percent(), decimals))
}

/// A span as a clock face: `0:45`, `12:03`, `2:05:00`.
///
/// ```
/// # use anvilside::units::{Seconds, show::clock};
/// assert_eq!(clock(Seconds(45.0)), "0:45");
/// assert_eq!(clock(Seconds(7500.0)), "2:05:00");
/// ```
#[must_use]
pub fn clock(span: Seconds) -> String {
    let sign = if span.0 <= -1.0 { "-" } else { "" };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "absolute value; float to int casts saturate"
    )]
    let total = span.0.abs() as u64;
    let (hours, minutes, seconds) = (total / 3600, total / 60 % 60, total % 60);
    if hours > 0 {
        format!("{sign}{hours}:{minutes:02}:{seconds:02}")
    } else {
        format!("{sign}{minutes}:{seconds:02}")
    }
}

/// A span in words: `45 s`, `12 min`, `3 h 10 min`, `2 days`.
#[must_use]
pub fn span(span: Seconds) -> String {
    let s = span.0.abs();
    if s < 90.0 {
        format!("{} s", trimmed(s, 0))
    } else if s < 5400.0 {
        format!("{} min", trimmed(s / 60.0, 0))
    } else if s < 172_800.0 {
        let minutes = (s / 60.0).round();
        let hours = (minutes / 60.0).floor();
        let rest = minutes - hours * 60.0;
        if rest < 0.5 {
            format!("{} h", trimmed(hours, 0))
        } else {
            format!("{} h {} min", trimmed(hours, 0), trimmed(rest, 0))
        }
    } else {
        format!("{} days", trimmed(s / 86_400.0, 0))
    }
}

/// Wall-clock hours and minutes at so many minutes ahead of UTC.
#[must_use]
pub fn wall(at: Stamp, offset_minutes: i32) -> String {
    let local = at.plus(Seconds(f64::from(offset_minutes) * 60.0));
    let minutes = local.0.div_euclid(60_000).rem_euclid(1440);
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// A count with thin grouping left out: plain digits up to a million, then a power of ten.
#[must_use]
pub fn count(value: u128) -> String {
    if value < 10_000_000 {
        return value.to_string();
    }
    #[expect(clippy::cast_precision_loss, reason = "shown to three figures")]
    let v = value as f64;
    format!("{v:.2e}")
}

/// Both counts of layers: by the multiplication, and as seen.
#[must_use]
pub fn layers(nominal: u128, bands: u128) -> String {
    format!(
        "{} nominal / {}",
        count(nominal),
        counted(count(bands), "band")
    )
}

/// True for characters that command a terminal or turn the order of what stands beside them: controls
/// of both sets, bidirectional marks, and the separators of lines and paragraphs (Unicode, general
/// categories Cc, Zl and Zp, and the property `Bidi_Control`).
#[must_use]
pub fn commands(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
        )
}

/// Text of several lines made safe to write: what commands a terminal becomes `?`, tabs and ends of
/// lines stay.
///
/// ```
/// # use anvilside::units::show::safe;
/// assert_eq!(safe("a\u{1b}[31mb\u{202e}c\n"), "a?[31mb?c\n");
/// ```
#[must_use]
pub fn safe(text: &str) -> String {
    let plain = |c: char| match c {
        '\n' | '\t' => c,
        c if commands(c) => '?',
        c => c,
    };
    text.chars().map(plain).collect()
}

/// Text from outside made safe to draw: control characters, bidirectional marks and other
/// characters of no width become `?`, and it is cut to `width` columns.
///
/// ```
/// # use anvilside::units::show::plain;
/// assert_eq!(plain("a\u{1b}[31mb", 20), "a?[31mb");
/// ```
#[must_use]
pub fn plain(text: &str, width: usize) -> String {
    use unicode_width::UnicodeWidthChar;
    let mut out = String::new();
    let mut used = 0;
    for c in text.chars() {
        let (c, columns) = match c.width() {
            Some(columns) if columns > 0 && !commands(c) => (c, columns),
            _ => ('?', 1),
        };
        if used + columns > width {
            break;
        }
        used += columns;
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_worked_size_ends_at_the_calipers_mark_and_a_typed_one_stays() {
        let metric = |mm: f64| Units::Mm.length(Mm(mm));
        assert_eq!(metric(-0.138), "-0.1 mm");
        assert_eq!(metric(9.973_214), "10 mm");
        assert_eq!(metric(3.25), "3.25 mm");
        assert_eq!(metric(12.53), "12.53 mm");
        assert_eq!(metric(59.486), "59.5 mm");
        let inch = |inch: f64| Units::Inch.length(Mm::from_inch(inch));
        assert_eq!(inch(0.118_11), "0.12 in");
        assert_eq!(inch(0.118), "0.118 in");
        assert_eq!(inch(1.5), "1-1/2 in");
        assert_eq!(inch(-0.138_27), "-0.14 in");
    }

    #[test]
    fn a_mass_is_shown_in_the_unit_that_a_bare_one_is_read_in() {
        for units in [Units::Mm, Units::Inch] {
            for grams in [0.9, 350.0, 1583.0, 12_400.0] {
                let shown = units.mass(Grams(grams));
                let bare = shown.split(' ').next().unwrap_or_default();
                let read = super::super::parse::quantity::<Grams>(bare, units);
                let back = units.mass(read.unwrap_or_default());
                assert_eq!(shown, back);
            }
        }
    }

    #[test]
    fn one_is_one_and_two_are_many() {
        assert_eq!(counted(1, "heat"), "1 heat");
        assert_eq!(counted("~1", "heat"), "~1 heat");
        assert_eq!(counted("~3", "heat"), "~3 heats");
        assert_eq!(layers(1, 1), "1 nominal / 1 band");
    }
}
