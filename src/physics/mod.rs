//! One law per file: pure functions of units and metal.

pub mod draw_out;
pub mod flow_stress;
pub mod press_force;
mod range;
pub mod spittel;
mod spread;
pub mod strain;

pub use draw_out::{Bar, bites, flat_pass, spread_coefficient, square_up};
pub use flow_stress::{Working, flow_stress, shida};
pub use press_force::{
    Bite, Pressing, longest_bite, press_force, pressure_factor, stops_at, widest_bar,
};
pub use range::{OutOfRange, Range};
pub use spittel::spittel_c45;
pub use spread::Spread;
pub use strain::{reduction, reductions, true_strain};
