//! What there is to look at: the metal at any place of the plan, done or to come, ready for pictures.
//!
//! Places count the steps made: 0 is the first stack, the number of steps is the finished work, and
//! the place of the current step is now.

use std::borrow::Cow;
use std::sync::Arc;

use super::Session;
use crate::billet::{Billet, Deformation, Kind, Move, Skin};
use crate::pattern::{
    BladeShape, Chain, Hand, Lines, LinesRange, Look, Scene, Tone, View, seen_softness,
};
use crate::physics::diffusion::{Tracer, carbon_diffusivity};
use crate::plan::{Plan, Step};
use crate::units::{Celsius, Mm, Seconds};

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Aspect {
    /// The end grain.
    #[default]
    End,
    /// The narrow side.
    Side,
    /// The wide face.
    Face,
    /// The blade, ground.
    Blade,
}

impl Aspect {
    /// All of them, in the order they are shown.
    pub const ALL: [Self; 4] = [Self::End, Self::Side, Self::Face, Self::Blade];

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::End => "end grain",
            Self::Side => "side",
            Self::Face => "face",
            Self::Blade => "blade",
        }
    }
}

/// Where a place lies against the work done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// Done and past.
    Past,
    /// The metal in hand.
    Now,
    /// To come: a forecast.
    Ahead,
}

/// The metal at one place of the plan, as pictures need it.
#[derive(Debug, Clone)]
pub struct Subject {
    /// The metal there.
    pub billet: Billet,
    /// Past, now or to come.
    pub when: When,
    /// How the steels look there, with the blur of the heats until then.
    pub look: Look,
    chain: Arc<Chain>,
    shape: BladeShape,
}

impl Subject {
    /// A picture's scene: so many pixels wide and high.
    #[must_use]
    pub fn scene(&self, aspect: Aspect, size: [u32; 2]) -> Scene {
        Scene::new(Arc::clone(&self.chain), self.view(aspect), &self.look, size)
    }

    /// What an aspect is in the words of the picture's floor.
    #[must_use]
    pub fn view(&self, aspect: Aspect) -> View {
        match aspect {
            Aspect::End => View::End,
            Aspect::Side => View::Side,
            Aspect::Face => View::Face,
            Aspect::Blade => View::Blade(self.shape),
        }
    }

    /// The way back from the bar to its first stack.
    #[must_use]
    pub fn chain(&self) -> &Chain {
        &self.chain
    }

    /// Width and height of what an aspect shows.
    #[must_use]
    pub fn extent(&self, aspect: Aspect) -> [Mm; 2] {
        let bar = &self.billet.bar;
        match aspect {
            Aspect::End => [bar.width, bar.thickness],
            Aspect::Side => [bar.length, bar.thickness],
            Aspect::Face => [bar.length, bar.width],
            Aspect::Blade => [self.shape.length + self.shape.stub(), self.shape.width],
        }
    }
}

/// Time at heat of one trip to the fire where the plan gives no soak: so many seconds for each mm through
/// the bar, within bounds. Common practice, no source.
const EACH_MM: f64 = 10.0;
const AT_HEAT: [f64; 2] = [60.0, 300.0];

impl Session {
    /// The last place that can be looked at: the end of the plan, or where it stops being possible.
    #[must_use]
    pub fn last_place(&self) -> usize {
        self.at + self.ahead.rows.len()
    }

    /// The metal at a place; none past the last one.
    #[must_use]
    pub fn metal_at(&self, place: usize) -> Option<Cow<'_, Billet>> {
        if place == self.at {
            return Some(Cow::Borrowed(self.metal()));
        }
        if let Some(ahead) = place.checked_sub(self.at + 1) {
            let row = self.ahead.rows.get(ahead)?;
            return Some(Cow::Borrowed(&row.billet));
        }
        let Some(last) = place.checked_sub(1) else {
            return Some(Cow::Owned(self.plan.first_billet()));
        };
        let done = self.done.get(last)?;
        Some(Cow::Borrowed(&done.made.billet))
    }

    /// How the hammer of this shop works, as pictures guess it from a seed.
    #[must_use]
    pub fn hand(&self, seed: u64) -> Hand {
        Hand {
            seed,
            grind: self.plan.shop.allowances.grind,
            ..Hand::default()
        }
    }

    /// What pictures of a place are made from; the same seed gives the same picture. None past the
    /// last place.
    #[must_use]
    pub fn subject(&self, place: usize, seed: u64) -> Option<Subject> {
        let billet = self.metal_at(place)?.into_owned();
        let when = match place.cmp(&self.at) {
            std::cmp::Ordering::Less => When::Past,
            std::cmp::Ordering::Equal => When::Now,
            std::cmp::Ordering::Greater => When::Ahead,
        };
        let chain = Chain::new(&billet.first, &history(&billet), self.hand(seed));
        Some(Subject {
            look: self.look(place, &billet),
            chain: Arc::new(chain),
            shape: blade_shape(&self.plan),
            when,
            billet,
        })
    }

    /// How the bands run in an aspect of a place's subject, beside so many hands more after its seed. None
    /// where no layers show.
    #[must_use]
    pub fn lines(
        &self,
        subject: &Subject,
        aspect: Aspect,
        (place, seed): (usize, u64),
        more: u64,
    ) -> Option<LinesRange> {
        let lines = |subject: &Subject| Lines::of(subject.chain(), subject.view(aspect));
        let mut found = vec![lines(subject)?];
        found.extend((1..=more).map_while(|more| {
            let other = self.subject(place, seed.wrapping_add(more))?;
            lines(&other)
        }));
        LinesRange::over(&found)
    }

    /// Tones by analysis, and the blur of the heats before a place: those logged for steps done, those
    /// planned for the rest.
    fn look(&self, place: usize, billet: &Billet) -> Look {
        let steels = &self.plan.steels;
        let volume = |at: usize| {
            billet
                .volume_of(crate::billet::SteelId::from_index(at))
                .0
                .max(0.0)
        };
        let whole: f64 = (0..steels.len()).map(volume).sum();
        let carbon: f64 = steels
            .iter()
            .enumerate()
            .map(|(at, steel)| volume(at) * steel.steel.nominal.c)
            .sum();
        let mean = if whole > 0.0 { carbon / whole } else { 0.0 };
        let (mut carbon, mut nickel) = (0.0, 0.0);
        for (at, step) in self.plan.steps.iter().enumerate().take(place) {
            let Some(hot) = self.at_heat(at, step) else {
                continue;
            };
            let thinned = |place| self.metal_at(place).map_or(1.0, |metal| metal.thinned);
            let left = squeezed(thinned(at), thinned(at + 1), billet.thinned);
            let [c, n] = spread(hot, mean);
            carbon += c * left;
            nickel += n * left;
        }
        Look {
            tones: steels
                .iter()
                .map(|steel| Tone::of(&steel.steel.nominal, mean))
                .collect(),
            nickel_blur: Mm(nickel.sqrt()),
            carbon_blur: seen_softness(Mm(carbon.sqrt())),
            clean: None,
            etch: None,
        }
    }

    /// Temperatures and time at heat of a hot step: one that soaks is held at the top of its window, one
    /// that works swings through it.
    fn at_heat(&self, at: usize, step: &Step) -> Option<([Celsius; 2], Seconds)> {
        if !step.kind().is_hot() || matches!(step.kind(), Kind::Temper | Kind::Harden) {
            return None;
        }
        let window = self.plan.window(step);
        if window.is_none() && step.kind() == Kind::Anneal {
            return None;
        }
        let high = window.map_or(self.plan.shop.fire, |window| window.high);
        let low = window
            .filter(|_| step.soak.is_none())
            .map_or(high, |window| window.low);
        let heats = match at.cmp(&self.at) {
            std::cmp::Ordering::Less => self.done.get(at).map_or(step.heats, |done| done.heats),
            std::cmp::Ordering::Equal => self.step.heats,
            std::cmp::Ordering::Greater => step.heats,
        };
        let thick = |place| {
            self.metal_at(place)
                .map_or(Mm::ZERO, |metal| metal.bar.thickness.min(metal.bar.width))
        };
        let through = 0.5 * (thick(at) + thick(at + 1)).0;
        let [least, most] = AT_HEAT;
        let each = step.soak.map_or_else(
            || (EACH_MM * through).clamp(least, most),
            |soak| soak.0.max(least),
        );
        Some(([low, high], Seconds(f64::from(heats) * each)))
    }
}

/// Square of the standard deviation that a time at heat adds, `2 D t`: carbon and nickel, mm2. D is the
/// mean over even times at every heat between the two (Simpson).
fn spread(([low, high], time): ([Celsius; 2], Seconds), mean_carbon: f64) -> [f64; 2] {
    const MM2: f64 = 1e6;
    let grown = |d: &dyn Fn(Celsius) -> f64| {
        let middle = Celsius(0.5 * (low.0 + high.0));
        let mean = (d(low) + 4.0 * d(middle) + d(high)) / 6.0;
        2.0 * mean * MM2 * time.0
    };
    [
        grown(&|heat| carbon_diffusivity(heat, mean_carbon).map_or(0.0, |d| d.best)),
        grown(&|heat| Tracer::Nickel.diffusivity(heat).map_or(0.0, |d| d.best)),
    ]
}

/// What is left, at a thinning of `now`, of the square of a spread that grew while the layers were thinned
/// from `from` to `to` evenly in the logarithm: the mean of `(now / thinned)^2` over the step.
fn squeezed(from: f64, to: f64, now: f64) -> f64 {
    let share = |thinned: f64| (now / thinned.max(1e-12)).clamp(0.0, 1.0).powi(2);
    let (first, last) = (share(from), share(to));
    let steps = (last / first.max(1e-12)).ln();
    if steps.abs() < 1e-6 {
        last
    } else {
        (last - first) / steps
    }
}

/// The moves made; a bar that nothing was done to yet has its outside from a step that does nothing.
fn history(billet: &Billet) -> Vec<Deformation> {
    if !billet.history.is_empty() {
        return billet.history.clone();
    }
    let bar = &billet.bar;
    let size = [bar.width, bar.thickness, bar.length];
    vec![Deformation {
        made: Move::STACK,
        before: size,
        after: size,
        pieces: billet.pieces,
        skin: Skin::default(),
        joined: Vec::new(),
    }]
}

/// The goal's blade.
#[must_use]
pub fn blade_shape(plan: &Plan) -> BladeShape {
    let blade = &plan.goal.blade;
    BladeShape {
        length: blade.length,
        width: blade.width,
        spine: blade.spine,
        spine_tip: blade.spine_tip,
        edge: blade.edge,
        bevel: blade.bevel,
        tang: plan.goal.tang.map(|tang| [tang.length, tang.width]),
        ground: plan.shop.allowances.grind,
        off: Mm::ZERO,
    }
}

#[cfg(test)]
mod tests {
    use super::squeezed;

    // By hand: a spread that grows while the layers go to a third of their thickness is left with
    // (1 - 1/9)/(2 ln 3) = 0.4046 of its square; one before it with a ninth, one after it whole.
    #[test]
    fn a_spread_is_thinned_with_its_layers() {
        assert!((squeezed(1.0, 1.0 / 3.0, 1.0 / 3.0) - 0.404_551).abs() < 1e-6);
        assert!((squeezed(1.0, 1.0, 1.0 / 3.0) - 1.0 / 9.0).abs() < 1e-12);
        assert!((squeezed(0.2, 0.2, 0.2) - 1.0).abs() < 1e-12);
        // Metal cut thinner on the outside only is not spread wider than it was.
        assert!(squeezed(0.1, 0.2, 0.3) <= 1.0);
    }
}
