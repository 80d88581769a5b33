//! The screen, pure: model, message, update, draw.
//!
//! Keys, file changes, ticks and signals arrive as [`Msg`]; [`update`] changes the [`Model`] and
//! returns [`Effect`]s for the shell; [`draw`] only reads. What a key press changes is first asked
//! of the shell as [`Effect::Append`], and shown when [`Msg::Appended`] comes back.

mod ahead;
mod big_number;
mod choices;
mod clock;
mod draft;
mod effect;
mod entry;
mod fault;
mod follow;
mod growth;
mod headline;
mod keys;
mod mode;
mod model;
mod msg;
mod picture;
mod plate;
mod press;
mod rest;
mod section;
mod settings;
mod shelf;
mod update;

pub mod digits;
pub mod fit;
pub mod glyphs;
pub mod theme;
pub mod view;

pub use ahead::Ahead;
pub use draft::{Draft, Heard, Wanted, file_name};
pub use effect::Effect;
pub use entry::{Echo, echo};
pub use fault::Fault;
pub use follow::{Followed, Following};
pub use headline::{Headline, headline};
pub use keys::{Action, Binding, ModeKind, action, bindings, hints};
pub use mode::{MenuItem, Mode, Numeral, Page, Purpose, Sheet};
pub use model::{Banner, Model, Reply, Tone};
pub use msg::{Key, Msg, Press};
pub use picture::{Seen, Shades, Viewing};
pub use plate::Plate;
pub use press::Gate;
pub use settings::Settings;
pub use shelf::{Group, Shelf, ShelfRow};
pub use update::{said, update};
pub use view::draw;
