//! The numbers of fire and metal, worked from the log: soak, seconds left, scale, minutes at heat,
//! what the press moves, burning and hardening.
//!
//! The laws are the physics floor's; here they are given what the journal knows. It may take tens of
//! milliseconds on a long job, so the screen asks for it beside the drawing and marks the old values
//! while it waits.

mod carbon;
mod cooling;
mod course;
mod fire;
mod follow;
mod harden;
mod held;
mod press;
mod scale;
mod span;
mod story;

pub use carbon::{CarbonLog, CarbonMove, CarbonNow, CarbonOf, EdgeCarbon};
pub use cooling::Cooling;
pub use fire::FireNumbers;
pub use follow::Cache;
pub use harden::{HardenView, harden};
pub use press::PressWord;
pub(crate) use scale::HOT;
pub use scale::ScaleSoFar;
pub use span::HeatSpan;

use std::collections::BTreeMap;
use std::sync::Arc;

use course::Courses;

use super::{Done, Heating, Session};
use crate::billet::{Kind, Move, SteelId, Struck};
use crate::journal::Fire;
use crate::metal::{Composition, Steel};
use crate::physics::Spread;
use crate::physics::melting::limit_of;
use crate::plan::{HeatWindow, Machine, Step};
use crate::units::{Celsius, Fraction, Mm, Seconds, Stamp};

/// What the numbers are worked from, taken out of the session.
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs {
    /// Number of the newest entry: which state of the job this is.
    pub seq: u64,
    /// The trips to the fire that are followed.
    pub heats: Vec<HeatSpan>,
    /// How many older ones are not.
    pub not_followed: usize,
    /// Where the current step's heats begin in the list.
    pub step_heats: usize,
    /// Cold width and thickness of the piece as it goes into the fire now.
    pub section: (Mm, Mm),
    /// The step is worked hot.
    pub is_hot: bool,
    /// Press or hammer strikes in it.
    pub struck: bool,
    /// The window of the step in hand, when it is worked hot.
    pub window: Option<HeatWindow>,
    /// How the piece is heated in this step.
    pub heating: Heating,
    /// Soak that the step asks for once the piece is hot through.
    pub hold: Seconds,
    /// Where the piece is.
    pub piece: Fire,
    /// Hottest that the fire gets.
    pub fire: Celsius,
    /// Part of the scale that grows in still air.
    pub fire_scale: Fraction,
    /// Mean analysis of the piece.
    pub mean: Composition,
    /// Steels in the piece with their share of its volume.
    pub steels: Vec<(Steel, f64)>,
    /// What moves the steel.
    pub machine: Machine,
    /// Die width along the bar.
    pub die: Mm,
    /// The piece lies cold: the next trip to the fire begins there.
    pub from_cold: bool,
    /// What carbon is followed through.
    pub carbon: CarbonLog,
    /// Mean band now.
    pub mean_band: Mm,
    /// Where the plan hardens next, or hardened last.
    pub hardening: Option<HeatWindow>,
    /// The hottest that the blade was in the last hardening done, where that is under its window.
    pub unhardened: Option<Celsius>,
    /// The step tempers: at what, and how long with all cycles together.
    pub temper: Option<(HeatWindow, Seconds)>,
}

/// The numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct FireAndMetal {
    /// The state of the job that they belong to.
    pub seq: u64,
    /// How many trips to the fire lie too far back to be in them.
    pub not_followed: usize,
    /// Times in and out of the fire.
    pub fire: Option<FireNumbers>,
    /// Scale so far.
    pub scale: ScaleSoFar,
    /// What the machine moves.
    pub press: Option<PressWord>,
    /// Carbon and nickel now.
    pub carbon: Option<CarbonNow>,
    /// Hardening and tempering of this billet with the carbon it holds now.
    pub harden: Option<HardenView>,
    /// The steel that burns first, where the fire goes above its limit.
    pub burns: Option<Burns>,
    /// The last hardening was ended with a blade that never came to its heat: the hottest that it was.
    pub unhardened: Option<Celsius>,
}

/// A steel that this heat may burn.
#[derive(Debug, Clone, PartialEq)]
pub struct Burns {
    /// Its grade.
    pub steel: String,
    /// Never above this, with the carbon that it holds now.
    pub limit: Celsius,
    /// True when the step's own window goes above it; false when only the fire does.
    pub in_window: bool,
}

/// Works the numbers.
#[must_use]
pub fn reckon(inputs: &Inputs, cache: &Cache) -> FireAndMetal {
    let carbon = held::now(&inputs.carbon, inputs.mean_band, cache);
    let held = held(inputs, carbon.as_ref());
    let fire = fire::fire(inputs, &cache.courses);
    FireAndMetal {
        seq: inputs.seq,
        not_followed: inputs.not_followed,
        harden: harden(&held, inputs.temper, inputs.hardening),
        burns: burns(inputs, &held),
        carbon,
        scale: scale::scale(inputs, fire.as_ref(), &cache.courses),
        unhardened: inputs.unhardened,
        fire,
        press: press::word(inputs),
    }
}

impl Inputs {
    /// The heat that is running: the piece is in the fire, or out of it and still hot.
    fn running(&self) -> Option<&HeatSpan> {
        let last = self.heats.get(self.step_heats..)?.last()?;
        (self.piece != Fire::Cold).then_some(last)
    }
}

/// Each steel with the carbon that it holds now: where the edge will be, for a steel that is there.
fn held(inputs: &Inputs, now: Option<&CarbonNow>) -> Vec<(Steel, f64)> {
    let by_steel = now.map_or(&[][..], |now| &now.by_steel);
    let edge = now.and_then(|now| now.edge.as_ref());
    let at_edge = edge.map_or(&[][..], |edge| &edge.by_steel);
    inputs
        .steels
        .iter()
        .map(|(steel, _)| {
            let place = inputs
                .carbon
                .steels
                .iter()
                .position(|metal| *metal == steel.nominal);
            let own = |one: &&CarbonOf| Some(one.steel) == place;
            let found = at_edge.iter().find(own).or(by_steel.iter().find(own));
            (
                steel.clone(),
                found.map_or(steel.nominal.c, |one| one.mean.best),
            )
        })
        .collect()
}

/// The steel with the lowest limit, where fire or window goes above it.
fn burns(inputs: &Inputs, held: &[(Steel, f64)]) -> Option<Burns> {
    if !inputs.is_hot {
        return None;
    }
    let top = inputs.window.map_or(inputs.heating.top, |w| w.high);
    let limits = held
        .iter()
        .map(|(steel, carbon)| (steel, limit_of(steel, *carbon)));
    let (steel, limit) = limits.min_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
    (inputs.heating.fire().max(top) > limit).then(|| Burns {
        steel: steel.grade.clone(),
        limit,
        in_window: top > limit,
    })
}

/// Temper cycles of a step.
fn cycles(made: &Move) -> f64 {
    match made {
        Move::Temper { cycles } => f64::from((*cycles).max(1)),
        _ => 1.0,
    }
}

/// One trip to the fire as the laws have it.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatRun {
    /// Place of its step in the plan.
    pub place: usize,
    /// Mean temperature of the piece, in seconds from going in.
    pub course: Vec<(Seconds, Celsius)>,
    /// Time above 1100 C, s.
    pub above: Spread,
}

impl Session {
    /// Every trip to the fire, of each of like pieces, in the order of the log.
    #[must_use]
    pub fn heat_runs(&self, now: Stamp, cache: &Cache) -> Vec<HeatRun> {
        let courses = &cache.courses;
        let log = || self.heats.iter().skip(self.not_followed());
        let pieces = log().map(|heat| heat.piece).max().unwrap_or(0).max(1);
        let mut runs = BTreeMap::new();
        for piece in 1..=pieces {
            for (place, spans) in self.spans_of(piece, now, courses).iter().enumerate() {
                runs.extend(spans.iter().map(|span| (span.log, (place, *span))));
            }
        }
        let found = log().filter_map(|heat| runs.get(&(heat.into, heat.piece)));
        let runs = found.map(|(place, span)| HeatRun {
            place: *place,
            course: scale::temperatures(span, courses),
            above: scale::above(span, courses),
        });
        runs.collect()
    }

    /// What the numbers are worked from now.
    #[must_use]
    pub fn inputs(&self, now: Stamp, cache: &Cache) -> Inputs {
        let step = self.current();
        let is_hot = step.is_some_and(|step| step.kind().is_hot());
        let spans = self.spans(now, &cache.courses);
        let carbon = self.carbon_log(&spans);
        let of_step = spans.last().map_or(0, Vec::len);
        let unhardened = self.unhardened(&spans, &cache.courses);
        let heats = spans.concat();
        let piece = self.piece(now);
        let from_cold = match piece {
            Fire::In | Fire::Cold => true,
            Fire::Out => false,
        };
        Inputs {
            seq: self.seq,
            step_heats: heats.len() - of_step,
            heats,
            not_followed: self.not_followed(),
            section: self.section_in_hand(),
            is_hot,
            struck: step.is_some_and(|step| step.kind().row().struck != Struck::Not),
            window: self.window().filter(|_| is_hot),
            heating: self.heating(),
            hold: self.soak().unwrap_or(Seconds::ZERO),
            piece,
            fire: self.plan.shop.fire,
            fire_scale: self.plan.shop.fire_scale,
            mean: self.mean_analysis(),
            steels: self.steels_in_piece(),
            machine: self.plan.shop.machine,
            die: self.plan.shop.die,
            carbon,
            mean_band: self.billet.mean_band(),
            temper: step
                .filter(|step| step.kind() == Kind::Temper)
                .and_then(|step| Some((self.window()?, self.soak()? * cycles(&step.made)))),
            from_cold,
            hardening: self.hardening(),
            unhardened,
        }
    }

    /// The hottest that the blade was in the last hardening done, where that is under its window.
    fn unhardened(&self, spans: &[Vec<HeatSpan>], courses: &Courses) -> Option<Celsius> {
        let hardens = |done: &Arc<Done>| done.step.kind() == Kind::Harden;
        let at = self.done.iter().rposition(hardens)?;
        let window = self.plan.window(&self.done.get(at)?.step)?;
        fire::never_hot(fire::hottest(spans.get(at)?, courses), window.low)
    }

    /// The window of the plan's next hardening, or of the last one done.
    fn hardening(&self) -> Option<HeatWindow> {
        let steps = &self.plan.steps;
        let hardens = |step: &&Step| step.kind() == Kind::Harden;
        let next = steps.iter().skip(self.at).find(hardens);
        let step = next.or(steps.iter().rev().find(hardens))?;
        self.plan.window(step)
    }

    /// The section on its way from the size before the step to the size after it, by the heats done.
    fn section_in_hand(&self) -> (Mm, Mm) {
        let before = &self.billet.bar;
        let Some((step, after)) = self.current().zip(self.expected()) else {
            return (before.width, before.thickness);
        };
        let share = if step.heats == 0 {
            0.0
        } else {
            (f64::from(self.step.heats) / f64::from(step.heats)).min(1.0)
        };
        let between = |a: Mm, b: Mm| span::between(a, b, share);
        let reading = self.reading();
        (
            reading
                .width
                .unwrap_or(between(before.width, after.bar.width)),
            reading
                .thickness
                .unwrap_or(between(before.thickness, after.bar.thickness)),
        )
    }

    /// Steels of the piece in hand with their share of its volume.
    #[must_use]
    pub fn steels_in_piece(&self) -> Vec<(Steel, f64)> {
        let whole = self.billet.bar.volume().0;
        let each = self.plan.steels.iter().enumerate().map(|(at, steel)| {
            let part = self.billet.volume_of(SteelId::from_index(at)).0;
            (
                steel.steel.clone(),
                if whole > 0.0 { part / whole } else { 0.0 },
            )
        });
        each.filter(|(_, share)| *share > 1e-9).collect()
    }

    /// Mean analysis of the piece in hand.
    #[must_use]
    pub fn mean_analysis(&self) -> Composition {
        let steels = self.steels_in_piece().into_iter();
        Composition::mix(steels.map(|(steel, share)| (steel.nominal, share)))
    }
}
