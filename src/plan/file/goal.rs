//! `[goal]` and the shapes below it.

use super::fill::fill;
use super::names::Steels;
use super::section::Section;
use crate::plan::keys::{BLADE, BOLSTER, Field, GOAL, TANG, docs, usual_goal};
use crate::plan::{Blade, Goal, Place};

type Places = Vec<(String, Place)>;

pub(super) fn read(top: &Section<'_>, places: &mut Places) -> Option<Goal> {
    let mut goal = usual_goal();
    let section = top.table("goal", "[goal]", docs(GOAL, &mut goal))?;
    section.note("goal", places);
    let whole = fill(&section, &Steels::default(), GOAL, &mut goal);
    let blade = shape(&section, places, "blade", BLADE, goal.blade);
    goal.tang = shape(&section, places, "tang", TANG, Default::default()).map(|(_, mut tang)| {
        if !tang.width_end.is_positive() {
            tang.width_end = tang.width;
        }
        if !tang.thickness_end.is_positive() {
            tang.thickness_end = tang.thickness;
        }
        tang
    });
    let bolster = shape(&section, places, "bolster", BOLSTER, Default::default());
    goal.bolster = bolster.map(|(_, bolster)| bolster);
    let (section, mut blade) = blade?;
    if !blade.spine_tip.is_positive() {
        blade.spine_tip = blade.spine / 2.0;
    }
    goal.blade = shaped(&section, &blade).then_some(blade)?;
    whole.map(|()| goal)
}

/// A table of sizes below the goal.
fn shape<'s, T: Copy>(
    goal: &'s Section<'s>,
    places: &mut Places,
    key: &'static str,
    fields: &[Field<T>],
    mut blank: T,
) -> Option<(Section<'s>, T)> {
    let header = format!("[goal.{key}]");
    let section = goal.table(key, &header, docs(fields, &mut blank))?;
    section.note(key, places);
    fill(&section, &Steels::default(), fields, &mut blank)?;
    Some((section, blank))
}

/// Sizes of a blade that can be one.
fn shaped(section: &Section<'_>, blade: &Blade) -> bool {
    let pairs = [
        ("width", blade.width, "length", blade.length),
        ("spine", blade.spine, "width", blade.width),
        ("spine-tip", blade.spine_tip, "spine", blade.spine),
        ("edge", blade.edge, "spine", blade.spine),
    ];
    let units = section.doc.units.get();
    let mut good = true;
    for (key, value, against, most) in pairs {
        if value.0 <= most.0 {
            continue;
        }
        good = false;
        let (value, most) = (units.length(value), units.length(most));
        let at = section.get(key).or_else(|| section.get(against));
        section.doc.error(
            at.map_or(section.start, |node| node.span.start),
            None,
            Some(key),
            format!("the blade's {key} '{value}' is more than its {against} of {most}"),
            format!("write a smaller {key} or a larger {against}"),
        );
    }
    good
}
