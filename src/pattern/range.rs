//! The lines as several hands would leave them: what they differ by is the range of the estimate.

use super::lines::{Lines, Steepness};
use crate::physics::Spread;

/// How the lines run, each figure with its range over several hands; the first hand's is the best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinesRange {
    /// Bands crossed in a centimetre along.
    pub along: Spread,
    /// Bands crossed in a centimetre across.
    pub across: Spread,
    /// Mean slope of the layers, degrees.
    pub slope: Spread,
    /// The first hand's slope in a word.
    pub word: Steepness,
}

impl LinesRange {
    /// Over the same view from several hands; none without any.
    ///
    /// ```
    /// # use anvilside::pattern::{Lines, LinesRange};
    /// let hand = |slope| Lines { along: 4.0, across: 9.0, slope, tilt: 0.1 };
    /// let over = LinesRange::over(&[hand(0.3), hand(0.4), hand(0.2)]).ok_or("no hands")?;
    /// assert!((over.slope.low - 0.2).abs() < 1e-12 && (over.slope.high - 0.4).abs() < 1e-12);
    /// assert!((over.slope.best - 0.3).abs() < 1e-12);
    /// # Ok::<(), &str>(())
    /// ```
    #[must_use]
    pub fn over(hands: &[Lines]) -> Option<Self> {
        let of = |value: fn(&Lines) -> f64| Spread::over(hands.iter().map(value));
        Some(Self {
            along: of(|lines| lines.along)?,
            across: of(|lines| lines.across)?,
            slope: of(|lines| lines.slope)?,
            word: hands.first()?.steepness(),
        })
    }
}
