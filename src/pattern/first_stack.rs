//! The first stack as a smith piled it: what lies at a depth, and the exact mean of any layer-wise
//! value over a window of depth.

use super::dual::floor;
use crate::billet::{StackPiece, SteelId};

/// How the stack goes on past the window that one piece keeps of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Beyond {
    /// Nothing above: the outer layer goes on.
    Hold,
    /// The next piece, the same way up.
    Repeat,
    /// The next piece, turned over.
    Mirror,
}

/// The first stack, bottom to top.
#[derive(Debug, Clone)]
pub(crate) struct FirstStack {
    steels: Vec<SteelId>,
    /// Bottom of each layer, and the top of the last, mm.
    bounds: Vec<f64>,
}

impl FirstStack {
    /// From the pieces; what has no thickness is left out.
    pub(crate) fn new(pieces: &[StackPiece]) -> Self {
        let mut steels = Vec::new();
        let mut bounds = vec![0.0];
        let mut height = 0.0;
        for piece in pieces.iter().filter(|piece| piece.thickness.is_positive()) {
            height += piece.thickness.0;
            steels.push(piece.steel);
            bounds.push(height);
        }
        Self { steels, bounds }
    }

    /// Whole height, mm.
    pub(crate) fn height(&self) -> f64 {
        self.bounds.last().copied().unwrap_or(0.0)
    }

    /// Mean thickness of a layer, mm.
    pub(crate) fn mean(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a count of pieces")]
        let count = self.steels.len().max(1) as f64;
        self.height() / count
    }

    /// Which layer lies at a depth; the outer ones go on outside.
    pub(crate) fn layer(&self, depth: f64) -> usize {
        self.bounds
            .partition_point(|b| *b <= depth)
            .saturating_sub(1)
            .min(self.steels.len().saturating_sub(1))
    }

    /// The steel of a layer.
    pub(crate) fn steel(&self, layer: usize) -> Option<SteelId> {
        self.steels.get(layer).copied()
    }

    /// The layers between two depths: (steel, thickness), bottom to top.
    pub(crate) fn between(&self, low: f64, high: f64) -> Vec<(SteelId, f64)> {
        self.steels
            .iter()
            .zip(self.bounds.windows(2))
            .filter_map(|(steel, pair)| {
                let (bottom, top) = (pair.first()?.max(low), pair.last()?.min(high));
                (top - bottom > 0.0).then_some((*steel, top - bottom))
            })
            .collect()
    }
}

/// First and second running integrals of a layer-wise value, so that its mean over any window, or
/// over a window convolved with another, costs a few look-ups whatever the number of layers in it.
#[derive(Debug, Clone)]
pub(crate) struct Running {
    low: f64,
    period: f64,
    /// One over the period.
    rate: f64,
    hold: bool,
    rows: Vec<LayerRun>,
    /// First and second integral over one whole period.
    whole: [f64; 2],
    /// Windows up to this are a few rows wide.
    reach: f64,
    /// First row to look at for each of `BINS` equal parts of the period.
    bins: Vec<u32>,
}

/// A run of layers of one value, by the place in the period.
#[derive(Debug, Clone, Copy)]
struct LayerRun {
    bottom: f64,
    top: f64,
    value: f64,
    steel: SteelId,
    /// The first integral is `first + value x`, the second `second + first x + value x^2 / 2`.
    first: f64,
    second: f64,
}

impl LayerRun {
    #[inline]
    fn first(&self, at: f64) -> f64 {
        self.first + self.value * at
    }

    fn second(&self, at: f64) -> f64 {
        self.second + (self.first + 0.5 * self.value * at) * at
    }
}

const BINS: usize = 512;

fn count(rows: &[LayerRun]) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a count of pieces")]
    let count = rows.len().max(1) as f64;
    count
}

/// A window this much thinner than the one that it is convolved with only widens it: less than a
/// hundredth of the contrast is off.
const THIN: f64 = 0.08;

impl Running {
    /// Of `value(steel)` over the stack between two depths, going on as told.
    pub(crate) fn new(
        first_stack: &FirstStack,
        [low, high]: [f64; 2],
        beyond: Beyond,
        value: impl Fn(SteelId) -> f64,
    ) -> Self {
        let mut layers = first_stack.between(low, high);
        if beyond == Beyond::Mirror {
            let over: Vec<_> = layers.iter().rev().copied().collect();
            layers.extend(over);
        }
        let mut rows: Vec<LayerRun> = Vec::with_capacity(layers.len());
        let mut steel_below = None;
        let (mut at, mut first, mut second) = (0.0, 0.0, 0.0);
        for (steel, thickness) in layers {
            let v = value(steel);
            let top = at + thickness;
            match rows.last_mut().filter(|_| steel_below == Some(steel)) {
                Some(row) => row.top = top,
                None => rows.push(LayerRun {
                    bottom: at,
                    top,
                    value: v,
                    steel,
                    first: first - v * at,
                    second: second - (first - 0.5 * v * at) * at,
                }),
            }
            steel_below = Some(steel);
            second += first * thickness + 0.5 * v * thickness * thickness;
            first += v * thickness;
            at = top;
        }
        let period = at.max(1e-12);
        let hold = beyond == Beyond::Hold;
        if let (true, Some(lowest)) = (hold, rows.first_mut()) {
            lowest.bottom = f64::NEG_INFINITY;
        }
        if let (true, Some(highest)) = (hold, rows.last_mut()) {
            highest.top = f64::INFINITY;
        }
        let mut bins = Vec::with_capacity(BINS);
        let mut row = 0_u32;
        for bin in 0..BINS {
            #[expect(clippy::cast_precision_loss, reason = "at most 512")]
            let from = period * bin as f64 / BINS as f64;
            while rows
                .get(row as usize + 1)
                .is_some_and(|next| next.bottom <= from)
            {
                row += 1;
            }
            bins.push(row);
        }
        Self {
            reach: 4.0 * period / count(&rows),
            low,
            period,
            rate: 1.0 / period,
            hold,
            rows,
            whole: [first, second],
            bins,
        }
    }

    /// Mean over a window of width `a` convolved with one of width `b`, about a depth: exactly what a
    /// square pixel sees of straight layers whose depth changes by `a` across it and by `b` down it.
    /// And the steel at that depth, where there is any.
    #[inline]
    pub(crate) fn seen(&self, depth: f64, a: f64, b: f64) -> (f64, Option<SteelId>) {
        let (_, at) = self.wrap(depth - self.low);
        match self.row(at) {
            Some((here, row)) => (self.mean_about(here, row, at, [a, b]), Some(row.steel)),
            None => (0.0, None),
        }
    }

    /// The same from the row that the place lies in.
    #[inline]
    fn mean_about(&self, here: usize, row: &LayerRun, at: f64, [a, b]: [f64; 2]) -> f64 {
        let (wide, thin) = if a >= b { (a, b) } else { (b, a) };
        let p = 0.5 * (wide + thin);
        if at - p >= row.bottom && at + p <= row.top {
            return row.value;
        }
        let period = self.period;
        if wide < 1e-9 * period {
            return row.value;
        }
        if thin < THIN * wide || thin < 1e-5 * period {
            // Too thin for the second integral's figures: one window of the same spread.
            let half = 0.5 * (wide * wide + thin * thin).sqrt();
            return (self.first(at + half) - self.first(at - half)) / (2.0 * half);
        }
        let m = 0.5 * (wide - thin);
        let sum = if at >= p && at + p < period && p < self.reach {
            // Within one period and a few rows: from the row found.
            let inner = if m < 1e-6 * p {
                2.0 * row.second(at)
            } else {
                self.near(here, at + m) + self.near(here, at - m)
            };
            self.near(here, at + p) + self.near(here, at - p) - inner
        } else {
            let inner = if m < 1e-6 * p {
                2.0 * row.second(at)
            } else {
                self.second(at + m) + self.second(at - m)
            };
            self.second(at + p) + self.second(at - p) - inner
        };
        sum / (wide * thin)
    }

    /// The second integral at a place a few rows from one.
    #[inline]
    fn near(&self, mut n: usize, at: f64) -> f64 {
        let Some(mut row) = self.rows.get(n) else {
            return 0.0;
        };
        while at < row.bottom {
            n = n.wrapping_sub(1);
            match self.rows.get(n) {
                Some(below) => row = below,
                None => break,
            }
        }
        while at >= row.top {
            n += 1;
            match self.rows.get(n) {
                Some(above) => row = above,
                None => break,
            }
        }
        row.second(at)
    }

    #[inline]
    fn first(&self, at: f64) -> f64 {
        let (n, at) = self.wrap(at);
        self.row(at)
            .map_or(0.0, |(_, row)| n * self.whole[0] + row.first(at))
    }

    #[inline]
    fn second(&self, at: f64) -> f64 {
        let (n, at) = self.wrap(at);
        let Some((_, row)) = self.row(at) else {
            return 0.0;
        };
        let [a, b] = self.whole;
        // The integral of n whole periods' steps, and of the step carried along the rest.
        row.second(at) + n * (b + a * (self.period * 0.5 * (n - 1.0) + at))
    }

    /// Whole periods below, and the place in the period. When nothing repeats the place runs on past
    /// the window and the outer rows with it.
    #[inline]
    fn wrap(&self, at: f64) -> (f64, f64) {
        if self.hold || (at >= 0.0 && at < self.period) {
            return (0.0, at);
        }
        let n = floor(at * self.rate);
        (n, at - n * self.period)
    }

    #[inline]
    fn row(&self, at: f64) -> Option<(usize, &LayerRun)> {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "saturates; held to the bins next"
        )]
        let bin = ((at * self.rate * BINS as f64) as u32).min(BINS as u32 - 1);
        let mut n = *self.bins.get(bin as usize)? as usize;
        let mut row = self.rows.get(n)?;
        while at >= row.top {
            match self.rows.get(n + 1) {
                Some(next) => row = next,
                None => break,
            }
            n += 1;
        }
        Some((n, row))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mm;

    fn stack() -> FirstStack {
        let pieces: Vec<StackPiece> = (0..9)
            .map(|n| StackPiece {
                steel: SteelId(n % 2),
                thickness: Mm(if n % 2 == 0 { 6.0 } else { 3.0 }),
            })
            .collect();
        FirstStack::new(&pieces)
    }

    fn bright(steel: SteelId) -> f64 {
        f64::from(steel.0)
    }

    /// The pixel's own integral, by brute force.
    fn brute(
        first_stack: &FirstStack,
        window: [f64; 2],
        beyond: Beyond,
        d: f64,
        a: f64,
        b: f64,
    ) -> f64 {
        let n = 400;
        let mut sum = 0.0;
        for i in 0..n {
            for j in 0..n {
                let s = |k: i32| (f64::from(k) + 0.5) / f64::from(n) - 0.5;
                let mut at = d + a * s(i) + b * s(j);
                let period = window[1] - window[0];
                match beyond {
                    Beyond::Hold => at = at.clamp(window[0], window[1] - 1e-9),
                    Beyond::Repeat => at = (at - window[0]).rem_euclid(period) + window[0],
                    Beyond::Mirror => {
                        let two = (at - window[0]).rem_euclid(2.0 * period);
                        at = window[0]
                            + if two < period {
                                two
                            } else {
                                2.0 * period - two
                            };
                    }
                }
                let layer = first_stack.layer(at.min(window[1] - 1e-9));
                sum += bright(first_stack.steel(layer).unwrap());
            }
        }
        sum / f64::from(n * n)
    }

    #[test]
    fn a_pixel_sees_the_exact_share_in_every_direction_and_past_the_ends() {
        let first_stack = stack();
        for beyond in [Beyond::Hold, Beyond::Repeat, Beyond::Mirror] {
            let window = [1.2, 40.1];
            let run = Running::new(&first_stack, window, beyond, bright);
            for (d, a, b) in [
                (8.0, 5.0, 3.0),
                (20.0, 0.5, 0.4),
                (1.5, 4.0, 4.0),
                (39.0, 6.0, 1.0),
                (20.0, 90.0, 30.0),
                (-30.0, 2.0, 1.5),
                (15.0, 3.0, 1e-7),
            ] {
                let (seen, _) = run.seen(d, a, b);
                let expected = brute(&first_stack, window, beyond, d, a, b);
                assert!(
                    (seen - expected).abs() < 6e-3,
                    "{beyond:?} {d} {a} {b}: {seen} {expected}"
                );
            }
        }
    }

    #[test]
    fn fine_layers_fade_to_their_mean() {
        let first_stack = stack();
        let run = Running::new(&first_stack, [0.0, 42.0], Beyond::Repeat, bright);
        assert!((run.whole[0] / run.period - 12.0 / 42.0).abs() < 1e-12);
        assert!((run.seen(3.0, 1e6, 2e5).0 - 12.0 / 42.0).abs() < 1e-9);
        assert!((run.seen(3.0, 900.0, 200.0).0 - 12.0 / 42.0).abs() < 1e-3);
    }
}
