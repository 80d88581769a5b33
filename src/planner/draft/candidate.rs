//! A place in the grid of everything that a draft may choose.

/// Most restacks of a candidate.
pub(super) const RESTACKS: usize = 3;

/// One restack: places of its thickness and its piece count on the axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Restack {
    /// Place of the thickness before the cut.
    pub thickness: u8,
    /// Place of the piece count.
    pub pieces: u8,
}

/// A place in the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Candidate {
    /// Place of the outermost choice.
    pub outer: u32,
    /// Place of the length.
    pub length: u16,
    /// How many restacks.
    pub restacks: u8,
    /// The restacks, the first so many of them.
    pub each: [Restack; RESTACKS],
}

impl Candidate {
    /// The restacks.
    #[must_use]
    pub fn sequence(&self) -> &[Restack] {
        self.each
            .get(..usize::from(self.restacks))
            .unwrap_or_default()
    }

    #[cfg(test)]
    pub(super) fn numbered(at: usize) -> Self {
        Self {
            outer: u32::try_from(at).unwrap(),
            ..Self::default()
        }
    }
}
