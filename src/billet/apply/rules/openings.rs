//! Grooves, dimples, twists, splits.

use super::*;

fn grooved(depth: f64) -> Move {
    Move::Groove {
        count: 20,
        width: Mm(5.0),
        depth: Mm(depth),
        pitch: Mm(10.0),
        shape: Groove::Round,
    }
}

#[test]
fn grooves_take_half_ellipses_and_close_at_their_floor() {
    let now = then(&bar(), &[grooved(3.0)]);
    let each = std::f64::consts::FRAC_PI_4 * 5.0 * 3.0 * 40.0;
    assert!(now.ledger.total(Loss::Groove).near(Mm3(40.0 * each), 1e-6));
    near(now.bar.thickness, 14.0);
    // Floor at 11: 12 leaves a third of the depth, 11 nothing.
    let open = read(&now, &draw(40.0, 12.0, 0.0), Reading::default());
    near(open.billet.bar.depth, 1.0);
    assert!(open.billet.bar.void.is_positive());
    let [odd] = &open.warnings[..] else { panic!() };
    assert!(
        odd.text.contains("their floor is 11 mm, the bar 12 mm"),
        "{}",
        odd.text
    );
    let shut = read(&now, &draw(40.0, 11.0, 0.0), Reading::default());
    assert!(!shut.billet.bar.void.is_positive() && shut.warnings.is_empty());
    let metal = now.volume() / (Mm(40.0) * Mm(11.0));
    near(shut.billet.bar.length, metal.floor_to(Mm(0.5)).0);
}

#[test]
fn a_flat_grind_makes_grooves_shallower() {
    let now = then(&bar(), &[grooved(3.0), grind(1.0, Faces::Two)]);
    near(now.bar.depth, 2.0);
    let full = Mm3(40.0 * std::f64::consts::FRAC_PI_4 * 5.0 * 3.0 * 40.0);
    assert!(now.bar.void.near(full * (2.0 / 3.0), 1e-6));
    let gone = then(&bar(), &[grooved(3.0), grind(3.5, Faces::Two)]);
    assert!(!gone.bar.void.is_positive());
}

#[test]
fn grooves_that_cannot_be_are_refused() {
    assert_eq!(refused(&bar(), &grooved(7.0)).key, Some("depth"));
    let make = |count, width, pitch| Move::Groove {
        count,
        width: Mm(width),
        depth: Mm(3.0),
        pitch: Mm(pitch),
        shape: Groove::Vee,
    };
    assert_eq!(refused(&bar(), &make(20, 5.0, 4.0)).key, Some("pitch"));
    let refusal = refused(&bar(), &make(40, 5.0, 10.0));
    assert_eq!(
        (refusal.key, refusal.remedy.as_str()),
        (Some("count"), "cut 34")
    );
    let vee = then(&bar(), &[make(10, 5.0, 10.0)]);
    assert!(
        vee.ledger
            .total(Loss::Groove)
            .near(Mm3(20.0 * 7.5 * 40.0), 1e-6)
    );
}

#[test]
fn drilled_dimples_lose_metal_and_pressed_ones_do_not() {
    let make = |pressed| Move::Dimple {
        count: 30,
        diameter: Mm(8.0),
        depth: Mm(3.0),
        pressed,
    };
    let cones = 60.0 * std::f64::consts::PI / 12.0 * 64.0 * 3.0;
    let drilled = then(&bar(), &[make(false)]);
    assert!(drilled.ledger.total(Loss::Groove).near(Mm3(cones), 1e-6));
    near(drilled.bar.length, 345.5);
    let pressed = then(&bar(), &[make(true)]);
    assert!(pressed.ledger.total(Loss::Groove).near(Mm3(0.0), 1e-6));
    near(pressed.bar.length, 345.5 + cones / 560.0);
    let crowd = Move::Dimple {
        count: 3000,
        diameter: Mm(8.0),
        depth: Mm(3.0),
        pressed: false,
    };
    assert_eq!(refused(&bar(), &crowd).key, Some("count"));
}

#[test]
fn weighing_a_grooved_bar_says_what_was_cut_out() {
    let outcome = read(&bar(), &grooved(3.0), mass(1400.0));
    let [loss] = outcome.losses[..] else { panic!() };
    assert_eq!((loss.loss, loss.measured), (Loss::Groove, true));
    assert!(loss.volume.near(Mm3(193_480.0 - 1400.0 / 7.85e-3), 1e-6));
    near(outcome.billet.bar.length, 345.5);
}

#[test]
fn a_twist_that_shears_and_a_bar_that_is_not_square_are_warned_of() {
    let square = then(
        &bar(),
        &[Move::Square {
            to: sizes(16.0, 16.0),
            scale: Fraction(0.0),
        }],
    );
    let twist = |turns| Move::Twist {
        turns,
        over: Some(Mm(240.0)),
        from: None,
        hand: Hand::Right,
    };
    let fair = read(&square, &twist(6.0), Reading::default());
    assert!(fair.warnings.is_empty());
    assert_eq!(fair.billet.bar.core.figure, Figure::Twisted);
    assert_eq!(
        read(&square, &twist(12.0), Reading::default())
            .warnings
            .len(),
        1
    );
    assert_eq!(
        read(&bar(), &twist(1.0), Reading::default()).warnings.len(),
        1
    );
    assert_eq!(refused(&bar(), &twist(0.0)).key, Some("turns"));
    let over = Move::Twist {
        turns: 2.0,
        over: Some(Mm(900.0)),
        from: None,
        hand: Hand::Right,
    };
    assert_eq!(refused(&bar(), &over).key, Some("over"));
    assert_eq!(
        refused(&bar(), &Move::Split { angle: 180.0 }).key,
        Some("angle")
    );
}
