//! Heats against the steels of the job, and the order of hardening and tempering.

use super::{at_plan, at_step, before};
use crate::billet::{Billet, Kind, SteelId};
use crate::metal::Steel;
use crate::physics::melting::limit_of;
use crate::plan::{Diagnostic, Level, Plan, Step, Walk};
use crate::units::Celsius;

pub(super) fn review(plan: &Plan, walk: &Walk, found: &mut Vec<Diagnostic>) {
    let first = plan.first_billet();
    for (at, step) in plan.steps.iter().enumerate() {
        let steels = inside(plan, before(plan, walk, &first, at).as_deref());
        too_hot(plan, step, &steels, found);
        if step.kind() == Kind::Harden {
            hardening(plan, step, found);
        }
    }
    fire(plan, found);
    left_hard(plan, found);
}

/// The steels in the piece, or of the whole plan where it could not be walked so far.
pub(super) fn inside<'p>(plan: &'p Plan, billet: Option<&Billet>) -> Vec<&'p Steel> {
    let there = |at: usize| {
        billet.is_none_or(|billet| billet.volume_of(SteelId::from_index(at)).is_positive())
    };
    let all = plan.steels.iter().enumerate();
    all.filter(|(at, _)| there(*at))
        .map(|(_, steel)| &steel.steel)
        .collect()
}

/// The steel that burns first, and its limit.
fn first_to_burn<'s>(steels: &[&'s Steel]) -> Option<(&'s Steel, Celsius)> {
    let limits = steels
        .iter()
        .map(|steel| (*steel, limit_of(steel, steel.nominal.c)));
    limits.min_by(|a, b| a.1.0.total_cmp(&b.1.0))
}

/// Above where a steel of the piece burns, or above what the shop lets its fire get to.
fn too_hot(plan: &Plan, step: &Step, steels: &[&Steel], found: &mut Vec<Diagnostic>) {
    let Some(window) = plan.window(step) else {
        return;
    };
    let high = plan.units.temperature(window.high);
    let burns = first_to_burn(steels).filter(|(_, limit)| window.high > *limit);
    if let Some((steel, limit)) = burns {
        found.push(at_step(
            Level::Warning,
            step,
            "window",
            format!(
                "up to '{high}', and {} burns above {} (estimate)",
                steel.grade,
                plan.units.temperature(limit)
            ),
            "lower the top of the window: burnt steel is scrap",
        ));
    } else if step.kind().is_hot() && window.high.0 > plan.shop.fire.0 {
        found.push(at_step(
            Level::Warning,
            step,
            "window",
            format!(
                "up to '{high}', and the shop's fire stops at {}",
                plan.units.temperature(plan.shop.fire)
            ),
            "lower the window or raise fire in [shop]",
        ));
    }
}

/// A fire, where the plan says how hot it gets, that burns a steel of the job if a piece is left in it.
fn fire(plan: &Plan, found: &mut Vec<Diagnostic>) {
    let steels: Vec<&Steel> = plan.steels.iter().map(|steel| &steel.steel).collect();
    let burns = first_to_burn(&steels).filter(|(_, limit)| plan.shop.fire > *limit);
    if let Some((steel, limit)) = burns
        && plan.places.get("shop.fire").is_some()
        && plan.steps.iter().any(|step| step.kind().is_worked())
    {
        found.push(at_plan(
            Level::Warning,
            plan,
            "shop.fire",
            format!(
                "the fire gets to {}, and {} burns above {} (estimate)",
                plan.units.temperature(plan.shop.fire),
                steel.grade,
                plan.units.temperature(limit)
            ),
            "keep the fire lower: a piece that is left in it burns",
        ));
    }
}

/// A hardening window that no steel of the job has.
fn hardening(plan: &Plan, step: &Step, found: &mut Vec<Diagnostic>) {
    let Some(window) = step.window else {
        return;
    };
    let mut own = plan
        .steels
        .iter()
        .filter_map(|steel| steel.steel.austenitise.map(|at| (at, steel)))
        .peekable();
    let Some((first, steel)) = own.peek().copied() else {
        return;
    };
    let meets = own.any(|(at, _)| window.low.0 <= at.high.0 && window.high.0 >= at.low.0);
    if !meets {
        let text = |at| plan.units.temperature(at);
        found.push(at_step(
            Level::Warning,
            step,
            "window",
            format!(
                "'{} to {}' lies outside every hardening window; {} has {} to {}",
                text(window.low),
                text(window.high),
                steel.steel.grade,
                text(first.low),
                text(first.high)
            ),
            "take the mill's sheet of the steel that makes the edge",
        ));
    }
}

/// Hardened steel that waits: brittle, it cracks overnight.
fn left_hard(plan: &Plan, found: &mut Vec<Diagnostic>) {
    for (at, step) in plan.steps.iter().enumerate() {
        if step.kind() != Kind::Harden {
            continue;
        }
        let next = plan.steps.get(at + 1);
        if next.is_none_or(|next| next.kind() != Kind::Temper) {
            found.push(at_step(
                Level::Warning,
                step,
                "kind",
                "the steel is left hard and brittle".to_owned(),
                "put a step of kind temper right behind it",
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::check;

    fn found(shop: &str, window: &str) -> Vec<String> {
        let text = format!(
            "title = \"T\"\n[goal]\npattern = \"random\"\nbands = [2, 900]\n[goal.blade]\nlength = 100\n\
             width = 20\nspine = 3\n[steels]\nA = \"SAE 1095\"\nB = \"75Ni8\"\n[shop]\nhand = true\n{shop}\
             [stack]\nwidth = 40\nlength = 200\npieces = [\"A 5 mm\", \"B 5 mm\", \"A 5 mm\"]\n\
             [[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n{window}"
        );
        let found = check(&text).found;
        found.iter().map(ToString::to_string).collect()
    }

    // 0.95 % C burns at 2207 F, 1208 C, between Brady's rows of 0.9 and 1.1 % (Materials Handbook, from
    // memory); twenty degrees under that is the limit (common practice, no source).
    #[test]
    fn windows_and_fires_above_burning_are_warned_of() {
        let says = |found: &[String], word: &str| found.iter().any(|one| one.contains(word));
        let hot = found("fire = \"1185 C\"\n", "window = [\"1150 C\", \"1195 C\"]\n");
        assert!(
            says(&hot, "up to '1195 C', and SAE 1095 burns above 118"),
            "{hot:?}"
        );
        let fire = found("fire = \"1250 C\"\n", "");
        assert!(
            says(
                &fire,
                "the fire gets to 1250 C, and SAE 1095 burns above 118"
            ),
            "{fire:?}"
        );
        let calm = found("fire = \"1180 C\"\n", "window = [\"1150 C\", \"1180 C\"]\n");
        assert!(!says(&calm, "burns"), "{calm:?}");
    }
}
