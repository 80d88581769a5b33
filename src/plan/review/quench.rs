//! The oil that blades are quenched in, the steels that no law knows, and those at the edge that stay soft.

use super::at_plan;
use crate::billet::{Billet, Kind};
use crate::metal::Steel;
use crate::physics::{hardening, low_alloy};
use crate::plan::{Diagnostic, HOT_OIL, Level, NO_OIL, Plan, PlanSteel, Quench};
use crate::units::{Celsius, Mm, show};

/// What the laws say of a steel whose analysis they know.
const FIGURES: &str = "what is worked of hardening, tempering, press force, scale and carbon";
/// How far from the edge side of a blank its edge comes to lie, and the least of the metal there that makes it.
/// Common practice, no source.
const GROUND: Mm = Mm(1.0);
const EDGE: Mm = Mm(0.5);
/// Share of a steel at the edge from which it counts.
const SOME: f64 = 0.02;

pub(super) fn review(plan: &Plan, found: &mut Vec<Diagnostic>) {
    oil(plan, found);
    for steel in &plan.steels {
        if let Some(why) = unknown(&steel.steel) {
            let text = format!("{}: {why}", steel.steel.grade);
            let remedy =
                "go by its maker's sheet alone: windows and figures here do not hold for it";
            found.push(at_steel(plan, steel, text, remedy));
        }
    }
}

fn at_steel(plan: &Plan, steel: &PlanSteel, text: String, remedy: &str) -> Diagnostic {
    let mut one = at_plan(Level::Warning, plan, "steels", text, remedy);
    if let Some(place) = plan.places.get(&format!("steels.{}", steel.key)) {
        one.place = place;
    }
    one
}

/// What of an analysis lies outside every law.
fn unknown(steel: &Steel) -> Option<String> {
    let why = low_alloy::check(&steel.nominal, FIGURES).err()?;
    // Nickel sheet is no steel: nobody asks it to harden.
    (!steel.nominal.is_nickel()).then(|| why.to_string())
}

/// Oil too hot to be quenched in.
fn oil(plan: &Plan, found: &mut Vec<Diagnostic>) {
    let Some(at) = plan.shop.oil.filter(|_| plan.shop.quench == Quench::Oil) else {
        return;
    };
    let said = |at: Celsius| plan.units.temperature(at);
    if at > NO_OIL {
        let text = format!("oil at {} is no quench: it smokes and burns", said(at));
        let remedy = "write the temperature of its maker's sheet, mostly 45 to 80 C (110 to 180 F)";
        found.push(at_plan(Level::Error, plan, "shop.oil", text, remedy));
    } else if at > HOT_OIL {
        let text = format!(
            "oil at {}, and quenching oils are used up to about {}",
            said(at),
            said(HOT_OIL)
        );
        let remedy = "hold it against its maker's sheet and its flash point, and against C and F";
        found.push(at_plan(Level::Warning, plan, "shop.oil", text, remedy));
    }
}

/// The steels that lie where the edge of a forged or ground blade comes out of its blank, each with its share.
fn at_edge<'p>(plan: &'p Plan, blank: &Billet) -> Vec<(&'p PlanSteel, f64)> {
    let line = blank.bar.through(GROUND);
    let (middle, half) = (line.height() / 2.0, plan.goal.blade.edge.max(EDGE) / 2.0);
    let slice = line.slice(middle - half, middle + half);
    let all = slice.height();
    slice
        .by_steel()
        .filter_map(|(id, there)| Some((plan.steels.get(id.index())?, there / all)))
        .filter(|(_, share)| *share > SOME)
        .collect()
}

/// An edge of steels of which none hardens, or not all.
pub(super) fn soft_edge(plan: &Plan, blank: &Billet, found: &mut Vec<Diagnostic>) {
    if plan.steps.iter().all(|step| step.kind() != Kind::Harden) {
        return;
    }
    let edge = at_edge(plan, blank);
    let soft: Vec<_> = edge
        .iter()
        .filter(|(steel, _)| !hardening::hardens(&steel.steel.nominal))
        .collect();
    let Some((first, _)) = soft.first() else {
        return;
    };
    let names: Vec<&str> = soft
        .iter()
        .map(|(steel, _)| steel.steel.grade.as_str())
        .collect();
    let names = names.join(" and ");
    let least = show::fixed(hardening::LEAST_CARBON, 1);
    let (text, remedy) = if soft.len() == edge.len() {
        (
            format!(
                "no steel of the edge hardens: {names} {} soft",
                if soft.len() == 1 { "stays" } else { "stay" }
            ),
            format!(
                "put a steel of {least} % carbon or more at the edge: as a core, or as a bar on the edge side"
            ),
        )
    } else {
        let mean: f64 = edge
            .iter()
            .map(|(steel, share)| steel.steel.nominal.c * share)
            .sum();
        (
            format!(
                "{names} lies at the edge and stays soft but for the carbon that it takes up there, {} % on the mean",
                show::fixed(mean, 2)
            ),
            format!(
                "take a steel of {least} % carbon or more, or keep it off the edge by a core or a bar on the edge side"
            ),
        )
    };
    found.push(at_steel(plan, first, text, &remedy));
}

#[cfg(test)]
mod tests {
    use crate::plan::{Level, check};

    fn found(steels: &str, pieces: &str, shop: &str) -> Vec<(Level, String)> {
        let text = format!(
            "title = \"T\"\n[goal]\npattern = \"random\"\nbands = [2, 900]\n[goal.blade]\nlength = 100\n\
             width = 20\nspine = 3\n[steels]\n{steels}\n[shop]\nhand = true\n{shop}\n\
             [stack]\nwidth = 40\nlength = 200\npieces = [{pieces}]\n\
             [[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n[[step]]\nkind = \"draw\"\nthickness = 5\n\
             [[step]]\nkind = \"rough-grind\"\n[[step]]\nkind = \"harden\"\n[[step]]\nkind = \"temper\"\n"
        );
        let all = check(&text).found.into_iter();
        let of = |key: Option<&str>| matches!(key, Some("steels" | "oil"));
        all.filter(|one| of(one.key.as_deref()))
            .map(|one| (one.level, one.to_string()))
            .collect()
    }

    const PAIR: &str = "A = \"SAE 1084\"\nB = \"75Ni8\"";
    const PILE: &str = "\"A 5 mm\", \"B 5 mm\", \"A 5 mm\"";

    fn with(shop: &str) -> Vec<(Level, String)> {
        found(PAIR, PILE, shop)
    }

    #[test]
    fn oil_that_is_too_hot_is_said_and_a_mistype_refused() {
        assert!(with("oil = \"80 C\"").is_empty());
        assert!(with("oil = \"200 C\"\nquench = \"water\"").is_empty());
        for (oil, level, says) in [
            ("90 C", Level::Warning, "used up to about 80 C"),
            ("120 C", Level::Warning, "used up to about 80 C"),
            ("200 C", Level::Error, "is no quench"),
            ("500 C", Level::Error, "is no quench"),
        ] {
            let found = with(&format!("oil = \"{oil}\""));
            assert_eq!(found.len(), 1, "{found:?}");
            assert!(
                found[0].0 == level && found[0].1.contains(says),
                "{found:?}"
            );
        }
    }

    #[test]
    fn a_steel_outside_the_laws_is_said_with_its_figures() {
        let stainless = "A = \"SAE 1084\"\n[steels.B]\nc = 1.0\ncr = 18.0\nmn = 0.5\n";
        let said = found(stainless, PILE, "");
        assert!(
            said.iter()
                .any(|(_, one)| one.contains("chromium 18 %") && one.contains("hardening")),
            "{said:?}"
        );
    }

    #[test]
    fn a_soft_edge_is_said_and_a_hard_core_in_soft_jackets_is_not() {
        let soft = "A = \"SAE 1018\"\nB = \"75Ni8\"";
        let of = |pieces: &str| found(soft, pieces, "");
        // 3 mm bands drawn to a third: the middle one alone makes the edge.
        let core = of("\"B 5 mm\", \"A 5 mm\", \"B 5 mm\"");
        assert!(
            core.iter()
                .any(|(_, one)| one.contains("no steel of the edge hardens: SAE 1018 stays soft")),
            "{core:?}"
        );
        assert!(of(PILE).is_empty());
        let fine: Vec<String> = (0..31)
            .map(|at| format!("\"{} 1 mm\"", if at % 2 == 0 { "A" } else { "B" }))
            .collect();
        let fine = of(&fine.join(", "));
        assert!(
            fine.iter().any(|(_, one)| one
                .contains("SAE 1018 lies at the edge and stays soft but for the carbon")),
            "{fine:?}"
        );
        assert!(with("").is_empty());
    }
}
