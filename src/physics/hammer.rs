//! What one blow of a power hammer does.
//!
//! Energy `E = m v^2 / 2`; the useful part `eta E` is spent as `Q Y b w h e`, so one blow strains the bite
//! by `e = eta E / (Q Y b w h)` and takes off `h (1 - exp(-e))`. The same Q as for a press
//! ([`press_force`](mod@super::press_force)). The anvil's share of eta, `M/(M+m) (1 - k^2)`, is
//! the momentum balance of ram m and anvil M with rebound k.
//! Ram speeds and eta of shop hammers, and the strains at which a bar moves well, are common
//! practice, no source: learn them from the log.

use super::flow_stress::{RATE, STRAIN, Working, flow_stress};
use super::press_force::{Bite, factor};
use super::{Law, OutOfRange, Range, Spread};
use crate::metal::{Composition, Mark};
use crate::units::{Celsius, Fraction, Grams, Joules, Mm};

/// The card of this law.
pub const LAW: Law = Law {
    key: "hammer",
    title: "a hammer blow",
    source: "energy balance of ram, anvil and bite; efficiency and verdicts are common \
             practice",
    mark: Mark::Computed,
    valid: "flat dies, ram speed 0.5 to 15 m/s",
};
/// Mass of the falling parts, g.
pub const RAM: Range = Range {
    law: LAW.title,
    name: "ram mass",
    unit: "g",
    least: 100.0,
    greatest: 2_000_000.0,
};
/// Speed of the ram at the work, m/s.
pub const SPEED: Range = Range {
    law: LAW.title,
    name: "ram speed",
    unit: "m/s",
    least: 0.5,
    greatest: 15.0,
};
/// Part of the energy that the work takes up.
pub const EFFICIENCY: Range = Range {
    law: LAW.title,
    name: "efficiency",
    unit: "",
    least: 0.05,
    greatest: 1.0,
};
/// Strain of a blow from which the whole section moves.
pub const MOVES: f64 = 0.025;
/// Strain of a blow below which the middle is not reached.
pub const TOO_BIG: f64 = 0.01;
/// Blows of less strain are read at this one: the flow law is not fitted to such small strains.
const LEAST_STRAIN: f64 = 0.02;
/// The useful part differs between hammers, dies and seatings by about a fifth.
const TRUST: f64 = 0.2;

/// A hammer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hammer {
    /// Mass of the falling parts.
    pub ram: Grams,
    /// Speed at the work, m/s: 3.5 mechanical, 5 self-contained air; 4 when unknown.
    pub speed: f64,
    /// Useful part of the energy; 0.7 when unknown.
    pub efficiency: Fraction,
}

/// What a blow does, in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The whole section moves.
    MovesWell,
    /// The skin moves and the ends go hollow.
    SkinOnly,
    /// The middle is not reached: welds there are not worked.
    TooBig,
}

impl Verdict {
    /// The verdict on a blow of this strain.
    #[must_use]
    pub fn of(strain: f64) -> Self {
        if strain >= MOVES {
            Self::MovesWell
        } else if strain >= TOO_BIG {
            Self::SkinOnly
        } else {
            Self::TooBig
        }
    }

    /// The words for the smith.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MovesWell => "moves well",
            Self::SkinOnly => "works the skin; watch for fish mouth",
            Self::TooBig => "too big for this hammer; the middle is not reached",
        }
    }
}

/// One blow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blow {
    /// True strain of the bite.
    pub strain: Spread,
    /// Height taken off in mm.
    pub off: Spread,
    /// What it means, at the best value.
    pub verdict: Verdict,
}

impl Hammer {
    /// Energy of one blow at the work.
    ///
    /// ```
    /// # use anvilside::physics::Hammer;
    /// # use anvilside::units::{Fraction, Grams};
    /// let hammer = Hammer { ram: Grams::from_pounds(50.0), speed: 4.0, efficiency: Fraction(0.7) };
    /// assert!((hammer.energy()?.0 - 181.44).abs() < 0.01);
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// A ram outside [`RAM`] or a speed outside [`SPEED`].
    pub fn energy(&self) -> Result<Joules, OutOfRange> {
        let mass = RAM.check(self.ram.0)? / 1000.0;
        let speed = SPEED.check(self.speed)?;
        Ok(Joules(0.5 * mass * speed * speed))
    }

    /// Energy that goes into the work.
    ///
    /// # Errors
    /// As [`Hammer::energy`], and an efficiency outside [`EFFICIENCY`].
    pub fn useful(&self) -> Result<Joules, OutOfRange> {
        Ok(self.energy()? * EFFICIENCY.check(self.efficiency.0)?)
    }

    /// What one blow does to a bite of hot metal. The flow stress is read at the strain and the
    /// rate of the blow itself: hot steel softens again between blows.
    ///
    /// ```
    /// # use anvilside::metal::Composition;
    /// # use anvilside::physics::{Bite, Hammer, Verdict};
    /// # use anvilside::units::{Celsius, Fraction, Grams};
    /// let hammer = Hammer { ram: Grams::from_pounds(50.0), speed: 4.0, efficiency: Fraction(0.7) };
    /// let metal = Composition { c: 0.8, ..Composition::default() };
    /// let blow = hammer.blow(Bite::new(25.0, 40.0, 40.0), &metal, Celsius(1100.0))?;
    /// assert!((blow.off.best - 1.2).abs() < 0.1);
    /// assert_eq!(blow.verdict, Verdict::MovesWell);
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// Sizes, metal or hammer outside their ranges.
    pub fn blow(
        &self,
        bite: Bite,
        metal: &Composition,
        temperature: Celsius,
    ) -> Result<Blow, OutOfRange> {
        bite.check()?;
        let useful = self.useful()?;
        let rate = RATE.clamp(1000.0 * self.speed / bite.height.0);
        let mut strain = 0.03_f64;
        let mut flow = Spread::exact(0.0);
        for _ in 0..40 {
            let working = Working {
                temperature,
                strain: STRAIN.clamp(strain.max(LEAST_STRAIN)),
                rate,
            };
            flow = flow_stress(metal, working)?;
            strain = f64::midpoint(strain, blow_strain(useful, bite, flow.best));
        }
        let energy = Spread::around(1.0, TRUST);
        let strain = Spread {
            low: blow_strain(useful, bite, flow.high) * energy.low,
            best: blow_strain(useful, bite, flow.best),
            high: blow_strain(useful, bite, flow.low) * energy.high,
        };
        Ok(Blow {
            strain,
            off: strain.map(|e| taken_off(bite.height, e).0),
            verdict: Verdict::of(strain.best),
        })
    }
}

/// True strain of one blow for a flow stress in MPa that the caller knows.
///
/// ```
/// # use anvilside::physics::{hammer::{blow_strain, taken_off}, Bite};
/// # use anvilside::units::{Joules, Mm};
/// let strain = blow_strain(Joules(0.7 * 181.437), Bite::new(25.0, 40.0, 40.0), 100.0);
/// assert!((strain - 0.02765).abs() < 1e-5);
/// assert!((taken_off(Mm(40.0), strain).0 - 1.091).abs() < 1e-3);
/// ```
#[must_use]
pub fn blow_strain(useful: Joules, bite: Bite, flow_mpa: f64) -> f64 {
    let volume = bite.area() * bite.height.0;
    // 1 J = 1000 N mm.
    1000.0 * useful.0 / (factor(bite) * flow_mpa * volume)
}

/// Height that a strain takes off.
#[must_use]
pub fn taken_off(height: Mm, strain: f64) -> Mm {
    Mm(height.0 * (1.0 - (-strain).exp()))
}

#[cfg(test)]
mod tests {
    use super::{Hammer, Verdict};
    use crate::metal::Composition;
    use crate::physics::Bite;
    use crate::units::{Celsius, Fraction, Grams};

    fn pounds(ram: f64) -> Hammer {
        Hammer {
            ram: Grams::from_pounds(ram),
            speed: 4.0,
            efficiency: Fraction(0.7),
        }
    }

    fn steel() -> Composition {
        Composition {
            c: 0.8,
            ..Composition::default()
        }
    }

    #[test]
    fn a_table_worked_apart_agrees_within_its_rounding_and_a_tenth() {
        let rows = [
            (25.0, Bite::new(25.0, 25.0, 25.0), 950.0, 0.7),
            (50.0, Bite::new(25.0, 25.0, 25.0), 1100.0, 1.7),
            (100.0, Bite::new(25.0, 25.0, 25.0), 1200.0, 3.4),
            (100.0, Bite::new(25.0, 40.0, 40.0), 950.0, 1.5),
            (50.0, Bite::new(38.0, 50.0, 50.0), 1100.0, 0.8),
            (25.0, Bite::new(38.0, 65.0, 65.0), 1200.0, 0.3),
        ];
        for (ram, bite, t, off) in rows {
            let blow = pounds(ram).blow(bite, &steel(), Celsius(t)).unwrap();
            // The table stops the strain rate at 100 per second.
            assert!(
                (blow.off.best - off).abs() < 0.05 + 0.1 * off,
                "{ram} {t}: {blow:?}"
            );
        }
    }

    #[test]
    fn the_verdict_follows_the_size() {
        let verdict = |side: f64| {
            pounds(25.0)
                .blow(Bite::new(25.0, side, side), &steel(), Celsius(1100.0))
                .unwrap()
                .verdict
        };
        assert_eq!(verdict(20.0), Verdict::MovesWell);
        assert_eq!(verdict(45.0), Verdict::SkinOnly);
        assert_eq!(verdict(80.0), Verdict::TooBig);
    }

    #[test]
    fn a_heavier_ram_takes_more_off_and_the_band_holds_the_best() {
        let bite = Bite::new(25.0, 40.0, 40.0);
        let mut last = 0.0;
        for ram in [15.0, 25.0, 50.0, 100.0, 200.0] {
            let blow = pounds(ram).blow(bite, &steel(), Celsius(1050.0)).unwrap();
            assert!(blow.off.best > last);
            assert!(blow.strain.low < blow.strain.best && blow.strain.best < blow.strain.high);
            last = blow.off.best;
        }
    }

    #[test]
    fn nonsense_is_refused() {
        let mut hammer = pounds(50.0);
        hammer.speed = f64::NAN;
        assert!(hammer.energy().is_err());
        let mut hammer = pounds(0.0);
        assert!(hammer.useful().is_err());
        hammer = pounds(50.0);
        hammer.efficiency = Fraction(1.2);
        assert!(hammer.useful().is_err());
    }
}
