use super::*;
use crate::shell::keyboard::decode::Decoder;
use crate::ui::Key;
use crate::units::Stamp;

fn now(mono_ms: u64) -> Now {
    Now {
        at: Stamp(i64::try_from(mono_ms).unwrap()),
        mono_ms,
    }
}

/// Keys that come at these times, and what is heard of them in the end.
fn heard(parts: &[(&str, u64)]) -> Vec<Input> {
    let (mut decoder, mut runs) = (Decoder::default(), Runs::default());
    let mut found = Vec::new();
    for (text, at) in parts {
        while let Some(due) = runs.due().filter(|due| due <= at) {
            found.extend(runs.late(due));
        }
        let tokens = decoder.take(text.as_bytes(), *at);
        found.extend(runs.take(tokens, now(*at)));
    }
    while let Some(due) = runs.due() {
        found.extend(runs.late(due));
    }
    found.into_iter().map(|(input, _)| input).collect()
}

/// A text, one character after another.
fn at_pace(text: &str, pace: u64) -> Vec<(String, u64)> {
    let begin = 1000;
    let at = |n: usize| begin + pace * n as u64;
    text.chars()
        .enumerate()
        .map(|(n, c)| (c.to_string(), at(n)))
        .collect()
}

fn heard_at_pace(text: &str, pace: u64) -> Vec<Input> {
    let parts = at_pace(text, pace);
    let parts: Vec<(&str, u64)> = parts.iter().map(|(c, at)| (c.as_str(), *at)).collect();
    heard(&parts)
}

fn keys(text: &str) -> Vec<Input> {
    let key = |c| match c {
        '\r' => Key::Enter,
        c => Key::Char(c),
    };
    text.chars()
        .map(|c| Input::Key {
            key: key(c),
            repeat: false,
        })
        .collect()
}

fn reading(text: &str) -> Vec<Input> {
    vec![Input::Reading(Some(text.to_owned()))]
}

#[test]
fn a_gauge_that_types_arrives_whole_at_every_pace() {
    for pace in [0, 1, 4, 8, 16] {
        for number in [
            "11.11", "11,11", "0.0001", "100.00", "1.111", "22", "111", "5.5", "1583", "0,500",
        ] {
            for unit in ["", "mm", " mm", "in", "\"", "g", " kg"] {
                for end in ["\r", "\t", "\n", "\r\n"] {
                    let text = format!("{number}{unit}");
                    let found = heard_at_pace(&format!("{text}{end}"), pace);
                    assert_eq!(found, reading(&text), "{pace} ms");
                }
            }
        }
        assert_eq!(heard_at_pace("+11.11\r", pace), reading("11.11"));
        // refused further on, but never the key that takes back
        assert_eq!(heard_at_pace("-0.02\r", pace), reading("-0.02"));
        assert_eq!(
            heard_at_pace("11.11", pace),
            [Input::Paste("11.11".to_owned())],
            "without an end it is not confirmed"
        );
    }
}

#[test]
fn one_after_the_other_are_two() {
    let found = heard(&[("11.11\r22.22\r", 0), ("33.33\r", 500)]);
    let wanted = [reading("11.11"), reading("22.22"), reading("33.33")].concat();
    assert_eq!(found, wanted);
}

#[test]
fn a_hand_is_never_taken_for_a_gauge() {
    for pace in [60, 90, 150, 400] {
        for text in [
            "11.11\r",
            "40\r",
            "12,5\r",
            "1-3/8\r",
            "+",
            "-2\r",
            "0123456789",
        ] {
            assert_eq!(heard_at_pace(text, pace), keys(text), "{pace} ms");
        }
    }
    // the signs are keys of their own
    for text in [
        "+",
        "-",
        "-2\r",
        "+4\r",
        "5\r",
        "+11++",
        "*97",
        "nround 0\r",
    ] {
        assert_eq!(heard(&[(text, 0)]), keys(text));
    }
}

#[test]
fn a_bouncing_contact_goes_on_as_two_presses_for_the_gate_to_judge() {
    for bounce in [2, 12, 30] {
        let found = heard(&[("1", 0), ("1", bounce), ("2", 200), ("\r", 400)]);
        assert_eq!(found, keys("112\r"));
    }
}

#[test]
fn a_key_held_down_goes_on() {
    for pace in [16, 33, 50] {
        for key in ["+", "1", " "] {
            let found = heard_at_pace(&key.repeat(40), pace);
            assert_eq!(found, keys(&key.repeat(40)), "{key} every {pace} ms");
        }
    }
}

#[test]
fn half_a_reading_is_told_and_not_taken() {
    let found = heard(&[("1", 0), ("1", 4), (".", 8), ("11\r", 300)]);
    assert_eq!(found.last(), Some(&Input::Reading(None)));
    assert!(!found.contains(&reading("11")[0]));
    // the next one is whole
    let found = heard(&[
        ("1", 0),
        ("1", 4),
        (".", 8),
        ("11\r", 300),
        ("11.11\r", 900),
    ]);
    assert_eq!(found.last(), reading("11.11").last());
}

#[test]
fn what_no_hand_types_is_pasted_text() {
    let text = "q y + 1 2 3 \r".repeat(1000);
    for piece in [1, 7, 512, 4096] {
        let chunks = text.as_bytes().chunks(piece).enumerate();
        let parts: Vec<(&str, u64)> = chunks
            .map(|(n, part)| (std::str::from_utf8(part).unwrap(), n as u64 / 8))
            .collect();
        let found = heard(&parts);
        if piece == 1 {
            // single keys that come together are those of a hand until the first that stand too close
            continue;
        }
        assert!(
            matches!(found.as_slice(), [Input::Paste(text)] if text.len() == TEXT),
            "{piece}: {found:?}"
        );
    }
}

#[test]
fn a_key_behind_pasted_text_acts_and_ctrl_c_does_not_wait() {
    let long = "x".repeat(5000);
    let found = heard(&[(&long, 0), ("4", 60), ("\r", 200)]);
    assert_eq!(found[1..], keys("4\r"));
    let interrupt = Input::Key {
        key: Key::Interrupt,
        repeat: false,
    };
    let (mut decoder, mut runs) = (Decoder::default(), Runs::default());
    let tokens = decoder.take(format!("{long}\u{3}").as_bytes(), 0);
    let found = runs.take(tokens, now(0));
    assert_eq!(found.last().map(|(input, _)| input), Some(&interrupt));
}
