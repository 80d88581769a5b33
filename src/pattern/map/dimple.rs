//! Raindrop: dimples in both faces, then pressed flat.
//!
//! Round each dimple the column law of the ladder in rings: height `h0(r) = T0 - g (1 - r/R)` under
//! the cone, T0 beyond; `h1 = min(h0, T1)`; rings keep their volume, `h1 r1 dr1 = h0 r0 dr0`, and the
//! cell of radius Rc is scaled to keep its place. The two faces' cells may overlap: their in-plane
//! maps follow one another. Own derivation; determinant 1 in a cell up to one even factor.

use super::column::before_pressing;
use crate::pattern::dual::Num;
use crate::pattern::noise::{mix, signed};

/// What is asked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dimples {
    /// On each face.
    pub(crate) count: u32,
    /// At the face, mm.
    pub(crate) diameter: f64,
    /// At the middle, mm.
    pub(crate) depth: f64,
    /// 0 for a ruled grid, 1 for one set out by eye.
    pub(crate) rough: f64,
    pub(crate) seed: u64,
}

/// A dimpled bar, pressed down as far as it has been.
#[derive(Debug, Clone)]
pub(crate) struct Drops {
    thick: f64,
    flat: f64,
    depth: f64,
    radius: f64,
    cell: f64,
    /// Ground off each face before pressing, mm.
    ground: f64,
    faces: [Grid; 2],
    /// Old radius and slope at even steps of the new, 0 to the cell's.
    table: Vec<[f64; 2]>,
}

/// Middles of dimples in bins of the grid's pitch.
#[derive(Debug, Clone)]
struct Grid {
    pitch: f64,
    low_y: f64,
    columns: usize,
    rows: usize,
    bins: Vec<Vec<[f64; 2]>>,
}

/// Steps of the radial table.
const STEPS: u32 = 256;

impl Drops {
    /// Dimples over a bar of `[width, thickness, length]` mm; nothing pressed yet.
    pub(crate) fn new(size: [f64; 3], drill: Dimples) -> Self {
        let [width, thick, length] = size;
        let radius = 0.5 * drill.diameter;
        let each = width * length / f64::from(drill.count.max(1));
        // A hexagonal grid of pitch a gives each dimple sqrt(3)/2 a^2.
        let pitch = (each * 2.0 / 3.0_f64.sqrt()).sqrt().max(2.1 * radius);
        let slack = 0.5 * pitch - 1.03 * radius;
        let jitter = (0.9 * slack).min(0.28 * pitch).max(0.0) * drill.rough;
        let face = |which: u64, shift: f64| {
            Grid::new(
                mix(drill.seed, which),
                [length, width],
                pitch,
                shift,
                jitter,
            )
        };
        let mut drops = Self {
            thick,
            flat: thick,
            depth: drill.depth,
            radius,
            cell: 0.5 * pitch - jitter,
            ground: 0.0,
            faces: [face(0, 0.0), face(1, 0.5)],
            table: Vec::new(),
        };
        drops.fill();
        drops
    }

    /// The same dimples pressed to a thickness.
    pub(crate) fn pressed(mut self, to: f64) -> Self {
        self.flat = to.min(self.flat);
        self.fill();
        self
    }

    /// The same open dimples after so much is ground off each face.
    pub(crate) fn ground(mut self, off: f64) -> Self {
        self.ground += off;
        self.thick -= 2.0 * off;
        self.flat = self.flat.min(self.thick);
        self.fill();
        self
    }

    /// After -> before; `None` in an open dimple.
    pub(crate) fn back<T: Num>(&self, [x, y, z]: [T; 3]) -> Option<[T; 3]> {
        let [upper, lower] = &self.faces;
        let (x, y, _) = self.ring(lower, x, y);
        let (x0, y0, top) = self.ring(upper, x, y);
        // The lower dimple's depth at the old place, not at the half-way one.
        let bottom = match lower.nearest(x0.value(), y0.value(), self.cell) {
            Some(centre) => self.cone(distance(x0, y0, centre)),
            None => T::of(0.0),
        };
        let z0 = before_pressing(z, [top, bottom], self.thick, self.flat)?;
        Some([x0, y0, z0])
    }

    /// One face's in-plane map: the old place, and the dimple's depth there.
    fn ring<T: Num>(&self, face: &Grid, x: T, y: T) -> (T, T, T) {
        let Some(centre) = face.nearest(x.value(), y.value(), self.cell) else {
            return (x, y, T::of(0.0));
        };
        let r1 = distance(x, y, centre);
        let r0 = self.old_radius(r1);
        let out = if r1.value() > 1e-6 {
            r0 * r1.recip()
        } else {
            T::of(self.table.first().map_or(1.0, |t| t[1]))
        };
        (
            (x - centre[0]) * out + centre[0],
            (y - centre[1]) * out + centre[1],
            self.cone(r0),
        )
    }

    /// Depth of a dimple at a radius.
    fn cone<T: Num>(&self, r: T) -> T {
        let cut = (r * (-1.0 / self.radius) + 1.0) * self.depth - self.ground;
        if cut.value() > 0.0 { cut } else { T::of(0.0) }
    }

    fn height(&self, r: f64) -> f64 {
        self.thick - self.cone(r)
    }

    /// Rings: `int h1 r1 dr1 = int h0 r0 dr0`, scaled so that the cell's rim stays.
    fn fill(&mut self) {
        let dr = self.cell / f64::from(STEPS * 4);
        let mut square = 0.0;
        let mut ends = vec![0.0];
        for n in 0..STEPS * 4 {
            let r = (f64::from(n) + 0.5) * dr;
            let h0 = self.height(r);
            square += 2.0 * h0 / h0.min(self.flat) * r * dr;
            ends.push(square.sqrt());
        }
        let scale = self.cell / square.sqrt().max(1e-12);
        let mut at = 0_usize;
        let mut table = Vec::with_capacity(STEPS as usize + 1);
        for n in 0..=STEPS {
            let r1 = self.cell * f64::from(n) / f64::from(STEPS) / scale;
            while ends.get(at + 1).is_some_and(|end| *end < r1) && at + 2 < ends.len() {
                at += 1;
            }
            if let (Some(low), Some(high)) = (ends.get(at), ends.get(at + 1)) {
                #[expect(clippy::cast_precision_loss, reason = "about a thousand")]
                let r0 = dr * (at as f64 + (r1 - low) / (high - low).max(1e-12));
                let h0 = self.height(r0);
                let ratio = h0.min(self.flat) / h0 / scale;
                let turn = if r0 > 1e-9 {
                    r1 / r0
                } else {
                    (h0 / h0.min(self.flat)).sqrt()
                };
                table.push([r0, ratio * turn]);
            }
        }
        self.table = table;
    }

    fn old_radius<T: Num>(&self, r1: T) -> T {
        let last = self.table.len().saturating_sub(2);
        #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
        let u = r1.value() * (last + 1) as f64 / self.cell;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "saturates; held to the table next"
        )]
        let n = (u as usize).min(last);
        let Some([[a, ta], [b, tb]]) = self.table.get(n..).and_then(|t| t.first_chunk::<2>())
        else {
            return r1;
        };
        #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
        let s = u - n as f64;
        r1.chain(a + (b - a) * s, ta + (tb - ta) * s.clamp(0.0, 1.0))
    }
}

fn distance<T: Num>(x: T, y: T, [cx, cy]: [f64; 2]) -> T {
    let (dx, dy) = (x - cx, y - cy);
    (dx * dx + dy * dy).sqrt()
}

impl Grid {
    fn new(seed: u64, [length, width]: [f64; 2], pitch: f64, shift: f64, jitter: f64) -> Self {
        let rise = pitch * 0.75_f64.sqrt();
        let low_y = -0.5 * width - pitch;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "held to 1..4096"
        )]
        let cells = |span: f64| (span / pitch).ceil().clamp(1.0, 4096.0) as usize;
        let mut grid = Self {
            pitch,
            low_y,
            columns: cells(length + 2.0 * pitch),
            rows: cells(width + 2.0 * pitch),
            bins: Vec::new(),
        };
        grid.bins = vec![Vec::new(); grid.columns * grid.rows];
        let rows = (width / rise).ceil() + 1.0;
        let columns = (length / pitch).ceil() + 1.0;
        let mut row = 0.0;
        while row <= rows {
            let mut column = 0.0;
            while column <= columns {
                let odd = 0.5 * f64::from(u8::from(row.rem_euclid(2.0) > 0.5));
                let dice = mix(mix(seed, row.to_bits()), column.to_bits());
                let turn = std::f64::consts::PI * signed(mix(dice, 1));
                let far = jitter * (0.5 * (1.0 + signed(mix(dice, 2)))).sqrt();
                let x = (column + odd + 0.5 * shift - 0.25) * pitch + far * turn.cos();
                let y = -0.5 * width + (row + 0.6 * shift) * rise + far * turn.sin();
                if let Some(bin) = grid.bin(x, y).and_then(|at| grid.bins.get_mut(at)) {
                    bin.push([x, y]);
                }
                column += 1.0;
            }
            row += 1.0;
        }
        grid
    }

    fn cell(&self, x: f64, y: f64) -> Option<(usize, usize)> {
        let u = x / self.pitch + 1.0;
        let v = (y - self.low_y) / self.pitch;
        if !(u >= 0.0 && v >= 0.0) {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "saturates; compared with the grid next"
        )]
        let (i, j) = (u as usize, v as usize);
        (i < self.columns && j < self.rows).then_some((i, j))
    }

    fn bin(&self, x: f64, y: f64) -> Option<usize> {
        self.cell(x, y).map(|(i, j)| j * self.columns + i)
    }

    /// The dimple whose cell this place is in.
    fn nearest(&self, x: f64, y: f64, cell: f64) -> Option<[f64; 2]> {
        let (i, j) = self.cell(x, y)?;
        let rows = j.saturating_sub(1)..=(j + 1).min(self.rows - 1);
        for row in rows {
            let from = row * self.columns + i.saturating_sub(1);
            let to = row * self.columns + (i + 1).min(self.columns - 1);
            for [cx, cy] in self.bins.get(from..=to)?.iter().flatten() {
                let (dx, dy) = (x - cx, y - cy);
                if dx * dx + dy * dy < cell * cell {
                    return Some([*cx, *cy]);
                }
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One cone alone: 10 mm bar, 2.6 deep, 4.9 radius in a cell of 5.3.
    fn one(flat: f64) -> Drops {
        let face = |centres: Vec<[f64; 2]>| Grid {
            pitch: 100.0,
            low_y: -100.0,
            columns: 3,
            rows: 3,
            bins: {
                let mut bins = vec![Vec::new(); 9];
                bins[4] = centres;
                bins
            },
        };
        let mut drops = Drops {
            thick: 10.0,
            flat: 10.0,
            depth: 2.6,
            radius: 4.9,
            cell: 5.3,
            ground: 0.0,
            faces: [face(vec![[50.0, 0.0]]), face(Vec::new())],
            table: Vec::new(),
        };
        drops.fill();
        drops.pressed(flat)
    }

    // Computed, own derivation: mean thickness of the cell 2 I(Rc)/Rc^2 with
    // I = T0 r^2/2 - g R^2/6 beyond the cone.
    #[test]
    fn worked_cell() {
        let drops = one(7.0);
        let n = 100_000;
        let dr = 5.3 / f64::from(n);
        let i: f64 = (0..n)
            .map(|k| (f64::from(k) + 0.5) * dr)
            .map(|r| drops.height(r) * r * dr)
            .sum();
        assert!((2.0 * i / (5.3 * 5.3) - 9.259).abs() < 1e-3);
        let [x, y, z] = drops.back([50.0, 0.0, 3.5]).unwrap();
        assert!(
            (x - 50.0).abs() < 1e-9 && y.abs() < 1e-9 && (z - 2.4).abs() < 1e-3,
            "{z}"
        );
        // The law itself, half way out: int h0 r dr to r0 over the mean = r1^2/2.
        let [x, ..] = drops.back([53.0, 0.0, 0.0]).unwrap();
        let r0 = x - 50.0;
        let inside: f64 = (0..n)
            .map(|k| (f64::from(k) + 0.5) * r0 / f64::from(n))
            .map(|r| drops.height(r) * r * r0 / f64::from(n))
            .sum();
        assert!((inside - 9.259 * 9.0 / 2.0).abs() < 0.02, "{inside}");
    }

    #[test]
    fn a_dimple_closes_when_its_floor_is_passed_and_not_before() {
        assert!(one(10.0).back([50.0, 0.0, 4.9]).is_none());
        assert!(one(7.5).back([50.0, 0.0, 3.74]).is_none());
        assert!(one(7.39).back([50.0, 0.0, 3.69]).is_some());
    }

    #[test]
    fn cells_do_not_overlap_on_a_face() {
        let drill = Dimples {
            count: 60,
            diameter: 6.0,
            depth: 1.5,
            rough: 1.0,
            seed: 5,
        };
        let drops = Drops::new([35.0, 7.0, 220.0], drill);
        for face in &drops.faces {
            let all: Vec<[f64; 2]> = face.bins.iter().flatten().copied().collect();
            assert!(all.len() >= 60);
            for (n, a) in all.iter().enumerate() {
                for b in all.iter().skip(n + 1) {
                    let far = (a[0] - b[0]).hypot(a[1] - b[1]);
                    assert!(far >= 2.0 * drops.cell - 1e-6, "{far} {}", drops.cell);
                }
            }
        }
        assert!(drops.cell >= drops.radius);
    }
}
