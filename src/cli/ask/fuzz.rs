//! Any flags at all: an answer in two lines or a sentence, never a panic, never a figure that is none.

use clap::Parser;
use proptest::prelude::*;

use super::{AskArgs, Asked, answer};
use crate::units::Units;

#[derive(Debug, Parser)]
struct Line {
    #[command(flatten)]
    ask: AskArgs,
}

/// Topics with their flags; the first ones are what a topic cannot do without.
const TOPICS: &[(&str, &[&str])] = &[
    ("size", &["--temperature", "--hot", "--off"]),
    ("mass", &["--width", "--thickness", "--length"]),
    ("mass", &["--diameter", "--weight"]),
    (
        "soak",
        &["--width", "--thickness", "--fire", "--start", "--within"],
    ),
    (
        "cooling",
        &["--width", "--thickness", "--start", "--down-to"],
    ),
    (
        "scale",
        &[
            "--temperature",
            "--time",
            "--heats",
            "--width",
            "--thickness",
        ],
    ),
    (
        "carbon",
        &["--temperature", "--time", "--height", "--layers", "--skin"],
    ),
    (
        "force",
        &[
            "--width",
            "--thickness",
            "--bite",
            "--temperature",
            "--press",
            "--ram",
            "--to",
        ],
    ),
    (
        "spread",
        &[
            "--width",
            "--thickness",
            "--length",
            "--bite",
            "--to",
            "--to-width",
            "--squeeze",
        ],
    ),
    ("window", &["--steel", "--carbon"]),
    (
        "hardness",
        &["--steel", "--temper", "--time", "--thickness", "--carbon"],
    ),
    (
        "hardness",
        &["--steel", "--wanted", "--time", "--thickness"],
    ),
    (
        "restacks",
        &[
            "--bands",
            "--least",
            "--most",
            "--width",
            "--thickness",
            "--length",
            "--kerf",
        ],
    ),
    (
        "restacks",
        &["--bands", "--least", "--most", "--pieces", "--restacks"],
    ),
    (
        "blade",
        &[
            "--length",
            "--width",
            "--spine",
            "--tip-spine",
            "--edge",
            "--bevel",
            "--curve",
            "--over",
        ],
    ),
];

/// What no flag, or not every flag, can take.
const ODD: &[&str] = &[
    "0",
    "1e9",
    "-3",
    "",
    "abc",
    "20000",
    "999999",
    "0.0001",
    "1-3/8 in",
    "3/8",
    "40mm",
    "1100C",
    "2000F",
    "10 min",
    "90 s",
    "25t",
    "220 kN",
    "50 lb",
    "4 %",
    "100 %",
    "1084",
    "15N20",
    "1018",
    "nickel 200",
    "wrought iron",
    "c=0.8",
    "c=2 mn=2",
    "c=90",
    "ni=60",
    "2,3,4",
    "1,1",
    "60 d",
    "500000",
    "0.000001 in",
    "1000000000000000",
];

/// Least and greatest of what a flag is meant for, in mm, C, minutes and the like.
fn meant(flag: &str) -> (u32, u32) {
    match flag {
        "--temperature" | "--start" | "--fire" => (700, 1450),
        "--down-to" => (600, 1000),
        "--temper" => (90, 420),
        "--wanted" => (48, 68),
        "--carbon" | "--over" | "--squeeze" | "--curve" => (1, 3),
        "--heats" | "--restacks" | "--pieces" | "--tip-spine" | "--edge" | "--skin" => (1, 6),
        "--least" | "--bands" => (2, 120),
        "--most" => (90, 900),
        _ => (1, 150),
    }
}

/// Mostly what the flag is meant for.
fn value(flag: &'static str) -> BoxedStrategy<String> {
    let (least, most) = meant(flag);
    let odd = prop::sample::select(ODD).prop_map(str::to_owned);
    if flag == "--steel" {
        let steels = vec![
            "1084",
            "15N20",
            "O1",
            "52100",
            "W2",
            "c=0.7 mn=0.5",
            "1018",
            "80CrV2",
        ];
        let steel = prop::sample::select(steels).prop_map(str::to_owned);
        return prop_oneof![12 => steel, 1 => odd].boxed();
    }
    let number = (least..=most, 0_u32..10).prop_map(|(n, tenth)| match tenth {
        0 => format!("{n}.{}", n % 10),
        _ => n.to_string(),
    });
    prop_oneof![12 => number, 1 => odd].boxed()
}

fn line() -> impl Strategy<Value = (Vec<String>, bool)> {
    let picked = (prop::sample::select(TOPICS), 0_usize..3, 0_u32..6);
    picked.prop_flat_map(|((topic, flags), left_out, system)| {
        let keep = flags.len().saturating_sub(left_out).max(2);
        let kept: Vec<&'static str> = flags.iter().copied().take(keep).collect();
        let values: Vec<BoxedStrategy<String>> = kept.iter().copied().map(value).collect();
        values.prop_map(move |values| {
            let mut args = vec!["ask".to_owned(), topic.to_owned()];
            if topic == "carbon" {
                let stack = "1084 3mm + 15N20 2mm + nickel 200 0.1mm";
                args.extend(["--stack".to_owned(), stack.to_owned()]);
            }
            for (flag, value) in kept.iter().zip(values) {
                args.push(format!("{flag}={value}"));
            }
            (args, system == 0)
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]
    #[test]
    fn any_question_ends_well((args, inch) in line()) {
        let Ok(line) = Line::try_parse_from(&args) else {
            return Ok(());
        };
        let units = if inch { Units::Inch } else { Units::Mm };
        let words = answer(&line.ask.topic, Asked { units }, false);
        let json = answer(&line.ask.topic, Asked { units }, true);
        prop_assert_eq!(words.is_ok(), json.is_ok());
        let text = match &words {
            Ok(text) => text.clone(),
            Err(why) => why.text(units),
        };
        for no in ["NaN", "inf", "unknown"] {
            prop_assert!(!text.contains(no), "{:?}: {}", args, text);
        }
        if words.is_ok() {
            prop_assert_eq!(text.lines().count(), 2, "{}", text);
            let value: serde_json::Value = serde_json::from_str(&json.unwrap_or_default()).unwrap();
            prop_assert!(value["answer"].is_object());
        } else {
            prop_assert_eq!(text.lines().count(), 1, "{}", text);
            prop_assert!(!text.is_empty());
        }
    }
}
