//! What a move asks for, whatever its kind.

use std::borrow::Cow;

use super::bar::{Bar, FrameBar, Side};
use super::kinds::{Loses, Move};
use super::layers::SteelId;
use super::moves::{Lay, Sizes};
use crate::units::{Fraction, Mm};

impl Move {
    /// The stack of plain pieces.
    pub const STACK: Self = Self::Stack {
        among: Vec::new(),
        fit: false,
    };

    /// The sizes that the step asks for, where it asks for any.
    #[must_use]
    pub fn target(&self) -> Option<Sizes> {
        self.clone().target_mut().copied()
    }

    /// The same, to be changed.
    pub fn target_mut(&mut self) -> Option<&mut Sizes> {
        match self {
            Self::Weld { to, .. }
            | Self::Draw { to, .. }
            | Self::Square { to, .. }
            | Self::Upset { to, .. }
            | Self::CornerCrush { to, .. }
            | Self::Forge { to, .. } => Some(to),
            _ => None,
        }
    }

    /// The bars that it lays on the one in hand, side by side named, and whether they are made to fit; none
    /// for other work.
    #[must_use]
    pub fn laid(&self) -> (Cow<'_, [FrameBar]>, bool) {
        match self {
            Self::Frame { bars, fit } => (Cow::Borrowed(bars), *fit),
            Self::Join { with, lay, fit } => {
                let side = |at: usize| match lay {
                    Lay::Pile => Side::Top,
                    Lay::Beside => Side::Spine,
                    // The first of each further row lies on the row below, the rest beside it.
                    Lay::Grid { columns } if (at + 1).is_multiple_of(*columns as usize) => {
                        Side::Top
                    }
                    Lay::Grid { .. } => Side::Spine,
                };
                let bars = with.iter().enumerate().map(|(at, piece)| FrameBar {
                    side: side(at),
                    piece: piece.clone(),
                });
                (Cow::Owned(bars.collect()), *fit)
            }
            // A folded jacket is laid on the upper face and carried round the spine to the lower.
            Self::Jacket { with, fit, .. } => {
                let sides = [Side::Top, Side::Bottom].into_iter().cycle();
                let bars = with.iter().zip(sides).map(|(piece, side)| FrameBar {
                    side,
                    piece: piece.clone(),
                });
                (Cow::Owned(bars.collect()), *fit)
            }
            Self::Stack { among, fit } => {
                let bars = among.iter().map(|one| FrameBar {
                    side: Side::Top,
                    piece: one.piece.clone(),
                });
                (Cow::Owned(bars.collect()), *fit)
            }
            Self::Slice { backing, .. } => (Cow::Borrowed(backing), false),
            _ => (Cow::Borrowed(&[]), false),
        }
    }

    /// Plain pieces that it lays on a bar, with width, thickness and length of each; the bar is as it lies then.
    #[must_use]
    pub fn plain_pieces(&self, after: &Bar) -> Vec<(SteelId, [Mm; 3])> {
        let (put, _) = self.laid();
        // Bars on edge and spine that came with them run past them.
        let past = after
            .frame
            .iter()
            .filter(|on| on.ring == after.rings() && matches!(on.side, Side::Edge | Side::Spine));
        let between = after.width - past.map(|on| on.bar.width).sum();
        let plain = put.iter().filter_map(|one| {
            let (steel, thickness) = one.as_plain()?;
            let covers = match one.side {
                Side::Edge | Side::Spine => after.thickness,
                Side::Top | Side::Bottom => between,
            };
            Some((steel, [covers, thickness, after.length]))
        });
        plain.collect()
    }

    /// Pieces that a cut makes, or tiles; one for other work.
    #[must_use]
    pub fn pieces(&self) -> f64 {
        match self {
            Self::Cut { pieces, .. } | Self::Slice { tiles: pieces, .. } => f64::from(*pieces),
            _ => 1.0,
        }
    }

    /// The share that it loses to scale; nothing where none is booked.
    #[must_use]
    pub fn scale(&self) -> Fraction {
        let booked = self.clone().scale_mut().copied();
        booked.unwrap_or(Fraction(0.0))
    }

    /// True where the scale of all trips to the fire since it was last booked is booked: at a draw, a crush and a
    /// forged part, and at a weld, a squaring up or an upset with a share of its own.
    #[must_use]
    pub fn books_scale(&self) -> bool {
        match self.kind().row().loses {
            Loses::Draw | Loses::Crush | Loses::Forge => true,
            Loses::Weld => self.scale().0 > 0.0,
            _ => false,
        }
    }

    /// The same share, to be changed.
    pub fn scale_mut(&mut self) -> Option<&mut Fraction> {
        match self {
            Self::Weld { scale, .. }
            | Self::Draw { scale, .. }
            | Self::Square { scale, .. }
            | Self::Upset { scale, .. }
            | Self::CornerCrush { scale, .. }
            | Self::Forge { scale, .. }
            | Self::Normalise { scale, .. }
            | Self::Anneal { scale } => Some(scale),
            _ => None,
        }
    }
}
