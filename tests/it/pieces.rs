//! Like pieces worked in turn: a clock and readings each.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::print_stdout
)]

use anvilside::billet::Dimension;
use anvilside::journal::Fire;
use anvilside::session::Session;
use anvilside::units::Seconds;

use crate::common::Desk;

/// The pair at the forging of its blades: two blanks.
fn two_blanks() -> Desk {
    let mut desk = Desk::sample("kitchen-pair");
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    desk.go_to("forge-2");
    desk.answer_card();
    desk.wait(Seconds(2400.0));
    desk
}

fn lies(desk: &Desk) -> (u32, Fire, Vec<(u32, Fire, f64)>) {
    let session = &desk.model.session;
    let others = session.lying(desk.now).into_iter();
    let others = others
        .map(|one| (one.piece, one.fire, one.span.0))
        .collect();
    (session.hand, session.piece(desk.now), others)
}

#[test]
fn one_press_swaps_two_blanks_and_each_has_its_clock() {
    let mut desk = two_blanks();
    assert!(desk.shows("piece 1 of 2"), "{}", desk.screen(80, 24));
    desk.keys("+");
    desk.wait(Seconds(120.0));
    // The second is taken up cold: the first goes on in the fire.
    desk.keys("t");
    assert_eq!(lies(&desk), (2, Fire::Cold, vec![(1, Fire::In, 121.0)]));
    assert!(
        desk.shows("in, and the other out"),
        "{}",
        desk.screen(120, 40)
    );
    desk.keys("+");
    desk.wait(Seconds(30.0));
    assert_eq!(lies(&desk), (1, Fire::Out, vec![(2, Fire::In, 30.0)]));
    assert!(desk.shows("piece 2 in 0:30"), "{}", desk.screen(120, 40));
    desk.wait(Seconds(30.0));
    desk.keys("+");
    assert_eq!(lies(&desk), (2, Fire::Out, vec![(1, Fire::In, 0.0)]));
    // Two heats: one of each, 120 s and 60 s in the fire.
    let heats: Vec<(u32, f64)> = desk
        .model
        .session
        .heats
        .iter()
        .filter(|heat| heat.step.0 == "forge-2" && heat.out.is_some())
        .map(|heat| (heat.piece, heat.out.unwrap().since(heat.into).0))
        .collect();
    // A key takes a second of the desk's clock.
    let near = |(piece, inside): (u32, f64), number: u32, least: f64| {
        piece == number && (least..least + 4.0).contains(&inside)
    };
    assert!(
        heats.len() == 2 && near(heats[0], 1, 120.0) && near(heats[1], 2, 60.0),
        "{heats:?}"
    );
    assert_eq!(desk.model.session.step.heats, 2);
    // One press was one entry, and is taken back as one.
    let how = |desk: &Desk| {
        let (hand, fire, others) = lies(desk);
        let others: Vec<Fire> = others.into_iter().map(|one| one.1).collect();
        (hand, fire, others)
    };
    let before = how(&desk);
    desk.keys("-");
    assert_eq!(lies(&desk).0, 1);
    desk.keys("r");
    assert_eq!(how(&desk), before);
    let folded = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!((folded.hand, &folded.aside), (2, &desk.model.session.aside));
}

#[test]
fn each_blank_is_read_and_the_job_goes_on_with_their_mean() {
    let mut desk = two_blanks();
    let read = |desk: &mut Desk, length: &str| {
        while !desk.screen(120, 40).contains("type length") {
            desk.keys(".");
        }
        desk.wait(Seconds(3.0));
        desk.keys(&format!("{length}\n"));
    };
    read(&mut desk, "214");
    desk.keys("t");
    assert_eq!(desk.model.session.step.reading.length, None);
    read(&mut desk, "210");
    let size = desk.model.situation.size(Dimension::Length).unwrap();
    assert!((size.read.as_ref().unwrap().cold - 210.0).abs() < 1e-9);
    assert_eq!(size.aside, [(1, 214.0)]);
    assert!(
        desk.shows("length: piece 1: 214 mm, 4 mm apart"),
        "{}",
        desk.screen(120, 40)
    );
    assert!((desk.model.session.reading().length.unwrap().0 - 212.0).abs() < 1e-9);
    let rows = desk.model.session.readings();
    let own: Vec<(u32, f64)> = rows
        .iter()
        .filter(|row| row.step.id.0 == "forge-2")
        .map(|row| (row.piece, row.cold))
        .collect();
    assert_eq!(own, [(1, 214.0), (2, 210.0)]);
    // With the step done both are in the record, and the first is in hand again.
    desk.finish_step();
    assert_eq!(desk.model.session.hand, 1);
    let done = desk.model.session.done.last().unwrap();
    assert!((done.reading.length.unwrap().0 - 212.0).abs() < 1e-9);
}

#[test]
fn one_piece_is_no_choice_and_one_fire_holds_all_that_are_normalised() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    desk.go_to("draw-1");
    desk.answer_card();
    desk.keys("t");
    assert!(desk.shows("there is one piece in this step"));
    assert_eq!(desk.model.session.in_turn(), 1);
    desk.go_to("normalise-1");
    assert_eq!(desk.model.session.billet.pieces, 2);
    assert_eq!(desk.model.session.in_turn(), 1);
}
