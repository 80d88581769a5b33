//! The keys of steps: what every kind may carry, and what each kind adds.

use super::{KeyDoc, Table, Writes};
use crate::billet::Kind;

const fn must(name: &'static str, writes: Writes, words: &'static str) -> KeyDoc {
    KeyDoc::must(name, writes, words)
}

const fn may(name: &'static str, writes: Writes, words: &'static str) -> KeyDoc {
    KeyDoc::may(name, writes, words)
}

/// The words for every kind, in the order of [`Kind::ALL`].
pub(crate) const KINDS: [&str; 27] = [
    "prepare",
    "stack",
    "weld",
    "draw",
    "square",
    "quarter-turn",
    "corner-crush",
    "trim",
    "grind",
    "cut",
    "restack",
    "fold",
    "frame",
    "groove",
    "dimple",
    "twist",
    "split",
    "inspect",
    "forge",
    "normalise",
    "anneal",
    "rough-grind",
    "harden",
    "temper",
    "finish-grind",
    "etch",
    "end-day",
];

const WIDTH: KeyDoc = may("width", Writes::Size, "Across the bar when done.");
const THICKNESS: KeyDoc = may("thickness", Writes::Size, "Through the bar when done.");
const LENGTH: KeyDoc = may(
    "length",
    Writes::Size,
    "Along the bar when done. Left out, it follows from volume, down to the shop's mark.",
);
const SCALE_SHOP: KeyDoc = may(
    "scale",
    Writes::Share,
    "Metal lost to scale. Default the shop's.",
);
const SCALE_NONE: KeyDoc = may(
    "scale",
    Writes::Share,
    "Metal lost to scale. Default `\"0 %\"`: it is charged at the draw.",
);

const EVERY: Table = Table {
    header: "[[step]]",
    kind: None,
    words: "Keys that every step may carry.",
    keys: &[
        must("kind", Writes::Choice(&KINDS), "What is done."),
        may(
            "id",
            Writes::Name,
            "A name that stays while the plan is edited. Default the kind and its number, as `draw-2` for the second draw.",
        ),
        may(
            "title",
            Writes::Text,
            "What the screen calls it. Default the kind.",
        ),
        may(
            "day",
            Writes::Count,
            "Which day of the job. Default the day before it, one more after an `end-day`.",
        ),
        may(
            "heats",
            Writes::Count,
            "Trips to the fire expected. Default by kind: weld 4, draw 6, corner-crush 3, square, fold, twist and split 2, forge 4, normalise one a cycle, anneal and harden 1, others none.",
        ),
        may(
            "window",
            Writes::Window,
            "Lowest and highest temperature to work at. Default what the forging, normalising, hardening or tempering windows of the steels have in common; none for weld and anneal.",
        ),
        may(
            "soak",
            Writes::Duration,
            "Time to hold at heat; for `temper` one cycle. A bare number is minutes.",
        ),
        may("done", Writes::Text, "How to see that it is done."),
        may(
            "cautions",
            Writes::Texts,
            "Cautions of this step, beside the card of its kind.",
        ),
        may("notes", Writes::Texts, "Free words."),
    ],
};

const fn step(
    kind: Kind,
    header: &'static str,
    words: &'static str,
    keys: &'static [KeyDoc],
) -> Table {
    Table {
        header,
        kind: Some(kind),
        words,
        keys,
    }
}

/// What every step may carry.
pub(crate) fn common() -> &'static Table {
    &EVERY
}

/// What a kind adds to [`common`].
#[expect(clippy::too_many_lines, reason = "one row a kind")]
pub(crate) fn of_kind(kind: Kind) -> &'static Table {
    macro_rules! table {
        ($kind:ident, $name:literal, $words:literal, [$($key:expr),* $(,)?]) => {{
            const TABLE: Table = step(
                Kind::$kind,
                concat!("kind = \"", $name, "\""),
                $words,
                &[$($key),*],
            );
            &TABLE
        }};
    }
    match kind {
        Kind::Prepare => table!(
            Prepare,
            "prepare",
            "Cut and clean the pieces of the first stack.",
            []
        ),
        Kind::Stack => table!(Stack, "stack", "Pile the clean pieces and tack them.", []),
        Kind::Weld => table!(
            Weld,
            "weld",
            "Set the weld. Without sizes the outside stays as it was.",
            [WIDTH, THICKNESS, LENGTH, SCALE_NONE]
        ),
        Kind::Draw => table!(
            Draw,
            "draw",
            "Draw the bar out. At least one of width, thickness and length.",
            [WIDTH, THICKNESS, LENGTH, SCALE_SHOP]
        ),
        Kind::Square => table!(
            Square,
            "square",
            "Bring four sides flat and at right angles. At least one size.",
            [WIDTH, THICKNESS, LENGTH, SCALE_NONE]
        ),
        Kind::QuarterTurn => table!(
            QuarterTurn,
            "quarter-turn",
            "Lay the bar on its side: width becomes thickness.",
            []
        ),
        Kind::CornerCrush => table!(
            CornerCrush,
            "corner-crush",
            "Stand a square bar on its corner and crush it to a new square; flat layers bend to a W. At least one size.",
            [WIDTH, THICKNESS, LENGTH, SCALE_SHOP]
        ),
        Kind::Trim => table!(
            Trim,
            "trim",
            "Cut bad ends off.",
            [may(
                "ends",
                Writes::Ends,
                "Off the end held and off the far end. Default the shop's trim off both."
            )]
        ),
        Kind::Grind => table!(
            Grind,
            "grind",
            "Flat grind before a weld.",
            [
                may(
                    "per-face",
                    Writes::Allowance,
                    "Off each face. Default the shop's grind."
                ),
                may(
                    "faces",
                    Writes::Choice(&["two", "four"]),
                    "The `two` faces that will be welded (the default), or all `four` flats."
                ),
            ]
        ),
        Kind::Cut => table!(
            Cut,
            "cut",
            "Cut the bar to pieces.",
            [
                must("pieces", Writes::Count, "How many."),
                may(
                    "length",
                    Writes::Size,
                    "Length of each. Default what the bar gives, down to the shop's mark."
                ),
                may(
                    "kerf",
                    Writes::Allowance,
                    "Width of one cut. Default the shop's."
                ),
                may(
                    "keep",
                    Writes::Flag,
                    "`true`: what is left over is kept as stock. Default `false`: it is the loss \"rounding\"."
                ),
            ]
        ),
        Kind::Restack => table!(
            Restack,
            "restack",
            "Pile the pieces again.",
            [
                may(
                    "arrange",
                    Writes::Choice(&["pile", "flipped", "block"]),
                    "`pile`: all the same way up (the default). `flipped`: every second piece turned over. `block`: columns by rows."
                ),
                may(
                    "columns",
                    Writes::Count,
                    "Pieces side by side in a block. Default 2."
                ),
                may("rows", Writes::Count, "Pieces high in a block. Default 2."),
                may(
                    "turned",
                    Writes::Flag,
                    "`true`: each piece of a block is a quarter-turn to its neighbours. Default `false`."
                ),
            ]
        ),
        Kind::Fold => table!(
            Fold,
            "fold",
            "Fold the bar over itself and close it.",
            [
                may(
                    "plies",
                    Writes::Count,
                    "Thicknesses in the folded pile. Default 2."
                ),
                may(
                    "kerf",
                    Writes::Allowance,
                    "Length lost at each fold line. Default the shop's kerf."
                ),
            ]
        ),
        Kind::Frame => table!(
            Frame,
            "frame",
            "Put plain bars on named sides. At least one.",
            [
                may(
                    "edge",
                    Writes::Piece,
                    "The bar where the cutting edge will be."
                ),
                may("spine", Writes::Piece, "The bar where the spine will be."),
                may("top", Writes::Piece, "The bar on the face marked up."),
                may("bottom", Writes::Piece, "The bar on the face below."),
            ]
        ),
        Kind::Groove => table!(
            Groove,
            "groove",
            "Cut staggered grooves across both faces (ladder); a draw closes them.",
            [
                must("count", Writes::Count, "Grooves on each face."),
                must("width", Writes::Size, "Width of a groove."),
                must("depth", Writes::Size, "Depth of a groove."),
                must("pitch", Writes::Size, "From groove to groove on one face."),
                may(
                    "shape",
                    Writes::Choice(&["round", "vee"]),
                    "Its section: `round` (the default) is half an ellipse, `vee` a triangle."
                ),
            ]
        ),
        Kind::Dimple => table!(
            Dimple,
            "dimple",
            "Drill or press dimples into both faces (raindrop); a draw closes them.",
            [
                must("count", Writes::Count, "Dimples on each face."),
                must("diameter", Writes::Size, "Across at the face."),
                must("depth", Writes::Size, "Depth of a dimple."),
                may(
                    "pressed",
                    Writes::Flag,
                    "`true`: pressed with a die, no metal lost. Default `false`: drilled."
                ),
            ]
        ),
        Kind::Twist => table!(
            Twist,
            "twist",
            "Twist the bar about its length.",
            [
                must(
                    "turns",
                    Writes::Number,
                    "Full turns over the length twisted."
                ),
                may(
                    "over",
                    Writes::Size,
                    "Length that is twisted. Default the whole bar."
                ),
            ]
        ),
        Kind::Split => table!(
            Split,
            "split",
            "Split the block lengthwise with a hot wedge and weld the halves again (feather).",
            [must(
                "angle",
                Writes::Number,
                "Full angle of the wedge, degrees."
            )]
        ),
        Kind::Inspect => table!(
            Inspect,
            "inspect",
            "Grind and etch an end, and count its bands.",
            [may("bands", Writes::Count, "Bands that should be counted.")]
        ),
        Kind::Forge => table!(
            Forge,
            "forge",
            "Forge one part to shape. At least one size.",
            [
                must(
                    "part",
                    Writes::Choice(&["bolster", "tang", "blade", "bevels"]),
                    "Which part."
                ),
                may("width", Writes::Size, "Width of that part when forged."),
                may(
                    "thickness",
                    Writes::Size,
                    "Thickness of that part when forged."
                ),
                may("length", Writes::Size, "Length of that part when forged."),
                may(
                    "scale",
                    Writes::Share,
                    "Metal lost to scale. Default `\"1 %\"`."
                ),
            ]
        ),
        Kind::Normalise => table!(
            Normalise,
            "normalise",
            "Heat and air cool to even the grain.",
            [
                may("cycles", Writes::Count, "How many times. Default 3."),
                may(
                    "scale",
                    Writes::Share,
                    "Metal lost to scale. Default `\"0.5 %\"`."
                ),
            ]
        ),
        Kind::Anneal => table!(
            Anneal,
            "anneal",
            "Soften slowly.",
            [may(
                "scale",
                Writes::Share,
                "Metal lost to scale. Default `\"0.5 %\"`."
            )]
        ),
        Kind::RoughGrind => table!(
            RoughGrind,
            "rough-grind",
            "Grind to profile before hardening.",
            [
                may(
                    "edge",
                    Writes::Size,
                    "Edge thickness to leave. Default 1 mm."
                ),
                may(
                    "share",
                    Writes::Share,
                    "Share of the blank that goes. Default from the shape of the goal."
                ),
            ]
        ),
        Kind::Harden => table!(
            Harden,
            "harden",
            "Heat to hardening temperature and quench.",
            []
        ),
        Kind::Temper => table!(
            Temper,
            "temper",
            "Reheat gently to toughen.",
            [may("cycles", Writes::Count, "How many times. Default 2.")]
        ),
        Kind::FinishGrind => table!(
            FinishGrind,
            "finish-grind",
            "Grind and sand to the finished surface, cold.",
            [
                may(
                    "edge",
                    Writes::Size,
                    "Edge thickness to leave. Default the goal's."
                ),
                may(
                    "share",
                    Writes::Share,
                    "Share of the blank that goes. Default from the shape of the goal."
                ),
            ]
        ),
        Kind::Etch => table!(Etch, "etch", "Etch to show the pattern.", []),
        Kind::EndDay => table!(
            EndDay,
            "end-day",
            "Cool down and close the shop; the next step is another day.",
            []
        ),
    }
}
