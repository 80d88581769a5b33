//! Upset: shorter and thicker, by volume.

use super::*;

fn upset(width: Option<f64>, thickness: Option<f64>, length: Option<f64>) -> Move {
    Move::Upset {
        to: Sizes {
            width: width.map(Mm),
            thickness: thickness.map(Mm),
            length: length.map(Mm),
        },
        scale: Fraction::ZERO,
    }
}

/// 40 x 40 x 120.
fn block() -> Billet {
    let start = billet(&alternating(8, 5.0, 5.0), 40.0, 120.0);
    run(&start, &[Move::STACK, weld()], &allowances())
        .pop()
        .unwrap()
        .billet
}

// By hand: 40 x 40 x 120 is 192,000 mm3; over 75 mm that is 2,560 mm2, a square of 50.596 mm.
#[test]
fn a_length_alone_thickens_both_ways() {
    let made = upset(None, None, Some(75.0));
    let after = then(&block(), &[made]);
    near(after.bar.length, 75.0);
    assert!((after.bar.width.0 - 50.596_443).abs() < 1e-5);
    assert!((after.bar.thickness.0 - 50.596_443).abs() < 1e-5);
    assert_eq!(after.bands(), block().bands());
}

// By hand: 40 to 48 is 1.2 x both ways, so the length falls by 1.44: 83.33, 83 at a mark of 0.5.
#[test]
fn a_side_takes_the_other_along() {
    let after = then(&block(), &[upset(None, Some(48.0), None)]);
    near(after.bar.width, 48.0);
    near(after.bar.length, 83.0);
    let lost = after.ledger.total(Loss::Rounding);
    assert!(
        lost.near(Mm3(192_000.0 - 48.0 * 48.0 * 83.0), 1e-3),
        "{lost:?}"
    );
}

#[test]
fn an_upset_that_would_lengthen_is_refused() {
    let why = refused(&block(), &upset(Some(38.0), Some(38.0), None));
    assert!(why.what.contains("upsetting makes shorter"), "{why:?}");
    assert_eq!(why.key, Some("thickness"));
}

// Common practice, no source: three times the side.
#[test]
fn a_slender_bar_is_warned_of() {
    let made = upset(None, None, Some(300.0));
    let outcome = apply(&bar(), &made, &allowances(), &Reading::default()).unwrap();
    assert!(
        outcome
            .warnings
            .iter()
            .any(|odd| odd.text.contains("bends before it thickens"))
    );
    let stubby = apply(
        &block(),
        &upset(None, None, Some(75.0)),
        &allowances(),
        &Reading::default(),
    );
    assert!(stubby.unwrap().warnings.is_empty());
}
