//! What must match where bars are laid on each other.

use std::sync::Arc;

use super::reading::Dimension;
use crate::units::Mm;

/// One size of a bar that is laid on another, against what it must match there.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The bar laid.
    pub bar: Arc<str>,
    /// Which of its sizes, in the axes of the section that it is laid in.
    pub what: Dimension,
    /// True when a quarter-turn has changed its width and thickness over.
    pub turned: bool,
    /// What it has.
    pub has: Mm,
    /// What it lies on has.
    pub wants: Mm,
    /// The part of the larger that the weld and the trim after it make up for.
    pub near: f64,
}

impl Fit {
    /// How much more it has than it should.
    #[must_use]
    pub fn over(&self) -> Mm {
        self.has - self.wants
    }

    /// True when the weld and the trim bring it flush.
    #[must_use]
    pub fn is_near(&self) -> bool {
        let of = match self.what {
            Dimension::Length => self.wants.max(self.has),
            _ => self.wants,
        };
        self.over().abs().0 <= self.near * of.0
    }
}
