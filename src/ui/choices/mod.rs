//! What can be done now: read by the keys that do it and by the screen that offers it.

mod card;
mod doubt;
mod learnt;
mod menu;
mod next;

pub(super) use card::{asks_no_number, asks_number, chooses, item};
pub(super) use doubt::{asks, ways};
pub(super) use learnt::{NUMBERED, learnt, topic_lines};
pub(super) use menu::{items, reasons};
pub(super) use next::{clock_runs, cycles, looks_over, next_words, watch_due};
