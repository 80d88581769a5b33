//! How many heats a drawing job takes, from what a shop gains in one.

use super::{Law, OutOfRange, Range, Spread};
use crate::metal::Mark;

/// The card of this law.
pub const LAW: Law = Law {
    key: "heats",
    title: "heats expected",
    source: "log of the area ratio over the log reduction of one heat",
    mark: Mark::CommonPractice,
    valid: "a gain of 0.001 to 2 a heat",
};
/// Log reduction of area in one heat.
pub const GAIN: Range = Range {
    law: LAW.title,
    name: "log reduction per heat",
    unit: "",
    least: 0.001,
    greatest: 2.0,
};

/// Heats from an area ratio and what the shop gains per heat in log reduction: 0.12 to 0.20 under a
/// press or a 50 lb hammer on 1 to 2 kg, 0.05 to 0.08 by hand (common practice, no source).
///
/// ```
/// # use anvilside::physics::heats::heats_for_ratio;
/// # use anvilside::physics::Spread;
/// let heats = heats_for_ratio(4.0, Spread { low: 0.12, best: 0.16, high: 0.20 })?;
/// assert!((heats.best - 9.0).abs() < 1e-9 && (heats.high - 12.0).abs() < 1e-9);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A gain outside [`GAIN`] or a ratio below one.
pub fn heats_for_ratio(area_ratio: f64, gain_per_heat: Spread) -> Result<Spread, OutOfRange> {
    const RATIO: Range = Range {
        law: LAW.title,
        name: "area ratio",
        unit: "",
        least: 1.0,
        greatest: 10_000.0,
    };
    let log = RATIO.check(area_ratio)?.ln();
    for gain in [gain_per_heat.low, gain_per_heat.best, gain_per_heat.high] {
        GAIN.check(gain)?;
    }
    Ok(gain_per_heat.map(|gain| (log / gain - 1e-9).ceil()))
}
