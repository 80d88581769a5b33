//! Ladder: grooves across both faces, staggered, then pressed flat.
//!
//! Column law: the metal that stood in a column of height `h0(x0) = T0 - c_top - c_bot` ends at the
//! height `h1 = min(h0, T1)` and, keeping its volume, spreads along the bar: `dx1/dx0 = h0/h1`. Within the column layers keep
//! their order and share: `z0 = -T0/2 + c_bot + f h0`. A column that the press has not reached yet keeps
//! its height and what is above or below it stays open, so a groove closes when the bar is pressed past
//! its floor and not before. Own derivation; determinant 1.

use super::column::before_pressing;
use crate::pattern::dual::{Num, floor};
use crate::pattern::noise::{Noise, mix, signed, single};

/// Section of a groove, both of the true area.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Profile {
    /// Half-round, `c = g (1 - s^2)^1.25`: half an ellipse with its lips eased, as a smith breaks them so
    /// that nothing folds over, and widened by 26 % so that the area is that of the half ellipse.
    Round,
    /// V with lips and root rounded: raised cosine, of the triangle's area.
    Vee,
}

impl Profile {
    /// Half width over the nominal half width.
    fn reach(self) -> f64 {
        match self {
            // (pi/4) / integral of (1 - s^2)^1.25 over 0..1, which is 0.624299.
            Self::Round => 1.258_047,
            Self::Vee => 1.0,
        }
    }

    /// Depth at `s` half widths from the middle, as a share of the full depth.
    fn share<T: Num>(self, s: T) -> T {
        if s.value().abs() >= 1.0 {
            return T::of(0.0);
        }
        match self {
            Self::Round => {
                let left = -(s * s) + 1.0;
                left * left.sqrt().sqrt()
            }
            Self::Vee => {
                let (_, c) = (s * std::f64::consts::PI).sin_cos();
                (c + 1.0) * 0.5
            }
        }
    }
}

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Grooves {
    /// On each face.
    pub(crate) count: u32,
    /// Width, depth, pitch, mm.
    pub(crate) width: f64,
    pub(crate) depth: f64,
    pub(crate) pitch: f64,
    pub(crate) profile: Profile,
    /// 0 for grooves cut by a machine, 1 for grooves cut by hand.
    pub(crate) rough: f64,
    pub(crate) seed: u64,
}

/// A grooved bar, pressed down as far as it has been.
#[derive(Debug, Clone)]
pub(crate) struct Ladder {
    /// Thickness of the grooved bar, mm.
    thick: f64,
    /// Thickness pressed to, mm.
    flat: f64,
    length: f64,
    half: f64,
    profile: Profile,
    /// Ground off each face before pressing, mm.
    ground: f64,
    /// Middle and depth of each groove, top and bottom, by place, with where the first was meant.
    notches: [(f64, Vec<(f64, f64)>); 2],
    pitch: f64,
    /// Length when pressed, mm.
    long: f64,
    /// Old place and its slope at even steps of the new.
    table: Vec<[f64; 2]>,
    waver: Option<(f32, Noise)>,
}

/// Step of the table, mm.
const STEP: f64 = 0.1;

impl Ladder {
    /// Grooves in the middle of a bar of `[width, thickness, length]` mm; nothing pressed yet.
    pub(crate) fn new(size: [f64; 3], cut: Grooves) -> Self {
        let [width, thick, length] = size;
        let zone = f64::from(cut.count) * cut.pitch;
        let first = 0.5 * (length - zone) + 0.25 * cut.pitch;
        let side = |which: u64, shift: f64| {
            let meant = first + shift * cut.pitch;
            let cuts = (0..cut.count)
                .map(|n| {
                    let dice = mix(cut.seed, 2 * u64::from(n) + which);
                    let off = 0.07 * cut.rough * signed(mix(dice, 1)) * cut.pitch;
                    let deeper = 1.0 + 0.07 * cut.rough * signed(mix(dice, 2));
                    let at = first + (f64::from(n) + shift) * cut.pitch + off;
                    (at, cut.depth * deeper)
                })
                .collect();
            (meant, cuts)
        };
        let waver = (cut.rough > 0.0).then(|| {
            let span = [-0.5 * width, 0.5 * width];
            (
                single(0.09 * cut.rough * cut.pitch),
                Noise::new(mix(cut.seed, 77), [0.0, 1.5 * length], span, 34.0, 2),
            )
        });
        let mut ladder = Self {
            thick,
            flat: thick,
            length,
            half: 0.5 * cut.width * cut.profile.reach(),
            profile: cut.profile,
            ground: 0.0,
            notches: [side(0, 0.0), side(1, 0.5)],
            pitch: cut.pitch.max(1e-3),
            long: length,
            table: Vec::new(),
            waver,
        };
        ladder.fill();
        ladder
    }

    /// The same grooves pressed to a thickness.
    pub(crate) fn pressed(mut self, to: f64) -> Self {
        self.flat = to.min(self.flat);
        self.fill();
        self
    }

    /// The same open grooves after so much is ground off each face.
    pub(crate) fn ground(mut self, off: f64) -> Self {
        self.ground += off;
        self.thick -= 2.0 * off;
        self.flat = self.flat.min(self.thick);
        self.fill();
        self
    }

    /// Length now, mm.
    pub(crate) fn long(&self) -> f64 {
        self.long
    }

    /// Height of the lowest column, mm: pressed below it, no groove is left open.
    #[cfg(test)]
    pub(crate) fn floor(&self) -> f64 {
        (0..8000)
            .map(|n| {
                let [top, bottom] = self.cuts(self.length * (f64::from(n) + 0.5) / 8000.0);
                self.thick - top - bottom
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// After -> before; `None` where nothing is: an open groove.
    #[inline]
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> Option<[T; 3]> {
        let x = match &self.waver {
            Some((size, noise)) => x.woven(noise, x, y, [*size, 0.0, 0.0, 0.0], [0.0; 4]),
            None => x,
        };
        let x0 = self.old_place(x);
        let [top, bottom] = self.cuts(x0);
        let z0 = before_pressing(z, [top, bottom], self.thick, self.flat)?;
        Some([x0, y, z0])
    }

    /// Depth of the grooves at a place of the grooved bar: top, bottom.
    fn cuts<T: Num>(&self, x0: T) -> [T; 2] {
        let [top, bottom] = &self.notches;
        [self.cut(top, x0), self.cut(bottom, x0)]
    }

    fn cut<T: Num>(&self, (meant, cuts): &(f64, Vec<(f64, f64)>), x0: T) -> T {
        // A groove is never a pitch from where it was meant: the nearest three are enough.
        let number = floor((x0.value() - meant) / self.pitch - 0.5).max(0.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not below zero; saturates"
        )]
        let from = number as usize;
        let mut deepest = T::of(0.0);
        for (centre, depth) in cuts.iter().skip(from).take(3) {
            let off = x0.value() - centre;
            if off.abs() < self.half {
                let share = self.profile.share((x0 - *centre) * (1.0 / self.half));
                let cut = share * *depth - self.ground;
                if cut.value() > deepest.value() {
                    deepest = cut;
                }
            }
        }
        deepest
    }

    /// `dx1/dx0` at an old place.
    fn spread(&self, x0: f64) -> f64 {
        let [top, bottom] = self.cuts(x0);
        let h0 = self.thick - top - bottom;
        h0 / h0.min(self.flat)
    }

    /// Tabulates the old place against the new: mid-point sums, then even steps.
    fn fill(&mut self) {
        if self.flat >= self.thick {
            // Not pressed yet: nothing has moved.
            self.long = self.length;
            self.table = vec![[0.0, 1.0], [self.length, 1.0]];
            return;
        }
        let cells = (self.length / STEP).ceil().clamp(4.0, 20_000.0);
        let dx = self.length / cells;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number in 4..20000"
        )]
        let count = cells as u32;
        let mut ends = Vec::with_capacity(count as usize + 1);
        let mut sum = 0.0;
        ends.push(sum);
        for n in 0..count {
            sum += dx * self.spread((f64::from(n) + 0.5) * dx);
            ends.push(sum);
        }
        self.long = sum;
        let mut cell = 0_usize;
        let mut table = Vec::with_capacity(ends.len());
        for n in 0..=count {
            let at = sum * f64::from(n) / cells;
            while ends.get(cell + 1).is_some_and(|end| *end < at) && cell + 2 < ends.len() {
                cell += 1;
            }
            if let (Some(low), Some(high)) = (ends.get(cell), ends.get(cell + 1)) {
                #[expect(clippy::cast_precision_loss, reason = "at most 20000")]
                let x0 = dx * (cell as f64 + (at - low) / (high - low));
                table.push([x0, 1.0 / self.spread(x0)]);
            }
        }
        self.table = table;
    }

    /// Old place of a new one; beyond the ends in proportion.
    fn old_place<T: Num>(&self, x: T) -> T {
        let last = self.table.len().saturating_sub(2);
        #[expect(clippy::cast_precision_loss, reason = "at most 20000")]
        let step = self.long / (last + 1) as f64;
        let u = x.value() / step;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "saturates at zero; held to the table next"
        )]
        let cell = (u as usize).min(last);
        let Some([[a, ta], [b, tb]]) = self.table.get(cell..).and_then(|t| t.first_chunk::<2>())
        else {
            return x;
        };
        #[expect(clippy::cast_precision_loss, reason = "at most 20000")]
        let s = u - cell as f64;
        // Linear between table steps, but with the slope of the law at the place.
        let slope = ta + (tb - ta) * s.clamp(0.0, 1.0);
        x.chain(a + (b - a) * s, slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ladder(flat: f64) -> Ladder {
        let cut = Grooves {
            count: 10,
            width: 7.5,
            depth: 2.6,
            pitch: 9.0,
            profile: Profile::Vee,
            rough: 0.0,
            seed: 0,
        };
        Ladder::new([30.0, 10.0, 90.0], cut).pressed(flat)
    }

    /// New place of an old one.
    fn forward(l: &Ladder, x0: f64) -> f64 {
        let (mut low, mut high) = (0.0, l.long());
        for _ in 0..80 {
            let mid = 0.5 * (low + high);
            if l.old_place(mid) < x0 {
                low = mid;
            } else {
                high = mid;
            }
        }
        0.5 * (low + high)
    }

    // Computed, own derivation: 10 mm bar, grooves 2.6 deep, 7.5 wide, every 9 mm on both faces,
    // pressed to 7.4. The raised cosine has the closed form C = 2 g wg / 4 over half a pitch.
    #[test]
    fn worked_points() {
        let l = ladder(7.4);
        let top = 2.25 + 9.0 * 4.0;
        let a = forward(&l, top);
        let [x0, _, z0] = l.back([a, 0.0, 3.7]).unwrap();
        assert!(
            (x0 - top).abs() < 1e-3 && (z0 - 2.4).abs() < 1e-3,
            "{x0} {z0}"
        );
        let b = forward(&l, top + 4.5);
        assert!((b - a - 4.7635).abs() < 1e-3, "{}", b - a);
        let [x0, _, z0] = l.back([b, 0.0, 3.7]).unwrap();
        assert!(
            (x0 - top - 4.5).abs() < 1e-3 && (z0 - 5.0).abs() < 1e-3,
            "{x0} {z0}"
        );
        // Rungs end up p (T0 - g wg / p) / T1 apart.
        let pitch = forward(&l, top + 9.0) - a;
        assert!((pitch - 9.527).abs() < 2e-3, "{pitch}");
    }

    #[test]
    fn a_groove_closes_when_its_floor_is_passed_and_not_before() {
        let floor = ladder(10.0).floor();
        assert!((floor - 7.4).abs() < 1e-3, "{floor}");
        let open = |flat: f64| {
            let l = ladder(flat);
            (0..4000).any(|n| {
                let x = l.long() * (f64::from(n) + 0.5) / 4000.0;
                l.back([x, 0.0, 0.5 * flat - 1e-6]).is_none()
            })
        };
        assert!(open(10.0) && open(8.5) && open(7.45));
        assert!(!open(7.399) && !open(6.0));
    }

    #[test]
    fn volume_is_kept_while_pressing() {
        let metal = |flat: f64| {
            let l = ladder(flat);
            let (nx, nz) = (1500, 300);
            let mut hits = 0;
            for i in 0..nx {
                for k in 0..nz {
                    let x = l.long() * (f64::from(i) + 0.5) / f64::from(nx);
                    let z = flat * ((f64::from(k) + 0.5) / f64::from(nz) - 0.5);
                    hits += i32::from(l.back([x, 0.0, z]).is_some());
                }
            }
            f64::from(hits) / f64::from(nx * nz) * l.long() * flat
        };
        // Two faces of ten grooves, each g wg / 2 in section.
        let expected = 90.0 * 10.0 - 20.0 * 2.6 * 7.5 / 2.0;
        for flat in [10.0, 8.7, 7.6, 7.0, 5.0] {
            assert!(
                (metal(flat) / expected - 1.0).abs() < 3e-3,
                "{flat} {}",
                metal(flat)
            );
        }
    }

    #[test]
    fn both_profiles_have_the_area_of_the_groove_asked_for() {
        for (profile, share) in [
            (Profile::Vee, 0.5),
            (Profile::Round, std::f64::consts::FRAC_PI_4),
        ] {
            let n = 20_000;
            let sum: f64 = (0..n)
                .map(|i| profile.share((f64::from(i) + 0.5) / f64::from(n)))
                .sum();
            assert!((sum / f64::from(n) * profile.reach() - share).abs() < 1e-4);
        }
    }
}
