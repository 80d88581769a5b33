//! Does a draw ask for more width than the metal spreads.

use super::{at_step, before};
use crate::billet::Kind;
use crate::plan::{Diagnostic, Level, Plan, Walk, too_wide};
use crate::units::Mm;

pub(super) fn review(plan: &Plan, walk: &Walk, found: &mut Vec<Diagnostic>) {
    let first = plan.first_billet();
    let units = plan.units;
    for (at, (step, row)) in plan.steps.iter().zip(&walk.rows).enumerate() {
        let drawn = matches!(step.kind(), Kind::Draw | Kind::Square);
        let Some(start) = before(plan, walk, &first, at).filter(|_| drawn) else {
            continue;
        };
        let (from, to) = (&start.bar, &row.billet.bar);
        let Some(most) = too_wide(
            &plan.shop,
            (from.width, from.thickness),
            (to.width, to.thickness),
        ) else {
            continue;
        };
        let said = Mm((most.0 * 10.0).round() / 10.0);
        let text = format!(
            "{} x {} drawn to {} thick gets {} wide at the most, and {} is asked for (estimate)",
            units.length_bare(from.width),
            units.length(from.thickness),
            units.length(to.thickness),
            units.length(said),
            units.length(to.width)
        );
        let remedy = "start wider or thicker, ask for less width, or take a wider die";
        found.push(at_step(Level::Warning, step, "width", text, remedy));
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::check;

    fn found(machine: &str, width: f64) -> Vec<String> {
        let text = format!(
            "title = \"T\"\n[goal]\npattern = \"random\"\nbands = [2, 900]\n[goal.blade]\nlength = 60\n\
             width = 15\nspine = 3\n[steels]\nA = \"SAE 1084\"\nB = \"75Ni8\"\n[shop]\n{machine}\n\
             [stack]\nwidth = 14\nlength = 200\npieces = [\"A 5 mm\", \"B 4 mm\", \"A 5 mm\"]\n\
             [[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n[[step]]\nkind = \"draw\"\n\
             thickness = 5.5\nwidth = {width}\n[[step]]\nkind = \"rough-grind\"\n"
        );
        let all = check(&text).found;
        let wide = all.iter().filter(|one| one.key.as_deref() == Some("width"));
        wide.map(ToString::to_string).collect()
    }

    // By hand: s = 0.14 + 0.36 x 25/14 - 0.054 x (25/14)^2 = 0.6107, a quarter over 0.7633; 14 x 2.5455^0.7633 = 28.6.
    #[test]
    fn a_draw_to_more_width_than_the_metal_spreads_is_said() {
        let press = "press = \"25 t\"\ndie = 25";
        let said = found(press, 30.0);
        assert!(
            said.iter()
                .any(|one| one.contains("gets 28.6 mm wide at the most, and 30 mm is asked for")),
            "{said:?}"
        );
        assert!(found(press, 28.0).is_empty());
        // A peen along the bar spreads more: 14 x 2.5455^0.9175 = 33.
        assert!(found("hand = true", 30.0).is_empty());
        assert_eq!(found("hand = true", 36.0).len(), 1);
    }
}
