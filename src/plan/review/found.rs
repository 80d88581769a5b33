//! Bars as found: what is guessed of them, and sizes that disagree with the scale.

use super::at_plan;
use crate::plan::{Diagnostic, Level, Plan, PlanBar};
use crate::units::{Fraction, show};

/// How far sizes and mass may be apart before it is worth a word: rounded edges and bent ends are usual.
/// Common practice, no source.
const APART: f64 = 0.06;

pub(super) fn review(plan: &Plan, found: &mut Vec<Diagnostic>) {
    for bar in &plan.bars {
        one(plan, bar, found);
    }
}

fn one(plan: &Plan, bar: &PlanBar, out: &mut Vec<Diagnostic>) {
    let Some(found) = &bar.found else { return };
    let table = match bar.name.as_str() {
        "" => "found".to_owned(),
        name => format!("bar {name}"),
    };
    let mut say = |key: &str, what: String, remedy: &str| {
        let path = format!("{table}.{key}");
        out.push(at_plan(Level::Warning, plan, &path, what, remedy));
    };
    let [low, high] = found.between();
    if found.bands.is_none() && low < high {
        say(
            "bands",
            format!("nobody has counted the bar as found: its bands are a guess, {low} to {high}"),
            "begin with an inspect step, or write bands = 121 or [119, 123]",
        );
    }
    if found.steels.is_empty() {
        say(
            "steels",
            "the steels of the bar as found are not known: the first two of the plan stand for them".to_owned(),
            "spark or spectrum tests tell; write steels = [\"A\", \"B\"] once they are known",
        );
    }
    let weighed = found.mass.map(|mass| {
        let sizes = PlanBar {
            found: Some(crate::plan::FoundBar {
                mass: None,
                ..found.clone()
            }),
            ..bar.clone()
        };
        let alone = Plan {
            bars: vec![sizes],
            steps: Vec::new(),
            ..plan.clone()
        };
        (mass, alone.first_billet().piece_mass())
    });
    if let Some((mass, own)) = weighed
        && own.is_positive()
        && (mass / own - 1.0).abs() > APART
    {
        let off = show::percent(Fraction((mass / own - 1.0).abs()), 0);
        let units = plan.units;
        say(
            "mass",
            format!(
                "the bar as found weighs {}, its sizes come to {}: {off} apart",
                units.mass(mass),
                units.mass(own)
            ),
            "measure and weigh again; the scale is believed",
        );
    }
}
