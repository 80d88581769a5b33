//! Like bars counted off, what must match before they are joined, and a bar left for another.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

use anvilside::billet::Dimension;
use anvilside::journal::{Event, Fire};
use anvilside::planner::status;
use anvilside::session::Session;
use anvilside::units::{Mm, Seconds};

use crate::common::Desk;

/// A sample at a step.
fn at(name: &str, step: &str) -> Desk {
    let mut desk = Desk::sample(name);
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    go(&mut desk, step);
    desk
}

fn go(desk: &mut Desk, step: &str) {
    desk.go_to(step);
    desk.answer_card();
}

/// Types a size of the step in hand, cold.
fn read(desk: &mut Desk, what: Dimension, typed: &str) {
    desk.wait(Seconds(7200.0));
    let word = what.word();
    for _ in 0..6 {
        if desk.screen(120, 40).contains(&format!("type {word} ")) {
            desk.wait(Seconds(3.0));
            desk.keys(&format!("{typed}\n"));
            return;
        }
        desk.keys(".");
    }
    panic!("{word} is not asked:\n{}", desk.screen(120, 40));
}

/// Two like bars of two rods each: two are prepared, four are twisted and squared.
#[test]
fn like_bars_are_counted_off_through_the_steps_that_work_them_alike() {
    let counted = [
        ("prepare-1", "bar 1 of 2"),
        ("draw-1", "bar 1 of 2"),
        ("prepare-2", "bar 2 of 2"),
        ("weld-2", "bar 2 of 2"),
        ("cut-1", "bar 1 of 2"),
        ("twist-1", "piece 1 of 2, bar 1 of 4"),
        ("cut-2", "bar 2 of 2"),
        ("twist-2", "piece 1 of 2, bar 3 of 4"),
        ("square-2", "piece 1 of 2, bar 3 of 4"),
    ];
    let mut desk = at("four-twist-edges", "prepare-1");
    for (step, words) in counted {
        go(&mut desk, step);
        assert!(desk.shows(words), "{step}:\n{}", desk.screen(80, 24));
        let told = status::text(&desk.model.session, &desk.model.situation, None, desk.now);
        assert!(told.contains(words), "{step}: {told}");
    }
    desk.keys("t");
    assert!(
        desk.shows("piece 2 of 2, bar 4 of 4"),
        "{}",
        desk.screen(80, 24)
    );
    // The joined bar is one: there is no other like it.
    go(&mut desk, "square-3");
    assert_eq!(desk.model.situation.bar.alike, None);
}

/// Every rod keeps its own readings; the largest difference is that of the numbers typed: 9/16 - 1/2 = 1/16.
#[test]
fn each_of_four_rods_has_its_readings_and_they_stand_side_by_side() {
    let mut desk = at("four-twist-edges", "square-1");
    read(&mut desk, Dimension::Thickness, "1/2");
    desk.keys("t");
    read(&mut desk, Dimension::Thickness, "33/64");
    desk.finish_step();
    go(&mut desk, "square-2");
    read(&mut desk, Dimension::Thickness, "9/16");
    let words = "thickness: right 1: 1/2 in, right 2: 33/64 in, 1/16 in apart";
    assert!(
        desk.screen(160, 50).contains(words),
        "{}",
        desk.screen(160, 50)
    );
    let size = desk.model.situation.size(Dimension::Thickness).unwrap();
    let read: Vec<(&str, f64)> = size
        .alike
        .iter()
        .map(|(bar, size)| (&**bar, *size))
        .collect();
    assert_eq!(read[0].0, "right 1");
    assert!(
        (read[1].1 - Mm::from_inch(33.0 / 64.0).0).abs() < 1e-9,
        "{read:?}"
    );
    let json = status::json(&desk.model.session, &desk.model.situation, None, desk.now);
    assert_eq!(json["alike"]["number"], 3);
    assert_eq!(json["sizes"][0]["alike"][1]["bar"], "right 2");
}

/// By hand: 8-1/2 less 8-1/4 is 1/4 in, 2.9 % and more than the 2 % that a trim after the weld makes up for.
#[test]
fn before_a_join_what_must_match_stands_side_by_side_with_what_to_trim() {
    let mut desk = at("four-twist-edges", "cut-3");
    read(&mut desk, Dimension::Length, "8-1/2");
    go(&mut desk, "cut-4");
    read(&mut desk, Dimension::Length, "8-1/4");
    go(&mut desk, "join-1");
    let all = &desk.model.situation.bar.matching;
    let length = all
        .iter()
        .find(|one| one.what == Dimension::Length)
        .unwrap();
    let bars: Vec<&str> = length.bars.iter().map(|(bar, _)| &**bar).collect();
    assert_eq!(bars, ["right 1", "left 1", "right 2", "left 2"]);
    assert!(
        (length.apart.0 - Mm::from_inch(0.25).0).abs() < 0.02,
        "{length:?}"
    );
    assert_eq!(
        length.todo,
        ["trim 1/4 in off right 1", "trim 1/4 in off right 2"]
    );
    let screen = desk.screen(80, 24);
    assert!(
        screen.contains("MATCH length: right 1: 8-1/2, left 1: 8-1/4"),
        "{screen}"
    );
    assert!(!screen.contains("RESTACKS"), "{screen}");
    let told = status::text(&desk.model.session, &desk.model.situation, None, desk.now);
    assert!(told.contains("must match: thickness: right 1:"), "{told}");
    // It is one bar that is laid together, not two pieces in turn.
    assert_eq!(desk.model.session.in_turn(), 1);
    // As they were cut first, they match.
    let mut desk = at("four-twist-edges", "join-1");
    assert!(desk.shows("near enough"), "{}", desk.screen(80, 24));
    assert!(
        desk.model
            .situation
            .bar
            .matching
            .iter()
            .all(|one| one.todo.is_empty())
    );
    desk.finish_step();
}

/// The number asked is the number shown: that of a tile, which then lies on 2 mm of plain steel.
#[test]
fn at_the_tiles_one_thickness_is_shown_asked_and_read() {
    let mut desk = at("end-grain-tiles", "slice-1");
    let size = desk.model.situation.size(Dimension::Thickness).unwrap();
    assert!((size.wanted - 5.0).abs() < 1e-9 && size.named, "{size:?}");
    assert_eq!(size.before, None);
    let screen = desk.screen(80, 24);
    assert!(screen.contains("THICKNESS of each of 24 tiles"), "{screen}");
    assert!(screen.contains("thickness 5 mm"), "{screen}");
    let before = desk.model.session.after_step().unwrap().bar.thickness;
    assert!((before.0 - 7.0).abs() < 1e-9);
    read(&mut desk, Dimension::Thickness, "5.2");
    let after = desk.model.session.after_step().unwrap().bar.thickness;
    assert!((after.0 - 7.2).abs() < 1e-9, "{after:?}");
}

/// What the goal wants is counted on the whole: a jacket is not held against it, nor its plain core.
#[test]
fn a_bar_that_goes_into_another_is_not_set_against_the_bands_of_the_whole() {
    for (name, step, into) in [
        ("jacketed", "draw-1", "core"),
        ("end-grain-tiles", "draw-1", "core"),
    ] {
        let desk = at(name, step);
        assert!(desk.model.situation.bar.restacks.is_none(), "{name}");
        let screen = desk.screen(80, 24);
        assert!(screen.contains(&format!("for bar {into}")), "{screen}");
        let told = status::text(&desk.model.session, &desk.model.situation, None, desk.now);
        assert!(told.contains(&format!("it goes into bar {into}")), "{told}");
        assert!(!told.contains("restacks:"), "{told}");
    }
    let desk = at("four-twist-edges", "draw-1");
    assert!(desk.model.situation.bar.restacks.is_some());
}

/// Killed while the second bar is in the fire, in the middle of a step of the first: both keep their readings,
/// heats and places in the fire.
#[test]
fn killed_in_the_middle_of_a_step_of_two_bars_both_keep_their_entries() {
    let mut desk = at("four-twist-edges", "draw-1");
    desk.keys("9/16\n");
    desk.keys("+");
    desk.wait(Seconds(300.0));
    desk.keys("+");
    desk.wait(Seconds(20.0));
    desk.keys("+");
    let before = desk.model.session.clone();
    assert_eq!(before.fire.0, Fire::In);
    assert!(before.step.reading.thickness.is_some() && before.step.heats > 0);
    // The second bar up to its weld, a step at a time: after each the first is in hand again, as it was left.
    for step in ["prepare-2", "stack-2", "weld-2"] {
        let other = desk.model.session.may_turn_to().next().unwrap();
        assert_eq!(other.id.0, step);
        desk.keys("c1");
        assert!(matches!(
            desk.journal.last().unwrap().event,
            Event::TakenUp { .. }
        ));
        desk.answer_card();
        if step == "weld-2" {
            break;
        }
        desk.finish_step();
        let back = &desk.model.session;
        assert_eq!(back.current().unwrap().id.0, "draw-1");
        assert_eq!(back.step.reading, before.step.reading);
        assert_eq!(
            (back.step.heats, back.fire.0),
            (before.step.heats, Fire::In)
        );
        desk.answer_card();
    }
    desk.keys("+");
    desk.wait(Seconds(480.0));
    let left = desk.model.session.laid_by.get("right").unwrap().clone();
    let (id, state) = left.left.as_ref().unwrap();
    assert_eq!((id.0.as_str(), left.fire.0), ("draw-1", Fire::In));
    assert_eq!(
        (state.heats, state.reading),
        (before.step.heats, before.step.reading)
    );
    let heats = desk.model.session.heats.len();

    let mut desk = desk.killed_and_reopened(Seconds(60.0));
    desk.foresees = false;
    desk.reckons = false;
    let again = &desk.model.session;
    assert_eq!(again.current().unwrap().id.0, "weld-2");
    assert_eq!((again.fire.0, again.heats.len()), (Fire::In, heats));
    assert_eq!(again.laid_by.get("right"), Some(&left));
    desk.finish_step();
    // The first bar is in hand again, with what was read and done of it.
    let back = &desk.model.session;
    assert_eq!(back.current().unwrap().id.0, "draw-1");
    assert_eq!(&*back.billet.name, "right");
    assert_eq!(
        (back.step.heats, back.step.reading),
        (before.step.heats, before.step.reading)
    );
    let folded = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!(folded.step, back.step);
    assert_eq!(folded.laid_by, back.laid_by);
}
