//! Pictures of every sample plan, held against the numbers; and sheets for the eye.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test"
)]

use std::io::Write as _;
use std::sync::Arc;

use anvilside::billet::{
    Billet, Deformation, Figure, Move, Part, Side, Sizes, Stage, Stand, SteelId,
};
use anvilside::journal::{Entry, Event};
use anvilside::pattern::{
    BladeShape, Chain, Hand, Lines, Look, Panel, Picture, Scene, Sheet, Tone, View,
};
use anvilside::physics::frame_margin::Wedge;
use anvilside::plan::{self, Plan};
use anvilside::planner::forecast::Edge;
use anvilside::planner::foresight::{Outlook, foresee};
use anvilside::session::{Aspect, Session, blade_shape};
use anvilside::units::{Fraction, Mm, Stamp};

mod edge;
mod mirrors;
mod plain;
mod rungs;
mod share;

fn plans() -> Vec<(String, Plan)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut all: Vec<(String, Plan)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let text = std::fs::read_to_string(path).unwrap();
            (name, plan::read(&text).unwrap().0)
        })
        .collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

fn named(name: &str) -> Plan {
    let mut all = plans();
    all.retain(|(known, _)| known == name);
    all.pop().unwrap().1
}

fn walked(plan: &Plan) -> Vec<Billet> {
    let walk = plan::dry_run(plan, 0, &plan.first_billet());
    walk.rows.into_iter().map(|row| row.billet).collect()
}

fn chain(billet: &Billet, hand: Hand) -> Arc<Chain> {
    Arc::new(Chain::new(&billet.first, &billet.history, hand))
}

fn shape(plan: &Plan) -> BladeShape {
    BladeShape {
        ground: Mm(0.5),
        ..blade_shape(plan)
    }
}

fn look(plan: &Plan) -> Look {
    Look {
        tones: plan
            .steels
            .iter()
            .map(|steel| Tone::of(&steel.steel.nominal, 0.8))
            .collect(),
        ..Look::default()
    }
}

/// `cargo test --release --test it pictures sheets -- --ignored --nocapture`, then open the files named.
#[test]
#[ignore = "writes sheets for the eye"]
fn sheets_to_look_at() {
    for (name, plan) in plans() {
        let steps = walked(&plan);
        let last = steps.last().unwrap();
        let whole = chain(last, Hand::default());
        let panel = |chain: &Arc<Chain>, view, size, words: String| Panel {
            picture: Scene::new(Arc::clone(chain), view, &look(&plan), size).render(),
            caption: vec![words],
            cuts: Vec::new(),
        };
        let views = [
            (View::Blade(shape(&plan)), 1500),
            (View::Face, 1500),
            (View::Side, 1500),
            (View::End, 700),
        ];
        let panels: Vec<Panel> = views
            .into_iter()
            .map(|(view, width)| {
                let words = view.word().to_owned();
                panel(&whole, view, [width, 500], words)
            })
            .collect();
        save(&name, &Sheet::strip(&plan.title, &panels, 1));
        let mut seen = 0;
        let mut grown = Vec::new();
        for (step, billet) in plan.steps.iter().zip(&steps) {
            if billet.history.len() > seen {
                seen = billet.history.len();
                let chain = chain(billet, Hand::default());
                let title = step.title.clone();
                let title = title.unwrap_or_else(|| step.made.kind().title().to_owned());
                let words = format!("{title}: {} bands", billet.bands());
                grown.push(panel(&chain, View::End, [300, 200], words));
            }
        }
        save(
            &format!("{name}-steps"),
            &Sheet::strip(&plan.title, &grown, 5),
        );
    }
}

fn save(name: &str, sheet: &Sheet) {
    let path = std::env::temp_dir().join(format!("sheet-{name}.png"));
    let mut file = std::fs::File::create(&path).unwrap();
    file.write_all(&sheet.png().unwrap()).unwrap();
    println!("{}", path.display());
}

/// A look in which one steel is white and every other black.
fn only(plan: &Plan, steel: usize) -> Look {
    Look {
        tones: (0..plan.steels.len())
            .map(|n| Tone {
                kept: f64::from(u8::from(n == steel)),
                carbon: 0.0,
            })
            .collect(),
        ..Look::default()
    }
}

/// A sample plan with nothing done.
fn session(name: &str) -> Session {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let text = std::fs::read_to_string(format!("{folder}/{name}.toml")).unwrap();
    let hash = crc32fast::hash(text.as_bytes());
    let first = Entry {
        seq: 1,
        at: Stamp(0),
        event: Event::Plan { hash, text },
    };
    Session::fold(vec![first]).unwrap()
}
