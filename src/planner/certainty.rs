//! How well the metal is known: the relative deviation of its volume after each step.
//!
//! A reading of all three sizes, or of the mass, tells it anew; every loss that is only an allowance
//! makes it less sure. `(sV/V)^2 = (st/t)^2 + (sw/w)^2 + (sL/L)^2`.

use std::collections::BTreeMap;

use crate::billet::{Bar, Billet, Dimension, Loses, Move, Reading};
use crate::plan::{Plan, Step};
use crate::session::{Done, Session};
use crate::units::{Celsius, Mm};

/// One deviation of a caliper on a forged bar, over its unevenness: thickness and width, cold and
/// hot. Common practice, no source.
pub const CALIPER_COLD: Mm = Mm(0.3);
/// The same, hot.
pub const CALIPER_HOT: Mm = Mm(0.6);
/// One deviation of a rule along the bar: cold, hot. Common practice, no source.
pub const RULE_COLD: Mm = Mm(0.5);
/// The same, hot.
pub const RULE_HOT: Mm = Mm(1.0);
/// One deviation of a kitchen scale, g.
pub const SCALE_G: f64 = 2.0;

/// Part of a first stack's volume that uneven stock and hand-ground faces leave open.
const STACK: f64 = 0.01;
/// Part of a found bar's volume that its sizes leave open, over what calipers read: rounded edges, bent ends.
/// Common practice, no source.
const UNEVEN: f64 = 0.02;
/// Part of a loss to scale that is not known before it is measured: 4 % +/- 2 %.
const OF_SCALE: f64 = 0.5;
/// What a trim differs from its allowance, per end, and a grind from its own, per face.
const TRIM: Mm = Mm(3.0);
const GRIND: Mm = Mm(0.15);
/// What a cut differs from its kerf.
const KERF: Mm = Mm(0.3);
/// Part of what a grind to shape takes that is not known.
const OF_SHAPING: f64 = 0.15;

/// How well the metal is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Certainty {
    /// Relative deviation of the volume: 0.02 is two percent.
    pub volume: f64,
    /// Deviation of the length, where it was read and the bar not worked since.
    pub length: Option<Mm>,
    /// The same of the thickness.
    pub thickness: Option<Mm>,
    /// The same of the width.
    pub width: Option<Mm>,
}

impl Certainty {
    /// A first stack of cleaned pieces.
    #[must_use]
    pub fn stack() -> Self {
        Self {
            volume: STACK,
            length: None,
            thickness: None,
            width: None,
        }
    }

    /// A bar of the plan as it begins: a first stack, or as it was found and read.
    #[must_use]
    pub fn first(plan: &Plan, bar: &str) -> Self {
        let Some((bar, found)) = plan
            .bars
            .iter()
            .find(|one| one.name == bar)
            .and_then(|bar| Some((bar, bar.found.as_ref()?)))
        else {
            return Self::stack();
        };
        let sizes = [
            (found.thickness, CALIPER_COLD),
            (bar.width, CALIPER_COLD),
            (bar.length, RULE_COLD),
        ];
        let calipers = sizes
            .into_iter()
            .fold(UNEVEN, |sum, (size, sd)| sum.hypot(sd / size));
        let scale = found.mass.map(|mass| SCALE_G / mass.0);
        Self {
            volume: scale.unwrap_or(calipers),
            length: Some(RULE_COLD),
            thickness: Some(CALIPER_COLD),
            width: Some(CALIPER_COLD),
        }
    }

    /// After a step that took `before` to `after`.
    #[must_use]
    pub fn after(self, before: &Billet, after: &Billet, step: &Step, seen: &Seen<'_>) -> Self {
        let worked =
            step.kind().is_hot() || !matches!(step.made, Move::Inspect { .. } | Move::EndDay);
        let size = |now: Option<Mm>, old: Option<Mm>| now.or(if worked { None } else { old });
        Self {
            volume: seen
                .volume(&after.bar)
                .unwrap_or_else(|| self.volume.hypot(allowed(before, after, &step.made))),
            length: size(seen.deviation(Dimension::Length), self.length),
            thickness: size(seen.deviation(Dimension::Thickness), self.thickness),
            width: size(seen.deviation(Dimension::Width), self.width),
        }
    }

    /// After every step done of a job, oldest first; the first stack leads.
    #[must_use]
    pub fn course(session: &Session) -> Vec<Self> {
        let first = session.plan.first_billet();
        let plan = &session.plan;
        let begins = plan.steps.first().map_or("", |step| step.bar.as_str());
        let mut known = vec![Self::first(plan, begins)];
        let mut bars: BTreeMap<&str, Self> = BTreeMap::new();
        let mut before = &first;
        for (at, done) in session.done.iter().enumerate() {
            let own = before.in_hand(&done.step.bar);
            let last = bars
                .entry(&done.step.bar)
                .or_insert_with(|| Self::first(plan, &done.step.bar));
            *last = last.after(&own, &done.made.billet, &done.step, &Seen::of(done));
            before = &done.made.billet;
            let next = session.plan.steps.get(at + 1).unwrap_or(&done.step);
            let own = bars.get(&*next.bar).copied();
            known.push(own.unwrap_or_else(|| Self::first(plan, &next.bar)));
        }
        known
    }

    /// The metal before the current step of a job.
    #[must_use]
    pub fn now(session: &Session) -> Self {
        Self::course(session)
            .last()
            .copied()
            .unwrap_or_else(Self::stack)
    }
}

/// A reading, and which of it was taken hot.
#[derive(Debug, Clone, Copy)]
pub struct Seen<'a> {
    /// Cold values.
    pub reading: &'a Reading,
    /// Temperatures of those taken hot.
    pub hot: &'a BTreeMap<Dimension, Celsius>,
}

impl<'a> Seen<'a> {
    /// What was read at a step.
    #[must_use]
    pub fn of(done: &'a Done) -> Self {
        Self {
            reading: &done.reading,
            hot: &done.hot,
        }
    }

    /// One deviation of a size that was read; none when it was not.
    #[must_use]
    pub fn deviation(&self, what: Dimension) -> Option<Mm> {
        let hot = self.hot.contains_key(&what);
        self.reading.get(what)?;
        Some(match (what, hot) {
            (Dimension::Mass | Dimension::Bands, _) => return None,
            (Dimension::Length, false) => RULE_COLD,
            (Dimension::Length, true) => RULE_HOT,
            (_, false) => CALIPER_COLD,
            (_, true) => CALIPER_HOT,
        })
    }

    /// Relative deviation of the volume, when the mass or all three sizes were read.
    #[must_use]
    pub fn volume(&self, bar: &Bar) -> Option<f64> {
        if let Some(mass) = self.reading.mass.filter(|mass| mass.is_positive()) {
            return Some(SCALE_G / mass.0);
        }
        let sizes = [
            (Dimension::Thickness, bar.thickness),
            (Dimension::Width, bar.width),
            (Dimension::Length, bar.length),
        ];
        sizes.into_iter().try_fold(0.0_f64, |sum, (what, size)| {
            let sd = self.deviation(what)?;
            size.is_positive().then(|| sum.hypot(sd / size))
        })
    }
}

/// Relative deviation that a step adds when nothing is read after it.
fn allowed(before: &Billet, after: &Billet, made: &Move) -> f64 {
    let part = |loss: Mm, of: Mm, times: f64| {
        if of.is_positive() {
            loss / of * times
        } else {
            0.0
        }
    };
    let root2 = std::f64::consts::SQRT_2;
    match made.kind().row().loses {
        Loses::Weld | Loses::Draw | Loses::Crush | Loses::Forge | Loses::Treat => {
            OF_SCALE * made.scale().0
        }
        Loses::Trim => part(TRIM, before.bar.length, root2),
        Loses::Grind => part(GRIND, before.bar.thickness, root2),
        Loses::Kerf => part(KERF, before.bar.length, made.pieces().sqrt()),
        Loses::Shaping => {
            let (from, to) = (before.volume().0, after.volume().0);
            if to > 0.0 {
                OF_SHAPING * ((from - to) / to).max(0.0)
            } else {
                0.0
            }
        }
        Loses::Nothing | Loses::Piles | Loses::Adds | Loses::Opening | Loses::Untold => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::Seen;
    use crate::billet::{Dimension, Reading};
    use crate::units::{Celsius, Grams, Mm};

    fn bar() -> crate::billet::Bar {
        let plan = crate::plan::read(include_str!("../../plans/kitchen-pair.toml"))
            .unwrap()
            .0;
        let mut bar = plan.first_billet().bar;
        (bar.thickness, bar.width, bar.length) = (Mm(14.0), Mm(42.0), Mm(345.0));
        bar
    }

    #[test]
    fn thickness_rules_the_volume() {
        // (0.3/14)^2 + (0.3/42)^2 + (0.5/345)^2: 2.26 % by hand.
        let reading = Reading {
            thickness: Some(Mm(14.0)),
            width: Some(Mm(42.0)),
            length: Some(Mm(345.0)),
            ..Reading::default()
        };
        let cold = BTreeMap::new();
        let seen = Seen {
            reading: &reading,
            hot: &cold,
        };
        assert!((seen.volume(&bar()).unwrap() - 0.0226).abs() < 1e-4);
        let hot = BTreeMap::from([(Dimension::Thickness, Celsius(900.0))]);
        let seen = Seen {
            reading: &reading,
            hot: &hot,
        };
        assert!(seen.volume(&bar()).unwrap() > 0.04);
    }

    #[test]
    fn a_scale_beats_the_caliper() {
        let reading = Reading {
            mass: Some(Grams(1500.0)),
            ..Reading::default()
        };
        let cold = BTreeMap::new();
        let seen = Seen {
            reading: &reading,
            hot: &cold,
        };
        assert!(seen.volume(&bar()).unwrap() < 0.003);
    }

    #[test]
    fn two_sizes_do_not_tell_the_volume() {
        let reading = Reading {
            thickness: Some(Mm(14.0)),
            width: Some(Mm(42.0)),
            ..Reading::default()
        };
        let cold = BTreeMap::new();
        let seen = Seen {
            reading: &reading,
            hot: &cold,
        };
        assert!(seen.volume(&bar()).is_none());
    }
}
