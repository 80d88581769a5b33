//! Counts along a line: what a straight line through the section meets.

use super::bar::{Bar, Core, Figure, Side, Stand};
use super::layers::Layers;
use super::state::Billet;

/// A straight line through the middle of the section; of a block, through the middle of its first column
/// or lowest row, for its own middle is a weld.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::IntoStaticStr)]
pub enum Line {
    /// From the lower face to the upper.
    #[strum(serialize = "through the thickness")]
    Through,
    /// From the edge side to the spine side.
    #[strum(serialize = "across the width")]
    Across,
}

/// Bands along both lines, with all bars of the section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Through the thickness.
    pub through: u128,
    /// Across the width.
    pub across: u128,
    /// True where all layers lie straight; else an estimate: bent layers are counted as they lay before.
    pub exact: bool,
}

impl Counts {
    /// Both in words: `109 through the thickness, 1 across the width`.
    #[must_use]
    pub fn text(&self) -> String {
        let say = |bands: u128, line: Line| {
            let about = if self.exact { "" } else { "~" };
            let line: &str = line.into();
            format!("{about}{} {line}", crate::units::show::count(bands))
        };
        format!(
            "{}, {}{}",
            say(self.through, Line::Through),
            say(self.across, Line::Across),
            if self.exact { "" } else { " (estimate)" }
        )
    }
}

impl Line {
    /// The line that runs from face to face of layers that stand so.
    const fn over(stand: Stand) -> Self {
        match stand {
            Stand::Flat => Self::Through,
            Stand::OnEdge => Self::Across,
        }
    }
}

impl Core {
    /// Pieces that lie behind each other along a line, where no sequence runs through their seams.
    fn pieces(&self, line: Line) -> u64 {
        let [across, through] = self.blocks;
        match line {
            Line::Through => through,
            Line::Across => across,
        }
    }

    /// Bands that a line meets in the core. Straight layers side by side are in line, and one band.
    #[must_use]
    pub fn bands(&self, line: Line) -> u128 {
        let crosses = line == Line::over(self.stand);
        let pieces = self.pieces(line);
        match self.figure {
            Figure::Flat if crosses => self.layers.bands(),
            Figure::Flat => self.layers.bands().min(1),
            // The end grain is up: a line down through a tile runs along its layers.
            Figure::Tiled if line == Line::Through => self.layers.bands().min(1),
            Figure::Block => self.alternating(crosses, pieces),
            _ => self.layers.bands().saturating_mul(u128::from(pieces)),
        }
    }

    /// Pieces that are crossed and run along by turns: of one that is run along, its middle layer is met.
    fn alternating(&self, crossed_first: bool, pieces: u64) -> u128 {
        let Some(middle) = self.layers.at(self.layers.height() / 2.0) else {
            return 0;
        };
        let along = Layers::leaf(middle, self.layers.height());
        // Edge to spine and bottom to top: layers on edge run from the spine, and a piece that stands on edge
        // is turned over as it is laid flat.
        let crossed = match self.stand {
            Stand::Flat if crossed_first => self.layers.clone(),
            _ => self.layers.mirrored(),
        };
        let mut pair = [crossed, along];
        if !crossed_first {
            pair.reverse();
        }
        let rest = pair.first().filter(|_| pieces % 2 == 1).cloned();
        let pairs = Layers::pile(pair.to_vec()).repeat(pieces / 2);
        Layers::pile(std::iter::once(pairs).chain(rest).collect()).bands()
    }

    /// The line that meets the most bands; through the thickness where both meet as many.
    #[must_use]
    pub fn line(&self) -> Line {
        if self.bands(Line::Across) > self.bands(Line::Through) {
            Line::Across
        } else {
            Line::Through
        }
    }

    /// Bands along that line.
    #[must_use]
    pub fn most_bands(&self) -> u128 {
        self.bands(self.line())
    }
}

impl Bar {
    fn is_straight(&self) -> bool {
        let mut bars = self.frame.iter();
        self.core.figure == Figure::Flat && bars.all(|on| on.bar.is_straight())
    }

    /// Bands that a line through the middle of the core meets, all bars of the section counted.
    #[must_use]
    pub fn bands(&self, line: Line) -> u128 {
        if self.frame.is_empty() {
            return self.core.bands(line);
        }
        if self.is_straight() {
            return match line {
                Line::Through => self.through(self.frame_on(Side::Edge) + self.core_width() / 2.0),
                Line::Across => {
                    self.across(self.frame_on(Side::Bottom) + self.core_thickness() / 2.0)
                }
            }
            .bands();
        }
        let sides = match line {
            Line::Through => [Side::Top, Side::Bottom],
            Line::Across => [Side::Edge, Side::Spine],
        };
        let beside = sides.into_iter().flat_map(|side| self.on(side));
        beside.fold(self.core.bands(line), |sum, on| {
            sum.saturating_add(on.bar.bands(line))
        })
    }

    /// Bands along both lines.
    #[must_use]
    pub fn counts(&self) -> Counts {
        Counts {
            through: self.bands(Line::Through),
            across: self.bands(Line::Across),
            exact: self.is_straight(),
        }
    }
}

impl Billet {
    /// Bands of the core along the line that meets the most of them, corrected by the last count; of a plain
    /// core in a patterned jacket, those of the jacket.
    #[must_use]
    pub fn bands(&self) -> u128 {
        self.as_counted(self.modelled_bands())
    }

    /// The same without what a count has corrected.
    pub(super) fn modelled_bands(&self) -> u128 {
        self.bar.layered().core.most_bands()
    }

    /// True where the bands lie along a face, as of end-grain tiles, and an etched end does not show them.
    #[must_use]
    pub fn banded_face(&self) -> bool {
        self.bar.layered().core.figure == Figure::Tiled
    }

    /// Bands along both lines of the section, corrected by the last count where the core's layers are met.
    #[must_use]
    pub fn counts(&self) -> Counts {
        let plain = self.bar.counts();
        let corrected = |bands: u128| match bands {
            0 | 1 => bands,
            _ => self.as_counted(bands),
        };
        Counts {
            through: corrected(plain.through),
            across: corrected(plain.across),
            ..plain
        }
    }

    fn as_counted(&self, bands: u128) -> u128 {
        if (self.count_factor - 1.0).abs() < 1e-12 {
            return bands;
        }
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count from the eye is good to a few figures; casts saturate"
        )]
        let corrected = (bands as f64 * self.count_factor).round() as u128;
        corrected.max(1)
    }
}
