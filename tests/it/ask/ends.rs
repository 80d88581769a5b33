//! Where the laws end: what is refused, what is named, and ranges that hold what really varies.

use super::*;
use crate::oracle::lumped::lumped;

fn scale(steel: &str, temperature: &str) -> Vec<String> {
    let args = [
        "scale",
        "--time",
        "10",
        "--temperature",
        temperature,
        "--steel",
        steel,
    ];
    args.map(str::to_owned).to_vec()
}

fn told(args: &[String]) -> Vec<&str> {
    args.iter().map(String::as_str).collect()
}

#[test]
fn steels_that_a_law_does_not_know_are_refused() {
    for (args, why) in [
        (
            told(&scale("c=0.5 cr=18 ni=8", "1100")),
            "chromium 18 % is outside",
        ),
        (
            vec![
                "force",
                "--width",
                "40",
                "--thickness",
                "30",
                "--bite",
                "25",
                "--temperature",
                "1050",
                "--steel",
                "c=0.75 w=18 v=1",
            ],
            "tungsten 18 % is outside",
        ),
        (
            vec![
                "carbon",
                "--stack",
                "C125S 4mm + 1084 4mm",
                "--temperature",
                "1390",
                "--time",
                "5",
            ],
            "C125S is not plain austenite at 1390 C",
        ),
        (
            vec![
                "carbon",
                "--stack",
                "c=1.4 4mm + 1084 4mm",
                "--temperature",
                "800",
                "--time",
                "5",
            ],
            "carbide is left in it",
        ),
        (
            vec![
                "carbon",
                "--stack",
                "1018 4mm + 1084 4mm",
                "--temperature",
                "780",
                "--time",
                "5",
            ],
            "ferrite is left in it",
        ),
        (told(&scale("C125S", "1390")), "begins to melt"),
    ] {
        let said = refused(&args);
        assert!(said.contains(why), "{args:?}: {said}");
    }
}

#[test]
fn chromium_widens_the_range_of_scale_downwards_alone() {
    let of = |steel: &str, key: &str| figure(&told(&scale(steel, "1150")), key);
    let (plain, bearing) = ("1084", "52100");
    assert!(of(bearing, "metal_per_face_low_mm") < 0.95 * of(plain, "metal_per_face_low_mm"));
    near(
        of(bearing, "metal_per_face_high_mm"),
        of(plain, "metal_per_face_high_mm"),
        1e-9,
    );
}

#[test]
fn elements_that_no_law_counts_are_named() {
    let said = words(&told(&scale("c=0.8 mo=0.5 w=1.2", "1150")));
    assert!(
        said.ends_with("not in the law: Mo 0.5 %, W 1.2 %"),
        "{said}"
    );
    let plain = json(&told(&scale("1084", "1150")));
    assert_eq!(plain["answer"]["ignored"].as_array().unwrap().len(), 0);
}

#[test]
fn a_grade_is_near_in_name_or_carbon_or_not_at_all() {
    let of = |grade: &str| refused(&["window", "--steel", grade]);
    assert!(of("1085").contains("nearest: 1084"));
    assert!(of("1070").contains("nearest: 1075"));
    assert!(of("15N2O").contains("nearest: 15N20"));
    for strange in ["M2", "D2", "5160", "1060", "440C"] {
        assert!(
            of(strange).contains("no grade of the table is near it"),
            "{strange}"
        );
    }
}

#[test]
fn the_hearth_under_a_bar_and_the_draught_about_it_lie_in_the_range() {
    let soak = asked("soak --width 40 --thickness 12 --fire 1200 --within 30");
    let range = |args: &[&str], name: &str| {
        (
            figure(args, &format!("{name}_low_s")),
            figure(args, &format!("{name}_high_s")),
        )
    };
    let (low, high) = range(&soak, "soak");
    let hearth = lumped([40.0, 12.0], 64.0, [20.0, 1170.0], 1200.0, [0.8, 25.0]);
    let open = lumped([40.0, 12.0], 104.0, [20.0, 1170.0], 1200.0, [0.8, 25.0]);
    assert!(low < open && open < high, "{low} {open} {high}");
    assert!(low < hearth && hearth < high, "{low} {hearth} {high}");
    let said = [&soak[..], &["--lies", "free"]].concat();
    assert!(hearth > range(&said, "soak").1);

    let cooling = asked("cooling --width 20 --thickness 20 --start 1200 --down-to 850");
    let (low, high) = range(&cooling, "cooling");
    // 20 W/m2/K is still air over a hot bar, 45 a draught.
    for film in [20.0, 45.0] {
        let time = lumped([20.0, 20.0], 80.0, [1200.0, 850.0], 20.0, [0.8, film]);
        assert!(low < time && time < high, "{film}: {low} {time} {high}");
    }
}

#[test]
fn contact_is_told_where_it_takes_most_of_the_heat() {
    let bar = asked("cooling --width 40 --thickness 5 --start 1150 --down-to 850");
    assert!(words(&bar).contains("the contact takes most of its heat"));
    let thick = asked("cooling --width 60 --thickness 60 --start 1150 --down-to 850 --on anvil");
    assert!(!words(&thick).contains("takes most"));
}
