//! The billet's carbon from first stack to now.
//!
//! A profile goes through the same moves as the billet (draw, cut and stack, fold, grind, frame) and
//! through its heats, and says at any time what each steel holds, at the faces and inside. The cost of
//! a heat follows from the thickness of the bar over the reach of the heat, not from the layer count.

use std::sync::Arc;

use super::activity;
use super::blur::Blur;
use super::care::Care;
use super::clock::Clock;
use super::heat::Heat;
use super::job::Job;
use super::sequence::{Kind, Sequence};
use super::solver::Medium;
use super::surface::{Faces, Surface};
use crate::metal::Composition;
use crate::physics::Range;
use crate::units::Mm;

/// Worth in mm2 below which a heat moves nothing: a tenth of a micrometre.
const NOTHING: f64 = 1e-8;
/// Carbon for which the diffusivity is worked out, mass %.
const MOST_CARBON: Range = Range {
    law: "diffusion",
    name: "carbon",
    unit: "%",
    least: 0.05,
    greatest: 1.5,
};
/// Nickel above which a metal counts as nickel with carbon in it, mass %.
const NICKEL_METAL: f64 = 50.0;

/// Carbon, nickel blur and hot minutes of a billet. Cheap to copy; every move gives a new one.
///
/// ```
/// # use anvilside::metal::Composition;
/// # use anvilside::physics::diffusion::{Care, Faces, Heat, Profile, Sequence};
/// # use anvilside::units::{Celsius, Mm, Seconds};
/// let plain = Composition { c: 0.95, mn: 0.40, si: 0.20, ..Composition::default() };
/// let nickel = Composition { c: 0.75, mn: 0.35, si: 0.25, ni: 2.0, ..Composition::default() };
/// let pair = Sequence::join([
///     Sequence::layer(0, Mm(0.2), 0.95),
///     Sequence::layer(1, Mm(0.2), 0.75),
/// ]);
/// let billet = Profile::new(vec![plain, nickel], pair.repeated(100));
/// let heat = Heat::soak(
///     (Celsius(800.0), Seconds(180.0)),
///     (Celsius(1150.0), Seconds(600.0)),
///     (Celsius(800.0), Seconds(120.0)),
/// )?;
/// let after = billet.heated(&heat, Faces::default(), Care::default());
/// let held = after.by_steel();
/// assert!((held[0].mean - held[1].mean - 0.0525).abs() < 0.0005, "{held:?}");
/// # Ok::<(), anvilside::physics::diffusion::HeatError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Profile {
    steels: Arc<[Composition]>,
    fixed_factors: Option<Arc<[f64]>>,
    /// Activity factors of the heat before.
    factors: Option<Arc<[f64]>>,
    stack: Sequence,
    /// Worth since the last fresh joint or face, mm2 in the thickness of now.
    age: f64,
    /// The rules of the heat before.
    faces: Option<Faces>,
    blur: Blur,
}

/// What one steel of the billet holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteelCarbon {
    /// Index in the table of steels.
    pub steel: usize,
    /// Its share of the thickness, 0 to 1.
    pub share: f64,
    /// Mean carbon, mass %.
    pub mean: f64,
    /// Least carbon of any cell, mass %.
    pub least: f64,
    /// Greatest carbon of any cell, mass %.
    pub greatest: f64,
}

impl Profile {
    /// A billet of these steels; the layers of the stack name them by index. A layer of an index that
    /// is not in the table counts as plain carbon steel.
    #[must_use]
    pub fn new(steels: Vec<Composition>, stack: Sequence) -> Self {
        let mut steels = steels;
        if steels.len() < stack.node.parts.len() {
            steels.resize(stack.node.parts.len(), Composition::default());
        }
        Self {
            steels: steels.into(),
            fixed_factors: None,
            factors: None,
            stack,
            age: 0.0,
            faces: None,
            blur: Blur::default(),
        }
    }

    /// With activity factors of the caller's own instead of those of the analyses: for textbook
    /// problems. Factors that are not positive count as 1.
    #[must_use]
    pub fn with_factors(mut self, factors: &[f64]) -> Self {
        let mut all: Vec<f64> = factors
            .iter()
            .map(|f| if f.is_finite() && *f > 0.0 { *f } else { 1.0 })
            .collect();
        all.resize(self.steels.len(), 1.0);
        self.fixed_factors = Some(all.into());
        self
    }

    /// The layers as they are now.
    #[must_use]
    pub fn stack(&self) -> &Sequence {
        &self.stack
    }

    /// The layers put through a move that makes new joints or faces: cut and stack, fold, grind, frame.
    ///
    /// ```
    /// # use anvilside::metal::Composition;
    /// # use anvilside::physics::diffusion::{Profile, Sequence};
    /// # use anvilside::units::Mm;
    /// let bar = Profile::new(vec![Composition::default()], Sequence::layer(0, Mm(5.0), 0.9));
    /// let stacked = bar.moved(|layers| layers.repeated(4));
    /// let framed = stacked.moved(|core| {
    ///     let side = Sequence::layer(1, Mm(3.0), 0.45);
    ///     Sequence::join([side.clone(), core.clone(), side])
    /// });
    /// assert!(framed.stack().thickness().near(Mm(26.0), 1e-9));
    /// ```
    #[must_use]
    pub fn moved(&self, change: impl FnOnce(&Sequence) -> Sequence) -> Self {
        let moved = Self::new(self.steels.to_vec(), change(&self.stack));
        Self {
            fixed_factors: self.fixed_factors.clone(),
            factors: self.factors.clone(),
            blur: self.blur,
            ..moved
        }
    }

    /// Drawn (or upset) to `factor` of the thickness outside any heat that was logged with its drawing.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        if !(factor.is_finite() && factor > 0.0) {
            return self.clone();
        }
        Self {
            stack: self.stack.scaled(factor),
            age: self.age * factor * factor,
            blur: self.blur.scaled(factor),
            ..self.clone()
        }
    }

    /// After a heat, with these rules at the faces. Drawing that the heat was logged with is included.
    #[must_use]
    pub fn heated(&self, heat: &Heat, faces: Faces, care: Care) -> Self {
        let thinning = heat.thinning();
        let factors = self.factors_at(heat);
        let mean = self.stack.mean_carbon();
        let clock = Clock::new(heat, care.law, mean, self.most_carbon(faces, &factors));
        let worth = clock.total();
        let fresh = self
            .faces
            .is_none_or(|f| !(f.first.same(faces.first) && f.last.same(faces.last)));
        let age = if fresh { 0.0 } else { self.age };
        let stack = if worth > NOTHING {
            let media: Vec<Medium> = self.steels.iter().map(medium).collect();
            let job = Job {
                factors: &factors,
                media: &media,
                clock: &clock,
                age,
                care,
            };
            job.heat(&self.stack, 1.0, faces)
        } else {
            self.stack.clone()
        };
        Self {
            stack: stack.scaled(thinning),
            age: (age + worth) * thinning * thinning,
            faces: Some(faces),
            factors: Some(factors.into()),
            blur: self.blur.heated(heat),
            ..self.clone()
        }
    }

    /// The most carbon that any cell can come to hold, mass %.
    fn most_carbon(&self, faces: Faces, factors: &[f64]) -> f64 {
        let parts = self.stack.node.parts.iter().zip(factors);
        let highest = parts
            .filter(|(part, _)| part.mm > 0.0)
            .map(|(part, factor)| part.greatest * factor)
            .fold(0.0, f64::max);
        let least = factors.iter().copied().fold(f64::INFINITY, f64::min);
        let fire = [faces.first, faces.last].map(Surface::potential);
        let most = fire.into_iter().fold(highest / least, f64::max);
        MOST_CARBON.clamp(1.05 * most)
    }

    /// Activity factors at the hottest of this heat, for the plain carbon that leaves the billet's
    /// carbon what it is.
    fn factors_at(&self, heat: &Heat) -> Vec<f64> {
        if let Some(fixed) = &self.fixed_factors {
            return fixed.to_vec();
        }
        let parts = &self.stack.node.parts;
        let mut plain = self.stack.mean_carbon();
        let mut factors = activity::factors(&self.steels, plain, heat.hottest());
        for _ in 0..2 {
            let taken: f64 = parts.iter().zip(&factors).map(|(p, f)| p.mm / f).sum();
            plain = self.stack.node.carbon / taken.max(f64::MIN_POSITIVE);
            factors = activity::factors(&self.steels, plain, heat.hottest());
        }
        factors
    }

    /// Carbon now by steel; steels that are not in the stack are left out.
    #[must_use]
    pub fn by_steel(&self) -> Vec<SteelCarbon> {
        let node = &self.stack.node;
        let parts = node.parts.iter().enumerate();
        parts
            .filter(|(_, part)| part.mm > 0.0)
            .map(|(steel, part)| SteelCarbon {
                steel,
                share: part.mm / node.mm,
                mean: part.carbon / part.mm,
                least: part.least,
                greatest: part.greatest,
            })
            .collect()
    }

    /// Mean carbon between two depths from the first face, mass %; of what lies inside the billet.
    #[must_use]
    pub fn mean_between(&self, from: Mm, to: Mm) -> f64 {
        self.stack.cut(from.0, to.0).mean_carbon()
    }

    /// Carbon by steel between two depths from the first face.
    #[must_use]
    pub fn by_steel_between(&self, from: Mm, to: Mm) -> Vec<SteelCarbon> {
        let slice = Self {
            stack: self.stack.cut(from.0, to.0),
            ..self.clone()
        };
        slice.by_steel()
    }

    /// Mean carbon that one steel holds between two depths, mass %: what it has there, or would have
    /// there once a heat has levelled activity. None for a steel that is not there before any heat.
    #[must_use]
    pub fn held_between(&self, steel: usize, from: Mm, to: Mm) -> Option<f64> {
        let slice = self.stack.cut(from.0, to.0);
        match (&self.factors, slice.node.solved) {
            (Some(factors), true) if slice.node.mm > 0.0 => {
                let factor = factors.get(steel)?;
                Some(slice.node.activity / slice.node.mm / factor)
            }
            _ => {
                let part = slice.node.parts.get(steel)?;
                (part.mm > 0.0).then(|| part.carbon / part.mm)
            }
        }
    }

    /// Mean carbon of the outermost `skin` at the first and at the last face, mass %.
    #[must_use]
    pub fn at_faces(&self, skin: Mm) -> (f64, f64) {
        let whole = self.stack.thickness();
        (
            self.mean_between(Mm(0.0), skin),
            self.mean_between(whole - skin, whole),
        )
    }

    /// Cells that the last heat was worked out on.
    #[must_use]
    pub fn cell_count(&self) -> usize {
        let mut todo = vec![&self.stack];
        let mut count = 0;
        while let Some(stack) = todo.pop() {
            match &stack.node.kind {
                Kind::Even => {}
                Kind::Cells(cells) => count += cells.len(),
                Kind::Join(all) => todo.extend(all),
                Kind::Repeat(inner, _) | Kind::Mirror(inner) | Kind::Scale(inner, _) => {
                    todo.push(inner);
                }
            }
        }
        count
    }

    /// How far nickel has smeared the oldest joints.
    #[must_use]
    pub fn blur(&self) -> Blur {
        self.blur
    }
}

fn medium(steel: &Composition) -> Medium {
    if steel.ni > NICKEL_METAL {
        Medium::Nickel
    } else {
        Medium::Steel
    }
}
