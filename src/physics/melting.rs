//! Where steel melts, where it burns, and how hot it may be forged.
//!
//! - Solidus of austenite, chord of the iron-carbon diagram: `1495 - 178.9 (C - 0.17)` (Chipman,
//!   Metall. Trans. 3 (1972) 55, from memory).
//! - With alloy: `1536 - (200 C + 16 Si + 6 Mn + 93 P + 1100 S + 1.7 Cr + 3.9 Ni)` (Kagawa and Okamoto
//!   1986, from memory); preferred, the lower and safer of the two for 0.5 to 1.3 % C.
//! - Burning is melting at the grain boundaries, where phosphorus and sulphur gather, well below the
//!   solidus. By carbon, in F: 0.1 % 2710, 0.2 % 2680, 0.5 % 2460, 0.7 % 2340, 0.9 % 2230, 1.1 % 2140,
//!   1.5 % 2080
//!   (Brady, Materials Handbook, from memory; the row of 0.7 % from memory of a second handbook).
//!   Straight lines between; carbon is held to 0.1 to 1.5 %.
//!
//! A burnt steel is scrap: keep below [`limit`], and ask the maker's sheet first.

use super::{Law, Spread};
use crate::metal::{Composition, Mark, Steel};
use crate::units::Celsius;

/// The card of this law.
pub const LAW: Law = Law {
    key: "melting",
    title: "solidus and burning temperature",
    source: "Kagawa and Okamoto 1986; Chipman, Metall. Trans. 3 (1972) 55; Brady, Materials Handbook",
    mark: Mark::FromMemory,
    valid: "carbon and low-alloy steel; burning for 0.1 to 1.5 % C, held at the ends",
};

/// How far under burning a piece stays. Common practice, no source.
const UNDER_BURNING: Celsius = Celsius(20.0);

/// Carbon %, burning temperature, F.
const BURNING: [(f64, f64); 7] = [
    (0.1, 2710.0),
    (0.2, 2680.0),
    (0.5, 2460.0),
    (0.7, 2340.0),
    (0.9, 2230.0),
    (1.1, 2140.0),
    (1.5, 2080.0),
];

/// Where melting starts, C: the alloy form, with the chord's value as its rival. Nickel (50 % and
/// more) melts at 1435 C.
#[must_use]
pub fn solidus(m: &Composition) -> Spread {
    if m.is_nickel() {
        return Spread::exact(1435.0);
    }
    let alloy = 200.0 * m.c
        + 16.0 * m.si
        + 6.0 * m.mn
        + 93.0 * m.p
        + 1100.0 * m.s
        + 1.7 * m.cr
        + 3.9 * m.ni;
    let chord = 1495.0 - 178.9 * (m.c - 0.17).max(0.0);
    Spread::preferring((1536.0 - alloy).min(1534.0), &[chord])
}

/// Where steel of this carbon burns.
///
/// ```
/// # use anvilside::{physics::melting::burning, units::Celsius};
/// assert!(burning(0.9).near(Celsius(1221.0), 0.2));
/// assert!(burning(0.84).near(Celsius(1239.0), 0.5));
/// ```
#[must_use]
pub fn burning(carbon: f64) -> Celsius {
    Celsius::from_fahrenheit(row(carbon))
}

/// The highest temperature to bring this metal to, welding heat included: 20 K under burning and
/// 100 K under the solidus (the margins are common practice, no source). For a stack, the lowest of
/// its metals holds.
#[must_use]
pub fn limit(m: &Composition) -> Celsius {
    let melting = Celsius(solidus(m).low - 100.0);
    if m.is_nickel() {
        return melting;
    }
    melting.min(burning(m.c) - UNDER_BURNING)
}

/// The limit of a steel of a job with the carbon that it holds now: its own burning figure counts where
/// it has one. Steel that has taken up carbon burns sooner; one that has lost some is not trusted to
/// burn later.
#[must_use]
pub fn limit_of(steel: &Steel, carbon: f64) -> Celsius {
    let law = limit(&steel.nominal.with_carbon(steel.nominal.c.max(carbon)));
    let own = steel.burning.map(|at| at - UNDER_BURNING);
    own.map_or(law, |own| law.min(own))
}

fn row(carbon: f64) -> f64 {
    let carbon = if carbon.is_nan() {
        1.5
    } else {
        carbon.clamp(0.1, 1.5)
    };
    let mut found = 2080.0;
    for pair in BURNING.windows(2) {
        if let [(low, burn_low), (high, burn_high)] = pair
            && carbon >= *low
            && carbon <= *high
        {
            let share = (carbon - low) / (high - low);
            found = burn_low + share * (burn_high - burn_low);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metal::Catalogue;

    #[test]
    fn burning_falls_with_carbon_and_stays_under_the_solidus() {
        for step in 1_u32..15 {
            let c = 0.1 * f64::from(step);
            assert!(burning(c + 0.1) < burning(c));
        }
        for steel in Catalogue::builtin().all() {
            assert!(limit(&steel.nominal).0 < solidus(&steel.nominal).low);
            if let Some(written) = steel.burning {
                let law = burning(steel.nominal.c);
                assert!(
                    law.near(written, 1.0),
                    "{}: {} {}",
                    steel.grade,
                    law.0,
                    written.0
                );
            }
        }
    }

    #[test]
    fn not_a_number_gives_the_safest_answer() {
        assert!(burning(f64::NAN).near(burning(1.5), 1e-9));
    }
}
