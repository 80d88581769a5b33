//! Worked sequences. The figures were found by expanding every layer in exact fractions (to case 16
//! and 21) and by hand arithmetic beyond that; none came from this code. The counts of the unground
//! cases also follow from the closed forms `k (n - 1) + 1` (like outsides) and `k n` (unlike).

use super::{Layers, SteelId};
use crate::units::Mm;

const A: SteelId = SteelId(0);
const B: SteelId = SteelId(1);
const C: SteelId = SteelId(2);

/// `count` alternating layers, A first.
fn alternating(count: usize, a: f64, b: f64) -> Layers {
    let layer = |at: usize| match at % 2 {
        0 => Layers::leaf(A, Mm(a)),
        _ => Layers::leaf(B, Mm(b)),
    };
    Layers::pile((0..count).map(layer).collect())
}

fn s9() -> Layers {
    alternating(9, 3.0, 3.0)
}

fn s8() -> Layers {
    alternating(8, 3.0, 3.0)
}

fn trim(layers: &Layers, bottom: f64, top: f64) -> Layers {
    layers.trimmed(Mm(bottom), Mm(top)).unwrap()
}

struct Want {
    height: f64,
    bands: u128,
    a: f64,
    b: f64,
    first: (SteelId, f64),
    last: (SteelId, f64),
    thin: f64,
    thick: f64,
}

fn check(layers: &Layers, want: &Want) {
    let near = |what: &str, got: f64, want: f64| {
        let allowed = 1e-9 + 1e-5 * want * f64::from(u8::from(want.fract() != 0.0 && want > 20.0));
        assert!(
            (got - want).abs() <= allowed.max(want * 1e-14),
            "{what}: {got} for {want} in {layers:?}"
        );
    };
    let sum = layers.summary();
    near("height", layers.height().0, want.height);
    assert_eq!(layers.bands(), want.bands);
    near("A", sum.thickness_of(A).0, want.a);
    near("B", sum.thickness_of(B).0, want.b);
    let (first, last) = (sum.first().unwrap(), sum.last().unwrap());
    assert_eq!((first.0, last.0), (want.first.0, want.last.0));
    near("first", first.1.0, want.first.1);
    near("last", last.1.0, want.last.1);
    near("thinnest", layers.thinnest().0, want.thin);
    near("thickest", layers.thickest().0, want.thick);
}

macro_rules! golden {
    ($name:ident, $tree:expr, $height:expr, $bands:expr, $a:expr, $b:expr,
     $first:expr, $last:expr, $thin:expr, $thick:expr) => {
        #[test]
        fn $name() {
            check(
                &$tree,
                &Want {
                    height: $height,
                    bands: $bands,
                    a: $a,
                    b: $b,
                    first: $first,
                    last: $last,
                    thin: $thin,
                    thick: $thick,
                },
            );
        }
    };
}

fn thirds() -> Layers {
    s9().scaled(1.0 / 3.0)
}

fn g3() -> Layers {
    s9().repeat(4).repeat(4)
}

fn g8() -> Layers {
    trim(&thirds(), 0.5, 0.5).repeat(4)
}

fn g17() -> Layers {
    (0..9).fold(s9(), |layers, _| layers.repeat(16))
}

golden!(g01, s9(), 27.0, 9, 15.0, 12.0, (A, 3.0), (A, 3.0), 3.0, 3.0);
golden!(
    g02,
    s9().repeat(4),
    108.0,
    33,
    60.0,
    48.0,
    (A, 3.0),
    (A, 3.0),
    3.0,
    6.0
);
golden!(
    g03,
    g3(),
    432.0,
    129,
    240.0,
    192.0,
    (A, 3.0),
    (A, 3.0),
    3.0,
    6.0
);
golden!(
    g04,
    alternating(11, 3.0, 3.0).repeat(3).repeat(4).repeat(2),
    792.0,
    241,
    432.0,
    360.0,
    (A, 3.0),
    (A, 3.0),
    3.0,
    6.0
);
golden!(
    g05,
    s8().repeat(5),
    120.0,
    40,
    60.0,
    60.0,
    (A, 3.0),
    (B, 3.0),
    3.0,
    3.0
);
golden!(
    g06,
    s8().folded(5),
    120.0,
    36,
    60.0,
    60.0,
    (A, 3.0),
    (B, 3.0),
    3.0,
    6.0
);
golden!(
    g07,
    s9().folded(4),
    108.0,
    33,
    60.0,
    48.0,
    (A, 3.0),
    (A, 3.0),
    3.0,
    6.0
);
golden!(
    g08,
    g8(),
    32.0,
    33,
    16.0,
    16.0,
    (A, 0.5),
    (A, 0.5),
    0.5,
    1.0
);
golden!(
    g09,
    trim(&thirds(), 1.25, 1.25).repeat(4),
    26.0,
    25,
    12.0,
    14.0,
    (B, 0.75),
    (B, 0.75),
    0.75,
    1.5
);
golden!(
    g10,
    trim(&thirds(), 1.0, 1.0).repeat(4),
    28.0,
    25,
    12.0,
    16.0,
    (B, 1.0),
    (B, 1.0),
    1.0,
    2.0
);
golden!(
    g11,
    trim(&thirds(), 1.0, 0.0).repeat(4),
    32.0,
    32,
    16.0,
    16.0,
    (B, 1.0),
    (A, 1.0),
    1.0,
    1.0
);
golden!(
    g12,
    trim(&g3(), 40.0, 100.0),
    292.0,
    87,
    163.0,
    129.0,
    (A, 2.0),
    (A, 2.0),
    2.0,
    6.0
);
golden!(
    g13,
    trim(&g3(), 115.0, 307.0),
    10.0,
    4,
    5.0,
    5.0,
    (A, 2.0),
    (B, 2.0),
    2.0,
    3.0
);
golden!(
    g14,
    Layers::pile(vec![
        Layers::leaf(C, Mm(6.0)),
        g8(),
        Layers::leaf(C, Mm(6.0))
    ]),
    44.0,
    35,
    16.0,
    16.0,
    (C, 6.0),
    (C, 6.0),
    0.5,
    6.0
);
golden!(
    g15,
    Layers::pile(vec![
        Layers::leaf(A, Mm(6.0)),
        g8(),
        Layers::leaf(A, Mm(6.0))
    ]),
    44.0,
    33,
    28.0,
    16.0,
    (A, 6.5),
    (A, 6.5),
    1.0,
    6.5
);
golden!(
    g17_five_hundred_thousand_million_layers,
    g17(),
    1_855_425_871_872.0,
    549_755_813_889,
    1_030_792_151_040.0,
    824_633_720_832.0,
    (A, 3.0),
    (A, 3.0),
    3.0,
    6.0
);
golden!(
    g21,
    alternating(7, 3.2, 1.5).repeat(5),
    86.5,
    31,
    64.0,
    22.5,
    (A, 3.2),
    (A, 3.2),
    1.5,
    6.4
);

fn g16() -> Layers {
    let drawn = |layers: &Layers| trim(&layers.scaled_to(Mm(14.0)), 0.7, 0.7).repeat(4);
    drawn(&drawn(&s9()))
}

golden!(
    g16_two_grinds_leave_113_where_the_closed_form_says_129,
    g16(),
    50.4,
    113,
    26.2025,
    24.1975,
    (A, 0.401_851_851),
    (A, 0.401_851_851),
    0.401_851_851,
    0.803_703_703
);

#[test]
fn g16_at_depths() {
    let layers = g16();
    assert_eq!(layers.at(Mm(0.1)), Some(A));
    assert_eq!(layers.at(Mm(20.0)), Some(A));
    assert_eq!(layers.at(Mm(20.3)), Some(B));
}

#[test]
fn g18_trimming_among_the_millions() {
    let layers = trim(&g17(), 1_000_001.0, 1_000_000_000.5);
    assert_eq!(layers.bands(), 549_459_221_297);
    assert!(layers.height().near(Mm(1_854_424_871_870.5), 0.01));
    let sum = layers.summary();
    let (first, last) = (sum.first().unwrap(), sum.last().unwrap());
    assert_eq!((first.0, last.0), (A, A));
    assert!(first.1.near(Mm(1.0), 1e-3) && last.1.near(Mm(1.5), 1e-3));
    assert!(layers.thinnest().near(Mm(1.0), 1e-3) && layers.thickest().near(Mm(6.0), 1e-9));
}

#[test]
fn g19_g20_even_stacks_piled_and_folded() {
    let piled = (0..9).fold(s8(), |layers, _| layers.repeat(16));
    assert_eq!(piled.bands(), 549_755_813_888);
    let folded = (0..9).fold(s8(), |layers, _| layers.folded(16));
    assert_eq!(folded.bands(), 481_036_337_153);
    assert!(folded.thinnest().near(Mm(3.0), 1e-9) && folded.thickest().near(Mm(6.0), 1e-9));
}

#[test]
fn counts_saturate_and_deep_trees_are_safe() {
    let mut layers = s9();
    for step in 0..4_000 {
        layers = layers.repeat(2).scaled_to(Mm(14.0));
        if step % 3 == 0 {
            let bar = Layers::leaf(C, Mm(0.1));
            layers = trim(&Layers::pile(vec![bar, layers]), 0.05, 0.3);
        }
    }
    assert_eq!(layers.bands(), u128::MAX);
    assert!(layers.height().near(Mm(13.75), 1e-9) || layers.height().near(Mm(14.0), 1e-9));
    assert!(layers.at(Mm(7.0)).is_some());
    let a = layers.below(Mm(13.0), A) + layers.below(Mm(13.0), B) + layers.below(Mm(13.0), C);
    assert!(a.near(Mm(13.0), 1e-6));
    assert!(layers.bands_from(Mm(6.0)).take(100).count() == 100);
    let again = layers.mirrored().mirrored();
    assert_eq!(layers, again);
    assert!(format!("{layers:?}").len() < 4_000);
    drop(layers);
}

#[test]
fn folded_trees_that_share_everything_compare_at_once() {
    let fold = || (0..60).fold(s9(), |layers, _| layers.folded(3));
    assert_eq!(fold(), fold());
    assert_ne!(fold(), fold().scaled(0.5));
}

#[test]
fn nothing_left_is_refused() {
    assert!(s9().trimmed(Mm(13.5), Mm(13.5)).is_err());
    assert!(s9().trimmed(Mm(30.0), Mm(0.0)).is_err());
    assert!(s9().trimmed(Mm(-1.0), Mm(0.0)).is_err());
    assert!(s9().trimmed(Mm(f64::NAN), Mm(0.0)).is_err());
    assert_eq!(s9().at(Mm(27.1)), None);
    assert_eq!(s9().at(Mm(-0.1)), None);
    assert_eq!(Layers::pile(Vec::new()).at(Mm(0.0)), None);
    assert_eq!(Layers::pile(Vec::new()).bands_from(Mm(0.0)).count(), 0);
}

#[test]
fn the_outline_reads() {
    let layers = trim(&alternating(3, 2.0, 1.0).scaled(0.5), 0.25, 0.0).repeat(4);
    assert_eq!(layers.outline(), "4 x ((A1.5 B1 A2) * 0.5)");
    assert_eq!(
        alternating(2, 1.0, 1.0).folded(3).outline(),
        "(((A1 B1) ~(A1 B1)) (A1 B1))"
    );
}
