//! Hardness of fresh martensite, and Rockwell against Vickers.
//!
//! As quenched, by carbon in solution (initial hardness of ASTM A255, 0.10 to 0.70 % C):
//! `HRC = 33.087 + 50.723 C + 33.662 C^2 - 2.7048 C^3 - 107.02 C^4 + 43.523 C^5`.
//! It levels off at 0.7 % C: beyond, the value of 0.7 % is held. The range is 1.5 HRC either way, and
//! 3.5 HRC down from 0.6 % C on: retained austenite (measured 61.6 of 5160, 63.3 of 52100, 64.5 of plain
//! steel of 1.15 % C; 67 of plain steel of 0.89 %). Hardness depends on carbon only
//! (Grange, Hribal, Porter, Metall. Trans. A 8 (1977) 1775).
//!
//! HRC to HV: ASTM E140 table 1, straight lines between rows, 20 to 68 HRC (238 to 940 HV); the rows
//! of 68, 65, 60, 55, 50, 45 and 40 seen, the others from memory.

use super::{Law, OutOfRange, Range, Spread};
use crate::metal::Mark;

/// The card of this law.
pub const LAW: Law = Law {
    key: "hardness",
    title: "hardness as quenched, and HRC against HV",
    source: "ASTM A255 initial hardness; ASTM E140-12b table 1",
    mark: Mark::Seen,
    valid: "0.10 to 1.5 % C, held at 0.7 % beyond; 20 to 68 HRC; else an error",
};

const CARBON: Range = Range {
    law: "hardness as quenched",
    name: "carbon in solution",
    unit: "%",
    least: 0.1,
    greatest: 1.5,
};
const ROCKWELL: Range = Range {
    law: "hardness conversion",
    name: "hardness",
    unit: "HRC",
    least: 20.0,
    greatest: 68.0,
};
/// HRC and HV, softest first.
const ROWS: [(f64, f64); 13] = [
    (20.0, 238.0),
    (25.0, 266.0),
    (30.0, 302.0),
    (35.0, 345.0),
    (40.0, 392.0),
    (45.0, 446.0),
    (50.0, 513.0),
    (55.0, 595.0),
    (58.0, 653.0),
    (60.0, 697.0),
    (62.0, 746.0),
    (65.0, 832.0),
    (68.0, 940.0),
];

/// HRC of martensite with this carbon in solution.
///
/// ```
/// # use anvilside::physics::hardness::as_quenched;
/// assert!(as_quenched(0.6).is_ok_and(|h| (h.best - 64.57).abs() < 0.01));
/// ```
///
/// # Errors
/// Carbon outside 0.10 to 1.5 %.
pub fn as_quenched(carbon: f64) -> Result<Spread, OutOfRange> {
    let c = CARBON.check(carbon)?.min(0.7);
    let best = 33.087 + 50.723 * c + 33.662 * c.powi(2) - 2.7048 * c.powi(3) - 107.02 * c.powi(4)
        + 43.523 * c.powi(5);
    let below = if carbon > 0.6 { 3.5 } else { 1.5 };
    Ok(Spread {
        low: best - below,
        best,
        high: best + 1.5,
    })
}

/// Vickers hardness for a Rockwell C hardness: straight lines between the rows.
///
/// ```
/// # use anvilside::physics::hardness::vickers;
/// assert!(vickers(60.0).is_ok_and(|hv| (hv - 697.0).abs() < 1e-9));
/// ```
///
/// # Errors
/// Outside 20 to 68 HRC.
pub fn vickers(rockwell: f64) -> Result<f64, OutOfRange> {
    let value = ROCKWELL.check(rockwell)?;
    let mut found = f64::NAN;
    for pair in ROWS.windows(2) {
        if let [(from, to), (from_high, to_high)] = pair
            && value >= *from
            && value <= *from_high
        {
            found = to + (to_high - to) * (value - from) / (from_high - from);
        }
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_carbon_is_never_softer() {
        let mut before = 0.0;
        for step in 10_u32..=150 {
            let now = as_quenched(f64::from(step) / 100.0).unwrap();
            assert!(now.best >= before - 0.05 && now.low < now.best && now.best < now.high);
            before = now.best;
        }
        assert!(as_quenched(0.02).is_err() && as_quenched(f64::NAN).is_err());
    }
}
