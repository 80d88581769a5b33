//! The error function, for the closed forms of diffusion and for normal chances.
//!
//! Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.6 (series) and 7.1.14 (continued fraction).
//! Good to about 1e-15 in `erf` and 1e-14 relative in `erfc`.

/// Where the series hands over to the continued fraction.
const TURN: f64 = 1.2;

/// The error function.
///
/// ```
/// # use anvilside::physics::erf::erf;
/// assert!((erf(0.5) - 0.520_499_877_813_046_5).abs() < 1e-15);
/// ```
#[must_use]
pub fn erf(x: f64) -> f64 {
    if x.abs() < TURN {
        series(x)
    } else {
        x.signum() * (1.0 - fraction(x.abs()))
    }
}

/// One minus the error function, accurate where it is small.
///
/// ```
/// # use anvilside::physics::erf::erfc;
/// assert!((erfc(3.0) / 2.209_049_699_858_544e-5 - 1.0).abs() < 1e-13);
/// ```
#[must_use]
pub fn erfc(x: f64) -> f64 {
    if x.abs() < TURN {
        1.0 - series(x)
    } else if x > 0.0 {
        fraction(x)
    } else {
        2.0 - fraction(-x)
    }
}

/// The `z` with `erf(z) = y`, for -1 < y < 1; infinite at the ends, NaN beyond.
///
/// ```
/// # use anvilside::physics::erf::inverse_erf;
/// assert!((inverse_erf(0.5) - 0.476_936_276_204_469_9).abs() < 1e-14);
/// ```
#[must_use]
pub fn inverse_erf(y: f64) -> f64 {
    if y.is_nan() || y.abs() > 1.0 {
        return f64::NAN;
    }
    if y.abs() >= 1.0 {
        return y * f64::INFINITY;
    }
    let target = y.abs();
    let (mut low, mut high) = (0.0, 6.0);
    let mut z = 0.9 * target;
    for _ in 0..80 {
        // Newton inside a bracket; near one the slope is flat and the bracket leads.
        let off = if target > 0.5 {
            (1.0 - target) - erfc(z)
        } else {
            erf(z) - target
        };
        if off > 0.0 {
            high = z;
        } else {
            low = z;
        }
        let step = off / (std::f64::consts::FRAC_2_SQRT_PI * (-z * z).exp());
        if step.abs() < 1e-15 {
            break;
        }
        let next = z - step;
        z = if next > low && next < high {
            next
        } else {
            f64::midpoint(low, high)
        };
    }
    z.copysign(y)
}

fn series(x: f64) -> f64 {
    let mut term = x;
    let mut sum = x;
    let mut odd = 1.0;
    while term.abs() > 1e-18 * sum.abs() {
        odd += 2.0;
        term *= 2.0 * x * x / odd;
        sum += term;
    }
    std::f64::consts::FRAC_2_SQRT_PI * (-x * x).exp() * sum
}

/// `erfc(x)` for x of at least [`TURN`], from the tail of the fraction upwards.
fn fraction(x: f64) -> f64 {
    let mut tail = x;
    for k in (1..=140_u32).rev() {
        tail = x + f64::from(k) / 2.0 / tail;
    }
    (-x * x).exp() / tail * (std::f64::consts::FRAC_2_SQRT_PI / 2.0)
}

#[cfg(test)]
mod tests {
    use super::{erf, erfc, inverse_erf};

    #[test]
    fn agrees_with_a_reference_library() {
        for i in -600..=600_i32 {
            let x = f64::from(i) / 100.0;
            assert!((erf(x) - libm::erf(x)).abs() < 2e-15, "{x}");
            assert!((erfc(x) / libm::erfc(x) - 1.0).abs() < 1e-13, "{x}");
        }
    }

    #[test]
    fn the_inverse_undoes_it() {
        for y in [-0.999_999, -0.5, 0.0, 1e-6, 0.3, 0.421_052_6, 0.9, 0.999_9] {
            assert!((erf(inverse_erf(y)) - y).abs() < 1e-14, "{y}");
        }
        assert!(inverse_erf(1.0).is_infinite());
        assert!(inverse_erf(1.5).is_nan());
        assert!(inverse_erf(f64::NAN).is_nan());
    }

    #[test]
    fn odd_inputs_end() {
        assert!(erf(f64::NAN).is_nan());
        assert!((erf(f64::INFINITY) - 1.0).abs() < 1e-15);
        assert!((erfc(f64::NEG_INFINITY) - 2.0).abs() < 1e-15);
        assert!(erf(0.0).abs() < 1e-300);
    }
}
