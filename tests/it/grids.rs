//! Bars joined as a grid of rows and columns, against cells worked one by one and against a block of pieces.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::cast_possible_truncation
)]

use anvilside::billet::{
    Arrange, Billet, Faces, Lay, Move, Piece, Reading, StackPiece, SteelId, apply,
};
use anvilside::pattern::{Chain, Hand};
use anvilside::units::Mm;

use crate::bars::{Job, WELD, allowances, errors, steels};
use crate::common::dice::Dice;

fn of(bar: &str, turns: u8) -> Piece {
    Piece::Of {
        bar: bar.to_owned(),
        turns,
    }
}

#[test]
fn a_hundred_and_fifty_grids_are_their_cells_worked_one_by_one() {
    let mut dice = Dice(31_415);
    let mut done = 0;
    for number in 0..150 {
        let (columns, rows) = (2 + dice.up_to(3), 2 + dice.up_to(2));
        let mut job = Job::new(&mut dice, columns * rows);
        let names: Vec<String> = job.grids.iter().map(|(name, _)| name.clone()).collect();
        for bar in &names {
            job.begin(&mut dice, bar, 3);
        }
        let turns: Vec<u8> = names
            .iter()
            .enumerate()
            .map(|(at, _)| if at == 0 { 0 } else { dice.up_to(4) as u8 })
            .collect();
        let laid = names.iter().zip(&turns).skip(1);
        let made = Move::Join {
            with: laid.map(|(bar, turns)| of(bar, *turns)).collect(),
            lay: Lay::Grid {
                columns: columns as u32,
            },
            fit: true,
        };
        if !job.lays(&names[0], &made) {
            continue;
        }
        let cells: Vec<_> = names
            .iter()
            .zip(&turns)
            .map(|(bar, turns)| {
                let own = job.grid(bar).clone();
                (0..*turns).fold(own, |grid, _| grid.turned())
            })
            .collect();
        let mut whole: Option<crate::oracle::cells::Grid> = None;
        for row in cells.chunks(columns) {
            let [_, high] = row[0].size();
            let line = row[1..].iter().fold(row[0].clone(), |line, on| {
                line.beside(&on.fitted(high, false))
            });
            whole = Some(match whole {
                None => line,
                Some(below) => {
                    let [wide, _] = below.size();
                    below.under(&line.fitted(wide, true))
                }
            });
        }
        let name = format!("grid {number}, {columns} x {rows}");
        job.holds_on(&mut dice, &names[0], whole.unwrap(), &name);
        done += 1;
    }
    assert!(done > 60, "{done}");
}

/// Four pieces of one bar, turned by turns: the block that a restack makes of them, which has a way back and
/// counts of its own.
#[test]
fn a_grid_of_pieces_turned_by_turns_is_the_block_of_a_restack() {
    let allow = allowances();
    let run = |last: &Move| {
        let pieces: Vec<StackPiece> = [(0, 5.0), (1, 2.0), (0, 4.0), (2, 3.0), (1, 6.0)]
            .map(|(steel, thickness)| StackPiece {
                steel: SteelId(steel),
                thickness: Mm(thickness),
            })
            .to_vec();
        let start = Billet::new(&pieces, Mm(20.0), Mm(200.0), steels());
        let cut = Move::Cut {
            pieces: 4,
            length: None,
            kerf: Mm(1.0),
            keep_rest: false,
        };
        let grind = Move::Grind {
            per_face: Mm(0.3),
            faces: Faces::Four,
        };
        let moves = [Move::STACK, WELD, grind, cut, last.clone(), WELD];
        moves.iter().fold(start, |metal, made| {
            apply(&metal, made, &allow, &Reading::default())
                .unwrap()
                .billet
        })
    };
    let block = run(&Move::Restack {
        arrange: Arrange::Block {
            columns: 2,
            rows: 2,
            turned: true,
        },
    });
    let grid = run(&Move::Join {
        with: vec![of("", 1), of("", 1), of("", 0)],
        lay: Lay::Grid { columns: 2 },
        fit: false,
    });
    let sizes = |metal: &Billet| [metal.bar.width.0, metal.bar.thickness.0, metal.bar.length.0];
    for (a, b) in sizes(&block).into_iter().zip(sizes(&grid)) {
        assert!((a - b).abs() < 1e-9, "{a} {b}");
    }
    assert!((block.volume() - grid.volume()).0.abs() < 1e-6);
    for steel in (0..3).map(SteelId) {
        assert!((block.volume_of(steel) - grid.volume_of(steel)).0.abs() < 1e-6);
    }
    let [one, other] =
        [&block, &grid].map(|metal| Chain::new(&metal.first, &metal.history, Hand::ruled()));
    let [w, t, _] = sizes(&block);
    for at in 0..40 {
        for up in 0..40 {
            let y = w * ((f64::from(at) + 0.37) / 40.0 - 0.5);
            let z = t * ((f64::from(up) + 0.41) / 40.0 - 0.5);
            let seen = [&one, &other].map(|chain| chain.steel_at(Mm(2.0), Mm(y), Mm(z)));
            assert_eq!(seen[0], seen[1], "{y} {z}");
        }
    }
}

const PLAN: &str = r#"
title = "Grid"
units = "mm"
[goal]
pattern = "twist"
bands = [2, 60]
[goal.blade]
length = 100
width = 25
spine = 3
[steels]
A = "SAE 1084"
B = "75Ni8"
[[bar]]
name = "dark"
width = 12
length = 100
pieces = ["A 12 mm"]
[[bar]]
name = "light"
width = 12
length = 100
pieces = ["B 12 mm"]
[[bar]]
name = "third"
width = 14
length = 100
pieces = ["A 12 mm"]
[[bar]]
name = "fourth"
width = 12
length = 100
pieces = ["A 12 mm"]
[[step]]
kind = "join"
id = "checks"
bar = "dark"
with = ["light", "third", "fourth"]
lay = "grid"
columns = 2
[[step]]
kind = "weld"
"#;

/// What cannot be laid in rows is said with the bar or the row, the step, and how far off it is.
#[test]
fn errors_name_the_step_the_row_and_what_to_do() {
    // 26 mm of the upper row over 24 mm: 2 mm, 8 %.
    let wide = errors(PLAN);
    assert!(
        wide.iter().any(|line| line
            .starts_with("checks: bar 'row 2' is 26 mm wide where it covers 24 mm: 2 mm too much")),
        "{wide:?}"
    );
    let odd = errors(&PLAN.replace(
        "[\"light\", \"third\", \"fourth\"]",
        "[\"light\", \"fourth\"]",
    ));
    assert!(
        odd.iter().any(|line| line.starts_with(
            "checks: a grid of 3 bars in rows of 2; write columns so that all rows are full"
        )),
        "{odd:?}"
    );
    let stray = errors(&PLAN.replace("lay = \"grid\"", "lay = \"pile\""));
    assert!(
        stray.iter().any(|line| line
            .contains("columns belongs to a grid; add lay = \"grid\", or leave columns out")),
        "{stray:?}"
    );
    let fits = PLAN.replace("width = 14", "width = 12");
    assert!(errors(&fits).is_empty(), "{:?}", errors(&fits));
}
