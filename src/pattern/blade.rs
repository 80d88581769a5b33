//! The blade: its outline, its section, and the way from its ground face back into the bar.

use super::dual::Num;
use super::hand::Hand;
use super::noise::{Noise, mix, single};
use crate::billet::{Move, Part};
use crate::units::Mm;

/// The finished blade, as the goal gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BladeShape {
    /// Heel to point.
    pub length: Mm,
    /// Width at the heel.
    pub width: Mm,
    /// Spine at the heel.
    pub spine: Mm,
    /// Spine near the point.
    pub spine_tip: Mm,
    /// Edge before sharpening.
    pub edge: Mm,
    /// Bevel height over blade width: 1 is a full flat grind.
    pub bevel: f64,
    /// Length and width of the tang, where there is one: shown plain.
    pub tang: Option<[Mm; 2]>,
    /// Metal ground off each face after forging.
    pub ground: Mm,
    /// How far the blade's middle plane lies from the bar's, towards the face shown.
    pub off: Mm,
}

impl BladeShape {
    /// How much of the tang pictures show: a stub is enough to tell heel from point.
    #[must_use]
    pub fn stub(&self) -> Mm {
        let most = 0.2 * self.length.0;
        Mm(self
            .tang
            .map_or(0.0, |[length, _]| length.0.min(most).max(0.0)))
    }

    /// With what is ground off each face after forging taken from the forged spine, where it is known.
    pub(crate) fn forged_from(mut self, spine: Option<f64>) -> Self {
        if let Some(spine) = spine {
            let off = 0.5 * (spine - self.spine.0);
            self.ground = Mm(off.clamp(0.0, 3.0));
        }
        self
    }
}

/// How far the blade is forged rather than ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Forging {
    /// Still a bar.
    #[default]
    None,
    /// Ground from the bar: layers are cut through.
    Ground,
    /// Forged to profile with its taper, bevels ground.
    Profile,
    /// Bevels forged too: outer layers stay outside.
    Bevels,
}

impl Forging {
    /// What a move comes to.
    pub(crate) fn by(made: &Move) -> Option<Self> {
        match made {
            Move::Forge {
                part: Part::Blade, ..
            } => Some(Self::Profile),
            Move::Forge {
                part: Part::Bevels, ..
            } => Some(Self::Bevels),
            Move::RoughGrind { .. } | Move::FinishGrind { .. } => Some(Self::Ground),
            _ => None,
        }
    }
}

/// Power of the edge curve: `h(x) = h0 (1 - (x/L)^3)`.
const CURVE: i32 = 3;

/// The way from blade to bar. Blade places: x from the heel, y up from the heel's edge corner, z from
/// the middle plane, mm.
///
/// Forged: the metal of every cross-section comes from a slice of the bar of the same volume
/// (`x0 = V(x)/(w0 T0)`), in the section every column from a column of the same area
/// (`y0 = w0 A(below y)/A`), and in the column layers keep their share (`z0 = z T0/t`): determinant 1.
/// Ground: no map, the face cuts the layers. Own derivation.
#[derive(Debug, Clone)]
pub(crate) struct BladeMap {
    shape: BladeShape,
    forging: Forging,
    /// Bar: width, thickness.
    bar: [f64; 2],
    /// Where the heel lies along the bar, mm.
    start: f64,
    /// What the forging hammer leaves, and how rough it is.
    uneven: Option<(f64, Noise)>,
    /// The section that the forging leaves, metal to grind included.
    forged: Forged,
}

/// Spine at the heel, spine at the point, edge (mm) and bevel share of a forged section.
#[derive(Debug, Clone, Copy)]
struct Forged {
    spine: f64,
    tip: f64,
    edge: f64,
    bevel: f64,
}

impl Forged {
    fn new(shape: &BladeShape, forging: Forging) -> Self {
        let more = 2.0 * shape.ground.0;
        Self {
            spine: shape.spine.0 + more,
            tip: shape.spine_tip.0 + more,
            edge: shape.edge.0 + more,
            bevel: match forging {
                Forging::Bevels => shape.bevel.clamp(0.01, 1.0),
                _ => 0.0,
            },
        }
    }
}

/// Unevenness of forging a blade, as a share of its height and of its thickness, RMS: common practice,
/// no source.
const UNEVEN: [f64; 2] = [0.02, 0.03];

impl BladeMap {
    /// From a bar of `[width, thickness, length]` mm. A bar that no forging is on record for is taken
    /// as ground when it is thin and wide enough for that, else as forged.
    pub(crate) fn new(shape: BladeShape, size: [f64; 3], forging: Forging, hand: Hand) -> Self {
        let [width, thick, length] = size;
        let fits = width >= 0.98 * shape.width.0
            && thick <= 2.2 * shape.spine.0
            && length >= shape.length.0;
        let forging = match forging {
            Forging::None if fits => Forging::Ground,
            Forging::None => Forging::Bevels,
            // Too narrow a bar cannot be ground to the width: it was forged, whatever was written.
            Forging::Ground if width < 0.9 * shape.width.0 => Forging::Profile,
            known => known,
        };
        let mut map = Self {
            shape,
            forging,
            bar: [width, thick],
            start: 0.0,
            uneven: None,
            forged: Forged::new(&shape, forging),
        };
        if forging != Forging::Ground && hand.rough > 0.0 {
            let seed = mix(hand.seed, 0xB1AD);
            let (along, up) = ([0.0, shape.length.0], [0.0, shape.width.0]);
            map.uneven = Some((hand.rough, Noise::new(seed, along, up, 20.0, 3)));
        }
        let tang = shape.tang.map_or(0.0, |tang| tang[0].0);
        let blade = match forging {
            Forging::Ground => shape.length.0,
            _ => map.volume(1.0) / (width * thick),
        };
        let spare = (length - blade).max(0.0);
        map.start = (0.5 * spare).min(tang.max(0.3 * spare));
        map
    }

    /// The same with the point at the far end of the bar.
    pub(crate) fn at_end(mut self, [width, thick, length]: [f64; 3]) -> Self {
        let blade = match self.forging {
            Forging::Ground => self.shape.length.0,
            _ => self.volume(1.0) / (width * thick),
        };
        self.start = (length - blade).max(0.0);
        self
    }

    /// Height of the blade at a share of its length.
    fn height(&self, u: f64) -> f64 {
        self.shape.width.0 * (1.0 - u.clamp(0.0, 1.0).powi(CURVE))
    }

    /// The edge and the spine at x from the heel; none off the blade.
    pub(crate) fn outline(&self, x: f64) -> Option<[f64; 2]> {
        let u = x / self.shape.length.0;
        (0.0..1.0)
            .contains(&u)
            .then(|| [self.shape.width.0 - self.height(u), self.shape.width.0])
    }

    /// Forged volume from the heel to a share of the length:
    /// `L h0 int (1-u^3)(c - d u) du`, `c = s0 (1-b/2) + e b/2`, `d = (s0 - s1)(1-b/2)`.
    fn volume(&self, u: f64) -> f64 {
        let Forged {
            spine,
            tip,
            edge,
            bevel,
        } = self.forged;
        let c = spine * (1.0 - 0.5 * bevel) + 0.5 * edge * bevel;
        let d = (spine - tip) * (1.0 - 0.5 * bevel);
        let square = u * u;
        let sum = c * u - d * square / 2.0 + square * square * (d * u / 5.0 - c / 4.0);
        self.shape.length.0 * self.shape.width.0 * sum
    }

    /// The point of the bar so far outside the finished face at x from the heel and y up from the
    /// heel's edge corner.
    #[inline(always)]
    pub(crate) fn surface<T: Num>(&self, x: T, y: T, off: T) -> [T; 3] {
        let s = &self.shape;
        let section = self.section(x, y);
        let Section { along, high, up } = section;
        let spine = along * (s.spine_tip.0 - s.spine.0) + s.spine.0;
        let thick = wedge(spine, s.edge.0, s.bevel.clamp(0.01, 1.0), high, up);
        self.from(section, [x, y, thick * 0.5 + off])
    }

    #[inline(always)]
    fn section<T: Num>(&self, x: T, y: T) -> Section<T> {
        let along = (x * (1.0 / self.shape.length.0)).held(0.0, 1.0);
        let cube = along * along * along;
        let width = self.shape.width.0;
        Section {
            along,
            high: ((-cube + 1.0) * width).held(1e-3 * width, width),
            up: y - cube * width,
        }
    }

    /// Blade -> bar.
    #[cfg(test)]
    fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> [T; 3] {
        self.from(self.section(x, y), [x, y, z])
    }

    /// Blade -> bar, in a section.
    #[inline(always)]
    fn from<T: Num>(&self, section: Section<T>, [x, y, z]: [T; 3]) -> [T; 3] {
        let [w0, t0] = self.bar;
        let z = z + self.shape.off.0;
        if self.forging == Forging::Ground {
            return [x + self.start, y - 0.5 * w0, z];
        }
        let Forged {
            spine: s0,
            tip: s1,
            edge: e,
            bevel: b,
        } = self.forged;
        let Section {
            along: u,
            high: h,
            up: eta,
        } = section;
        let v = self.volume(u.value());
        let spine = u * (s1 - s0) + s0;
        let area = h * (spine * (1.0 - 0.5 * b) + 0.5 * e * b);
        let bar = 1.0 / (w0 * t0);
        let x0 = u.chain(v * bar, area.value() * self.shape.length.0 * bar);
        let mut below;
        let t;
        if b > 0.0 {
            let hb = h * b;
            let up = if eta.value() < hb.value() {
                let k = (spine - e) * hb.recip() * 0.5;
                eta * (eta * k + e)
            } else {
                hb * (spine + e) * 0.5 + (eta - hb) * spine
            };
            below = up * area.recip();
            t = wedge(spine, e, b, h, eta);
        } else {
            below = eta * h.recip();
            t = spine;
        }
        below = below.held(0.0, 1.0);
        let mut up = z * t.recip();
        if let Some((rough, noise)) = &self.uneven {
            // None at the edge, the spine and the faces: the outline stays.
            let (b, f) = (below.value(), up.value());
            let inside = |v: f64| single(v * 4.0 * rough * UNEVEN[0]);
            let deep = |v: f64| single(v * rough * UNEVEN[1]);
            let across = [inside(b * (1.0 - b)), 0.0, 0.0, 0.0];
            below = below.woven(noise, x, y, across, [inside(1.0 - 2.0 * b), 0.0, 0.0, 0.0]);
            if f.abs() < 0.5 {
                let through = [0.0, deep(1.0 - 4.0 * f * f), 0.0, 0.0];
                up = up.woven(noise, x, y, through, [0.0, deep(-8.0 * f), 0.0, 0.0]);
            }
        }
        [x0 + self.start, (below - 0.5) * w0, up * t0]
    }
}

/// Where a point lies in the blade: share of the length, height of the blade there, and height of the
/// point above the edge, mm.
#[derive(Debug, Clone, Copy)]
struct Section<T> {
    along: T,
    high: T,
    up: T,
}

/// Thickness of a section with bevels `b` of its height high, `eta` above the edge.
#[inline(always)]
fn wedge<T: Num>(spine: T, edge: f64, b: f64, h: T, eta: T) -> T {
    let up = (eta * (h * b).recip()).held(0.0, 1.0);
    (spine - edge) * up + edge
}

#[cfg(test)]
pub(crate) mod tests {
    use super::super::dual::Dual;
    use super::*;

    pub(crate) fn petty() -> BladeShape {
        BladeShape {
            length: Mm(150.0),
            width: Mm(30.0),
            spine: Mm(3.0),
            spine_tip: Mm(1.2),
            edge: Mm(0.3),
            bevel: 1.0,
            tang: None,
            ground: Mm(0.0),
            off: Mm(0.0),
        }
    }

    // Computed from prismatoid sections: 150 x 30 blade, edge curve of third power, spine 3.0 to 1.2.
    // With the edge 0.3 everywhere the section is h (s + e)/2: L h0 [k - taper/2], own integral.
    #[test]
    fn forged_volume_is_that_of_the_solid() {
        let map = BladeMap::new(petty(), [32.0, 14.0, 60.0], Forging::Bevels, Hand::ruled());
        let n = 200_000;
        let brute: f64 = (0..n)
            .map(|i| (f64::from(i) + 0.5) / f64::from(n))
            .map(|u| map.height(u) * (3.0 - 1.8 * u + 0.3) / 2.0 * 150.0 / f64::from(n))
            .sum();
        assert!(
            (map.volume(1.0) - brute).abs() < 1e-3,
            "{} {brute}",
            map.volume(1.0)
        );
    }

    #[test]
    fn forging_keeps_volume_everywhere() {
        for (forging, bevel) in [
            (Forging::Bevels, 1.0),
            (Forging::Bevels, 0.6),
            (Forging::Profile, 1.0),
        ] {
            let shape = BladeShape {
                bevel,
                ground: Mm(0.4),
                ..petty()
            };
            let map = BladeMap::new(shape, [32.0, 14.0, 60.0], forging, Hand::ruled());
            for x in [5.0, 60.0, 130.0] {
                let [edge, spine] = map.outline(x).unwrap();
                for share in [0.1, 0.45, 0.9] {
                    let y = edge + share * (spine - edge);
                    let p = [
                        Dual::<3>::variable(x, 0),
                        Dual::variable(y, 1),
                        Dual::variable(0.3, 2),
                    ];
                    let [a, b, c] = map.back(p).map(|q| q.d);
                    let det = a[0] * (b[1] * c[2] - b[2] * c[1])
                        - a[1] * (b[0] * c[2] - b[2] * c[0])
                        + a[2] * (b[0] * c[1] - b[1] * c[0]);
                    assert!((det - 1.0).abs() < 1e-9, "{det} at {x} {share}");
                }
            }
        }
    }
}
