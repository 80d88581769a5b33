//! One law per file: pure functions of units and metal.

mod range;
mod spread;

pub use range::{OutOfRange, Range};
pub use spread::Spread;
