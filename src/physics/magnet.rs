//! When a magnet lets go on heating.
//!
//! Iron loses its magnetism at 770 C, nickel at 358 C (Curie points, handbook values from memory).
//! Steel over about 0.5 % C has no ferrite left at 770 C: the magnet lets go as austenite forms,
//! from Ac1 on. "Non-magnetic" therefore says that Ac1 has been passed, not that 770 C has been
//! reached, nor that the steel is ready to quench. On cooling it grips again far lower, near 650 to
//! 700 C in air.

use super::{Law, OutOfRange, Spread, critical};
use crate::metal::{Composition, Mark};
use crate::units::Celsius;

/// The card of this law.
pub const LAW: Law = Law {
    key: "magnet",
    title: "when a magnet lets go",
    source: "Curie points of iron and nickel (handbooks); Ac1 and Ac3 by Andrews 1965",
    mark: Mark::FromMemory,
    valid: "carbon and low-alloy steel, nickel; else an error",
};

/// Curie point of iron.
pub const IRON: Celsius = Celsius(770.0);
/// Curie point of nickel.
pub const NICKEL: Celsius = Celsius(358.0);

/// From where (`low`) to where (`high`) the magnet lets go on slow heating, C; `best` is where most
/// of its grip is gone.
///
/// ```
/// # use anvilside::{metal::Catalogue, physics::magnet::lets_go};
/// let steel = Catalogue::builtin().find("15N20").map(|s| s.nominal).unwrap_or_default();
/// assert!(lets_go(&steel).is_ok_and(|t| t.best < 720.0));
/// ```
///
/// # Errors
/// An element outside the range of low-alloy steels.
pub fn lets_go(m: &Composition) -> Result<Spread, OutOfRange> {
    if m.ni >= 50.0 {
        return Ok(Spread::exact(NICKEL.0));
    }
    let start = critical::ac1(m)?;
    let end = critical::ac3(m)?;
    let high = end.best.max(start.high).min(IRON.0.max(start.high));
    Ok(Spread {
        low: start.low,
        best: f64::midpoint(start.best, high).min(high),
        high,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metal::Catalogue;

    #[test]
    fn a_mild_steel_holds_to_the_curie_point_and_a_blade_steel_does_not() {
        let of = |name: &str| {
            let steel = Catalogue::builtin().find(name).unwrap();
            lets_go(&steel.nominal).unwrap()
        };
        assert!((of("1018").high - 770.0).abs() < 1e-9);
        assert!(of("1084").high < 740.0);
        assert!((of("nickel 200").best - 358.0).abs() < 1e-9);
    }
}
