//! The layer sequence as a tree, never expanded.
//!
//! A node is one layer, a pile of sequences, one sequence repeated, mirrored or scaled; like subtrees
//! are shared and every node remembers a [`Summary`] of itself. What is ground away is cut out of the
//! tree when it is ground: along one path for each face, everything beside the path stays shared.
//! (A trim kept as a node of its own would split every later query in two at each trim it passes.)
//!
//! Cost: a query walks from the root to one layer, so it depends on the moves made and never on
//! the number of layers; 10^12 layers are a dozen nodes. Nothing here recurses, so a tree of
//! thousands of nodes one below the other is safe to ask, compare and drop.
//!
//! Depths are counted from the bottom of the pile. Slices thinner than 1e-9 of a layer (or than what
//! a double can still tell from the whole height) are dropped.

mod outline;
mod query;
mod same;
mod summary;
mod trim;
mod walk;

#[cfg(test)]
mod expanded;
#[cfg(test)]
mod golden;

use std::sync::Arc;

use serde::{Deserialize, Serialize};

pub use summary::Summary;
pub use walk::{Band, Bands};

use crate::units::Mm;

/// A steel of the job, by its place in the job's list.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct SteelId(pub u8);

impl SteelId {
    /// From a place in the list; past 255 is clamped (a plan has at most 26 steels).
    #[must_use]
    pub fn from_index(at: usize) -> Self {
        Self(u8::try_from(at).unwrap_or(u8::MAX))
    }

    /// The place in the list.
    #[must_use]
    pub fn index(self) -> usize {
        usize::from(self.0)
    }
}

/// The sequence. Cheap to clone: the tree is shared.
#[derive(Clone)]
pub struct Layers(Arc<Node>);

struct Node {
    shape: Shape,
    sum: Summary,
}

enum Shape {
    /// One layer of one steel.
    Leaf,
    /// One on the other, bottom first.
    Cat(Cat),
    /// The same again and again.
    Rep(Layers, u64),
    /// Upside down.
    Mir(Layers),
    /// Every thickness times a factor.
    Scale(Layers, f64),
}

/// A pile with its running sums, so that a depth finds its child at once.
struct Cat {
    parts: Box<[Layers]>,
    /// Height below each part, mm.
    starts: Box<[f64]>,
    /// Thickness of each steel below each part, mm: part by part, steels in the order of the node's
    /// summary.
    below: Box<[f64]>,
}

/// Repeats past this are not counted exactly in a double; two repeats in a row stay two nodes.
const REPEATS: u64 = 1 << 52;

impl Layers {
    /// One layer. Without thickness it is not a layer at all.
    #[must_use]
    pub fn leaf(steel: SteelId, thickness: Mm) -> Self {
        if thickness.is_positive() {
            Self::node(Shape::Leaf, Summary::layer(steel, thickness.0))
        } else {
            Self::pile(Vec::new())
        }
    }

    /// One on the other, bottom first. Empty sequences are left out.
    #[must_use]
    pub fn pile(parts: Vec<Self>) -> Self {
        let mut parts: Vec<Self> = parts.into_iter().filter(|part| part.bands() > 0).collect();
        if parts.len() == 1
            && let Some(only) = parts.pop()
        {
            return only;
        }
        let mut sum = Summary::default();
        let mut starts = Vec::with_capacity(parts.len());
        for part in &parts {
            starts.push(sum.height);
            sum.append(&part.0.sum);
        }
        let mut below = Vec::with_capacity(parts.len() * sum.by.len());
        let mut running = vec![0.0; sum.by.len()];
        for part in &parts {
            below.extend_from_slice(&running);
            for (total, (steel, _)) in running.iter_mut().zip(sum.by.iter()) {
                *total += part.0.sum.of(*steel);
            }
        }
        let cat = Cat {
            parts: parts.into(),
            starts: starts.into(),
            below: below.into(),
        };
        Self::node(Shape::Cat(cat), sum)
    }

    /// The same sequence `times` over, all the same way up.
    #[must_use]
    pub fn repeat(&self, times: u64) -> Self {
        match (times, &self.0.shape) {
            (0, _) => Self::pile(Vec::new()),
            (1, _) => self.clone(),
            _ if self.bands() == 0 => self.clone(),
            (_, Shape::Rep(of, before)) if before.saturating_mul(times) <= REPEATS => {
                of.repeat(before * times)
            }
            _ => Self::node(Shape::Rep(self.clone(), times), self.0.sum.repeated(times)),
        }
    }

    /// `times` over, every second one turned upside down so that like faces meet: what a fold makes.
    #[must_use]
    pub fn folded(&self, times: u64) -> Self {
        let pair = Self::pile(vec![self.clone(), self.mirrored()]);
        let pairs = pair.repeat(times / 2);
        if times.is_multiple_of(2) {
            pairs
        } else {
            Self::pile(vec![pairs, self.clone()])
        }
    }

    /// Upside down.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        match &self.0.shape {
            Shape::Leaf => self.clone(),
            Shape::Mir(of) => of.clone(),
            _ => Self::node(Shape::Mir(self.clone()), self.0.sum.mirrored()),
        }
    }

    /// Every thickness times `factor`. A factor that is not above zero leaves it as it is.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        if !(factor.is_finite() && factor > 0.0) || factor.to_bits() == 1.0_f64.to_bits() {
            return self.clone();
        }
        match &self.0.shape {
            Shape::Leaf => Self::node(Shape::Leaf, self.0.sum.scaled(factor)),
            Shape::Scale(of, before) => of.scaled(before * factor),
            _ => Self::node(
                Shape::Scale(self.clone(), factor),
                self.0.sum.scaled(factor),
            ),
        }
    }

    /// Scaled to a whole height: what drawing to a thickness does.
    #[must_use]
    pub fn scaled_to(&self, height: Mm) -> Self {
        self.scaled(height / self.height())
    }

    fn node(shape: Shape, sum: Summary) -> Self {
        Self(Arc::new(Node { shape, sum }))
    }
}
