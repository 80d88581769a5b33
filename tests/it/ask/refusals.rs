//! What cannot be answered is said in one sentence, with exit code 2.

use super::*;

#[test]
fn what_is_typed_wrongly_names_its_flag() {
    for (args, why) in [
        (
            &["size", "--hot", "wide", "--temperature", "1000"][..],
            "--hot: 'wide' is not a number",
        ),
        (
            &["size", "--hot", "0", "--temperature", "1000"],
            "--hot: '0' must be greater than zero",
        ),
        (
            &["size", "--hot", "10 kg", "--temperature", "1000"],
            "use mm, cm or in",
        ),
        (
            &["size", "--hot", "10", "--temperature", "warm"],
            "--temperature: 'warm'",
        ),
        (
            &[
                "size",
                "--hot",
                "10",
                "--temperature",
                "1000",
                "--off",
                "3 mm",
            ],
            "use C or F",
        ),
        (&["size", "--temperature", "1000"], "--hot"),
        (&["mass", "--width", "40"], "--thickness"),
        (
            &["scale", "--temperature", "1200", "--time", "10 x"],
            "--time: '10 x' has the unit 'x'",
        ),
        (
            &[
                "scale",
                "--temperature",
                "1200",
                "--time",
                "10",
                "--heats",
                "0",
            ],
            "--heats must be 1 or more",
        ),
        (
            &["hardness", "--steel", "1084", "--wanted", "hard"],
            "--wanted: 'hard'",
        ),
        (&["window"], "--steel"),
        (
            &[
                "mass", "--width", "40", "--length", "100", "--stack", "1084",
            ],
            "'1084' is not a layer",
        ),
        (&["sources", "--law", "sectoin"], "'section'"),
        (
            &["restacks", "--bands", "9", "--least", "20", "--most", "10"],
            "--least must not be over --most",
        ),
        (
            &["restacks", "--bands", "50", "--least", "20", "--most", "40"],
            "only adds",
        ),
        (
            &[
                "restacks", "--bands", "9", "--least", "20", "--most", "40", "--pieces", "1",
            ],
            "from 2 to 16",
        ),
        (
            &[
                "restacks",
                "--bands",
                "9",
                "--least",
                "20",
                "--most",
                "40",
                "--restacks",
                "9",
            ],
            "5 or fewer",
        ),
        (
            &[
                "restacks", "--bands", "9", "--least", "20", "--most", "40", "--width", "40",
            ],
            "--thickness",
        ),
        (
            &["blade", "--length", "150", "--width", "30", "--spine", "3"],
            "--tip-spine",
        ),
        (
            &[
                "restacks", "--bands", "9.5", "--least", "20", "--most", "40",
            ],
            "--bands: '9.5' is not a whole number",
        ),
        (
            &[
                "soak",
                "--width",
                "20",
                "--thickness",
                "20",
                "--fire",
                "1500",
            ],
            "fire 1500 C is outside 20 to 1400 C",
        ),
    ] {
        let said = refused(args);
        assert!(said.contains(why), "{args:?}: {said}");
    }
}

#[test]
fn an_unknown_steel_offers_the_nearest() {
    let said = refused(&[
        "size",
        "--hot",
        "10",
        "--temperature",
        "1000",
        "--steel",
        "1085",
    ]);
    assert!(
        said.contains("no steel is called '1085'; nearest: 1084"),
        "{said}"
    );
    let said = refused(&[
        "size",
        "--hot",
        "10",
        "--temperature",
        "1000",
        "--steel",
        "q=1",
    ]);
    assert!(said.contains("'q' is not an element"), "{said}");
}

#[test]
fn what_lies_outside_a_law_says_the_range_in_the_units_asked_for() {
    let force = asked("force --width 50 --thickness 50 --bite 25 --temperature 600");
    assert!(
        refused(&force)
            .ends_with("temperature 600 C is outside 700 to 1300 C, where hot flow stress holds")
    );
    let inch = asked("force --width 2 --thickness 2 --bite 1 --temperature 1112 --units in");
    assert!(
        refused(&inch)
            .ends_with("temperature 1112 F is outside 1292 to 2372 F, where hot flow stress holds")
    );
    let hotter = asked("soak --width 20 --thickness 20 --fire 1200 --start 1300");
    let said = refused(&hotter);
    assert!(
        said.contains("1300 C") && said.contains("in a fire at 1200 C"),
        "{said}"
    );
    let soak = asked("soak --width 0.1 --thickness 30 --fire 1250");
    assert!(refused(&soak).contains("side 0.1 mm is outside 0.5 to 500 mm"));
    let cold = asked("cooling --width 20 --thickness 20 --start 800 --down-to 900");
    assert!(refused(&cold).contains("--start must be hotter than --down-to"));
    let never = asked("cooling --width 20 --thickness 20 --start 800 --down-to 20");
    assert!(
        refused(&never).contains("never gets to 20 C"),
        "{}",
        refused(&never)
    );
    let temper = ["hardness", "--steel", "1084", "--temper", "600"];
    assert!(refused(&temper).contains("where tempering holds"));
    let carbon = asked("carbon --stack '1095 1mm + 15N20 1mm' --temperature 700 --time 10");
    assert!(refused(&carbon).contains("temperature 700 C is outside 727 to 1400 C"));
    let tall =
        asked("carbon --stack '1095 1mm + 15N20 1mm' --layers 1e9 --temperature 1100 --time 10");
    assert!(refused(&tall).contains("--layers: '1e9' is not a number"));
    let tall = tall.into_iter();
    let tall: Vec<&str> = tall
        .map(|text| if text == "1e9" { "100000" } else { text })
        .collect();
    assert!(refused(&tall).contains("height of the stack 100000 mm is outside 0.01 to 500 mm"));
    let edge = asked("blade --length 150 --width 30 --spine 3 --tip-spine 1 --edge 4");
    assert!(refused(&edge).contains("edge 4 mm is outside 0 to 3 mm"));
    let thicker = asked("spread --width 20 --thickness 20 --length 100 --bite 25 --to 30");
    assert!(refused(&thicker).contains("thickness after the pass 30 mm is outside"));
    let plan = [&thicker[..], &["--to-width", "20"]].concat();
    assert!(refused(&plan).contains("does not thicken"));
    let mild = ["hardness", "--steel", "1018", "--temper", "200"];
    assert!(refused(&mild).contains("carbon"));
}

#[test]
fn a_refusal_is_one_line_and_names_the_program() {
    let said = refused(&["size", "--hot", "x", "--temperature", "1000", "--json"]);
    assert!(said.starts_with("anvilside ask: "));
    assert_eq!(said.lines().count(), 1);
}
