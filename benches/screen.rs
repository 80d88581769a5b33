//! Key to finished frame, undo, and opening, on a long journal and a billet of a million layers.
//!
//! `cargo bench --bench screen`; the bare frame beside them is one bordered paragraph.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::hint::black_box;

use anvilside::journal::{Entry, Event, Fire, encode, scan};
use anvilside::session::{Cache, Session};
use anvilside::ui::{Effect, Key, Model, Msg, Press, Settings, draw, update};
use anvilside::units::{Seconds, Stamp};
use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::widgets::{Block, Paragraph};

/// Records in the long journal.
const RECORDS: u64 = 5000;

/// A plan whose last draw has ten to the power of `rounds + 1` layers.
fn plan(rounds: u32) -> String {
    let mut text = String::from(
        "title = \"Bench\"\nunits = \"mm\"\n\
         [goal]\npattern = \"random\"\nbands = [10, 100000000]\n\
         [goal.blade]\nlength = 200\nwidth = 40\nspine = 3\n\
         [steels]\nA = \"SAE 1084\"\nB = \"75Ni8\"\n\
         [shop]\nhand = true\nkerf = \"1 mm\"\ngrind = \"0.001 mm\"\ntrim = \"1 mm\"\nscale = \"1 %\"\nshortest = \"1 mm\"\n\
         [stack]\nwidth = 400\nlength = 2000\npieces = [\"5 x (A 5 mm, B 5 mm)\"]\n\
         [[step]]\nkind = \"prepare\"\n[[step]]\nkind = \"stack\"\n[[step]]\nkind = \"weld\"\n",
    );
    for _ in 0..rounds {
        text.push_str(
            "[[step]]\nkind = \"draw\"\nwidth = 400\nthickness = 50\n\
             [[step]]\nkind = \"cut\"\npieces = 10\n[[step]]\nkind = \"restack\"\n[[step]]\nkind = \"weld\"\n",
        );
    }
    text.push_str("[[step]]\nkind = \"draw\"\nwidth = 400\nthickness = 50\nheats = 6\nwindow = [\"900 C\", \"1150 C\"]\n");
    text
}

/// A journal that stands at the last draw and is padded to `records`.
fn journal(rounds: u32, records: u64) -> Vec<Entry> {
    let text = plan(rounds);
    let mut at = Stamp(1_772_438_400_000);
    let hash = crc32fast::hash(text.as_bytes());
    let first = Entry {
        seq: 1,
        at,
        event: Event::Plan { hash, text },
    };
    let mut session = Session::fold(vec![first]).expect("the plan reads");
    let mut put = |session: &mut Session, event: Event| {
        at = at.plus(Seconds(7.0));
        let entry = Entry {
            seq: session.seq + 1,
            at,
            event,
        };
        session.take(entry).expect("folds");
    };
    put(&mut session, Event::LegalRead);
    let last = session.plan.steps.last().expect("steps").id.clone();
    while session.current().is_some_and(|step| step.id != last) {
        let step = session.current().expect("a step").id.clone();
        put(&mut session, Event::Done { step });
    }
    loop {
        let card = session.card();
        let Some(item) = card.current().and_then(|n| card.items.get(n)) else {
            break;
        };
        let item = item.caution.id.clone();
        let how = anvilside::journal::Resolution::Answered("yes".to_owned());
        put(
            &mut session,
            Event::Caution {
                step: last.clone(),
                item,
                how,
            },
        );
    }
    while session.seq < records {
        let now = if session.seq.is_multiple_of(2) {
            Fire::In
        } else {
            Fire::Out
        };
        put(
            &mut session,
            Event::Fire {
                step: last.clone(),
                now,
            },
        );
    }
    session.log().to_vec()
}

fn model(rounds: u32, records: u64, size: (u16, u16)) -> Model {
    let entries = journal(rounds, records);
    let now = entries.last().expect("entries").at;
    let mut model = Model::new(
        Session::fold(entries).expect("folds"),
        Settings::default(),
        now,
    );
    model.size = size;
    model
}

/// One key through update, the disk left out, and drawn.
fn press(model: &mut Model, terminal: &mut Terminal<TestBackend>, key: Key, ms: u64) {
    let at = model.now.plus(Seconds(1.0));
    let effects = update(
        model,
        Msg::Key(Press {
            key,
            repeat: false,
            at,
            mono_ms: ms,
        }),
    );
    for effect in effects {
        if let Effect::Append(entries) = effect {
            black_box(update(model, Msg::Appended(entries)));
        }
    }
    terminal.draw(|frame| draw(model, frame)).expect("draws");
}

fn frames(c: &mut Criterion) {
    for (columns, rows) in [(80u16, 24u16), (200, 60)] {
        let mut group = c.benchmark_group(format!("{columns}x{rows}"));
        let mut bare = Terminal::new(TestBackend::new(columns, rows)).expect("backend");
        group.bench_function("bare frame", |b| {
            b.iter(|| {
                let words = Paragraph::new("14 mm").block(Block::bordered());
                bare.draw(|frame| frame.render_widget(words, frame.area()))
                    .expect("draws");
            });
        });
        for (name, rounds) in [("10^2 layers", 1), ("10^6 layers", 5)] {
            let mut screen = model(rounds, RECORDS, (columns, rows));
            let mut terminal = Terminal::new(TestBackend::new(columns, rows)).expect("backend");
            let mut ms = 0;
            group.bench_function(format!("digit to frame, {name}, {RECORDS} records"), |b| {
                b.iter(|| {
                    ms += 2000;
                    let key = if ms % 4000 == 0 {
                        Key::Char('1')
                    } else {
                        Key::Backspace
                    };
                    press(&mut screen, &mut terminal, key, ms);
                });
            });
            let start = model(rounds, RECORDS, (columns, rows));
            group.bench_function(format!("space to frame, {name}, {RECORDS} records"), |b| {
                b.iter_batched_ref(
                    || start.clone(),
                    |screen| press(screen, &mut terminal, Key::Char(' '), 5_000_000),
                    BatchSize::LargeInput,
                );
            });
            group.bench_function(format!("undo to frame, {name}, {RECORDS} records"), |b| {
                b.iter_batched_ref(
                    || start.clone(),
                    |screen| press(screen, &mut terminal, Key::Backspace, 5_000_000),
                    BatchSize::LargeInput,
                );
            });
        }
        group.finish();
    }
}

fn opening(c: &mut Criterion) {
    let mut group = c.benchmark_group("opening");
    let bytes: Vec<u8> = journal(5, RECORDS)
        .iter()
        .flat_map(|entry| encode(entry).expect("encodes").into_bytes())
        .collect();
    let mut terminal = Terminal::new(TestBackend::new(80, 24)).expect("backend");
    group.bench_function(format!("{RECORDS} records: read, fold, first frame"), |b| {
        b.iter(|| {
            let entries = scan(&bytes).entries;
            let session = Session::fold(entries).expect("folds");
            let model = Model::new(session, Settings::default(), Stamp(1_772_500_000_000));
            terminal.draw(|frame| draw(&model, frame)).expect("draws");
        });
    });
    group.finish();
}

/// What one entry costs on a job of a hundred thousand, and on one whose plan was edited a thousand times.
fn long(c: &mut Criterion) {
    const LONG: u64 = 100_000;
    let mut group = c.benchmark_group("a long job");
    group.sample_size(10);
    let mut terminal = Terminal::new(TestBackend::new(80, 24)).expect("backend");
    let open = |entries: &[Entry]| -> Vec<u8> {
        let lines = entries.iter().map(|entry| encode(entry).expect("encodes"));
        lines.collect::<String>().into_bytes()
    };
    let begun = |bytes: &[u8]| {
        let entries = scan(bytes).entries;
        let now = entries.last().expect("entries").at;
        Model::new(
            Session::fold(entries).expect("folds"),
            Settings::default(),
            now,
        )
    };
    let entries = journal(1, LONG);
    let step = Event::Done {
        step: Session::fold(entries.clone())
            .expect("folds")
            .current()
            .expect("a step")
            .id
            .clone(),
    };
    let bytes = open(&entries);
    group.bench_function(format!("{LONG} entries: read, fold, first frame"), |b| {
        // giving back the memory of a job comes when it is left
        b.iter_with_large_drop(|| {
            let model = begun(&bytes);
            terminal.draw(|frame| draw(&model, frame)).expect("draws");
            model
        });
    });
    let screen = begun(&bytes);
    for (name, key) in [
        ("digit", Key::Char('1')),
        ("space", Key::Char(' ')),
        ("undo", Key::Backspace),
    ] {
        group.bench_function(format!("{name} to frame, {LONG} entries"), |b| {
            b.iter_batched_ref(
                || screen.clone(),
                |screen| press(screen, &mut terminal, key, 5_000_000),
                BatchSize::PerIteration,
            );
        });
    }
    group.bench_function(format!("step done to frame, {LONG} entries"), |b| {
        b.iter_batched_ref(
            || screen.clone(),
            |screen| {
                let entry = Entry {
                    seq: screen.session.seq + 1,
                    at: screen.now,
                    event: step.clone(),
                };
                black_box(update(screen, Msg::Appended(vec![entry])));
                terminal.draw(|frame| draw(screen, frame)).expect("draws");
            },
            BatchSize::PerIteration,
        );
    });
    let heats = journal(1, 40_000);
    let heats = begun(&open(&heats));
    // kept from sample to sample, as the program keeps it from second to second
    let cache = Cache::default();
    group.bench_function("the numbers of fire and metal, 20,000 heats", |b| {
        let mut at = heats.now;
        b.iter(|| {
            at = at.plus(Seconds(1.0));
            anvilside::session::reckon(&heats.session.inputs(at, &cache), &cache)
        });
    });
    let edited = open(&edits(1000));
    group.bench_function("1,000 plan edits: read, fold, first frame", |b| {
        b.iter(|| {
            let model = begun(&edited);
            terminal.draw(|frame| draw(&model, frame)).expect("draws");
        });
    });
    group.finish();
}

/// A job whose plan was edited again and again after its first step.
fn edits(count: u64) -> Vec<Entry> {
    let mut entries = journal(3, 4);
    for _ in 0..count {
        let seq = entries.len() as u64 + 1;
        let text = format!("{}# {seq}\n", plan(3));
        let hash = crc32fast::hash(text.as_bytes());
        entries.push(Entry {
            seq,
            at: Stamp(1_772_500_000_000),
            event: Event::Plan { hash, text },
        });
    }
    entries
}

/// The card item that is asked now.
fn open_item(session: &Session) -> Option<anvilside::plan::CautionId> {
    let card = session.card();
    let item = card.current().and_then(|n| card.items.get(n))?;
    Some(item.caution.id.clone())
}

/// A billet of 5 to 3,125 layers, three heats a weld and four a draw, at its last draw.
fn forged() -> Model {
    let mut text = String::from(
        "title = \"Bench\"\nunits = \"mm\"\n\
         [goal]\npattern = \"random\"\nbands = [10, 100000000]\n\
         [goal.blade]\nlength = 200\nwidth = 40\nspine = 3\n\
         [steels]\nA = \"SAE 1095\"\nB = \"75Ni8\"\n\
         [shop]\npress = \"25 t\"\ndie = \"25 mm\"\nkerf = \"1 mm\"\ngrind = \"0.1 mm\"\ntrim = \"1 mm\"\n\
         scale = \"1 %\"\nshortest = \"1 mm\"\nfire = \"1200 C\"\n\
         [stack]\nwidth = 40\nlength = 300\npieces = [\"A 5 mm\", \"B 5 mm\", \"A 5 mm\", \"B 5 mm\", \"A 5 mm\"]\n\
         [[step]]\nkind = \"prepare\"\n[[step]]\nkind = \"stack\"\n",
    );
    let hot = "[[step]]\nkind = \"weld\"\nheats = 3\nwindow = [\"1120 C\", \"1180 C\"]\n\
               [[step]]\nkind = \"draw\"\nwidth = 40\nthickness = 6\nheats = 4\nwindow = [\"900 C\", \"1120 C\"]\n";
    for _ in 0..4 {
        text.push_str(hot);
        text.push_str("[[step]]\nkind = \"cut\"\npieces = 5\n[[step]]\nkind = \"restack\"\n");
    }
    text.push_str(hot);
    let mut at = Stamp(1_772_438_400_000);
    let first = Entry {
        seq: 1,
        at,
        event: Event::Plan {
            hash: crc32fast::hash(text.as_bytes()),
            text,
        },
    };
    let mut session = Session::fold(vec![first]).expect("the plan reads");
    let mut put = |session: &mut Session, after: f64, event: Event| {
        at = at.plus(Seconds(after));
        let entry = Entry {
            seq: session.seq + 1,
            at,
            event,
        };
        session.take(entry).expect("folds");
    };
    put(&mut session, 1.0, Event::LegalRead);
    let last = session.plan.steps.last().expect("steps").id.clone();
    loop {
        let step = session.current().expect("a step").clone();
        let end = step.id == last;
        for heat in 0..step.heats {
            for (now, after) in [(Fire::In, 45.0), (Fire::Out, 300.0)] {
                // The last heat is in the fire still.
                if end && heat + 1 == step.heats && now == Fire::Out {
                    continue;
                }
                let step = step.id.clone();
                put(&mut session, after, Event::Fire { step, now });
            }
        }
        if end {
            break;
        }
        put(&mut session, 45.0, Event::Done { step: step.id });
    }
    while let Some(item) = open_item(&session) {
        let how = anvilside::journal::Resolution::Answered("yes".to_owned());
        let step = last.clone();
        put(&mut session, 0.1, Event::Caution { step, item, how });
    }
    assert_eq!(session.billet.nominal, 3125);
    let mut model = Model::new(session, Settings::default(), at);
    model.size = (80, 24);
    model
}

/// A heat logged: the key, the entry taken, every number worked anew, and the frame that shows them.
fn heat_logged(c: &mut Criterion) {
    let mut group = c.benchmark_group("heat logged");
    let mut terminal = Terminal::new(TestBackend::new(80, 24)).expect("backend");
    let mut screen = forged();
    let opened = Msg::Tick {
        at: screen.now.plus(Seconds(270.0)),
        mono_ms: 1,
    };
    let cache = Cache::default();
    for effect in update(&mut screen, opened) {
        if let Effect::Reckon(asked) = effect {
            update(
                &mut screen,
                Msg::FireAndMetal(Box::new(asked.answer(&cache))),
            );
        }
    }
    let card = screen.session.card();
    assert!(card.current().is_none(), "the card is open");
    let mut seconds = 0.0;
    group.bench_function("every number, 3,125 layers, 35 heats", |b| {
        b.iter_batched_ref(
            || screen.clone(),
            |screen| {
                // Each time another length of heat: nothing is remembered of it.
                seconds += 0.37;
                let press = Press {
                    key: Key::Char(' '),
                    repeat: false,
                    at: screen.now.plus(Seconds(5.0 + seconds % 90.0)),
                    mono_ms: 10_000,
                };
                let mut queue = vec![Msg::Key(press)];
                let mut numbers = 0;
                while let Some(msg) = queue.pop() {
                    for effect in update(screen, msg) {
                        match effect {
                            Effect::Append(entries) => queue.push(Msg::Appended(entries)),
                            Effect::Reckon(asked) => {
                                numbers += 1;
                                queue.push(Msg::FireAndMetal(Box::new(asked.answer(&cache))));
                            }
                            _ => {}
                        }
                    }
                }
                assert!(numbers == 1 && !screen.is_reckoning());
                terminal.draw(|frame| draw(screen, frame)).expect("draws");
            },
            BatchSize::LargeInput,
        );
    });
    group.finish();
}

criterion_group!(benches, frames, opening, long, heat_logged);
criterion_main!(benches);
