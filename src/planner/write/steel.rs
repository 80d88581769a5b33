//! The `[steels]` table.

use super::number;
use crate::metal::{Catalogue, Mark, Steel, Window};
use crate::plan::{Plan, PlanSteel};
use crate::units::{Density, Units};

/// One line a steel.
pub(super) fn lines(plan: &Plan) -> Vec<String> {
    let letters = default_letters(&plan.steels);
    let usual = plan
        .steels
        .iter()
        .zip(&letters)
        .all(|(steel, letter)| steel.letter == *letter);
    let each = plan.steels.iter();
    each.map(|steel| format!("{} = {}", steel.key, one(plan.units, steel, !usual)))
        .collect()
}

/// The letters that a reader gives where none is asked for: the first free one of the name, then
/// any free one.
fn default_letters(steels: &[PlanSteel]) -> Vec<char> {
    let mut taken: Vec<char> = Vec::new();
    for steel in steels {
        let own = steel.key.chars().map(|c| c.to_ascii_uppercase());
        let free = own
            .chain('A'..='Z')
            .find(|c| c.is_ascii_uppercase() && !taken.contains(c));
        taken.push(free.unwrap_or('?'));
    }
    taken
}

fn one(units: Units, steel: &PlanSteel, letter: bool) -> String {
    let known = Catalogue::builtin()
        .find(&steel.steel.grade)
        .ok()
        .filter(|known| known.nominal == steel.steel.nominal);
    if !letter && known.is_some_and(|known| *known == steel.steel) {
        return number::text(&steel.steel.grade);
    }
    let mut fields: Vec<(&str, String)> = Vec::new();
    let base = match known {
        Some(known) => {
            fields.push(("grade", number::text(&steel.steel.grade)));
            known.clone()
        }
        None => {
            analysis(&steel.key, &steel.steel, &mut fields);
            Steel::from_composition(
                steel.steel.grade.clone(),
                steel.steel.nominal,
                Some(Density(7.85)),
            )
        }
    };
    if letter {
        fields.push(("letter", number::text(&steel.letter.to_string())));
    }
    differences(units, &base, &steel.steel, &mut fields);
    let fields: Vec<String> = fields
        .into_iter()
        .map(|(key, value)| format!("{key} = {value}"))
        .collect();
    format!("{{ {} }}", fields.join(", "))
}

fn analysis(key: &str, steel: &Steel, fields: &mut Vec<(&str, String)>) {
    if steel.grade != key {
        fields.push(("title", number::text(&steel.grade)));
    }
    let metal = &steel.nominal;
    fields.push(("c", number::plain(metal.c)));
    for (key, share) in [
        ("mn", metal.mn),
        ("si", metal.si),
        ("cr", metal.cr),
        ("ni", metal.ni),
        ("mo", metal.mo),
        ("v", metal.v),
        ("w", metal.w),
        ("cu", metal.cu),
        ("p", metal.p),
        ("s", metal.s),
    ] {
        if share > 0.0 {
            fields.push((key, number::plain(share)));
        }
    }
}

/// What the plan says otherwise than the grade.
fn differences(units: Units, base: &Steel, steel: &Steel, fields: &mut Vec<(&str, String)>) {
    if base.density != steel.density {
        fields.push(("density", number::plain(steel.density.0)));
    }
    for (key, figure, own) in [
        ("forging", "forging", steel.forging),
        ("normalising", "normalise", steel.normalise),
        ("hardening", "austenitise", steel.austenitise),
        ("tempering", "temper", steel.temper),
    ] {
        // One that agrees with the table is written too: that the sheet gave it is worth keeping.
        let by_sheet = steel
            .source(figure)
            .is_some_and(|source| source.mark == Mark::Sheet);
        if let Some(own) = own.filter(|_| by_sheet) {
            fields.push((key, window(units, own)));
        }
    }
    if let Some(burning) = steel.burning.filter(|own| base.burning != Some(*own)) {
        fields.push(("burning", number::temperature(units, burning)));
    }
    if let Some(quench) = steel
        .quench
        .as_ref()
        .filter(|own| base.quench.as_ref() != Some(own))
    {
        fields.push(("quench", number::text(quench)));
    }
}

fn window(units: Units, own: Window) -> String {
    format!(
        "[{}, {}]",
        number::temperature(units, own.low),
        number::temperature(units, own.high)
    )
}
