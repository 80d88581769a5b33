//! How fast plans are drafted, forecast and mended.
//!
//! `cargo bench --bench draft`
//!
//! `search` goes through the whole grid of a wish on one core; `plain enumeration` works out every
//! candidate of a part of the same grid from nothing. Both report candidates per second.

use std::hint::black_box;
use std::sync::atomic::AtomicBool;

use anvilside::journal::{Entry, Event};
use anvilside::metal::Catalogue;
use anvilside::plan::{Plan, PlanSteel, read};
use anvilside::planner::draft::{Axes, Grid, RackBar, Wish, enumerate, explain, search};
use anvilside::planner::forecast::{SAMPLES, Start, forecast};
use anvilside::planner::learn::{Lessons, ShopBook, learn};
use anvilside::planner::ways_out::{troubles, ways_out};
use anvilside::session::Session;
use anvilside::shell::draft::{self, Taught};
use anvilside::units::{Fraction, Mm, Stamp};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};

const KITCHEN_PAIR: &str = include_str!("../plans/kitchen-pair.toml");

fn lessons() -> Lessons {
    learn(&[], &ShopBook::default(), None)
}

fn plan() -> Option<Plan> {
    read(KITCHEN_PAIR).ok().map(|(plan, _)| plan)
}

fn bar(key: &str, grade: &str, thickness: f64) -> Option<RackBar> {
    let steel = Catalogue::builtin().find(grade).ok()?.clone();
    Some(RackBar {
        steel: PlanSteel {
            key: key.to_owned(),
            letter: key.chars().next()?,
            steel,
            lot: String::new(),
        },
        thickness: Mm(thickness),
        width: Some(Mm(40.0)),
    })
}

/// The kitchen knife of the sample plan as a wish, from four bars on the rack.
fn wish() -> Option<Wish> {
    let plan = plan()?;
    let rack = [
        bar("A", "SAE 1084", 6.0)?,
        bar("A", "SAE 1084", 4.0)?,
        bar("B", "75Ni8", 3.0)?,
        bar("B", "75Ni8", 2.0)?,
    ];
    Some(Wish {
        title: "Kitchen knives".to_owned(),
        units: plan.units,
        goal: plan.goal,
        rack: rack.to_vec(),
        at_hand: Vec::new(),
        shop: plan.shop,
        most_welds: 4,
        forged: true,
        spare: Fraction(0.1),
        sides: [0, 0],
        rods: 1,
        uses_shelf: false,
        shelf: Vec::new(),
        command: None,
    })
}

fn drafts(criterion: &mut Criterion) {
    let Some(wish) = wish() else { return };
    let lessons = lessons();
    let Ok(grid) = Grid::of(&wish, &lessons) else {
        return;
    };
    let mut group = criterion.benchmark_group("draft");
    group.sample_size(10);
    group.throughput(Throughput::Elements(grid.candidates()));
    group.bench_function("search", |b| {
        b.iter(|| search(black_box(&grid), 0..grid.outer(), &|_| true));
    });
    let mut few = Axes::of(&wish);
    few.pieces = vec![9];
    few.thicknesses.truncate(3);
    if let Ok(part) = Grid::with_axes(&wish, &lessons, few) {
        group.throughput(Throughput::Elements(part.candidates()));
        group.bench_function("search, a part", |b| {
            b.iter(|| search(black_box(&part), 0..part.outer(), &|_| true));
        });
        group.bench_function("plain enumeration, the same part", |b| {
            b.iter(|| enumerate(black_box(&part), 0..part.outer()));
        });
    }
    let taught = Taught {
        lessons: lessons.clone(),
        journals: 0,
        trouble: Vec::new(),
        prices: Default::default(),
    };
    group.throughput(Throughput::Elements(grid.candidates()));
    group.bench_function("whole answer, all cores, list and forecasts made", |b| {
        b.iter(|| draft::search(black_box(&wish), &taught, &AtomicBool::new(false), &|_| {}));
    });
    let mut none = wish.clone();
    (none.goal.bands_least, none.goal.bands_most) = (100, 100);
    if let Ok(grid) = Grid::of(&none, &lessons) {
        group.throughput(Throughput::Elements(grid.candidates()));
        group.bench_function("why there is no plan", |b| {
            b.iter(|| explain(black_box(&grid)));
        });
    }
    group.finish();
}

/// The first bar drawn, the next step begun.
fn job() -> Option<Session> {
    let entry = |seq, event| Entry {
        seq,
        at: Stamp(1_795_598_000_000),
        event,
    };
    let plan = Event::Plan {
        hash: 1,
        text: KITCHEN_PAIR.to_owned(),
    };
    let mut session = Session::fold(vec![entry(1, plan)]).ok()?;
    while session.current()?.id.0 != "draw-1" {
        let step = session.current()?.id.clone();
        let seq = session.seq + 1;
        session.take(entry(seq, Event::Done { step })).ok()?;
    }
    for (what, cold) in [
        (anvilside::billet::Dimension::Thickness, 14.0),
        (anvilside::billet::Dimension::Width, 40.0),
        (anvilside::billet::Dimension::Length, 325.5),
    ] {
        let step = session.current()?.id.clone();
        let seq = session.seq + 1;
        let event = Event::Measured {
            step,
            what,
            cold,
            typed: cold.to_string(),
            hot: None,
            counted: None,
        };
        session.take(entry(seq, event)).ok()?;
    }
    Some(session)
}

fn foresight(criterion: &mut Criterion) {
    let (Some(plan), Some(session)) = (plan(), job()) else {
        return;
    };
    let lessons = lessons();
    let mut group = criterion.benchmark_group("foresight");
    let whole = Start::of_plan(&plan);
    group.bench_function("forecast, 400 samples, whole plan", |b| {
        b.iter(|| forecast(black_box(&whole), &lessons, 7, SAMPLES));
    });
    let now = Start::of_session(&session);
    group.bench_function("forecast, 400 samples, after the first draw", |b| {
        b.iter(|| forecast(black_box(&now), &lessons, 7, SAMPLES));
    });
    group.bench_function("troubles of a short bar", |b| {
        b.iter(|| troubles(black_box(&now)));
    });
    let seen = forecast(&now, &lessons, 7, SAMPLES);
    group.bench_function("ways out of a short bar", |b| {
        b.iter(|| ways_out(black_box(&now), &lessons, &seen, false));
    });
    group.bench_function("lessons of one journal", |b| {
        b.iter(|| learn(black_box(&[&session]), &ShopBook::default(), Some(&plan)));
    });
    group.finish();
}

criterion_group!(benches, drafts, foresight);
criterion_main!(benches);
