//! One row per quantity that a person can type: its name in words, its unit, least and greatest.
//! Every out-of-range sentence is built from these rows.

use super::show;

/// What a typed number may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// The quantity in words, as it reads in a sentence: "a length".
    pub name: &'static str,
    /// The unit that `least` and `greatest` are in.
    pub unit: &'static str,
    /// Smallest value accepted.
    pub least: f64,
    /// Largest value accepted.
    pub greatest: f64,
}

/// Lengths, from a caliper's last digit to the longest bar a shop could carry.
pub const LENGTH: Bounds = Bounds {
    name: "a length",
    unit: "mm",
    least: 0.0,
    greatest: 20_000.0,
};
/// Masses.
pub const MASS: Bounds = Bounds {
    name: "a mass",
    unit: "g",
    least: 0.0,
    greatest: 500_000.0,
};
/// Temperatures.
pub const TEMPERATURE: Bounds = Bounds {
    name: "a temperature",
    unit: "C",
    least: -60.0,
    greatest: 1600.0,
};
/// Durations.
pub const DURATION: Bounds = Bounds {
    name: "a time",
    unit: "s",
    least: 0.0,
    greatest: 60.0 * 86_400.0,
};
/// Shares of a whole.
pub const FRACTION: Bounds = Bounds {
    name: "a share",
    unit: "%",
    least: 0.0,
    greatest: 100.0,
};
/// Forces.
pub const FORCE: Bounds = Bounds {
    name: "a force",
    unit: "kN",
    least: 0.0,
    greatest: 100_000.0,
};
/// Counts of pieces, heats, turns or bands.
pub const COUNT: Bounds = Bounds {
    name: "a count",
    unit: "",
    least: 0.0,
    greatest: 1e15,
};

impl Eq for Bounds {}

impl Bounds {
    /// Least and greatest with their unit: `0 to 20000 mm`.
    #[must_use]
    pub fn words(&self) -> String {
        let [least, greatest] = [self.least, self.greatest].map(|v| show::trimmed(v, 2));
        let words = format!("{least} to {greatest} {}", self.unit);
        words.trim_end().to_owned()
    }

    /// The value, where it lies inside.
    ///
    /// # Errors
    /// [`Fault::Range`] outside.
    pub fn check(&self, value: f64) -> Result<f64, Fault> {
        if self.hold(value) {
            Ok(value)
        } else {
            Err(Fault::Range { within: *self })
        }
    }

    /// True when the value is finite and inside.
    #[must_use]
    pub fn hold(&self, value: f64) -> bool {
        value.is_finite() && value >= self.least && value <= self.greatest
    }
}

/// Why a typed number was not taken. As text it is a sentence to the smith: what was typed, what is
/// wrong with it, and what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("'{typed}' {fault}{}", fault.remedy().map_or_else(String::new, |remedy| format!("; {remedy}")))]
pub struct NumberError {
    /// As it was typed, short.
    pub typed: String,
    /// What is wrong with it.
    pub fault: Fault,
}

/// What is wrong with a typed number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// Nothing was typed.
    #[error("is empty")]
    Empty,
    /// It does not read as a number.
    #[error("is not a number")]
    Malformed,
    /// It is zero where something must be.
    #[error("must be greater than zero")]
    Zero,
    /// It is below zero.
    #[error("is below zero")]
    Negative,
    /// A fraction whose lower number is zero, or whose upper is not smaller in a mixed number.
    #[error("is not a fraction that a rule shows")]
    Fraction,
    /// The unit is not one that fits here.
    #[error("has the unit '{unit}', which is not one of {what}")]
    Unit {
        /// The unit as typed.
        unit: String,
        /// The quantity in words.
        what: &'static str,
        /// The units that would do.
        allowed: &'static str,
    },
    /// Outside the range that can be meant.
    #[error("is outside what {} can be ({})", within.name, within.words())]
    Range {
        /// What it may be.
        within: Bounds,
    },
}

impl Fault {
    /// What to do about it, where that does not go without saying.
    #[must_use]
    pub fn remedy(&self) -> Option<String> {
        Some(match self {
            Self::Empty => "type a number".to_owned(),
            Self::Malformed => "write 40, 12.5, 12,5, 3/8 or 1-3/8".to_owned(),
            Self::Negative => "write it without the minus".to_owned(),
            Self::Fraction => "write 3/8 or 1-3/8".to_owned(),
            Self::Unit { allowed, .. } => format!("use {allowed}"),
            Self::Zero | Self::Range { .. } => return None,
        })
    }

    /// The fault of a text.
    #[must_use]
    pub fn of(self, typed: &str) -> NumberError {
        NumberError {
            typed: show::plain(typed, 24),
            fault: self,
        }
    }
}
