//! What a cut, a face or a blade would show, by inverse maps. No terminal types.

mod base64;
mod blade;
mod build;
mod chain;
mod dual;
mod map;
mod noise;
mod picture;
mod render;
mod scene;
mod sheet;
mod strata;
mod tone;
mod view;

pub use blade::{BladeShape, Forging};
pub use build::Hand;
pub use chain::Chain;
pub use picture::{Picture, Pixel};
pub use scene::{Look, MOST_PIXELS, Scene};
pub use sheet::{EncodeError, Panel, Sheet};
pub use tone::{Tone, etched_light};
pub use view::View;

#[cfg(test)]
mod checks;
#[cfg(test)]
mod samples;
