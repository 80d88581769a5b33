//! The real program in a terminal of its own: what it hands back, what it survives, what it never loses.
#![cfg(target_os = "linux")]
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test stops at the first thing that is not as it should be, and keeps real time"
)]

mod answers;
mod campaign;
#[path = "../common/mod.rs"]
mod common;
mod draft;
mod follow;
mod gauges;
mod leaving;
mod list;
mod live;
mod losing;
mod photos;
mod screen;
mod sharp;
mod shelf;
mod terminal;
mod whole;
