//! The figures that a smith decides by, at the moment of decision.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test"
)]

use anvilside::billet::{Billet, Dimension, Kind, Move, Reading, Sizes, apply};
use anvilside::plan::{Plan, dry_run};
use anvilside::units::Fraction;

use crate::common::Desk;

pub(crate) const SAMPLES: [&str; 7] = [
    "kitchen-pair",
    "turned-w-petty",
    "ladder-hunter",
    "three-layer",
    "twist-boot",
    "raindrop-belt-knife",
    "feather-chef",
];

/// A desk at the step of that id, everything before it done as expected, its card answered.
pub(crate) fn at_step(sample: &str, id: &str) -> Desk {
    let mut desk = Desk::sample(sample);
    desk.foresees = false;
    desk.reckons = false;
    desk.keys("+");
    while desk.model.session.current().unwrap().id.0 != id {
        desk.finish_step();
    }
    desk.foresees = true;
    desk.answer_card();
    desk
}

fn off(desk: &Desk, what: Dimension) -> String {
    let units = desk.model.units();
    desk.model.situation.size(what).unwrap().off_text(units)
}

#[test]
fn what_is_wanted_stays_when_sizes_are_read() {
    let mut desk = at_step("kitchen-pair", "draw-1");
    let wanted = |desk: &Desk| -> Vec<f64> {
        let sizes = &desk.model.situation.bar.sizes;
        sizes.iter().map(|size| size.wanted).collect()
    };
    let before = wanted(&desk);
    // Wider and longer than wanted: what follows for the thickness from volume is thinner, and what is
    // wanted is 14 as before.
    desk.key(anvilside::ui::Key::Down);
    desk.keys("42\n");
    desk.key(anvilside::ui::Key::Down);
    desk.key(anvilside::ui::Key::Down);
    desk.keys("345\n");
    desk.keys("15\n");
    assert_eq!(before, wanted(&desk));
    assert_eq!(off(&desk, Dimension::Thickness), "+1 mm");
    assert_eq!(off(&desk, Dimension::Width), "+2 mm");
    let screen = desk.screen(80, 24);
    let row = screen
        .lines()
        .find(|line| line.contains("thickness"))
        .unwrap();
    for text in [" 14 mm", " 15 mm", "+1 mm"] {
        assert!(row.contains(text), "{row}");
    }
    // The large number is the same target.
    assert!(
        desk.lines(80, 24)[6].contains("THICKNESS wanted"),
        "{screen}"
    );
}

#[test]
fn a_bar_in_inches_is_off_by_a_sixteenth() {
    let text = crate::common::plan_text("ladder-hunter");
    let text = text.replacen("thickness = \"3/8\"", "thickness = \"5/16\"", 1);
    let mut desk = Desk::on(&text);
    desk.foresees = false;
    desk.keys("+");
    let draws = |desk: &Desk| {
        let step = desk.model.session.current().unwrap();
        let to = step.made.target().and_then(|to| to.thickness);
        step.kind() == Kind::Draw && to.is_some()
    };
    while !draws(&desk) {
        desk.finish_step();
    }
    desk.answer_card();
    let size = desk.model.situation.size(Dimension::Thickness).unwrap();
    let more = anvilside::units::Mm(size.wanted) + anvilside::units::Mm::from_inch(1.0 / 16.0);
    let typed = format!("{:.4}\n", more.inch());
    desk.keys("");
    desk.key(anvilside::ui::Key::Down);
    let wide = desk.model.situation.size(Dimension::Width).unwrap().wanted;
    desk.keys(&format!("{:.4}\n", anvilside::units::Mm(wide).inch()));
    desk.key(anvilside::ui::Key::Down);
    desk.key(anvilside::ui::Key::Down);
    let long = desk.model.situation.size(Dimension::Length).unwrap().wanted;
    desk.keys(&format!("{:.3}\n", anvilside::units::Mm(long).inch()));
    desk.keys(&typed);
    if desk.model.entry.is_empty() {
        assert_eq!(off(&desk, Dimension::Thickness), "+1/16 in");
    } else {
        // Far off for a thin bar: asked once, and taken as it is.
        desk.key(anvilside::ui::Key::Enter);
        assert_eq!(off(&desk, Dimension::Thickness), "+1/16 in");
    }
}

/// The plan walked move by move says how many restacks are to come and what they end with; the row of
/// its own piece count must say the same at every step, whatever has been done of it.
#[test]
fn the_row_of_the_plans_own_count_is_the_plan() {
    let mut seen = 0;
    for sample in SAMPLES {
        let mut desk = Desk::sample(sample);
        (desk.foresees, desk.reckons) = (false, false);
        desk.keys("+");
        while desk.model.session.current().is_some() {
            let session = &desk.model.session;
            let plan = session.plan.clone();
            let piled = |at: &usize| plan.piled_cuts(0).contains(at);
            // The cuts that are still to be piled: done or not, their restack is to come.
            let restacks: Vec<usize> = (session.at..plan.steps.len())
                .filter(|at| plan.steps[*at].kind() == Kind::Restack)
                .collect();
            let cuts: Vec<u32> = restacks
                .iter()
                .filter_map(|restack| {
                    let cut = (0..*restack)
                        .rev()
                        .find(|at| plan.steps[*at].kind() == Kind::Cut)?;
                    match plan.steps[cut].made {
                        Move::Cut { pieces, .. } if piled(&cut) => Some(pieces),
                        _ => None,
                    }
                })
                .collect();
            let own = cuts
                .first()
                .copied()
                .filter(|first| cuts.iter().all(|cut| cut == first));
            if let Some(own) = own.filter(|_| cuts.len() == restacks.len()) {
                let walk = dry_run(&plan, session.at, &session.billet);
                let last = restacks.last().unwrap() - session.at;
                let pile = &walk.rows[last].billet;
                // A round that is still to be cut is told as it is drawn: scale takes outer bands then.
                let ends = match plan.piled_cuts(session.at).first() {
                    None => pile.bands(),
                    Some(cut) => closed(&plan, *cut, pile).bands(),
                };
                let all = desk.model.situation.bar.restacks.as_ref().unwrap();
                let row = all.iter().find(|row| row.pieces == own).unwrap();
                let at = &session.current().unwrap().id;
                // Where the plan adds bands otherwise, the row goes on restacking.
                let round = row.rounds[cuts.len() - 1];
                assert_eq!(round.bands, ends, "{sample} {at}");
                assert!(row.count() == cuts.len() || ends < plan.goal.bands_least.into());
                seen += 1;
            }
            desk.finish_step();
        }
    }
    assert!(seen > 30, "{seen}");
}

/// A pile welded and drawn to the section that the bar had before a cut.
fn closed(plan: &Plan, cut: usize, pile: &Billet) -> Billet {
    let drawn = plan.steps[..cut].iter().rev().find_map(|step| {
        let to = step.made.target()?;
        (matches!(step.kind(), Kind::Draw | Kind::Square) && to.thickness.is_some()).then_some(to)
    });
    let allow = plan.allowances();
    let weld = Move::Weld {
        to: Sizes::default(),
        scale: Fraction(0.0),
    };
    let draw = Move::Square {
        to: drawn.unwrap(),
        scale: allow.scale,
    };
    [weld, draw].iter().fold(pile.clone(), |bar, made| {
        apply(&bar, made, &allow, &Reading::default())
            .unwrap()
            .billet
    })
}

#[test]
fn a_reading_that_is_as_planned_changes_no_restack() {
    for id in [
        "draw-1",
        "trim-1",
        "grind-1",
        "restack-1",
        "weld-2",
        "draw-2",
        "trim-2",
    ] {
        let mut desk = at_step("kitchen-pair", id);
        desk.foresees = false;
        let table = |desk: &Desk| -> Vec<(u32, usize, u128)> {
            let all = desk.model.situation.bar.restacks.as_ref().unwrap();
            all.iter()
                .map(|row| (row.pieces, row.count(), row.bands))
                .collect()
        };
        let before = table(&desk);
        let size = desk.model.situation.bar.sizes[0].wanted;
        desk.keys(&format!("{size:.2}\n"));
        assert!(!desk.model.session.step.reading.is_empty(), "{id}");
        assert_eq!(table(&desk), before, "{id}");
    }
}

#[test]
fn blanks_and_blades_have_no_restacks() {
    let mut desk = at_step("kitchen-pair", "inspect-1");
    assert!(
        desk.screen(80, 24).contains("already there"),
        "{}",
        desk.screen(80, 24)
    );
    desk.foresees = false;
    desk.finish_step();
    desk.finish_step();
    while desk.model.session.current().is_some() {
        let id = desk.model.session.current().unwrap().id.clone();
        assert!(desk.model.situation.bar.restacks.is_none(), "{id}");
        let screen = desk.screen(80, 24);
        assert!(!screen.contains("RESTACKS"), "{id}: {screen}");
        desk.finish_step();
    }
}

#[test]
fn one_line_says_steel_and_plan_and_the_step_that_breaks() {
    let mut desk = at_step("kitchen-pair", "draw-3");
    desk.keys("5\n45\n");
    let length = desk.model.session.live.billet.bar.length.0;
    // So much shorter that two blanks of 260 mm no longer come out of it, with metal enough in it.
    desk.keys(&format!("{:.1}\n", length - 20.0));
    // Any key puts the answer to the last one away.
    desk.key(anvilside::ui::Key::Up);
    let lines = desk.lines(120, 40);
    let banner = &lines[37];
    assert!(
        banner.contains("as planned: NO, at Cut two blanks"),
        "{banner}"
    );
    assert!(
        banner.contains("enough for these 2 blades: over 99 %"),
        "{banner}"
    );
    assert!(!desk.screen(120, 40).contains("yes, over 99 %"));
    assert!(!desk.screen(80, 24).contains("yes, over 99 %"));
}

#[test]
fn scale_in_all_is_one_figure() {
    let mut desk = at_step("kitchen-pair", "draw-2");
    desk.reckons = true;
    desk.keys("+");
    desk.wait(anvilside::units::Seconds(600.0));
    let screen = desk.screen(120, 40);
    let after = |text: &str, words: &str| -> String {
        let at = text
            .find(words)
            .unwrap_or_else(|| panic!("no {words}: {text}"));
        let rest = &text[at + words.len()..];
        rest.trim_start().split(" %").next().unwrap().to_owned()
    };
    let balance = after(&screen, "(scale");
    assert_eq!(after(&screen, "in all"), balance);
    desk.keys("a");
    let page = desk.screen(100, 70);
    assert_eq!(after(&page, "scale in all"), balance);
}
