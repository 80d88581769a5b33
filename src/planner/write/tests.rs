//! Every plan that can be read is written so that it reads back the same.

use proptest::prelude::*;

use super::write;
use crate::billet::{
    Allowances, Arrange, Faces, FrameBar, Groove, Hand, Move, Part, Side, Sizes, StackPiece,
    SteelId, Tiling,
};
use crate::metal::{Catalogue, Composition, Steel, Window};
use crate::physics::colours::{Eye, Pin};
use crate::plan::{
    Blade, Bolster, Fuel, Goal, HeatWindow, Machine, Pattern, Places, Plan, PlanBar, PlanSteel,
    Quench, Shop, Step, StepId, Tang, read,
};
use crate::units::{Celsius, Density, Fraction, Grams, Kilonewtons, Mm, Seconds, Units};

/// The same plan wherever its steps stand in the file.
fn placeless(mut plan: Plan) -> Plan {
    for step in &mut plan.steps {
        step.line = 0;
    }
    plan
}

fn back(plan: &Plan) -> Plan {
    let text = write(plan, &["A comment.".to_owned()]);
    match read(&text) {
        Ok((plan, found)) => {
            assert!(found.is_empty(), "{found:?}\n{text}");
            placeless(plan)
        }
        Err(found) => panic!("{}\n{text}", found.first().unwrap()),
    }
}

#[test]
fn the_samples_come_back_the_same() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ext| ext != "toml") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let (plan, _) = read(&text).unwrap();
        assert_eq!(back(&plan), placeless(plan), "{}", path.display());
        seen += 1;
    }
    assert!(seen > 0);
}

/// Sizes that a rule or caliper shows: hundredths of a millimetre, or 64ths of an inch.
fn length(most: u32) -> impl Strategy<Value = Mm> {
    prop_oneof![
        (1..most * 100).prop_map(|n| Mm(f64::from(n) / 100.0)),
        (1..most * 2).prop_map(|n| Mm::from_inch(f64::from(n) / 64.0)),
    ]
}

fn share() -> impl Strategy<Value = Fraction> {
    (0_u32..900).prop_map(|n| Fraction::from_percent(f64::from(n) / 10.0))
}

fn celsius() -> impl Strategy<Value = Celsius> + Clone {
    prop_oneof![
        (100_u32..1300).prop_map(|c| Celsius(f64::from(c))),
        (200_u32..2300).prop_map(|f| Celsius::from_fahrenheit(f64::from(f))),
    ]
}

fn words() -> impl Strategy<Value = String> {
    "[a-zA-Z0-9\"\\\\'#\\[\\]{}=,.µÖ-]([ a-zA-Z0-9\"\\\\'#\\[\\]{}=,.µÖ-]{0,30}[a-z0-9])?"
}

fn sizes() -> impl Strategy<Value = Sizes> {
    (
        proptest::option::of(length(90)),
        length(90),
        proptest::option::of(length(900)),
    )
        .prop_map(|(width, thickness, length)| Sizes {
            width,
            thickness: Some(thickness),
            length,
        })
}

fn side() -> impl Strategy<Value = Side> {
    prop_oneof![
        Just(Side::Edge),
        Just(Side::Spine),
        Just(Side::Top),
        Just(Side::Bottom)
    ]
}

fn made() -> impl Strategy<Value = Move> {
    let size = || length(90);
    let plain = prop_oneof![
        Just(Move::Prepare),
        Just(Move::STACK),
        Just(Move::QuarterTurn),
        Just(Move::Harden),
        Just(Move::Etch),
        Just(Move::EndDay),
        (sizes(), share()).prop_map(|(to, scale)| Move::Weld { to, scale }),
        (sizes(), share()).prop_map(|(to, scale)| Move::Draw { to, scale }),
        (sizes(), share()).prop_map(|(to, scale)| Move::Square { to, scale }),
        (sizes(), share()).prop_map(|(to, scale)| Move::CornerCrush { to, scale }),
        (size(), size()).prop_map(|(a, b)| Move::Trim { ends: [a, b] }),
        (size(), any::<bool>()).prop_map(|(per_face, four)| Move::Grind {
            per_face,
            faces: if four { Faces::Four } else { Faces::Two },
        }),
    ];
    let cutting = prop_oneof![
        (
            1_u32..20,
            proptest::option::of(size()),
            size(),
            any::<bool>()
        )
            .prop_map(|(pieces, length, kerf, keep_rest)| Move::Cut {
                pieces,
                length,
                kerf,
                keep_rest
            }),
        prop_oneof![
            Just(Arrange::Pile),
            Just(Arrange::Flipped),
            (1_u32..5, 1_u32..5, any::<bool>()).prop_map(|(columns, rows, turned)| {
                Arrange::Block {
                    columns,
                    rows,
                    turned,
                }
            }),
        ]
        .prop_map(|arrange| Move::Restack { arrange }),
        (2_u32..6, size()).prop_map(|(plies, kerf)| Move::Fold { plies, kerf }),
        (side(), size(), 0_u8..2).prop_map(|(side, thickness, steel)| Move::Frame {
            bars: vec![FrameBar::plain(side, SteelId(steel), thickness)],
            fit: false,
        }),
        (1_u32..50, size(), size(), size(), any::<bool>()).prop_map(
            |(count, width, depth, pitch, vee)| Move::Groove {
                count,
                width,
                depth,
                pitch,
                shape: if vee { Groove::Vee } else { Groove::Round },
            }
        ),
        (1_u32..50, size(), size(), any::<bool>()).prop_map(|(count, diameter, depth, pressed)| {
            Move::Dimple {
                count,
                diameter,
                depth,
                pressed,
            }
        }),
        (1_u32..400, proptest::option::of(size())).prop_map(|(turns, over)| Move::Twist {
            turns: f64::from(turns) / 8.0,
            over,
            from: (turns % 3 == 0).then_some(Mm(f64::from(turns))),
            hand: if turns % 2 == 0 {
                Hand::Right
            } else {
                Hand::Left
            },
        }),
        (1_u32..200, size(), size(), any::<bool>(), 0_u8..3).prop_map(
            |(tiles, thickness, kerf, keep_rest, lay)| Move::Slice {
                tiles,
                thickness,
                lay: [Tiling::Alike, Tiling::Mirrored, Tiling::Turned][usize::from(lay)],
                backing: (lay > 0)
                    .then(|| FrameBar::plain(Side::Bottom, SteelId(lay % 2), thickness))
                    .into_iter()
                    .collect(),
                kerf,
                keep_rest,
            }
        ),
        (1_u32..200, size(), size()).prop_map(|(cuts, web, kerf)| Move::Unfold { cuts, web, kerf }),
        (10_u32..170).prop_map(|angle| Move::Split {
            angle: f64::from(angle)
        }),
    ];
    let finishing = prop_oneof![
        proptest::option::of(1_u64..100_000).prop_map(|bands| Move::Inspect { bands }),
        (
            prop_oneof![
                Just(Part::Bolster),
                Just(Part::Tang),
                Just(Part::Blade),
                Just(Part::Bevels)
            ],
            sizes(),
            share()
        )
            .prop_map(|(part, to, scale)| Move::Forge { part, to, scale }),
        (1_u32..5, share()).prop_map(|(cycles, scale)| Move::Normalise { cycles, scale }),
        share().prop_map(|scale| Move::Anneal { scale }),
        (size(), proptest::option::of(share()))
            .prop_map(|(edge, share)| Move::RoughGrind { edge, share }),
        (1_u32..5).prop_map(|cycles| Move::Temper { cycles }),
        (size(), proptest::option::of(share()))
            .prop_map(|(edge, share)| Move::FinishGrind { edge, share }),
    ];
    prop_oneof![plain, cutting, finishing]
}

fn step() -> impl Strategy<Value = Step> {
    (
        made(),
        proptest::option::of(words()),
        0_u32..3,
        0_u32..30,
        proptest::option::of((celsius(), celsius())),
        proptest::option::of(1_u32..20_000),
        proptest::option::of(words()),
        proptest::collection::vec(words(), 0..3),
        proptest::collection::vec(words(), 0..3),
        proptest::option::of("[a-z][a-z0-9-]{3,12}x"),
    )
        .prop_map(
            |(made, title, day, heats, window, soak, done_when, cautions, notes, id)| Step {
                bar: String::new(),
                called: String::new(),
                id: StepId(id.unwrap_or_default()),
                made,
                title,
                day,
                heats,
                window: window
                    .filter(|(one, two)| (one.0 - two.0).abs() > 1e-9)
                    .map(|(one, two)| HeatWindow {
                        low: one.min(two),
                        high: one.max(two),
                    }),
                soak: soak.map(|s| Seconds(f64::from(s))),
                machine: Machine::Hand,
                done_when,
                cautions,
                notes,
                line: 0,
                places: Places::default(),
            },
        )
}

/// Ids, days and machines as a reader gives them: usual ids where none was drawn, no two alike, days
/// rising.
fn settle(mut steps: Vec<Step>, shop: &Shop) -> Vec<Step> {
    let mut day = 1;
    let mut counts = std::collections::BTreeMap::new();
    let mut taken = std::collections::BTreeSet::new();
    for step in &mut steps {
        let count = counts.entry(step.kind()).or_insert(0);
        *count += 1;
        if step.id.0.is_empty() || !taken.insert(step.id.0.clone()) {
            step.id = StepId(format!("{}-{count}", step.kind().word()));
        }
        step.machine = shop.machine;
        step.day += day;
        day = step.day + u32::from(matches!(step.made, Move::EndDay));
    }
    steps
}

fn steels() -> impl Strategy<Value = Vec<PlanSteel>> {
    let known = Catalogue::builtin();
    let grade = (0..known.all().len()).prop_map(move |at| known.all()[at].clone());
    let own = (1_u32..150, 0_u32..300, 600_u32..900, 100_u32..900)
        .prop_map(|(carbon, nickel, density, low)| {
            let metal = Composition {
                c: f64::from(carbon) / 100.0,
                ni: f64::from(nickel) / 100.0,
                ..Composition::default()
            };
            let mut steel = Steel::from_composition(
                "own steel",
                metal,
                Some(Density(f64::from(density) / 100.0)),
            );
            steel.forging = Some(Window {
                low: Celsius(f64::from(low)),
                high: Celsius(f64::from(low + 100)),
            });
            steel.by_sheet("forging");
            steel
        })
        .boxed();
    let altered = (grade.clone(), 700_u32..800)
        .prop_map(|(mut steel, density)| {
            steel.density = Density(f64::from(density) / 100.0);
            steel
        })
        .boxed();
    let grade = grade.boxed();
    let steel = || prop_oneof![3 => grade.clone(), 1 => own.clone(), 1 => altered.clone()];
    (steel(), steel(), any::<bool>()).prop_map(|(one, two, swapped)| {
        let (a, b) = if swapped { ('B', 'A') } else { ('A', 'B') };
        vec![
            PlanSteel {
                key: "A".to_owned(),
                letter: a,
                steel: one,
                lot: String::new(),
            },
            PlanSteel {
                key: "bright".to_owned(),
                letter: b,
                steel: two,
                lot: if swapped { "\"4711\" of 2026" } else { "" }.to_owned(),
            },
        ]
    })
}

fn shop() -> impl Strategy<Value = Shop> {
    let machine = prop_oneof![
        Just(Machine::Hand),
        (50_u32..4000).prop_map(|tenths| Machine::Press {
            force: Kilonewtons::from_us_tons(f64::from(tenths) / 10.0)
        }),
        (50_u32..4000).prop_map(|kn| Machine::Press {
            force: Kilonewtons(f64::from(kn))
        }),
        (1_u32..400).prop_map(|kg| Machine::Hammer {
            ram: Grams(f64::from(kg) * 1000.0)
        }),
        (1_u32..400).prop_map(|lb| Machine::Hammer {
            ram: Grams::from_pounds(f64::from(lb))
        }),
    ];
    (
        machine,
        [
            length(5),
            length(5),
            length(30),
            length(4),
            length(90),
            length(90),
        ],
        share(),
        [
            proptest::option::of(length(90)),
            proptest::option::of(length(90)),
            proptest::option::of(length(900)),
        ],
        celsius(),
        proptest::option::of(celsius()),
    )
        .prop_map(|(machine, sizes, scale, limits, fire, oil)| {
            let [kerf, grind, trim, mark, shortest, die] = sizes;
            let [widest, tallest, longest] = limits;
            Shop {
                allowances: Allowances {
                    kerf,
                    grind,
                    trim,
                    scale,
                    mark,
                    shortest,
                    widest,
                    tallest,
                    longest,
                    finished: None,
                    shape: crate::billet::Shape::PLAIN,
                    units: Units::default(),
                },
                machine,
                die,
                fuel: Fuel::Charcoal,
                quench: Quench::Brine,
                fire,
                fire_scale: Fraction(0.5),
                oil,
                eye: Eye {
                    pins: vec![Pin {
                        name: "orange".to_owned(),
                        celsius: Celsius(1010.0),
                    }],
                    ..Eye::default()
                },
            }
        })
}

fn goal() -> impl Strategy<Value = Goal> {
    (
        [length(400), length(50), length(9), length(5)],
        (1_u64..500, 0_u64..500, 1_u32..5),
        proptest::option::of([length(90), length(30), length(9)]),
        proptest::option::of([length(30), length(30), length(30)]),
        proptest::option::of(length(9)),
        1_u32..100,
    )
        .prop_map(
            |(sizes, (least, more, knives), tang, bolster, edge_margin, bevel)| {
                let [length, width, spine, edge] = sizes;
                let length = length.max(width).max(spine).max(edge);
                let width = width.min(length);
                let spine = spine.min(width);
                Goal {
                    blade: Blade {
                        length,
                        width,
                        spine,
                        spine_tip: spine,
                        edge: edge.min(spine),
                        bevel: Fraction::from_percent(f64::from(bevel)).0,
                    },
                    tang: tang.map(|[length, width, thickness]| Tang {
                        length,
                        width,
                        thickness,
                        width_end: width,
                        thickness_end: thickness,
                    }),
                    bolster: bolster.map(|[length, width, thickness]| Bolster {
                        length,
                        width,
                        thickness,
                    }),
                    pattern: Pattern::Ladder,
                    bands_least: least,
                    bands_most: least + more,
                    knives,
                    edge_margin,
                }
            },
        )
}

fn plan() -> impl Strategy<Value = Plan> {
    (
        (
            words(),
            proptest::collection::vec(words(), 0..3),
            any::<bool>(),
        ),
        goal(),
        steels(),
        shop(),
        (length(90), length(900)),
        proptest::collection::vec((0_u8..2, length(20)), 1..12),
        proptest::collection::vec(step(), 1..12),
    )
        .prop_map(
            |((title, notes, inch), goal, steels, mut shop, size, pile, steps)| {
                let units = if inch { Units::Inch } else { Units::Mm };
                shop.allowances.units = units;
                Plan {
                    steps: settle(steps, &shop),
                    title,
                    notes,
                    units,
                    goal,
                    steels,
                    shop,
                    bars: vec![PlanBar {
                        width: size.0,
                        length: size.1,
                        pieces: pile
                            .into_iter()
                            .map(|(steel, thickness)| StackPiece {
                                steel: SteelId(steel),
                                thickness,
                            })
                            .collect(),
                        ..PlanBar::default()
                    }],
                    places: Places::default(),
                }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_plan_comes_back_the_same(plan in plan()) {
        prop_assert_eq!(back(&plan), plan);
    }
}
