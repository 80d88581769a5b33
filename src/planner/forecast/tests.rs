use super::{SAMPLES, Start, forecast};
use crate::plan::read;
use crate::planner::learn::{ShopBook, learn};

fn plan() -> crate::plan::Plan {
    read(include_str!("../../../plans/kitchen-pair.toml"))
        .unwrap()
        .0
}

#[test]
fn the_same_seed_gives_the_same_answer() {
    let plan = plan();
    let lessons = learn(&[], &ShopBook::default(), Some(&plan));
    let start = Start::of_plan(&plan);
    let one = forecast(&start, &lessons, 7, 50);
    assert_eq!(one, forecast(&start, &lessons, 7, 50));
    assert_ne!(one, forecast(&start, &lessons, 8, 50));
}

#[test]
fn the_bands_hold_the_plan_itself() {
    let plan = plan();
    let lessons = learn(&[], &ShopBook::default(), Some(&plan));
    let seen = forecast(&Start::of_plan(&plan), &lessons, 1, SAMPLES);
    let mut billet = plan.first_billet();
    for (step, row) in plan.steps.iter().zip(&seen.steps) {
        let made = crate::session::make(&plan, step, &billet, &crate::billet::Reading::default());
        billet = made.billet;
        assert!(row.mass.holds(billet.mass().0), "{:?}: {row:?}", step.id);
        assert!(
            row.length.holds(billet.bar.length.0),
            "{:?}: {row:?}",
            step.id
        );
        assert_eq!(row.nominal, billet.nominal);
    }
    println!("{}", seen.enough.text(plan.units));
    println!("{} {:?} {:?}", seen.holds, seen.heats, seen.minutes);
    for row in &seen.steps {
        println!(
            "{} {:.1?} {:.1?} {:.1?} {}",
            row.step, row.length, row.mass, row.bands, row.as_planned
        );
    }
}
