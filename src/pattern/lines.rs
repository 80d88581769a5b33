//! The numbers that go with a picture: how close the bands lie, how steep the layers run, and what the next
//! draw leaves of it.
//!
//! Layers that lie at a tilt `th` to a face show bands `h / sin th` wide (h the layer's thickness), so what
//! matters on a face is the share of the layers' slope that lies in it. An even draw is affine: it
//! divides and multiplies slopes by the ratios of the sizes. Own derivation.

use super::chain::{Chain, What};
use super::dual::Dual;
use super::view::{Outlook, View};
use crate::units::Mm;

/// How the bands run on a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lines {
    /// Bands crossed in a centimetre along the length.
    pub along: f64,
    /// Bands crossed in a centimetre across.
    pub across: f64,
    /// Mean slope of the bands against the length, degrees.
    pub slope: f64,
    /// Root mean square sine of the tilt between layers and face: 0 where they lie flat under it, 1
    /// where they stand on edge.
    pub tilt: f64,
}

/// How steep the layers run, in a word. It is the layers' slope that a smith works for, and not the course
/// of the lines on one face: on a flat face the lines of a nearly straight bar wander every way, and on its
/// side they are rules. The limits are ours, set by looking: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Steepness {
    /// Under half a band in a centimetre, whatever its course.
    Few,
    /// Under 0.3 degrees: as stacked.
    Straight,
    /// Under 1.5 degrees: only the hammer's waves.
    NearlyStraight,
    /// Under 10 degrees.
    Sloping,
    /// From 10 degrees on.
    Steep,
}

impl Steepness {
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Few => "few lines",
            Self::Straight => "straight",
            Self::NearlyStraight => "nearly straight",
            Self::Sloping => "sloping",
            Self::Steep => "steep",
        }
    }
}

/// Places measured along and across a face.
const PLACES: [u32; 2] = [48, 14];

impl Lines {
    /// Measured on a view: the face, the ground blade, or a section. None where no layers show.
    #[must_use]
    pub fn of(chain: &Chain, view: View) -> Option<Self> {
        let outlook = Outlook::new(chain, view, None);
        let [low_u, high_u, low_v, high_v] = outlook.extent();
        let low_u = low_u.max(if matches!(view, View::Blade(_)) {
            0.0
        } else {
            low_u
        });
        let mut found = Vec::with_capacity(256);
        for i in 0..PLACES[0] {
            for j in 0..PLACES[1] {
                let share = |n: u32, of: u32| (f64::from(n) + 0.5) / f64::from(of);
                let u = low_u + share(i, PLACES[0]) * (high_u - low_u);
                let v = low_v + share(j, PLACES[1]) * (high_v - low_v);
                if outlook.column(u, 1e-6).cover(v, 1e-6) < 0.5 {
                    continue;
                }
                let p = outlook.point_off(
                    Dual::<3>::variable(u, 0),
                    Dual::variable(v, 1),
                    Dual::variable(0.0, 2),
                );
                let spot = chain.back(p);
                if let What::Layer(depth) = spot.what
                    && depth.d.iter().all(|slope| slope.is_finite())
                {
                    // Every bar's layers, as if they were as thick in its first stack as those of the core.
                    let own = chain.first_stack.mean() / chain.part(spot.member).first_stack.mean();
                    found.push(depth.d.map(|slope| slope * own));
                }
            }
        }
        summed(&found, chain.first_stack.mean())
    }

    /// The slope in a word.
    #[must_use]
    pub fn steepness(&self) -> Steepness {
        match self.slope {
            _ if self.along.hypot(self.across) < 0.5 => Steepness::Few,
            s if s < 0.3 => Steepness::Straight,
            s if s < 1.5 => Steepness::NearlyStraight,
            s if s < 10.0 => Steepness::Sloping,
            _ => Steepness::Steep,
        }
    }
}

fn summed(found: &[[f64; 3]], pitch: f64) -> Option<Lines> {
    let size = |g: &[f64; 3]| g.iter().map(|s| s * s).sum::<f64>();
    let mut sizes: Vec<f64> = found.iter().map(size).collect();
    sizes.sort_by(f64::total_cmp);
    // Creases of a map are no lines.
    let most = 9.0 * sizes.get(sizes.len() / 2)?;
    let (mut along, mut across, mut slope, mut count) = (0.0, 0.0, 0.0, 0.0);
    let (mut face, mut whole) = (0.0, 0.0);
    for g in found.iter().filter(|g| size(g) <= most && size(g) > 0.0) {
        let [u, v, _] = *g;
        along += u.abs();
        across += v.abs();
        slope += (u.abs() / size(g).sqrt()).clamp(0.0, 1.0).asin();
        face += u * u + v * v;
        whole += size(g);
        count += 1.0;
    }
    (count > 0.0 && face > 0.0).then(|| Lines {
        along: 10.0 * along / count / pitch,
        across: 10.0 * across / count / pitch,
        slope: (slope / count).to_degrees(),
        tilt: (face / whole).sqrt(),
    })
}

/// What an even draw does to lines: factors of their slopes, by the ratios of the sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Straightened {
    /// Slope along the bar, layers flat: `(t1/t0)/(L1/L0)`.
    pub along: f64,
    /// Slope across the bar, layers flat: `(t1/t0)/(w1/w0)`.
    pub across: f64,
    /// Slope along the bar, layers on edge: `(w1/w0)/(L1/L0)`.
    pub on_edge: f64,
    /// Bands in a centimetre along the bar: `1/(L1/L0)`; bands between two marks never change.
    pub bands: f64,
}

impl Straightened {
    /// By outside width, thickness and length before and after.
    ///
    /// ```
    /// # use anvilside::{pattern::Straightened, units::Mm};
    /// // Drawn to 1/3.5 of the thickness with a spread coefficient of 0.35.
    /// let r: f64 = 3.5;
    /// let drawn = Straightened::by(
    ///     [Mm(40.0), Mm(49.0), Mm(100.0)],
    ///     [Mm(40.0 * r.powf(0.35)), Mm(14.0), Mm(100.0 * r.powf(0.65))],
    /// );
    /// assert!((drawn.along - 0.1266).abs() < 1e-4);
    /// assert!((drawn.across - 0.1843).abs() < 1e-4);
    /// assert!((drawn.on_edge - 0.687).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn by(before: [Mm; 3], after: [Mm; 3]) -> Self {
        let [w0, t0, l0] = before.map(Mm::get);
        let [w1, t1, l1] = after.map(Mm::get);
        let ratio = |a: f64, b: f64| if a > 0.0 && b > 0.0 { a / b } else { 1.0 };
        let (w, t, l) = (ratio(w1, w0), ratio(t1, t0), ratio(l1, l0));
        Self {
            along: t / l,
            across: t / w,
            on_edge: w / l,
            bands: 1.0 / l,
        }
    }
}
