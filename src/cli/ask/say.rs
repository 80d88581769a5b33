//! Figures as words: in the units asked for, with the other system in brackets behind.

use crate::physics::Spread;
use crate::units::{Celsius, Seconds, Units, show};

/// What a figure measures; given in the metric unit of the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// mm, or inches.
    Length,
    /// g (kg from a thousand), or lb.
    Mass,
    /// mm3 shown as cm3, or cubic inches.
    Volume,
    /// C, or F.
    Temperature,
    /// A difference in kelvin, shown as C, or F.
    Difference,
    /// kN, or US tons.
    Force,
    /// J, or ft lbf.
    Energy,
    /// g/cm3, or lb/in3.
    Density,
}

/// Joules in one foot-pound-force: 0.3048 m times 4.448 221 615 260 5 N, both exact by definition.
const JOULES_PER_FOOT_POUND: f64 = 0.3048 * 4.448_221_615_260_5;
/// Grams per cubic centimetre in one pound per cubic inch: 453.592 37 g over 16.387 064 cm3.
const GRAMS_PER_CM3: f64 = 453.592_37 / 16.387_064;

impl Kind {
    /// The word for the unit and what turns the metric figure into it, for a figure about this big.
    fn unit(self, units: Units, size: f64) -> (&'static str, fn(f64) -> f64) {
        match (self, units) {
            (Self::Length, Units::Mm) => ("mm", |v| v),
            (Self::Length, Units::Inch) => ("in", |v| v / 25.4),
            (Self::Mass, Units::Mm) if size.abs() >= 1000.0 => ("kg", |v| v / 1000.0),
            (Self::Mass, Units::Mm) => ("g", |v| v),
            (Self::Mass, Units::Inch) => ("lb", |v| v / 453.592_37),
            (Self::Volume, Units::Mm) => ("cm3", |v| v / 1000.0),
            (Self::Volume, Units::Inch) => ("in3", |v| v / 16_387.064),
            (Self::Temperature, Units::Mm) => ("C", |v| v),
            (Self::Temperature, Units::Inch) => ("F", |v| Celsius(v).fahrenheit()),
            (Self::Difference, Units::Mm) => ("C", |v| v),
            (Self::Difference, Units::Inch) => ("F", |v| v * 1.8),
            (Self::Force, Units::Mm) => ("kN", |v| v),
            (Self::Force, Units::Inch) => ("US tons", |v| crate::units::Kilonewtons(v).us_tons()),
            (Self::Energy, Units::Mm) => ("J", |v| v),
            (Self::Energy, Units::Inch) => ("ft lbf", |v| v / JOULES_PER_FOOT_POUND),
            (Self::Density, Units::Mm) => ("g/cm3", |v| v),
            (Self::Density, Units::Inch) => ("lb/in3", |v| v / GRAMS_PER_CM3),
        }
    }

    fn number(self, value: f64, figures: i32) -> String {
        match self {
            Self::Temperature | Self::Difference => show::trimmed(value, 0),
            _ => number(value, figures),
        }
    }

    /// Decimals of a figure and its range.
    fn decimals(self, best: f64, figures: i32) -> usize {
        match self {
            Self::Temperature | Self::Difference => 0,
            _ => decimals(rounded(best, figures), figures),
        }
    }
}

/// How answers are worded.
#[derive(Debug, Clone, Copy)]
pub(super) struct Say {
    /// The units that come first.
    pub(super) units: Units,
}

impl Say {
    /// A figure without a range, both systems: `98.45 mm [3.876 in]`.
    pub(super) fn both(self, kind: Kind, value: f64, figures: i32) -> String {
        let own = one(self.units, kind, value, figures);
        let other = one(self.units.other(), kind, value, figures);
        format!("{own} [{other}]")
    }

    /// A figure with its range, both systems: `98.4 mm (98.3 to 98.6) [3.87 in (3.87 to 3.88)]`.
    pub(super) fn ranged(self, kind: Kind, spread: Spread, figures: i32) -> String {
        let own = with_band(self.units, kind, spread, figures);
        let other = with_band(self.units.other(), kind, spread, figures);
        format!("{own} [{other}]")
    }

    /// From one value to another, both systems: `790 to 820 C [1454 to 1508 F]`.
    pub(super) fn span(self, kind: Kind, low: f64, high: f64, figures: i32) -> String {
        let one_way = |units: Units| {
            let (word, turn) = kind.unit(units, high);
            let low = kind.number(turn(low), figures);
            let high = kind.number(turn(high), figures);
            if low == high {
                format!("{low} {word}")
            } else {
                format!("{low} to {high} {word}")
            }
        };
        format!("{} [{}]", one_way(self.units), one_way(self.units.other()))
    }

    /// A section as typed: `40 x 20 mm`.
    pub(super) fn size(self, sides: &[f64]) -> String {
        let bare: Vec<String> = sides
            .iter()
            .map(|side| self.units.length_bare(crate::units::Mm(*side)))
            .collect();
        format!("{} {}", bare.join(" x "), self.units.length_unit())
    }

    /// A temperature as typed.
    pub(super) fn temperature(self, at: Celsius) -> String {
        self.units.temperature(at)
    }
}

fn one(units: Units, kind: Kind, value: f64, figures: i32) -> String {
    let (word, turn) = kind.unit(units, value);
    format!("{} {word}", kind.number(turn(value), figures))
}

fn with_band(units: Units, kind: Kind, spread: Spread, figures: i32) -> String {
    let (word, turn) = kind.unit(units, spread.best);
    let decimals = kind.decimals(turn(spread.best), figures);
    let [low, best, high] =
        [spread.low, spread.best, spread.high].map(|v| show::fixed(turn(v), decimals));
    format!("{best} {word} ({low} to {high})")
}

/// A number with its range and a unit that both systems share.
pub(super) fn shared(spread: Spread, unit: &str, figures: i32) -> String {
    let decimals = decimals(rounded(spread.best, figures), figures);
    let [low, best, high] =
        [spread.low, spread.best, spread.high].map(|v| show::fixed(v, decimals));
    format!("{best} {unit} ({low} to {high})")
}

/// A time with its range, in seconds up to two minutes and in minutes beyond.
pub(super) fn time(seconds: Spread) -> String {
    if seconds.best < 120.0 {
        shared(seconds, "s", 2)
    } else if seconds.best < 7200.0 {
        shared(seconds.scaled(1.0 / 60.0), "min", 2)
    } else {
        shared(seconds.scaled(1.0 / 3600.0), "h", 2)
    }
}

/// A time as it was given: `90 s`, `2 min 30 s`, `1 h 10 min`.
pub(super) fn given(time: Seconds) -> String {
    let whole = time.0.round();
    let (hours, minutes) = ((whole / 3600.0).floor(), (whole / 60.0).floor() % 60.0);
    let parts = [(hours, "h"), (minutes, "min"), (whole % 60.0, "s")];
    if whole < 120.0 || (time.0 - whole).abs() > 1e-6 {
        return format!("{} s", show::trimmed(time.0, 3));
    }
    let told = parts.into_iter().filter(|(count, _)| *count > 0.0);
    let told: Vec<String> = told
        .map(|(count, unit)| format!("{} {unit}", show::trimmed(count, 0)))
        .collect();
    told.join(" ")
}

/// A number to so many figures, without trailing zeros or a power of ten.
pub(super) fn number(value: f64, figures: i32) -> String {
    if !value.is_finite() {
        return "unknown".to_owned();
    }
    let rounded = rounded(value, figures);
    show::trimmed(rounded, decimals(rounded, figures))
}

/// A number rounded to so many figures.
pub(super) fn rounded(value: f64, figures: i32) -> f64 {
    if value.abs() < 1e-300 || !value.is_finite() {
        return value;
    }
    let digits = usize::try_from(figures - 1).unwrap_or(0);
    format!("{value:.digits$e}").parse().unwrap_or(value)
}

fn decimals(value: f64, figures: i32) -> usize {
    if value.abs() < 1e-9 {
        return 0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the exponent of a double fits"
    )]
    let before = value.abs().log10().floor() as i32;
    usize::try_from(figures - 1 - before).unwrap_or(0).min(12)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_systems_stand_side_by_side() {
        let mm = Say { units: Units::Mm };
        let inch = Say { units: Units::Inch };
        let spread = Spread::around(25.4, 0.1);
        assert_eq!(
            mm.ranged(Kind::Length, spread, 3),
            "25.4 mm (22.9 to 27.9) [1.00 in (0.90 to 1.10)]"
        );
        assert_eq!(inch.both(Kind::Temperature, 100.0, 3), "212 F [100 C]");
        assert_eq!(inch.both(Kind::Difference, 20.0, 3), "36 F [20 C]");
        assert_eq!(mm.both(Kind::Mass, 1583.0, 3), "1.58 kg [3.49 lb]");
        assert_eq!(
            mm.span(Kind::Temperature, 790.0, 820.0, 3),
            "790 to 820 C [1454 to 1508 F]"
        );
    }

    #[test]
    fn numbers_show_so_many_figures_and_no_more() {
        assert_eq!(number(98.4512, 4), "98.45");
        assert_eq!(number(0.025_24, 3), "0.0252");
        assert_eq!(number(123_456.0, 3), "123000");
        assert_eq!(number(9.996, 3), "10");
        assert_eq!(number(0.0, 3), "0");
        assert_eq!(number(f64::NAN, 3), "unknown");
    }

    #[test]
    fn times_come_in_the_unit_that_suits() {
        assert_eq!(time(Spread::around(57.8, 0.1)), "58 s (52 to 64)");
        assert_eq!(time(Spread::around(376.0, 0.1)), "6.3 min (5.6 to 6.9)");
        assert_eq!(time(Spread::around(9000.0, 0.2)), "2.5 h (2.0 to 3.0)");
    }

    #[test]
    fn a_foot_pound_is_what_the_definitions_make_it() {
        // NIST SP 811, appendix B: 1 ft lbf = 1.355 818 J; 1 lb/in3 = 27.679 90 g/cm3 (from memory).
        assert!((JOULES_PER_FOOT_POUND - 1.355_818).abs() < 1e-6);
        assert!((GRAMS_PER_CM3 - 27.679_90).abs() < 1e-5);
    }
}
