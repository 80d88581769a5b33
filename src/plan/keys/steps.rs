//! The keys of steps: what every kind may carry, and what each kind adds.
//!
//! Long because every kind's keys stand here, one row each.

use super::doc::KeyDoc;
use super::field::{Field, Slot, may, must, said};
use super::tables::usual_shop;
use super::writes::Writes;
use crate::billet::{Arrange, Faces, Groove, Hand, Kind, Lay, Move, Part, Side, Sizes, Tiling};
use crate::plan::{Shop, Step};
use crate::units::bounds::Bounds;
use crate::units::{Fraction, Mm, Units};

/// Scale of forging to shape, and of one heat treatment, where the plan names none. Common practice,
/// no source.
const FORGE_SCALE: f64 = 1.0;
const TREAT_SCALE: f64 = 0.5;
/// Edge left for hardening in oil where the plan names none. Common practice, no source.
const ROUGH_EDGE: Mm = Mm(1.0);

/// Most heats of a step, and last day of a job.
const MAX_HEATS: u32 = 1000;
const MAX_DAY: u32 = 3650;
const MAX_PIECES: u32 = 1000;
const MAX_MARKS: u32 = 10_000;
const MAX_CYCLES: u32 = 20;
const TURNS: Bounds = Bounds {
    name: "a count of turns",
    unit: "",
    least: 0.01,
    greatest: 1000.0,
};
/// A wedge sharper than 1 degree or blunter than 170 splits nothing.
const WEDGE: Bounds = Bounds {
    name: "the angle of a wedge",
    unit: "deg",
    least: 1.0,
    greatest: 170.0,
};

/// The words for every kind, in the order of [`Kind::ALL`].
pub(crate) static KINDS: [&str; Kind::ALL.len()] = {
    let mut words = [""; Kind::ALL.len()];
    let mut at = 0;
    while at < words.len() {
        #[expect(clippy::indexing_slicing, reason = "worked out when compiled")]
        {
            words[at] = Kind::ALL[at].word();
        }
        at += 1;
    }
    words
};

/// What every step may carry. The first [`HEAD`] are written before the keys of its kind.
pub(crate) const COMMON: &[Field<Step>] = &[
    must("kind", "What is done.", |_| {
        Slot::Other(Writes::Choice(&KINDS))
    }),
    may(
        "id",
        "A name that stays while the plan is edited. Default the kind and its number, as `draw-2` for the second draw.",
        |_| Slot::Other(Writes::Name),
    ),
    may(
        "bar",
        "The bar that it works on, in a plan of several. Default the bar of the step before it.",
        |_| Slot::Other(Writes::Name),
    ),
    may(
        "title",
        "What the screen calls it. Default the kind.",
        |step| Slot::Text((&mut step.title).into()),
    ),
    may(
        "day",
        "Which day of the job. Default the day before it, one more after an `end-day`.",
        |step| Slot::Count((&mut step.day).into(), [1, MAX_DAY]),
    ),
    may(
        "heats",
        "Trips to the fire expected, over all pieces. Default by kind, as said there; none where nothing is said.",
        |step| Slot::Count((&mut step.heats).into(), [0, MAX_HEATS]),
    ),
    may(
        "window",
        "Lowest and highest temperature to work at. Default what the forging, normalising, hardening or tempering windows of the steels have in common; none for weld and anneal.",
        |step| Slot::Window(&mut step.window),
    ),
    may(
        "soak",
        "Time to hold at heat; for `temper` one cycle. A bare number is minutes.",
        |step| Slot::Duration((&mut step.soak).into()),
    ),
    may("done", "How to see that it is done.", |step| {
        Slot::Text((&mut step.done_when).into())
    }),
    may(
        "cautions",
        "Cautions of this step, beside the card of its kind.",
        |step| Slot::Texts(&mut step.cautions),
    ),
    may("notes", "Free words.", |step| Slot::Texts(&mut step.notes)),
];

/// How many of [`COMMON`] are written before the keys of the kind.
pub(crate) const HEAD: usize = 5;

/// The keys of a kind.
pub(crate) struct Form {
    /// The move where the plan says no more than its kind.
    pub(crate) blank: Move,
    pub(crate) fields: &'static [Field<Move>],
    /// What there must be one of at least, when more than nothing: what is said otherwise, the key it
    /// is said at, and what to add.
    pub(crate) one_of: Option<[&'static str; 3]>,
}

impl Form {
    /// The keys of the kind as they are documented.
    pub(crate) fn docs(&self) -> Vec<KeyDoc> {
        super::field::docs(self.fields, &mut self.blank.clone())
    }

    /// True for the keys that there must be one of.
    pub(crate) fn counts(&self, field: &Field<Move>) -> bool {
        let size = ["width", "thickness", "length"].contains(&field.name);
        let bar = matches!((field.slot)(&mut self.blank.clone()), Slot::Laid(..));
        self.one_of.is_some() && (size || bar)
    }
}

/// Where a value of a move stands.
macro_rules! at {
    ($kind:ident.$field:ident => $slot:ident $(, $more:expr)*) => {
        |made| match made {
            Move::$kind { $field, .. } => Slot::$slot($field.into() $(, $more)*),
            _ => elsewhere(),
        }
    };
}

/// A list of descriptors serves its own kind only.
const fn elsewhere<'m>() -> Slot<'m> {
    Slot::Stray(Writes::Text, "another kind", "another kind")
}

/// A size that a move asks for.
macro_rules! size {
    ($size:ident, $words:literal) => {
        may(stringify!($size), $words, |made| match made.target_mut() {
            Some(to) => Slot::Size((&mut to.$size).into()),
            None => elsewhere(),
        })
    };
}

const WIDTH: Field<Move> = size!(width, "Across the bar when done.");
const THICKNESS: Field<Move> = size!(thickness, "Through the bar when done.");
const LENGTH: Field<Move> = size!(
    length,
    "Along the bar when done. Left out, it follows from volume, down to the shop's mark."
);

const fn scale(words: &'static str) -> Field<Move> {
    may("scale", words, |made| match made.scale_mut() {
        Some(scale) => Slot::Loss(scale.into()),
        None => elsewhere(),
    })
}

const SCALE_SHOP: Field<Move> = scale("Metal lost to scale. Default the shop's.");
const SCALE_NONE: Field<Move> =
    scale("Metal lost to scale. Default `\"0 %\"`: it is charged at the draw.");
const SCALE_TREAT: Field<Move> = scale("Metal lost to scale. Default `\"0.5 %\"`.");

/// A key of a block of pieces.
macro_rules! block {
    ($need:ident $name:literal, $words:literal, $key:ident => $slot:ident $(, $more:expr)*) => {
        $need($name, $words, |made| match made {
            Move::Restack {
                arrange: Arrange::Block { $key, .. },
            } => Slot::$slot($key.into() $(, $more)*),
            _ => Slot::Stray(Writes::$slot, "a block", "arrange = \"block\""),
        })
    };
}

/// The bar on a side of a frame.
macro_rules! bar {
    ($side:ident, $name:literal, $words:literal) => {
        may($name, $words, |made| match made {
            Move::Frame { bars, .. } => Slot::Laid(bars, Side::$side),
            _ => elsewhere(),
        })
    };
}

const FIT: &str = "`true`: what stands over is trimmed and ground flush, and booked as lost. Default `false`: bars more than 5 % off in section or 2 % in length are an error.";

const NO_SIZE: Option<[&str; 3]> = Some([
    "the step has no size to work to",
    "thickness",
    "add width, thickness or length",
]);

/// The keys of a kind, with what they are where the plan leaves them out.
#[expect(clippy::too_many_lines, reason = "one row a kind")]
pub(crate) fn form(kind: Kind, shop: &Shop, edge: Option<Mm>) -> Form {
    let allow = &shop.allowances;
    let to = Sizes::default();
    let none = Fraction::ZERO;
    let treat = Fraction::from_percent(TREAT_SCALE);
    let form = |blank: Move, fields: &'static [Field<Move>]| Form {
        blank,
        fields,
        one_of: None,
    };
    let sized = |blank: Move, fields: &'static [Field<Move>]| Form {
        one_of: NO_SIZE,
        ..form(blank, fields)
    };
    match kind {
        Kind::Prepare => form(Move::Prepare, &[]),
        Kind::Stack => form(Move::STACK, &[]),
        Kind::QuarterTurn => form(Move::QuarterTurn, &[]),
        Kind::Harden => form(Move::Harden, &[]),
        Kind::Etch => form(Move::Etch, &[]),
        Kind::EndDay => form(Move::EndDay, &[]),
        Kind::Weld => form(
            Move::Weld { to, scale: none },
            &const { [WIDTH, THICKNESS, LENGTH, SCALE_NONE] },
        ),
        Kind::Draw => sized(
            Move::Draw {
                to,
                scale: allow.scale,
            },
            &const { [WIDTH, THICKNESS, LENGTH, SCALE_SHOP] },
        ),
        Kind::Square => sized(
            Move::Square { to, scale: none },
            &const { [WIDTH, THICKNESS, LENGTH, SCALE_NONE] },
        ),
        Kind::Upset => sized(
            Move::Upset { to, scale: none },
            &const { [WIDTH, THICKNESS, LENGTH, SCALE_NONE] },
        ),
        Kind::CornerCrush => sized(
            Move::CornerCrush {
                to,
                scale: allow.scale,
            },
            &const { [WIDTH, THICKNESS, LENGTH, SCALE_SHOP] },
        ),
        Kind::Trim => form(
            Move::Trim {
                ends: [allow.trim; 2],
            },
            &const {
                [may(
                    "ends",
                    "Off the end held and off the far end. Default the shop's trim off both. What one end is cut longer than the other is a test piece, which is foreseen as it is written.",
                    at!(Trim.ends => Ends),
                )]
            },
        ),
        Kind::Grind => form(
            Move::Grind {
                per_face: allow.grind,
                faces: Faces::Two,
            },
            &const {
                [
                    may(
                        "per-face",
                        "Off each face. Default the shop's grind.",
                        at!(Grind.per_face => Allowance),
                    ),
                    may(
                        "faces",
                        "The `two` faces that will be welded (the default), or all `four` flats.",
                        |made| match made {
                            Move::Grind { faces, .. } => Slot::Word(faces, &["two", "four"]),
                            _ => elsewhere(),
                        },
                    ),
                ]
            },
        ),
        Kind::Cut => form(
            Move::Cut {
                pieces: 1,
                length: None,
                kerf: allow.kerf,
                keep_rest: false,
            },
            &const {
                [
                    must(
                        "pieces",
                        "How many.",
                        at!(Cut.pieces => Count, [1, MAX_PIECES]),
                    ),
                    may(
                        "length",
                        "Length of each. Default what the bar gives, down to the shop's mark.",
                        at!(Cut.length => Size),
                    ),
                    may(
                        "kerf",
                        "Width of one cut. Default the shop's.",
                        at!(Cut.kerf => Allowance),
                    ),
                    may(
                        "keep",
                        "`true`: what is left over is kept as stock. Default `false`: it is the loss \"rounding\".",
                        at!(Cut.keep_rest => Flag),
                    ),
                ]
            },
        ),
        Kind::Restack => form(
            Move::Restack {
                arrange: Arrange::Pile,
            },
            &const {
                [
                    may(
                        "arrange",
                        "`pile`: all the same way up (the default). `flipped`: every second piece turned over. `block`: columns by rows.",
                        |made| match made {
                            Move::Restack { arrange } => {
                                Slot::Word(arrange, &["pile", "flipped", "block"])
                            }
                            _ => elsewhere(),
                        },
                    ),
                    block!(said "columns", "Pieces side by side in a block. Default 2.",
                        columns => Count, [1, MAX_PIECES]),
                    block!(said "rows", "Pieces high in a block. Default 2.",
                        rows => Count, [1, MAX_PIECES]),
                    block!(may "turned", "`true`: each piece of a block is a quarter-turn to its neighbours. Default `false`.",
                        turned => Flag),
                ]
            },
        ),
        Kind::Fold => form(
            Move::Fold {
                plies: 2,
                kerf: allow.kerf,
            },
            &const {
                [
                    said(
                        "plies",
                        "Thicknesses in the folded pile. Default 2.",
                        at!(Fold.plies => Count, [2, 16]),
                    ),
                    may(
                        "kerf",
                        "Length lost at each fold line. Default the shop's kerf.",
                        at!(Fold.kerf => Allowance),
                    ),
                ]
            },
        ),
        Kind::Frame => Form {
            one_of: Some([
                "the frame has no bar",
                "edge",
                "add edge, spine, top or bottom, as edge = \"A 10 mm\"",
            ]),
            ..form(
                Move::Frame {
                    bars: Vec::new(),
                    fit: false,
                },
                &const {
                    [
                        bar!(
                            Edge,
                            "edge",
                            "The bars where the cutting edge will be; they run the whole thickness."
                        ),
                        bar!(
                            Spine,
                            "spine",
                            "The bars where the spine will be; they run the whole thickness."
                        ),
                        bar!(Top, "top", "The bars on the face marked up."),
                        bar!(Bottom, "bottom", "The bars on the face below."),
                        may("fit", FIT, at!(Frame.fit => Flag)),
                    ]
                },
            )
        },
        Kind::Join => form(
            Move::Join {
                with: Vec::new(),
                lay: Lay::Pile,
                fit: false,
            },
            &const {
                [
                    must(
                        "with",
                        "The bars that are laid on it, in order, its own further pieces too. `turned`: a quarter-turn first; `flipped`: upside down.",
                        |made| match made {
                            Move::Join { with, .. } => Slot::With(with),
                            _ => elsewhere(),
                        },
                    ),
                    may(
                        "lay",
                        "`pile`: one on the other (the default). `beside`: one beside the other, from the edge side to the spine side. `grid`: rows from the edge side to the spine side, the lowest first; the bar in hand is the first of all.",
                        |made| match made {
                            Move::Join { lay, .. } => Slot::Word(lay, &["pile", "beside", "grid"]),
                            _ => elsewhere(),
                        },
                    ),
                    said(
                        "columns",
                        "Bars of a row of a grid. Default 2.",
                        |made| match made {
                            Move::Join {
                                lay: Lay::Grid { columns },
                                ..
                            } => Slot::Count(columns.into(), [2, MAX_PIECES]),
                            _ => Slot::Stray(Writes::Count, "a grid", "lay = \"grid\""),
                        },
                    ),
                    may("fit", FIT, at!(Join.fit => Flag)),
                ]
            },
        ),
        Kind::Jacket => form(
            Move::Jacket {
                with: Vec::new(),
                bare: Mm::ZERO,
                fit: false,
            },
            &const {
                [
                    must(
                        "with",
                        "One bar, folded lengthwise round the spine: as wide as it covers twice, the core's thickness and twice its own. Or two bars, the upper and the lower, each as wide as it covers.",
                        at!(Jacket.with => With),
                    ),
                    must(
                        "bare",
                        "Height of the core that is left bare at the edge. The weld brings it to the thickness of the whole: it keeps its area and stands lower.",
                        at!(Jacket.bare => Size),
                    ),
                    may("fit", FIT, at!(Jacket.fit => Flag)),
                ]
            },
        ),
        Kind::Wrap => form(
            Move::Wrap { thickness: None },
            &const {
                [may(
                    "thickness",
                    "How thick the plain steel lies round the end. Default as thick as the bar of the edge.",
                    at!(Wrap.thickness => Size),
                )]
            },
        ),
        Kind::Slice => form(
            Move::Slice {
                tiles: 1,
                thickness: Mm::ZERO,
                lay: Tiling::Alike,
                backing: Vec::new(),
                kerf: allow.kerf,
                keep_rest: false,
            },
            &const {
                [
                    must(
                        "tiles",
                        "How many tiles the bar is cut to, or each of its pieces.",
                        at!(Slice.tiles => Count, [1, MAX_PIECES]),
                    ),
                    must(
                        "thickness",
                        "Thickness of a tile.",
                        at!(Slice.thickness => Size),
                    ),
                    may(
                        "lay",
                        "`alike`: all the same way (the default). `mirrored`: every second tile turned over like a page. `turned`: each a quarter-turn further in its plane; only square tiles.",
                        |made| match made {
                            Move::Slice { lay, .. } => {
                                Slot::Word(lay, &["alike", "mirrored", "turned"])
                            }
                            _ => elsewhere(),
                        },
                    ),
                    may(
                        "backing",
                        "What they are laid on, under the whole row. Default nothing.",
                        |made| match made {
                            Move::Slice { backing, .. } => Slot::Laid(backing, Side::Bottom),
                            _ => elsewhere(),
                        },
                    ),
                    may(
                        "kerf",
                        "Width of one cut. Default the shop's.",
                        at!(Slice.kerf => Allowance),
                    ),
                    may(
                        "keep",
                        "`true`: what is left over is kept as stock. Default `false`: it is the loss \"rounding\".",
                        at!(Slice.keep_rest => Flag),
                    ),
                ]
            },
        ),
        Kind::Unfold => form(
            Move::Unfold {
                cuts: 1,
                web: Mm::ZERO,
                kerf: allow.kerf,
            },
            &const {
                [
                    must(
                        "cuts",
                        "How many cuts, from the upper and the lower face in turn, evenly along the bar. The bar is then as thick as it was from cut to cut.",
                        at!(Unfold.cuts => Count, [1, MAX_PIECES]),
                    ),
                    must(
                        "web",
                        "What each cut leaves of the thickness.",
                        at!(Unfold.web => Size),
                    ),
                    may(
                        "kerf",
                        "Width of one cut. Default the shop's.",
                        at!(Unfold.kerf => Allowance),
                    ),
                ]
            },
        ),
        Kind::Groove => form(
            Move::Groove {
                count: 0,
                width: Mm::ZERO,
                depth: Mm::ZERO,
                pitch: Mm::ZERO,
                shape: Groove::Round,
            },
            &const {
                [
                    must(
                        "count",
                        "Grooves on each face.",
                        at!(Groove.count => Count, [1, MAX_MARKS]),
                    ),
                    must("width", "Width of a groove.", at!(Groove.width => Size)),
                    must("depth", "Depth of a groove.", at!(Groove.depth => Size)),
                    must(
                        "pitch",
                        "From groove to groove on one face.",
                        at!(Groove.pitch => Size),
                    ),
                    may(
                        "shape",
                        "Its section: `round` (the default) is half an ellipse, `vee` a triangle.",
                        |made| match made {
                            Move::Groove { shape, .. } => Slot::Word(shape, &["round", "vee"]),
                            _ => elsewhere(),
                        },
                    ),
                ]
            },
        ),
        Kind::Dimple => form(
            Move::Dimple {
                count: 0,
                diameter: Mm::ZERO,
                depth: Mm::ZERO,
                pressed: false,
            },
            &const {
                [
                    must(
                        "count",
                        "Dimples on each face.",
                        at!(Dimple.count => Count, [1, MAX_MARKS]),
                    ),
                    must(
                        "diameter",
                        "Across at the face.",
                        at!(Dimple.diameter => Size),
                    ),
                    must("depth", "Depth of a dimple.", at!(Dimple.depth => Size)),
                    may(
                        "pressed",
                        "`true`: pressed with a die, no metal lost. Default `false`: drilled.",
                        at!(Dimple.pressed => Flag),
                    ),
                ]
            },
        ),
        Kind::Twist => form(
            Move::Twist {
                turns: 0.0,
                over: None,
                from: None,
                hand: Hand::Right,
            },
            &const {
                [
                    must(
                        "turns",
                        "Full turns over the length twisted.",
                        at!(Twist.turns => Number, &TURNS),
                    ),
                    may(
                        "over",
                        "Length that is twisted. Default the whole bar, or all behind `from`.",
                        at!(Twist.over => Size),
                    ),
                    may(
                        "from",
                        "Where the twisted length begins, from the end held. Default in the middle of the bar. Two steps over two lengths, one to the right and one to the left, make a twist that turns back.",
                        at!(Twist.from => From),
                    ),
                    may(
                        "hand",
                        "`right`: as a common screw (the default). `left`: the other way; two neighbours of opposite hands mirror each other.",
                        |made| match made {
                            Move::Twist { hand, .. } => Slot::Word(hand, &["right", "left"]),
                            _ => elsewhere(),
                        },
                    ),
                ]
            },
        ),
        Kind::Split => form(
            Move::Split { angle: 0.0 },
            &const {
                [must(
                    "angle",
                    "Full angle of the wedge, degrees.",
                    at!(Split.angle => Number, &WEDGE),
                )]
            },
        ),
        Kind::Inspect => form(
            Move::Inspect { bands: None },
            &const {
                [may(
                    "bands",
                    "Bands that should be counted.",
                    at!(Inspect.bands => Bands),
                )]
            },
        ),
        Kind::Forge => sized(
            Move::Forge {
                part: Part::Blade,
                to,
                scale: Fraction::from_percent(FORGE_SCALE),
            },
            &const {
                [
                    must("part", "Which part.", |made| match made {
                        Move::Forge { part, .. } => {
                            Slot::Word(part, &["bolster", "tang", "blade", "bevels"])
                        }
                        _ => elsewhere(),
                    }),
                    size!(width, "Width of that part when forged."),
                    size!(thickness, "Thickness of that part when forged."),
                    size!(
                        length,
                        "Length of that part when forged. One size that is left out follows from the metal that is left for the part."
                    ),
                    scale("Metal lost to scale. Default `\"1 %\"`."),
                ]
            },
        ),
        Kind::Normalise => form(
            Move::Normalise {
                cycles: 3,
                scale: treat,
            },
            &const {
                [
                    said(
                        "cycles",
                        "How many times. Default 3.",
                        at!(Normalise.cycles => Count, [1, MAX_CYCLES]),
                    ),
                    SCALE_TREAT,
                ]
            },
        ),
        Kind::Anneal => form(Move::Anneal { scale: treat }, &const { [SCALE_TREAT] }),
        Kind::RoughGrind => form(
            Move::RoughGrind {
                edge: ROUGH_EDGE,
                share: None,
            },
            &const {
                [
                    may(
                        "edge",
                        "Edge thickness to leave. Default 1 mm.",
                        at!(RoughGrind.edge => Size),
                    ),
                    may(
                        "share",
                        "Share of the blank that goes. Default from the shape of the goal.",
                        at!(RoughGrind.share => Loss),
                    ),
                ]
            },
        ),
        Kind::Temper => form(
            Move::Temper { cycles: 2 },
            &const {
                [said(
                    "cycles",
                    "How many times. Default 2.",
                    at!(Temper.cycles => Count, [1, MAX_CYCLES]),
                )]
            },
        ),
        Kind::FinishGrind => form(
            Move::FinishGrind {
                edge: edge.unwrap_or(ROUGH_EDGE),
                share: None,
            },
            &const {
                [
                    may(
                        "edge",
                        "Edge thickness to leave. Default the goal's.",
                        at!(FinishGrind.edge => Size),
                    ),
                    may(
                        "share",
                        "Share of the blank that goes. Default from the shape of the goal.",
                        at!(FinishGrind.share => Loss),
                    ),
                ]
            },
        ),
    }
}

/// A size that a plan gives to a step, by its key.
#[must_use]
pub fn given_size(made: &Move, key: &str) -> Option<Mm> {
    let form = form(made.kind(), &usual_shop(Units::Mm), None);
    let field = form.fields.iter().find(|field| field.name == key)?;
    match (field.slot)(&mut made.clone()) {
        Slot::Size(size) => size.get().copied(),
        _ => None,
    }
}

/// Trips to the fire where the plan names none.
pub(crate) fn usual_heats(made: &Move) -> u32 {
    match made {
        Move::Normalise { cycles, .. } => *cycles,
        made => made.kind().row().heats,
    }
}

/// What a kind says of its heats on the page of the format.
pub(super) fn heats_words(kind: Kind) -> String {
    match (kind, kind.row().heats) {
        (Kind::Normalise, _) => " One heat a cycle.".to_owned(),
        (Kind::Draw | Kind::Square | Kind::CornerCrush | Kind::Forge, _) => {
            " Heats by size, cooling and machine (estimate), unless `heats` says so.".to_owned()
        }
        (_, 0) => String::new(),
        (_, 1) => " One heat, unless `heats` says otherwise.".to_owned(),
        (_, heats) => format!(" {heats} heats, unless `heats` says otherwise."),
    }
}

#[cfg(test)]
mod tests {
    use super::super::field::Slot;
    use super::super::tables::usual_shop;
    use super::form;
    use crate::billet::Kind;
    use crate::units::Units;

    #[test]
    fn every_key_has_its_place_in_the_move_of_its_kind() {
        for kind in Kind::ALL {
            let form = form(kind, &usual_shop(Units::Mm), None);
            assert_eq!(form.blank.kind(), kind);
            for field in form.fields {
                let mut made = form.blank.clone();
                let stray = match (field.slot)(&mut made) {
                    Slot::Stray(_, owner, _) => owner == "another kind",
                    _ => false,
                };
                assert!(!stray, "{}: {}", kind.word(), field.name);
            }
        }
    }
}
