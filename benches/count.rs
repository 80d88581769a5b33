//! How long a count takes: a photograph of 12 megapixels, 121 bands of 17 pixels, bent and turned.
//! `cargo bench --bench count`.
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "shades of a made picture"
)]

use std::hint::black_box;

use anvilside::count::{Grey, count};
use criterion::{Criterion, criterion_group, criterion_main};

const BANDS: usize = 121;
const WIDE: usize = 4000;
const HIGH: usize = 3000;

/// Light and dark by turns, uneven, on a bright background.
fn photograph() -> Grey {
    let heights: Vec<f32> = (0..BANDS)
        .map(|at| 12.5 + 9.0 * ((at * 7919 % 101) as f32 / 100.0))
        .collect();
    let edges: Vec<f32> = heights
        .iter()
        .scan(0.0, |sum, height| {
            *sum += height;
            Some(*sum)
        })
        .collect();
    let whole = edges.last().copied().unwrap_or(0.0);
    let (sin, cos) = 0.12f32.sin_cos();
    let shades = (0..WIDE * HIGH)
        .map(|at| {
            let x = (at % WIDE) as f32 - WIDE as f32 / 2.0;
            let y = (at / WIDE) as f32 - HIGH as f32 / 2.0;
            let (along, across) = (x * cos + y * sin, y * cos - x * sin);
            let depth = across + 25.0 * (along / 400.0).sin() + whole / 2.0;
            let grain = ((at * 7919) % 251) as f32 / 25.0;
            let inside = along.abs() < 1300.0 && depth > 0.0 && depth < whole;
            let band = edges.partition_point(|edge| *edge < depth);
            let shade = match (inside, band % 2) {
                (false, _) => 225.0,
                (true, 0) => 70.0,
                (true, _) => 180.0,
            };
            (shade + grain) as u8
        })
        .collect();
    Grey {
        wide: WIDE,
        high: HIGH,
        shades,
    }
}

fn photographs(c: &mut Criterion) {
    let photo = photograph();
    let bands = count(photo.clone(), None).map(|reading| reading.bands);
    assert_eq!(bands, Ok(BANDS));
    let mut group = c.benchmark_group("count");
    group.sample_size(10);
    group.bench_function("12 megapixels, 121 bands", |b| {
        b.iter(|| black_box(count(photo.clone(), None)));
    });
    group.finish();
}

criterion_group!(benches, photographs);
criterion_main!(benches);
