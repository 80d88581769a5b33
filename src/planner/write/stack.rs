//! The `[stack]` or `[[bar]]` tables: runs of pieces that repeat are written once.

use super::{keys, number};
use crate::billet::{StackPiece, SteelId};
use crate::plan::keys::{FOUND, STACK};
use crate::plan::{Plan, PlanBar};
use crate::units::Units;

/// Longest run that is looked for.
const LONGEST: usize = 8;
/// Most repeats in one bracket.
const MOST: usize = 5000;

pub(super) fn lines(plan: &Plan, bar: &PlanBar) -> Vec<String> {
    let name = |steel: SteelId| {
        let known = plan.steels.get(steel.index());
        known.map_or("?", |steel| steel.key.as_str()).to_owned()
    };
    let name_line = (!bar.name.is_empty()).then(|| format!("name = {}", number::text(&bar.name)));
    let mut out: Vec<String> = name_line.into_iter().collect();
    let usual = &mut PlanBar::default();
    if let Some(found) = &bar.found {
        out.extend(keys::lines(plan, FOUND, &mut bar.clone(), usual));
        let of = |steel: &SteelId| plan.steels.get(steel.index());
        let steels: Vec<String> = found
            .steels
            .iter()
            .filter_map(of)
            .map(|of| of.key.clone())
            .collect();
        let line = (!steels.is_empty()).then(|| format!("steels = {}", number::list(&steels)));
        out.extend(line);
        return out;
    }
    out.extend(keys::lines(plan, STACK, &mut bar.clone(), usual));
    out.push(mixed(plan.units, &name, bar));
    out
}

/// The line of a pile with bars of the plan between its plain pieces.
fn mixed(units: Units, name: &dyn Fn(SteelId) -> String, bar: &PlanBar) -> String {
    let mut parts = Vec::new();
    let mut from = 0;
    for one in &bar.among {
        let to = (one.under as usize).clamp(from, bar.pieces.len());
        parts.extend(texts(
            units,
            name,
            bar.pieces.get(from..to).unwrap_or_default(),
        ));
        parts.extend(keys::bar_text(&one.piece).map(|text| number::text(&text)));
        from = to;
    }
    parts.extend(texts(
        units,
        name,
        bar.pieces.get(from..).unwrap_or_default(),
    ));
    format!("pieces = [{}]", parts.join(", "))
}

/// The line of a pile, with the names that a plan has for its steels.
pub(in crate::planner) fn pieces(
    units: Units,
    name: &dyn Fn(SteelId) -> String,
    pile: &[StackPiece],
) -> String {
    format!("pieces = [{}]", texts(units, name, pile).join(", "))
}

fn texts(units: Units, name: &dyn Fn(SteelId) -> String, pile: &[StackPiece]) -> Vec<String> {
    let one = |piece: &StackPiece| {
        let size = number::length_in_text(units, piece.thickness);
        format!("{} {size}", name(piece.steel))
    };
    runs(pile)
        .into_iter()
        .map(|(times, run)| {
            let run: Vec<String> = run.iter().map(one).collect();
            let run = run.join(", ");
            number::text(&if times > 1 {
                format!("{times} x ({run})")
            } else {
                run
            })
        })
        .collect()
}

/// The pile as runs, each with how often it comes; longest cover first, shorter run on a tie.
fn runs(pile: &[StackPiece]) -> Vec<(usize, &[StackPiece])> {
    let mut out = Vec::new();
    let mut rest = pile;
    while !rest.is_empty() {
        let (mut times, mut length) = (1, 1);
        for run in 1..=LONGEST.min(rest.len()) {
            let first = rest.get(..run).unwrap_or_default();
            let again = rest
                .chunks_exact(run)
                .take(MOST)
                .take_while(|chunk| *chunk == first)
                .count();
            if again > 1 && again * run > times * length {
                (times, length) = (again, run);
            }
        }
        let (run, _) = rest.split_at(length);
        out.push((times, run));
        rest = rest.get(times * length..).unwrap_or_default();
    }
    out
}

#[cfg(test)]
mod tests {
    use super::runs;
    use crate::billet::{StackPiece, SteelId};
    use crate::units::Mm;

    #[test]
    fn an_alternating_pile_is_one_run_and_a_lid() {
        let pile: Vec<StackPiece> = (0..9)
            .map(|at| StackPiece {
                steel: SteelId(at % 2),
                thickness: Mm(f64::from(6 - 3 * (at % 2))),
            })
            .collect();
        let found = runs(&pile);
        assert_eq!(
            found
                .iter()
                .map(|(times, run)| (*times, run.len()))
                .collect::<Vec<_>>(),
            [(4, 2), (1, 1)]
        );
        let again: Vec<StackPiece> = found
            .iter()
            .flat_map(|(times, run)| run.repeat(*times))
            .collect();
        assert_eq!(again, pile);
    }
}
