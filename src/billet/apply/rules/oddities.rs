//! Warnings, history, size.

use super::*;

fn warned(from: &Billet, made: &Move, allow: &Allowances, word: &str) -> bool {
    let outcome = apply(from, made, allow, &Reading::default()).unwrap();
    outcome.warnings.iter().any(|odd| odd.text.contains(word))
}

#[test]
fn what_is_odd_but_possible_is_said() {
    let tall = billet(&alternating(9, 12.0, 6.0), 40.0, 120.0);
    assert!(warned(&tall, &Move::STACK, &allowances(), "2 x the width"));
    let machine = Allowances {
        tallest: Some(Mm(40.0)),
        widest: Some(Mm(45.0)),
        longest: Some(Mm(300.0)),
        shortest: Mm(60.0),
        ..allowances()
    };
    let loose = billet(&alternating(9, 6.0, 3.0), 40.0, 120.0);
    assert!(warned(&loose, &Move::STACK, &machine, "opens to 40 mm"));
    let welded = after(&[Move::STACK, weld()]);
    assert!(warned(
        &welded,
        &draw(50.0, 12.0, 4.0),
        &machine,
        "moves 45 mm"
    ));
    assert!(warned(
        &welded,
        &draw(40.0, 14.0, 4.0),
        &machine,
        "heats 300 mm"
    ));
    assert!(warned(
        &bar(),
        &cut(6, None, 2.0),
        &machine,
        "short to hold"
    ));
    assert!(!warned(
        &bar(),
        &cut(4, None, 2.0),
        &machine,
        "short to hold"
    ));
}

#[test]
fn fine_bands_are_said_once() {
    let mut now = bar();
    now.bar.core.layers = Layers::repeat(&now.bar.core.layers, 100).scaled_to(Mm(14.0));
    assert!(warned(
        &now,
        &draw(40.0, 7.5, 4.0),
        &allowances(),
        "um thick"
    ));
    let fine = then(&now, &[draw(40.0, 7.5, 4.0)]);
    assert!(!warned(
        &fine,
        &draw(40.0, 7.0, 4.0),
        &allowances(),
        "um thick"
    ));
}

#[test]
fn history_keeps_the_moves_that_shape() {
    let now = after(&[
        Move::Prepare,
        Move::STACK,
        weld(),
        draw(40.0, 14.0, 4.0),
        Move::EndDay,
        cut(4, None, 2.0),
        PILE,
    ]);
    let kinds: Vec<&str> = now
        .history
        .iter()
        .map(|past| past.made.kind().word())
        .collect();
    assert_eq!(kinds, ["weld", "draw", "cut", "restack"]);
    let drawn = &now.history[1];
    assert!(drawn.before[1].near(Mm(42.0), 1e-9) && drawn.after[2].near(Mm(345.5), 1e-9));
    assert_eq!(now.history[3].pieces, 4);
}

#[test]
fn a_million_million_layers_cost_what_the_moves_cost() {
    // 9 x 8^13 is 4.9e12 pieces, more than anyone can forge: the model must not mind.
    let allow = Allowances {
        trim: Mm(0.0),
        mark: Mm(0.0),
        ..allowances()
    };
    let mut now = bar();
    for _ in 0..13 {
        let moves = [
            grind(0.01, Faces::Two),
            cut(8, None, 0.0),
            PILE,
            weld(),
            draw(40.0, 14.0, 0.0),
        ];
        now = run(&now, &moves, &allow).pop().unwrap().billet;
    }
    assert_eq!(now.nominal, 9 * 8_u128.pow(13));
    assert!(now.bands() > 1_000_000_000_000 && now.bands() < now.nominal);
    assert!(now.bar.core.layers.at(Mm(7.0)).is_some());
}
