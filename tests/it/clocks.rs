//! Soaks, heats and clocks of a step, and steps that are ended before they can be done.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

use crate::common::{Desk, plan_text};
use anvilside::billet::Kind;
use anvilside::journal::Event;
use anvilside::planner::forecast::StepForecast;
use anvilside::planner::situation::Situation;
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
    desk.keys("\n");
    if desk.model.mode == Mode::Review {
        desk.keys("+");
    }
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
    assert_ne!(here(&desk), "etch-1", "{}", desk.screen(80, 24));
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

/// The forecast from the first step of a plan on.
fn foreseen(text: &str) -> Desk {
    let mut desk = Desk::on(text);
    desk.reckons = false;
    desk.keys("+");
    desk.wait(Seconds(1.0));
    assert!(desk.model.forecast().is_some());
    desk
}

fn rows(desk: &Desk, kind: Kind) -> Vec<StepForecast> {
    let steps = &desk.model.forecast().unwrap().steps;
    let own = steps.iter().filter(|step| step.kind == kind);
    own.cloned().collect()
}

// Two cycles of two hours, an hour under A1, and an hour's watch: the plan's own words.
#[test]
fn no_forecast_is_shorter_than_its_soaks_and_its_watch() {
    let desk = foreseen(&plan_text("kitchen-pair"));
    for (kind, least) in [
        (Kind::Temper, 240.0),
        (Kind::Anneal, 60.0),
        (Kind::Weld, 10.0),
    ] {
        for row in rows(&desk, kind) {
            assert!(row.minutes.low >= least - 1e-9, "{row:?}");
        }
    }
    let burnt = rows(&desk, Kind::EndDay);
    assert!(
        burnt[..5].iter().all(|row| row.minutes.low >= 60.0),
        "{burnt:?}"
    );
    // The last day only grinds and etches.
    assert!(burnt[5].minutes.low < 60.0, "{burnt:?}");
}

// Common practice, no source: by hand a draw takes two to three times the heats of a machine.
#[test]
fn hand_hammer_and_press_take_their_own_heats_and_minutes() {
    let open = plan_text("kitchen-pair")
        .replace("heats = 6\n", "")
        .replace("heats = 8\n", "");
    let shop = "press = \"25 t\"\ndie = \"25 mm\"\n";
    assert!(open.contains(shop));
    let with = |machine: &str| {
        let desk = foreseen(&open.replace(shop, machine));
        let draws = rows(&desk, Kind::Draw);
        let heats: f64 = draws.iter().map(|row| row.heats.best).sum();
        let minutes: f64 = draws.iter().map(|row| row.minutes.best).sum();
        (heats, minutes)
    };
    let (hand, press, hammer) = (
        with("hand = true\n"),
        with(shop),
        with("hammer = \"25 kg\"\ndie = \"25 mm\"\n"),
    );
    assert!(
        hand.0 > 2.0 * press.0 && hand.0 < 3.5 * press.0,
        "{hand:?} {press:?}"
    );
    assert!(hand.1 > 2.0 * press.1, "{hand:?} {press:?}");
    assert!(
        hammer.0 > press.0 && hammer.0 < 1.5 * press.0,
        "{hammer:?} {press:?}"
    );
    assert!(
        hammer.1 / hammer.0 < press.1 / press.0,
        "{hammer:?} {press:?}"
    );
}

#[test]
fn preparing_shows_what_is_to_be_cut() {
    let desk = sample("kitchen-pair", "prepare-1");
    let lines = [
        "5 of A SAE 1084: 40 x 6 x 120 mm",
        "4 of B 75Ni8: 40 x 3 x 120 mm",
    ];
    for line in lines {
        for (columns, rows) in [(80, 24), (120, 40), (60, 16)] {
            let screen = desk.screen(columns, rows);
            assert!(screen.contains(line), "no '{line}' in\n{screen}");
        }
    }
    let session = &desk.model.session;
    let situation = Situation::of(session, None, true, desk.now);
    let status = anvilside::planner::status::text(session, &situation, None, desk.now);
    let mut later = sample("kitchen-pair", "prepare-1");
    later.finish_step();
    let record = later.model.session.record();
    for line in lines {
        assert!(
            status.contains(line) && record.contains(line),
            "{status}\n{record}"
        );
    }
}

#[test]
fn the_day_says_what_is_left_of_it_and_when_the_fire_goes_out() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.reckons = false;
    desk.keys("+");
    desk.finish_step();
    desk.answer_card();
    let day = desk.model.situation.day.unwrap();
    // The rows of the forecast before the end of the day, added up apart. The middle of a sum of skewed spans
    // lies over the sum of their middles.
    let steps = &desk.model.forecast().unwrap().steps;
    let sum: f64 = steps
        .iter()
        .take_while(|row| row.kind != Kind::EndDay)
        .map(|row| row.minutes.best)
        .sum();
    assert!(
        (0.95..1.3).contains(&(day.work.best / sum)),
        "{day:?} {sum}"
    );
    assert!(day.work.low < day.work.best && day.work.best < day.work.high);
    assert!((day.ends.since(day.fire_out).0 - 3600.0).abs() < 1e-6);
    let words = day.text(0);
    assert!(
        words.contains("fire out ~") && words.contains("watch of 60 min kept ~"),
        "{words}"
    );
    let head = words.split_once(" of work left").unwrap().0.to_owned();
    for key in ["g", "s"] {
        desk.keys(key);
        let screen = desk.screen(120, 40);
        assert!(screen.contains(&head), "no '{head}' in\n{screen}");
        desk.keys("+");
    }
    let session = &desk.model.session;
    let seen = desk.model.ahead.known.clone().unwrap();
    let situation = Situation::of(session, Some(&seen), true, desk.now);
    let status = anvilside::planner::status::text(session, &situation, Some(&seen), desk.now);
    assert!(status.contains(&words), "{status}");
}
