//! The numbers of fire and metal, worked from the log: soak, seconds left, scale, minutes at heat,
//! what the press moves, burning and hardening.
//!
//! The laws are the physics floor's; here they are given what the journal knows. It may take tens of
//! milliseconds on a long job, so the screen asks for it beside the drawing and marks the old values
//! while it waits.

mod carbon;
mod harden;
mod heat;
mod press;

pub use carbon::{CarbonLog, CarbonMove, CarbonNow, CarbonOf};
pub use harden::{HardenView, harden};
pub use heat::{FireNumbers, HeatSpan, ScaleSoFar};
pub use press::PressWord;

use super::Session;
use crate::billet::SteelId;
use crate::metal::{Composition, Steel};
use crate::plan::{HeatWindow, Machine};
use crate::units::{Celsius, Fraction, Mm, Seconds, Stamp};

/// What the numbers are worked from, taken out of the session.
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs {
    /// Number of the newest entry: which state of the job this is.
    pub seq: u64,
    /// Every trip to the fire.
    pub heats: Vec<HeatSpan>,
    /// Where the current step's heats begin in the list.
    pub step_heats: usize,
    /// Cold width and thickness of the piece as it goes into the fire now.
    pub section: (Mm, Mm),
    /// The window of the step in hand, when it is worked hot.
    pub window: Option<HeatWindow>,
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
    /// The piece goes into the fire cold.
    pub from_cold: bool,
    /// What carbon is followed through.
    pub carbon: CarbonLog,
    /// Mean band now.
    pub mean_band: Mm,
    /// The step hardens or tempers: at what, and how long.
    pub temper: Option<(Celsius, Seconds)>,
}

/// The numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Reckoned {
    /// The state of the job that they belong to.
    pub seq: u64,
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
    /// The steel that burns first, and where: below the fire's own heat.
    pub burns: Option<(String, Celsius)>,
}

/// Works the numbers.
#[must_use]
pub fn reckon(inputs: &Inputs) -> Reckoned {
    let carbon = carbon::now(&inputs.carbon, inputs.mean_band);
    Reckoned {
        seq: inputs.seq,
        harden: harden(&held(inputs, carbon.as_ref()), inputs.temper),
        carbon,
        fire: heat::fire(inputs),
        scale: heat::scale(inputs),
        press: press::word(inputs),
        burns: burns(inputs),
    }
}

/// Each steel with the carbon that it holds now.
fn held(inputs: &Inputs, now: Option<&CarbonNow>) -> Vec<(Steel, f64)> {
    let by_steel = now.map_or(&[][..], |now| &now.by_steel);
    inputs
        .steels
        .iter()
        .map(|(steel, _)| {
            let place = inputs
                .carbon
                .steels
                .iter()
                .position(|metal| *metal == steel.nominal);
            let found = by_steel.iter().find(|one| Some(one.steel) == place);
            (
                steel.clone(),
                found.map_or(steel.nominal.c, |one| one.mean.best),
            )
        })
        .collect()
}

/// The steel with the lowest limit, where the step's window goes above it.
fn burns(inputs: &Inputs) -> Option<(String, Celsius)> {
    let top = inputs.window.map_or(inputs.fire, |w| w.high);
    inputs
        .steels
        .iter()
        .map(|(steel, _)| {
            (
                steel.grade.clone(),
                crate::physics::melting::limit(&steel.nominal),
            )
        })
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0))
        .filter(|(_, limit)| top > *limit)
}

impl Session {
    /// What the numbers are worked from now.
    #[must_use]
    pub fn inputs(&self, now: Stamp) -> Inputs {
        let step = self.current();
        let hot = step.filter(|step| step.kind().is_hot());
        let id = step.map(|step| &step.id);
        let step_heats = self
            .heats
            .iter()
            .position(|heat| Some(&heat.step) == id)
            .unwrap_or(self.heats.len());
        Inputs {
            seq: self.seq,
            heats: self
                .heats
                .iter()
                .map(|heat| HeatSpan::of(heat, now))
                .collect(),
            step_heats,
            section: self.section_in_hand(),
            window: hot.and_then(|step| step.window),
            fire: self.plan.shop.fire,
            fire_scale: self.plan.shop.fire_scale,
            mean: self.mean_analysis(),
            steels: self.steels_in_piece(),
            machine: self.plan.shop.machine,
            die: self.plan.shop.die,
            carbon: self.carbon_log(now),
            mean_band: self.billet.mean_band(),
            temper: step
                .filter(|step| step.kind() == crate::billet::Kind::Temper)
                .and_then(|step| Some((step.window?.high, step.soak?))),
            from_cold: self.step.heats == 0 && self.fire.0 != crate::journal::Fire::Out,
        }
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
        let between = |a: Mm, b: Mm| {
            if a.is_positive() && b.is_positive() {
                Mm(a.0 * (b.0 / a.0).powf(share))
            } else {
                a
            }
        };
        let reading = &self.step.reading;
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
        let mut mean = Composition::default();
        for (steel, share) in self.steels_in_piece() {
            let of = steel.nominal;
            mean.c += of.c * share;
            mean.mn += of.mn * share;
            mean.si += of.si * share;
            mean.cr += of.cr * share;
            mean.ni += of.ni * share;
            mean.mo += of.mo * share;
            mean.v += of.v * share;
            mean.w += of.w * share;
            mean.cu += of.cu * share;
            mean.p += of.p * share;
            mean.s += of.s * share;
        }
        mean
    }
}
