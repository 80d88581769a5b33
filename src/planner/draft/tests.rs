use super::compose::compose;
use super::random::bought;
use super::search::every;
use super::{
    AtHand, Axes, Grid, Limit, NoPlan, Offer, RackBar, Wish, draft, enumerate, outlook, search,
};
use crate::billet::{Kind, Part, Stage, SteelId};
use crate::metal::Catalogue;
use crate::physics::draw_out::widest;
use crate::plan::{Blade, Goal, Machine, Pattern, PlanSteel, Shop, Tang, check, dry_run, read};
use crate::planner::learn::{Lessons, ShopBook, learn};
use crate::units::{Celsius, Fraction, Grams, Kilonewtons, Mm, Units};

pub(super) fn steel(key: &str, grade: &str) -> PlanSteel {
    PlanSteel {
        key: key.to_owned(),
        letter: key.chars().next().unwrap(),
        steel: Catalogue::builtin().find(grade).unwrap().clone(),
        lot: String::new(),
    }
}

pub(crate) fn wish() -> Wish {
    let mut shop: Shop = read(include_str!("../../../plans/kitchen-pair.toml"))
        .unwrap()
        .0
        .shop;
    shop.oil = Some(Celsius(50.0));
    shop.machine = Machine::Press {
        force: Kilonewtons::from_us_tons(25.0),
    };
    let bar = |key: &str, grade: &str, thickness: f64| RackBar {
        steel: steel(key, grade),
        thickness: Mm(thickness),
        width: Some(Mm(40.0)),
    };
    Wish {
        title: "A kitchen knife".to_owned(),
        units: Units::Mm,
        goal: Goal {
            blade: Blade {
                length: Mm(210.0),
                width: Mm(46.0),
                spine: Mm(3.0),
                spine_tip: Mm(1.2),
                edge: Mm(0.3),
                bevel: 1.0,
            },
            tang: Some(Tang {
                length: Mm(100.0),
                width: Mm(20.0),
                thickness: Mm(3.0),
                width_end: Mm(12.0),
                thickness_end: Mm(2.2),
            }),
            bolster: None,
            pattern: Pattern::Random,
            bands_least: 100,
            bands_most: 150,
            knives: 1,
            edge_margin: None,
        },
        rack: vec![bar("A", "SAE 1084", 6.0), bar("B", "75Ni8", 3.0)],
        at_hand: Vec::new(),
        shop,
        most_welds: 4,
        forged: true,
        spare: Fraction(0.1),
        sides: [0, 0],
        rods: 1,
        uses_shelf: false,
        shelf: Vec::new(),
        command: None,
    }
}

pub(super) fn lessons() -> Lessons {
    learn(&[], &ShopBook::default(), None)
}

pub(super) fn offers(wish: &Wish) -> Vec<Offer> {
    draft(wish, &lessons(), &|_| true).unwrap_or_else(|why| panic!("{why:?}"))
}

/// Read, checked without a word, and worked to the last step.
pub(super) fn sound(offer: &Offer) {
    let checked = check(&offer.text);
    assert!(checked.found.is_empty(), "{:?}", checked.found);
    let (plan, walk) = checked.sound().unwrap();
    assert_eq!(walk.rows.len(), plan.steps.len());
    let last = &walk.rows.last().unwrap().billet;
    assert_eq!(last.stage, Stage::Etched);
    assert_eq!(last.pieces, plan.goal.knives);
    assert_eq!(last.bands(), offer.bands);
    assert!(
        (u128::from(plan.goal.bands_least)..=u128::from(plan.goal.bands_most))
            .contains(&offer.bands)
    );
    let forged = last.blade.forged(Part::Bevels);
    if let Some(long) = forged.and_then(|bevels| bevels.full.length) {
        assert!(long >= plan.goal.blade.length, "{long:?}");
    }
    for step in &plan.steps {
        assert!(
            !step.kind().is_hot() || (step.heats > 0 && step.window.is_some()),
            "{}",
            step.id
        );
    }
}

#[test]
fn a_wish_becomes_plans_that_check_takes() {
    let offers = offers(&wish());
    assert!(offers.len() >= 3);
    for offer in &offers {
        sound(offer);
    }
    for reason in ["fewest welds", "least steel", "least time"] {
        assert!(
            offers
                .iter()
                .any(|offer| offer.why.iter().any(|why| why == reason)),
            "{reason}"
        );
    }
}

// Rounded up to the thirty-second of an inch tang and spine took a quarter more than the goal, and the blade came out
// 4-3/4 in long of 5, 9-15/16 of 10.
#[test]
fn a_blade_of_a_draft_in_inches_reaches_its_length() {
    let inch = Mm::from_inch;
    let tang = |length: f64, width: f64, thickness: f64| Tang {
        length: inch(length),
        width: inch(width),
        thickness: inch(thickness),
        width_end: inch(width * 0.6),
        thickness_end: inch(thickness * 0.75),
    };
    for (length, width, tang) in [
        (5.0, 1.0, tang(4.0, 0.875, 5.0 / 32.0)),
        (10.0, 2.0, tang(5.0, 1.0, 0.125)),
        (7.0, 1.75, tang(4.0, 0.875, 5.0 / 32.0)),
    ] {
        let mut wish = wish();
        wish.units = Units::Inch;
        wish.goal.blade = Blade {
            length: inch(length),
            width: inch(width),
            spine: inch(0.125),
            spine_tip: inch(0.0625),
            edge: inch(0.012),
            bevel: 1.0,
        };
        wish.goal.tang = Some(tang);
        for (bar, thickness) in wish.rack.iter_mut().zip([0.25, 0.125]) {
            (bar.thickness, bar.width) = (inch(thickness), Some(inch(1.5)));
        }
        let allow = &mut wish.shop.allowances;
        (allow.kerf, allow.grind, allow.trim) = (inch(0.0625), inch(1.0 / 64.0), inch(0.375));
        (allow.mark, allow.shortest) = (inch(0.0625), inch(1.5));
        let offers = offers(&wish);
        assert!(!offers.is_empty());
        offers.iter().for_each(sound);
    }
}

// 14 mm square drawn to 5.5 mm gets 28.6 mm wide at the most, and was planned to 30.
#[test]
fn a_twist_is_drawn_from_a_square_that_spreads_to_the_bar() {
    let mut wish = wish();
    wish.goal.pattern = Pattern::Twist;
    (wish.goal.bands_least, wish.goal.bands_most) = (190, 210);
    let blade = &mut wish.goal.blade;
    (blade.length, blade.spine) = (Mm(115.0), Mm(4.0));
    for width in [30.0, 40.0] {
        wish.goal.blade.width = Mm(width);
        let offers = offers(&wish);
        assert!(!offers.is_empty());
        for offer in &offers {
            sound(offer);
            let walk = dry_run(&offer.plan, 0, &offer.plan.first_billet());
            let drawn = offer.plan.steps.iter().skip(1).zip(walk.rows.windows(2));
            for (_, rows) in drawn.filter(|(step, _)| step.kind() == Kind::Draw) {
                let [from, to] = [0, 1].map(|at| &rows[at].billet.bar);
                let most = widest(from.width, from.thickness, to.thickness, wish.shop.die).unwrap();
                assert!(to.width.0 <= most.0 * 1.02, "{from:?} to {to:?}");
            }
        }
    }
}

// A few grams to spare in the blank, and half a kilogram of bar beside it, are two things.
#[test]
fn what_is_to_spare_is_in_the_blank_and_stock_left_is_beside_it() {
    let lessons = lessons();
    let mut left = 0;
    for offer in offers(&wish()) {
        let walk = dry_run(&offer.plan, 0, &offer.plan.first_billet());
        let last = &walk.rows.last().unwrap().billet;
        let metal: f64 = last
            .stock
            .iter()
            .map(|one| one.bar.volume().0 * f64::from(one.pieces))
            .sum();
        let grams = metal * last.density().0 / 1000.0;
        assert!((offer.left.0 - grams).abs() < 0.01, "{:?}", offer.left);
        let risk = &offer.summary(&outlook(&offer, &lessons))[2];
        assert!(
            !risk.contains("to spare") || risk.contains("to spare in the blank"),
            "{risk}"
        );
        assert_eq!(
            risk.contains("of the bar left as stock"),
            grams >= 10.0,
            "{risk}"
        );
        left += usize::from(grams >= 10.0);
    }
    assert!(left > 0);
}

// check warns of it, and no plan of the wish changes it.
#[test]
fn a_draft_of_soft_steel_says_so() {
    let mut wish = wish();
    wish.rack[0].steel = steel("A", "SAE 1018");
    let offers = offers(&wish);
    assert!(!offers.is_empty());
    for offer in &offers {
        assert!(offer.mind[0].contains("SAE 1018 lies at the edge and stays soft"));
        let seen = outlook(offer, &lessons());
        assert!(offer.summary(&seen)[2].contains("stays soft"));
        assert_eq!(check(&offer.text).warnings(), 1);
    }
    wish.rack[0].steel = steel("A", "SAE 1084");
    wish.shop.oil = Some(Celsius(100.0));
    for offer in draft(&wish, &lessons(), &|_| true).unwrap() {
        assert!(offer.mind[0].contains("oil at 100 C"), "{:?}", offer.mind);
    }
}

#[test]
fn every_pattern_family_has_a_plan() {
    for pattern in [
        Pattern::Random,
        Pattern::Straight,
        Pattern::Ladder,
        Pattern::Raindrop,
        Pattern::Twist,
        Pattern::TurnedW,
        Pattern::Feather,
        Pattern::ThreeLayer,
    ] {
        for margin in [None, Some(Mm(3.0))] {
            let mut wish = wish();
            wish.goal.pattern = pattern;
            wish.goal.edge_margin = margin;
            wish.most_welds = 5;
            wish.goal.blade.width = Mm(30.0);
            wish.goal.blade.length = Mm(120.0);
            (wish.goal.bands_least, wish.goal.bands_most) = (40, 160);
            if pattern == Pattern::ThreeLayer {
                (wish.goal.bands_least, wish.goal.bands_most) = (3, 3);
                wish.rack[0].thickness = Mm(8.0);
                wish.rack[1].thickness = Mm(5.0);
                wish.rack[0].steel = steel("A", "SAE 1018");
                wish.rack[1].steel = steel("B", "SAE 1095");
                if margin.is_some() {
                    continue;
                }
            }
            let offers = offers(&wish);
            assert!(!offers.is_empty(), "{pattern:?} {margin:?}");
            for offer in &offers {
                sound(offer);
            }
        }
    }
}

#[test]
fn an_inch_shop_gets_inch_plans() {
    let mut wish = wish();
    wish.units = Units::Inch;
    wish.goal.pattern = Pattern::Ladder;
    let inch = Mm::from_inch;
    wish.goal.blade = Blade {
        length: inch(4.0),
        width: inch(1.125),
        spine: inch(0.1875),
        spine_tip: inch(0.09375),
        edge: inch(0.012),
        bevel: 1.0,
    };
    wish.goal.tang = None;
    (wish.goal.bands_least, wish.goal.bands_most) = (70, 110);
    wish.goal.knives = 2;
    for (bar, thickness) in wish.rack.iter_mut().zip([0.125, 0.0625]) {
        bar.thickness = inch(thickness);
        bar.width = Some(inch(1.25));
    }
    let allow = &mut wish.shop.allowances;
    (allow.kerf, allow.grind, allow.trim) = (inch(0.0625), inch(0.03125), inch(0.375));
    (allow.mark, allow.shortest) = (inch(0.0625), inch(2.0));
    wish.shop.die = inch(1.0);
    let offers = offers(&wish);
    for offer in &offers {
        sound(offer);
        assert!(offer.text.contains("units = \"inch\""));
        for metric in [" C\"", " mm\"", "mm,"] {
            assert!(!offer.text.contains(metric), "{metric}: {}", offer.text);
        }
        assert!(
            offer.text.contains("width = \"1-1/4 in\""),
            "{}",
            offer.text
        );
    }
}

/// A few values on each axis, so that every candidate can be worked out from nothing.
fn small(wish: &Wish, axes: impl Fn(&mut Axes)) -> Grid {
    let mut few = Axes::of(wish);
    few.pieces = vec![5, 9, 13, 17];
    few.lengths = [60.0, 75.0, 90.0, 120.0, 160.0, 220.0].map(Mm).to_vec();
    few.restacks = vec![2, 3, 4, 5];
    few.thicknesses = [8.0, 12.0, 16.0].map(Mm).to_vec();
    few.most_restacks = 2;
    axes(&mut few);
    Grid::with_axes(wish, &lessons(), few).unwrap()
}

#[test]
fn the_search_finds_what_plain_enumeration_finds() {
    let mut wishes = Vec::new();
    for (least, most) in [(20, 60), (100, 150), (90, 400), (55, 57)] {
        let mut one = wish();
        (one.goal.bands_least, one.goal.bands_most) = (least, most);
        wishes.push(one.clone());
        one.shop.allowances.longest = Some(Mm(420.0));
        one.shop.allowances.tallest = Some(Mm(58.0));
        wishes.push(one.clone());
        one.goal.knives = 4;
        one.shop.allowances.longest = Some(Mm(900.0));
        one.rack.push(RackBar {
            steel: steel("A", "SAE 1084"),
            thickness: Mm(4.0),
            width: Some(Mm(40.0)),
        });
        wishes.push(one.clone());
        one.goal.pattern = Pattern::TurnedW;
        one.goal.edge_margin = Some(Mm(3.0));
        one.goal.blade.width = Mm(30.0);
        for bar in &mut one.rack {
            bar.width = None;
        }
        one.shop.allowances.longest = None;
        wishes.push(one);
    }
    let mut found_some = 0;
    for wish in &wishes {
        let grid = small(wish, |axes| axes.widths = [30.0, 45.0].map(Mm).to_vec());
        let found = search(&grid, 0..grid.outer(), &|_| true);
        let plain = enumerate(&grid, 0..grid.outer());
        assert_eq!(found.front.sorted(), plain.sorted());
        found_some += usize::from(!plain.is_empty());
        // Split in two and merged, it is the same.
        let half = grid.outer() / 2;
        let merged =
            search(&grid, 0..half, &|_| true).merge(&search(&grid, half..grid.outer(), &|_| true));
        assert_eq!(merged.front.sorted(), plain.sorted());
    }
    assert!(found_some >= 8, "{found_some}");
}

#[test]
fn numbers_and_moves_agree() {
    let wish = wish();
    let grid = small(&wish, |_| {});
    let mut seen = 0;
    for outer in 0..grid.outer() {
        every(&grid, u32::try_from(outer).unwrap(), &mut |candidate| {
            let Ok(score) = grid.evaluate(&candidate) else {
                return;
            };
            seen += 1;
            if seen % 3 != 0 {
                return;
            }
            let made = compose(&grid, &candidate).unwrap();
            assert_eq!(made.welds, score.welds);
            assert_eq!(super::model::tenths(made.minutes), score.minutes);
            let (outer, run) = grid.follow(&candidate, 0).unwrap();
            let length = grid.length(&candidate);
            let (metal, _) = grid.metal(outer, &run, length, 0).unwrap();
            let walk = dry_run(&made.plan, 0, &made.plan.first_billet());
            let kind =
                |step: &crate::plan::Step| matches!(step.kind(), Kind::Stack | Kind::Restack);
            let last = made.plan.steps.iter().rposition(kind).unwrap();
            let pile = &walk.rows[last].billet;
            assert!(pile.volume().near(metal, 1e-6 * metal.0));
            assert!(pile.bar.thickness.near(run.height, 1e-9));
            let end = &walk.rows.last().unwrap().billet;
            assert_eq!(end.bands(), u128::from(grid.bands(outer, &run)));
        });
    }
    assert!(seen > 30, "{seen}");
}

#[test]
fn a_limit_that_rules_out_all_is_named() {
    let no = |wish: &Wish| match draft(wish, &lessons(), &|_| true) {
        Err(NoPlan::Limits(why)) => why.join("\n"),
        other => panic!("{other:?}"),
    };
    let mut press = wish();
    press.shop.machine = Machine::Press {
        force: Kilonewtons::from_us_tons(9.0),
    };
    press.shop.die = Mm(50.0);
    let why = no(&press);
    assert!(
        why.contains("no plan: the press moves") && why.contains("40 wide"),
        "{why}"
    );

    let mut low = wish();
    low.shop.allowances.tallest = Some(Mm(14.0));
    let why = no(&low);
    assert!(why.contains("opens to 14 mm"), "{why}");

    let mut bands = wish();
    (bands.goal.bands_least, bands.goal.bands_most) = (100, 100);
    let why = no(&bands);
    assert!(
        why.contains("100 to 100 bands are wanted, the nearest is"),
        "{why}"
    );

    let mut welds = wish();
    welds.most_welds = 1;
    let why = no(&welds);
    assert!(why.contains("welds"), "{why}");

    let mut big = wish();
    big.goal.knives = 40;
    let why = no(&big);
    assert!(why.contains("fewer knives"), "{why}");

    let mut forge = wish();
    forge.shop.allowances.longest = Some(Mm(100.0));
    let why = no(&forge);
    assert!(why.contains("the forge heats 100 mm"), "{why}");

    let mut long = wish();
    long.shop.allowances.longest = Some(Mm(500.0));
    long.goal.blade.length = Mm(900.0);
    let why = no(&long);
    assert!(
        why.contains("the forge heats 500 mm, the blade is forged 903 mm long; want a shorter"),
        "{why}"
    );
    // One knife is not made fewer.
    let bar = Limit::Longest {
        length: Mm(1202.1),
        most: Mm(500.0),
    };
    let why = bar.sentence(&long);
    assert!(
        why.contains("the bar would be 1202.1 mm; want a shorter"),
        "{why}"
    );
    long.goal.knives = 2;
    assert!(bar.sentence(&long).contains("make fewer knives at once"));

    let mut edge = wish();
    edge.goal.edge_margin = Some(Mm(30.0));
    let why = no(&edge);
    assert!(why.contains("leaves no core"), "{why}");

    let mut rack = wish();
    rack.rack[1].width = Some(Mm(30.0));
    let why = no(&rack);
    assert!(why.contains("one width"), "{why}");
}

#[test]
fn a_search_can_be_stopped() {
    let stopped = draft(&wish(), &lessons(), &|progress| progress.done < 2);
    assert!(matches!(stopped, Err(NoPlan::Stopped)));
}

/// One with so much of a steel and no more.
fn with_no_more(at: usize, grams: f64, mut one: Wish) -> Wish {
    one.at_hand = vec![AtHand {
        steel: SteelId::from_index(at),
        density: one.steels()[at].steel.density,
        mass: Grams(grams),
    }];
    one
}

#[test]
fn no_plan_takes_more_of_a_steel_than_there_is() {
    let takes = |offers: &[Offer], key: &str| -> Vec<f64> {
        let all = offers.iter().map(|offer| bought(offer)[key]);
        all.collect()
    };
    let mut twisted = wish();
    twisted.goal.pattern = Pattern::Twist;
    twisted.rods = 2;
    (twisted.goal.bands_least, twisted.goal.bands_most) = (20, 150);
    let mut framed = wish();
    framed.goal.edge_margin = Some(Mm(6.0));
    for free in [wish(), twisted, framed] {
        let all = offers(&free);
        for (at, key) in [(0, "A"), (1, "B")] {
            let least = takes(&all, key).into_iter().fold(f64::INFINITY, f64::min);
            // A little more than the most frugal plan takes.
            let some = offers(&with_no_more(at, least + 60.0, free.clone()));
            assert!(takes(&some, key).iter().all(|grams| *grams <= least + 60.0));
            // Far less than any takes: said with both figures, and what is missing makes a plan.
            let none = with_no_more(at, 50.0, free.clone());
            let Err(NoPlan::Limits(why)) = draft(&none, &lessons(), &|_| true) else {
                panic!("a plan of nothing");
            };
            let why = why.iter().find(|one| one.contains("is at hand")).unwrap();
            let grade = &free.steels()[at].steel.grade;
            assert!(
                why.contains(grade) && why.contains("and 50 g is at hand"),
                "{why}"
            );
            let (_, more) = why.split_once("or get ").unwrap();
            let (more, unit) = more.trim_end_matches(" more").split_once(' ').unwrap();
            let more = more.parse::<f64>().unwrap() * if unit == "kg" { 1000.0 } else { 1.0 };
            // The figure is told to the nearest of its last place.
            let enough = with_no_more(at, 50.0 + more * 1.01, free.clone());
            let some = offers(&enough);
            let taken = takes(&some, key);
            let most = 50.0 + more * 1.01;
            assert!(
                taken.iter().all(|grams| *grams <= most),
                "{key} {more} {taken:?} {:?}",
                some[0].cuts
            );
        }
    }
}
