//! A heat as it was logged, and what it is worth to diffusion: `theta = integral of D/l^2 dt`, l the
//! thickness over that at the start of the heat. For a D that does not follow carbon this one number
//! is all that a heat does. Metal drawn thin early in a heat mixes more than metal drawn late.

use super::carbon::{A1, CarbonLaw};
use super::tracer::Tracer;
use crate::physics::Spread;
use crate::units::{Celsius, Kelvin, Seconds};

/// One logged moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatPoint {
    /// Time since the start of the heat.
    pub at: Seconds,
    /// Temperature of the metal.
    pub temperature: Celsius,
    /// Thickness of the stack over that at the start of the heat.
    pub thickness: f64,
}

/// Why a list of moments is not a heat.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum HeatError {
    /// A heat needs at least two moments.
    #[error("a heat needs at least two moments")]
    TooShort,
    /// A later moment has an earlier time.
    #[error("moment {index} of the heat is earlier than the one before")]
    NotInOrder {
        /// Counted from one.
        index: usize,
    },
    /// A value that is no temperature, time or thickness.
    #[error("moment {index} of the heat has no sensible time, temperature or thickness")]
    NotSensible {
        /// Counted from one.
        index: usize,
    },
}

/// Temperature and thickness over time: straight lines between moments for the temperature, steady
/// rates between moments for the thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct Heat {
    points: Vec<HeatPoint>,
}

/// A short stretch of a heat above A1, over which everything runs nearly straight.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Slice {
    /// Length, s.
    pub(crate) seconds: f64,
    /// Temperature at the start and the end.
    pub(crate) kelvin: (f64, f64),
    /// Log thickness ratio at the start and the end.
    pub(crate) log_thickness: (f64, f64),
}

/// Gauss-Legendre on three points over 0 to 1: place and weight.
const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258_3, 5.0 / 18.0),
    (0.5, 8.0 / 18.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

impl Slice {
    /// Temperature and log thickness at a part of the slice.
    pub(crate) fn at(&self, part: f64) -> (Kelvin, f64) {
        let mix = |(a, b): (f64, f64)| a + (b - a) * part;
        (Kelvin(mix(self.kelvin)), mix(self.log_thickness))
    }

    /// `integral of D / l^2 dt` over the slice.
    pub(crate) fn theta(&self, diffusivity: impl Fn(Kelvin) -> f64) -> f64 {
        GAUSS
            .iter()
            .map(|&(part, weight)| {
                let (t, log) = self.at(part);
                weight * diffusivity(t) * (-2.0 * log).exp()
            })
            .sum::<f64>()
            * self.seconds
    }
}

impl Heat {
    /// A heat from its logged moments.
    ///
    /// # Errors
    /// [`HeatError`] for fewer than two moments, times that run back, and values that are not
    /// finite or, for thickness, not above zero.
    pub fn new(points: Vec<HeatPoint>) -> Result<Self, HeatError> {
        if points.len() < 2 {
            return Err(HeatError::TooShort);
        }
        let mut last = f64::NEG_INFINITY;
        for (i, point) in points.iter().enumerate() {
            let index = i + 1;
            let sensible = point.at.0.is_finite()
                && (-273.15..=2000.0).contains(&point.temperature.0)
                && (1e-6..=1e6).contains(&point.thickness);
            if !sensible {
                return Err(HeatError::NotSensible { index });
            }
            if point.at.0 < last {
                return Err(HeatError::NotInOrder { index });
            }
            last = point.at.0;
        }
        Ok(Self { points })
    }

    /// A heat without drawing: up from `start` in `up`, held at `top` for `hold`, down to `end` in `down`.
    ///
    /// ```
    /// # use anvilside::physics::diffusion::{CarbonLaw, Heat};
    /// # use anvilside::units::{Celsius, Seconds};
    /// let heat = Heat::soak(
    ///     (Celsius(800.0), Seconds(180.0)),
    ///     (Celsius(1150.0), Seconds(600.0)),
    ///     (Celsius(800.0), Seconds(120.0)),
    /// )?;
    /// let theta = heat.carbon_theta(CarbonLaw::Callister, 0.85);
    /// assert!((theta / 5.817_592_78e-8 - 1.0).abs() < 1e-8);
    /// # Ok::<(), anvilside::physics::diffusion::HeatError>(())
    /// ```
    ///
    /// # Errors
    /// As [`Heat::new`].
    pub fn soak(
        (start, up): (Celsius, Seconds),
        (top, hold): (Celsius, Seconds),
        (end, down): (Celsius, Seconds),
    ) -> Result<Self, HeatError> {
        let moment = |at: Seconds, temperature: Celsius| HeatPoint {
            at,
            temperature,
            thickness: 1.0,
        };
        Self::new(vec![
            moment(Seconds(0.0), start),
            moment(up, top),
            moment(up + hold, top),
            moment(up + hold + down, end),
        ])
    }

    /// Thickness at the end over thickness at the start.
    #[must_use]
    pub fn thinning(&self) -> f64 {
        match (self.points.first(), self.points.last()) {
            (Some(first), Some(last)) => last.thickness / first.thickness,
            _ => 1.0,
        }
    }

    /// Hottest temperature of the heat.
    #[must_use]
    pub fn hottest(&self) -> Celsius {
        let hottest = self.points.iter().map(|p| p.temperature.0);
        Celsius(hottest.fold(f64::NEG_INFINITY, f64::max))
    }

    /// What the heat is worth to carbon at a fixed carbon content, m2 in the thickness at its start.
    #[must_use]
    pub fn carbon_theta(&self, law: CarbonLaw, carbon_pct: f64) -> f64 {
        self.theta(|t| law.value(t, carbon_pct))
    }

    /// What the heat is worth to a metal, m2 in the thickness at its start.
    #[must_use]
    pub fn tracer_theta(&self, tracer: Tracer) -> Spread {
        Spread {
            low: self.theta(|t| tracer.value(t).low),
            best: self.theta(|t| tracer.value(t).best),
            high: self.theta(|t| tracer.value(t).high),
        }
    }

    /// `integral of D/l^2 dt`, D in m2/s by absolute temperature.
    pub(crate) fn theta(&self, diffusivity: impl Fn(Kelvin) -> f64) -> f64 {
        let mut sum = 0.0;
        self.slices(|slice| sum += slice.theta(&diffusivity));
        sum
    }

    fn pairs(&self) -> impl Iterator<Item = (&HeatPoint, &HeatPoint)> {
        self.points.iter().zip(self.points.iter().skip(1))
    }

    /// Gives every short stretch above A1 in turn.
    pub(crate) fn slices(&self, mut each: impl FnMut(Slice)) {
        let start = self.points.first().map_or(1.0, |p| p.thickness);
        for (a, b) in self.pairs() {
            let (ta, tb) = (a.temperature.kelvin().0, b.temperature.kelvin().0);
            let (la, lb) = ((a.thickness / start).ln(), (b.thickness / start).ln());
            let (from, to) = part_above(ta, tb, A1.kelvin().0);
            let span = b.at.0 - a.at.0;
            let seconds = span * (to - from);
            if seconds <= 0.0 {
                continue;
            }
            let warmth = (tb - ta).abs() * (to - from) / 30.0;
            let drawing = (lb - la).abs() * (to - from) / 0.1;
            let pieces = (warmth + drawing).ceil().clamp(1.0, 200.0);
            let step = (to - from) / pieces;
            let mut done = 0.0;
            while done < pieces {
                let part = |k: f64| from + step * k;
                let mix = |x: f64, y: f64, k: f64| x + (y - x) * part(k);
                each(Slice {
                    seconds: seconds / pieces,
                    kelvin: (mix(ta, tb, done), mix(ta, tb, done + 1.0)),
                    log_thickness: (mix(la, lb, done), mix(la, lb, done + 1.0)),
                });
                done += 1.0;
            }
        }
    }
}

/// The part of a straight line from `a` to `b` that lies at or above `limit`, as shares of its length.
fn part_above(a: f64, b: f64, limit: f64) -> (f64, f64) {
    match (a >= limit, b >= limit) {
        (true, true) => (0.0, 1.0),
        (false, false) => (0.0, 0.0),
        (false, true) => ((limit - a) / (b - a), 1.0),
        (true, false) => (0.0, (limit - a) / (b - a)),
    }
}

#[cfg(test)]
mod tests {
    use super::{Heat, HeatError, HeatPoint};
    use crate::physics::diffusion::{CarbonLaw, Tracer};
    use crate::units::{Celsius, Seconds};

    fn moment(at: f64, t: f64, thickness: f64) -> HeatPoint {
        HeatPoint {
            at: Seconds(at),
            temperature: Celsius(t),
            thickness,
        }
    }

    #[test]
    fn drawing_at_a_steady_rate_is_the_closed_form() {
        let heat = Heat::new(vec![moment(0.0, 1150.0, 1.0), moment(600.0, 1150.0, 0.2)]).unwrap();
        let d = CarbonLaw::Callister
            .diffusivity(Celsius(1150.0), 0.0)
            .unwrap();
        let exact = d * 600.0 * 24.0 / (2.0 * 5.0_f64.ln());
        let theta = heat.carbon_theta(CarbonLaw::Callister, 0.0);
        assert!((theta / exact - 1.0).abs() < 1e-9);
        assert!((heat.thinning() - 0.2).abs() < 1e-12);
    }

    #[test]
    fn a_log_full_of_points_gives_what_its_corners_give() {
        let corners = Heat::soak(
            (Celsius(20.0), Seconds(300.0)),
            (Celsius(1180.0), Seconds(200.0)),
            (Celsius(600.0), Seconds(100.0)),
        )
        .unwrap();
        let mut points = Vec::new();
        for i in 0..=600_u32 {
            let at = f64::from(i);
            let t = if at <= 300.0 {
                20.0 + 1160.0 * at / 300.0
            } else if at <= 500.0 {
                1180.0
            } else {
                1180.0 - 580.0 * (at - 500.0) / 100.0
            };
            points.push(moment(at, t, 1.0));
        }
        let full = Heat::new(points).unwrap();
        let a = corners.carbon_theta(CarbonLaw::Agren, 0.8);
        let b = full.carbon_theta(CarbonLaw::Agren, 0.8);
        assert!((a / b - 1.0).abs() < 1e-6);
        let nickel = corners.tracer_theta(Tracer::Nickel);
        assert!(nickel.low < nickel.best && nickel.best < nickel.high && nickel.high < a);
    }

    #[test]
    fn nothing_happens_below_a1() {
        let cold = Heat::soak(
            (Celsius(20.0), Seconds(100.0)),
            (Celsius(700.0), Seconds(1e6)),
            (Celsius(20.0), Seconds(100.0)),
        )
        .unwrap();
        assert!(cold.carbon_theta(CarbonLaw::Agren, 0.8).abs() < 1e-30);
    }

    #[test]
    fn what_is_no_heat_is_said() {
        assert_eq!(Heat::new(vec![]).unwrap_err(), HeatError::TooShort);
        let back = vec![moment(10.0, 900.0, 1.0), moment(5.0, 900.0, 1.0)];
        assert_eq!(
            Heat::new(back).unwrap_err().to_string(),
            "moment 2 of the heat is earlier than the one before"
        );
        for bad in [
            moment(f64::NAN, 900.0, 1.0),
            moment(0.0, f64::INFINITY, 1.0),
            moment(0.0, 900.0, 0.0),
        ] {
            let error = Heat::new(vec![moment(0.0, 900.0, 1.0), bad]).unwrap_err();
            assert_eq!(error, HeatError::NotSensible { index: 2 });
        }
    }
}
