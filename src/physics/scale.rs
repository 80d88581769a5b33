//! Scale: how much metal the fire eats.
//!
//! Parabolic growth, `d(x^2) = K dt`, of the metal lost per face `x`, integrated over the
//! temperature of the heat and started afresh whenever the scale is knocked off.
//!
//! - Rate in air, `kp` in g2 O/cm4/s: `6.1 exp(-169452/RT)` for iron, 700 to 1250 C (Paidassi, Acta
//!   Metall. 6 (1958) 184, as given by Chen and Yuen, Oxid. Met. 59 (2003) 433; from memory).
//! - Its rival: `0.37 exp(-138072/RT)` (Davies, Simnad, Birchenall, Trans. AIME 191 (1951) 889;
//!   from memory). The same two constants, 0.37 and 33,000 cal, were measured in air from 500 to 900 C (Stanley,
//!   Hoene, Huntoon, Trans. ASM (1950); its abstract read). The two make the band: 18 % apart at 1000 C, 27 % at
//!   1200 C.
//! - Metal: 3.3161 g of iron per g of oxygen as Fe(0.95)O, 7.87 g/cm3. Scale: 1.7 times the metal,
//!   the volume ratio of wustite of 5.95 g/cm3; to a fifth more where it is full of pores (`PORES`).
//! - The fire: a factor on thickness, 1 in air, less in a softer fire. The factors of [`Fire`] are
//!   common practice, to be replaced by one learned from weighing; the most of a lean fire follows from its steam,
//!   in which iron scales 1.2 times as fast at 850 C and 1.6 times at 950 C (read in an abstract, `measured.toml`).
//!
//! Nothing grows below 570 C, where wustite does not form. Between 570 and 700 C and above 1250 C
//! (held at 1400 C) the law is carried on. Nickel (50 % and more) is taken not to scale: its own
//! rate is four orders lower. Carbon steel scales no faster than iron; silicon and
//! chromium slow it, and bring the least rate down ([`reach::slowest_scale`]).

use super::{Law, Spread, reach};
use crate::metal::{Composition, Mark};
use crate::units::{Celsius, Fraction, Mm, Seconds};

/// The card of this law.
pub const LAW: Law = Law {
    key: "scale",
    title: "scale and metal lost to it",
    source: "Paidassi, Acta Metall. 6 (1958) 184; Davies, Simnad, Birchenall, Trans. AIME 191 \
             (1951) 889; Stanley, Hoene, Huntoon, Trans. ASM (1950)",
    mark: Mark::FromMemory,
    valid: "iron and carbon steel, 700 to 1250 C; carried on from 570 to 1400 C; the least rate falls with \
            chromium and silicon",
};

const GAS: f64 = 8.314;
/// Metal lost, cm, per g/cm2 of oxygen taken up.
const CM_PER_OXYGEN: f64 = 3.3161 / 7.87;
/// Volume of scale over volume of metal eaten.
pub const SCALE_OVER_METAL: f64 = 1.7;
/// Most that pores make a scale thicker: 0.40 mm were measured where the law has 0.30, at most 0.35 (the tube of
/// `measured.toml`).
const PORES: f64 = 1.2;

/// Oxygen uptake in air, `kp` in g2/cm4/s, with the band of the two measurements.
///
/// ```
/// # use anvilside::{physics::scale::rate, units::Celsius};
/// assert!((rate(Celsius(1200.0)).best / 5.980e-6 - 1.0).abs() < 1e-3);
/// assert!((rate(Celsius(1200.0)).low / 4.702e-6 - 1.0).abs() < 1e-3);
/// ```
#[must_use]
pub fn rate(at: Celsius) -> Spread {
    if at.0.is_nan() || at.0 < 570.0 {
        return Spread::exact(0.0);
    }
    let rt = GAS * at.min(Celsius(1400.0)).kelvin().0;
    let paidassi = 6.1 * (-169_452.0 / rt).exp();
    let davies = 0.37 * (-138_072.0 / rt).exp();
    Spread::preferring(paidassi, &[davies])
}

/// How hard a fire scales, against air, as a factor on thickness (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fire {
    /// Open air or a lean, blowing fire.
    Air,
    /// A gas fire near neutral.
    Neutral,
    /// A rich, soft fire.
    Rich,
    /// A closed stack or a face under flux.
    Covered,
    /// Learned in this shop by weighing.
    Learned(f64),
}

impl Fire {
    /// The factor on thickness.
    #[must_use]
    pub fn factor(self) -> Spread {
        let (low, best, high) = match self {
            Self::Air => (0.9, 1.0, 1.27),
            Self::Neutral => (0.4, 0.45, 0.6),
            Self::Rich => (0.2, 0.25, 0.3),
            Self::Covered => (0.0, 0.0, 0.05),
            Self::Learned(factor) => {
                let factor = if factor.is_nan() {
                    1.0
                } else {
                    factor.clamp(0.0, 3.0)
                };
                (0.9 * factor, factor, 1.1 * factor)
            }
        };
        Spread { low, best, high }
    }
}

/// Scale on a face and the metal lost under it, over any number of heats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    /// Square of the metal turned to the scale now on the face, mm2.
    square: Spread,
    /// Metal already fallen off as scale, mm.
    gone: Spread,
    scales: bool,
    /// Factor on the least rate.
    slowest: f64,
}

impl Growth {
    /// Clean metal.
    #[must_use]
    pub fn clean(metal: &Composition) -> Self {
        Self {
            square: Spread::exact(0.0),
            gone: Spread::exact(0.0),
            scales: metal.ni < 50.0,
            slowest: reach::slowest_scale(metal),
        }
    }

    /// Holds at one temperature; a negative or endless time does nothing.
    pub fn hold(&mut self, at: Celsius, time: Seconds, fire: Fire) {
        self.ramp(at, at, time, fire);
    }

    /// Passes evenly from one temperature to another; a negative or endless time does nothing.
    pub fn ramp(&mut self, from: Celsius, to: Celsius, time: Seconds, fire: Fire) {
        if !self.scales || !time.is_positive() || !(to - from).0.is_finite() {
            return;
        }
        let parts = ((to - from).0.abs() / 5.0).ceil().clamp(1.0, 400.0);
        let factor = fire.factor();
        let mut at = 0.5;
        while at < parts {
            let kp = rate(from + (to - from) * (at / parts));
            let grown = |kp: f64, factor: f64| {
                let k_cm2_s = CM_PER_OXYGEN * CM_PER_OXYGEN * kp * factor * factor;
                100.0 * k_cm2_s * time.0 / parts
            };
            self.square = Spread {
                low: self.square.low + self.slowest * grown(kp.low, factor.low),
                best: self.square.best + grown(kp.best, factor.best),
                high: self.square.high + grown(kp.high, factor.high),
            };
            at += 1.0;
        }
    }

    /// Follows temperatures read at times, straight lines between them.
    pub fn follow(&mut self, course: &[(Seconds, Celsius)], fire: Fire) {
        for pair in course.windows(2) {
            if let [(before, from), (after, to)] = pair {
                self.ramp(*from, *to, *after - *before, fire);
            }
        }
    }

    /// Brushed, hammered or ground clean: growth starts again at the full rate.
    pub fn knock_off(&mut self) {
        self.gone = self.metal();
        self.square = Spread::exact(0.0);
    }

    /// Metal lost per face in all, mm.
    #[must_use]
    pub fn metal(&self) -> Spread {
        Spread {
            low: self.gone.low + self.square.low.sqrt(),
            best: self.gone.best + self.square.best.sqrt(),
            high: self.gone.high + self.square.high.sqrt(),
        }
    }

    /// Scale on the face now, mm.
    #[must_use]
    pub fn thickness(&self) -> Spread {
        let solid = self.square.map(|square| SCALE_OVER_METAL * square.sqrt());
        Spread {
            high: PORES * solid.high,
            ..solid
        }
    }
}

/// Part of a rectangular section lost when every face loses `metal`.
///
/// ```
/// # use anvilside::physics::scale::{Fire, Growth, section_lost};
/// # use anvilside::{metal::Composition, units::{Celsius, Mm, Seconds}};
/// let mut face = Growth::clean(&Composition::default());
/// face.hold(Celsius(1200.0), Seconds(600.0), Fire::Air);
/// let lost = Mm(face.metal().best);
/// assert!(lost.near(Mm(0.2524), 1e-3));
/// assert!((section_lost(Mm(30.0), Mm(30.0), lost).percent() - 3.34).abs() < 0.01);
/// ```
#[must_use]
pub fn section_lost(width: Mm, thickness: Mm, metal: Mm) -> Fraction {
    let whole = width * thickness;
    if !whole.is_positive() || !metal.is_positive() {
        return Fraction::ZERO;
    }
    let left = (width - metal * 2.0).max(Mm::ZERO) * (thickness - metal * 2.0).max(Mm::ZERO);
    Fraction(1.0 - left / whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn iron() -> Growth {
        Growth::clean(&Composition::default())
    }

    #[test]
    fn cleaning_half_way_costs_root_two() {
        let mut once = iron();
        once.hold(Celsius(1200.0), Seconds(600.0), Fire::Air);
        let mut twice = iron();
        for _ in 0..2 {
            twice.hold(Celsius(1200.0), Seconds(300.0), Fire::Air);
            twice.knock_off();
        }
        let ratio = twice.metal().best / once.metal().best;
        assert!((ratio - std::f64::consts::SQRT_2).abs() < 1e-9);
        assert!(twice.thickness().high.abs() < 1e-12);
    }

    #[test]
    fn a_course_in_pieces_is_the_same_as_whole() {
        let mut whole = iron();
        whole.ramp(
            Celsius(20.0),
            Celsius(1250.0),
            Seconds(600.0),
            Fire::Neutral,
        );
        let mut pieces = iron();
        pieces.follow(
            &[
                (Seconds(0.0), Celsius(20.0)),
                (Seconds(300.0), Celsius(635.0)),
                (Seconds(600.0), Celsius(1250.0)),
            ],
            Fire::Neutral,
        );
        assert!((whole.metal().best / pieces.metal().best - 1.0).abs() < 2e-3);
    }

    #[test]
    fn the_band_holds_the_best_and_nickel_keeps_clean() {
        let mut face = iron();
        for t in [800.0, 1000.0, 1074.0, 1200.0, 1390.0] {
            face.hold(Celsius(t), Seconds(60.0), Fire::Neutral);
            let metal = face.metal();
            assert!(metal.holds(metal.best) && metal.low < metal.high);
        }
        let nickel = Composition {
            ni: 99.5,
            ..Composition::default()
        };
        let mut face = Growth::clean(&nickel);
        face.hold(Celsius(1200.0), Seconds(600.0), Fire::Air);
        assert!(face.metal().high.abs() < 1e-12);
    }

    #[test]
    fn senseless_input_changes_nothing() {
        let mut face = iron();
        face.hold(Celsius(f64::NAN), Seconds(60.0), Fire::Air);
        face.hold(Celsius(1200.0), Seconds(-60.0), Fire::Air);
        face.hold(Celsius(1200.0), Seconds(f64::NAN), Fire::Air);
        face.hold(Celsius(300.0), Seconds(6e5), Fire::Air);
        assert!(face.metal().high.abs() < 1e-12);
        assert!(section_lost(Mm(1.0), Mm(1.0), Mm(9.0)).0 <= 1.0);
    }
}
