//! The `[steels]` table.

use super::{keys, number};
use crate::metal::{Catalogue, Composition, Mark, Steel, Window};
use crate::plan::keys::{ANALYSIS, FIGURES, SHEET};
use crate::plan::{Plan, PlanSteel, free_letter};
use crate::units::Density;

/// One line a steel.
pub(super) fn lines(plan: &Plan) -> Vec<String> {
    let letters = default_letters(&plan.steels);
    let usual = plan
        .steels
        .iter()
        .zip(&letters)
        .all(|(steel, letter)| steel.letter == *letter);
    let each = plan.steels.iter();
    each.map(|steel| format!("{} = {}", steel.key, one(plan, steel, !usual)))
        .collect()
}

/// The letters that a reader gives where none is asked for.
fn default_letters(steels: &[PlanSteel]) -> Vec<char> {
    let mut taken: Vec<char> = Vec::new();
    for steel in steels {
        taken.push(free_letter(&steel.key, &taken).unwrap_or('?'));
    }
    taken
}

fn one(plan: &Plan, steel: &PlanSteel, letter: bool) -> String {
    let own = &steel.steel;
    let known = Catalogue::builtin()
        .find(&own.grade)
        .ok()
        .filter(|known| known.nominal == own.nominal);
    if !letter && steel.lot.is_empty() && known.is_some_and(|known| *known == *own) {
        return number::text(&own.grade);
    }
    let mut fields: Vec<String> = Vec::new();
    let usual = match known {
        Some(known) => {
            fields.push(format!("grade = {}", number::text(&own.grade)));
            known.clone()
        }
        None => {
            if own.grade != steel.key {
                fields.push(format!("title = {}", number::text(&own.grade)));
            }
            let metal = &mut own.nominal.clone();
            fields.extend(keys::lines(
                plan,
                ANALYSIS,
                metal,
                &mut Composition::default(),
            ));
            Steel::from_composition(own.grade.clone(), own.nominal, Some(Density(7.85)))
        }
    };
    if letter {
        fields.push(format!(
            "letter = {}",
            number::text(&steel.letter.to_string())
        ));
    }
    let mut usual = PlanSteel {
        steel: usual,
        lot: String::new(),
        ..steel.clone()
    };
    let mut own = steel.clone();
    for (_, figure) in SHEET {
        // One that agrees with the table is written too: that the sheet gave it is worth keeping.
        let source = own.steel.source(figure);
        let by_sheet = source.is_some_and(|source| source.mark == Mark::Sheet);
        let one = if by_sheet { &mut usual } else { &mut own };
        window(one, figure).take();
    }
    fields.extend(keys::lines(plan, FIGURES, &mut own, &mut usual));
    format!("{{ {} }}", fields.join(", "))
}

/// A window of a steel by the name of its figure.
fn window<'s>(steel: &'s mut PlanSteel, figure: &str) -> &'s mut Option<Window> {
    let steel = &mut steel.steel;
    match figure {
        "forging" => &mut steel.forging,
        "normalise" => &mut steel.normalise,
        "austenitise" => &mut steel.austenitise,
        _ => &mut steel.temper,
    }
}
