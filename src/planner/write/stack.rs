//! The `[stack]` or `[[bar]]` tables: runs of pieces that repeat are written once.

use super::{keys, number};
use crate::billet::{StackPiece, SteelId};
use crate::plan::keys::{FOUND, STACK};
use crate::plan::{Plan, PlanBar};

/// Longest run that is looked for.
const LONGEST: usize = 8;
/// Most repeats in one bracket.
const MOST: usize = 5000;

pub(super) fn lines(plan: &Plan, bar: &PlanBar) -> Vec<String> {
    let name = (!bar.name.is_empty()).then(|| format!("name = {}", number::text(&bar.name)));
    let mut out: Vec<String> = name.into_iter().collect();
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
    let parts: Vec<String> = runs(&bar.pieces)
        .into_iter()
        .map(|(times, run)| {
            let run: Vec<String> = run.iter().map(|piece| one(plan, *piece)).collect();
            let run = run.join(", ");
            number::text(&if times > 1 {
                format!("{times} x ({run})")
            } else {
                run
            })
        })
        .collect();
    out.extend(keys::lines(plan, STACK, &mut bar.clone(), usual));
    out.push(format!("pieces = [{}]", parts.join(", ")));
    out
}

fn one(plan: &Plan, piece: StackPiece) -> String {
    let key = plan
        .steels
        .get(piece.steel.index())
        .map_or("?", |steel| steel.key.as_str());
    format!(
        "{key} {}",
        number::length_in_text(plan.units, piece.thickness)
    )
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
