//! Durations and wall-clock stamps, as plain values: no clock is read here.

use super::quantity;

quantity! {
    /// A duration in seconds.
    Seconds
}

impl Seconds {
    #[must_use]
    pub fn from_minutes(minutes: f64) -> Self {
        Self(minutes * 60.0)
    }

    #[must_use]
    pub fn minutes(self) -> f64 {
        self.0 / 60.0
    }

    #[must_use]
    pub fn hours(self) -> f64 {
        self.0 / 3600.0
    }
}

/// A moment of wall-clock time: milliseconds since 1970-01-01 00:00 UTC.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Default,
    serde::Serialize,
    serde::Deserialize,
)]
#[serde(transparent)]
pub struct Stamp(pub i64);

impl Stamp {
    /// Time from `earlier` to this stamp; negative when the clock went back.
    #[must_use]
    pub fn since(self, earlier: Self) -> Seconds {
        #[expect(
            clippy::cast_precision_loss,
            reason = "spans of years fit in f64 to the millisecond"
        )]
        let ms = self.0.saturating_sub(earlier.0) as f64;
        Seconds(ms / 1000.0)
    }

    /// This stamp moved by a duration.
    #[must_use]
    pub fn plus(self, span: Seconds) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "float to int casts saturate"
        )]
        let ms = (span.0 * 1000.0).round() as i64;
        Self(self.0.saturating_add(ms))
    }
}
