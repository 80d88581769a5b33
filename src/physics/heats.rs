//! How many heats a drawing job takes, from what a shop gains in one.

use super::{Law, OutOfRange, Range, Spread};
use crate::metal::Mark;
use crate::units::{Celsius, Mm, Seconds};

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

/// Side of the section, mm.
const SIDE: Range = Range {
    law: LAW.title,
    name: "side",
    unit: "mm",
    least: 1.0,
    greatest: 300.0,
};
/// Working temperatures, C.
const TEMPERATURE: Range = Range {
    law: LAW.title,
    name: "temperature",
    unit: "C",
    least: 500.0,
    greatest: 1350.0,
};
/// Part of the radiation time that is left for work: dies and air take a third to a half (common
/// practice, no source).
pub const AT_WORK: f64 = 0.6;
/// Stefan-Boltzmann constant, W/m2/K4.
const SIGMA: f64 = 5.670_374_419e-8;
/// Density and specific heat of hot steel, J/m3/K, and its emissivity: handbook values, from memory.
const HEAT_PER_M3: f64 = 7500.0 * 650.0;
const EMISSIVITY: f64 = 0.8;

/// Radiation time of a long rectangular bar at an even temperature, between two temperatures in K:
/// `t = rho c H / (3 eps sigma) (1/T2^3 - 1/T1^3)`, H volume over surface. A start that is not hotter
/// than the end gives zero.
///
/// ```
/// # use anvilside::physics::heats::radiation_time;
/// # use anvilside::units::{Celsius, Mm};
/// let t = radiation_time(Mm(50.0), Mm(50.0), Celsius(1200.0), Celsius(950.0))?;
/// assert!((t.0 - 104.6).abs() < 0.5);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A side of less than 1 or more than 300 mm, or a temperature outside 500 to 1350 C.
pub fn radiation_time(
    height: Mm,
    width: Mm,
    from: Celsius,
    to: Celsius,
) -> Result<Seconds, OutOfRange> {
    let (h, w) = (
        SIDE.check(height.0)? / 1000.0,
        SIDE.check(width.0)? / 1000.0,
    );
    TEMPERATURE.check(from.0)?;
    TEMPERATURE.check(to.0)?;
    let over_surface = h * w / (2.0 * (h + w));
    let cubes = to.kelvin().0.powi(-3) - from.kelvin().0.powi(-3);
    Ok(Seconds(
        (HEAT_PER_M3 * over_surface / (3.0 * EMISSIVITY * SIGMA) * cubes).max(0.0),
    ))
}
