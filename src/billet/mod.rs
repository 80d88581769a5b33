//! The bar on the anvil: layers, section, what can be done to it, and what was lost.
//!
//! Everything is carried **cold**. Metal in = metal out + named losses, always.

mod allowances;
mod apply;
mod bands;
mod bar;
mod body;
mod counted;
mod fit;
mod kinds;
mod ledger;
mod made;
mod moves;
mod reading;
mod section;
mod skin;
mod stage;
mod state;

pub mod advice;
pub mod layers;

pub use allowances::Allowances;
pub use apply::{Outcome, apply, readable, whole_pieces};
pub use bands::{Counts, Line};
pub use bar::{Bar, Cap, Core, Figure, FrameBar, Member, Piece, Side, Stand};
pub use body::{FORGED_EDGE, Shape};
pub use counted::deviation;
pub use fit::Fit;
pub use kinds::{Deforms, Fire, Kind, KindRow, Loses, Matters, Move, Per, Struck};
pub use layers::{Band, Layers, SteelId};
pub use ledger::{Ledger, Loss, LossEntry};
pub use moves::{Among, Arrange, Faces, Groove, Hand, Lay, Part, Sizes, Tiling};
pub use reading::{Dimension, Reading, middle};
pub use skin::Skin;
pub use stage::Stage;
pub use state::{
    Billet, BladeState, Deformation, ForgedPart, Offcut, Refusal, StackPiece, Stock, Warning,
};
