//! Why a question has no answer, as one sentence in the units asked for.

use crate::metal::UnknownSteel;
use crate::physics::reach::NotAustenite;
use crate::physics::section::SectionError;
use crate::physics::{OutOfRange, Range, draw_plan::NoPlan};
use crate::units::{Celsius, Units, show};

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Refused {
    /// A sentence.
    Said(String),
    /// An input outside the range of a law.
    Range(OutOfRange),
    /// A temperature that is never reached, C.
    Never(f64),
    /// A steel that is not austenite at a temperature, C.
    Structure(String, f64, NotAustenite),
}

/// What else a steel is, and up to where.
pub(super) fn left(why: NotAustenite, units: Units) -> String {
    let (what, end) = match why {
        NotAustenite::Melts(end) => ("it begins to melt at about", end),
        NotAustenite::Ferrite(end) => ("ferrite is left in it up to about", end),
        NotAustenite::Carbide(end) => ("carbide is left in it up to about", end),
    };
    format!("{what} {}", units.temperature(Celsius(end)))
}

impl Refused {
    /// A sentence.
    pub(super) fn say(text: impl Into<String>) -> Self {
        Self::Said(text.into())
    }

    /// The sentence, in these units.
    pub(super) fn text(&self, units: Units) -> String {
        match self {
            Self::Said(text) => text.clone(),
            Self::Range(range) => outside(range, units),
            Self::Never(celsius) => format!(
                "the section never gets to {} there; ask for a temperature that the surroundings allow",
                units.temperature(Celsius(*celsius))
            ),
            Self::Structure(steel, at, why) => {
                format!(
                    "{steel} is not plain austenite at {}, where diffusion of carbon holds: {}",
                    units.temperature(Celsius(*at)),
                    left(*why, units)
                )
            }
        }
    }
}

/// The law's own sentence, in inches and Fahrenheit where those are asked for.
fn outside(refused: &OutOfRange, units: Units) -> String {
    let Range {
        law,
        name,
        unit,
        least,
        greatest,
    } = refused.range;
    let (word, turn): (&str, fn(f64) -> f64) = match (units, unit) {
        (Units::Inch, "mm") => ("in", |v| v / 25.4),
        (Units::Inch, "C") => ("F", |v| Celsius(v).fahrenheit()),
        (Units::Inch, "g") => ("lb", |v| v / 453.592_37),
        (Units::Inch, "K") => ("F", |v| v * 1.8),
        (Units::Mm, "K") => ("C", |v| v),
        (Units::Inch, "mm2") => ("in2", |v| v / 645.16),
        _ => (unit, |v| v),
    };
    let number = |value: f64| {
        let turned = turn(value);
        // What is just short of a limit must not read as the limit.
        let near = [least, greatest]
            .iter()
            .any(|end| (turn(*end) - turned).abs() < 5e-4 && (end - value).abs() > 0.0);
        show::trimmed(turned, if near { 9 } else { 3 })
    };
    let behind = if word.is_empty() {
        String::new()
    } else {
        format!(" {word}")
    };
    format!(
        "{name} {}{behind} is outside {} to {}{behind}, where {law} holds",
        number(refused.value),
        number(least),
        number(greatest)
    )
}

impl From<OutOfRange> for Refused {
    fn from(why: OutOfRange) -> Self {
        Self::Range(why)
    }
}

impl From<SectionError> for Refused {
    fn from(why: SectionError) -> Self {
        match why {
            SectionError::OutOfRange(range) => Self::Range(range),
            SectionError::Never(celsius) => Self::Never(celsius),
            SectionError::Surroundings => Self::Said(why.to_string()),
        }
    }
}

impl From<NoPlan> for Refused {
    fn from(why: NoPlan) -> Self {
        match why {
            NoPlan::Range(range) => Self::Range(range),
            other => Self::Said(other.to_string()),
        }
    }
}

impl From<UnknownSteel> for Refused {
    fn from(why: UnknownSteel) -> Self {
        Self::Said(format!("{why}; or give an analysis, as 'c=0.8 mn=0.4'"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::flow_stress::TEMPERATURE;

    #[test]
    fn a_range_reads_in_the_units_asked_for() {
        let why = Refused::from(TEMPERATURE.check(400.0).unwrap_err());
        assert_eq!(
            why.text(Units::Mm),
            "temperature 400 C is outside 700 to 1300 C, where hot flow stress holds"
        );
        assert_eq!(
            why.text(Units::Inch),
            "temperature 752 F is outside 1292 to 2372 F, where hot flow stress holds"
        );
    }
}
