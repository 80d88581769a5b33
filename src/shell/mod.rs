//! The only place that touches the world: terminal, disk, clock, threads.

pub mod clock;
pub mod crash;
pub mod disk;
pub mod input;
pub mod paths;
pub mod recent;
pub mod replace;
pub mod run;
pub mod signals;
pub mod store;
pub mod terminal;
mod trouble;
pub mod watch;

pub use store::{Mode, Opened, Store};
pub use trouble::Trouble;
