//! Cells through the thickness: in each, how much of each steel and how much carbon.
//!
//! A cell thicker than a layer holds several steels; inside it the activity is taken as even, so
//! every steel there holds `activity / factor`.

use super::part::Part;

/// Cells from first face to last face.
#[derive(Debug, Clone, Default)]
pub(crate) struct Cells {
    /// Thickness of each steel in each cell, mm: by steel, then by cell. All lists are equally long.
    pub(crate) steels: Vec<Vec<f64>>,
    /// Carbon of each cell, mass % times mm.
    pub(crate) carbon: Vec<f64>,
    /// Activity factor of each steel at which the carbon was last spread.
    pub(crate) factors: Vec<f64>,
    /// Activity at the two faces.
    pub(crate) faces: (f64, f64),
}

impl Cells {
    /// No cells, for this many steels.
    pub(crate) fn none(factors: &[f64]) -> Self {
        Self {
            steels: vec![Vec::new(); factors.len()],
            carbon: Vec::new(),
            factors: factors.to_vec(),
            faces: (0.0, 0.0),
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.carbon.len()
    }

    /// Adds a cell of `share` of these parts.
    pub(crate) fn push_parts(&mut self, parts: &[Part], share: f64) {
        for (s, steel) in self.steels.iter_mut().enumerate() {
            steel.push(parts.get(s).map_or(0.0, |p| p.mm * share));
        }
        self.carbon
            .push(parts.iter().map(|p| p.carbon).sum::<f64>() * share);
    }

    /// Adds `share` of these parts to the last cell.
    pub(crate) fn grow_parts(&mut self, parts: &[Part], share: f64) {
        for (steel, part) in self.steels.iter_mut().zip(parts) {
            if let Some(last) = steel.last_mut() {
                *last += part.mm * share;
            }
        }
        if let Some(last) = self.carbon.last_mut() {
            *last += parts.iter().map(|p| p.carbon).sum::<f64>() * share;
        }
    }

    /// Thickness of each cell, mm.
    pub(crate) fn thickness(&self) -> Vec<f64> {
        let mut mm = vec![0.0; self.len()];
        for steel in &self.steels {
            for (total, part) in mm.iter_mut().zip(steel) {
                *total += part;
            }
        }
        mm
    }

    /// `sum of thickness / factor`: carbon that each cell takes up per activity.
    pub(crate) fn capacity(&self, factors: &[f64]) -> Vec<f64> {
        let mut capacity = vec![0.0; self.len()];
        for (steel, factor) in self.steels.iter().zip(factors) {
            for (total, part) in capacity.iter_mut().zip(steel) {
                *total += part / factor;
            }
        }
        capacity
    }

    /// Activity of each cell.
    pub(crate) fn activity(&self, factors: &[f64]) -> Vec<f64> {
        let capacity = self.capacity(factors);
        self.carbon
            .iter()
            .zip(&capacity)
            .map(|(q, c)| q / c.max(f64::MIN_POSITIVE))
            .collect()
    }

    /// `integral of activity` through all cells.
    pub(crate) fn whole_activity(&self) -> f64 {
        let activity = self.activity(&self.factors);
        let thickness = self.thickness();
        activity.iter().zip(&thickness).map(|(a, h)| a * h).sum()
    }

    /// Sums by steel.
    pub(crate) fn parts(&self) -> Vec<Part> {
        let activity = self.activity(&self.factors);
        self.steels
            .iter()
            .zip(&self.factors)
            .map(|(steel, factor)| {
                let mut part = Part::NONE;
                for (mm, a) in steel.iter().zip(&activity) {
                    if *mm > 0.0 {
                        let held = a / factor;
                        part = part.and(Part {
                            mm: *mm,
                            carbon: held * mm,
                            least: held,
                            greatest: held,
                        });
                    }
                }
                part
            })
            .collect()
    }

    /// How activity runs through each cell: difference of its two ends over its mean, never more than
    /// its neighbours bear out.
    pub(crate) fn tilts(&self) -> Vec<f64> {
        let activity = self.activity(&self.factors);
        let thickness = self.thickness();
        // Place and activity of what lies before and after each cell: neighbours, or the faces.
        let mut middles = Vec::with_capacity(activity.len() + 2);
        middles.push((0.0, self.faces.0));
        let mut at = 0.0;
        for (mm, a) in thickness.iter().zip(&activity) {
            middles.push((at + mm / 2.0, *a));
            at += mm;
        }
        middles.push((at, self.faces.1));
        middles
            .windows(3)
            .zip(&thickness)
            .map(|(three, mm)| match three {
                [(x0, a0), (x1, a1), (x2, a2)] => {
                    let (left, right) = ((a1 - a0) / (x1 - x0), (a2 - a1) / (x2 - x1));
                    let central = (a2 - a0) / (x2 - x0);
                    let slope = if left * right > 0.0 {
                        let most = 2.0 * left.abs().min(right.abs());
                        central.clamp(-most, most)
                    } else {
                        0.0
                    };
                    (slope * mm / a1.max(1e-12)).clamp(-2.0, 2.0)
                }
                _ => 0.0,
            })
            .collect()
    }

    /// The cells between two depths; a cell on an edge is cut.
    pub(crate) fn cut(&self, from: f64, to: f64) -> Self {
        let mut kept = Self::none(&self.factors);
        let activity = self.activity(&self.factors);
        kept.faces = (
            if from <= 0.0 {
                self.faces.0
            } else {
                self.read(&activity, from)
            },
            self.read(&activity, to),
        );
        let tilts = self.tilts();
        let mut at = 0.0;
        for (i, mm) in self.thickness().into_iter().enumerate() {
            let (head, tail) = (from.max(at), to.min(at + mm));
            let share = (tail - head) / mm;
            if share > 1e-12 {
                let of = |list: &[f64]| list.get(i).copied().unwrap_or(0.0);
                for (into, steel) in kept.steels.iter_mut().zip(&self.steels) {
                    into.push(of(steel) * share);
                }
                let off = (f64::midpoint(head, tail) - at) / mm - 0.5;
                kept.carbon
                    .push(of(&self.carbon) * share * (1.0 + of(&tilts) * off));
            }
            at += mm;
        }
        kept
    }

    /// Activity at a depth: straight lines between cell middles and the faces.
    pub(crate) fn read(&self, activity: &[f64], depth: f64) -> f64 {
        let (mut x, mut a) = (0.0, self.faces.0);
        let mut at = 0.0;
        for (mm, value) in self.thickness().into_iter().zip(activity) {
            let middle = at + mm / 2.0;
            if depth <= middle {
                return between(x, a, middle, *value, depth);
            }
            (x, a) = (middle, *value);
            at += mm;
        }
        between(x, a, at, self.faces.1, depth.min(at))
    }
}

fn between(x0: f64, a0: f64, x1: f64, a1: f64, x: f64) -> f64 {
    if x1 - x0 < 1e-15 {
        return a1;
    }
    a0 + (a1 - a0) * ((x - x0) / (x1 - x0)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::Cells;

    /// Ten cells of two steels in changing shares, activity rising from 0.1 to 1.
    fn rising() -> Cells {
        let mut cells = Cells::none(&[1.0, 1.1]);
        for i in 0..10_u32 {
            let x = f64::from(i);
            let (a, b) = (0.2 + 0.02 * x, 0.3 - 0.02 * x);
            cells.steels[0].push(a);
            cells.steels[1].push(b);
            cells.carbon.push((0.1 + 0.1 * x) * (a + b / 1.1));
        }
        cells.faces = (0.05, 1.05);
        cells
    }

    #[test]
    fn two_cuts_hold_what_the_whole_holds() {
        let cells = rising();
        let whole: f64 = cells.carbon.iter().sum();
        for at in [0.01, 0.5, 1.23, 2.75, 4.999] {
            let (a, b) = (cells.cut(0.0, at), cells.cut(at, 5.0));
            let both: f64 = a.carbon.iter().chain(&b.carbon).sum();
            assert!((both - whole).abs() < 1e-12, "{at}");
            let mm: f64 = a.thickness().iter().sum();
            assert!((mm - at).abs() < 1e-12);
        }
    }

    #[test]
    fn a_cut_through_a_cell_is_richer_on_the_richer_side() {
        let cells = rising();
        let poor: f64 = cells.cut(2.0, 2.25).carbon.iter().sum();
        let rich: f64 = cells.cut(2.25, 2.5).carbon.iter().sum();
        assert!(rich > poor);
    }

    #[test]
    fn parts_are_the_steels_with_their_factors() {
        let cells = rising();
        let parts = cells.parts();
        let carbon: f64 = parts.iter().map(|p| p.carbon).sum();
        assert!((carbon - cells.carbon.iter().sum::<f64>()).abs() < 1e-12);
        assert!((parts[0].least - 0.1).abs() < 1e-12);
        assert!((parts[1].greatest - 1.0 / 1.1).abs() < 1e-12);
    }

    #[test]
    fn reading_runs_from_face_to_face() {
        let cells = rising();
        let activity = cells.activity(&cells.factors);
        assert!((cells.read(&activity, 0.0) - 0.05).abs() < 1e-12);
        assert!((cells.read(&activity, 5.0) - 1.05).abs() < 1e-12);
        assert!((cells.read(&activity, 0.75) - 0.2).abs() < 1e-12);
        assert!(Cells::none(&[1.0]).read(&[], 1.0).is_finite());
    }
}
