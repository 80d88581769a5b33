//! A stack of layers as a tree that knows its carbon.
//!
//! A leaf is one layer of one steel, or a stretch of cells that earlier heats have worked out. Above
//! the leaves stand joins, repeats, mirror images and scalings; nodes are shared, so a billet of
//! 10^12 layers is a handful of them. Every node carries its sums: thickness and carbon by steel.
//! Nothing recurses by its depth without a limit: a job of thousands of moves is a deep tree.
//!
//! A tree apart from the billet's layers, though built by like moves: its leaves are cells of carbon, its
//! sums are not theirs, and it stands on a lower floor.

use std::sync::Arc;

use super::cells::Cells;
use super::part::Part;
use crate::units::Mm;

#[derive(Debug)]
pub(crate) enum Kind {
    /// One layer, or a blend: the same all through.
    Even,
    /// Worked out by a heat.
    Cells(Cells),
    /// One after another.
    Join(Vec<Sequence>),
    /// The same again and again.
    Repeat(Sequence, u64),
    /// Turned over.
    Mirror(Sequence),
    /// Drawn thinner or upset thicker.
    Scale(Sequence, f64),
}

#[derive(Debug)]
pub(crate) struct Node {
    pub(crate) kind: Kind,
    /// Thickness, mm.
    pub(crate) mm: f64,
    /// Carbon, mass % times mm.
    pub(crate) carbon: f64,
    /// `integral of activity` through it, mm; only of what a heat has worked out.
    pub(crate) activity: f64,
    /// All of it has been worked out by a heat.
    pub(crate) solved: bool,
    /// By steel; shorter than the table of steels when the last ones are absent.
    pub(crate) parts: Vec<Part>,
}

/// A stack of layers, first face to last face. Cheap to copy.
///
/// ```
/// # use anvilside::physics::diffusion::Sequence;
/// # use anvilside::units::Mm;
/// let pair = Sequence::join([
///     Sequence::layer(0, Mm(3.0), 0.95),
///     Sequence::layer(1, Mm(2.0), 0.75),
/// ]);
/// let billet = pair.repeated(5).scaled(0.2).repeated(1_000_000_000);
/// assert!((billet.thickness().0 - 5e9).abs() < 1.0);
/// assert!((billet.mean_carbon() - 0.87).abs() < 1e-12);
/// ```
#[derive(Debug, Clone)]
pub struct Sequence {
    pub(crate) node: Arc<Node>,
}

impl Sequence {
    pub(super) fn new(kind: Kind, parts: Vec<Part>) -> Self {
        let mm = parts.iter().map(|p| p.mm).sum();
        let carbon = parts.iter().map(|p| p.carbon).sum();
        let (activity, solved) = match &kind {
            Kind::Even => (0.0, false),
            Kind::Cells(cells) => (cells.whole_activity(), true),
            Kind::Join(all) => (
                all.iter().map(|s| s.node.activity).sum(),
                all.iter().all(|s| s.node.solved),
            ),
            Kind::Repeat(inner, times) => (inner.node.activity * count(*times), inner.node.solved),
            Kind::Mirror(inner) => (inner.node.activity, inner.node.solved),
            Kind::Scale(inner, factor) => (inner.node.activity * factor, inner.node.solved),
        };
        Self {
            node: Arc::new(Node {
                kind,
                mm,
                carbon,
                activity,
                solved,
                parts,
            }),
        }
    }

    /// One layer of the steel with this index, holding `carbon` mass %. A thickness or carbon that is
    /// not a positive number counts as none.
    #[must_use]
    pub fn layer(steel: usize, thickness: Mm, carbon: f64) -> Self {
        let mm = positive(thickness.0);
        let carbon = positive(carbon);
        let mut parts = vec![Part::NONE; steel];
        parts.push(Part {
            mm,
            carbon: carbon * mm,
            least: carbon,
            greatest: carbon,
        });
        Self::new(Kind::Even, parts)
    }

    /// Cells that a heat has worked out.
    pub(crate) fn cells(cells: Cells) -> Self {
        let parts = cells.parts();
        Self::new(Kind::Cells(cells), parts)
    }

    /// Several stretches, one after another.
    pub fn join(stretches: impl IntoIterator<Item = Self>) -> Self {
        let mut all: Vec<Self> = stretches.into_iter().filter(|s| s.node.mm > 0.0).collect();
        if all.len() == 1
            && let Some(only) = all.pop()
        {
            return only;
        }
        let mut parts: Vec<Part> = Vec::new();
        for stretch in &all {
            add(&mut parts, &stretch.node.parts);
        }
        Self::new(Kind::Join(all), parts)
    }

    /// The same stretch `times` over, all the same way up.
    #[must_use]
    pub fn repeated(&self, times: u64) -> Self {
        if times == 1 {
            return self.clone();
        }
        let parts = self.node.parts.iter();
        let parts = parts.map(|p| p.times(count(times))).collect();
        Self::new(Kind::Repeat(self.clone(), times), parts)
    }

    /// The same stretch turned over.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        if let Kind::Mirror(inner) = &self.node.kind {
            return inner.clone();
        }
        Self::new(Kind::Mirror(self.clone()), self.node.parts.clone())
    }

    /// `times` pieces of which every second is turned over: a fold, or pieces stacked face to face.
    #[must_use]
    pub fn folded(&self, times: u64) -> Self {
        let pair = Self::join([self.clone(), self.mirrored()]);
        let pairs = pair.repeated(times / 2);
        if times.is_multiple_of(2) {
            pairs
        } else {
            Self::join([pairs, self.clone()])
        }
    }

    /// The same stretch drawn to `factor` of its thickness.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        if (factor - 1.0).abs() < 1e-15 || !factor.is_finite() || factor <= 0.0 {
            return self.clone();
        }
        let parts = self.node.parts.iter().map(|p| p.times(factor)).collect();
        if let Kind::Scale(inner, before) = &self.node.kind {
            return Self::new(Kind::Scale(inner.clone(), before * factor), parts);
        }
        Self::new(Kind::Scale(self.clone(), factor), parts)
    }

    /// The stretch without `first` from its first face and `last` from its last: a flat grind, or what
    /// has gone to scale.
    #[must_use]
    pub fn trimmed(&self, first: Mm, last: Mm) -> Self {
        self.cut(positive(first.0), self.node.mm - positive(last.0))
    }

    /// One even blend with the same steels and the same carbon, `thickness` thick: what a plain bar
    /// beside the core sees of it.
    #[must_use]
    pub fn blended(&self, thickness: Mm) -> Self {
        let factor = positive(thickness.0) / self.node.mm.max(f64::MIN_POSITIVE);
        let parts = self.node.parts.iter().map(|p| p.times(factor)).collect();
        Self::new(Kind::Even, parts)
    }

    /// Thickness from face to face.
    #[must_use]
    pub fn thickness(&self) -> Mm {
        Mm(self.node.mm)
    }

    /// Mean carbon, mass %; zero of nothing.
    #[must_use]
    pub fn mean_carbon(&self) -> f64 {
        if self.node.mm > 0.0 {
            self.node.carbon / self.node.mm
        } else {
            0.0
        }
    }
}

/// A stretch as it stands in a stack.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placed<'a> {
    pub(crate) stretch: &'a Sequence,
    pub(crate) scale: f64,
    pub(crate) turned: bool,
    /// How often it stands there, one after another.
    times: u64,
}

/// The stretches of a stack in order, each before what it is made of; what is still to come stands last first.
pub(crate) struct InOrder<'a>(Vec<Placed<'a>>);

impl<'a> InOrder<'a> {
    pub(crate) fn of(stack: &'a Sequence) -> Self {
        Self(vec![Placed {
            stretch: stack,
            scale: 1.0,
            turned: false,
            times: 1,
        }])
    }

    pub(crate) fn next(&mut self) -> Option<Placed<'a>> {
        let next = self.0.pop()?;
        if next.times > 1 {
            let times = next.times - 1;
            self.0.push(Placed { times, ..next });
        }
        Some(Placed { times: 1, ..next })
    }

    /// Goes on with what a stretch is made of.
    pub(crate) fn below(
        &mut self,
        Placed {
            stretch,
            scale,
            turned,
            ..
        }: Placed<'a>,
    ) {
        let mut put = |stretch, scale, turned, times| {
            self.0.push(Placed {
                stretch,
                scale,
                turned,
                times,
            });
        };
        match &stretch.node.kind {
            Kind::Even | Kind::Cells(_) | Kind::Repeat(_, 0) => {}
            Kind::Join(all) if turned => all.iter().for_each(|one| put(one, scale, true, 1)),
            Kind::Join(all) => all.iter().rev().for_each(|one| put(one, scale, false, 1)),
            Kind::Repeat(inner, times) => put(inner, scale, turned, *times),
            Kind::Mirror(inner) => put(inner, scale, !turned, 1),
            Kind::Scale(inner, factor) => put(inner, scale * factor, turned, 1),
        }
    }
}

impl Drop for Node {
    fn drop(&mut self) {
        let mut todo = Vec::new();
        take_apart(&mut self.kind, &mut todo);
        while let Some(next) = todo.pop() {
            if let Some(mut node) = Arc::into_inner(next.node) {
                take_apart(&mut node.kind, &mut todo);
            }
        }
    }
}

/// Moves the stretches below out, so that dropping the node itself goes no deeper.
fn take_apart(kind: &mut Kind, todo: &mut Vec<Sequence>) {
    match std::mem::replace(kind, Kind::Even) {
        Kind::Even | Kind::Cells(_) => {}
        Kind::Join(all) => todo.extend(all),
        Kind::Repeat(of, _) | Kind::Mirror(of) | Kind::Scale(of, _) => todo.push(of),
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "counts beyond 2^53 are not exact"
)]
pub(super) fn count(times: u64) -> f64 {
    times as f64
}

/// Adds the parts of another stretch.
pub(crate) fn add(parts: &mut Vec<Part>, more: &[Part]) {
    if parts.len() < more.len() {
        parts.resize(more.len(), Part::NONE);
    }
    for (part, other) in parts.iter_mut().zip(more) {
        *part = part.and(*other);
    }
}

fn positive(value: f64) -> f64 {
    if value.is_finite() {
        value.max(0.0)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::super::fineness::Fineness;
    use super::super::flatten::flatten;
    use super::super::symmetry::is_symmetric;
    use super::Sequence;
    use crate::units::Mm;

    fn block() -> Sequence {
        Sequence::join([
            Sequence::layer(0, Mm(1.0), 0.9),
            Sequence::layer(1, Mm(2.0), 0.6),
            Sequence::layer(0, Mm(1.0), 0.9),
        ])
    }

    #[test]
    fn trimming_a_repeat_takes_what_it_says() {
        let bar = block().repeated(5);
        let trimmed = bar.trimmed(Mm(0.5), Mm(3.5));
        assert!(trimmed.thickness().near(Mm(16.0), 1e-9));
        let carbon = bar.node.carbon - 0.45 - (0.9 + 1.2 + 0.5 * 0.9);
        assert!((trimmed.node.carbon - carbon).abs() < 1e-9);
    }

    #[test]
    fn cutting_all_the_way_leaves_nothing() {
        let gone = block().trimmed(Mm(3.0), Mm(3.0));
        assert!(gone.thickness().0.abs() < 1e-12);
        assert!(gone.mean_carbon().abs() < 1e-12);
    }

    #[test]
    fn a_fold_keeps_everything_twice() {
        let half = block().trimmed(Mm(0.0), Mm(1.5));
        let fold = half.folded(3);
        assert!(fold.thickness().near(half.thickness() * 3.0, 1e-12));
        assert!((fold.mean_carbon() - half.mean_carbon()).abs() < 1e-12);
    }

    #[test]
    fn a_mirror_cut_from_the_other_end() {
        let half = Sequence::join([
            Sequence::layer(0, Mm(1.0), 0.9),
            Sequence::layer(1, Mm(2.0), 0.6),
        ]);
        let first = half.mirrored().trimmed(Mm(0.0), Mm(1.0));
        assert!((first.mean_carbon() - 0.6).abs() < 1e-12);
    }

    /// Fifty thousand thin layers laid on one by one, the bar turned over each time: a tree of that depth.
    #[test]
    fn a_deep_stack_is_cut_judged_laid_out_and_dropped() {
        let work = || {
            let thin = Sequence::layer(1, Mm(1e-5), 0.6);
            let bar = (0..50_000).fold(block(), |bar, _| {
                Sequence::join([bar, thin.clone()]).mirrored()
            });
            // By hand: 4 mm and 50,000 times 1e-5 mm.
            assert!(bar.thickness().near(Mm(4.5), 1e-6));
            let trimmed = bar.trimmed(Mm(1.0), Mm(0.95));
            assert!(trimmed.thickness().near(Mm(2.55), 1e-6));
            assert!(!is_symmetric(&trimmed));
            let fine = Fineness {
                cell: 0.01,
                face: 0.01,
                blend: 0.015,
                near: 0.1,
                growth: 0.1,
                level: 1e-3,
            };
            let raw = flatten(&bar, &[1.0, 1.0], fine);
            let mm: f64 = raw.cells.thickness().iter().sum();
            assert!((mm - 4.5).abs() < 1e-6);
        };
        let small = std::thread::Builder::new().stack_size(256 * 1024);
        small.spawn(work).unwrap().join().unwrap();
    }

    #[test]
    fn nonsense_is_nothing() {
        let odd = Sequence::layer(3, Mm(f64::NAN), f64::INFINITY);
        assert!(odd.thickness().0.abs() < 1e-12);
        assert!(Sequence::join([odd]).scaled(-1.0).mean_carbon().abs() < 1e-12);
        assert!(block().scaled(f64::NAN).thickness().near(Mm(4.0), 1e-12));
    }
}
