//! Cooling of a section taken as one temperature: a check on [`super::section`], not used for
//! forecasts, because it is always short: by 3 % for a 10 mm square and 11 % for a 50 mm square.
//!
//! `dT/dt = -q(T) P/(rho c(T) A)`: perimeter `P`, area `A`, `q` and `c` as in the section law
//! (Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, 5.3, from memory).

use super::properties;
use super::section::{Section, Surroundings};
use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::{Celsius, Seconds};

/// The card of this law.
pub const LAW: Law = Law {
    key: "lumped",
    title: "cooling of a section as one temperature (a check only)",
    source: "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, 5.3",
    mark: Mark::FromMemory,
    valid: "thin sections, 20 to 1400 C; outside is an error",
};

const TEMPERATURE: Range = Range {
    law: "lumped cooling",
    name: "temperature",
    unit: "C",
    least: 20.0,
    greatest: 1400.0,
};

/// Time from `start` down to `until` in open surroundings (contacts are not counted).
///
/// ```
/// # use anvilside::physics::{lumped::seconds, section::{Section, Surroundings}};
/// # use anvilside::units::{Celsius, Mm, Seconds};
/// let bar = Section { width: Mm(20.0), thickness: Mm(20.0) };
/// let time = seconds(bar, Celsius(1250.0), Celsius(900.0), &Surroundings::air())?;
/// assert!(time.near(Seconds(54.90), 0.05));
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A temperature outside the range. Surroundings that are not colder give an infinite time.
pub fn seconds(
    section: Section,
    start: Celsius,
    until: Celsius,
    around: &Surroundings,
) -> Result<Seconds, OutOfRange> {
    let from = TEMPERATURE.check(start.0)?;
    let to = TEMPERATURE.check(until.0)?;
    let (width, thickness) = (section.width.metres(), section.thickness.metres());
    let mass_per_face = properties::DENSITY_KG_M3 * width * thickness / (2.0 * (width + thickness));
    let side = width.min(thickness);
    let steps = 2000_u32;
    let width_k = (from - to) / f64::from(steps);
    let total: f64 = (0..steps)
        .map(|step| {
            let t = to + (f64::from(step) + 0.5) * width_k;
            let loss = -around.open_flux(t, side);
            if loss > 0.0 {
                properties::specific_heat(Celsius(t)) / loss
            } else {
                f64::INFINITY
            }
        })
        .sum();
    Ok(Seconds(mass_per_face * total * width_k))
}
