//! Which cut or face is looked at, and where a place in the picture lies in the bar.

use super::blade::{BladeMap, BladeShape};
use super::chain::Chain;
use super::dual::Num;
use crate::units::Mm;

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum View {
    /// The end grain: the section of the bar, width across, thickness up.
    End,
    /// The narrow side: length across, thickness up.
    Side,
    /// The wide face, cleaned to where the hammer marks end: length across, width up.
    Face,
    /// The blade, ground: point to the right, edge down.
    Blade(BladeShape),
}

impl View {
    /// The word for it.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::End => "end grain",
            Self::Side => "side",
            Self::Face => "face",
            Self::Blade(_) => "blade",
        }
    }
}

/// A view of one bar: places in mm, `u` to the right and `v` up.
#[derive(Debug, Clone)]
pub(crate) struct Outlook {
    view: View,
    size: [f64; 3],
    clean: f64,
    /// Eaten off the surface by the etch, mm.
    eaten: f64,
    blade: Option<BladeMap>,
    /// Where along the bar its end is looked at, mm: the held end where the far one is wrapped.
    end: f64,
}

impl Outlook {
    pub(crate) fn new(chain: &Chain, view: View, clean: Option<Mm>) -> Self {
        let deepest = 0.25 * chain.size[1];
        Self {
            view,
            size: chain.size,
            end: chain.size[2] * if chain.capped { 0.005 } else { 0.995 },
            clean: clean.map_or(chain.skin, Mm::get).min(deepest).max(0.0),
            eaten: 0.0,
            blade: match view {
                View::Blade(shape) => {
                    let shape = shape.forged_from(chain.forged_spine);
                    let map = BladeMap::new(shape, chain.size, chain.forging, chain.hand);
                    Some(if chain.capped {
                        map.at_end(chain.size)
                    } else {
                        map
                    })
                }
                _ => None,
            },
        }
    }

    /// The same with so much eaten off the surface.
    pub(crate) fn etched(mut self, depth: f64) -> Self {
        self.eaten = depth.min(0.05 * self.size[1]).max(0.0);
        self
    }

    /// Least and greatest u, least and greatest v.
    pub(crate) fn extent(&self) -> [f64; 4] {
        let [w, t, l] = self.size;
        match self.view {
            View::End => [-0.5 * w, 0.5 * w, -0.5 * t, 0.5 * t],
            View::Side => [0.0, l, -0.5 * t, 0.5 * t],
            View::Face => [0.0, l, -0.5 * w, 0.5 * w],
            View::Blade(shape) => [-shape.stub().0, shape.length.0, 0.0, shape.width.0],
        }
    }

    /// The point of the bar that shows at a place.
    #[inline(always)]
    pub(crate) fn point<T: Num>(&self, u: T, v: T) -> [T; 3] {
        self.point_off(u, v, T::of(-self.eaten))
    }

    /// The point of the bar so far outside the surface at a place.
    #[inline(always)]
    pub(crate) fn point_off<T: Num>(&self, u: T, v: T, off: T) -> [T; 3] {
        let [w, t, _] = self.size;
        match &self.blade {
            Some(map) => map.surface(u, v, off),
            None => match self.view {
                View::Side => [u, off + 0.5 * w * (1.0 - 1e-9), v],
                View::Face => [u, v, off + (0.5 * t * (1.0 - 1e-9) - self.clean)],
                _ => [off + self.end, u, v],
            },
        }
    }

    /// True where the tang shows, plain.
    pub(crate) fn is_tang(&self, u: f64) -> bool {
        self.blade.is_some() && u < 0.0
    }

    /// True when an open groove is looked through, not into.
    pub(crate) fn sees_through(&self) -> bool {
        matches!(self.view, View::End | View::Side)
    }

    /// What the outline covers of a column of pixels of side `px` about `u`.
    pub(crate) fn column(&self, u: f64, px: f64) -> Column {
        let [low_u, high_u, low_v, high_v] = self.extent();
        let across = overlap(u, low_u, high_u, px);
        if across <= 0.0 {
            return Column::default();
        }
        let up = |at: f64| match (&self.blade, self.view) {
            (Some(_), View::Blade(shape)) if at < 0.0 => {
                let [length, width] = shape.tang.unwrap_or_default();
                let narrow = 1.0 + 0.35 * at / length.0.max(1e-6);
                let half = 0.5 * width.0 * narrow;
                let middle = 0.56 * shape.width.0;
                [middle - half, middle + half]
            }
            (Some(map), _) => map.outline(at.min(high_u - 1e-9)).unwrap_or([0.0, 0.0]),
            _ => [low_v, high_v],
        };
        Column {
            across,
            spans: [up(u - 0.25 * px), up(u + 0.25 * px)],
        }
    }
}

/// What the outline covers of one column of pixels: its share across, and from where to where up, a
/// quarter in from both sides.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Column {
    across: f64,
    spans: [[f64; 2]; 2],
}

impl Column {
    /// True when some of it lies between two heights.
    pub(crate) fn reaches(&self, low: f64, high: f64) -> bool {
        self.across > 0.0
            && self
                .spans
                .iter()
                .any(|span| span[0] < high && span[1] > low)
    }

    /// Share of the pixel at `v` that is covered.
    pub(crate) fn cover(&self, v: f64, px: f64) -> f64 {
        if self.across <= 0.0 {
            return 0.0;
        }
        let [[a, b], [c, d]] = self.spans;
        self.across * 0.5 * (overlap(v, a, b, px) + overlap(v, c, d, px))
    }
}

/// Share of a pixel of side `px` about `at` that lies between two bounds.
#[inline]
fn overlap(at: f64, low: f64, high: f64, px: f64) -> f64 {
    ((at + 0.5 * px).min(high) - (at - 0.5 * px).max(low)).max(0.0) / px
}
