//! Wishes by chance: what the search finds is what plain enumeration finds, and every plan on the
//! front is written, checked without a word and worked to its end.

use std::collections::BTreeMap;

use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::candidate::Candidate;
use super::compose::compose;
use super::limit::{Limit, Over};
use super::model::tenths;
use super::offer::LONGEST;
use super::search::{broken, every};
use super::tests::{lessons, sound, steel, wish};
use super::{
    AtHand, Axes, Grid, NoGrid, NoPlan, Offer, RackBar, Wish, conclude, enumerate, explain, search,
};
use crate::billet::SteelId;
use crate::plan::{Bolster, Machine, Pattern, Tang, check, dry_run};
use crate::planner::write::write;
use crate::units::{Fraction, Grams, Kilonewtons, Mm, Units};

const PATTERNS: [Pattern; 10] = [
    Pattern::Random,
    Pattern::Straight,
    Pattern::Ladder,
    Pattern::Raindrop,
    Pattern::Twist,
    Pattern::TurnedW,
    Pattern::Feather,
    Pattern::ThreeLayer,
    Pattern::Jacket,
    Pattern::Tiles,
];

/// To the half millimetre, or the sixteenth of an inch.
fn mark(units: Units, mm: f64) -> Mm {
    let unit = match units {
        Units::Mm => 0.5,
        Units::Inch => 25.4 / 16.0,
    };
    Mm(((mm / unit).round() * unit).max(unit))
}

prop_compose! {
    fn blades()(
        inch in any::<bool>(),
        length in 60.0..320.0_f64,
        width in 18.0..55.0_f64,
        spine in 2.0..7.0_f64,
        bevel in prop_oneof![Just(1.0), Just(0.6)],
        tang in prop::option::of((30.0..120.0_f64, 8.0..22.0_f64, 2.0..6.0_f64)),
        bolster in prop::option::weighted(0.2, (8.0..20.0_f64, 14.0..26.0_f64, 9.0..18.0_f64)),
        forged in any::<bool>(),
    ) -> Wish {
        let mut one = wish();
        one.units = if inch { Units::Inch } else { Units::Mm };
        let size = |mm: f64| mark(one.units, mm);
        one.forged = forged;
        let blade = &mut one.goal.blade;
        (blade.length, blade.width, blade.spine) = (size(length), size(width), size(spine));
        blade.spine_tip = blade.spine / 2.0;
        blade.bevel = bevel;
        one.goal.tang = tang.map(|(length, width, thickness)| Tang {
            length: size(length),
            width: size(width),
            thickness: size(thickness),
            width_end: size(width),
            thickness_end: size(thickness),
        });
        one.goal.bolster = bolster.filter(|_| forged).map(|(length, width, thickness)| Bolster {
            length: size(length),
            width: size(width),
            thickness: size(thickness),
        });
        one
    }
}

prop_compose! {
    fn wishes()(
        mut one in blades(),
        pattern in 0..PATTERNS.len(),
        (least, wide) in (8_u64..200, 1_u64..120),
        knives in 1_u32..4,
        margin in prop::option::weighted(0.3, 1.0..6.0_f64),
        thick in prop::collection::vec(1.5..9.0_f64, 2..5),
        stock in prop::option::of(25.0..50.0_f64),
        (machine, force) in (0..3_u8, 8.0..40.0_f64),
        (longest, tallest) in (prop::option::of(150.0..700.0_f64), prop::option::of(30.0..90.0_f64)),
        (kerf, grind, trim) in (0.5..3.0_f64, 0.0..1.5_f64, 0.0..15.0_f64),
        (welds, spare) in (1_u32..6, 0.0..0.3_f64),
        at_hand in prop::option::weighted(0.3, (0_usize..2, 300.0..4000.0_f64)),
    ) -> Wish {
        let units = one.units;
        let size = |mm: f64| mark(units, mm);
        let goal = &mut one.goal;
        goal.pattern = PATTERNS[pattern];
        (goal.bands_least, goal.bands_most) = (least, least + wide);
        goal.knives = knives;
        goal.edge_margin = margin.map(size);
        let (mut outer, mut inner) = (steel("A", "SAE 1084"), steel("B", "75Ni8"));
        if goal.pattern == Pattern::ThreeLayer {
            (goal.bands_least, goal.bands_most) = (3, 3);
            goal.edge_margin = None;
            (outer, inner) = (steel("A", "SAE 1018"), steel("B", "SAE 1095"));
        }
        let width = stock.map(size);
        one.rack = thick.iter().enumerate().map(|(at, thick)| RackBar {
            steel: if at % 2 == 0 { outer.clone() } else { inner.clone() },
            thickness: size(*thick),
            width,
        }).collect();
        one.shop.machine = match machine {
            0 => Machine::Hand,
            1 => Machine::Press { force: Kilonewtons::from_us_tons(force) },
            _ => Machine::Hammer { ram: Grams(force * 1000.0) },
        };
        let allow = &mut one.shop.allowances;
        allow.units = units;
        allow.mark = mark(units, 0.1);
        (allow.longest, allow.tallest) = (longest.map(size), tallest.map(size));
        (allow.kerf, allow.grind, allow.trim) = (Mm(kerf), Mm(grind), size(trim));
        one.most_welds = welds;
        one.spare = Fraction(spare);
        one.at_hand = at_hand.into_iter().map(|(at, grams)| AtHand {
            steel: SteelId::from_index(at),
            density: one.steels()[at].steel.density,
            mass: Grams(grams),
        }).collect();
        one
    }
}

/// The grid of a wish with few values on each axis, or why there is none.
fn coarse(wish: &Wish) -> Result<Grid, NoGrid> {
    let mut axes = Axes::of(wish);
    axes.pieces
        .retain(|pieces| matches!(pieces, 3 | 7 | 11 | 15));
    axes.widths.truncate(3);
    axes.lengths = axes.lengths.into_iter().step_by(6).collect();
    axes.restacks = vec![2, 3, 5];
    axes.thicknesses = axes.thicknesses.into_iter().step_by(2).collect();
    axes.most_restacks = axes.most_restacks.min(2);
    Grid::with_axes(wish, &lessons(), axes)
}

/// Why there is no plan, from every candidate alone: the nearest of those that break one limit, for
/// each limit; or the nearest of those that break two; or the nearest of all.
fn told(grid: &Grid) -> Vec<String> {
    let mut best: BTreeMap<u16, (f64, Candidate)> = BTreeMap::new();
    for outer in 0..grid.outer() {
        every(grid, u32::try_from(outer).unwrap(), &mut |candidate| {
            let Some(over) = over(grid, &candidate) else {
                return;
            };
            let held = best.get(&over.bits);
            if held.is_none_or(|held| (over.sum, candidate) < *held) {
                best.insert(over.bits, (over.sum, candidate));
            }
        });
    }
    let with = |count: fn(u32) -> bool| {
        let few = best.iter().filter(|(bits, _)| count(bits.count_ones()));
        let mut few: Vec<(f64, Candidate)> = few.map(|(_, best)| *best).collect();
        few.sort_by(|a, b| a.partial_cmp(b).unwrap());
        few
    };
    let mut chosen = with(|count| count == 1);
    if chosen.is_empty() {
        chosen = with(|count| count == 2).into_iter().take(1).collect();
    }
    if chosen.is_empty() {
        chosen = with(|_| true).into_iter().take(1).collect();
    }
    let limits = chosen.iter().flat_map(|(_, one)| broken(grid, one));
    let said: Vec<String> = limits
        .map(|limit| format!("no plan: {}", limit.sentence(grid.wish())))
        .collect();
    match said.is_empty() {
        true => explain(grid),
        false => said,
    }
}

/// What a candidate oversteps when every limit is passed over.
fn over(grid: &Grid, candidate: &Candidate) -> Option<Over> {
    let (outer, run) = grid.follow(candidate, u16::MAX).ok()?;
    let last = grid.last_pile(outer, &run, u16::MAX).ok()?;
    let length = grid.length(candidate);
    let (_, metal) = grid.metal(outer, &run, length, u16::MAX).ok()?;
    Some(run.over + last + metal)
}

/// How many plans the grid has, all of them sound.
fn held(wish: &Wish) -> Result<usize, TestCaseError> {
    let grid = match coarse(wish) {
        Ok(grid) => grid,
        // A limit that no candidate changes; the steps themselves must go through with metal enough.
        Err(why) => {
            let known = |limit| {
                matches!(
                    limit,
                    Limit::Margin { .. }
                        | Limit::Machine { .. }
                        | Limit::Longest { .. }
                        | Limit::Spread { .. }
                        | Limit::Blade { .. }
                )
            };
            prop_assert!(
                matches!(why, NoGrid::Limit(limit) if known(limit)),
                "{:?}",
                why
            );
            return Ok(0);
        }
    };
    let found = search(&grid, 0..grid.outer(), &|_| true);
    let plain = enumerate(&grid, 0..grid.outer());
    prop_assert_eq!(found.front.sorted(), plain.sorted());
    for (score, candidate) in plain.sorted() {
        let made =
            compose(&grid, &candidate).map_err(|why| TestCaseError::fail(format!("{why:?}")))?;
        prop_assert_eq!(made.welds, score.welds);
        prop_assert_eq!(tenths(made.minutes), score.minutes);
        let (outer, run) =
            (grid.follow(&candidate, 0)).map_err(|why| TestCaseError::fail(format!("{why:?}")))?;
        let walk = dry_run(&made.plan, 0, &made.plan.first_billet());
        let end = walk.rows.last().map(|row| row.billet.bands());
        let counted = u128::from(grid.bands(outer, &run));
        prop_assert_eq!(end, Some(counted), "{:?}", wish.goal.pattern);
        let text = write(&made.plan, &[]);
        let checked = check(&text);
        prop_assert!(checked.found.is_empty(), "{:?}\n{}", checked.found, text);
    }
    match conclude(&grid, &found, None) {
        Ok(offers) => {
            prop_assert_eq!(offers.len(), plain.len().min(LONGEST));
            offers.iter().for_each(sound);
            for offer in &offers {
                for (steel, takes) in bought(offer) {
                    let mut limits = wish.at_hand.iter();
                    let has = limits.find(|one| wish.steels()[one.steel.index()].key == steel);
                    prop_assert!(
                        has.is_none_or(|has| takes <= has.mass.0 + 1e-6),
                        "{takes} {has:?}"
                    );
                }
            }
        }
        Err(NoPlan::Limits(why)) => {
            prop_assert!(plain.is_empty() && !why.is_empty());
            prop_assert_eq!(&why, &told(&grid));
            prop_assert!(
                why.iter().all(|one| one.starts_with("no plan: ")),
                "{:?}",
                why
            );
        }
        Err(NoPlan::Stopped) => prop_assert!(false, "nobody stopped it"),
    }
    Ok(plain.len())
}

/// Grams to buy of each steel, by the finished plan's own list.
pub(super) fn bought(offer: &Offer) -> BTreeMap<String, f64> {
    let mut all = BTreeMap::new();
    for cut in &offer.cuts {
        *all.entry(cut.key.clone()).or_default() += cut.mass.0;
    }
    all
}

/// Runs so many wishes; at least one in five has a plan, or the test holds nothing.
fn run(cases: u32) {
    let with_plan = std::cell::Cell::new(0);
    let mut runner = TestRunner::new(ProptestConfig {
        failure_persistence: None,
        cases,
        ..ProptestConfig::default()
    });
    let one = |wish: Wish| {
        let plans = held(&wish)?;
        with_plan.set(with_plan.get() + u32::from(plans > 0));
        Ok(())
    };
    runner
        .run(&wishes(), one)
        .unwrap_or_else(|why| panic!("{why}"));
    let good = with_plan.get();
    // A wish by chance asks for much: of 60, 13 to 26 had a plan in eleven runs; fewer than 8 have once in a thousand.
    assert!(good * 8 >= cases, "{good} of {cases} wishes have a plan");
}

#[test]
fn any_wish_is_searched_exactly_and_its_plans_are_sound() {
    run(60);
}

#[test]
#[ignore = "long; cargo test --lib planner::draft::random -- --ignored"]
fn many_wishes_are_searched_exactly_and_their_plans_are_sound() {
    run(4000);
}
