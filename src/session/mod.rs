//! Where the job stands: `state = fold(plan, journal)`.
//!
//! Nothing else is saved. A [`Session`] takes entries one by one and is, at every moment, the same
//! as if it had been folded from the first entry; undo is an entry that makes an earlier one not
//! count, and so folds again.

mod asked;
mod aspect;
mod bars;
mod brief;
mod card;
mod card_view;
mod ending;
mod export;
mod fire;
mod fold;
mod grown;
mod habit;
mod heating;
mod label;
mod left;
mod like;
mod live;
mod make;
mod mark;
mod marks;
mod matching;
mod merge;
mod owed;
mod pieces;
mod readings;
mod reckon;
mod record;
mod recount;
mod restacks;
mod sizes;
mod state;
mod timers;
mod undo;

pub use asked::Asked;
pub use aspect::{Aspect, Subject, When, blade_shape};
pub use bars::BarLine;
pub use brief::{Brief, Standing};
pub use card::{Refused, Worn};
pub use card_view::{CardView, ItemState, ItemView};
pub use export::RecordData;
pub(crate) use export::{HeatData, NoteData, ReadingData, StepData};
pub use fold::FoldError;
pub use grown::Grown;
pub use heating::Heating;
pub use label::{Label, Unfinished};
pub use left::ShelfSide;
pub use like::Alike;
pub use make::{Made, make, make_move};
pub use matching::Matching;
pub use merge::{begun_otherwise, rewritten, to_come};
pub use owed::Owed;
pub use pieces::Lying;
pub use readings::ReadingTaken;
pub(crate) use reckon::HOT;
pub use reckon::{
    Burns, Cache, CarbonLog, CarbonMove, CarbonNow, CarbonOf, Cooling, EdgeCarbon, FireAndMetal,
    FireNumbers, HardenView, HeatRun, HeatSpan, Inputs, PressWord, ScaleSoFar, harden, reckon,
};
pub(crate) use record::{losses as losses_words, size as size_words, when};
pub use recount::{Recount, RestackDone, Sure};
pub use sizes::{Size, SizeRead};
pub use state::{Done, Habit, HeatLog, Note, Session, StepState, Worked};
pub use timers::{Countdown, CountdownKind};
