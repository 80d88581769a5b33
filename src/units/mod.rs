//! Numbers that know what they are.
//!
//! Every quantity in the core is one of these types, always in one unit: lengths in millimetres,
//! masses in grams, temperatures in degrees Celsius, times in seconds. Conversion happens only in
//! constructors and accessors. Numeric kernels may use plain `f64` in SI with the unit in the name.
//!
//! To add a quantity: a newtype by the macro `quantity!`, a row in [`bounds`],
//! a reader in [`parse`] and a writer in [`show`].

mod force;
mod length;
mod mass;
mod quantity;
mod ratio;
mod temperature;
mod time;

pub mod bounds;
pub mod near;
pub mod parse;
pub mod show;

pub use bounds::{Fault, NumberError};
pub use force::{Joules, Kilonewtons, MegaPascals};
pub use length::{Mm, Mm2, Mm3};
pub use mass::{Density, Grams};
pub(crate) use quantity::quantity;
pub use ratio::Fraction;
pub use show::Units;
pub use temperature::{Celsius, Kelvin};
pub use time::{Seconds, Stamp};
