//! What the fire needs for the weld of a pile and for drawing it out: looked up for each pile that can come up.

use super::figure::SMALL_HEATS;
use super::pace::Pace;
use super::strokes::WELD_HEATS;
use super::windows::{Windows, weld_soak};
use crate::billet::Kind;
use crate::physics::section::Section;
use crate::planner::warming::Warming;
use crate::units::{Celsius, Mm, Seconds};

/// One pile.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Fires {
    weld: Warming,
    draw: Warming,
    /// The wedge split of a feather, laid on its side, and the weld of its halves.
    split: Warming,
    halves: Warming,
}

impl Fires {
    /// Welded cold, and drawn straight from it.
    pub(super) fn of(windows: &Windows, fire: Celsius, width: Mm, height: Mm) -> Self {
        let section = Section {
            width,
            thickness: height,
        };
        Self {
            weld: Warming::into(windows.weld, fire, section, weld_soak(height), false),
            draw: Warming::into(windows.draw, fire, section, Seconds::ZERO, true),
            split: Warming::into(windows.weld, fire, section, Seconds::ZERO, false),
            halves: Warming::into(windows.weld, fire, section, weld_soak(width), true),
        }
    }

    /// Minutes of the weld and of drawing in so many heats.
    pub(super) fn minutes(&self, pace: &Pace, draw_heats: u32) -> f64 {
        pace.heated(Kind::Weld, WELD_HEATS, &self.weld)
            + pace.heated(Kind::Draw, draw_heats, &self.draw)
    }

    /// The same of the last pile: all hot work up to its first draw.
    pub(super) fn last(&self, pace: &Pace, draw_heats: u32, is_feather: bool) -> f64 {
        let minutes = self.minutes(pace, draw_heats);
        if is_feather {
            minutes
                + pace.heated(Kind::Split, SMALL_HEATS, &self.split)
                + pace.heated(Kind::Weld, WELD_HEATS, &self.halves)
        } else {
            minutes
        }
    }
}
