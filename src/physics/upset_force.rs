//! Force to upset a free block between flat dies.
//!
//! `F = Kf Yf A`, `Kf = 1 + 0.4 mu D / h` (M. P. Groover, Fundamentals of Modern Manufacturing, chapter on
//! bulk deformation, seen): A the contact area now, h the height now, D the diameter or other
//! contact length now, mu the friction coefficient, Yf the flow stress now.

use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::{Kilonewtons, MegaPascals, Mm, Mm2};

/// The card of this law.
pub const LAW: Law = Law {
    key: "upset-force",
    title: "upset force",
    source: "M. P. Groover, Fundamentals of Modern Manufacturing, bulk deformation",
    mark: Mark::Seen,
    valid: "cylinders between flat dies, friction to 0.6",
};
/// Sizes, mm.
pub const SIZE: Range = Range {
    law: LAW.title,
    name: "size",
    unit: "mm",
    least: 0.1,
    greatest: 2000.0,
};
/// Coulomb friction: 0.1 lubricated and cold, 0.3 to 0.5 hot and dry.
pub const FRICTION: Range = Range {
    law: LAW.title,
    name: "friction",
    unit: "",
    least: 0.0,
    greatest: 0.6,
};

/// A cylinder that is upset; the volume is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Upset {
    /// Diameter at the start.
    pub diameter: Mm,
    /// Height at the start.
    pub height: Mm,
    /// Friction at the dies.
    pub friction: f64,
}

/// Strain hardening of cold metal, `Y = K e^n` (Hollomon).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hardening {
    /// K.
    pub strength: MegaPascals,
    /// n, dimensionless.
    pub exponent: f64,
}

impl Upset {
    /// Contact area when the height has come down to `height`.
    #[must_use]
    pub fn area(&self, height: Mm) -> Mm2 {
        let start = std::f64::consts::FRAC_PI_4 * self.diameter.0 * self.diameter.0;
        Mm2(start * self.height.0 / height.0)
    }

    /// Force at `height` for a flow stress that the caller knows.
    ///
    /// # Errors
    /// Sizes outside [`SIZE`], friction outside [`FRICTION`].
    pub fn force(&self, height: Mm, flow: MegaPascals) -> Result<Kilonewtons, OutOfRange> {
        for size in [self.diameter, self.height, height] {
            SIZE.check(size.0)?;
        }
        let friction = FRICTION.check(self.friction)?;
        let area = self.area(height).0;
        let diameter = (area / std::f64::consts::FRAC_PI_4).sqrt();
        let shape = 1.0 + 0.4 * friction * diameter / height.0;
        Ok(Kilonewtons(shape * flow.0 * area / 1000.0))
    }

    /// Force at `height` for metal that hardens with strain. At the first yield give a height 0.2 %
    /// below the start.
    ///
    /// ```
    /// # use anvilside::physics::{Hardening, Upset};
    /// # use anvilside::units::{MegaPascals, Mm};
    /// let block = Upset { diameter: Mm(50.0), height: Mm(75.0), friction: 0.1 };
    /// let metal = Hardening { strength: MegaPascals(350.0), exponent: 0.17 };
    /// let force = block.hardening_force(Mm(36.0), metal)?;
    /// assert!((force.0 - 1467.4).abs() < 1.0);
    /// # Ok::<(), anvilside::physics::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// As [`Upset::force`], and a height that is not below the start.
    pub fn hardening_force(&self, height: Mm, metal: Hardening) -> Result<Kilonewtons, OutOfRange> {
        let below = Range {
            name: "height",
            greatest: self.height.0 * (1.0 - 1e-6),
            ..SIZE
        };
        below.check(height.0)?;
        let strain = super::true_strain(self.height, height)?;
        let flow = MegaPascals(metal.strength.0 * strain.powf(metal.exponent));
        self.force(height, flow)
    }
}

#[cfg(test)]
mod tests {
    use super::{Hardening, Upset};
    use crate::units::{MegaPascals, Mm};

    const BLOCK: Upset = Upset {
        diameter: Mm(50.0),
        height: Mm(75.0),
        friction: 0.1,
    };
    const METAL: Hardening = Hardening {
        strength: MegaPascals(350.0),
        exponent: 0.17,
    };

    #[test]
    fn the_book_rounds_but_agrees() {
        for (height, newtons) in [(62.0, 649_303.0), (49.0, 955_642.0), (36.0, 1_467_422.0)] {
            let force = BLOCK.hardening_force(Mm(height), METAL).unwrap();
            assert!((force.0 * 1000.0 / newtons - 1.0).abs() < 1e-3);
        }
    }

    #[test]
    fn no_friction_is_stress_times_area() {
        let free = Upset {
            friction: 0.0,
            ..BLOCK
        };
        let force = free.force(Mm(30.0), MegaPascals(100.0)).unwrap();
        assert!((force.0 - free.area(Mm(30.0)).0 * 0.1).abs() < 1e-9);
    }

    #[test]
    fn a_block_that_has_not_been_squeezed_is_refused() {
        assert!(BLOCK.hardening_force(Mm(75.0), METAL).is_err());
        assert!(BLOCK.hardening_force(Mm(0.0), METAL).is_err());
    }
}
