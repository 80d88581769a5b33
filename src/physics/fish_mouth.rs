//! The hollow that drawing leaves in the end of a bar: the fish-mouth that is trimmed off.
//!
//! Blows reach a little way into the bar, so its faces run ahead of its middle. Each small draw by `dx` in log
//! length adds a hollow in proportion to the thickness there is, and stretches what is there already:
//!
//! `du/dx = u + h(x)`, `h(x) = h0 exp(-p x)`, so `u = h0 (e^x - e^(-p x)) / (1 + p)`
//!
//! with `u` the hollow over the share of the shop (mm), `h0` the thickness before (mm), `x = ln(L1/L0)`, and
//! `p = ln(h0/h1) / x`: 1 where the width is held, 1/2 where both sides are drawn, over 1 where the bar spreads.
//! That faces run ahead and that a hollow stretches with its bar is common practice, no source; the sum is its
//! consequence. The share, hollow over `u`, is each shop's own: blows, dies and bites make it, and its trims
//! teach it.

use super::{Law, OutOfRange, Range};
use crate::metal::Mark;
use crate::units::Mm;

/// The card of this law.
pub const LAW: Law = Law {
    key: "fish-mouth",
    title: "end lost to a draw",
    source: "faces run ahead of the middle and the hollow stretches with the bar: common practice; its sum \
             worked in closed form",
    mark: Mark::CommonPractice,
    valid: "bars 0.5 to 500 mm thick drawn up to 100 times as long; no end is lost to an upset",
};
/// Thickness, mm.
const SIZE: Range = Range {
    law: LAW.title,
    name: "thickness",
    unit: "mm",
    least: 0.5,
    greatest: 500.0,
};
/// Length after over length before.
const LONGER: Range = Range {
    law: LAW.title,
    name: "length after over length before",
    unit: "",
    least: 0.01,
    greatest: 100.0,
};

/// The measure of the hollow in one end, mm, after a draw from one thickness to another that makes the bar so
/// many times as long; `before` is what was there already. The hollow is the shop's share of it.
///
/// ```
/// # use anvilside::physics::fish_mouth::measure;
/// # use anvilside::units::Mm;
/// // 60 mm to 15 at one width, four times as long: 60 (4 - 1/4) / 2 = 112.5 mm.
/// let once = measure(Mm::ZERO, Mm(60.0), Mm(15.0), 4.0)?;
/// assert!((once.0 - 112.5).abs() < 1e-9);
/// // The same in two draws.
/// let half = measure(Mm::ZERO, Mm(60.0), Mm(30.0), 2.0)?;
/// assert!((measure(half, Mm(30.0), Mm(15.0), 2.0)?.0 - 112.5).abs() < 1e-9);
/// # Ok::<(), anvilside::physics::OutOfRange>(())
/// ```
///
/// # Errors
/// A thickness or a stretch outside the range.
pub fn measure(before: Mm, from: Mm, to: Mm, longer: f64) -> Result<Mm, OutOfRange> {
    let from = SIZE.check(from.0)?;
    let to = SIZE.check(to.0)?;
    let stretch = LONGER.check(longer)?;
    let log = stretch.ln();
    if log <= 1e-9 {
        // An upset pushes the hollow together and makes none.
        return Ok(Mm(before.0 * stretch));
    }
    let power = (from / to).ln() / log;
    let rise = 1.0 + power;
    let own = if rise.abs() < 1e-6 {
        from * log * stretch
    } else {
        from * (stretch - to / from) / rise
    };
    Ok(Mm(before.0 * stretch + own.max(0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A face line and a middle line of a bar marked across, blow by blow: each of many small draws takes the
    /// same part of the thickness left, pushes the face ahead of the middle by its share of the thickness times
    /// the stretch, and stretches both.
    fn by_blows(from: f64, to: f64, longer: f64) -> f64 {
        let blows = 20_000;
        let each = longer.powf(1.0 / f64::from(blows));
        let thinner = (to / from).powf(1.0 / f64::from(blows));
        let (mut face, mut middle, mut thick) = (0.0, 0.0, from);
        for _ in 0..blows {
            (face, middle) = (face * each, middle * each);
            face += thick * (each - 1.0) / 2.0;
            middle -= thick * (each - 1.0) / 2.0;
            thick *= thinner;
        }
        face - middle
    }

    #[test]
    fn the_closed_form_is_the_sum_of_small_draws() {
        // Width held, both sides drawn alike, spreading, and thickness kept while the width goes.
        for (from, to, longer) in [
            (78.0, 14.0, 78.0 / 14.0),
            (40.0, 20.0, 4.0),
            (30.0, 10.0, 2.2),
            (20.0, 20.0, 1.8),
            (20.0, 24.0, 1.3),
        ] {
            let law = measure(Mm::ZERO, Mm(from), Mm(to), longer).unwrap();
            let blows = by_blows(from, to, longer);
            assert!(
                (law.0 / blows - 1.0).abs() < 1e-3,
                "{from} {to} {longer}: {law:?} {blows}"
            );
        }
    }

    #[test]
    fn a_draw_in_two_parts_is_the_whole_and_an_upset_adds_none() {
        let whole = measure(Mm::ZERO, Mm(50.0), Mm(12.0), 3.6).unwrap();
        // The same course: thickness as the power of the length.
        let power = (50.0_f64 / 12.0).ln() / 3.6_f64.ln();
        let mid = 50.0 * 1.9_f64.powf(-power);
        let half = measure(Mm::ZERO, Mm(50.0), Mm(mid), 1.9).unwrap();
        let both = measure(half, Mm(mid), Mm(12.0), 3.6 / 1.9).unwrap();
        assert!((both.0 - whole.0).abs() < 1e-9);
        let upset = measure(whole, Mm(12.0), Mm(14.0), 0.8).unwrap();
        assert!((upset.0 - 0.8 * whole.0).abs() < 1e-9);
        assert!(measure(Mm::ZERO, Mm(0.1), Mm(0.1), 2.0).is_err());
        assert!(measure(Mm::ZERO, Mm(10.0), Mm(5.0), f64::NAN).is_err());
    }
}
