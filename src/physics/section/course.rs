//! How the section's temperatures run over time.

use super::grid::Glance;
use crate::units::{Celsius, Seconds};

/// The section at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Since the start.
    pub seconds: Seconds,
    /// Mean over the section.
    pub mean: Celsius,
    /// Middle of the upper broad face.
    pub face: Celsius,
    /// Centre of the section.
    pub centre: Celsius,
    /// Coldest point: a corner when cooling, the core when heating.
    pub coldest: Celsius,
    /// Hottest point.
    pub hottest: Celsius,
}

impl Moment {
    pub(super) fn of(seconds: f64, glance: Glance) -> Self {
        Self {
            seconds: Seconds(seconds),
            mean: Celsius(glance.mean),
            face: Celsius(glance.face),
            centre: Celsius(glance.centre),
            coldest: Celsius(glance.coldest),
            hottest: Celsius(glance.hottest),
        }
    }

    /// True when hours pass and nothing moves: the surroundings have been reached.
    pub(super) fn stands_still(&self, then: &Self) -> bool {
        let passed = (then.seconds - self.seconds).0;
        let moved = (then.mean - self.mean)
            .abs()
            .max((then.centre - self.centre).abs())
            .max((then.coldest - self.coldest).abs())
            .max((then.hottest - self.hottest).abs());
        passed > 0.0 && moved.0 / passed < 1e-6
    }
}

/// The moments of a heating or a cooling, close enough together to draw straight lines between.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    moments: Vec<Moment>,
}

impl Course {
    pub(super) fn new(moments: Vec<Moment>) -> Self {
        Self { moments }
    }

    /// Every moment worked out, in order; the first is the start.
    #[must_use]
    pub fn moments(&self) -> &[Moment] {
        &self.moments
    }

    /// From start to end.
    #[must_use]
    pub fn length(&self) -> Seconds {
        self.moments.last().map_or(Seconds::ZERO, |m| m.seconds)
    }

    /// When the mean passes this temperature, if it does.
    #[must_use]
    pub fn mean_at(&self, at: Celsius) -> Option<Seconds> {
        self.crossing(at, |m| m.mean)
    }

    /// When the middle of the upper broad face passes this temperature, if it does.
    #[must_use]
    pub fn face_at(&self, at: Celsius) -> Option<Seconds> {
        self.crossing(at, |m| m.face)
    }

    /// When the centre passes this temperature, if it does.
    #[must_use]
    pub fn centre_at(&self, at: Celsius) -> Option<Seconds> {
        self.crossing(at, |m| m.centre)
    }

    /// The section at any time of the course; the ends are held outside it.
    #[must_use]
    pub fn at(&self, seconds: Seconds) -> Moment {
        let after = self.moments.partition_point(|m| m.seconds < seconds);
        let then = self.moments.get(after).or(self.moments.last());
        let now = self.moments.get(after.saturating_sub(1)).or(then);
        match (now, then) {
            (Some(now), Some(then)) => {
                let span = (then.seconds - now.seconds).0;
                let share = if span > 0.0 {
                    ((seconds - now.seconds).0 / span).clamp(0.0, 1.0)
                } else {
                    1.0
                };
                let mix = |a: Celsius, b: Celsius| a + (b - a) * share;
                Moment {
                    seconds,
                    mean: mix(now.mean, then.mean),
                    face: mix(now.face, then.face),
                    centre: mix(now.centre, then.centre),
                    coldest: mix(now.coldest, then.coldest),
                    hottest: mix(now.hottest, then.hottest),
                }
            }
            _ => Moment {
                seconds,
                mean: Celsius(f64::NAN),
                face: Celsius(f64::NAN),
                centre: Celsius(f64::NAN),
                coldest: Celsius(f64::NAN),
                hottest: Celsius(f64::NAN),
            },
        }
    }

    fn crossing(&self, at: Celsius, of: impl Fn(&Moment) -> Celsius) -> Option<Seconds> {
        let first = self.moments.first()?;
        if of(first).near(at, 1e-9) {
            return Some(first.seconds);
        }
        self.moments.windows(2).find_map(|pair| match pair {
            [now, then] => {
                let (before, after) = ((of(now) - at).0, (of(then) - at).0);
                let crosses = (before < 0.0 && after >= 0.0) || (before > 0.0 && after <= 0.0);
                crosses.then(|| {
                    now.seconds + (then.seconds - now.seconds) * (before / (before - after))
                })
            }
            _ => None,
        })
    }
}
