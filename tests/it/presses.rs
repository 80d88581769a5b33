//! How many keys a whole job takes, on the number pad alone: every card answered, every planned heat
//! taken, every clock kept.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::print_stdout
)]

use anvilside::billet::Dimension;
use anvilside::plan::Step;
use anvilside::ui::Key;
use anvilside::units::{Mm, Seconds, show};

use crate::common::Desk;

const PLANS: [&str; 13] = [
    "kitchen-pair",
    "turned-w-petty",
    "ladder-hunter",
    "three-layer",
    "twist-boot",
    "raindrop-belt-knife",
    "feather-chef",
    "framed-core",
    "four-twist-edges",
    "jacketed",
    "end-grain-tiles",
    "unfolded",
    "found-bar",
];

/// Keys by what they are for.
#[derive(Debug, Default, Clone, Copy)]
struct Presses {
    cards: usize,
    fire: usize,
    steps: usize,
    sizes: usize,
}

impl Presses {
    fn row(self, name: &str) -> String {
        let Self {
            cards,
            fire,
            steps,
            sizes,
        } = self;
        let all = cards + fire + steps;
        format!("| `{name}` | {cards} | {fire} | {steps} | **{all}** | {sizes} |")
    }
}

/// Every size that the plan names, typed as it was wanted.
fn read_sizes(desk: &mut Desk) {
    let named = |desk: &Desk| {
        let mut sizes = desk.model.situation.bar.sizes.clone().into_iter();
        sizes.find(|size| size.named && size.read.is_none())
    };
    let units = desk.model.plan().units;
    for _ in 0..4 {
        let Some(field) = named(desk) else { return };
        let expected = match field.what {
            Dimension::Bands => show::trimmed(field.wanted, 0),
            _ => units.length_bare(Mm(field.wanted)),
        };
        // Keys of the number pad only: the field is reached with the point.
        for _ in 0..4 {
            let current = desk
                .screen(120, 40)
                .contains(&format!("type {}", field.what.word()));
            if current {
                break;
            }
            desk.keys(".");
        }
        desk.wait(Seconds(3.0));
        desk.keys(&format!("{expected}\n"));
        // Asked once whether it can be so: it is.
        if !desk.model.entry.is_empty() {
            desk.key(Key::Enter);
        }
    }
}

fn work(name: &str, reads: bool) -> Presses {
    let mut desk = Desk::sample(name);
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    let mut out = Presses::default();
    while let Some(step) = desk.model.session.current().cloned() {
        let at = desk.model.session.at;
        let mut count =
            |desk: &mut Desk, into: fn(&mut Presses) -> &mut usize, act: &dyn Fn(&mut Desk)| {
                let before = desk.presses;
                act(desk);
                *into(&mut out) += desk.presses - before;
            };
        count(&mut desk, |p| &mut p.cards, &Desk::answer_card);
        let hot = step.kind().is_hot() && step.heats > 0;
        if hot {
            count(&mut desk, |p| &mut p.fire, &|desk| heats(desk, &step));
        }
        if reads {
            // Read cold: just out of the fire the screen would ask.
            desk.wait(Seconds(45.0 * 60.0));
            count(&mut desk, |p| &mut p.sizes, &read_sizes);
        }
        // The dips of an etch are as many as its lines want: three here.
        let etch = step.kind().word() == "etch" && step.soak.is_some();
        count(&mut desk, |p| &mut p.steps, &|desk| {
            for _ in 0..if etch { 3 } else { 0 } {
                desk.keys("+");
                desk.wait(step.soak.unwrap());
                desk.keys("+");
            }
            // The fire watch runs from the last fire out.
            if let Some((_, span)) = desk.model.session.watch {
                desk.wait(span);
            }
            let enter = hot || etch;
            desk.key(if enter { Key::Enter } else { Key::Char('+') });
            for _ in 0..20 {
                if desk.model.session.at != at {
                    return;
                }
                if desk.model.session.is_timing() {
                    desk.wait(Seconds(3.0 * 3600.0));
                }
                desk.keys("+");
            }
            panic!("{name}: {at} does not end: {}", desk.screen(80, 24));
        });
    }
    assert!(desk.model.session.owed.is_empty(), "{name}");
    out
}

fn heats(desk: &mut Desk, step: &Step) {
    let inside = desk.model.session.soak().map_or(0.0, |soak| soak.0);
    // Of like pieces one lies in the fire while the other is worked: a press swaps them.
    if desk.model.session.in_turn() > 1 && step.heats > 2 {
        if desk.model.session.comes_out(desk.now).is_none() {
            desk.keys("+");
            desk.wait(Seconds(inside.max(300.0)));
            desk.keys("t");
        }
        for _ in 0..step.heats {
            desk.keys("+");
            desk.wait(Seconds(inside.max(300.0)));
        }
        return;
    }
    for heat in 0..step.heats {
        desk.keys("+");
        desk.wait(Seconds(inside.max(300.0)));
        desk.keys("+");
        desk.wait(Seconds(40.0));
        // Each of like pieces has its heat.
        if heat + 1 < step.heats.min(desk.model.session.in_turn()) {
            desk.keys("t");
        }
    }
}

/// Prints the table that stands in the pages of use, and holds the aim for the longest plan.
#[test]
fn a_whole_job_takes_so_many_keys_as_the_pages_of_use_say() {
    let path = format!("{}/shared/USING.md", env!("CARGO_MANIFEST_DIR"));
    let page = std::fs::read_to_string(path).unwrap();
    let mut missing = Vec::new();
    for name in PLANS {
        let mut presses = work(name, false);
        let all = presses.cards + presses.fire + presses.steps;
        assert!(name != "kitchen-pair" || all <= 300, "{presses:?}");
        presses.sizes = work(name, true).sizes;
        let row = presses.row(name);
        println!("{row}");
        if !page.contains(&row) {
            missing.push(row);
        }
    }
    assert!(missing.is_empty(), "shared/USING.md wants {missing:#?}");
}
