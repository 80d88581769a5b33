//! The kinds of work: one row a kind. Everything that is true of a kind and is not geometry stands
//! here, and what another floor needs to know of it is asked of its row.
//!
//! Long because it is one table: a row a kind, all of them side by side.

use serde::{Deserialize, Serialize};

use super::bar::{FrameBar, Piece};
use super::moves::{Among, Arrange, Faces, Groove, Hand, Lay, Part, Sizes, Tiling};
use super::reading::Dimension;
use super::stage::Stage;
use crate::units::{Fraction, Mm};

use Stage::{Bar, Etched, Finished, Forged, Ground, Hard, Loose, Pieces, Pile, Tempered};

/// What is true of a kind of step.
#[derive(Debug)]
pub struct KindRow {
    /// The word for it in a plan file: `kind = "..."`.
    pub word: &'static str,
    /// What the smith is told to do, in capitals on the screen: `DRAW OUT`.
    pub title: &'static str,
    /// What it is, on the page of the plan format.
    pub words: &'static str,
    /// The fire it is done in.
    pub fire: Fire,
    /// Trips to the fire where the plan names none (a normalising heat is one a cycle): a billet of 1
    /// to 1.5 kg with a press or a power hammer of middling size. Common practice, no source.
    pub heats: u32,
    /// Minutes of one `per` before the shop's own are known. Common practice, no source.
    pub minutes: f64,
    /// What its minutes are counted by.
    pub per: Per,
    /// True when sizes can be read off the bar after it.
    pub measured: bool,
    /// The stages that it can be done at, earliest first.
    pub at: &'static [Stage],
    /// The stage it leads to, where that is another.
    pub to: Option<Stage>,
    /// What metal goes.
    pub loses: Loses,
    /// What it does to the lines of the pattern.
    pub deforms: Deforms,
    /// True when a sheet of pictures shows the bar after it.
    pub pictured: bool,
    /// What press or hammer does in it.
    pub struck: Struck,
    /// True when a blank whose far end is wrapped with plain steel can go through it.
    pub once_wrapped: bool,
    /// True when its sizes are what a smith works to; other steps only hand them on.
    pub sets_size: bool,
    /// The number that matters while it is done.
    pub matters: Matters,
}

/// The fire that work is done in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fire {
    None,
    Welding,
    Forging,
    Normalising,
    Annealing,
    Hardening,
    /// In the oven, not at forging heat.
    Tempering,
}

/// What minutes are counted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
pub enum Per {
    Step,
    Heat,
    Piece,
    Cut,
    Cycle,
}

/// Families of losses: what a forecast makes of a step, and what a weighing after it teaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loses {
    /// No metal.
    Nothing,
    /// No metal, but a weld follows.
    Piles,
    /// Bars are added.
    Adds,
    /// Scale of setting and squaring; the book charges it at the draw.
    Weld,
    /// Scale of drawing out.
    Draw,
    /// Scale of a corner crush.
    Crush,
    /// Scale of forging a part.
    Forge,
    /// Scale of a heat treatment.
    Treat,
    /// Ends.
    Trim,
    /// Faces.
    Grind,
    /// Cuts.
    Kerf,
    /// Grooves and dimples.
    Opening,
    /// What the grinder takes to make a blade of a blank.
    Shaping,
    /// Some scale, which no plan books.
    Untold,
}

/// What a step does to the lines of the pattern.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deforms {
    /// It is no work on the bar's shape.
    Keeps,
    /// Metal goes, lines stay.
    Bares,
    /// An even stretch.
    Stretches,
    /// Deforms run otherwise after it.
    Bends,
}

/// What press or hammer does in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Struck {
    Not,
    /// A light squeeze, or one place of the bar.
    Partly,
    /// Bite by bite along the whole bar, to another section.
    Along,
}

/// The number that matters while a step is done, with what it is called.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Matters {
    Pieces,
    /// The bar's size when done.
    Size(Dimension, &'static str),
    TrimOff,
    FlatGround,
    PieceLength,
    TileThickness,
    /// A size that the plan gives to the step, by its key.
    Given(&'static str, &'static str),
    Turns,
    Bands,
    /// The hottest of the window.
    Heat(&'static str),
    /// The hottest of the next of several heats.
    NextHeat,
    Part,
    Dip,
    FireWatch,
    /// No number: a sign and words.
    Sign(&'static str, &'static str),
}

const WANTED: Matters = Matters::Size(Dimension::Thickness, "THICKNESS wanted");
const NEW_STACK: Matters = Matters::Size(Dimension::Thickness, "HEIGHT of the new stack");
/// Like pieces are each worked alike: several bars are twisted before they are joined.
const WORKED: &[Stage] = &[Bar, Pieces];
const UNHARDENED: &[Stage] = &[Bar, Pieces, Forged, Ground];

macro_rules! kinds {
    ($($kind:ident $({ $($(#[$doc:meta])* $field:ident: $type:ty,)+ })? => { $($row:tt)* })+) => {
        /// The kind of a move, without its numbers. Order is the order of the plan-format page.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Kind { $($kind,)+ }

        /// A step's work on the metal. Amounts that a plan may leave out are already filled in from
        /// [`super::Allowances`] by the plan reader where they are `Mm` or `Fraction`, and left open
        /// in [`Sizes`].
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
        pub enum Move { $($kind $({ $($(#[$doc])* $field: $type,)+ })?,)+ }

        impl Kind {
            /// Every kind, in order.
            pub const ALL: [Self; [$(stringify!($kind)),+].len()] = [$(Self::$kind),+];

            /// What is true of it.
            #[must_use]
            pub const fn row(self) -> &'static KindRow {
                match self { $(Self::$kind => &const { KindRow { $($row)* } },)+ }
            }
        }

        impl Move {
            #[must_use]
            pub const fn kind(&self) -> Kind {
                match self { $(Self::$kind { .. } => Kind::$kind,)+ }
            }
        }
    };
}

kinds! {
Prepare => {
    word: "prepare", title: "Prepare pieces", words: "Cut and clean the pieces of the first stack.",
    fire: Fire::None, heats: 0, minutes: 4.0, per: Per::Piece, measured: false, at: &[Loose], to: None,
    loses: Loses::Nothing, deforms: Deforms::Keeps, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::Pieces,
}
Stack {
    /// Bars of the plan between its plain pieces, from the bottom up.
    among: Vec<Among>,
    /// What stands over is trimmed and ground flush.
    fit: bool,
} => {
    word: "stack", title: "Stack", words: "Pile the clean pieces and tack them.",
    fire: Fire::None, heats: 0, minutes: 15.0, per: Per::Step, measured: true, at: &[Loose], to: Some(Pile),
    loses: Loses::Piles, deforms: Deforms::Keeps, pictured: true,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::Size(Dimension::Thickness, "HEIGHT of the stack"),
}
Weld {
    /// Sizes after the weld is set.
    to: Sizes,
    /// Share lost to scale.
    scale: Fraction,
} => {
    word: "weld", title: "Weld", words: "Set the weld. Without sizes the outside stays as it was.",
    fire: Fire::Welding, heats: 4, minutes: 10.0, per: Per::Heat, measured: true, at: &[Pile, Bar], to: Some(Bar),
    loses: Loses::Weld, deforms: Deforms::Stretches, pictured: true,
    struck: Struck::Partly, once_wrapped: true, sets_size: false, matters: WANTED,
}
Draw {
    /// Sizes wanted.
    to: Sizes,
    /// Share lost to scale.
    scale: Fraction,
} => {
    word: "draw", title: "Draw out", words: "Draw the bar out. At least one of width, thickness and length.",
    fire: Fire::Forging, heats: 6, minutes: 5.0, per: Per::Heat, measured: true, at: WORKED, to: None,
    loses: Loses::Draw, deforms: Deforms::Stretches, pictured: true,
    struck: Struck::Along, once_wrapped: true, sets_size: true, matters: WANTED,
}
Square {
    /// Sizes wanted.
    to: Sizes,
    /// Share lost to scale.
    scale: Fraction,
} => {
    word: "square", title: "Square up", words: "Bring four sides flat and at right angles. At least one size.",
    fire: Fire::Forging, heats: 2, minutes: 4.0, per: Per::Heat, measured: true, at: WORKED, to: None,
    loses: Loses::Weld, deforms: Deforms::Stretches, pictured: true,
    struck: Struck::Along, once_wrapped: true, sets_size: true, matters: WANTED,
}
Upset {
    /// Sizes wanted.
    to: Sizes,
    /// Share lost to scale.
    scale: Fraction,
} => {
    word: "upset", title: "Upset", words: "Drive the bar shorter and thicker, end on. At least one size.",
    fire: Fire::Forging, heats: 3, minutes: 4.0, per: Per::Heat, measured: true, at: WORKED, to: None,
    loses: Loses::Weld, deforms: Deforms::Stretches, pictured: true,
    struck: Struck::Along, once_wrapped: true, sets_size: true,
    matters: Matters::Size(Dimension::Length, "LENGTH wanted"),
}
QuarterTurn => {
    word: "quarter-turn", title: "Quarter-turn", words: "Lay the bar on its side: width becomes thickness.",
    fire: Fire::None, heats: 0, minutes: 1.0, per: Per::Step, measured: false, at: WORKED, to: None,
    loses: Loses::Nothing, deforms: Deforms::Bends, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false,
    matters: Matters::Sign("1/4", "TURN: mark which face is up"),
}
CornerCrush {
    /// Sizes wanted.
    to: Sizes,
    /// Share lost to scale.
    scale: Fraction,
} => {
    word: "corner-crush", title: "Corner crush",
    words: "Stand a square bar on its corner and crush it to a new square; flat layers bend to a W. At least one size.",
    fire: Fire::Forging, heats: 3, minutes: 5.0, per: Per::Heat, measured: true, at: WORKED, to: None,
    loses: Loses::Crush, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Along, once_wrapped: false, sets_size: true, matters: WANTED,
}
Trim {
    /// Off the end held and off the far end.
    ends: [Mm; 2],
} => {
    word: "trim", title: "Trim ends", words: "Cut bad ends off.",
    fire: Fire::None, heats: 0, minutes: 10.0, per: Per::Step, measured: true, at: WORKED, to: None,
    loses: Loses::Trim, deforms: Deforms::Bares, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::TrimOff,
}
Grind {
    /// Off each face.
    per_face: Mm,
    faces: Faces,
} => {
    word: "grind", title: "Flat grind", words: "Flat grind before a weld.",
    fire: Fire::None, heats: 0, minutes: 15.0, per: Per::Step, measured: true, at: WORKED, to: None,
    loses: Loses::Grind, deforms: Deforms::Bares, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::FlatGround,
}
Cut {
    /// How many.
    pieces: u32,
    /// Length of each; from the bar when absent.
    length: Option<Mm>,
    /// Width of one cut.
    kerf: Mm,
    /// Keep what is left over as stock; otherwise it is the loss "rounding".
    keep_rest: bool,
} => {
    word: "cut", title: "Cut to pieces", words: "Cut the bar to pieces.",
    fire: Fire::None, heats: 0, minutes: 6.0, per: Per::Cut, measured: true, at: WORKED, to: Some(Pieces),
    loses: Loses::Kerf, deforms: Deforms::Bares, pictured: true,
    struck: Struck::Not, once_wrapped: false, sets_size: true, matters: Matters::PieceLength,
}
Restack {
    /// How they are put together.
    arrange: Arrange,
} => {
    word: "restack", title: "Restack", words: "Pile the pieces again.",
    fire: Fire::None, heats: 0, minutes: 5.0, per: Per::Piece, measured: true, at: &[Pieces], to: Some(Pile),
    loses: Loses::Piles, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Not, once_wrapped: false, sets_size: true, matters: NEW_STACK,
}
Fold {
    /// Thicknesses in the folded pile.
    plies: u32,
    /// Width lost at each fold line.
    kerf: Mm,
} => {
    word: "fold", title: "Fold", words: "Fold the bar over itself and close it.",
    fire: Fire::Forging, heats: 2, minutes: 6.0, per: Per::Heat, measured: true, at: &[Bar], to: Some(Pile),
    loses: Loses::Piles, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Partly, once_wrapped: false, sets_size: true, matters: NEW_STACK,
}
Frame {
    bars: Vec<FrameBar>,
    /// What stands over is trimmed and ground flush.
    fit: bool,
} => {
    word: "frame", title: "Frame", words: "Put bars on named sides, plain ones or bars of this plan. At least one.",
    fire: Fire::None, heats: 0, minutes: 30.0, per: Per::Step, measured: true, at: &[Bar], to: Some(Pile),
    loses: Loses::Adds, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Not, once_wrapped: false, sets_size: true,
    matters: Matters::Size(Dimension::Width, "WIDTH with the frame on"),
}
Join {
    /// What the bar is joined with.
    with: Vec<Piece>,
    /// How they lie to it.
    lay: Lay,
    /// What stands over is trimmed and ground flush.
    fit: bool,
} => {
    word: "join", title: "Join", words: "Lay bars of this plan on the bar or beside it and tack them; a weld sets all seams.",
    fire: Fire::None, heats: 0, minutes: 30.0, per: Per::Step, measured: true, at: &[Pile, Bar, Pieces], to: Some(Pile),
    loses: Loses::Adds, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Not, once_wrapped: false, sets_size: true,
    matters: Matters::Size(Dimension::Thickness, "HEIGHT with all bars on"),
}
Jacket {
    /// One bar folded round the spine, or one for each face: the upper, then the lower.
    with: Vec<Piece>,
    /// Height of the core that is left bare at the edge.
    bare: Mm,
    /// What stands over is trimmed and ground flush.
    fit: bool,
} => {
    word: "jacket", title: "Jacket",
    words: "Put a patterned jacket on a plain core, its edge left bare: one bar folded round the spine, or one on each face.",
    fire: Fire::None, heats: 0, minutes: 40.0, per: Per::Step, measured: true, at: &[Bar], to: Some(Pile),
    loses: Loses::Adds, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Not, once_wrapped: false, sets_size: true,
    matters: Matters::Given("bare", "BARE edge, the same along the bar"),
}
Wrap {
    /// How thick the plain steel lies round the end.
    thickness: Option<Mm>,
} => {
    word: "wrap", title: "Wrap the point",
    words: "Carry the plain bar of the edge round the far end of a blank, where its point will be, and weld it there.",
    fire: Fire::Welding, heats: 3, minutes: 10.0, per: Per::Heat, measured: true, at: WORKED, to: None,
    loses: Loses::Adds, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Partly, once_wrapped: false, sets_size: true,
    matters: Matters::Size(Dimension::Length, "LENGTH with the plain end on"),
}
Slice {
    /// How many tiles each piece gives.
    tiles: u32,
    /// Thickness of a tile.
    thickness: Mm,
    /// How they lie.
    lay: Tiling,
    /// What they lie on.
    backing: Vec<FrameBar>,
    /// Width of one cut.
    kerf: Mm,
    /// Keep what is left over as stock; otherwise it is the loss "rounding".
    keep_rest: bool,
} => {
    word: "slice", title: "Slice to tiles",
    words: "Cut the bar across to tiles and lay them in a row, end grain up, edge to edge; a weld sets all seams.",
    fire: Fire::None, heats: 0, minutes: 8.0, per: Per::Cut, measured: true, at: WORKED, to: Some(Pile),
    loses: Loses::Kerf, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Not, once_wrapped: false, sets_size: true,
    matters: Matters::TileThickness,
}
Unfold {
    /// Cuts, from both faces in turn.
    cuts: u32,
    /// What each cut leaves.
    web: Mm,
    /// Width of one cut.
    kerf: Mm,
} => {
    word: "unfold", title: "Cut and unfold",
    words: "Cut the bar from both faces in turn, nearly through, and open it flat: the end grain comes to the face.",
    fire: Fire::Forging, heats: 3, minutes: 8.0, per: Per::Heat, measured: true, at: WORKED, to: None,
    loses: Loses::Kerf, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Partly, once_wrapped: false, sets_size: true,
    matters: Matters::Given("web", "WEB left under each cut"),
}
Groove {
    /// Grooves on each face.
    count: u32,
    /// Width of a groove.
    width: Mm,
    /// Depth of a groove.
    depth: Mm,
    /// From groove to groove.
    pitch: Mm,
    /// Its section.
    shape: Groove,
} => {
    word: "groove", title: "Groove (ladder)",
    words: "Cut staggered grooves across both faces (ladder); a draw closes them.",
    fire: Fire::None, heats: 0, minutes: 40.0, per: Per::Step, measured: true, at: WORKED, to: None,
    loses: Loses::Opening, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Not, once_wrapped: true, sets_size: false,
    matters: Matters::Given("depth", "DEPTH of each groove, check three places"),
}
Dimple {
    /// Dimples on each face.
    count: u32,
    /// Across at the face.
    diameter: Mm,
    /// Depth of the cone.
    depth: Mm,
    /// Pressed in with a die: metal is moved, none lost.
    pressed: bool,
} => {
    word: "dimple", title: "Dimple (raindrop)",
    words: "Drill or press dimples into both faces (raindrop); a draw closes them.",
    fire: Fire::None, heats: 0, minutes: 30.0, per: Per::Step, measured: true, at: WORKED, to: None,
    loses: Loses::Opening, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Not, once_wrapped: true, sets_size: false,
    matters: Matters::Given("depth", "DEPTH of each dimple"),
}
Twist {
    /// Full turns over the length twisted.
    turns: f64,
    /// Length that is twisted; the whole bar when absent.
    over: Option<Mm>,
    /// Where it begins, from the end held; in the middle of the bar when absent.
    from: Option<Mm>,
    /// Which way.
    hand: Hand,
} => {
    word: "twist", title: "Twist", words: "Twist the bar about its length.",
    fire: Fire::Forging, heats: 2, minutes: 6.0, per: Per::Heat, measured: true, at: WORKED, to: None,
    loses: Loses::Untold, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Not, once_wrapped: false, sets_size: false, matters: Matters::Turns,
}
Split {
    /// Full angle of the wedge, degrees.
    angle: f64,
} => {
    word: "split", title: "Wedge split",
    words: "Split the block lengthwise with a hot wedge and weld the halves again (feather).",
    fire: Fire::Forging, heats: 2, minutes: 8.0, per: Per::Heat, measured: true, at: WORKED, to: None,
    loses: Loses::Untold, deforms: Deforms::Bends, pictured: true,
    struck: Struck::Partly, once_wrapped: false, sets_size: false, matters: WANTED,
}
Inspect {
    /// Bands expected to be counted, where the plan says so.
    bands: Option<u64>,
} => {
    word: "inspect", title: "Inspect an etched end", words: "Grind and etch an end, and count its bands.",
    fire: Fire::None, heats: 0, minutes: 20.0, per: Per::Step, measured: true,
    at: &[Bar, Pieces, Forged, Ground, Hard, Tempered, Finished, Etched], to: None,
    loses: Loses::Nothing, deforms: Deforms::Keeps, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::Bands,
}
Forge {
    part: Part,
    /// Sizes of that part when done.
    to: Sizes,
    /// Share lost to scale.
    scale: Fraction,
} => {
    word: "forge", title: "Forge to shape", words: "Forge one part to shape. At least one size.",
    fire: Fire::Forging, heats: 4, minutes: 3.0, per: Per::Heat, measured: true,
    at: &[Bar, Pieces, Forged], to: Some(Forged),
    loses: Loses::Forge, deforms: Deforms::Bares, pictured: true,
    struck: Struck::Partly, once_wrapped: true, sets_size: false, matters: Matters::Part,
}
Normalise {
    /// Heats.
    cycles: u32,
    /// Share lost to scale.
    scale: Fraction,
} => {
    word: "normalise", title: "Normalise", words: "Heat and air cool to even the grain.",
    fire: Fire::Normalising, heats: 1, minutes: 12.0, per: Per::Heat, measured: false, at: UNHARDENED, to: None,
    loses: Loses::Treat, deforms: Deforms::Bares, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false,
    matters: Matters::NextHeat,
}
Anneal {
    /// Share lost to scale.
    scale: Fraction,
} => {
    word: "anneal", title: "Anneal", words: "Soften slowly.",
    fire: Fire::Annealing, heats: 1, minutes: 90.0, per: Per::Heat, measured: false, at: UNHARDENED, to: None,
    loses: Loses::Treat, deforms: Deforms::Bares, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::Heat("ANNEAL at"),
}
RoughGrind {
    /// Edge thickness to leave.
    edge: Mm,
    /// Share of the forged blank that goes; from the blade's geometry when absent.
    share: Option<Fraction>,
} => {
    word: "rough-grind", title: "Rough grind", words: "Grind to profile before hardening.",
    fire: Fire::None, heats: 0, minutes: 60.0, per: Per::Step, measured: true, at: UNHARDENED, to: Some(Ground),
    loses: Loses::Shaping, deforms: Deforms::Bares, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false,
    matters: Matters::Given("edge", "EDGE to leave before hardening"),
}
Harden => {
    word: "harden", title: "Harden", words: "Heat to hardening temperature and quench.",
    fire: Fire::Hardening, heats: 1, minutes: 20.0, per: Per::Heat, measured: false, at: &[Ground], to: Some(Hard),
    loses: Loses::Untold, deforms: Deforms::Keeps, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false,
    matters: Matters::Heat("HARDEN at, not above"),
}
Temper {
    cycles: u32,
} => {
    word: "temper", title: "Temper", words: "Reheat gently to toughen.",
    fire: Fire::Tempering, heats: 0, minutes: 130.0, per: Per::Cycle, measured: false,
    at: &[Hard, Tempered], to: Some(Tempered),
    loses: Loses::Untold, deforms: Deforms::Keeps, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::Heat("TEMPER at"),
}
FinishGrind {
    /// Edge thickness to leave.
    edge: Mm,
    /// Share of the blank that goes; from the blade's geometry when absent.
    share: Option<Fraction>,
} => {
    word: "finish-grind", title: "Finish grind", words: "Grind and sand to the finished surface, cold.",
    fire: Fire::None, heats: 0, minutes: 120.0, per: Per::Step, measured: true,
    at: &[Tempered, Finished], to: Some(Finished),
    loses: Loses::Shaping, deforms: Deforms::Bares, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false,
    matters: Matters::Given("edge", "EDGE to leave before sharpening"),
}
Etch => {
    word: "etch", title: "Etch", words: "Etch to show the pattern.",
    fire: Fire::None, heats: 0, minutes: 60.0, per: Per::Step, measured: false,
    at: &[Finished, Etched], to: Some(Etched),
    loses: Loses::Untold, deforms: Deforms::Keeps, pictured: true,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::Dip,
}
EndDay => {
    word: "end-day", title: "End of day", words: "Cool down and close the shop; the next step is another day.",
    fire: Fire::None, heats: 0, minutes: 30.0, per: Per::Step, measured: true, at: <Stage as strum::VariantArray>::VARIANTS, to: None,
    loses: Loses::Nothing, deforms: Deforms::Keeps, pictured: false,
    struck: Struck::Not, once_wrapped: true, sets_size: false, matters: Matters::FireWatch,
}
}

impl Kind {
    /// The word for it in a plan file: `kind = "..."`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        self.row().word
    }

    /// What the smith is told to do.
    #[must_use]
    pub const fn title(self) -> &'static str {
        self.row().title
    }

    /// True when the work is done at forging heat, with trips to the fire.
    #[must_use]
    pub const fn is_hot(self) -> bool {
        !matches!(self.row().fire, Fire::None | Fire::Tempering)
    }

    /// True for hot work that must stop at the lower end of its window; heat treatment only goes through it.
    #[must_use]
    pub const fn is_worked(self) -> bool {
        matches!(self.row().fire, Fire::Welding | Fire::Forging)
    }

    /// True for the steps at which a blank begins to lose its bar shape.
    #[must_use]
    pub const fn is_shaping(self) -> bool {
        matches!(self.row().to, Some(Forged | Ground))
    }

    /// True when it leaves a pile that a weld sets.
    #[must_use]
    pub fn piles(self) -> bool {
        self.row().to == Some(Pile)
    }

    /// True when sizes can be read off the bar after it.
    #[must_use]
    pub const fn is_measured(self) -> bool {
        self.row().measured
    }
}

impl Fire {
    /// True where one fire holds every piece; others are worked one by one.
    #[must_use]
    pub const fn holds_all(self) -> bool {
        matches!(self, Self::Normalising | Self::Annealing | Self::Tempering)
    }
}

impl Loses {
    /// True for work that changes the section by moving metal.
    #[must_use]
    pub const fn moves_metal(self) -> bool {
        matches!(self, Self::Weld | Self::Draw | Self::Crush | Self::Forge)
    }
}

#[cfg(test)]
mod tests {
    use super::Kind;

    #[test]
    fn a_word_is_the_same_in_a_plan_and_in_a_journal() {
        for kind in Kind::ALL {
            assert_eq!(serde_json::to_value(kind).unwrap(), kind.word());
        }
    }
}
