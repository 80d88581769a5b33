//! The last bands before a face, all at once: bands of two known shades by turns, then what lies behind the bar.
//!
//! The shades of both steels are known from the bands further in, that of what lies behind from beside the end,
//! and the blur from all edges. So only the borders are free, and how many bands there are: the least squares
//! over all borders are found exactly, by the shortest way through the rows (Bellman 1952).

use super::backdrop::Backdrop;
use super::lines::{Lines, Side};
use super::list::{get, quantile, whole};
use super::stack::Stack;
use super::staircase::{Beyond, Fit, Off, Rows};

/// Bands further in that are laid anew.
const INNER: usize = 3;
/// Most bands beyond the last edge that was found.
const OUTER: usize = 2;
/// Least height of a band, in parts of the mean.
const LEAST: f32 = 0.3;
/// How far a band that is seen whole may be off its steel's shade, in parts of the contrast.
const OFF: f32 = 0.15;
/// What a band must explain to be one.
const BAND: f32 = 4.0;
/// Least step of the outermost band to what lies behind that can be told, in parts of the contrast and at all.
const STEP: [f32; 2] = [0.13, 15.0];
/// Counts that cost so much more than the best on whole rows are not tried between rows.
const HOPELESS: f32 = 60.0;

/// What was found at one face.
#[derive(Debug, Clone)]
pub(super) struct Face {
    /// Borders outwards, the face last.
    pub(super) rows: Vec<usize>,
    /// Edges of the stack that these stand for.
    pub(super) stands_for: usize,
    /// What they leave unexplained.
    pub(super) cost: f32,
    /// What one band fewer and one more would cost beside it.
    pub(super) fewer: f32,
    pub(super) more: f32,
    /// The bands run out of the picture.
    pub(super) cut: bool,
}

/// A count of bands that was tried.
struct Tried {
    fit: Fit,
    /// Its outermost band cannot be told from what lies behind.
    hidden: bool,
}

/// The bands at one face; none where too little was seen to say more than the edges do.
pub(super) fn face(
    lines: &Lines,
    stack: &Stack,
    backdrop: Option<&Backdrop>,
    side: Side,
) -> Option<Face> {
    let seen = Seen::of(lines, stack, backdrop, side)?;
    let (tried, cut) = seen.tried();
    let cost = |at: usize| {
        tried.get(at).map_or(f32::INFINITY, |tried| {
            tried.fit.cost + BAND * (at + 1) as f32
        })
    };
    let best = (0..tried.len())
        .filter(|at| tried.get(*at).is_some_and(|tried| !tried.hidden))
        .min_by(|a, b| cost(*a).total_cmp(&cost(*b)))?;
    let fit = &tried.get(best)?.fit;
    let beside = |at: Option<usize>| at.map_or(f32::INFINITY, |at| cost(at) - cost(best));
    let borders = fit.rows();
    // so little of what lies behind is no face; and where it may be the next band, it must be more than one
    let next = get(&seen.rows.shades, best + 2) - seen.rows.level;
    let room = seen.border.saturating_sub(*borders.last()?) as f32;
    let [bands, pixels] = if next.abs() < least_step(stack) {
        [0.6, 7.0]
    } else {
        [0.35, 4.0]
    };
    let pixels = pixels / lines.straight.frame.step;
    let close = room < (bands * seen.mean_rows).min(pixels).max(3.0);
    Some(Face {
        rows: borders
            .iter()
            .map(|at| inward(lines, side, *at).saturating_sub(1))
            .collect(),
        stands_for: seen.stands_for,
        cost: fit.cost,
        fewer: beside(best.checked_sub(1)),
        more: beside(Some(best + 1)),
        // bands that end at no side and at no face are seen in part
        cut: backdrop.is_none()
            || seen.dropped > 1
            || seen.end == seen.border && (cut < cost(best) || close),
    })
}

/// A border's place from one end of the rows as a place from the other, or as it is.
fn inward(lines: &Lines, side: Side, at: usize) -> usize {
    match side {
        Side::First => lines.soft.len().saturating_sub(at),
        Side::Last => at,
    }
}

/// The least step that can be told.
fn least_step(stack: &Stack) -> f32 {
    (STEP[0] * stack.contrast).max(STEP[1])
}

/// What is seen at one face, outwards: a border at a place lies before the row of that number.
struct Seen {
    rows: Rows,
    /// The border of the first band: it is sure.
    sure: usize,
    /// Where the rows end, and where the picture does.
    end: usize,
    border: usize,
    stands_for: usize,
    /// Edges at the border of the picture, or beyond what all lines see.
    dropped: usize,
    /// Bands inside the last edge that are laid anew.
    inner: usize,
    mean_rows: f32,
    /// Least and most rows of a band.
    least: usize,
    most: usize,
    least_step: f32,
}

impl Seen {
    fn of(lines: &Lines, stack: &Stack, backdrop: Option<&Backdrop>, side: Side) -> Option<Self> {
        let mean_rows = stack.mean_rows();
        let (known_first, known_last) = lines.known();
        let border = match side {
            Side::First => inward(lines, side, known_first),
            Side::Last => (known_last + 1).min(lines.soft.len()),
        };
        let mut edges: Vec<usize> = stack
            .edges
            .iter()
            .map(|edge| inward(lines, side, edge.row + 1))
            .collect();
        let mut turns: Vec<(usize, f32)> = stack
            .turns
            .iter()
            .map(|turn| (turn.row, turn.value))
            .collect();
        if side == Side::Last {
            edges.reverse();
            turns.reverse();
        }
        // an edge at the border of the picture is none
        let none = edges.iter().take_while(|at| **at + 2 > border).count();
        edges.drain(..none);
        turns.drain(..none.min(turns.len()));
        let inner = INNER.min((edges.len() / 2).saturating_sub(1));
        let (last, sure) = (*edges.first()?, *edges.get(inner)?);
        let begin = usize::midpoint(*edges.get(inner + 1)?, sure);
        let widest = stack.widest();
        let end = (last + whole(1.6 * widest + mean_rows)).min(border);
        if end <= last + 1 || begin >= sure {
            return None;
        }
        let behind = |row: usize| backdrop.map_or(0.0, |backdrop| backdrop.at(row));
        let line: Vec<f32> = (0..end)
            .map(|at| match side {
                Side::First => lines.soft.len().saturating_sub(at + 1),
                Side::Last => at,
            })
            .map(|row| get(&lines.soft, row) - behind(row))
            .collect();
        let far = line
            .get((last + whole(0.9 * widest)).min(end - 1)..)
            .unwrap_or(&[]);
        let level = quantile(far, 0.5);
        let (level, usual_level, level_off) =
            backdrop.map_or((level, level, 0.5 * stack.contrast), |backdrop| {
                let most = (0.15 * stack.contrast).max(8.0).max(backdrop.apart);
                let off = (0.08 * stack.contrast).max(6.0).max(0.5 * backdrop.apart);
                (level.clamp(-most, most), 0.0, off)
            });
        let off = Off {
            contrast: stack.contrast,
            mean_rows,
            usual_level,
            level_off,
        };
        let values: Vec<f32> = turns
            .iter()
            .map(|(row, value)| value - behind(*row))
            .collect();
        let shades = shades(&values, inner, OFF * stack.contrast);
        let blur = (stack.blur(lines) / 0.9).max(0.5);
        let least = whole(LEAST * mean_rows).max(1);
        Some(Self {
            rows: Rows::new(line, begin, blur, shades, level, off),
            sure,
            end,
            border,
            stands_for: none + inner + 1,
            dropped: none,
            inner,
            mean_rows,
            least,
            most: whole(2.0 * widest).max(least + 1),
            least_step: least_step(stack),
        })
    }

    /// Places where the border before this one may be.
    fn before(&self, to: usize) -> std::ops::Range<usize> {
        to.saturating_sub(self.most)..to.saturating_sub(self.least - 1)
    }

    /// What each count of bands beyond the sure border costs at best, and what it costs that they run out of
    /// the picture.
    fn tried(&self) -> (Vec<Tried>, f32) {
        let mut costs = vec![f32::INFINITY; self.end + 1];
        let near = whole(0.4 * self.mean_rows).max(1);
        let first = self.sure.saturating_sub(near).max(self.rows.begin + 1);
        for (at, cost) in costs
            .iter_mut()
            .enumerate()
            .take(self.sure + near + 1)
            .skip(first)
        {
            *cost = self.rows.first(at);
        }
        let mut came: Vec<Vec<usize>> = Vec::new();
        let mut all: Vec<Tried> = Vec::new();
        let (mut cut, mut least) = (f32::INFINITY, f32::INFINITY);
        for band in 1..=self.inner + OUTER {
            let best = self.ended(band, &costs);
            let border = self.border_in(band, &costs) + 1.0 + BAND * band as f32;
            cut = cut.min(border);
            if best.cost < least + HOPELESS {
                least = least.min(best.cost);
                let mut borders = vec![best.face];
                let mut at = best.before;
                for came in came.iter().rev() {
                    borders.push(at);
                    at = came.get(at).copied().unwrap_or(at);
                }
                borders.push(at);
                borders.reverse();
                let fit = self
                    .rows
                    .settled(&borders, best.soft, 0.8 * self.least as f32);
                let hidden = fit.step.abs() < self.least_step;
                all.push(Tried { fit, hidden });
            } else {
                all.push(Tried {
                    fit: Fit::none(),
                    hidden: true,
                });
            }
            let (next, from) = self.followed(band, &costs);
            costs = next;
            came.push(from);
        }
        (all, cut)
    }

    /// The best way to end with this band.
    fn ended(&self, band: usize, costs: &[f32]) -> Ended {
        let mut best = Ended {
            cost: f32::INFINITY,
            before: 0,
            face: 0,
            soft: 1.0,
        };
        for soft in [1.0, 1.6, 2.4] {
            for face in self.sure + 1..self.end - 1 {
                let behind = self.rows.behind(band, face, soft);
                for before in self.before(face) {
                    let so_far = behind + at(costs, before);
                    if so_far < best.cost {
                        let own = self.rows.band(band, [before, face], Beyond::Face(soft));
                        if so_far + own < best.cost {
                            best = Ended {
                                cost: so_far + own,
                                before,
                                face,
                                soft,
                            };
                        }
                    }
                }
            }
        }
        best
    }

    /// What it costs at best that the picture ends in this band.
    fn border_in(&self, band: usize, costs: &[f32]) -> f32 {
        let mut best = f32::INFINITY;
        for before in self.end.saturating_sub(self.most)..self.end.saturating_sub(2) {
            let so_far = at(costs, before);
            if so_far < best {
                let own = self.rows.band(band, [before, self.end], Beyond::Border);
                best = best.min(so_far + own);
            }
        }
        best
    }

    /// The costs of a border after this band, row by row, and where the border before it is.
    fn followed(&self, band: usize, costs: &[f32]) -> (Vec<f32>, Vec<usize>) {
        let mut next = vec![f32::INFINITY; self.end + 1];
        let mut from = vec![0; self.end + 1];
        let places = next.iter_mut().zip(from.iter_mut()).enumerate();
        for (to, (cost, from)) in places.take(self.end).skip(self.sure + 1) {
            for before in self.before(to) {
                let so_far = at(costs, before);
                if so_far < *cost {
                    let sum = so_far + self.rows.band(band, [before, to], Beyond::Band);
                    if sum < *cost {
                        (*cost, *from) = (sum, before);
                    }
                }
            }
        }
        (next, from)
    }
}

/// A way to end.
struct Ended {
    cost: f32,
    before: usize,
    face: usize,
    soft: f32,
}

/// What each band should show, outwards from the first that is laid anew: its own shade where it was seen whole
/// and may be of its steel, else that of its steel. `values` are those of the bands seen, inwards.
fn shades(values: &[f32], inner: usize, off: f32) -> Vec<f32> {
    let usual = [0, 1].map(|odd| {
        let like: Vec<f32> = values
            .iter()
            .skip(inner + odd)
            .step_by(2)
            .take(3)
            .copied()
            .collect();
        quantile(&like, 0.5)
    });
    (0..inner + OUTER + 2)
        .map(|band| {
            let usual = if band % 2 == 0 { usual[0] } else { usual[1] };
            let seen = inner.checked_sub(band).and_then(|at| values.get(at));
            seen.map_or(usual, |value| value.clamp(usual - off, usual + off))
        })
        .collect()
}

/// The cost at a place; endless beyond the rows.
fn at(costs: &[f32], place: usize) -> f32 {
    costs.get(place).copied().unwrap_or(f32::INFINITY)
}
