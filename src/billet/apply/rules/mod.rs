//! Each rule of each move, one at a time.

mod blades;
mod oddities;
mod openings;
mod order;
mod pieces;
mod readings;
mod sides;
mod sizes_asked;
mod upsets;

use super::plans::{
    PILE, allowances, alternating, billet, cut, draw, grind, run, sizes, trim, weld,
};
use crate::billet::{
    Allowances, Arrange, Billet, Faces, Figure, FrameBar, Groove, Hand, Layers, Loss, Move,
    Outcome, Part, Reading, Refusal, Side, Sizes, Stage, Stand, SteelId, apply,
};
use crate::units::{Fraction, Grams, Mm, Mm3, Units};

const A: SteelId = SteelId(0);
const C: SteelId = SteelId(2);

/// The welded bar of nine layers, 40 x 14 x 345.5, and the moves to it.
fn bar() -> Billet {
    after(&[Move::STACK, weld(), draw(40.0, 14.0, 4.0)])
}

fn after(moves: &[Move]) -> Billet {
    let start = billet(&alternating(9, 6.0, 3.0), 40.0, 120.0);
    run(&start, moves, &allowances()).pop().unwrap().billet
}

fn then(from: &Billet, moves: &[Move]) -> Billet {
    run(from, moves, &allowances()).pop().unwrap().billet
}

fn read(from: &Billet, made: &Move, reading: Reading) -> Outcome {
    let outcome = apply(from, made, &allowances(), &reading).unwrap();
    let now = &outcome.billet;
    let out = now.volume() + now.stock_volume();
    assert!(out.near(now.ledger.left(), 1e-6), "{made:?}");
    outcome
}

#[track_caller]
fn refused(from: &Billet, made: &Move) -> Refusal {
    refused_with(from, made, &allowances())
}

#[track_caller]
fn refused_with(from: &Billet, made: &Move, allow: &Allowances) -> Refusal {
    apply(from, made, allow, &Reading::default()).unwrap_err()
}

#[track_caller]
fn near(got: Mm, want: f64) {
    assert!(got.near(Mm(want), 1e-6), "{got:?} for {want}");
}

fn thickness(mm: f64) -> Reading {
    Reading {
        thickness: Some(Mm(mm)),
        ..Reading::default()
    }
}

fn calipers(width: f64, thickness: f64, length: f64) -> Reading {
    Reading {
        width: Some(Mm(width)),
        thickness: Some(Mm(thickness)),
        length: Some(Mm(length)),
        ..Reading::default()
    }
}

fn mass(grams: f64) -> Reading {
    Reading {
        mass: Some(Grams(grams)),
        ..Reading::default()
    }
}

fn frame(side: Side, thickness: f64) -> FrameBar {
    FrameBar::plain(side, C, Mm(thickness))
}
