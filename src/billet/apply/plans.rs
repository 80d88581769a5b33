//! Four plans worked by hand (volume constancy, every loss named), as sequences of moves. The figures
//! were worked out beside this code, by a script that asserts the balance; the band counts layer by
//! layer. Naive counts (like faces merged, grinding ignored) would be 129 and 97 bands for the first
//! and third.

use crate::billet::{
    Allowances, Arrange, Billet, Faces, FrameBar, Groove, Loss, Move, Outcome, Reading, Side,
    Sizes, StackPiece, Stage, SteelId, Stock, apply,
};
use crate::units::{Density, Fraction, Mm, Units};

const A: SteelId = SteelId(0);
const B: SteelId = SteelId(1);

pub(super) fn allowances() -> Allowances {
    Allowances {
        kerf: Mm(2.0),
        grind: Mm(0.5),
        trim: Mm(10.0),
        scale: Fraction(0.04),
        mark: Mm(0.5),
        shortest: Mm(30.0),
        widest: None,
        tallest: None,
        longest: None,
        finished: None,
        shape: crate::billet::Shape::PLAIN,
        units: Units::Mm,
    }
}

pub(super) fn billet(pieces: &[(SteelId, f64)], width: f64, length: f64) -> Billet {
    let steel = |letter| Stock {
        letter,
        name: format!("steel {letter}"),
        density: Density(7.85),
    };
    let pieces: Vec<StackPiece> = pieces
        .iter()
        .map(|(steel, thickness)| StackPiece {
            steel: *steel,
            thickness: Mm(*thickness),
        })
        .collect();
    let steels: Vec<Stock> = "ABC".chars().map(steel).collect();
    Billet::new(&pieces, Mm(width), Mm(length), steels.into())
}

/// `count` alternating layers, A outside.
pub(super) fn alternating(count: usize, a: f64, b: f64) -> Vec<(SteelId, f64)> {
    let piece = |at: usize| if at.is_multiple_of(2) { (A, a) } else { (B, b) };
    (0..count).map(piece).collect()
}

pub(super) fn sizes(width: f64, thickness: f64) -> Sizes {
    Sizes {
        width: Some(Mm(width)),
        thickness: Some(Mm(thickness)),
        length: None,
    }
}

pub(super) fn draw(width: f64, thickness: f64, percent: f64) -> Move {
    Move::Draw {
        to: sizes(width, thickness),
        scale: Fraction::from_percent(percent),
    }
}

pub(super) fn weld() -> Move {
    Move::Weld {
        to: Sizes::default(),
        scale: Fraction(0.0),
    }
}

pub(super) fn trim(held: f64, far: f64) -> Move {
    Move::Trim {
        ends: [Mm(held), Mm(far)],
    }
}

pub(super) fn grind(per_face: f64, faces: Faces) -> Move {
    Move::Grind {
        per_face: Mm(per_face),
        faces,
    }
}

pub(super) fn cut(pieces: u32, length: Option<f64>, kerf: f64) -> Move {
    Move::Cut {
        pieces,
        length: length.map(Mm),
        kerf: Mm(kerf),
        keep_rest: false,
    }
}

pub(super) const PILE: Move = Move::Restack {
    arrange: Arrange::Pile,
};

/// Makes the moves, checks the balance after each, and gives every outcome.
pub(super) fn run(start: &Billet, moves: &[Move], allow: &Allowances) -> Vec<Outcome> {
    let mut now = start.clone();
    let mut all = Vec::new();
    for made in moves {
        let outcome = apply(&now, made, allow, &Reading::default())
            .unwrap_or_else(|refusal| panic!("{made:?}: {refusal}"));
        now = outcome.billet.clone();
        let out = now.volume() + now.stock_volume();
        assert!(
            out.near(now.ledger.left(), 1e-6),
            "{made:?}: {out:?} for {:?}",
            now.ledger.left()
        );
        all.push(outcome);
    }
    all
}

#[track_caller]
fn is(billet: &Billet, pieces: u32, width: f64, thickness: f64, length: f64) {
    let bar = &billet.bar;
    let got = [bar.width.0, bar.thickness.0, bar.length.0];
    for (got, want) in got.iter().zip([width, thickness, length]) {
        assert!((got - want).abs() < 1e-6, "{bar:?} is not {want}");
    }
    assert_eq!(billet.pieces, pieces);
}

#[track_caller]
fn counts(billet: &Billet, nominal: u128, bands: u128) {
    assert_eq!((billet.nominal, billet.bands()), (nominal, bands));
}

/// Totals by loss, in the unit that `per` converts to.
#[track_caller]
fn lost(billet: &Billet, per: f64, tolerance: f64, want: [f64; 6]) {
    for (loss, want) in Loss::ALL.iter().zip(want) {
        let got = billet.ledger.total(*loss).0 / per;
        assert!(
            (got - want).abs() <= tolerance,
            "{}: {got} for {want}",
            loss.word()
        );
    }
}

/// Nine layers restacked by 4 and 4 to kitchen knives, millimetres.
#[test]
fn nine_by_four_by_four() {
    let start = billet(&alternating(9, 6.0, 3.0), 40.0, 120.0);
    let moves = [
        Move::Prepare,
        Move::STACK,
        weld(),
        draw(40.0, 14.0, 4.0),
        trim(10.0, 10.0),
        grind(0.5, Faces::Two),
        cut(4, None, 2.0),
        PILE,
        weld(),
        draw(40.0, 14.0, 4.0),
        trim(10.0, 10.0),
        grind(0.5, Faces::Two),
        cut(4, None, 2.0),
        PILE,
        weld(),
        draw(45.0, 5.0, 4.0),
        trim(15.0, 28.5),
        cut(2, Some(260.0), 2.0),
    ];
    let all = run(&start, &moves, &allowances());
    let at = |step: usize| &all[step].billet;
    is(at(1), 1, 40.0, 42.0, 120.0);
    assert!(at(1).volume().near(crate::units::Mm3(201_600.0), 1e-6));
    assert!((at(1).mass().0 - 1582.56).abs() < 1e-6);
    is(at(3), 1, 40.0, 14.0, 345.5);
    counts(at(3), 9, 9);
    is(at(6), 4, 40.0, 13.0, 79.5);
    is(at(7), 1, 40.0, 52.0, 79.5);
    counts(at(7), 36, 33);
    is(at(9), 1, 40.0, 14.0, 283.0);
    counts(at(9), 36, 33);
    is(at(12), 4, 40.0, 13.0, 64.0);
    counts(at(12), 36, 29);
    is(at(13), 1, 40.0, 52.0, 64.0);
    counts(at(13), 144, 113);
    is(at(15), 1, 45.0, 5.0, 567.5);
    is(at(17), 2, 45.0, 5.0, 260.0);
    counts(at(17), 144, 111);
    assert_eq!(at(17).stage, Stage::Pieces);
    for (step, want) in [
        (3, 193_480.0),
        (6, 165_360.0),
        (9, 158_480.0),
        (12, 133_120.0),
        (15, 127_687.5),
        (17, 117_000.0),
    ] {
        assert!((at(step).volume().0 - want).abs() < 1e-6, "step {step}");
    }
    // The sums of the balance line, in its order: scale, trim, grind, kerf, groove, rounding.
    let want = [20_003.0, 32_188.0, 23_540.0, 7_140.0, 0.0, 1_729.0];
    lost(at(17), 1.0, 0.51, want);
    assert!(all.iter().all(|outcome| outcome.warnings.is_empty()));
    // 5 mm over 144 pieces of the first stack.
    assert!((5000.0 / 144.0_f64 - 34.7).abs() < 0.05);
    assert!((at(15).mean_band().0 - 5.0 / 111.0).abs() < 1e-9);
}

/// A turned W, framed, for integral bolsters, millimetres.
#[test]
fn turned_w_in_a_frame() {
    let start = billet(&alternating(13, 5.0, 2.0), 30.0, 90.0);
    let frame = |side, thickness| FrameBar::plain(side, SteelId(2), Mm(thickness));
    let moves = [
        Move::STACK,
        weld(),
        draw(24.0, 24.0, 4.0),
        Move::CornerCrush {
            to: sizes(23.0, 23.0),
            scale: Fraction(0.02),
        },
        trim(10.0, 10.0),
        grind(0.75, Faces::Four),
        cut(4, None, 2.0),
        Move::Restack {
            arrange: Arrange::Block {
                columns: 2,
                rows: 2,
                turned: true,
            },
        },
        weld(),
        draw(30.0, 18.0, 4.0),
        trim(8.0, 8.0),
        grind(0.5, Faces::Four),
        Move::Frame {
            bars: vec![frame(Side::Edge, 10.0), frame(Side::Spine, 6.0)],
            fit: false,
        },
        weld(),
        draw(32.0, 18.0, 4.0),
        trim(8.0, 44.5),
        cut(2, Some(65.0), 2.0),
    ];
    let all = run(&start, &moves, &allowances());
    let at = |step: usize| &all[step].billet;
    is(at(0), 1, 30.0, 47.0, 90.0);
    is(at(2), 1, 24.0, 24.0, 211.5);
    is(at(3), 1, 23.0, 23.0, 225.5);
    is(at(6), 4, 21.5, 21.5, 49.5);
    is(at(7), 1, 43.0, 43.0, 49.5);
    // A line through the thickness meets two of the four.
    counts(at(7), 52, 26);
    is(at(9), 1, 30.0, 18.0, 162.5);
    is(at(11), 1, 29.0, 17.0, 146.5);
    is(at(12), 1, 45.0, 17.0, 146.5);
    is(at(14), 1, 32.0, 18.0, 186.5);
    // Plain steel on the edge, the core, the spine.
    let bar = &at(14).bar;
    assert!(bar.frame_on(Side::Edge).near(Mm(7.0), 0.05));
    assert!(bar.core_width().near(Mm(20.9), 0.05));
    assert!(bar.frame_on(Side::Spine).near(Mm(4.1), 0.05));
    is(at(16), 2, 32.0, 18.0, 65.0);
    counts(at(16), 52, 26);
    let done = at(16);
    assert!((done.ledger.added.0 - 39_848.0).abs() < 0.51);
    lost(
        done,
        1.0,
        1.01,
        [15_656.0, 49_460.0, 20_603.0, 5_078.0, 0.0, 1_071.0],
    );
    assert!((done.volume().0 - 74_880.0).abs() < 1e-6);
}

/// Ladder-pattern hunting knives, inches and sixteenths.
#[test]
fn seventeen_by_three_by_two_with_a_ladder() {
    let inch = |value: f64| Mm::from_inch(value).0;
    let allow = Allowances {
        mark: Mm::from_inch(1.0 / 16.0),
        units: Units::Inch,
        ..allowances()
    };
    let start = billet(
        &alternating(17, inch(0.125), inch(0.0625)),
        inch(1.25),
        inch(5.0),
    );
    let bar = |thickness: f64, percent: f64| draw(inch(1.25), inch(thickness), percent);
    let ends = || trim(inch(0.375), inch(0.375));
    let flats = || grind(inch(1.0 / 32.0), Faces::Two);
    let saw = inch(1.0 / 16.0);
    let moves = [
        Move::STACK,
        weld(),
        bar(0.5, 4.0),
        ends(),
        flats(),
        cut(3, None, saw),
        PILE,
        weld(),
        bar(0.5, 4.0),
        ends(),
        flats(),
        cut(2, None, saw),
        PILE,
        weld(),
        bar(0.375, 4.0),
        ends(),
        Move::Groove {
            count: 24,
            width: Mm::from_inch(3.0 / 16.0),
            depth: Mm::from_inch(3.0 / 32.0),
            pitch: Mm::from_inch(3.0 / 8.0),
            shape: Groove::Round,
        },
        bar(0.25, 2.0),
        trim(inch(0.25), inch(0.25)),
        cut(2, None, saw),
    ];
    let all = run(&start, &moves, &allow);
    let at = |step: usize| &all[step].billet;
    let is_inch = |step: usize, pieces, width, thickness, length| {
        is(at(step), pieces, inch(width), inch(thickness), inch(length));
    };
    is_inch(0, 1, 1.25, 1.625, 5.0);
    is_inch(2, 1, 1.25, 0.5, 15.5625);
    counts(at(2), 17, 17);
    is_inch(5, 3, 1.25, 0.4375, 4.875);
    is_inch(6, 1, 1.25, 1.3125, 4.875);
    counts(at(6), 51, 49);
    is_inch(8, 1, 1.25, 0.5, 12.25);
    is_inch(11, 2, 1.25, 0.4375, 5.6875);
    counts(at(11), 51, 41);
    is_inch(12, 1, 1.25, 0.875, 5.6875);
    counts(at(12), 102, 81);
    is_inch(14, 1, 1.25, 0.375, 12.6875);
    is_inch(16, 1, 1.25, 0.375, 11.9375);
    assert!((at(16).volume().cubic_inch() - 4.767).abs() < 5e-4);
    let floor = at(16).bar.thickness - at(16).bar.depth;
    assert!((floor.inch() - 9.0 / 32.0).abs() < 1e-9);
    is_inch(17, 1, 1.25, 0.25, 14.9375);
    assert!(!at(17).bar.void.is_positive());
    is_inch(19, 2, 1.25, 0.25, 7.1875);
    counts(at(19), 102, 77);
    let cubic = 25.4_f64.powi(3);
    lost(
        at(19),
        cubic,
        6e-4,
        [1.070, 1.445, 2.056, 0.122, 0.828, 0.142],
    );
    assert!((at(19).volume().cubic_inch() - 4.492).abs() < 5e-4);
    assert!((at(19).mass().pounds() - 1.27).abs() < 5e-3);
}

/// Hard core between soft jackets, millimetres.
#[test]
fn three_layers() {
    let start = billet(&[(B, 8.0), (A, 5.0), (B, 8.0)], 40.0, 110.0);
    let moves = [
        Move::STACK,
        weld(),
        draw(42.0, 7.0, 4.0),
        trim(10.0, 10.0),
        // Cut hot: a chisel takes no kerf.
        cut(1, Some(270.0), 0.0),
    ];
    let all = run(&start, &moves, &allowances());
    let at = |step: usize| &all[step].billet;
    is(at(2), 1, 42.0, 7.0, 301.5);
    is(at(3), 1, 42.0, 7.0, 281.5);
    is(at(4), 1, 42.0, 7.0, 270.0);
    counts(at(4), 3, 3);
    let layers = &at(4).bar.core.layers;
    assert!(layers.summary().thickness_of(A).near(Mm(1.72), 0.005));
    assert!(
        layers
            .summary()
            .first()
            .is_some_and(|(steel, jacket)| { steel == B && jacket.near(Mm(2.64), 0.005) })
    );
    lost(at(4), 1.0, 0.51, [3_696.0, 5_880.0, 0.0, 0.0, 0.0, 3_444.0]);
    assert!((at(4).volume().0 - 79_380.0).abs() < 1e-6);
}
