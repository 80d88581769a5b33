use super::{SAMPLES, Start, forecast};
use crate::billet::Kind;
use crate::plan::{dry_run, read};
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

/// Mean specific heat of EN 1993-1-2:2005 3.4.1.2, J/kg/K, written out anew.
fn specific_heat(at: f64) -> f64 {
    match at {
        at if at > 900.0 => 650.0,
        at if at > 735.0 => 545.0 + 17_820.0 / (at - 731.0),
        at if at > 600.0 => 666.0 + 13_002.0 / (738.0 - at),
        at => 425.0 + 0.773 * at - 1.69e-3 * at * at + 2.22e-6 * at.powi(3),
    }
}

/// Minutes for a lumped bar from cold to `to` C in a fire, second by second; emissivity 0.9, film 25 W/m2/K.
fn minutes_to_heat(width: f64, thick: f64, to: f64, fire: f64) -> f64 {
    let fourth = |celsius: f64| (celsius + 273.15_f64).powi(4);
    let per_area = 7850.0 * width * thick / (2.0 * (width + thick)) / 1000.0;
    let (mut at, mut seconds) = (20.0, 0.0);
    while at < to && seconds < 1e5 {
        let flux = 0.9 * 5.670_374e-8 * (fourth(fire) - fourth(at)) + 25.0 * (fire - at);
        at += 0.25 * flux / (per_area * specific_heat(at));
        seconds += 0.25;
    }
    seconds / 60.0
}

/// The low end of a weld's minutes is no less than the fire needs to bring its pile to welding heat, and its
/// soak; the low end of its day no less than that of its welds. On every sample plan.
#[test]
fn no_weld_is_foreseen_sooner_than_its_pile_is_hot() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut welds = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|end| end != "toml") {
            continue;
        }
        let plan = read(&std::fs::read_to_string(&path).unwrap()).unwrap().0;
        let lessons = learn(&[], &ShopBook::default(), Some(&plan));
        let seen = forecast(&Start::of_plan(&plan), &lessons, 3, 150);
        let first = plan.first_billet();
        let walk = dry_run(&plan, 0, &first);
        let mut today = 0.0;
        for (at, (step, row)) in plan.steps.iter().zip(&seen.steps).enumerate() {
            let before = if at == 0 {
                &first
            } else {
                &walk.rows[at - 1].billet
            };
            let Some(window) = step.window.filter(|_| step.kind() == Kind::Weld) else {
                continue;
            };
            // One that comes out of another fire is warm already.
            let last = at.checked_sub(1).map(|at| &plan.steps[at]);
            let warm = last.is_some_and(|last| last.kind().is_hot() && last.day == step.day);
            let bar = &before.in_hand(&step.bar).bar;
            let to = if warm { 20.0 } else { window.low.0 };
            let hot = minutes_to_heat(bar.width.0, bar.thickness.0, to, plan.shop.fire.0);
            let soak = step.soak.map_or(0.0, crate::units::Seconds::minutes);
            let need = 0.98 * (hot + soak);
            assert!(
                row.minutes.low >= need,
                "{path:?} {}: {} under {need}",
                step.id,
                row.minutes.low
            );
            welds += 1;
            if step.day == 1 {
                today += need;
            }
        }
        assert!(
            seen.today.low >= today,
            "{path:?}: {} under {today}",
            seen.today.low
        );
    }
    assert!(welds > 20, "{welds}");
}
