//! The error function, for the closed forms of diffusion and for normal chances.

pub use libm::{erf, erfc};

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

#[cfg(test)]
mod tests {
    use super::{erf, erfc, inverse_erf};

    // Abramowitz and Stegun, Handbook of Mathematical Functions, table 7.1, from memory.
    #[test]
    fn agrees_with_the_handbook() {
        for (x, y) in [
            (0.5, 0.520_499_877_8),
            (1.0, 0.842_700_792_9),
            (2.0, 0.995_322_265_0),
        ] {
            assert!((erf(x) - y).abs() < 1e-10, "{x}");
            assert!((erfc(x) - (1.0 - y)).abs() < 1e-10, "{x}");
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
}
