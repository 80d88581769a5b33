//! Square to disc and back, smoothly: squares turn into rounds under the hammer and back without a
//! crease along the diagonals.
//!
//! `X = u sqrt(1 - v^2/2), Y = v sqrt(1 - u^2/2)` (the elliptical grid map; Fong 2015, from memory),
//! and back with `D = X^2 - Y^2`: `u = [sqrt(2 + D + 2 sqrt2 X) - sqrt(2 + D - 2 sqrt2 X)]/2`, `v`
//! with `-D` and `Y`. Not equal-area at the corners (mean determinant 0.99 on a turn of 45 degrees).

use std::f64::consts::SQRT_2;

use crate::pattern::dual::Num;

/// The square -1..1 made round, turned, and made square again. Past the rim, where uneven hammering
/// looks, the lines run straight on: by the point's mirror image in the rim.
#[inline]
pub(crate) fn spun<T: Num>(u: T, v: T, turn: impl Fn([T; 2]) -> [T; 2]) -> [T; 2] {
    let spin = |u, v| {
        let [x, y] = turn(to_disc(u, v));
        to_square(x, y)
    };
    if u.value().abs() <= 1.0 && v.value().abs() <= 1.0 {
        return spin(u, v);
    }
    let (rim_u, rim_v) = (u.held(-1.0, 1.0), v.held(-1.0, 1.0));
    let rim = spin(rim_u, rim_v);
    let inside = spin(
        (rim_u * 2.0 - u).held(-1.0, 1.0),
        (rim_v * 2.0 - v).held(-1.0, 1.0),
    );
    [rim[0] * 2.0 - inside[0], rim[1] * 2.0 - inside[1]]
}

/// From the square -1..1 to the unit disc; what lies outside is held to the rim.
fn to_disc<T: Num>(u: T, v: T) -> [T; 2] {
    let u = u.held(-1.0, 1.0);
    let v = v.held(-1.0, 1.0);
    let x = u * ((v * v) * -0.5 + 1.0).sqrt();
    let y = v * ((u * u) * -0.5 + 1.0).sqrt();
    [x, y]
}

/// From the unit disc to the square.
fn to_square<T: Num>(x: T, y: T) -> [T; 2] {
    let d = x * x - y * y;
    let half = |d: T, x: T| {
        let more = (d + x * (2.0 * SQRT_2) + 2.0).sqrt();
        let less = (d - x * (2.0 * SQRT_2) + 2.0).sqrt();
        ((more - less) * 0.5).held(-1.0, 1.0)
    };
    [half(d, x), half(-d, y)]
}

/// The disc turned by `angle` radians, anticlockwise.
pub(crate) fn turned<T: Num>([x, y]: [T; 2], angle: T) -> [T; 2] {
    let (s, c) = angle.sin_cos();
    [x * c - y * s, x * s + y * c]
}

#[cfg(test)]
mod tests {
    use super::*;

    // Published map (elliptical grid), numbers computed.
    #[test]
    fn worked_points_and_round_trip() {
        let [x, y] = to_disc(1.0, 0.5);
        assert!((x - 0.935_414).abs() < 1e-6 && (y - 0.353_553).abs() < 1e-6);
        let [x, y] = to_disc(0.7, 0.5);
        let [u, v] = to_square(x, y);
        assert!((u - 0.7_f64).abs() < 1e-9 && (v - 0.5_f64).abs() < 1e-9);
    }

    #[test]
    fn lines_run_straight_on_past_the_rim() {
        let spin = |u: f64| spun(u, 0.3, |p| turned(p, 0.6));
        let h = 1e-4;
        let [before, at, after] = [1.0 - h, 1.0, 1.0 + h].map(spin);
        for n in 0..2 {
            let (inner, outer) = (at[n] - before[n], after[n] - at[n]);
            assert!((inner - outer).abs() < 1e-3 * h && inner.abs() > 0.1 * h);
        }
        // Far outside nothing grows past three half sides.
        let [u, v] = spun(40.0, -9.0, |p| turned(p, 0.6));
        assert!(u.abs() <= 3.0 && v.abs() <= 3.0);
    }
}
