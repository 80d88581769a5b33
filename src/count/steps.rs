//! Steps under the blur of a lens: least squares of a staircase with soft edges, and whether one more step says
//! clearly more than a softer edge would.

use super::list::get;

/// Steps that are fitted at once, with the level that they begin from.
const MOST: usize = 4;

/// A staircase fitted to a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fit {
    /// Mean of the squares left over.
    pub(super) rest: f32,
    /// The level before the first step, and each step's height.
    pub(super) parts: [f32; MOST],
}

/// The share of a soft edge at `far` deviations beyond it: the normal law's, by the logistic curve nearest to it
/// (Bowling and others 2009, within 0.0095).
fn soft(far: f32) -> f32 {
    1.0 / (1.0 + (-1.702 * far).exp())
}

/// Fits a level and steps at these places, each as soft as this deviation, to rows of a line.
pub(super) fn fit(
    line: &[f32],
    rows: std::ops::Range<usize>,
    at: &[f32],
    blur: f32,
) -> Option<Fit> {
    let size = at.len() + 1;
    let count = rows.len() as f32;
    if size > MOST || rows.len() < size + 1 || rows.end > line.len() {
        return None;
    }
    let mut sums = [[0.0f32; MOST + 1]; MOST];
    let mut square = 0.0;
    for row in rows {
        let value = get(line, row);
        if !value.is_finite() {
            return None;
        }
        let mut own = [1.0; MOST];
        for (to, place) in own.iter_mut().skip(1).zip(at) {
            *to = soft((row as f32 - place) / blur.max(0.3));
        }
        for (sums, a) in sums.iter_mut().zip(own).take(size) {
            for (sum, b) in sums.iter_mut().zip(own).take(size) {
                *sum += a * b;
            }
            if let Some(last) = sums.last_mut() {
                *last += a * value;
            }
        }
        square += value * value;
    }
    let right: Vec<f32> = sums.iter().map(|row| get(row, MOST)).collect();
    let parts = solve(sums, size)?;
    let told: f32 = parts.iter().zip(&right).map(|(a, b)| a * b).sum();
    Some(Fit {
        rest: ((square - told) / count).max(0.0),
        parts,
    })
}

/// Solves a small symmetric system by elimination.
fn solve(mut rows: [[f32; MOST + 1]; MOST], size: usize) -> Option<[f32; MOST]> {
    for at in 0..size {
        let pivot = *rows.get(at)?;
        let lead = *pivot.get(at)?;
        if lead.abs() < 1e-4 {
            return None;
        }
        for (other, row) in rows.iter_mut().enumerate().take(size) {
            if other != at {
                let times = row.get(at)? / lead;
                for (to, from) in row.iter_mut().zip(pivot) {
                    *to -= times * from;
                }
            }
        }
    }
    let mut out = [0.0; MOST];
    for (at, to) in out.iter_mut().enumerate().take(size) {
        let row = rows.get(at)?;
        *to = row.last()? / row.get(at)?;
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_staircase_is_found_as_it_was_made() {
        let line: Vec<f32> = (0..40)
            .map(|row| {
                50.0 + 90.0 * soft((row as f32 - 12.0) / 2.0)
                    + 30.0 * soft((row as f32 - 20.5) / 2.0)
            })
            .collect();
        let two = fit(&line, 0..40, &[12.0, 20.5], 2.0).unwrap();
        assert!(two.rest < 1e-1, "{two:?}");
        for (a, b) in two.parts.iter().zip([50.0, 90.0, 30.0]) {
            assert!((a - b).abs() < 0.1, "{two:?}");
        }
        let one = fit(&line, 0..40, &[13.5], 3.0).unwrap();
        assert!(one.rest > 4.0, "{one:?}");
        assert_eq!(fit(&line, 0..90, &[12.0], 2.0), None);
    }

    // The normal law at one deviation: 0.8413 (any table).
    #[test]
    fn the_soft_edge_is_the_normal_law_within_a_hundredth() {
        assert!((soft(1.0) - 0.8413).abs() < 0.01 && (soft(-1.0) - 0.1587).abs() < 0.01);
    }
}
