//! One row per quantity that a person can type: its name in words, its unit, least and greatest.
//! Every out-of-range sentence is built from these rows.

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

impl Bounds {
    /// True when the value is finite and inside.
    #[must_use]
    pub fn hold(&self, value: f64) -> bool {
        value.is_finite() && value >= self.least && value <= self.greatest
    }
}
