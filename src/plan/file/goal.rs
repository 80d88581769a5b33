//! `[goal]` and the shapes below it.

use super::document::Document;
use super::section::Section;
use super::{note_places, table, values, words};
use crate::plan::keys::{self, BLADE, BOLSTER, GOAL, TANG};
use crate::plan::{Blade, Bolster, Goal, Pattern, Place, Tang};
use crate::units::{Fraction, Mm};

/// Edge before sharpening where the plan names none. Common practice, no source.
const EDGE: Mm = Mm(0.3);
/// Most knives of one billet.
const MAX_KNIVES: u32 = 1000;
/// Most bands that a goal can name.
const MAX_BANDS: u64 = 1_000_000_000_000_000;

const PATTERNS: [Pattern; 8] = [
    Pattern::Random,
    Pattern::Ladder,
    Pattern::Raindrop,
    Pattern::Twist,
    Pattern::TurnedW,
    Pattern::Feather,
    Pattern::ThreeLayer,
    Pattern::Straight,
];

pub(super) fn read(
    doc: &mut Document<'_>,
    top: &Section<'_, '_>,
    places: &mut Vec<(String, Place)>,
) -> Option<Goal> {
    let section = table(doc, top, "goal", &GOAL)?;
    note_places(doc, &section, "goal", places);
    let pattern = section
        .get("pattern")
        .and_then(|node| words::choice(doc, &section, &node, &keys::PATTERNS))
        .and_then(|at| PATTERNS.get(at).copied());
    let bands = section
        .get("bands")
        .and_then(|node| values::counts(doc, &section, &node, MAX_BANDS));
    let knives = section
        .get("knives")
        .and_then(|node| values::count32(doc, &section, &node, 1, MAX_KNIVES));
    let edge_margin = section
        .get("edge-margin")
        .and_then(|node| values::size(doc, &section, &node));
    let blade = blade(doc, &section, places);
    let tang = tang(doc, &section, places);
    let bolster = bolster(doc, &section, places);
    let (bands_least, bands_most) = bands?;
    Some(Goal {
        blade: blade?,
        tang,
        bolster,
        pattern: pattern?,
        bands_least,
        bands_most,
        knives: knives.unwrap_or(1),
        edge_margin,
    })
}

fn blade(
    doc: &mut Document<'_>,
    goal: &Section<'_, '_>,
    places: &mut Vec<(String, Place)>,
) -> Option<Blade> {
    let section = table(doc, goal, "blade", &BLADE)?;
    note_places(doc, &section, "blade", places);
    let mut size = |key| {
        let node = section.get(key)?;
        values::size(doc, &section, &node)
    };
    let (length, width, spine) = (size("length"), size("width"), size("spine"));
    let (tip, edge) = (size("spine-tip"), size("edge"));
    let bevel = section
        .get("bevel")
        .and_then(|node| values::share(doc, &section, &node))
        .unwrap_or(Fraction::ONE);
    let blade = Blade {
        length: length?,
        width: width?,
        spine: spine?,
        spine_tip: tip.unwrap_or(spine? / 2.0),
        edge: edge.unwrap_or(EDGE),
        bevel: bevel.0,
    };
    shaped(doc, &section, &blade).then_some(blade)
}

/// Sizes of a blade that can be one.
fn shaped(doc: &mut Document<'_>, section: &Section<'_, '_>, blade: &Blade) -> bool {
    let pairs = [
        ("width", blade.width, "length", blade.length),
        ("spine", blade.spine, "width", blade.width),
        ("spine-tip", blade.spine_tip, "spine", blade.spine),
        ("edge", blade.edge, "spine", blade.spine),
    ];
    let mut good = true;
    for (key, value, against, most) in pairs {
        if value.0 <= most.0 {
            continue;
        }
        good = false;
        let (value, most) = (doc.units.length(value), doc.units.length(most));
        let at = section.get(key).or_else(|| section.get(against));
        doc.error(
            at.map_or(section.start, |node| node.span.start),
            None,
            Some(key),
            format!("the blade's {key} '{value}' is more than its {against} of {most}"),
            format!("write a smaller {key} or a larger {against}"),
        );
    }
    good
}

fn tang(
    doc: &mut Document<'_>,
    goal: &Section<'_, '_>,
    places: &mut Vec<(String, Place)>,
) -> Option<Tang> {
    let section = table(doc, goal, "tang", &TANG)?;
    note_places(doc, &section, "tang", places);
    let mut size = |key| {
        let node = section.get(key)?;
        values::size(doc, &section, &node)
    };
    let (length, width, thickness) = (size("length"), size("width"), size("thickness"));
    let (width_end, thickness_end) = (size("width-end"), size("thickness-end"));
    Some(Tang {
        length: length?,
        width: width?,
        thickness: thickness?,
        width_end: width_end.or(width)?,
        thickness_end: thickness_end.or(thickness)?,
    })
}

fn bolster(
    doc: &mut Document<'_>,
    goal: &Section<'_, '_>,
    places: &mut Vec<(String, Place)>,
) -> Option<Bolster> {
    let section = table(doc, goal, "bolster", &BOLSTER)?;
    note_places(doc, &section, "bolster", places);
    let mut size = |key| {
        let node = section.get(key)?;
        values::size(doc, &section, &node)
    };
    let (length, width, thickness) = (size("length"), size("width"), size("thickness"));
    Some(Bolster {
        length: length?,
        width: width?,
        thickness: thickness?,
    })
}
