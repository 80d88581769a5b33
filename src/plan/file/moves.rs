//! The keys of each kind as a move. Amounts that a plan leaves out come from the shop.

use super::document::Document;
use super::section::Section;
use super::stack;
use super::steels::Steels;
use super::{values, words};
use crate::billet::{Arrange, Faces, FrameBar, Groove, Kind, Move, Part, Side, Sizes};
use crate::plan::{Goal, Shop};
use crate::units::bounds::Bounds;
use crate::units::{Fraction, Mm};

/// Scale of forging to shape, and of one heat treatment, where the plan names none. Common practice,
/// no source.
const FORGE_SCALE: f64 = 1.0;
const HEAT_TREAT_SCALE: f64 = 0.5;
/// Edge left for hardening in oil where the plan names none. Common practice, no source.
const ROUGH_EDGE: Mm = Mm(1.0);

const MAX_PIECES: u32 = 1000;
const MAX_MARKS: u32 = 10_000;
const MAX_CYCLES: u32 = 20;
const MAX_BANDS: u64 = 1_000_000_000_000_000;
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

/// What the steps may refer to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Given<'g> {
    pub(super) steels: &'g Steels,
    pub(super) shop: &'g Shop,
    pub(super) goal: Option<&'g Goal>,
}

type Doc<'d, 't> = &'d mut Document<'t>;
type Sec<'s, 'a, 't> = &'s Section<'a, 't>;

/// Reads the move of a step. What could not be read leaves a usual value behind and an error in the
/// document; `None` only when a key that must be there is not.
pub(super) fn read(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    kind: Kind,
    given: Given<'_>,
) -> Option<Move> {
    let allow = &given.shop.allowances;
    let none = Fraction(0.0);
    Some(match kind {
        Kind::Prepare => Move::Prepare,
        Kind::Stack => Move::Stack,
        Kind::QuarterTurn => Move::QuarterTurn,
        Kind::Harden => Move::Harden,
        Kind::Etch => Move::Etch,
        Kind::EndDay => Move::EndDay,
        Kind::Weld => Move::Weld {
            to: sizes(doc, section, false),
            scale: scale(doc, section, none),
        },
        Kind::Draw => Move::Draw {
            to: sizes(doc, section, true),
            scale: scale(doc, section, allow.scale),
        },
        Kind::Square => Move::Square {
            to: sizes(doc, section, true),
            scale: scale(doc, section, none),
        },
        Kind::CornerCrush => Move::CornerCrush {
            to: sizes(doc, section, true),
            scale: scale(doc, section, allow.scale),
        },
        Kind::Trim => Move::Trim {
            ends: ends(doc, section, allow.trim),
        },
        Kind::Grind => Move::Grind {
            per_face: allowance(doc, section, "per-face", allow.grind),
            faces: match choice(doc, section, "faces", &["two", "four"]) {
                Some(1) => Faces::Four,
                _ => Faces::Two,
            },
        },
        Kind::Cut => Move::Cut {
            pieces: count(doc, section, "pieces", 1, MAX_PIECES)?,
            length: size(doc, section, "length"),
            kerf: allowance(doc, section, "kerf", allow.kerf),
            keep_rest: flag(doc, section, "keep"),
        },
        Kind::Restack => Move::Restack {
            arrange: arrange(doc, section),
        },
        Kind::Fold => Move::Fold {
            plies: count(doc, section, "plies", 2, 16).unwrap_or(2),
            kerf: allowance(doc, section, "kerf", allow.kerf),
        },
        Kind::Frame => Move::Frame {
            bars: bars(doc, section, given.steels),
        },
        Kind::Groove => Move::Groove {
            count: count(doc, section, "count", 1, MAX_MARKS)?,
            width: size(doc, section, "width")?,
            depth: size(doc, section, "depth")?,
            pitch: size(doc, section, "pitch")?,
            shape: match choice(doc, section, "shape", &["round", "vee"]) {
                Some(1) => Groove::Vee,
                _ => Groove::Round,
            },
        },
        Kind::Dimple => Move::Dimple {
            count: count(doc, section, "count", 1, MAX_MARKS)?,
            diameter: size(doc, section, "diameter")?,
            depth: size(doc, section, "depth")?,
            pressed: flag(doc, section, "pressed"),
        },
        Kind::Twist => Move::Twist {
            turns: number(doc, section, "turns", &TURNS)?,
            over: size(doc, section, "over"),
        },
        Kind::Split => Move::Split {
            angle: number(doc, section, "angle", &WEDGE)?,
        },
        Kind::Inspect => Move::Inspect {
            bands: section
                .get("bands")
                .and_then(|node| values::count(doc, section, &node, 1, MAX_BANDS)),
        },
        Kind::Forge => Move::Forge {
            part: part(doc, section)?,
            to: sizes(doc, section, true),
            scale: scale(doc, section, Fraction::from_percent(FORGE_SCALE)),
        },
        Kind::Normalise => Move::Normalise {
            cycles: count(doc, section, "cycles", 1, MAX_CYCLES).unwrap_or(3),
            scale: scale(doc, section, Fraction::from_percent(HEAT_TREAT_SCALE)),
        },
        Kind::Anneal => Move::Anneal {
            scale: scale(doc, section, Fraction::from_percent(HEAT_TREAT_SCALE)),
        },
        Kind::RoughGrind => Move::RoughGrind {
            edge: size(doc, section, "edge").unwrap_or(ROUGH_EDGE),
            share: share(doc, section),
        },
        Kind::Temper => Move::Temper {
            cycles: count(doc, section, "cycles", 1, MAX_CYCLES).unwrap_or(2),
        },
        Kind::FinishGrind => Move::FinishGrind {
            edge: size(doc, section, "edge")
                .or_else(|| given.goal.map(|goal| goal.blade.edge))
                .unwrap_or(ROUGH_EDGE),
            share: share(doc, section),
        },
    })
}

fn size(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>, key: &'static str) -> Option<Mm> {
    let node = section.get(key)?;
    values::size(doc, section, &node)
}

fn allowance(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>, key: &'static str, usual: Mm) -> Mm {
    section
        .get(key)
        .and_then(|node| values::allowance(doc, section, &node))
        .unwrap_or(usual)
}

fn count(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    key: &'static str,
    least: u32,
    most: u32,
) -> Option<u32> {
    let node = section.get(key)?;
    values::count32(doc, section, &node, least, most)
}

fn number(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    key: &'static str,
    within: &Bounds,
) -> Option<f64> {
    let node = section.get(key)?;
    values::number(doc, section, &node, within)
}

fn choice(
    doc: Doc<'_, '_>,
    section: Sec<'_, '_, '_>,
    key: &'static str,
    words: &[&'static str],
) -> Option<usize> {
    let node = section.get(key)?;
    words::choice(doc, section, &node, words)
}

fn flag(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>, key: &'static str) -> bool {
    section
        .get(key)
        .and_then(|node| words::flag(doc, section, &node))
        .unwrap_or(false)
}

fn share(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>) -> Option<Fraction> {
    let node = section.get("share")?;
    values::loss(doc, section, &node)
}

fn scale(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>, usual: Fraction) -> Fraction {
    section
        .get("scale")
        .and_then(|node| values::loss(doc, section, &node))
        .unwrap_or(usual)
}

/// Target sizes; `wanted` when a step without any would do nothing.
fn sizes(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>, wanted: bool) -> Sizes {
    let keys = ["width", "thickness", "length"];
    let none = keys
        .iter()
        .all(|key| section.get(key).is_none() && !section.mistyped(key));
    if wanted && none && !doc.is_broken() {
        doc.error(
            section.start,
            section.step.as_deref(),
            Some("thickness"),
            "the step has no size to work to".to_owned(),
            "add width, thickness or length",
        );
    }
    Sizes {
        width: size(doc, section, "width"),
        thickness: size(doc, section, "thickness"),
        length: size(doc, section, "length"),
    }
}

fn ends(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>, usual: Mm) -> [Mm; 2] {
    let Some(node) = section.get("ends") else {
        return [usual; 2];
    };
    let Some(items) = values::items(&node) else {
        let both = values::allowance(doc, section, &node).unwrap_or(usual);
        return [both; 2];
    };
    let [held, far] = items.as_slice() else {
        let quote = doc.quote(&node.span);
        doc.refuse(
            &node,
            format!("ends {quote} lists {} sizes, not two", items.len()),
            format!("write {}", section.wants("ends")),
        );
        return [usual; 2];
    };
    let held = values::allowance(doc, section, held);
    let far = values::allowance(doc, section, far);
    [held.unwrap_or(usual), far.unwrap_or(usual)]
}

fn arrange(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>) -> Arrange {
    let chosen = choice(doc, section, "arrange", &["pile", "flipped", "block"]);
    let columns = count(doc, section, "columns", 1, MAX_PIECES);
    let rows = count(doc, section, "rows", 1, MAX_PIECES);
    let turned = flag(doc, section, "turned");
    if chosen == Some(2) {
        return Arrange::Block {
            columns: columns.unwrap_or(2),
            rows: rows.unwrap_or(2),
            turned,
        };
    }
    // Keys of a block on a pile would be ignored: say so instead.
    for key in ["columns", "rows", "turned"] {
        if let Some(node) = section.get(key) {
            doc.refuse(
                &node,
                format!("{key} belongs to a block"),
                format!("add arrange = \"block\", or leave {key} out"),
            );
        }
    }
    match chosen {
        Some(1) => Arrange::Flipped,
        _ => Arrange::Pile,
    }
}

fn bars(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>, steels: &Steels) -> Vec<FrameBar> {
    let sides = [Side::Edge, Side::Spine, Side::Top, Side::Bottom];
    let none = sides
        .iter()
        .all(|side| section.get(side.word()).is_none() && !section.mistyped(side.word()));
    if none && !doc.is_broken() {
        doc.error(
            section.start,
            section.step.as_deref(),
            Some("edge"),
            "the frame has no bar".to_owned(),
            "add edge, spine, top or bottom, as edge = \"A 10 mm\"",
        );
    }
    let mut bars = Vec::new();
    for side in sides {
        let Some(node) = section.get(side.word()) else {
            continue;
        };
        let piece =
            words::raw(doc, section, &node).and_then(|text| stack::one(doc, steels, &node, text));
        if let Some(piece) = piece {
            bars.push(FrameBar {
                side,
                steel: piece.steel,
                thickness: piece.thickness,
            });
        }
    }
    bars
}

fn part(doc: Doc<'_, '_>, section: Sec<'_, '_, '_>) -> Option<Part> {
    let parts = [Part::Bolster, Part::Tang, Part::Blade, Part::Bevels];
    choice(
        doc,
        section,
        "part",
        &["bolster", "tang", "blade", "bevels"],
    )
    .and_then(|at| parts.get(at).copied())
}
