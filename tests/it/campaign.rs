//! Attacks on the house through the library: a short, seeded form of each runs with the others; the long
//! form is for `cargo test --test it campaign:: -- --ignored --nocapture --test-threads 1`, which prints a
//! row of counts for each. `CAMPAIGN=0.1` before it runs a tenth.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "a test stops at the first thing that is not as it should be, and keeps real time"
)]

use std::panic::catch_unwind;
use std::time::Instant;

use anvilside::billet::Dimension;
use anvilside::journal::{Entry, Event, Fire, Resolution, encode, scan};
use anvilside::plan::{CautionId, StepId};
use anvilside::session::Session;
use anvilside::ui::{Mode, Model, Settings, draw};
use anvilside::units::{Celsius, Seconds, Stamp};
use ratatui::Terminal;
use ratatui::backend::TestBackend;

use crate::common::{Desk, MORNING, plan_text};

const PLANS: [&str; 7] = [
    "kitchen-pair",
    "turned-w-petty",
    "ladder-hunter",
    "three-layer",
    "twist-boot",
    "raindrop-belt-knife",
    "feather-chef",
];

/// A row of numbers that look random and are the same each time (xorshift, Marsaglia 2003, from memory).
struct Dice(u64);

impl Dice {
    fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % n as u64).unwrap()
    }

    fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }
}

/// So many of a long form, or the part of it that is asked for.
fn part_of(count: u64) -> u64 {
    let part = std::env::var("CAMPAIGN").map_or(1.0, |part| part.parse().unwrap());
    (count as f64 * part) as u64
}

fn row(what: &str, count: u64, begun: Instant) {
    println!(
        "| {what} | {count} | 0 | {:.0} s |",
        begun.elapsed().as_secs_f64()
    );
}

/// The journal of a job that was worked for some steps.
fn worked(steps: usize) -> Vec<Entry> {
    let mut desk = Desk::sample("three-layer");
    desk.foresees = false;
    desk.reckons = false;
    for _ in 0..steps {
        desk.finish_step();
    }
    desk.journal
}

fn lines(entries: &[Entry]) -> Vec<u8> {
    let line = |entry| encode(entry).unwrap();
    entries.iter().map(line).collect::<String>().into_bytes()
}

/// A journal cut behind every byte, and with every byte changed in these ways: what it gives is a
/// beginning of what was recorded, and every change is told.
fn cut_and_changed(stride: usize, changes: &[u8]) -> u64 {
    let entries = worked(3);
    let whole = lines(&entries);
    let mut count = 0;
    for at in (0..whole.len()).step_by(stride) {
        let found = scan(&whole[..at]);
        let ends = whole[..at].iter().filter(|byte| **byte == b'\n').count();
        assert_eq!(found.damage, None, "cut at {at}");
        assert_eq!(found.entries, entries[..ends], "cut at {at}");
        for change in changes {
            let mut bad = whole.clone();
            bad[at] ^= change;
            let found = scan(&bad);
            assert!(found.good < whole.len(), "byte {at} changed by {change}");
            assert!(entries.starts_with(&found.entries));
            count += 1;
        }
        count += 1;
    }
    count
}

#[test]
fn a_cut_or_changed_journal_in_short() {
    cut_and_changed(211, &[1, 0x80]);
}

#[test]
#[ignore = "long"]
fn a_cut_or_changed_journal() {
    let begun = Instant::now();
    let count = cut_and_changed(1, &[1, 4, 0x20, 0x80, 0xff]);
    row(
        "journal cut behind every byte and with every byte changed",
        count,
        begun,
    );
}

/// Plans with pieces cut out, doubled and exchanged: each is answered, with a remedy.
fn mutated_plans(count: u64) {
    let texts = PLANS.map(plan_text);
    let odd = [
        "0",
        "-1",
        "1e308",
        "nan",
        "\u{2028}",
        "\"",
        "[",
        "mm",
        "=",
        "\n",
        "1/0",
        "99999999999",
    ];
    for seed in 0..count {
        let mut dice = Dice::new(seed);
        let text = &texts[dice.below(texts.len())];
        let mut chars: Vec<char> = text.chars().collect();
        for _ in 0..=dice.below(4) {
            let from = dice.below(chars.len());
            let to = (from + dice.below(30)).min(chars.len());
            let put: Vec<char> = match dice.below(3) {
                0 => dice.of(&odd).chars().collect(),
                1 => chars[from..to].repeat(2),
                _ => Vec::new(),
            };
            chars.splice(from..to, put);
        }
        let text: String = chars.into_iter().collect();
        let checked = anvilside::plan::check(&text);
        for found in &checked.found {
            assert!(!found.remedy.is_empty(), "seed {seed}: {found}");
        }
    }
}

#[test]
fn mutated_plans_in_short() {
    mutated_plans(60);
}

#[test]
#[ignore = "long"]
fn many_mutated_plans() {
    let begun = Instant::now();
    let count = part_of(1_000_000);
    mutated_plans(count);
    row("mutated plans, each checked", count, begun);
}

/// Clocks before the calendar, before 1970, and behind the calendar's end.
const CLOCKS: [i64; 8] = [
    i64::MIN,
    -62_167_219_200_001,
    -1,
    0,
    1_772_438_400_000,
    253_402_207_200_001,
    i64::MAX - 1,
    i64::MAX,
];

fn odd_event(dice: &mut Dice, steps: &[StepId], seq: u64) -> Event {
    let numbers = [
        0.0, -1.0, 1e-10, 1e-300, 0.5, 12.0, 40.0, 300.0, 1583.0, 1e9, 1e300, -1e300,
    ];
    let step = steps[dice.below(steps.len())].clone();
    let name = dice.of(&["temper 1", "fire watch", "", "x"]).to_owned();
    let span = Seconds(dice.of(&numbers));
    let number = dice.of(&numbers);
    match dice.below(16) {
        0 => Event::Caution {
            step,
            item: CautionId(dice.of(&["day.eyes", "stack.count", "none"]).to_owned()),
            how: Resolution::Answered(number.to_string()),
        },
        1 => Event::Fire {
            step,
            now: dice.of(&[Fire::Cold, Fire::In, Fire::Out]),
        },
        2 => Event::Timer { step, name, span },
        3 => Event::TimerDone { step, name },
        4..=7 => Event::Measured {
            step,
            what: dice.of(&[
                Dimension::Thickness,
                Dimension::Width,
                Dimension::Length,
                Dimension::Mass,
                Dimension::Bands,
            ]),
            cold: number,
            typed: number.to_string(),
            hot: (dice.below(3) == 0).then(|| Celsius(dice.of(&numbers))),
            counted: None,
        },
        8 => Event::Unmeasured {
            step,
            what: Dimension::Mass,
        },
        9..=12 => Event::Done { step },
        13 => Event::WatchBegan { span },
        14 => Event::Undone {
            seq: dice.next() % seq,
        },
        _ => Event::Redone {
            seq: dice.next() % seq,
        },
    }
}

/// Entries that no smith would make. They fold to the same state whether taken one by one or read again,
/// and the job can be drawn.
fn odd_entries(count: u64) {
    for seed in 0..count {
        let mut dice = Dice::new(seed);
        let text = plan_text(dice.of(&PLANS));
        let plan = anvilside::plan::read(&text).unwrap().0;
        let steps: Vec<StepId> = plan.steps.iter().map(|step| step.id.clone()).collect();
        let hash = crc32fast::hash(text.as_bytes());
        let mut entries = vec![Entry {
            seq: 1,
            at: MORNING,
            event: Event::Plan { hash, text },
        }];
        let mut session = Session::fold(entries.clone()).unwrap();
        let mut at = MORNING;
        for _ in 0..30 {
            let seq = entries.len() as u64 + 1;
            // mostly of the step in hand, or little would count
            let current: Vec<StepId> = session
                .current()
                .map(|step| step.id.clone())
                .into_iter()
                .collect();
            let of = if current.is_empty() || dice.below(8) == 0 {
                &steps
            } else {
                &current
            };
            let event = odd_event(&mut dice, of, seq);
            at = match seed % 8 {
                0 => Stamp(dice.of(&CLOCKS)),
                _ => Stamp(at.0 + i64::try_from(dice.next() % 100_000_000).unwrap() - 10_000_000),
            };
            let entry = Entry { seq, at, event };
            entries.push(entry.clone());
            let taken = catch_unwind(std::panic::AssertUnwindSafe(|| session.take(entry)));
            assert!(
                matches!(taken, Ok(Ok(()))),
                "seed {seed}: {:?}",
                entries.last()
            );
        }
        let folded = Session::fold(entries.clone()).unwrap();
        // by its words: a state may hold numbers that are equal to nothing
        let said = |session: &Session| format!("{:?}", session.clone().without_log());
        assert!(said(&folded) == said(&session), "seed {seed}");
        let drawn = catch_unwind(std::panic::AssertUnwindSafe(|| {
            let record = folded.record();
            let mut model = Model::new(folded, Settings::default(), at);
            model.mode = Mode::Step;
            let mut terminal = Terminal::new(TestBackend::new(80, 24)).unwrap();
            terminal.draw(|frame| draw(&model, frame)).unwrap();
            let cells = terminal.backend().buffer().content();
            let screen: String = cells.iter().map(ratatui::buffer::Cell::symbol).collect();
            [record, screen]
        }));
        let Ok(texts) = drawn else {
            panic!("seed {seed}: {:?}", entries.last());
        };
        for text in texts {
            let mut words = text.split(|c: char| !c.is_alphanumeric());
            let odd = words.find(|word| ["inf", "NaN", "nan"].contains(word));
            assert_eq!(odd, None, "seed {seed}: {text}");
        }
    }
}

#[test]
fn odd_entries_in_short() {
    odd_entries(40);
}

#[test]
#[ignore = "long"]
fn many_odd_entries() {
    let begun = Instant::now();
    let jobs = part_of(34_000);
    odd_entries(jobs);
    row(
        "entries that no smith would make, taken, folded, printed and drawn",
        jobs * 30,
        begun,
    );
}

/// Keys by chance. What was recorded is what the screen shows, whenever the program is ended and opened
/// again, and nothing is recorded but by a press.
fn random_keys(seeds: u64, presses: u64) -> u64 {
    let mut recorded = 0;
    let keys = "0123456789+-*/.\n<rmfsbdonwq?h";
    for seed in 0..seeds {
        let mut dice = Dice::new(seed);
        let mut desk = Desk::sample(dice.of(&PLANS));
        desk.foresees = false;
        desk.reckons = false;
        for _ in 0..dice.below(6) {
            desk.finish_step();
        }
        let begun = desk.journal.len();
        for n in 0..presses {
            let at = dice.below(keys.len());
            let before = desk.journal.len();
            desk.wait(Seconds(0.3));
            assert_eq!(
                desk.journal.len(),
                before,
                "seed {seed}: nobody pressed a key"
            );
            desk.keys(&keys[at..=at]);
            if n % 10 == 9 {
                desk.buffer(80, 24);
            }
            if desk.quit || n % 501 == 500 {
                desk.quit = false;
                desk = desk.killed_and_reopened(Seconds(5.0));
                desk.foresees = false;
                desk.reckons = false;
            }
            if n % 97 == 96 {
                desk.wait(Seconds(700.0));
            }
        }
        let folded = Session::fold(desk.journal.clone()).unwrap();
        let said = |session: &Session| format!("{:?}", session.clone().without_log());
        assert!(said(&folded) == said(&desk.model.session), "seed {seed}");
        recorded += (desk.journal.len() - begun) as u64;
    }
    recorded
}

#[test]
fn random_keys_in_short() {
    assert!(random_keys(2, 600) > 20);
}

#[test]
#[ignore = "long"]
fn many_random_keys() {
    let begun = Instant::now();
    let jobs = part_of(1_000);
    let entries = random_keys(jobs, 1_000);
    row(
        "random keys through the screen, every tenth drawn",
        jobs * 1_000,
        begun,
    );
    row(
        "entries recorded by them, each folded again",
        entries,
        begun,
    );
}
