//! Random jobs with random readings: whatever is done and read, metal in is metal out and losses.

use proptest::prelude::*;

use super::plans::{allowances, alternating, billet, sizes};
use crate::billet::{
    Arrange, Billet, Faces, FrameBar, Groove, Hand, Kind, Lay, Move, Part, Piece, Reading, Refusal,
    Side, Sizes, Stage, SteelId, Tiling, apply,
};
use crate::units::{Fraction, Grams, Mm};

/// What a reading says: a share of what is there, or nothing.
#[derive(Debug, Clone, Copy)]
struct Read {
    width: Option<f64>,
    thickness: Option<f64>,
    length: Option<f64>,
    mass: Option<f64>,
    bands: Option<u64>,
}

fn near_one() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![3 => Just(None), 2 => (0.9_f64..1.1).prop_map(Some), 1 => (0.2_f64..4.0).prop_map(Some)]
}

fn reading() -> impl Strategy<Value = Read> {
    let some = (
        near_one(),
        near_one(),
        near_one(),
        near_one(),
        prop_oneof![3 => Just(None), 1 => (0_u64..500).prop_map(Some)],
    )
        .prop_map(|(width, thickness, length, mass, bands)| Read {
            width,
            thickness,
            length,
            mass,
            bands,
        });
    let nothing = Read {
        width: None,
        thickness: None,
        length: None,
        mass: None,
        bands: None,
    };
    prop_oneof![1 => Just(nothing), 1 => some]
}

/// Sizes as shares of what is there, so that many of them can be made.
fn to() -> impl Strategy<Value = [Option<f64>; 3]> {
    let one = || prop_oneof![1 => Just(None), 2 => (0.3_f64..1.4).prop_map(Some)];
    [one(), one(), one()]
}

fn side() -> impl Strategy<Value = Side> {
    prop_oneof![
        Just(Side::Edge),
        Just(Side::Spine),
        Just(Side::Top),
        Just(Side::Bottom)
    ]
}

/// A move drawn from numbers: `share` sizes are multiplied with the bar's own.
#[derive(Debug, Clone)]
struct Draft {
    kind: Kind,
    to: [Option<f64>; 3],
    scale: f64,
    small: f64,
    count: u32,
    flag: bool,
    sides: Vec<Side>,
}

/// Mostly bar work, so that jobs do not all end as blades.
fn kind() -> impl Strategy<Value = Kind> {
    let bar: Vec<Kind> = (Kind::ALL.iter().copied())
        .filter(|kind| (Kind::Weld..=Kind::Split).contains(kind))
        .collect();
    prop_oneof![
        8 => prop::sample::select(bar),
        2 => prop_oneof![Just(Kind::Cut), Just(Kind::Restack), Just(Kind::Inspect)],
        1 => prop::sample::select(&Kind::ALL[..]),
    ]
}

fn draft() -> impl Strategy<Value = Draft> {
    (
        kind(),
        to(),
        prop_oneof![9 => 0.0_f64..0.2, 1 => -0.5_f64..1.5],
        prop_oneof![9 => 0.0_f64..4.0, 1 => -5.0_f64..80.0],
        prop_oneof![9 => 1_u32..6, 1 => 0_u32..2000],
        any::<bool>(),
        prop::collection::vec(side(), 0..4),
    )
        .prop_map(|(kind, to, scale, small, count, flag, sides)| Draft {
            kind,
            to,
            scale,
            small,
            count,
            flag,
            sides,
        })
}

fn make(draft: &Draft, now: &Billet) -> Move {
    let bar = &now.bar;
    let [width, thickness, length] = draft.to;
    let target = Sizes {
        width: width.map(|share| bar.width * share),
        thickness: thickness.map(|share| bar.thickness * share),
        length: length.map(|share| bar.length * share * 2.0),
    };
    let scale = Fraction(draft.scale);
    let small = Mm(draft.small);
    let count = draft.count;
    match draft.kind {
        Kind::Prepare => Move::Prepare,
        Kind::Stack => Move::STACK,
        Kind::Weld => Move::Weld { to: target, scale },
        Kind::Draw => Move::Draw { to: target, scale },
        Kind::Square => Move::Square { to: target, scale },
        Kind::Upset => Move::Upset { to: target, scale },
        Kind::QuarterTurn => Move::QuarterTurn,
        Kind::CornerCrush => Move::CornerCrush { to: target, scale },
        Kind::Trim => Move::Trim {
            ends: [small, small * 2.0],
        },
        Kind::Grind => Move::Grind {
            per_face: small * 0.3,
            faces: if draft.flag { Faces::Two } else { Faces::Four },
        },
        Kind::Cut => Move::Cut {
            pieces: count,
            length: target.length.map(|length| length * 0.2),
            kerf: small * 0.5,
            keep_rest: draft.flag,
        },
        Kind::Restack => Move::Restack {
            arrange: match count % 4 {
                0 => Arrange::Flipped,
                1 => Arrange::Block {
                    columns: 2,
                    rows: now.pieces / 2,
                    turned: draft.flag,
                },
                _ => Arrange::Pile,
            },
        },
        Kind::Fold => Move::Fold {
            plies: count,
            kerf: small,
        },
        Kind::Frame => Move::Frame {
            bars: draft
                .sides
                .iter()
                .map(|side| FrameBar::plain(*side, SteelId(2), small))
                .collect(),
            fit: draft.flag,
        },
        Kind::Join => Move::Join {
            with: vec![Piece::Of {
                bar: String::new(),
                turns: u8::try_from(count % 4).unwrap(),
            }],
            lay: if draft.flag { Lay::Pile } else { Lay::Beside },
            fit: true,
        },
        Kind::Jacket => Move::Jacket {
            with: vec![
                Piece::Of {
                    bar: String::new(),
                    turns: 0,
                };
                1 + usize::from(draft.flag)
            ],
            bare: small,
            fit: true,
        },
        Kind::Wrap => Move::Wrap {
            thickness: draft.flag.then_some(small),
        },
        Kind::Slice => Move::Slice {
            tiles: count,
            thickness: small * 3.0,
            lay: [Tiling::Alike, Tiling::Mirrored, Tiling::Turned][count as usize % 3],
            backing: draft
                .sides
                .iter()
                .take(1)
                .map(|_| FrameBar::plain(Side::Bottom, SteelId(2), small))
                .collect(),
            kerf: small * 0.5,
            keep_rest: draft.flag,
        },
        Kind::Unfold => Move::Unfold {
            cuts: count,
            web: small,
            kerf: small * 0.3,
        },
        Kind::Groove => Move::Groove {
            count,
            width: small,
            depth: small * 0.6,
            pitch: small * 1.7,
            shape: if draft.flag {
                Groove::Round
            } else {
                Groove::Vee
            },
        },
        Kind::Dimple => Move::Dimple {
            count,
            diameter: small,
            depth: small * 0.6,
            pressed: draft.flag,
        },
        Kind::Twist => Move::Twist {
            turns: f64::from(count) * 0.5,
            over: target.length,
            from: None,
            hand: Hand::Left,
        },
        Kind::Split => Move::Split {
            angle: f64::from(count) * 10.0,
        },
        Kind::Inspect => Move::Inspect {
            bands: draft.flag.then_some(u64::from(count)),
        },
        Kind::Forge => Move::Forge {
            part: if draft.flag {
                Part::Tang
            } else {
                Part::Bolster
            },
            to: Sizes {
                length: target.length.map(|length| length * 0.1),
                ..target
            },
            scale,
        },
        Kind::Normalise => Move::Normalise {
            cycles: count,
            scale,
        },
        Kind::Anneal => Move::Anneal { scale },
        Kind::RoughGrind => Move::RoughGrind {
            edge: small,
            share: draft.flag.then_some(scale),
        },
        Kind::Harden => Move::Harden,
        Kind::Temper => Move::Temper { cycles: count },
        Kind::FinishGrind => Move::FinishGrind {
            edge: small,
            share: draft.flag.then_some(scale),
        },
        Kind::Etch => Move::Etch,
        Kind::EndDay => Move::EndDay,
    }
}

fn taken(read: Read, now: &Billet) -> Reading {
    let bar = &now.bar;
    Reading {
        width: read.width.map(|share| bar.width * share),
        thickness: read.thickness.map(|share| bar.thickness * share),
        length: read.length.map(|share| bar.length * share),
        mass: read.mass.map(|share| Grams(now.piece_mass().0 * share)),
        bands: read.bands,
        between: None,
    }
}

/// Metal in = metal out, and the shape is one that can be.
fn sound(now: &Billet, made: &Move) -> Result<(), TestCaseError> {
    // A part in ten million: some of these jobs cut and pile tens of millions of pieces.
    let (out, left) = (now.volume() + now.stock_volume(), now.ledger.left());
    prop_assert!(
        out.near(left, 1e-7 * now.ledger.start.0.max(out.0) + 1e-5),
        "{made:?}: {out:?} in hand, {left:?} in the ledger"
    );
    let bar = &now.bar;
    prop_assert!(now.volume().is_positive(), "{made:?}: {bar:?}");
    for size in [bar.width, bar.thickness, bar.length] {
        prop_assert!(size.is_positive(), "{made:?}: {bar:?}");
    }
    prop_assert!(bar.void.0 >= 0.0 && bar.depth.0 >= 0.0, "{made:?}: {bar:?}");
    prop_assert!(now.pieces > 0 && now.bands() > 0 && now.nominal > 0);
    prop_assert!(bar.core_width().0 > -1e-9 && bar.core_thickness().0 > -1e-9);
    let by_steel: f64 = (0..3).map(|at| now.volume_of(SteelId(at)).0).sum();
    prop_assert!(
        (by_steel / bar.volume().0 - 1.0).abs() < 1e-6,
        "{made:?}: {by_steel} by steel, {:?}",
        bar.volume()
    );
    if bar.core.figure == crate::billet::Figure::Flat && now.stage < Stage::Forged {
        let along = match bar.core.stand {
            crate::billet::Stand::Flat => bar.core_thickness(),
            crate::billet::Stand::OnEdge => bar.core_width(),
        };
        prop_assert!(
            bar.core
                .layers
                .height()
                .near(along, 1e-6 * along.0.max(1.0)),
            "{made:?}: layers {:?} in a core of {along:?}",
            bar.core.layers.height()
        );
    }
    Ok(())
}

fn try_next(
    now: &Billet,
    draft: &Draft,
    read: Read,
) -> Result<Result<Billet, Refusal>, TestCaseError> {
    let made = make(draft, now);
    match apply(now, &made, &allowances(), &taken(read, now)) {
        Ok(outcome) => {
            sound(&outcome.billet, &made)?;
            let booked = outcome.billet.ledger.losses.len() - now.ledger.losses.len();
            prop_assert_eq!(booked, outcome.losses.len());
            Ok(Ok(outcome.billet))
        }
        Err(refusal) => {
            prop_assert!(!refusal.what.is_empty() && !refusal.remedy.is_empty());
            Ok(Err(refusal))
        }
    }
}

/// The way on from a stage, so that random jobs get somewhere.
fn way_on(now: &Billet) -> Vec<Move> {
    let weld = Move::Weld {
        to: Sizes::default(),
        scale: Fraction(0.01),
    };
    match now.stage {
        Stage::Loose => vec![Move::STACK],
        Stage::Pile => vec![
            weld,
            Move::Draw {
                to: sizes(now.bar.width.0, now.bar.thickness.0 * 0.4),
                scale: Fraction(0.04),
            },
        ],
        Stage::Ground => vec![Move::Harden, Move::Temper { cycles: 2 }],
        _ => Vec::new(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn metal_in_is_metal_out(
        layers in 1_usize..12,
        width in 5.0_f64..80.0,
        length in 20.0_f64..400.0,
        steps in prop::collection::vec((draft(), reading()), 1..60),
    ) {
        let mut now = billet(&alternating(layers, 4.0, 2.5), width, length);
        for (draft, read) in steps {
            if let Ok(next) = try_next(&now, &draft, read)? {
                now = next;
            }
            if draft.count % 2 == 0 {
                for made in way_on(&now) {
                    if let Ok(outcome) = apply(&now, &made, &allowances(), &Reading::default()) {
                        now = outcome.billet;
                        sound(&now, &made)?;
                    }
                }
            }
        }
    }
}
