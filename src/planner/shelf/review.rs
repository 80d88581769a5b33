//! A plan's bars from the shelf against what lies there.

use super::{Kept, Shelf};
use crate::plan::{Diagnostic, Level, Place, Plan, PlanBar};
use crate::units::{Mm, Units};

/// Sizes nearer than this part of each other are the same piece. Common practice, no source.
const NEAR: f64 = 0.02;

impl Shelf {
    /// What stands against the bars that a plan takes from the shelf.
    #[must_use]
    pub fn review(&self, journal: &str, plan: &Plan) -> Vec<Diagnostic> {
        let mut found = Vec::new();
        let mut taken = Vec::new();
        for bar in &plan.bars {
            let Some(number) = bar.shelf else { continue };
            let name = if bar.name.is_empty() {
                "stack".to_owned()
            } else {
                format!("bar {}", bar.name)
            };
            let place = plan.places.get(&name);
            let mut say = |level, what: String, remedy: String| {
                found.push(Diagnostic {
                    level,
                    place: place.unwrap_or(Place { line: 1, column: 1 }),
                    step: None,
                    key: Some("shelf".to_owned()),
                    what,
                    remedy,
                });
            };
            if taken.contains(&number) {
                let what = format!("piece {number} of the shelf is two bars of the plan");
                say(Level::Error, what, "one piece is one bar".to_owned());
            }
            taken.push(number);
            match self.to_be_had(number, journal, None) {
                Err(why) => say(Level::Error, why.to_string(), why.remedy()),
                Ok(piece) => {
                    for what in differs(piece, bar, plan) {
                        let remedy = format!("`anvilside shelf --bar {number}` writes it as it is");
                        say(Level::Warning, what, remedy);
                    }
                }
            }
        }
        found
    }
}

/// How the plan has a piece otherwise than the shelf.
fn differs(piece: &Kept, bar: &PlanBar, plan: &Plan) -> Vec<String> {
    let [width, thickness, length] = piece.spare.size;
    let pile: Mm = bar.pieces.iter().map(|piece| piece.thickness).sum();
    let sizes = [
        ("wide", width, bar.width),
        ("thick", thickness, pile),
        ("long", length, bar.length),
    ];
    let units: Units = plan.units;
    let mut out: Vec<String> = sizes
        .into_iter()
        .filter(|(_, has, wants)| (wants.0 - has).abs() > NEAR * has)
        .map(|(word, has, wants)| {
            format!(
                "piece {} of the shelf is {} {word}, in the plan {}",
                piece.number,
                units.length(Mm(has)),
                units.length(wants)
            )
        })
        .collect();
    let mut grades: Vec<&str> = bar
        .pieces
        .iter()
        .filter_map(|piece| plan.steels.get(piece.steel.index()))
        .map(|steel| steel.steel.grade.as_str())
        .collect();
    grades.sort_unstable();
    grades.dedup();
    let mut own: Vec<&str> = piece
        .spare
        .steels
        .iter()
        .map(|(name, _)| name.as_str())
        .collect();
    own.sort_unstable();
    if own != grades {
        out.push(format!(
            "piece {} of the shelf is of {}, in the plan of {}",
            piece.number,
            own.join(" and "),
            grades.join(" and ")
        ));
    }
    out
}
