//! What every step may carry, and the expected heats by kind.

use super::document::Document;
use super::section::Section;
use super::{values, words};
use crate::billet::{Kind, Move};
use crate::plan::HeatWindow;
use crate::units::Seconds;

/// Most heats of a step, and last day of a job.
const MAX_HEATS: u32 = 1000;
const MAX_DAY: u32 = 3650;

/// The keys that every step may carry, read.
#[derive(Debug, Default)]
pub(super) struct Common {
    pub(super) title: Option<String>,
    pub(super) day: Option<u32>,
    pub(super) heats: Option<u32>,
    pub(super) window: Option<HeatWindow>,
    pub(super) soak: Option<Seconds>,
    pub(super) done: Option<String>,
    pub(super) cautions: Vec<String>,
    pub(super) notes: Vec<String>,
}

pub(super) fn read(doc: &mut Document<'_>, section: &Section<'_, '_>) -> Common {
    let text = |doc: &mut Document<'_>, key| {
        let node = section.get(key)?;
        words::text(doc, section, &node)
    };
    let texts = |doc: &mut Document<'_>, key| {
        let node = section.get(key)?;
        words::texts(doc, section, &node)
    };
    let number = |doc: &mut Document<'_>, key, least, most| {
        let node = section.get(key)?;
        values::count32(doc, section, &node, least, most)
    };
    Common {
        title: text(doc, "title"),
        day: number(doc, "day", 1, MAX_DAY),
        heats: number(doc, "heats", 0, MAX_HEATS),
        window: section
            .get("window")
            .and_then(|node| values::window(doc, section, &node))
            .map(|(low, high)| HeatWindow { low, high }),
        soak: section
            .get("soak")
            .and_then(|node| values::duration(doc, section, &node)),
        done: text(doc, "done"),
        cautions: texts(doc, "cautions").unwrap_or_default(),
        notes: texts(doc, "notes").unwrap_or_default(),
    }
}

/// Trips to the fire where the plan names none: a billet of 1 to 1.5 kg with a press or a power
/// hammer of middling size. Common practice, no source.
pub(super) fn usual_heats(made: &Move) -> u32 {
    match (made.kind(), made) {
        (_, Move::Normalise { cycles, .. }) => *cycles,
        (Kind::Weld | Kind::Forge, _) => 4,
        (Kind::Draw, _) => 6,
        (Kind::CornerCrush, _) => 3,
        (Kind::Square | Kind::Fold | Kind::Twist | Kind::Split, _) => 2,
        (Kind::Anneal | Kind::Harden, _) => 1,
        _ => 0,
    }
}

/// True for a name that a step can have.
pub(super) fn is_id(id: &str) -> bool {
    id.len() <= 40
        && id.starts_with(|c: char| c.is_ascii_lowercase())
        && id
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}
