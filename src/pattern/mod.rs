//! What a cut, a face or a blade would show, by inverse maps. No terminal types.

pub(crate) mod base64;
mod blade;
mod build;
mod cells;
mod chain;
mod dual;
mod first_stack;
mod foresight;
mod graphics;
mod hand;
mod inspect;
mod lines;
mod map;
mod mesh;
mod noise;
mod picture;
mod range;
mod render;
mod scene;
mod sheet;
mod tone;
mod view;

pub use blade::{BladeShape, Forging};
pub use build::Hand;
pub use cells::{Cell, Paint, Shades, cells, pixels_for};
pub use chain::Chain;
pub use foresight::{Coming, bends_lines, figure, foresee, squeezes, straight, straighter};
pub use graphics::{iterm, kitty, kitty_clear, sixel};
pub use inspect::Met;
pub use lines::{Lines, Steepness, Straightened};
pub use picture::{Picture, Pixel};
pub use range::LinesRange;
pub use scene::{Look, MOST_PIXELS, Scene};
pub use sheet::{EncodeError, Panel, Sheet, is_ours};
pub use tone::{Tone, etched_light, seen_softness};
pub use view::View;

#[cfg(test)]
mod checks;
#[cfg(test)]
mod forward;
#[cfg(test)]
mod samples;
