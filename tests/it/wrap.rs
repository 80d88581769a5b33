//! The edge carried round the point: metal, places and faces against sums of their own, and what is refused.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::cast_possible_truncation
)]

use anvilside::billet::{
    Allowances, Billet, FrameBar, Hand, Move, Reading, Refusal, Side, Sizes, StackPiece, SteelId,
    apply,
};
use anvilside::pattern::{Chain, Hand as Worked};
use anvilside::plan;
use anvilside::planner::forecast::{Start, forecast};
use anvilside::planner::learn::{ShopBook, learn};
use anvilside::units::{Fraction, Mm};

use crate::bars::{WELD, allowances, steels};
use crate::common::{Desk, plan_text};

const F: SteelId = SteelId(2);

fn sized(width: f64, thickness: f64) -> Move {
    Move::Square {
        to: Sizes {
            width: Some(Mm(width)),
            thickness: Some(Mm(thickness)),
            length: None,
        },
        scale: Fraction::ZERO,
    }
}

fn made(metal: &Billet, made: &Move, allow: &Allowances) -> Billet {
    apply(metal, made, allow, &Reading::default())
        .unwrap_or_else(|why| panic!("{made:?}: {why}"))
        .billet
}

/// A layered core 20 x 12 with 8 mm of plain steel along the edge, 100 mm long.
fn blank() -> Billet {
    let pieces: Vec<StackPiece> = [(0, 5.0), (1, 3.0), (0, 4.0)]
        .map(|(steel, thickness)| StackPiece {
            steel: SteelId(steel),
            thickness: Mm(thickness),
        })
        .to_vec();
    let start = Billet::new(&pieces, Mm(20.0), Mm(100.0), steels());
    let frame = Move::Frame {
        bars: vec![FrameBar::plain(Side::Edge, F, Mm(8.0))],
        fit: false,
    };
    let allow = allowances();
    [Move::STACK, WELD, frame, WELD]
        .iter()
        .fold(start, |metal, step| made(&metal, step, &allow))
}

/// By hand: 28 x 12 x 100 of which 8 of 28 mm are plain, and 8 mm more of it round the end.
#[test]
fn the_metal_is_that_of_the_bar_and_of_what_lies_round_its_end() {
    let allow = allowances();
    let before = blank();
    let after = made(&before, &Move::Wrap { thickness: None }, &allow);
    let bar = &after.bar;
    assert!((bar.length.0 - 108.0).abs() < 1e-9);
    assert!((after.volume().0 - 28.0 * 12.0 * 108.0).abs() < 1e-6);
    let plain = after.volume_of(F).0;
    assert!(
        (plain - (8.0 * 12.0 * 100.0 + 28.0 * 12.0 * 8.0)).abs() < 1e-6,
        "{plain}"
    );
    // 5 of 12 mm of the core's 20.
    let low = after.volume_of(SteelId(0)).0;
    assert!(
        (low - 9.0 / 12.0 * 20.0 * 12.0 * 100.0).abs() < 1e-6,
        "{low}"
    );
    assert!((after.ledger.left() - after.volume()).0.abs() < 1e-6);
    let added = (after.ledger.added - before.ledger.added).0;
    assert!((added - 28.0 * 12.0 * 8.0).abs() < 1e-6, "{added}");
    // A caliper reading of the length is the smith's word: half a millimetre is missing.
    let read = Reading {
        length: Some(Mm(107.5)),
        ..Reading::default()
    };
    let outcome = apply(&before, &Move::Wrap { thickness: None }, &allow, &read).unwrap();
    assert!((outcome.billet.bar.length.0 - 107.5).abs() < 1e-9);
    assert!(
        (outcome.billet.ledger.left() - outcome.billet.volume())
            .0
            .abs()
            < 1e-6
    );
}

/// Cells along, across and through: past the end that was there all is plain, before it the bar is as it was, at
/// every stage of the work behind; a trim takes of the plain end what it takes.
#[test]
fn every_place_is_that_of_the_bar_or_of_the_plain_end() {
    let allow = allowances();
    let before = blank();
    let chain_of = |metal: &Billet| Chain::new(&metal.first, &metal.history, Worked::ruled());
    let thickness = Some(Mm(6.0));
    let mut metal = made(&before, &Move::Wrap { thickness }, &allow);
    let mut plain = 6.0;
    let moves = [
        sized(26.0, 10.0),
        Move::Trim {
            ends: [Mm(4.0), Mm(2.5)],
        },
        sized(30.0, 5.0),
    ];
    for step in std::iter::once(None).chain(moves.iter().map(Some)) {
        if let Some(step) = step {
            let was = metal.bar.length.0;
            metal = made(&metal, step, &allow);
            match step {
                Move::Trim { .. } => plain -= 2.5,
                _ => plain *= metal.bar.length.0 / was,
            }
        }
        let bar = &metal.bar;
        let cap = bar.cap.unwrap();
        assert!((cap.length.0 - plain).abs() < 1e-9, "{cap:?} {plain}");
        let chain = chain_of(&metal);
        let (w, t, l) = (bar.width.0, bar.thickness.0, bar.length.0);
        let end = l - plain;
        let (mut inside, mut outside) = (0, 0);
        for n in 0..40 {
            let x = l * (f64::from(n) + 0.5) / 40.0;
            for across in 0..14 {
                let y = w * (f64::from(across) + 0.45) / 14.0;
                for up in 0..9 {
                    let z = t * (f64::from(up) + 0.55) / 9.0;
                    if (x - end).abs() < 1e-3 * l {
                        continue;
                    }
                    let wanted = if x > end {
                        outside += 1;
                        Some(F)
                    } else {
                        inside += 1;
                        bar.steel_at(Mm(y), Mm(z))
                    };
                    let seen = chain.steel_at(Mm(x), Mm(y - 0.5 * w), Mm(z - 0.5 * t));
                    assert_eq!(seen, wanted, "{x} {y} {z} of {l}, plain from {end}");
                }
            }
        }
        assert!(inside > 3_000 && outside > 100, "{inside} {outside}");
        // Its share of the steels, by the cells' own rule.
        let share = bar.share_of(F);
        let sum = plain / l + (1.0 - plain / l) * 8.0 / 28.0;
        assert!((share - sum).abs() < 1e-9, "{share} {sum}");
    }
}

fn refused(metal: &Billet, step: &Move) -> Refusal {
    apply(metal, step, &allowances(), &Reading::default()).unwrap_err()
}

#[test]
fn what_cannot_be_wrapped_and_what_a_wrapped_bar_cannot_go_through_is_said() {
    let allow = allowances();
    let bare = Billet::new(
        &[StackPiece {
            steel: F,
            thickness: Mm(8.0),
        }],
        Mm(20.0),
        Mm(100.0),
        steels(),
    );
    let wrap = Move::Wrap { thickness: None };
    let none = refused(&bare, &wrap);
    assert!(
        none.what.contains("has no plain bar along its edge"),
        "{none}"
    );
    let metal = made(&blank(), &wrap, &allow);
    let cut = Move::Cut {
        pieces: 2,
        length: None,
        kerf: Mm(1.0),
        keep_rest: false,
    };
    let twist = Move::Twist {
        turns: 1.0,
        over: None,
        from: None,
        hand: Hand::Right,
    };
    for step in [cut, twist, wrap] {
        let why = refused(&metal, &step);
        assert!(why.what.contains("is a blank for one knife"), "{why}");
        assert_eq!(why.remedy, "move this step before the wrap");
    }
    // 8 mm off the far end takes all of it.
    let trim = Move::Trim {
        ends: [Mm(1.0), Mm(8.0)],
    };
    let outcome = apply(&metal, &trim, &allow, &Reading::default()).unwrap();
    assert_eq!(outcome.billet.bar.cap, None);
    assert!(
        outcome
            .warnings
            .iter()
            .any(|odd| odd.text.contains("takes the plain steel round it"))
    );
}

/// The forecast of the sample: what lies round the end fills the blade from its point, in slices added up until
/// they hold it; 1 mm goes in grinding and sharpening.
#[test]
fn the_forecast_says_how_far_back_from_the_point_the_blade_is_plain() {
    let plan = plan::read(&plan_text("four-twist-edges")).unwrap().0;
    let start = Start::of_plan(&plan);
    let lessons = learn(&[], &ShopBook::default(), Some(&plan));
    let seen = forecast(&start, &lessons, 7, 400);
    let point = seen.edge.unwrap().point.unwrap();
    let walk = plan::dry_run(&plan, 0, &plan.first_billet());
    let at = plan
        .steps
        .iter()
        .position(|step| step.id.0 == "wrap-1")
        .unwrap();
    let bar = &walk.rows[at].billet.bar;
    let cap = bar.cap.unwrap();
    let holds = cap.length.0 * bar.width.0 * bar.thickness.0;
    // As the plan forges it: 1/4 in at the spine, so half of 1/4 less 7/32 is ground off each face.
    let inch = |n: f64| 25.4 * n;
    let more = inch(0.25) - inch(7.0 / 32.0);
    let (heel, tip, edge) = (inch(0.25), inch(0.125) + more, inch(0.012) + more);
    let (length, high) = (inch(24.0), inch(1.5625));
    let slice = length / 100_000.0;
    let (mut sum, mut back) = (0.0, 0.0);
    while sum < holds {
        back += slice;
        let u: f64 = 1.0 - back / length;
        let spine = heel + (tip - heel) * u;
        sum += slice * high * (1.0 - u * u * u) * (spine + edge) / 2.0;
    }
    let wanted = back - 1.0;
    assert!(
        (point.best - wanted).abs() < 0.06 * wanted && point.low < wanted && wanted < point.high,
        "{point:?} {wanted}"
    );
}

#[test]
fn the_card_asks_for_the_corner_and_the_step_is_worked() {
    let mut desk = Desk::sample("four-twist-edges");
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    desk.go_to("wrap-1");
    let card = desk.model.session.card();
    assert!(
        card.items
            .iter()
            .any(|item| item.caution.id.0 == "wrap.corner"),
        "{card:?}"
    );
    desk.answer_card();
    assert!(
        desk.shows("LENGTH with the plain end on"),
        "{}",
        desk.screen(80, 24)
    );
    let wanted = desk
        .model
        .situation
        .size(anvilside::billet::Dimension::Length)
        .unwrap()
        .wanted;
    let after = desk.model.session.after_step().unwrap().bar.length.0;
    assert!((wanted - after).abs() < 1e-9);
    desk.finish_step();
    assert!(desk.model.session.billet.bar.cap.is_some());
    let text = plan_text("four-twist-edges").replace("thickness = \"1/8 in\"\n", "");
    let plan = plan::read(&text).unwrap().0;
    let again = plan::read(&anvilside::planner::write::write(&plan, &[]))
        .unwrap()
        .0;
    assert!(
        again
            .steps
            .iter()
            .zip(&plan.steps)
            .all(|(a, b)| a.made == b.made)
    );
}
