//! One law per file: pure functions of units and metal, with source, range and a worked number.
//!
//! | law | gives | holds |
//! |---|---|---|
//! | [`expansion`] | hot size against cold | 20 to 1200 C; clamped to -60 to 1400 C |
//! | [`mod@flow_stress`] | strength of hot steel | 700 to 1300 C; refused outside |
//! | [`draw_out`], [`draw_plan`] | reduction, spread, passes to a section | bars between flat dies |
//! | [`fish_mouth`] | hollow that a draw leaves in the ends | bars drawn up to 100 times as long |
//! | [`mod@press_force`], [`hammer`] | force and blows | as the flow stress |
//! | [`heats`] | heats expected for a drawing job | 500 to 1350 C |
//! | [`diffusion`] | carbon and nickel through the layers | hot austenite, 727 to 1400 C; nil below |
//! | [`blade_volume`], [`frame_margin`] | volumes, plain metal at the edge | any real size |
//! | [`properties`] | specific heat, conductivity, enthalpy of steel | 20 to 1200 C; carried on to 1400 C |
//! | [`section`] | heating and cooling of a section | sides 0.5 to 500 mm, 20 to 1400 C; else an error |
//! | [`conduction`] | plate and round bar through a film, series | constant properties |
//! | [`scale`] | scale and metal lost | 700 to 1250 C; carried on from 570 to 1400 C; range wider for Cr and Si |
//! | [`decarburisation`] | depth that has lost carbon | austenite |
//! | [`critical`], [`martensite`] | Ac1, Ac3, Acm, Ms, retained austenite | [`low_alloy`]; else an error |
//! | [`melting`] | solidus, burning | burning for 0.1 to 1.5 % C, held at the ends |
//! | [`hardness`], [`tempering`] | hardness as quenched and tempered | 0.1 to 1.5 % C; rows to 316 or 370 C |
//! | [`hardenability`], [`quench`] | ideal diameter, plate that hardens | ASTM A255; H 0.01 to 20 per inch |
//! | [`hardening`] | common hardening window of a billet | 0.3 % C and more |
//! | [`colours`] | names for heat | bands, never finer than 50 K |
//!
//! [`reach`] says where laws end: elements they leave out, and where a steel is not austenite.
//!
//! To add a law: a file with a `LAW` card and a doctest, a row above, a line in [`laws`], and rows
//! in `shared/checks/` whose `law` starts with the card's key, run by `tests/it/checks`. A new file of
//! rows is named in [`evidence`] too.

// Every law says what it is; elsewhere a name may be enough.
#![warn(missing_docs)]

pub mod evidence;
mod law;
mod range;
mod spread;

pub mod colours;
pub mod conduction;
pub mod critical;
pub mod decarburisation;
pub mod expansion;
pub mod hardenability;
pub mod hardening;
pub mod hardness;
pub mod low_alloy;
pub mod martensite;
pub mod melting;
pub mod properties;
pub mod quench;
pub mod reach;
pub mod scale;
pub mod section;
pub mod tempering;

pub mod blade_volume;
pub mod diffusion;
pub mod draw_out;
pub mod draw_plan;
pub mod erf;
pub mod fish_mouth;
pub mod flow_stress;
pub mod frame_margin;
pub mod hammer;
pub mod heats;
pub mod press_force;

pub use law::Law;
pub use range::{OutOfRange, Range};
pub use spread::Spread;

pub use blade_volume::{Bevel, Blade, Bolster};
pub use draw_out::{Bar, bites, flat_pass, spread_coefficient};
pub use flow_stress::{Working, flow_stress, shida};
pub use hammer::{Blow, Hammer, Verdict};
pub use press_force::{
    Bite, Pressing, longest_bite, press_force, pressure_factor, stops_at, widest_bar,
};

/// The card of every law.
#[must_use]
pub fn laws() -> Vec<Law> {
    [HEAT_LAWS, FLOW_LAWS].concat()
}

/// Heat, size, scale, transformation and hardness.
const HEAT_LAWS: &[Law] = &[
    expansion::LAW,
    properties::LAW,
    section::LAW,
    conduction::LAW,
    scale::LAW,
    decarburisation::LAW,
    critical::LAW,
    martensite::LAW,
    melting::LAW,
    hardness::LAW,
    tempering::LAW,
    hardenability::LAW,
    quench::LAW,
    hardening::LAW,
    colours::LAW,
];

/// Carbon and nickel on the move, and the metal under the hammer.
const FLOW_LAWS: &[Law] = &[
    flow_stress::LAW,
    draw_out::LAW,
    draw_plan::LAW,
    fish_mouth::LAW,
    press_force::LAW,
    hammer::LAW,
    heats::LAW,
    blade_volume::LAW,
    frame_margin::LAW,
    diffusion::LAW_CARBON,
    diffusion::LAW_TRACER,
    diffusion::LAW_NICKEL,
    diffusion::LAW_ACTIVITY,
    diffusion::LAW_SERIES,
    diffusion::LAW_PROFILE,
];
