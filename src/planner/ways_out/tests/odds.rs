//! Ways are held against the odds without them, and cost no more than they must.

use super::{Job, PAIR, last_bar_short, lessons, odds_of, seen, short_bar};
use crate::billet::{Dimension, Move};
use crate::planner::forecast::Start;
use crate::planner::ways_out::{FAIR, WayKind, WayOut, edit};
use crate::units::Mm;

#[test]
fn no_way_makes_the_odds_worse_or_says_shorter_of_a_longer_blank() {
    let lessons = lessons();
    let mut offered = 0;
    let mut look = |job: &Job| {
        let start = Start::of_session(&job.session);
        let seen = seen(&start, &lessons);
        let now = seen.holds * seen.enough.probability;
        let cut = edit::last_cut(&job.session.plan, 0).unwrap();
        let planned = edit::length_of(&job.session.plan, cut).unwrap();
        for way in job.ways() {
            let headline = way.headline();
            assert!(way.odds() > now + 0.005, "{headline} against {now:?}");
            offered += 1;
            if way.kind == WayKind::ShorterBlanks {
                let length = edit::length_of(&way.plan, cut).unwrap();
                assert!(!length.near(planned, 0.2), "{headline}");
                let longer = headline.contains("more than planned");
                assert_eq!(length > planned, longer, "{headline}");
            }
        }
    };
    for by in [2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0] {
        look(&last_bar_short(by));
    }
    for (thickness, width) in [(4.4, 43.0), (4.2, 42.0), (4.0, 42.0), (3.9, 40.0)] {
        let mut job = Job::begin(PAIR);
        job.until("draw-3");
        job.read(Dimension::Thickness, thickness);
        job.read(Dimension::Width, width);
        look(&job);
    }
    assert!(offered > 0);
}

#[test]
fn a_way_taken_keeps_its_odds_while_nothing_new_is_read() {
    let lessons = lessons();
    for at in 0..short_bar().ways().len() {
        let mut job = short_bar();
        let way = job.ways().swap_remove(at);
        let promised = (way.holds, way.enough.probability);
        job.take(&way);
        for _ in 0..8 {
            let now = odds_of(&job, &lessons);
            let same = (now.0 - promised.0).abs() + (now.1 - promised.1).abs() < 1e-12;
            let step = job.session.current().unwrap();
            assert!(same, "{} at {}: {promised:?} {now:?}", way.title, step.id);
            job.done();
            let done = job.session.done.last().unwrap();
            assert!(
                done.made.drift.is_none(),
                "{}: {:?}",
                way.title,
                done.made.drift
            );
        }
    }
}

#[test]
fn a_way_that_costs_only_waste_is_offered_first() {
    // The plan needs 15 + 28.5 off the ends and 522 for the blanks: 565.5 in all. A bar of 561 gives the
    // blanks without the test piece of 13.5, with 9 mm over.
    let meant = last_bar_short(0.0).session.live.billet.bar.length.0;
    let job = last_bar_short(meant - 561.0);
    let ways = job.ways();
    let listed: Vec<String> = ways.iter().map(WayOut::headline).collect();
    let kind = |kind| ways.iter().any(|way: &WayOut| way.kind == kind);
    assert!(kind(WayKind::NoTestPiece), "{listed:?}");
    assert!(kind(WayKind::LessTrim), "{listed:?}");
    let cost = &ways[0].cost;
    let spent = cost.minutes.abs() + cost.blade.0 + f64::from(cost.knives);
    assert!(cost.welds == 0 && spent < 2.5, "{listed:?}");
    for way in &ways {
        let said = way.headline().starts_with("only ");
        assert_eq!(said, way.holds < FAIR, "{}", way.headline());
    }
}

#[test]
fn less_off_bad_ends_leaves_the_test_piece_as_long_as_it_was() {
    let of = |ways: &[WayOut]| {
        let less = ways.iter().find(|way| way.kind == WayKind::LessTrim)?;
        let mut trims = less.plan.steps.iter().filter_map(|step| match step.made {
            Move::Trim { ends } => Some(ends),
            _ => None,
        });
        trims.next_back()
    };
    let meant = last_bar_short(0.0).session.live.billet.bar.length.0;
    let cuts =
        (1..20).filter_map(|short| of(&last_bar_short(meant - 565.5 + f64::from(short)).ways()));
    let cuts: Vec<[Mm; 2]> = cuts.collect();
    let kept = |ends: &[Mm; 2]| ends[0] < Mm(15.0) && (ends[1] - ends[0]).near(Mm(13.5), 0.01);
    assert!(cuts.iter().any(kept), "{cuts:?}");
    let none = |ends: &[Mm; 2]| *ends == [Mm::ZERO; 2];
    assert!(cuts.iter().all(|ends| kept(ends) || none(ends)), "{cuts:?}");
}
