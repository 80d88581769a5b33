//! Frames, quarter-turns, grinding by side.

use super::*;

#[test]
fn bars_on_the_flats_join_the_sequence_and_bars_on_the_edges_do_not() {
    let both = Move::Frame {
        bars: vec![
            frame(Side::Edge, 10.0),
            frame(Side::Spine, 6.0),
            frame(Side::Top, 3.0),
            frame(Side::Bottom, 2.0),
        ],
        fit: false,
    };
    let now = then(&bar(), &[both]);
    near(now.bar.width, 56.0);
    near(now.bar.thickness, 19.0);
    assert_eq!((now.bands(), now.nominal), (11, 9));
    assert_eq!(now.bar.frame.len(), 2);
    let added = 56.0 * 19.0 * 345.5 - 40.0 * 14.0 * 345.5;
    assert!(now.ledger.added.near(Mm3(added), 1e-6));
    assert!(now.volume_of(C).near(Mm3(added), 1e3));
    near(now.bar.core.layers.summary().first().unwrap().1, 2.0);
    // A like steel only makes the outside thicker.
    let like = FrameBar::plain(Side::Top, A, Mm(3.0));
    assert_eq!(
        then(
            &bar(),
            &[Move::Frame {
                bars: vec![like],
                fit: false
            }]
        )
        .bands(),
        9
    );
    assert_eq!(
        refused(
            &bar(),
            &Move::Frame {
                bars: vec![],
                fit: false
            }
        )
        .key,
        Some("kind")
    );
    let none = frame(Side::Spine, 0.0);
    let refusal = refused(
        &bar(),
        &Move::Frame {
            bars: vec![none],
            fit: false,
        },
    );
    assert_eq!(refusal.key, Some("spine"));
}

#[test]
fn four_quarter_turns_are_none_and_two_turn_it_over() {
    let mut uneven = then(&bar(), &[grind(0.5, Faces::Two)]);
    uneven.bar.core.layers = uneven
        .bar
        .core
        .layers
        .trimmed(Mm(2.0), Mm(0.0))
        .map(|layers| layers.scaled_to(Mm(13.0)))
        .unwrap();
    let framed = then(
        &uneven,
        &[
            Move::Frame {
                bars: vec![frame(Side::Edge, 5.0)],
                fit: false,
            },
            weld(),
        ],
    );
    let turned = |times| {
        let moves: Vec<Move> = (0..times).map(|_| Move::QuarterTurn).collect();
        then(&framed, &moves)
    };
    let [once, twice, four] = [turned(1), turned(2), turned(4)];
    assert_eq!((once.bar.core.stand, once.turns), (Stand::OnEdge, 1));
    near(once.bar.width, 13.0);
    near(once.bar.frame_on(Side::Bottom), 5.0);
    near(twice.bar.frame_on(Side::Spine), 5.0);
    let first = |billet: &Billet| billet.bar.core.layers.summary().first();
    let last = |billet: &Billet| billet.bar.core.layers.summary().last();
    assert_ne!(first(&framed), last(&framed));
    assert_eq!(first(&twice), last(&framed));
    assert_eq!((&four.bar, four.turns), (&framed.bar, 0));
}

#[test]
fn a_grind_takes_the_frame_first_and_says_when_it_is_gone() {
    let framed = then(
        &bar(),
        &[
            Move::Frame {
                bars: vec![frame(Side::Edge, 2.0), frame(Side::Spine, 0.4)],
                fit: false,
            },
            weld(),
        ],
    );
    let outcome = read(&framed, &grind(0.5, Faces::Four), Reading::default());
    let bar = &outcome.billet.bar;
    near(bar.frame_on(Side::Edge), 1.5);
    near(bar.frame_on(Side::Spine), 0.0);
    near(bar.core_width(), 39.9);
    near(bar.core.layers.height(), 13.0);
    let bare = |side: &str| {
        let mut odd = outcome.warnings.iter();
        odd.any(|odd| {
            odd.text
                .contains(&format!("plain bar on the {side} is ground away"))
        })
    };
    assert!(bare("spine") && !bare("edge"));
}

#[test]
fn a_grind_on_edge_takes_layers_off_edge_and_spine_only() {
    let on_edge = then(&bar(), &[Move::QuarterTurn]);
    let two = then(&on_edge, &[grind(0.5, Faces::Two)]);
    assert_eq!(two.bar.core.layers, on_edge.bar.core.layers);
    let four = then(&on_edge, &[grind(2.5, Faces::Four)]);
    near(four.bar.core.layers.height(), 9.0);
    assert_eq!(four.bands(), 7);
}

#[test]
fn bent_layers_keep_their_sequence_in_a_grind() {
    let crushed = then(
        &bar(),
        &[
            Move::Square {
                to: sizes(24.0, 24.0),
                scale: Fraction(0.0),
            },
            Move::CornerCrush {
                to: sizes(22.0, 22.0),
                scale: Fraction(0.02),
            },
        ],
    );
    assert_eq!(crushed.bar.core.figure, Figure::Crushed);
    let ground = then(&crushed, &[grind(3.0, Faces::Four)]);
    assert_eq!(ground.bands(), 9);
    near(ground.bar.width, 16.0);
    let near_square = read(
        &bar(),
        &Move::CornerCrush {
            to: sizes(22.0, 22.0),
            scale: Fraction(0.02),
        },
        Reading::default(),
    );
    assert!(
        near_square
            .warnings
            .iter()
            .any(|odd| odd.text.contains("wants a square bar"))
    );
}

#[test]
fn a_framed_bar_spreads_its_frame_with_its_width() {
    let framed = then(
        &bar(),
        &[
            Move::Frame {
                bars: vec![frame(Side::Edge, 10.0)],
                fit: false,
            },
            weld(),
            draw(25.0, 10.0, 4.0),
        ],
    );
    // 10 + 40 to 25 is 5 + 20 without scale; what the fire took of the edge side is the bar's, and an
    // inner layer is thicker for what it took of the outer ones: both worked out in 2000 small heats.
    let near4 = |got: f64, want: f64| assert!((got - want).abs() < 1e-4, "{got} for {want}");
    near4(framed.bar.frame_on(Side::Edge).0, 4.92195);
    near4(framed.bar.core_width().0, 20.07805);
    near(framed.bar.core.layers.height(), 10.0);
    near4(framed.thinned, 0.25190);
}
