use super::{Form, Group, items};
use crate::plan::{Machine, Pattern};
use crate::units::{Kilonewtons, Mm, Units};

fn form(pairs: &[(&str, &str)]) -> Form {
    let mut form = Form::default();
    for (key, text) in pairs {
        form.put(key, text).unwrap();
    }
    form
}

fn short() -> Form {
    form(&[("length", "210"), ("width", "46")])
}

#[test]
fn two_sizes_are_a_wish() {
    let wish = short().wish().unwrap();
    assert!(wish.goal.blade.length.near(Mm(210.0), 1e-9));
    assert!(wish.goal.blade.spine_tip.near(Mm(2.0), 1e-9));
    assert_eq!(wish.title, "Random-pattern blade, 210 mm");
    assert_eq!(wish.rack.len(), 2);
    assert_eq!(wish.rack[1].steel.steel.grade, "75Ni8");
    assert_eq!((wish.goal.bands_least, wish.goal.bands_most), (60, 150));
    assert_eq!(wish.shop.machine, Machine::Hand);
    assert!(wish.forged);
    let mut three = short();
    three.put("pattern", "three-layer").unwrap();
    let wish = three.wish().unwrap();
    assert_eq!((wish.goal.bands_least, wish.goal.bands_most), (3, 3));
}

#[test]
fn every_item_is_read() {
    let wish = form(&[
        ("units", "in"),
        ("length", "4"),
        ("width", "1-1/8"),
        ("spine", "3/16"),
        ("spine-tip", "3/32"),
        ("edge", "0.5mm"),
        ("bevel", "60 %"),
        ("tang", "4-3/8 x 1 x 3/16 to 1/2 x 1/8"),
        ("bolster", "10 x 20 x 14 mm"),
        ("knives", "2"),
        ("make", "forged"),
        ("title", "Two of a kind"),
        ("pattern", "ladder"),
        ("bands", "70 to 110"),
        ("edge-margin", "3 mm"),
        ("steel", "1084=1/8, 3/16 x 1-1/4; 15N20=1/16 x 1-1/4"),
        ("press", "16t"),
        ("die", "1"),
        ("tallest", "3"),
        ("widest", "2"),
        ("longest", "18"),
        ("shortest", "2"),
        ("kerf", "0"),
        ("grind", "1/32"),
        ("trim", "1/2"),
        ("scale", "3 %"),
        ("mark", "1/32"),
        ("fire", "2240"),
        ("oil", "130 F"),
        ("welds", "5"),
        ("spare", "0.2"),
    ])
    .wish()
    .unwrap();
    let inch = Mm::from_inch;
    assert_eq!(wish.units, Units::Inch);
    assert_eq!(wish.goal.pattern, Pattern::Ladder);
    let tang = wish.goal.tang.unwrap();
    assert!(tang.length.near(inch(4.375), 1e-9) && tang.thickness_end.near(inch(0.125), 1e-9));
    assert!(wish.goal.bolster.unwrap().length.near(Mm(10.0), 1e-9));
    assert!(wish.goal.edge_margin.unwrap().near(Mm(3.0), 1e-9));
    assert_eq!(wish.rack.len(), 3);
    assert!(wish.rack[1].thickness.near(inch(0.1875), 1e-9));
    assert!(wish.rack[2].width.unwrap().near(inch(1.25), 1e-9));
    let force = Kilonewtons::from_us_tons(16.0);
    assert_eq!(wish.shop.machine, Machine::Press { force });
    assert!((wish.shop.fire.fahrenheit() - 2240.0).abs() < 1e-9);
    assert!((wish.shop.oil.unwrap().fahrenheit() - 130.0).abs() < 1e-9);
    let allow = &wish.shop.allowances;
    assert!(allow.kerf.near(Mm::ZERO, 1e-12) && allow.longest.unwrap().near(inch(18.0), 1e-9));
    assert_eq!((wish.most_welds, wish.goal.knives), (5, 2));
    assert!((wish.spare.0 - 0.2).abs() < 1e-12);
    assert_eq!(wish.title, "Two of a kind");
}

#[test]
fn what_is_wrong_is_said_with_its_item() {
    let cases = [
        ("length", "", "length: is missing"),
        ("length", "long", "'long' is not a number"),
        ("length", "0", "greater than zero"),
        ("width", "300", "300 mm is more than the length of 210 mm"),
        ("spine", "60", "more than the width"),
        ("edge", "9", "more than the spine"),
        ("units", "cubits", "write mm or in"),
        ("bevel", "0", "greater than zero"),
        (
            "oil",
            "200 C",
            "oil at 200 C is no quench; write at most 120 C",
        ),
        ("tang", "100 x 20", "'100 x 20' has 2 of 3 sizes"),
        ("tang", "100 x 20 x 3 to 12", "has 1 of 2 sizes"),
        ("knives", "2.5", "not a whole number"),
        ("knives", "0", "outside 1 to 1000"),
        ("make", "cast", "write forged or ground"),
        ("pattern", "lader", "write ladder"),
        ("pattern", "?", "one of random, ladder"),
        ("bands", "many", "'many' is not a count"),
        ("bands", "150-60", "do not rise"),
        ("bands", "0-3", "begin at 1"),
        ("steel", "1084", "no thickness"),
        ("steel", "1085=3; 15N20=2", "nearest: 1084"),
        (
            "steel",
            "1084=4,6; 15N20=3",
            "two thicknesses or a decimal comma",
        ),
        ("steel", "1084=6", "two that etch unlike"),
        ("steel", "1084=6 x 40; 15N20=3 x 30", "one width"),
        (
            "steel",
            "1084=1mm,2mm,3mm,4mm,5mm,6mm,7mm; 15N20=1mm,2mm,3mm,4mm,5mm,6mm",
            "at most 12",
        ),
        ("press", "strong", "not a number"),
        ("press", "0.0", "greater than zero"),
        ("scale", "60 %", "at most 50 %"),
        ("fire", "300", "not a welding heat"),
        ("welds", "99", "outside 1 to 20"),
    ];
    for (key, text, said) in cases {
        let mut one = short();
        one.put(key, text).unwrap();
        let why = one.wish().unwrap_err();
        assert_eq!(why.key, key, "{why}");
        assert!(why.to_string().contains(said), "{why}");
        assert_eq!(one.trouble(key), Some(why));
    }
    let mut both = short();
    both.put("press", "25t").unwrap();
    both.put("hammer", "25kg").unwrap();
    assert!(
        both.wish()
            .unwrap_err()
            .to_string()
            .contains("a press is there too")
    );
    let mut ground = short();
    ground.put("make", "ground").unwrap();
    ground.put("bolster", "10x20x14").unwrap();
    assert_eq!(ground.wish().unwrap_err().key, "bolster");
    let why = ground.put("lenght", "3").unwrap_err().to_string();
    assert!(why.contains("write length"), "{why}");
}

#[test]
fn a_wish_file_and_the_command_give_the_same_form() {
    let text = "units = \"in\"\nlength = 4\nwidth = \"1-1/8\"\nbands = [70, 110]\n\
        steel = [\"1084=1/8\", \"15N20=1/16\"]\nspare = 0.2\n";
    let form = Form::from_toml(text).unwrap();
    assert_eq!(form.text("bands"), "70 to 110");
    assert_eq!(form.text("steel"), "1084=1/8; 15N20=1/16");
    form.wish().unwrap();
    assert_eq!(
        form.command(),
        "anvilside draft --units in --length 4 --width 1-1/8 --bands '70 to 110' \
         --steel 1084=1/8 --steel 15N20=1/16 --spare 0.2"
    );
    let mut over = Form::from_toml("length = 5").unwrap();
    over.over(&form);
    assert_eq!(over, form);
    for (bad, said) in [
        ("lenght = 4", "write length"),
        ("length = true", "boolean"),
        ("length = [1]", "array"),
        ("a = 1\nlength = = 4", "line 2"),
    ] {
        let why = Form::from_toml(bad).unwrap_err().to_string();
        assert!(why.contains(said), "{why}");
    }
}

#[test]
fn the_table_is_whole() {
    let mut keys: Vec<&str> = items().iter().map(|item| item.key).collect();
    assert_eq!(short().missing(), [""; 0]);
    assert_eq!(Form::default().missing(), ["length", "width"]);
    for item in items() {
        assert!(!item.words.is_empty() && !item.group.heading().is_empty());
        assert_eq!(
            item.usual(Units::Mm) == "none",
            item.usual(Units::Inch) == "none"
        );
    }
    // Groups stand together, in the order of the screen.
    let mut groups: Vec<Group> = items().iter().map(|item| item.group).collect();
    groups.dedup();
    assert_eq!(groups.len(), 5);
    keys.sort_unstable();
    keys.dedup();
    assert_eq!(keys.len(), items().len());
    let mut inch = short();
    inch.put("units", "in").unwrap();
    inch.put("length", "8").unwrap();
    inch.put("width", "1-3/4").unwrap();
    inch.wish().unwrap();
}

#[test]
fn a_choice_steps_through_its_words() {
    let mut form = short();
    assert!(form.step("units") && form.units() == Units::Inch);
    assert!(form.step("units") && form.units() == Units::Mm);
    for _ in 0..10 {
        assert!(form.step("pattern"));
    }
    assert_eq!(form.text("pattern"), "random");
    assert!(!form.step("length") && !Form::is_choice("length"));
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig { failure_persistence: None, ..Default::default() })]

    #[test]
    fn any_text_is_read_or_refused(
        at in 0..32_usize,
        text in "[0-9a-z x=,;./*-]{0,24}",
    ) {
        let mut form = short();
        form.put(items()[at % items().len()].key, &text).unwrap();
        if let Err(why) = form.wish() {
            proptest::prop_assert!(why.to_string().len() > why.key.len() + 4);
        }
    }
}
