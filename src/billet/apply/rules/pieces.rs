//! Cutting, restacking, folding.

use super::*;

#[test]
fn a_bar_yields_what_it_yields() {
    let refusal = refused(&bar(), &cut(4, Some(90.0), 2.0));
    assert_eq!(
        refusal.to_string(),
        "4 of 90 mm need 366 mm with their cuts; the bar is 345.5 mm and yields 3, not 4; cut 3, or make each 84.5 mm"
    );
    assert_eq!(refusal.key, Some("pieces"));
    assert_eq!(
        refused(&bar(), &cut(1, Some(400.0), 2.0)).key,
        Some("length")
    );
    assert_eq!(refused(&bar(), &cut(0, None, 2.0)).key, Some("pieces"));
    assert_eq!(refused(&bar(), &cut(900, None, 2.0)).key, Some("pieces"));
    // Exactly enough is enough.
    near(
        then(&bar(), &[cut(2, Some(171.75), 2.0)]).bar.length,
        171.75,
    );
}

#[test]
fn the_rest_is_stock_or_rounding_and_its_parting_cut_is_kerf() {
    let keep = Move::Cut {
        pieces: 3,
        length: Some(Mm(80.0)),
        kerf: Mm(2.0),
        keep_rest: true,
    };
    let now = then(&bar(), &[keep]);
    assert_eq!((now.pieces, now.stage), (3, Stage::Pieces));
    let [offcut] = &now.stock[..] else { panic!() };
    // 345.5 - 3 x 80 - 3 x 2.
    near(offcut.bar.length, 99.5);
    assert_eq!((offcut.pieces, offcut.bar.core.layers.bands()), (1, 9));
    assert!(now.ledger.total(Loss::Kerf).near(Mm3(6.0 * 560.0), 1e-6));
    assert!(now.stock_volume().near(Mm3(99.5 * 560.0), 1e-6));
    let lost = then(&bar(), &[cut(3, Some(80.0), 2.0)]);
    assert!(
        lost.ledger
            .total(Loss::Rounding)
            .near(Mm3(99.5 * 560.0 + 56.0), 1e-6)
    );
    // A rest thinner than the saw goes with the saw.
    let thin = then(&bar(), &[cut(4, Some(84.5), 2.0)]);
    assert!(thin.ledger.total(Loss::Kerf).near(Mm3(7.5 * 560.0), 1e-6));
}

#[test]
fn one_piece_is_still_a_bar_and_pieces_can_be_cut_again() {
    assert_eq!(then(&bar(), &[cut(1, Some(200.0), 2.0)]).stage, Stage::Bar);
    let twice = then(&bar(), &[cut(2, None, 2.0), cut(2, None, 2.0)]);
    assert_eq!(twice.pieces, 4);
    assert_eq!(
        refused(&then(&bar(), &[cut(1, None, 2.0)]), &PILE).key,
        Some("kind")
    );
}

#[test]
fn the_three_ways_to_put_four_pieces_together() {
    let four = then(&bar(), &[cut(4, None, 2.0)]);
    let put = |arrange| then(&four, &[Move::Restack { arrange }]);
    let pile = put(Arrange::Pile);
    near(pile.bar.thickness, 56.0);
    // Like faces meet however they lie when both outsides are alike.
    assert_eq!((pile.bands(), put(Arrange::Flipped).bands()), (33, 33));
    let block = |columns, rows| Arrange::Block {
        columns,
        rows,
        turned: false,
    };
    let two = put(block(2, 2));
    near(two.bar.width, 80.0);
    near(two.bar.thickness, 28.0);
    assert_eq!((two.bands(), two.nominal), (17, 36));
    let wrong = Move::Restack {
        arrange: block(2, 3),
    };
    assert_eq!(refused(&four, &wrong).key, Some("columns"));
    let turned = Move::Restack {
        arrange: Arrange::Block {
            columns: 2,
            rows: 2,
            turned: true,
        },
    };
    assert_eq!(refused(&four, &turned).key, Some("turned"));
}

#[test]
fn even_pieces_merge_only_when_turned_over() {
    let even = billet(&alternating(8, 6.0, 3.0), 40.0, 120.0);
    let moves = [
        Move::STACK,
        weld(),
        draw(40.0, 12.0, 4.0),
        cut(5, None, 2.0),
    ];
    let five = then(&even, &moves);
    let put = |arrange| then(&five, &[Move::Restack { arrange }]).bands();
    assert_eq!((put(Arrange::Pile), put(Arrange::Flipped)), (40, 36));
}

#[test]
fn pieces_on_edge_lie_seam_on_seam() {
    let on_edge = then(&bar(), &[Move::QuarterTurn, cut(3, None, 2.0)]);
    let pile = then(&on_edge, &[PILE]);
    near(pile.bar.thickness, 120.0);
    // The bands stand through all three.
    assert_eq!(pile.bands(), 9);
    let beside = Move::Restack {
        arrange: Arrange::Block {
            columns: 3,
            rows: 1,
            turned: false,
        },
    };
    let row = then(&on_edge, &[beside]);
    near(row.bar.width, 42.0);
    assert_eq!(row.bands(), 25);
}

#[test]
fn a_fold_turns_every_second_thickness_over() {
    let folded = then(
        &bar(),
        &[Move::Fold {
            plies: 2,
            kerf: Mm(3.0),
        }],
    );
    assert_eq!(folded.stage, Stage::Pile);
    near(folded.bar.length, (345.5 - 3.0) / 2.0);
    near(folded.bar.thickness, 28.0);
    assert_eq!((folded.nominal, folded.bands()), (18, 17));
    assert!(folded.ledger.total(Loss::Kerf).near(Mm3(3.0 * 560.0), 1e-6));
    for plies in [0, 1, 9] {
        let fold = Move::Fold {
            plies,
            kerf: Mm(0.0),
        };
        assert_eq!(refused(&bar(), &fold).key, Some("plies"));
    }
}

#[test]
fn gaps_in_a_pile_are_no_metal() {
    let four = then(&bar(), &[cut(4, None, 2.0)]);
    let outcome = read(&four, &PILE, thickness(57.0));
    assert!(outcome.losses.is_empty() && outcome.warnings.is_empty());
    assert!(outcome.billet.volume().near(four.volume(), 1e-6));
    let weighed = read(&four, &PILE, mass(1480.0));
    assert!((weighed.billet.piece_mass().0 - 1480.0).abs() < 1e-6);
    assert!(weighed.losses[0].measured);
}

#[test]
fn trims_first_then_one_cut_fewer_than_pieces() {
    // 345 long, 12 off each end, kerf 2, four pieces: (345 - 24 - 6) / 4, by hand.
    let mut from = bar();
    from = then(&from, &[cut(1, Some(345.0), 0.0), trim(12.0, 12.0)]);
    let fine = Allowances {
        mark: Mm(0.0),
        ..allowances()
    };
    let four = run(&from, &[cut(4, None, 2.0)], &fine)
        .pop()
        .unwrap()
        .billet;
    near(four.bar.length, 78.75);
}
