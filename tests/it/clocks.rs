//! Soaks, heats and clocks of a step, and steps that are ended before they can be done.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

use crate::common::{Desk, plan_text};
use anvilside::journal::Event;
use anvilside::ui::Mode;
use anvilside::units::Seconds;

/// A job at a step, its card settled.
fn at(text: &str, id: &str) -> Desk {
    let mut desk = Desk::on(text);
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    while here(&desk) != id {
        desk.finish_step();
    }
    desk.answer_card();
    desk
}

fn sample(name: &str, id: &str) -> Desk {
    at(&plan_text(name), id)
}

fn here(desk: &Desk) -> String {
    let step = desk.model.session.current();
    step.map_or_else(String::new, |step| step.id.0.clone())
}

/// ENTER and SPACE ask why; a reason by number ends the step and stands in the record.
#[track_caller]
fn asked_once(mut desk: Desk, why: &str) {
    let id = here(&desk);
    desk.keys("\n+");
    assert_eq!(here(&desk), id, "{}", desk.screen(80, 24));
    assert!(desk.shows(why), "no '{why}' in\n{}", desk.screen(80, 24));
    desk.keys("1");
    assert_ne!(here(&desk), id, "{}", desk.screen(80, 24));
    let kept = format!("ended early ({why}");
    let noted = |entry: &anvilside::journal::Entry| matches!(&entry.event, Event::Note { text, .. } if text.contains(&kept));
    assert!(desk.journal.iter().any(noted), "{:?}", desk.journal.last());
    assert!(desk.model.session.record().contains(&kept));
}

#[test]
fn hot_work_without_a_heat_is_asked_about_once() {
    for id in ["weld-1", "draw-1", "harden-1", "anneal-1"] {
        asked_once(sample("kitchen-pair", id), "no heat was logged");
    }
}

#[test]
fn cycles_that_are_missing_are_asked_about() {
    let mut desk = sample("kitchen-pair", "temper-1");
    asked_once(sample("kitchen-pair", "temper-1"), "no cycle was logged");
    desk.keys("+");
    desk.wait(Seconds(2.0 * 3600.0));
    desk.keys("+");
    asked_once(desk, "1 of 2 cycles were logged");
    let mut desk = sample("kitchen-pair", "normalise-1");
    desk.keys("+");
    desk.wait(Seconds(300.0));
    desk.keys("+");
    asked_once(desk, "1 of 3 heats were logged");
}

#[test]
fn a_soak_cut_short_is_asked_about() {
    let mut desk = sample("kitchen-pair", "anneal-1");
    desk.keys("+");
    desk.wait(Seconds(600.0));
    desk.keys("+");
    asked_once(desk, "10 min in the fire in all, and the soak is 60 min");
}

#[test]
fn what_was_done_is_not_asked_about() {
    let mut desk = sample("kitchen-pair", "harden-1");
    desk.keys("+");
    desk.wait(Seconds(400.0));
    desk.keys("+\n+");
    assert_eq!(here(&desk), "temper-1", "{}", desk.screen(80, 24));
}

#[test]
fn each_dip_of_an_etch_has_its_clock() {
    let mut desk = sample("kitchen-pair", "etch-1");
    desk.keys("+");
    assert!(desk.shows("DIP 1 left"), "{}", desk.screen(80, 24));
    desk.wait(Seconds(6.0 * 60.0));
    assert!(desk.shows("DIP 1 is over: +"), "{}", desk.screen(80, 24));
    desk.keys("++");
    assert!(desk.shows("DIP 2 left"), "{}", desk.screen(80, 24));
    desk.wait(Seconds(6.0 * 60.0));
    desk.keys("+\n+");
    assert_eq!(here(&desk), "end-day-6", "{}", desk.screen(80, 24));
    asked_once(sample("kitchen-pair", "etch-1"), "no dip was logged");
}

#[test]
fn a_temper_without_a_soak_has_the_usual_one() {
    let text = plan_text("kitchen-pair").replace("soak = \"2 h\"\n", "");
    let mut desk = at(&text, "temper-1");
    desk.keys("+");
    assert!(desk.shows("TEMPER 1 left"), "{}", desk.screen(80, 24));
    assert!(matches!(desk.model.mode, Mode::Step));
}

// 870, 815 and 760 C: the note of the sample plan, common practice, no source.
#[test]
fn each_heat_of_a_normalising_shows_its_own_temperature() {
    let mut desk = sample("kitchen-pair", "normalise-1");
    assert!(
        desk.shows("NORMALISE, heat 1 of 3 at"),
        "{}",
        desk.screen(80, 24)
    );
    for (number, high) in [(1, "870"), (2, "815"), (3, "760")] {
        for _ in ["in the fire", "cooling"] {
            desk.keys("+");
            desk.wait(Seconds(240.0));
            let label = format!("NORMALISE, heat {number} of 3 at");
            assert!(desk.shows(&label), "{}", desk.screen(80, 24));
            let meant = desk.model.session.heating();
            assert_eq!(format!("{:.0}", meant.top.0), high);
            assert!(meant.furnace > meant.top && meant.furnace.0 < meant.top.0 + 30.0);
        }
    }
}
