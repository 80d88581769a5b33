//! What kind of number an item of a card asks for, typed and shown in the plan's units.

use crate::units::bounds::{self, Bounds};
use crate::units::{Celsius, Mm, NumberError, Units, parse, show};

/// A number that an item asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// A temperature, held in C.
    Temperature,
    /// A length, held in mm.
    Length,
    /// The pieces of the pile in hand.
    Pieces,
    /// Parts of gas in a million parts of air.
    Ppm,
}

impl Quantity {
    /// The quantity whose limits the file of cautions writes in this unit.
    pub(super) fn of(unit: &str) -> Option<Self> {
        [
            (Self::Temperature, "C"),
            (Self::Length, "mm"),
            (Self::Pieces, "pieces"),
            (Self::Ppm, "ppm"),
        ]
        .into_iter()
        .find_map(|(one, word)| (word == unit).then_some(one))
    }

    /// The unit that a bare number is taken in.
    #[must_use]
    pub fn unit(self, units: Units) -> &'static str {
        match (self, units) {
            (Self::Temperature, Units::Mm) => "C",
            (Self::Temperature, Units::Inch) => "F",
            (Self::Length, _) => units.length_unit(),
            (Self::Pieces, _) => "pieces",
            (Self::Ppm, _) => "ppm",
        }
    }

    /// A typed answer, in C, mm, pieces or ppm; a bare number is in the plan's unit.
    ///
    /// ```
    /// use anvilside::{plan::Quantity, units::Units};
    /// assert_eq!(Quantity::Length.read("1/4", Units::Inch).unwrap(), 6.35);
    /// assert_eq!(Quantity::Temperature.read("122 F", Units::Mm).unwrap(), 50.0);
    /// assert!(Quantity::Ppm.read("3 mm", Units::Mm).is_err());
    /// ```
    ///
    /// # Errors
    /// [`NumberError`] for what is not this quantity.
    pub fn read(self, text: &str, units: Units) -> Result<f64, NumberError> {
        match self {
            Self::Temperature => Ok(parse::quantity::<Celsius>(text, units)?.0),
            Self::Length => Ok(parse::quantity::<Mm>(&parse::spelt(text), units)?.0),
            Self::Pieces | Self::Ppm => {
                let within = Bounds {
                    name: match self {
                        Self::Pieces => "a count of pieces",
                        _ => "a reading of gas",
                    },
                    unit: self.unit(units),
                    ..bounds::COUNT
                };
                parse::within(text, &within)
            }
        }
    }

    /// The answer as it is journalled: the number as typed, with its unit written out.
    ///
    /// ```
    /// use anvilside::{plan::Quantity, units::Units};
    /// assert_eq!(Quantity::Length.written("1/8", Units::Inch), "1/8 in");
    /// assert_eq!(Quantity::Temperature.written("50c", Units::Inch), "50 C");
    /// ```
    #[must_use]
    pub fn written(self, text: &str, units: Units) -> String {
        let unit_at = |c: char| !(c.is_ascii_digit() || " .,/-".contains(c));
        let cut = text.find(unit_at).unwrap_or(text.len());
        let (number, unit) = text.split_at(cut);
        let unit = match (self, unit.trim().to_lowercase().chars().next()) {
            (_, None) | (Self::Pieces | Self::Ppm, _) => self.unit(units),
            (Self::Temperature, Some('f')) => "F",
            (Self::Temperature, _) => "C",
            (Self::Length, Some('m')) => "mm",
            (Self::Length, Some('c')) => "cm",
            (Self::Length, _) => "in",
        };
        format!("{} {unit}", number.trim())
    }

    /// The value with the plan's unit.
    #[must_use]
    pub fn show(self, value: f64, units: Units) -> String {
        let number = match (self, units) {
            (Self::Temperature, Units::Inch) => show::trimmed(Celsius(value).fahrenheit(), 1),
            (Self::Temperature, Units::Mm) => show::trimmed(value, 1),
            (Self::Length, _) => units.length_bare(Mm(value)),
            (Self::Pieces | Self::Ppm, _) => show::trimmed(value, 3),
        };
        format!("{number} {}", self.unit(units))
    }
}
