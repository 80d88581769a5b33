//! Scenario files: a plan and entries in, the expected state out.
//!
//! `do` lines, one entry each: `done`, `done to STEP`, `read thickness 14.2 mm`, `forget thickness`,
//! `in`, `out`, `laid down`, `count 30`, `wait 10 min`, `reopen 14 h`, `undo`, `redo`, `note WORDS`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::needless_pass_by_value
)]

use anvilside::billet::{Dimension, Loss};
use anvilside::journal::{Entry, Event, Fire};
use anvilside::session::Session;

use anvilside::units::{Grams, Mm, Seconds, Stamp, Units, parse};
use serde::Deserialize;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Scenario {
    /// What it shows, and where the expected numbers come from.
    about: String,
    plan: String,
    #[serde(rename = "do")]
    doing: Vec<String>,
    expect: Expect,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Expect {
    step: Option<String>,
    finished: Option<bool>,
    nominal: Option<u64>,
    bands: Option<u64>,
    pieces: Option<u32>,
    width_mm: Option<f64>,
    thickness_mm: Option<f64>,
    length_mm: Option<f64>,
    mass_g: Option<f64>,
    heats: Option<u32>,
    scale_mm3: Option<f64>,
    grind_mm3: Option<f64>,
    trim_mm3: Option<f64>,
    kerf_mm3: Option<f64>,
    groove_mm3: Option<f64>,
    rounding_mm3: Option<f64>,
    volume_mm3: Option<f64>,
    fire: Option<String>,
    notes: Option<usize>,
    /// Allowed difference of sizes, mm; volumes by the thousand.
    tolerance: Option<f64>,
}

struct Job {
    session: Session,
    now: Stamp,
}

impl Job {
    fn put(&mut self, event: Event) {
        let entry = Entry {
            seq: self.session.seq + 1,
            at: self.now,
            event,
        };
        self.session.take(entry).expect("entry folds");
        self.now = self.now.plus(Seconds(1.0));
    }

    fn step(&self) -> anvilside::plan::StepId {
        self.session.current().expect("a step").id.clone()
    }

    fn act(&mut self, line: &str) {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        match word {
            "done" => match rest.strip_prefix("to ") {
                None => {
                    let step = self.step();
                    self.put(Event::Done { step });
                }
                Some(id) => {
                    while self.step().0 != id {
                        let step = self.step();
                        self.put(Event::Done { step });
                    }
                }
            },
            "read" => {
                let (what, value) = rest.split_once(' ').expect("what and value");
                let (what, cold) = reading(what, value);
                let step = self.step();
                let typed = value.to_owned();
                self.put(Event::Measured {
                    step,
                    what,
                    cold,
                    typed,
                    hot: None,
                    counted: None,
                });
            }
            "forget" => {
                let (what, _) = reading(rest, "1");
                let step = self.step();
                self.put(Event::Unmeasured { step, what });
            }
            "count" => {
                let step = self.step();
                let cold = rest.parse().expect("a count");
                let typed = rest.to_owned();
                self.put(Event::Measured {
                    step,
                    what: Dimension::Bands,
                    cold,
                    typed,
                    hot: None,
                    counted: None,
                });
            }
            "in" | "out" | "laid" => {
                let now = match word {
                    "in" => Fire::In,
                    "out" => Fire::Out,
                    _ => Fire::Cold,
                };
                let step = self.step();
                self.put(Event::Fire { step, now });
            }
            "wait" => {
                self.now = self
                    .now
                    .plus(parse::quantity::<Seconds>(rest, Units::Mm).expect("a time"));
            }
            "reopen" => {
                self.now = self
                    .now
                    .plus(parse::quantity::<Seconds>(rest, Units::Mm).expect("a time"));
                self.put(Event::Opened {
                    offset: 0,
                    version: "test".to_owned(),
                });
            }
            "undo" => {
                let seq = self.session.undo_target().expect("something to undo").seq;
                self.put(Event::Undone { seq });
            }
            "redo" => {
                let seq = self.session.redo_target().expect("something to redo").seq;
                self.put(Event::Redone { seq });
            }
            "note" => {
                let step = self.step();
                self.put(Event::Note {
                    step,
                    text: rest.to_owned(),
                });
            }
            _ => panic!("'{line}' is not a line of a scenario"),
        }
    }
}

fn reading(what: &str, value: &str) -> (Dimension, f64) {
    let length = || parse::quantity::<Mm>(value, Units::Mm).expect("a length").0;
    match what {
        "thickness" => (Dimension::Thickness, length()),
        "width" => (Dimension::Width, length()),
        "length" => (Dimension::Length, length()),
        "mass" => (
            Dimension::Mass,
            parse::quantity::<Grams>(value, Units::Mm)
                .expect("a mass")
                .0,
        ),
        _ => panic!("'{what}' cannot be read"),
    }
}

fn near(file: &str, what: &str, wanted: Option<f64>, found: f64, tolerance: f64) {
    if let Some(wanted) = wanted {
        assert!(
            (wanted - found).abs() <= tolerance,
            "{file}: {what}: wanted {wanted}, found {found}"
        );
    }
}

fn same<T: PartialEq + std::fmt::Debug>(file: &str, what: &str, wanted: Option<T>, found: T) {
    if let Some(wanted) = wanted {
        assert_eq!(wanted, found, "{file}: {what}");
    }
}

#[test]
fn every_scenario_ends_as_it_says() {
    let folder = format!("{}/tests/scenarios", env!("CARGO_MANIFEST_DIR"));
    let mut seen = 0;
    for entry in std::fs::read_dir(&folder).unwrap().flatten() {
        let path = entry.path();
        let file = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let scenario: Scenario = toml::from_str(&text).unwrap_or_else(|e| panic!("{file}: {e}"));
        assert!(scenario.about.len() > 20, "{file}: say what it shows");
        run(&file, &scenario);
        seen += 1;
    }
    assert!(seen >= 8, "only {seen} scenarios");
}

fn run(file: &str, scenario: &Scenario) {
    let path = format!(
        "{}/plans/{}.toml",
        env!("CARGO_MANIFEST_DIR"),
        scenario.plan
    );
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let now = Stamp(1_772_438_400_000);
    let hash = crc32fast::hash(text.as_bytes());
    let first = Entry {
        seq: 1,
        at: now,
        event: Event::Plan { hash, text },
    };
    let session = Session::fold(vec![first]).unwrap_or_else(|e| panic!("{file}: {e}"));
    let mut job = Job { session, now };
    for line in &scenario.doing {
        job.act(line);
    }
    let session = &job.session;
    // The same entries folded from the first must say the same.
    let again = Session::fold(session.log().to_vec()).unwrap();
    assert_eq!(again.billet, session.billet, "{file}: fold and take differ");
    assert_eq!(again.step, session.step, "{file}: fold and take differ");
    let billet = if session.step.reading.is_empty() {
        &session.billet
    } else {
        &session.live.billet
    };
    let want = &scenario.expect;
    let mm = want.tolerance.unwrap_or(0.01);
    same(
        file,
        "step",
        want.step.clone(),
        session.current().map_or("", |s| s.id.0.as_str()).to_owned(),
    );
    same(file, "finished", want.finished, session.is_finished());
    same(
        file,
        "nominal",
        want.nominal.map(u128::from),
        billet.nominal,
    );
    same(file, "bands", want.bands.map(u128::from), billet.bands());
    same(file, "pieces", want.pieces, billet.pieces);
    same(file, "heats", want.heats, session.step.heats);
    same(file, "notes", want.notes, session.notes.len());
    let fire = match session.fire.0 {
        Fire::Cold => "cold",
        Fire::In => "in",
        Fire::Out => "out",
    };
    same(file, "fire", want.fire.clone(), fire.to_owned());
    near(file, "width", want.width_mm, billet.bar.width.0, mm);
    near(
        file,
        "thickness",
        want.thickness_mm,
        billet.bar.thickness.0,
        mm,
    );
    near(file, "length", want.length_mm, billet.bar.length.0, mm);
    near(file, "mass", want.mass_g, billet.mass().0, mm * 10.0);
    near(
        file,
        "volume",
        want.volume_mm3,
        billet.volume().0,
        mm * 100.0,
    );
    let losses = [
        (Loss::Scale, want.scale_mm3),
        (Loss::Grind, want.grind_mm3),
        (Loss::Trim, want.trim_mm3),
        (Loss::Kerf, want.kerf_mm3),
        (Loss::Groove, want.groove_mm3),
        (Loss::Rounding, want.rounding_mm3),
    ];
    for (loss, wanted) in losses {
        near(
            file,
            loss.word(),
            wanted,
            billet.ledger.total(loss).0,
            mm * 100.0,
        );
    }
    let balance = billet.ledger.left() - billet.volume() - billet.stock_volume();
    assert!(
        balance.0.abs() < 1e-3,
        "{file}: metal does not balance by {balance:?}"
    );
}
