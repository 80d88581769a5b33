//! Sizes a plan asks for, against the metal.

use super::*;

fn to(width: Option<f64>, thickness: Option<f64>, length: Option<f64>) -> Move {
    Move::Draw {
        to: Sizes {
            width: width.map(Mm),
            thickness: thickness.map(Mm),
            length: length.map(Mm),
        },
        scale: Fraction(0.04),
    }
}

fn welded() -> Billet {
    after(&[Move::STACK, weld()])
}

#[test]
fn longer_than_the_metal_is_refused_with_the_numbers() {
    let refusal = refused(&welded(), &to(Some(40.0), Some(14.0), Some(360.0)));
    assert_eq!(
        refusal.to_string(),
        "360 mm asked, the metal gives 345.6 mm; make it narrower or thinner, or ask for 345.5 mm"
    );
    assert_eq!(refusal.key, Some("length"));
    let inch = Allowances {
        units: Units::Inch,
        mark: Mm::from_inch(1.0 / 16.0),
        ..allowances()
    };
    let refusal = refused_with(&welded(), &to(Some(40.0), Some(14.0), Some(360.0)), &inch);
    assert!(refusal.remedy.ends_with("ask for 13-9/16 in"), "{refusal}");
}

#[test]
fn metal_does_not_vanish_in_a_short_length() {
    let refusal = refused(&welded(), &to(Some(40.0), Some(14.0), Some(300.0)));
    assert_eq!(refusal.key, Some("length"));
    // 2 mm short is a short end left over.
    let outcome = read(
        &welded(),
        &to(Some(40.0), Some(14.0), Some(343.6)),
        Reading::default(),
    );
    let rounding = outcome.billet.ledger.total(Loss::Rounding);
    assert!(rounding.near(Mm3(2.0 * 560.0), 1e-6));
}

#[test]
fn what_is_not_given_follows_from_volume() {
    let kept = 201_600.0 * 0.96;
    let now = |made: &Move| read(&welded(), made, Reading::default()).billet.bar;
    let thin = now(&to(None, Some(14.0), None));
    near(thin.width, 40.0);
    near(thin.length, 345.5);
    let wide = now(&to(None, Some(14.0), Some(300.0)));
    near(wide.width, kept / (14.0 * 300.0));
    let thick = now(&to(Some(45.0), None, Some(300.0)));
    near(thick.thickness, kept / (45.0 * 300.0));
    let long = now(&to(None, None, Some(300.0)));
    near(long.width, 40.0);
    near(long.thickness, kept / (40.0 * 300.0));
}

#[test]
fn thicker_is_no_draw_unless_on_the_edge() {
    let refusal = refused(&bar(), &draw(40.0, 20.0, 4.0));
    assert_eq!(refusal.key, Some("thickness"));
    assert!(refusal.what.contains("20 mm thick from 14 mm"), "{refusal}");
    // Shorter than before makes it thicker.
    assert_eq!(
        refused(&bar(), &to(None, None, Some(200.0))).key,
        Some("length")
    );
    near(then(&bar(), &[draw(20.0, 16.0, 4.0)]).bar.thickness, 16.0);
    let square = Move::Square {
        to: sizes(24.0, 24.0),
        scale: Fraction(0.0),
    };
    near(then(&bar(), &[square]).bar.thickness, 24.0);
}

#[test]
fn what_is_no_number_is_refused() {
    for bad in [0.0, -3.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            refused(&bar(), &draw(40.0, bad, 4.0)).key,
            Some("thickness")
        );
        assert_eq!(refused(&bar(), &draw(bad, 10.0, 4.0)).key, Some("width"));
    }
    for bad in [-1.0, 100.0, f64::NAN] {
        assert_eq!(refused(&bar(), &draw(40.0, 10.0, bad)).key, Some("scale"));
    }
    assert_eq!(refused(&bar(), &trim(-1.0, 0.0)).key, Some("ends"));
    assert_eq!(refused(&bar(), &trim(200.0, 200.0)).key, Some("ends"));
    assert_eq!(
        refused(&bar(), &grind(7.0, Faces::Two)).key,
        Some("per-face")
    );
    assert_eq!(
        refused(&bar(), &grind(-0.1, Faces::Two)).key,
        Some("per-face")
    );
    // A foil of hundreds of metres is no bar.
    let refusal = refused(&bar(), &draw(40.0, 0.01, 4.0));
    assert_eq!(refusal.key, Some("thickness"));
    assert!(refusal.what.contains("longer than any bar"), "{refusal}");
}

#[test]
fn a_weld_without_sizes_keeps_the_section() {
    let pile = after(&[Move::STACK]);
    let made = Move::Weld {
        to: Sizes::default(),
        scale: Fraction(0.02),
    };
    let now = then(&pile, &[made]);
    near(now.bar.thickness, 42.0);
    near(now.bar.length, 120.0 * 0.98);
    assert!(
        now.ledger
            .total(Loss::Scale)
            .near(Mm3(201_600.0 * 0.02), 1e-6)
    );
}
