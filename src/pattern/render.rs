//! Rendering: every pixel by its exact share, row by row, so that a caller may split rows over threads
//! and stop between them.
//!
//! A place walks back once with its slopes, and each pixel about it integrates the stack over its own
//! footprint: no moire however fine the layers, at a cost that does not know their number. Where
//! pixels are far smaller than anything a hammer does, four of them share a walk. Where a pixel
//! straddles a plain bar, an open groove, two patches of a block or a seam, or where its neighbours
//! do not agree with it, it takes four samples of its own.

use std::ops::Range;

use super::chain::{VOID, What};
use super::dual::Dual;
use super::picture::Pixel;
use super::scene::Scene;

/// Light of what is open, and of the tang.
const PIT: f32 = 0.004;
const TANG: f32 = 0.045;

/// Patch of the tang, and of what is off the metal.
const HANDLE: u32 = u32::MAX - 1;
const NOWHERE: u32 = u32::MAX;

/// Pixels up to this size share walks, mm: a twentieth of the shortest wave that a hammer leaves.
const SHARED: f64 = 0.12;

/// What one walk back found.
#[derive(Debug, Clone, Copy)]
struct Found {
    patch: u32,
    /// Piece of the piles, where pieces are large against a pixel; else 0.
    piece: u32,
    /// Depth and its slopes to the right and up, on layered metal.
    depth: [f64; 3],
    /// The plain steel, elsewhere.
    plain: u8,
}

const NOTHING: Found = Found {
    patch: NOWHERE,
    piece: 0,
    depth: [0.0; 3],
    plain: Pixel::NONE,
};

impl Found {
    fn is_layered(&self) -> bool {
        self.patch & VOID == 0 && self.plain == Pixel::NONE
    }

    /// Depth at an offset, by the slopes.
    fn at(&self, du: f64, dv: f64) -> f64 {
        let [depth, by_u, by_v] = self.depth;
        depth + by_u * du + by_v * dv
    }
}

impl Scene {
    /// Some rows, from the top. How the rows are split changes nothing in them.
    #[must_use]
    pub fn render_rows(&self, rows: Range<u32>) -> Vec<Pixel> {
        let rows = rows.start.min(self.height)..rows.end.min(self.height);
        let mut out = Vec::with_capacity(rows.len() * self.width as usize);
        let share = self.shared();
        let line = |row: Option<u32>| match row {
            Some(row) if row < self.height => self.line(row / share),
            _ => Vec::new(),
        };
        let mut above = line(rows.start.checked_sub(share));
        let mut here = line(Some(rows.start));
        let mut below = line(rows.start.checked_add(share));
        for row in rows.clone() {
            if row > rows.start && row % share == 0 {
                above = std::mem::replace(&mut here, below);
                below = line(row.checked_add(share));
            }
            let near = Neighbours {
                above: &above,
                here: &here,
                below: &below,
            };
            out.extend((0..self.width).map(|column| self.pixel(column, row, share, &near)));
        }
        out
    }

    /// How many pixels across and down share a walk.
    fn shared(&self) -> u32 {
        if self.px <= SHARED { 2 } else { 1 }
    }

    /// Place of a block's middle.
    fn centre(&self, column: u32, row: u32, share: u32) -> [f64; 2] {
        let [u, v] = self.middle(column * share, row * share);
        let off = 0.5 * f64::from(share - 1) * self.px;
        [u + off, v - off]
    }

    /// One walk for each block of a row of blocks.
    fn line(&self, row: u32) -> Vec<Found> {
        let share = self.shared();
        (0..self.width.div_ceil(share))
            .map(|column| {
                let [u, v] = self.centre(column, row, share);
                let first = (column * share) as usize;
                let covered = self
                    .columns
                    .iter()
                    .skip(first)
                    .take(share as usize)
                    .any(|c| c.cover(v, self.px * f64::from(share)) > 0.0);
                if covered { self.find(u, v) } else { NOTHING }
            })
            .collect()
    }

    /// Walks back from a place.
    fn find(&self, u: f64, v: f64) -> Found {
        if self.outlook.is_tang(u) {
            return Found {
                patch: HANDLE,
                ..NOTHING
            };
        }
        let p = self
            .outlook
            .point(Dual::<2>::variable(u, 0), Dual::variable(v, 1));
        let spot = self.chain.back(p);
        match spot.what {
            What::Layer(depth) => {
                let [by_u, by_v] = depth.d;
                let resolved = (by_u.abs() + by_v.abs()) * self.px < self.jump;
                Found {
                    patch: spot.patch,
                    piece: if resolved { spot.piece } else { 0 },
                    depth: [depth.v, by_u, by_v],
                    plain: Pixel::NONE,
                }
            }
            What::Plain(steel) => Found {
                patch: spot.patch,
                plain: steel.0,
                ..NOTHING
            },
            What::Void => Found {
                patch: VOID,
                ..NOTHING
            },
        }
    }

    /// Light of a square of side `side` at an offset from where a walk was made.
    fn light(&self, found: &Found, du: f64, dv: f64, side: f64) -> f32 {
        if found.is_layered() {
            let [_, by_u, by_v] = found.depth;
            self.seen(found.at(du, dv), (by_u * side).abs(), (by_v * side).abs())
        } else if found.patch == HANDLE {
            TANG
        } else {
            self.plain
                .get(usize::from(found.plain))
                .filter(|_| found.patch != VOID)
                .copied()
                .unwrap_or(PIT)
        }
    }

    /// Light of the layers about a depth over a footprint, softened by what has diffused.
    fn seen(&self, depth: f64, a: f64, b: f64) -> f32 {
        let [nickel, carbon] = self.blur;
        // Bands near two pixels apart beat with the pixels as false waves; a tent of three pixels lets
        // a tenth of their contrast through. Far finer or wider bands need none.
        let foot = a.hypot(b);
        let tent = (1.75 - 0.5 * self.pitch / foot.max(1e-300)).clamp(0.0, 1.0);
        let (a, b) = (a + (1.4 * foot - a) * tent, b + (1.4 * foot - b) * tent);
        let soft = |blur: f64| {
            if blur > 0.0 {
                ((a * a + blur).sqrt(), b)
            } else {
                (a, b)
            }
        };
        let (ka, kb) = soft(nickel);
        let mut light = self.kept.seen(depth, ka, kb);
        if let Some(run) = &self.carbon {
            let (ca, cb) = soft(carbon);
            light += run.seen(depth, ca, cb);
        }
        #[expect(clippy::cast_possible_truncation, reason = "a tone needs no more")]
        let light = light.clamp(0.0, 1.0) as f32;
        light
    }

    fn steel(&self, found: &Found, du: f64, dv: f64) -> u8 {
        if !found.is_layered() {
            return found.plain;
        }
        let strata = &self.chain.strata;
        let [low, high] = self.chain.window;
        let layer = strata.layer(found.at(du, dv).clamp(low, high));
        strata.steel(layer).map_or(Pixel::NONE, |steel| steel.0)
    }

    fn pixel(&self, column: u32, row: u32, share: u32, near: &Neighbours<'_>) -> Pixel {
        let [u, v] = self.middle(column, row);
        let cover = self
            .columns
            .get(column as usize)
            .map_or(0.0, |c| c.cover(v, self.px));
        let block = (column / share) as usize;
        let Some(found) = near.here.get(block).filter(|_| cover > 0.0) else {
            return Pixel {
                steel: Pixel::NONE,
                ..Pixel::default()
            };
        };
        let [cu, cv] = self.centre(column / share, row / share, share);
        let (du, dv) = (u - cu, v - cv);
        let see_through = self.outlook.sees_through();
        let (light, metal) = if self.stands_alone(near, block, column, row, share) {
            let (mut sum, mut weight) = (0.0_f32, 0.0_f32);
            for (su, sv) in [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)] {
                let own = self.find(u + su * self.px, v + sv * self.px);
                if !(see_through && own.patch == VOID) {
                    sum += self.light(&own, 0.0, 0.0, 0.5 * self.px);
                    weight += 1.0;
                }
            }
            (sum / weight.max(1.0), f64::from(weight) / 4.0)
        } else if see_through && found.patch == VOID {
            (0.0, 0.0)
        } else {
            (self.light(found, du, dv, self.px), 1.0)
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of 255"
        )]
        let metal = (255.0 * metal * cover).round().clamp(0.0, 255.0) as u8;
        Pixel {
            light,
            metal,
            steel: self.steel(found, du, dv),
        }
    }

    /// True where a pixel needs samples of its own: something breaks off between it and a neighbour
    /// that it touches, or their walks do not agree half-way between them.
    fn stands_alone(
        &self,
        near: &Neighbours<'_>,
        block: usize,
        column: u32,
        row: u32,
        share: u32,
    ) -> bool {
        let Some(found) = near.here.get(block) else {
            return false;
        };
        let half = 0.5 * f64::from(share) * self.px;
        let first = |at: u32| at.is_multiple_of(share);
        let last = |at: u32| (at + 1).is_multiple_of(share);
        let breaks = |touches: bool, line: &[Found], at: Option<usize>, du: f64, dv: f64| {
            touches
                && at.and_then(|at| line.get(at)).is_some_and(|other| {
                    other.patch != NOWHERE && !self.agree(found, other, du, dv, share)
                })
        };
        breaks(first(column), near.here, block.checked_sub(1), -half, 0.0)
            || breaks(last(column), near.here, Some(block + 1), half, 0.0)
            || breaks(first(row), near.above, Some(block), 0.0, half)
            || breaks(last(row), near.below, Some(block), 0.0, -half)
    }

    fn agree(&self, a: &Found, b: &Found, du: f64, dv: f64, share: u32) -> bool {
        if a.patch != b.patch || a.piece != b.piece || a.plain != b.plain {
            return false;
        }
        if share == 1 || !a.is_layered() {
            return true;
        }
        let [_, by_u, by_v] = a.depth;
        let foot = (by_u.abs() + by_v.abs()) * self.px;
        (a.at(du, dv) - b.at(-du, -dv)).abs() < (0.5 * foot).max(self.fine) || foot > self.jump
    }
}

/// Walks of the row of blocks and of those above and below it.
struct Neighbours<'a> {
    above: &'a [Found],
    here: &'a [Found],
    below: &'a [Found],
}
