//! The bands that were read beside those that a model expects, told apart place by place.
//!
//! Bands of two steels alternate, so a line that one of them lacks takes two bands with it: three bands here
//! are one there. The cheapest way to lay one sequence on the other by that rule says where they differ. It
//! changes nothing in the reading.

/// Most bands of either that are laid beside each other.
const MOST: usize = 1500;
/// What taking three bands for one costs, in units of a height off by a factor of e.
const MERGED: f32 = 0.9;
/// The same for a band that only one of them has at an end.
const AT_END: f32 = 0.7;
/// No single height costs more than this.
const WORST: f32 = 1.2;

/// A place where reading and model differ. Bands are numbered along the line, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Apart {
    /// First and last band of the reading.
    pub from: usize,
    /// See `from`.
    pub to: usize,
    /// Bands that the model has there.
    pub expected: usize,
}

impl Apart {
    #[must_use]
    pub fn words(&self) -> String {
        let read = self.to + 1 - self.from;
        let place = match self.from == self.to {
            true => format!("band {}", self.from),
            false => format!("bands {} to {}", self.from, self.to),
        };
        let why = if self.expected > read {
            "a band under 3 pixels, or like faces met in a weld"
        } else {
            "a weld line or a shade counted as a band, or a band that the model has lost"
        };
        format!("{place}: the model has {} there; {why}", self.expected)
    }
}

/// How a reading lies beside a model.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Beside {
    /// Places where they differ, in the order of the line.
    pub apart: Vec<Apart>,
    /// The model was laid from its other face.
    pub turned: bool,
    /// Bands of the reading.
    pub bands: usize,
}

impl Beside {
    /// The bands that agree: `bands 1 to 39 and 44 to 121 agree with the model`.
    #[must_use]
    pub fn agreeing(&self) -> String {
        let mut runs: Vec<String> = Vec::new();
        let mut from = 1;
        let ends = self.apart.iter().map(|one| (one.from, one.to));
        for (a, b) in ends.chain([(self.bands + 1, self.bands + 1)]) {
            if from < a {
                runs.push(match from + 1 == a {
                    true => from.to_string(),
                    false => format!("{from} to {}", a - 1),
                });
            }
            from = b + 1;
        }
        match runs.split_last() {
            None => "no band agrees with the model".to_owned(),
            Some((last, [])) => format!("bands {last} agree with the model"),
            Some((last, rest)) => {
                format!("bands {} and {last} agree with the model", rest.join(", "))
            }
        }
    }
}

/// Lays the heights of a reading beside those that a model expects, whichever face is up; none where there are
/// too many of either, or too few.
#[must_use]
pub fn beside(read: &[f32], expected: &[f32]) -> Option<Beside> {
    let sizes = [read.len(), expected.len()];
    if sizes.iter().any(|n| !(2..=MOST).contains(n)) || sizes[0].abs_diff(sizes[1]) > 200 {
        return None;
    }
    let whole: f32 = read.iter().sum();
    let model: f32 = expected.iter().sum();
    if !(whole > 0.0 && model > 0.0) {
        return None;
    }
    let scaled: Vec<f32> = expected.iter().map(|one| one * whole / model).collect();
    let turned: Vec<f32> = scaled.iter().rev().copied().collect();
    let [(cost, up), (other, down)] = [laid(read, &scaled), laid(read, &turned)];
    let (apart, turned) = if other < cost {
        (down, true)
    } else {
        (up, false)
    };
    Some(Beside {
        apart,
        turned,
        bands: read.len(),
    })
}

/// How the two go on from a place: so many bands of each.
const WAYS: [(usize, usize); 5] = [(1, 1), (1, 3), (3, 1), (1, 0), (0, 1)];

/// The cheapest way to lay one on the other, and where it is not one on one.
fn laid(read: &[f32], model: &[f32]) -> (f32, Vec<Apart>) {
    let (rows, columns) = (read.len() + 1, model.len() + 1);
    let sums = |of: &[f32]| {
        let mut sum = 0.0;
        let mut all = vec![0.0];
        all.extend(of.iter().map(|one| {
            sum += one;
            sum
        }));
        all
    };
    let (read_to, model_to) = (sums(read), sums(model));
    let part = |sums: &[f32], from: usize, to: usize| {
        sums.get(to).copied().unwrap_or(0.0) - sums.get(from).copied().unwrap_or(0.0)
    };
    let mut best = vec![f32::INFINITY; rows * columns];
    let mut came = vec![0u8; rows * columns];
    if let Some(start) = best.first_mut() {
        *start = 0.0;
    }
    for i in 0..rows {
        for j in 0..columns {
            for (way, (a, b)) in (0u8..).zip(WAYS) {
                let (Some(from), Some(of)) = (i.checked_sub(a), j.checked_sub(b)) else {
                    continue;
                };
                // at either end of both, a band may be one's alone
                let at_end = (from == 0 && of == 0) || (i + 1 == rows && j + 1 == columns);
                let cost = match (a, b) {
                    (0, _) | (_, 0) if at_end => AT_END,
                    (0, _) | (_, 0) => continue,
                    _ => {
                        let own = part(&read_to, from, i).max(1e-6);
                        let other = part(&model_to, of, j).max(1e-6);
                        let off = (own / other).ln().abs().min(WORST);
                        off + if a == b { 0.0 } else { MERGED }
                    }
                };
                let sum = best
                    .get(from * columns + of)
                    .copied()
                    .unwrap_or(f32::INFINITY)
                    + cost;
                let at = i * columns + j;
                if let (Some(best), Some(came)) = (best.get_mut(at), came.get_mut(at))
                    && sum < *best
                {
                    (*best, *came) = (sum, way);
                }
            }
        }
    }
    let cost = best.last().copied().unwrap_or(f32::INFINITY);
    let (mut i, mut j) = (read.len(), model.len());
    let mut apart: Vec<Apart> = Vec::new();
    while cost.is_finite() && (i > 0 || j > 0) {
        let way = came.get(i * columns + j).copied().unwrap_or(0);
        let (a, b) = WAYS.get(usize::from(way)).copied().unwrap_or((1, 1));
        if a != b {
            let from = (i + 1).saturating_sub(a).clamp(1, read.len());
            apart.push(Apart {
                from,
                to: i.clamp(from, read.len()),
                expected: b,
            });
        }
        (i, j) = (i.saturating_sub(a), j.saturating_sub(b));
        if (a, b) == (0, 0) {
            break;
        }
    }
    apart.reverse();
    (cost, apart)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Heights of a pile restacked, no two neighbours alike.
    fn heights() -> Vec<f32> {
        (0..60)
            .map(|at| 6.0 + 3.0 * ((at * at % 7) as f32) / 7.0 + (at % 2) as f32)
            .collect()
    }

    #[test]
    fn what_is_the_same_agrees_from_end_to_end_either_way_up() {
        let read = heights();
        let same = beside(&read, &read).unwrap();
        assert_eq!((same.apart.len(), same.turned), (0, false));
        assert_eq!(same.agreeing(), "bands 1 to 60 agree with the model");
        let turned: Vec<f32> = read.iter().rev().map(|one| one * 0.02).collect();
        let same = beside(&read, &turned).unwrap();
        assert_eq!((same.apart.len(), same.turned), (0, true));
    }

    #[test]
    fn a_line_that_was_not_seen_is_found_where_it_was_taken_out() {
        for at in [5, 20, 41] {
            let model = heights();
            let mut read = model.clone();
            let three: f32 = read.drain(at..at + 3).sum();
            read.insert(at, three);
            let found = beside(&read, &model).unwrap();
            let apart = Apart {
                from: at + 1,
                to: at + 1,
                expected: 3,
            };
            assert_eq!(found.apart, [apart]);
            assert!(found.apart[0].words().contains("the model has 3 there"));
            // and the other way round
            let found = beside(&model, &read).unwrap();
            let apart = Apart {
                from: at + 1,
                to: at + 3,
                expected: 1,
            };
            assert_eq!(found.apart, [apart]);
            assert_eq!(
                found.agreeing(),
                format!("bands 1 to {at} and {} to 60 agree with the model", at + 4)
            );
        }
    }

    #[test]
    fn bands_that_only_one_has_at_an_end_are_told() {
        let model = heights();
        let found = beside(&model[1..], &model).unwrap();
        assert_eq!(found.apart.len(), 1);
        assert_eq!((found.apart[0].from, found.apart[0].expected), (1, 1));
        assert!(beside(&model[..1], &model).is_none());
    }
}
