//! Hammering and pressing: an even stretch, a bulge, and the hammer's unevenness.

use super::Builder;
use crate::billet::{Faces, Move};
use crate::pattern::chain::Back;
use crate::pattern::foresight::bends_lines;
use crate::pattern::map::barrel::Barrel;
use crate::pattern::map::hammer::{Hammer, Uneven};
use crate::pattern::map::stretch::Stretch;
use crate::pattern::noise::{BOUND, mix};

/// Waves left by a hammer face or a bite, mm: common practice, no source.
const BITE: f64 = 22.0;

/// A run of hammering without grinding or restacking between: its unevenness is that of its end.
#[derive(Debug, Clone, Copy)]
pub(super) struct HammerRun {
    /// Number of the run.
    pub(super) number: u64,
    /// Its hammering's step.
    pub(super) at: Option<usize>,
    /// Log squeeze so far.
    pub(super) squeeze: f64,
}

impl Builder<'_> {
    /// Weld, draw, square up: an even stretch, a bulge, and the hammer's unevenness.
    pub(super) fn squeeze(&mut self, at: usize, before: [f64; 3], after: [f64; 3]) {
        if let Some(open) = self.open {
            self.press(open, after[1]);
        }
        let log = |from: f64, to: f64| (from / to).ln().max(0.0);
        let flat = log(before[1], after[1]);
        let run = match self.run {
            Some(run) => {
                if let Some(hammer) = run.at {
                    self.steps.remove(hammer);
                }
                run
            }
            None => HammerRun {
                number: at as u64,
                at: None,
                squeeze: 0.0,
            },
        };
        self.steps.push(Back::Stretch(Stretch::new(before, after)));
        if self.across && flat > 0.15 && self.hand.rough > 0.0 {
            self.steps.push(Back::Barrel(Barrel {
                thickness: after[1],
                bulge: (0.05 * flat * self.hand.rough).min(0.08),
            }));
        }
        let squeeze = run.squeeze + flat.max(0.5 * log(before[0], after[0]));
        let seed = mix(self.hand.seed, run.number);
        let hammer = self.hammer(at, seed, after, squeeze);
        self.run = Some(HammerRun {
            at: hammer,
            squeeze,
            ..run
        });
    }

    /// Unevenness of a hammering to `size`; where its step is.
    pub(super) fn hammer(
        &mut self,
        at: usize,
        seed: u64,
        size: [f64; 3],
        squeeze: f64,
    ) -> Option<usize> {
        let rough = self.hand.rough * (squeeze / 0.5).clamp(0.3, 1.0);
        if rough <= 0.0 {
            return None;
        }
        let [through, across] = self.ground_next(at, size);
        // A fiftieth of the thickness, up to 0.3 mm, and what grinding takes off in any case.
        let uneven = |thick: f64, ground: f64, weave: f64| Uneven {
            face: (rough * 0.02 * thick.min(15.0)).min(ground / (1.02 * BOUND)),
            inside: rough * weave * thick.min(25.0),
        };
        let z = uneven(size[1], through, 0.012);
        let y = if self.across {
            uneven(size[0], across, 0.02)
        } else {
            Uneven::default()
        };
        self.skin = BOUND * z.face;
        self.steps
            .push(Back::Hammer(Box::new(Hammer::new(seed, size, BITE, z, y))));
        Some(self.steps.len() - 1)
    }

    /// What will be ground off each face before the metal is moved again: through, across.
    pub(super) fn ground_next(&self, at: usize, size: [f64; 3]) -> [f64; 2] {
        let (mut through, mut across) = (0.0, 0.0);
        for done in self.history.iter().skip(at + 1) {
            match &done.made {
                Move::Grind { per_face, faces } => {
                    through += per_face.0.max(0.0);
                    if *faces == Faces::Four {
                        across += per_face.0.max(0.0);
                    }
                }
                Move::Forge { .. } | Move::RoughGrind { .. } | Move::FinishGrind { .. } => {
                    return [through + 0.1 * size[1], across];
                }
                made if bends_lines(made) => return [through, across],
                _ => {}
            }
        }
        if through > 0.0 {
            [through, across]
        } else {
            [self.hand.grind.0.min(0.1 * size[1]).max(0.0), across]
        }
    }
}
