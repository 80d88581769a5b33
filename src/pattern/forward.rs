//! The maps forward, written out by hand for the tests: where a point of the bar goes when it is
//! worked. Each is held against the way back.

use super::chain::{Chain, What};
use super::noise::{mix, signed};
use super::samples::Shop;
use super::*;
use crate::billet::{Arrange, FrameBar, Move, Side, SteelId};
use crate::units::Mm;

fn chain(shop: &Shop) -> Chain {
    Chain::new(&shop.first, &shop.history, Hand::ruled())
}

fn depth(chain: &Chain, p: [f64; 3]) -> f64 {
    match chain.back(p).what {
        What::Layer(depth) => depth,
        other => panic!("{other:?} at {p:?}"),
    }
}

/// A bar whose layers run along, across and through: twisted and squared.
fn bar() -> Shop {
    Shop::twist()
}

/// Holds work against its forward map: the depth under a point stays that of the metal. Some places go
/// off (kerf, ends): the map says none there.
fn holds(name: &str, before: &Shop, after: &Shop, forward: impl Fn([f64; 3]) -> Option<[f64; 3]>) {
    let (old, new) = (chain(before), chain(after));
    let [w, t, l] = before.size;
    let (mut seen, mut depths) = (0, Vec::new());
    for n in 0..600_u64 {
        let dice = |k| signed(mix(mix(41, n), k));
        let p = [
            (0.5 + 0.499 * dice(1)) * l,
            0.499 * dice(2) * w,
            0.499 * dice(3) * t,
        ];
        let Some(q) = forward(p) else { continue };
        let (a, b) = (depth(&old, p), depth(&new, q));
        assert!((a - b).abs() < 1e-7, "{name}: {p:?} -> {q:?}: {a} {b}");
        seen += 1;
        depths.push(a);
    }
    assert!(seen > 250, "{name}: {seen}");
    let spread = depths
        .iter()
        .fold(0.0_f64, |most, d| most.max((d - depths[0]).abs()));
    assert!(spread > 3.0, "{name}: all at one depth");
}

#[test]
fn a_draw_stretches_evenly_from_the_held_end_and_the_middle() {
    let before = bar();
    let after = bar().draw(31.0, 3.5);
    let ([w, t, l], [w1, t1, l1]) = (before.size, after.size);
    holds("draw", &before, &after, |[x, y, z]| {
        Some([x * l1 / l, y * w1 / w, z * t1 / t])
    });
}

#[test]
fn an_upset_stretches_the_other_way() {
    let before = bar();
    let [w, t, l] = before.size;
    // To 5/8 of the length; both sides by the root of what that leaves.
    let wider = (8.0_f64 / 5.0).sqrt();
    let made = Move::Upset {
        to: Default::default(),
        scale: crate::units::Fraction(0.0),
    };
    let after = bar().made(made, [w * wider, t * wider, l * 0.625]);
    holds("upset", &before, &after, |[x, y, z]| {
        Some([x * 0.625, y * wider, z * wider])
    });
}

#[test]
fn a_quarter_turn_brings_the_side_up() {
    let before = bar();
    let [w, t, l] = before.size;
    let after = bar().made(Move::QuarterTurn, [t, w, l]);
    holds("turn", &before, &after, |[x, y, z]| Some([x, -z, y]));
}

#[test]
fn a_trim_takes_the_held_end() {
    let after = bar().trim(7.0);
    let long = after.size[2];
    holds("trim", &bar(), &after, |[x, y, z]| {
        let x = x - 7.0;
        (0.0..long).contains(&x).then_some([x, y, z])
    });
}

/// Piece of a cut and place along it; none in a kerf.
fn piece(x: f64, length: f64, kerf: f64, pieces: u32) -> Option<(f64, f64)> {
    let number = (x / (length + kerf)).floor();
    let x = x - number * (length + kerf);
    (x < length && number < f64::from(pieces)).then_some((number, x))
}

#[test]
fn pieces_are_piled_in_the_order_that_they_were_cut() {
    for arrange in [Arrange::Pile, Arrange::Flipped] {
        let before = bar();
        let after = bar().cut(3, 2.5).restack(arrange);
        let [_, t, _] = before.size;
        let long = after.size[2];
        holds("pile", &before, &after, |[x, y, z]| {
            let (n, x) = piece(x, long, 2.5, 3)?;
            let over = arrange == Arrange::Flipped && (n - 1.0).abs() < 0.5;
            // Turned end for end.
            let (x, z) = if over { (long - x, -z) } else { (x, z) };
            Some([x, y, z + (n - 1.0) * t])
        });
    }
}

#[test]
fn a_block_is_filled_row_by_row_with_neighbours_turned() {
    let square = || bar().square(12.0, 12.0);
    let arrange = Arrange::Block {
        columns: 2,
        rows: 2,
        turned: true,
    };
    let before = square();
    let after = square().cut(4, 2.0).restack(arrange);
    let long = after.size[2];
    holds("block", &before, &after, |[x, y, z]| {
        let (n, x) = piece(x, long, 2.0, 4)?;
        let (row, column) = ((n / 2.0).floor(), n % 2.0);
        let turned = (row + column - 1.0).abs() < 0.5;
        let (y, z) = if turned { (-z, y) } else { (y, z) };
        Some([x, y + (column - 0.5) * 12.0, z + (row - 0.5) * 12.0])
    });
}

#[test]
fn a_fold_turns_every_second_ply_end_for_end() {
    let before = bar();
    let [w, t, l] = before.size;
    let (plies, kerf) = (3, 2.0);
    let long = (l - 2.0 * kerf) / 3.0;
    let made = Move::Fold {
        plies,
        kerf: Mm(kerf),
    };
    let after = bar().made(made, [w, 3.0 * t, long]);
    holds("fold", &before, &after, |[x, y, z]| {
        let (n, x) = piece(x, long, kerf, plies)?;
        let up = (n - 1.0) * t;
        if (n - 1.0).abs() < 0.5 {
            Some([long - x, y, up - z])
        } else {
            Some([x, y, up + z])
        }
    });
}

#[test]
fn a_frame_shifts_the_core_by_half_of_what_its_bars_differ() {
    let before = bar();
    let [w, t, l] = before.size;
    let side = |side, thickness| FrameBar::plain(side, SteelId(2), Mm(thickness));
    let bars = vec![
        side(Side::Edge, 10.0),
        side(Side::Spine, 6.0),
        side(Side::Top, 3.0),
    ];
    let after = bar().made(Move::Frame { bars, fit: false }, [w + 16.0, t + 3.0, l]);
    holds("frame", &before, &after, |[x, y, z]| {
        Some([x, y + 2.0, z - 1.5])
    });
}

#[test]
fn work_on_work_is_one_map_after_the_other() {
    let before = bar();
    let after = bar()
        .trim(5.0)
        .cut(3, 2.0)
        .restack(Arrange::Flipped)
        .draw(20.0, 10.0);
    let [w, t, _] = before.size;
    let cut = bar().trim(5.0).cut(3, 2.0).size[2];
    let long = after.size[2];
    holds("all", &before, &after, |[x, y, z]| {
        let (n, x) = piece(x - 5.0, cut, 2.0, 3).filter(|_| x > 5.0)?;
        let over = (n - 1.0).abs() < 0.5;
        let (x, z) = if over { (cut - x, -z) } else { (x, z) };
        let z = z + (n - 1.0) * t;
        Some([x * long / cut, y * 20.0 / w, z * 10.0 / (3.0 * t)])
    });
}

// Like faces meet where every second piece is turned over, and where a bar is folded.
#[test]
fn flipped_pieces_and_folds_mirror_at_every_seam() {
    let flat = || Shop::new(samples::alternating(9, 6.0, 3.0), 40.0, 120.0).draw(40.0, 9.0);
    let [w, t, l] = flat().size;
    let fold = Move::Fold {
        plies: 3,
        kerf: Mm(0.0),
    };
    for shop in [
        flat().cut(3, 2.0).restack(Arrange::Flipped),
        flat().made(fold, [w, 3.0 * t, l / 3.0]),
    ] {
        let chain = chain(&shop);
        for seam in [-0.5 * t, 0.5 * t] {
            for n in 1..200 {
                let off = t * f64::from(n) / 200.0;
                let at = |z: f64| depth(&chain, [20.0, 3.0, z]);
                let (above, below) = (at(seam + off), at(seam - off));
                assert!(
                    (above - below).abs() < 1e-9,
                    "{seam} {off}: {above} {below}"
                );
            }
        }
        // Not so within a ply: its two faces differ in depth by the whole stack.
        let at = |z: f64| depth(&chain, [20.0, 3.0, z]);
        assert!((at(-0.49 * t) - at(0.49 * t)).abs() > 30.0);
    }
}
