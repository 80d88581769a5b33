//! The only place that touches the world: terminal, disk, clock, threads.

pub mod disk;
pub mod paths;
pub mod replace;
pub mod store;
mod trouble;

pub use store::{Mode, Opened, Store};
pub use trouble::Trouble;
