//! How finely a stack is cut into cells.

/// How fine to be.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fineness {
    /// Thickness of cells where carbon moves, mm.
    pub(crate) cell: f64,
    /// The same at an open face, mm.
    pub(crate) face: f64,
    /// Thickness of a copy up to which a repeat counts as even, mm.
    pub(crate) blend: f64,
    /// Distance from a joint or face over which cells stay fine, mm.
    pub(crate) near: f64,
    /// Growth of cells beyond, per distance.
    pub(crate) growth: f64,
    /// Difference of activity, as a part of the mean, below which neighbours count as level.
    pub(crate) level: f64,
}

/// How far each end of a cell is from the nearest place where carbon moves, and whether that is an
/// open face.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ends {
    pub(crate) left: f64,
    pub(crate) right: f64,
    /// Distance of the left end from the first face and of the right end from the last, when open.
    pub(crate) faces: (f64, f64),
}

impl Fineness {
    /// Thickness of a cell at a distance from where carbon moves.
    pub(crate) fn size(&self, room: f64, from_face: f64) -> f64 {
        let inner = self.cell + self.growth * (room - self.near).max(0.0);
        inner.min(self.face + self.growth * from_face)
    }

    /// Thickness wanted of a cell with these ends.
    pub(crate) fn wanted(&self, ends: Ends) -> f64 {
        self.size(ends.left, ends.faces.0)
            .min(self.size(ends.right, ends.faces.1))
    }

    /// Shares of a cell to be split, graded from both ends.
    pub(crate) fn split(&self, mm: f64, ends: Ends) -> Vec<f64> {
        let (mut head, mut tail) = (Vec::new(), Vec::new());
        let (mut x, mut y) = (0.0, 0.0);
        loop {
            let left = self.size(ends.left + x, ends.faces.0 + x);
            let right = self.size(ends.right + y, ends.faces.1 + y);
            let rest = mm - x - y;
            let next = left.min(right);
            if rest <= 1.4 * next || head.len() + tail.len() > 20_000 {
                head.push(rest);
                break;
            }
            if rest <= 2.4 * next {
                head.push(rest / 2.0);
                tail.push(rest / 2.0);
                break;
            }
            if left <= right {
                head.push(left);
                x += left;
            } else {
                tail.push(right);
                y += right;
            }
        }
        head.extend(tail.into_iter().rev());
        head.into_iter().map(|size| size / mm).collect()
    }
}
