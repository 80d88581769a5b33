//! One smith that the lessons allow: drawn once for a sample, then every step varies about it.

use crate::billet::{Bar, Kind, Loses, Move, Sizes};
use crate::planner::chance::Chance;
use crate::planner::eaten::over_plan;
use crate::planner::ends::EndCut;
use crate::planner::learn::{Lessons, Topic, Work};
use crate::units::{Fraction, Mm};

/// How close a draw comes to the sizes asked for: one deviation, thickness and width. "Within 0.5 mm"
/// is the usual word; common practice, no source.
const THICKNESS: f64 = 0.2;
const WIDTH: f64 = 0.3;
/// How a loss to scale differs from step to step, whoever works. One deviation, as a logarithm.
const FORM: f64 = 0.4;
/// What one cut differs from its kerf, mm.
const KERF: f64 = 0.2;
/// How a heat treatment's scale differs from the plan's figure, as a part of it.
const TREATING: f64 = 0.4;

/// The topics of losses in the order in which they are drawn.
const LOSSES: [Topic; 6] = [
    Topic::Scale(Work::WeldAndDraw),
    Topic::Scale(Work::Draw),
    Topic::Scale(Work::Crush),
    Topic::Scale(Work::Forge),
    Topic::Trim,
    Topic::Grind,
];

/// The lessons, ready to be drawn from.
#[derive(Debug)]
pub(super) struct Trade<'l> {
    lessons: &'l Lessons,
    /// For each loss, the plan's own figure in the inner space, and the scatter about the mean.
    losses: [(f64, f64); 6],
    heats: Vec<f64>,
    minutes: Vec<f64>,
}

/// One smith: losses as factors on the plan's own figures, so that a step with its own amount
/// keeps its own; paces as logarithms.
#[derive(Debug)]
pub(super) struct Smith<'t> {
    trade: &'t Trade<'t>,
    losses: Vec<f64>,
    heats: Vec<f64>,
    minutes: Vec<f64>,
    /// What the ends lose of the measure of their draws; none while trims are a fixed length.
    fish_mouth: Option<f64>,
    /// How far this smith's losses follow the outside and the trips, and not the plan's share: 0 to 1.
    outside: f64,
}

impl<'l> Trade<'l> {
    pub(super) fn of(lessons: &'l Lessons) -> Self {
        let scatter = |topic: Topic| lessons.get(topic).scatter();
        Self {
            lessons,
            losses: LOSSES.map(|topic| {
                let one = lessons.get(topic);
                let of = match topic {
                    Topic::Scale(_) => -(1.0 - one.prior.value).ln(),
                    _ => one.prior.value,
                };
                (of.max(1e-6), one.scatter() / of.max(1e-6))
            }),
            heats: Kind::ALL.map(|kind| scatter(Topic::Heats(kind))).to_vec(),
            minutes: Kind::ALL.map(|kind| scatter(Topic::Minutes(kind))).to_vec(),
        }
    }

    /// True once trims follow the draws before them.
    pub(super) fn knows_ends(&self) -> bool {
        self.lessons.knows_ends()
    }

    /// Draws one smith.
    pub(super) fn smith(&self, chance: &mut Chance) -> Smith<'_> {
        let drawn = self.lessons.draw(chance);
        let factors = drawn.losses.iter().zip(&self.losses);
        let fish_mouth = drawn.losses.get(LOSSES.len()).copied();
        Smith {
            fish_mouth: fish_mouth.filter(|_| self.lessons.knows_ends()),
            losses: factors.map(|(value, (of, _))| value / of).collect(),
            heats: drawn.heats,
            minutes: drawn.minutes,
            outside: chance.share(),
            trade: self,
        }
    }
}

impl Smith<'_> {
    /// A factor on the plan's figure, with one piece of work's own scatter; never below nothing.
    fn factor(&self, chance: &mut Chance, topic: Topic) -> f64 {
        let at = LOSSES.iter().position(|one| *one == topic).unwrap_or(0);
        let mean = self.losses.get(at).copied().unwrap_or(1.0);
        let scatter = self.trade.losses.get(at).map_or(0.0, |one| one.1);
        chance.around(mean, scatter).max(0.0)
    }

    /// `over` is the logarithm of what the outside would lose over the plan's share. What was learnt holds for
    /// steps like those that it was learnt from.
    fn loss(&self, chance: &mut Chance, planned: Fraction, work: Work, over: f64) -> Fraction {
        if planned.0 <= 0.0 {
            return planned;
        }
        let form = self.outside * (over - self.trade.lessons.over_plan());
        let form = chance.around(form, FORM).exp();
        let log = -(1.0 - planned.0).ln() * self.factor(chance, Topic::Scale(work)) * form;
        Fraction((1.0 - (-log).exp()).clamp(0.0, 0.9))
    }

    /// The move as this smith makes it this time, of a bar that has been to the fire so often since it last
    /// lost, with that measure of a fish-mouth in its ends. `welded` says that a draw follows a weld. `None` when nothing about it varies.
    pub(super) fn makes(
        &self,
        chance: &mut Chance,
        made: &Move,
        welded: bool,
        (bar, trips, drawn): (&Bar, f64, Mm),
    ) -> Option<Move> {
        let mut made = made.clone();
        let scaled = |work: Work, chance: &mut Chance, made: &mut Move| {
            let to = made.target().filter(|_| work != Work::Forge);
            if let Some(scale) = made.scale_mut() {
                let over = to.map_or(0.0, |to| over_plan(bar, &to, trips, scale.0));
                *scale = self.loss(chance, *scale, work, over);
            }
        };
        match made.kind().row().loses {
            Loses::Draw | Loses::Weld | Loses::Crush => {
                let work = match made.kind().row().loses {
                    Loses::Crush => Work::Crush,
                    Loses::Draw if !welded => Work::Draw,
                    _ => Work::WeldAndDraw,
                };
                scaled(work, chance, &mut made);
                if let Some(to) = made.target_mut() {
                    hit(chance, to);
                }
            }
            Loses::Forge => scaled(Work::Forge, chance, &mut made),
            Loses::Treat => {
                let factor = chance.around(1.0, TREATING).max(0.0);
                if let Some(scale) = made.scale_mut() {
                    *scale = Fraction((scale.0 * factor).min(0.9));
                }
            }
            Loses::Trim | Loses::Grind | Loses::Kerf => match &mut made {
                Move::Trim { ends } => {
                    // Both ends of one trim are off alike: the split runs as far as the weld is bad.
                    let factor = self.factor(chance, Topic::Trim);
                    let known = self.fish_mouth.filter(|_| drawn.is_positive());
                    let hollow = known.map_or(Mm::ZERO, |share| drawn * share);
                    let cut = EndCut::of(*ends);
                    *ends = cut.with_bad(*ends, cut.bad * factor + hollow);
                }
                Move::Grind { per_face, .. } => {
                    *per_face = *per_face * self.factor(chance, Topic::Grind);
                }
                Move::Cut { kerf, .. } | Move::Slice { kerf, .. } | Move::Unfold { kerf, .. } => {
                    *kerf = Mm(chance.around(kerf.0, KERF).max(0.0));
                }
                _ => return None,
            },
            Loses::Nothing
            | Loses::Piles
            | Loses::Adds
            | Loses::Opening
            | Loses::Shaping
            | Loses::Untold => return None,
        }
        Some(made)
    }

    /// Trips to the fire for a step that plans so many.
    pub(super) fn heats(&self, chance: &mut Chance, kind: Kind, planned: u32) -> f64 {
        if planned == 0 {
            return 0.0;
        }
        let factor = pace(chance, kind, &self.heats, &self.trade.heats);
        (f64::from(planned) * factor).round().max(1.0)
    }

    /// Minutes for a step counted so many times.
    pub(super) fn minutes(&self, chance: &mut Chance, kind: Kind, times: f64) -> f64 {
        times * pace(chance, kind, &self.minutes, &self.trade.minutes)
    }
}

fn pace(chance: &mut Chance, kind: Kind, means: &[f64], scatter: &[f64]) -> f64 {
    let at = kind as usize;
    let mean = means.get(at).copied().unwrap_or(0.0);
    chance
        .around(mean, scatter.get(at).copied().unwrap_or(0.0))
        .exp()
}

/// Sizes as they come out. Where the section is asked for, the length is what comes of it.
fn hit(chance: &mut Chance, to: &mut Sizes) {
    if to.width.is_some() && to.thickness.is_some() {
        to.length = None;
    }
    let miss =
        |chance: &mut Chance, size: Mm, sd: f64| Mm(chance.around(size.0, sd.min(size.0 * 0.05)));
    to.thickness = to.thickness.map(|size| miss(chance, size, THICKNESS));
    to.width = to.width.map(|size| miss(chance, size, WIDTH));
}

#[cfg(test)]
mod tests {
    use crate::billet::Kind;

    #[test]
    fn kinds_are_numbered_as_they_are_listed() {
        for (at, kind) in Kind::ALL.into_iter().enumerate() {
            assert_eq!(kind as usize, at);
        }
    }
}
