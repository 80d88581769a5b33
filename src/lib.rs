//! `anvilside` steps a bladesmith through a pattern-welding plan at the anvil.
//!
//! The house has floors; a file imports only from its own folder or lower floors:
//! `units < metal < count < physics < billet < pattern < plan < journal < session < planner < ui < shell < cli`.
//! Below `shell` nothing reads a clock, a disk, a thread or a terminal. `state = fold(plan, journal)`:
//! every acknowledged key press is on disk before the screen moves.

pub mod billet;
pub mod cli;
pub mod count;
pub mod journal;
pub mod metal;
pub mod pattern;
pub mod physics;
pub mod plan;
pub mod planner;
pub mod session;
pub mod shell;
pub mod ui;
pub mod units;
