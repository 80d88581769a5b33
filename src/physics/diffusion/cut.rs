//! A stretch cut out of a tree: what is to be done is kept in a list, so that a deep one costs memory and no
//! stack.

use super::sequence::{Kind, Sequence, count};

impl Sequence {
    /// The stretch from depth `from` to depth `to`, mm.
    pub(crate) fn cut(&self, from: f64, to: f64) -> Self {
        let mut todo = vec![Cutting::Cut(self, from, to)];
        let mut made: Vec<Self> = Vec::new();
        while let Some(next) = todo.pop() {
            let new = match next {
                Cutting::Cut(stretch, from, to) => match stretch.cut_once(from, to, &mut todo) {
                    Some(new) => new,
                    None => continue,
                },
                Cutting::Ready(new) => new,
                Cutting::Join(count) => Self::join(made.split_off(made.len() - count)),
                Cutting::Mirror => made.pop().map_or_else(Self::nothing, |of| of.mirrored()),
                Cutting::Scale(by) => made.pop().map_or_else(Self::nothing, |of| of.scaled(by)),
            };
            made.push(new);
        }
        made.pop().unwrap_or_else(Self::nothing)
    }

    fn nothing() -> Self {
        Self::new(Kind::Even, Vec::new())
    }

    /// What is left of a leaf, or of anything that is left whole; else what is to be done, last first.
    fn cut_once<'a>(&'a self, from: f64, to: f64, todo: &mut Vec<Cutting<'a>>) -> Option<Self> {
        let whole = self.node.mm;
        let slack = 1e-12 * whole;
        let (from, to) = (from.max(0.0), to.min(whole));
        if from <= slack && to >= whole - slack {
            return Some(self.clone());
        }
        if to - from <= slack {
            return Some(Self::nothing());
        }
        match &self.node.kind {
            Kind::Even => {
                let share = (to - from) / whole;
                let parts = self.node.parts.iter().map(|p| p.times(share)).collect();
                return Some(Self::new(Kind::Even, parts));
            }
            Kind::Cells(cells) => return Some(Self::cells(cells.cut(from, to))),
            Kind::Join(all) => {
                let mut at = 0.0;
                let mut kept = Vec::new();
                for stretch in all {
                    let end = at + stretch.node.mm;
                    if end > from && at < to {
                        kept.push(Cutting::Cut(stretch, from - at, to - at));
                    }
                    at = end;
                }
                todo.push(Cutting::Join(kept.len()));
                todo.extend(kept.into_iter().rev());
            }
            Kind::Repeat(inner, times) => cut_repeat(inner, *times, from, to, todo),
            Kind::Mirror(inner) => {
                todo.extend([
                    Cutting::Mirror,
                    Cutting::Cut(inner, whole - to, whole - from),
                ]);
            }
            Kind::Scale(inner, factor) => {
                todo.extend([
                    Cutting::Scale(*factor),
                    Cutting::Cut(inner, from / factor, to / factor),
                ]);
            }
        }
        None
    }
}

/// What is still to be done, last first.
enum Cutting<'a> {
    Cut(&'a Sequence, f64, f64),
    Ready(Sequence),
    /// Joins so many of those made last.
    Join(usize),
    Mirror,
    Scale(f64),
}

fn cut_repeat<'a>(
    inner: &'a Sequence,
    times: u64,
    from: f64,
    to: f64,
    todo: &mut Vec<Cutting<'a>>,
) {
    let one = inner.node.mm;
    let slack = 1e-9;
    let last = count(times.saturating_sub(1));
    let i = (from / one + slack).floor().clamp(0.0, last);
    let j = (to / one - slack).floor().clamp(i, last);
    let (head, tail) = (from - i * one, to - j * one);
    if j - i < 0.5 {
        return todo.push(Cutting::Cut(inner, head, tail));
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between nothing and the count"
    )]
    let between = (j - i - 1.0) as u64;
    todo.extend([
        Cutting::Join(3),
        Cutting::Cut(inner, 0.0, tail),
        Cutting::Ready(inner.repeated(between)),
        Cutting::Cut(inner, head, one),
    ]);
}
