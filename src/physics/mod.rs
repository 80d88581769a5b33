//! One law per file: pure functions of units and metal, with source, range and a worked number.
//!
//! | law | gives | holds |
//! |---|---|---|
//! | [`expansion`] | hot size against cold | 20 to 1200 C; clamped to -60 to 1400 C |
//!
//! To add a law: a file with a `LAW` card and a doctest, a row above, a line in [`laws`], and rows
//! in `shared/checks/` whose `law` starts with the card's key, run by `tests/checks`.

mod law;
mod range;
mod spread;

pub mod expansion;

pub mod draw_out;
pub mod flow_stress;
pub mod press_force;
pub mod spittel;
pub mod strain;

pub use law::Law;
pub use range::{OutOfRange, Range};
pub use spread::Spread;

pub use draw_out::{Bar, bites, flat_pass, spread_coefficient, square_up};
pub use flow_stress::{Working, flow_stress, shida};
pub use press_force::{
    Bite, Pressing, longest_bite, press_force, pressure_factor, stops_at, widest_bar,
};
pub use spittel::spittel_c45;
pub use strain::{reduction, reductions, true_strain};

/// The card of every law.
#[must_use]
pub fn laws() -> Vec<Law> {
    [HEAT_LAWS, FLOW_LAWS].concat()
}

/// Heat, size, scale, transformation and hardness.
const HEAT_LAWS: &[Law] = &[expansion::LAW];

/// Carbon and nickel on the move, and the metal under the hammer.
const FLOW_LAWS: &[Law] = &[];
