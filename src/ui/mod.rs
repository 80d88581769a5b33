//! The screen, pure: model, message, update, draw.
//!
//! Keys, file changes, ticks and signals arrive as [`Msg`]; [`update`] changes the [`Model`] and
//! returns [`Effect`]s for the shell; [`draw`] only reads. What a key press changes is first asked
//! of the shell as [`Effect::Append`], and shown when [`Msg::Appended`] comes back.

mod big_number;
mod choices;
mod clock;
mod draft;
mod effect;
mod entry;
mod fault;
mod headline;
mod keys;
mod list;
mod model;
mod msg;
mod photo;
mod plate;
mod press;
mod rest;
mod row;
mod settings;
mod update;

pub mod digits;
pub mod fit;
pub mod glyphs;
pub mod theme;
pub mod view;

pub use draft::{Draft, Heard, Wanted, file_name};
pub use effect::Effect;
pub use entry::{Echo, echo};
pub use fault::Fault;
pub use headline::{Headline, headline};
pub use keys::{Action, Binding, ModeKind, action, bindings, hints};
pub use list::List;
pub use model::ahead::Ahead;
pub use model::follow::{Followed, Following};
pub use model::mode::{MenuItem, Mode, Numeral, Page, Purpose, Sheet};
pub use model::picture::{Seen, Viewing};
pub use model::{Banner, Model, Reply, Tone};
pub use msg::{Key, Msg, Press};
pub use photo::{Looking, Moves, PhotoAsk, PhotoFile, PhotoFound, PhotoTold, PhotoWish, Shown};
pub use plate::Plate;
pub use press::Gate;
pub use row::{Group, ListRow};
pub use settings::{Settings, Shades};
pub use update::{said, update};
pub use view::draw;
