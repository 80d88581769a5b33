//! Spittel's hot flow stress of C45, a separate fit that [`shida`](super::shida) is held against.
//!
//! M. Spittel, T. Spittel, Landolt-Boernstein VIII/2C1 (2009); coefficients seen in a public
//! implementation for rolling models.

use super::{Law, OutOfRange, Range, Working};
use crate::metal::Mark;
use crate::units::MegaPascals;

/// The card of this law.
pub const LAW: Law = Law {
    key: "spittel",
    title: "hot flow stress of C45",
    source: "M. Spittel, T. Spittel, Landolt-Boernstein VIII/2C1 (2009), as a public \
             implementation gives it",
    mark: Mark::Seen,
    valid: "0.45 % carbon, 700 to 1250 C, strain to 0.7, 0.1 to 300 per second; refused \
            outside",
};

/// Temperature, C. The source states 700 to 1250 C (range from memory).
pub const TEMPERATURE: Range = Range {
    law: LAW.title,
    name: "temperature",
    unit: "C",
    least: 700.0,
    greatest: 1250.0,
};

/// Flow stress of a 0.45 % carbon steel.
///
/// ```
/// # use anvilside::physics::{spittel_c45, Working};
/// # use anvilside::units::Celsius;
/// let at = Working { temperature: Celsius(1000.0), strain: 0.3, rate: 10.0 };
/// assert!((spittel_c45(at)?.0 - 150.0).abs() < 0.5);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A temperature outside [`TEMPERATURE`], or strain or rate outside Shida's ranges.
pub fn spittel_c45(at: Working) -> Result<MegaPascals, OutOfRange> {
    let t = TEMPERATURE.check(at.temperature.0)?;
    let e = super::flow_stress::STRAIN.check(at.strain)? + 0.1;
    let r = super::flow_stress::RATE.check(at.rate)? + 0.1;
    let stress = 3268.49
        * (-0.002_678_55 * t + 0.000_551_814 / e + 0.016_633_4 * e).exp()
        * e.powf(0.344_46)
        * (1.0 + e).powf(-0.001_320_42 * t)
        * r.powf(0.000_149_907 * t);
    Ok(MegaPascals(stress))
}

#[cfg(test)]
mod tests {
    use super::spittel_c45;
    use crate::physics::{Working, shida};
    use crate::units::Celsius;

    #[test]
    fn two_separate_fits_agree_within_four_percent() {
        for t in [900.0, 950.0, 1000.0, 1050.0, 1100.0, 1150.0, 1200.0] {
            let at = Working {
                temperature: Celsius(t),
                strain: 0.3,
                rate: 10.0,
            };
            let ratio = shida(0.45, at).unwrap().0 / spittel_c45(at).unwrap();
            assert!((ratio - 1.0).abs() < 0.04, "{t}: {ratio}");
        }
    }
}
