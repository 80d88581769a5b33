//! Tempering: time against temperature, and hardness after it.
//!
//! `P = T (K + log10 t)`, `T` in kelvin, `t` in hours (Hollomon and Jaffe, Trans. AIME 162 (1945)
//! 223): treatments of like `P` give like hardness. `K = 21.3 - 5.8 C` (from memory): 15.5 to 17 for
//! blade steels; 20 is common for low alloy.
//!
//! Hardness is read off rows of published tempers, straight lines in `P`, never extrapolated:
//!
//! - W2 of 1.00 % C, water quenched from 788 C (a stockist's table, seen; 1 h assumed)
//! - SAE 1075 and 1084, O1 and 52100, oil quenched, 1 h (handbook and makers' figures, from memory)
//!
//! Rows of one kind of steel stand for others like it by carbon, chromium and manganese; the range is
//! 2 HRC either way, widened where two kinds are equally near: nine in ten of the tempers that Hollomon
//! and Jaffe measured on plain steels lie in it. Measured tempers of 52100 lie lower than its handbook
//! row, by 2.4 HRC in the mean and up to 5, and its range reaches down to them. Carbon in the steel of 0.6 to 1.5 %, 100 to 370 C (316 C for some), 6 min to 24 h; else an
//! error. Grange, Hribal and Porter's increments for each element are graphs and are not used.

use super::{Law, OutOfRange, Range, Spread, hardness, low_alloy};
use crate::metal::{Composition, Mark};
use crate::units::{Celsius, Seconds};

/// The card of this law.
pub const LAW: Law = Law {
    key: "tempering",
    title: "tempering parameter and hardness after tempering",
    source: "Hollomon and Jaffe, Trans. AIME 162 (1945) 223; table of W2 tempers; handbook rows of \
             1075, 1084, O1 and 52100",
    mark: Mark::Seen,
    valid: "0.6 to 1.5 % C, 100 to 370 C (W2, O1, 52100: 316 C), 6 min to 24 h; else an error",
};

const TIME: Range = Range {
    law: "tempering",
    name: "time",
    unit: "h",
    least: 0.1,
    greatest: 24.0,
};
const CARBON: Range = Range {
    law: "tempering",
    name: "carbon",
    unit: "%",
    least: 0.6,
    greatest: 1.5,
};

/// Steels whose rows are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Plain carbon over the eutectoid, as W2.
    Water,
    /// Plain and nickel-bearing carbon near the eutectoid, as SAE 1075, 1084 and 75Ni8.
    Spring,
    /// Manganese with a little chromium and tungsten, as O1.
    Oil,
    /// One to one and a half percent chromium, as 52100.
    Bearing,
}

/// C and HRC after 1 h; the first row is as quenched.
const WATER: &[(f64, f64)] = &[
    (93.3, 67.0),
    (148.9, 65.0),
    (204.4, 62.0),
    (260.0, 59.0),
    (315.6, 55.0),
];
const SPRING: &[(f64, f64)] = &[
    (100.0, 65.0),
    (150.0, 63.5),
    (205.0, 61.0),
    (260.0, 57.5),
    (315.0, 54.5),
    (370.0, 50.5),
];
const OIL: &[(f64, f64)] = &[
    (100.0, 64.5),
    (150.0, 63.5),
    (175.0, 62.5),
    (205.0, 60.5),
    (230.0, 59.5),
    (260.0, 58.0),
    (315.0, 55.0),
];
const BEARING: &[(f64, f64)] = &[
    (100.0, 65.5),
    (150.0, 64.5),
    (205.0, 61.5),
    (260.0, 59.0),
    (315.0, 56.0),
];

/// The constant `K` for this carbon.
#[must_use]
pub fn constant(carbon: f64) -> f64 {
    21.3 - 5.8 * carbon.clamp(0.0, 1.5)
}

/// Hollomon and Jaffe's parameter.
///
/// ```
/// # use anvilside::{physics::tempering::parameter, units::{Celsius, Seconds}};
/// let p = parameter(Celsius(200.0), Seconds(7200.0), 20.0);
/// assert!(p.is_ok_and(|p| (p - 9605.4).abs() < 0.1));
/// ```
///
/// # Errors
/// A time outside 6 min to 24 h.
pub fn parameter(at: Celsius, time: Seconds, constant: f64) -> Result<f64, OutOfRange> {
    let hours = TIME.check(time.hours())?;
    Ok(at.kelvin().0 * (constant + hours.log10()))
}

/// The temperature that does in one hour what `at` does in `time`.
///
/// # Errors
/// A time outside 6 min to 24 h.
pub fn in_one_hour(at: Celsius, time: Seconds, constant: f64) -> Result<Celsius, OutOfRange> {
    let p = parameter(at, time, constant)?;
    Ok(Celsius(p / constant.max(1.0) - 273.15))
}

/// The rows that stand for this analysis, nearest first; two when it lies between kinds.
#[must_use]
pub fn kinds(m: &Composition) -> Vec<Kind> {
    if m.cr >= 1.0 {
        vec![Kind::Bearing]
    } else if m.mn >= 0.95 && m.cr + m.w >= 0.3 {
        vec![Kind::Oil]
    } else if m.cr >= 0.35 {
        vec![Kind::Spring, Kind::Oil]
    } else if m.c > 0.98 {
        vec![Kind::Water]
    } else if m.c > 0.88 {
        vec![Kind::Water, Kind::Spring]
    } else {
        vec![Kind::Spring]
    }
}

/// HRC after tempering a fully hardened steel.
///
/// ```
/// # use anvilside::{metal::Catalogue, physics::tempering::hardness_after};
/// # use anvilside::units::{Celsius, Seconds};
/// let w2 = Catalogue::builtin().find("W2").map(|s| s.nominal).unwrap_or_default();
/// let after = hardness_after(&w2, Celsius(260.0), Seconds(3600.0));
/// assert!(after.is_ok_and(|h| (h.best - 59.0).abs() < 0.1));
/// ```
///
/// # Errors
/// Analysis, temperature or time outside the rows.
pub fn hardness_after(m: &Composition, at: Celsius, time: Seconds) -> Result<Spread, OutOfRange> {
    low_alloy::check(m, "tempering")?;
    let carbon = CARBON.check(m.c)?;
    let kinds = kinds(m);
    let (coldest, hottest) = limits(m, time)?;
    let range = Range {
        law: "tempering",
        name: "temper",
        unit: "C",
        least: coldest.0.floor(),
        greatest: hottest.0.ceil(),
    };
    range.check(at.0)?;
    let mut found = Vec::new();
    for kind in &kinds {
        found.push(read(*kind, carbon, at, time)?);
    }
    let fresh = hardness::as_quenched(carbon)?.high;
    let softer = if kinds == [Kind::Bearing] { 4.5 } else { 2.0 };
    let band = Spread::of(&found);
    let best = found.first().copied().unwrap_or(f64::NAN);
    Ok(Spread {
        low: band.low - softer,
        best,
        // The coldest tempers were measured up to 1 HRC harder than steel as quenched.
        high: (band.high + 2.0).min(fresh.max(best) + 1.0),
    })
}

/// The tempering temperature for a wanted hardness, C, for a hold of this time: best, and the band
/// that the spread of the hardness leaves.
///
/// # Errors
/// Analysis or time outside the rows, or a hardness that no row gives.
pub fn temperature_for(m: &Composition, hrc: f64, time: Seconds) -> Result<Spread, OutOfRange> {
    let ends = limits(m, time)?;
    let hardest = hardness_after(m, ends.0, time)?;
    let softest = hardness_after(m, ends.1, time)?;
    let range = Range {
        law: "tempering",
        name: "hardness wanted",
        unit: "HRC",
        least: softest.best,
        greatest: hardest.best,
    };
    range.check(hrc)?;
    let solve = |pick: fn(&Spread) -> f64| -> Result<f64, OutOfRange> {
        let (mut low, mut high) = (ends.0.0, ends.1.0);
        for _ in 0..50 {
            let mid = f64::midpoint(low, high);
            if pick(&hardness_after(m, Celsius(mid), time)?) > hrc {
                low = mid;
            } else {
                high = mid;
            }
        }
        Ok(f64::midpoint(low, high))
    };
    Ok(Spread {
        low: solve(|h| h.low)?,
        best: solve(|h| h.best)?,
        high: solve(|h| h.high)?,
    })
}

/// Coldest and hottest temper that the rows cover for this hold.
fn limits(m: &Composition, time: Seconds) -> Result<(Celsius, Celsius), OutOfRange> {
    low_alloy::check(m, "tempering")?;
    let k = constant(CARBON.check(m.c)?);
    let hours = TIME.check(time.hours())?.log10();
    let to_hold = |one_hour: f64| Celsius(one_hour + 273.15).0 * k / (k + hours) - 273.15;
    let mut ends = (f64::NEG_INFINITY, f64::INFINITY);
    for kind in kinds(m) {
        let rows = rows(kind);
        let first = rows.first().map_or(f64::INFINITY, |row| row.0);
        let last = rows.last().map_or(f64::NEG_INFINITY, |row| row.0);
        ends = (ends.0.max(to_hold(first)), ends.1.min(to_hold(last)));
    }
    Ok((Celsius(ends.0 + 1e-6), Celsius(ends.1 - 1e-6)))
}

const fn rows(kind: Kind) -> &'static [(f64, f64)] {
    match kind {
        Kind::Water => WATER,
        Kind::Spring => SPRING,
        Kind::Oil => OIL,
        Kind::Bearing => BEARING,
    }
}

fn read(kind: Kind, carbon: f64, at: Celsius, time: Seconds) -> Result<f64, OutOfRange> {
    let rows = rows(kind);
    let one_hour = in_one_hour(at, time, constant(carbon))?.0;
    let range = Range {
        law: "tempering",
        name: "temper (as one hour)",
        unit: "C",
        least: rows.first().map_or(f64::NAN, |row| row.0),
        greatest: rows.last().map_or(f64::NAN, |row| row.0),
    };
    let wanted = range.check(one_hour)?;
    let mut found = f64::NAN;
    for pair in rows.windows(2) {
        if let [(low, hard), (high, soft)] = pair
            && wanted >= *low
            && wanted <= *high
        {
            found = hard + (soft - hard) * (wanted - low) / (high - low);
        }
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metal::Catalogue;

    fn steel(name: &str) -> Composition {
        Catalogue::builtin().find(name).unwrap().nominal
    }

    #[test]
    fn hotter_or_longer_is_softer() {
        for name in [
            "1075", "1084", "1095", "15N20", "80CrV2", "O1", "W2", "52100", "C125S",
        ] {
            let m = steel(name);
            let at = |t: f64, h: f64| {
                hardness_after(&m, Celsius(t), Seconds(3600.0 * h))
                    .unwrap()
                    .best
            };
            assert!(at(150.0, 2.0) > at(200.0, 2.0), "{name}");
            assert!(at(200.0, 1.0) > at(200.0, 4.0), "{name}");
        }
    }

    #[test]
    fn a_wanted_hardness_comes_back() {
        let m = steel("1084");
        let time = Seconds(7200.0);
        let temper = temperature_for(&m, 60.0, time).unwrap();
        assert!(temper.low < temper.best && temper.best < temper.high);
        let back = hardness_after(&m, Celsius(temper.best), time).unwrap();
        assert!((back.best - 60.0).abs() < 1e-3);
        assert!(temperature_for(&m, 70.0, time).is_err());
    }

    #[test]
    fn what_no_row_covers_is_refused() {
        let time = Seconds(3600.0);
        assert!(hardness_after(&steel("1018"), Celsius(200.0), time).is_err());
        assert!(hardness_after(&steel("1084"), Celsius(500.0), time).is_err());
        assert!(hardness_after(&steel("1084"), Celsius(f64::NAN), time).is_err());
        assert!(hardness_after(&steel("1084"), Celsius(200.0), Seconds(1.0)).is_err());
    }
}
