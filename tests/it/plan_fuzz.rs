//! Whatever a file holds, the reader answers: a plan, or what is wrong with it.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use anvilside::plan::{self, MAX_BYTES, MAX_STEPS};
use proptest::prelude::*;

fn samples() -> Vec<String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml"))
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect()
}

/// What every answer has: a sound plan, or findings that point into the file and say what to do.
fn answered(text: &str) {
    let checked = plan::check(text);
    let lines = text.matches('\n').count() + 1;
    for one in &checked.found {
        assert!(one.place.line >= 1 && one.place.line <= lines, "{one}");
        assert!(!one.what.is_empty(), "{one:?}");
        assert!(!one.to_string().chars().any(char::is_control), "{one:?}");
    }
    assert!(checked.plan.is_some() || !checked.found.is_empty());
    let _ = plan::report::table(&checked);
    let _ = plan::report::json(&checked);
}

/// Bits of plans that mean something, thrown together.
fn shred() -> impl Strategy<Value = String> {
    let words = prop::sample::select(vec![
        "[[step]]",
        "[goal]",
        "[goal.blade]",
        "[steels]",
        "[shop]",
        "[stack]",
        "kind = \"draw\"",
        "kind = \"cut\"",
        "kind = \"weld\"",
        "kind = \"restack\"",
        "kind = \"frame\"",
        "pieces = 4",
        "pieces = [\"A 6 mm\", \"B 3 mm\"]",
        "pieces = \"9999 x (9999 x (A 1 mm))\"",
        "width = 40",
        "thickness = \"1/0\"",
        "length = 1e308",
        "A = \"SAE 1084\"",
        "B = {",
        "}",
        "]",
        "\"",
        "'''",
        "title = \"x\"",
        "bands = [1, 2]",
        "bands = [[[[",
        "scale = \"4 %\"",
        "edge = \"A 10 mm\"",
        "window = [\"900 C\", 1]",
        "a.b.c.d = 1",
        "\u{1b}[31m",
        "\u{202e}",
        "\u{0}",
        "=",
        "#",
        "\r",
    ]);
    prop::collection::vec(words, 0..60).prop_map(|parts| parts.join("\n"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_answered(text in any::<String>()) {
        answered(&text);
    }

    #[test]
    fn any_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        answered(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn shreds_are_answered(text in shred()) {
        answered(&text);
    }

    #[test]
    fn changed_samples_are_answered(
        which in any::<prop::sample::Index>(),
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0usize..40, "[ -~]{0,6}"), 1..6),
    ) {
        let all = samples();
        let mut text = which.get(&all).clone();
        for (at, out, put) in cuts {
            let starts: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
            if starts.is_empty() {
                continue;
            }
            let from = *at.get(&starts);
            let mut to = (from + out).min(text.len());
            while !text.is_char_boundary(to) {
                to += 1;
            }
            text.replace_range(from..to, &put);
        }
        answered(&text);
    }

    #[test]
    fn a_number_changed_anywhere_is_answered(
        which in any::<prop::sample::Index>(),
        at in any::<prop::sample::Index>(),
        number in prop::sample::select(vec!["0", "1e9", "-3", "0.0001", "99999", "1/64", "1000000", "nan"]),
    ) {
        let all = samples();
        let text = which.get(&all).clone();
        let digits: Vec<usize> = text
            .char_indices()
            .filter(|(_, c)| c.is_ascii_digit())
            .map(|(at, _)| at)
            .collect();
        let from = *at.get(&digits);
        let to = text[from..].find(|c: char| !c.is_ascii_digit() && c != '.').map_or(text.len(), |n| from + n);
        let mut changed = text.clone();
        changed.replace_range(from..to, number);
        answered(&changed);
    }
}

#[test]
fn a_file_too_big_is_refused_before_it_is_parsed() {
    let text = "# x\n".repeat(25_000_000);
    let found = plan::read(&text).unwrap_err();
    assert_eq!(found.len(), 1);
    assert!(found[0].what.contains("100000000 bytes"), "{}", found[0]);
    assert!(found[0].remedy.contains(&MAX_BYTES.to_string()));
}

#[test]
fn a_million_steps_are_refused_before_they_are_read() {
    let found = plan::read(&"[[step]]\n".repeat(15_000)).unwrap_err();
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].what.contains("15000 steps"), "{}", found[0]);
    assert!(found[0].remedy.contains(&MAX_STEPS.to_string()));
    // A million of them is over the byte limit already.
    assert_eq!(
        plan::read(&"[[step]]\n".repeat(1_000_000))
            .unwrap_err()
            .len(),
        1
    );
    // One line can hold them too.
    let inline = format!("step = [{}]", "{},".repeat(MAX_STEPS + 1));
    let found = plan::read(&inline).unwrap_err();
    assert!(
        found.iter().any(|one| one.what.contains("501 steps")),
        "{found:?}"
    );
}

#[test]
#[allow(clippy::disallowed_methods, reason = "it keeps real time")]
fn what_is_no_plan_is_refused_at_once() {
    for (text, said) in [
        ("\r".repeat(400_000), "carriage return"),
        ("[".repeat(400_000), "too long a line"),
        ("[\n".repeat(200_000), "too many lines"),
    ] {
        let begun = std::time::Instant::now();
        let found = plan::read(&text).unwrap_err();
        assert!(found[0].what.contains(said), "{}", found[0]);
        assert!(!found[0].remedy.is_empty());
        // 0.2 s where the machine has time
        assert!(begun.elapsed() < std::time::Duration::from_secs(1));
    }
}

/// Five hundred steps on five thousand pieces, which does not come out: what is to come and the ways out of
/// it are found in bounded time. Of the processor's own count, whatever else the machine does.
#[cfg(target_os = "linux")]
#[test]
fn the_largest_plan_is_foreseen_in_bounded_time() {
    use anvilside::planner::foresight::{Outlook, foresee};
    let text = crate::common::plan_text("kitchen-pair").replace(
        "\"A 6 mm\", \"4 x (B 3 mm, A 6 mm)\"",
        "\"2500 x (B 0.009 mm, A 0.008 mm)\"",
    );
    let mut parts: Vec<String> = text.split("[[step]]").map(str::to_owned).collect();
    let draws = MAX_STEPS + 1 - parts.len();
    let draw = |n| {
        format!(
            "\nkind = \"draw\"\nwidth = {}\nthickness = 14\n",
            40.0 + f64::from(n) * 0.01
        )
    };
    parts.splice(5..5, (0..u32::try_from(draws).unwrap()).map(draw));
    let text = parts.join("[[step]]");
    assert_eq!(plan::read(&text).unwrap().0.steps.len(), MAX_STEPS);
    let first = anvilside::shell::first_entry(&text, crate::common::MORNING);
    let session = anvilside::session::Session::fold(vec![first]).unwrap();
    let spent = || -> u64 {
        let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap();
        told.split(' ').next().unwrap().parse().unwrap()
    };
    let before = spent();
    let seen = foresee(&Outlook {
        version: 0,
        session: Box::new(session),
        others: std::sync::Arc::default(),
        book: Default::default(),
        cut: None,
    });
    let seconds = (spent() - before) / 1_000_000_000;
    assert_eq!(seen.forecast.steps.len(), MAX_STEPS);
    // a second by the test profile; over 6 where all samples were drawn and all ways sought
    assert!(seconds < 4, "{seconds} s");
}

#[test]
fn a_flood_of_errors_is_cut_short() {
    let found = plan::read(&"a_key = 1\n".repeat(15_000)).unwrap_err();
    assert!(found.len() < 300, "{}", found.len());
    // A file without any key of a plan is told in one line that it is none.
    let many: String = (0..15_000).map(|n| format!("key{n} = 1\n")).collect();
    assert_eq!(plan::read(&many).unwrap_err().len(), 1);
    let found = plan::read(&format!("title = \"A knife\"\n{many}")).unwrap_err();
    assert!(found.len() < 300, "{}", found.len());
    assert!(found.iter().any(|one| one.what.contains("more findings")));
}
