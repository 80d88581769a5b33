//! Where to work, from the steels of the job and the shop's fire. A mill's sheet comes first.

use crate::metal::{Steel, Window};
use crate::plan::{HeatWindow, Pattern, Shop};
use crate::units::{Celsius, Mm, Seconds, Units};

use super::wish::Wish;

/// How far under burning the fire stays.
const CLEAR: f64 = 40.0;
/// Hottest and coldest of welding where the steels allow it: 1150 to 1260 C. Common practice, no
/// source.
const WELD: (f64, f64) = (1150.0, 1230.0);
/// Drawing out and forging to shape where the steels say nothing. Common practice, no source.
const DRAW: (f64, f64) = (900.0, 1150.0);
const FORGE: (f64, f64) = (850.0, 1050.0);

/// The windows of a job.
#[derive(Debug, Clone, Copy)]
pub(super) struct Windows {
    pub(super) weld: HeatWindow,
    pub(super) draw: HeatWindow,
    pub(super) forge: HeatWindow,
    pub(super) normalise: HeatWindow,
    pub(super) anneal: HeatWindow,
    pub(super) harden: HeatWindow,
    pub(super) temper: HeatWindow,
}

impl Windows {
    /// Of the steels that a wish can use.
    pub(super) fn of(wish: &Wish) -> Self {
        let steels: Vec<Steel> = wish.steels().into_iter().map(|one| one.steel).collect();
        let ceiling = steels
            .iter()
            .filter_map(|steel| steel.burning)
            .map(|at| at.0 - CLEAR)
            .fold(wish.shop.fire.0, f64::min);
        let common = |of: fn(&Steel) -> Option<Window>| {
            let all = steels.iter().filter_map(of);
            let both = all.reduce(|a, b| Window {
                low: a.low.max(b.low),
                high: a.high.min(b.high),
            });
            both.filter(|both| both.low < both.high)
        };
        let within = |window: Option<Window>, usual: (f64, f64)| {
            let (low, high) = match window {
                Some(own) => (own.low.0.max(usual.0), own.high.0.min(usual.1)),
                None => usual,
            };
            let high = high.min(ceiling);
            span(wish.units, low, high)
        };
        let edge = edge_steel(wish, &steels);
        let hard = common(|steel| steel.austenitise)
            .or_else(|| edge.and_then(|steel| steel.austenitise))
            .map_or((800.0, 815.0), |own| (own.low.0, own.high.0));
        let temper = common(|steel| steel.temper)
            .or_else(|| edge.and_then(|steel| steel.temper))
            .map_or((190.0, 210.0), |own| {
                (own.low.0.max(185.0), own.high.0.min(215.0))
            });
        Self {
            weld: span(wish.units, WELD.0, WELD.1.min(ceiling)),
            draw: within(common(|steel| steel.forging), DRAW),
            forge: within(common(|steel| steel.forging), FORGE),
            normalise: within(common(|steel| steel.normalise), (760.0, 870.0)),
            anneal: span(wish.units, 640.0, 660.0),
            harden: span(wish.units, hard.0, hard.1.min(hard.0 + 20.0)),
            temper: span(wish.units, temper.0, temper.1),
        }
    }
}

/// A window that rises by ten degrees at least, in whole degrees of the plan; in Fahrenheit in fives, and
/// inside the limits.
fn span(units: Units, low: f64, high: f64) -> HeatWindow {
    let low = low.min(high - 10.0);
    match units {
        Units::Mm => HeatWindow {
            low: Celsius(low.round()),
            high: Celsius(high.round()),
        },
        Units::Inch => {
            let fives = |at: f64| Celsius(at).fahrenheit() / 5.0;
            HeatWindow {
                low: Celsius::from_fahrenheit(fives(low).ceil() * 5.0),
                high: Celsius::from_fahrenheit(fives(high).floor() * 5.0),
            }
        }
    }
}

/// The steel that makes the edge: the core of three layers, else the one with the most carbon.
fn edge_steel<'s>(wish: &Wish, steels: &'s [Steel]) -> Option<&'s Steel> {
    let _ = wish.goal.pattern == Pattern::ThreeLayer;
    steels
        .iter()
        .max_by(|a, b| a.nominal.c.total_cmp(&b.nominal.c))
}

/// Time to hold a pile at weld heat: 5 to 10 min for 50 mm. Common practice, no source.
pub(super) fn weld_soak(height: Mm) -> Seconds {
    Seconds::from_minutes((height.0 / 5.0).ceil().clamp(5.0, 15.0))
}

/// The middle of a window.
pub(super) fn middle(window: HeatWindow) -> Celsius {
    Celsius((window.low.0 + window.high.0) / 2.0)
}

/// Name of the machine in a sentence.
pub(super) fn machine_word(shop: &Shop) -> &'static str {
    match shop.machine {
        crate::plan::Machine::Hand => "the hand hammer",
        crate::plan::Machine::Press { .. } => "the press",
        crate::plan::Machine::Hammer { .. } => "the hammer",
    }
}
