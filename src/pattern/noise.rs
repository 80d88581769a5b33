//! Smooth seeded unevenness: what a hammer leaves. Our own integer hash, so that a seed gives the
//! same picture on every machine.
//!
//! Three octaves of quadratic B-splines over lattices of hashed values, sheared and shifted
//! differently so that no lattice shows, summed once on the finest lattice and softly bounded there:
//! about 1 RMS, never past [`BOUND`], slopes continuous, and one look-up of nine nodes for four
//! noises at a time.

/// No noise value lies further from zero: grinding off more than this times the size of the
/// unevenness never leaves a point outside the stack.
pub(crate) const BOUND: f64 = 1.7;

/// Each finer octave's wavelength is shorter by this.
const LACUNARITY: f64 = 2.1;

/// Each finer octave is weaker by this.
const GAIN: f64 = 0.45;

/// Lattice shear of each octave, across per along.
const SHEAR: [f64; 3] = [0.41, -0.57, 0.33];

/// Brings the bounded sum back to about 1 RMS; found by measuring, held by a test.
const LIFT: f32 = 1.85;

/// One step of the SplitMix64 generator (Steele, Lea, Flood 2014, from memory) as a mixing function.
#[inline(always)]
pub(crate) fn mix(seed: u64, with: u64) -> u64 {
    let mut z = seed.wrapping_add(with.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// A number in -1..1 from a hash.
pub(crate) fn signed(hash: u64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "53 bits are taken")]
    let unit = (hash >> 11) as f64 / (1_u64 << 53) as f64;
    2.0 * unit - 1.0
}

/// Four numbers in -1..1 from the four quarters of one hash.
#[inline(always)]
fn four(hash: u64, weight: f32) -> [f32; 4] {
    let quarter = |shift: u32| {
        #[expect(clippy::cast_precision_loss, reason = "16 bits are taken")]
        let quarter = ((hash >> shift) & 0xFFFF) as f32;
        weight * (quarter / 32_767.5 - 1.0)
    };
    [quarter(0), quarter(16), quarter(32), quarter(48)]
}

/// Four noises at a place, with their slopes per mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sample {
    pub(crate) value: [f32; 4],
    pub(crate) by_x: [f32; 4],
    pub(crate) by_y: [f32; 4],
}

/// Four independent noises over a rectangle.
#[derive(Debug, Clone)]
pub(crate) struct Noise(Lattice);

#[derive(Debug, Clone)]
struct Lattice {
    /// Nodes per mm.
    rate: f64,
    shear: f64,
    from_x: f64,
    from_y: f64,
    columns: usize,
    rows: usize,
    nodes: Vec<[f32; 4]>,
}

impl Noise {
    /// Noise over `x` and `y` (mm) with the longest waves `wavelength` mm; beyond the rectangle it
    /// goes on as at its rim.
    pub(crate) fn new(
        seed: u64,
        x: [f64; 2],
        y: [f64; 2],
        wavelength: f64,
        octaves: usize,
    ) -> Self {
        // A B-spline of independent uniform values in -1..1 has the variance 1/3 * 0.55 * 0.55.
        let unit = 1.0 / (0.55_f64 * 0.55 / 3.0).sqrt();
        let count = octaves.clamp(1, SHEAR.len());
        let (mut gain, mut power) = (1.0, 0.0);
        for _ in 0..count {
            power += gain * gain;
            gain *= GAIN;
        }
        let mut weight = unit / power.sqrt();
        let mut wave = wavelength.max(1e-3);
        let mut made: Vec<Lattice> = Vec::with_capacity(count);
        for (shear, which) in SHEAR.into_iter().take(count).zip(0_u64..) {
            made.push(Lattice::new(
                mix(seed, which),
                x,
                y,
                2.0 / wave,
                shear,
                weight,
            ));
            wave /= LACUNARITY;
            weight *= GAIN;
        }
        let mut finest = made
            .pop()
            .unwrap_or_else(|| Lattice::new(seed, x, y, 1.0, 0.0, 1.0));
        finest.gather(&made);
        Self(finest)
    }

    /// The four noises at a place.
    #[inline]
    pub(crate) fn at(&self, x: f64, y: f64) -> Sample {
        self.0.at(x, y)
    }

    /// The four noises at a place, without their slopes.
    pub(crate) fn value(&self, x: f64, y: f64) -> [f32; 4] {
        self.0.value(x, y)
    }
}

impl Lattice {
    fn new(seed: u64, x: [f64; 2], y: [f64; 2], rate: f64, shear: f64, weight: f64) -> Self {
        let corners = [
            x[0] + shear * y[0],
            x[0] + shear * y[1],
            x[1] + shear * y[0],
            x[1] + shear * y[1],
        ];
        let low = corners.into_iter().fold(f64::INFINITY, f64::min);
        let high = corners.into_iter().fold(f64::NEG_INFINITY, f64::max);
        // A fraction of a cell off the origin, so that octaves share no node.
        let from_x = low * rate - 1.0 - 0.5 * (1.0 + signed(mix(seed, 1)));
        let from_y = y[0] * rate - 1.0 - 0.5 * (1.0 + signed(mix(seed, 2)));
        let columns = cells(high * rate - from_x);
        let rows = cells(y[1] * rate - from_y);
        #[expect(
            clippy::cast_possible_truncation,
            reason = "single precision is plenty"
        )]
        let weight = weight as f32;
        let mut nodes = Vec::with_capacity(columns * rows);
        for j in 0..rows as u64 {
            let row = mix(seed, 100 + j);
            nodes.extend((0..columns as u64).map(|i| four(mix(row, i), weight)));
        }
        Self {
            rate,
            shear,
            from_x,
            from_y,
            columns,
            rows,
            nodes,
        }
    }

    /// Adds coarser lattices' values to this one's nodes and bounds the sum: `v / sqrt(1 + (v/b)^2)`,
    /// odd, smooth, never past the bound; nor is anything between the nodes.
    fn gather(&mut self, coarser: &[Self]) {
        #[expect(clippy::cast_possible_truncation, reason = "a constant")]
        let b = BOUND as f32;
        let (rate, shear, columns) = (self.rate, self.shear, self.columns.max(1));
        let mut blends: Vec<Vec<[f32; 4]>> = vec![Vec::new(); coarser.len()];
        let mut j = self.from_y - 0.5;
        for row in self.nodes.chunks_mut(columns) {
            // A node's own place is the middle of the cell that it weighs most in.
            let y = j / rate;
            for (lattice, blend) in coarser.iter().zip(&mut blends) {
                lattice.blend(y, blend);
            }
            let mut x = (self.from_x - 0.5) / rate - shear * y;
            for node in row {
                for (lattice, blend) in coarser.iter().zip(&blends) {
                    let (i, s) = split(lattice.along(x, y), lattice.columns);
                    if let Some(three) = blend.get(i..).and_then(|rest| rest.first_chunk::<3>()) {
                        add(node, 1.0, weigh(weights(s), three));
                    }
                }
                for v in node.iter_mut() {
                    let lifted = *v * LIFT;
                    *v = lifted / (1.0 + (lifted / b) * (lifted / b)).sqrt();
                }
                x += 1.0 / rate;
            }
            j += 1.0;
        }
    }

    /// The row of nodes that lies at `y`, between the lattice's own.
    fn blend(&self, y: f64, into: &mut Vec<[f32; 4]>) {
        let (j, t) = split(y * self.rate - self.from_y, self.rows);
        let row = |k: usize| {
            let first = (j + k) * self.columns;
            self.nodes
                .get(first..first + self.columns)
                .unwrap_or_default()
        };
        let wy = weights(t);
        into.clear();
        into.extend(
            row(0)
                .iter()
                .zip(row(1))
                .zip(row(2))
                .map(|((a, b), c)| weigh(wy, &[*a, *b, *c])),
        );
    }

    /// Lattice coordinate along, at a place.
    #[inline]
    fn along(&self, x: f64, y: f64) -> f64 {
        (x + self.shear * y) * self.rate - self.from_x
    }

    /// Column and row of the cell, and the place in it.
    #[inline]
    fn cell(&self, x: f64, y: f64) -> (usize, f32, f32) {
        let u = self.along(x, y);
        let v = y * self.rate - self.from_y;
        let (i, s) = split(u, self.columns);
        let (j, t) = split(v, self.rows);
        (j * self.columns + i, s, t)
    }

    /// The three by three nodes of a cell.
    #[inline]
    fn nine(&self, first: usize) -> Option<[&[[f32; 4]; 3]; 3]> {
        let row = |k: usize| {
            self.nodes
                .get(first + k * self.columns..)?
                .first_chunk::<3>()
        };
        Some([row(0)?, row(1)?, row(2)?])
    }

    #[inline]
    fn value(&self, x: f64, y: f64) -> [f32; 4] {
        let (first, s, t) = self.cell(x, y);
        let Some([a, b, c]) = self.nine(first) else {
            return [0.0; 4];
        };
        let (wx, wy) = (weights(s), weights(t));
        weigh(wy, &[weigh(wx, a), weigh(wx, b), weigh(wx, c)])
    }

    #[inline]
    fn at(&self, x: f64, y: f64) -> Sample {
        let (first, s, t) = self.cell(x, y);
        let Some([a, b, c]) = self.nine(first) else {
            return Sample {
                value: [0.0; 4],
                by_x: [0.0; 4],
                by_y: [0.0; 4],
            };
        };
        #[expect(
            clippy::cast_possible_truncation,
            reason = "single precision is plenty"
        )]
        let (rate, shear) = (self.rate as f32, self.shear as f32);
        let (wx, wy) = (weights(s), weights(t));
        let (dx, dy) = (slopes(s, rate), slopes(t, rate));
        let lines = [weigh(wx, a), weigh(wx, b), weigh(wx, c)];
        let along = weigh(wy, &[weigh(dx, a), weigh(dx, b), weigh(dx, c)]);
        let mut across = weigh(dy, &lines);
        add(&mut across, shear, along);
        Sample {
            value: weigh(wy, &lines),
            by_x: along,
            by_y: across,
        }
    }
}

/// Three nodes by their weights.
#[inline(always)]
fn weigh([u, v, w]: [f32; 3], [a, b, c]: &[[f32; 4]; 3]) -> [f32; 4] {
    [
        u * a[0] + v * b[0] + w * c[0],
        u * a[1] + v * b[1] + w * c[1],
        u * a[2] + v * b[2] + w * c[2],
        u * a[3] + v * b[3] + w * c[3],
    ]
}

#[inline(always)]
fn add(to: &mut [f32; 4], times: f32, what: [f32; 4]) {
    *to = [
        to[0] + times * what[0],
        to[1] + times * what[1],
        to[2] + times * what[2],
        to[3] + times * what[3],
    ];
}

/// Nodes for a lattice coordinate that runs up to `top`.
fn cells(top: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held to 4..4096"
    )]
    let count = (top.ceil() + 3.0).clamp(4.0, 4096.0) as usize;
    count
}

/// Lattice cell and place in it; beyond the lattice the rim's.
#[inline(always)]
fn split(at: f64, nodes: usize) -> (usize, f32) {
    let last = nodes.saturating_sub(3);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "held to the lattice first"
    )]
    {
        let held = at.clamp(0.0, last as f64 + 0.999_999);
        let cell = held as u32;
        (cell as usize, (held - f64::from(cell)) as f32)
    }
}

/// Weights of a uniform quadratic B-spline.
#[inline(always)]
fn weights(t: f32) -> [f32; 3] {
    let r = 1.0 - t;
    [0.5 * r * r, 0.5 + t * r, 0.5 * t * t]
}

/// Their slopes, times a rate.
#[inline(always)]
fn slopes(t: f32, rate: f32) -> [f32; 3] {
    [rate * (t - 1.0), rate * (1.0 - 2.0 * t), rate * t]
}

/// In single precision: plenty for what a hand does.
pub(crate) fn single(v: f64) -> f32 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "single precision is plenty"
    )]
    let v = v as f32;
    v
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(seed: u64) -> Noise {
        Noise::new(seed, [0.0, 300.0], [-25.0, 25.0], 22.0, 3)
    }

    #[test]
    fn about_unit_rms_bounded_and_even_about_zero() {
        let (mut sum, mut square, mut n, mut most) = (0.0, 0.0, 0.0, 0.0_f64);
        for seed in 0..40 {
            let noise = field(seed);
            for i in 0..60 {
                for j in 0..10 {
                    let at = noise.at(f64::from(i) * 5.0, f64::from(j) * 5.0 - 25.0);
                    for v in at.value.map(f64::from) {
                        sum += v;
                        square += v * v;
                        n += 1.0;
                        most = most.max(v.abs());
                    }
                }
            }
        }
        let rms = (square / n).sqrt();
        assert!((0.95..1.05).contains(&rms), "{rms}");
        assert!((sum / n).abs() < 0.05, "{}", sum / n);
        assert!(most < BOUND, "{most}");
        assert!(most > 1.4, "{most}");
    }

    #[test]
    fn slopes_are_those_of_the_values() {
        let noise = field(7);
        let h = 1e-2;
        for (x, y) in [(12.3, 4.5), (151.0, -20.1), (288.8, 0.0)] {
            let at = noise.at(x, y);
            let right = noise.at(x + h, y);
            let left = noise.at(x - h, y);
            let up = noise.at(x, y + h);
            let down = noise.at(x, y - h);
            for n in 0..4 {
                let by_x = f64::from(right.value[n] - left.value[n]) / (2.0 * h);
                let by_y = f64::from(up.value[n] - down.value[n]) / (2.0 * h);
                assert!((f64::from(at.by_x[n]) - by_x).abs() < 2e-3);
                assert!((f64::from(at.by_y[n]) - by_y).abs() < 2e-3);
            }
        }
    }

    #[test]
    fn a_seed_gives_the_same_noise_and_another_seed_another() {
        let a = field(1).at(100.0, 3.0).value;
        let b = field(1).at(100.0, 3.0).value;
        let c = field(2).at(100.0, 3.0).value;
        assert_eq!(a.map(f32::to_bits), b.map(f32::to_bits));
        assert_ne!(a.map(f32::to_bits), c.map(f32::to_bits));
    }

    #[test]
    fn beyond_the_rectangle_it_stays_finite_and_bounded() {
        let noise = field(3);
        for (x, y) in [(-1e9, 0.0), (1e9, 1e9), (f64::MAX, -1.0), (f64::NAN, 0.0)] {
            assert!(
                noise
                    .at(x, y)
                    .value
                    .iter()
                    .all(|v| v.abs() < 1.7 || v.is_nan())
            );
        }
    }
}
