//! Numbers that carry their own slopes (forward differentiation), so that a map gives the place and
//! the size of a pixel's footprint there in one pass, exactly, across any number of seams.

use std::ops::{Add, Mul, Neg, Sub};

use super::noise::Noise;

/// What a map needs from a number: plain for a place alone, [`Dual`] for a place with slopes.
pub(crate) trait Num:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
{
    /// A constant.
    fn of(value: f64) -> Self;

    /// The number without its slopes.
    fn value(self) -> f64;

    /// `f(self)` from its value and its derivative there.
    fn chain(self, value: f64, slope: f64) -> Self;

    /// `f(self, other)` from its value and both partial derivatives there.
    fn chain2(self, other: Self, value: f64, by_self: f64, by_other: f64) -> Self;

    /// `self` plus four noises at `(x, y)` by their weights; the weights change with `self` at the
    /// given slopes.
    fn woven(self, noise: &Noise, x: Self, y: Self, weights: [f32; 4], slopes: [f32; 4]) -> Self;

    /// Square root; the slope is held finite at zero.
    #[inline(always)]
    fn sqrt(self) -> Self {
        let root = self.value().max(0.0).sqrt();
        self.chain(root, 0.5 / root.max(1e-9))
    }

    /// Sine and cosine, radians.
    #[inline(always)]
    fn sin_cos(self) -> (Self, Self) {
        let (s, c) = self.value().sin_cos();
        (self.chain(s, c), self.chain(c, -s))
    }

    /// Natural exponential.
    #[inline(always)]
    fn exp(self) -> Self {
        let e = self.value().exp();
        self.chain(e, e)
    }

    /// One over it.
    #[inline(always)]
    fn recip(self) -> Self {
        let r = 1.0 / self.value();
        self.chain(r, -r * r)
    }

    /// Distance from zero.
    #[inline(always)]
    fn abs(self) -> Self {
        if self.value() < 0.0 { -self } else { self }
    }

    /// Held between two bounds; flat outside.
    #[inline(always)]
    fn held(self, low: f64, high: f64) -> Self {
        let v = self.value();
        if v < low {
            Self::of(low)
        } else if v > high {
            Self::of(high)
        } else {
            self
        }
    }
}

/// Largest whole number not above; a plain cast and a step, far cheaper than the library's call on
/// processors without a rounding instruction. Past 2^62 it saturates.
#[inline(always)]
pub(crate) fn floor(x: f64) -> f64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_precision_loss,
        reason = "saturates, which is what is wanted"
    )]
    let whole = (x as i64) as f64;
    if whole > x { whole - 1.0 } else { whole }
}

/// True for an odd whole number.
#[inline(always)]
pub(crate) fn is_odd(whole: f64) -> bool {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "saturates; parity past 2^62 is nothing"
    )]
    let n = whole as i64;
    n & 1 == 1
}

impl Num for f64 {
    fn of(value: f64) -> Self {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn chain(self, value: f64, _slope: f64) -> Self {
        value
    }
    fn chain2(self, _other: Self, value: f64, _by_self: f64, _by_other: f64) -> Self {
        value
    }
    fn woven(self, noise: &Noise, x: Self, y: Self, weights: [f32; 4], _: [f32; 4]) -> Self {
        self + f64::from(dot(weights, noise.value(x, y)))
    }
}

#[inline(always)]
fn dot(a: [f32; 4], b: [f32; 4]) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3]
}

/// A number with its slopes along `N` directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Dual<const N: usize> {
    /// The number.
    pub(crate) v: f64,
    /// Its slope along each direction.
    pub(crate) d: [f64; N],
}

impl<const N: usize> Dual<N> {
    /// The number that is itself direction `along`.
    #[inline(always)]
    pub(crate) fn variable(v: f64, along: usize) -> Self {
        let mut d = [0.0; N];
        if let Some(d) = d.get_mut(along) {
            *d = 1.0;
        }
        Self { v, d }
    }

    #[inline(always)]
    fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> [f64; N] {
        let mut d = self.d;
        for (k, a) in d.iter_mut().enumerate() {
            if let Some(b) = other.d.get(k) {
                *a = f(*a, *b);
            }
        }
        d
    }

    /// All slopes times one number. A plain loop: the library's array map is not always inlined.
    #[inline(always)]
    fn times(self, by: f64) -> [f64; N] {
        let mut d = self.d;
        for a in &mut d {
            *a *= by;
        }
        d
    }
}

impl<const N: usize> Num for Dual<N> {
    #[inline(always)]
    fn of(value: f64) -> Self {
        Self {
            v: value,
            d: [0.0; N],
        }
    }
    #[inline(always)]
    fn value(self) -> f64 {
        self.v
    }
    #[inline(always)]
    fn chain(self, value: f64, slope: f64) -> Self {
        Self {
            v: value,
            d: self.times(slope),
        }
    }
    #[inline(always)]
    fn chain2(self, other: Self, value: f64, by_self: f64, by_other: f64) -> Self {
        Self {
            v: value,
            d: self.zip(other, |a, b| a * by_self + b * by_other),
        }
    }
    #[inline(always)]
    fn woven(self, noise: &Noise, x: Self, y: Self, weights: [f32; 4], slopes: [f32; 4]) -> Self {
        let at = noise.at(x.v, y.v);
        let keep = 1.0 + f64::from(dot(slopes, at.value));
        let by_x = f64::from(dot(weights, at.by_x));
        let by_y = f64::from(dot(weights, at.by_y));
        let mut d = self.d;
        for (k, d) in d.iter_mut().enumerate() {
            if let (Some(dx), Some(dy)) = (x.d.get(k), y.d.get(k)) {
                *d = *d * keep + by_x * dx + by_y * dy;
            }
        }
        Self {
            v: self.v + f64::from(dot(weights, at.value)),
            d,
        }
    }
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self {
            v: self.v + other.v,
            d: self.zip(other, |a, b| a + b),
        }
    }
}

impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self {
            v: self.v - other.v,
            d: self.zip(other, |a, b| a - b),
        }
    }
}

impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        self.chain2(other, self.v * other.v, other.v, self.v)
    }
}

impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self {
            v: -self.v,
            d: self.times(-1.0),
        }
    }
}

impl<const N: usize> Add<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn add(mut self, other: f64) -> Self {
        self.v += other;
        self
    }
}

impl<const N: usize> Sub<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(mut self, other: f64) -> Self {
        self.v -= other;
        self
    }
}

impl<const N: usize> Mul<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: f64) -> Self {
        Self {
            v: self.v * other,
            d: self.times(other),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn f<T: Num>(x: T, y: T) -> T {
        let (s, c) = (x * y).sin_cos();
        (s + c * 0.3 + 2.0).sqrt() * (x * -0.2).exp() + (y + 3.0).recip() - x.abs()
    }

    #[test]
    fn slopes_agree_with_central_differences() {
        for (x, y) in [(0.4, 1.1), (-1.3, 0.2), (2.0, -0.7)] {
            let z = f(Dual::<2>::variable(x, 0), Dual::<2>::variable(y, 1));
            let h = 1e-6;
            let by_x = (f(x + h, y) - f(x - h, y)) / (2.0 * h);
            let by_y = (f(x, y + h) - f(x, y - h)) / (2.0 * h);
            assert!((z.v - f(x, y)).abs() < 1e-12);
            assert!((z.d[0] - by_x).abs() < 1e-7, "{} {by_x}", z.d[0]);
            assert!((z.d[1] - by_y).abs() < 1e-7, "{} {by_y}", z.d[1]);
        }
    }
}
