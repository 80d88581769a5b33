//! How long the laws take that the work screen waits for.
//!
//! `cargo bench --bench physics`

use std::hint::black_box;

use anvilside::physics::section::{Contact, Section, Surroundings, cool, soak};
use anvilside::units::{Celsius, Mm};
use criterion::{Criterion, criterion_group, criterion_main};

fn sections(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("section");
    let bar = |width: f64, thickness: f64| Section {
        width: Mm(width),
        thickness: Mm(thickness),
    };
    for (name, section) in [
        ("cool 10x10", bar(10.0, 10.0)),
        ("cool 30x30", bar(30.0, 30.0)),
        ("cool 40x6", bar(40.0, 6.0)),
        ("cool 60x3", bar(60.0, 3.0)),
    ] {
        group.bench_function(name, |b| {
            b.iter(|| {
                cool(
                    black_box(section),
                    Celsius(1250.0),
                    Celsius(850.0),
                    &Surroundings::air(),
                )
            });
        });
    }
    let dies = Surroundings::air().lying_on(Contact::RESTING);
    group.bench_function("cool 40x20 on the anvil", |b| {
        b.iter(|| {
            cool(
                black_box(bar(40.0, 20.0)),
                Celsius(1250.0),
                Celsius(850.0),
                &dies,
            )
        });
    });
    group.bench_function("soak 50x50 from cold", |b| {
        b.iter(|| {
            soak(
                black_box(bar(50.0, 50.0)),
                Celsius(20.0),
                Celsius(1250.0),
                Celsius(20.0),
            )
        });
    });
    group.finish();
}

criterion_group!(benches, sections);
criterion_main!(benches);
