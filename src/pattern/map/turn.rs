//! Quarter-turn about the bar's length, and tipping the block up so that its end becomes its face.
//! Rigid, so determinant 1.

use crate::pattern::dual::Num;

/// A quarter-turn, after -> before: `(x, z, -y)`.
pub(crate) fn quarter<T: Num>([x, y, z]: [T; 3]) -> [T; 3] {
    [x, z, -y]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_turns_bring_it_back() {
        let p = [1.0, 2.0, 3.0];
        let q = quarter(quarter(quarter(quarter(p))));
        assert!(
            p.iter()
                .zip(q)
                .all(|(a, b): (&f64, f64)| (a - b).abs() < 1e-12)
        );
    }
}
