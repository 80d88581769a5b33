//! Readings, any subset of them.

use super::*;

fn welded() -> Billet {
    after(&[Move::STACK, weld()])
}

fn drawn(reading: Reading) -> Outcome {
    read(&welded(), &draw(40.0, 14.0, 4.0), reading)
}

#[test]
fn two_read_and_the_third_follows_from_the_metal_expected() {
    let outcome = drawn(Reading {
        width: Some(Mm(41.0)),
        ..thickness(13.8)
    });
    near(outcome.billet.bar.length, 201_600.0 * 0.96 / (41.0 * 13.8));
    let [loss] = outcome.losses[..] else { panic!() };
    assert_eq!((loss.loss, loss.measured), (Loss::Scale, false));
    assert!(loss.volume.near(Mm3(201_600.0 * 0.04), 1e-6));
    let outcome = drawn(Reading {
        length: Some(Mm(340.0)),
        ..thickness(14.0)
    });
    near(outcome.billet.bar.width, 201_600.0 * 0.96 / (340.0 * 14.0));
}

#[test]
fn all_three_measure_the_loss() {
    let outcome = drawn(calipers(40.5, 14.1, 332.0));
    let [loss] = outcome.losses[..] else { panic!() };
    assert_eq!((loss.loss, loss.measured), (Loss::Scale, true));
    assert!(loss.volume.near(Mm3(201_600.0 - 40.5 * 14.1 * 332.0), 1e-6));
    assert!(outcome.warnings.is_empty());
    // Ten percent more metal than went in: said, and kept as read.
    let grown = drawn(calipers(44.0, 15.0, 336.0));
    assert!(grown.losses[0].volume.0 < 0.0 && grown.losses[0].measured);
    assert!(
        grown
            .warnings
            .iter()
            .any(|odd| odd.text.contains("does not grow"))
    );
}

#[test]
fn the_scale_decides_how_much_metal_there_is() {
    // 1500 g at 7.85 g/cm3 is 191 083 mm3; the sizes wanted fill in.
    let outcome = drawn(mass(1500.0));
    assert!(outcome.billet.volume().near(Mm3(1500.0 / 7.85e-3), 1e-6));
    near(outcome.billet.bar.width, 40.0);
    near(outcome.billet.bar.length, 1500.0 / 7.85e-3 / 560.0);
    assert!(outcome.losses[0].measured);
    let all = Reading {
        mass: Some(Grams(1500.0)),
        ..calipers(40.0, 14.0, 345.5)
    };
    let outcome = drawn(all);
    assert!(outcome.warnings.is_empty());
    near(outcome.billet.bar.length, 1500.0 / 7.85e-3 / 560.0);
    let off = Reading {
        length: Some(Mm(360.0)),
        ..all
    };
    let outcome = drawn(off);
    assert!(outcome.warnings.iter().any(|odd| odd.key == Some("mass")));
    assert!(outcome.billet.volume().near(Mm3(1500.0 / 7.85e-3), 1e-6));
}

#[test]
fn a_reading_lets_go_of_a_length_that_cannot_be() {
    let made = Move::Draw {
        to: Sizes {
            length: Some(Mm(400.0)),
            ..sizes(40.0, 14.0)
        },
        scale: Fraction(0.04),
    };
    assert!(apply(&welded(), &made, &allowances(), &Reading::default()).is_err());
    near(
        read(&welded(), &made, thickness(14.0)).billet.bar.thickness,
        14.0,
    );
}

#[test]
fn a_cut_is_measured_by_its_length_and_a_grind_by_its_thickness() {
    let outcome = read(
        &bar(),
        &trim(10.0, 10.0),
        Reading {
            length: Some(Mm(320.0)),
            ..Reading::default()
        },
    );
    let [loss] = outcome.losses[..] else { panic!() };
    assert_eq!((loss.loss, loss.measured), (Loss::Trim, true));
    assert!(loss.volume.near(Mm3(25.5 * 560.0), 1e-6));

    // 0.8 mm a face instead of 0.5 takes the next band too.
    let outcome = read(&bar(), &grind(0.5, Faces::Two), thickness(12.4));
    assert!(outcome.losses[0].volume.near(Mm3(1.6 * 40.0 * 345.5), 1e-6));
    let layers = &outcome.billet.bar.core.layers;
    near(layers.height(), 12.4);
    // The draw's scale ate of the outer layers: 1.8689 mm are left of them, layer by layer in small heats.
    let outer = layers.summary().first().unwrap().1;
    assert!(outer.near(Mm(1.8689 - 0.8), 1e-4), "{outer:?}");

    let outcome = read(
        &bar(),
        &cut(4, None, 2.0),
        Reading {
            length: Some(Mm(84.0)),
            ..Reading::default()
        },
    );
    near(outcome.billet.bar.length, 84.0);
    let kerf = outcome.billet.ledger.total(Loss::Kerf);
    assert!(kerf.near(Mm3(6.0 * 560.0), 1e-6));
}

#[test]
fn the_stack_as_read_is_what_went_in() {
    let loose = billet(&alternating(9, 6.0, 3.0), 40.0, 120.0);
    let outcome = read(&loose, &Move::STACK, calipers(40.2, 42.3, 121.0));
    let went_in = Mm3(40.2 * 42.3 * 121.0);
    assert!(outcome.billet.ledger.start.near(went_in, 1e-6));
    assert!(outcome.losses.is_empty() && outcome.warnings.is_empty());
    near(outcome.billet.bar.core.layers.height(), 42.3);
    let short = read(&loose, &Move::STACK, thickness(39.0));
    assert!(
        short
            .warnings
            .iter()
            .any(|odd| odd.text.contains("count them"))
    );
}

#[test]
fn what_cannot_have_been_read_is_refused() {
    for bad in [0.0, -4.0, f64::NAN, 1e6] {
        let refusal = apply(&bar(), &trim(1.0, 1.0), &allowances(), &thickness(bad));
        assert_eq!(refusal.unwrap_err().key, Some("thickness"));
    }
    let none = Reading {
        bands: Some(0),
        ..Reading::default()
    };
    let inspect = Move::Inspect { bands: None };
    let refusal = apply(&bar(), &inspect, &allowances(), &none).unwrap_err();
    assert_eq!(refusal.key, Some("bands"));
}

#[test]
fn a_count_corrects_the_bands_and_not_the_nominal() {
    let restacked = then(
        &bar(),
        &[
            trim(10.0, 10.0),
            grind(0.5, Faces::Two),
            cut(4, None, 2.0),
            PILE,
            weld(),
        ],
    );
    assert_eq!((restacked.nominal, restacked.bands()), (36, 33));
    let counted = Reading {
        bands: Some(30),
        ..Reading::default()
    };
    let outcome = read(&restacked, &Move::Inspect { bands: None }, counted);
    assert_eq!((outcome.billet.nominal, outcome.billet.bands()), (36, 30));
    assert_eq!(outcome.warnings.len(), 1);
    // The correction rides along.
    let later = then(
        &outcome.billet,
        &[draw(40.0, 14.0, 4.0), cut(2, None, 2.0), PILE],
    );
    assert_eq!((later.nominal, later.bands()), (72, 59));
    // A notebook's count that the grind has overtaken is said when the plan is read.
    let expected = Move::Inspect { bands: Some(36) };
    let odd = read(&restacked, &expected, Reading::default()).warnings;
    assert!(odd.iter().any(|odd| odd.text.contains("flat grind")));
}

#[test]
fn a_cold_pile_that_is_a_piece_short_is_said_and_not_stretched() {
    // Four pieces of 14 mm.
    let pieces = then(&bar(), &[cut(4, Some(80.0), 2.0)]);
    let full = read(&pieces, &PILE, Reading::default()).billet.bar;
    near(full.thickness, 56.0);
    for (height, said) in [
        (42.1, Some("3 would be so high")),
        (49.0, Some("count them, or close the gaps")),
        (58.5, Some("count them, or close the gaps")),
        (56.6, None),
    ] {
        let made = read(&pieces, &PILE, thickness(height));
        let told: Vec<&str> = made.warnings.iter().map(|odd| odd.text.as_str()).collect();
        let found = told
            .iter()
            .any(|text| text.contains(said.unwrap_or("pieces come to")));
        assert_eq!(found, said.is_some(), "{height}: {told:?}");
        if said.is_some() {
            near(made.billet.bar.length, 80.0);
            near(made.billet.bar.thickness, 56.0);
        }
    }
    // A slipped point is no count, and thin pieces are not told apart by their height.
    assert_eq!(crate::billet::whole_pieces(Mm(5.6), Mm(56.0), 4), None);
    assert_eq!(crate::billet::whole_pieces(Mm(40.5), Mm(42.0), 35), None);
    assert_eq!(crate::billet::whole_pieces(Mm(28.4), Mm(56.0), 4), Some(2));
    // With all sizes the metal is as read, and the height is still said.
    let all = read(&pieces, &PILE, calipers(40.0, 42.0, 80.0));
    near(all.billet.bar.thickness, 42.0);
    assert!(
        all.warnings
            .iter()
            .any(|odd| odd.text.contains("3 would be so high"))
    );
}
