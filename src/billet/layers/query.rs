//! Questions about a depth: one path from the root to a layer, no allocation.

use super::{Cat, Layers, Shape, SteelId, Summary};
use crate::units::Mm;

impl Layers {
    /// The steel at a depth above the bottom. On a seam it is the layer above; at the very top the
    /// top layer. None outside.
    #[must_use]
    pub fn at(&self, depth: Mm) -> Option<SteelId> {
        let mut depth = depth.0;
        if !(depth >= 0.0 && depth <= self.0.sum.height) {
            return None;
        }
        let mut here = self;
        loop {
            let sum = &here.0.sum;
            match &here.0.shape {
                Shape::Leaf => return Some(sum.first.0),
                Shape::Cat(cat) => {
                    let (_, start, part) = cat.find(depth)?;
                    depth -= start;
                    here = part;
                }
                Shape::Rep(of, times) => {
                    depth -= whole_below(depth, of.0.sum.height, *times) * of.0.sum.height;
                    here = of;
                }
                Shape::Mir(of) => {
                    depth = of.0.sum.height - depth;
                    here = of;
                }
                Shape::Scale(of, factor) => {
                    depth /= factor;
                    here = of;
                }
            }
        }
    }

    /// Thickness of one steel below a depth; zero below the bottom, all of it above the top.
    #[must_use]
    pub fn below(&self, depth: Mm, steel: SteelId) -> Mm {
        let mut depth = depth.0;
        if depth >= self.0.sum.height {
            return Mm(self.0.sum.of(steel));
        }
        if depth.is_nan() || depth <= 0.0 {
            return Mm::ZERO;
        }
        // The answer is `sum + sign_and_scale * (what the node `here` has below `depth`)`.
        let (mut sum, mut times) = (0.0, 1.0);
        let mut here = self;
        loop {
            let known = &here.0.sum;
            let Some(at) = known.by.iter().position(|(other, _)| *other == steel) else {
                return Mm(sum);
            };
            match &here.0.shape {
                Shape::Leaf => return Mm(sum + times * depth.clamp(0.0, known.height)),
                Shape::Cat(cat) => {
                    let Some((place, start, part)) = cat.find(depth) else {
                        return Mm(sum);
                    };
                    let under = cat.below.get(place * known.by.len() + at);
                    sum += times * under.copied().unwrap_or(0.0);
                    depth -= start;
                    here = part;
                }
                Shape::Rep(of, copies) => {
                    let whole = whole_below(depth, of.0.sum.height, *copies);
                    let each = of.0.sum.by.get(at).map_or(0.0, |(_, each)| *each);
                    sum += times * whole * each;
                    depth -= whole * of.0.sum.height;
                    here = of;
                }
                Shape::Mir(of) => {
                    let all = known.by.get(at).map_or(0.0, |(_, all)| *all);
                    sum += times * all;
                    times = -times;
                    depth = known.height - depth;
                    here = of;
                }
                Shape::Scale(of, factor) => {
                    times *= factor;
                    depth /= factor;
                    here = of;
                }
            }
        }
    }

    /// What lies between two depths; both are brought inside first.
    #[must_use]
    pub fn slice(&self, from: Mm, to: Mm) -> Summary {
        self.cut(from.0, self.0.sum.height - to.0).0.sum.clone()
    }

    /// Bands that a cut of that depth off one face reaches, at the most: bands that merge between two parts are
    /// counted twice. Makes nothing, so that a search may ask it often.
    #[must_use]
    pub fn reached(&self, depth: Mm, off_top: bool) -> u128 {
        let (mut here, mut depth, mut top) = (self, depth.0, off_top);
        let mut bands = 0_u128;
        loop {
            let sum = &here.0.sum;
            // A depth that cannot be compared reaches through.
            if depth <= 0.0 {
                return bands;
            }
            if depth.is_nan() || depth >= sum.height {
                return bands.saturating_add(sum.bands);
            }
            match &here.0.shape {
                Shape::Leaf => return bands.saturating_add(1),
                Shape::Cat(cat) => {
                    let mut next = None;
                    for place in 0..cat.parts.len() {
                        let place = if top {
                            cat.parts.len() - 1 - place
                        } else {
                            place
                        };
                        let Some(part) = cat.parts.get(place) else {
                            break;
                        };
                        if depth < part.0.sum.height {
                            next = Some(part);
                            break;
                        }
                        depth -= part.0.sum.height;
                        bands = bands.saturating_add(part.0.sum.bands);
                    }
                    let Some(part) = next else {
                        return bands.saturating_add(1);
                    };
                    here = part;
                }
                Shape::Rep(of, times) => {
                    let height = of.0.sum.height;
                    let gone = whole_below(depth, height, *times);
                    #[expect(
                        clippy::cast_possible_truncation,
                        clippy::cast_sign_loss,
                        reason = "a whole number from 0 to times - 1"
                    )]
                    let copies = gone as u128;
                    bands = bands.saturating_add(of.0.sum.bands.saturating_mul(copies));
                    depth -= gone * height;
                    here = of;
                }
                Shape::Mir(of) => {
                    top = !top;
                    here = of;
                }
                Shape::Scale(of, factor) => {
                    depth /= factor;
                    here = of;
                }
            }
        }
    }

    /// Bands below a depth; a band cut by the depth counts.
    #[must_use]
    pub fn bands_below(&self, depth: Mm) -> u128 {
        self.slice(Mm::ZERO, depth).bands
    }
}

impl Cat {
    /// The part at a depth: its place, the height below it, and the part.
    fn find(&self, depth: f64) -> Option<(usize, f64, &Layers)> {
        let place = self
            .starts
            .partition_point(|start| *start <= depth)
            .saturating_sub(1);
        Some((place, *self.starts.get(place)?, self.parts.get(place)?))
    }
}

/// Whole copies below a depth; the last copy owns the top.
pub(super) fn whole_below(depth: f64, height: f64, times: u64) -> f64 {
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "casts saturate, and repeats past 2^52 are far below the thickness of an atom"
    )]
    let whole = ((depth / height) as u64).min(times - 1) as f64;
    whole
}
