//! Whole jobs worked through the real screen, with readings that are off by a little, as a smith's are: the
//! journals that the pages are tried on.

use anvilside::billet::Dimension;
use anvilside::plan::Step;
use anvilside::ui::Key;
use anvilside::units::{Mm, Seconds, show};

use super::Desk;

/// A small generator with a seed (xorshift, 64 bits: Marsaglia, 2003; from memory).
struct Luck(u64);

impl Luck {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// From -1 to 1.
    fn off(&mut self) -> f64 {
        2.0 * self.next() - 1.0
    }
}

/// A sample worked to its end, or for so many steps.
pub fn worked(name: &str, steps: usize) -> Desk {
    let mut luck = Luck(0x9e37_79b9_7f4a_7c15 ^ name.len() as u64);
    let mut desk = Desk::sample(name);
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    for n in 0..steps {
        let Some(step) = desk.model.session.current().cloned() else {
            break;
        };
        one(&mut desk, &step, n, &mut luck);
    }
    desk
}

fn one(desk: &mut Desk, step: &Step, n: usize, luck: &mut Luck) {
    let at = desk.model.session.at;
    if n == 3 {
        // One item that is passed over, with its reason.
        line(desk, 'o', "tongs are at the welder's");
        desk.wait(Seconds(3.0));
    }
    desk.answer_card();
    let hot = step.kind().is_hot() && step.heats > 0;
    if hot {
        let more = if luck.next() > 0.6 { 1 } else { 0 };
        let inside = desk.model.session.soak().map_or(0.0, |soak| soak.0);
        for _ in 0..step.heats + more {
            desk.keys("+");
            desk.wait(Seconds(inside.max(420.0) + 120.0 * luck.next()));
            desk.keys("+");
            desk.wait(Seconds(25.0 + 30.0 * luck.next()));
        }
        if n % 7 == 5 {
            line(desk, 'n', "edge cracked <1 mm>, ground \"out\" & cleaned");
        }
    }
    // Read cold: just out of the fire the screen would ask.
    desk.wait(Seconds(if hot { 45.0 } else { 12.0 } * 60.0));
    sizes(desk, luck);
    let etch = step.kind().word() == "etch" && step.soak.is_some();
    for _ in 0..if etch { 3 } else { 0 } {
        desk.keys("+");
        desk.wait(step.soak.unwrap());
        desk.keys("+");
    }
    if let Some((_, span)) = desk.model.session.watch {
        desk.wait(span);
    }
    desk.key(if hot || etch {
        Key::Enter
    } else {
        Key::Char('+')
    });
    for _ in 0..20 {
        if desk.model.session.at != at {
            if step.kind().word() == "end-day" {
                // On at eight in the morning.
                const DAY: i64 = 24 * 3_600_000;
                let gone = (desk.now.0 - 8 * 3_600_000).rem_euclid(DAY);
                desk.wait(Seconds((DAY - gone) as f64 / 1000.0));
            }
            return;
        }
        if desk.model.session.is_timing() {
            desk.wait(Seconds(3.0 * 3600.0));
        }
        desk.keys("+");
    }
    panic!("{at} does not end: {}", desk.screen(80, 24));
}

/// A line of words behind a key.
fn line(desk: &mut Desk, key: char, words: &str) {
    for c in std::iter::once(key).chain(words.chars()) {
        desk.key(Key::Char(c));
    }
    desk.key(Key::Enter);
}

/// Every size that the plan names, within a hundredth of what was wanted.
fn sizes(desk: &mut Desk, luck: &mut Luck) {
    let units = desk.model.plan().units;
    for _ in 0..4 {
        let mut open = desk.model.situation.bar.sizes.clone().into_iter();
        let Some(field) = open.find(|size| size.named && size.read.is_none()) else {
            return;
        };
        let near = field
            .follows
            .min(field.wanted * 1.02)
            .max(field.wanted * 0.98);
        let typed = match field.what {
            Dimension::Bands => show::trimmed(field.wanted, 0),
            _ => units.length_bare(Mm(near * (1.0 + 0.008 * luck.off()))),
        };
        for _ in 0..4 {
            if desk
                .screen(120, 40)
                .contains(&format!("type {}", field.what.word()))
            {
                break;
            }
            desk.keys(".");
        }
        desk.wait(Seconds(3.0));
        desk.keys(&format!("{typed}\n"));
        // Asked once whether it can be so: it is.
        if !desk.model.entry.is_empty() {
            desk.key(Key::Enter);
        }
    }
}
