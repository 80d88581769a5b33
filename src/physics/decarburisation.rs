//! Depth to which the skin has lost carbon in an oxidising fire.
//!
//! Carbon at the face is held at `Cs` while the face itself recedes by `X` under the scale (Birks
//! and Meier, Introduction to High Temperature Oxidation of Metals, chapter on decarburisation;
//! from memory). At `x` from the first surface, with `Dt` the diffusivity summed over time,
//!
//! `(C0 - C)/(C0 - Cs) = erfc(x/(2 sqrt(Dt))) / erfc(X/(2 sqrt(Dt)))`, `x >= X`.
//!
//! Valid for austenite (above A3) with one diffusivity; below about 912 C a skin of ferrite forms
//! and the depth is less than this. `Cs` in scale is close to zero; the default is zero.

use super::erf::{erfc, inverse_erf};
use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::{Fraction, Mm};

/// The card of this law.
pub const LAW: Law = Law {
    key: "decarburisation",
    title: "depth that has lost carbon",
    source: "Birks and Meier, Introduction to High Temperature Oxidation of Metals",
    mark: Mark::FromMemory,
    valid: "austenite, one diffusivity; a share of carbon outside 1 to 99 % is an error",
};

const SHARE: Range = Range {
    law: "loss of carbon",
    name: "share of carbon left",
    unit: "",
    least: 0.01,
    greatest: 0.99,
};
const DIFFUSED: Range = Range {
    law: "loss of carbon",
    name: "diffusivity times time",
    unit: "mm2",
    least: 1e-12,
    greatest: 1e6,
};
const RECESSION: Range = Range {
    law: "loss of carbon",
    name: "metal lost to scale",
    unit: "mm",
    least: 0.0,
    greatest: 100.0,
};

/// Depth below today's surface at which `left` of the first carbon is still there; the face holds
/// no carbon. `diffused_mm2` is the sum of diffusivity times time, `recession` the metal lost.
///
/// ```
/// # use anvilside::{physics::decarburisation::depth, units::{Fraction, Mm}};
/// // 10 min at 1200 C in air, 0.8 % C: D = 1.874e-10 m2/s
/// let deep = depth(1.874e-10 * 600.0 * 1e6, Mm(0.2524), Fraction(0.9))?;
/// assert!(deep.near(Mm(0.641), 0.005));
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A share outside 1 to 99 %, or sums that are not positive.
pub fn depth(diffused_mm2: f64, recession: Mm, left: Fraction) -> Result<Mm, OutOfRange> {
    let length = 2.0 * DIFFUSED.check(diffused_mm2)?.sqrt();
    let receded = RECESSION.check(recession.0)?;
    let share = 1.0 - SHARE.check(left.0)?;
    let face = erfc(receded / length);
    if face < 1e-12 {
        return Ok(Mm::ZERO);
    }
    let from_first = length * inverse_erf(1.0 - share * face);
    Ok((Mm(from_first) - recession).max(Mm::ZERO))
}

/// Share of the first carbon left at a depth below today's surface.
///
/// # Errors
/// Sums that are not positive.
pub fn left_at(diffused_mm2: f64, recession: Mm, depth: Mm) -> Result<Fraction, OutOfRange> {
    let length = 2.0 * DIFFUSED.check(diffused_mm2)?.sqrt();
    let receded = RECESSION.check(recession.0)?;
    let at = receded + depth.0.max(0.0);
    let face = erfc(receded / length);
    if face < 1e-300 {
        return Ok(Fraction::ONE);
    }
    Ok(Fraction(1.0 - erfc(at / length) / face))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn depth_and_share_are_inverse() {
        for left in [0.05, 0.5, 0.9] {
            let deep = depth(0.11, Mm(0.25), Fraction(left)).unwrap();
            let back = left_at(0.11, Mm(0.25), deep).unwrap();
            assert!(back.near(Fraction(left), 1e-9));
        }
    }

    #[test]
    fn a_face_that_recedes_leaves_less_skin() {
        let still = depth(0.11, Mm(0.0), Fraction(0.9)).unwrap();
        let eaten = depth(0.11, Mm(0.25), Fraction(0.9)).unwrap();
        assert!(still > eaten && eaten.is_positive());
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(depth(f64::NAN, Mm(0.1), Fraction(0.5)).is_err());
        assert!(depth(0.1, Mm(-1.0), Fraction(0.5)).is_err());
        assert!(depth(0.1, Mm(0.1), Fraction(1.0)).is_err());
        assert!(
            depth(1e-9, Mm(50.0), Fraction(0.5))
                .unwrap()
                .near(Mm(0.0), 1e-12)
        );
    }
}
