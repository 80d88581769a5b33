//! What the surface figures leave open in heating and cooling.

use crate::physics::Spread;
use crate::physics::section::SCALED_STEEL;

/// Emissivity of scaled steel: the law's own, then the ends that handbooks (0.9) and EN 1993-1-2
/// (0.7) give.
pub(super) const EMISSIVITIES: [f64; 3] = [SCALED_STEEL, 0.9, 0.7];

/// The emissivity at which a bar takes longest.
pub(super) const SLOWEST: f64 = 0.7;
/// The emissivity at which a bar loses its heat fastest.
pub(super) const FASTEST: f64 = 0.9;

/// The first figure's answer as best, the others as the range.
pub(super) fn ranged(found: &[f64]) -> Spread {
    Spread::preferring(found.first().copied().unwrap_or(f64::NAN), found)
}
