//! How far the metal has come.

use serde::Serialize;

/// How far the metal has come; a move that does not fit is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, strum::VariantArray)]
#[serde(rename_all = "lowercase")]
pub enum Stage {
    /// Loose pieces of the first stack.
    Loose,
    /// A pile, not welded yet (first stack, restack, frame, fold).
    Pile,
    /// A sound bar.
    Bar,
    /// A bar cut into pieces.
    Pieces,
    /// Partly or wholly forged to shape.
    Forged,
    /// Ground to profile.
    Ground,
    /// Hardened, not tempered: brittle.
    Hard,
    Tempered,
    /// Finished surface.
    Finished,
    /// Etched: done.
    Etched,
}
