//! The list of billets: 10,000 plans, each with a journal, with an index and without; the time to the first
//! rows and to the whole list, and the memory that it takes.
//!
//! `cargo bench --bench list`; sizes in the argument behind `--`, as `-- 2000`
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a bench prints its measurements and stops at the first thing that is not as it should be"
)]

use std::fs;
use std::path::Path;
use std::sync::Mutex;
use std::time::Instant;

use anvilside::journal::{Entry, Event, encode};
use anvilside::shell::disk::RealDisk;
use anvilside::shell::first_entry;
use anvilside::shell::list::{INDEX, billets, read};
use anvilside::shell::replace::replace;
use anvilside::units::Stamp;

fn plans(folder: &Path, many: usize) {
    let text = include_str!("../plans/kitchen-pair.toml");
    for n in 0..many {
        let plan = text.replacen("title = \"", &format!("title = \"No. {n}: "), 1);
        let at = Stamp(1_795_597_953_120 + i64::try_from(n).unwrap());
        let entry = |seq, event| Entry { seq, at, event };
        let mut journal = encode(&first_entry(&plan, at)).unwrap();
        let opened = Event::Opened {
            offset: 60,
            version: "bench".to_owned(),
        };
        for (seq, event) in (2..).zip([opened, Event::LegalRead, Event::Drank]) {
            journal += &encode(&entry(seq, event)).unwrap();
        }
        // plain writes: a sync each would take minutes
        fs::File::create(folder.join(format!("{n}.toml")))
            .and_then(|mut file| std::io::Write::write_all(&mut file, plan.as_bytes()))
            .unwrap();
        fs::File::create(folder.join(format!("{n}.journal")))
            .and_then(|mut file| std::io::Write::write_all(&mut file, journal.as_bytes()))
            .unwrap();
    }
}

/// Milliseconds to the first rows and to the last, and how many came.
fn list(folder: &Path, state: &Path) -> (f64, f64, usize) {
    let begun = Instant::now();
    let ms = || begun.elapsed().as_secs_f64() * 1e3;
    let found = billets(&[folder], Some(state));
    let told = Mutex::new((None, 0));
    read(&found, Some(state), &|rows| {
        let mut told = told.lock().unwrap();
        if !rows.is_empty() {
            told.0.get_or_insert_with(ms);
            told.1 += rows.len();
        }
        true
    });
    let (first, count) = told.into_inner().unwrap();
    (first.unwrap_or_default(), ms(), count)
}

/// Most memory that the process has held, MB: `VmHWM` of `/proc/self/status`, see proc(5).
fn most_memory() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kb: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kb / 1024.0)
}

fn main() {
    let given = std::env::args().skip(1).find_map(|word| word.parse().ok());
    let many = given.unwrap_or(10_000);
    let dir = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let (shop, state) = (dir.path().join("shop"), dir.path().join("state"));
    fs::create_dir_all(&shop).unwrap();
    fs::create_dir_all(&state).unwrap();
    plans(&shop, many);
    let say = |what: &str, (first, all, count): (f64, f64, usize)| {
        println!("{what}: first rows {first:.0} ms, all {count} in {all:.0} ms");
    };
    say("without an index", list(&shop, &state));
    say("with it", list(&shop, &state));
    say("with it, again", list(&shop, &state));
    replace(&RealDisk, &shop.join("7.journal"), b"1 nonsense\n").unwrap();
    say("one journal damaged since", list(&shop, &state));
    let index = fs::metadata(state.join(INDEX)).unwrap().len();
    let memory =
        most_memory().map_or_else(String::new, |mb| format!(", memory peaks at {mb:.1} MB"));
    println!("index {:.1} MB{memory}", index as f64 / 1e6);
}
