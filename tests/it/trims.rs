//! What a trim is foreseen to take, and what one that was read teaches: plan and entries, by sums of their own.
//!
//! The bar is 40 mm wide. Its stack of 21 x 110 mm is drawn to 10.5 mm, so it is twice as long, less 4 % of scale:
//! 211.2 mm. The measure of the hollow at an end is 21 (2 - 1/2) / 2 = 15.75 mm.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test")]

use std::sync::Arc;

use anvilside::billet::{Dimension, Kind};
use anvilside::journal::{Entry, Event};
use anvilside::plan::Plan;
use anvilside::planner::foresight::{Outlook, foresee};
use anvilside::planner::learn::{Lessons, ShopBook, Topic, accept, learn};
use anvilside::planner::situation::{EndLoss, Situation};
use anvilside::session::Session;
use anvilside::units::{Stamp, Units};

use crate::common::plan_text;

const NOW: Stamp = Stamp(1_795_598_000_000);
const LONG: f64 = 211.2;
const HOLLOW: f64 = 15.75;

/// The plan of three layers, its only trim with these ends.
fn plan_with(ends: &str) -> String {
    let text = plan_text("three-layer");
    let drawn = text.replacen(
        "width = 42\nthickness = 7\n",
        "width = 40\nthickness = 10.5\n",
        1,
    );
    let trimmed = drawn.replacen(
        "kind = \"trim\"\n",
        &format!("kind = \"trim\"\nends = {ends}\n"),
        1,
    );
    assert!(drawn != text && trimmed != drawn);
    trimmed
}

/// The first entry of a job of that plan.
fn begun(text: &str) -> Entry {
    let (hash, text) = (crc32fast::hash(text.as_bytes()), text.to_owned());
    Entry {
        seq: 1,
        at: NOW,
        event: Event::Plan { hash, text },
    }
}

/// A job done as far as the trim with it, and what was read at steps of these kinds.
fn job(text: &str, read: &[(Kind, Dimension, f64)]) -> Session {
    let mut entries = vec![begun(text)];
    let session = Session::fold(entries.clone()).unwrap();
    let push = |entries: &mut Vec<Entry>, event| {
        let seq = entries.len() as u64 + 1;
        let at = Stamp(NOW.0 + i64::try_from(seq).unwrap() * 60_000);
        entries.push(Entry { seq, at, event });
    };
    for one in &session.plan.steps {
        let step = one.id.clone();
        for (_, what, cold) in read.iter().filter(|(kind, _, _)| *kind == one.kind()) {
            let event = Event::Measured {
                step: step.clone(),
                what: *what,
                cold: *cold,
                typed: cold.to_string(),
                hot: None,
                counted: None,
            };
            push(&mut entries, event);
        }
        push(&mut entries, Event::Done { step });
        if one.kind() == Kind::Trim {
            break;
        }
    }
    let done = Session::fold(entries).unwrap();
    assert_eq!(done.done.last().unwrap().step.kind(), Kind::Trim);
    done
}

fn taught(jobs: &[Session], plan: &Plan) -> Lessons {
    let all: Vec<&Session> = jobs.iter().collect();
    learn(&all, &ShopBook::default(), Some(plan))
}

/// What the one trim of this plan is foreseen to take before anything is done, by a shop with these figures.
fn foreseen(ends: &str, trim: f64, share: f64) -> (EndLoss, Units) {
    let session = Session::fold(vec![begun(&plan_with(ends))]).unwrap();
    let mut book = ShopBook::default();
    book.pin(Topic::Trim, Some(trim));
    book.pin(Topic::FishMouth, Some(share));
    let seen = foresee(&Outlook {
        version: 1,
        session: Box::new(session.clone()),
        others: Arc::new(Vec::new()),
        book,
        cut: None,
    });
    let situation = Situation::of(&session, Some(&seen), true, NOW);
    assert_eq!(situation.trims.len(), 1);
    (situation.trims[0].clone(), session.plan.units)
}

fn near(value: f64, wanted: f64, by: f64) {
    assert!((value - wanted).abs() < by, "{value} is not {wanted}");
}

#[test]
fn a_test_piece_is_foreseen_as_long_as_the_plan_has_it() {
    // The shop has 10 mm an end in the plan and loses 5, and a fifth of the hollow: 5 + 0.2 x 15.75 = 8.15 mm of
    // each end. The far end is cut 40 mm longer: 8.15 + 40 / 2 = 28.15 in the mean of both.
    let (ends, units) = foreseen("[10, 50]", 5.0, 0.2);
    near(ends.off.best, 8.15 + 20.0, 1.0);
    // One trim is 2.5 mm off another: 1.645 x 2.5 = 4.1 mm to each side.
    near(ends.off.low, 28.15 - 4.1, 1.2);
    near(ends.off.high, 28.15 + 4.1, 1.2);
    near(ends.test_piece.0, 40.0, 1e-9);
    let told = ends.text(units);
    assert!(
        told.ends_with("the plan has 60 mm, 40 mm of it a test piece"),
        "{told}"
    );
    assert!(told.contains("off both ends"), "{told}");
    // The shop loses twice what the plan has: only the bad ends are twice as long.
    let (ends, _) = foreseen("[50, 10]", 20.0, 0.0);
    near(ends.off.best, 20.0 + 20.0, 1.0);
}

#[test]
fn a_trim_without_a_test_piece_is_foreseen_by_what_was_learned() {
    let (ends, units) = foreseen("[10, 10]", 5.0, 0.2);
    near(ends.off.best, 8.15, 1.0);
    assert!(ends.text(units).ends_with("the plan has 10 mm"));
    // Off one end alone, its own figure: 20 of the plan's 10 mm, and the hollow of that end. In the mean of both,
    // (20 x 0.5 + 3.15) / 2 = 6.575 mm.
    let (ends, units) = foreseen("[20, 0]", 5.0, 0.2);
    near(ends.off.best, 6.575, 1.2);
    assert!(ends.text(units).ends_with("the plan has 20 mm"));
}

#[test]
fn three_trims_that_were_read_teach_and_none_with_a_test_piece_does() {
    // 4 mm more than planned off each end: 14.
    let plain = plan_with("[10, 10]");
    let read = [(Kind::Trim, Dimension::Length, LONG - 2.0 * 14.0)];
    let jobs = [(); 3].map(|()| job(&plain, &read));
    let plan = &jobs[0].plan;
    let lessons = taught(&jobs, plan);
    assert!(lessons.knows_ends());
    assert_eq!(lessons.get(Topic::Trim).from_n, 3);
    let share = lessons.get(Topic::FishMouth).in_force();
    let off = lessons.get(Topic::Trim).in_force() + share * HOLLOW;
    near(off, 14.0, 1.5);
    near(lessons.usual_trim(), off, 1e-6);
    // The same ends, and a test piece of 40 mm behind them.
    let pieced = plan_with("[10, 50]");
    let read = [(Kind::Trim, Dimension::Length, LONG - 2.0 * 14.0 - 40.0)];
    let jobs = [(); 3].map(|()| job(&pieced, &read));
    let lessons = taught(&jobs, &jobs[0].plan);
    assert!(!lessons.knows_ends());
    let trim = lessons.get(Topic::Trim);
    assert_eq!(trim.from_n, 0);
    near(trim.in_force(), 10.0, 1e-9);
}

#[test]
fn a_trim_that_is_weighed_teaches_what_it_took() {
    // 690 g of 7.85 g/cm3 is 690 / (40 x 10.5 x 0.00785) = 209.3 mm. 20 mm off each end leave
    // 690 x (209.3 - 40) / 209.3 = 558.1 g; the plan has 10 mm an end.
    let plain = plan_with("[10, 10]");
    let read = |left: f64| {
        [
            (Kind::Draw, Dimension::Mass, 690.0),
            (Kind::Trim, Dimension::Mass, left),
        ]
    };
    let jobs = [(); 6].map(|()| job(&plain, &read(558.1)));
    let trim = taught(&jobs, &jobs[0].plan).get(Topic::Trim);
    assert_eq!(trim.from_n, 6);
    near(trim.in_force(), 20.0, 2.0);
    let as_planned = [(); 6].map(|()| job(&plain, &read(690.0 * (209.3 - 20.0) / 209.3)));
    near(
        taught(&as_planned, &jobs[0].plan)
            .get(Topic::Trim)
            .in_force(),
        10.0,
        1.0,
    );
    // A test piece of 50 mm where the plan has 40 is no sign of bad ends.
    let pieced = plan_with("[10, 50]");
    let left = 690.0 * (209.3 - 20.0 - 50.0) / 209.3;
    let jobs = [(); 6].map(|()| job(&pieced, &read(left)));
    let trim = taught(&jobs, &jobs[0].plan).get(Topic::Trim);
    assert_eq!(trim.from_n, 0);
}

#[test]
fn the_shops_own_trim_leaves_a_test_piece_as_long_as_it_was() {
    let (text, mut book) = (plan_with("[10, 50]"), ShopBook::default());
    let session = job(&text, &[]);
    book.pin(Topic::Trim, Some(14.0));
    let lessons = learn(&[&session], &book, Some(&session.plan));
    let (plan, said) = accept(&session.plan, &lessons);
    assert!(said.iter().any(|line| line.contains("trim")), "{said:?}");
    let trim = plan.steps.iter().find(|step| step.kind() == Kind::Trim);
    let anvilside::billet::Move::Trim { ends } = trim.unwrap().made else {
        return assert!(trim.is_none());
    };
    near(ends[0].0, 14.0, 1e-9);
    near(ends[1].0, 54.0, 1e-9);
}
