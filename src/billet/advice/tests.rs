//! Advice against the same moves made one by one.

use super::{Advice, Ends, Outset, restacks};
use crate::billet::{
    Allowances, Arrange, Billet, Faces, Move, Reading, Sizes, StackPiece, SteelId, Stock, apply,
};
use crate::units::{Density, Fraction, Mm, Units};

const CHOICES: [u32; 5] = [2, 3, 4, 5, 7];
const SECTION: (Mm, Mm) = (Mm(40.0), Mm(14.0));

fn allowances() -> Allowances {
    Allowances {
        kerf: Mm(2.0),
        grind: Mm(0.5),
        trim: Mm(10.0),
        scale: Fraction(0.04),
        mark: Mm(0.5),
        shortest: Mm(60.0),
        widest: None,
        tallest: None,
        longest: None,
        finished: None,
        shape: crate::billet::Shape::PLAIN,
        units: Units::Mm,
    }
}

/// Nine layers, 5 of 6 mm and 4 of 3 mm, 40 wide and 120 long.
fn nine() -> Billet {
    let piece = |at: u8| StackPiece {
        steel: SteelId(at % 2),
        thickness: Mm(if at.is_multiple_of(2) { 6.0 } else { 3.0 }),
    };
    let pieces: Vec<StackPiece> = (0..9).map(piece).collect();
    let steel = |letter| Stock {
        letter,
        name: String::new(),
        density: Density(7.85),
    };
    Billet::new(
        &pieces,
        Mm(40.0),
        Mm(120.0),
        vec![steel('A'), steel('B')].into(),
    )
}

fn of(all: &[Advice], pieces: u32) -> &Advice {
    all.iter().find(|advice| advice.pieces == pieces).unwrap()
}

#[test]
fn the_worked_plan_needs_two_restacks_of_four() {
    // 9 bands, then 33, then 111 where counting without grind and scale says 129: see the worked plan.
    let all = restacks(
        &Outset::of(&nine()),
        &allowances(),
        SECTION,
        (110, 130),
        &CHOICES,
    );
    assert_eq!(all.len(), 5);
    let four = of(&all, 4);
    assert_eq!(four.ends, Ends::Reaches);
    let bands: Vec<u128> = four.rounds.iter().map(|round| round.bands).collect();
    let nominal: Vec<u128> = four.rounds.iter().map(|round| round.nominal).collect();
    assert_eq!((bands, nominal), (vec![33, 111], vec![36, 144]));
    let [first, second] = [four.rounds[0], four.rounds[1]];
    assert!(first.piece.near(Mm(79.5), 1e-9) && second.piece.near(Mm(64.0), 1e-9));
    assert!(first.height.near(Mm(52.0), 1e-9) && first.length.near(Mm(283.0), 1e-9));
    assert!(first.long_enough && !first.too_tall);
    // 133 120 mm3 less 4 % over 40 x 14 is 228.2 mm.
    assert!(four.length.near(Mm(228.0), 1e-9));
}

#[test]
fn every_choice_is_what_the_moves_make() {
    let all = restacks(
        &Outset::of(&nine()),
        &allowances(),
        SECTION,
        (120, 140),
        &CHOICES,
    );
    for advice in &all {
        let mut now = nine();
        let step = |now: &Billet, made: Move| {
            apply(now, &made, &allowances(), &Reading::default())
                .unwrap()
                .billet
        };
        let close = |now: &Billet| {
            let (width, thickness) = SECTION;
            let to = Sizes {
                width: Some(width),
                thickness: Some(thickness),
                length: None,
            };
            let scale = Fraction(0.0);
            let welded = step(
                now,
                Move::Weld {
                    to: Sizes::default(),
                    scale,
                },
            );
            step(
                &welded,
                Move::Draw {
                    to,
                    scale: Fraction(0.04),
                },
            )
        };
        now = step(&now, Move::STACK);
        now = close(&now);
        for round in &advice.rounds {
            now = step(
                &now,
                Move::Trim {
                    ends: [Mm(10.0); 2],
                },
            );
            let (per_face, faces) = (Mm(0.5), Faces::Two);
            now = step(&now, Move::Grind { per_face, faces });
            now = step(
                &now,
                Move::Cut {
                    pieces: advice.pieces,
                    length: None,
                    kerf: Mm(2.0),
                    keep_rest: false,
                },
            );
            assert!(now.bar.length.near(round.piece, 1e-9));
            assert_eq!(round.long_enough, round.piece.0 >= 60.0);
            let arrange = Arrange::Pile;
            now = step(&now, Move::Restack { arrange });
            assert!(now.bar.thickness.near(round.height, 1e-9));
            now = close(&now);
            assert_eq!((now.bands(), now.nominal), (round.bands, round.nominal));
        }
        assert!(now.volume().near(advice.left, 1e-6));
    }
    // Seven 49 mm pieces out of one bar are too short to hold at 60.
    assert_eq!(of(&all, 7).ends, Ends::TooShort);
    assert!(!of(&all, 7).rounds.last().unwrap().long_enough);
}

#[test]
fn done_over_and_never_are_told_apart() {
    let there = restacks(
        &Outset::of(&nine()),
        &allowances(),
        SECTION,
        (5, 20),
        &CHOICES,
    );
    assert!(
        there
            .iter()
            .all(|advice| advice.count() == 0 && advice.works())
    );
    let over = restacks(&Outset::of(&nine()), &allowances(), SECTION, (10, 12), &[3]);
    assert_eq!(of(&over, 3).ends, Ends::Overshoots);
    // 3 mm thick and 1.5 a face: nothing is left to pile.
    let greedy = Allowances {
        grind: Mm(1.5),
        ..allowances()
    };
    let never = restacks(
        &Outset::of(&nine()),
        &greedy,
        (Mm(40.0), Mm(3.0)),
        (100, 200),
        &[2],
    );
    assert_eq!(of(&never, 2).ends, Ends::Never);
    assert_eq!(of(&never, 2).count(), 0);
}

#[test]
fn a_pile_in_hand_is_finished_first_and_a_blade_has_no_advice() {
    let allow = allowances();
    let mut now = nine();
    let moves = [
        Move::STACK,
        Move::Weld {
            to: Sizes::default(),
            scale: Fraction(0.0),
        },
    ];
    for made in moves {
        let all = restacks(&Outset::of(&now), &allow, SECTION, (110, 130), &[4]);
        assert_eq!(of(&all, 4).bands, 111, "before {made:?}");
        now = apply(&now, &made, &allow, &Reading::default())
            .unwrap()
            .billet;
    }
    let blank = Move::RoughGrind {
        edge: Mm(1.0),
        share: None,
    };
    now = apply(&now, &blank, &allow, &Reading::default())
        .unwrap()
        .billet;
    assert!(restacks(&Outset::of(&now), &allow, SECTION, (120, 140), &CHOICES).is_empty());
}
