//! A number for block digits, and what it says.

use super::model::Tone;
use crate::units::{Celsius, Seconds, Units, show};

/// A number for block digits, and what it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Headline {
    /// Digits and unit, as short as can be: `14 mm`, `0:42`, `4/9`.
    pub digits: String,
    /// What it is, in words.
    pub label: String,
    /// How loud.
    pub tone: Tone,
    /// What is left of it, 0 to 1, where a bar beside the digits says it too.
    pub left: Option<f64>,
}

impl Headline {
    pub(super) fn new(digits: impl Into<String>, label: impl Into<String>, tone: Tone) -> Self {
        Self {
            digits: digits.into(),
            label: label.into(),
            tone,
            left: None,
        }
    }

    /// A time that runs out, with its bar.
    pub(super) fn running(left: Seconds, whole: f64, label: String, tone: Tone) -> Self {
        let share = left.0 / whole.max(1.0);
        Self {
            left: Some(share.clamp(0.0, 1.0)),
            ..Self::new(show::clock(left.max(Seconds::ZERO)), label, tone)
        }
    }

    /// A temperature.
    pub(super) fn heat(units: Units, at: Celsius, label: impl Into<String>, tone: Tone) -> Self {
        let (value, unit) = match units {
            Units::Mm => (at.0, "C"),
            Units::Inch => (at.fahrenheit(), "F"),
        };
        Self::new(format!("{} {unit}", show::trimmed(value, 0)), label, tone)
    }
}
