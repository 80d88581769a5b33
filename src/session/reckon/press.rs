//! What the shop's machine moves of the piece in hand.

use super::Inputs;
use crate::physics::press_force::{Bite, Pressing, longest_bite, press_force, widest_bar};
use crate::physics::{Hammer, Spread};
use crate::plan::Machine;
use crate::units::{Celsius, Fraction, Kilonewtons};

/// What the machine can do.
#[derive(Debug, Clone, PartialEq)]
pub enum PressWord {
    /// A press: the widest bar that it moves, and what this bite asks for.
    Press {
        /// Widest bar of this thickness that moves, mm.
        widest: Spread,
        /// Force that a full bite asks for, kN.
        asks: Spread,
        /// Rated force.
        has: Kilonewtons,
        /// Longest bite that it moves, mm, where the full one is too much.
        bite: Option<Spread>,
        /// At this temperature.
        at: Celsius,
    },
    /// A power hammer: thickness that one blow takes off.
    Hammer {
        /// Off the thickness in one blow, mm.
        off: Spread,
        /// What that means, in words.
        verdict: &'static str,
        /// At this temperature.
        at: Celsius,
    },
}

/// The word on the machine, at the middle of the step's window.
pub(super) fn word(inputs: &Inputs) -> Option<PressWord> {
    let window = inputs.window.filter(|_| inputs.struck)?;
    let at = (window.low + inputs.heating.top) / 2.0;
    let (width, height) = inputs.section;
    let working = |rate: f64, strain: f64| Pressing {
        metal: inputs.mean,
        temperature: at,
        strain,
        rate,
    };
    let bite = Bite {
        bite: inputs.die,
        width,
        height,
    };
    match inputs.machine {
        Machine::Hand => None,
        Machine::Press { force } => {
            let how = working(1.0, 0.2);
            let asks = press_force(bite, &how).ok()?;
            let shorter = (asks.best > force.0)
                .then(|| longest_bite(force, width, height, &how).ok())
                .flatten();
            Some(PressWord::Press {
                widest: widest_bar(force, inputs.die, height, &how).ok()?,
                asks,
                has: force,
                bite: shorter,
                at,
            })
        }
        Machine::Hammer { ram } => {
            // Speed and efficiency of small power hammers are common practice, no source.
            let hammer = Hammer {
                ram,
                speed: 4.0,
                efficiency: Fraction(0.7),
            };
            let blow = hammer.blow(bite, &inputs.mean, at).ok()?;
            Some(PressWord::Hammer {
                off: blow.off,
                verdict: blow.verdict.words(),
                at,
            })
        }
    }
}
