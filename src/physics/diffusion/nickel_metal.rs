//! Carbon in nickel metal, for sheets of pure nickel in a stack.
//!
//! Lander, Kern, Beach, J. Appl. Phys. 23 (1952) 1305 (from memory): `D = 2.48e-4 exp(-20200/T)` m2/s.
//! Nickel is not a wall: it takes up little carbon but passes it on quickly.

use super::LAW_NICKEL;
use crate::physics::{OutOfRange, Range};
use crate::units::{Celsius, Kelvin};

/// Temperature, C.
pub const TEMPERATURE: Range = Range {
    law: LAW_NICKEL.title,
    name: "temperature",
    unit: "C",
    least: 700.0,
    greatest: 1400.0,
};

/// Diffusivity in m2/s.
///
/// ```
/// # use anvilside::physics::diffusion::nickel_metal::diffusivity;
/// # use anvilside::units::Celsius;
/// assert!((diffusivity(Celsius(1150.0))? / 1.70e-10 - 1.0).abs() < 0.01);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A temperature outside [`TEMPERATURE`].
pub fn diffusivity(at: Celsius) -> Result<f64, OutOfRange> {
    TEMPERATURE.check(at.0)?;
    Ok(value(at.kelvin()))
}

pub(crate) fn value(t: Kelvin) -> f64 {
    if t.0 >= super::carbon::A1.kelvin().0 {
        2.48e-4 * (-20_200.0 / t.0).exp()
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::diffusivity;
    use crate::units::Celsius;

    #[test]
    fn hotter_moves_more() {
        for t in [750.0, 900.0, 1100.0, 1300.0] {
            let hotter = Celsius(t + 50.0);
            assert!(diffusivity(hotter).unwrap() > diffusivity(Celsius(t)).unwrap());
        }
        assert!(diffusivity(Celsius(600.0)).is_err() && diffusivity(Celsius(1500.0)).is_err());
    }
}
