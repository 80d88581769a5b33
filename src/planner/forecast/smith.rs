//! One smith that the lessons allow: drawn once for a sample, then every step varies about it.

use crate::billet::{Kind, Move, Sizes};
use crate::planner::chance::Chance;
use crate::planner::learn::{Lessons, Topic, Work};
use crate::units::{Fraction, Mm};

/// How close a draw comes to the sizes asked for: one deviation, thickness and width. "Within 0.5 mm"
/// is the usual word; common practice, no source.
const THICKNESS: f64 = 0.2;
const WIDTH: f64 = 0.3;
/// What one cut differs from its kerf, mm.
const KERF: f64 = 0.2;
/// How a heat treatment's scale differs from the plan's figure, as a part of it.
const TREATING: f64 = 0.4;

const WORKS: [Work; 4] = [Work::WeldAndDraw, Work::Draw, Work::Crush, Work::Forge];

/// Mean and deviations of one number, as a factor on what the plan says.
#[derive(Debug, Clone, Copy)]
struct Belief {
    mean: f64,
    sd: f64,
    scatter: f64,
}

/// What is believed of every number, ready to be drawn from.
#[derive(Debug)]
pub(super) struct Trade {
    works: [Belief; 4],
    trim: Belief,
    grind: Belief,
    heats: Vec<Belief>,
    minutes: Vec<Belief>,
}

/// One smith.
#[derive(Debug)]
pub(super) struct Smith<'t> {
    trade: &'t Trade,
    works: [f64; 4],
    trim: f64,
    grind: f64,
    heats: Vec<f64>,
    minutes: Vec<f64>,
}

impl Trade {
    pub(super) fn of(lessons: &Lessons) -> Self {
        let inner = |topic: Topic| {
            let one = lessons.get(topic);
            let belief = one.belief();
            Belief {
                mean: belief.mean,
                sd: belief.sd,
                scatter: one.scatter(),
            }
        };
        // Losses and allowances as a factor on the plan's own figure, so that a step with its own
        // amount keeps its own.
        let factor = |topic: Topic| {
            let one = lessons.get(topic);
            let belief = one.belief();
            let of = match topic {
                Topic::Scale(_) => -(1.0 - one.prior.value).ln(),
                _ => one.prior.value,
            };
            Belief {
                mean: belief.mean / of,
                sd: belief.sd / of,
                scatter: one.scatter() / of,
            }
        };
        Self {
            works: WORKS.map(|work| factor(Topic::Scale(work))),
            trim: factor(Topic::Trim),
            grind: factor(Topic::Grind),
            heats: Kind::ALL
                .iter()
                .map(|kind| inner(Topic::Heats(*kind)))
                .collect(),
            minutes: Kind::ALL
                .iter()
                .map(|kind| inner(Topic::Minutes(*kind)))
                .collect(),
        }
    }

    /// Draws one smith.
    pub(super) fn smith(&self, chance: &mut Chance) -> Smith<'_> {
        let mut draw = |belief: &Belief| chance.around(belief.mean, belief.sd);
        Smith {
            works: self.works.each_ref().map(&mut draw),
            trim: draw(&self.trim),
            grind: draw(&self.grind),
            heats: self.heats.iter().map(&mut draw).collect(),
            minutes: self.minutes.iter().map(&mut draw).collect(),
            trade: self,
        }
    }
}

impl Smith<'_> {
    /// A factor from a drawn mean, with one piece of work's own scatter; never below nothing.
    fn vary(chance: &mut Chance, mean: f64, belief: &Belief) -> f64 {
        chance.around(mean, belief.scatter).max(0.0)
    }

    fn loss(&self, chance: &mut Chance, planned: Fraction, work: Work) -> Fraction {
        let at = WORKS.iter().position(|one| *one == work).unwrap_or(0);
        let (Some(mean), Some(belief)) = (self.works.get(at), self.trade.works.get(at)) else {
            return planned;
        };
        if planned.0 <= 0.0 {
            return planned;
        }
        let log = -(1.0 - planned.0).ln() * Self::vary(chance, *mean, belief);
        Fraction((1.0 - (-log).exp()).clamp(0.0, 0.9))
    }

    /// The move as this smith makes it this time. `welded` says that a draw follows a weld.
    /// `None` when nothing about it varies.
    pub(super) fn makes(&self, chance: &mut Chance, made: &Move, welded: bool) -> Option<Move> {
        let mut made = match made {
            Move::Frame { .. } | Move::Restack { .. } => return None,
            made => made.clone(),
        };
        match &mut made {
            Move::Draw { to, scale } => {
                let work = if welded {
                    Work::WeldAndDraw
                } else {
                    Work::Draw
                };
                *scale = self.loss(chance, *scale, work);
                hit(chance, to);
            }
            Move::Weld { to, scale } | Move::Square { to, scale } => {
                *scale = self.loss(chance, *scale, Work::WeldAndDraw);
                hit(chance, to);
            }
            Move::CornerCrush { to, scale } => {
                *scale = self.loss(chance, *scale, Work::Crush);
                hit(chance, to);
            }
            Move::Forge { scale, .. } => *scale = self.loss(chance, *scale, Work::Forge),
            Move::Normalise { scale, .. } | Move::Anneal { scale } => {
                let factor = chance.around(1.0, TREATING).max(0.0);
                *scale = Fraction((scale.0 * factor).min(0.9));
            }
            Move::Trim { ends } => {
                for end in ends {
                    *end = *end * Self::vary(chance, self.trim, &self.trade.trim);
                }
            }
            Move::Grind { per_face, .. } => {
                *per_face = *per_face * Self::vary(chance, self.grind, &self.trade.grind);
            }
            Move::Cut { kerf, .. } => {
                *kerf = Mm(chance.around(kerf.0, KERF).max(0.0));
            }
            _ => return None,
        }
        Some(made)
    }

    /// Trips to the fire for a step that plans so many.
    pub(super) fn heats(&self, chance: &mut Chance, kind: Kind, planned: u32) -> f64 {
        let at = kind as usize;
        let (Some(mean), Some(belief)) = (self.heats.get(at), self.trade.heats.get(at)) else {
            return f64::from(planned);
        };
        if planned == 0 {
            return 0.0;
        }
        let factor = chance.around(*mean, belief.scatter).exp();
        (f64::from(planned) * factor).round().max(1.0)
    }

    /// Minutes for a step counted so many times.
    pub(super) fn minutes(&self, chance: &mut Chance, kind: Kind, times: f64) -> f64 {
        let at = kind as usize;
        let (Some(mean), Some(belief)) = (self.minutes.get(at), self.trade.minutes.get(at)) else {
            return 0.0;
        };
        times * chance.around(*mean, belief.scatter).exp()
    }
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
