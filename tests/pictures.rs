//! Pictures of every sample plan, held against the numbers; and sheets for the eye.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test"
)]

use std::io::Write as _;
use std::sync::Arc;

use anvilside::billet::{
    Billet, Deformation, Figure, Move, Part, Side, Sizes, Stage, Stand, SteelId,
};
use anvilside::journal::{Entry, Event};
use anvilside::pattern::{
    BladeShape, Chain, Hand, Lines, Look, Panel, Picture, Scene, Sheet, Tone, View,
};
use anvilside::physics::frame_margin::Wedge;
use anvilside::plan::{self, Plan};
use anvilside::planner::forecast::Edge;
use anvilside::planner::foresight::{Outlook, foresee};
use anvilside::session::{Session, Sight};
use anvilside::units::{Fraction, Mm, Stamp};

fn plans() -> Vec<(String, Plan)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut all: Vec<(String, Plan)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let text = std::fs::read_to_string(path).unwrap();
            (name, plan::read(&text).unwrap().0)
        })
        .collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

fn named(name: &str) -> Plan {
    let mut all = plans();
    all.retain(|(known, _)| known == name);
    all.pop().unwrap().1
}

fn walked(plan: &Plan) -> Vec<Billet> {
    let walk = plan::dry_run(plan, 0, &plan.first_billet());
    walk.rows.into_iter().map(|row| row.billet).collect()
}

fn chain(plan: &Plan, billet: &Billet, hand: Hand) -> Arc<Chain> {
    Arc::new(Chain::new(&plan.stack, &billet.history, hand))
}

fn shape(plan: &Plan) -> BladeShape {
    let blade = &plan.goal.blade;
    BladeShape {
        length: blade.length,
        width: blade.width,
        spine: blade.spine,
        spine_tip: blade.spine_tip,
        edge: blade.edge,
        bevel: blade.bevel,
        tang: plan.goal.tang.map(|tang| [tang.length, tang.width]),
        ground: Mm(0.5),
        off: Mm(0.0),
    }
}

fn look(plan: &Plan) -> Look {
    Look {
        tones: plan
            .steels
            .iter()
            .map(|steel| Tone::of(&steel.steel.nominal, 0.8))
            .collect(),
        ..Look::default()
    }
}

/// `cargo test --release --test pictures sheets -- --ignored --nocapture`, then open the files named.
#[test]
#[ignore = "writes sheets for the eye"]
fn sheets_to_look_at() {
    for (name, plan) in plans() {
        let steps = walked(&plan);
        let last = steps.last().unwrap();
        let whole = chain(&plan, last, Hand::default());
        let panel = |chain: &Arc<Chain>, view, size, words: String| Panel {
            picture: Scene::new(Arc::clone(chain), view, &look(&plan), size).render(),
            caption: vec![words],
            cuts: Vec::new(),
        };
        let views = [
            (View::Blade(shape(&plan)), 1500),
            (View::Face, 1500),
            (View::Side, 1500),
            (View::End, 700),
        ];
        let panels: Vec<Panel> = views
            .into_iter()
            .map(|(view, width)| {
                let size = [width, Scene::height_for(&whole, view, width).min(500)];
                panel(&whole, view, size, view.word().to_owned())
            })
            .collect();
        save(&name, &Sheet::strip(&plan.title, &panels, 1));
        let mut seen = 0;
        let mut grown = Vec::new();
        for (step, billet) in plan.steps.iter().zip(&steps) {
            if billet.history.len() > seen {
                seen = billet.history.len();
                let chain = chain(&plan, billet, Hand::default());
                let title = step.title.clone();
                let title = title.unwrap_or_else(|| step.made.kind().title().to_owned());
                let words = format!("{title}: {} bands", billet.bands());
                grown.push(panel(&chain, View::End, [300, 200], words));
            }
        }
        save(
            &format!("{name}-steps"),
            &Sheet::strip(&plan.title, &grown, 5),
        );
    }
}

fn save(name: &str, sheet: &Sheet) {
    let path = std::env::temp_dir().join(format!("sheet-{name}.png"));
    let mut file = std::fs::File::create(&path).unwrap();
    file.write_all(&sheet.png().unwrap()).unwrap();
    println!("{}", path.display());
}

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

// A worked plan of the trade: 42 x 7 bar with a core of 5/21 between jackets, spine 3.5, edge 0.3, full
// flat bevel 42 high. Half the core is 0.835 mm, so its lines stand 18 mm up when it is centred; 26
// and 10 mm when it is 0.3 mm off (computed from straight lines).
#[test]
fn the_core_of_three_layers_shows_where_the_numbers_say() {
    let plan = named("three-layer");
    let bar = walked(&plan)
        .into_iter()
        .find(|billet| {
            let last = billet.history.last();
            last.is_some_and(|done| matches!(done.made, Move::Cut { .. }))
        })
        .unwrap();
    let chain = chain(&plan, &bar, Hand::ruled());
    for (off, height) in [(0.0, 18.0), (-0.3, 26.0), (0.3, 10.0)] {
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
        assert!((line - height).abs() < 0.3, "{off}: {line}");
    }
}

#[test]
fn the_plain_edge_of_a_frame_is_as_wide_as_the_law_says() {
    let plan = named("turned-w-petty");
    let last = walked(&plan).pop().unwrap();
    let share = Fraction(last.bar.frame_on(Side::Edge) / last.bar.width);
    let blade = shape(&plan);
    let chain = chain(&plan, &last, Hand::ruled());
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

/// A look in which one steel is white and every other black.
fn only(plan: &Plan, steel: usize) -> Look {
    Look {
        tones: (0..plan.steels.len())
            .map(|n| Tone {
                kept: f64::from(u8::from(n == steel)),
                carbon: 0.0,
            })
            .collect(),
        ..Look::default()
    }
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

// The worked lamination of the trade, by straight lines: a 42 x 7 mm bar of 8 + 5 + 8 mm pieces has a core of
// 7 * 5/21 = 1.667 mm. Ground full flat, 42 mm high, spine 3.5 and edge 0.3, the blade is
// 0.3 + 3.2 y/42 thick at y above the edge, so the seam d off the middle comes out at
// y = 42 (2 d - 0.3)/3.2: d = 0.833 gives 17.9 mm on both faces; the core 0.3 mm off the middle gives
// d = 1.133 and 0.533, 25.8 and 10.1 mm. Measured in the rendered picture, in steps of 0.1 mm.
#[test]
fn the_rendered_core_of_three_layers_shows_at_its_height() {
    let plan = named("three-layer");
    let bar = walked(&plan)
        .into_iter()
        .find(|billet| {
            let last = billet.history.last();
            last.is_some_and(|done| matches!(done.made, Move::Cut { .. }))
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
        let chain = chain(&plan, &bar, hand);
        let scene = Scene::new(chain, view, &only(&plan, core), [1875, 460]);
        assert!((scene.mm_per_px().0 - 0.1).abs() < 0.001);
        let picture = scene.render();
        let x = heel(&scene, &picture);
        edge_line(&scene, &picture, x).unwrap()
    };
    for (off, trade, exact) in [
        (0.0, 18.0, 17.9375),
        (-0.3, 26.0, 25.8125),
        (0.3, 10.0, 10.0625),
    ] {
        let line = measured(Hand::ruled(), off);
        assert!((line - exact).abs() < 0.1, "{off}: {line} {exact}");
        assert!((line - trade).abs() < 0.3, "{off}: {line} {trade}");
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
    assert!((expected - 8.7).abs() < 0.1, "{expected}");
    let chain = |hand| chain(&plan, &last, hand);
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

/// A sample plan with nothing done.
fn session(name: &str) -> Session {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let text = std::fs::read_to_string(format!("{folder}/{name}.toml")).unwrap();
    let hash = crc32fast::hash(text.as_bytes());
    let first = Entry {
        seq: 1,
        at: Stamp(0),
        event: Event::Plan { hash, text },
    };
    Session::fold(vec![first]).unwrap()
}

/// What the program forecasts of a sample plan's edge before anything is done.
fn forecast_edge(name: &str) -> Edge {
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
fn finished_edge(name: &str, letter: char) -> f64 {
    let plan = named(name);
    let last = walked(&plan).pop().unwrap();
    let steel = plan.steels.iter().position(|s| s.letter == letter).unwrap();
    let view = View::Blade(BladeShape {
        tang: None,
        ..shape(&plan)
    });
    let chain = chain(&plan, &last, Hand::ruled());
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
    let scene = subject.scene(Sight::Blade, [900, 240]);
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

// What each family is known by, in numbers, whatever the hand: rungs cross the blade, a W that was framed runs
// along it with a plain edge, a twist is broad and steep, three layers have next to no lines.
#[test]
fn the_families_differ_in_their_numbers_whatever_the_hand() {
    let of = |name: &str, seed: u64| {
        let session = session(name);
        let subject = session.subject(session.last_place(), seed).unwrap();
        Lines::of(subject.chain(), subject.view(Sight::Blade)).unwrap()
    };
    for seed in 1..=6 {
        let ladder = of("ladder-hunter", seed);
        assert!(ladder.along > 1.2 * ladder.across, "{ladder:?}");
        let turned = of("turned-w-petty", seed);
        assert!(turned.across > 6.0 * turned.along, "{turned:?}");
        let feather = of("feather-chef", seed);
        assert!(feather.across > 3.0 * feather.along && feather.slope > 2.0 * turned.slope);
        let twist = of("twist-boot", seed);
        assert!(
            twist.along + twist.across < 8.0 && twist.lively > 0.35,
            "{twist:?}"
        );
        let three = of("three-layer", seed);
        assert_eq!(three.lively_word().word(), "few lines", "{three:?}");
        let random = of("kitchen-pair", seed);
        assert!(random.slope < 1.5 && random.lively > 0.3, "{random:?}");
    }
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
// keeps 5/21 of them. It shows where 5/21 (2.8 + k y) = 0.3 + k y, k = 3.2/42: 6.3 mm up. The forecast tells the
// lower of two lines of a core that is not quite in the middle.
#[test]
fn a_core_in_forged_bevels_shows_lower_in_forecast_and_picture() {
    let (line, told) = (
        finished_edge("three-layer", 'C'),
        forecast_edge("three-layer"),
    );
    assert!((line - 6.316).abs() < 0.15, "{line}");
    assert!(
        told.left.best < line && line - told.left.best < 2.5,
        "{line} {told:?}"
    );
    assert!((told.left.high - line).abs() < 0.6, "{line} {told:?}");
}

/// Share of a rendered face's metal that lies in open grooves.
fn open_share(plan: &Plan, chain: Chain) -> f64 {
    let scene = Scene::new(Arc::new(chain), View::Face, &look(plan), [1200, 120]);
    let picture = scene.render();
    let metal = picture.pixels.iter().filter(|pixel| pixel.metal == 255);
    let (open, all) = metal.fold((0.0, 0.0), |(open, all), pixel| {
        let pit = pixel.steel().is_none() && pixel.light < 0.01;
        (open + f64::from(u8::from(pit)), all + 1.0)
    });
    open / all
}

// The worked ladder of the trade: grooves 3/32 in deep in a 3/8 in bar, floor at 9/32 in (7.14 mm),
// forged to 1/4 in (6.35 mm). Cut, 24 grooves 3/16 in wide in 11-15/16 in lie open on a face; pressed
// to any thickness over the floor some are open still, under it none.
#[test]
fn the_rendered_rungs_close_at_the_floor_of_the_grooves() {
    let plan = named("ladder-hunter");
    let steps = walked(&plan);
    let grooved = steps
        .iter()
        .find(|b| {
            let last = b.history.last();
            last.is_some_and(|d| matches!(d.made, Move::Groove { .. }))
        })
        .unwrap();
    let floor = 25.4 * 9.0 / 32.0;
    let pressed = |to: f64, hand: Hand| {
        let mut history = grooved.history.clone();
        let before = history.last().unwrap().after;
        history.push(Deformation {
            made: Move::Draw {
                to: Sizes::default(),
                scale: Fraction(0.0),
            },
            before,
            after: [before[0], Mm(to), before[2] * (before[1].0 / to)],
            pieces: 1,
        });
        Chain::new(&plan.stack, &history, hand)
    };
    let cut = Chain::new(&plan.stack, &grooved.history, Hand::ruled());
    let nominal = 24.0 * 3.0 / 16.0 / (11.0 + 15.0 / 16.0);
    let share = open_share(&plan, cut);
    assert!((share / nominal - 1.0).abs() < 0.15, "{share} {nominal}");
    let mut last = share;
    for by in [1.0, 0.5, 0.2, 0.05] {
        let share = open_share(&plan, pressed(floor + by, Hand::ruled()));
        assert!(share > 0.0 && share < last, "{by}: {share} {last}");
        last = share;
    }
    for by in [-0.02, -0.3] {
        let share = open_share(&plan, pressed(floor + by, Hand::ruled()));
        assert!(share <= 0.0, "{by}: {share}");
    }
    // As the plan forges it, by a hand that cut some grooves deeper than others: closed.
    let flat = open_share(&plan, pressed(25.4 / 4.0, Hand::default()));
    assert!(flat <= 0.0, "{flat}");
}

/// Steps whose bar is still a bar with flat layers.
fn is_flat(billet: &Billet) -> bool {
    let core = &billet.bar.core;
    core.figure == Figure::Flat
        && core.stand == Stand::Flat
        && billet.stage <= Stage::Pieces
        && !billet.bar.void.is_positive()
        && !billet
            .history
            .iter()
            .any(|done| matches!(done.made, Move::Groove { .. } | Move::Dimple { .. }))
}

#[test]
fn even_flat_layers_agree_with_the_layer_tree() {
    let mut tried = 0;
    for (name, plan) in plans() {
        for billet in walked(&plan).iter().filter(|billet| is_flat(billet)) {
            let chain = chain(&plan, billet, Hand::ruled());
            let layers = &billet.bar.core.layers;
            let high = layers.height().0;
            for n in 0..997 {
                let depth = high * (f64::from(n) + 0.5) / 997.0;
                // A hair from a seam either is right.
                let near = |by: f64| layers.at(Mm(depth + by));
                if near(-1e-7) != near(1e-7) {
                    continue;
                }
                let seen = chain.steel_at(
                    billet.bar.length * 0.37,
                    billet.bar.width * 0.11,
                    Mm(depth - 0.5 * high),
                );
                assert_eq!(seen, layers.at(Mm(depth)), "{name} at {depth} of {high}");
                tried += 1;
            }
        }
    }
    assert!(tried > 20_000, "{tried}");
}

#[test]
fn a_picture_holds_as_much_of_each_steel_as_the_metal() {
    for (name, plan) in plans() {
        for billet in walked(&plan).iter().filter(|b| b.stage <= Stage::Pieces) {
            // A split shows its wedge's place in a section: no fair sample of the whole.
            let split = billet.bar.core.figure == Figure::Split;
            if split || billet.bar.void.is_positive() || billet.history.is_empty() {
                continue;
            }
            let twisted = billet.bar.core.figure != Figure::Flat;
            let grooved = billet
                .history
                .iter()
                .any(|done| matches!(done.made, Move::Groove { .. } | Move::Dimple { .. }));
            for (hand, within) in [(Hand::ruled(), 0.012), (Hand::default(), 0.03)] {
                let chain = chain(&plan, billet, hand);
                for steel in 0..plan.steels.len() {
                    let id = SteelId::from_index(steel);
                    let only = only(&plan, steel);
                    let scene = Scene::new(Arc::clone(&chain), View::End, &only, [160, 160]);
                    let seen = scene.render().mean_light();
                    let metal = billet.volume_of(id) / billet.bar.volume();
                    // The square-disc map of twists and crushes is not equal-area at the corners, and
                    // one section of a figure need not hold the share of the whole.
                    let within = if twisted || grooved { 0.05 } else { within };
                    assert!(
                        (seen - metal).abs() < within,
                        "{name} {:?}: {seen} {metal}",
                        billet.history.last().unwrap().made.kind()
                    );
                }
            }
        }
    }
}

#[test]
fn the_rungs_of_a_ladder_close_past_the_floor_and_not_before() {
    let plan = named("ladder-hunter");
    let steps = walked(&plan);
    let open_after = |done: &dyn Fn(&Move) -> bool| {
        let billet = steps
            .iter()
            .find(|billet| billet.history.last().is_some_and(|last| done(&last.made)))
            .unwrap();
        let chain = chain(&plan, billet, Hand::default());
        let [width, thickness, length] = chain.size();
        let open = (0..3000).any(|n| {
            let x = length * (f64::from(n) / 3000.0);
            chain.steel_at(x, width * 0.1, thickness * 0.499).is_none()
        });
        (open, billet.bar.thickness)
    };
    let (open, thick) = open_after(&|made| matches!(made, Move::Groove { .. }));
    assert!(open);
    let at = steps
        .iter()
        .position(|b| {
            b.history
                .last()
                .is_some_and(|d| matches!(d.made, Move::Groove { .. }))
        })
        .unwrap();
    let grooved = &steps[at];
    let Some(Move::Groove { depth, .. }) = grooved.history.last().map(|d| d.made.clone()) else {
        panic!("no groove");
    };
    let floor = thick - depth;
    // Forged to just over and just under the floor of the grooves.
    for (by, closed) in [(0.25, false), (-0.25, true)] {
        let mut history = grooved.history.clone();
        let before = history.last().unwrap().after;
        let to = floor + Mm(by);
        history.push(Deformation {
            made: Move::Draw {
                to: Sizes::default(),
                scale: Fraction(0.0),
            },
            before,
            after: [before[0], to, before[2] * (thick / to)],
            pieces: 1,
        });
        let chain = Chain::new(&plan.stack, &history, Hand::ruled());
        let [width, thickness, length] = chain.size();
        let open = (0..4000).any(|n| {
            let x = length * (f64::from(n) / 4000.0);
            chain.steel_at(x, width * 0.1, thickness * 0.4999).is_none()
        });
        assert_eq!(open, !closed, "{by}");
    }
}

#[test]
fn every_plan_has_lines_to_measure_and_its_own_liveliness() {
    for (name, plan) in plans() {
        let last = walked(&plan).pop().unwrap();
        let chain = chain(&plan, &last, Hand::default());
        let lines = Lines::of(&chain, View::Blade(shape(&plan)));
        let lines = lines.unwrap_or_else(|| panic!("{name}"));
        assert!(lines.along.is_finite() && lines.across > 0.0, "{name}");
        assert!((0.0..=1.0).contains(&lines.lively), "{name}: {lines:?}");
        println!("{name}: {lines:?} {}", lines.lively_word().word());
    }
}
