//! Uneven hammering: real blows do not move every layer alike.
//!
//! With `zeta = 2z/T`: `z0 = z + d [N1(x,y) (1+zeta)/2 + N2(x,y) (1-zeta)/2] + e N3(x,y) (1-zeta^2)`,
//! and the same across the width with `(x,z)`. `d` moves the faces through the layers and must be ground off (the noise is
//! bounded, see [`super::super::noise::BOUND`]); `e` bends the inside only and leaves the faces.
//! Own derivation; sizes found by looking at etched bars: common practice, no source.

use crate::pattern::dual::Num;
use crate::pattern::noise::{Noise, mix};

/// How uneven, mm RMS.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Uneven {
    /// At the two faces, to be ground off.
    pub(crate) face: f64,
    /// Inside, none at the faces.
    pub(crate) inside: f64,
}

/// One hammering of a bar.
#[derive(Debug, Clone)]
pub(crate) struct Hammer {
    thickness: f64,
    width: f64,
    through: Uneven,
    across: Uneven,
    faces: Noise,
    sides: Option<Noise>,
}

impl Hammer {
    /// A bar of `[width, thickness, length]` mm hammered with waves of `wavelength` mm.
    pub(crate) fn new(
        seed: u64,
        size: [f64; 3],
        wavelength: f64,
        through: Uneven,
        across: Uneven,
    ) -> Self {
        let [width, thickness, length] = size;
        let span = |s: f64| [-0.5 * s, 0.5 * s];
        let sides = (across.face > 0.0 || across.inside > 0.0)
            .then(|| Noise::new(mix(seed, 1), [0.0, length], span(thickness), wavelength, 3));
        Self {
            thickness,
            width,
            through,
            across,
            faces: Noise::new(mix(seed, 0), [0.0, length], span(width), wavelength, 3),
            sides,
        }
    }

    /// After -> before.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> [T; 3] {
        let [weights, slopes] = weave(z.value(), self.thickness, self.through);
        let z0 = z.woven(&self.faces, x, y, weights, slopes);
        let y0 = match &self.sides {
            Some(sides) => {
                let [weights, slopes] = weave(y.value(), self.width, self.across);
                y.woven(sides, x, z, weights, slopes)
            }
            None => y,
        };
        [x, y0, z0]
    }
}

/// Weights of the noises for the upper face, the lower face and the inside, and their slopes.
#[inline(always)]
fn weave(at: f64, size: f64, uneven: Uneven) -> [[f32; 4]; 2] {
    let full = 2.0 * at / size;
    let zeta = full.clamp(-1.0, 1.0);
    let steep = if full.abs() < 1.0 { 2.0 / size } else { 0.0 };
    let face = 0.5 * uneven.face;
    let single = |v: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "single precision is plenty"
        )]
        let v = v as f32;
        v
    };
    let weights = [
        single(face * (1.0 + zeta)),
        single(face * (1.0 - zeta)),
        single(uneven.inside * (1.0 - zeta * zeta)),
        0.0,
    ];
    let slopes = [
        single(face * steep),
        single(-face * steep),
        single(-2.0 * zeta * steep * uneven.inside),
        0.0,
    ];
    [weights, slopes]
}
