//! What became of the later targets, in words.

use crate::billet::{Billet, Kind};
use crate::plan::{Plan, WalkedStep};
use crate::units::{Mm, Units, show};

/// Sizes closer than this are the same to the smith.
const SAME: Mm = Mm(0.25);
/// Mass closer than this is the same, as a part of it.
const SAME_MASS: f64 = 0.01;

/// What differs between two runs of the steps to come: sizes, pieces and bands, step by step. Steps
/// that are new or gone are named. At the end the metal in the blanks, when that has changed.
#[must_use]
pub fn changes(plan: &Plan, before: &[WalkedStep], after: &[WalkedStep]) -> Vec<String> {
    let units = plan.units;
    let mut out = Vec::new();
    let mut bands = None;
    for row in after {
        let name = name(plan, row);
        let Some(old) = before.iter().find(|old| old.step == row.step) else {
            out.push(format!("{name}: new, {}", size(units, &row.billet)));
            continue;
        };
        let (was, now) = (&old.billet, &row.billet);
        if was.bands() != now.bands() && bands != Some((was.bands(), now.bands())) {
            bands = Some((was.bands(), now.bands()));
            out.push(format!(
                "{name}: {} -> {} bands",
                show::count(was.bands()),
                show::count(now.bands())
            ));
        }
        if !kind(plan, row).is_some_and(|kind| kind.row().sets_size) {
            continue;
        }
        let piled = kind(plan, row) == Some(Kind::Restack);
        let what = differences(units, was, now, !piled);
        if !what.is_empty() {
            out.push(format!("{name}: {}", what.join(", ")));
        }
    }
    for row in before {
        if !after.iter().any(|new| new.step == row.step) {
            out.push(format!("{}: left out", row.step));
        }
    }
    if let (Some(was), Some(now)) = (blank(plan, before), blank(plan, after)) {
        let (old, new) = (was.mass(), now.mass());
        if (new.0 - old.0).abs() > SAME_MASS * old.0.max(1.0) {
            out.push(format!(
                "metal in the blanks: {} -> {}",
                units.mass(old),
                units.mass(new)
            ));
        }
    }
    out
}

fn kind(plan: &Plan, row: &WalkedStep) -> Option<Kind> {
    let step = plan.steps.iter().find(|step| step.id == row.step)?;
    Some(step.kind())
}

/// What the step is called, with its id where another is called the same.
fn name(plan: &Plan, row: &WalkedStep) -> String {
    let Some(step) = plan.steps.iter().find(|step| step.id == row.step) else {
        return row.step.0.clone();
    };
    let same = plan
        .steps
        .iter()
        .filter(|other| other.name() == step.name());
    if same.count() > 1 {
        format!("{} ({})", step.name(), step.id)
    } else {
        step.name().to_owned()
    }
}

/// The metal before it begins to be a blade.
fn blank<'r>(plan: &Plan, rows: &'r [WalkedStep]) -> Option<&'r Billet> {
    let at = rows
        .iter()
        .position(|row| kind(plan, row).is_some_and(Kind::is_shaping))?;
    rows.get(at.checked_sub(1)?).map(|row| &row.billet)
}

fn size(units: Units, billet: &Billet) -> String {
    let bar = &billet.bar;
    let pieces = match billet.pieces {
        1 => String::new(),
        many => format!("{many} of "),
    };
    format!(
        "{pieces}{}",
        units.size(bar.width, bar.thickness, bar.length)
    )
}

fn differences(units: Units, was: &Billet, now: &Billet, length: bool) -> Vec<String> {
    let mut what = Vec::new();
    if was.pieces != now.pieces {
        what.push(format!("{} -> {} pieces", was.pieces, now.pieces));
    }
    for (word, old, new) in [
        ("wide", was.bar.width, now.bar.width),
        ("thick", was.bar.thickness, now.bar.thickness),
        ("long", was.bar.length, now.bar.length),
    ] {
        if !old.near(new, SAME.0) && (length || word != "long") {
            what.push(format!(
                "{} -> {} {word}",
                units.length_bare(old),
                units.length(new)
            ));
        }
    }
    what
}
