//! How far nickel has smeared a joint: what is left of the pattern.
//!
//! Tracer diffusion is so slow that joints hardly feel each other until the bands are nearly as thin
//! as the blur; the width of one joint is `3.6248 root(theta)` from 10 to 90 % of the step, and drawing
//! thins the blur with the bands. The band is that of nickel's diffusivity: a factor of two in width.

use super::clock::MM2;
use super::heat::Heat;
use super::series::{BLUR, laminate_mean};
use super::tracer::Tracer;
use crate::physics::Spread;
use crate::units::Mm;

/// Nickel's worth at the oldest joints, in the thickness of now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blur {
    /// mm2.
    worth: Spread,
}

impl Default for Blur {
    fn default() -> Self {
        Self {
            worth: Spread::exact(0.0),
        }
    }
}

impl Blur {
    /// After one more heat, drawing included.
    #[must_use]
    pub fn heated(self, heat: &Heat) -> Self {
        let more = heat.tracer_theta(Tracer::Nickel).scaled(MM2);
        let thinning = heat.thinning() * heat.thinning();
        let sum = |a: f64, b: f64| (a + b) * thinning;
        Self {
            worth: Spread {
                low: sum(self.worth.low, more.low),
                best: sum(self.worth.best, more.best),
                high: sum(self.worth.high, more.high),
            },
        }
    }

    /// After drawing to `factor` of the thickness.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            worth: self.worth.scaled(factor * factor),
        }
    }

    /// Width of the blur at the oldest joints from 10 to 90 % of the step, mm.
    ///
    /// ```
    /// # use anvilside::physics::diffusion::{Blur, Heat};
    /// # use anvilside::units::{Celsius, Seconds};
    /// let hour = Heat::soak(
    ///     (Celsius(1150.0), Seconds(0.0)),
    ///     (Celsius(1150.0), Seconds(3600.0)),
    ///     (Celsius(1150.0), Seconds(0.0)),
    /// )?;
    /// let width = Blur::default().heated(&hour).width();
    /// assert!((width.best - 0.0136).abs() < 1e-4);
    /// assert!((width.low - 0.0088).abs() < 1e-4 && (width.high - 0.0184).abs() < 1e-4);
    /// # Ok::<(), anvilside::physics::diffusion::HeatError>(())
    /// ```
    #[must_use]
    pub fn width(self) -> Spread {
        self.worth.map(|worth| BLUR * worth.max(0.0).sqrt())
    }

    /// Part of the nickel contrast left between bands of this thickness: 1 is as stacked, under a half
    /// the pattern greys.
    #[must_use]
    pub fn contrast(self, band: Mm) -> Spread {
        let square = (band.0 * band.0).max(f64::MIN_POSITIVE);
        self.worth.map(|worth| laminate_mean(worth / square))
    }
}

#[cfg(test)]
mod tests {
    use super::Blur;
    use crate::physics::diffusion::Heat;
    use crate::units::{Celsius, Mm, Seconds};

    fn soak(hours: f64) -> Heat {
        Heat::soak(
            (Celsius(1150.0), Seconds(0.0)),
            (Celsius(1150.0), Seconds(3600.0 * hours)),
            (Celsius(1150.0), Seconds(0.0)),
        )
        .unwrap()
    }

    #[test]
    fn contrast_of_thin_bands_goes_as_tabulated() {
        for (hours, um, left) in [
            (0.25, 20.0, 0.79),
            (1.0, 20.0, 0.58),
            (1.0, 10.0, 0.20),
            (2.0, 8.0, 0.01),
        ] {
            let blur = Blur::default().heated(&soak(hours));
            let contrast = blur.contrast(Mm(um / 1000.0));
            assert!((contrast.best - left).abs() < 0.01, "{hours} {um}");
            assert!(contrast.low <= contrast.best && contrast.best <= contrast.high);
        }
    }

    #[test]
    fn drawing_thins_blur_and_band_alike() {
        let blur = Blur::default().heated(&soak(1.0));
        let drawn = blur.scaled(0.2);
        assert!((drawn.width().best / blur.width().best - 0.2).abs() < 1e-12);
        let before = blur.contrast(Mm(0.05)).best;
        assert!((drawn.contrast(Mm(0.01)).best - before).abs() < 1e-12);
        assert!((Blur::default().contrast(Mm(0.0)).best - 1.0).abs() < 1e-3);
    }
}
