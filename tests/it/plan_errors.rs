//! Plans with errors, and exactly what is said of them.
//!
//! Each `tests/bad/NAME.toml` stands beside `NAME.txt`: every finding, one a line. To write the texts
//! anew (and then read them): `BLESS=1 cargo test --test it plan_errors`.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use anvilside::plan;

fn said(text: &str) -> String {
    plan::check(text)
        .found
        .iter()
        .map(|one| format!("{one}\n"))
        .collect()
}

#[test]
fn every_bad_plan_is_told_in_these_words() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bad");
    let bless = std::env::var_os("BLESS").is_some();
    let mut seen = 0;
    let mut wrong = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ext| ext != "toml") {
            continue;
        }
        seen += 1;
        let now = said(&std::fs::read_to_string(&path).unwrap());
        let kept = path.with_extension("txt");
        if bless {
            #[allow(clippy::disallowed_methods, reason = "a test writes its own text")]
            std::fs::write(&kept, &now).unwrap();
        }
        if std::fs::read_to_string(&kept).unwrap_or_default() != now {
            wrong.push(format!("{}:\n{now}", path.display()));
        }
        assert!(
            !now.chars().any(|c| c.is_control() && c != '\n'),
            "{} brings a control character to the screen",
            path.display()
        );
    }
    assert!(seen >= 9);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
