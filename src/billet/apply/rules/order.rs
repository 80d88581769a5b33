//! What may come after what.

use super::*;

#[test]
fn each_step_says_what_must_come_first() {
    let loose = billet(&alternating(9, 6.0, 3.0), 40.0, 120.0);
    let pile = then(&loose, &[Move::STACK]);
    let ground = then(
        &bar(),
        &[Move::RoughGrind {
            edge: Mm(1.0),
            share: None,
        }],
    );
    let temper = Move::Temper { cycles: 2 };
    let finish = Move::FinishGrind {
        edge: Mm(0.3),
        share: None,
    };
    let cases = [
        (&loose, weld(), "stack the pieces first"),
        (
            &loose,
            draw(40.0, 14.0, 4.0),
            "stack and weld the pieces first",
        ),
        (&pile, draw(40.0, 14.0, 4.0), "weld it first"),
        (&pile, trim(5.0, 5.0), "weld it first"),
        (&bar(), PILE, "cut the bar to pieces first"),
        (&bar(), Move::Harden, "rough grind it first"),
        (
            &bar(),
            Move::STACK,
            "move this step further up, or leave it out",
        ),
        (&ground, temper.clone(), "harden it first"),
        (&ground, finish.clone(), "harden and temper it first"),
        (&ground, Move::Etch, "finish grind it first"),
        (
            &ground,
            cut(2, None, 2.0),
            "move this step further up, or leave it out",
        ),
    ];
    for (from, made, remedy) in cases {
        let refusal = refused(from, &made);
        assert_eq!(refusal.remedy, remedy, "{made:?}");
        assert_eq!(refusal.key, Some("kind"));
    }
    let done = then(
        &ground,
        &[Move::Harden, temper.clone(), temper, finish, Move::Etch],
    );
    assert_eq!(done.stage, Stage::Etched);
}

#[test]
fn the_sentence_reads() {
    let pile = after(&[Move::STACK]);
    assert_eq!(
        refused(&pile, &draw(40.0, 14.0, 4.0)).to_string(),
        "'draw' cannot come here: the pile is not welded yet; weld it first"
    );
}

#[test]
fn open_seams_over_night_are_warned_of() {
    let pile = after(&[Move::STACK]);
    let night = read(&pile, &Move::EndDay, Reading::default());
    assert!(
        night
            .warnings
            .iter()
            .any(|odd| odd.text.contains("seams are open"))
    );
    assert!(
        read(&bar(), &Move::EndDay, Reading::default())
            .warnings
            .is_empty()
    );
}
