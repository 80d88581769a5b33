//! How long a picture takes: the blade at full-screen size, a terminal's picture, each of them of every
//! sample plan as the program draws it, and whether the layer count matters.
//! `cargo bench --bench pictures`.

use std::hint::black_box;
use std::sync::Arc;

use anvilside::billet::{
    Arrange, Deformation, Faces, Groove, Move, Sizes, Skin, StackPiece, SteelId,
};
use anvilside::journal::{Entry, Event};
use anvilside::metal::Composition;
use anvilside::pattern::{
    BladeShape, Chain, Hand, Look, Picture, Scene, Shades, Tone, View, cells, pixels_for,
};
use anvilside::session::{Aspect, Session};
use anvilside::units::{Fraction, Mm, Stamp};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};

/// A bar being worked; sizes follow from volume.
struct Work {
    first: Vec<StackPiece>,
    history: Vec<Deformation>,
    size: [f64; 3],
    pieces: u32,
}

impl Work {
    fn new(count: u8, a: f64, b: f64, width: f64, length: f64) -> Self {
        let first: Vec<StackPiece> = (0..count)
            .map(|n| StackPiece {
                steel: SteelId(n % 2),
                thickness: Mm(if n % 2 == 0 { a } else { b }),
            })
            .collect();
        let height = first.iter().map(|piece| piece.thickness.0).sum();
        Self {
            first,
            history: Vec::new(),
            size: [width, height, length],
            pieces: 1,
        }
    }

    fn made(mut self, made: Move, after: [f64; 3]) -> Self {
        self.history.push(Deformation {
            made,
            before: self.size.map(Mm),
            after: after.map(Mm),
            pieces: self.pieces,
            skin: Skin::default(),
            joined: Vec::new(),
        });
        self.size = after;
        self
    }

    fn draw(self, width: f64, thickness: f64) -> Self {
        let length = self.size.iter().product::<f64>() / (width * thickness);
        let made = Move::Draw {
            to: Sizes::default(),
            scale: Fraction::ZERO,
        };
        self.made(made, [width, thickness, length])
    }

    fn restack(self, pieces: u32) -> Self {
        self.restack_by(pieces, 2.0)
    }

    fn restack_by(mut self, pieces: u32, kerf: f64) -> Self {
        let [w, t, l] = self.size;
        let made = Move::Grind {
            per_face: Mm(0.5),
            faces: Faces::Two,
        };
        self = self.made(made, [w, t - 1.0, l]);
        let each = (l - kerf * f64::from(pieces - 1)) / f64::from(pieces);
        let made = Move::Cut {
            pieces,
            length: None,
            kerf: Mm(kerf),
            keep_rest: false,
        };
        self = self.made(made, [w, t - 1.0, each]);
        self.pieces = pieces;
        let arrange = Arrange::Pile;
        self = self.made(
            Move::Restack { arrange },
            [w, (t - 1.0) * f64::from(pieces), each],
        );
        self.pieces = 1;
        self
    }

    fn chain(&self) -> Arc<Chain> {
        Arc::new(Chain::new(&self.first, &self.history, Hand::default()))
    }
}

fn random() -> Work {
    Work::new(9, 6.0, 3.0, 40.0, 120.0)
        .draw(40.0, 14.0)
        .restack(4)
        .draw(40.0, 14.0)
        .restack(4)
        .draw(48.0, 5.0)
}

fn ladder() -> Work {
    let bar = Work::new(17, 3.2, 1.6, 32.0, 127.0)
        .draw(32.0, 12.7)
        .restack(3)
        .draw(32.0, 12.7)
        .restack(2)
        .draw(32.0, 9.5);
    let size = bar.size;
    bar.made(
        Move::Groove {
            count: 24,
            width: Mm(4.76),
            depth: Mm(2.38),
            pitch: Mm(9.5),
            shape: Groove::Round,
        },
        size,
    )
    .draw(32.0, 6.3)
}

fn twist() -> Work {
    let bar = Work::new(13, 3.0, 2.0, 30.0, 100.0)
        .draw(30.0, 15.0)
        .restack(2)
        .draw(16.0, 16.0);
    let size = bar.size;
    let turns = size[2] / 32.0;
    bar.made(
        Move::Twist {
            turns,
            over: None,
            from: None,
            hand: anvilside::billet::Hand::Right,
        },
        size,
    )
    .draw(24.0, 6.0)
}

fn blade(length: f64, width: f64) -> View {
    View::Blade(BladeShape {
        length: Mm(length),
        width: Mm(width),
        spine: Mm(3.0),
        spine_tip: Mm(1.2),
        edge: Mm(0.3),
        bevel: 1.0,
        tang: None,
        ground: Mm(0.5),
        off: Mm(0.0),
    })
}

fn look() -> Look {
    let steel = |c, mn, ni| Composition {
        c,
        mn,
        ni,
        ..Composition::default()
    };
    Look {
        tones: [steel(0.84, 0.75, 0.0), steel(0.75, 0.4, 2.0)]
            .iter()
            .map(|s| Tone::of(s, 0.8))
            .collect(),
        ..Look::default()
    }
}

/// Both cores: alternate strips of rows.
fn on_two(scene: &Scene) -> Picture {
    const STRIP: u32 = 24;
    let [_, height] = scene.size();
    let strips: Vec<u32> = (0..height.div_ceil(STRIP)).collect();
    let next = std::sync::atomic::AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        while let Some(strip) = strips.get(next.fetch_add(1, std::sync::atomic::Ordering::Relaxed))
        {
            let rows = strip * STRIP..(strip + 1) * STRIP;
            done.push((*strip, scene.render_rows(rows)));
        }
        done
    };
    let mut parts = std::thread::scope(|scope| {
        let other = scope.spawn(work);
        let mut mine = work();
        mine.extend(other.join().unwrap_or_default());
        mine
    });
    parts.sort_by_key(|(strip, _)| *strip);
    let mut pixels = Vec::with_capacity(parts.iter().map(|(_, rows)| rows.len()).sum());
    for (_, rows) in parts {
        pixels.extend_from_slice(&rows);
    }
    scene.picture(pixels)
}

fn full_screen(c: &mut Criterion) {
    let mut group = c.benchmark_group("blade 1920x1080, two cores");
    group.sample_size(20);
    for (name, work, view) in [
        ("random", random(), blade(210.0, 46.0)),
        ("ladder", ladder(), blade(101.0, 28.0)),
        ("twist", twist(), blade(120.0, 24.0)),
    ] {
        let chain = work.chain();
        let look = look();
        group.bench_function(name, |b| {
            b.iter(|| {
                let scene = Scene::new(Arc::clone(&chain), view, &look, [1920, 1080]);
                black_box(on_two(&scene))
            });
        });
    }
    group.finish();
}

fn terminal(c: &mut Criterion) {
    let mut group = c.benchmark_group("terminal 120x40, one core");
    let work = ladder();
    let look = look();
    group.bench_function("history to picture", |b| {
        b.iter(|| {
            let scene = Scene::new(work.chain(), blade(101.0, 28.0), &look, [120, 80]);
            black_box(scene.render())
        });
    });
    group.bench_function("way back alone", |b| b.iter(|| black_box(work.chain())));
    group.finish();
}

fn layers(c: &mut Criterion) {
    let mut group = c.benchmark_group("same steps, more layers");
    group.sample_size(20);
    for (name, pieces) in [
        ("1e2", 4),
        ("9e2", 10),
        ("9e3", 30),
        ("9e4", 100),
        ("9e6", 1000),
        ("9e8", 10_000),
    ] {
        // The same moves with other numbers: only the count of pieces differs. No kerf, since that of
        // ten thousand pieces would leave no bar.
        let mut work = Work::new(9, 6.0, 3.0, 40.0, 120.0).draw(40.0, 14.0);
        for _ in 0..2 {
            work = work.restack_by(pieces, 0.0).draw(40.0, 14.0);
        }
        let chain = work.draw(48.0, 5.0).chain();
        let look = look();
        group.bench_with_input(BenchmarkId::from_parameter(name), &chain, |b, chain| {
            b.iter(|| {
                let scene = Scene::new(Arc::clone(chain), blade(210.0, 46.0), &look, [960, 300]);
                black_box(scene.render())
            });
        });
    }
    group.finish();
}

/// The sample plans, not begun: name and session.
fn samples() -> Vec<(String, Session)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml"))
        .collect();
    paths.sort();
    paths
        .iter()
        .filter_map(|path| {
            let text = std::fs::read_to_string(path).ok()?;
            let first = Entry {
                seq: 1,
                at: Stamp(0),
                event: Event::Plan {
                    hash: crc32fast::hash(text.as_bytes()),
                    text,
                },
            };
            let name = path.file_stem()?.to_string_lossy().into_owned();
            Some((name, Session::fold(vec![first]).ok()?))
        })
        .collect()
}

/// The finished blade of each sample plan, as `picture --size 1920x1080 --samples 4` draws it.
fn sample_blades(c: &mut Criterion) {
    let mut group = c.benchmark_group("sample plan's blade 1920x1080, 4 samples, two cores");
    group.sample_size(20);
    for (name, session) in samples() {
        let Some(subject) = session.subject(session.last_place(), 1) else {
            continue;
        };
        group.bench_function(&name, |b| {
            b.iter(|| {
                let scene = subject.scene(Aspect::Blade, [1920, 1080]).with_samples(4);
                black_box(on_two(&scene))
            });
        });
    }
    group.finish();
}

/// The finished blade in a terminal of 120 by 40, from the session's billet to the last half block.
fn sample_terminals(c: &mut Criterion) {
    let mut group = c.benchmark_group("sample plan in a terminal 120x40, one core");
    for (name, session) in samples() {
        let last = session.last_place();
        group.bench_function(&name, |b| {
            b.iter(|| {
                let subject = session.subject(last, 1)?;
                let [wide, high] = pixels_for(120, 40);
                let picture = subject.scene(Aspect::Blade, [wide, high]).render();
                Some(black_box(cells(&picture, Shades::True)))
            });
        });
    }
    group.finish();
}

/// The numbers that stand beside a picture, over three hands.
fn sample_numbers(c: &mut Criterion) {
    let mut group = c.benchmark_group("numbers beside a sample plan's blade, one core");
    for (name, session) in samples() {
        let last = session.last_place();
        group.bench_function(name, |b| {
            b.iter(|| {
                let subject = session.subject(last, 1)?;
                black_box(session.lines(&subject, Aspect::Blade, (last, 1), 2))
            });
        });
    }
    group.finish();
}

criterion_group!(
    benches,
    full_screen,
    terminal,
    layers,
    sample_blades,
    sample_terminals,
    sample_numbers
);
criterion_main!(benches);
