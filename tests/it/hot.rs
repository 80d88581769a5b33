//! A piece is told hot as long as it can be, and nothing that it still lacks passes for done. Steps reached by keys.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use anvilside::billet::Kind;
use anvilside::journal::Fire;
use anvilside::session::{Session, reckon};
use anvilside::units::Seconds;

use crate::common::{Desk, plan_text};

fn at(sample: &str, id: &str) -> Desk {
    let mut desk = Desk::on(&plan_text(sample));
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    desk.go_to(id);
    desk.answer_card();
    desk
}

fn piece(desk: &Desk) -> Fire {
    desk.model.session.piece(desk.now)
}

/// The step of that kind that the sample has first.
fn first(sample: &str, kind: Kind) -> String {
    let plan = anvilside::plan::read(&plan_text(sample)).unwrap().0;
    let step = plan.steps.iter().find(|step| step.kind() == kind);
    step.unwrap().id.0.clone()
}

#[test]
fn a_step_done_with_the_piece_in_the_fire_leaves_it_hot() {
    let mut desk = at("three-layer", "draw-1");
    let step = desk.model.session.at;
    desk.keys("+");
    desk.wait(Seconds(300.0));
    desk.keys("+");
    desk.wait(Seconds(30.0));
    desk.keys("+");
    desk.wait(Seconds(300.0));
    assert_eq!(piece(&desk), Fire::In);
    for _ in 0..4 {
        if desk.model.session.at == step {
            desk.key(anvilside::ui::Key::Enter);
            desk.keys("+");
        }
    }
    assert_eq!(desk.model.session.at, step + 1, "{}", desk.screen(80, 24));
    assert_eq!(piece(&desk), Fire::Out);
    assert!(desk.shows("FIRE out"), "{}", desk.screen(80, 24));
    // The journal says the same once it is read again.
    let again = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!(again.piece(desk.now), Fire::Out);
    // It has no new trip, and is cold after half an hour.
    let trips = again.heats.iter().filter(|heat| heat.step.0 == "draw-1");
    assert_eq!(trips.count(), 2);
    desk.wait(Seconds(1801.0));
    assert_eq!(piece(&desk), Fire::Cold);
}

#[test]
fn a_quench_and_the_end_of_a_day_leave_it_cold() {
    let mut desk = at("three-layer", &first("three-layer", Kind::Harden));
    desk.keys("+");
    desk.wait(Seconds(900.0));
    desk.keys("+");
    desk.wait(Seconds(3.0));
    let step = desk.model.session.at;
    desk.key(anvilside::ui::Key::Enter);
    for _ in 0..4 {
        if desk.model.session.at == step {
            desk.keys("+");
        }
    }
    assert_eq!(desk.model.session.at, step + 1, "{}", desk.screen(80, 24));
    assert_eq!(piece(&desk), Fire::Cold);
}

#[test]
fn a_blade_that_was_hardly_in_the_fire_is_not_to_be_quenched() {
    let mut desk = at("three-layer", &first("three-layer", Kind::Harden));
    desk.keys("+");
    desk.wait(Seconds(6.0));
    desk.keys("+");
    desk.reckon_now();
    let screen = desk.screen(80, 24);
    assert!(screen.contains("NO QUENCH YET: back in, to "), "{screen}");
    assert!(!screen.contains("quench at once"), "{screen}");
    // Back in for its time, it is quenched; what lay too long is not.
    desk.keys("+");
    desk.wait(Seconds(1200.0));
    desk.keys("+");
    desk.reckon_now();
    assert!(desk.shows("quench at once"), "{}", desk.screen(80, 24));
    assert!(!desk.shows("read COLD"), "{}", desk.screen(80, 24));
    desk.wait(Seconds(240.0));
    assert!(desk.shows("TOO COLD to quench"), "{}", desk.screen(80, 24));
}

#[test]
fn a_short_heat_leaves_the_time_to_be_hot_through_nearly_whole() {
    let mut desk = at("three-layer", "weld-1");
    let through = |desk: &Desk| {
        let inputs = desk.model.session.inputs(desk.now, &desk.cache);
        reckon(&inputs, &desk.cache).fire.unwrap().through.best
    };
    let cold = through(&desk);
    desk.keys("+");
    desk.wait(Seconds(4.0));
    desk.keys("+");
    let after = through(&desk);
    assert!(
        after > 0.8 * cold && after <= cold * 1.01,
        "{after} of {cold}"
    );
    // A whole heat, worked down: what is left is the way from the end of the window.
    desk.keys("+");
    desk.wait(Seconds(1200.0));
    desk.keys("+");
    desk.wait(Seconds(5.0));
    assert!(through(&desk) < 0.5 * cold);
}

#[test]
fn a_reading_long_after_the_fire_is_never_taken_at_a_heat_that_is_over() {
    let mut desk = at("three-layer", "draw-1");
    desk.keys("+");
    desk.wait(Seconds(1200.0));
    desk.keys("+");
    desk.reckon_now();
    desk.keys("/");
    let mut last = desk.model.hot_temperature().0;
    assert!(last > 700.0, "{last}");
    for _ in 0..110 {
        desk.wait(Seconds(15.0));
        if piece(&desk) != Fire::Out {
            break;
        }
        let now = desk.model.hot_temperature().0;
        assert!(now <= last + 0.5, "{now} after {last}");
        last = now;
    }
    assert!(last < 201.0, "{last}");
}

#[test]
fn a_like_piece_without_a_heat_and_a_soak_of_one_alone_are_asked_about() {
    let mut desk = at("kitchen-pair", &first("kitchen-pair", Kind::Harden));
    assert_eq!(desk.model.session.in_turn(), 2);
    desk.keys("+");
    desk.wait(Seconds(1200.0));
    desk.keys("+");
    let why = desk.model.session.without_heat();
    assert_eq!(why.as_deref(), Some("piece 2 has no heat"));
    desk.wait(Seconds(3.0));
    desk.key(anvilside::ui::Key::Enter);
    let screen = desk.screen(80, 24);
    assert!(
        screen.contains("IS THE STEP DONE?") && screen.contains("! piece 2 has no heat"),
        "{screen}"
    );
    desk.key(anvilside::ui::Key::Backspace);
    desk.wait(Seconds(3.0));
    desk.keys("t+");
    desk.wait(Seconds(2.0));
    desk.keys("+");
    let why = desk.model.session.lacking(desk.now).unwrap_or_default();
    assert!(why.starts_with("piece 2: "), "{why}");
}

#[test]
fn a_far_off_size_typed_again_is_taken_however_the_first_was_cleared() {
    for clear in ["*", "<<<"] {
        let mut desk = at("three-layer", "draw-1");
        desk.keys("+");
        desk.wait(Seconds(600.0));
        desk.keys("+");
        desk.wait(Seconds(3600.0));
        desk.keys("3.1\n");
        assert!(desk.model.session.reading().is_empty());
        desk.wait(Seconds(3.0));
        desk.keys(clear);
        desk.wait(Seconds(3.0));
        desk.keys("3.1\n");
        let read = desk.model.session.reading();
        assert_eq!(read.thickness.map(|mm| mm.0), Some(3.1), "{clear}");
    }
}

#[test]
fn what_is_weighed_in_a_heat_treatment_is_taken() {
    for kind in [Kind::Normalise, Kind::Harden, Kind::Temper] {
        let mut desk = at("three-layer", &first("three-layer", kind));
        let was = desk.model.session.billet.piece_mass().0;
        let read = (0.95 * was).round();
        desk.keys(&format!("{read}\n"));
        let now = desk.model.session.metal().piece_mass().0;
        assert!((now - read).abs() < 0.01, "{kind:?}: {now} {read}");
    }
}

/// So many trips of so long inside and out, with the numbers of the fire worked after each.
fn trips(desk: &mut Desk, count: usize, inside: f64, outside: f64) {
    for _ in 0..count {
        desk.keys("+");
        desk.wait(Seconds(inside));
        desk.keys("+");
        desk.reckon_now();
        desk.wait(Seconds(outside));
    }
    desk.reckon_now();
}

#[test]
fn time_on_the_way_up_is_no_soak_and_a_cold_heat_no_heat() {
    // The soak of the first weld is 10 min; six heats of 100 s are as long, and never hot through.
    let mut desk = at("kitchen-pair", "weld-1");
    let step = desk.model.session.at;
    trips(&mut desk, 6, 105.0, 60.0);
    assert_eq!(desk.model.session.lacking(desk.now), None);
    desk.wait(Seconds(3.0));
    desk.key(anvilside::ui::Key::Enter);
    let screen = desk.screen(80, 24);
    assert!(
        screen.contains("END EARLY") && screen.contains("(estimate)"),
        "{screen}"
    );
    assert_eq!(desk.model.session.at, step);
    // The minus goes back and is no reason; nor is anything without a word or a figure.
    desk.keys("-");
    assert_eq!(desk.model.session.at, step);
    assert!(!desk.shows("END EARLY"), "{}", desk.screen(80, 24));
    desk.wait(Seconds(3.0));
    desk.key(anvilside::ui::Key::Enter);
    desk.keys("*./\n");
    assert_eq!(desk.model.session.at, step, "{}", desk.screen(80, 24));
    desk.key(anvilside::ui::Key::Esc);
    // As long as its clock counts, nothing is asked.
    trips(&mut desk, 1, 2400.0, 10.0);
    assert_eq!(desk.model.hardly_hot(), None, "{}", desk.screen(80, 24));

    let kind = first("three-layer", Kind::Normalise);
    let mut desk = at("three-layer", &kind);
    let heats = desk.model.session.current().unwrap().heats as usize;
    trips(&mut desk, heats, 2.5, 60.0);
    let why = desk.model.hardly_hot().unwrap();
    assert!(
        why.contains("at the most (estimate), and the step asks for "),
        "{why}"
    );
    // What lies colder than is followed is not told warmer than it was.
    assert!(desk.shows("COOLING under 200 C"), "{}", desk.screen(80, 24));
}

#[test]
fn a_soak_cut_short_is_told_when_the_piece_comes_out() {
    let mut desk = at("kitchen-pair", "weld-1");
    let through = {
        let inputs = desk.model.session.inputs(desk.now, &desk.cache);
        reckon(&inputs, &desk.cache).fire.unwrap().through.best
    };
    trips(&mut desk, 1, through + 60.0, 1.0);
    let screen = desk.screen(80, 24);
    assert!(screen.contains("SOAK SHORT by ~9 min: back in"), "{screen}");
}

#[test]
fn a_blade_that_was_never_hot_has_no_hardness_to_temper() {
    let harden = first("three-layer", Kind::Harden);
    let mut desk = at("three-layer", &harden);
    trips(&mut desk, 1, 3.0, 3.0);
    desk.key(anvilside::ui::Key::Enter);
    for _ in 0..3 {
        desk.keys("5\n+");
    }
    assert_eq!(
        desk.model.session.current().unwrap().kind(),
        Kind::Temper,
        "{}",
        desk.screen(80, 24)
    );
    desk.answer_card();
    desk.reckon_now();
    let screen = desk.screen(120, 40);
    assert!(screen.contains("NOT HARDENED"), "{screen}");
    assert!(!screen.contains("HRC"), "{screen}");
}

#[test]
fn a_cold_piece_is_cold_in_the_next_step_too() {
    let mut desk = at("kitchen-pair", "weld-1");
    trips(&mut desk, 1, 1800.0, 900.0);
    let step = desk.model.session.at;
    for _ in 0..4 {
        if desk.model.session.at == step {
            desk.key(anvilside::ui::Key::Enter);
            desk.keys("+");
        }
    }
    assert_eq!(desk.model.session.at, step + 1, "{}", desk.screen(80, 24));
    desk.answer_card();
    desk.reckon_now();
    // A quarter of an hour out of the fire it is far under the 900 C of the draw.
    assert_eq!(piece(&desk), Fire::Out);
    let screen = desk.screen(80, 24);
    assert!(!screen.contains("TIME LEFT ABOVE"), "{screen}");
    assert!(screen.contains("NOT HOT YET: back in"), "{screen}");
}

#[test]
fn the_record_has_every_heat_of_each_like_piece() {
    let mut desk = at("kitchen-pair", &first("kitchen-pair", Kind::Harden));
    let before = desk.model.session.heats.len();
    trips(&mut desk, 1, 900.0, 5.0);
    desk.keys("t");
    trips(&mut desk, 1, 20.0, 5.0);
    let session = &desk.model.session;
    assert_eq!(session.heats.len(), before + 2);
    let record = serde_json::to_value(session.record_data()).unwrap();
    let heats = record["heats"].as_array().unwrap();
    assert_eq!(heats.len(), before + 2);
    let reached = |heat: &serde_json::Value| heat["reached_c"].as_f64().unwrap();
    assert!(
        reached(&heats[before]) > 780.0 && reached(&heats[before + 1]) < 300.0,
        "{heats:?}"
    );
}
