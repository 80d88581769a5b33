//! Where the plain metal ends above the finished edge, after forging or grinding the bevels.

use crate::billet::{Billet, Figure, Move, Part, Side, Stand};
use crate::physics::Spread;
use crate::physics::blade_volume::{Edged, back_from_point};
use crate::physics::frame_margin::{CoreLines, Unsure, Wedge, chance_nearer};
use crate::plan::{Pattern, Plan};
use crate::planner::chance::Chance;
use crate::units::{Fraction, Mm, Units};

use super::band::band;

/// Off the edge by grinding and sharpening. Common practice, no source.
const GROUND_OFF: Mm = Mm(1.0);
/// One deviation of where the frame's seam lies in the bar: even within 1 mm along the length.
/// Common practice, no source.
const OFF_CENTRE: f64 = 0.5;
/// One deviation of the seam's waviness on the face. Common practice, no source.
const WAVE: Mm = Mm(0.4);
/// Plain metal wanted above the edge where the goal names none. Common practice, no source.
const LEAST: Mm = Mm(3.0);
/// One deviation of where the core of three layers lies: centred within 0.3 mm. Common practice, no
/// source.
const CORE_OFF: f64 = 0.15;
/// Most that is taken off each face of a forged blade, mm.
const MOST_GROUND: f64 = 3.0;
/// A chance above this is worth a warning.
const RISK: f64 = 0.05;

/// Plain metal left above the finished edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// From the edge to where the pattern begins, after all grinding, mm.
    pub left: Spread,
    /// Plain metal wanted.
    pub least: Mm,
    /// Chance that the pattern comes nearer than that; for a three-layer bar, that the edge leaves
    /// the core.
    pub nearer: Fraction,
    /// True when the bevels are forged.
    pub forged: bool,
    /// True for a core between jackets: the line of the core above the edge.
    pub core: bool,
    /// Plain metal back from the point, where the edge was carried round it, mm.
    pub point: Option<Spread>,
}

impl Edge {
    /// In one line.
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        let way = if self.forged { "forged" } else { "ground" };
        let share = super::band::percent(self.nearer.0);
        let (low, high) = (Mm(self.left.low), Mm(self.left.high));
        let band = format!("{} to {}", units.length_bare(low), units.length(high));
        if self.core {
            return format!(
                "the core shows {} up from the edge, {band} with {way} bevels; the edge leaves it in {share}",
                units.length(Mm(self.left.best))
            );
        }
        let point = self.point.map_or_else(String::new, |point| {
            let (low, high) = (Mm(point.low), Mm(point.high));
            format!(
                "; plain for {} back from the point, {} to {}",
                units.length(units.rounded(Mm(point.best))),
                units.length_bare(units.rounded(low)),
                units.length(units.rounded(high))
            )
        });
        format!(
            "plain for {} above the edge, {band} with {way} bevels; nearer than {} in {share}{point}",
            units.length(Mm(self.left.best)),
            units.length(self.least)
        )
    }

    /// What to look out for, when the chance is worth a word.
    #[must_use]
    pub fn warning(&self, units: Units) -> Option<String> {
        if self.nearer.0 < RISK {
            return None;
        }
        let share = super::band::percent(self.nearer.0);
        Some(if self.core {
            format!(
                "the edge leaves the core in {share} of such bars: look at both ends for the core, and grind the side with the low line"
            )
        } else {
            let more = if self.forged {
                "a thicker edge bar, or a narrower blade"
            } else {
                "a thicker edge bar, or bevels forged before they are ground"
            };
            format!(
                "the pattern comes within {} of the edge in {share} of such bars: take {more}",
                units.length(self.least)
            )
        })
    }
}

/// One sample at the blank.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    left: f64,
    nearer: f64,
    point: Option<f64>,
}

/// What the edge forecast needs of a plan, or none when the bar has no plain edge to lose.
#[derive(Debug, Clone, Copy)]
pub(super) struct EdgePlan {
    wedge: Wedge,
    least: Mm,
    /// The wedge as the hammer leaves it and what is ground off each face of it; none where the bevels
    /// are ground from the bar.
    forged: Option<(Wedge, Mm)>,
    /// The blade as the hammer leaves it, bevels forged where the plan says so.
    blade: Edged,
    three: bool,
}

impl EdgePlan {
    pub(super) fn of(plan: &Plan) -> Self {
        let blade = &plan.goal.blade;
        let wedge = Wedge {
            height: blade.width,
            spine: blade.spine,
            edge: blade.edge,
        };
        let sizes = plan.steps.iter().rev().find_map(|step| match step.made {
            Move::Forge {
                part: Part::Bevels,
                to,
                ..
            } => Some(to),
            _ => None,
        });
        let forged = sizes.map(|to| {
            let ground = to.thickness.map_or(plan.shop.allowances.grind, |thick| {
                Mm((0.5 * (thick - blade.spine).0).clamp(0.0, MOST_GROUND))
            });
            let more = ground + ground;
            let as_forged = Wedge {
                height: to.width.unwrap_or(blade.width).max(blade.width),
                spine: blade.spine + more,
                edge: blade.edge + more,
            };
            (as_forged, ground)
        });
        let ground = forged.map_or(Mm::ZERO, |(_, ground)| ground);
        let more = ground + ground;
        let as_left = Edged {
            length: blade.length,
            height: forged.map_or(blade.width, |(wedge, _)| wedge.height),
            spine: (blade.spine + more, blade.spine_tip + more),
            edge: blade.edge + more,
            bevel: if forged.is_some() { blade.bevel } else { 0.0 },
        };
        Self {
            blade: as_left,
            wedge,
            least: plan.goal.edge_margin.unwrap_or(LEAST),
            forged,
            three: plan.goal.pattern == Pattern::ThreeLayer,
        }
    }

    /// One sample at the blank: plain metal left and the chance of too little.
    pub(super) fn sample(&self, chance: &mut Chance, blank: &Billet) -> Option<Sample> {
        if self.three {
            let (left, nearer) = self.core(chance, blank)?;
            let point = None;
            return Some(Sample {
                left,
                nearer,
                point,
            });
        }
        let plain = blank.bar.plain_on(Side::Edge);
        if !plain.is_positive() {
            return None;
        }
        let seam = Mm(chance.around(plain.0, OFF_CENTRE)).max(Mm::ZERO);
        let share = Fraction((seam / blank.bar.width).clamp(0.0, 1.0));
        let margin = match self.forged {
            Some((as_forged, _)) => as_forged.margin(share).ok()?.forged,
            None => self.wedge.margin(share).ok()?.ground,
        };
        // Behind the seam a plain core goes on, and its jacket begins where the bevel comes out of it.
        let thin = |(core, _): &(Mm, Mm)| *core < self.wedge.edge;
        let core = blank.bar.middle_band().filter(|core| !thin(core));
        let bared = core.map_or(Mm::ZERO, |(core, off)| {
            let off = Mm(chance.around(off.0, CORE_OFF).abs());
            let lines = self.lines(core, off, blank.bar.thickness);
            lines.map_or(Mm::ZERO, |lines| lines.far)
        });
        let margin = margin.max(bared);
        let unsure = Unsure {
            ground_off: GROUND_OFF,
            off_centre: Mm::ZERO,
            wave: WAVE,
        };
        let nearer = chance_nearer(margin, self.least, unsure).0;
        let left = margin.0 - GROUND_OFF.0 + chance.around(0.0, WAVE.0);
        Some(Sample {
            left: left.max(0.0),
            nearer,
            point: self.point(chance, blank),
        })
    }

    /// Plain metal back from the point: what was carried round the end fills that much of the blade, less what
    /// is ground off the point.
    fn point(&self, chance: &mut Chance, blank: &Billet) -> Option<f64> {
        let cap = blank.bar.cap?;
        let seam = Mm(chance.around(cap.length.0, OFF_CENTRE)).max(Mm::ZERO);
        let back = back_from_point(&self.blade, blank.bar.section() * seam);
        Some((back.0 - GROUND_OFF.0).max(0.0))
    }

    /// Where a core of this thickness in a bar of that comes out on the two bevels.
    fn lines(&self, core: Mm, off: Mm, bar: Mm) -> Option<CoreLines> {
        let lines = match self.forged {
            Some((_, ground)) => {
                let share = |of: Mm| Fraction((of / bar).min(1.0));
                self.wedge
                    .core_lines_forged(ground, share(core), share(off))
            }
            None => self.wedge.core_lines(core, off),
        };
        lines.ok()
    }

    fn core(&self, chance: &mut Chance, blank: &Billet) -> Option<(f64, f64)> {
        let core = &blank.bar.core;
        if core.figure != Figure::Flat || core.stand != Stand::Flat || core.layers.bands() != 3 {
            return None;
        }
        let (_, low) = core.layers.summary().first()?;
        let (_, high) = core.layers.summary().last()?;
        let middle = core.layers.height() - low - high;
        let skew = (high - low).0 / 2.0;
        let off = chance.around(skew, CORE_OFF);
        let off = Mm(off.abs());
        let lines = self.lines(middle, off, core.layers.height())?;
        let out = f64::from(u8::from(!lines.edge_in_core));
        Some((lines.far.0, out))
    }

    /// All samples together.
    pub(super) fn sum(&self, seen: &[Sample]) -> Option<Edge> {
        if seen.is_empty() {
            return None;
        }
        #[expect(clippy::cast_precision_loss, reason = "a few thousand samples")]
        let count = seen.len() as f64;
        let nearer = seen.iter().map(|one| one.nearer).sum::<f64>() / count;
        let mut left: Vec<f64> = seen.iter().map(|one| one.left).collect();
        let mut point: Vec<f64> = seen.iter().filter_map(|one| one.point).collect();
        Some(Edge {
            left: band(&mut left),
            least: self.least,
            nearer: Fraction(nearer),
            forged: self.forged.is_some(),
            core: self.three,
            point: (!point.is_empty()).then(|| band(&mut point)),
        })
    }
}
