//! What the journal costs: a record on the disk against a bare write and sync on the same disk, and
//! reading a long job's journal.
//!
//! `cargo bench --bench store`
#![allow(
    clippy::unwrap_used,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use std::fs::File;
use std::hint::black_box;
use std::io::Write;

use anvilside::billet::Dimension;
use anvilside::journal::{Entry, Event, encode, scan};
use anvilside::plan::StepId;
use anvilside::shell::Store;
use anvilside::units::Stamp;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};

fn entry(seq: u64) -> Entry {
    let step = StepId(format!("draw-{}", seq / 40 + 1));
    let event = if seq.is_multiple_of(2) {
        Event::Done { step }
    } else {
        Event::Measured {
            step,
            what: Dimension::Length,
            cold: 151.25,
            typed: "151,25 mm".into(),
            hot: None,
            counted: None,
        }
    };
    Entry {
        seq,
        at: Stamp(1_795_597_953_120),
        event,
    }
}

fn append(criterion: &mut Criterion) {
    // on the disk that the build uses, not on one in memory
    let dir = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let mut group = criterion.benchmark_group("append and sync");
    let mut bare = File::options()
        .append(true)
        .create(true)
        .open(dir.path().join("bare"))
        .unwrap();
    let mut seq = 0;
    group.bench_function("bare", |b| {
        b.iter(|| {
            seq += 1;
            let line = encode(&entry(seq)).unwrap();
            bare.write_all(line.as_bytes()).unwrap();
            bare.sync_data().unwrap();
        });
    });
    let mut store = Store::open(&dir.path().join("plan.toml")).unwrap().store;
    group.bench_function("journal", |b| {
        b.iter(|| store.append(&entry(store.next_seq())).unwrap());
    });
    group.finish();
}

fn read(criterion: &mut Criterion) {
    let lines: String = (1..=5000).map(|seq| encode(&entry(seq)).unwrap()).collect();
    let mut group = criterion.benchmark_group("journal of 5000 records");
    group.throughput(Throughput::Bytes(lines.len() as u64));
    group.bench_function("scan", |b| b.iter(|| scan(black_box(lines.as_bytes()))));
    group.finish();
    criterion.bench_function("encode a record", |b| {
        b.iter(|| encode(black_box(&entry(4999))));
    });
}

/// A plan of as many steps as one may have.
fn largest() -> String {
    let sample = include_str!("../plans/three-layer.toml");
    let at = sample.find("[[step]]").unwrap();
    let (head, _) = sample.split_at(at);
    let first = ["prepare", "stack", "weld"].map(|kind| format!("[[step]]\nkind = \"{kind}\"\n"));
    let draws = (0..497).map(|n| {
        let high = 20.0 - 0.02 * f64::from(n);
        let words = format!("\"{}\", ", "a note of some words ".repeat(5)).repeat(7);
        format!("[[step]]\nkind = \"draw\"\nwidth = 42\nthickness = {high:.3}\nnotes = [{words}]\n")
    });
    let all: String = first.into_iter().chain(draws).collect();
    format!("{head}{all}")
}

/// Eight bars, laid on one of them in 40 joins, each welded, squared and cut to length.
fn eight_bars() -> String {
    let mut text = String::from(
        "title = \"Bench\"\nunits = \"mm\"\n[goal]\npattern = \"straight\"\nbands = [1, 900000]\n\
         [goal.blade]\nlength = 100\nwidth = 30\nspine = 3\n[steels]\nA = \"SAE 1084\"\nB = \"75Ni8\"\n\
         [shop]\npress = \"25 t\"\nshortest = 1\nscale = \"1 %\"\n",
    );
    for bar in 0..8 {
        text += &format!(
            "[[bar]]\nname = \"bar-{bar}\"\nwidth = 30\nlength = 800\npieces = [\"3 x (A 3 mm, B 2 mm)\"]\n"
        );
    }
    for bar in 0..8 {
        text += &format!(
            "[[step]]\nkind = \"prepare\"\nbar = \"bar-{bar}\"\n[[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n"
        );
        let pieces = if bar == 0 { 1 } else { 6 };
        text += &format!("[[step]]\nkind = \"cut\"\npieces = {pieces}\nlength = 100\n");
    }
    for join in 0..40 {
        let bar = 1 + join % 7;
        let lay = if join % 2 == 0 { "pile" } else { "beside" };
        text += &format!(
            "[[step]]\nkind = \"join\"\nbar = \"bar-0\"\nwith = \"bar-{bar}\"\nlay = \"{lay}\"\nfit = true\n\
             [[step]]\nkind = \"weld\"\n[[step]]\nkind = \"square\"\nwidth = 30\nthickness = 15\n\
             [[step]]\nkind = \"cut\"\npieces = 1\nlength = 100\n"
        );
    }
    let checked = anvilside::plan::check(&text);
    let walked = checked.walk.map_or(0, |walk| walk.rows.len());
    assert_eq!(walked, 32 + 160, "{:?}", checked.found);
    text
}

fn plans(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("check");
    group.sample_size(20);
    let largest = largest();
    assert!(largest.len() < 500_000);
    for (name, text) in [
        ("the largest plan: 500 steps, 400 kB", largest),
        ("eight bars, 40 joins", eight_bars()),
        ("500 kB of carriage returns", "\r".repeat(499_000)),
        ("19,000 broken lines", "= 3\n".repeat(19_000)),
        ("500 kB of brackets", "[".repeat(499_000)),
    ] {
        group.bench_function(name, |b| {
            b.iter(|| anvilside::plan::check(black_box(&text)));
        });
    }
    group.finish();
}

criterion_group!(benches, append, read, plans);
criterion_main!(benches);
