//! What is to come, what the shop teaches, and the ways out, on the real screen.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use crate::common::{Desk, tight_pair};
use crate::oracle::lumped::lumped;
use anvilside::billet::Kind;
use anvilside::journal::Event;
use anvilside::plan::{Level, dry_run, read};
use anvilside::planner::forecast::{Start, forecast};
use anvilside::planner::learn::{ShopBook, Topic, learn};
use anvilside::session::Session;
use anvilside::ui::{Key, Mode, Msg};
use anvilside::units::Seconds;

/// A desk at the step of that id, everything before it done as expected.
fn at_step(id: &str) -> Desk {
    let mut desk = Desk::on(&tight_pair());
    // What is to come is asked for at the end of the walk, not on the way.
    desk.foresees = false;
    desk.keys("+");
    desk.go_to(id);
    // The bar has cooled: sizes are read cold.
    desk.wait(Seconds(2400.0));
    desk.foresees = true;
    desk.model.ahead.asked = None;
    desk.key(Key::Up);
    desk
}

#[test]
fn the_forecast_is_a_page_and_a_line_and_the_number_pad_reaches_it() {
    let mut desk = at_step("draw-1");
    desk.answer_card();
    let line = desk.model.enough_line().unwrap();
    assert!(line.starts_with("enough: "), "{line}");
    for (columns, rows) in [(80, 24), (120, 40)] {
        let screen = desk.screen(columns, rows);
        assert!(screen.contains("enough"), "{screen}");
    }
    desk.keys("g");
    let by_letter = desk.screen(120, 60);
    desk.key(Key::Backspace);
    desk.keys("*01");
    // A press later the clock may be a minute on.
    let timeless = |screen: &str| -> Vec<String> {
        let lines = screen
            .lines()
            .skip(1)
            .filter(|line| !line.contains("fire out ~"));
        lines.map(str::to_owned).collect()
    };
    assert_eq!(timeless(&by_letter), timeless(&desk.screen(120, 60)));
    for words in [
        "Draw out",
        "nominal",
        "thinnest",
        "heats",
        "min",
        "enough for these 2 blades",
    ] {
        assert!(
            (0..8).any(|_| {
                let found = desk.screen(120, 60).contains(words);
                if !found {
                    desk.keys("0");
                }
                found
            }),
            "no {words}"
        );
    }
    desk.keys("+");
    assert!(matches!(desk.model.mode, Mode::Step));
}

#[test]
fn an_older_answer_stays_and_is_marked_until_the_newer_comes() {
    let mut desk = at_step("draw-1");
    let held = desk.model.ahead.known.clone().unwrap();
    assert!(!desk.model.enough_line().unwrap().contains("updating"));
    // The next answer is lost on the way.
    desk.foresees = false;
    desk.model.ahead.version += 1;
    desk.send(Msg::Redraw);
    assert!(desk.model.enough_line().unwrap().contains("(updating)"));
    let mut late = (*held).clone();
    late.version = desk.model.ahead.version;
    desk.send(Msg::Foreseen(Box::new(late)));
    // One that was asked for earlier does not take its place.
    desk.send(Msg::Foreseen(Box::new((*held).clone())));
    assert!(!desk.model.is_foreseeing());
}

#[test]
fn a_short_bar_says_which_later_sizes_changed() {
    let mut desk = at_step("draw-1");
    desk.answer_card();
    let session = &desk.model.session;
    let wanted = session.expected().unwrap().bar.clone();
    desk.keys(&format!("{:.1}\n", wanted.thickness.0));
    desk.keys(&format!("{:.1}\n", wanted.width.0));
    desk.keys(&format!("{:.1}\n", wanted.length.0 - 20.0));
    let screen = desk.screen(80, 24);
    assert!(screen.contains("later targets changed:"), "{screen}");
    desk.keys("*02");
    let screen = desk.screen(120, 40);
    assert!(screen.contains(" -> "), "{screen}");
    assert!(!desk.model.ahead.changed.is_empty());
}

#[test]
fn the_band_narrows_over_the_first_three_draws() {
    let mut desk = Desk::sample("kitchen-pair");
    desk.keys("+");
    let mut widths = Vec::new();
    let whole = |desk: &Desk| {
        let seen = desk.model.forecast().unwrap();
        let row = seen
            .steps
            .iter()
            .find(|row| row.step.0 == "trim-3")
            .unwrap();
        row.mass.high - row.mass.low
    };
    widths.push(whole(&desk));
    for id in ["draw-1", "draw-2", "draw-3"] {
        desk.go_to(id);
        desk.answer_card();
        // The smith weighs a bar that came out as expected.
        let piece = desk.model.session.expected().unwrap().piece_mass().0;
        for _ in 0..3 {
            desk.key(Key::Down);
        }
        desk.keys(&format!("{piece:.0}\n"));
        desk.finish_step();
        widths.push(whole(&desk));
    }
    assert!(
        widths.windows(2).all(|pair| pair[1] < pair[0]),
        "{widths:?}"
    );
    assert!(widths[3] < 0.8 * widths[0], "{widths:?}");
}

#[test]
fn a_pinned_value_is_kept_in_the_shop_file_and_can_be_let_go() {
    let mut desk = at_step("draw-1");
    desk.keys("*05");
    assert!(desk.screen(80, 24).contains("YOUR SHOP"));
    let screen = desk.screen(80, 24);
    assert!(
        screen.contains("book") || screen.contains("your shop"),
        "{screen}"
    );
    desk.keys("1");
    let Mode::Page { page, .. } = &desk.model.mode else {
        panic!("{:?}", desk.model.mode)
    };
    let anvilside::ui::Page::Topic(topic) = page.clone() else {
        panic!("{page:?}")
    };
    desk.keys("2");
    desk.keys("3.25\n");
    let pinned = desk.shop.pinned[&topic];
    let kept = ShopBook::read(&desk.shop.write()).unwrap();
    assert!((kept.pinned[&topic] - pinned).abs() < 1e-9);
    assert!(
        desk.screen(80, 24).contains("pinned: 3.25"),
        "{}",
        desk.screen(80, 24)
    );
    assert!(
        (desk
            .model
            .ahead
            .known
            .as_ref()
            .unwrap()
            .lessons
            .get(topic)
            .in_force()
            - pinned)
            .abs()
            < 1e-9
    );
    // After a restart the shop file is read again.
    let mut again = Desk::reopen(desk.journal.clone(), desk.now, desk.model.settings.clone());
    again.send(Msg::Shop {
        others: Vec::new(),
        book: Ok(kept),
        trouble: Vec::new(),
    });
    let lessons = &again.model.ahead.known.as_ref().unwrap().lessons;
    assert!((lessons.get(topic).in_force() - pinned).abs() < 1e-9);
    // A full disk pins nothing.
    desk.disk_full = Some("no space left on the disk".to_owned());
    desk.keys("3");
    assert!(desk.screen(80, 24).contains("NOT SAVED") || desk.shop.pinned.contains_key(&topic));
    assert!(desk.model.ahead.book.pinned.contains_key(&topic));
    desk.disk_full = None;
    desk.keys("3");
    assert!(desk.shop.pinned.is_empty());
}

/// The shop trims 6 mm off each end, whatever the plan has.
fn pin_trim(desk: &mut Desk) {
    desk.shop.pin(Topic::Trim, Some(6.0));
    let book = desk.shop.clone();
    desk.send(Msg::Shop {
        others: Vec::new(),
        book: Ok(book),
        trouble: Vec::new(),
    });
}

#[test]
fn the_shops_figures_go_into_the_plan_only_when_asked_and_can_be_taken_back() {
    let mut desk = at_step("draw-1");
    let before = desk.model.session.plan.shop.allowances.trim;
    pin_trim(&mut desk);
    let trim = |desk: &Desk| desk.model.session.plan.shop.allowances.trim;
    assert!(trim(&desk).near(before, 1e-9), "not before it is asked");
    desk.keys("*06");
    let [.., decided, plan] = desk.journal.as_slice() else {
        panic!("no entries")
    };
    assert!(matches!(&decided.event, Event::Decided { what, .. } if what.contains("trim")));
    assert!(matches!(plan.event, Event::Plan { .. }));
    assert!((trim(&desk).0 - 6.0).abs() < 1e-9);
    // The file on the disk is as it was: it does not undo the decision.
    desk.keys("+");
    desk.send(Msg::PlanFile(Ok(tight_pair())));
    assert!((trim(&desk).0 - 6.0).abs() < 1e-9);
    let folded = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!(folded.plan.shop, desk.model.session.plan.shop);
    // One press takes back both, one brings both back.
    desk.key(Key::Backspace);
    assert!(trim(&desk).near(before, 1e-9));
    assert!(desk.model.session.decisions.is_empty());
    desk.keys("r");
    assert!((trim(&desk).0 - 6.0).abs() < 1e-9);
    assert_eq!(desk.model.session.decisions.len(), 1);
}

#[test]
fn a_changed_plan_file_says_which_decision_it_undoes_before_it_is_taken() {
    let mut desk = at_step("draw-1");
    pin_trim(&mut desk);
    desk.keys("*06+");
    let trim = |desk: &Desk| desk.model.session.plan.shop.allowances.trim.0;
    assert!((trim(&desk) - 6.0).abs() < 1e-9);
    let text = tight_pair();
    let bands = text
        .lines()
        .find(|line| line.starts_with("bands = ["))
        .unwrap();
    let other = text.replacen(bands, "bands = [90, 140]", 1);
    assert_ne!(other, text);
    desk.send(Msg::PlanFile(Ok(other.clone())));
    let screen = desk.screen(100, 40);
    assert!(screen.contains("UNDOES WHAT YOU DECIDED"), "{screen}");
    assert!(screen.contains("use my shop's figures: "), "{screen}");
    assert!((trim(&desk) - 6.0).abs() < 1e-9, "not before it is asked");
    // Kept: the decision stands. Taken: it is gone, and that is said once more.
    desk.key(Key::Backspace);
    assert!((trim(&desk) - 6.0).abs() < 1e-9);
    desk.send(Msg::PlanFile(Ok(other)));
    desk.keys("+");
    assert!((trim(&desk) - 6.0).abs() > 1.0);
    let screen = desk.screen(100, 40);
    assert!(screen.contains("undone: use my shop's figures"), "{screen}");
    // With no decision over it a file is taken as before.
    desk.keys("+");
    desk.send(Msg::PlanFile(Ok(text)));
    assert!(desk.screen(100, 40).contains("PLAN CHANGED"));
}

/// A desk at the last draw of the pair, its bar read 20 mm shorter than the two blanks need.
fn short_bar() -> Desk {
    let mut desk = at_step("draw-3");
    desk.answer_card();
    let bar = desk.model.session.expected().unwrap().bar.clone();
    desk.keys(&format!("{:.1}\n", bar.thickness.0));
    desk.keys(&format!("{:.1}\n", bar.width.0));
    let length = desk.model.session.live.billet.bar.length.0;
    desk.keys(&format!("{:.1}\n", length - 20.0));
    desk
}

#[test]
fn a_bar_20_mm_short_lists_changes_and_ways_out_and_one_of_them_fits() {
    let mut desk = short_bar();
    let screen = desk.screen(80, 24);
    assert!(screen.contains("later targets changed:"), "{screen}");
    assert!(screen.contains(" x  ways out"), "{screen}");
    desk.keys("x");
    let screen = desk.screen(100, 40);
    assert!(screen.contains("Off the plan"), "{screen}");
    let known = desk.model.ahead.known.clone().unwrap();
    assert!((2..=8).contains(&known.ways.len()), "{screen}");
    for (at, way) in known.ways.iter().enumerate() {
        assert!(
            screen.contains(&format!(
                "{}  {}",
                at + 1,
                way.headline().chars().take(20).collect::<String>()
            )),
            "{screen}"
        );
    }
    let entries = desk.journal.len();
    let old = desk.model.session.plan.clone();
    desk.keys("1");
    assert_eq!(desk.journal.len(), entries + 2);
    let [.., decided, plan] = desk.journal.as_slice() else {
        panic!("no entries")
    };
    assert!(
        matches!(&decided.event, Event::Decided { what, .. } if what.contains(&known.ways[0].title))
    );
    assert!(matches!(plan.event, Event::Plan { .. }));
    // The blade fits now, by the forecast and by the walk.
    let session = &desk.model.session;
    let seen = desk.model.ahead.known.clone().unwrap();
    let off = &desk.model.situation.off;
    assert!(off.is_empty(), "{off:?}");
    assert!(seen.forecast.enough.probability >= 0.9);
    let walk = dry_run(&session.plan, session.at + 1, &session.live.billet);
    assert!(
        walk.found.iter().all(|one| one.level != Level::Error),
        "{:?}",
        walk.found
    );
    // A restart has it, and the file on the disk does not undo it.
    let folded = Session::fold(desk.journal.clone()).unwrap();
    assert_eq!(folded.plan.steps, desk.model.session.plan.steps);
    // One press takes it back.
    desk.keys("+");
    desk.key(Key::Backspace);
    assert_eq!(desk.model.session.plan.steps, old.steps);
    assert!(desk.model.session.decisions.is_empty());
    assert!(desk.model.is_off());
}

#[test]
fn the_job_goes_to_its_end_on_every_way_out() {
    let short = short_bar();
    let ways = short.model.ahead.known.as_ref().unwrap().ways.len();
    for way in 1..=ways {
        let settings = short.model.settings.clone();
        let mut desk = Desk::reopen(short.journal.clone(), short.now, settings);
        if matches!(desk.model.mode, Mode::Resume) {
            desk.keys("+");
        }
        desk.keys("*03");
        desk.keys(&way.to_string());
        desk.keys("+");
        desk.foresees = false;
        while desk.model.session.current().is_some() {
            desk.finish_step();
            let last = desk.model.session.done.last().unwrap();
            assert!(
                last.made.drift.is_none(),
                "way {way}, {}: {:?}",
                last.step.id,
                last.made.drift
            );
        }
    }
}

#[test]
fn a_failed_weld_asks_how_much_and_shows_the_ways_on() {
    let mut desk = at_step("draw-2");
    desk.answer_card();
    desk.keys("*04");
    assert!(
        matches!(desk.model.mode, Mode::Number { .. }),
        "{:?}",
        desk.model.mode
    );
    desk.keys("12\n");
    let screen = desk.screen(100, 30);
    assert!(screen.contains("A weld failed"), "{screen}");
    let ways = desk.model.ahead.known.clone().unwrap().ways.clone();
    assert!(
        screen.contains(&format!("1  {}", ways[0].title)),
        "{screen}"
    );
    let before = desk.journal.len();
    desk.keys("1");
    assert_eq!(desk.journal.len(), before + 2);
    let now = desk.model.session.current().unwrap();
    assert_eq!(now.kind().word(), "trim");
    desk.keys("+");
    let length = desk.model.session.billet.bar.length;
    desk.finish_step();
    let after = desk.model.session.billet.bar.length;
    assert!(
        (length.0 - after.0 - 12.0).abs() < 0.01,
        "{length:?} {after:?}"
    );
    assert_eq!(desk.model.session.current().unwrap().id.0, "draw-2");
}

#[test]
fn a_knife_that_is_ground_is_still_enough() {
    for sample in ["turned-w-petty", "kitchen-pair", "ladder-hunter"] {
        let mut desk = Desk::sample(sample);
        desk.foresees = false;
        desk.keys("+");
        while desk
            .model
            .session
            .current()
            .is_some_and(|step| step.kind() != Kind::RoughGrind)
        {
            desk.finish_step();
        }
        desk.foresees = true;
        desk.finish_step();
        assert!(!desk.model.is_off(), "{sample}");
        // and nothing more is foretold of it
        let screen = desk.screen(80, 24);
        assert!(!screen.contains("enough"), "{sample}: {screen}");
        desk.keys("g");
        assert!(desk.shows("yes, over 99 %"), "{}", desk.screen(80, 24));
    }
}

/// Minutes for a lumped bar from cold in a fire; emissivity 0.9, film 25 W/m2/K.
fn minutes_to_heat([width, thick]: [f64; 2], to: f64, fire: f64) -> f64 {
    let open = 2.0 * (width + thick);
    lumped([width, thick], open, [20.0, to], fire, [0.9, 25.0]) / 60.0
}

/// The low end of a weld's minutes is no less than the fire needs to bring its pile to welding heat, and its
/// soak; the low end of its day no less than that of its welds. On every sample plan.
#[test]
fn no_weld_is_foreseen_sooner_than_its_pile_is_hot() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut welds = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|end| end != "toml") {
            continue;
        }
        let plan = read(&std::fs::read_to_string(&path).unwrap()).unwrap().0;
        let lessons = learn(&[], &ShopBook::default(), Some(&plan));
        let seen = forecast(&Start::of_plan(&plan), &lessons, 3, 150);
        let first = plan.first_billet();
        let walk = dry_run(&plan, 0, &first);
        let mut today = 0.0;
        for (at, (step, row)) in plan.steps.iter().zip(&seen.steps).enumerate() {
            let before = if at == 0 {
                &first
            } else {
                &walk.rows[at - 1].billet
            };
            let Some(window) = step.window.filter(|_| step.kind() == Kind::Weld) else {
                continue;
            };
            // One that comes out of another fire is warm already.
            let last = at.checked_sub(1).map(|at| &plan.steps[at]);
            let warm = last.is_some_and(|last| last.kind().is_hot() && last.day == step.day);
            let bar = &before.in_hand(&step.bar).bar;
            let to = if warm { 20.0 } else { window.low.0 };
            let hot = minutes_to_heat([bar.width.0, bar.thickness.0], to, plan.shop.fire.0);
            let soak = step.soak.map_or(0.0, Seconds::minutes);
            let need = 0.98 * (hot + soak);
            assert!(
                row.minutes.low >= need,
                "{path:?} {}: {} under {need}",
                step.id,
                row.minutes.low
            );
            welds += 1;
            if step.day == 1 {
                today += need;
            }
        }
        assert!(
            seen.today.low >= today,
            "{path:?}: {} under {today}",
            seen.today.low
        );
    }
    assert!(welds > 20, "{welds}");
}

#[test]
fn a_stack_that_was_begun_stays_as_it_began_whatever_the_plan_file_says() {
    let text = tight_pair();
    let (head, tail) = text.split_once("[stack]").unwrap();
    let line = tail
        .lines()
        .find(|line| line.starts_with("length = "))
        .unwrap();
    let longer = format!("{head}[stack]{}", tail.replacen(line, "length = 400", 1));
    // Before anything is done the file is the plan, and what changed is named.
    let mut fresh = Desk::on(&text);
    fresh.keys("+");
    fresh.send(Msg::PlanFile(Ok(longer.clone())));
    let screen = fresh.screen(100, 40);
    assert!(screen.contains("changed: the first stack"), "{screen}");
    // Once it is worked, 400 mm in the file make no metal.
    let mut desk = at_step("draw-1");
    let forecast = |desk: &Desk| {
        let session = &desk.model.session;
        let lessons = learn(&[], &ShopBook::default(), Some(&session.plan));
        let seen = forecast(&Start::of_session(session), &lessons, 3, 200);
        seen.steps.last().unwrap().mass.best
    };
    let before = forecast(&desk);
    desk.send(Msg::PlanFile(Ok(longer)));
    let screen = desk.screen(100, 40);
    assert!(screen.contains("the first stack, as it began"), "{screen}");
    desk.keys("+");
    let after = forecast(&desk);
    assert!((after / before - 1.0).abs() < 0.02, "{before} {after}");
    desk.keys("+");
    // Layers know their steels by place: the file keeps that.
    let swapped = text.replacen("1084", "1095", 1);
    assert_ne!(swapped, text);
    let force = desk.model.session.plan_hash;
    desk.send(Msg::PlanFile(Ok(swapped)));
    let screen = desk.screen(120, 40);
    assert!(screen.contains("keep these steels first"), "{screen}");
    assert_eq!(desk.model.session.plan_hash, force);
}
