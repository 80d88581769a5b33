//! How long carbon through a billet takes. `cargo bench --bench diffusion`
//!
//! The same problems, brute force, stand in `tests/reference/bench_diffusion.py`, which also runs
//! this bench and prints the ratios:
//!
//! - laminate: 125 layers of 0.2 mm, both faces bare, six heats, diffusivity that follows carbon, read
//!   at nine marks;
//! - restacked sealed: five layers of 5 mm to 3,125 in five heats;
//! - restacked bare: the same with both faces bare and the skins folded in;
//! - layers: a 25 mm billet of 10^3 to 10^9 layers, faces bare, six heats.

use std::hint::black_box;

use anvilside::metal::Composition;
use anvilside::physics::diffusion::{
    CarbonLaw, Care, Faces, Heat, HeatError, HeatPoint, Profile, Sequence, Surface,
};
use anvilside::units::{Celsius, Mm, Seconds};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};

/// The stretch of the welding heat from one second to another, drawn to `end` during the hold.
fn stretch(from: f64, to: f64, end: f64) -> Result<Heat, HeatError> {
    let corners = [
        (0.0, 800.0, 1.0),
        (180.0, 1150.0, 1.0),
        (780.0, 1150.0, end),
        (900.0, 800.0, end),
    ];
    let at = |time: f64| {
        let after = corners.iter().position(|c| c.0 >= time).unwrap_or(3).max(1);
        let pair = corners.get(after - 1).zip(corners.get(after));
        let (a, b) = pair.unwrap_or((&corners[0], &corners[3]));
        let part = (time - a.0) / (b.0 - a.0);
        HeatPoint {
            at: Seconds(time),
            temperature: Celsius(a.1 + (b.1 - a.1) * part),
            thickness: a.2 * (b.2 / a.2).powf(part),
        }
    };
    let inside = corners.iter().map(|c| c.0).filter(|t| *t > from && *t < to);
    let times = std::iter::once(from)
        .chain(inside)
        .chain(std::iter::once(to));
    Heat::new(times.map(at).collect())
}

fn layer(steel: usize, mm: f64) -> Sequence {
    Sequence::layer(steel, Mm(mm), if steel == 0 { 0.95 } else { 0.75 })
}

fn billet(stack: Sequence) -> Profile {
    Profile::new(vec![Composition::default(); 2], stack).with_factors(&[1.0, 1.06])
}

fn laminate(criterion: &mut Criterion, heats: &[Heat]) {
    let pair = Sequence::join([layer(1, 0.2), layer(0, 0.2)]);
    let stack = Sequence::join([layer(0, 0.2), pair.repeated(62)]);
    let start = billet(stack);
    let bare = Faces::both(Surface::Bare);
    criterion.bench_function("diffusion/laminate", |b| {
        b.iter(|| {
            heats
                .iter()
                .fold(black_box(&start).clone(), |billet, heat| {
                    billet.heated(heat, bare, Care::default())
                })
        });
    });
}

fn restacked(criterion: &mut Criterion, name: &str, faces: Faces, heats: &[Heat]) {
    let stack = Sequence::join([0, 1, 0, 1, 0].map(|steel| layer(steel, 5.0)));
    let start = billet(stack);
    let care = Care {
        law: CarbonLaw::Callister,
        ..Care::default()
    };
    criterion.bench_function(name, |b| {
        b.iter(|| {
            let mut heats = heats.iter();
            let first = heats.next().map_or_else(
                || start.clone(),
                |heat| black_box(&start).heated(heat, faces, care),
            );
            heats.fold(first, |billet, heat| {
                billet.moved(|s| s.repeated(5)).heated(heat, faces, care)
            })
        });
    });
}

fn layers(criterion: &mut Criterion, heat: &Heat) {
    let mut group = criterion.benchmark_group("diffusion/layers");
    let bare = Faces::both(Surface::Bare);
    for tens in 3..=9_u32 {
        let pair = Sequence::join([layer(1, 1.0), layer(0, 1.0)]);
        let thick = Sequence::join([layer(0, 1.0), pair.repeated(10_u64.pow(tens) / 2)]);
        let start = billet(thick.scaled(25.0 / thick.thickness().0));
        group.bench_function(BenchmarkId::from_parameter(format!("1e{tens}")), |b| {
            b.iter(|| {
                (0..6).fold(black_box(&start).clone(), |billet, _| {
                    billet.heated(heat, bare, Care::default())
                })
            });
        });
    }
    group.finish();
}

fn all(criterion: &mut Criterion) {
    let marks = [(0.0, 180.0), (180.0, 240.0), (240.0, 780.0), (780.0, 900.0)];
    let whole = [(0.0, 900.0); 5];
    let logged = marks
        .into_iter()
        .chain(whole)
        .map(|(a, b)| stretch(a, b, 1.0));
    let drawn = [0.2, 0.2, 0.2, 0.2, 1.0].map(|end| stretch(0.0, 900.0, end));
    let (Ok(logged), Ok(drawn), Ok(heat)) = (
        logged.collect::<Result<Vec<_>, _>>(),
        drawn.into_iter().collect::<Result<Vec<_>, _>>(),
        stretch(0.0, 900.0, 1.0),
    ) else {
        return;
    };
    laminate(criterion, &logged);
    restacked(
        criterion,
        "diffusion/restacked sealed",
        Faces::default(),
        &drawn,
    );
    restacked(
        criterion,
        "diffusion/restacked bare",
        Faces::both(Surface::Bare),
        &drawn,
    );
    layers(criterion, &heat);
}

criterion_group!(benches, all);
criterion_main!(benches);
