//! How hot the piece of the step in hand is taken, and how far down it is worked.

use super::Session;
use crate::billet::{Kind, Move};
use crate::journal::Fire;
use crate::plan::HeatWindow;
use crate::units::Celsius;

/// What a fire stands above the piece that it brings to heat, so that the heat is reached at all.
const ABOVE: Celsius = Celsius(15.0);
/// Worked down to here where no steel says otherwise: common practice, no source.
const FLOOR: Celsius = Celsius(850.0);
/// An anneal whose window the plan leaves open: under A1, common practice, no source.
const ANNEAL: HeatWindow = HeatWindow {
    low: Celsius(640.0),
    high: Celsius(680.0),
};

/// One trip to the fire as it is meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heating {
    /// Work stops here.
    pub floor: Celsius,
    /// The piece is taken to here.
    pub top: Celsius,
    /// The fire stands at this in the laws.
    pub furnace: Celsius,
}

impl Heating {
    /// What the fire is set to: the heat of the step, or as hot as the shop's fire gets. The laws have it a
    /// little above, so that the heat is reached at all.
    #[must_use]
    pub fn fire(&self) -> Celsius {
        self.furnace - ABOVE
    }
}

impl Session {
    /// The heat of a normalising that is in hand or comes next: its number from 1, how many there are, and
    /// its temperature. From the top of the window down to its lower end, in even steps: common practice,
    /// no source.
    #[must_use]
    pub fn normalising(&self) -> Option<(u32, u32, Celsius)> {
        let step = self.current()?;
        let Move::Normalise { cycles, .. } = step.made else {
            return None;
        };
        let window = self.window()?;
        // A piece that cools was counted on its way out.
        let before = self.step.heats - u32::from(self.fire.0 == Fire::Out).min(self.step.heats);
        let at = before.min(cycles.saturating_sub(1));
        let last = f64::from(cycles.saturating_sub(1).max(1));
        let span = window.high - window.low;
        let heat = window.high - span * (f64::from(at) / last);
        Some((at + 1, cycles, heat))
    }

    /// The window of the step in hand: the plan's own, or what the steels of the job have in common
    /// for work of that kind.
    #[must_use]
    pub fn window(&self) -> Option<HeatWindow> {
        self.current().and_then(|step| self.plan.window(step))
    }

    /// How the piece in hand is heated. Forging and welding have the fire as hot as the shop lets it
    /// get; heat treatment has it at the heat of the step.
    #[must_use]
    pub fn heating(&self) -> Heating {
        let kind = self.current().map(crate::plan::Step::kind);
        let fire = self.plan.shop.fire;
        let treated = matches!(
            kind,
            Some(Kind::Normalise | Kind::Anneal | Kind::Harden | Kind::Temper)
        );
        let window = self.window().unwrap_or(match kind {
            Some(Kind::Anneal) => ANNEAL,
            _ => HeatWindow {
                low: FLOOR,
                high: fire,
            },
        });
        let top = if treated {
            self.normalising().map_or(window.high, |(_, _, at)| at)
        } else {
            window.high.min(fire)
        };
        Heating {
            floor: window.low,
            top,
            furnace: ABOVE + if treated { top } else { fire },
        }
    }
}
