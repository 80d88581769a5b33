//! Rendering: every pixel by its exact share, row by row, so that a caller may split rows over threads
//! and stop between them.
//!
//! A place walks back once with its slopes, and each pixel integrates the stack over its own
//! footprint: no moire however fine the layers, at a cost that does not know their number. Where
//! pixels are far smaller than anything a hammer does, many share the walks from the corners of their
//! cell (see [`super::mesh`]). A pixel that straddles a plain bar, an open groove, two patches of a
//! block or a seam that shows takes samples of its own.

use std::ops::Range;

use super::chain::{VOID, What};
use super::dual::Dual;
use super::mesh::{Between, Corners, HANDLE, Mesh, NOTHING, Surface, WalkEnd};
use super::picture::Pixel;
use super::scene::Scene;

/// Light of what is open, and of the tang.
const PIT: f32 = 0.004;
const TANG: f32 = 0.045;

/// A pixel with no metal in it.
const EMPTY: Pixel = Pixel {
    light: 0.0,
    metal: 0,
    steel: Pixel::NONE,
};

/// Part of a picture: whole rows from `top` on.
struct Part {
    top: u32,
    width: u32,
    pixels: Vec<Pixel>,
}

impl Part {
    fn row(&mut self, row: u32, columns: Range<u32>) -> &mut [Pixel] {
        let first = row.checked_sub(self.top).map(|row| row * self.width);
        first
            .and_then(|first| {
                let (from, to) = (first + columns.start, first + columns.end);
                self.pixels.get_mut(from as usize..to as usize)
            })
            .unwrap_or_default()
    }
}

impl Scene {
    /// Some rows, from the top. How the rows are split changes nothing in them.
    #[must_use]
    pub fn render_rows(&self, rows: Range<u32>) -> Vec<Pixel> {
        let rows = rows.start.min(self.height)..rows.end.min(self.height);
        let mut part = Part {
            top: rows.start,
            width: self.width,
            pixels: vec![EMPTY; rows.len() * self.width as usize],
        };
        let mut mesh = Mesh::new(self);
        let side = self.cell();
        let mut row = rows.start / side * side;
        while row < rows.end {
            for column in (0..self.width).step_by(side as usize) {
                self.fill(&mut mesh, [column, row], side, &rows, &mut part);
            }
            row += side;
        }
        part.pixels
    }

    /// One cell, as far as it lies in the rows asked for.
    fn fill(
        &self,
        mesh: &mut Mesh<'_>,
        [column, row]: [u32; 2],
        side: u32,
        rows: &Range<u32>,
        part: &mut Part,
    ) {
        let down = row.max(rows.start)..(row + side).min(rows.end);
        let along = column..(column + side).min(self.width);
        if down.is_empty() || along.is_empty() || !self.is_covered(&along, row, side) {
            return;
        }
        let corners = mesh.corners(column, row, side);
        let cell = Cell {
            corners: &corners,
            at: [column, row],
            side,
        };
        match self.between(&corners, side) {
            Between::Broken if side > 1 => {
                let half = side / 2;
                for (right, below) in [(0, 0), (half, 0), (0, half), (half, half)] {
                    self.fill(mesh, [column + right, row + below], half, rows, part);
                }
            }
            Between::Broken => {
                if let Some(pixel) = part.row(row, along).first_mut() {
                    *pixel = self.alone(column, row);
                }
            }
            Between::Even => self.even(&cell, down, along, part),
            Between::Smooth => self.smooth(&cell, down, along, part),
            Between::Nearest => self.nearest(&cell, down, along, part),
        }
    }

    /// True when metal covers some of a cell.
    fn is_covered(&self, along: &Range<u32>, row: u32, side: u32) -> bool {
        let high = self.origin[1] - f64::from(row) * self.px;
        let low = high - f64::from(side) * self.px;
        self.columns
            .get(along.start as usize..along.end as usize)
            .unwrap_or_default()
            .iter()
            .any(|column| column.reaches(low, high))
    }

    /// Share of a pixel that the outline covers.
    fn cover(&self, column: u32, v: f64) -> f64 {
        self.columns
            .get(column as usize)
            .map_or(0.0, |c| c.cover(v, self.px))
    }

    fn even(&self, cell: &Cell<'_>, down: Range<u32>, along: Range<u32>, part: &mut Part) {
        let [found, ..] = cell.corners;
        if self.outlook.sees_through() && found.patch == VOID {
            return;
        }
        let (light, _) = self.light(found, 0.0);
        for row in down {
            let v = self.middle(0, row)[1];
            let line = part.row(row, along.clone());
            for (column, pixel) in along.clone().zip(line) {
                let cover = self.cover(column, v);
                if cover > 0.0 {
                    *pixel = Pixel {
                        light,
                        metal: share(cover),
                        steel: found.plain,
                    };
                }
            }
        }
    }

    fn smooth(&self, cell: &Cell<'_>, down: Range<u32>, along: Range<u32>, part: &mut Part) {
        let each = 1.0 / f64::from(cell.side);
        let [WalkEnd { member, .. }, ..] = *cell.corners;
        let surface = Surface::new(cell.corners, f64::from(cell.side) * self.px);
        for row in down {
            let v = self.middle(0, row)[1];
            let line = surface.row((f64::from(row - cell.at[1]) + 0.5) * each);
            let pixels = part.row(row, along.clone());
            for (column, pixel) in along.clone().zip(pixels) {
                let cover = self.cover(column, v);
                if cover > 0.0 {
                    let [depth, across, down] =
                        line.at((f64::from(column - cell.at[0]) + 0.5) * each);
                    let foot = [(across * each).abs(), (down * each).abs()];
                    let (light, steel) = self.seen(member, depth, foot);
                    *pixel = Pixel {
                        light,
                        metal: share(cover),
                        steel,
                    };
                }
            }
        }
    }

    /// A single pixel by a walk from its middle, two a side by the slopes at the nearest corner.
    fn nearest(&self, cell: &Cell<'_>, down: Range<u32>, along: Range<u32>, part: &mut Part) {
        let [a, b, c, d] = cell.corners;
        let half = 0.5 * f64::from(cell.side);
        for row in down {
            let v = self.middle(0, row)[1];
            let below = f64::from(row - cell.at[1]) + 0.5;
            let pixels = part.row(row, along.clone());
            for (column, pixel) in along.clone().zip(pixels) {
                let cover = self.cover(column, v);
                if cover <= 0.0 {
                    continue;
                }
                let right = f64::from(column - cell.at[0]) + 0.5;
                let middle;
                let (found, du, dv) = if cell.side == 1 {
                    middle = self.find(self.middle(column, row)[0], v);
                    if !middle.is_layered() {
                        *pixel = self.alone(column, row);
                        continue;
                    }
                    (&middle, 0.0, 0.0)
                } else {
                    let (found, du) = match (right > half, below > half) {
                        (false, false) => (a, right),
                        (true, false) => (b, right - 2.0 * half),
                        (false, true) => (c, right),
                        (true, true) => (d, right - 2.0 * half),
                    };
                    let up = if below > half { 2.0 * half } else { 0.0 };
                    (found, du, up - below)
                };
                let [depth, by_u, by_v] = found.depth;
                let depth = depth + (by_u * du + by_v * dv) * self.px;
                let foot = [(by_u * self.px).abs(), (by_v * self.px).abs()];
                let (light, steel) = self.seen(found.member, depth, foot);
                *pixel = Pixel {
                    light,
                    metal: share(cover),
                    steel,
                };
            }
        }
    }

    /// A pixel by walks of its own.
    fn alone(&self, column: u32, row: u32) -> Pixel {
        let [u, v] = self.middle(column, row);
        let cover = self.cover(column, v);
        if cover <= 0.0 {
            return EMPTY;
        }
        let see_through = self.outlook.sees_through();
        let (mut sum, mut weight) = (0.0_f32, 0.0_f32);
        let mut steel = Pixel::NONE;
        let each = self.px / f64::from(self.finer);
        let off = 0.5 * (self.px - each);
        for n in 0..self.finer * self.finer {
            let right = f64::from(n % self.finer) * each - off;
            let up = off - f64::from(n / self.finer) * each;
            let own = self.find(u + right, v + up);
            if !(see_through && own.patch == VOID) {
                let (light, its) = self.light(&own, each);
                sum += light;
                weight += 1.0;
                steel = its;
            }
        }
        let metal = f64::from(weight) / f64::from(self.finer * self.finer);
        Pixel {
            light: sum / weight.max(1.0),
            metal: share(metal * cover),
            steel,
        }
    }

    /// Walks back from a place.
    pub(super) fn find(&self, u: f64, v: f64) -> WalkEnd {
        if self.outlook.is_tang(u) {
            return WalkEnd {
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
                let part = self.chain.part(spot.member);
                let Dual { v, d: [by_u, by_v] } = part.run_on(depth, spot.oldest);
                WalkEnd {
                    patch: spot.patch,
                    piece: spot.piece,
                    oldest: spot.oldest,
                    member: spot.member,
                    depth: [v, by_u, by_v],
                    plain: Pixel::NONE,
                }
            }
            What::Plain(steel) => WalkEnd {
                patch: spot.patch,
                plain: steel.0,
                ..NOTHING
            },
            What::Void => NOTHING,
        }
    }

    /// Light of a square of side `side` about where a walk was made, and its steel.
    fn light(&self, found: &WalkEnd, side: f64) -> (f32, u8) {
        if found.is_layered() {
            let [depth, by_u, by_v] = found.depth;
            let foot = [(by_u * side).abs(), (by_v * side).abs()];
            return self.seen(found.member, depth, foot);
        }
        let light = match found.patch {
            HANDLE => TANG,
            VOID => PIT,
            _ => {
                let plain = self.plain.get(usize::from(found.plain));
                plain.copied().unwrap_or(PIT)
            }
        };
        (light, found.plain)
    }

    /// Light of the layers about a depth over a footprint, softened by what has diffused; and the steel
    /// there.
    fn seen(&self, member: u16, depth: f64, [a, b]: [f64; 2]) -> (f32, u8) {
        let Some(body) = self.bodies.get(usize::from(member)) else {
            return (PIT, Pixel::NONE);
        };
        let [nickel, carbon] = body.blur;
        // Bands near two pixels apart beat with the pixels as false waves; a tent of three pixels lets
        // a tenth of their contrast through. Far finer or wider bands need none.
        let foot = (a * a + b * b).sqrt();
        let (mut a, mut b) = (a, b);
        let pairs = 0.5 * body.pitch;
        if 0.75 * foot > pairs {
            (a, b) = (1.4 * foot, 1.4 * foot);
        } else if 1.75 * foot > pairs {
            let tent = 1.75 - pairs / foot;
            a += (1.4 * foot - a) * tent;
            b += (1.4 * foot - b) * tent;
        }
        let soft = |blur: f64| {
            if blur > 0.0 {
                ((a * a + blur).sqrt(), b)
            } else {
                (a, b)
            }
        };
        let (ka, kb) = soft(nickel);
        let (mut light, steel) = body.kept.seen(depth, ka, kb);
        if let Some(run) = &body.carbon {
            let (ca, cb) = soft(carbon);
            light += run.seen(depth, ca, cb).0;
        }
        #[expect(clippy::cast_possible_truncation, reason = "a tone needs no more")]
        let light = light.clamp(0.0, 1.0) as f32;
        (light, steel.map_or(Pixel::NONE, |steel| steel.0))
    }
}

/// A cell of pixels: its corners, its upper left pixel, and pixels along one side.
struct Cell<'a> {
    corners: &'a Corners,
    at: [u32; 2],
    side: u32,
}

/// A share of 255.
fn share(of: f64) -> u8 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held to 0..255"
    )]
    let part = (255.0 * of + 0.5).clamp(0.0, 255.0) as u8;
    part
}
