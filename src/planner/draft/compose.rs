//! A candidate as a whole plan.

use super::after_pile;
use super::bench::{Bench, Say};
use super::candidate::Candidate;
use super::grid::{Grid, pile};
use super::strokes::{draw, first, grind, trim, weld};
use crate::billet::{Arrange, Faces, Move, Refusal};
use crate::plan::{Pattern, Plan};

/// A plan with what it takes.
#[derive(Debug, Clone)]
pub(super) struct Composed {
    pub(super) plan: Plan,
    pub(super) minutes: f64,
    pub(super) heats: u32,
    pub(super) welds: u32,
}

/// Puts a whole plan down, each step made on the metal.
pub(super) fn compose(grid: &Grid, candidate: &Candidate) -> Result<Composed, Refusal> {
    let none = || Refusal {
        what: "this place is not in the grid".to_owned(),
        remedy: "search again".to_owned(),
        key: None,
    };
    let wish = &grid.wish;
    let outer = grid.outer.get(candidate.outer as usize).ok_or_else(none)?;
    let length = grid.length(candidate);
    let pieces = pile(outer.outside, outer.inside, outer.thick, outer.pieces);
    let mut bench = Bench::stack(wish, grid.windows, &grid.pace, &pieces, outer.width, length);
    first(&mut bench, outer.pieces)?;
    for (at, restack) in candidate.sequence().iter().enumerate() {
        let thickness = grid.axes.thicknesses.get(usize::from(restack.thickness));
        let count = grid.axes.restacks.get(usize::from(restack.pieces));
        let (Some(thickness), Some(count)) = (thickness, count) else {
            return Err(none());
        };
        let ordinal = ["First", "Second", "Third", "Fourth"];
        let title = format!("{} weld", ordinal.get(at).copied().unwrap_or("Next"));
        weld(&mut bench, &title)?;
        let title = format!(
            "Draw out the {} bar",
            ordinal.get(at).copied().unwrap_or("next").to_lowercase()
        );
        let scale = bench.allow.scale;
        draw(&mut bench, &title, outer.width, *thickness, scale)?;
        bench.end_day("Measure cold, weigh, and write the length on the bar.")?;
        again(&mut bench, *count)?;
    }
    after_pile::run(&mut bench, &grid.shape)?;
    let (minutes, heats, welds) = (bench.minutes, bench.heats, bench.welds);
    let notes = notes(grid, &bench);
    let title = wish.title.clone();
    Ok(Composed {
        plan: bench.plan(pieces, outer.width, length, title, notes),
        minutes,
        heats,
        welds,
    })
}

/// Trim, grind, cut and pile again.
fn again(bench: &mut Bench<'_>, count: u32) -> Result<(), Refusal> {
    trim(bench)?;
    let per_face = bench.allow.grind;
    grind(bench, per_face, Faces::Two)?;
    let made = Move::Cut {
        pieces: count,
        length: None,
        kerf: bench.allow.kerf,
        keep_rest: false,
    };
    let say = Say {
        done: Some(format!("{count} pieces of one length")),
        cautions: vec!["Trim both ends before this cut, or the pieces come out short.".to_owned()],
        ..Say::default()
    };
    bench.put(made, say)?;
    let made = Move::Restack {
        arrange: Arrange::Pile,
    };
    let say = Say {
        done: Some(format!("{count} pieces, all the same way up")),
        notes: vec!["Mark the top face.".to_owned()],
        ..Say::default()
    };
    bench.put(made, say)
}

fn notes(grid: &Grid, bench: &Bench<'_>) -> Vec<String> {
    let mut notes = vec![format!(
        "{} layers by the multiplication, {} bands to the eye: like faces merge in a seam, and scale and flat grinds take outer bands away.",
        bench.billet.nominal,
        bench.billet.bands(),
    )];
    notes.push(format!(
        "Drafted with {:.0} % metal over what the sum needs; heats, hours and losses are estimates until this shop's own are known.",
        grid.wish.spare.percent()
    ));
    if matches!(
        grid.wish.goal.pattern,
        Pattern::ThreeLayer | Pattern::Jacket | Pattern::Tiles
    ) {
        notes.push("The core must come out in the middle: equal heats on each face, and turn the bar over every heat.".to_owned());
    }
    notes
}
