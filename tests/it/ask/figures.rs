//! Answers against figures published elsewhere, in both systems.

use super::*;

#[test]
fn size_is_the_standards_elongation() {
    // EN 1993-1-2:2005 3.4.1.1 (3.1a): at 600 C 1.2e-5*600 + 0.4e-8*600^2 - 2.416e-4 = 8.3984e-3.
    let mm = asked("size --cold 1000 --temperature 600 --steel 1018");
    near(figure(&mm, "hot_mm"), 1008.398, 0.001);
    let inch = asked("size --cold 10 --temperature 1112 --steel 1018 --units in");
    near(figure(&inch, "hot_mm"), 254.0 * 1.008_398_4, 0.001);
    assert!(words(&inch).starts_with("10 in cold is 10.08 in ("));
    // There and back.
    let hot = asked("size --hot 1008.398 --temperature 600 --steel 1018");
    near(figure(&hot, "cold_mm"), 1000.0, 0.001);
}

#[test]
fn mass_is_what_bar_tables_give() {
    // Stockholders' tables of flat bar at 7.85 g/cm3 (from memory): 50 x 10 mm 3.93 kg/m, 25 mm round
    // 3.85 kg/m; of 1 x 1 in square bar 3.40 lb/ft (AISC Manual, 0.2836 lb/in3, from memory).
    let flat = asked("mass --width 50 --thickness 10 --length 1000 --steel 1018");
    near(figure(&flat, "mass_g"), 3925.0, 0.1);
    let round = asked("mass --diameter 25 --length 1000 --steel 1018");
    near(figure(&round, "mass_g"), 3853.0, 1.0);
    let foot = asked("mass --width 1 --thickness 1 --length 12 --steel 1018 --units in");
    near(figure(&foot, "mass_g") / 453.592_37, 3.40, 0.01);
    assert!(words(&foot).contains("3.403 lb"), "{}", words(&foot));
    // Weight to length and back.
    let length = asked("mass --width 50 --thickness 10 --weight '3.925 kg' --steel 1018");
    near(figure(&length, "length_mm"), 1000.0, 0.01);
}

#[test]
fn soak_and_cooling_are_those_of_a_finer_grid() {
    // scipy 2-D reference of the check rows (tests/reference/section.py): 30 mm square into 1250 C,
    // core within 20 K after 376 s; 20 mm square from 1250 to a mean of 900 C in air after 57.8 s.
    let soak = asked("soak --width 30 --thickness 30 --fire 1250");
    near(figure(&soak, "soak_s"), 376.0, 4.0);
    let inch =
        asked("soak --width 30mm --thickness 30mm --fire 2282 --start 68 --within 36 --units in");
    near(figure(&inch, "soak_s"), 376.0, 4.0);
    let cooling = asked("cooling --width 20 --thickness 20 --start 1250 --down-to 900");
    near(figure(&cooling, "cooling_s"), 57.8, 0.3);
    assert!(words(&cooling).contains("after 58 s ("));
    let anvil = [&cooling[..], &["--on", "anvil"]].concat();
    assert!(figure(&anvil, "cooling_s") < figure(&cooling, "cooling_s"));
}

#[test]
fn scale_follows_the_parabola() {
    // Paidassi's rate (Chen and Yuen, Oxid. Met. 59 (2003) 433, from memory), 5.980e-6 g2/cm4/s at
    // 1200 C: 600 s give 0.0599 g/cm2 of oxygen, 0.2524 mm of metal.
    let hold = ["scale", "--temperature", "1200", "--time", "10 min"];
    near(figure(&hold, "metal_per_face_mm"), 0.2524, 0.001);
    let inch = asked("scale --temperature 2192 --time '600 s' --units in");
    near(figure(&inch, "metal_per_face_mm"), 0.2524, 0.001);
    let longer = ["scale", "--temperature", "1200", "--time", "40 min"];
    near(figure(&longer, "metal_per_face_mm"), 2.0 * 0.2524, 0.002);
    let section = [&hold[..], &["--width", "30", "--thickness", "30"]].concat();
    near(figure(&section, "section_lost_percent"), 3.34, 0.02);
}

#[test]
fn force_is_flow_stress_times_area() {
    // Shida (J. Japan Soc. Technol. Plasticity 10 (1969) 610) at 0.8 % C, 1000 C, strain 0.2, 1 per
    // second by hand: 14.05 kgf/mm2 (1.0 of hardening) times 0.1^m, m 0.151 to 0.7063: 97.3 MPa.
    let square =
        asked("force --width 50 --thickness 50 --bite 50 --temperature 1000 --steel c=0.8");
    // A cube under flat dies: pressure over flow stress 1.0 (Hosford and Caddell's slab at b = h,
    // offset to 1.0); 50 x 50 mm.
    let mpa = figure(&square, "force_kn") * 1000.0 / 2500.0;
    near(mpa, 97.3, 0.3);
    let inch = asked(
        "force --width 50mm --thickness 50mm --bite 50mm --temperature 1832 --steel c=0.8 --units in --press 50t",
    );
    near(figure(&inch, "force_kn") * 1000.0 / 2500.0, 97.3, 0.3);
    assert!(words(&inch).contains("US tons"));
    assert_eq!(json(&inch)["answer"]["press_verdict"], "does it");
}

#[test]
fn a_hammer_strikes_with_half_m_v_squared() {
    // 50 lb at 4 m/s: 22.68 kg * 16 / 2 = 181.4 J.
    let blow = asked("force --width 40 --thickness 40 --bite 25 --temperature 1100 --ram '50 lb'");
    near(figure(&blow, "blow_j"), 181.44, 0.01);
    assert!(figure(&blow, "blow_off_mm") > 0.8);
}

#[test]
fn spread_is_tomlinson_and_stringers() {
    // s = 0.14 + 0.36 b/w - 0.054 (b/w)^2 (J. Iron Steel Inst. 193 (1959) 157, from memory): b/w 0.5,
    // s 0.3065; 50 to 40 mm: width 50 * 1.25^0.3065 = 53.54, length 200 * 1.25^0.6935 = 233.5.
    let pass = asked("spread --width 50 --thickness 50 --length 200 --bite 25 --to 40");
    near(figure(&pass, "width_mm"), 53.54, 0.01);
    near(figure(&pass, "length_mm"), 233.47, 0.02);
    let inch = asked("spread --width 2 --thickness 2 --length 8 --bite 1 --to 1.6 --units in");
    near(
        figure(&inch, "width_mm") / 50.8,
        1.25_f64.powf(0.3065),
        1e-4,
    );
    let plan =
        asked("spread --width 42 --thickness 56 --length 100 --bite 25 --to 14 --to-width 42");
    near(figure(&plan, "length_mm"), 400.0, 0.01);
}

#[test]
fn window_is_the_handbooks() {
    // Andrews 1965 by hand for the table's SAE 1084 (Mn 0.75, Si 0.2): 723 - 10.7*0.75 + 29.1*0.2.
    let one = ["window", "--steel", "1084"];
    near(figure(&one, "ac1_c"), 720.8, 0.1);
    // Heat Treater's Guide (from memory): SAE 1084 austenitised at 800 to 830 C, within 15 C.
    near(figure(&one, "harden_low_c"), 800.0, 15.0);
    near(figure(&one, "harden_high_c"), 830.0, 15.0);
    let pair = [
        "window", "--steel", "1084", "--steel", "15N20", "--units", "in",
    ];
    assert_eq!(json(&pair)["answer"]["one_heat_suits_all"], true);
    assert!(words(&pair).contains(" F ["));
    let soft = json(&["window", "--steel", "1018"]);
    assert_eq!(soft["answer"]["soft"][0], "SAE 1018");
    assert!(soft["answer"]["harden_low_c"].is_null());
}

#[test]
fn hardness_is_what_tables_of_tempers_give() {
    // A stockist's table of W2 (1.00 % C, seen): 59 HRC after 260 C; one hour assumed.
    let w2 = [
        "hardness", "--steel", "W2", "--temper", "260", "--time", "1 h",
    ];
    near(figure(&w2, "hardness_hrc"), 59.0, 0.3);
    let inch = [
        "hardness", "--steel", "W2", "--temper", "500", "--time", "60", "--units", "in",
    ];
    near(figure(&inch, "hardness_hrc"), 59.0, 0.3);
    // ASTM A255 initial hardness at 0.6 % C: 64.6 HRC.
    let fresh = ["hardness", "--steel", "c=0.6 mn=0.7"];
    near(figure(&fresh, "as_quenched_hrc"), 64.57, 0.05);
    // And back: the temper for 59 HRC.
    let back = [
        "hardness", "--steel", "W2", "--wanted", "59", "--time", "1 h",
    ];
    near(figure(&back, "temper_c"), 260.0, 3.0);
    // ASTM A255-10 example of an ideal diameter, and Grossmann's plate: a thicker blade needs more.
    let through = asked("hardness --steel O1 --thickness 6 --quench oil");
    assert_eq!(
        json(&through)["answer"]["through_verdict"],
        "hardens through"
    );
}

#[test]
fn carbon_levels_as_crank_has_it() {
    // Crank, The Mathematics of Diffusion: equal layers are level to a twentieth at theta 0.28225 l^2
    // (series worked out with scipy in tests/reference/series.py); Agren's diffusivity (Scripta Metall.
    // 20 (1986) 1507) of 0.8 % C at 1150 C by hand: y 0.037496, 1.7305e-10 m2/s. Layers of 0.1 mm: 16.31 s.
    let tall = asked(
        "carbon --stack 'c=0.9 1mm + c=0.7 1mm' --layers 401 --height 40.1 --temperature 1150 --time '16.31 s'",
    );
    near(figure(&tall, "level_s"), 16.31, 0.05);
    // After that time the means of the two stand a twentieth of 0.2 apart.
    let steels = json(&tall)["answer"]["steels"].clone();
    let held = |n: usize| steels[n]["carbon_percent"].as_f64().unwrap();
    near(held(0) - held(1), 0.01, 0.001);
    near(f64::midpoint(held(0), held(1)), 0.8, 0.001);
    let inch = asked(
        "carbon --stack 'c=0.9 0.1mm + c=0.7 0.1mm' --layers 401 --temperature 2102 --time '16.31 s' --units in",
    );
    near(figure(&inch, "level_s"), 16.31, 0.05);
    // MacEwan's nickel (Can. J. Chem. 37 (1959) 1629, from memory) at 1150 C for an hour: 3.903e-15 m2/s,
    // 3.6248 root(D t) = 0.0136 mm.
    let nickel =
        asked("carbon --stack '1095 1mm + 15N20 1mm' --layers 9 --temperature 1150 --time 60");
    near(figure(&nickel, "nickel_blur_mm"), 0.0136, 0.0002);
}

#[test]
fn restacks_are_the_factorings() {
    // By hand: bands n become k (n - 1) + 1 where like steels meet; 9 to 129 is times 16, which is 4x4,
    // 2x8, 8x2, 2x2x4, 2x4x2, 4x2x2, and 9 to 121 is times 15, 3x5 and 5x3.
    let merge = [
        "restacks", "--bands", "9", "--least", "120", "--most", "140",
    ];
    near(figure(&merge, "ways"), 8.0, 1e-9);
    let stay = [
        "restacks", "--bands", "8", "--least", "120", "--most", "140", "--units", "in",
    ];
    near(figure(&stay, "ways"), 8.0, 1e-9);
    near(figure(&stay, "bands"), 128.0, 8.1);
    // On the metal: 345 mm less two trims of 12 and three cuts of 2 is four pieces of 78.75 mm.
    let metal = asked(
        "restacks --bands 9 --least 30 --most 40 --width 42 --thickness 14 --length 345 --trim 12 --grind 0 --scale '0 %' --pieces 4",
    );
    near(figure(&metal, "shortest_piece_mm"), 78.75, 0.001);
    near(figure(&metal, "volume_mm3"), 4.0 * 78.75 * 42.0 * 14.0, 0.5);
    let none = json(&[
        "restacks", "--bands", "9", "--least", "100", "--most", "104",
    ]);
    assert!(none["answer"]["bands"].is_null());
    assert!(none["text"].as_str().unwrap().contains("nearest under"));
    let there = words(&["restacks", "--bands", "9", "--least", "5", "--most", "20"]);
    assert!(there.contains("there already"));
}

#[test]
fn a_blade_is_its_integrals() {
    // Prismatoid by hand for a block: 100 x 20 x 3 mm without bevel, square end (curve 1000): 6000 mm3.
    let block =
        asked("blade --length 100 --width 20 --spine 3 --tip-spine 3 --bevel '0 %' --curve 1000");
    near(figure(&block, "blade_mm3"), 6000.0, 7.0);
    // A wedge in section, to a sharp edge, is half of that.
    let wedge = asked(
        "blade --length 100 --width 20 --spine 3 --tip-spine 3 --edge 0 --curve 1000 --over 2 --yield '50 %'",
    );
    near(figure(&wedge, "blade_mm3"), 3000.0, 4.0);
    near(
        figure(&wedge, "blank_mm3") / figure(&wedge, "finished_mm3"),
        2.0,
        1e-6,
    );
    near(
        figure(&wedge, "first_stack_mm3") / figure(&wedge, "finished_mm3"),
        4.0,
        1e-6,
    );
    // Tapered tang: L/6 (A0 + 4 Am + A1) = 90/6 (96 + 4*57 + 28) = 5280 mm3.
    let tang = asked(
        "blade --length 6 --width 1 --spine 1/8 --tip-spine 1/16 --tang-length 90mm --tang-width 16mm --tang-thickness 6mm --tang-end-width 8mm --tang-end-thickness 3.5mm --units in",
    );
    near(figure(&tang, "tang_mm3"), 5280.0, 0.001);
}

#[test]
fn sources_lists_every_law_and_its_checks() {
    let (code, out, _) = run(&["sources"]);
    assert_eq!(code, 0);
    for law in anvilside::physics::laws() {
        assert!(
            out.contains(&format!("\n{}: {}", law.key, law.title)),
            "{}",
            law.key
        );
        assert!(out.contains(law.source), "{}", law.key);
    }
    let found: Value = serde_json::from_str(&run(&["sources", "--json"]).1).unwrap();
    let laws = found["laws"].as_array().unwrap();
    let sum: u64 = laws.iter().map(|law| law["checks"].as_u64().unwrap()).sum();
    assert_eq!(found["checks"].as_u64().unwrap(), sum);
    assert!(sum >= 150 && found["published"].as_u64().unwrap() >= 60);
    assert!(found["scripted"].as_u64().unwrap() >= 10);
    // The papers say the same: so many figures published and read, so many from memory
    let first = out.lines().next().unwrap();
    let counts: Vec<&str> = first
        .split(|c: char| !c.is_ascii_digit())
        .filter(|word| !word.is_empty())
        .collect();
    let [_, all, read, memory, computed, scripted, practice] = counts[..] else {
        panic!("{first}");
    };
    let root = env!("CARGO_MANIFEST_DIR");
    let paper = |name: &str| {
        let text = std::fs::read_to_string(format!("{root}/{name}")).unwrap();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let front = format!(
        "the {all} checks of the laws by what they stand on: {read} figures published and read, {memory} from memory, \
         {computed} computed by a reference or by hand, {practice} common practice"
    );
    assert!(
        paper("README.md").contains(&front),
        "README.md wants: {front}"
    );
    let house = paper("DEVELOPERS.md");
    for row in [
        format!("| published and read | {read} |"),
        format!("| from memory | {memory} |"),
        format!("| computed | {computed} | {scripted} by"),
        format!("| common practice | {practice} |"),
    ] {
        assert!(house.contains(&row), "DEVELOPERS.md wants: {row}");
    }
    let one: Value =
        serde_json::from_str(&run(&["sources", "--law", "section", "--json"]).1).unwrap();
    assert_eq!(one["laws"].as_array().unwrap().len(), 1);
}

#[test]
fn an_answer_is_the_same_in_both_systems_and_says_where_it_comes_from() {
    let mm = json(&[
        "cooling",
        "--width",
        "25.4",
        "--thickness",
        "25.4",
        "--start",
        "1200",
        "--down-to",
        "900",
    ]);
    let inch = json(&[
        "cooling",
        "--width",
        "1",
        "--thickness",
        "1",
        "--start",
        "2192",
        "--down-to",
        "1652",
        "--units",
        "in",
    ]);
    let keys = |value: &Value| {
        value["answer"]
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect::<Vec<_>>()
    };
    assert_eq!(keys(&mm), keys(&inch));
    let of = |value: &Value, key: &str| value["answer"][key].as_f64().unwrap();
    for key in ["cooling_s", "cooling_low_s", "cooling_high_s"] {
        near(of(&mm, key), of(&inch, key), 0.01);
    }
    assert!(of(&mm, "cooling_low_s") < of(&mm, "cooling_s"));
    let law = &mm["laws"][0];
    for key in ["law", "title", "source", "mark", "valid"] {
        assert!(
            law[key].as_str().is_some_and(|text| !text.is_empty()),
            "{key}"
        );
    }
    assert_eq!(mm["topic"], "cooling");
    assert_eq!(mm["format"], 2);
    near(inch["inputs"]["start_c"].as_f64().unwrap(), 1200.0, 1e-6);
}
