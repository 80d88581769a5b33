//! The one linear system behind every step: a chain of cells, each joined to its two neighbours.
//!
//! `(c_i + k (g_i + g_{i+1})) a_i - k g_i a_{i-1} - k g_{i+1} a_{i+1} = r_i`, positive and symmetric.
//! Solved by elimination from both ends towards the middle at once (the twisted form of the Thomas
//! algorithm): the two halves do not wait for each other.

/// Scratch of one chain.
#[derive(Debug, Default)]
pub(crate) struct Chain {
    /// Factor of the neighbour nearer the middle, and the rest of each eliminated row.
    rows: Vec<(f64, f64)>,
}

/// One row before elimination.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct MatrixRow {
    /// Capacity of the cell.
    pub(crate) capacity: f64,
    /// Conductance to the cell before.
    pub(crate) before: f64,
    /// Conductance to the cell after.
    pub(crate) after: f64,
    /// Right-hand side.
    pub(crate) rest: f64,
}

impl Chain {
    /// Solves for `a`; `ends` are the fixed activities beyond the two faces.
    pub(crate) fn solve(&mut self, rows: &[MatrixRow], k: f64, ends: (f64, f64), a: &mut [f64]) {
        let half = rows.len() / 2;
        self.rows.resize(rows.len(), (0.0, 0.0));
        let (front, back) = rows.split_at(half);
        let (front_out, back_out) = self.rows.split_at_mut(half);

        // Eliminate towards the middle; the back half is one longer when the count is odd.
        let (mut e, mut y) = (0.0, ends.0);
        let (mut f, mut z) = (0.0, ends.1);
        let mut back_rows = back.iter().rev().zip(back_out.iter_mut().rev());
        if back.len() > front.len()
            && let Some((row, out)) = back_rows.next()
        {
            (f, z) = step(row.capacity, k * row.before, k * row.after, row.rest, f, z);
            *out = (f, z);
        }
        for ((row, out), (other, other_out)) in
            front.iter().zip(front_out.iter_mut()).zip(back_rows)
        {
            (e, y) = step(row.capacity, k * row.after, k * row.before, row.rest, e, y);
            *out = (e, y);
            (f, z) = step(
                other.capacity,
                k * other.before,
                k * other.after,
                other.rest,
                f,
                z,
            );
            *other_out = (f, z);
        }

        // Where they meet: left = y + e right, right = z + f left.
        let (mut left, mut right);
        if half == 0 {
            // One cell: its neighbour on the left is the face.
            left = ends.0;
            right = z + f * left;
        } else {
            left = (y + e * z) / (1.0 - e * f);
            right = z + f * left;
        }
        let (front_a, back_a) = a.split_at_mut(half.min(a.len()));
        let mut outward = back_out.iter().zip(back_a.iter_mut());
        if let Some((_, value)) = outward.next() {
            *value = right;
        }
        let mut inward = front_out.iter().zip(front_a.iter_mut()).rev();
        if let Some((_, value)) = inward.next() {
            *value = left;
        }
        // The back half may be one longer; run the pairs together and then what is left.
        loop {
            let (l, r) = (inward.next(), outward.next());
            if l.is_none() && r.is_none() {
                break;
            }
            if let Some((&(e, y), value)) = l {
                left = y + e * left;
                *value = left;
            }
            if let Some((&(f, z), value)) = r {
                right = z + f * right;
                *value = right;
            }
        }
    }
}

/// Eliminates one row: `behind` is the conductance to the side already eliminated.
#[inline(always)]
fn step(capacity: f64, ahead: f64, behind: f64, rest: f64, e: f64, y: f64) -> (f64, f64) {
    let inverse = 1.0 / (capacity + ahead + behind * (1.0 - e));
    (ahead * inverse, (rest + behind * y) * inverse)
}

#[cfg(test)]
mod tests {
    use super::{Chain, MatrixRow};

    fn rows(n: usize) -> Vec<MatrixRow> {
        let mut g: Vec<f64> = (0..=n).map(|i| 1.0 + (i % 5) as f64 * 0.3).collect();
        g[n] = 0.7;
        (0..n)
            .map(|i| MatrixRow {
                capacity: 0.5 + (i % 3) as f64,
                before: g[i],
                after: g[i + 1],
                rest: (i as f64 * 0.37).sin() + 2.0,
            })
            .collect()
    }

    #[test]
    fn every_row_is_met_for_every_length() {
        let mut chain = Chain::default();
        for n in 1..40 {
            let rows = rows(n);
            let mut a = vec![0.0; n];
            chain.solve(&rows, 0.8, (0.3, 1.2), &mut a);
            for i in 0..n {
                let before = if i == 0 { 0.3 } else { a[i - 1] };
                let after = if i + 1 == n { 1.2 } else { a[i + 1] };
                let row = rows[i];
                let left = row.capacity * a[i]
                    + 0.8 * (row.before * (a[i] - before) + row.after * (a[i] - after));
                assert!((left - row.rest).abs() < 1e-12, "{n} {i}");
            }
        }
    }

    #[test]
    fn no_cells_is_no_trouble() {
        Chain::default().solve(&[], 1.0, (0.0, 0.0), &mut []);
    }
}
