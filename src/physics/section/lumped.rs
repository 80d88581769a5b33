//! The least time in which a fire can bring a section to heat: its surface takes in what it can, and nothing is
//! lost on the way to the middle.

use super::{Section, Surroundings};
use crate::physics::properties::enthalpy;
use crate::units::{Celsius, Seconds};

/// Emissivity of a surface that takes the most: the upper end of what scaled steel has (0.7 to 0.9).
const MOST: f64 = 0.9;
/// Density of cold steel, kg/m3: EN 1993-1-2.
const DENSITY: f64 = 7850.0;
/// Steps that the way up is cut into; the sum is good to under 0.5 %.
const STEPS: u32 = 60;

/// Seconds in a fire at `fire` from one even temperature to another with every face open:
/// `t = rho V/A sum(dh / q)`, `h` the enthalpy of EN 1993-1-2 and `q` radiation and film. A bound from below:
/// a hearth, a crowded fire and the way to the core all take longer. None where the fire is not hotter.
///
/// ```
/// # use anvilside::physics::section::{Section, least_heating, soak};
/// # use anvilside::units::{Celsius, Mm};
/// let bar = Section { width: Mm(32.0), thickness: Mm(41.0) };
/// let least = least_heating(bar, Celsius(20.0), Celsius(1150.0), Celsius(1218.0)).ok_or("no fire")?;
/// let through = soak(bar, Celsius(20.0), Celsius(1218.0), Celsius(68.0))?;
/// assert!(least.0 < through.0 && least.0 > 0.75 * through.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn least_heating(
    section: Section,
    from: Celsius,
    to: Celsius,
    fire: Celsius,
) -> Option<Seconds> {
    let (width, thickness) = (section.width.metres(), section.thickness.metres());
    let side = width.min(thickness);
    if to <= from {
        return Some(Seconds::ZERO);
    }
    let around = Surroundings {
        emissivity: MOST,
        ..Surroundings::furnace(fire)
    };
    let per_area = DENSITY * width * thickness / (2.0 * (width + thickness));
    let step = (to - from).0 / f64::from(STEPS);
    let seconds: f64 = (0..STEPS)
        .map(|at| {
            let low = from.0 + step * f64::from(at);
            let flux = around.open_flux(low + step / 2.0, side);
            (enthalpy(Celsius(low + step)) - enthalpy(Celsius(low))) / flux
        })
        .sum();
    let seconds = seconds * per_area;
    (fire > to && seconds.is_finite() && seconds >= 0.0).then_some(Seconds(seconds))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::section::soak_through;
    use crate::units::Mm;

    /// No section that is worked out in two dimensions gets there sooner, and none much later.
    #[test]
    fn it_is_a_bound_and_a_near_one() {
        for (width, thickness) in [(40.0, 78.0), (32.0, 13.0), (45.0, 5.0), (25.0, 25.0)] {
            let bar = Section {
                width: Mm(width),
                thickness: Mm(thickness),
            };
            for (from, to) in [(20.0, 1050.0), (20.0, 900.0), (900.0, 1100.0)] {
                let (from, to, fire) = (Celsius(from), Celsius(to), Celsius(1220.0));
                let least = least_heating(bar, from, to, fire).unwrap();
                let through = soak_through(bar, from, fire, to, Celsius(25.0)).unwrap();
                let part = least / through;
                assert!(part < 1.0, "{width} x {thickness} {from:?} {to:?}: {part}");
                assert!(part > 0.4, "{width} x {thickness} {from:?} {to:?}: {part}");
            }
        }
        let bar = Section {
            width: Mm(30.0),
            thickness: Mm(30.0),
        };
        assert_eq!(
            least_heating(bar, Celsius(20.0), Celsius(1200.0), Celsius(1100.0)),
            None
        );
    }
}
