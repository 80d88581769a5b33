//! Where steel ends above the edge: the core of three layers, and a plain frame.

use super::*;

/// Height above the edge, a hair behind the heel, where the steel first changes.
fn line_height(scene: &Scene) -> f64 {
    let at = |v: f64| scene.steel_at([Mm(0.01), Mm(v)]);
    let first = at(0.001);
    let mut v = 0.001;
    while at(v) == first {
        v += 0.01;
        assert!(v < 500.0, "no line");
    }
    v
}

// A worked plan of the trade: 8 + 5 + 8 drawn from 40 x 21 to 42 x 7 with 4 % off the outside, which leaves a
// core of 1.7206 mm (a skin in each of 600 small heats), spine 3.5, edge 0.3, full flat bevel 42 high. Its
// lines stand 42 (1.7206 - 0.3) / 3.2 = 18.65 mm up when it is centred, 26.52 and 10.77 when it is 0.3 mm off.
#[test]
fn the_core_of_three_layers_shows_where_the_numbers_say() {
    let plan = named("three-layer");
    let bar = walked(&plan)
        .into_iter()
        .find(|billet| {
            let last = billet.history.last();
            last.is_some_and(|done| matches!(done.made, Move::Trim { .. }))
        })
        .unwrap();
    let chain = chain(&bar, Hand::ruled());
    for (off, height) in [(0.0, 18.65), (-0.3, 26.52), (0.3, 10.77)] {
        let blade = BladeShape {
            off: Mm(off),
            ..shape(&plan)
        };
        let scene = Scene::new(
            Arc::clone(&chain),
            View::Blade(blade),
            &look(&plan),
            [100, 30],
        );
        let line = line_height(&scene);
        assert!((line - height).abs() < 0.1, "{off}: {line}");
    }
}

#[test]
fn the_plain_edge_of_a_frame_is_as_wide_as_the_law_says() {
    let plan = named("turned-w-petty");
    let last = walked(&plan).pop().unwrap();
    let share = Fraction(last.bar.frame_on(Side::Edge) / last.bar.width);
    let blade = shape(&plan);
    let chain = chain(&last, Hand::ruled());
    let scene = Scene::new(
        Arc::clone(&chain),
        View::Blade(blade),
        &look(&plan),
        [100, 30],
    );
    let shown = line_height(&scene);
    // The wedge as it leaves the hammer: what is ground off each face is on it still.
    let as_forged = plan.steps.iter().rev().find_map(|step| match step.made {
        Move::Forge {
            part: Part::Bevels,
            to,
            ..
        } => to.thickness,
        _ => None,
    });
    let off = as_forged.unwrap() - blade.spine;
    let wedge = Wedge {
        height: blade.width,
        spine: blade.spine + off,
        edge: blade.edge + off,
    };
    let law = wedge.margin(share).unwrap().forged.0;
    assert!((shown - law).abs() < 0.05, "{shown} {law}");
}

/// Height above the edge at which the light of a rendered column first crosses the half, mm: between
/// the two pixels it lies where their lights say.
fn edge_line(scene: &Scene, picture: &Picture, x: u32) -> Option<f64> {
    let light = |y: u32| picture.at(x, y).map(|pixel| f64::from(pixel.light));
    let metal = |y: u32| picture.at(x, y).is_some_and(|pixel| pixel.metal == 255);
    let lowest = (0..picture.height).rev().find(|y| metal(*y))?;
    let start = light(lowest)? > 0.5;
    let over = (0..lowest)
        .rev()
        .take_while(|y| metal(*y))
        .find(|y| light(*y).is_some_and(|l| (l > 0.5) != start))?;
    let (a, b) = (light(over + 1)?, light(over)?);
    let [_, low] = scene.place(x, over + 1);
    Some(low.0 + scene.mm_per_px().0 * (0.5 - a) / (b - a))
}

/// The first column that is all metal, from the heel on.
fn heel(scene: &Scene, picture: &Picture) -> u32 {
    (0..picture.width)
        .find(|x| {
            let [along, _] = scene.place(*x, 0);
            along.0 > scene.mm_per_px().0
        })
        .unwrap()
}

// The worked lamination of the trade, by straight lines: a 42 x 7 mm bar of 8 + 5 + 8 mm pieces, 4 % of it
// lost off the outside in the draw, has a core of 1.7206 mm (a skin in each of 600 small heats; 7 * 5/21 =
// 1.667 without scale). Ground full flat, 42 mm high, spine 3.5 and edge 0.3, the blade is
// 0.3 + 3.2 y/42 thick at y above the edge, so the seam d off the middle comes out at
// y = 42 (2 d - 0.3)/3.2: d = 0.8603 gives 18.65 mm on both faces; the core 0.3 mm off the middle gives
// d = 1.1603 and 0.5603, 26.52 and 10.77 mm. Measured in the rendered picture, in steps of 0.1 mm.
#[test]
fn the_rendered_core_of_three_layers_shows_at_its_height() {
    let plan = named("three-layer");
    let bar = walked(&plan)
        .into_iter()
        .find(|billet| {
            let last = billet.history.last();
            last.is_some_and(|done| matches!(done.made, Move::Trim { .. }))
        })
        .unwrap();
    assert!(bar.bar.thickness.near(Mm(7.0), 0.01) && bar.bar.width.near(Mm(42.0), 0.01));
    let core = plan.steels.iter().position(|s| s.letter == 'C').unwrap();
    let measured = |hand: Hand, off: f64| {
        let view = View::Blade(BladeShape {
            off: Mm(off),
            tang: None,
            ..shape(&plan)
        });
        let chain = chain(&bar, hand);
        let scene = Scene::new(chain, view, &only(&plan, core), [1875, 460]);
        assert!((scene.mm_per_px().0 - 0.1).abs() < 0.001);
        let picture = scene.render();
        let x = heel(&scene, &picture);
        edge_line(&scene, &picture, x).unwrap()
    };
    for (off, exact) in [(0.0, 18.645), (-0.3, 26.520), (0.3, 10.770)] {
        let line = measured(Hand::ruled(), off);
        assert!((line - exact).abs() < 0.1, "{off}: {line} {exact}");
        // Forged by hand, the line wanders about that height.
        let hands: Vec<f64> = (1..=8)
            .map(|seed| {
                let hand = Hand {
                    seed,
                    ..Hand::default()
                };
                measured(hand, off)
            })
            .collect();
        let mean = hands.iter().sum::<f64>() / 8.0;
        assert!((mean - exact).abs() < 2.5, "{off}: {hands:?}");
        assert!(
            hands.iter().any(|line| (line - exact).abs() > 0.1),
            "ruled: {hands:?}"
        );
    }
}

// Plain at the edge, as wide in the rendered picture as by areas: the share of the bar's width that the edge
// bar has is the share of the forged wedge's section that lies under the line. The wedge as it leaves
// the hammer has on it what is ground off each face: bevels forged 4 mm at a spine of 2.6.
#[test]
fn the_rendered_plain_edge_of_a_frame_is_as_wide_as_by_its_area() {
    let plan = named("turned-w-petty");
    let last = walked(&plan).pop().unwrap();
    let share = last.bar.frame_on(Side::Edge) / last.bar.width;
    let blade = shape(&plan);
    let plain = plan.steels.iter().position(|s| s.letter == 'F').unwrap();
    let more = 4.0 - blade.spine.0;
    let (spine, edge, high) = (4.0, blade.edge.0 + more, blade.width.0);
    // By bisection: the height under which that share of the trapezium lies.
    let area = |y: f64| y * (edge + 0.5 * (spine - edge) * y / high);
    let (mut low, mut top) = (0.0, high);
    for _ in 0..60 {
        let mid = 0.5 * (low + top);
        if area(mid) < share * area(high) {
            low = mid;
        } else {
            top = mid;
        }
    }
    let expected = low;
    // 6.996 mm of edge bar are left in 32, a skin off it in each of 2000 small heats.
    assert!((share - 6.996 / 32.0).abs() < 1e-4, "{share}");
    assert!((expected - 8.6).abs() < 0.1, "{expected}");
    let chain = |hand| chain(&last, hand);
    let view = View::Blade(BladeShape {
        tang: None,
        ..blade
    });
    let scene = Scene::new(chain(Hand::ruled()), view, &only(&plan, plain), [1600, 310]);
    let picture = scene.render();
    let line = edge_line(&scene, &picture, heel(&scene, &picture)).unwrap();
    assert!((line - expected).abs() < 0.15, "{line} {expected}");
    // By hand, over the first third of the blade, where it is hardly lower than at the heel.
    let scene = Scene::new(
        chain(Hand::default()),
        view,
        &only(&plan, plain),
        [1600, 310],
    );
    let picture = scene.render();
    let from = heel(&scene, &picture);
    let lines: Vec<f64> = (from..from + 500)
        .step_by(10)
        .filter_map(|x| edge_line(&scene, &picture, x))
        .collect();
    assert_eq!(lines.len(), 50);
    let mean = lines.iter().sum::<f64>() / 50.0;
    assert!((mean - expected).abs() < 1.5, "{mean} {expected}");
}

// What was carried round the end fills the blade from its point: slices of the forged blade, 1/4 in at the spine
// before it is ground, added up until they hold it. Before that the core begins half way up, and not behind it.
#[test]
fn the_point_of_a_wrapped_blade_is_plain_as_far_back_as_its_metal_reaches() {
    let plan = named("four-twist-edges");
    let rows = walked(&plan);
    let wrapped = rows.iter().find(|billet| billet.bar.cap.is_some()).unwrap();
    let bar = &wrapped.bar;
    let holds = bar.cap.unwrap().length.0 * bar.width.0 * bar.thickness.0;
    let goal = BladeShape {
        tang: None,
        ..shape(&plan)
    };
    let more = 6.35 - goal.spine.0;
    let (length, high) = (goal.length.0, goal.width.0);
    let slice = length / 100_000.0;
    let (mut sum, mut back) = (0.0, 0.0);
    while sum < holds {
        back += slice;
        let u: f64 = 1.0 - back / length;
        let spine = 6.35 + (goal.spine_tip.0 - goal.spine.0) * u;
        let edge = goal.edge.0 + more;
        sum += slice * high * (1.0 - u * u * u) * (spine + edge) / 2.0;
    }
    let chain = chain(rows.last().unwrap(), Hand::ruled());
    let scene = Scene::new(
        Arc::clone(&chain),
        View::Blade(goal),
        &look(&plan),
        [100, 30],
    );
    let plain = plan
        .steels
        .iter()
        .position(|steel| steel.letter == 'F')
        .unwrap();
    let at = |x: f64, share: f64| {
        let cube = (x / length).powi(3);
        let steel = scene.steel_at([Mm(x), Mm(high * (cube + share * (1.0 - cube)))]);
        steel.map(SteelId::index)
    };
    let from = length - back;
    for share in [0.1, 0.3, 0.5, 0.7, 0.9] {
        for x in [from + 0.3, from + 0.5 * back, length - 0.5] {
            assert_eq!(at(x, share), Some(plain), "{x} of {length}, {share} up");
        }
    }
    for x in [from - 0.3, from - 2.0, from - 40.0] {
        assert_ne!(at(x, 0.5), Some(plain), "{x} of {length}");
    }
    assert!(back > 10.0, "{back}");
}

/// What the program forecasts of a sample plan's edge before anything is done.
pub(super) fn forecast_edge(name: &str) -> Edge {
    let seen = foresee(&Outlook {
        version: 0,
        session: Box::new(session(name)),
        others: Arc::default(),
        book: Default::default(),
        cut: None,
    });
    seen.forecast.edge.unwrap()
}

/// Where the steel of that letter ends above the edge in the picture of the finished blade.
pub(super) fn finished_edge(name: &str, letter: char) -> f64 {
    let plan = named(name);
    let last = walked(&plan).pop().unwrap();
    let steel = plan.steels.iter().position(|s| s.letter == letter).unwrap();
    let view = View::Blade(BladeShape {
        tang: None,
        ..shape(&plan)
    });
    let chain = chain(&last, Hand::ruled());
    let scene = Scene::new(chain, view, &only(&plan, steel), [1600, 400]);
    let picture = scene.render();
    edge_line(&scene, &picture, heel(&scene, &picture)).unwrap()
}

// As the program draws it, with the carbon that the planned heats move: dark along the edge, bright over the
// jackets, a line between that is soft and not gone.
#[test]
fn a_hard_core_is_told_from_its_jackets_after_all_heats() {
    let session = session("three-layer");
    let subject = session.subject(session.last_place(), 1).unwrap();
    let scene = subject.scene(Aspect::Blade, [900, 240]);
    let picture = scene.render();
    let light = |from: f64, to: f64| {
        let (mut sum, mut count) = (0.0, 0.0);
        for y in 0..picture.height {
            for x in 0..picture.width {
                let [u, v] = scene.place(x, y).map(Mm::get);
                let pixel = picture.at(x, y).unwrap();
                let there = (2.0..40.0).contains(&u) && (from..to).contains(&v);
                if there && pixel.metal == 255 {
                    sum += f64::from(pixel.light);
                    count += 1.0;
                }
            }
        }
        sum / count
    };
    let (edge, line, jacket) = (light(0.8, 2.0), light(4.0, 9.0), light(20.0, 40.0));
    assert!(jacket > 4.0 * edge, "{edge} {line} {jacket}");
    assert!(
        edge < 0.1 && edge < line && line < jacket,
        "{edge} {line} {jacket}"
    );
}

// The forecast and the picture tell of the same blade, its bevels forged first and ground then.
// The forecast takes off 1 mm that the picture's profile does not have, and forges 30 mm wide for 28.
#[test]
fn the_plain_edge_of_the_forecast_is_that_of_the_picture() {
    let (line, told) = (
        finished_edge("turned-w-petty", 'F'),
        forecast_edge("turned-w-petty"),
    );
    assert!((told.left.best - line).abs() < 0.7, "{line} {told:?}");
    assert!(
        told.left.low < line && line < told.left.high,
        "{line} {told:?}"
    );
}

// By hand: bevels forged 6 mm at the spine for 3.5 have 2.5 mm to grind off, 2.8 at the edge for 0.3; the core
// keeps c = 1.7206/7 of them. It shows where c (2.8 + k y) = 0.3 + k y, k = 3.2/42: 6.76 mm up. The forecast tells the
// lower of two lines of a core that is not quite in the middle.
#[test]
fn a_core_in_forged_bevels_shows_lower_in_forecast_and_picture() {
    let (line, told) = (
        finished_edge("three-layer", 'C'),
        forecast_edge("three-layer"),
    );
    assert!((line - 6.756).abs() < 0.15, "{line}");
    assert!(
        told.left.best < line && line - told.left.best < 2.5,
        "{line} {told:?}"
    );
    // A smith may lose half as much as planned, so the range ends over the plan's own line, and not by much.
    assert!(
        line < told.left.high && told.left.high - line < 1.2,
        "{line} {told:?}"
    );
}
