//! Barrelling: friction holds the faces back, the middle spreads more.
//!
//! `zeta = 2z/T, u = 1 + g (1 - 3 zeta^2); y0 = y/u, z0 = z [1 + g (1 - zeta^2)]`; determinant 1
//! exactly, since `d z0/d z = u`. `g` 0 to 0.1. Own derivation.

use crate::pattern::dual::Num;

/// The bulge of one heavy squeeze.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Barrel {
    /// Thickness after, mm.
    pub(crate) thickness: f64,
    /// Bulge, 0 to 0.1.
    pub(crate) bulge: f64,
}

impl Barrel {
    /// After -> before.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> [T; 3] {
        let zeta = (z * (2.0 / self.thickness)).held(-1.0, 1.0);
        let square = zeta * zeta;
        let u = (square * -3.0 + 1.0) * self.bulge + 1.0;
        let stretch = (-square + 1.0) * self.bulge + 1.0;
        [x, y * u.recip(), z * stretch]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Computed, own derivation: bar 12 thick, bulge 0.1.
    #[test]
    fn worked_points() {
        let barrel = Barrel {
            thickness: 12.0,
            bulge: 0.1,
        };
        let [x, y, z] = barrel.back([0.0, 10.0, 3.0]);
        assert!(x.abs() < 1e-12 && (y - 9.756_10).abs() < 1e-5 && (z - 3.225).abs() < 1e-9);
        let [_, y, z] = barrel.back([0.0, 10.0, 6.0]);
        assert!((y - 12.5).abs() < 1e-9 && (z - 6.0).abs() < 1e-9);
    }
}
