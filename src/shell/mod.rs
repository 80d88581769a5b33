//! The only place that touches the world: terminal, disk, clock, threads.

mod app;
mod asking;
pub mod clock;
pub mod crash;
pub mod disk;
pub mod draft;
mod follow;
mod gauge;
pub mod graphics;
pub(crate) mod guard;
pub mod input;
mod keyboard;
pub mod live;
pub mod lock;
mod out;
pub mod paths;
pub mod photo;
mod plates;
pub mod recent;
pub mod replace;
pub mod run;
pub mod shop;
pub mod signals;
pub mod store;
pub mod terminal;
mod trouble;
pub mod watch;

pub use clock::{Clock, Now, offset_minutes};
pub use graphics::{Graphics, Protocol, Wish};
pub use paths::JobPaths;
pub use recent::Recent;
pub use run::{App, Ending, Job, Seat, Shell};
pub use store::{Mode, Opened, Store, read_entries, read_journal};
pub use trouble::Trouble;
pub(crate) use trouble::reading;
pub use watch::read as read_plan;
