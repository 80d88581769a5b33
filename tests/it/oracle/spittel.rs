//! Spittel's hot flow stress of C45, a separate fit that Shida's is held against.
//!
//! M. Spittel, T. Spittel, Landolt-Boernstein VIII/2C1 (2009); coefficients seen in a public
//! implementation for rolling models.

use anvilside::physics::{Working, shida};
use anvilside::units::Celsius;

/// Flow stress of a 0.45 % carbon steel.
/// MPa; 700 to 1250 C (range from memory).
pub(crate) fn spittel_c45(at: Working) -> f64 {
    let t = at.temperature.0;
    let (e, r) = (at.strain + 0.1, at.rate + 0.1);
    3268.49
        * (-0.002_678_55 * t + 0.000_551_814 / e + 0.016_633_4 * e).exp()
        * e.powf(0.344_46)
        * (1.0 + e).powf(-0.001_320_42 * t)
        * r.powf(0.000_149_907 * t)
}

#[test]
fn two_separate_fits_agree_within_four_percent() {
    for t in [900.0, 950.0, 1000.0, 1050.0, 1100.0, 1150.0, 1200.0] {
        let at = Working {
            temperature: Celsius(t),
            strain: 0.3,
            rate: 10.0,
        };
        let ratio = shida(0.45, at).unwrap().0.0 / spittel_c45(at);
        assert!((ratio - 1.0).abs() < 0.04, "{t}: {ratio}");
    }
    let at = Working {
        temperature: Celsius(1000.0),
        strain: 0.3,
        rate: 10.0,
    };
    assert!((spittel_c45(at) - 150.0).abs() < 0.5);
}
